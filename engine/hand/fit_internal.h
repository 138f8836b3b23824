// Places for the servos in the palm that go together and leave every sheath a way. Shared by this
// room alone.
#ifndef HW_HAND_FIT_INTERNAL_H
#define HW_HAND_FIT_INTERNAL_H

#include "hand/lay_internal.h"

// What servos are judged by: families of ways that sheaths would take in a palm without servos
// (none where a hand's ways are not asked for).
typedef struct hw_fitter hw_fitter;
hw_fitter *hw_fitter_of(hw_arena *a, const hw_hand *hand); // NULL: no memory

// What sheaths lack beside the servos where these stand, each in that way of its family that lacks
// least, whatever other sheaths do. As points along the ways tell it: a few hundredths of a
// millimetre. Cost: some ms. Test: test/hand/test_fit.c
double hw_fit_lack(const hw_fitter *f, const hw_pack_place place[], size_t n); // [m]

#endif
