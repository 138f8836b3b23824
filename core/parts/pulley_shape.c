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

// What carries the rim on the bed: between the two tangents of 45 degrees that meet the bed.
static hw_polygon foot(hw_blocks *b, const hw_pulley *p, double bed, hw_vec2 down) // [m] [1]
{
    double wide = fmax(p->rim * sqrt(2) - bed, 0.1 * p->rim), side = p->rim / sqrt(2);
    const double at[5][2] = {{-side, side}, {-wide, bed}, {wide, bed}, {side, side}, {0, 0}};
    hw_vec2 q[5];
    for (int i = 0; i < 5; i++)
        q[i] = (hw_vec2){at[i][0] * down.z + at[i][1] * down.x,
                         -at[i][0] * down.x + at[i][1] * down.z};
    return hw_blocks_polygon(b, 5, q);
}

// A plate between two distances from the groove's middle, outward positive.
static void across(hw_blocks *b, const hw_pulley *p, hw_block_op op, double from, double to, // [m]
                   hw_polygon at)
{
    double y0 = p->y + p->outward * from, y1 = p->y + p->outward * to;
    hw_blocks_plate(b, op, fmin(y0, y1), fmax(y0, y1), at);
}

// Between the groove and a knot's hole no tooth is left: both run into each other level with the
// hole's ridges.
static void join_knot(hw_blocks *b, const hw_pulley *p, int which)
{
    hw_vec2 at = p->knot[which];
    hw_polygon hole = hw_blocks_peaked(b, at, p->knot_radius);
    if (hole.n == 0) return;
    double low = at.z, high = low, r = (p->flank[1] + p->channel) / 2;
    for (size_t i = 0; i < hole.n; i++) {
        low = fmin(low, hole.at[i].z);
        high = fmax(high, hole.at[i].z);
    }
    double most = fmin(r, fmax(fabs(low), fabs(high))), from = sqrt(r * r - most * most);
    hw_vec2 q[4] = {{from, low}, {at.x, low}, {at.x, high}, {from, high}};
    across(b, p, HW_BLOCK_CUT, -p->half[1], p->half[1], hw_blocks_polygon(b, 4, q));
}

static void groove(hw_blocks *b, const hw_pulley *p)
{
    across(b, p, HW_BLOCK_CUT, -p->half[1], p->half[1],
           hw_blocks_circle(b, (hw_vec2){0, 0}, p->channel));
    for (int i = 0; i < (p->spool.fits ? 1 : 2); i++) join_knot(b, p, i);
    hw_polygon bottom = disc(b, p, p->flank[0]), mouth = disc(b, p, p->flank[1]);
    across(b, p, HW_BLOCK_ADD, -p->half[0], p->half[0], bottom);
    hw_blocks_taper(b, HW_BLOCK_ADD, p->y - p->half[1], p->y - p->half[0], mouth, bottom);
    hw_blocks_taper(b, HW_BLOCK_ADD, p->y + p->half[0], p->y + p->half[1], bottom, mouth);
}

// From beside the groove to the skin.
static void knot(hw_blocks *b, const hw_pulley *p, int which, double skin) // [m]
{
    across(b, p, HW_BLOCK_CUT, -p->half[1], skin,
           hw_blocks_peaked(b, p->knot[which], p->knot_radius));
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

// A lying hole with flanks that print, cut off level above and below where they are a crown's width
// apart: less of a hole than its ridges would make.
static hw_polygon vaulted(hw_blocks *b, hw_vec2 at, double radius)
{
    const double lean = 41 * HW_PI / 180; // as hw_blocks_peaked
    double high = 1.15 * radius, half = (radius / sin(lean) - high) * tan(lean);
    size_t n = hw_circle_points(radius, b->deviation) / 2;
    hw_vec2 *q = b->pile.code == HW_OK ? HW_NEW(b->pile.keep, hw_vec2, n + 4) : NULL;
    if (!q) {
        if (b->pile.code == HW_OK) b->pile.code = HW_NO_MEMORY;
        return (hw_polygon){0};
    }
    size_t k = 0, side = n / 2;
    for (int turned = 0; turned < 2; turned++) {
        for (size_t i = 0; i < side; i++) {
            double turn = turned * HW_PI + lean * (2 * (double)i / (double)(side - 1) - 1);
            q[k++] = (hw_vec2){at.x + radius * cos(turn), at.z + radius * sin(turn)};
        }
        double up = turned ? -1 : 1;
        q[k++] = (hw_vec2){at.x + up * half, at.z + up * high};
        q[k++] = (hw_vec2){at.x - up * half, at.z + up * high};
    }
    return (hw_polygon){q, k};
}

static void recess(hw_blocks *b, const hw_pulley *p, const hw_pulley_def *def, double face,
                   double skin) // from the groove's middle: of the layer, of the skin [m]
{
    const hw_spool_place *s = &p->spool;
    double floor = face - s->length - def->gap;
    across(b, p, HW_BLOCK_CUT, face, skin, vaulted(b, s->at, s->recess));
    across(b, p, HW_BLOCK_CUT, floor, face, hw_blocks_peaked(b, s->at, s->pocket));
    double deep = fmin(2 * def->pin, face - floor);
    for (int i = 0; i < (int)def->holes + 1; i++) {
        double angle = 2 * HW_PI * (i + 0.5) / (def->holes + 1); // none at the pocket's ridges
        hw_vec2 at = {s->at.x + s->circle * cos(angle), s->at.z + s->circle * sin(angle)};
        across(b, p, HW_BLOCK_CUT, face - deep, face, hw_blocks_peaked(b, at, s->hole));
    }
    double y0 = p->y + p->outward * floor, y1 = p->y + p->outward * skin;
    hw_blocks_allow(b, HW_ALLOW_BRIDGE,
                    (hw_vec3){s->at.x - s->recess, fmin(y0, y1), s->at.z - 1.16 * s->recess},
                    (hw_vec3){s->at.x + s->recess, fmax(y0, y1), s->at.z + 1.16 * s->recess});
}

void hw_pulley_put(hw_blocks *b, const hw_pulley *p, const hw_pulley_def *def, const hw_layers *l,
                   double bed, hw_vec2 down)
{
    const hw_layer *layer = &l->layer[p->layer], *outer = &l->layer[p->outward > 0 ? l->n - 1 : 0];
    double face = layer->thickness / 2;
    double skin = p->outward * (outer->y - p->y) + outer->thickness; // past it
    across(b, p, HW_BLOCK_ADD, -face, face, disc(b, p, p->rim));
    if (bed > 0)
        for (int side = -1; side <= 1; side += 2)
            across(b, p, HW_BLOCK_ADD, fmin(side * face, side * p->half[1]),
                   fmax(side * face, side * p->half[1]), foot(b, p, bed, down));
    groove(b, p);
    knot(b, p, 0, skin);
    if (p->spool.fits) {
        way(b, p, def);
        recess(b, p, def, face, skin);
    } else {
        knot(b, p, 1, skin);
    }
    // the rim above the bed, and ceilings where cords run inside
    hw_blocks_allow(b, HW_ALLOW_CUTOUT, (hw_vec3){-p->rim, layer->y - face, -p->rim * 1.01},
                    (hw_vec3){p->rim, layer->y + face, p->rim * 1.01});
    double to = fmax(p->spool.fits ? p->spool.arrives.x : p->channel, p->knot[0].x);
    hw_blocks_allow(b, HW_ALLOW_BRIDGE, (hw_vec3){0, layer->y - face, -p->channel},
                    (hw_vec3){fmax(to, p->channel), layer->y + face, p->channel});
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
        double angle = 2 * HW_PI * (i + 0.5) / def->holes + HW_PI / 2; // none at the knot's seat
        hw_upright hole = {.at = {at.x + s->circle * cos(angle), at.z + s->circle * sin(angle)},
                           .radius = s->hole,
                           .z = {-hair, s->thickness + hair}};
        hw_blocks_upright(b, HW_BLOCK_CUT, &hole, step);
    }
    // the cord goes down beside the drum, through the flange to its knot, across the slot
    hw_vec2 down = {at.x, at.z + def->spool};
    hw_upright through = {.at = down, .radius = 0.65 * def->cord, .z = {-hair, s->thickness}};
    hw_blocks_upright(b, HW_BLOCK_CUT, &through, step);
    // a slot to turn it by, and across it the knot's seat
    double slot = s->circle - s->hole - 3 * def->line, deep = 1.2 * def->cord;
    hw_blocks_box(b, HW_BLOCK_CUT, (hw_vec3){at.x - slot, at.z - 1.5 * def->line, -hair},
                  (hw_vec3){at.x + slot, at.z + 1.5 * def->line, deep});
    double seat = 1.2 * def->cord;
    hw_blocks_box(b, HW_BLOCK_CUT, (hw_vec3){at.x - seat, at.z, -hair},
                  (hw_vec3){at.x + seat, down.z, deep});
    hw_upright end = {.at = down, .radius = seat, .z = {-hair, deep}};
    hw_blocks_upright(b, HW_BLOCK_CUT, &end, step);
    hw_blocks_allow(b, HW_ALLOW_BRIDGE, (hw_vec3){at.x - s->flange, at.z - s->flange, 0.9 * deep},
                    (hw_vec3){at.x + s->flange, at.z + s->flange, 1.1 * deep});
}
