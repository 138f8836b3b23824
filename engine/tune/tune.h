// Levers: which entry moves a margin most per practical step.
#ifndef HW_TUNE_H
#define HW_TUNE_H

#include "assess/assess.h"

typedef struct hw_lever {
    hw_entry entry;
    double step;          // one practical step, with the sign that helps [SI]
    double gain;          // change of the finding's margin for that step [SI of the finding]
    double gain_ratio;    // over the finding's scale [1]
    double steps_to_hold; // by linear estimate; infinity when it cannot [1]
    double suggested; // entry's value that would hold, rounded to whole steps, within range; NaN
                      // when none [SI]
    bool verified;    // assessed again at `suggested`: the finding holds there
    int spoiled;      // findings that held and would not at `suggested`
} hw_lever;

// Ranks levers for one finding by central differences; writes up to `room`, returns how many. Needs
// the finding's value.
HW_MUST_USE hw_code hw_levers_of(hw_arena *a, const hw_assessment *base, const hw_finding *f,
                                 const struct hw_job *job, hw_lever out[], size_t room, size_t *n);

#endif
