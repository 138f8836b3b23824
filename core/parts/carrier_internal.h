// Shared by the files of this room only.
#ifndef HW_PARTS_CARRIER_INTERNAL_H
#define HW_PARTS_CARRIER_INTERNAL_H

#include "parts/blocks_internal.h"
#include "parts/carrier.h"

// What the carrier's block holds, behind the carrier's own blocks, in its frame. `bed`: z of the
// bed under x = 0, and how much it rises along x.
void hw_carrier_put(hw_blocks *b, const hw_carrier_place *p, const hw_carrier_def *def,
                    const hw_digit *d, const hw_layers *l, const hw_pulley *pulley,
                    const double bed[2]); // [m] and [1]

#endif
