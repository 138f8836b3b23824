// Servos in the palm, drums in the forearm, and the sheaths from these to the digits.
#include "hand/hand_internal.h"

#include "palm/pose.h"
#include "parts/palm.h"

#include <math.h>

enum {
    SPLAYS = 3,      // of a carrier: least, none, most
    OPPOSITIONS = 4, // of the thumb's sweep
    FLEXIONS = 3,    // of every digit's sweep
    MOVES = 100,     // owner of what moves in front of the palm: this and the digit
    MOST = 160,      // obstacles
    FEEDS = 2        // cords of a joint
};

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// ---- what stands and moves

typedef struct obstacles {
    hw_obstacle at[MOST];
    size_t n;
} obstacles;

static void put(obstacles *o, hw_body body, int owner)
{
    if (o->n < MOST) o->at[o->n++] = (hw_obstacle){body, owner};
}

// The block that a finger ends in, splayed by `angle`.
static hw_body carrier_of(const hw_hand *hand, int digit, double angle) // [rad]
{
    const hw_palm_digit *g = &hand->palm.digit[digit];
    double x[2] = {-1.5 * g->thickness[0], -0.5 * g->thickness[0]};
    if (hand->layers[digit].n) hw_carrier_block(&hand->digit[digit], &hand->layers[digit], x);
    hw_frame f = g->knuckle;
    f.at = hw_vec3_along(f.at, (x[0] + x[1]) / 2, f.x);
    f = hw_frame_turned(&f, g->splay_at, g->splay_axis, angle);
    return hw_body_box(f, x[1] - x[0], g->width, g->thickness[0]);
}

// The same on its yoke: a plate behind it, a foot and its cone below.
static hw_body yoke_of(const hw_hand *hand, int digit, double angle) // [rad]
{
    hw_body b = carrier_of(hand, digit, angle);
    b.half.x += HW_PALM_PLATE / 2;
    b.half.z += HW_PALM_PLATE;
    b.frame.at = hw_vec3_along(b.frame.at, -HW_PALM_PLATE / 2, b.frame.x);
    b.frame.at = hw_vec3_along(b.frame.at, -HW_PALM_PLATE, b.frame.z);
    return b;
}

// Joint angles at a share of the closing, by the hand's law.
static void closed_by(const hw_hand *hand, int digit, double s,
                      double joint[HW_JOINTS]) // [1] [rad]
{
    const hw_palm_digit *g = &hand->palm.digit[digit];
    for (int j = 0; j < HW_JOINTS; j++) {
        double range = g->travel[1] - g->travel[0];
        joint[j] = (j ? 0 : g->travel[0]) + s * range * hand->law[j] / hand->law[0];
    }
    if (hand->digit[digit].family != HW_FAMILY_DIRECT) return;
    const double(*t)[2] = hand->digit[digit].joint_travel;
    for (int j = 0; j < HW_JOINTS; j++) joint[j] = t[j][0] + s * (t[j][1] - t[j][0]);
}

static void sweep(const hw_hand *hand, int digit, double aside, double s,
                  obstacles *o) // [rad] [1]
{
    double joint[HW_JOINTS];
    hw_palm_pose p;
    closed_by(hand, digit, s, joint);
    hw_palm_pose_of(&hand->palm, digit, aside, joint, &p);
    for (int k = 0; k < HW_JOINTS; k++)
        put(o, hw_palm_box(&hand->palm, digit, &p, k), MOVES + digit);
}

// Whether the end of a thumb's metacarpal would press into the palm: there the palm stops it.
static bool is_stopped(const hw_palm *p, const hw_palm_pose *pose)
{
    hw_vec3 end = pose->phalanx[1].at;
    double z[2], half = p->digit[0].thickness[1] / 2;
    hw_palm_depth(p, end.x, end.y, z);
    return end.z > z[0] - half && end.z < z[1] + half; // false beside the palm, where z is NaN
}

// The thumb's metacarpal over opposition and flexion, as far as the palm lets it; its outer
// phalanges stop at the palm's skin. Its base is a ball as thick as the thumb.
static void add_thumb(const hw_hand *hand, obstacles *o)
{
    const hw_palm *p = &hand->palm;
    put(o, hw_body_capsule(p->thumb_base.at, p->thumb_base.at, p->digit[0].thickness[0] / 2), 0);
    for (int k = 0; k < OPPOSITIONS; k++)
        for (int f = 0; f < FLEXIONS; f++) {
            double opposed = (double)k / (OPPOSITIONS - 1), flexed = (double)f / (FLEXIONS - 1);
            double aside = p->opposition[0] + opposed * (p->opposition[1] - p->opposition[0]);
            double joint[HW_JOINTS];
            hw_palm_pose pose;
            closed_by(hand, HW_THUMB, flexed, joint);
            hw_palm_pose_of(p, HW_THUMB, aside, joint, &pose);
            if (!is_stopped(p, &pose)) put(o, hw_palm_box(p, HW_THUMB, &pose, 0), MOVES);
        }
}

static void add_all(const hw_hand *hand, obstacles *o)
{
    o->n = 0;
    if (hand->present[HW_THUMB]) add_thumb(hand, o);
    for (int i = HW_INDEX; i <= HW_LITTLE; i++) {
        const double *splay = hand->palm.digit[i].splay;
        const double aside[SPLAYS] = {splay[0], 0, splay[1]};
        for (int k = 0; k < SPLAYS && hand->present[i]; k++) {
            if (k != 1 && aside[k] == 0) continue;
            put(o, yoke_of(hand, i, aside[k]), i);
            // fully closed it lies on the palm's inside, which is that thick or more
            for (int f = 0; f + 1 < FLEXIONS; f++)
                sweep(hand, i, aside[k], (double)f / (FLEXIONS - 1), o);
        }
    }
}

// ---- servos in the palm

static hw_servo_shape shape_of(const hw_design *d, int digit)
{
    return (hw_servo_shape){
        .length = get(d, HW_E_OWN_MOVER_LENGTH, digit),
        .width = get(d, HW_E_OWN_MOVER_WIDTH, digit),
        .height = get(d, HW_E_OWN_MOVER_HEIGHT, digit),
        .ear_span =
            fmax(get(d, HW_E_OWN_MOVER_EAR_SPAN, digit), get(d, HW_E_OWN_MOVER_LENGTH, digit)),
        .ear_thickness = get(d, HW_E_OWN_MOVER_EAR_THICKNESS, digit),
        .ear_at = get(d, HW_E_OWN_MOVER_EAR_AT, digit),
        .shaft_at = get(d, HW_E_OWN_MOVER_SHAFT_AT, digit),
        .spline = get(d, HW_E_OWN_MOVER_STAND_OUT, digit),
        .horn_arm = get(d, HW_E_OWN_MOVER_HORN_ARM, digit),
        .horn_width = get(d, HW_E_OWN_MOVER_HORN_WIDTH, digit),
        .horn_hole = get(d, HW_E_OWN_MOVER_HORN_HOLE, digit),
        // what the lead needs to bend: half the body's width
        .cable = get(d, HW_E_OWN_MOVER_WIDTH, digit) / 2,
        .cable_far = (int)get(d, HW_E_OWN_MOVER_CABLE, digit) == 1,
    };
}

static hw_servo_lever lever_of(const hw_design *d, const hw_hand *hand, int digit)
{
    const hw_palm *p = &hand->palm;
    hw_vec3 arm = {get(d, HW_E_LEVER_X, digit), get(d, HW_E_LEVER_Y, digit),
                   get(d, HW_E_LEVER_Z, digit)};
    if (digit == HW_THUMB)
        return (hw_servo_lever){hw_vec3_add(p->thumb_base.at, arm), p->thumb_base.at,
                                p->opposition_axis, digit};
    const hw_palm_digit *g = &p->digit[digit];
    return (hw_servo_lever){hw_vec3_add(g->splay_at, hw_frame_direction(&g->knuckle, arm)),
                            g->splay_at, g->splay_axis, digit};
}

// How far the horn turns so that the lever goes half its range to either side.
static double horn_turns(const hw_hand *hand, int digit, const hw_pack_item *item) // [rad]
{
    const double *range = digit == HW_THUMB ? hand->palm.opposition : hand->palm.digit[digit].splay;
    hw_vec3 arm = hw_vec3_sub(item->lever.end, item->lever.at);
    double reach = hw_vec3_norm(hw_vec3_cross(item->lever.axis, arm));
    double half = (range[1] - range[0]) / 2;
    if (digit != HW_THUMB) half = fmax(fabs(range[0]), fabs(range[1]));
    return asin(fmin(reach * sin(fmin(half, HW_PI / 2)) / item->shape.horn_hole, 1));
}

static void mover_of(const hw_design *d, const hw_hand *hand, int digit, hw_mover *m)
{
    *m = (hw_mover){
        .driven = hand->present[digit] && (int)get(d, HW_E_SPLAY_DRIVEN, digit) == HW_PRESENT_YES,
        .item = {.shape = shape_of(d, digit),
                 .slot = {{get(d, HW_E_SLOT_X, digit), get(d, HW_E_SLOT_Y, digit),
                           get(d, HW_E_SLOT_Z, digit)},
                          (hw_way)get(d, HW_E_SLOT_SHAFT, digit),
                          (hw_way)get(d, HW_E_SLOT_BODY, digit),
                          (hw_way)get(d, HW_E_SLOT_HORN, digit)},
                 .lever = lever_of(d, hand, digit)},
        .line = {.stall_torque = get(d, HW_E_OWN_MOVER_STALL_TORQUE, digit),
                 .no_load_speed = get(d, HW_E_OWN_MOVER_NO_LOAD_SPEED, digit),
                 .stall_current = get(d, HW_E_OWN_MOVER_STALL_CURRENT, digit),
                 .no_load_current = get(d, HW_E_OWN_MOVER_NO_LOAD_CURRENT, digit)},
        .voltage = get(d, HW_E_OWN_MOVER_VOLTAGE, digit),
        .screws = get(d, HW_E_OWN_MOVER_SCREWS, digit),
        .cost = {get(d, HW_E_OWN_MOVER_COST_LOW, digit), get(d, HW_E_OWN_MOVER_COST_HIGH, digit)},
    };
    m->item.shape.horn_turns = horn_turns(hand, digit, &m->item);
}

static void pack(const hw_design *d, hw_hand *hand)
{
    hw_places *p = &hand->places;
    hw_pack_item item[HW_DIGITS];
    obstacles around;
    size_t n = 0;
    for (int i = 0; i < HW_DIGITS; i++) {
        mover_of(d, hand, i, &p->mover[i]);
        if (!p->mover[i].driven) continue;
        p->whose[n] = i;
        item[n++] = p->mover[i].item;
    }
    p->pack = (hw_pack){.room = NAN, .thickness = NAN};
    if (n == 0) return;
    add_all(hand, &around);
    hw_pack_def def = {.item = item,
                       .items = n,
                       .obstacle = around.at,
                       .obstacles = around.n,
                       .palm = &hand->palm,
                       .wall = p->wall,
                       .gap = hand->gap,
                       .rod = get(d, HW_E_PALM_ROD, -1),
                       .skew = get(d, HW_E_PALM_SKEW, -1),
                       .step = hand->palm.length / 28};
    // faulty numbers leave NaN, and the findings unknown
    hw_code code = hw_pack_given(&def, p->place, &p->pack);
    if (code != HW_OK) p->pack = (hw_pack){.room = NAN, .thickness = NAN};
    p->pack.place = NULL;
}

// ---- drums, tunnel, ways

// What sheaths must not meet: servos in the palm, carriers at rest, the thumb's base, drums.
typedef struct ways {
    hw_body body[MOST];
    int owner[MOST];
    size_t n;
} ways;

static void put_way(ways *w, hw_body body, int owner)
{
    if (w->n >= MOST) return;
    w->body[w->n] = body;
    w->owner[w->n++] = owner;
}

static void add_palm_bodies(const hw_hand *hand, ways *w)
{
    const hw_places *p = &hand->places;
    for (size_t i = 0; i < p->pack.places; i++)
        for (int k = 0; k < HW_SERVO_BODIES; k++) put_way(w, p->place[i].body[k], MOVES);
    for (int i = HW_INDEX; i <= HW_LITTLE; i++)
        if (hand->present[i]) put_way(w, carrier_of(hand, i, 0), i);
    if (hand->present[HW_THUMB])
        put_way(w,
                hw_body_capsule(hand->palm.thumb_base.at, hand->palm.thumb_base.at,
                                hand->palm.digit[0].thickness[0] / 2),
                HW_THUMB);
}

// A cord's end at the forearm: drums stand in two rows, one behind the other, each pair a step
// higher than the one before it so that its sheaths pass above.
typedef struct drum {
    int digit, joint;
    hw_vec3 at; // of the drum's middle [m]
    double radius, rise;
} drum;

static size_t drums_of(const hw_design *d, const hw_hand *hand, drum out[HW_DIGITS * HW_JOINTS])
{
    const hw_places *p = &hand->places;
    size_t n = 0;
    double x = -get(d, HW_E_FOREARM_BEHIND, -1);
    for (int i = 0; i < HW_DIGITS; i++) {
        if (!hand->present[i] || hand->drive[i].direct) continue;
        double outer = hand->drive[i].sheath_outer;
        for (int k = 0; k < hand->servos[i]; k++, n++) {
            double side = n % 2 ? -1 : 1, row = (double)(n / 2);
            double wide = get(d, HW_E_OWN_SERVO_WIDTH, i) + 2 * hand->gap;
            double ears =
                fmax(get(d, HW_E_OWN_SERVO_EAR_SPAN, i), get(d, HW_E_OWN_SERVO_LENGTH, i));
            double rise = row * 1.5 * outer;
            out[n] = (drum){i,
                            k,
                            {x - row * ears - get(d, HW_E_OWN_SERVO_SHAFT_AT, i),
                             p->tunnel_at.y + side * wide / 2, p->tunnel_at.z + rise},
                            hand->drive[i].drum_radius,
                            rise};
        }
    }
    return n;
}

static void add_drums(const hw_hand *hand, const drum *at, size_t n, ways *w)
{
    for (size_t i = 0; i < n; i++) {
        hw_frame f = hw_frame_identity();
        f.at = at[i].at;
        double cord = hand->drive[at[i].digit].cord_diameter;
        put_way(w, hw_body_cylinder(f, at[i].radius + cord, 2 * cord), MOVES);
    }
}

// Where a sheath ends at its digit. A finger's lie above each other in its carrier; the thumb's
// come along its axis of opposition, so that opposing does not pull at them.
static hw_route_end end_of(const hw_hand *hand, int digit, int joint, bool opening)
{
    const hw_palm *p = &hand->palm;
    const hw_palm_digit *g = &p->digit[digit];
    if (digit == HW_THUMB) {
        double side = hand->drive[digit].sheath_outer / 2 + hand->gap / 2;
        hw_vec3 at = hw_vec3_along(p->thumb_base.at, -g->thickness[0] / 2, p->thumb_base.x);
        at = hw_vec3_along(at, joint ? side : -side, p->thumb_base.y);
        at = hw_vec3_along(at, opening ? side : -side, p->thumb_base.z);
        return (hw_route_end){at, p->thumb_base.x};
    }
    double z = hw_vec3_dot(hw_vec3_sub(g->cord_at, g->knuckle.at), g->knuckle.z);
    hw_vec3 at = opening ? hw_vec3_along(g->cord_at, -2 * z, g->knuckle.z) : g->cord_at;
    return (hw_route_end){at, g->knuckle.x};
}

// From the drum's side, a little in front of it, through the tunnel to the digit: two ways joined.
static bool route(const hw_hand *hand, const drum *from, hw_vec2 hole, bool opening,
                  const ways *palm, const ways *arm, hw_sheath_way *out)
{
    const hw_places *p = &hand->places;
    const hw_drive *v = &hand->drive[from->digit];
    const hw_vec3 x = {1, 0, 0};
    double half = p->tunnel_length / 2;
    hw_vec3 in = {p->tunnel_at.x - half, p->tunnel_at.y + hole.x, p->tunnel_at.z + hole.z};
    hw_vec3 away = {p->tunnel_at.x + half, in.y, in.z};
    hw_vec3 seat = from->at;
    seat.x += from->radius + 2 * v->sheath_outer;
    seat.y += opening ? -from->radius : from->radius;
    hw_route_def f = {.from = {seat, x},
                      .to = {in, x},
                      .radius = v->sheath_radius,
                      .outer = v->sheath_outer,
                      .gap = hand->gap,
                      .body = arm->body,
                      .bodies = arm->n};
    hw_body others[MOST];
    hw_route one, two;
    double room[2];
    if (hw_route_between(&f, &one, &room[0]) != HW_OK) return false;
    f.from = (hw_route_end){away, x};
    f.to = end_of(hand, from->digit, from->joint, opening);
    f.body = others;
    f.bodies = 0;
    for (size_t i = 0; i < palm->n; i++)
        if (palm->owner[i] != from->digit) others[f.bodies++] = palm->body[i];
    if (hw_route_between(&f, &two, &room[1]) != HW_OK) return false;
    hw_vec3 point[HW_ROUTE_POINTS];
    size_t n = 0;
    for (size_t i = 0; i < one.points; i++) point[n++] = one.point[i];
    for (size_t i = 0; i < two.points; i++) point[n++] = two.point[i];
    double wanted = fmin(v->sheath_radius, fmin(one.radius, two.radius));
    *out = (hw_sheath_way){from->digit, from->joint, opening, .room = fmin(room[0], room[1])};
    return hw_route_through(point, n, wanted, &out->way) == HW_OK;
}

// Holes of the tunnel in the order of y, so that ways that lie side by side do not cross.
static void sort_holes(hw_vec2 at[], size_t n)
{
    for (size_t i = 1; i < n; i++)
        for (size_t k = i; k > 0 && at[k].x > at[k - 1].x; k--) {
            hw_vec2 t = at[k];
            at[k] = at[k - 1];
            at[k - 1] = t;
        }
}

// What the document does not say of the sheaths: the longest and most bent of a digit's.
static void feed(const hw_design *d, hw_hand *hand, const hw_sheath_way *s)
{
    static const hw_entry_id row[3][2] = {{HW_E_OWN_SHEATH_LENGTH, HW_E_DRIVE_SHEATH_LENGTH},
                                          {HW_E_OWN_SHEATH_BEND, HW_E_DRIVE_SHEATH_BEND}};
    hw_drive *v = &hand->drive[s->digit];
    bool typed[2];
    for (int k = 0; k < 2; k++)
        typed[k] = hw_design_origin(d, hw_entry_of(row[k][0], s->digit)) != HW_FROM_DEFAULT ||
                   hw_design_origin(d, hw_entry_of(row[k][1], -1)) != HW_FROM_DEFAULT;
    bool first = s->joint == 0 && !s->opening;
    if (!typed[0] && (first || s->way.length > v->sheath_length)) v->sheath_length = s->way.length;
    if (!typed[1] && (first || s->way.bend > v->sheath_bend)) v->sheath_bend = s->way.bend;
}

static void route_all(const hw_design *d, hw_hand *hand)
{
    hw_places *p = &hand->places;
    drum at[HW_DIGITS * HW_JOINTS];
    hw_vec2 hole[HW_BUNDLE];
    double radius[HW_BUNDLE], lead = get(d, HW_E_TUNNEL_LEAD, -1) / 2;
    size_t drums = drums_of(d, hand, at), n = 0;
    for (size_t i = 0; i < drums; i++)
        for (int k = 0; k < FEEDS; k++) radius[n++] = hand->drive[at[i].digit].sheath_outer / 2;
    for (size_t i = 0; i < p->leads; i++) radius[n + i] = lead;
    if (drums == 0 || hw_bundle_in(&p->tunnel, radius, n + p->leads, hole, &p->bundle) != HW_OK)
        return;
    // from the thumb's side to the little finger's, as the digits stand
    sort_holes(hole, n);
    ways palm = {.n = 0}, arm = {.n = 0};
    add_palm_bodies(hand, &palm);
    add_drums(hand, at, drums, &arm);
    for (size_t i = 0; i < drums; i++)
        for (int k = 0; k < FEEDS; k++) {
            hw_sheath_way *s = &p->sheath[p->sheaths];
            if (!route(hand, &at[i], hole[FEEDS * i + (size_t)k], k == 1, &palm, &arm, s)) continue;
            feed(d, hand, s);
            p->sheaths++;
        }
}

// Longest lead: from a servo's cable straight to the tunnel and on to the forearm's first servo, a
// quarter more for its bends.
static double longest_lead(const hw_places *p, double behind) // [m]
{
    double most = 0;
    for (size_t i = 0; i < p->pack.places; i++) {
        hw_vec3 from = p->place[i].body[HW_SERVO_CABLE].frame.at;
        double one = hw_vec3_norm(hw_vec3_sub(from, p->tunnel_at)) + behind;
        most = fmax(most, 1.25 * one);
    }
    return most;
}

void hw_hand_places(const hw_design *d, hw_hand *hand)
{
    hw_places *p = &hand->places;
    *p = (hw_places){.wall = get(d, HW_E_PALM_WALL, -1),
                     .routed = (int)get(d, HW_E_FOREARM_DRUMS, -1) != HW_FOREARM_NONE,
                     .tunnel = {get(d, HW_E_TUNNEL_WIDTH, -1), get(d, HW_E_TUNNEL_HEIGHT, -1)},
                     .tunnel_at = {0, get(d, HW_E_TUNNEL_Y, -1), get(d, HW_E_TUNNEL_Z, -1)},
                     .tunnel_length = get(d, HW_E_TUNNEL_LENGTH, -1),
                     .bundle = NAN,
                     .lead = NAN};
    pack(d, hand);
    p->leads = p->pack.places;
    if (p->leads) p->lead = longest_lead(p, get(d, HW_E_FOREARM_BEHIND, -1));
    p->lead_has = get(d, HW_E_DRIVE_WIRE_LENGTH, -1);
    if (p->routed) route_all(d, hand);
    double off = 0, range = 0;
    for (size_t i = 0; i < p->sheaths; i++) {
        const hw_drive *v = &hand->drive[p->sheath[i].digit];
        off = fmax(off, p->tunnel.height / 2 - v->sheath_outer / 2);
        range = fmax(range, v->wrist_range);
    }
    p->wrist[0] = hw_wrist_needs(off, range);
    p->wrist[1] = get(d, HW_E_TUNNEL_SPARE, -1);
}
