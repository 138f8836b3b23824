// The room that the thumb's seat leaves free for what turns in it: carrier, yoke and metacarpal
// over the whole opposition, the rod's lug, and the thumb's way in from the palm.
#include "parts/palm_internal.h"

#include <stdlib.h>
#include <string.h>

enum {
    POSES = 13,
    OUTLINE = HW_THUMB_OUTLINE,
    BODIES = 4,
    HULL = 2 * OUTLINE,
    SPOTS = 4 * OUTLINE * BODIES + 1,
    ROOFS = 3
};

static hw_prism box_prism(hw_frame in, hw_vec3 low, hw_vec3 high)
{
    return (hw_prism){in,
                      {{low.x, low.z}, {high.x, low.z}, {high.x, high.z}, {low.x, high.z}},
                      4,
                      {low.y, high.y}};
}

// The yoke's head across the axis frame's y: round the plate and what is below it.
static hw_prism head_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    hw_vec2 at[OUTLINE], seen[HULL], out[HULL + 2];
    size_t n = hw_thumb_plate(s, t, at), m = 0;
    hw_prism p = {.in = t->in, .y = {-t->journal, t->journal}};
    for (size_t i = 0; i < 2 * n; i++) {
        hw_vec3 q = {s->back - (i & 1 ? b->f->plate : 0), at[i / 2].x, at[i / 2].z};
        q = hw_frame_seen(&t->in, hw_frame_point(&s->knuckle, q));
        seen[m++] = (hw_vec2){q.x, q.z};
        p.y[0] = fmin(p.y[0], q.y);
        p.y[1] = fmax(p.y[1], q.y);
    }
    seen[m++] = (hw_vec2){0, t->shoulder};
    seen[m++] = (hw_vec2){t->journal, t->shoulder};
    seen[m++] = (hw_vec2){0, sqrt(2) * t->elbow};
    m = hw_palm_hull(seen, m, out);
    p.n = m < OUTLINE ? m : OUTLINE;
    memcpy(p.at, out, p.n * sizeof *out);
    return p;
}

// The block, as far as the joint's round end.
static hw_prism block_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    return box_prism(s->knuckle, hw_at(s->back, s->side[0], -s->half),
                     hw_at(s->half, s->side[1], s->half));
}

// The heads of its screws behind the plate.
static hw_prism heads_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const double plate = s->back - b->f->plate, r = HW_THUMB_HEAD * b->f->screw;
    const hw_vec2 *p = &s->screw[0], *q = &s->screw[1];
    return box_prism(s->knuckle,
                     hw_at(plate - 0.8 * b->f->screw, fmin(p->x, q->x) - r, fmin(p->z, q->z) - r),
                     hw_at(plate, fmax(p->x, q->x) + r, fmax(p->z, q->z) + r));
}

static hw_prism bone_of(const hw_palm_build *b)
{
    return hw_seat_segment(&b->f->digit[0], 0, 0);
}

// At both ends of opposition the flexed metacarpal comes into the palm's face: what it takes
// there, down to the bed.
static void put_flexed(hw_palm_build *b, hw_tools *t)
{
    enum { FLEXIONS = 5 };
    static const double share[] = {0, 0.95, 1}; // of the opposition
    const hw_palm_seat *s = &b->f->digit[0];
    for (int k = 0; k < FLEXIONS; k++)
        for (size_t i = 0; i < sizeof share / sizeof *share; i++) {
            hw_prism p = hw_seat_segment(s, (double)k / (FLEXIONS - 1),
                                         s->splay[0] + share[i] * (s->splay[1] - s->splay[0]));
            hw_put(t, hw_prism_fallen(b, &p, 1.8 * b->f->gap));
        }
}

// Distance from the axis and place along it of all that turns, as a convex outline: corners and the
// middles between them, which lie nearer.
static size_t profile_of(hw_palm_build *b, const hw_prism body[], size_t n, hw_vec2 *out)
{
    hw_vec2 at[SPOTS];
    size_t m = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < 2 * body[i].n; k++) {
            hw_vec3 q = hw_frame_seen(&b->thumb.in, hw_prism_corner(&body[i], k));
            at[m++] = (hw_vec2){hypot(q.x, q.y), q.z};
            at[m++] = (hw_vec2){fabs(q.x), q.z};
        }
    at[m++] = (hw_vec2){0, b->thumb.shoulder};
    return hw_palm_hull(at, m, out);
}

// Radius of a convex outline at a place along the axis: the least or the most.
static double radius_at(const hw_vec2 at[], size_t n, double along, bool most) // [m]
{
    double best = most ? 0 : INFINITY;
    for (size_t i = 0; i < n; i++) {
        hw_vec2 p = at[i], q = at[(i + 1) % n];
        if ((p.z > along) == (q.z > along) && p.z != along && q.z != along) continue;
        double part = q.z != p.z ? fmin(fmax((along - p.z) / (q.z - p.z), 0), 1) : 0;
        double r[2] = {p.x + part * (q.x - p.x), q.z == p.z ? q.x : p.x + part * (q.x - p.x)};
        for (int k = 0; k < 2; k++) best = most ? fmax(best, r[k]) : fmin(best, r[k]);
    }
    return best;
}

static int by_place(const void *a, const void *b)
{
    double p = ((const hw_vec2 *)a)->z, q = ((const hw_vec2 *)b)->z;
    return (p > q) - (p < q);
}

// A cone along the axis between two places, drawn out beyond both along its own side.
static const hw_field *ring_of(hw_palm_build *b, const double place[2], const double radius[2],
                               double over) // [m] [m] [m]
{
    double slope = (radius[1] - radius[0]) / (place[1] - place[0]);
    return hw_field_cone(b->a, hw_thumb_along(&b->thumb, place[0] - over),
                         hw_thumb_along(&b->thumb, place[1] + over),
                         fmax(0, radius[0] - over * slope), fmax(0, radius[1] + over * slope));
}

// The outline turned about the axis: between two of its corners' places a cone, less a cone, as
// `play` asks. The outer ones reach a little farther, the inner ones less far than the outline.
static const hw_field *turned(hw_palm_build *b, const hw_vec2 at[], size_t n, double play) // [m]
{
    hw_vec2 *place = HW_NEW(b->a, hw_vec2, n);
    hw_tools whole = {.n = 0}, inside = {.n = 0};
    if (!place) return NULL;
    memcpy(place, at, n * sizeof *place);
    qsort(place, n, sizeof *place, by_place);
    const double least = 1e-3 * b->thumb.journal, edge = least / 16;
    for (size_t i = 1; i < n; i++) {
        const double to[2] = {place[i - 1].z, place[i].z};
        if (to[1] - to[0] < least) continue;
        double out[2], in[2]; // a level end has two radii: that beside it counts
        for (int k = 0; k < 2; k++) {
            out[k] = radius_at(at, n, to[k] + (k ? -edge : edge), true) + play;
            in[k] = radius_at(at, n, to[k] + (k ? -edge : edge), false) - 1.5 * play;
        }
        hw_put(&whole, ring_of(b, to, out, play));
        if (in[0] > least && in[1] > least) hw_put(&inside, ring_of(b, to, in, play));
    }
    return hw_less(b->a, hw_joined(b->a, &whole), &inside);
}

// The ways in which the roof falls: along the axis to both ends, and away from the thumb.
static void falls(const hw_palm_build *b, hw_vec3 way[ROOFS])
{
    const hw_frame in = hw_thumb_upright(&b->thumb);
    way[0] = in.x;
    way[1] = hw_vec3_times(in.x, -1);
    way[2] = hw_vec3_times(in.y, hw_vec3_dot(b->f->digit[0].knuckle.x, in.y) < 0 ? 1 : -1);
}

// A roof of 45 degrees over all poses of the bodies: it falls along the axis to both ends and to
// the side away from the thumb, where it stands on what stays, and is open toward the thumb. Along
// each way it goes no farther than `out` less what it rises by.
static void roof_of(const hw_palm_build *b, double out[ROOFS]) // [m]
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_prism body[BODIES] = {head_of(b), block_of(b), heads_of(b), bone_of(b)};
    const hw_frame in = hw_thumb_upright(&b->thumb);
    hw_vec3 way[ROOFS];
    falls(b, way);
    for (int r = 0; r < ROOFS; r++) {
        const hw_vec3 up = hw_vec3_along(way[r], HW_STEEP, in.z);
        // the bend stays near the axis
        out[r] = sqrt(2) * (b->thumb.journal + b->thumb.elbow * fmax(hw_vec3_dot(in.x, up), 0));
        for (int k = 0; k < POSES * BODIES; k++) {
            const int pose = k / BODIES;
            double angle = s->splay[0] + (s->splay[1] - s->splay[0]) * pose / (POSES - 1);
            hw_prism p = body[k % BODIES];
            p.in = hw_frame_turned(&p.in, s->splay_at, s->splay_axis, angle);
            for (size_t c = 0; c < 2 * p.n; c++)
                out[r] = fmax(out[r], hw_vec3_dot(hw_vec3_sub(hw_prism_corner(&p, c), in.at), up));
        }
        out[r] += sqrt(2) * b->f->gap;
    }
}

static const hw_field *below_roof(hw_palm_build *b)
{
    const hw_frame in = hw_thumb_upright(&b->thumb);
    const hw_field *half[ROOFS];
    hw_vec3 way[ROOFS];
    double out[ROOFS];
    falls(b, way);
    roof_of(b, out);
    for (int r = 0; r < ROOFS; r++) {
        const hw_vec3 up = hw_vec3_along(way[r], HW_STEEP, in.z);
        const double rise = out[r] / hw_vec3_dot(up, up);
        half[r] = hw_field_half(b->a, hw_vec3_along(in.at, rise, up), hw_vec3_unit(up));
    }
    return hw_field_meet(b->a, half, ROOFS);
}

size_t hw_palm_thumb_room(const hw_palm_parts_def *def, hw_body body[HW_PALM_ROOM])
{
    hw_palm_build b = {.f = def};
    double out[ROOFS], low = INFINITY, wide = 0;
    if (!hw_palm_thumb_of(def, &b.thumb) || !b.thumb.held) return 0;
    roof_of(&b, out);
    // who keeps a gap to it may come to its sides: that gap is in the room already
    for (int i = 0; i < ROOFS; i++) out[i] -= def->gap * hypot(1, HW_STEEP);
    for (int i = 0; i < HW_PALM_LOOPS * HW_PALM_LOOP; i++) {
        const hw_vec3 *q = &def->outline[i / HW_PALM_LOOP][i % HW_PALM_LOOP];
        low = fmin(low, q->z - b.thumb.in.at.z);
        wide = fmax(wide, fabs(q->y) + fabs(b.thumb.in.at.y));
    }
    const hw_frame in = hw_thumb_upright(&b.thumb);
    const bool left = hw_vec3_dot(def->digit[0].knuckle.x, in.y) < 0;
    const double ridge = 0.5 * (out[0] + out[1]) / HW_STEEP, step = (ridge - low) / HW_PALM_ROOM;
    for (int i = 0; i < HW_PALM_ROOM; i++) { // terraces that hold the roof
        const double at = ridge - step * (i + 1);
        hw_vec3 from = {fmax(b.thumb.shoulder, HW_STEEP * at - out[1]), HW_STEEP * at - out[2], at};
        hw_vec3 to = {out[0] - HW_STEEP * at, wide, at + step};
        if (left) to.y = -from.y, from.y = -wide;
        hw_vec3 size = hw_vec3_sub(to, from);
        hw_frame f = in;
        f.at = hw_frame_point(&in, hw_vec3_along(from, 0.5, size));
        body[i] = hw_body_box(f, fmax(size.x, 0), fmax(size.y, 0), step);
    }
    return HW_PALM_ROOM;
}

// Round the bend, which stays near the axis, and below it.
static void put_core(hw_palm_build *b, hw_tools *t, const hw_field *roof)
{
    const hw_palm_thumb *th = &b->thumb;
    const double g = b->f->gap, wide = th->journal + g, far = 2 * (b->to - b->from);
    double from = th->shoulder - g, to = sqrt(2) * th->elbow + g;
    hw_frame in = hw_thumb_upright(th);
    const hw_vec3 path[] = {hw_thumb_along(th, from), hw_thumb_along(th, to)};
    hw_put(t, hw_both(b->a, hw_field_drop(b->a, path, 2, wide, in.z),
                      hw_field_half(b->a, path[0], hw_vec3_times(th->in.z, -1))));
    // into the cap's room, so that no crack is left where both end
    hw_put(t, hw_field_box(b->a, &in, hw_at(from - g, -wide, -far), hw_at(to, wide, 0)));
    // beside the bearing, toward the thumb, the wall behind ends square, not in a wedge
    hw_vec3 low = {from, -far, -far}, high = {th->face, far, far};
    if (hw_vec3_dot(b->f->digit[0].knuckle.x, in.y) < 0)
        high.y = -th->journal;
    else
        low.y = th->journal;
    hw_put(t, hw_both(b->a, hw_field_box(b->a, &in, low, high), roof));
}

// All that the lug for the rod passes over, its ends square to the axis.
static const hw_field *lug_room(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    const hw_frame in = hw_thumb_upright(t);
    const double g = 2 * b->f->gap, reach = hypot(t->eye.x, t->eye.y) + t->rim + g;
    hw_box3 box = {{t->shoulder - b->f->gap, INFINITY, INFINITY},
                   {t->eye.z + 0.5 * b->f->plate + g, -INFINITY, -INFINITY}};
    for (int i = 0; i <= POSES; i++) {
        double angle = s->splay[0] + (s->splay[1] - s->splay[0]) * i / POSES;
        hw_frame turned_by = hw_frame_turned(&t->in, s->splay_at, s->splay_axis, angle);
        hw_vec3 out = hw_frame_direction(&turned_by, hw_at(t->eye.x, t->eye.y, 0));
        hw_vec3 end = hw_vec3_along(t->in.at, reach, hw_vec3_unit(out));
        hw_vec3 p = hw_frame_seen(&in, end);
        box.low.y = fmin(box.low.y, fmin(p.y, 0) - t->rim - g);
        box.high.y = fmax(box.high.y, fmax(p.y, 0) + t->rim + g);
        box.low.z = fmin(box.low.z, fmin(p.z, 0));
        box.high.z = fmax(box.high.z, fmax(p.z, 0));
    }
    return hw_field_box(b->a, &in, box.low, box.high);
}

void hw_palm_thumb_bay(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const double g = b->f->gap;
    if (!b->thumb.held) return;
    const hw_prism body[BODIES] = {head_of(b), block_of(b), heads_of(b), bone_of(b)};
    hw_vec2 outline[SPOTS + 2];
    size_t n = profile_of(b, body, BODIES, outline);
    const hw_field *roof = below_roof(b);
    // square to its sides less
    const hw_field *round = hw_both(b->a, turned(b, outline, n, 1.8 * g), roof);
    hw_tools room = {.n = 0};
    put_core(b, &room, roof);
    if (s->levered) hw_put(&room, lug_room(b));
    hw_put(&room, hw_field_cut(b->a, round, b->ahead)); // the fingers' ground stays whole
    put_flexed(b, &room);
    for (int i = 0; i < BODIES; i++) { // it comes in from the palm, half opposed
        hw_prism p = body[i];
        p.in =
            hw_frame_turned(&p.in, s->splay_at, s->splay_axis, 0.5 * (s->splay[0] + s->splay[1]));
        hw_put(&room, hw_prism_fallen(b, &p, g));
    }
    b->thumb.room = hw_joined(b->a, &room);
}

// The box that the rod's lug turns in.
void hw_palm_thumb_tail(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    if (!t->held) return;
    if (!s->levered) return;
    const double g = 2 * b->f->gap, out = 1 + (t->rim + g) / hypot(t->eye.x, t->eye.y);
    hw_box3 box = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
    for (int i = 0; i < 2 * POSES; i++) {
        const int step = i / 2;
        double share = (double)step / (POSES - 1);
        double angle = s->splay[0] + share * (s->splay[1] - s->splay[0]);
        hw_frame in = hw_frame_turned(&t->in, s->splay_at, s->splay_axis, angle);
        double z = i & 1 ? t->eye.z + 0.5 * b->f->plate + g : t->shoulder - b->f->gap;
        hw_vec3 p = hw_frame_point(&in, hw_at(out * t->eye.x, out * t->eye.y, z));
        const hw_vec3 axis = hw_thumb_along(t, z);
        const hw_vec3 *const at[] = {&p, &axis};
        for (int k = 0; k < 2; k++) {
            box.low = hw_at(fmin(box.low.x, at[k]->x), fmin(box.low.y, at[k]->y - t->rim - g),
                            fmin(box.low.z, at[k]->z));
            box.high = hw_at(fmax(box.high.x, at[k]->x), fmax(box.high.y, at[k]->y + t->rim + g),
                             fmax(box.high.z, at[k]->z));
        }
    }
    // the bearing's face is square to the axis, this box is not: it begins where it leaves no wedge
    double skew = fabs(t->in.z.y) / t->in.z.x;
    box.low.x += skew * 0.5 * (box.high.y - box.low.y);
    b->tail[b->tails++] = box;
}
