// What the writers of outlines share: checks, extents, places of names.
#include "files/files_internal.h"

#include <math.h>
#include <string.h>

void hw_extent_grow(hw_extent *box, hw_vec2 at, double radius)
{
    box->low = (hw_vec2){fmin(box->low.x, at.x - radius), fmin(box->low.z, at.z - radius)};
    box->high = (hw_vec2){fmax(box->high.x, at.x + radius), fmax(box->high.z, at.z + radius)};
}

// The box of a side: its ends, and of an arc (at most half a turn) the places farthest along the
// axes that lie on it.
static void grow_side(hw_extent *box, hw_vec2 a, hw_vec2 b, double bulge) // [1]
{
    static const hw_vec2 axis[4] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    hw_extent_grow(box, a, 0);
    if (bulge == 0) return;
    hw_vec2 chord = hw_sub(b, a), half = hw_scale(chord, 0.5);
    double up = (1 - bulge * bulge) / (2 * bulge);
    hw_vec2 centre = hw_add(hw_add(a, half), (hw_vec2){-half.z * up, half.x * up});
    double radius = hw_norm(half) * (1 + bulge * bulge) / (2 * fabs(bulge));
    for (int i = 0; i < 4; i++) {
        hw_vec2 p = hw_add(centre, hw_scale(axis[i], radius)), off = hw_sub(p, a);
        double side = chord.x * off.z - chord.z * off.x; // the arc lies right of a chord that it
                                                         // runs round counter-clockwise
        if (side * bulge < 0) hw_extent_grow(box, p, 0);
    }
}

static bool grow_region(hw_extent *box, const hw_region *r)
{
    bool finite = true;
    for (size_t k = 0; k < r->rings; k++) {
        const hw_profile *p = &r->ring[k];
        if (p->n < 2) return false;
        for (size_t i = 0; i < p->n; i++) {
            hw_corner c = p->corner[i];
            finite = finite && isfinite(c.at.x) && isfinite(c.at.z) && fabs(c.bulge) < 1e3;
            if (finite) grow_side(box, c.at, p->corner[i + 1 < p->n ? i + 1 : 0].at, c.bulge);
        }
    }
    return finite;
}

static bool named(const char *text)
{
    hw_text t = hw_text_of(text);
    return t.len && hw_utf8_bad(t) == t.len;
}

static hw_extent nowhere(void)
{
    return (hw_extent){{INFINITY, INFINITY}, {-INFINITY, -INFINITY}};
}

hw_code hw_sketch_fit(const hw_sketch *s, hw_extent *box)
{
    *box = nowhere();
    if (s->shapes == 0 || !named(s->title) || (s->note && !named(s->note))) return HW_BAD_INPUT;
    for (size_t i = 0; i < s->shapes; i++) {
        const hw_sketch_shape *p = &s->shape[i];
        if (!named(p->layer) || !named(p->part) || !isfinite(p->low) || !isfinite(p->high) ||
            !grow_region(box, &p->region))
            return HW_BAD_INPUT;
    }
    for (size_t i = 0; i < s->axes; i++) {
        const hw_sketch_axis *a = &s->axis[i];
        if (!named(a->layer) || !isfinite(a->at.x) || !isfinite(a->at.z) || !isfinite(a->radius))
            return HW_BAD_INPUT;
        hw_extent_grow(box, a->at, a->radius);
    }
    return box->high.x > box->low.x && box->high.z > box->low.z ? HW_OK : HW_BAD_INPUT;
}

// Is a strip of paper, `height` high, inside from edge to edge at this place?
static bool strip_holds(const hw_region *r, hw_vec2 at, double height) // [m]
{
    for (int i = -1; i <= 1; i++)
        if (!hw_region_holds(r, (hw_vec2){at.x, at.z + i * height / 2})) return false;
    return true;
}

// The longest horizontal strip inside a region, and its middle. [m]
static double longest_strip(const hw_region *r, const hw_extent *box, double height, hw_vec2 *at)
{
    enum { ROWS = 21, PLACES = 96 };
    double dx = (box->high.x - box->low.x) / PLACES, longest = 0;
    for (int k = 0; k < ROWS; k++) {
        int row = ROWS / 2 + (k % 2 ? -(k + 1) / 2 : k / 2); // from the middle outward
        double z = box->low.z + (row + 0.5) / ROWS * (box->high.z - box->low.z);
        int run = 0;
        for (int c = 0; c < PLACES; c++) {
            hw_vec2 q = {box->low.x + (c + 0.5) * dx, z};
            run = strip_holds(r, q, height) ? run + 1 : 0;
            if (run * dx <= longest * (1 + 1e-9)) continue;
            longest = run * dx;
            *at = (hw_vec2){q.x - (run - 1) * dx / 2, z};
        }
    }
    return longest;
}

bool hw_sketch_label(const hw_sketch *s, size_t i, double letter, hw_vec2 *at, double *height)
{
    static const double size[] = {2.5e-3, 2e-3, 1.6e-3, 1.2e-3, 0.9e-3}; // of letters [m]
    const hw_sketch_shape *p = &s->shape[i];
    if (!s->names) return false;
    for (size_t k = 0; k < i; k++)
        if (strcmp(s->shape[k].part, p->part) == 0 && strcmp(s->shape[k].layer, p->layer) == 0)
            return false;
    hw_extent box = nowhere();
    (void)grow_region(&box, &p->region);
    double wide = letter * ((double)hw_utf8_count(hw_text_of(p->part)) + 1); // at a height of 1
    for (size_t k = 0; k < sizeof size / sizeof *size; k++) {
        *height = size[k];
        if (longest_strip(&p->region, &box, 1.2 * size[k], at) >= wide * size[k]) return true;
    }
    double longest = longest_strip(&p->region, &box, 0, at);
    *height = fmin(*height, longest / wide);
    return longest > 0;
}
