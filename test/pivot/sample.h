// The pivot that the tests of this room share: a bare 45 degree cone as Heron's were first drawn.
#ifndef HW_TEST_PIVOT_SAMPLE_H
#define HW_TEST_PIVOT_SAMPLE_H

#include "base/vec.h"
#include "pivot/pivot.h"

static inline hw_pivot sample_pivot(hw_cheek cheek, double scale) // [1]
{
    const double mm = 1e-3 * scale;
    return (hw_pivot){.half_angle = 45 * (HW_PI / 180),
                      .engagement = 1.2 * mm,
                      .gap = 0.15 * mm,
                      .face_gap = 0.25 * mm,
                      .mu = 0.15,
                      .load_depth = 0.4 * mm,
                      .base = 1.6 * mm,
                      .cheek = {cheek, cheek},
                      .strength = 45e6,
                      .strength_across = 26e6};
}

#endif
