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

double hw_wrist_needs(double offset, double range)
{
    return fabs(offset) * range;
}

double hw_wrist_radius(double offset, double range, double span)
{
    return range > 0 ? span / range - fabs(offset) : (double)INFINITY;
}
