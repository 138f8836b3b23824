// How deep two cores that meet stand in each other: the least support of their Minkowski difference
// over all directions.
//
// The difference is a sum of edges (and discs): its support along n is h(n) = sum half_i |edge_i n|
// + sum disc_k |n - (n axis_k) axis_k| - |c n|, c between the middles. From inside, the nearest
// place of a convex body's surface lies where the surface has one normal: on a facet (square to two
// edges, or a disc's own), on a strip that an edge draws along a rim (square to that edge), or,
// where two discs roll on each other, on their round. Facets are tried one by one, strips by a
// search round a circle, rounds from many starts.
#include "palm/body_internal.h"

#include <float.h>

enum { EDGES = 6, ROUND = 48, POLISH = 60, STARTS = 200, NEWTON = 40 };

typedef struct both {
    hw_vec3 c;
    hw_vec3 edge[EDGES];
    double half[EDGES];
    int edges;
    hw_vec3 axis[2];
    double disc[2];
    int discs;
} both;

typedef struct least {
    double depth;
    hw_vec3 n; // from a to b
} least;

static void add(both *m, const core_shape *s)
{
    for (int i = 0; i < s->edges; i++) {
        m->edge[m->edges] = s->edge[i];
        m->half[m->edges++] = s->half[i];
    }
    if (s->disc > 0) {
        m->axis[m->discs] = s->axis;
        m->disc[m->discs++] = s->disc;
    }
}

static double off_axis(hw_vec3 n, hw_vec3 axis)
{
    return hw_vec3_norm(hw_vec3_cross(n, axis));
}

// Along a unit vector n, either way: the nearer of the two sides is taken.
static double support(const both *m, hw_vec3 n) // [m]
{
    double h = -fabs(hw_vec3_dot(m->c, n));
    for (int i = 0; i < m->edges; i++) h += m->half[i] * fabs(hw_vec3_dot(m->edge[i], n));
    for (int k = 0; k < m->discs; k++) h += m->disc[k] * off_axis(n, m->axis[k]);
    return h;
}

static double offer(const both *m, hw_vec3 n, least *best)
{
    double h = support(m, n);
    if (h < best->depth) *best = (least){h, n};
    return h;
}

static hw_vec3 on_circle(hw_vec3 u, hw_vec3 v, double angle)
{
    return hw_vec3_along(hw_vec3_times(u, cos(angle)), sin(angle), v);
}

// Narrows a dip between two angles by the golden section.
static void polish_circle(const both *m, hw_vec3 u, hw_vec3 v, double a, double b, least *best)
{
    const double golden = 0.6180339887498949;
    double p = b - golden * (b - a), q = a + golden * (b - a);
    double fp = support(m, on_circle(u, v, p)), fq = support(m, on_circle(u, v, q));
    for (int k = 0; k < POLISH; k++) {
        if (fp < fq) {
            b = q;
            q = p;
            fq = fp;
            p = b - golden * (b - a);
            fp = support(m, on_circle(u, v, p));
        } else {
            a = p;
            p = q;
            fp = fq;
            q = a + golden * (b - a);
            fq = support(m, on_circle(u, v, q));
        }
    }
    offer(m, on_circle(u, v, (a + b) / 2), best);
}

// All normals square to one direction; half a circle holds them, as n and -n are one.
static void search_circle(const both *m, hw_vec3 square_to, least *best)
{
    hw_vec3 u = hw_vec3_square(square_to), v = hw_vec3_cross(square_to, u);
    const double step = HW_PI / ROUND;
    double h[ROUND];
    for (int i = 0; i < ROUND; i++) h[i] = support(m, on_circle(u, v, i * step));
    for (int i = 0; i < ROUND; i++)
        if (h[i] <= h[(i + ROUND - 1) % ROUND] && h[i] <= h[(i + 1) % ROUND])
            polish_circle(m, u, v, (i - 1) * step, (i + 1) * step, best);
}

// Gradient and curvature of the support on the sphere at n, in the plane square to n.
typedef struct slope {
    hw_vec3 u, v;
    double g[2], h[3];
} slope;

static slope slope_at(const both *m, hw_vec3 n)
{
    slope s = {.u = hw_vec3_square(n)};
    s.v = hw_vec3_cross(n, s.u);
    double at = support(m, n);
    hw_vec3 p = hw_vec3_times(m->c, hw_vec3_dot(m->c, n) > 0 ? -1 : 1);
    for (int i = 0; i < m->edges; i++)
        p = hw_vec3_along(p, hw_vec3_dot(m->edge[i], n) < 0 ? -m->half[i] : m->half[i], m->edge[i]);
    s.h[0] = s.h[2] = -at;
    for (int k = 0; k < m->discs; k++) {
        hw_vec3 flat = hw_vec3_along(n, -hw_vec3_dot(m->axis[k], n), m->axis[k]);
        double wide = hw_vec3_norm(flat);
        if (wide <= 0) continue;
        p = hw_vec3_along(p, m->disc[k] / wide, flat);
        hw_vec3 t = hw_vec3_times(hw_vec3_cross(m->axis[k], flat), 1 / wide);
        double tu = hw_vec3_dot(t, s.u), tv = hw_vec3_dot(t, s.v), k1 = m->disc[k] / wide;
        s.h[0] += k1 * tu * tu;
        s.h[1] += k1 * tu * tv;
        s.h[2] += k1 * tv * tv;
    }
    s.g[0] = hw_vec3_dot(p, s.u);
    s.g[1] = hw_vec3_dot(p, s.v);
    return s;
}

// Newton's step where the support is curved like a bowl, otherwise downhill by up to 0.3 rad.
static void direction_down(const slope *s, double d[2])
{
    double det = s->h[0] * s->h[2] - s->h[1] * s->h[1];
    if (s->h[0] > 0 && det > 0) {
        d[0] = -(s->h[2] * s->g[0] - s->h[1] * s->g[1]) / det;
        d[1] = -(s->h[0] * s->g[1] - s->h[1] * s->g[0]) / det;
    } else {
        d[0] = -s->g[0];
        d[1] = -s->g[1];
    }
    double len = hypot(d[0], d[1]), most = 0.3;
    bool downhill = s->h[0] > 0 && det > 0 ? len > most : len > 0;
    if (downhill) {
        d[0] *= most / len;
        d[1] *= most / len;
    }
}

static void polish_round(const both *m, hw_vec3 n, least *best)
{
    double h = support(m, n);
    for (int k = 0; k < NEWTON; k++) {
        slope s = slope_at(m, n);
        double d[2], step = 1, lower = h;
        direction_down(&s, d);
        hw_vec3 to = n;
        for (int half = 0; half < 30; half++, step /= 2) {
            hw_vec3 move = hw_vec3_along(hw_vec3_times(s.u, step * d[0]), step * d[1], s.v);
            to = hw_vec3_unit(hw_vec3_add(n, move));
            lower = support(m, to);
            if (lower < h) break;
        }
        if (!(lower < h)) break;
        n = to;
        h = lower;
    }
    offer(m, n, best);
}

// Directions spread over half the sphere in a spiral; the ones lower than all within 0.25 rad are
// starts.
static void search_round(const both *m, least *best)
{
    hw_vec3 n[STARTS];
    double h[STARTS];
    for (int i = 0; i < STARTS; i++) {
        double z = (i + 0.5) / STARTS, r = sqrt(1 - z * z), turn = 2.399963229728653 * i;
        n[i] = (hw_vec3){r * cos(turn), r * sin(turn), z};
        h[i] = support(m, n[i]);
    }
    for (int i = 0; i < STARTS; i++) {
        bool lowest = true;
        for (int k = 0; k < STARTS && lowest; k++)
            lowest = k == i || h[k] >= h[i] || fabs(hw_vec3_dot(n[i], n[k])) < 0.969;
        if (lowest) polish_round(m, n[i], best);
    }
}

double hw_core_depth(const core_shape *a, const core_shape *b, hw_vec3 *direction)
{
    if (a->points || b->points) return hw_hull_depth(a, b, direction);
    both m = {.c = hw_vec3_sub(b->at, a->at)};
    add(&m, a);
    add(&m, b);
    least best = {INFINITY, {1, 0, 0}};
    // cores without thickness meet in a point or along a line: square to both is depth 0
    if (m.edges == 2 && m.discs == 0) offer(&m, hw_vec3_square(m.edge[0]), &best);
    for (int i = 0; i < m.edges; i++)
        for (int k = i + 1; k < m.edges; k++) {
            hw_vec3 n = hw_vec3_cross(m.edge[i], m.edge[k]);
            double len = hw_vec3_norm(n);
            if (len > 1e-9) offer(&m, hw_vec3_times(n, 1 / len), &best);
        }
    for (int k = 0; k < m.discs; k++) offer(&m, m.axis[k], &best);
    if (m.discs)
        for (int i = 0; i < m.edges; i++) search_circle(&m, m.edge[i], &best);
    if (m.discs == 2) search_round(&m, &best);
    double side = hw_vec3_dot(m.c, best.n);
    *direction = side < 0 ? hw_vec3_times(best.n, -1) : best.n;
    return fmax(best.depth, 0);
}
