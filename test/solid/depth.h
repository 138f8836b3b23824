// How far a point is inside a rounded hull.
#ifndef HW_TEST_SOLID_DEPTH_H
#define HW_TEST_SOLID_DEPTH_H

#include "solid/region.h"

#include <math.h>

static inline double hull_reach(const hw_rounded *h, hw_vec2 p, hw_vec2 u)
{
    double most = -INFINITY;
    for (size_t i = 0; i < h->n; i++)
        most = fmax(most, hw_dot(h->disc[i].at, u) + h->disc[i].radius);
    return most - hw_dot(p, u);
}

// How far a point is inside the hull of discs, exactly: the least of support less the point's own
// reach over all directions, which is found square to a side or from a disc's centre to the point.
static inline double hull_depth(const hw_rounded *h, hw_vec2 p)
{
    double least = INFINITY;
    for (size_t i = 0; i < h->n; i++) {
        hw_vec2 d = hw_sub(p, h->disc[i].at);
        if (hw_norm(d) > 0) least = fmin(least, hull_reach(h, p, hw_scale(d, 1 / hw_norm(d))));
        for (size_t k = 0; k < h->n; k++) {
            hw_vec2 e = hw_sub(h->disc[k].at, h->disc[i].at);
            double length = hw_norm(e), less = h->disc[i].radius - h->disc[k].radius;
            if (length <= fabs(less)) continue;
            double along = less / length, across = sqrt(1 - along * along);
            hw_vec2 u = {(e.x * along + e.z * across) / length,
                         (e.z * along - e.x * across) / length};
            least = fmin(least, hull_reach(h, p, u));
        }
        if (hw_norm(d) == 0) least = fmin(least, hull_reach(h, p, (hw_vec2){1, 0}));
    }
    return least;
}

#endif
