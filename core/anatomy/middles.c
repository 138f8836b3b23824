// Middle lines of a digit's segments: where two of them cross a bent joint shows its place along
// the digit, and the first one prolonged shows the knuckle's across it.
#include "anatomy/scan_internal.h"

#include <math.h>

static const double ROOT2 = 1.4142135623730951;
enum { CUTS = 5, LEAST = 3 };              // sections of a segment; fewer make no line
static const double BLIND = 2 * HW_PI / 5; // more hides a side: a web, a neighbour, a hole [rad]
static const double STRAIGHT = 0.02;       // below it lines cross anywhere, with no weight [rad]

// ---- a segment's middle line ------------------------------------------------------------------

// How far from a joint the crease of its bend reaches into a segment that runs `way` from or to it:
// two tubes that bend meet that far in; and picks may be off.
static double crease(const hw_mark *m, hw_vec3 way) // [m]
{
    double c = fmin(fabs(hw_vec3_dot(m->along, way)), 1), half = fmin(acos(c), 1);
    return 0.5 * m->thickness * tan(half) + m->sd[0];
}

// Places along a segment between which it is cut. First segments are free of webs and of the
// thumb's ball in their farther half only; a tip's ball begins before its end. False: creases
// leave nothing.
static bool reach_of(const hw_mark *a, int joint, hw_vec3 way, double length, double *from,
                     double *to) // [m]
{
    static const double share[HW_SEGMENTS][2] = {{0.55, 0.85}, {0.3, 0.7}, {0.3, 0.6}};
    *from = share[joint][0] * length;
    *to = share[joint][1] * length;
    if (joint > 0) *from = fmax(*from, crease(a, way));
    if (joint < 2) *to = fmin(*to, length - crease(a + 1, way));
    return *to - *from > 0.1 * length;
}

typedef struct cuts {
    hw_vec3 at[CUTS];
    double place[CUTS]; // along the segment [m]
    size_t n;
} cuts;

// The line of least squares, each of its coordinates over the place along the segment.
static void fit_line(const cuts *c, hw_middle *out)
{
    double mean = 0, square = 0;
    hw_vec3 sum = {0, 0, 0}, slope = {0, 0, 0};
    for (size_t k = 0; k < c->n; k++) {
        mean += c->place[k] / (double)c->n;
        sum = hw_vec3_add(sum, c->at[k]);
    }
    out->at = hw_vec3_times(sum, 1 / (double)c->n);
    for (size_t k = 0; k < c->n; k++) {
        double d = c->place[k] - mean;
        square += d * d;
        slope = hw_vec3_along(slope, d, hw_vec3_sub(c->at[k], out->at));
    }
    out->way = hw_vec3_way(slope);
    out->cuts = c->n;
    out->square = square;
}

static double off_line(const hw_middle *m, hw_vec3 at) // [m]
{
    hw_vec3 d = hw_vec3_sub(at, m->at);
    return hw_vec3_norm(hw_vec3_along(d, -hw_vec3_dot(d, m->way), m->way));
}

// Leaves out the section farthest from the line until all are near it. False: too few are.
static bool straighten(cuts *c, double limit, hw_middle *out) // [m]
{
    for (; c->n >= LEAST; c->n--) {
        size_t worst = 0;
        fit_line(c, out);
        for (size_t k = 1; k < c->n; k++)
            if (off_line(out, c->at[k]) > off_line(out, c->at[worst])) worst = k;
        if (off_line(out, c->at[worst]) <= limit) return true;
        for (size_t k = worst; k + 1 < c->n; k++) {
            c->at[k] = c->at[k + 1];
            c->place[k] = c->place[k + 1];
        }
    }
    return false;
}

static hw_middle middle_of(const hw_scanner *s, int mark)
{
    const hw_mark *a = &s->mark[mark], *b = a + 1;
    const int joint = (mark - 1) % 4;
    hw_middle out = {.known = false};
    if (!a->known || !b->known) return out;
    hw_vec3 way = hw_vec3_sub(b->at, a->at);
    // a tip has no back of its own
    hw_vec3 back = joint == 2 ? a->deep : hw_vec3_add(a->deep, b->deep);
    double length = hw_vec3_norm(way), from, to;
    hw_frame f = {.x = hw_vec3_way(way)};
    f.z = hw_vec3_way(hw_vec3_along(back, -hw_vec3_dot(back, f.x), f.x));
    f.y = hw_vec3_cross(f.z, f.x);
    if (!isfinite(f.y.x) || !reach_of(a, joint, f.x, length, &from, &to)) return out;
    double reach = fmax(a->thickness, b->thickness); // twice the radius
    cuts c = {.n = 0};
    for (int k = 0; k < CUTS; k++) {
        double place = from + (to - from) * k / (CUTS - 1);
        hw_scan_ring ring;
        f.at = hw_vec3_along(a->at, place, f.x);
        if (!hw_scan_section(s, &f, reach, &ring) || ring.blind > BLIND) continue;
        c.at[c.n] = ring.centre;
        c.place[c.n++] = place;
    }
    out.known = straighten(&c, hypot(s->def.noise, s->def.middle), &out);
    return out;
}

void hw_scan_middles(const hw_scanner *s, hw_middle out[HW_MARKS])
{
    for (int mark = 0; mark < HW_MARKS; mark++) {
        bool tip = mark == HW_MARK_WRIST || (mark - 1) % 4 == 3;
        out[mark] = (hw_middle){.known = false};
        if (!tip) out[mark] = middle_of(s, mark);
    }
}

// ---- what they say of a joint -----------------------------------------------------------------

// Deviation of a line `away` from the middle of its sections, each of whose centres is good to a
// third of the surface's noise; `own` is what flesh strays from a line.
static double stray(const hw_scanner *s, const hw_middle *m, double away, double own) // [m]
{
    double cut = s->def.noise / 3;
    return hypot(own, cut * sqrt(1 / (double)m->cuts + away * away / m->square));
}

// The mean of nothing and `seen`, each with the weight of its variance. Where they contradict each
// other by more than three deviations the line is no line of this joint; so nothing is moved by
// more than three deviations of what was known before.
static double fuse(double seen, double seen_sd, double *sd) // [m]
{
    double both = hypot(*sd, seen_sd), share = *sd / both * (*sd / both);
    if (!(fabs(seen) <= 3 * both)) return 0;
    *sd *= seen_sd / both;
    return share * seen;
}

double hw_scan_crossing(const hw_scanner *s, const hw_middle line[HW_MARKS], int mark,
                        const hw_mark *m, double *sd)
{
    const bool ball = mark == hw_mark_of(0, 1); // the line before comes out of the thumb's ball
    double a[2], d[2], level[2], own[2];
    for (int k = 0; k < 2; k++) {
        const hw_middle *l = &line[mark - 1 + k];
        if (!l->known) return 0;
        hw_vec3 p = hw_vec3_sub(l->at, m->at);
        double x = hw_vec3_dot(l->way, m->along), z = hw_vec3_dot(l->way, m->deep);
        a[k] = x / hypot(x, z);
        d[k] = z / hypot(x, z);
        level[k] = a[k] * hw_vec3_dot(p, m->deep) - d[k] * hw_vec3_dot(p, m->along);
        own[k] = stray(s, l, hw_vec3_norm(p), ball && k == 0 ? s->def.base : s->def.middle);
    }
    // both lines in the plane of along and deep: a z - d x = level
    double turn = a[0] * d[1] - a[1] * d[0];
    if (!(fabs(turn) > STRAIGHT)) return 0;
    return fuse((level[0] * a[1] - level[1] * a[0]) / turn,
                hypot(own[0] * a[1], own[1] * a[0]) / fabs(turn), sd);
}

double hw_scan_prolonged(const hw_scanner *s, const hw_middle *first, const hw_mark *m, double *sd)
{
    if (!first->known) return 0;
    hw_vec3 p = hw_vec3_sub(first->at, m->at);
    double x = hw_vec3_dot(first->way, m->along), z = hw_vec3_dot(first->way, m->deep);
    double px = hw_vec3_dot(p, m->along), pz = hw_vec3_dot(p, m->deep);
    // to where it passes the joint, seen from the side
    double to = -(x * px + z * pz) / (x * x + z * z), miss = hypot(px + to * x, pz + to * z);
    // what is across leans with the picks from back to palm, or with the skin under the only one
    bool both = m->faces[HW_DORSAL] && m->faces[HW_PALMAR];
    double lean = s->def.pick / m->thickness * (both ? 1 : ROOT2);
    double own = hypot(s->def.base, lean * miss);
    return fuse(hw_vec3_dot(p, m->across) + to * hw_vec3_dot(first->way, m->across),
                stray(s, first, to, own), sd);
}
