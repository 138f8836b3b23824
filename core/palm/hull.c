// Hulls of points as bodies: their corners, their support, how deep they stand in each other.
#include "palm/body_internal.h"

#include <math.h>
#include <stdlib.h>

enum { SPREAD = 200, PUSHES = 60, TRIED = 16 };

static int by_plane(const void *left, const void *right)
{
    const hw_vec3 *a = left, *b = right;
    if (a->y != b->y) return a->y < b->y ? -1 : 1;
    if (a->x != b->x) return a->x < b->x ? -1 : 1;
    return (a->z > b->z) - (a->z < b->z);
}

// Twice the area of a triangle in the plane: positive where it turns left.
static double turn(hw_vec3 a, hw_vec3 b, hw_vec3 c) // [m^2]
{
    return (b.x - a.x) * (c.z - a.z) - (b.z - a.z) * (c.x - a.x);
}

// One chain along a sorted plane: `side` 1 keeps what lies lowest, -1 what lies highest.
static void mark(const hw_vec3 p[], size_t n, double side, bool keep[], size_t chain[]) // [1]
{
    size_t m = 0;
    for (size_t i = 0; i < n; i++) {
        while (m > 1 && side * turn(p[chain[m - 2]], p[chain[m - 1]], p[i]) <= 0) m--;
        chain[m++] = i;
    }
    for (size_t i = 0; i < m; i++) keep[chain[i]] = true;
}

size_t hw_hull_corners(hw_vec3 point[], size_t n)
{
    enum { MOST = 4096 }; // a plane of more stays as it is
    size_t kept = 0, chain[MOST];
    bool keep[MOST];
    if (n > 1) qsort(point, n, sizeof *point, by_plane);
    for (size_t from = 0, to; from < n; from = to) {
        for (to = from + 1; to < n && point[to].y == point[from].y; to++) {
        }
        bool whole = to - from > MOST;
        for (size_t i = 0; i < to - from && !whole; i++) keep[i] = false;
        for (int side = -1; side < 2 && !whole; side += 2)
            mark(point + from, to - from, side, keep, chain);
        for (size_t i = from; i < to; i++)
            if (whole || keep[i - from]) point[kept++] = point[i];
    }
    return kept;
}

hw_body hw_body_hull(hw_frame frame, hw_vec3 point[], size_t n)
{
    hw_body b = {.kind = HW_BODY_HULL, .frame = frame, .point = point, .points = n};
    if (n == 0) return b;
    hw_vec3 low = point[0], high = point[0];
    for (size_t i = 1; i < n; i++) {
        low = (hw_vec3){fmin(low.x, point[i].x), fmin(low.y, point[i].y), fmin(low.z, point[i].z)};
        high =
            (hw_vec3){fmax(high.x, point[i].x), fmax(high.y, point[i].y), fmax(high.z, point[i].z)};
    }
    hw_vec3 middle = hw_vec3_times(hw_vec3_add(low, high), 0.5);
    b.half = hw_vec3_times(hw_vec3_sub(high, low), 0.5);
    b.frame.at = hw_frame_point(&frame, middle);
    for (size_t i = 0; i < n; i++) point[i] = hw_vec3_sub(point[i], middle);
    return b;
}

hw_vec3 hw_hull_support(const core_shape *c, hw_vec3 n)
{
    hw_frame f = {c->at, c->edge[0], c->edge[1], c->edge[2]};
    hw_vec3 own = {hw_vec3_dot(n, f.x), hw_vec3_dot(n, f.y), hw_vec3_dot(n, f.z)};
    size_t best = 0;
    double most = -INFINITY;
    for (size_t i = 0; i < c->points; i++) {
        double along = hw_vec3_dot(c->point[i], own);
        if (along > most) most = along, best = i;
    }
    return hw_frame_point(&f, c->point[best]);
}

// ---- depth --------------------------------------------------------------------------------------

// How far b must be moved along the unit vector n to come free of a.
static double way_out(const core_shape *a, const core_shape *b, hw_vec3 n) // [m]
{
    hw_vec3 p = hw_core_support(a, n), q = hw_core_support(b, hw_vec3_times(n, -1));
    return hw_vec3_dot(hw_vec3_sub(p, q), n);
}

// From the place that b comes free to along n, the way to the nearest place of a: a way out that is
// never longer. Where nothing is gained, n is a facet's own normal.
static double push(const core_shape *a, const core_shape *b, hw_vec3 *n)
{
    double depth = way_out(a, b, *n), gap = 0.05 * hw_core_size(a, b);
    for (int i = 0; i < PUSHES; i++) {
        core_shape free = *b;
        free.at = hw_vec3_along(b->at, depth + gap, *n);
        hw_vec3 at[2];
        double distance;
        if (!hw_core_apart(a, &free, 0, -1, at, &distance)) break;
        hw_vec3 to = hw_vec3_unit(hw_vec3_sub(at[1], at[0]));
        double now = way_out(a, b, to);
        if (!(now < depth)) break;
        bool done = depth - now < 1e-9 * gap;
        depth = now;
        *n = to;
        if (done) break;
    }
    return depth;
}

// The shortest ways out over a spiral of directions are pushed on from; the next ones differ from
// those before.
double hw_hull_depth(const core_shape *a, const core_shape *b, hw_vec3 *direction)
{
    hw_vec3 n[SPREAD];
    double h[SPREAD], best = INFINITY;
    for (int i = 0; i < SPREAD; i++) {
        double z = 1 - (2 * i + 1.0) / SPREAD, r = sqrt(1 - z * z), angle = 2.399963229728653 * i;
        n[i] = (hw_vec3){r * cos(angle), r * sin(angle), z};
        h[i] = way_out(a, b, n[i]);
    }
    for (int k = 0; k < TRIED; k++) {
        int least = 0;
        for (int i = 1; i < SPREAD; i++)
            if (h[i] < h[least]) least = i;
        if (isinf(h[least])) break;
        hw_vec3 to = n[least];
        double depth = push(a, b, &to);
        if (depth < best) best = depth, *direction = to;
        hw_vec3 from = n[least];
        for (int i = 0; i < SPREAD; i++)
            if (hw_vec3_dot(n[i], from) > 0.95) h[i] = INFINITY;
    }
    return fmax(best, 0);
}
