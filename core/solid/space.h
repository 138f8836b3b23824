// Sums of space vectors, and points seen from a frame.
#ifndef HW_SOLID_SPACE_H
#define HW_SOLID_SPACE_H

#include "base/vec.h"

#include <math.h>

static inline hw_vec3 hw_add3(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x + b.x, a.y + b.y, a.z + b.z};
}
static inline hw_vec3 hw_sub3(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x - b.x, a.y - b.y, a.z - b.z};
}
static inline hw_vec3 hw_scale3(hw_vec3 a, double k) // [1]
{
    return (hw_vec3){k * a.x, k * a.y, k * a.z};
}
// a + k b
static inline hw_vec3 hw_along3(hw_vec3 a, hw_vec3 b, double k) // [1]
{
    return (hw_vec3){a.x + k * b.x, a.y + k * b.y, a.z + k * b.z};
}
static inline double hw_dot3(hw_vec3 a, hw_vec3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
static inline hw_vec3 hw_cross3(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
static inline double hw_norm3(hw_vec3 a)
{
    return sqrt(hw_dot3(a, a));
}
// NaN for no length.
static inline hw_vec3 hw_unit3(hw_vec3 a)
{
    return hw_scale3(a, 1 / hw_norm3(a));
}
// A point as its frame sees it, and back.
static inline hw_vec3 hw_into(const hw_frame *f, hw_vec3 p)
{
    hw_vec3 d = hw_sub3(p, f->at);
    return (hw_vec3){hw_dot3(d, f->x), hw_dot3(d, f->y), hw_dot3(d, f->z)};
}
static inline hw_vec3 hw_out_of(const hw_frame *f, hw_vec3 q)
{
    return hw_along3(hw_along3(hw_along3(f->at, f->x, q.x), f->y, q.y), f->z, q.z);
}

#endif
