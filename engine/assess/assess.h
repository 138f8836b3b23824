// The one chain: a hand in, findings out.
#ifndef HW_ASSESS_H
#define HW_ASSESS_H

#include "hand/hand.h"
#include "stroke/chart.h"
#include "verdict/verdict.h"

enum { HW_ASSESS_STEPS = 65, HW_LOAD_CASES = 6 };

typedef struct hw_digit_assessment {
    bool present, assembles; // assembles: every pose of the stroke closes
    hw_stroke stroke;        // unit load at the tip
    double case_pin[HW_LOAD_CASES]
                   [HW_JOINTS];        // worst pin force of each load case over the stroke [N]
    double case_bar[HW_LOAD_CASES][2]; // worst bar force, sign kept (tension positive) [N]
    hw_closing closing;                // against the natural law
    hw_wrap_chart wrap;
    hw_slop slop;
    hw_stroke_event event[8]; // dead points and lock-ups inside the travel
    size_t events;
} hw_digit_assessment;

typedef struct hw_assessment {
    const hw_design *design;
    const hw_hand *hand;
    hw_digit_assessment digit[HW_DIGITS];
    hw_finding *finding;
    size_t findings;
    size_t held, short_of, unknown;
    bool all_required_hold;
} hw_assessment;

// Names of the load cases, "push at the tip", ...; NULL out of range.
const char *hw_load_case_name(int c);

// Computes everything. HW_NO_MEMORY, HW_CANCELLED. Results live in the arena until it is rewound.
HW_MUST_USE hw_code hw_assess(hw_arena *a, const hw_design *d, const struct hw_job *job,
                              hw_assessment *out);

// For the reader: which finding ids exist. Pass to hw_read_def.requirable.
extern const hw_requirable hw_assess_requirable;

#endif
