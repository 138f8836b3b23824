// The thumb's base, searched for a hand.
#include "hand/thumb_base.h"

#include "hand/hand_internal.h"
#include "parts/palm.h"

#include <math.h>

enum { SAMPLES = 33 }; // of a digit's motion

static const double tenth = 1e-4;             // of a millimetre [m]
static const double tenth_deg = HW_PI / 1800; // of a degree [rad]
static const double share_miss = 0.03;        // of the thumb's pad [1]
static const double most_angle = 72 * HW_PI / 180;
static const double spare_angle = 0.25 * HW_PI / 180;

hw_code hw_hand_motions(hw_arena *a, const hw_hand *hand, hw_palm_motion out[HW_DIGITS])
{
    for (int d = 0; d < HW_DIGITS; d++) {
        const hw_digit *digit = &hand->digit[d];
        double *joint[HW_JOINTS];
        out[d] = (hw_palm_motion){0};
        if (!hand->present[d]) continue;
        for (int j = 0; j < HW_JOINTS; j++) {
            joint[j] = HW_NEW(a, double, SAMPLES);
            if (!joint[j]) return HW_NO_MEMORY;
        }
        for (int i = 0; i < SAMPLES; i++) {
            hw_digit_pose pose;
            hw_code code =
                hw_digit_family_of(digit->family)->pose(digit, i / (SAMPLES - 1.0), &pose);
            for (int j = 0; j < HW_JOINTS; j++)
                joint[j][i] = code == HW_OK ? pose.joint[j] : (double)NAN;
        }
        out[d] = (hw_palm_motion){SAMPLES, {joint[0], joint[1], joint[2]}};
    }
    return HW_OK;
}

hw_thumb_seat hw_hand_thumb_seat(const hw_design *d, const hw_hand *hand)
{
    const double wall = hw_hand_wall(hand);
    double sheath = hand->drive[HW_THUMB].sheath_outer;
    hw_thumb_seat s = {
        .plate = HW_PALM_PLATE,
        .radius = hw_design_value(d, hw_entry_of(HW_E_OWN_SHEATH_RADIUS, HW_THUMB)),
        .journal = 0.5 * ((1 + sqrt(2)) * sheath + hand->gap) + 0.95 * wall,
        .bearing = 2 * wall,
        .wall = 2.5 * hand->line,
        .sheath = hand->drive[HW_INDEX].sheath_outer,
        .gap = hand->gap,
        .miss = share_miss * hand->digit[HW_THUMB].phalanx[HW_JOINTS - 1],
        .angle = most_angle,
        .tied = hand->digit[HW_THUMB].family != HW_FAMILY_DIRECT,
    };
    for (int i = 0; i < HW_DIGITS; i++) {
        double thick = hand->palm.digit[i].thickness[0];
        s.block[i][0] = -1.5 * thick, s.block[i][1] = -0.5 * thick;
        if (hand->layers[i].n) hw_carrier_block(&hand->layers[i], s.block[i]);
    }
    return s;
}

static double least_of(const hw_thumb_room *r) // [m]
{
    double least = fmin(fmin(fmin(r->behind, r->mouth), fmin(r->body, r->carriers)), r->sheaths);
    for (int g = 0; g < HW_GRIPS; g++) least = fmin(least, r->grip[g]);
    return least;
}

static hw_code measure(const hw_palm_motion motion[HW_DIGITS], const hw_thumb_seat *seat,
                       hw_thumb_stand *s)
{
    hw_palm p;
    s->miss = s->angle = 0;
    s->holds = false;
    hw_code code = hw_palm_of(&s->def, &p);
    if (code == HW_OK) code = hw_thumb_room_of(&p, motion, seat, &s->room);
    for (int i = HW_INDEX; i < HW_DIGITS && code == HW_OK; i++) {
        hw_palm_meeting m;
        if (!p.digit[i].present) continue;
        code = hw_palm_meeting_of(&p, i, &motion[HW_THUMB], &motion[i], &m);
        s->miss = fmax(s->miss, m.miss);
        s->angle = fmax(s->angle, m.angle);
    }
    double spare = 0.01 * p.digit[HW_THUMB].segment[HW_JOINTS - 1];
    s->holds = code == HW_OK && least_of(&s->room) >= -spare && s->miss <= seat->miss + spare &&
               s->angle <= seat->angle + spare_angle;
    return code;
}

static double to(double unit, double x) // any unit
{
    return unit * round(x / unit);
}

// What is pasted is round; the axis not nearer than it has to lie, and the joint before it.
static void rounded(hw_palm_def *f)
{
    hw_palm_digit_def *t = &f->digit[HW_THUMB];
    hw_vec3 was = hw_palm_frame(t->knuckle, t->points).x;
    hw_vec3 at = hw_vec3_along(t->knuckle, -f->opposition_behind, was);
    double *angle[] = {&t->points.turn, &t->points.rise, &t->points.roll, &f->opposition_turn,
                       &f->opposition_rise};
    for (size_t i = 0; i < sizeof angle / sizeof *angle; i++) *angle[i] = to(tenth_deg, *angle[i]);
    f->opposition_behind = tenth * ceil(f->opposition_behind / tenth - 1e-6);
    t->knuckle = hw_vec3_along(at, f->opposition_behind, hw_palm_frame(at, t->points).x);
    double *place[] = {&t->knuckle.x, &t->knuckle.y, &t->knuckle.z};
    for (int i = 0; i < 3; i++) *place[i] = to(tenth, *place[i]);
}

hw_code hw_hand_seek_thumb(hw_arena *a, const hw_design *d, const hw_hand *hand, const hw_job *job,
                           hw_thumb_stand out[2])
{
    hw_palm_motion motion[HW_DIGITS];
    hw_thumb_seat seat = hw_hand_thumb_seat(d, hand);
    double cost;
    hw_hand_palm(d, hand, &out[0].def);
    out[1] = out[0];
    hw_code code = hw_hand_motions(a, hand, motion);
    if (code == HW_OK) code = measure(motion, &seat, &out[0]);
    if (code != HW_OK) return code;
    hw_code end =
        hw_palm_thumb_search(&out[1].def, motion, &seat, 0.1 * out[0].def.length, job, &cost);
    if (end != HW_OK && end != HW_CANCELLED) return end;
    rounded(&out[1].def);
    code = measure(motion, &seat, &out[1]);
    return code == HW_OK ? end : code;
}
