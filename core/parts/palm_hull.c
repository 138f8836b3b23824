// The convex hull that the thumb's room is drawn with.
#include "parts/palm_internal.h"

static double turn_of(hw_vec2 o, hw_vec2 a, hw_vec2 b)
{
    return (a.x - o.x) * (b.z - o.z) - (a.z - o.z) * (b.x - o.x);
}

// Convex hull in the plane, counter-clockwise. Source: Andrew 1979, monotone chain (from memory).
size_t hw_palm_hull(hw_vec2 *at, size_t n, hw_vec2 *out)
{
    for (size_t i = 1; i < n; i++) // few points: sorted by insertion
        for (size_t k = i; k > 0; k--) {
            hw_vec2 p = at[k - 1], q = at[k];
            if (p.x < q.x || (p.x == q.x && p.z <= q.z)) break;
            at[k - 1] = q;
            at[k] = p;
        }
    size_t m = 0;
    for (int half = 0; half < 2; half++) {
        const size_t first = m;
        for (size_t i = 0; i < n; i++) {
            hw_vec2 p = at[half ? n - 1 - i : i];
            while (m >= first + 2 && turn_of(out[m - 2], out[m - 1], p) <= 0) m--;
            out[m++] = p;
        }
        m--; // the other half begins with it
    }
    return m;
}
