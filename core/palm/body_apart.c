// Two convex cores that may stand apart: the simplex walk of Gilbert, Johnson and Keerthi.
#include "palm/body_internal.h"

#include <float.h>

enum { WALK_STEPS = 300 };

typedef struct corner {
    hw_vec3 d, p, q; // q - p of a pair of places, one on each core
} corner;

typedef struct simplex {
    corner at[4];
    double share[4]; // of the nearest point
    int n;
} simplex;

// The nearest point to the origin of a triangle's feature that it lies over. Ericson's regions.
static void of_segment(const corner *a, const corner *b, simplex *out)
{
    hw_vec3 ab = hw_vec3_sub(b->d, a->d);
    double t = -hw_vec3_dot(a->d, ab), len = hw_vec3_dot(ab, ab);
    if (t <= 0 || len <= 0)
        *out = (simplex){{*a}, {1}, 1};
    else if (t >= len)
        *out = (simplex){{*b}, {1}, 1};
    else
        *out = (simplex){{*a, *b}, {1 - t / len, t / len}, 2};
}

static hw_vec3 nearest(const simplex *s)
{
    hw_vec3 v = {0, 0, 0};
    for (int i = 0; i < s->n; i++) v = hw_vec3_along(v, s->share[i], s->at[i].d);
    return v;
}

static void keep_nearer(const simplex *one, simplex *best, double *least)
{
    hw_vec3 v = nearest(one);
    double far = hw_vec3_dot(v, v);
    if (far < *least) {
        *least = far;
        *best = *one;
    }
}

// Inside of its three edges the triangle's own plane, otherwise the nearest of the edges: slower
// than a decision tree, and right for slivers.
static void of_triangle(const corner *a, const corner *b, const corner *c, simplex *out)
{
    double least = INFINITY;
    simplex one;
    const corner *v[3] = {a, b, c};
    for (int i = 0; i < 3; i++) {
        of_segment(v[i], v[(i + 1) % 3], &one);
        keep_nearer(&one, out, &least);
    }
    hw_vec3 n = hw_vec3_cross(hw_vec3_sub(b->d, a->d), hw_vec3_sub(c->d, a->d));
    double w[3], all = hw_vec3_dot(n, n);
    if (!(all > 0)) return;
    for (int i = 0; i < 3; i++) {
        w[i] = hw_vec3_dot(n, hw_vec3_cross(v[(i + 1) % 3]->d, v[(i + 2) % 3]->d));
        if (w[i] <= 0) return;
    }
    double sum = w[0] + w[1] + w[2];
    one = (simplex){{*a, *b, *c}, {w[0] / sum, w[1] / sum, w[2] / sum}, 3};
    keep_nearer(&one, out, &least);
}

static double volume(hw_vec3 a, hw_vec3 b, hw_vec3 c) // six times, signed [m^3]
{
    return hw_vec3_dot(a, hw_vec3_cross(b, c));
}

// True: the origin lies inside, as far as rounding shows.
static bool of_tetrahedron(const simplex *s, simplex *out)
{
    const corner *v = s->at;
    double whole = volume(hw_vec3_sub(v[1].d, v[0].d), hw_vec3_sub(v[2].d, v[0].d),
                          hw_vec3_sub(v[3].d, v[0].d));
    double w[4] = {volume(v[1].d, v[2].d, v[3].d), -volume(v[0].d, v[2].d, v[3].d),
                   volume(v[0].d, v[1].d, v[3].d), -volume(v[0].d, v[1].d, v[2].d)};
    bool inside = whole != 0;
    for (int i = 0; i < 4; i++) inside = inside && w[i] / whole > 0;
    if (inside) return true;
    double least = INFINITY;
    for (int i = 0; i < 4; i++) {
        simplex one;
        of_triangle(&v[(i + 1) % 4], &v[(i + 2) % 4], &v[(i + 3) % 4], &one);
        keep_nearer(&one, out, &least);
    }
    return false;
}

// The simplex becomes its smallest part that holds the nearest point. True: the origin is inside.
static bool reduce(simplex *s)
{
    simplex in = *s;
    if (in.n == 1)
        s->share[0] = 1;
    else if (in.n == 2)
        of_segment(&in.at[0], &in.at[1], s);
    else if (in.n == 3)
        of_triangle(&in.at[0], &in.at[1], &in.at[2], s);
    else
        return of_tetrahedron(&in, s);
    return false;
}

static corner farthest(const core_shape *a, const core_shape *b, hw_vec3 v)
{
    corner c;
    c.p = hw_core_support(a, v);
    c.q = hw_core_support(b, hw_vec3_times(v, -1));
    c.d = hw_vec3_sub(c.q, c.p);
    return c;
}

static void places(const simplex *s, hw_vec3 at[2])
{
    at[0] = at[1] = (hw_vec3){0, 0, 0};
    for (int i = 0; i < s->n; i++) {
        at[0] = hw_vec3_along(at[0], s->share[i], s->at[i].p);
        at[1] = hw_vec3_along(at[1], s->share[i], s->at[i].q);
    }
}

static bool among(const simplex *s, const corner *c)
{
    for (int i = 0; i < s->n; i++)
        if (s->at[i].d.x == c->d.x && s->at[i].d.y == c->d.y && s->at[i].d.z == c->d.z) return true;
    return false;
}

bool hw_core_apart(const core_shape *a, const core_shape *b, double least, double enough,
                   hw_vec3 *at, double *distance)
{
    double rounding =
        4 * DBL_EPSILON * (hw_core_size(a, b) + hw_vec3_norm(hw_vec3_sub(b->at, a->at)));
    hw_vec3 v = hw_vec3_sub(b->at, a->at);
    simplex s = {.n = 0};
    double best = INFINITY;
    for (int step = 0; step < WALK_STEPS; step++) {
        corner c = farthest(a, b, v);
        double len = hw_vec3_norm(v);
        // the plane square to v at `cut` has both cores on its two sides
        double cut = len > 0 ? hw_vec3_dot(v, c.d) / len : 0;
        if (s.n && (len - cut <= rounding || among(&s, &c))) break;
        if (enough >= 0 && cut > enough) {
            *distance = cut;
            places(&s, at);
            return true;
        }
        simplex was = s;
        s.at[s.n++] = c;
        if (reduce(&s)) return false;
        v = nearest(&s);
        double now = hw_vec3_norm(v);
        if (now <= least) return false;
        if (now >= best) { // rounding has the last word
            if (was.n) s = was;
            break;
        }
        best = now;
    }
    places(&s, at);
    *distance = hw_vec3_norm(nearest(&s));
    return *distance > least;
}
