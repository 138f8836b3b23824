// Where a hand's thumb stands: what its seat asks for, and a search (palm/thumb.h).
#ifndef HW_HAND_THUMB_BASE_H
#define HW_HAND_THUMB_BASE_H

#include "hand/hand.h"
#include "palm/thumb.h"

// Samples of every digit's own closing, from open to closed; a digit that is absent has none, a
// pose that does not close is NaN. Test: test/make/test_posed.c
HW_MUST_USE hw_code hw_hand_motions(hw_arena *a, const hw_hand *hand,
                                    hw_palm_motion out[HW_DIGITS]);

// The seat that the hand's numbers ask for: carriers' blocks, the bend of the thumb's sheaths as
// drive.sheath.radius says, a journal round a square of four sheaths and its groove, as core/parts
// makes them; pads may miss by 3 % of the thumb's and cross by 72 degrees (own choice). Test:
// test/hand/test_thumb_base.c
hw_thumb_seat hw_hand_thumb_seat(const hw_design *d, const hw_hand *hand);

typedef struct hw_thumb_stand {
    hw_palm_def def; // the palm with it
    hw_thumb_room room;
    double miss, angle; // greatest of all fingers' pads [m] [rad]
    bool holds;         // nothing is lacking, but for 1 % of the pad's length and a quarter of
                        // a degree that rounding takes
} hw_thumb_stand;

// The thumb as it stands, and as found: pointing and axis, and where it turns within a tenth of the
// palm's length, to tenths of a millimetre and of a degree. HW_BAD_INPUT: no thumb, or faulty
// numbers; HW_CANCELLED: the best so far is there. Cost: some seconds. Test: as above.
HW_MUST_USE hw_code hw_hand_seek_thumb(hw_arena *a, const hw_design *d, const hw_hand *hand,
                                       const hw_job *job, hw_thumb_stand out[2]);

#endif
