// Rooms of servos and rods in the palm.
#include "parts/palm_internal.h"

hw_box3 hw_servo_box_of(const hw_palm_servo *s, hw_servo_box which, double gap)
{
    double back = -s->shaft_at, front = s->length - s->shaft_at, w = s->width / 2;
    double over = (s->ear_span - s->length) / 2, low = s->ear_at - s->height;
    hw_vec3 from = {back, -w, -s->height}, to = {front, w, 0};
    switch (which) {
    case HW_BOX_CASE:
        break;
    case HW_BOX_EARS:
        from = hw_at(back - over, -w, low);
        to = hw_at(front + over, w, low + s->ear_thickness);
        break;
    case HW_BOX_HORN:
        from = s->horn[0];
        to = s->horn[1];
        break;
    case HW_BOX_LEAD:
        from = hw_at(s->cable_far ? front : back - s->cable, -0.35 * s->width, -s->height);
        to = hw_at(s->cable_far ? front + s->cable : back, 0.35 * s->width, low);
    }
    hw_box3 out = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
    for (int i = 0; i < 8; i++) {
        hw_vec3 q = {i & 1 ? to.x : from.x, i & 2 ? to.y : from.y, i & 4 ? to.z : from.z};
        q = hw_frame_point(&s->frame, q);
        out = (hw_box3){hw_least(out.low, q), hw_most(out.high, q)};
    }
    return hw_box_grown(out, gap);
}

double hw_servo_pilot(const hw_palm_servo *s, int ear, hw_vec3 path[2])
{
    double over = (s->ear_span - s->length) / 2, under = s->ear_at - s->height;
    path[0] = hw_at(ear ? s->length - s->shaft_at + over / 2 : -s->shaft_at - over / 2, 0, under);
    path[1] = path[0];
    path[1].z -= 5 * s->ear_thickness;
    return fmin(0.4 * s->ear_thickness, 0.25 * over);
}

// Pilot holes for the screws of a servo's ears, from their underside into what carries them.
static void put_pilots(hw_palm_build *b, hw_tools *t, const hw_palm_servo *s)
{
    hw_vec3 path[2];
    for (int e = 0; e < 2; e++) {
        double radius = hw_servo_pilot(s, e, path);
        if (!(radius > 0)) continue;
        path[0].z += radius;
        for (int k = 0; k < 2; k++) path[k] = hw_frame_point(&s->frame, path[k]);
        hw_put(t, hw_field_drop(b->a, path, 2, radius, hw_at(0, 0, 1)));
    }
}

enum { POCKETS = 5 * (5 * HW_PALM_SERVOS + HW_PALM_DIGITS), ROUND = 8 };

// Rooms of servos and lugs along the hand's axes, with their way in from above.
typedef struct pockets {
    hw_box3 box[POCKETS];
    bool horn[POCKETS]; // corners of its sweep stay two lines away from the skin at the lid
    size_t n;
} pockets;

// What a rod passes over between two moments of its travel: in plan the hull of both, from its
// lowest to its highest; `up` or `down` without end.
static const hw_field *rod_between(hw_palm_build *b, const hw_palm_rod *r, int k, bool up,
                                   bool down)
{
    const double far = 4 * (b->to - b->from), grow = r->radius + 2 * b->f->gap;
    const hw_vec3 *end[] = {&r->horn[k], &r->horn[k + 1], &r->lever[k], &r->lever[k + 1]};
    hw_vec2 plan[4 * ROUND], out[4 * ROUND + 2];
    double low = INFINITY, high = -INFINITY;
    for (int i = 0; i < 4 * ROUND; i++) { // a polygon about each end's circle
        const hw_vec3 *p = end[i / ROUND];
        const double angle = 2 * HW_PI * (i % ROUND) / ROUND, out_by = grow / cos(HW_PI / ROUND);
        plan[i] = (hw_vec2){p->x + out_by * cos(angle), p->y + out_by * sin(angle)};
        low = fmin(low, p->z);
        high = fmax(high, p->z);
    }
    const hw_polygon outline = {out, hw_palm_hull(plan, 4 * ROUND, out)};
    const hw_field *wide = hw_field_prism(b->a, &hw_plan_axes, &outline, -far, far);
    if (!up) wide = hw_both(b->a, wide, hw_below(b->a, high + grow));
    return down ? wide : hw_both(b->a, wide, hw_above(b->a, low - grow));
}

// Where a rod goes in from the palm the opening is square, up to a floor below its horn: beside the
// lug's room and the thumb's wedges and webs would be left.
static void put_mouth(hw_palm_build *b, hw_tools *t, const hw_palm_rod *r)
{
    const double grow = r->radius + 2 * b->f->gap;
    hw_box3 box = {{INFINITY, INFINITY, -INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
    double under = INFINITY;
    for (int i = 0; i < 6; i++) {
        const hw_vec3 p = i % 2 ? r->horn[i / 2] : r->lever[i / 2];
        box.low = hw_at(fmin(box.low.x, p.x), fmin(box.low.y, p.y), b->bottom - b->f->wall);
        box.high = hw_at(fmax(box.high.x, p.x), fmax(box.high.y, p.y),
                         fmax(box.high.z, r->lever[i / 2].z));
        under = fmin(under, r->horn[i / 2].z - 2 * b->f->floor);
    }
    box.high.z = fmax(box.high.z, under);
    box = hw_box_grown(box, grow);
    hw_put(t, hw_block3(b->a, box));
}

void hw_put_rods(hw_palm_build *b, hw_tools *t, bool in_lid)
{
    for (size_t i = 0; i < b->f->rods; i++) {
        const hw_palm_rod *r = &b->f->rod[i];
        if (r->from_palm && !in_lid) put_mouth(b, t, r);
        for (int k = 0; k < 2; k++) {
            const hw_field *f =
                rod_between(b, r, k, !in_lid && !r->from_palm, in_lid || r->from_palm);
            hw_put(t, f);
            // the lid is pushed over it
            for (int step = 1; step <= 2 && in_lid && b->slide > 0; step++) {
                hw_frame ahead = hw_hand_axes;
                ahead.at.x = b->slide * step / 2;
                hw_put(t, hw_field_moved(b->a, f, &ahead));
            }
        }
    }
}

// Whether a place lies in what carriers and yokes leave free.
bool hw_in_bay(const hw_palm_build *b, hw_vec3 at)
{
    const hw_field *const room[] = {b->bay, b->ahead};
    for (int i = 0; i < 2; i++)
        if (room[i] && hw_field_at(room[i], at) < 0) return true;
    return false;
}

// Adds to a room what is left between it and the bay where that is less than two lines.
static void open_to_bay(const hw_palm_build *b, double least_wall, pockets *p, size_t which)
{
    enum { ACROSS = 7, UP = 9 };
    const hw_box3 box = p->box[which];
    const double wide = (box.high.y - box.low.y) / ACROSS;
    bool last = false;
    for (int across = 0; across < ACROSS; across++) {
        const double low = box.low.y + across * wide;
        bool near = false;
        for (int up = 0; up < UP && !near; up++) {
            const double z = (0.02 + 0.6 * up / (UP - 1)) * (box.high.z - box.low.z);
            for (int k = 0; k < 3 && !near; k++)
                near = hw_in_bay(
                    b, hw_at(box.high.x + least_wall, low + (0.1 + 0.4 * k) * wide, box.low.z + z));
        }
        if (near && last)
            p->box[p->n - 1].high.y = low + wide;
        else if (near && p->n < POCKETS)
            p->box[p->n++] = (hw_box3){{box.high.x, low, box.low.z},
                                       {box.high.x + least_wall, low + wide, box.high.z}};
        last = near;
    }
}

// A servo's ears, each as far as its case: one that is open before leaves the other held.
static void ears_of(const hw_palm_servo *s, double gap, hw_box3 ear[2]) // [m]
{
    const hw_box3 body = hw_servo_box_of(s, HW_BOX_CASE, gap);
    ear[0] = ear[1] = hw_servo_box_of(s, HW_BOX_EARS, gap);
    if (ear[0].low.x < body.low.x)
        ear[0].high.x = body.low.x, ear[1].low.x = body.high.x;
    else if (ear[0].low.y < body.low.y)
        ear[0].high.y = body.low.y, ear[1].low.y = body.high.y;
    else
        ear[0].high.z = body.low.z, ear[1].low.z = body.high.z;
}

static void collect(const hw_palm_build *b, double above, pockets *p)
{
    const hw_palm_parts_def *f = b->f;
    *p = (pockets){.n = 0};
    for (size_t i = 0; i < f->palm_servos; i++) {
        for (int k = 0; k <= HW_BOX_LEAD; k++) {
            p->horn[p->n] = k == HW_BOX_HORN;
            if (k != HW_BOX_EARS)
                p->box[p->n++] = hw_servo_box_of(&f->palm[i], (hw_servo_box)k, f->gap);
        }
        ears_of(&f->palm[i], f->gap, &p->box[p->n]);
        p->n += 2;
    }
    for (size_t i = 0; i < b->tails; i++) p->box[p->n++] = b->tail[i];
    const size_t rooms = p->n;
    for (size_t i = 0; i < rooms; i++) {
        p->box[i].high.z += above;
        open_to_bay(b, f->wall / 2, p, i);
    }
}

void hw_put_pockets(hw_palm_build *b, hw_tools *t, double above)
{
    pockets *p = HW_NEW(b->a, pockets, 1);
    if (!p) return;
    collect(b, above, p);
    const hw_field *inner = hw_field_offset(b->a, b->skin, -b->f->wall / 3);
    const hw_field *column = hw_field_column(b->a, inner, hw_at(0, 0, b->f->split), hw_at(0, 0, 1));
    for (size_t i = 0; i < p->n; i++) {
        const hw_field *f = hw_block3(b->a, p->box[i]);
        hw_put(t, p->horn[i] ? hw_both(b->a, f, column) : f);
    }
    for (size_t i = 0; i < b->f->palm_servos; i++) put_pilots(b, t, &b->f->palm[i]);
}
