// Grip patterns as closings.
#include "palm/grip.h"

#include <math.h>

enum { STEPS = 32, HALVINGS = 30, THUMB = 0, INDEX = 1, MIDDLE = 2 };

static const double ball = 0.75, cylinder = 0.4; // of the palm's breadth [1]
static const double fingers = 0.8;               // of it, that the four cover [1]
static const double at_rest = 0.25;              // of fingers that a tip grip leaves [1]

const char *hw_grip_name(hw_grip grip)
{
    static const char *const name[HW_GRIPS] = {"spherical", "tripod", "power",
                                               "lateral",   "tip",    "extension"};
    return (size_t)grip < HW_GRIPS ? name[grip] : NULL;
}

static double between(double from, double to, double t) // [1]
{
    return from + t * (to - from);
}

void hw_grip_stance_at(const hw_grip_closing *c, double t, hw_palm_stance *out)
{
    double finger = c->thumb_last ? fmin(1, 2 * t) : t,
           thumb = c->thumb_last ? fmax(0, 2 * t - 1) : t;
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        double own = d == THUMB ? thumb : finger;
        out->close[d] = between(c->from.close[d], c->to.close[d], own);
        out->aside[d] = between(c->from.aside[d], c->to.aside[d], own);
    }
    out->curl = between(c->from.curl, c->to.curl, thumb);
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

// ---- round an object ----------------------------------------------------------------------------

// Under the knuckles, on the palm's inside.
static hw_body object_of(const hw_palm *p, hw_grip grip)
{
    double r = 0.5 * p->breadth * (grip == HW_GRIP_POWER ? cylinder : ball), y = 0;
    for (int i = 1; i < HW_HAND_DIGITS; i++) y += p->digit[i].knuckle.at.y / (HW_HAND_DIGITS - 1);
    hw_vec3 k = p->digit[MIDDLE].knuckle.at;
    hw_vec3 at = {k.x, y, k.z + p->back - p->thickness - r};
    if (grip == HW_GRIP_SPHERICAL) return hw_body_capsule(at, at, r);
    at.x -= p->setback + p->edge; // where the palm is flat
    hw_frame across = {at, {1, 0, 0}, {0, 0, -1}, {0, 1, 0}};
    return hw_body_cylinder(across, r, fingers * p->breadth);
}

// Of a digit's phalanges to the object at a share of its way.
static double clear_of(const hw_palm *p, const hw_palm_motion *m, int digit,
                       const hw_grip_closing *c, double share) // [1]
{
    double joint[HW_SEGMENTS], least = INFINITY;
    double aside = between(c->from.aside[digit], c->to.aside[digit], share);
    hw_palm_pose pose;
    hw_palm_motion_at(m, share, joint);
    hw_palm_pose_of(p, digit, aside, joint, &pose);
    for (int k = digit == THUMB; k < HW_SEGMENTS; k++) {
        hw_body box = hw_palm_box(p, digit, &pose, k);
        least = fmin(least, hw_body_clear(&box, &c->object, least));
    }
    return least;
}

// The share of its way at which a digit comes to touch the object; 1: it does not.
static double touch_of(const hw_palm *p, const hw_palm_motion *m, int digit,
                       const hw_grip_closing *c)
{
    double free = 0, met = 1;
    for (int i = 0; i <= STEPS; i++) {
        met = (double)i / STEPS;
        if (!(clear_of(p, m, digit, c, met) > 0)) break;
        free = met;
    }
    if (free == 1) return 1;
    for (int i = 0; i < HALVINGS; i++) {
        double half = 0.5 * (free + met);
        *(clear_of(p, m, digit, c, half) > 0 ? &free : &met) = half;
    }
    return free;
}

static void round_object(const hw_palm *p, const hw_palm_motion motion[], hw_grip grip,
                         hw_grip_closing *out)
{
    out->object = object_of(p, grip);
    out->thumb_last = grip == HW_GRIP_POWER;
    out->from.aside[THUMB] = p->opposition[0];
    out->to.aside[THUMB] = p->opposition[1];
    for (int d = INDEX; d < HW_HAND_DIGITS && grip == HW_GRIP_SPHERICAL; d++) {
        const double *range = p->digit[d].splay;
        out->to.aside[d] = d == INDEX ? range[1] : d > MIDDLE ? range[0] : 0;
        out->from.aside[d] = out->to.aside[d];
    }
    for (int d = 0; d < HW_HAND_DIGITS; d++)
        if (p->digit[d].present)
            out->to.close[d] = d == THUMB && out->thumb_last ? 1 : touch_of(p, &motion[d], d, out);
    double thumb = out->to.close[THUMB];
    out->to.curl = thumb;
    out->to.aside[THUMB] = between(p->opposition[0], p->opposition[1], thumb);
}

// ---- pads ---------------------------------------------------------------------------------------

static hw_code by_pads(const hw_palm *p, const hw_palm_motion motion[], hw_grip grip, bool tied,
                       hw_grip_closing *out)
{
    static const hw_palm_hold hold[HW_GRIPS] = {
        [HW_GRIP_TRIPOD] = {.finger = {INDEX, MIDDLE}, .fingers = 2, .close = {0, 1}},
        [HW_GRIP_LATERAL] = {.finger = {INDEX}, .fingers = 1, .close = {0.5, 0.9}, .side = true},
        [HW_GRIP_TIP] = {.finger = {INDEX}, .fingers = 1, .close = {0, 1}},
        [HW_GRIP_EXTENSION] = {.finger = {INDEX, MIDDLE}, .fingers = 2, .close = {0.1, 0.4}}};
    hw_palm_hold own = hold[grip];
    hw_palm_held got;
    own.tied = tied;
    hw_code code = hw_palm_hold_of(p, motion, &own, &got);
    if (code != HW_OK) return code;
    double others = grip == HW_GRIP_TIP ? at_rest : got.close[own.fingers - 1];
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        bool holds = d <= own.fingers;
        out->to.close[d] = holds ? got.close[d - 1] : others;
        out->to.aside[d] = holds ? got.splay[d - 1] : 0;
        out->from.aside[d] = out->to.aside[d];
    }
    out->to.close[THUMB] = got.base;
    out->to.curl = got.curl;
    out->to.aside[THUMB] = got.opposition;
    out->thumb_last = grip == HW_GRIP_LATERAL;
    out->from.aside[THUMB] = out->thumb_last ? p->opposition[0] : got.opposition;
    out->miss = got.miss;
    out->angle = got.angle;
    return HW_OK;
}

// ---- both ---------------------------------------------------------------------------------------

static bool sound(const hw_palm *p, const hw_palm_motion motion[], hw_grip grip)
{
    bool pads = grip != HW_GRIP_SPHERICAL && grip != HW_GRIP_POWER;
    bool ok =
        (size_t)grip < HW_GRIPS && p->digit[THUMB].present &&
        isfinite(p->breadth + p->back + p->thickness + p->setback + p->edge) &&
        isfinite(p->outline[0][0].x + p->thumb_base.at.x + p->opposition[0] + p->opposition[1]);
    if (pads) ok = ok && p->digit[INDEX].present && p->digit[MIDDLE].present;
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        if (!p->digit[d].present) continue;
        ok = ok && motion[d].n >= 2;
        for (int j = 0; j < HW_SEGMENTS; j++)
            for (size_t i = 0; ok && i < motion[d].n; i++) ok = isfinite(motion[d].joint[j][i]);
    }
    return ok;
}

hw_code hw_grip_closing_of(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                           hw_grip grip, bool tied, hw_grip_closing *out)
{
    *out = (hw_grip_closing){
        .miss = (double)NAN, .angle = (double)NAN, .object = {.kind = HW_BODY_HULL}};
    hw_code code = sound(p, motion, grip) ? HW_OK : HW_BAD_INPUT;
    if (code == HW_OK && (grip == HW_GRIP_SPHERICAL || grip == HW_GRIP_POWER))
        round_object(p, motion, grip, out);
    else if (code == HW_OK)
        code = by_pads(p, motion, grip, tied, out);
    if (code == HW_OK) return code;
    hw_palm_stance none;
    for (int d = 0; d < HW_HAND_DIGITS; d++) none.close[d] = none.aside[d] = (double)NAN;
    none.curl = (double)NAN;
    out->from = out->to = none;
    return code;
}

bool hw_grip_means(hw_grip grip, const int digit[2], const int phalanx[2])
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
