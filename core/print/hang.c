// Undersides: facets beside each other that hang more than the limit, how wide they span and how
// far they jut, and whether that was declared.
#include <math.h>
#include <stdlib.h>

#include "print/print_internal.h"

typedef struct patch {
    hw_print_run *run;
    const hw_mesh *mesh;
    const uint32_t *twin;
    double sine;   // of the limit
    double first;  // half the first layer [m]
    uint32_t *of;  // of each triangle: its patch, + 1; 0: it does not hang
    uint32_t *tri; // of the patch at hand
    size_t tris;
    hw_rim *rim;
    size_t rims, room;
} patch;

static hw_vec3 corner(const hw_mesh *m, uint32_t half)
{
    return m->vert[m->tri[half]];
}

// Twice the area, as a vector outward.
static hw_vec3 normal2(const hw_mesh *m, uint32_t t)
{
    hw_vec3 a = corner(m, 3 * t), b = corner(m, 3 * t + 1), c = corner(m, 3 * t + 2);
    double ux = b.x - a.x, uy = b.y - a.y, uz = b.z - a.z;
    double vx = c.x - a.x, vy = c.y - a.y, vz = c.z - a.z;
    return (hw_vec3){uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx};
}

static double length3(hw_vec3 v)
{
    return sqrt(v.x * v.x + v.y * v.y + v.z * v.z);
}

// The first layer has the outline of its middle: what is lower is pressed onto the bed, and what
// leans out of that outline by less than half a line below the middle of the next layer, whose
// outline is taken there, is held by it.
static bool on_bed(const patch *p, uint32_t t)
{
    double top = -INFINITY;
    for (uint32_t k = 0; k < 3; k++) top = fmax(top, corner(p->mesh, 3 * t + k).z);
    if (top <= p->first) return true;
    if (top > 3 * p->first) return false;
    const hw_vec3 n = normal2(p->mesh, t);
    return (top - p->first) * fabs(n.z) < 0.5 * p->run->def->line * hypot(n.x, n.y);
}

static bool hangs(const patch *p, uint32_t t)
{
    hw_vec3 n = normal2(p->mesh, t);
    return -n.z > p->sine * length3(n) && !on_bed(p, t);
}

// Does the facet beyond an edge go down from it, or stand on the bed?
static bool carries(const patch *p, uint32_t half)
{
    const hw_mesh *m = p->mesh;
    uint32_t beyond = p->twin[half];
    hw_vec3 a = corner(m, half), b = corner(m, hw_half_after(half)),
            c = corner(m, hw_half_before(beyond));
    if (fmax(a.z, b.z) <= p->first || on_bed(p, beyond / 3)) return true;
    hw_vec3 e = {b.x - a.x, b.y - a.y, b.z - a.z}, w = {c.x - a.x, c.y - a.y, c.z - a.z};
    double along = (e.x * w.x + e.y * w.y + e.z * w.z) / (e.x * e.x + e.y * e.y + e.z * e.z);
    return w.z - along * e.z < 0;
}

static bool add_rim(patch *p, uint32_t half)
{
    hw_rim *grown = hw_print_grow(p->run->work, p->rim, p->rims, &p->room, sizeof *grown);
    if (!grown) return false;
    p->rim = grown;
    hw_vec3 a = corner(p->mesh, half), b = corner(p->mesh, hw_half_after(half));
    grown[p->rims++] = (hw_rim){{a.x, a.y}, {b.x, b.y}, carries(p, half)};
    return true;
}

// All hanging facets that hang together with the first, their area, box and edge.
static bool gather(patch *p, uint32_t first, uint32_t number, hw_print_hang *out)
{
    *out = (hw_print_hang){.low = {INFINITY, INFINITY, INFINITY},
                           .high = {-INFINITY, -INFINITY, -INFINITY},
                           .opening = NAN};
    p->tris = p->rims = 0;
    p->tri[p->tris++] = first;
    p->of[first] = number;
    double steepest = 0;
    for (size_t i = 0; i < p->tris; i++) {
        uint32_t t = p->tri[i];
        hw_vec3 n = normal2(p->mesh, t);
        out->area += 0.5 * length3(n);
        steepest = fmax(steepest, -n.z / length3(n));
        for (uint32_t k = 0; k < 3; k++) {
            hw_vec3 v = corner(p->mesh, 3 * t + k);
            out->low =
                (hw_vec3){fmin(out->low.x, v.x), fmin(out->low.y, v.y), fmin(out->low.z, v.z)};
            out->high =
                (hw_vec3){fmax(out->high.x, v.x), fmax(out->high.y, v.y), fmax(out->high.z, v.z)};
            uint32_t u = p->twin[3 * t + k] / 3;
            if (p->of[u] == number) continue;
            if (p->of[u] == 0 && hangs(p, u)) {
                p->of[u] = number;
                p->tri[p->tris++] = u;
            } else if (!add_rim(p, 3 * t + k))
                return false;
        }
    }
    out->steepest = asin(fmin(1, steepest));
    return true;
}

// ---- what was declared

// Width along a direction of the hole under a crown, at its widest within half the limit below it.
static double width_along(const hw_print_run *r, const hw_print_hang *h, hw_bed_spot middle,
                          hw_bed_spot along)
{
    const hw_slices *sl = r->slices;
    double widest = 0, floor = h->high.z - 0.5 * r->def->crown - sl->layer;
    bool begun = false;
    for (size_t i = sl->layers; i-- > 0;) {
        double z = hw_slice_height(sl->layer, i);
        if (z > h->high.z) continue;
        if (z < floor) break;
        const hw_print_slice *s = &sl->slice[i * sl->parts + h->part];
        if (hw_slice_holds(s, middle)) {
            if (begun) break;
            continue;
        }
        begun = true;
        hw_bed_spot back = {-along.x, -along.y};
        widest = fmax(widest, hw_slice_ray(s, middle, along) + hw_slice_ray(s, middle, back));
    }
    return begun ? widest : h->span; // all of it between two slices
}

// Width of that hole across its axis: the least of all directions.
static double opening_of(const hw_print_run *r, const hw_print_hang *h, const hw_across *a)
{
    enum { DIRECTIONS = 18 };
    double least = width_along(r, h, a->middle, a->along);
    for (int i = 0; i < DIRECTIONS; i++) {
        hw_bed_spot u = {cos(HW_PI * i / DIRECTIONS), sin(HW_PI * i / DIRECTIONS)};
        least = fmin(least, width_along(r, h, a->middle, u));
    }
    return least;
}

static bool inside(const hw_allowance *a, const hw_print_hang *h, double slack)
{
    return h->low.x >= a->low.x - slack && h->high.x <= a->high.x + slack &&
           h->low.y >= a->low.y - slack && h->high.y <= a->high.y + slack &&
           h->low.z >= a->low.z - slack && h->high.z <= a->high.z + slack;
}

static bool of_kind(const hw_print_def *def, hw_allowance_kind kind, const hw_print_hang *h)
{
    double over = 1 + 1e-9; // rounding of a span that is just the limit
    if (h->jut > def->jut * over) return false;
    switch (kind) {
    case HW_ALLOW_CROWN:
        return h->span > 0 && h->opening <= def->crown * over;
    case HW_ALLOW_BRIDGE:
        return h->span > 0 && h->span <= def->bridge * over;
    case HW_ALLOW_CUTOUT:
        return h->span <= def->bridge * over;
    case HW_ALLOW_LETTERS:
        return h->jut <= 1.5 * def->line * over && h->span <= def->bridge * over;
    case HW_ALLOW_LEDGE: // seen before, declared or not
    case HW_ALLOWANCES:
        break;
    }
    return false;
}

// Held by the lines beside it; or as small as that altogether, where it is the keel of what rises
// from it (what begins there is an island); or of less area than a line's end, or than two of a
// line's squares that jut or reach two lines far: the corner between two bevels, a keel's end.
static bool is_ledge(const hw_print_def *def, const hw_print_hang *h)
{
    double reach = 1.5 * def->line;
    if (h->area <= 0.25 * def->line * def->line) return true;
    const double size = hypot(h->high.x - h->low.x, h->high.y - h->low.y);
    if (h->area <= 2 * def->line * def->line && fmin(h->jut, size) <= 2 * def->line) return true;
    return (h->jut <= reach && h->span <= 2 * reach) || size <= reach;
}

static void judge(const hw_print_run *r, const hw_across *a, hw_print_hang *h)
{
    const hw_print_part *part = &r->part[h->part];
    h->span = a->span;
    h->jut = a->jut;
    h->hold = HW_HANG_OPEN;
    if (is_ledge(r->def, h)) {
        h->kind = HW_ALLOW_LEDGE;
        h->hold = HW_HANG_PERMITTED;
        return;
    }
    for (size_t i = 0; i < part->allows && h->hold != HW_HANG_PERMITTED; i++) {
        const hw_allowance *one = &part->allow[i];
        if (!inside(one, h, 0.1 * r->def->layer)) continue;
        if (one->kind == HW_ALLOW_CROWN && isnan(h->opening)) h->opening = opening_of(r, h, a);
        bool good = of_kind(r->def, one->kind, h);
        if (good || h->hold == HW_HANG_OPEN) h->kind = one->kind;
        h->hold = good ? HW_HANG_PERMITTED : HW_HANG_REFUSED;
    }
}

static hw_code hangs_of(hw_print_run *r, size_t part, size_t *room)
{
    patch p = {.run = r,
               .mesh = r->part[part].mesh,
               .twin = r->twin[part],
               .sine = sin(r->def->overhang + r->def->facet),
               .first = 0.5 * r->def->layer};
    p.of = HW_NEW(r->work, uint32_t, p.mesh->tris);
    p.tri = HW_NEW(r->work, uint32_t, p.mesh->tris);
    if (!p.of || !p.tri) return HW_NO_MEMORY;
    uint32_t number = 0;
    for (uint32_t t = 0; t < p.mesh->tris; t++) {
        if (p.of[t] || !hangs(&p, t)) continue;
        if (!hw_job_go_on(r->job, 0.25, "undersides")) return HW_CANCELLED;
        hw_print_hang one;
        hw_across best = {0};
        if (!gather(&p, t, ++number, &one) ||
            !hw_patch_cross(r->work, r->def, p.rim, p.rims, &best))
            return HW_NO_MEMORY;
        one.part = part;
        judge(r, &best, &one);
        double *sum = one.hold == HW_HANG_PERMITTED ? &r->out->of[part].permitted_area
                                                    : &r->out->of[part].open_area;
        *sum += one.area;
        hw_print_hang *list =
            hw_print_grow(r->keep, r->out->hang, r->out->hangs, room, sizeof *list);
        if (!list) return HW_NO_MEMORY;
        r->out->hang = list;
        list[r->out->hangs++] = one;
    }
    return HW_OK;
}

hw_code hw_print_hangs(hw_print_run *r)
{
    size_t room = 0;
    for (size_t p = 0; p < r->slices->parts; p++) {
        size_t mark = hw_arena_mark(r->work);
        hw_code code = hangs_of(r, p, &room);
        if (code != HW_OK) return code;
        hw_arena_rewind(r->work, mark);
    }
    return HW_OK;
}
