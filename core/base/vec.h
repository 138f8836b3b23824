// Plane and space vectors, and the angle conventions of the project.
// A digit moves in its own (x, z) plane: x along the straight digit, z out of its back. Flexion is
// positive and turns +x toward -z, so a flexion angle f maps a vector (x, z) to (x cos f + z sin f,
// -x sin f + z cos f).
#ifndef HW_BASE_VEC_H
#define HW_BASE_VEC_H

#include <math.h>

#define HW_PI 3.14159265358979323846

typedef struct hw_vec2 {
    double x, z; // [m] unless the owner says otherwise
} hw_vec2;

typedef struct hw_vec3 {
    double x, y, z; // [m] unless the owner says otherwise
} hw_vec3;

// A right-handed frame; axes are unit vectors.
typedef struct hw_frame {
    hw_vec3 at;      // [m]
    hw_vec3 x, y, z; // [1]
} hw_frame;

static inline hw_vec2 hw_add(hw_vec2 a, hw_vec2 b)
{
    return (hw_vec2){a.x + b.x, a.z + b.z};
}
static inline hw_vec2 hw_sub(hw_vec2 a, hw_vec2 b)
{
    return (hw_vec2){a.x - b.x, a.z - b.z};
}
static inline hw_vec2 hw_scale(hw_vec2 a, double k) // [1]
{
    return (hw_vec2){a.x * k, a.z * k};
}
static inline double hw_dot(hw_vec2 a, hw_vec2 b)
{
    return a.x * b.x + a.z * b.z;
}

// Turning moment of force f at arm r, positive in flexion (that is, about the digit's +y axis: z
// f_x - x f_z).
static inline double hw_moment(hw_vec2 r, hw_vec2 f)
{
    return r.z * f.x - r.x * f.z;
}

// A vector turned by a flexion given as its cosine and sine.
static inline hw_vec2 hw_flex(hw_vec2 v, double c, double s) // [1]
{
    return (hw_vec2){v.x * c + v.z * s, -v.x * s + v.z * c};
}

double hw_norm_far(hw_vec2 a); // length of a vector whose square is out of range

// Length, without overflow: a root wherever squares can be formed, so the same bits on every
// machine. Test: test/base/test_vec.c
static inline double hw_norm(hw_vec2 a)
{
    double square = hw_dot(a, a);
    return square > 1e-280 && square < 1e280 ? sqrt(square) : hw_norm_far(a);
}

hw_vec2 hw_flexed(hw_vec2 v, double flexion); // [rad]

#endif
