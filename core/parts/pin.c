// Pivots as shape: a cone, or a cylinder and a cone, on a face, and the bore that it turns in.
//
// The axis lies along the bed. A cone of 45 degrees hangs by 45 degrees at its underside; the
// cylinder of a land would hang flat there, so within 45 degrees of straight down a pin with a land
// is a cone of 45 degrees from its foot on.
#include "parts/parts_internal.h"

#include <math.h>

// Height of the pin's flank above the face, and its radius there.
static double radius_at(const hw_parts_pin *pin, double height) // [m]
{
    return pin->base - fmax(0, height - pin->land) * tan(pin->half_angle);
}

// Nothing of a pin is below its floor: what would be lies on it, between the floor's ends in the
// circle, which are nearer than the circle is wide where the floor is above the axis.
static hw_vec2 above_floor(const hw_parts_pin *pin, double radius, hw_vec2 at) // [m]
{
    if (at.z >= pin->floor) return at;
    double rise = fmax(0, pin->floor - pin->at.z);
    double half = sqrt(fmax(0, radius * radius - rise * rise)), off = at.x - pin->at.x;
    return (hw_vec2){pin->at.x + fmax(-half, fmin(half, off)), pin->floor};
}

// Round the axis: points near straight down at radius `low`, all others at `radius`. The step from
// one to the other leans outward by a tenth of a degree, so that it is a wall too: where the radii
// are still alike it is level, and no wider than that.
static hw_polygon ring(hw_pile *p, const hw_parts_pin *pin, size_t n, double radius, double low)
{
    const double lower = 43 * HW_PI / 180, upper = 43.1 * HW_PI / 180; // from straight down [rad]
    hw_vec2 *at = HW_NEW(p->keep, hw_vec2, n);
    if (!at) {
        p->code = HW_NO_MEMORY;
        return (hw_polygon){0};
    }
    size_t below = n / 4;
    for (size_t i = 0; i < n; i++) {
        bool under = i < below;
        double share =
            under ? (double)i / (double)(below - 1) : (double)(i - below) / (double)(n - below - 1);
        double turn = under ? lower * (2 * share - 1) : upper + (2 * HW_PI - 2 * upper) * share;
        double r = under ? low : radius;
        at[i] = hw_add(pin->at, (hw_vec2){r * sin(turn), -r * cos(turn)});
        at[i] = above_floor(pin, r, at[i]);
    }
    return (hw_polygon){at, n};
}

static hw_polygon circle(hw_pile *p, const hw_parts_pin *pin, size_t n, double radius) // [m]
{
    hw_polygon out;
    hw_code code = hw_polygon_circle(p->keep, (hw_circle){pin->at, radius}, n, &out);
    if (code != HW_OK) p->code = code;
    for (size_t i = 0; i < out.n; i++) out.at[i] = above_floor(pin, radius, out.at[i]);
    return out;
}

// A bore's outline: round, but for a roof over its upper quarter that rises at 45 degrees from both
// sides to a ceiling which lines of the printer hold from side to side. A lower bore keeps its
// crown's height under that ceiling.
static hw_polygon bore(hw_pile *p, const hw_parts_pin *pin, size_t n, double radius, double line)
{
    hw_vec2 *at = HW_NEW(p->keep, hw_vec2, n);
    if (!at) {
        p->code = HW_NO_MEMORY;
        return (hw_polygon){0};
    }
    double half = hw_bore_ceiling(radius, line), top = sqrt(2) * radius - half;
    at[0] = hw_add(pin->at, (hw_vec2){half, top});
    for (size_t i = 1; i + 1 < n; i++) { // clockwise from the roof's foot to its other one
        double turn = HW_PI / 4 + 1.5 * HW_PI * (double)(i - 1) / (double)(n - 3); // from upright
        at[i] = hw_add(pin->at, (hw_vec2){radius * sin(turn), radius * cos(turn)});
    }
    at[n - 1] = hw_add(pin->at, (hw_vec2){-half, top});
    for (size_t i = 0; i < n / 2; i++) { // counter-clockwise, as outlines are
        hw_vec2 swap = at[i];
        at[i] = at[n - 1 - i];
        at[n - 1 - i] = swap;
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
    double tip = radius_at(pin, pin->engagement);
    if (!(pin->land > 0)) {
        put_along(p, HW_BLOCK_ADD, pin, 0, pin->engagement, circle(p, pin, n, pin->base),
                  circle(p, pin, n, tip));
        return;
    }
    double least = tip / 4; // a long pin's lower side ends there
    double low[2] = {fmax(least, pin->base - pin->land), fmax(least, pin->base - pin->engagement)};
    hw_polygon knee = ring(p, pin, n, pin->base, low[0]);
    double down = pin->base - low[0]; // 45 degrees to here, level beyond
    if (down > 0.999 * pin->land) down = pin->land;
    put_along(p, HW_BLOCK_ADD, pin, 0, down, ring(p, pin, n, pin->base, pin->base), knee);
    if (down < pin->land) put_along(p, HW_BLOCK_ADD, pin, down, pin->land, knee, knee);
    put_along(p, HW_BLOCK_ADD, pin, pin->land, pin->engagement, knee,
              ring(p, pin, n, tip, fmin(tip, low[1])));
}

void hw_parts_pin_cut(hw_pile *p, const hw_parts_pin *pin, double thickness, double line)
{
    size_t n = hw_circle_points(pin->base + pin->gap, pin->deviation);
    if (n < 16) n = 16;
    double round = 1 / cos(0.75 * HW_PI / (double)(n - 3)); // chords outside the true wall
    double slope = tan(pin->half_angle), end = pin->engagement + pin->gap;
    // the flank, moved out by the gap square to it
    double widened = pin->gap / cos(pin->half_angle);
    double knee = pin->land > 0 ? pin->land + (widened - pin->gap) / slope : 0;
    double from = pin->mouth, wide = pin->base + pin->gap;
    bool through = end - pin->mouth > thickness - line; // no floor thinner than a line is left
    if (through) end = pin->mouth + thickness;
    if (pin->land > 0 && knee > from) {
        double to = through ? end : fmin(knee, end);
        hw_polygon wall = bore(p, pin, n, wide * round, line);
        put_along(p, HW_BLOCK_CUT, pin, from, to, wall, wall);
        from = to;
    }
    if (from < end) {
        double r0 = pin->base + widened - (from - pin->land) * slope;
        double r1 = pin->base + widened - (end - pin->land) * slope;
        if (r1 < r0 * 0.05) { // a long socket ends in a point
            end = from + (r0 - r0 * 0.05) / slope;
            r1 = r0 * 0.05;
        }
        put_along(p, HW_BLOCK_CUT, pin, from, end, bore(p, pin, n, r0 * round, line),
                  bore(p, pin, n, r1 * round, line));
    }
}
