// The forearm's cover: a sleeve open below that keeps fingers, hair and sleeves out of drums and
// cords and gives the arm its shape. It is pressed on from the back: its sides spread, lips snap
// under the body's bevelled edges and hold it down, the palm before it and the stand behind it keep
// it where it is, so it needs no screw. It stands on its rear end when it is printed: nothing
// hangs.
#include "parts/palm_arm_internal.h"

#include "base/text.h"

#define ROUND 3.0 // exponent of its sections: 2 is an ellipse, more is fuller [1]

// Half its breadth behind over half the wrist's: own choice. A forearm is about half again as large
// round as its wrist (common practice); its depth, which the servos give, takes the rest. [1]
#define SWELL 1.3

// Round it on the bed: it stands high on a thin edge (common practice). [m]
#define BRIM 5e-3

enum { BODY = 9, NECK = 7, ALONG = BODY + NECK, LOOP = HW_PALM_LOOP };

typedef struct sleeve {
    double wall;         // [m]
    double rear, front;  // x of its ends
    double bend;         // x where it begins to fall to the wrist
    double y, z;         // of its sections' middle
    double up;           // from there to its crown
    double low;          // z of its lips' underside
    double half[2], bar; // half its breadth before and behind, half the body's
} sleeve;

// How wide a section whose crown is `up` over its middle must be to hold a place. [m]
static double wide_for(double aside, double over, double up) // [m] [m] [m]
{
    double left = 1 - pow(fmin(fmax(over / up, 0), 0.98), ROUND);
    return aside / pow(left, 1 / ROUND);
}

static double aside_of(const sleeve *s, const hw_box3 *box)
{
    return fmax(box->high.y - s->y, s->y - box->low.y);
}

// Half the breadth that holds the lid and all that stands over it, wherever along the body, under a
// crown that is `up` over the middle inside. [m]
static double half_for(const hw_palm_build *b, const hw_arm *m, const sleeve *s, double up)
{
    const hw_palm_parts_def *f = b->f;
    double half = wide_for(s->bar + f->gap, m->roof + f->gap - s->z, up);
    for (size_t i = 0; i < f->arm_servos; i++)
        for (int k = HW_BOX_CASE; k <= HW_BOX_HORN; k++) {
            hw_box3 box = hw_servo_box_of(&f->arm[i], (hw_servo_box)k, 2 * f->gap);
            half = fmax(half, wide_for(aside_of(s, &box), box.high.z - s->z, up));
        }
    return half;
}

// Of all crowns over the drums the one with which the arm is least round.
static void crown(const hw_palm_build *b, const hw_arm *m, sleeve *s, double top) // [m]
{
    enum { CROWNS = 24 };
    double least = INFINITY, up = 0;
    for (int i = 1; i <= CROWNS; i++) {
        double rise = top - s->z + 0.03 * i * s->bar, half = half_for(b, m, s, rise);
        if (half + rise >= least) continue;
        least = half + rise;
        up = rise;
        s->half[0] = half + s->wall;
    }
    s->up = up + s->wall;
}

static sleeve sleeve_of(const hw_palm_build *b, const hw_arm *m)
{
    const hw_palm_parts_def *f = b->f;
    sleeve s = {.wall = 0.5 * f->wall,
                .rear = m->box.low.x + m->stand + 2 * f->gap,
                .front = b->from - f->gap,
                .bend = m->box.high.x,
                .y = (m->box.low.y + m->box.high.y) / 2,
                .low = m->box.low.z + m->upright,
                .bar = (m->box.high.y - m->box.low.y) / 2};
    double top = m->roof;
    for (size_t i = 0; i < f->arm_servos; i++) {
        hw_box3 drum = hw_servo_box_of(&f->arm[i], HW_BOX_HORN, f->gap);
        top = fmax(top, drum.high.z);
        s.bend = fmax(s.bend, drum.high.x);
    }
    s.z = (top + m->box.low.z) / 2;
    crown(b, m, &s, top);
    s.half[1] = fmax(s.half[0], SWELL * (b->wrist[1] - b->wrist[0]) / 2);
    return s;
}

static double eased(double t) // [1]
{
    t = fmin(fmax(t, 0), 1);
    return t * t * (3 - 2 * t);
}

// A section of the arm, `in` inside its skin.
static void section_at(const sleeve *s, double half, double in, hw_vec2 loop[LOOP]) // [m] [m]
{
    // below it is as full as its lips need: at their underside it is as wide as the body and more
    double deep = (s->z - s->low) / pow(1 - pow((s->bar + 0.5 * s->wall) / half, ROUND), 1 / ROUND);
    for (int k = 0; k < LOOP; k++) {
        double a = 2 * HW_PI * k / LOOP, c = cos(a), v = sin(a);
        double wide = half - in, high = (v < 0 ? deep : s->up) - in;
        loop[k] = (hw_vec2){s->y + wide * copysign(pow(fabs(c), 2 / ROUND), c),
                            s->z + high * copysign(pow(fabs(v), 2 / ROUND), v)};
    }
}

// The wrist's own outline, `in` inside it.
static void wrist_at(const hw_palm_build *b, double in, hw_vec2 loop[LOOP]) // [m]
{
    const hw_vec3 *at = b->f->outline[0];
    double y = (at[0].y + at[LOOP / 2].y) / 2, z = (at[LOOP / 4].z + at[3 * LOOP / 4].z) / 2;
    double wide = (at[0].y - at[LOOP / 2].y) / 2, high = (at[LOOP / 4].z - at[3 * LOOP / 4].z) / 2;
    for (int k = 0; k < LOOP; k++)
        loop[k] =
            (hw_vec2){y + (at[k].y - y) * (1 - in / wide), z + (at[k].z - z) * (1 - in / high)};
}

static const hw_field *skin_of(hw_palm_build *b, const sleeve *s, double in) // [m]
{
    hw_vec2 loop[ALONG][LOOP], wrist[LOOP];
    hw_loft_section section[ALONG];
    wrist_at(b, in, wrist);
    for (int i = 0; i < ALONG; i++) {
        double t = i < BODY ? 1 - (double)i / (BODY - 1) : 0;
        double u = i < BODY ? 0 : (double)(i - BODY + 1) / NECK;
        section_at(s, s->half[0] + (s->half[1] - s->half[0]) * eased(t), in, loop[i]);
        for (int k = 0; k < LOOP; k++)
            loop[i][k] = hw_add(hw_scale(loop[i][k], 1 - eased(u)), hw_scale(wrist[k], eased(u)));
        double x = s->bend - t * (s->bend - s->rear) + u * (b->from - s->bend);
        section[i] = (hw_loft_section){x, loop[i]};
    }
    return hw_field_loft(b->a, &hw_hand_axes, section, ALONG, LOOP);
}

// What the sleeve goes round: the body with its lid, the servos' cases.
static void put_core(hw_palm_build *b, const hw_arm *m, hw_tools *t)
{
    const double g = b->f->gap;
    hw_box3 bar = m->box;
    bar.high.z = m->roof;
    bar.high.x += 2 * m->bevel; // lips do not grow where they end
    hw_put(t, hw_both(b->a, hw_block3(b->a, hw_box_grown(bar, g)),
                      hw_field_offset(b->a, hw_arm_keel(b, m), g)));
    // lips end square: at their tips they are half a bevel deep
    bar.low.y += 0.6 * m->bevel;
    bar.high.y -= 0.6 * m->bevel;
    bar.low.z -= m->bevel;
    hw_put(t, hw_block3(b->a, bar));
    for (size_t i = 0; i < b->f->arm_servos; i++)
        hw_put(t, hw_block3(b->a, hw_servo_box_of(&b->f->arm[i], HW_BOX_CASE, 2 * g)));
}

// Before the body its edge rises to the plane on which palm and flange are split. Above that line
// or `off` below it.
static const hw_field *seam(hw_palm_build *b, const hw_arm *m, const sleeve *s, bool above,
                            double off) // [m]
{
    double split = b->f->split + b->f->gap;
    hw_vec3 at = hw_at(m->box.high.x, 0, s->low);
    hw_vec3 below = hw_at(split - s->low, 0, -(m->flange - m->box.high.x));
    if (!above)
        return hw_field_half(b->a, hw_vec3_along(at, off, hw_vec3_unit(below)),
                             hw_vec3_times(below, -1));
    const hw_field *either[] = {hw_field_half(b->a, at, below), hw_above(b->a, split)};
    return hw_field_union(b->a, either, 2);
}

const hw_field *hw_arm_under(hw_palm_build *b, const hw_arm *m, double in) // [m]
{
    const sleeve s = sleeve_of(b, m);
    return skin_of(b, &s, s.wall + b->f->gap + in);
}

const hw_field *hw_arm_within(hw_palm_build *b, const hw_arm *m)
{
    const sleeve s = sleeve_of(b, m);
    const hw_field *either[] = {seam(b, m, &s, false, 0), hw_arm_under(b, m, 0),
                                hw_field_half(b->a, hw_at(m->flange, 0, 0), hw_at(-1, 0, 0))};
    return hw_field_union(b->a, either, 3);
}

const hw_field *hw_arm_below(hw_palm_build *b, const hw_arm *m)
{
    const sleeve s = sleeve_of(b, m);
    return seam(b, m, &s, false, b->f->gap);
}

// Whether a sheath comes so near to the cover's skin that its wall has to go out round it.
static bool comes_out(const sleeve *s, const hw_field *outer, const hw_palm_route *r)
{
    enum { STEPS = 8 };
    for (size_t i = 1; i < r->n; i++)
        for (int k = 0; k <= STEPS; k++) {
            const hw_vec3 p =
                hw_vec3_along(r->at[i - 1], (double)k / STEPS, hw_vec3_sub(r->at[i], r->at[i - 1]));
            if (p.x < s->rear || p.x > s->front) continue;
            if (hw_field_at(outer, p) > -r->radius - 1.5 * s->wall) return true;
        }
    return false;
}

static const hw_field *shell_of(hw_palm_build *b, const hw_arm *m, const sleeve *s)
{
    const hw_field *outer = skin_of(b, s, 0);
    hw_tools hollow = {.n = 0}, core = {.n = 0};
    // inside it is open but for the lips and a wall behind the last drum
    hw_tools keep = {.n = 0};
    hw_put(&keep, hw_below(b->a, s->low + m->bevel + b->f->gap));
    hw_put(&keep, hw_both(b->a, hw_above(b->a, m->lid),
                          hw_field_half(b->a, hw_at(s->rear + s->wall, 0, 0), hw_at(1, 0, 0))));
    hw_put(&hollow, hw_field_cut(b->a, skin_of(b, s, s->wall), hw_joined(b->a, &keep)));
    put_core(b, m, &core);
    // where a sheath comes round by its side its wall goes out round that
    hw_tools round = {.f = {outer}, .n = 1};
    for (size_t i = 0; i < b->f->routes; i++) {
        const hw_palm_route *r = &b->f->route[i];
        if (!comes_out(s, outer, r)) continue;
        for (int k = 0; k < 8; k++) { // no wedge is left between it and the hollow, nor a neck
            hw_palm_route in = *r;
            for (size_t n = 0; n < in.n; n++)
                in.at[n].y -= copysign(0.5 * k * r->radius, in.at[n].y - s->y);
            hw_put(&round, hw_field_tube(b->a, in.at, in.n, in.radius + s->wall));
            hw_put(&core, hw_field_tube(b->a, in.at, in.n, in.radius));
        }
    }
    const hw_field *part[] = {hw_less(b->a, hw_joined(b->a, &round), &hollow),
                              seam(b, m, s, true, 0), hw_above(b->a, s->low)};
    return hw_less(b->a, hw_field_meet(b->a, part, 3), &core);
}

void hw_arm_cover(hw_palm_build *b, const hw_arm *m)
{
    const sleeve s = sleeve_of(b, m);
    const hw_field *shell = shell_of(b, m, &s);
    double length = s.front - s.rear;
    int pieces = (int)ceil(length / (0.98 * b->f->bed[2]));
    for (int i = 0; i < pieces; i++) {
        double from = s.rear + length * i / pieces, to = s.rear + length * (i + 1) / pieces;
        const hw_field *ends =
            hw_both(b->a, hw_field_half(b->a, hw_at(from, 0, 0), hw_at(-1, 0, 0)),
                    hw_field_half(b->a, hw_at(to, 0, 0), hw_at(1, 0, 0)));
        hw_frame bed = {{from, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 0, 0}};
        hw_buffer name = {.arena = b->a};
        hw_buffer_format(&name, "forearm cover%s",
                         pieces == 1       ? ""
                         : i == 0          ? " rear"
                         : i + 1 == pieces ? " front"
                                           : " middle");
        if (pieces > 3 && i && i + 1 < pieces) hw_buffer_format(&name, " %d", i);
        if (!name.at) continue;
        const size_t before = b->out->parts;
        hw_palm_add(b, name.at, hw_both(b->a, shell, ends), bed, NULL, 0);
        for (size_t k = before; k < b->out->parts && k < HW_PALM_PARTS; k++)
            b->out->part[k].brim = BRIM;
    }
}
