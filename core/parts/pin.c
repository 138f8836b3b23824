// Pivots as shape: a cone, or a cylinder and a cone, on a face, and the bore that it turns in.
//
// The axis lies along the bed. A cone of 45 degrees hangs by 45 degrees at its underside; the
// cylinder of a land would hang flat, so everything below the 45 degree plane through the lowest
// line of the pin's foot is left out of it: its lower side is a ramp.
#include "parts/parts_internal.h"

#include <math.h>

// Height of the pin's flank above the face, and its radius there.
static double radius_at(const hw_parts_pin *pin, double height) // [m]
{
    return pin->base - fmax(0, height - pin->land) * tan(pin->half_angle);
}

// n points round the axis from straight down, those below `level` (from the axis, negative) moved
// to the ends of the chord there.
static hw_polygon ring(hw_pile *p, const hw_parts_pin *pin, size_t n, double radius,
                       double level) // [m]
{
    hw_vec2 *at = HW_NEW(p->keep, hw_vec2, n);
    if (!at) {
        p->code = HW_NO_MEMORY;
        return (hw_polygon){0};
    }
    double half = level > -radius ? sqrt(radius * radius - level * level) : 0;
    for (size_t i = 0; i < n; i++) {
        double turn = 2 * HW_PI * (double)i / (double)n - HW_PI / 2;
        hw_vec2 q = {radius * cos(turn), radius * sin(turn)};
        if (i == 0) q.x = 0;
        if (q.z < level) q = (hw_vec2){i == 0 ? 0 : copysign(half, q.x), level};
        at[i] = hw_add(pin->at, q);
    }
    return (hw_polygon){at, n};
}

static void put_along(hw_pile *p, hw_block_op op, const hw_parts_pin *pin, double from,
                      double to, // [m]
                      hw_polygon at_from, hw_polygon at_to)
{
    double a = pin->face + pin->outward * from, b = pin->face + pin->outward * to;
    if (a < b)
        hw_pile_put(p, op, a, b, at_from, at_to);
    else
        hw_pile_put(p, op, b, a, at_to, at_from);
}

void hw_parts_pin_add(hw_pile *p, const hw_parts_pin *pin)
{
    size_t n = hw_circle_points(pin->base, pin->deviation);
    if (!(pin->land > 0)) {
        double tip = radius_at(pin, pin->engagement);
        put_along(p, HW_BLOCK_ADD, pin, 0, pin->engagement, ring(p, pin, n, pin->base, -INFINITY),
                  ring(p, pin, n, tip, -INFINITY));
        return;
    }
    // steps so fine that the ends of the chord pass about one point of the ring in each
    size_t steps = n / 4;
    double from = 0;
    hw_polygon low = ring(p, pin, n, pin->base, -pin->base);
    for (size_t part = 0; part < 2; part++) {
        double end = part == 0 ? pin->land : pin->engagement;
        double start = from;
        for (size_t k = 1; k <= steps && p->code == HW_OK; k++) {
            double share = (double)k / (double)steps;
            double to = start + (end - start) * (part == 0 ? share * share : share);
            if (k == steps) to = end;
            hw_polygon high = ring(p, pin, n, radius_at(pin, to), to - pin->base);
            put_along(p, HW_BLOCK_ADD, pin, from, to, low, high);
            low = high;
            from = to;
        }
    }
}

void hw_parts_pin_cut(hw_pile *p, const hw_parts_pin *pin, double thickness, double line)
{
    size_t n = hw_circle_points(pin->base + pin->gap, pin->deviation);
    double round = 1 / cos(HW_PI / (double)n); // chords outside the true wall
    double slope = tan(pin->half_angle), end = pin->engagement + pin->gap;
    // the flank, moved out by the gap square to it
    double widened = pin->gap / cos(pin->half_angle);
    double knee = pin->land > 0 ? pin->land + (widened - pin->gap) / slope : 0;
    double from = pin->mouth, wide = pin->base + pin->gap;
    if (end - pin->mouth > thickness - line / 2) end = pin->mouth + thickness;
    if (pin->land > 0 && knee > from) {
        double to = fmin(knee, end);
        hw_polygon bore = ring(p, pin, n, wide * round, -INFINITY);
        put_along(p, HW_BLOCK_CUT, pin, from, to, bore, bore);
        from = to;
    }
    if (from < end) {
        double r0 = pin->base + widened - (from - pin->land) * slope;
        double r1 = pin->base + widened - (end - pin->land) * slope;
        if (r1 < r0 * 0.05) { // a long socket ends in a point
            end = from + (r0 - r0 * 0.05) / slope;
            r1 = r0 * 0.05;
        }
        put_along(p, HW_BLOCK_CUT, pin, from, end, ring(p, pin, n, r0 * round, -INFINITY),
                  ring(p, pin, n, r1 * round, -INFINITY));
    }
    double a = pin->face + pin->outward * pin->mouth, b = pin->face + pin->outward * end;
    hw_pile_allow(p, HW_ALLOW_CROWN, (hw_vec2){pin->at.x - wide, pin->at.z},
                  (hw_vec2){pin->at.x + wide, pin->at.z + 1.1 * wide}, fmin(a, b), fmax(a, b));
}
