// Places for the servos in the palm that go together and leave every sheath a way. Shared by this
// room alone.
#ifndef HW_HAND_FIT_INTERNAL_H
#define HW_HAND_FIT_INTERNAL_H

#include "hand/lay_internal.h"

// A choice of places, one a mover in turn.
typedef struct hw_fit_choice {
    hw_pack_place place[HW_DIGITS];
    double lack; // of them all, as hw_fit_lack; a thousandth of each rod [m]
} hw_fit_choice;

enum { HW_FIT_CHOICES = 64 };

// What servos are judged by: families of ways that sheaths would take in a palm without servos
// (none where a hand's ways are not asked for).
typedef struct hw_fitter hw_fitter;
hw_fitter *hw_fitter_of(hw_arena *a, const hw_hand *hand); // NULL: no memory

// What sheaths lack beside the servos where these stand, each in that way of its family that lacks
// least, whatever other sheaths do. As points along the ways tell it: a few hundredths of a
// millimetre. Cost: some ms. Test: test/hand/test_fit.c
double hw_fit_lack(const hw_fitter *f, const hw_pack_place place[], size_t n); // [m]

// All places of each servo alone (hw_pack_alone), and choices of one for each that together lack
// least, beside each other and by hw_fit_lack; of choices that stand alike one, the best first. *n
// may be 0. HW_CANCELLED, HW_NO_MEMORY. Cost: some seconds a servo. Test: as above.
HW_MUST_USE hw_code hw_fit_choices(hw_arena *a, const hw_fitter *f, const hw_pack_def *def,
                                   const hw_job *job, hw_fit_choice out[HW_FIT_CHOICES], size_t *n);

#endif
