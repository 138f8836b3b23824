// From a depth buffer to ink on paper: grey steps, hatching, lines.
#include <math.h>
#include <string.h>

#include "draw/view_internal.h"

enum { SHADES = 5 };

// How a part is hatched where it is cut, and how much darker its surface is drawn. The first ones
// are the usual 45 degrees both ways, then closer, then flatter and steeper. Source: ISO 128-3
// (from memory).
static const struct {
    double angle, spacing, darker; // [deg] [mm] [1]
} hatching[HW_VIEW_HATCHES] = {{45, 1.5, 0},   {135, 1.5, 0.05}, {45, 0.85, 0.1}, {135, 0.85, 0.0},
                               {75, 1.2, 0.1}, {105, 1.2, 0.05}, {15, 1.2, 0},    {165, 1.2, 0.1}};

static const double line_of_hatching = HW_WEIGHT_HAIR; // [mm]

typedef enum line_kind { NO_LINE, EDGE, CONTOUR, OUTLINE, CUT_OUTLINE, LINE_KINDS } line_kind;

static const double line_width[LINE_KINDS] = {[EDGE] = HW_WEIGHT_THIN,
                                              [CONTOUR] = HW_WEIGHT_PLAIN,
                                              [OUTLINE] = 0.35,
                                              [CUT_OUTLINE] = HW_WEIGHT_HEAVY}; // [mm]

typedef struct inker {
    const hw_view_picture *p;
    const int *hatch;
    uint8_t *ink, *kind;
} inker;

// ---- surfaces ---------------------------------------------------------------------------------

static double hatch_ink(int hatch, size_t x, size_t y)
{
    double angle = hatching[hatch].angle * HW_PI / 180, step = hatching[hatch].spacing;
    double across = ((double)x * sin(angle) + (double)y * cos(angle)) / HW_VIEW_FINE;
    double away = fabs(across - step * nearbyint(across / step)); // from the nearest line [mm]
    return fmin(fmax((line_of_hatching / 2 - away) * HW_VIEW_FINE + 0.5, 0), 1);
}

static double surface_ink(const inker *k, int hatch, size_t i)
{
    // what lies behind a cut is kept light, so that the cut stands out
    double step = fmin(floor(k->p->shade[i] / 256.0 * SHADES), SHADES - 1) / (SHADES - 1);
    double ink = 0.03 + hatching[hatch].darker + 0.36 * step;
    return k->p->cut ? 0.10 + 0.5 * ink : ink;
}

static void tint_rows(void *self, size_t begin, size_t end)
{
    const inker *k = self;
    const hw_view_picture *p = k->p;
    for (size_t y = begin; y < end; y++)
        for (size_t x = 0; x < p->w; x++) {
            size_t i = y * p->w + x;
            if (p->part[i] == HW_VIEW_NO_PART) continue;
            int hatch = k->hatch[p->part[i] - 1] % HW_VIEW_HATCHES;
            double ink = p->is_cut[i] ? hatch_ink(hatch, x, y) : surface_ink(k, hatch, i);
            k->ink[i] = (uint8_t)lround(255 * ink);
        }
}

// ---- lines ------------------------------------------------------------------------------------

// Whether depth jumps from pixel b to its neighbour c, of one face: neither side, carried on, meets
// the other. `step` leads from b to c; b - step and c + step exist.
static bool jumps(const hw_view_picture *p, size_t b, size_t step)
{
    size_t a = b - step, c = b + step, d = c + step;
    double far = 3 * p->size;
    if (fabs((double)p->depth[c] - (double)p->depth[b]) <= far) return false;
    bool before = p->face[a] == p->face[b], after = p->face[d] == p->face[c];
    double from_b = before ? 2 * (double)p->depth[b] - (double)p->depth[a] : (double)p->depth[b];
    double from_c = after ? 2 * (double)p->depth[c] - (double)p->depth[d] : (double)p->depth[c];
    return fabs(from_b - (double)p->depth[c]) > far && fabs(from_c - (double)p->depth[b]) > far;
}

static line_kind line_between(const hw_view_picture *p, size_t b, size_t step)
{
    size_t c = b + step;
    if (p->face[b] == p->face[c])
        return p->part[b] != HW_VIEW_NO_PART && !p->is_cut[b] && jumps(p, b, step) ? CONTOUR
                                                                                   : NO_LINE;
    if (p->is_cut[b] || p->is_cut[c]) return CUT_OUTLINE;
    if (p->part[b] != p->part[c]) return OUTLINE;
    return fabs((double)p->depth[c] - (double)p->depth[b]) > 6 * p->size ? CONTOUR : EDGE;
}

static void find_lines(const inker *k, size_t y)
{
    const hw_view_picture *p = k->p;
    for (size_t x = 1; x + 2 < p->w; x++) {
        size_t i = y * p->w + x;
        line_kind right = line_between(p, i, 1), down = line_between(p, i, p->w);
        k->kind[i] = (uint8_t)(right > down ? right : down);
    }
}

// Covers a disc of the line's width round a pixel.
static void dot_of_ink(const inker *k, size_t x, size_t y, line_kind kind)
{
    const hw_view_picture *p = k->p;
    double r = line_width[kind] / 2 * HW_VIEW_FINE;
    long reach = (long)ceil(r);
    for (long dy = -reach; dy <= reach; dy++)
        for (long dx = -reach; dx <= reach; dx++) {
            long px = (long)x + dx, py = (long)y + dy;
            if (px < 0 || py < 0 || px >= (long)p->w || py >= (long)p->h) continue;
            double cover = fmin(fmax(r - hypot((double)dx, (double)dy) + 0.5, 0), 1);
            uint8_t *at = &k->ink[(size_t)py * p->w + (size_t)px], ink;
            ink = (uint8_t)lround(255 * cover);
            if (ink > *at) *at = ink;
        }
}

hw_code hw_view_ink(hw_arena *work, const hw_view_picture *p, const int hatch[], const hw_job *job,
                    uint8_t *ink)
{
    size_t mark = hw_arena_mark(work);
    inker k = {p, hatch, ink, HW_NEW(work, uint8_t, p->w * p->h)};
    if (!k.kind) return HW_NO_MEMORY;
    memset(ink, 0, p->w * p->h);
    tint_rows(&k, 0, p->h);
    for (size_t y = 1; y + 2 < p->h; y++) find_lines(&k, y);
    for (size_t y = 0; y < p->h; y++) {
        if (y % 64 == 0 && !hw_job_go_on(job, 0.6 + 0.4 * (double)y / (double)p->h, "views"))
            return HW_CANCELLED;
        for (size_t x = 0; x < p->w; x++)
            if (k.kind[y * p->w + x]) dot_of_ink(&k, x, y, (line_kind)k.kind[y * p->w + x]);
    }
    hw_arena_rewind(work, mark);
    return HW_OK;
}

// ---- where to point at ------------------------------------------------------------------------

enum { STRAIGHT = 5, SLANTED = 7, FAR = 30000 }; // a pixel's width, its diagonal: 5 to 7

static void spread(const hw_view_picture *p, int16_t *deep, size_t i, long x, long y, long dx,
                   long dy, int cost)
{
    long nx = x + dx, ny = y + dy;
    bool inside = nx >= 0 && ny >= 0 && nx < (long)p->w && ny < (long)p->h;
    size_t n = inside ? (size_t)ny * p->w + (size_t)nx : 0;
    int from = inside && p->part[n] == p->part[i] ? deep[n] : 0;
    if (from + cost < deep[i]) deep[i] = (int16_t)(from + cost);
}

// Of what can be seen of a part: sums of its pixels, how deep its deepest lies, and how near the
// middle the nearest of the deepest.
typedef struct middle_of {
    double x, y, n, nearest; // [px]
    int deepest;
} middle_of;

static void choose(const hw_view_picture *p, const int16_t *deep, size_t parts, middle_of *m,
                   size_t at[])
{
    for (size_t k = 0; k < parts; k++) {
        at[k] = SIZE_MAX;
        m[k] = (middle_of){.nearest = INFINITY};
    }
    for (size_t i = 0; i < p->w * p->h; i++) {
        if (p->part[i] == HW_VIEW_NO_PART) continue;
        middle_of *k = &m[p->part[i] - 1];
        k->x += (double)(i % p->w), k->y += (double)(i / p->w), k->n += 1;
        if (deep[i] > k->deepest) k->deepest = deep[i];
    }
    for (size_t i = 0; i < p->w * p->h; i++) {
        if (p->part[i] == HW_VIEW_NO_PART) continue;
        middle_of *k = &m[p->part[i] - 1];
        double away = hypot((double)(i % p->w) - k->x / k->n, (double)(i / p->w) - k->y / k->n);
        if (deep[i] < k->deepest || away >= k->nearest) continue;
        k->nearest = away;
        at[p->part[i] - 1] = i;
    }
}

hw_code hw_view_spots(hw_arena *work, const hw_view_picture *p, size_t parts, size_t at[])
{
    size_t mark = hw_arena_mark(work), n = p->w * p->h;
    int16_t *deep = HW_NEW(work, int16_t, n);
    middle_of *middle = HW_NEW(work, middle_of, parts);
    if (!deep || !middle) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) deep[i] = FAR;
    long w = (long)p->w;
    for (size_t i = 0; i < n; i++) {
        long x = (long)i % w, y = (long)i / w;
        spread(p, deep, i, x, y, -1, 0, STRAIGHT);
        spread(p, deep, i, x, y, 0, -1, STRAIGHT);
        spread(p, deep, i, x, y, -1, -1, SLANTED);
        spread(p, deep, i, x, y, 1, -1, SLANTED);
    }
    for (size_t i = n; i-- > 0;) {
        long x = (long)i % w, y = (long)i / w;
        spread(p, deep, i, x, y, 1, 0, STRAIGHT);
        spread(p, deep, i, x, y, 0, 1, STRAIGHT);
        spread(p, deep, i, x, y, 1, 1, SLANTED);
        spread(p, deep, i, x, y, -1, 1, SLANTED);
    }
    choose(p, deep, parts, middle, at);
    hw_arena_rewind(work, mark);
    return HW_OK;
}
