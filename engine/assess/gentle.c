// What touches people: creases of a closing digit, how it opens without power, and how far a loaded
// tip stays behind.
#include "assess/assess_internal.h"

#include "base/text.h"
#include "digit/contact.h"

#include <math.h>
#include <string.h>

static double back_torque(const hw_hand *hand, int digit, const hw_stroke *s, size_t i) // [N*m]
{
    return hand->return_preload[digit] +
           hand->return_rate[digit] * (s->joint[0][i] - s->joint[0][0]);
}

void hw_assess_torque(const hw_hand *hand, int digit, const hw_stroke *s, size_t i, double share,
                      double out[HW_JOINTS]) // [1] [N*m]
{
    const hw_digit *d = &hand->digit[digit];
    const hw_drive *drive = &hand->drive[digit];
    double drum = hw_drive_alone(drive, share) / (drive->direct ? 1 : drive->drum_radius);
    double joint[HW_JOINTS];
    hw_drive_pull pull;
    hw_drive_pull_of(drive, drum, drive->mu[HW_MU_LOW], false, back_torque(hand, digit, s, i),
                     &pull);
    for (int j = 0; j < HW_JOINTS; j++) {
        out[j] = pull.torque;
        joint[j] = s->joint[j][i];
    }
    // one servo for two joints presses the outer one with what its faster turning leaves
    if (hand->together[digit]) out[HW_JOINTS - 1] /= hw_assess_follows(s);
    if (d->family == HW_FAMILY_CORD) hw_cord_torque(d, joint, pull.pulley, out);
}

static hw_code pinch_at(hw_arena *a, const hw_hand *hand, int digit, const hw_stroke *s,
                        double share, hw_pinch *out) // [1]
{
    double *torque[HW_JOINTS];
    for (int j = 0; j < HW_JOINTS; j++) torque[j] = HW_NEW(a, double, s->n);
    if (hw_arena_failed(a)) return HW_NO_MEMORY;
    for (size_t i = 0; i < s->n; i++) {
        double here[HW_JOINTS];
        hw_assess_torque(hand, digit, s, i, share, here);
        for (int j = 0; j < HW_JOINTS; j++) torque[j][i] = here[j];
    }
    const double *const all[HW_JOINTS] = {torque[0], torque[1], torque[2]};
    return hw_pinch_of(&hand->digit[digit], s, all, out);
}

// Pushing the tip open turns the unpowered servo back when the drum feels its back drive, the
// sheath's friction holding on; the hardest pose counts.
static hw_code open_force_of(const hw_hand *hand, int digit, hw_digit_assessment *g)
{
    const hw_digit *d = &hand->digit[digit];
    const hw_drive *drive = &hand->drive[digit];
    const hw_stroke *s = &g->stroke;
    double drum = hand->back_drive[digit] * drive->servo.stall_torque /
                  (drive->direct ? 1 : drive->drum_radius);
    const hw_digit_family *family = hw_digit_family_of(d->family);
    hw_load load = hw_digit_unit_load(d);
    double most = 0;
    for (size_t i = 0; i < s->n; i++) {
        double back = back_torque(hand, digit, s, i), pulled, tip = INFINITY;
        hw_code code = HW_OK;
        if (d->family == HW_FAMILY_CORD) {
            code = hw_cord_free(d, s->s[i], &back, &pulled);
            back *= d->cord.arm[0];
        }
        hw_drive_pull pull;
        hw_drive_pull_of(drive, drum, drive->mu[HW_MU_HIGH], true, back, &pull);
        double unit[HW_JOINTS] = {s->torque[i], 0, 0};
        if (d->family == HW_FAMILY_DIRECT) {
            hw_digit_pose p;
            hw_digit_statics f;
            code = hw_stroke_pose(d, s, i, &p);
            if (code == HW_OK) code = family->statics(d, &p, &load, 1, &f);
            for (int j = 0; j < HW_JOINTS && code == HW_OK; j++) unit[j] = f.joint_torque[j];
        }
        if (code != HW_OK) return code;
        if (hand->together[digit]) {
            unit[HW_JOINTS - 2] += unit[HW_JOINTS - 1] * hw_assess_follows(s);
            unit[HW_JOINTS - 1] = 0;
        }
        for (int j = 0; j < HW_JOINTS; j++)
            if (unit[j] > 0) tip = fmin(tip, fmax(pull.torque, 0) / unit[j]);
        if (tip > most) {
            most = tip;
            g->open_at = i;
        }
    }
    g->open_force = hand->back_drive[digit] < 1 ? most : (double)INFINITY;
    return HW_OK;
}

hw_code hw_assess_gentle(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *g)
{
    const hw_digit *d = &hand->digit[digit];
    const hw_drive *drive = &hand->drive[digit];
    g->open_force = NAN;
    g->lag.tip = NAN;
    hw_code code = pinch_at(a, hand, digit, &g->stroke, drive->brief_share, &g->pinch);
    if (code == HW_OK) code = open_force_of(hand, digit, g);
    if (code != HW_OK || d->family == HW_FAMILY_CORD || !(hand->loads.tip > 0)) return code;
    // what a cord's drive yields is position_error; a servo at each joint is part of the digit
    hw_lag_drive yields = {INFINITY, drive->direct ? drive->servo_play : 0};
    return hw_lag_of(d, &g->stroke, hand->loads.tip, NULL, &yields, &g->lag);
}

// ---- values

static double crease_force(const hw_assess_subject *s)
{
    return s->got->pinch.peak[s->got->pinch.worst].force;
}

static double open_force(const hw_assess_subject *s)
{
    return s->got->open_force;
}

static double lag_tip(const hw_assess_subject *s)
{
    return s->hand->loads.tip > 0 ? s->got->lag.tip : 0;
}

const hw_assess_row hw_assess_gentle_row[] = {
    {"crease_force", HW_FOR_ANY, true, crease_force},
    {"open_force", HW_FOR_ANY, true, open_force},
    {"lag_tip", HW_FOR_BARS | HW_FOR_DIRECT, true, lag_tip},
};
const size_t hw_assess_gentle_rows = sizeof hw_assess_gentle_row / sizeof hw_assess_gentle_row[0];

// ---- notes

// Where, at what gap, and what a stalled servo would do: nothing but control keeps it from that.
static void crease_note(hw_arena *a, hw_buffer *b, const hw_hand *hand,
                        const hw_digit_assessment *g, int digit)
{
    const hw_pinch *p = &g->pinch;
    if (!(p->peak[p->worst].force > 0)) {
        hw_buffer_puts(b, "no crease of this digit presses a finger");
        return;
    }
    hw_buffer_format(b, "%s, gap ", hw_crease_name(&hand->digit[digit], p->worst));
    hw_note_number(b, 1e3 * p->peak[p->worst].gap, 0, " mm, at ");
    hw_note_number(b, 100 * p->peak[p->worst].at_s, 0, " % of the travel; ");
    hw_pinch stalled;
    if (pinch_at(a, hand, digit, &g->stroke, 1, &stalled) != HW_OK) return;
    hw_note_number(b, stalled.peak[stalled.worst].force, 0, " N if the servo is let stall");
}

static void lag_note(hw_buffer *b, const hw_hand *hand, bool direct, const hw_lag *l)
{
    hw_note_number(b, hand->loads.tip, 1, " N take up ");
    hw_note_number(b, 1e3 * l->pins, 1, " mm of pivots' play, ");
    if (direct)
        hw_note_number(b, 1e3 * l->drive, 1, " mm of gears' play");
    else
        hw_note_number(b, 1e3 * l->bars, 1, " mm in the bars; the drive's share is position_error");
}

const char *hw_assess_gentle_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                  const hw_finding *f)
{
    hw_buffer b = {.arena = a};
    if (isnan(f->value)) return NULL;
    if (strcmp(f->kind->id, "crease_force") == 0)
        crease_note(a, &b, hand, g, f->digit);
    else if (strcmp(f->kind->id, "open_force") == 0) {
        if (isinf(f->value)) return "the servo does not turn back: it stays closed without power";
        hw_note_number(&b, 100 * g->stroke.s[g->open_at], 0,
                       " % of the travel; the servo turns back at ");
        hw_note_number(&b, 100 * hand->back_drive[f->digit], 0, " % of stall");
    } else if (strcmp(f->kind->id, "lag_tip") == 0 && hand->loads.tip > 0)
        lag_note(&b, hand, hand->drive[f->digit].direct, &g->lag);
    return b.len ? b.at : NULL;
}
