#include "parts/pulley_internal.h"

#include <math.h>

// Round over the pulley's arc, its ends joined straight: there no cord lies, and the straight side
// leans by 45 degrees where the digit lies on its palm. The same number of points for any radius.
static hw_polygon disc(hw_blocks *b, const hw_pulley *p, double radius)
{
    hw_polygon none = {0};
    double turn = p->arc[1] - p->arc[0];
    bool closed = turn > 2 * HW_PI - 0.2;
    if (closed) turn = 2 * HW_PI;
    size_t n = hw_circle_points(p->rim, b->deviation) + 4;
    hw_vec2 *at = b->pile.code == HW_OK ? HW_NEW(b->pile.keep, hw_vec2, n) : NULL;
    if (!at) {
        if (b->pile.code == HW_OK) b->pile.code = HW_NO_MEMORY;
        return none;
    }
    for (size_t i = 0; i < n; i++) {
        double angle = p->arc[0] + turn * (double)i / (double)(closed ? n : n - 1);
        at[i] = (hw_vec2){radius * cos(angle), radius * sin(angle)};
    }
    return (hw_polygon){at, n};
}

// A plate between two distances from the groove's middle, outward positive.
static void across(hw_blocks *b, const hw_pulley *p, hw_block_op op, double from, double to, // [m]
                   hw_polygon at)
{
    double y0 = p->y + p->outward * from, y1 = p->y + p->outward * to;
    hw_blocks_plate(b, op, fmin(y0, y1), fmax(y0, y1), at);
}

static void groove(hw_blocks *b, const hw_pulley *p)
{
    across(b, p, HW_BLOCK_CUT, -p->half[1], p->half[1],
           hw_blocks_circle(b, (hw_vec2){0, 0}, p->channel));
    hw_polygon bottom = disc(b, p, p->flank[0]), mouth = disc(b, p, p->flank[1]);
    across(b, p, HW_BLOCK_ADD, -p->half[0], p->half[0], bottom);
    hw_blocks_taper(b, HW_BLOCK_ADD, p->y - p->half[1], p->y - p->half[0], mouth, bottom);
    hw_blocks_taper(b, HW_BLOCK_ADD, p->y + p->half[0], p->y + p->half[1], bottom, mouth);
}

// From beside the groove to the skin; it hangs by its crown only.
static void knot(hw_blocks *b, const hw_pulley *p, int which, double skin) // [m]
{
    hw_vec2 at = p->knot[which];
    double r = p->knot_radius;
    across(b, p, HW_BLOCK_CUT, -p->half[1], skin, hw_blocks_circle(b, at, r));
    double y0 = p->y - p->outward * p->half[1], y1 = p->y + p->outward * skin;
    hw_blocks_allow(b, HW_ALLOW_CROWN, (hw_vec3){at.x - r, fmin(y0, y1), at.z},
                    (hw_vec3){at.x + r, fmax(y0, y1), at.z + 1.05 * r});
}

// The cord's way from the groove to the drum: it begins where it is clear of the flanks.
static void way(hw_blocks *b, const hw_pulley *p, const hw_pulley_def *def)
{
    const hw_spool_place *s = &p->spool;
    double half = 0.7 * def->cord;
    hw_vec2 along = hw_sub(s->arrives, s->leaves);
    double length = hw_norm(along), in = def->radius - half;
    double begin = sqrt(fmax(0, p->flank[1] * p->flank[1] * 1.01 - in * in));
    if (begin >= length) return;
    along = hw_scale(along, 1 / length);
    hw_vec2 side = {-along.z * half, along.x * half};
    hw_vec2 a = hw_add(s->leaves, hw_scale(along, begin)), z = s->arrives;
    hw_vec2 at[4] = {hw_sub(a, side), hw_sub(z, side), hw_add(z, side), hw_add(a, side)};
    double deep = fmin(0.65 * def->cord, p->half[1]);
    across(b, p, HW_BLOCK_CUT, -deep, deep, hw_blocks_polygon(b, 4, at));
}

static void recess(hw_blocks *b, const hw_pulley *p, const hw_pulley_def *def, double face,
                   double skin) // from the groove's middle: of the layer, of the skin [m]
{
    const hw_spool_place *s = &p->spool;
    double floor = face - s->length - def->gap;
    across(b, p, HW_BLOCK_CUT, face, skin, hw_blocks_circle(b, s->at, s->recess));
    across(b, p, HW_BLOCK_CUT, floor, face, hw_blocks_circle(b, s->at, s->pocket));
    double deep = fmin(2 * def->pin, face - floor);
    for (int i = 0; i < (int)def->holes + 1; i++) {
        double angle = 2 * HW_PI * i / (def->holes + 1);
        hw_vec2 at = {s->at.x + s->circle * cos(angle), s->at.z + s->circle * sin(angle)};
        across(b, p, HW_BLOCK_CUT, face - deep, face, hw_blocks_circle(b, at, s->hole));
    }
    double y0 = p->y + p->outward * floor, y1 = p->y + p->outward * skin;
    hw_blocks_allow(b, HW_ALLOW_BRIDGE, (hw_vec3){s->at.x - s->recess, fmin(y0, y1), s->at.z},
                    (hw_vec3){s->at.x + s->recess, fmax(y0, y1), s->at.z + 1.01 * s->recess});
}

void hw_pulley_put(hw_blocks *b, const hw_pulley *p, const hw_pulley_def *def, const hw_layers *l)
{
    const hw_layer *layer = &l->layer[p->layer], *outer = &l->layer[p->outward > 0 ? l->n - 1 : 0];
    double face = layer->thickness / 2;
    double skin = p->outward * (outer->y - p->y) + outer->thickness; // past it
    across(b, p, HW_BLOCK_ADD, -face, face, disc(b, p, p->rim));
    groove(b, p);
    knot(b, p, 0, skin);
    if (p->spool.fits) {
        way(b, p, def);
        recess(b, p, def, face, skin);
    } else {
        knot(b, p, 1, skin);
    }
    // the rim above the bed, and the groove over the cord
    hw_blocks_allow(b, HW_ALLOW_CUTOUT, (hw_vec3){-p->rim, layer->y - face, -p->rim * 1.01},
                    (hw_vec3){p->rim, layer->y + face, p->rim * 1.01});
}

// ---- spool -------------------------------------------------------------------------------------

void hw_spool_put(hw_blocks *b, const hw_spool_place *s, const hw_pulley_def *def, hw_vec2 at)
{
    double step = def->line / 4, top = s->thickness + s->length;
    hw_upright flange = {.at = at, .radius = s->flange, .z = {0, s->thickness}};
    hw_upright drum = {.at = at, .radius = s->drum, .z = {s->thickness, top}};
    hw_blocks_upright(b, HW_BLOCK_ADD, &flange, step);
    hw_blocks_upright(b, HW_BLOCK_ADD, &drum, step);
    double hair = def->line;
    for (int i = 0; i < (int)def->holes; i++) {
        double angle = 2 * HW_PI * i / def->holes;
        hw_upright hole = {.at = {at.x + s->circle * cos(angle), at.z + s->circle * sin(angle)},
                           .radius = s->hole,
                           .z = {-hair, s->thickness + hair}};
        hw_blocks_upright(b, HW_BLOCK_CUT, &hole, step);
    }
    // the cord goes down beside the drum, through the flange to its knot, opposite the slot
    hw_vec2 down = {at.x, at.z + def->spool};
    hw_upright through = {.at = down, .radius = 0.65 * def->cord, .z = {-hair, s->thickness}};
    hw_upright seat = {.at = down, .radius = 1.3 * def->cord, .z = {-hair, 1.2 * def->cord}};
    hw_blocks_upright(b, HW_BLOCK_CUT, &through, step);
    hw_blocks_upright(b, HW_BLOCK_CUT, &seat, step);
    double slot = s->circle - s->hole - 2 * def->line, deep = 1.2 * def->cord;
    hw_blocks_box(b, HW_BLOCK_CUT, (hw_vec3){at.x - slot, at.z - 1.5 * def->line, -hair},
                  (hw_vec3){at.x + slot, at.z + 1.5 * def->line, deep});
    hw_blocks_allow(b, HW_ALLOW_BRIDGE, (hw_vec3){at.x - slot, at.z - slot, 0.9 * deep},
                    (hw_vec3){at.x + slot, at.z + slot, 1.1 * deep});
}
