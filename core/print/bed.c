// Does a group lie on the bed: as modelled, turned by 90 degrees, at its best angle.
#include <math.h>
#include <stdlib.h>

#include "print/print_internal.h"

static int by_place(const void *a, const void *b)
{
    const hw_bed_spot *p = a, *q = b;
    if (p->x != q->x) return p->x < q->x ? -1 : 1;
    return p->y < q->y ? -1 : p->y > q->y;
}

static double turn(hw_bed_spot a, hw_bed_spot b, hw_bed_spot c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

// Convex hull of spots, counter-clockwise, over them in place; `out` has room for n + 1. Source:
// monotone chain, Andrew 1979, from memory.
static size_t hull_of(hw_bed_spot *at, size_t n, hw_bed_spot *out)
{
    size_t m = 0;
    qsort(at, n, sizeof *at, by_place);
    for (size_t i = 0; i < n; i++) {
        while (m > 1 && turn(out[m - 2], out[m - 1], at[i]) <= 0) m--;
        out[m++] = at[i];
    }
    size_t low = m + 1;
    for (size_t i = n - 1; i-- > 0;) {
        while (m >= low && turn(out[m - 2], out[m - 1], at[i]) <= 0) m--;
        out[m++] = at[i];
    }
    return m > 1 ? m - 1 : m;
}

// The two spots that lie farthest apart along a direction.
static hw_bed_spot across(const hw_bed_spot *hull, size_t n, double ux, double uy)
{
    size_t low = 0, high = 0;
    for (size_t i = 1; i < n; i++) {
        double d = hull[i].x * ux + hull[i].y * uy;
        if (d < hull[low].x * ux + hull[low].y * uy) low = i;
        if (d > hull[high].x * ux + hull[high].y * uy) high = i;
    }
    return (hw_bed_spot){hull[high].x - hull[low].x, hull[high].y - hull[low].y};
}

typedef struct room {
    const hw_bed_spot *hull;
    size_t n;
    double x, y; // of the bed, less margins
} room;

// Room left when the group is turned by an angle.
static double spare_at(const room *w, double angle)
{
    double c = cos(angle), s = sin(angle);
    hw_bed_spot d = across(w->hull, w->n, c, -s), e = across(w->hull, w->n, s, c);
    return fmin(w->x - (c * d.x - s * d.y), w->y - (s * e.x + c * e.y));
}

static int by_value(const void *a, const void *b)
{
    double p = *(const double *)a, q = *(const double *)b;
    return p < q ? -1 : p > q;
}

// Angles at which a side of the hull lies along the bed or across it, with 0 and half a turn, in
// order; at[] has room for four a corner and two.
static size_t turning_points(const room *w, double *at)
{
    size_t n = 0;
    at[n++] = 0;
    at[n++] = HW_PI;
    for (size_t i = 0; i < w->n; i++) {
        hw_bed_spot a = w->hull[i], b = w->hull[i + 1 < w->n ? i + 1 : 0];
        double lie = -atan2(b.y - a.y, b.x - a.x); // turned so, it lies along x
        for (int k = -2; k <= 4; k++) {
            double one = lie + 0.5 * HW_PI * k;
            if (one > 0 && one < HW_PI && n < 4 * w->n + 2) at[n++] = one;
        }
    }
    qsort(at, n, sizeof *at, by_value);
    return n;
}

// The angles at which a rectangle with the corners that touch it at `mid` leaves the same room
// both ways: (d.x - e.y) cos - (d.y + e.x) sin = x - y. Returns how many, at most 2.
static int even_angles(const room *w, double mid, double out[2])
{
    double c = cos(mid), s = sin(mid);
    hw_bed_spot d = across(w->hull, w->n, c, -s), e = across(w->hull, w->n, s, c);
    double p = d.x - e.y, q = d.y + e.x, size = hypot(p, q), want = w->x - w->y;
    if (!(size > 0) || fabs(want) > size) return 0;
    double lead = atan2(-q, p), half = acos(want / size);
    out[0] = fmod(lead - half + 4 * HW_PI, 2 * HW_PI);
    out[1] = fmod(lead + half + 4 * HW_PI, 2 * HW_PI);
    return 2;
}

static void try_angle(const room *w, double one, double *spare, double *angle)
{
    double got = spare_at(w, one);
    if (got <= *spare) return;
    *spare = got;
    *angle = one;
}

// Between turning points the same corners touch the rectangle, and both its sides are arcs of a
// cosine, hollow downward: the room left is greatest at an end or where it is the same both ways.
static hw_code best_angle(hw_arena *work, const room *w, double *spare, double *angle)
{
    double *at = HW_NEW(work, double, 4 * w->n + 2);
    if (!at) return HW_NO_MEMORY;
    size_t n = turning_points(w, at);
    *spare = -INFINITY;
    for (size_t i = 0; i < n; i++) {
        double even[2];
        try_angle(w, at[i], spare, angle);
        if (i + 1 == n) break;
        int found = even_angles(w, 0.5 * (at[i] + at[i + 1]), even);
        for (int k = 0; k < found; k++)
            if (even[k] > at[i] && even[k] < at[i + 1]) try_angle(w, even[k], spare, angle);
    }
    return HW_OK;
}

hw_code hw_print_fit(hw_print_run *r)
{
    const hw_print_def *def = r->def;
    hw_bed_fit *fit = &r->out->fit;
    size_t n = 0, used = 0;
    for (size_t p = 0; p < r->slices->parts; p++) n += r->part[p].mesh->verts;
    hw_bed_spot *all = HW_NEW(r->work, hw_bed_spot, n), *hull = HW_NEW(r->work, hw_bed_spot, n + 2);
    if (!all || !hull) return HW_NO_MEMORY;
    double high = 0;
    for (size_t p = 0; p < r->slices->parts; p++) {
        const hw_mesh *m = r->part[p].mesh;
        for (size_t i = 0; i < m->verts; i++) {
            all[used++] = (hw_bed_spot){m->vert[i].x, m->vert[i].y};
            high = fmax(high, m->vert[i].z);
        }
    }
    room w = {hull, hull_of(all, n, hull), def->bed[0] - 2 * def->margin,
              def->bed[1] - 2 * def->margin};
    fit->size[0] = across(hull, w.n, 1, 0).x;
    fit->size[1] = across(hull, w.n, 0, 1).y;
    fit->size[2] = high;
    fit->spare = fmin(w.x - fit->size[0], w.y - fit->size[1]);
    fit->spare_turn = fmin(w.x - fit->size[1], w.y - fit->size[0]);
    fit->spare_z = def->bed[2] - high;
    return best_angle(r->work, &w, &fit->spare_any, &fit->angle);
}
