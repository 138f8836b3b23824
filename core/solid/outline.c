#include "solid/solid.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_POINTS = 1 << 20 };

static double cross2(hw_vec2 a, hw_vec2 b)
{
    return a.x * b.z - a.z * b.x;
}

// ---- rounded hull -----------------------------------------------------------------------------

// How far a disc reaches along a direction.
static double support(const hw_circle *d, hw_vec2 u)
{
    return hw_dot(d->at, u) + d->radius;
}

// Outward normal of the tangent that touches a, then b, counter-clockwise. False: one disc holds
// the other.
static bool tangent(const hw_circle *a, const hw_circle *b, hw_vec2 *normal)
{
    hw_vec2 d = hw_sub(b->at, a->at);
    double len = hw_norm(d), drop = a->radius - b->radius;
    if (!(len > fabs(drop))) return false;
    double c = drop / len, s = sqrt((1 - c) * (1 + c));
    hw_vec2 u = {d.x / len, d.z / len};
    *normal = (hw_vec2){u.x * c + u.z * s, u.z * c - u.x * s}; // u turned by -acos(c)
    return true;
}

// Counter-clockwise angle from a to b, 0 to 2 pi.
static double turn_to(hw_vec2 a, hw_vec2 b)
{
    double t = atan2(cross2(a, b), hw_dot(a, b));
    return t < 0 ? t + 2 * HW_PI : t;
}

// Directions that differ by less are one, and a disc that reaches beyond another by less, of the
// extent, is held by it: the tangents of discs that touch from inside are not known better. [rad]
static const double same_turn = 1e-10;

// A candidate for the next disc: how far to turn, how far along the tangent, how large.
typedef struct reach {
    double turn, along, radius; // [rad] [m] [m]
} reach;

// Least turn first, of equal ones the farthest contact, of equal ones the larger disc (a disc that
// touches it there from inside is not on the hull). Angles and ratios within their rounding are
// equal.
static bool better(const reach *a, const reach *b)
{
    if (fabs(a->turn - b->turn) > same_turn) return a->turn < b->turn;
    if (fabs(a->along - b->along) > 1e-9 * b->along) return a->along > b->along;
    return a->radius > b->radius;
}

// The disc that the hull turns onto after `from`, whose arc begins with normal `n`; count: none.
static size_t next_disc(const hw_circle *disc, size_t count, size_t from, hw_vec2 n,
                        hw_vec2 *normal)
{
    size_t best = count;
    reach most = {INFINITY, 0, 0};
    for (size_t i = 0; i < count; i++) {
        hw_vec2 m;
        if (i == from || !tangent(&disc[from], &disc[i], &m)) continue;
        hw_vec2 d = hw_sub(disc[i].at, disc[from].at);
        reach r = {turn_to(n, m), fabs(cross2(m, d)), disc[i].radius};
        if (r.turn > 2 * HW_PI - same_turn) r.turn = 0; // the same direction, less rounding
        if (best < count && !better(&r, &most)) continue;
        best = i;
        most = r;
        *normal = m;
    }
    return best;
}

static bool discs_good(const hw_circle *disc, size_t n)
{
    bool extended = false;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(disc[i].at.x) || !isfinite(disc[i].at.z) || !isfinite(disc[i].radius) ||
            disc[i].radius < 0)
            return false;
        extended = extended || disc[i].radius > 0 || disc[i].at.x != disc[0].at.x ||
                   disc[i].at.z != disc[0].at.z;
    }
    return extended;
}

static void corner_at(hw_profile *out, hw_vec2 at, double bulge) // [1]
{
    out->corner[out->n++] = (hw_corner){at, bulge};
}

// The arc of a disc from normal a to normal b; half circles and more are cut in two so that the
// bulge stays small.
static void put_arc(hw_profile *out, const hw_circle *d, hw_vec2 a, double angle) // [rad]
{
    if (d->radius == 0) {
        corner_at(out, d->at, 0);
        return;
    }
    int parts = angle > 0.99 * HW_PI ? (angle > 1.99 * HW_PI ? 3 : 2) : 1;
    for (int i = 0; i < parts; i++) {
        double t = angle * i / parts, c = cos(t), s = sin(t);
        hw_vec2 n = {a.x * c - a.z * s, a.x * s + a.z * c};
        corner_at(out, hw_add(d->at, hw_scale(n, d->radius)), tan(angle / parts / 4));
    }
}

// The disc that reaches farthest down; of several, as far as can be told, the one farthest along
// +x, where a tangent below all of them ends, then the largest.
static size_t lowest(const hw_circle *disc, size_t n, double same) // [m]
{
    const hw_vec2 down = {0, -1};
    double most = -INFINITY;
    for (size_t i = 0; i < n; i++) most = fmax(most, support(&disc[i], down));
    size_t first = n;
    for (size_t i = 0; i < n; i++) {
        if (support(&disc[i], down) < most - same) continue;
        double x = disc[i].at.x, best = first < n ? disc[first].at.x : -(double)INFINITY;
        if (x > best || (x == best && disc[i].radius > disc[first].radius)) first = i;
    }
    return first;
}

// Wraps a tangent round the discs, from the lowest one through a full turn.
static hw_code wrap(const hw_circle *disc, size_t n, double same, hw_profile *out) // [m]
{
    const hw_vec2 down = {0, -1};
    const double full = 2 * HW_PI - 1e-9; // a turn, less the rounding of its parts [rad]
    size_t first = lowest(disc, n, same);
    hw_vec2 start, normal, next;
    size_t at = next_disc(disc, n, first, down, &start);
    if (at == n) {
        put_arc(out, &disc[first], (hw_vec2){1, 0}, 2 * HW_PI);
        return HW_OK;
    }
    double turned = turn_to(down, start);
    if (turned >= full) turned = 0;
    normal = start;
    for (size_t step = 0; step < 2 * n + 2; step++) {
        size_t to = next_disc(disc, n, at, normal, &next);
        if (to == n) return HW_BAD_INPUT;
        double t = turn_to(normal, next);
        if (t >= full) t = 0;
        bool closes = at == first && turned + t >= full;
        if (closes) {
            next = start;
            t = turn_to(normal, start);
        }
        put_arc(out, &disc[at], normal, t);
        if (disc[at].radius > 0)
            corner_at(out, hw_add(disc[at].at, hw_scale(next, disc[at].radius)), 0);
        if (closes) return HW_OK;
        turned += t;
        normal = next;
        at = to;
    }
    return HW_BAD_INPUT;
}

// The discs without those that reach beyond another one by at most `beyond`: where a disc touches
// another from inside, rounding decides whether it has tangents, and in which direction.
static size_t without_held(const hw_circle *disc, size_t n, double beyond, hw_circle *out) // [m]
{
    size_t kept = 0;
    for (size_t i = 0; i < n; i++) {
        bool held = false;
        for (size_t k = 0; k < n && !held; k++) {
            const hw_circle *d = k < i ? &out[k] : &disc[k];
            if (k == i || (k < i && k >= kept)) continue;
            held = hw_norm(hw_sub(d->at, disc[i].at)) + disc[i].radius <= d->radius + beyond;
        }
        if (!held) out[kept++] = disc[i];
    }
    return kept;
}

hw_code hw_profile_hull(hw_arena *keep, const hw_circle *disc, size_t n, hw_profile *out)
{
    *out = (hw_profile){0};
    if (n == 0 || n > MOST_POINTS || !discs_good(disc, n)) return HW_BAD_INPUT;
    out->corner = HW_NEW(keep, hw_corner, 8 * n + 16); // at most 2 n + 2 arcs of 3 parts and an end
    if (!out->corner) return HW_NO_MEMORY;
    hw_circle *apart = HW_NEW(keep, hw_circle, n);
    if (!apart) return HW_NO_MEMORY;
    double extent = 0;
    for (size_t i = 0; i < n; i++)
        extent = fmax(extent, hw_norm(hw_sub(disc[i].at, disc[0].at)) + disc[i].radius);
    double same = same_turn * extent;
    hw_code code = wrap(apart, without_held(disc, n, same, apart), same, out);
    if (code != HW_OK) *out = (hw_profile){0};
    return code;
}

// ---- polygons ---------------------------------------------------------------------------------

static size_t arc_parts(double radius, double angle, double deviation) // [m] [rad] [m]
{
    double parts = ceil(3 * angle / (2 * HW_PI)); // at least 3 a turn
    if (deviation < radius) {
        double most = 2 * acos(1 - deviation / radius);
        // acos loses its digits near 1: chord sagitta r (1 - cos) = 2 r sin^2(angle / 4)
        most = fmax(most, 0) > 1e-4 ? most : 4 * asin(sqrt(deviation / (2 * radius)));
        parts = fmax(parts, ceil(angle / most * (1 - 1e-9)));
    }
    return parts < MOST_POINTS ? (size_t)fmax(parts, 1) : MOST_POINTS;
}

size_t hw_circle_points(double radius, double deviation)
{
    if (!(radius > 0) || !(deviation > 0)) return 4;
    size_t n = arc_parts(radius, 2 * HW_PI, deviation);
    return (n + 3) / 4 * 4;
}

// Points of one side, its start included and its end not, at least one; counted only where `out` is
// NULL.
static size_t side_points(const hw_corner *a, const hw_corner *b, double deviation, // [m]
                          hw_vec2 *out)
{
    if (out) out[0] = a->at;
    hw_vec2 d = hw_sub(b->at, a->at);
    double chord = hw_norm(d), angle = 4 * atan(fabs(a->bulge));
    if (a->bulge == 0 || chord == 0) return 1;
    double radius = chord / (2 * sin(angle / 2));
    size_t parts = arc_parts(radius, angle, deviation);
    if (!out) return parts;
    // centre: half the chord, then k = (1 - bulge^2) / (4 bulge) chords to the left
    double k = (1 - a->bulge * a->bulge) / (4 * a->bulge);
    hw_vec2 centre = {a->at.x + d.x / 2 - k * d.z, a->at.z + d.z / 2 + k * d.x};
    hw_vec2 arm = hw_sub(a->at, centre);
    for (size_t i = 1; i < parts; i++) {
        double t = copysign(angle, a->bulge) * (double)i / (double)parts;
        double c = cos(t), s = sin(t);
        out[i] = (hw_vec2){centre.x + arm.x * c - arm.z * s, centre.z + arm.x * s + arm.z * c};
    }
    return parts;
}

hw_code hw_profile_polygon(hw_arena *keep, const hw_profile *profile, double deviation,
                           hw_polygon *out)
{
    *out = (hw_polygon){0};
    if (profile->n < 2 || !(deviation > 0)) return HW_BAD_INPUT;
    size_t total = 0;
    for (size_t i = 0; i < profile->n; i++) {
        const hw_corner *a = &profile->corner[i], *b = &profile->corner[(i + 1) % profile->n];
        if (!isfinite(a->at.x) || !isfinite(a->at.z) || !(fabs(a->bulge) <= 0x1p20))
            return HW_BAD_INPUT;
        total += side_points(a, b, deviation, NULL);
        if (total > MOST_POINTS) return HW_LIMIT;
    }
    hw_vec2 *at = HW_NEW(keep, hw_vec2, total);
    if (!at) return HW_NO_MEMORY;
    size_t n = 0;
    for (size_t i = 0; i < profile->n; i++)
        n += side_points(&profile->corner[i], &profile->corner[(i + 1) % profile->n], deviation,
                         at + n);
    *out = (hw_polygon){at, n};
    return HW_OK;
}

hw_code hw_polygon_circle(hw_arena *keep, hw_circle disc, size_t n, hw_polygon *out)
{
    *out = (hw_polygon){0};
    if (n < 3 || n > MOST_POINTS || !(disc.radius > 0)) return HW_BAD_INPUT;
    hw_vec2 *at = HW_NEW(keep, hw_vec2, n);
    if (!at) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        double t = 2 * HW_PI * (double)i / (double)n;
        at[i] = (hw_vec2){disc.at.x + disc.radius * cos(t), disc.at.z + disc.radius * sin(t)};
    }
    *out = (hw_polygon){at, n};
    return HW_OK;
}

double hw_polygon_area(const hw_polygon *loop)
{
    double twice = 0;
    for (size_t i = 0; i < loop->n; i++) {
        hw_vec2 a = hw_sub(loop->at[i], loop->at[0]);
        hw_vec2 b = hw_sub(loop->at[i + 1 < loop->n ? i + 1 : 0], loop->at[0]);
        twice += cross2(a, b);
    }
    return twice / 2;
}

hw_code hw_polygon_raise(hw_arena *keep, const hw_polygon *loop, double level, hw_polygon *low,
                         hw_polygon *high)
{
    *low = *high = (hw_polygon){0};
    if (!isfinite(level) || loop->n < 3) return HW_BAD_INPUT;
    hw_vec2 *a = HW_NEW(keep, hw_vec2, 2 * loop->n);
    hw_vec2 *b = HW_NEW(keep, hw_vec2, 2 * loop->n);
    if (!a || !b) return HW_NO_MEMORY;
    size_t n = 0;
    for (size_t i = 0; i < loop->n; i++) {
        hw_vec2 p = loop->at[i], q = loop->at[i + 1 < loop->n ? i + 1 : 0];
        a[n++] = p;
        if ((p.z < level && q.z > level) || (p.z > level && q.z < level))
            a[n++] = (hw_vec2){p.x + (q.x - p.x) * ((level - p.z) / (q.z - p.z)), level};
    }
    for (size_t i = 0; i < n; i++) b[i] = (hw_vec2){a[i].x, fmax(a[i].z, level)};
    *low = (hw_polygon){a, n};
    *high = (hw_polygon){b, n};
    return HW_OK;
}
