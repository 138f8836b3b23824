// Vectors in space: the operations that rooms of bodies, frames and paths share.
#ifndef HW_BASE_VEC3_H
#define HW_BASE_VEC3_H

#include "base/vec.h"

#include <math.h>

static inline hw_vec3 hw_vec3_add(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x + b.x, a.y + b.y, a.z + b.z};
}
static inline hw_vec3 hw_vec3_sub(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x - b.x, a.y - b.y, a.z - b.z};
}
static inline hw_vec3 hw_vec3_times(hw_vec3 a, double k) // [1]
{
    return (hw_vec3){a.x * k, a.y * k, a.z * k};
}
// a + k b
static inline hw_vec3 hw_vec3_along(hw_vec3 a, double k, hw_vec3 b) // [m]
{
    return (hw_vec3){a.x + k * b.x, a.y + k * b.y, a.z + k * b.z};
}
static inline double hw_vec3_dot(hw_vec3 a, hw_vec3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
static inline hw_vec3 hw_vec3_cross(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
static inline double hw_vec3_norm(hw_vec3 a)
{
    return sqrt(hw_vec3_dot(a, a));
}
// The direction of a; the null vector stays null.
static inline hw_vec3 hw_vec3_unit(hw_vec3 a)
{
    double n = hw_vec3_norm(a);
    return n > 0 ? hw_vec3_times(a, 1 / n) : a;
}
// The same, NaN for the null vector: for measured places, two of which may be one.
static inline hw_vec3 hw_vec3_way(hw_vec3 a)
{
    return hw_vec3_times(a, 1 / hw_vec3_norm(a));
}
// A point as its frame sees it.
static inline hw_vec3 hw_frame_seen(const hw_frame *f, hw_vec3 p)
{
    hw_vec3 d = hw_vec3_sub(p, f->at);
    return (hw_vec3){hw_vec3_dot(d, f->x), hw_vec3_dot(d, f->y), hw_vec3_dot(d, f->z)};
}
// A direction and a point of a frame, in the coordinates that the frame is given in.
static inline hw_vec3 hw_frame_direction(const hw_frame *f, hw_vec3 v)
{
    return hw_vec3_along(hw_vec3_along(hw_vec3_times(f->x, v.x), v.y, f->y), v.z, f->z);
}
static inline hw_vec3 hw_frame_point(const hw_frame *f, hw_vec3 p)
{
    return hw_vec3_along(hw_vec3_along(hw_vec3_along(f->at, p.x, f->x), p.y, f->y), p.z, f->z);
}
// A unit vector square to the unit vector a, the same on every machine.
static inline hw_vec3 hw_vec3_square(hw_vec3 a)
{
    double x = fabs(a.x), y = fabs(a.y), z = fabs(a.z);
    hw_vec3 least = x <= y && x <= z ? (hw_vec3){1, 0, 0}
                    : y <= z         ? (hw_vec3){0, 1, 0}
                                     : (hw_vec3){0, 0, 1};
    return hw_vec3_unit(hw_vec3_cross(a, least));
}

#endif
