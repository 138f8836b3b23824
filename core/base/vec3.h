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
