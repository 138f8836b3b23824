// Segments that come near each other: rows as high as the reach, swept along x in each.
#include <math.h>
#include <stdlib.h>

#include "print/print_internal.h"

enum { MOST_ROWS = 4096 };

typedef struct stay { // of a segment in a row
    double low, high; // along x
    uint32_t seg;
} stay;

typedef struct belt {
    double low, high, height; // along y; of one row
    size_t rows;
} belt;

static int by_low(const void *a, const void *b)
{
    const stay *p = a, *q = b;
    if (p->low != q->low) return p->low < q->low ? -1 : 1;
    return p->seg < q->seg ? -1 : p->seg > q->seg;
}

// Rows that a segment comes within half the reach of.
static void rows_of(const belt *b, const hw_seg *s, double reach, size_t *from, size_t *to)
{
    double low = fmin(s->a.y, s->b.y) - 0.5 * reach, high = fmax(s->a.y, s->b.y) + 0.5 * reach;
    double first = floor((low - b->low) / b->height), last = floor((high - b->low) / b->height);
    *from = first > 0 ? (size_t)first : 0;
    *to = last < (double)b->rows ? (size_t)fmax(last, 0) + 1 : b->rows;
}

// The part of a segment within half the reach of a row, along x.
static stay stay_of(const belt *b, const hw_seg *s, double reach, size_t row)
{
    double low = b->low + (double)row * b->height - 0.51 * reach;
    double high = low + b->height + 1.02 * reach;
    double xa = s->a.x, xb = s->b.x, dy = s->b.y - s->a.y;
    if (dy != 0) {
        double t0 = (low - s->a.y) / dy, t1 = (high - s->a.y) / dy;
        double from = fmax(fmin(t0, t1), 0), to = fmin(fmax(t0, t1), 1);
        if (from <= to) {
            double dx = s->b.x - s->a.x;
            xb = s->a.x + to * dx;
            xa = s->a.x + from * dx;
        }
    }
    return (stay){fmin(xa, xb), fmax(xa, xb), 0};
}

static belt belt_of(const hw_seg seg[], size_t n, double reach)
{
    belt b = {.low = INFINITY, .high = -INFINITY};
    for (size_t i = 0; i < n; i++) {
        b.low = fmin(b.low, fmin(seg[i].a.y, seg[i].b.y));
        b.high = fmax(b.high, fmax(seg[i].a.y, seg[i].b.y));
    }
    b.low -= 0.5 * reach;
    b.high += 0.5 * reach;
    b.height = fmax(reach, (b.high - b.low) / MOST_ROWS);
    b.rows = (size_t)floor((b.high - b.low) / b.height) + 1;
    return b;
}

hw_code hw_segs_near(hw_arena *work, const hw_seg seg[], size_t n, double reach,
                     void (*visit)(void *self, size_t i, size_t j), void *self)
{
    if (n < 2) return HW_OK;
    size_t mark = hw_arena_mark(work);
    belt b = belt_of(seg, n, reach);
    size_t *start = HW_NEW(work, size_t, b.rows + 2);
    if (!start) return HW_NO_MEMORY;
    size_t from, to;
    for (size_t i = 0; i < n; i++) {
        rows_of(&b, &seg[i], reach, &from, &to);
        for (size_t row = from; row < to; row++) start[row + 2]++;
    }
    for (size_t row = 0; row < b.rows; row++) start[row + 2] += start[row + 1];
    stay *all = HW_NEW(work, stay, start[b.rows + 1]);
    if (!all) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        rows_of(&b, &seg[i], reach, &from, &to);
        for (size_t row = from; row < to; row++) {
            stay one = stay_of(&b, &seg[i], reach, row);
            one.seg = (uint32_t)i;
            all[start[row + 1]++] = one;
        }
    }
    for (size_t row = 0; row < b.rows; row++) {
        stay *s = all + start[row];
        size_t count = start[row + 1] - start[row];
        if (count > 1) qsort(s, count, sizeof *s, by_low);
        for (size_t i = 0; i < count; i++)
            for (size_t j = i + 1; j < count && s[j].low <= s[i].high + reach; j++)
                visit(self, s[i].seg, s[j].seg);
    }
    hw_arena_rewind(work, mark);
    return HW_OK;
}

// Squared distance of a spot from a segment, and the nearest place on that.
static double spot_distance2(hw_bed_spot p, hw_bed_spot a, hw_bed_spot b, hw_bed_spot *on)
{
    double dx = b.x - a.x, dy = b.y - a.y, length2 = dx * dx + dy * dy;
    double t = 0;
    if (length2 > 0) t = fmin(fmax(((p.x - a.x) * dx + (p.y - a.y) * dy) / length2, 0), 1);
    *on = (hw_bed_spot){a.x + t * dx, a.y + t * dy};
    return (p.x - on->x) * (p.x - on->x) + (p.y - on->y) * (p.y - on->y);
}

static double side(hw_bed_spot a, hw_bed_spot b, hw_bed_spot p)
{
    return (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
}

double hw_seg_distance2(const hw_seg *s, const hw_seg *t, hw_bed_spot *at)
{
    double sa = side(t->a, t->b, s->a), sb = side(t->a, t->b, s->b);
    double ta = side(s->a, s->b, t->a), tb = side(s->a, s->b, t->b);
    if ((sa > 0) != (sb > 0) && (ta > 0) != (tb > 0)) {
        double k = sa / (sa - sb);
        *at = (hw_bed_spot){s->a.x + k * (s->b.x - s->a.x), s->a.y + k * (s->b.y - s->a.y)};
        return 0;
    }
    const hw_bed_spot end[4] = {s->a, s->b, t->a, t->b};
    double least = INFINITY;
    for (int i = 0; i < 4; i++) {
        const hw_seg *other = i < 2 ? t : s;
        hw_bed_spot on;
        double d2 = spot_distance2(end[i], other->a, other->b, &on);
        if (d2 >= least) continue;
        least = d2;
        *at = (hw_bed_spot){0.5 * (end[i].x + on.x), 0.5 * (end[i].y + on.y)};
    }
    return least;
}
