// Shared by this room's files only: values in people's units, grouping of findings.
#ifndef HW_REPORT_INTERNAL_H
#define HW_REPORT_INTERNAL_H

#include "report/report.h"

// ---- values -----------------------------------------------------------------------------------
typedef struct hw_shown {
    double scale;     // SI per unit [SI]
    const char *unit; // "mm"; "" for a plain number
} hw_shown;

hw_shown hw_shown_finding(const hw_finding_kind *k);
hw_shown hw_shown_entry(const hw_entry_row *row);
// About three significant digits, never fewer than the whole part; true minus sign; "—" for NaN,
// "∞" for infinity. [unit's]
const char *hw_value_text(double value, char out[40]);
// The same with its sign always shown. [unit's]
const char *hw_signed_text(double value, char out[40]);
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
// same (value, limit, margin, origin, note and levers). `taken` marks what was shown already.
size_t hw_same_lines(const hw_report *r, const hw_group *g, size_t first, bool taken[HW_DIGITS],
                     bool digits[HW_DIGITS]);

// The answer in a sentence or two.
void hw_put_answer(const hw_report *r, hw_buffer *out);
// One lever in words: "bar_a.horn 6 to 7 mm: holds (2 steps of 0.5 mm, 1.3 N/N each)". `whole`:
// with the whole path, else without "digits.index.".
void hw_put_lever(const hw_report *r, const hw_finding *f, const hw_lever *l, bool whole,
                  hw_buffer *out);
// The path of an entry, without "digits.NAME." unless `whole`.
void hw_put_entry(hw_entry e, bool whole, hw_buffer *out);

// Sources that findings refer to by number, each once.
typedef struct hw_sources {
    size_t n;
    const char *at[64];
} hw_sources;
size_t hw_source_number(hw_sources *s, const char *source); // from 1; 0 when the list is full

#endif
