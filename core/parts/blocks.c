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

void hw_blocks_upright(hw_blocks *b, hw_block_op op, const hw_upright *u, double step)
{
    double widest = fmax(u->radius, u->along[0] < u->along[1] ? u->half : 0);
    if (b->pile.code == HW_OK && !(step > 0 && widest > 0 && widest < 1e4 * step))
        fail(b, HW_BAD_INPUT);
    if (b->pile.code != HW_OK) return;
    // strips on one side of the middle, one of their seams on the bar's edge
    double seam[2] = {u->along[0] < u->along[1] ? fmin(u->half, widest) : 0, widest};
    double done = 0;
    for (int part = 0; part < 2; part++) {
        double length = seam[part] - done;
        if (length <= 0) continue;
        int strips = (int)ceil(length / step);
        for (int i = 0; i < strips; i++) {
            double from = done + length * i / strips, to = done + length * (i + 1) / strips, x[2];
            double probe = op == HW_BLOCK_ADD ? to : from; // the narrower side, or the wider
            // a bar's own edge belongs to it
            if (part == 0 && u->half > 0 && probe >= u->half) probe = nextafter(u->half, 0);
            if (!extent(u, probe, x)) continue;
            for (int side = -1; side <= 1; side += 2) {
                double a = u->at.z + side * from, z = u->at.z + side * to;
                hw_blocks_box(b, op, (hw_vec3){u->at.x + x[0], fmin(a, z), u->z[0]},
                              (hw_vec3){u->at.x + x[1], fmax(a, z), u->z[1]});
            }
        }
        done = seam[part];
    }
}

// ---- lying bores -------------------------------------------------------------------------------

typedef struct bore_frame {
    hw_vec2 from, along; // mouth; unit direction into the material
} bore_frame;

static hw_vec2 bore_point(const bore_frame *f, double depth, double up) // [m]
{
    return (hw_vec2){f->from.x + depth * f->along.x - up * f->along.z,
                     f->from.z + depth * f->along.z + up * f->along.x};
}

// Half the height of an octagon with this apothem at a distance across from its axis. 0: outside.
static double octagon(double apothem, double across) // [m]
{
    double flat = apothem * tan(HW_PI / 8), a = fabs(across);
    if (a > apothem) return 0;
    return a <= flat ? apothem : apothem + flat - a;
}

enum { BORE_STEPS = 2, BORE_POINTS = 4 * BORE_STEPS + 4 };

// One end of a block beside the bore, at one distance across: side +1 above, -1 below, 0 both in
// one piece round a blind end.
static hw_polygon bore_rest(hw_blocks *b, const hw_bore *h, const bore_frame *f, size_t open,
                            int side, double across) // [m]
{
    hw_vec2 p[BORE_POINTS];
    size_t n = 0;
    double half = h->radius[0] + h->wall;
    double length = h->depth[h->steps - 1] + (h->through ? 0 : h->wall);
    for (int up = side < 0 ? -1 : 1; up >= (side > 0 ? 1 : -1); up -= 2) {
        // above: from the mouth inward; below a blind end: back out again
        bool out = side == 0 && up < 0;
        if (!out) p[n++] = bore_point(f, 0, up * half);
        for (size_t i = 0; i < 2 * open; i++) {
            size_t k = out ? 2 * open - 1 - i : i;
            double depth = k == 0 ? 0 : h->depth[(k - 1) / 2];
            p[n++] = bore_point(f, depth, up * octagon(h->radius[k / 2], across));
        }
        if (out) p[n++] = bore_point(f, 0, up * half);
        if (side != 0) p[n++] = bore_point(f, length, up * half);
    }
    if (side == 0) {
        p[n++] = bore_point(f, length, -half);
        p[n++] = bore_point(f, length, half);
    }
    return hw_blocks_polygon(b, n, p);
}

static void bore_strip(hw_blocks *b, const hw_bore *h, const bore_frame *f, const double across[2])
{
    double middle = (across[0] + across[1]) / 2;
    size_t open = 0;
    while (open < h->steps && octagon(h->radius[open], middle) > 0) open++;
    int last = h->through && open == h->steps ? 1 : 0;
    for (int side = -last; side <= last; side += 2) {
        hw_polygon end[2];
        // just inside the strip, where a step's own flat is open
        for (int e = 0; e < 2; e++)
            end[e] = bore_rest(b, h, f, open, side, across[e] + (middle - across[e]) * 1e-9);
        hw_blocks_taper(b, HW_BLOCK_ADD, h->y + across[0], h->y + across[1], end[0], end[1]);
    }
}

void hw_blocks_bore(hw_blocks *b, const hw_bore *h)
{
    hw_vec2 way = hw_sub(h->to, h->from);
    double length = hw_norm(way), end = h->steps ? h->depth[h->steps - 1] : 0;
    bool sound = h->steps >= 1 && h->steps <= BORE_STEPS && length > 0 && h->wall > 0;
    for (size_t i = 0; sound && i < h->steps; i++)
        sound = h->radius[i] > 0 && h->depth[i] > (i ? h->depth[i - 1] : 0) &&
                (i == 0 || h->radius[i] < h->radius[i - 1]);
    if (b->pile.code == HW_OK && !sound) fail(b, HW_BAD_INPUT);
    if (b->pile.code != HW_OK) return;
    bore_frame f = {h->from, hw_scale(way, 1 / length)};
    double half = h->radius[0] + h->wall, deep = end + (h->through ? 0 : h->wall);
    hw_vec2 window[4] = {bore_point(&f, 0, -half), bore_point(&f, deep, -half),
                         bore_point(&f, deep, half), bore_point(&f, 0, half)};
    hw_blocks_plate(b, HW_BLOCK_CUT, h->y - h->radius[0], h->y + h->radius[0],
                    hw_blocks_polygon(b, 4, window));
    // seams where a step's section has a corner
    double seam[4 * BORE_STEPS];
    size_t seams = 0;
    for (size_t i = 0; i < h->steps; i++) {
        double flat = h->radius[i] * tan(HW_PI / 8);
        const double at[4] = {-h->radius[i], -flat, flat, h->radius[i]};
        for (int k = 0; k < 4; k++) {
            size_t place = seams++;
            for (; place > 0 && seam[place - 1] > at[k]; place--) seam[place] = seam[place - 1];
            seam[place] = at[k];
        }
    }
    for (size_t i = 0; i + 1 < seams; i++)
        if (seam[i + 1] - seam[i] > 1e-9 * half)
            bore_strip(b, h, &f, (const double[]){seam[i], seam[i + 1]});
}
