// Ways of legs and arcs.
#include "palm/route.h"

static void blank(hw_route *out)
{
    *out = (hw_route){.radius = NAN, .length = NAN, .bend = NAN};
}

static bool finite3(hw_vec3 v)
{
    return isfinite(v.x) && isfinite(v.y) && isfinite(v.z);
}

// Angle between two directions; good for small ones too.
static double angle_between(hw_vec3 a, hw_vec3 b) // [rad]
{
    return atan2(hw_vec3_norm(hw_vec3_cross(a, b)), hw_vec3_dot(a, b));
}

hw_code hw_route_through(const hw_vec3 p[], size_t n, double wanted, hw_route *out)
{
    blank(out);
    if (n < 2 || n > HW_ROUTE_POINTS || !(wanted > 0)) return HW_BAD_INPUT;
    hw_route r = {.points = n, .radius = INFINITY};
    double half[HW_ROUTE_POINTS] = {0}; // tangents of half the turns
    hw_vec3 last = {0, 0, 0};
    for (size_t i = 0; i < n; i++) {
        if (!finite3(p[i])) return HW_BAD_INPUT;
        r.point[i] = p[i];
        if (i + 1 == n) break;
        hw_vec3 leg = hw_vec3_sub(p[i + 1], p[i]);
        double len = hw_vec3_norm(leg);
        if (!(len > 0)) return HW_BAD_INPUT;
        r.length += len;
        if (i) r.turn[i] = angle_between(last, leg);
        if (r.turn[i] > 0.99 * HW_PI) return HW_BAD_INPUT;
        half[i] = tan(r.turn[i] / 2);
        last = leg;
    }
    for (size_t i = 0; i + 1 < n; i++) {
        double both = half[i] + half[i + 1];
        if (both > 0) r.radius = fmin(r.radius, hw_vec3_norm(hw_vec3_sub(p[i + 1], p[i])) / both);
    }
    if (isfinite(r.radius)) r.radius = fmin(r.radius, wanted);
    for (size_t i = 1; i + 1 < n; i++) {
        r.bend += r.turn[i];
        if (r.turn[i] > 0) r.length -= r.radius * (2 * half[i] - r.turn[i]);
    }
    *out = r;
    return HW_OK;
}

// What an arc takes of its legs.
static double taken(const hw_route *r, size_t i) // [m]
{
    return r->turn[i] > 0 ? r->radius * tan(r->turn[i] / 2) : 0;
}

static hw_vec3 leg_way(const hw_route *r, size_t i)
{
    return hw_vec3_unit(hw_vec3_sub(r->point[i + 1], r->point[i]));
}

// On the arc at point i, `angle` after it begins.
static void on_arc(const hw_route *r, size_t i, double angle, hw_vec3 *at, hw_vec3 *along)
{
    hw_vec3 in = leg_way(r, i - 1), out = leg_way(r, i);
    hw_vec3 from = hw_vec3_along(r->point[i], -taken(r, i), in);
    hw_vec3 inward = hw_vec3_unit(hw_vec3_along(out, -hw_vec3_dot(out, in), in));
    *at = hw_vec3_along(from, r->radius * sin(angle), in);
    *at = hw_vec3_along(*at, r->radius * (1 - cos(angle)), inward);
    *along = hw_vec3_along(hw_vec3_times(in, cos(angle)), sin(angle), inward);
}

void hw_route_at(const hw_route *r, double s, hw_vec3 *at, hw_vec3 *along)
{
    for (size_t i = 0; i + 1 < r->points; i++) {
        double from = taken(r, i), to = taken(r, i + 1);
        hw_vec3 way = leg_way(r, i);
        double leg = hw_vec3_norm(hw_vec3_sub(r->point[i + 1], r->point[i])) - from - to;
        bool last = i + 2 == r->points;
        if (s <= leg || last) {
            *at = hw_vec3_along(r->point[i], from + fmin(fmax(s, 0), leg), way);
            *along = way;
            return;
        }
        s -= leg;
        double arc = r->turn[i + 1] > 0 ? r->radius * r->turn[i + 1] : 0;
        if (s < arc) {
            on_arc(r, i + 1, s / r->radius, at, along);
            return;
        }
        s -= arc;
    }
}

size_t hw_route_bodies(const hw_route *r, double radius, hw_body out[HW_ROUTE_BODIES])
{
    size_t n = 0;
    hw_vec3 here = r->point[0], to, way;
    for (size_t i = 1; i < r->points; i++) {
        hw_vec3 in = leg_way(r, i - 1);
        to = hw_vec3_along(r->point[i], -taken(r, i), in);
        out[n++] = hw_body_capsule(here, to, radius);
        here = to;
        if (!(r->turn[i] > 0)) continue;
        for (int k = 1; k <= HW_ROUTE_ARC_CHORDS; k++) {
            on_arc(r, i, r->turn[i] * k / HW_ROUTE_ARC_CHORDS, &to, &way);
            out[n++] = hw_body_capsule(here, to, radius);
            here = to;
        }
    }
    return n;
}

// Equal pieces of one leg or arc, and its end.
static size_t cut(double from, double length, double spacing, double s[], size_t n, size_t most)
{
    size_t pieces = (size_t)fmax(ceil(length / spacing - 1e-9), 1);
    for (size_t k = 1; k <= pieces && n < most; k++)
        s[n++] = from + length * (double)k / (double)pieces;
    return n;
}

size_t hw_route_clips(const hw_route *r, double spacing, double s[], size_t most)
{
    size_t n = 0;
    double from = 0;
    for (size_t i = 0; i + 1 < r->points; i++) {
        double leg = hw_vec3_norm(hw_vec3_sub(r->point[i + 1], r->point[i]));
        leg -= taken(r, i) + taken(r, i + 1);
        // two arcs that meet share a clip
        if (leg > 1e-6 * r->length) n = cut(from, leg, spacing, s, n, most);
        from += leg;
        if (!(r->turn[i + 1] > 0)) continue;
        double arc = r->radius * r->turn[i + 1];
        n = cut(from, arc, spacing, s, n, most);
        from += arc;
    }
    while (n > 0 && s[n - 1] > r->length * (1 - 1e-6)) n--;
    return n;
}

// Share of leg a-b where it passes c-d, seen from the back; NaN where they do not cross.
static double passes(hw_vec3 a, hw_vec3 b, hw_vec3 c, hw_vec3 d) // [1]
{
    hw_vec3 u = hw_vec3_sub(b, a), v = hw_vec3_sub(d, c), w = hw_vec3_sub(c, a);
    double det = u.x * v.y - u.y * v.x;
    if (det == 0) return NAN;
    double s = (w.x * v.y - w.y * v.x) / det, t = (w.x * u.y - w.y * u.x) / det;
    return s >= 0 && s < 1 && t >= 0 && t < 1 ? s : (double)NAN;
}

size_t hw_route_crossings(const hw_route *a, const hw_route *b, double near)
{
    size_t n = 0;
    for (size_t i = 0; i + 1 < a->points; i++)
        for (size_t k = 0; k + 1 < b->points; k++) {
            const hw_vec3 *p = &a->point[i], *q = &b->point[k];
            double s = passes(p[0], p[1], q[0], q[1]), t = passes(q[0], q[1], p[0], p[1]);
            if (isnan(s) || isnan(t)) continue;
            double high = p[0].z + s * (p[1].z - p[0].z), other = q[0].z + t * (q[1].z - q[0].z);
            if (fabs(high - other) <= near) n++;
        }
    return n;
}

double hw_wrist_needs(double offset, double range)
{
    return fabs(offset) * range;
}

double hw_wrist_radius(double offset, double range, double span)
{
    return range > 0 ? span / range - fabs(offset) : (double)INFINITY;
}
