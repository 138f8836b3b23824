// Seats of digits: the bay in the palm where carriers turn, the yokes that they stand on.
#include "parts/palm_internal.h"

#include "base/text.h"

#include <string.h>

static const char *const digit_name[HW_PALM_DIGITS] = {"thumb", "index", "middle", "ring",
                                                       "little"};

double hw_seat_floor(const hw_palm_build *b, const hw_palm_seat *s)
{
    return -s->half - b->f->plate - b->f->gap;
}

// A point of the splay axis at a height of the knuckle's frame, as that frame has it.
static hw_vec3 on_axis(const hw_palm_seat *s, double z)
{
    const hw_frame *k = &s->knuckle;
    hw_vec3 d = hw_vec3_sub(s->splay_at, k->at);
    hw_vec3 at = {hw_vec3_dot(d, k->x), hw_vec3_dot(d, k->y), hw_vec3_dot(d, k->z)};
    hw_vec3 way = {hw_vec3_dot(s->splay_axis, k->x), hw_vec3_dot(s->splay_axis, k->y),
                   hw_vec3_dot(s->splay_axis, k->z)};
    return hw_vec3_along(at, (z - at.z) / way.z, way);
}

static hw_vec3 lever_of(const hw_palm_seat *s)
{
    const hw_frame *k = &s->knuckle;
    hw_vec3 d = hw_vec3_sub(s->lever, k->at);
    return (hw_vec3){hw_vec3_dot(d, k->x), hw_vec3_dot(d, k->y), hw_vec3_dot(d, k->z)};
}

// A yoke lies on its side that is nearer to the palm's middle: -1 the low one.
static double bed_side(const hw_palm_build *b, const hw_palm_seat *s)
{
    return s->knuckle.at.y < (b->wrist[0] + b->wrist[1]) / 2 ? 1 : -1;
}

// How far the tail of a yoke reaches: x of its end, its sides. It stands on the yoke's bed face.
static void tail_of(const hw_palm_build *b, const hw_palm_seat *s, double *end, double side[2])
{
    double back = s->back - b->f->plate, room = 1.2 * b->f->screw;
    hw_vec3 lever = lever_of(s);
    bool any = s->levered && lever.x < back, low = bed_side(b, s) < 0;
    *end = any ? lever.x - room : back;
    side[0] = low ? s->side[0] : fmin(s->side[1] - room, lever.y - room);
    side[1] = low ? fmax(s->side[0] + room, lever.y + room) : s->side[1];
}

// ---- bay --------------------------------------------------------------------------------------

// What one seat takes: carrier, yoke and tail in three poses, all that lies above them too.
static void put_fan(hw_palm_build *b, hw_tools *t, hw_tools *tails, const hw_palm_seat *s,
                    const bool open[2])
{
    const double g = b->f->gap, far = b->to - b->from, floor = hw_seat_floor(b, s);
    double end, side[2], low = open[0] ? -far : s->side[0] - 2 * g;
    double high = open[1] ? far : s->side[1] + 2 * g;
    tail_of(b, s, &end, side);
    for (int i = 0; i < 3; i++) {
        double angle = s->splay[0] + (s->splay[1] - s->splay[0]) * i / 2;
        if (i && !(s->splay[1] > s->splay[0])) break;
        hw_frame in = hw_frame_turned(&s->knuckle, s->splay_at, s->splay_axis, angle);
        double back = s->back - b->f->plate - 0.8 * b->f->screw - g;
        hw_put(t, hw_field_box(b->a, &in, hw_at(back, low, floor), hw_at(far, high, far)));
        if (i == 0) // the wall behind ends square, not in a wedge
            for (int e = 0; e < 2; e++)
                if (open[e])
                    hw_put(t, hw_field_box(
                                  b->a, &s->knuckle,
                                  hw_at(back - 4 * b->f->wall, e ? s->side[1] + 2 * g : low, floor),
                                  hw_at(far, e ? high : s->side[0] - 2 * g, far)));
        if (end < s->back - b->f->plate)
            hw_put(tails, hw_field_box(b->a, &in, hw_at(end - g, side[0] - 2 * g, floor),
                                       hw_at(s->back, side[1] + 2 * g, far)));
    }
}

// Between two neighbours nothing is left that would be thinner than a wall.
static void put_between(hw_palm_build *b, hw_tools *t, const hw_palm_seat *s,
                        const hw_palm_seat *next)
{
    const double far = 2 * (b->to - b->from);
    hw_vec3 at[2];
    double floor = -INFINITY, deep = INFINITY, back = -INFINITY, least = INFINITY, side[2];
    const hw_palm_seat *both[2] = {s, next};
    for (int i = 0; i < 2; i++) {
        hw_vec3 mid = {both[i]->back - b->f->plate, 0, hw_seat_floor(b, both[i])};
        at[i] = hw_frame_point(&both[i]->knuckle, mid);
        floor = fmax(floor, at[i].z);
        deep = fmin(deep, at[i].z);
        back = fmax(back, at[i].x);
        least = fmin(least, at[i].x);
        mid.y = i ? next->side[1] + b->f->gap : s->side[0] - b->f->gap;
        side[i] = hw_frame_point(&both[i]->knuckle, mid).y;
    }
    hw_box3 box = {{back, fmin(at[0].y, at[1].y), floor}, {far, fmax(at[0].y, at[1].y), far}};
    if (box.low.y < box.high.y) hw_put(t, hw_block3(b->a, box));
    // and from the farther back of both, from side to side
    box.low.x = least;
    box.low.z = deep;
    box.low.y = fmin(side[0], side[1]);
    box.high.y = fmax(side[0], side[1]);
    hw_put(t, hw_block3(b->a, box));
}

// All that is before a line through the backs of the fingers' bays, a wall behind them.
static const hw_field *ahead_of(hw_palm_build *b)
{
    const double far = 4 * (b->to - b->from);
    hw_vec2 at[HW_PALM_DIGITS + 4];
    size_t n = 0;
    for (int i = 1; i < HW_PALM_DIGITS; i++) {
        const hw_palm_seat *s = &b->f->digit[i];
        if (!s->present) continue;
        double back = s->back - b->f->plate - 0.8 * b->f->screw - b->f->gap - b->f->wall;
        hw_vec3 p = hw_frame_point(&s->knuckle, hw_at(back, 0, 0));
        if (n == 0) at[n++] = (hw_vec2){p.x, far};
        if (p.y < at[n - 1].z) at[n++] = (hw_vec2){p.x, p.y};
    }
    if (n == 0) at[n++] = (hw_vec2){b->to, far};
    at[n] = (hw_vec2){at[n - 1].x, -far};
    n++;
    at[n++] = (hw_vec2){far, -far};
    at[n++] = (hw_vec2){far, far};
    const hw_polygon outline = {at, n};
    return hw_field_prism(b->a, &hw_plan_axes, &outline, -far, far);
}

static int last_present(const hw_palm_build *b)
{
    int i = HW_PALM_DIGITS - 1;
    while (i > 0 && !b->f->digit[i].present) i--;
    return i;
}

void hw_palm_bay(hw_palm_build *b)
{
    b->ahead = ahead_of(b);
    hw_tools t = {.n = 0}, tails = {.n = 0};
    const hw_palm_seat *last = NULL;
    for (int i = 1; i < HW_PALM_DIGITS; i++) {
        const hw_palm_seat *s = &b->f->digit[i];
        if (!s->present) continue;
        // beside the outer ones a wall would be thinner than prints
        const bool open[2] = {last_present(b) == i, last == NULL};
        put_fan(b, &t, &tails, s, open);
        if (last) put_between(b, &t, last, s);
        last = s;
        hw_vec3 foot = on_axis(s, hw_seat_floor(b, s));
        double floor = hw_frame_point(&s->knuckle, foot).z;
        b->bottom = fmin(b->bottom, floor - b->deep - 0.8 * b->f->screw);
    }
    b->bay = t.n ? hw_joined(b->a, &t) : NULL;
    b->tails = tails.n ? hw_joined(b->a, &tails) : NULL;
    const hw_palm_seat *thumb = &b->f->digit[0];
    if (!thumb->present) return;
    const double g = b->f->gap, far = b->to - b->from;
    b->well = hw_field_box(b->a, &thumb->knuckle,
                           hw_at(thumb->back, thumb->side[0] - g, -thumb->half - g),
                           hw_at(far, thumb->side[1] + g, thumb->half + g));
}

// ---- yokes ------------------------------------------------------------------------------------

// An L: a plate behind the carrier, a foot below it with the cone, a tail for the rod.
static const hw_field *yoke_body(hw_palm_build *b, const hw_palm_seat *s)
{
    const double p = b->f->plate, low = -s->half - p, g = b->f->gap;
    hw_vec3 axis = on_axis(s, low);
    double end, side[2], front = axis.x + b->cone + 0.5 * p;
    tail_of(b, s, &end, side);
    hw_vec2 ell[] = {{s->back, s->half}, {s->back - p, s->half}, {s->back - p, low},
                     {front, low},       {front, -s->half},      {s->back, -s->half}};
    hw_vec2 tail[] = {{end, -s->half}, {end, low}, {s->back, low}, {s->back, -s->half}};
    const hw_polygon outline = {ell, 6}, strip = {tail, 4};
    hw_tools t = {.n = 0};
    hw_put(&t, hw_field_prism(b->a, &s->knuckle, &outline, s->side[0], s->side[1]));
    if (end < s->back - p) hw_put(&t, hw_field_prism(b->a, &s->knuckle, &strip, side[0], side[1]));
    hw_vec3 way = hw_vec3_times(s->splay_axis, -1), at = hw_frame_point(&s->knuckle, axis);
    at = hw_vec3_along(at, -0.5 * p, way); // it begins inside the foot
    double wide = b->cone - g * sqrt(2);   // a gap, square to its side
    hw_put(&t, hw_field_cone(b->a, at, hw_vec3_along(at, 0.5 * p + b->deep, way), wide + 0.5 * p,
                             wide - b->deep));
    return hw_joined(b->a, &t);
}

static void put_bore(hw_palm_build *b, hw_tools *t, hw_vec3 from, hw_vec3 to, double radius,
                     hw_vec3 up)
{
    hw_put(t, hw_field_drop(b->a, (hw_vec3[]){from, to}, 2, radius, up));
}

void hw_palm_yoke(hw_palm_build *b, int digit)
{
    const hw_palm_seat *s = &b->f->digit[digit];
    const double p = b->f->plate, screw = b->f->screw, low = -s->half - p;
    const hw_frame *k = &s->knuckle;
    hw_tools t = {.n = 0};
    double bed_y = bed_side(b, s) < 0 ? s->side[0] : s->side[1];
    hw_vec3 up = hw_vec3_times(k->y, -bed_side(b, s)), top = on_axis(s, -s->half + p),
            foot = on_axis(s, low - 2 * b->deep);
    put_bore(b, &t, hw_frame_point(k, foot), hw_frame_point(k, top), 0.42 * screw, up);
    for (int e = -1; e <= 1; e += 2) {
        hw_vec3 from = {s->back - 2 * p, s->screw_y, e * s->half / 2};
        hw_vec3 to = {s->back + p, from.y, from.z};
        put_bore(b, &t, hw_frame_point(k, from), hw_frame_point(k, to), 0.55 * screw, up);
    }
    double end, side[2];
    tail_of(b, s, &end, side);
    if (end < s->back - p) {
        hw_vec3 lever = lever_of(s), from = {lever.x, lever.y, low - p}, to = from;
        to.z = -s->half + p;
        put_bore(b, &t, hw_frame_point(k, from), hw_frame_point(k, to), 0.4 * screw, up);
    }
    hw_buffer name = {.arena = b->a};
    hw_buffer_format(&name, "%s yoke", digit_name[digit]);
    hw_frame bed = {hw_frame_point(k, hw_at(s->back, bed_y, 0)), k->z, k->x, up};
    if (bed_side(b, s) > 0) bed.x = k->x, bed.y = k->z;
    b->out->screws += 3;
    if (name.at) hw_palm_add(b, name.at, hw_less(b->a, yoke_body(b, s), &t), bed, NULL, 0);
}
