// Yokes that the fingers' carriers stand on: a plate behind, a foot below, a lug for the rod.
#include "parts/palm_internal.h"

#include "base/text.h"

static const char *const digit_name[HW_PALM_DIGITS] = {"thumb", "index", "middle", "ring",
                                                       "little"};

static hw_vec3 lever_of(const hw_palm_seat *s)
{
    const hw_frame *k = &s->knuckle;
    hw_vec3 d = hw_vec3_sub(s->lever, k->at);
    return (hw_vec3){hw_vec3_dot(d, k->x), hw_vec3_dot(d, k->y), hw_vec3_dot(d, k->z)};
}

// A yoke lies on the side that its rod's end is nearer to, else on that nearer to the palm's
// middle: 1 is the high one.
static double bed_side(const hw_palm_build *b, const hw_palm_seat *s)
{
    double off = lever_of(s).y - 0.5 * (s->side[0] + s->side[1]);
    if (s->levered && fabs(off) > 0.5 * b->f->screw) return off < 0 ? -1 : 1;
    return s->knuckle.at.y < (b->wrist[0] + b->wrist[1]) / 2 ? 1 : -1;
}

// ---- what neighbours leave ----------------------------------------------------------------------

// The next seat of a finger beside s; NULL: none.
static const hw_palm_seat *beside(const hw_palm_parts_def *f, const hw_palm_seat *s, int step)
{
    for (long i = s - f->digit + step; i > 0 && i < HW_PALM_DIGITS; i += step)
        if (f->digit[i].present) return &f->digit[i];
    return NULL;
}

// How far a line between two points goes to one side of a frame (sign 1: up y) between two x.
static double aside(const hw_frame *in, hw_vec3 p, hw_vec3 q, const double x[2],
                    double sign) // [m] [1]
{
    double most = -INFINITY;
    p = hw_frame_seen(in, p);
    q = hw_frame_seen(in, q);
    for (int i = 0; i < 2; i++) {
        double to = fmin(fmax(x[i], fmin(p.x, q.x)), fmax(p.x, q.x));
        if (to < x[0] || to > x[1]) return most; // all of it is beyond them
        double share = q.x != p.x ? (to - p.x) / (q.x - p.x) : 0;
        most = fmax(most, sign * (p.y + share * (q.y - p.y)));
    }
    return most;
}

// How far carrier, yoke and screws of a neighbour come to the side of a yoke that looks at it.
static double reach_of(const hw_palm_parts_def *f, const hw_frame *own, const double x[2],
                       const hw_palm_seat *n, const hw_frame *its, double sign) // [m] [1]
{
    const double r = HW_SCREW_HEAD * f->screw, plate = n->back - f->plate;
    const double side = sign > 0 ? n->side[1] : n->side[0];
    double head = sign * fmax(sign * n->screw[0].x, sign * n->screw[1].x) + sign * r;
    double most = -INFINITY;
    for (int e = 0; e < 2; e++) {
        const double z = e ? n->half : -n->half - f->plate;
        const double at[2][3] = {{plate, 0, side}, {plate - 0.8 * f->screw, plate, head}};
        for (int k = 0; k < 2; k++)
            most = fmax(most, aside(own, hw_frame_point(its, hw_at(at[k][0], at[k][2], z)),
                                    hw_frame_point(its, hw_at(at[k][1], at[k][2], z)), x, sign));
    }
    return most;
}

void hw_seat_sides(const hw_palm_parts_def *f, const hw_palm_seat *s, double side[2])
{
    const hw_vec3 axis = hw_seat_on_axis(s, -s->half);
    const double cone = HW_SEAT_CONE * f->screw + 0.5 * f->plate; // it stands inside the foot
    const double x[2] = {s->back - f->plate, axis.x + cone};
    for (int e = 0; e < 2; e++) {
        const hw_palm_seat *n = beside(f, s, e ? -1 : 1);
        const double sign = e ? -1 : 1; // the one on the low side comes up
        side[e] = s->side[e];
        for (int k = 0; n && k < 4; k++) {
            hw_frame own =
                hw_frame_turned(&s->knuckle, s->splay_at, s->splay_axis, s->splay[k & 1]);
            hw_frame its =
                hw_frame_turned(&n->knuckle, n->splay_at, n->splay_axis, n->splay[k >> 1]);
            double to = sign * (reach_of(f, &own, x, n, &its, sign) + f->gap);
            side[e] = e ? fmin(side[e], to) : fmax(side[e], to);
        }
        const double least = fmin(sign * (axis.y - s->side[e]), cone);
        side[e] = sign * fmin(sign * side[e], sign * axis.y - least);
    }
}

// ---- the lug ------------------------------------------------------------------------------------

bool hw_seat_tail(const hw_palm_build *b, const hw_palm_seat *s, hw_palm_tail *t)
{
    *t = (hw_palm_tail){.eye = lever_of(s), .plate = s->back - b->f->plate};
    t->half = 0.5 * b->f->plate;
    t->rim = 0.75 * b->f->screw;
    t->end = t->eye.x - t->rim;
    if (!s->levered || !(t->eye.x < t->plate)) return false;
    double side[2];
    hw_seat_sides(b->f, s, side);
    const bool low = bed_side(b, s) < 0; // where it stands while it is printed
    t->side[0] = low ? side[0] : t->eye.y - t->rim;
    t->side[1] = low ? t->eye.y + t->rim : side[1];
    return true;
}

// The lug as a plate across the splay axis: round the eye, and what carries it from the plate.
static void put_tail(hw_palm_build *b, hw_tools *t, const hw_palm_seat *s, const hw_palm_tail *lug)
{
    double up = -bed_side(b, s), bed = up > 0 ? lug->side[0] : lug->side[1];
    double near = lug->eye.y - up * lug->rim, far = lug->eye.y + up * lug->rim;
    double lean = fmin(up * (near - bed), lug->plate - lug->end); // along x as far as across
    hw_vec2 at[] = {{lug->plate + lug->half, bed},
                    {lug->plate, bed},
                    {lug->plate - lean, bed + up * lean},
                    {lug->end, near},
                    {lug->end, far},
                    {lug->plate + lug->half, far}};
    if (lean < lug->plate - lug->end) // it would hang: all of it stands on the bed
        at[1].z = at[2].z = at[3].z = bed, at[2].x = 0.5 * (lug->plate + lug->end);
    const hw_polygon outline = {at, 6};
    hw_frame in = {hw_frame_point(&s->knuckle, hw_at(0, 0, lug->eye.z)), s->knuckle.x,
                   hw_vec3_times(s->knuckle.z, -1), s->knuckle.y};
    hw_put(t, hw_field_prism(b->a, &in, &outline, -lug->half, lug->half));
}

// An L: a plate behind the carrier, a foot below it with the cone, a lug for the rod.
static const hw_field *yoke_body(hw_palm_build *b, const hw_palm_seat *s)
{
    const double p = b->f->plate, low = -s->half - p, g = b->f->gap;
    hw_vec3 axis = hw_seat_on_axis(s, low);
    double front = axis.x + b->cone + 0.5 * p;
    hw_palm_tail lug;
    hw_vec2 ell[] = {{s->back, s->half}, {s->back - p, s->half}, {s->back - p, low},
                     {front, low},       {front, -s->half},      {s->back, -s->half}};
    const hw_polygon outline = {ell, 6};
    hw_tools t = {.n = 0};
    double side[2];
    hw_seat_sides(b->f, s, side);
    hw_put(&t, hw_field_prism(b->a, &s->knuckle, &outline, side[0], side[1]));
    if (hw_seat_tail(b, s, &lug)) put_tail(b, &t, s, &lug);
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
    double side[2];
    hw_seat_sides(b->f, s, side);
    double bed_y = bed_side(b, s) < 0 ? side[0] : side[1];
    hw_vec3 up = hw_vec3_times(k->y, -bed_side(b, s)), top = hw_seat_on_axis(s, -s->half + p),
            foot = hw_seat_on_axis(s, low - 2 * b->deep);
    put_bore(b, &t, hw_frame_point(k, foot), hw_frame_point(k, top), 0.42 * screw, up);
    for (int e = 0; e < 2; e++) {
        hw_vec3 from = {s->back - 2 * p, s->screw[e].x, s->screw[e].z};
        hw_vec3 to = {s->back + p, from.y, from.z};
        put_bore(b, &t, hw_frame_point(k, from), hw_frame_point(k, to), 0.55 * screw, up);
        if (!(s->sheath_bore > 0)) continue;
        from.y = to.y = s->sheath[e].x;
        from.z = to.z = s->sheath[e].z;
        put_bore(b, &t, hw_frame_point(k, from), hw_frame_point(k, to), s->sheath_bore / 2, up);
    }
    hw_palm_tail lug;
    if (hw_seat_tail(b, s, &lug)) {
        hw_vec3 from = lug.eye, to = lug.eye;
        from.z -= 2 * lug.half;
        to.z += 2 * lug.half;
        put_bore(b, &t, hw_frame_point(k, from), hw_frame_point(k, to), lug.rim / 3, up);
    }
    hw_buffer name = {.arena = b->a};
    hw_buffer_format(&name, "%s yoke", digit_name[digit]);
    hw_frame bed = {hw_frame_point(k, hw_at(s->back, bed_y, 0)), k->z, k->x, up};
    if (bed_side(b, s) > 0) bed.x = k->x, bed.y = k->z;
    b->out->screws += 3;
    if (name.at) hw_palm_add(b, name.at, hw_less(b->a, yoke_body(b, s), &t), bed, NULL, 0);
}
