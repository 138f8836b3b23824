// Servos in the palm: what stands and moves there, and how they stand in their slots.
#include "hand/hand_internal.h"

#include "palm/pose.h"
#include "parts/palm.h"

#include <math.h>

enum {
    SPLAYS = 3,      // of a carrier: least, none, most
    OPPOSITIONS = 4, // of the thumb's sweep
    FLEXIONS = 3,    // of every digit's sweep
    MOVES = 100,     // owner of what moves in front of the palm: this and the digit
};

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// ---- what stands and moves

static void put(hw_obstacles *o, hw_body body, int owner)
{
    if (o->n < HW_OBSTACLES) o->at[o->n++] = (hw_obstacle){body, owner};
}

// The block that a finger ends in, splayed by `angle`.
hw_body hw_hand_carrier(const hw_hand *hand, int digit, double angle) // [rad]
{
    const hw_palm_digit *g = &hand->palm.digit[digit];
    double x[2] = {-1.5 * g->thickness[0], -0.5 * g->thickness[0]};
    if (hand->layers[digit].n) hw_carrier_block(&hand->layers[digit], x);
    hw_frame f = g->knuckle;
    f.at = hw_vec3_along(f.at, (x[0] + x[1]) / 2, f.x);
    f = hw_frame_turned(&f, g->splay_at, g->splay_axis, angle);
    return hw_body_box(f, x[1] - x[0], g->width, g->thickness[0]);
}

hw_body hw_hand_yoke(const hw_hand *hand, int digit, double angle) // [rad]
{
    hw_body b = hw_hand_carrier(hand, digit, angle);
    b.half.x += HW_PALM_PLATE / 2;
    b.half.z += HW_PALM_PLATE;
    b.frame.at = hw_vec3_along(b.frame.at, -HW_PALM_PLATE / 2, b.frame.x);
    b.frame.at = hw_vec3_along(b.frame.at, -HW_PALM_PLATE, b.frame.z);
    return b;
}

// The head of one of a finger's two screws, behind its yoke's plate.
static hw_body head_of(const hw_hand *hand, int digit, int which, const hw_body *yoke)
{
    const double head = 1.1 * HW_PALM_SCREW, high = 0.8 * HW_PALM_SCREW;
    const hw_vec2 at = hw_hand_screw(hand, digit, which);
    hw_frame f = yoke->frame;
    f.at = hw_vec3_along(f.at, -yoke->half.x - high / 2, f.x);
    f.at = hw_vec3_along(hw_vec3_along(f.at, at.x, f.y), HW_PALM_PLATE + at.z, f.z);
    return hw_body_box(f, high, 2 * head, 2 * head);
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
                  hw_obstacles *o) // [rad] [1]
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
// phalanges stop at the palm's skin.
static void add_thumb(const hw_hand *hand, hw_obstacles *o)
{
    const hw_palm *p = &hand->palm;
    hw_body behind[HW_THUMB_BODIES];
    size_t n = hw_hand_thumb_bodies(hand, behind);
    for (size_t i = 0; i < n; i++) put(o, behind[i], HW_THUMB);
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

void hw_hand_obstacles(const hw_hand *hand, hw_obstacles *o)
{
    hw_body room[HW_PALM_ROOM];
    hw_hand_standing(hand, o);
    if (!hand->present[HW_THUMB]) return;
    size_t n = hw_hand_thumb_room(hand, hand->places.mover[HW_THUMB].item.lever.end, room);
    for (size_t i = 0; i < n; i++) put(o, room[i], HW_THUMB);
}

void hw_hand_standing(const hw_hand *hand, hw_obstacles *o)
{
    o->n = 0;
    if (hand->present[HW_THUMB]) add_thumb(hand, o);
    for (int i = HW_INDEX; i <= HW_LITTLE; i++) {
        const double *splay = hand->palm.digit[i].splay;
        const double aside[SPLAYS] = {splay[0], 0, splay[1]};
        for (int k = 0; k < SPLAYS && hand->present[i]; k++) {
            if (k != 1 && aside[k] == 0) continue;
            hw_body yoke = hw_hand_yoke(hand, i, aside[k]);
            put(o, yoke, i);
            for (int e = 0; e < 2; e++) put(o, head_of(hand, i, e, &yoke), i);
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
        return (hw_servo_lever){hw_vec3_add(p->opposition_at, arm), p->opposition_at,
                                p->opposition_axis, digit};
    const hw_palm_digit *g = &p->digit[digit];
    return (hw_servo_lever){hw_vec3_add(g->splay_at, hw_frame_direction(&g->knuckle, arm)),
                            g->splay_at, g->splay_axis, digit};
}

hw_vec3 hw_hand_lever_arm(const hw_hand *hand, int digit, const hw_servo_lever *lever)
{
    hw_vec3 arm = hw_vec3_sub(lever->end, lever->at);
    if (digit == HW_THUMB) return arm;
    const hw_frame *k = &hand->palm.digit[digit].knuckle;
    return (hw_vec3){hw_vec3_dot(arm, k->x), hw_vec3_dot(arm, k->y), hw_vec3_dot(arm, k->z)};
}

double hw_hand_horn_turns(const hw_hand *hand, int digit, const hw_pack_item *item) // [rad]
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
    m->item.shape.horn_turns = hw_hand_horn_turns(hand, digit, &m->item);
}

// What is asked of the packing; items are the movers that are driven, in turn.
hw_pack_def hw_hand_pack_def(const hw_design *d, const hw_hand *hand, const hw_obstacles *around,
                             const hw_pack_item item[], size_t n)
{
    return (hw_pack_def){.item = item,
                         .items = n,
                         .obstacle = around->at,
                         .obstacles = around->n,
                         .palm = &hand->palm,
                         .wall = hand->places.wall,
                         .gap = hand->gap,
                         .rod = get(d, HW_E_PALM_ROD, -1),
                         .skew = get(d, HW_E_PALM_SKEW, -1)};
}

size_t hw_hand_items(const hw_places *p, hw_pack_item item[HW_DIGITS], int whose[HW_DIGITS])
{
    size_t n = 0;
    for (int i = 0; i < HW_DIGITS; i++) {
        if (!p->mover[i].driven) continue;
        whose[n] = i;
        item[n++] = p->mover[i].item;
    }
    return n;
}

void hw_hand_stand(const hw_design *d, const hw_obstacles *around, hw_hand *hand)
{
    hw_places *p = &hand->places;
    hw_pack_item item[HW_DIGITS];
    size_t n = hw_hand_items(p, item, p->whose);
    p->pack = (hw_pack){.room = NAN, .thickness = NAN};
    p->movers = 0;
    p->seat = hw_hand_seat_room(hand);
    if (n == 0) return;
    for (size_t i = 0; i < n; i++) hw_hand_lug(hand, p->whose[i], item[i].lever.end, &item[i].lug);
    hw_pack_def def = hw_hand_pack_def(d, hand, around, item, n);
    // faulty numbers leave NaN, and the findings unknown
    hw_code code = hw_pack_given(&def, p->place, &p->pack);
    if (code != HW_OK) p->pack = (hw_pack){.room = NAN, .thickness = NAN};
    p->pack.place = NULL;
    p->movers = p->pack.places;
    if (p->seat < 0) p->pack.room = fmin(p->pack.room, p->seat);
}

// Leads of the servos in the palm where no ways are asked for: straight to the tunnel and on to the
// forearm's first servo, a quarter more for their bends.
static void straight_leads(const hw_design *d, hw_places *p)
{
    for (size_t i = 0; i < p->movers; i++) {
        hw_vec3 from = p->place[i].body[HW_SERVO_CABLE].frame.at;
        double far = hw_vec3_norm(hw_vec3_sub(from, p->tunnel_at));
        p->lead[p->leads++] = (hw_lead){.digit = p->whose[i],
                                        .in_palm = true,
                                        .needs = 1.25 * (far + get(d, HW_E_FOREARM_BEHIND, -1)),
                                        .has = get(d, HW_E_OWN_MOVER_LEAD, p->whose[i])};
    }
}

bool hw_hand_deepen(const hw_design *d, double by, hw_hand *hand)
{
    if (!(by != 0)) return false;
    hw_palm_def def;
    hw_hand_palm(d, hand, &def);
    def.deeper = fmax(def.deeper + by, 0);
    hw_palm palm;
    if (hw_palm_of(&def, &palm) != HW_OK) return false;
    hand->palm = palm;
    hw_obstacles around; // what stops at the palm stops elsewhere
    hw_hand_obstacles(hand, &around);
    hw_hand_stand(d, &around, hand);
    return true;
}

double hw_hand_shallow(const hw_hand *hand)
{
    return fmax(hand->places.pack.thickness - hand->palm.height, 0); // 0 without servos
}

void hw_hand_places(const hw_design *d, const hw_places *like, bool keep, hw_hand *hand)
{
    hw_places *p = &hand->places;
    *p = (hw_places){.wall = get(d, HW_E_PALM_WALL, -1),
                     .routed = (int)get(d, HW_E_FOREARM_WAYS, -1) != HW_WAYS_NONE,
                     .tunnel = {get(d, HW_E_TUNNEL_WIDTH, -1), get(d, HW_E_TUNNEL_HEIGHT, -1)},
                     .tunnel_at = {0, get(d, HW_E_TUNNEL_Y, -1), get(d, HW_E_TUNNEL_Z, -1)},
                     .tunnel_length = get(d, HW_E_TUNNEL_LENGTH, -1),
                     .bundle = NAN};
    for (int i = 0; i < HW_DIGITS; i++) mover_of(d, hand, i, &p->mover[i]);
    hw_obstacles around;
    hw_hand_obstacles(hand, &around);
    hw_hand_stand(d, &around, hand);
    hw_hand_deepen(d, hw_hand_shallow(hand), hand);
    p->drums = hw_hand_arm(d, hand, p->drum);
    if (p->routed)
        hw_hand_ways(d, like, keep, hand);
    else
        straight_leads(d, p);
}
