// Shared by this room's files only: values in people's units, grouping of findings.
#ifndef HW_REPORT_INTERNAL_H
#define HW_REPORT_INTERNAL_H

#include "report/report.h"

// ---- values -----------------------------------------------------------------------------------
typedef struct hw_shown {
    double scale;     // SI per unit [SI]
    double offset;    // SI where the unit begins: of °C, else 0 [SI]
    const char *unit; // "mm"; "" for a plain number
    int decimals;     // that suit a finding's scale; -1: three significant digits
} hw_shown;

hw_shown hw_shown_finding(const hw_finding_kind *k);
hw_shown hw_shown_entry(const hw_entry_row *row);
// A value in its unit, without it: true minus sign, "—" for NaN, "∞" for infinity; further decimals
// where it would else read as zero. [SI]
const char *hw_value_text(double value, hw_shown u, char out[40]);
// The same with its sign always shown. [SI]
const char *hw_signed_text(double value, hw_shown u, char out[40]);
// "16.2", or "15.1 to 16.2" where these read differently. [SI]
const char *hw_range_text(double low, double high, hw_shown u, char out[96]);
// "at most 15", "at least 30", "70 to 80", in the unit but without it.
const char *hw_limit_text(const hw_finding *f, hw_shown u, char out[96]);

// ---- grouping ---------------------------------------------------------------------------------
// Findings of one kind with one verdict, all digits together, in the order of the assessment.
typedef struct hw_group {
    const hw_finding_kind *kind;
    hw_verdict verdict;
    size_t n;
    size_t at[HW_DIGITS]; // indices into assessment->finding
    double worst_ratio;   // smallest margin_ratio; NaN where unknown [1]
} hw_group;

// Groups with the given verdict, what falls short furthest first, otherwise in the findings' order.
// In the arena; NULL when out of memory or when there is none (*n is 0 then).
hw_group *hw_groups_of(hw_arena *a, const hw_assessment *s, hw_verdict v, size_t *n);

// "index to little", "index, ring", "all digits"; digits[i] says which. "" for the hand's own.
const char *hw_digits_text(const hw_assessment *s, const bool digits[HW_DIGITS], char out[64]);

// Which findings of a group are shown on one line with number `first` of it: those that read the
// same (value, limit, margin and note). `taken` marks what was shown already.
size_t hw_same_lines(const hw_report *r, const hw_group *g, size_t first, bool taken[HW_DIGITS],
                     bool digits[HW_DIGITS]);

// The answer in a sentence or two.
void hw_put_answer(const hw_report *r, hw_buffer *out);

// Findings of a group whose best lever is the same entry, each digit's own, turned the same way.
typedef struct hw_lever_cluster {
    const hw_entry_row *row; // NULL: no entry raises these margins
    bool holds;              // a value that holds was found for each
    size_t n;
    size_t at[HW_DIGITS]; // indices into assessment->finding
} hw_lever_cluster;
size_t hw_lever_clusters(const hw_report *r, const hw_group *g, hw_lever_cluster out[HW_DIGITS]);
// The cluster in words, after "lever: ". `named`: with the digits' names although nothing differs.
void hw_put_cluster(const hw_report *r, const hw_lever_cluster *c, bool named, hw_buffer *out);

// The members of a finding, without its levers, in an object that is open.
struct hw_json;
void hw_put_finding_json(struct hw_json *j, const hw_finding *f);
// A fingerprint as 16 hexadecimal digits; returns out.
const char *hw_fingerprint_text(uint64_t print, char out[17]);

// Sources that findings refer to by number, each once.
typedef struct hw_sources {
    size_t n;
    const char *at[256]; // room for every row of the table of findings: test/report/test_text.c
} hw_sources;
size_t hw_source_number(hw_sources *s, const char *source); // from 1; 0 when the list is full

#endif
