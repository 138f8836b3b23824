// Requirements, findings, margins, and the judge. The findings tables of all rooms are listed here
// (findings.h).
#ifndef HW_VERDICT_H
#define HW_VERDICT_H

#include "base/status.h"
#include "base/units.h"

typedef enum hw_verdict { HW_HOLDS, HW_FALLS_SHORT, HW_UNKNOWN } hw_verdict;

// One row of a room's findings table. Ids are stable and never translated.
typedef struct hw_finding_kind {
    const char *id;   // last part: "pip_pin_worst"; a digit's is "digits.index/pip_pin_worst"
    const char *what; // one short phrase for the sheet
    bool of_digit;    // one for each digit; otherwise one for the hand ("hand/payload")
    hw_dim dim;
    const char *unit;    // to show it in; NULL: the usual unit of the dimension
    double low, high;    // default limits, NaN where there is none, at least one given [SI]
    double scale;        // that margin_ratio divides by, > 0 [SI]
    const char *source;  // of the computation
    const char *origin;  // of the default limit
    const char *unknown; // NULL, or why assess does not compute it, as one sentence without full
                         // stop
} hw_finding_kind;

typedef struct hw_finding {
    const hw_finding_kind *kind;
    int digit;        // 0..4, thumb to little, or -1 for the whole hand
    char id[64];      // whole id
    double value;     // NaN when unknown [SI]
    double low, high; // NaN where there is none [SI]
    double margin; // signed, positive = good: the smaller of value - low and high - value; NaN when
                   // unknown [SI]
    double margin_ratio; // margin / scale [1]
    hw_verdict verdict;
    bool required;      // named in the document's requirements
    const char *origin; // where the limits come from: the document's line or the default's origin
    const char *note;   // NULL, or one sentence (why unknown, at which pose, under which load case)
} hw_finding;

// Fills margin, margin_ratio and verdict from value and limits. A NaN value is unknown; infinity
// falls short or holds like any number. A margin within 1e-9 of the scale below zero still holds:
// it is rounding. Test: test/verdict/test_verdict.c
void hw_finding_judge(hw_finding *f);

const char *hw_verdict_text(hw_verdict v); // "holds", "falls short", "unknown"; never NULL

// The tables: every finding that the program knows, room by room, in the order of the sheet. Test:
// test/verdict/test_verdict.c
const hw_finding_kind *hw_finding_kinds(size_t *n);

// Default limits that are others where learners meet the hand (setting: classroom).
typedef struct hw_setting_limit {
    const char *id;   // last part of the finding's id
    double low, high; // NaN where there is none [SI]
    const char *origin;
} hw_setting_limit;

// The classroom's limits of a finding, or NULL where they are the ordinary ones. Test:
// test/verdict/test_verdict.c
const hw_setting_limit *hw_classroom_limit(const char *id);

// What no document may exceed, for safety; NULL where there is no such limit. Test:
// test/verdict/test_verdict.c
const hw_setting_limit *hw_hard_limit(const char *id);

// The words in `unknown` of findings of the parts themselves, which engine/make computes; assess
// lists these only where the document requires them.
extern const char hw_finding_made[];
bool hw_finding_is_made(const hw_finding_kind *kind);

// Whether a finding of a digit's parts is told of the palm's bodies too, all together as
// "hand/...": each is made alone, so gaps, masses and what bars do are not among them. Test:
// test/verdict/test_verdict.c
bool hw_finding_of_bodies(const hw_finding_kind *kind);

// Writes the whole id of a finding: digit's name from `digits` (5 names), or "hand/" for digit -1.
// Returns its length.
size_t hw_finding_id(const hw_finding_kind *kind, int digit, const char *const digits[5],
                     char out[64]);

#endif
