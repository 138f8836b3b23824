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
    if (d->texture != HW_PAD_PLAIN) ok = ok && d->depth > 0 && d->pitch >= 2 * d->depth + at->line;
    return ok;
}

static void put_recess(hw_blocks *b, const hw_pad_def *def, const hw_pad_place *at)
{
    double x[2], y[2];
    if (!inner(def, at, x, y)) return;
    double deep = at->z + at->inward * def->recess;
    // begins outside the face, which may lie aslant on the bed's grid
    double out = at->z - at->inward * def->recess;
    hw_vec3 low = {x[0], y[0], fmin(out, deep)}, high = {x[1], y[1], fmax(out, deep)};
    hw_blocks_box(b, HW_BLOCK_CUT, low, high);
    if (at->inward < 0) return;
    // its ceiling, a hair more than the flat itself
    double hair = at->line / 100;
    hw_blocks_allow(b, HW_ALLOW_BRIDGE, (hw_vec3){x[0] - hair, y[0] - hair, deep - hair},
                    (hw_vec3){x[1] + hair, y[1] + hair, deep + hair});
}

// How many grooves lie within a length, whole, their middles `pitch` apart; where the first is.
static double row(const hw_pad_def *def, const double x[2], double wide, double *first) // [m]
{
    double room = x[1] - x[0] - wide;
    if (room < 0) return 0;
    double n = floor(room / def->pitch) + 1;
    *first = (x[0] + x[1] - (n - 1) * def->pitch) / 2;
    return n;
}

static void put_texture(hw_blocks *b, const hw_pad_def *def, const hw_pad_place *at)
{
    double x[2], y[2], first = 0, d = def->depth, up = at->inward;
    if (!inner(def, at, x, y)) return;
    double grooves = row(def, x, 2 * d, &first);
    double across = 0, channels = row(def, y, at->line, &across);
    if (grooves > MOST_GROOVES || channels > MOST_GROOVES) {
        b->pile.code = HW_LIMIT;
        return;
    }
    for (int i = 0; i < (int)grooves; i++) {
        double m = first + i * def->pitch;
        // begins outside the face, so that no corner lies on it
        hw_vec2 v[3] = {
            {m - 2 * d, at->z - up * d}, {m + 2 * d, at->z - up * d}, {m, at->z + up * d}};
        hw_blocks_plate(b, HW_BLOCK_CUT, y[0], y[1], hw_blocks_polygon(b, 3, v));
    }
    double ceiling = at->z + up * 0.8 * d, out = at->z - up * d;
    for (int i = 0; i < (int)channels && def->texture == HW_PAD_SQUARES; i++) {
        double m = across + i * def->pitch;
        hw_blocks_box(b, HW_BLOCK_CUT, (hw_vec3){x[0], m - at->line / 2, fmin(out, ceiling)},
                      (hw_vec3){x[1], m + at->line / 2, fmax(out, ceiling)});
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
