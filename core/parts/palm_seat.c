// Seats of digits: the bay in the palm where carriers turn.
#include "parts/palm_internal.h"

double hw_seat_floor(const hw_palm_build *b, const hw_palm_seat *s)
{
    return -s->half - b->f->plate - b->f->gap;
}

hw_vec3 hw_seat_on_axis(const hw_palm_seat *s, double z)
{
    const hw_frame *k = &s->knuckle;
    hw_vec3 d = hw_vec3_sub(s->splay_at, k->at);
    hw_vec3 at = {hw_vec3_dot(d, k->x), hw_vec3_dot(d, k->y), hw_vec3_dot(d, k->z)};
    hw_vec3 way = {hw_vec3_dot(s->splay_axis, k->x), hw_vec3_dot(s->splay_axis, k->y),
                   hw_vec3_dot(s->splay_axis, k->z)};
    return hw_vec3_along(at, (z - at.z) / way.z, way);
}

// ---- bay --------------------------------------------------------------------------------------

// What one seat takes: carrier and yoke in three poses, all that lies above them too.
static void put_fan(hw_palm_build *b, hw_tools *t, const hw_palm_seat *s, const bool open[2])
{
    const double g = b->f->gap, far = b->to - b->from, floor = hw_seat_floor(b, s);
    double low = open[0] ? -far : s->side[0] - 2 * g;
    double high = open[1] ? far : s->side[1] + 2 * g;
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
    }
}

// What closed fingers take of the palm's front edge near the bed.
static void put_closed(hw_palm_build *b, hw_tools *t, const hw_palm_seat *s)
{
    for (int i = 0; s->segment > 0 && i < 3; i++) {
        if (i && !(s->splay[1] > s->splay[0])) break;
        double aside = s->splay[0] + (s->splay[1] - s->splay[0]) * i / 2;
        hw_prism p = hw_seat_segment(s, 1, aside);
        hw_put(t, hw_prism_fallen(b, &p, 2 * b->f->gap));
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

// Where a seat's bay ends behind: x in the knuckle's frame.
static double bay_back(const hw_palm_build *b, const hw_palm_seat *s)
{
    return s->back - b->f->plate - 0.8 * b->f->screw - b->f->gap;
}

// The box that a yoke's lug turns in, the screws behind the carrier with their heads too.
static void note_tail(hw_palm_build *b, const hw_palm_seat *s)
{
    hw_palm_tail lug;
    if (!hw_seat_tail(b, s, &lug)) return;
    const double g = 2 * b->f->gap;
    hw_box3 box = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
    for (int i = 0; i < 12; i++) {
        hw_vec3 p = {i & 1 ? lug.end - g : s->back, lug.side[i >> 1 & 1],
                     lug.eye.z - lug.half - b->f->screw};
        double angle = s->splay[0] + (s->splay[1] - s->splay[0]) * (double)(i >> 2) / 2;
        hw_frame in = hw_frame_turned(&s->knuckle, s->splay_at, s->splay_axis, angle);
        p = hw_frame_point(&in, p);
        box.low = (hw_vec3){fmin(box.low.x, p.x), fmin(box.low.y, p.y - g), fmin(box.low.z, p.z)};
        box.high =
            (hw_vec3){fmax(box.high.x, p.x), fmax(box.high.y, p.y + g), fmax(box.high.z, p.z)};
    }
    box.high.z += 2 * lug.half + b->f->screw;
    b->tail[b->tails++] = box;
}

// Over each seat all is open from half way to its neighbours, a wall farther back than the bay, so
// that nothing thin is left between two bays or beside them.
static void put_over(hw_palm_build *b, hw_tools *t, const hw_palm_seat *s, const hw_palm_seat *low,
                     const hw_palm_seat *high)
{
    const double far = 2 * (b->to - b->from);
    hw_vec3 from = {bay_back(b, s) - b->f->wall, 0, hw_seat_floor(b, s)};
    from = hw_frame_point(&s->knuckle, from);
    double y[2] = {-far, far};
    const hw_palm_seat *const beside[2] = {low, high};
    for (int e = 0; e < 2; e++) {
        if (!beside[e]) continue;
        hw_vec3 own = hw_frame_point(&s->knuckle, hw_at(s->back, s->side[e], 0));
        hw_vec3 its =
            hw_frame_point(&beside[e]->knuckle, hw_at(beside[e]->back, beside[e]->side[1 - e], 0));
        y[e] = 0.5 * (own.y + its.y);
    }
    hw_put(t, hw_block3(b->a, (hw_box3){{from.x, y[0], from.z}, {far, y[1], far}}));
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
        hw_vec3 p = hw_frame_point(&s->knuckle, hw_at(bay_back(b, s) - b->f->wall, 0, 0));
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

// The next seat of a finger from i on, one step at a time; NULL: none.
static const hw_palm_seat *finger_from(const hw_palm_build *b, int i, int step)
{
    for (i += step; i > 0 && i < HW_PALM_DIGITS; i += step)
        if (b->f->digit[i].present) return &b->f->digit[i];
    return NULL;
}

void hw_palm_bay(hw_palm_build *b)
{
    b->ahead = ahead_of(b);
    hw_tools t = {.n = 0};
    for (int i = 1; i < HW_PALM_DIGITS; i++) {
        const hw_palm_seat *s = &b->f->digit[i];
        if (!s->present) continue;
        // beside the outer ones a wall would be thinner than prints
        const hw_palm_seat *next = finger_from(b, i, 1), *last = finger_from(b, i, -1);
        const bool open[2] = {next == NULL, last == NULL};
        put_fan(b, &t, s, open);
        put_closed(b, &t, s);
        note_tail(b, s);
        if (last) put_between(b, &t, last, s);
        put_over(b, &t, s, next, last);
        hw_vec3 foot = hw_seat_on_axis(s, hw_seat_floor(b, s));
        double floor = hw_frame_point(&s->knuckle, foot).z;
        b->bottom = fmin(b->bottom, floor - b->deep - 0.8 * b->f->screw);
    }
    b->bay = t.n ? hw_joined(b->a, &t) : NULL;
}
