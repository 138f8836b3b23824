// Signs that are never wrong: on float coordinates of any range, and on the plan's integers.
#ifndef HW_SOLID_EXACT_INTERNAL_H
#define HW_SOLID_EXACT_INTERNAL_H

#include <stdint.h>

__extension__ typedef __int128 hw_int128;

// Sign of the volume of tetrahedron a b c d: +1 when d sees a, b, c clockwise (d lies behind the
// plane whose counter-clockwise front is a, b, c). Finite coordinates only. Method: double filter,
// then the 24 triple products as an exact sum. Source: Shewchuk 1997, "Adaptive precision
// floating-point arithmetic and fast robust geometric predicates", sections 2 and 4. Test:
// test/solid/test_exact.c
int hw_exact_side3(const float a[3], const float b[3], const float c[3], const float d[3]);

// Sign of the turn a, b, c in the plane of coordinate axes u, v (0 to 2): +1 counter-clockwise.
int hw_exact_turn2(const float a[3], const float b[3], const float c[3], int u, int v);

// Twice the area of triangle a b c of plan points, counter-clockwise positive; |coordinates| < 2^28
// so that nothing overflows.
static inline int64_t hw_plan_cross(const int32_t a[2], const int32_t b[2], const int32_t c[2])
{
    int64_t ux = (int64_t)b[0] - a[0], uz = (int64_t)b[1] - a[1];
    int64_t vx = (int64_t)c[0] - a[0], vz = (int64_t)c[1] - a[1];
    return ux * vz - uz * vx;
}

// Positive when d lies inside the circle through the counter-clockwise a, b, c; 0 on it.
int hw_plan_in_circle(const int32_t a[2], const int32_t b[2], const int32_t c[2],
                      const int32_t d[2]);

#endif
