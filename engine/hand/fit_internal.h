// Places for the servos in the palm that go together and leave every sheath a way. Shared by this
// room alone.
#ifndef HW_HAND_FIT_INTERNAL_H
#define HW_HAND_FIT_INTERNAL_H

#include "hand/lay_internal.h"

// What servos are judged by: families of ways that sheaths would take in a palm without servos
// (none where a hand's ways are not asked for), of each no more than `most` of them, from the best
// on evenly. NULL: no memory.
typedef struct hw_fitter hw_fitter;
hw_fitter *hw_fitter_of(hw_arena *a, const hw_hand *hand, size_t most);

// What sheaths lack beside the servos where these stand, each in that way of its family that lacks
// least, whatever other sheaths do. As points along the ways tell it: a few hundredths of a
// millimetre. Cost: some ms. Test: test/hand/test_fit.c
double hw_fit_lack(const hw_fitter *f, const hw_pack_place *const place[], size_t n); // [m]

// The same in two steps: how deep a place stands in every way; what sheaths lack beside n places of
// which that is known. For fitters of no more than HW_PACK_MARKS / HW_SHEATH_WAYS a family.
void hw_fit_mark(const hw_fitter *f, const hw_pack_place *place, uint8_t mark[HW_PACK_MARKS]);
double hw_fit_marked(const hw_fitter *f, const uint8_t *const mark[], size_t n); // [m]

#endif
