// Shared by the files of this room only.
#ifndef HW_PARTS_PULLEY_INTERNAL_H
#define HW_PARTS_PULLEY_INTERNAL_H

#include "parts/blocks_internal.h"
#include "parts/pulley.h"

// The pulley on the proximal phalanx, behind the phalanx's own blocks, in its frame: disc, groove,
// holes for knots, recess for the spool. `bed` > 0: the digit lies on its back, so far from the
// knuckle's axis, in the direction `down` of the phalanx's frame; the flanges then reach the bed.
// 0: it lies on its palm, where a foot would sweep into the carrier.
void hw_pulley_put(hw_blocks *b, const hw_pulley *p, const hw_pulley_def *def, const hw_layers *l,
                   double bed, hw_vec2 down); // [m] [1]

// The spool as a part of its own, standing on its flange's outer face, its axis at x, y of the bed.
void hw_spool_put(hw_blocks *b, const hw_spool_place *s, const hw_pulley_def *def, hw_vec2 at);

#endif
