// Requirements, findings, margins, and the judge.
#ifndef HW_VERDICT_H
#define HW_VERDICT_H

#include "base/status.h"
#include "base/units.h"

typedef enum hw_verdict { HW_HOLDS, HW_FALLS_SHORT, HW_UNKNOWN } hw_verdict;

// One row of a room's findings table. Ids are stable and never translated.
typedef struct hw_finding_kind {
    const char *id;   // last part: "pip_pin_per_newton"; a digit's finding is
                      // "digits.index/pip_pin_per_newton"
    const char *what; // one short phrase for the sheet
    hw_dim dim;
    double low, high;    // default limits in SI, NaN where there is none [SI]
    double scale;        // that margin_ratio divides by, > 0, in SI [SI]
    const char *source;  // of the computation
    const char *origin;  // of the default limit
    const char *unknown; // NULL, or why it cannot be computed yet ("the drive is not computed yet")
} hw_finding_kind;

typedef struct hw_finding {
    const hw_finding_kind *kind;
    int digit;        // 0..4, or -1 for the whole hand
    char id[64];      // whole id
    double value;     // NaN when unknown [SI]
    double low, high; // NaN when there is none [SI]
    double margin; // signed, positive = good: the smaller of value - low and high - value; NaN when
                   // unknown [SI]
    double margin_ratio; // margin / scale [1]
    hw_verdict verdict;
    bool required;      // named in the document's requirements
    const char *origin; // where the limit comes from: the document's line or the default's origin
    const char *note;   // NULL, or one sentence (why unknown, at which pose, which load case)
} hw_finding;

// Fills margin, margin_ratio and verdict from value and limits. A NaN value is unknown. Never
// divides by zero.
void hw_finding_judge(hw_finding *f);
const char *hw_verdict_text(hw_verdict v); // "holds", "falls short", "unknown"

#endif
