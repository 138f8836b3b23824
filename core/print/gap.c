// Gaps between parts: in every slice, between layers as printed, and in the first layer.
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "print/print_internal.h"

typedef struct search {
    const hw_slices *slices;
    hw_seg *seg;
    size_t n;
    size_t layer;
    int above;           // layers between tag 0 and tag 1; 0: within one slice
    double reach;        // horizontally
    double upright;      // distance of the layers
    hw_print_near best;  // of this search
    hw_print_near *pair; // parts * parts, a < b; NULL: not asked
} search;

static void note(search *s, uint32_t a, uint32_t b, hw_bed_spot at, double gap)
{
    hw_print_near one = {a, b, s->layer, s->above, at, gap};
    if (!s->above && a > b) {
        one.a = b;
        one.b = a;
    }
    if (gap < s->best.gap) s->best = one;
    if (!s->pair) return;
    hw_print_near *p = &s->pair[one.a * s->slices->parts + one.b];
    if (gap < p->gap) *p = one;
}

static void compare(void *self, size_t i, size_t j)
{
    search *s = self;
    const hw_seg *a = &s->seg[i], *b = &s->seg[j];
    if (a->part == b->part || (s->above && a->tag == b->tag)) return;
    if (a->tag > b->tag) {
        const hw_seg *swap = a;
        a = b;
        b = swap;
    }
    if (fmin(a->a.y, a->b.y) > fmax(b->a.y, b->b.y) + s->reach ||
        fmin(b->a.y, b->b.y) > fmax(a->a.y, a->b.y) + s->reach)
        return;
    hw_bed_spot at;
    double d2 = hw_seg_distance2(a, b, &at);
    if (d2 > s->reach * s->reach) return;
    note(s, a->part, b->part, at, sqrt(d2 + s->upright * s->upright));
}

static void add_slice(search *s, size_t layer, uint32_t tag)
{
    for (size_t p = 0; p < s->slices->parts; p++) {
        const hw_print_slice *one = &s->slices->slice[layer * s->slices->parts + p];
        for (size_t i = 0; i < one->rings; i++) {
            const hw_print_ring *ring = &one->ring[i];
            for (size_t k = 0, j = ring->n - 1; k < ring->n; j = k++)
                s->seg[s->n++] = (hw_seg){ring->at[j], ring->at[k], (uint32_t)p, tag};
        }
    }
}

// A part that lies wholly inside another's region crosses none of its outlines.
static void find_inside(search *s, size_t other)
{
    size_t parts = s->slices->parts;
    for (size_t p = 0; p < parts; p++) {
        const hw_print_slice *a = &s->slices->slice[s->layer * parts + p];
        for (size_t q = 0; q < parts; q++) {
            if (p == q) continue;
            const hw_print_slice *b = &s->slices->slice[other * parts + q];
            for (size_t i = 0; i < a->rings; i++)
                if (hw_slice_holds(b, a->ring[i].at[0]))
                    note(s, (uint32_t)p, (uint32_t)q, a->ring[i].at[0], s->upright);
            for (size_t i = 0; s->above && i < b->rings; i++)
                if (hw_slice_holds(a, b->ring[i].at[0]))
                    note(s, (uint32_t)p, (uint32_t)q, b->ring[i].at[0], s->upright);
        }
    }
}

static size_t corners(const hw_slices *sl, size_t layer)
{
    size_t n = 0;
    for (size_t p = 0; p < sl->parts; p++) n += hw_slice_corners(&sl->slice[layer * sl->parts + p]);
    return n;
}

static const hw_print_near none = {SIZE_MAX, SIZE_MAX, 0, 0, {0, 0}, INFINITY};

// Least distance between layer `layer` and the one `above` it (0: within it), up to `reach`.
static hw_code look(hw_arena *work, search *s, size_t layer, int above, double reach)
{
    double upright = above > 1 ? (above - 1) * s->slices->layer : 0;
    s->best = none;
    s->layer = layer;
    s->above = above;
    s->upright = upright;
    size_t other = layer + (size_t)above;
    if (upright >= reach || other >= s->slices->layers) return HW_OK;
    s->reach = sqrt(reach * reach - upright * upright);
    size_t mark = hw_arena_mark(work);
    s->n = 0;
    s->seg =
        HW_NEW(work, hw_seg, corners(s->slices, layer) + (above ? corners(s->slices, other) : 0));
    if (!s->seg) return HW_NO_MEMORY;
    add_slice(s, layer, 0);
    if (above) add_slice(s, other, 1);
    hw_code code = hw_segs_near(work, s->seg, s->n, s->reach, compare, s);
    if (code == HW_OK) find_inside(s, other);
    hw_arena_rewind(work, mark);
    return code;
}

static double widest(const hw_slices *sl)
{
    hw_bed_spot low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};
    for (size_t i = 0; i < sl->layers * sl->parts; i++)
        for (size_t k = 0; k < sl->slice[i].rings; k++)
            for (size_t j = 0; j < sl->slice[i].ring[k].n; j++) {
                hw_bed_spot p = sl->slice[i].ring[k].at[j];
                low = (hw_bed_spot){fmin(low.x, p.x), fmin(low.y, p.y)};
                high = (hw_bed_spot){fmax(high.x, p.x), fmax(high.y, p.y)};
            }
    return high.x > low.x ? hypot(high.x - low.x, high.y - low.y) : 0;
}

static int nearest_first(const void *a, const void *b)
{
    const hw_print_near *p = a, *q = b;
    if (p->gap != q->gap) return p->gap < q->gap ? -1 : 1;
    if (p->a != q->a) return p->a < q->a ? -1 : 1;
    return p->b < q->b ? -1 : p->b > q->b;
}

static hw_code keep_pairs(hw_print_run *r, const hw_print_near *pair)
{
    size_t parts = r->slices->parts, n = 0;
    for (size_t i = 0; i < parts * parts; i++) n += isfinite(pair[i].gap) ? 1 : 0;
    r->out->near = HW_NEW(r->keep, hw_print_near, n);
    if (!r->out->near) return HW_NO_MEMORY;
    for (size_t i = 0; i < parts * parts; i++)
        if (isfinite(pair[i].gap)) r->out->near[r->out->nears++] = pair[i];
    if (n) qsort(r->out->near, n, sizeof *r->out->near, nearest_first);
    return HW_OK;
}

// In every slice; farther and farther until any slice has a pair.
static hw_code in_slices(hw_print_run *r, search *s, double far)
{
    const hw_slices *sl = r->slices;
    double reach = 2 * r->def->gap;
    for (int round = 0; round < 64; round++, reach *= 4) {
        for (size_t i = 0; i < sl->layers; i++) {
            if (i % 4 == 0 &&
                !hw_job_go_on(r->job, round ? 0.6 : 0.4 + 0.2 * (double)i / (double)sl->layers,
                              "gaps"))
                return HW_CANCELLED;
            hw_code code = look(r->work, s, i, 0, round ? fmin(reach, r->out->gap.gap) : reach);
            if (code != HW_OK) return code;
            if (!round) r->out->slice_gap[i] = s->best.gap;
            if (s->best.gap < r->out->gap.gap) r->out->gap = s->best;
        }
        s->pair = NULL;
        if (isfinite(r->out->gap.gap) || reach > far) break;
    }
    return HW_OK;
}

// From one layer to those above it, up to two gaps apart in height: one that lies `above` higher is
// (above - 1) layers away upward.
static hw_code above_layer(hw_print_run *r, search *s, size_t layer, double reach)
{
    const hw_slices *sl = r->slices;
    hw_print_near *best = &r->out->step;
    for (int above = 1; layer + (size_t)above < sl->layers; above++) {
        double within = fmin(reach, best->gap);
        if ((above - 1) * sl->layer >= fmin(within, 2 * r->def->gap)) break;
        hw_code code = look(r->work, s, layer, above, within);
        if (code != HW_OK) return code;
        if (s->best.gap < best->gap) *best = s->best;
    }
    return HW_OK;
}

// Between layers as printed.
static hw_code between_layers(hw_print_run *r, search *s, double far)
{
    const hw_slices *sl = r->slices;
    s->pair = NULL;
    double reach = 2 * r->def->gap;
    for (int round = 0; round < 64; round++, reach *= 4) {
        for (size_t i = 0; i + 1 < sl->layers; i++) {
            double done = round ? 0.8 : 0.6 + 0.2 * (double)i / (double)sl->layers;
            if (i % 4 == 0 && !hw_job_go_on(r->job, done, "steps")) return HW_CANCELLED;
            hw_code code = above_layer(r, s, i, reach);
            if (code != HW_OK) return code;
        }
        if (isfinite(r->out->step.gap) || reach > far) break;
    }
    return HW_OK;
}

static hw_code in_first(hw_print_run *r, search *s, double far)
{
    s->pair = NULL;
    double reach = 2 * (r->def->gap + r->def->spread);
    for (int round = 0; round < 64 && r->slices->layers; round++, reach *= 4) {
        hw_code code = look(r->work, s, 0, 0, reach);
        if (code != HW_OK) return code;
        r->out->first = s->best;
        if (isfinite(s->best.gap) || reach > far) break;
    }
    return HW_OK;
}

hw_code hw_print_gaps(hw_print_run *r)
{
    const hw_slices *sl = r->slices;
    r->out->gap = r->out->step = r->out->first = none;
    r->out->slice_gap = HW_NEW(r->keep, double, sl->layers);
    hw_print_near *pair = HW_NEW(r->work, hw_print_near, sl->parts * sl->parts);
    if (!r->out->slice_gap || !pair) return HW_NO_MEMORY;
    for (size_t i = 0; i < sl->layers; i++) r->out->slice_gap[i] = INFINITY;
    for (size_t i = 0; i < sl->parts * sl->parts; i++) pair[i] = none;
    if (sl->parts < 2) return keep_pairs(r, pair);
    search s = {.slices = sl, .pair = pair};
    double far = hypot(widest(sl), (double)sl->layers * sl->layer);
    hw_code code = in_slices(r, &s, far);
    if (code == HW_OK) code = keep_pairs(r, pair);
    if (code == HW_OK) code = between_layers(r, &s, far);
    if (code == HW_OK) code = in_first(r, &s, far);
    return code;
}
