// Grip patterns as closings.
#include "palm/grip.h"

#include <math.h>

enum { STEPS = 32, HALVINGS = 30, THUMB = 0, INDEX = 1, MIDDLE = 2 };

static const double ball = 0.75, cylinder = 0.4; // of the palm's breadth [1]
static const double four = 0.8;                  // of it, that the fingers cover [1]
static const double at_rest = 0.25;              // of fingers that a tip grip leaves [1]

const char *hw_grip_name(hw_grip_pattern grip)
{
    static const char *const name[HW_GRIPS] = {"spherical", "tripod", "power",
                                               "lateral",   "tip",    "extension"};
    return (size_t)grip < HW_GRIPS ? name[grip] : NULL;
}

static double between(double from, double to, double t) // [1]
{
    return from + t * (to - from);
}

// How far a part of the closing has come at t.
static double done(const double part[2], double t) // [1]
{
    return fmin(1, fmax(0, (t - part[0]) / (part[1] - part[0])));
}

void hw_grip_stance_at(const hw_grip_closing *c, double t, hw_palm_stance *out)
{
    double fingers = done(c->fingers, t), flex = done(c->flex, t);
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        bool thumb = d == THUMB;
        out->close[d] = between(c->from.close[d], c->to.close[d], thumb ? flex : fingers);
        out->aside[d] =
            between(c->from.aside[d], c->to.aside[d], thumb ? done(c->oppose, t) : fingers);
    }
    out->curl = between(c->from.curl, c->to.curl, flex);
}

void hw_palm_stance_joints(const hw_palm_stance *s, const hw_palm_motion *motion, int digit,
                           double joint[HW_SEGMENTS])
{
    hw_palm_motion_at(motion, s->close[digit], joint);
    if (digit != THUMB) return;
    double outer[HW_SEGMENTS];
    hw_palm_motion_at(motion, s->curl, outer);
    for (int j = 1; j < HW_SEGMENTS; j++) joint[j] = outer[j];
}

// ---- round a cylinder ---------------------------------------------------------------------------

// Across the palm, on its inside where that is flat.
static hw_body cylinder_of(const hw_palm *p)
{
    double r = 0.5 * cylinder * p->breadth, y = 0;
    for (int i = 1; i < HW_HAND_DIGITS; i++) y += p->digit[i].knuckle.at.y / (HW_HAND_DIGITS - 1);
    hw_vec3 k = p->digit[MIDDLE].knuckle.at;
    hw_vec3 at = {k.x - p->setback - p->edge, y, k.z + p->back - p->thickness - r};
    hw_frame across = {at, {1, 0, 0}, {0, 0, -1}, {0, 1, 0}};
    return hw_body_cylinder(across, r, four * p->breadth);
}

// Whether an unsplayed finger is clear of the object at a share of its closing.
static bool is_free(const hw_palm *p, const hw_palm_motion *m, int digit, const hw_body *object,
                    double share) // [1]
{
    double joint[HW_SEGMENTS];
    hw_palm_pose pose;
    hw_palm_motion_at(m, share, joint);
    hw_palm_pose_of(p, digit, 0, joint, &pose);
    for (int k = 0; k < HW_SEGMENTS; k++) {
        hw_body box = hw_palm_box(p, digit, &pose, k);
        if (!(hw_body_clear(&box, object, 0) >= 0)) return false;
    }
    return true;
}

// How far it closes before it touches; 1: whole.
static double touch_of(const hw_palm *p, const hw_palm_motion *m, int digit, const hw_body *object)
{
    double free = 0, met = 1;
    int i = 0;
    while (i <= STEPS && is_free(p, m, digit, object, (double)i / STEPS))
        free = (double)i++ / STEPS;
    if (i == 0 || i > STEPS) return free;
    met = (double)i / STEPS;
    for (int k = 0; k < HALVINGS; k++) {
        double half = 0.5 * (free + met);
        *(is_free(p, m, digit, object, half) ? &free : &met) = half;
    }
    return free;
}

// ---- pads ---------------------------------------------------------------------------------------

// The thumb's pad and the middle finger's at a share of the closing. Returns their distance.
static double across(const hw_palm *p, const hw_palm_motion motion[], const hw_grip_closing *c,
                     double t, hw_vec3 pad[2]) // [1]
{
    hw_palm_stance s;
    hw_grip_stance_at(c, t, &s);
    for (int i = 0; i < 2; i++) {
        int d = i ? MIDDLE : THUMB;
        double joint[HW_SEGMENTS];
        hw_palm_pose pose;
        hw_vec3 normal;
        hw_palm_stance_joints(&s, &motion[d], d, joint);
        hw_palm_pose_of(p, d, s.aside[d], joint, &pose);
        pad[i] = hw_palm_pad(p, d, &pose, &normal);
    }
    return hw_vec3_norm(hw_vec3_sub(pad[1], pad[0]));
}

// From pads that meet to pads that a ball keeps apart, the fingers spread.
static void round_ball(const hw_palm *p, const hw_palm_motion motion[], hw_grip_closing *out)
{
    double wide = ball * p->breadth, low = 0, high = 1;
    hw_vec3 pad[2];
    for (int i = 0; i < HALVINGS; i++) {
        double half = 0.5 * (low + high);
        *(across(p, motion, out, half, pad) > wide ? &low : &high) = half;
    }
    hw_palm_stance to;
    hw_grip_stance_at(out, low, &to);
    out->to = to;
    (void)across(p, motion, out, 1, pad);
    hw_vec3 middle = hw_vec3_times(hw_vec3_add(pad[0], pad[1]), 0.5);
    out->object = hw_body_capsule(middle, middle, 0.5 * wide);
    for (int d = INDEX; d < HW_HAND_DIGITS; d++) {
        const double *range = p->digit[d].splay;
        if (d != MIDDLE) out->to.aside[d] = range[d == INDEX];
        out->from.aside[d] = out->to.aside[d];
    }
}

// The thumb takes what was found; fingers that hold too, the others go along.
static void take(const hw_palm_hold *hold, const hw_palm_held *got, double others,
                 hw_grip_closing *out) // [1]
{
    for (int d = INDEX; d < HW_HAND_DIGITS; d++) {
        int i = d - hold->finger[0];
        bool holds = i >= 0 && i < hold->fingers;
        out->to.close[d] = holds ? got->close[i] : others;
        out->to.aside[d] = holds ? got->splay[i] : 0;
        out->from.aside[d] = out->to.aside[d];
    }
    out->to.close[THUMB] = got->base;
    out->to.curl = got->curl;
    out->to.aside[THUMB] = got->opposition;
    out->from.aside[THUMB] = got->opposition;
    out->miss = got->miss;
    out->angle = got->angle;
}

static void thumb_last(const hw_palm *p, hw_grip_closing *out)
{
    out->from.aside[THUMB] = p->opposition[0];
    out->fingers[1] = out->oppose[0] = 0.5;
    out->oppose[1] = out->flex[0] = 0.75;
}

static hw_code find(const hw_palm *p, const hw_palm_motion motion[], hw_grip_pattern grip,
                    bool tied, hw_grip_closing *out)
{
    static const hw_palm_hold holds[HW_GRIPS] = {
        [HW_GRIP_SPHERICAL] = {{MIDDLE}, 1, {0, 1}, HW_HELD_PAD, false},
        [HW_GRIP_TRIPOD] = {{INDEX, MIDDLE}, 2, {0, 1}, HW_HELD_PAD, false},
        [HW_GRIP_POWER] = {{INDEX}, 1, {0, 1}, HW_HELD_BACK, false},
        [HW_GRIP_LATERAL] = {{INDEX}, 1, {0.5, 0.9}, HW_HELD_SIDE, false},
        [HW_GRIP_TIP] = {{INDEX}, 1, {0, 1}, HW_HELD_PAD, false},
        [HW_GRIP_EXTENSION] = {{INDEX, MIDDLE}, 2, {0.1, 0.4}, HW_HELD_PAD, false}};
    hw_palm_hold hold = holds[grip];
    hw_palm_held got;
    double touch[HW_HAND_DIGITS] = {0};
    hw_palm on = *p;
    hold.tied = tied;
    if (grip == HW_GRIP_POWER) {
        out->object = cylinder_of(p);
        for (int d = INDEX; d < HW_HAND_DIGITS; d++)
            if (p->digit[d].present) touch[d] = touch_of(p, &motion[d], d, &out->object);
        hold.close[0] = hold.close[1] = touch[INDEX];
        on.digit[INDEX].splay[0] = on.digit[INDEX].splay[1] = 0; // as it came to touch
    }
    hw_code code = hw_palm_hold_of(&on, motion, &hold, &got);
    if (code != HW_OK) return code;
    take(&hold, &got, grip == HW_GRIP_TIP ? at_rest : got.close[hold.fingers - 1], out);
    for (int d = INDEX; d < HW_HAND_DIGITS && grip == HW_GRIP_POWER; d++)
        out->to.close[d] = touch[d];
    if (grip == HW_GRIP_POWER || grip == HW_GRIP_LATERAL) thumb_last(p, out);
    if (grip == HW_GRIP_SPHERICAL) round_ball(p, motion, out);
    return HW_OK;
}

// ---- both ---------------------------------------------------------------------------------------

static bool sound(const hw_palm *p, const hw_palm_motion motion[], hw_grip_pattern grip)
{
    bool ok =
        (size_t)grip < HW_GRIPS && p->digit[THUMB].present &&
        isfinite(p->breadth + p->back + p->thickness + p->setback + p->edge) &&
        isfinite(p->outline[0][0].x + p->opposition_at.x + p->opposition[0] + p->opposition[1]);
    ok = ok && p->digit[INDEX].present && p->digit[MIDDLE].present;
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        if (!p->digit[d].present) continue;
        ok = ok && motion[d].n >= 2;
        for (int j = 0; j < HW_SEGMENTS; j++)
            for (size_t i = 0; ok && i < motion[d].n; i++) ok = isfinite(motion[d].joint[j][i]);
    }
    return ok;
}

hw_code hw_grip_closing_of(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                           hw_grip_pattern grip, bool tied, hw_grip_closing *out)
{
    *out = (hw_grip_closing){.fingers = {0, 1},
                             .oppose = {0, 1},
                             .flex = {0, 1},
                             .miss = (double)NAN,
                             .angle = (double)NAN,
                             .object = {.kind = HW_BODY_HULL}};
    hw_code code = sound(p, motion, grip) ? HW_OK : HW_BAD_INPUT;
    if (code == HW_OK) code = find(p, motion, grip, tied, out);
    if (code == HW_OK) return code;
    hw_palm_stance none;
    for (int d = 0; d < HW_HAND_DIGITS; d++) none.close[d] = none.aside[d] = (double)NAN;
    none.curl = (double)NAN;
    out->from = out->to = none;
    return code;
}

bool hw_grip_means(hw_grip_pattern grip, const int digit[2], const int phalanx[2])
{
    int thumb = digit[0] == THUMB ? 0 : 1, finger = digit[1 - thumb], end = HW_SEGMENTS - 1;
    if (digit[thumb] != THUMB || finger == THUMB || phalanx[thumb] < 1) return false;
    bool tips = phalanx[0] == end && phalanx[1] == end;
    switch (grip) {
    case HW_GRIP_TRIPOD:
    case HW_GRIP_EXTENSION:
        return tips && finger <= MIDDLE;
    case HW_GRIP_TIP:
        return tips && finger == INDEX;
    case HW_GRIP_LATERAL:
        return finger == INDEX && phalanx[thumb] == end;
    case HW_GRIP_POWER:
        return true;
    case HW_GRIP_SPHERICAL:
    case HW_GRIPS:
        break;
    }
    return false;
}
