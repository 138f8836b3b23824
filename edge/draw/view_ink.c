// From a depth buffer to ink on paper: grey, hatching, lines.
#include <math.h>
#include <string.h>

#include "draw/view_internal.h"

// How a part is hatched where it is cut, and how much darker its surface is drawn. The first ones
// are the usual 45 degrees both ways, then closer, then flatter and steeper. Source: ISO 128-3
// (from memory).
static const struct {
    double angle, spacing, darker; // [deg] [mm] [1]
} hatching[HW_VIEW_HATCHES] = {{45, 1.5, 0},   {135, 1.5, 0.05}, {45, 0.85, 0.1}, {135, 0.85, 0.0},
                               {75, 1.2, 0.1}, {105, 1.2, 0.05}, {15, 1.2, 0},    {165, 1.2, 0.1}};

static const double line_of_hatching = HW_WEIGHT_HAIR; // [mm]

typedef enum line_kind { NO_LINE, EDGE, CONTOUR, OUTLINE, CUT_OUTLINE, LINE_KINDS } line_kind;

// A cut's outline is drawn on the cut only, half of its width, so that a narrow gap stays open.
static const double line_width[LINE_KINDS] = {[EDGE] = HW_WEIGHT_THIN,
                                              [CONTOUR] = HW_WEIGHT_PLAIN,
                                              [OUTLINE] = 0.35,
                                              [CUT_OUTLINE] = 2 * 0.35}; // [mm]

typedef struct inker {
    const hw_view_picture *p;
    const int *hatch;
    uint8_t *ink, *kind;
} inker;

// ---- surfaces ---------------------------------------------------------------------------------

// Distances along the hatching's normal, per pixel: found once a picture.
typedef struct hatch_lines {
    double along_x, along_y, step; // [mm] [mm] [mm]
} hatch_lines;

static double hatch_ink(const hatch_lines *h, size_t x, size_t y)
{
    double across = (double)x * h->along_x + (double)y * h->along_y;
    double away =
        fabs(across - h->step * nearbyint(across / h->step)); // from the nearest line [mm]
    return fmin(fmax((line_of_hatching / 2 - away) * HW_VIEW_FINE + 0.5, 0), 1);
}

static double surface_ink(const inker *k, int hatch, size_t i)
{
    // what lies behind a cut is kept light, so that the cut stands out
    double ink = 0.03 + hatching[hatch].darker + 0.36 * k->p->shade[i] / 255;
    return k->p->cut ? 0.10 + 0.5 * ink : ink;
}

static void tint(const inker *k)
{
    const hw_view_picture *p = k->p;
    hatch_lines lines[HW_VIEW_HATCHES];
    for (int h = 0; h < HW_VIEW_HATCHES; h++) {
        double angle = hatching[h].angle * HW_PI / 180;
        lines[h] = (hatch_lines){sin(angle) / HW_VIEW_FINE, cos(angle) / HW_VIEW_FINE,
                                 hatching[h].spacing};
    }
    for (size_t y = 0; y < p->h; y++)
        for (size_t x = 0; x < p->w; x++) {
            size_t i = y * p->w + x;
            if (p->part[i] == HW_VIEW_NO_PART) continue;
            int hatch = k->hatch[p->part[i] - 1] % HW_VIEW_HATCHES;
            double ink = p->is_cut[i] ? hatch_ink(&lines[hatch], x, y) : surface_ink(k, hatch, i);
            k->ink[i] = (uint8_t)(255 * ink + 0.5);
        }
}

// ---- lines ------------------------------------------------------------------------------------

// Whether depth jumps from pixel b to its neighbour c, of one face: neither side, carried on, meets
// the other. `step` leads from b to c; b - step and c + step exist.
static bool jumps(const hw_view_picture *p, size_t b, size_t step)
{
    size_t a = b - step, c = b + step, d = c + step;
    double far = 8 * p->size; // facets of a skin seen edge on jump by less
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

// ---- specks -----------------------------------------------------------------------------------

// Lines of one part that end within this both ways say nothing: facets of a skin seen edge on, and
// corners of meshes that are bevelled by less than a cell. Half a millimetre of paper and a bit.
enum { SPECK = 11 }; // [px]

typedef struct speck {
    size_t low[2], high[2]; // x and y of its box
    size_t n;               // pixels in it
    uint8_t most;           // of their kinds
} speck;

// Gathers the lines that hang together with pixel `at` into `pile`; they are marked as seen.
static speck gather(const inker *k, uint8_t *seen, size_t at, size_t *pile)
{
    const hw_view_picture *p = k->p;
    speck s = {{at % p->w, at / p->w}, {at % p->w, at / p->w}, 0, NO_LINE};
    pile[s.n++] = at;
    seen[at] = 1;
    for (size_t i = 0; i < s.n; i++) {
        size_t x = pile[i] % p->w, y = pile[i] / p->w;
        s.low[0] = x < s.low[0] ? x : s.low[0], s.high[0] = x > s.high[0] ? x : s.high[0];
        s.low[1] = y < s.low[1] ? y : s.low[1], s.high[1] = y > s.high[1] ? y : s.high[1];
        s.most = k->kind[pile[i]] > s.most ? k->kind[pile[i]] : s.most;
        // lines keep two pixels away from the picture's edge
        for (size_t n = 0; n < 9; n++) {
            size_t next = pile[i] + n / 3 * p->w + n % 3 - p->w - 1;
            if (!k->kind[next] || seen[next]) continue;
            seen[next] = 1;
            pile[s.n++] = next;
        }
    }
    return s;
}

static hw_code drop_specks(hw_arena *work, const inker *k)
{
    const hw_view_picture *p = k->p;
    size_t mark = hw_arena_mark(work), n = p->w * p->h;
    uint8_t *seen = HW_NEW(work, uint8_t, n);
    size_t *pile = HW_NEW(work, size_t, n);
    if (!seen || !pile) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        if (!k->kind[i] || seen[i]) continue;
        speck s = gather(k, seen, i, pile);
        bool small = s.high[0] - s.low[0] < SPECK && s.high[1] - s.low[1] < SPECK;
        if (!small || s.most > CONTOUR) continue;
        for (size_t j = 0; j < s.n; j++) k->kind[pile[j]] = NO_LINE;
    }
    hw_arena_rewind(work, mark);
    return HW_OK;
}

enum { STAMP = 8 }; // reach of the widest line's disc [px]

// A disc of a line's width, as ink of the pixels round its middle.
typedef struct stamp {
    int reach;
    uint8_t ink[2 * STAMP + 1][2 * STAMP + 1];
} stamp;

static stamp stamp_of(line_kind kind)
{
    double r = line_width[kind] / 2 * HW_VIEW_FINE;
    stamp s = {.reach = (int)ceil(r) < STAMP ? (int)ceil(r) : STAMP};
    for (int y = -s.reach; y <= s.reach; y++)
        for (int x = -s.reach; x <= s.reach; x++) {
            double cover = fmin(fmax(r - hypot(x, y) + 0.5, 0), 1);
            s.ink[y + STAMP][x + STAMP] = (uint8_t)lround(255 * cover);
        }
    return s;
}

static void press(const inker *k, size_t x, size_t y, const stamp *s, bool on_cut)
{
    const hw_view_picture *p = k->p;
    for (int dy = -s->reach; dy <= s->reach; dy++)
        for (int dx = -s->reach; dx <= s->reach; dx++) {
            long px = (long)x + dx, py = (long)y + dy;
            if (px < 0 || py < 0 || px >= (long)p->w || py >= (long)p->h) continue;
            size_t i = (size_t)py * p->w + (size_t)px;
            if (on_cut && !p->is_cut[i]) continue;
            uint8_t ink = s->ink[dy + STAMP][dx + STAMP];
            if (ink > k->ink[i]) k->ink[i] = ink;
        }
}

hw_code hw_view_ink(hw_arena *work, const hw_view_picture *p, const int hatch[], const hw_job *job,
                    uint8_t *ink)
{
    size_t mark = hw_arena_mark(work);
    inker k = {p, hatch, ink, HW_NEW(work, uint8_t, p->w * p->h)};
    if (!k.kind) return HW_NO_MEMORY;
    memset(ink, 0, p->w * p->h);
    tint(&k);
    for (size_t y = 1; y + 2 < p->h; y++) find_lines(&k, y);
    if (drop_specks(work, &k) != HW_OK) return HW_NO_MEMORY;
    stamp of[LINE_KINDS];
    for (int kind = EDGE; kind < LINE_KINDS; kind++) of[kind] = stamp_of((line_kind)kind);
    for (size_t y = 0; y < p->h; y++) {
        if (y % 64 == 0 && !hw_job_go_on(job, 0.6 + 0.4 * (double)y / (double)p->h, "views"))
            return HW_CANCELLED;
        for (size_t x = 0; x < p->w; x++)
            if (k.kind[y * p->w + x])
                press(&k, x, y, &of[k.kind[y * p->w + x]], k.kind[y * p->w + x] == CUT_OUTLINE);
    }
    hw_arena_rewind(work, mark);
    return HW_OK;
}

// ---- where to point at ------------------------------------------------------------------------

// Looked for on every STEPth pixel each way: names need no more.
enum { STEP = 4, STRAIGHT = 5, SLANTED = 7, FAR = 30000 }; // a step's width, its diagonal: 5 to 7

typedef struct coarse {
    long w, h;
    uint16_t *part;
    int16_t *deep;
} coarse;

static void spread(const coarse *c, long x, long y, long dx, long dy, int cost)
{
    long nx = x + dx, ny = y + dy;
    size_t i = (size_t)(y * c->w + x), n = (size_t)(ny * c->w + nx);
    bool inside = nx >= 0 && ny >= 0 && nx < c->w && ny < c->h && c->part[n] == c->part[i];
    int from = inside ? c->deep[n] : 0;
    if (from + cost < c->deep[i]) c->deep[i] = (int16_t)(from + cost);
}

// How far each pixel lies from the edge of what can be seen of its part.
static void measure_depth(const coarse *c)
{
    for (long y = 0; y < c->h; y++)
        for (long x = 0; x < c->w; x++) {
            if (c->part[y * c->w + x] == HW_VIEW_NO_PART) continue;
            spread(c, x, y, -1, 0, STRAIGHT);
            spread(c, x, y, 0, -1, STRAIGHT);
            spread(c, x, y, -1, -1, SLANTED);
            spread(c, x, y, 1, -1, SLANTED);
        }
    for (long y = c->h; y-- > 0;)
        for (long x = c->w; x-- > 0;) {
            if (c->part[y * c->w + x] == HW_VIEW_NO_PART) continue;
            spread(c, x, y, 1, 0, STRAIGHT);
            spread(c, x, y, 0, 1, STRAIGHT);
            spread(c, x, y, 1, 1, SLANTED);
            spread(c, x, y, -1, 1, SLANTED);
        }
}

// Of what can be seen of a part: sums of its pixels, how deep its deepest lies, and how near the
// middle the nearest of the deepest.
typedef struct middle_of {
    double x, y, n, nearest; // [px]
    int deepest;
} middle_of;

static void choose(const hw_view_picture *p, const coarse *c, size_t parts, middle_of *m,
                   size_t at[])
{
    size_t n = (size_t)(c->w * c->h), w = (size_t)c->w;
    for (size_t k = 0; k < parts; k++) {
        at[k] = SIZE_MAX;
        m[k] = (middle_of){.nearest = INFINITY};
    }
    for (size_t i = 0; i < n; i++) {
        if (c->part[i] == HW_VIEW_NO_PART) continue;
        middle_of *k = &m[c->part[i] - 1];
        size_t row = i / w;
        k->x += (double)(i % w), k->y += (double)row, k->n += 1;
        if (c->deep[i] > k->deepest) k->deepest = c->deep[i];
    }
    for (size_t i = 0; i < n; i++) {
        if (c->part[i] == HW_VIEW_NO_PART) continue;
        middle_of *k = &m[c->part[i] - 1];
        if (c->deep[i] < k->deepest) continue;
        size_t row = i / w;
        double away = hypot((double)(i % w) - k->x / k->n, (double)row - k->y / k->n);
        if (away >= k->nearest) continue;
        k->nearest = away;
        at[c->part[i] - 1] = i / w * STEP * p->w + i % w * STEP;
    }
}

hw_code hw_view_spots(hw_arena *work, const hw_view_picture *p, size_t parts, size_t at[])
{
    size_t mark = hw_arena_mark(work);
    coarse c = {.w = (long)((p->w + STEP - 1) / STEP), .h = (long)((p->h + STEP - 1) / STEP)};
    size_t n = (size_t)(c.w * c.h);
    c.part = HW_NEW(work, uint16_t, n);
    c.deep = HW_NEW(work, int16_t, n);
    middle_of *middle = HW_NEW(work, middle_of, parts);
    if (!c.part || !c.deep || !middle) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        size_t x = i % (size_t)c.w * STEP, y = i / (size_t)c.w * STEP;
        c.part[i] = p->part[y * p->w + x];
        c.deep[i] = FAR;
    }
    measure_depth(&c);
    choose(p, &c, parts, middle, at);
    hw_arena_rewind(work, mark);
    return HW_OK;
}
