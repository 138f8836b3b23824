// Shared by the files of the thumb's base alone.
#ifndef HW_PALM_THUMB_INTERNAL_H
#define HW_PALM_THUMB_INTERNAL_H

#include "palm/thumb.h"

// hw_palm_thumb_cost; once it is over `enough` it may be any number between that and the cost.
double hw_thumb_cost_to(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                        const hw_thumb_seat *seat, double enough); // [1] [1]

#endif
