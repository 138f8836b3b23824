// Lines across a patch of an underside: from carrier to carrier, or out into the air.
#include <math.h>
#include <stdlib.h>

#include "print/print_internal.h"

enum { FIXED = 18, TRIED = 24, LINES = 128 };

typedef struct meet {
    double at;
    bool carries;
} meet;

// A stretch of a line across a patch.
typedef struct stretch {
    double v, from, to; // of its line; along it
    int carriers;       // at its ends
} stretch;

typedef struct side { // a rim seen along the lines
    double low, high; // across them
    double at_low, at_high;
    bool carries;
} side;

typedef struct loom {
    hw_arena *work;
    const hw_print_def *def;
    const hw_rim *rim;
    size_t rims;
    hw_bed_spot u;
    side *side;     // by low
    size_t *active; // sides that a line may meet, and how many sides were looked at
    size_t actives, begun;
    double *v;
    meet *cut;
    stretch *list;
    size_t n, room;
} loom;

static int by_value(const void *a, const void *b)
{
    double p = *(const double *)a, q = *(const double *)b;
    return p < q ? -1 : p > q;
}

static int by_at(const void *a, const void *b)
{
    const meet *p = a, *q = b;
    return p->at < q->at ? -1 : p->at > q->at;
}

static int by_low(const void *a, const void *b)
{
    const side *p = a, *q = b;
    return p->low < q->low ? -1 : p->low > q->low;
}

static void face(loom *l, hw_bed_spot u)
{
    l->u = u;
    l->n = l->actives = l->begun = 0;
    for (size_t i = 0; i < l->rims; i++) {
        const hw_rim *r = &l->rim[i];
        double va = u.x * r->a.y - u.y * r->a.x, vb = u.x * r->b.y - u.y * r->b.x;
        double xa = u.x * r->a.x + u.y * r->a.y, xb = u.x * r->b.x + u.y * r->b.y;
        l->side[i] =
            va < vb ? (side){va, vb, xa, xb, r->carries} : (side){vb, va, xb, xa, r->carries};
        l->v[i] = va;
    }
    qsort(l->side, l->rims, sizeof *l->side, by_low);
    qsort(l->v, l->rims, sizeof *l->v, by_value);
}

// One line at distance v to the left of the origin; lines come in order. False: out of memory.
static bool run_line(loom *l, double v)
{
    size_t n = 0, kept = 0;
    for (; l->begun < l->rims && l->side[l->begun].low <= v; l->begun++)
        l->active[l->actives++] = l->begun;
    for (size_t k = 0; k < l->actives; k++) {
        const side *s = &l->side[l->active[k]];
        if (s->high <= v) continue;
        l->active[kept++] = l->active[k];
        double t = (v - s->low) / (s->high - s->low);
        l->cut[n++] = (meet){s->at_low + t * (s->at_high - s->at_low), s->carries};
    }
    l->actives = kept;
    qsort(l->cut, n, sizeof *l->cut, by_at);
    for (size_t i = 0; i + 1 < n; i += 2) {
        stretch *grown = hw_print_grow(l->work, l->list, l->n, &l->room, sizeof *grown);
        if (!grown) return false;
        l->list = grown;
        grown[l->n++] =
            (stretch){v, l->cut[i].at, l->cut[i + 1].at, l->cut[i].carries + l->cut[i + 1].carries};
    }
    return true;
}

static double distance_to_carrier(const loom *l, hw_bed_spot s)
{
    double least = INFINITY;
    for (size_t i = 0; i < l->rims && l->rim[i].carries; i++) {
        const hw_seg one = {l->rim[i].a, l->rim[i].b, 0, 0}, dot = {s, s, 0, 0};
        hw_bed_spot at;
        least = fmin(least, hw_seg_distance2(&one, &dot, &at));
    }
    return sqrt(least);
}

// How far a stretch that is not held at both ends strays from what carries, or from lines between
// carriers beside it; what is no more than `enough` may be said smaller.
static double stray(const loom *l, const stretch *s, double enough)
{
    double far = 0, beside = INFINITY;
    if (s->carriers == 1 && s->to - s->from <= enough) return 0;
    for (size_t i = 0; i < l->n && beside > enough; i++) {
        const stretch *o = &l->list[i];
        if (o->carriers == 2 && o->from < s->to && o->to > s->from)
            beside = fmin(beside, fabs(o->v - s->v));
    }
    if (beside <= enough) return 0;
    for (int k = 0; k < 3; k++) {
        double at = s->from + 0.5 * k * (s->to - s->from);
        hw_bed_spot spot = {l->u.x * at - l->u.y * s->v, l->u.y * at + l->u.x * s->v};
        far = fmax(far, distance_to_carrier(l, spot));
    }
    return fmin(far, beside);
}

// Smaller is better: directions in which all is held, to within a line, go before others.
static double badness(const hw_print_def *def, const hw_across *a)
{
    double worst = fmax(a->span / def->bridge, a->jut / def->jut);
    return a->jut <= def->line ? -1 / (1 + worst) : worst;
}

// The stretches of the last line, from number `from` on.
static void measure_line(const loom *l, size_t from, hw_across *out)
{
    for (; from < l->n; from++) {
        const stretch *s = &l->list[from];
        double length = s->to - s->from;
        if (s->carriers < 2 || length <= out->span) continue;
        double mid = 0.5 * (s->from + s->to);
        out->span = length;
        out->middle = (hw_bed_spot){l->u.x * mid - l->u.y * s->v, l->u.y * mid + l->u.x * s->v};
    }
}

// Lines in a strip between corners: at both its ends, for their lengths change evenly between, and
// within it, for stretches that are not held may stray farther there. False: out of memory.
static bool run_strip(loom *l, double low, double high, hw_across *out)
{
    static const double at[] = {1e-4, 0.25, 0.5, 0.75, 1 - 1e-4};
    for (size_t k = 0; k < sizeof at / sizeof at[0]; k++) {
        size_t from = l->n;
        if (!run_line(l, low + at[k] * (high - low))) return false;
        measure_line(l, from, out);
    }
    return true;
}

// All lines along u. Gives up, with what it has, where the direction is no better than `best`.
// False: out of memory.
static bool try_along(loom *l, hw_bed_spot u, double best, hw_across *out)
{
    *out = (hw_across){.along = u};
    face(l, u);
    double thin = 0.02 * l->def->line; // narrower strips are rounding of the corners
    size_t step = l->rims > LINES ? l->rims / LINES : 1;
    for (size_t i = 0; i + 1 < l->rims && badness(l->def, out) < best; i += step) {
        size_t next = i + step < l->rims ? i + step : l->rims - 1;
        if (l->v[next] - l->v[i] > thin && !run_strip(l, l->v[i], l->v[next], out)) return false;
    }
    for (size_t i = 0; i < l->n && badness(l->def, out) < best; i++)
        if (l->list[i].carriers < 2) out->jut = fmax(out->jut, stray(l, &l->list[i], out->jut));
    return true;
}

static int longest_first(const void *a, const void *b)
{
    const hw_rim *p = a, *q = b;
    double x = hypot(p->b.x - p->a.x, p->b.y - p->a.y), y = hypot(q->b.x - q->a.x, q->b.y - q->a.y);
    if (p->carries != q->carries) return p->carries ? -1 : 1;
    return x > y ? -1 : x < y;
}

bool hw_patch_cross(hw_arena *work, const hw_print_def *def, hw_rim rim[], size_t rims,
                    hw_across *out)
{
    size_t mark = hw_arena_mark(work);
    loom l = {.work = work,
              .def = def,
              .rim = rim,
              .rims = rims,
              .side = HW_NEW(work, side, rims),
              .active = HW_NEW(work, size_t, rims),
              .v = HW_NEW(work, double, rims),
              .cut = HW_NEW(work, meet, rims)};
    if (!l.side || !l.active || !l.v || !l.cut) return false;
    *out = (hw_across){.along = {1, 0}};
    if (rims) qsort(rim, rims, sizeof *rim, longest_first);
    double least = INFINITY;
    for (size_t i = 0; i < TRIED + FIXED && rims; i++) {
        hw_bed_spot u;
        if (i < TRIED) { // square to the longest carriers
            if (i >= rims || !rim[i].carries) continue;
            double dx = rim[i].b.x - rim[i].a.x, dy = rim[i].b.y - rim[i].a.y,
                   length = hypot(dx, dy);
            if (length <= 0) continue;
            u = (hw_bed_spot){dy / length, -dx / length};
        } else {
            double angle = HW_PI * (double)(i - TRIED) / FIXED;
            u = (hw_bed_spot){cos(angle), sin(angle)};
        }
        hw_across one;
        if (!try_along(&l, u, least, &one)) return false;
        double bad = badness(def, &one);
        if (bad >= least) continue;
        least = bad;
        *out = one;
    }
    if (rims == 0 || !rim[0].carries) out->jut = INFINITY;
    hw_arena_rewind(work, mark);
    return true;
}
