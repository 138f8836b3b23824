// Walls: from every outline inward to the next, over three layers.
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "print/print_internal.h"

enum { LINES = 5, STACKED = 3, SAMPLES_MOST = 256 };

// A spot on an outline and how thick the part is inward of it.
typedef struct probe {
    hw_bed_spot at, in;   // unit, inward
    double thick, share;  // [m]; length of outline that it stands for
    bool facing;          // what the ray meets runs back within 20 degrees
    bool tip;             // of a corner
    double over[STACKED]; // thickness that one, two, three layers on each other have at least
} probe;

typedef struct look {
    const hw_seg *seg;
    probe *probe;
    const size_t *first; // of each segment, n + 1
    double reach;
} look;

static void cast(look *w, size_t i, size_t j)
{
    const hw_seg *s = &w->seg[i], *t = &w->seg[j];
    double sx = s->b.x - s->a.x, sy = s->b.y - s->a.y;
    double tx = t->b.x - t->a.x, ty = t->b.y - t->a.y;
    for (size_t k = w->first[i]; k < w->first[i + 1]; k++) {
        probe *p = &w->probe[k];
        double ax = t->a.x - p->at.x, ay = t->a.y - p->at.y;
        double bx = t->b.x - p->at.x, by = t->b.y - p->at.y;
        double side_a = p->in.x * ay - p->in.y * ax, side_b = p->in.x * by - p->in.y * bx;
        if ((side_a <= 0) == (side_b <= 0)) continue;
        double along = side_a / (side_a - side_b);
        double far = p->in.x * (ax + along * tx) + p->in.y * (ay + along * ty);
        if (far < 0 || far >= p->thick) continue;
        p->thick = far;
        p->facing = sx * tx + sy * ty < -cos(20 * HW_PI / 180) * hypot(sx, sy) * hypot(tx, ty);
    }
}

static void visit(void *self, size_t i, size_t j)
{
    cast(self, i, j);
    cast(self, j, i);
}

// A side shorter than a fiftieth of a line is none: facets fold by steps of the mesh's grid.
static size_t samples(const hw_seg *s, double line)
{
    double length = hypot(s->b.x - s->a.x, s->b.y - s->a.y), n = ceil(length / line);
    return length < line / 50 ? 0 : n < 1 ? 1 : n > SAMPLES_MOST ? SAMPLES_MOST : (size_t)n;
}

static int by_x(const void *a, const void *b)
{
    const probe *p = a, *q = b;
    if (p->at.x != q->at.x) return p->at.x < q->at.x ? -1 : 1;
    return p->at.y < q->at.y ? -1 : p->at.y > q->at.y;
}

typedef struct sheet { // the probes of one slice that met a wall, by x
    probe *probe;
    size_t n;
} sheet;

// Whether what a probe met is a ridge between engraved strokes.
static bool between_strokes(const hw_print_part *part, const probe *p, double z)
{
    hw_bed_spot m = {p->at.x + p->in.x * p->thick / 2, p->at.y + p->in.y * p->thick / 2};
    for (size_t i = 0; i < part->allows; i++) {
        const hw_allowance *a = &part->allow[i];
        if (a->kind == HW_ALLOW_LETTERS && a->low.x < m.x && m.x < a->high.x && a->low.y < m.y &&
            m.y < a->high.y && a->low.z < z && z < a->high.z)
            return true;
    }
    return false;
}

// A probe that meets what faces it nearer than a line, in a stretch of such probes that is shorter
// than half a line, is at the blunt end of a corner: no wall, and a print rounds it. Probes of one
// ring, in its order.
static void drop_tips(probe *p, size_t n, double line)
{
    for (size_t i = 0; i < n; i++) {
        if (!p[i].facing || p[i].thick >= line) continue;
        double thin = p[i].share;
        for (int way = 0; way < 2; way++)
            for (size_t k = 1; k < n && thin < line; k++) {
                const probe *q = &p[(way ? i + k : i + n - k) % n];
                const bool wall = q->facing && q->thick < line;
                if (wall) thin += q->share;
                if (!wall && q->share > 0.1 * line) break;
            }
        p[i].tip = thin < 0.5 * line;
    }
}

// Casts every outline of a slice and adds up walls of an odd thickness.
static hw_code probe_slice(hw_arena *work, const hw_print_slice *s, double line,
                           const hw_print_part *part, double z, size_t layer, hw_print_of *of,
                           double *odd, double *longest, sheet *out)
{
    size_t n = hw_slice_corners(s), at = 0;
    hw_seg *seg = HW_NEW(work, hw_seg, n);
    size_t *first = HW_NEW(work, size_t, n + 1);
    if (!seg || !first) return HW_NO_MEMORY;
    for (size_t i = 0; i < s->rings; i++) {
        const hw_print_ring *ring = &s->ring[i];
        for (size_t k = 0, j = ring->n - 1; k < ring->n; j = k++) {
            seg[at] = (hw_seg){ring->at[j], ring->at[k], 0, 0};
            first[at + 1] = first[at] + samples(&seg[at], line);
            at++;
        }
    }
    probe *list = HW_NEW(work, probe, first[n]);
    if (!list) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        double dx = seg[i].b.x - seg[i].a.x, dy = seg[i].b.y - seg[i].a.y, l = hypot(dx, dy);
        size_t m = first[i + 1] - first[i];
        for (size_t k = 0; k < m; k++) {
            double t = ((double)k + 0.5) / (double)m;
            list[first[i] + k] = (probe){.at = {seg[i].a.x + t * dx, seg[i].a.y + t * dy},
                                         .in = {-dy / l, dx / l},
                                         .thick = LINES * line,
                                         .share = l / (double)m};
        }
    }
    look w = {seg, list, first, LINES * line};
    hw_code code = hw_segs_near(work, seg, n, w.reach, visit, &w);
    if (code != HW_OK) return code;
    for (size_t i = 0, from = 0; i < s->rings; from += s->ring[i++].n)
        drop_tips(&list[first[from]], first[from + s->ring[i].n] - first[from], line);
    size_t kept = 0;
    for (size_t i = 0; i < n; i++) {
        double odd_here = 0, thick = 0;
        for (size_t k = first[i]; k < first[i + 1]; k++) {
            probe p = list[k];
            double lines = p.thick / line;
            if (!p.facing || p.tip || between_strokes(part, &p, z)) continue;
            list[kept++] = p;
            if (lines < 1 || lines > 4 || fabs(lines - round(lines)) <= 0.25) continue;
            odd_here += p.share;
            thick = p.thick;
        }
        *odd += odd_here;
        if (odd_here <= *longest) continue;
        *longest = odd_here;
        of->odd_wall = thick;
        of->odd_at =
            (hw_bed_spot){0.5 * (seg[i].a.x + seg[i].b.x), 0.5 * (seg[i].a.y + seg[i].b.y)};
        of->odd_layer = layer;
    }
    if (kept > 1) qsort(list, kept, sizeof *list, by_x);
    *out = (sheet){list, kept};
    return HW_OK;
}

// A wall over k layers is as thin as the thickest of them at about the same place: the thinnest
// choice below, or this one where that is thicker.
static void stack_up(const sheet *below, sheet *here, double line)
{
    for (size_t i = 0, from = 0; i < here->n; i++) {
        probe *p = &here->probe[i];
        p->over[0] = p->thick;
        for (int k = 1; k < STACKED; k++) p->over[k] = INFINITY;
        while (from < below->n && below->probe[from].at.x < p->at.x - line) from++;
        for (size_t j = from; j < below->n && below->probe[j].at.x <= p->at.x + line; j++) {
            const probe *q = &below->probe[j];
            if (fabs(q->at.y - p->at.y) > line) continue;
            for (int k = 1; k < STACKED; k++)
                p->over[k] = fmin(p->over[k], fmax(p->thick, q->over[k - 1]));
        }
    }
}

static hw_code walls_of(hw_print_run *r, size_t p, hw_arena *work)
{
    const hw_slices *sl = r->slices;
    hw_print_of *of = &r->out->of[p];
    double odd = 0, longest = 0, around = 0;
    int stacked = of->layers < STACKED ? (int)of->layers : STACKED;
    sheet below = {NULL, 0};
    of->wall = INFINITY;
    for (size_t i = 0; i < sl->layers; i++) {
        const hw_print_slice *s = &sl->slice[i * sl->parts + p];
        double done = ((double)p + (double)i / (double)sl->layers) / (double)sl->parts;
        if (i % 8 == 0 && !hw_job_go_on(r->job, 0.8 + 0.15 * done, "walls")) return HW_CANCELLED;
        sheet here = {NULL, 0};
        if (s->rings) {
            double z = hw_slice_height(sl->layer, i);
            hw_code code =
                probe_slice(work, s, r->def->line, &r->part[p], z, i, of, &odd, &longest, &here);
            if (code != HW_OK) return code;
        }
        stack_up(&below, &here, r->def->line);
        for (size_t k = 0; k < here.n; k++) {
            if (here.probe[k].over[stacked - 1] >= of->wall) continue;
            of->wall = here.probe[k].over[stacked - 1];
            of->wall_at = here.probe[k].at;
            of->wall_layer = i;
        }
        around += s->length;
        below = here;
    }
    of->odd_share = around > 0 ? odd / around : 0;
    return HW_OK;
}

hw_code hw_print_walls(hw_print_run *r)
{
    for (size_t p = 0; p < r->slices->parts; p++) {
        size_t mark = hw_arena_mark(r->work);
        hw_code code = walls_of(r, p, r->work);
        if (code != HW_OK) return code;
        hw_arena_rewind(r->work, mark);
    }
    return HW_OK;
}
