// A polygon and the same polygon drawn in, point by point.
#include "solid/solid.h"

#include <math.h>

static double cross2(hw_vec2 a, hw_vec2 b)
{
    return a.x * b.z - a.z * b.x;
}

// Is b within the tolerance of a, or of the line from a to c between them?
static bool idle(hw_vec2 a, hw_vec2 b, hw_vec2 c, double tolerance)
{
    hw_vec2 ab = hw_sub(b, a), ac = hw_sub(c, a);
    double run = hw_norm(ac);
    if (hw_norm(ab) <= tolerance) return true;
    if (run == 0) return false; // out and back: a tip
    double along = hw_dot(ab, ac) / run;
    return fabs(cross2(ac, ab)) / run <= tolerance && along >= 0 && along <= run;
}

// Corners that matter, in order.
static size_t thin_out(const hw_polygon *polygon, double tolerance, hw_vec2 *out)
{
    size_t n = polygon->n, kept = 0;
    for (size_t i = 0; i < n; i++) {
        hw_vec2 last = kept ? out[kept - 1] : polygon->at[n - 1];
        hw_vec2 next = polygon->at[i + 1 < n ? i + 1 : 0];
        if (!idle(last, polygon->at[i], next, tolerance)) out[kept++] = polygon->at[i];
    }
    return kept;
}

// Unit vector of the side from a to b; false when they are one point.
static bool direction(hw_vec2 a, hw_vec2 b, hw_vec2 *out)
{
    hw_vec2 d = hw_sub(b, a);
    double len = hw_norm(d);
    if (!(len > 0)) return false;
    *out = (hw_vec2){d.x / len, d.z / len};
    return true;
}

// The corner between sides with unit vectors d and e, moved so that both sides move left.
static hw_vec2 moved(hw_vec2 at, hw_vec2 d, hw_vec2 e, double distance)
{
    hw_vec2 middle = {-(d.z + e.z), d.x + e.x}; // sum of the left normals
    double half = hw_dot(middle, middle) / 2;   // 1 + cos(turn)
    double most = 1.0 / 450;                    // corners sharper than 4 degrees: 30 distances
    return hw_add(at, hw_scale(middle, distance / fmax(half, most)));
}

hw_code hw_polygon_inset(hw_arena *keep, const hw_polygon *polygon, double distance,
                         double tolerance, hw_polygon *low, hw_polygon *high)
{
    *low = *high = (hw_polygon){0};
    if (!isfinite(distance) || !(tolerance >= 0) || !isfinite(tolerance)) return HW_BAD_INPUT;
    for (size_t i = 0; i < polygon->n; i++)
        if (!isfinite(polygon->at[i].x) || !isfinite(polygon->at[i].z)) return HW_BAD_INPUT;
    hw_vec2 *a = HW_NEW(keep, hw_vec2, polygon->n);
    hw_vec2 *b = HW_NEW(keep, hw_vec2, polygon->n);
    if (!a || !b) return HW_NO_MEMORY;
    size_t n = thin_out(polygon, tolerance, a);
    if (n < 3) return HW_BAD_INPUT;
    for (size_t i = 0; i < n; i++) {
        hw_vec2 d, e;
        if (!direction(a[i ? i - 1 : n - 1], a[i], &d) || !direction(a[i], a[(i + 1) % n], &e))
            return HW_BAD_INPUT;
        b[i] = moved(a[i], d, e, distance);
    }
    for (size_t i = 0; i < n; i++) {
        size_t j = (i + 1) % n;
        if (!(hw_dot(hw_sub(a[j], a[i]), hw_sub(b[j], b[i])) > 0)) return HW_BAD_INPUT;
    }
    *low = (hw_polygon){a, n};
    *high = (hw_polygon){b, n};
    return HW_OK;
}
