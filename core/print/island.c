// Islands: regions of a slice over which the slice below, of the same part, has nothing.
#include <math.h>

#include "print/print_internal.h"

typedef struct rows {
    const hw_print_slice *here, *below;
    double *x, *under; // room for spans
    double line;
    uint32_t only; // of the regions below; UINT32_MAX: all
} rows;

// Do the spans overlap by more than rounding?
static bool overlap(const rows *w, size_t n, size_t m)
{
    for (size_t i = 0, j = 0; i < n && j < m;) {
        double low = fmax(w->x[2 * i], w->under[2 * j]);
        double high = fmin(w->x[2 * i + 1], w->under[2 * j + 1]);
        if (high - low > 1e-6 * w->line) return true;
        if (w->x[2 * i + 1] < w->under[2 * j + 1])
            i++;
        else
            j++;
    }
    return false;
}

// Looks along rows a quarter line apart, the middle one first, so that most regions take one.
static bool carried(const rows *w, uint32_t body, hw_bed_spot *inside)
{
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < w->here->rings; i++) {
        const hw_print_ring *ring = &w->here->ring[i];
        if (ring->body != body || ring->area <= 0) continue;
        for (size_t k = 0; k < ring->n; k++) {
            low = fmin(low, ring->at[k].y);
            high = fmax(high, ring->at[k].y);
        }
    }
    double widest = 0;
    size_t count = (size_t)fmin(fmax(ceil((high - low) / (0.25 * w->line)), 3), 1e5);
    for (size_t k = 0; k < count; k++) {
        size_t row = k % 2 ? count / 2 - (k + 1) / 2 : count / 2 + k / 2;
        double y = low + ((double)row + 0.5) / (double)count * (high - low);
        size_t n = hw_slice_spans(w->here, body, y, w->x);
        for (size_t i = 0; i < n; i++) {
            double wide = w->x[2 * i + 1] - w->x[2 * i];
            if (wide <= widest) continue;
            widest = wide;
            *inside = (hw_bed_spot){0.5 * (w->x[2 * i] + w->x[2 * i + 1]), y};
        }
        size_t m = w->below ? hw_slice_spans(w->below, w->only, y, w->under) : 0;
        if (overlap(w, n, m)) return true;
    }
    return false;
}

static double body_area(const hw_print_slice *s, uint32_t body)
{
    double sum = 0;
    for (size_t i = 0; i < s->rings; i++)
        if (s->ring[i].body == body) sum += s->ring[i].area;
    return sum;
}

// Which region of a slice holds a spot; UINT32_MAX: none.
static uint32_t body_at(const rows *w, const hw_print_slice *s, hw_bed_spot at)
{
    for (uint32_t b = 0; b < s->bodies; b++) {
        const size_t n = hw_slice_spans(s, b, at.y, w->x);
        for (size_t i = 0; i < n; i++)
            if (w->x[2 * i] <= at.x && at.x <= w->x[2 * i + 1]) return b;
    }
    return UINT32_MAX;
}

// The lowest corner of an underside: of less than a line's square, which is no line yet, and the
// region that it grows into is carried by another of this slice. How that underside hangs is told
// as such.
static bool is_corner(const rows *w, const hw_print_slice *above, uint32_t body, hw_bed_spot at)
{
    if (!above || body_area(w->here, body) > w->line * w->line) return false;
    const uint32_t grown = body_at(w, above, at);
    if (grown == UINT32_MAX) return false;
    rows up = *w;
    up.here = above;
    up.below = w->here;
    for (up.only = 0; up.only < w->here->bodies; up.only++)
        if (up.only != body && carried(&up, grown, &at)) return true;
    return false;
}

// What stands in one layer alone and is less than a tenth of a line's square: no slicer lays it.
static bool is_dust(const rows *w, const hw_print_slice *above, uint32_t body, hw_bed_spot at)
{
    if (body_area(w->here, body) > 0.1 * w->line * w->line) return false;
    return !above || body_at(w, above, at) == UINT32_MAX;
}

// Of one part's slice.
static hw_code islands_of(hw_print_run *r, rows *w, size_t part, size_t layer, size_t *room)
{
    const bool last = layer + 1 == r->slices->layers;
    for (uint32_t b = 0; b < w->here->bodies; b++) {
        hw_bed_spot at = {0};
        if (carried(w, b, &at)) continue;
        const hw_print_slice *above = last ? NULL : w->here + r->slices->parts;
        if (is_corner(w, above, b, at) || is_dust(w, above, b, at)) continue;
        hw_print_island *list =
            hw_print_grow(r->keep, r->out->island, r->out->islands, room, sizeof *list);
        if (!list) return HW_NO_MEMORY;
        r->out->island = list;
        list[r->out->islands++] = (hw_print_island){part, layer, at, body_area(w->here, b)};
    }
    return HW_OK;
}

hw_code hw_print_islands(hw_print_run *r)
{
    const hw_slices *sl = r->slices;
    size_t most = 0, room = 0;
    for (size_t i = 0; i < sl->layers * sl->parts; i++) {
        size_t n = hw_slice_corners(&sl->slice[i]);
        most = n > most ? n : most;
    }
    rows w = {.x = HW_NEW(r->work, double, most),
              .under = HW_NEW(r->work, double, most),
              .line = r->def->line,
              .only = UINT32_MAX};
    if (!w.x || !w.under) return HW_NO_MEMORY;
    for (size_t i = 1; i < sl->layers; i++) {
        if (i % 16 == 0 &&
            !hw_job_go_on(r->job, 0.3 + 0.1 * (double)i / (double)sl->layers, "islands"))
            return HW_CANCELLED;
        for (size_t p = 0; p < sl->parts; p++) {
            w.here = &sl->slice[i * sl->parts + p];
            w.below = &sl->slice[(i - 1) * sl->parts + p];
            const hw_code code = islands_of(r, &w, p, i, &room);
            if (code != HW_OK) return code;
        }
    }
    return HW_OK;
}
