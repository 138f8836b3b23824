#include "parts/blocks_internal.h"

#include <math.h>
#include <string.h>

hw_blocks hw_blocks_new(hw_arena *keep, double deviation)
{
    return (hw_blocks){.pile = {.keep = keep, .up = 1}, .deviation = deviation};
}

hw_solid hw_blocks_solid(const hw_blocks *b)
{
    return b->pile.code == HW_OK ? (hw_solid){b->pile.block, b->pile.blocks} : (hw_solid){0};
}

static void fail(hw_blocks *b, hw_code code)
{
    if (b->pile.code == HW_OK) b->pile.code = code;
}

hw_polygon hw_blocks_polygon(hw_blocks *b, size_t n, const hw_vec2 at[])
{
    hw_polygon p = {0};
    if (b->pile.code != HW_OK) return p;
    p.at = HW_NEW(b->pile.keep, hw_vec2, n);
    if (!p.at) {
        fail(b, HW_NO_MEMORY);
        return p;
    }
    memcpy(p.at, at, n * sizeof *at);
    p.n = n;
    return p;
}

hw_polygon hw_blocks_rectangle(hw_blocks *b, hw_vec2 low, hw_vec2 high)
{
    return hw_blocks_polygon(b, 4, (const hw_vec2[]){low, {high.x, low.z}, high, {low.x, high.z}});
}

hw_polygon hw_blocks_circle(hw_blocks *b, hw_vec2 at, double radius)
{
    hw_polygon p = {0};
    if (b->pile.code != HW_OK) return p;
    hw_code code = hw_polygon_circle(b->pile.keep, (hw_circle){at, radius},
                                     hw_circle_points(radius, b->deviation), &p);
    if (code != HW_OK) fail(b, code);
    return p;
}

hw_polygon hw_blocks_peaked(hw_blocks *b, hw_vec2 at, double radius)
{
    size_t n = hw_circle_points(radius, b->deviation);
    hw_vec2 *q = b->pile.code == HW_OK ? HW_NEW(b->pile.keep, hw_vec2, n) : NULL;
    if (!q) fail(b, HW_NO_MEMORY);
    if (b->pile.code != HW_OK) return (hw_polygon){0};
    // round to `lean` above and below level, from there straight to the ridges
    const double lean = 41 * HW_PI / 180; // 45 less what a digit is turned on its bed face
    size_t side = n / 2 - 1, k = 0;
    for (int half = 0; half < 2; half++) {
        for (size_t i = 0; i < side; i++) {
            double turn = half * HW_PI + lean * (2 * (double)i / (double)(side - 1) - 1);
            q[k++] = (hw_vec2){at.x + radius * cos(turn), at.z + radius * sin(turn)};
        }
        q[k++] = (hw_vec2){at.x, at.z + (half ? -1 : 1) * radius / sin(lean)};
    }
    return (hw_polygon){q, k};
}

hw_polygon hw_blocks_hull(hw_blocks *b, size_t n, const hw_circle disc[])
{
    hw_polygon p = {0};
    hw_profile outline;
    if (b->pile.code != HW_OK) return p;
    hw_code code = hw_profile_hull(b->pile.keep, disc, n, &outline);
    if (code == HW_OK) code = hw_profile_polygon(b->pile.keep, &outline, b->deviation, &p);
    if (code != HW_OK) fail(b, code);
    return p;
}

void hw_blocks_taper(hw_blocks *b, hw_block_op op, double y0, double y1, hw_polygon low,
                     hw_polygon high)
{
    if (low.n < 3 || low.n != high.n) fail(b, HW_BAD_INPUT);
    hw_pile_put(&b->pile, op, y0, y1, low, high);
}

void hw_blocks_take(hw_blocks *b, const hw_solid *other)
{
    for (size_t i = 0; i < other->blocks; i++) {
        const hw_block *k = &other->block[i];
        hw_blocks_taper(b, k->op, k->y[0], k->y[1], k->at[0], k->at[1]);
    }
}

void hw_blocks_plate(hw_blocks *b, hw_block_op op, double y0, double y1, hw_polygon at)
{
    hw_blocks_taper(b, op, y0, y1, at, at);
}

void hw_blocks_box(hw_blocks *b, hw_block_op op, hw_vec3 low, hw_vec3 high)
{
    hw_blocks_plate(b, op, low.y, high.y,
                    hw_blocks_rectangle(b, (hw_vec2){low.x, low.z}, (hw_vec2){high.x, high.z}));
}

void hw_blocks_allow(hw_blocks *b, hw_allowance_kind kind, hw_vec3 low, hw_vec3 high)
{
    hw_pile_allow(&b->pile, kind, (hw_vec2){low.x, low.z}, (hw_vec2){high.x, high.z}, low.y,
                  high.y);
}

// ---- upright shapes ----------------------------------------------------------------------------

// Extent in x of a plan at one distance across; false where there is none.
static bool extent(const hw_upright *u, double across, double x[2]) // [m]
{
    bool any = false;
    double in = u->radius * u->radius - across * across;
    if (in > 0) {
        x[1] = sqrt(in);
        x[0] = -x[1];
        any = true;
    }
    if (u->along[0] < u->along[1] && fabs(across) < u->half) {
        x[0] = any ? fmin(x[0], u->along[0]) : u->along[0];
        x[1] = any ? fmax(x[1], u->along[1]) : u->along[1];
        any = true;
    }
    return any;
}

// A strip's box with corners wherever another strip of its side ends, so that strips which end on
// one line share its pieces, also when that line comes to lie aslant on the bed's grid.
static void strip_box(hw_blocks *b, hw_block_op op, const hw_upright *u, const double x[2],
                      const double end[], size_t ends, const double y[2]) // [m]
{
    hw_vec2 *p = b->pile.code == HW_OK ? HW_NEW(b->pile.keep, hw_vec2, 2 * ends + 4) : NULL;
    if (!p) {
        fail(b, HW_NO_MEMORY);
        return;
    }
    size_t n = 0;
    p[n++] = (hw_vec2){u->at.x + x[0], u->z[0]};
    for (size_t i = 0; i < ends; i++)
        if (end[i] > x[0] && end[i] < x[1]) p[n++] = (hw_vec2){u->at.x + end[i], u->z[0]};
    p[n++] = (hw_vec2){u->at.x + x[1], u->z[0]};
    size_t floor = n;
    for (size_t i = 0; i < floor; i++) p[n++] = (hw_vec2){p[floor - 1 - i].x, u->z[1]};
    hw_blocks_plate(b, op, y[0], y[1], (hw_polygon){p, n});
}

enum { MOST_STRIPS = 512 };

// Ends of strips in order, each once. Returns how many.
static size_t sorted_ends(size_t strips, double x[][2], double end[]) // [m] [m]
{
    size_t ends = 0, distinct = 0;
    for (size_t i = 0; i < 2 * strips; i++) {
        size_t k = ends++;
        for (; k > 0 && end[k - 1] > x[i / 2][i % 2]; k--) end[k] = end[k - 1];
        end[k] = x[i / 2][i % 2];
    }
    for (size_t i = 0; i < ends; i++)
        if (i == 0 || end[i] > end[distinct - 1]) end[distinct++] = end[i];
    return distinct;
}

void hw_blocks_upright(hw_blocks *b, hw_block_op op, const hw_upright *u, double step)
{
    bool bar = u->along[0] < u->along[1];
    double widest = fmax(u->radius, bar ? u->half : 0);
    if (!(step > 0 && widest > 0 && widest < ((double)MOST_STRIPS / 2 - 2) * step))
        fail(b, HW_BAD_INPUT);
    if (b->pile.code != HW_OK) return;
    // strips on one side of the middle, one of their seams on the bar's edge
    double seam[3] = {0, bar ? fmin(u->half, widest) : 0, widest}, done = 0;
    // the two beside the middle stand out the farthest: not as a ridge thinner than a line
    if (op == HW_BLOCK_ADD) seam[0] = fmin(2.5 * step, fmin(0.4 * widest, bar ? seam[1] : widest));
    double from[MOST_STRIPS], to[MOST_STRIPS], x[MOST_STRIPS][2], end[2 * MOST_STRIPS];
    size_t strips = 0;
    for (int part = 0; part < 3; part++) {
        int n = part == 0 ? seam[0] > 0 : (int)ceil((seam[part] - done) / step);
        for (int i = 0; i < n; i++) {
            double a = done + (seam[part] - done) * i / n;
            double z = done + (seam[part] - done) * (i + 1) / n;
            double probe = op == HW_BLOCK_ADD ? z : a; // the narrower side, or the wider
            // a bar's own edge belongs to it
            if (part < 2 && bar && probe >= u->half) probe = nextafter(u->half, 0);
            if (!extent(u, probe, x[strips])) continue;
            from[strips] = a;
            to[strips++] = z;
        }
        done = fmax(done, seam[part]);
    }
    size_t distinct = sorted_ends(strips, x, end);
    for (size_t k = 0; k < strips; k++) { // either side of the middle
        double low = u->at.z - to[k], high = u->at.z - from[k];
        strip_box(b, op, u, x[k], end, distinct, (const double[]){low, high});
        low = u->at.z + from[k], high = u->at.z + to[k];
        strip_box(b, op, u, x[k], end, distinct, (const double[]){low, high});
    }
}

// ---- lying bores -------------------------------------------------------------------------------

// A point of the bore: so deep along x, so high beside its axis.
static hw_vec2 bore_point(const hw_bore *h, double depth, double up) // [m]
{
    double along = h->way.x > 0 ? depth : -depth;
    return (hw_vec2){h->from.x + along, h->from.z + along * h->way.z / h->way.x + up};
}

// Half the height of a bore's section at a distance across from its axis: 45 degrees up to a ridge,
// upright sides. 0: outside.
static double section(double apothem, double across) // [m]
{
    double a = fabs(across);
    return a > apothem ? 0 : sqrt(2) * apothem - a;
}

enum { BORE_STEPS = 2, BORE_POINTS = 40 };

// What is cleared and built again: a box for each step, as high as the step and its wall on both
// sides. Where boxes and outlines share a line they have the same points on it: the line may lean
// when it comes to the bed's grid.
typedef struct bore_box {
    double high[BORE_STEPS]; // half the height [m]
    double end[BORE_STEPS];  // from the mouth [m]
} bore_box;

static bore_box box_of(const hw_bore *h)
{
    bore_box w;
    for (size_t k = 0; k < h->steps; k++) {
        bool open = h->through && k + 1 == h->steps;
        w.high[k] = sqrt(2) * h->radius[k] + h->wall[k];
        w.end[k] = h->depth[k] + (open ? 0 : h->wall[k]);
    }
    return w;
}

// Where the second step meets the end of the first one's box: its own box, its ridge, its upright
// sides, from below (+1) or from above (-1).
static size_t meeting(const hw_bore *h, const bore_box *w, int up, hw_vec2 p[])
{
    const double high[3] = {w->high[1], section(h->radius[1], 0),
                            section(h->radius[1], h->radius[1])};
    size_t n = 0;
    for (int i = 0; i < 6; i++) {
        double z = i < 3 ? -high[i] : high[5 - i];
        p[n++] = bore_point(h, w->end[0], up * z);
    }
    return n;
}

static void clear(hw_blocks *b, const hw_bore *h, const bore_box *w, size_t step)
{
    bool first = step == 0, last = step + 1 == h->steps, open = last && h->through;
    double from = first ? 0 : w->end[0], to = w->end[step], high = w->high[step];
    double out = w->high[0]; // beyond an open face
    hw_vec2 p[BORE_POINTS];
    size_t n = 0;
    for (int up = -1; up <= 1; up += 2) {
        hw_vec2 run[4];
        size_t k = 0;
        if (first) run[k++] = bore_point(h, from - out, up * high);
        run[k++] = bore_point(h, from, up * high);
        run[k++] = bore_point(h, to, up * high);
        if (open) run[k++] = bore_point(h, to + out, up * high);
        for (size_t i = 0; i < k; i++) p[n++] = run[up < 0 ? i : k - 1 - i];
        if (up < 0 && !last) n += meeting(h, w, 1, p + n);
    }
    if (!first) { // its first and last corner are there
        n--;
        n += meeting(h, w, -1, p + n) - 1;
    }
    hw_blocks_plate(b, HW_BLOCK_CUT, h->y - h->radius[step], h->y + h->radius[step],
                    hw_blocks_polygon(b, n, p));
}

// The edge of the bore, or of the box round it, above (+1) or below (-1) the axis, from the mouth
// to the end of so many steps, with a point where the second passes `past` (0: none).
static size_t edge(const hw_bore *h, const double high[], const double end[], double past,
                   size_t steps, int up, hw_vec2 p[])
{
    size_t n = 0;
    for (size_t k = 0; k < steps; k++) {
        p[n++] = bore_point(h, k == 0 ? 0 : end[k - 1], up * high[k]);
        if (k > 0 && past > 0) p[n++] = bore_point(h, past, up * high[k]);
        p[n++] = bore_point(h, end[k], up * high[k]);
    }
    return n;
}

static size_t append(hw_vec2 p[], size_t n, const hw_vec2 more[], size_t count, bool back)
{
    for (size_t i = 0; i < count; i++) p[n++] = more[back ? count - 1 - i : i];
    return n;
}

// One end of a block beside the bore, at one distance across: side +1 above, -1 below, 0 both in
// one piece round a blind end.
static hw_polygon bore_rest(hw_blocks *b, const hw_bore *h, const bore_box *w, size_t open,
                            int side,
                            double across) // [m]
{
    hw_vec2 p[BORE_POINTS], run[3 * BORE_STEPS];
    double high[BORE_STEPS], past = w->end[0];
    bool blind = side == 0 && open < h->steps; // the second step is beside it
    size_t n = 0;
    for (size_t k = 0; k < open; k++) high[k] = section(h->radius[k], across);
    int first = side < 0 ? -1 : 1, last = side > 0 ? 1 : -1;
    for (int up = first; up >= last; up -= 2) {
        bool lower = side == 0 && up < 0; // on the way back to the mouth
        if (!lower) n = append(p, n, run, edge(h, w->high, w->end, 0, open, up, run), true);
        n = append(p, n, run, edge(h, high, h->depth, past, open, up, run), lower);
        double mouth = section(h->radius[h->steps - 1], h->radius[h->steps - 1]);
        for (int k = 1; blind && up > 0 && k >= -1; k -= 2)
            p[n++] = bore_point(h, h->depth[0], k * mouth);
        if (lower) n = append(p, n, run, edge(h, w->high, w->end, 0, open, up, run), false);
    }
    if (blind) n += meeting(h, w, 1, p + n);
    return hw_blocks_polygon(b, n, p);
}

static void bore_strip(hw_blocks *b, const hw_bore *h, const bore_box *w, const double across[2])
{
    double middle = (across[0] + across[1]) / 2;
    size_t open = 0;
    while (open < h->steps && section(h->radius[open], middle) > 0) open++;
    int last = h->through && open == h->steps ? 1 : 0;
    for (int side = -last; side <= last; side += 2) {
        hw_polygon end[2];
        // just inside the strip, where a step's own flat is open
        for (int e = 0; e < 2; e++)
            end[e] = bore_rest(b, h, w, open, side, across[e] + (middle - across[e]) * 1e-9);
        hw_blocks_taper(b, HW_BLOCK_ADD, h->y + across[0], h->y + across[1], end[0], end[1]);
    }
}

void hw_blocks_bore(hw_blocks *b, const hw_bore *h)
{
    bool sound =
        h->steps >= 1 && h->steps <= BORE_STEPS && h->way.x != 0 && isfinite(h->way.z / h->way.x);
    for (size_t i = 0; sound && i < h->steps; i++)
        sound = h->radius[i] > 0 && h->wall[i] > 0 && h->depth[i] > 0;
    bore_box w = {{0}, {0}};
    if (sound) w = box_of(h);
    if (sound && h->steps == 2)
        sound = h->radius[1] < h->radius[0] && w.high[1] < w.high[0] && h->depth[1] > w.end[0];
    if (!sound) fail(b, HW_BAD_INPUT);
    if (b->pile.code != HW_OK) return;
    for (size_t k = 0; k < h->steps; k++) clear(b, h, &w, k);
    // seams at the ridge and where steps end
    double seam[2 * BORE_STEPS + 1] = {-h->radius[0]};
    size_t seams = 1;
    if (h->steps == 2) seam[seams++] = -h->radius[1];
    seam[seams++] = 0;
    if (h->steps == 2) seam[seams++] = h->radius[1];
    seam[seams++] = h->radius[0];
    for (size_t i = 0; i + 1 < seams; i++)
        bore_strip(b, h, &w, (const double[]){seam[i], seam[i + 1]});
}

void hw_blocks_onto(const hw_blocks *b, const hw_bed *bed, int body, hw_pile *p)
{
    if (p->code == HW_OK) p->code = b->pile.code;
    for (size_t i = 0; i < b->pile.blocks && p->code == HW_OK; i++) {
        const hw_block *k = &b->pile.block[i];
        hw_polygon at[2];
        bool plate = k->at[0].at == k->at[1].at;
        for (int e = 0; e < (plate ? 1 : 2); e++) {
            at[e] = (hw_polygon){HW_NEW(p->keep, hw_vec2, k->at[e].n), k->at[e].n};
            if (!at[e].at) {
                p->code = HW_NO_MEMORY;
                return;
            }
            for (size_t j = 0; j < at[e].n; j++)
                at[e].at[j] = hw_bed_point(bed, body, k->at[e].at[j]);
        }
        hw_pile_put(p, k->op, k->y[0], k->y[1], at[0], plate ? at[0] : at[1]);
    }
    for (size_t i = 0; i < b->pile.allows; i++) {
        const hw_allowance *a = &b->pile.allow[i];
        const hw_vec2 corner[4] = {{a->low.x, a->low.z},
                                   {a->high.x, a->low.z},
                                   {a->high.x, a->high.z},
                                   {a->low.x, a->high.z}};
        hw_vec2 low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};
        for (int k = 0; k < 4; k++) {
            hw_vec2 q = hw_bed_point(bed, body, corner[k]);
            low = (hw_vec2){fmin(low.x, q.x), fmin(low.z, q.z)};
            high = (hw_vec2){fmax(high.x, q.x), fmax(high.z, q.z)};
        }
        hw_pile_allow(p, a->kind, low, high, a->low.y, a->high.y);
    }
}
