// What stands behind a digit's carrier as bodies: the lug that its rod hooks in as it turns, the
// thumb's bearing.
#include "parts/palm_internal.h"

enum { SPLAYS = 3, OPPOSITIONS = 5 };

// A box between two corners of a frame.
static hw_body box_between(hw_frame in, hw_vec3 low, hw_vec3 high)
{
    hw_vec3 size = hw_vec3_sub(high, low);
    in.at = hw_frame_point(&in, hw_vec3_along(low, 0.5, size));
    return hw_body_box(in, size.x, size.y, size.z);
}

static hw_body turned(const hw_body *b, const hw_palm_seat *s, double angle) // [rad]
{
    hw_body out = *b;
    out.frame = hw_frame_turned(&b->frame, s->splay_at, s->splay_axis, angle);
    return out;
}

static size_t finger_lug(const hw_palm_parts_def *f, const hw_palm_seat *s, hw_body out[])
{
    hw_palm_build b = {.f = f, .wrist = {f->outline[0][HW_PALM_LOOP / 2].y, f->outline[0][0].y}};
    hw_palm_tail t;
    if (!hw_seat_tail(&b, s, &t)) return 0;
    hw_body rest = box_between(s->knuckle, hw_at(t.end, t.side[0], t.eye.z - t.half),
                               hw_at(t.plate, t.side[1], t.eye.z + t.half));
    size_t n = s->splay[1] > s->splay[0] ? SPLAYS : 1;
    for (size_t i = 0; i < n; i++)
        out[i] =
            turned(&rest, s, s->splay[0] + (s->splay[1] - s->splay[0]) * (double)i / (SPLAYS - 1));
    return n;
}

static size_t thumb_lug(const hw_palm_parts_def *f, const hw_palm_seat *s, hw_body out[],
                        size_t *bearing)
{
    hw_palm_thumb t;
    if (!hw_palm_thumb_of(f, &t) || !t.held) return 0;
    size_t n = 0;
    if (s->levered) {
        hw_vec3 way = hw_vec3_unit(hw_frame_direction(&t.in, hw_at(t.eye.x, t.eye.y, 0)));
        const hw_frame in = {t.in.at, way, hw_vec3_cross(t.in.z, way), t.in.z};
        hw_body rest =
            box_between(in, hw_at(0, -t.rim, t.shoulder),
                        hw_at(hypot(t.eye.x, t.eye.y) + t.rim, t.rim, t.eye.z + 0.5 * f->plate));
        for (; n < OPPOSITIONS; n++)
            out[n] =
                turned(&rest, s,
                       s->splay[0] + (s->splay[1] - s->splay[0]) * (double)n / (OPPOSITIONS - 1));
    }
    out[n++] = hw_palm_thumb_block(f, &t);
    *bearing = 1;
    return n;
}

size_t hw_palm_lug(const hw_palm_parts_def *def, int digit, hw_body out[HW_PALM_LUGS],
                   size_t *bearing)
{
    const hw_palm_seat *s = &def->digit[digit];
    *bearing = 0;
    if (!s->present) return 0;
    return digit ? finger_lug(def, s, out) : thumb_lug(def, s, out, bearing);
}

// From a place behind the plate to the lug, across.
static double beside(const hw_palm_tail *t, hw_vec2 at) // [m]
{
    double y = fmax(0, fmax(t->side[0] - at.x, at.x - t->side[1]));
    double z = fmax(0, fabs(at.z - t->eye.z) - t->half);
    return hypot(y, z);
}

double hw_palm_lug_room(const hw_palm_parts_def *def, int digit)
{
    const hw_palm_seat *s = &def->digit[digit];
    const hw_palm_build b = {.f = def,
                             .wrist = {def->outline[0][HW_PALM_LOOP / 2].y, def->outline[0][0].y}};
    hw_palm_tail t;
    hw_palm_thumb thumb;
    double side[2];
    if (digit == 0)
        return s->levered && hw_palm_thumb_of(def, &thumb) && thumb.held
                   ? hw_thumb_lug_room(def, &thumb)
                   : (double)INFINITY;
    if (!s->present || !hw_seat_tail(&b, s, &t)) return INFINITY;
    hw_seat_sides(def, s, side);
    double room = fmin(t.eye.y - side[0], side[1] - t.eye.y) - t.rim;
    for (int e = 0; e < 2; e++) {
        room = fmin(room, beside(&t, s->screw[e]) - HW_THUMB_HEAD * def->screw);
        if (s->sheath_bore > 0) room = fmin(room, beside(&t, s->sheath[e]) - s->sheath_bore / 2);
    }
    return room;
}
