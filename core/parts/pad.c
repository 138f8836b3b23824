#include "parts/pad.h"
#include "parts/blocks_internal.h"

#include <math.h>

enum { MOST_GROOVES = 4096 };

// The face without its margins; false: nothing is left.
static bool inner(const hw_pad_def *def, const hw_pad_place *at, double x[2], double y[2]) // [m]
{
    for (int e = 0; e < 2; e++) {
        double in = e == 0 ? def->margin : -def->margin;
        x[e] = at->x[e] + in;
        y[e] = at->y[e] + in;
    }
    return x[1] > x[0] && y[1] > y[0];
}

double hw_pad_strip(const hw_pad_def *def, const hw_pad_place *at, double *length)
{
    double x[2], y[2];
    bool any = def->recess > 0 && inner(def, at, x, y);
    *length = any ? x[1] - x[0] : 0;
    return any ? y[1] - y[0] : 0;
}

static bool sound(const hw_pad_def *d, const hw_pad_place *at)
{
    bool ok = d->recess >= 0 && isfinite(d->recess) && d->margin >= 0 && isfinite(d->margin) &&
              (unsigned)d->texture < HW_PAD_TEXTURES && at->x[0] < at->x[1] &&
              at->y[0] < at->y[1] && isfinite(at->z) && fabs(at->inward) == 1 && at->line > 0;
    if (d->texture != HW_PAD_PLAIN) ok = ok && d->depth > 0 && d->pitch > 2 * d->depth;
    return ok;
}

static void put_recess(hw_blocks *b, const hw_pad_def *def, const hw_pad_place *at)
{
    double x[2], y[2];
    if (!inner(def, at, x, y)) return;
    double deep = at->z + at->inward * def->recess;
    hw_vec3 low = {x[0], y[0], fmin(at->z, deep)}, high = {x[1], y[1], fmax(at->z, deep)};
    hw_blocks_box(b, HW_BLOCK_CUT, low, high);
    if (at->inward < 0) return;
    // its ceiling, a hair more than the flat itself
    double hair = at->line / 100;
    hw_blocks_allow(b, HW_ALLOW_BRIDGE, (hw_vec3){x[0] - hair, y[0] - hair, deep - hair},
                    (hw_vec3){x[1] + hair, y[1] + hair, deep + hair});
}

// Grooves lie on a raster along x, so that those of all strips across share their outlines.
typedef struct raster {
    double from, step; // a place: from + k * step [m]
    int places, apart; // from a groove to the next of its course
} raster;

// Whether a groove lies at a place in strip i of a course that goes one place on a strip (sense +1)
// or back (-1), or straight across (0).
static bool grooved(const raster *r, int place, int i, int sense)
{
    int shift = sense > 0 ? i : sense < 0 ? -i - 1 : 0;
    return ((place - shift) % r->apart + r->apart) % r->apart == 0;
}

static void put_groove(hw_blocks *b, const hw_pad_def *def, const hw_pad_place *at,
                       const double y[2], double x) // [m]
{
    double d = def->depth, up = at->inward;
    // begins outside the face, so that no corner lies on it
    hw_vec2 v[3] = {{x - 2 * d, at->z - up * d}, {x + 2 * d, at->z - up * d}, {x, at->z + up * d}};
    hw_blocks_plate(b, HW_BLOCK_CUT, y[0], y[1], hw_blocks_polygon(b, 3, v));
}

// What stands between two grooves that nearly meet is cut down to where it is a line wide.
static void put_ridge(hw_blocks *b, const hw_pad_def *def, const hw_pad_place *at,
                      const double y[2], double x0, double x1) // [m]
{
    double wall = x1 - x0 - 2 * def->depth, up = at->inward;
    if (!(wall < at->line)) return;
    double high = fmin((at->line - wall) / 2, def->depth), out = at->z - up * def->depth;
    double top = at->z + up * high;
    hw_blocks_box(b, HW_BLOCK_CUT, (hw_vec3){x0, y[0], fmin(out, top)},
                  (hw_vec3){x1, y[1], fmax(out, top)});
}

static void put_strip(hw_blocks *b, const hw_pad_def *def, const hw_pad_place *at, const raster *r,
                      int i, const double y[2]) // [m]
{
    bool diamonds = def->texture == HW_PAD_DIAMONDS;
    double before = -(double)INFINITY;
    for (int k = 0; k < r->places; k++) {
        bool here = diamonds ? grooved(r, k, i, 1) || grooved(r, k, i, -1) : grooved(r, k, i, 0);
        if (!here) continue;
        double x = r->from + k * r->step;
        put_groove(b, def, at, y, x);
        put_ridge(b, def, at, y, before, x);
        before = x;
    }
}

static void put_texture(hw_blocks *b, const hw_pad_def *def, const hw_pad_place *at)
{
    double x[2], y[2];
    if (!inner(def, at, x, y)) return;
    bool diamonds = def->texture == HW_PAD_DIAMONDS;
    double apart = fmin(fmax(2, round(def->pitch / at->line)), 16);
    raster r = {.step = def->pitch, .apart = 1};
    if (diamonds) r = (raster){.step = def->pitch / apart, .apart = (int)apart};
    double length = x[1] - x[0] - 2 * def->depth; // whole grooves lie on the face
    double strips = diamonds ? floor((y[1] - y[0]) / r.step / 2) * 2 : 1;
    if (length < 0 || strips < 1) return;
    if (length / r.step > MOST_GROOVES || strips > MOST_GROOVES) {
        b->pile.code = HW_LIMIT;
        return;
    }
    r.places = (int)floor(length / r.step) + 1;
    r.from = (x[0] + x[1] - (r.places - 1) * r.step) / 2;
    double width = diamonds ? r.step : y[1] - y[0], low = (y[0] + y[1] - strips * width) / 2;
    for (int i = 0; i < (int)strips; i++) {
        double across[2] = {low + i * width, low + (i + 1) * width};
        put_strip(b, def, at, &r, i, across);
    }
}

hw_code hw_pad_blocks(hw_arena *keep, const hw_pad_def *def, const hw_pad_place *at, hw_pad *out)
{
    *out = (hw_pad){0};
    if (!sound(def, at)) return HW_BAD_INPUT;
    hw_blocks b = hw_blocks_new(keep, at->line / 10);
    if (def->recess > 0)
        put_recess(&b, def, at);
    else if (def->texture != HW_PAD_PLAIN)
        put_texture(&b, def, at);
    if (b.pile.code != HW_OK) return b.pile.code;
    *out = (hw_pad){hw_blocks_solid(&b), b.pile.allow, b.pile.allows};
    return HW_OK;
}
