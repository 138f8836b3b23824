// Random bodies for tests: boxes, capsules, cylinders and wedges of a given size that overlap about
// half of the time.
#ifndef HW_TEST_PAIRS_H
#define HW_TEST_PAIRS_H

#include "base/rng.h"
#include "palm/body.h"

static inline hw_vec3 random_direction(hw_rng *r)
{
    hw_vec3 v = {hw_rng_normal(r), hw_rng_normal(r), hw_rng_normal(r)};
    return hw_vec3_unit(v);
}

static inline hw_frame random_frame(hw_rng *r, double reach)
{
    hw_frame f;
    f.at = hw_vec3_times(random_direction(r), hw_rng_uniform(r, 0, reach));
    f.z = random_direction(r);
    f.x = hw_vec3_unit(hw_vec3_cross(f.z, random_direction(r)));
    f.y = hw_vec3_cross(f.z, f.x);
    return f;
}

static inline hw_body random_body(hw_rng *r, double size)
{
    hw_body b = {.kind = (hw_body_kind)(hw_rng_next(r) % 3)};
    b.frame = random_frame(r, 1.6 * size);
    b.half.x = hw_rng_uniform(r, 0.1, 1) * size;
    b.half.y = b.kind == HW_BODY_BOX ? hw_rng_uniform(r, 0.1, 1) * size : b.half.x;
    b.half.z = hw_rng_uniform(r, 0.1, 1) * size;
    return b;
}

// A box whose far end is `taper` as high as its near one, as the hull of its eight corners.
static inline hw_body random_wedge(hw_rng *r, double size, double taper, hw_vec3 corner[8])
{
    hw_frame f = random_frame(r, 1.6 * size);
    hw_vec3 half;
    half.x = hw_rng_uniform(r, 0.1, 1) * size;
    half.y = hw_rng_uniform(r, 0.1, 1) * size;
    half.z = hw_rng_uniform(r, 0.1, 1) * size;
    for (int k = 0; k < 8; k++)
        corner[k] = (hw_vec3){k & 1 ? half.x : -half.x, k & 2 ? half.y : -half.y,
                              (k & 4 ? half.z : -half.z) * (k & 1 ? taper : 1)};
    return hw_body_hull(f, corner, 8);
}

#endif
