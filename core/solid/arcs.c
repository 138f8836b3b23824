// Profiles with arcs: area, what lies inside, and arcs found in polygons.
#include "solid/region.h"

#include <math.h>

static double cross2(hw_vec2 a, hw_vec2 b)
{
    return a.x * b.z - a.z * b.x;
}

// ---- area and inside --------------------------------------------------------------------------

// Area between an arc and its chord, over the chord's square, counter-clockwise positive. [1]
static double segment(double bulge) // [1]
{
    if (fabs(bulge) < 1e-4) return bulge / 3; // the next term is 0.4 bulge^2 of it
    double angle = 4 * atan(bulge), radius = (1 + bulge * bulge) / (4 * bulge); // of a chord of 1
    return radius * radius * (angle - sin(angle)) / 2;
}

double hw_profile_area(const hw_profile *p)
{
    double sum = 0;
    for (size_t i = 0; i < p->n; i++) {
        // about the first corner, so that a profile far from the origin keeps its digits
        hw_vec2 a = hw_sub(p->corner[i].at, p->corner[0].at);
        hw_vec2 b = hw_sub(p->corner[i + 1 < p->n ? i + 1 : 0].at, p->corner[0].at);
        hw_vec2 chord = hw_sub(b, a);
        sum += cross2(a, b) / 2 + segment(p->corner[i].bulge) * hw_dot(chord, chord);
    }
    return sum;
}

double hw_region_area(const hw_region *r)
{
    double sum = 0;
    for (size_t i = 0; i < r->rings; i++) sum += hw_profile_area(&r->ring[i]);
    return sum;
}

// Is p between the arc from a to b and its chord?
static bool in_segment(hw_vec2 a, hw_vec2 b, double bulge, hw_vec2 p) // [1]
{
    if (bulge == 0) return false;
    hw_vec2 chord = hw_sub(b, a), half = hw_scale(chord, 0.5);
    double side = cross2(chord, hw_sub(p, a)); // the arc bulges to the right of a->b where it is
                                               // counter-clockwise
    if (bulge > 0 ? side > 0 : side < 0) return false;
    double up = (1 - bulge * bulge) / (2 * bulge);
    hw_vec2 arm = {-half.z * up, half.x * up};
    hw_vec2 centre = hw_add(hw_add(a, half), arm);
    double radius = hw_norm(half) * (1 + bulge * bulge) / (2 * fabs(bulge));
    return hw_norm(hw_sub(p, centre)) < radius;
}

bool hw_region_holds(const hw_region *r, hw_vec2 at)
{
    bool in = false;
    for (size_t k = 0; k < r->rings; k++) {
        const hw_profile *p = &r->ring[k];
        for (size_t i = 0; i < p->n; i++) {
            hw_vec2 a = p->corner[i].at, b = p->corner[i + 1 < p->n ? i + 1 : 0].at;
            if ((a.z > at.z) != (b.z > at.z) &&
                at.x < a.x + (b.x - a.x) * ((at.z - a.z) / (b.z - a.z)))
                in = !in;
            if (in_segment(a, b, p->corner[i].bulge, at)) in = !in;
        }
    }
    return in;
}

// ---- arcs in polygons -------------------------------------------------------------------------

static const double most_chord = 40 * HW_PI / 180; // that still counts as part of an arc [rad]
enum { LEAST_RUN = 4 };                            // chords

typedef struct finder {
    const hw_polygon *p;
    double tolerance; // [m]
} finder;

static hw_vec2 point(const finder *f, size_t i)
{
    return f->p->at[i % f->p->n];
}

static bool circle_through(hw_vec2 a, hw_vec2 b, hw_vec2 c, hw_circle *out)
{
    hw_vec2 u = hw_sub(b, a), v = hw_sub(c, a);
    double d = 2 * cross2(u, v), uu = hw_dot(u, u), vv = hw_dot(v, v);
    if (fabs(d) <= 1e-9 * (uu + vv)) return false; // a straight line, as far as can be told
    hw_vec2 arm = {(v.z * uu - u.z * vv) / d, (u.x * vv - v.x * uu) / d};
    *out = (hw_circle){hw_add(a, arm), hw_norm(arm)};
    return true;
}

// Signed angle from one point to the next, seen from the circle's centre. [rad]
static double turn_of(const finder *f, const hw_circle *c, size_t from)
{
    hw_vec2 p = hw_sub(point(f, from), c->at), q = hw_sub(point(f, from + 1), c->at);
    return atan2(cross2(p, q), hw_dot(p, q));
}

// Are points `from` to `from + chords` those of one arc, up to a whole circle?
static bool is_arc(const finder *f, size_t from, size_t chords, hw_circle *c)
{
    if (!circle_through(point(f, from), point(f, from + (chords + 1) / 3),
                        point(f, from + 2 * chords / 3), c))
        return false;
    double whole = 0;
    for (size_t i = 0; i < chords; i++) {
        double turn = turn_of(f, c, from + i), sagitta = c->radius * (1 - cos(turn / 2));
        double off = fabs(hw_norm(hw_sub(point(f, from + i + 1), c->at)) - c->radius);
        if (off > f->tolerance || sagitta > 2 * f->tolerance) return false;
        if (fabs(turn) > most_chord || turn * whole < 0) return false;
        whole += turn;
    }
    return fabs(whole) <= 2 * HW_PI + 1e-6;
}

// How many chords from point `from` on make one arc, up to `most`; 0: none.
static size_t longest_run(const finder *f, size_t from, size_t most, hw_circle *c)
{
    size_t best = 0;
    hw_circle one;
    for (size_t n = LEAST_RUN; n <= most && is_arc(f, from, n, &one); n++) {
        best = n;
        *c = one;
    }
    return best;
}

// Corners of an arc: one, or two where it is more than half a turn. Returns how many.
static size_t put_arc(const finder *f, size_t from, size_t chords, const hw_circle *c,
                      hw_corner *out)
{
    double whole = 0, part = 0;
    size_t n = 0;
    for (size_t i = 0; i < chords; i++) whole += turn_of(f, c, from + i);
    size_t parts = fabs(whole) > HW_PI + 1e-6 ? 2 : 1, begin = from;
    for (size_t i = 1; i <= chords; i++) {
        part += turn_of(f, c, from + i - 1);
        if (i != chords && (parts == 1 || n == 1 || 2 * i < chords)) continue;
        out[n++] = (hw_corner){point(f, begin), tan(part / 4)};
        begin = from + i;
        part = 0;
    }
    return n;
}

// Where the longest side ends: no arc passes there, unless there are arcs only.
static size_t after_longest(const finder *f)
{
    size_t n = f->p->n, best = 0;
    double most = 0;
    for (size_t i = 0; i < n; i++) {
        double length = hw_norm(hw_sub(point(f, i + 1), point(f, i)));
        if (length <= most * (1 + 1e-6)) continue; // of equal ones the first
        most = length;
        best = i + 1;
    }
    return best;
}

hw_code hw_profile_of_polygon(hw_arena *keep, const hw_polygon *polygon, double tolerance,
                              hw_profile *out)
{
    *out = (hw_profile){0};
    if (polygon->n < 3 || !(tolerance > 0)) return HW_BAD_INPUT;
    for (size_t i = 0; i < polygon->n; i++)
        if (!isfinite(polygon->at[i].x) || !isfinite(polygon->at[i].z)) return HW_BAD_INPUT;
    hw_corner *corner = HW_NEW(keep, hw_corner, polygon->n);
    if (!corner) return HW_NO_MEMORY;
    finder f = {polygon, tolerance};
    size_t start = after_longest(&f), n = 0;
    for (size_t i = 0; i < polygon->n;) {
        hw_circle c;
        size_t run = longest_run(&f, start + i, polygon->n - i, &c);
        if (run)
            n += put_arc(&f, start + i, run, &c, &corner[n]);
        else
            corner[n++] = (hw_corner){point(&f, start + i), 0};
        i += run ? run : 1;
    }
    *out = (hw_profile){corner, n};
    return HW_OK;
}
