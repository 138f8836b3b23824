// The drive over a digit's stroke, its findings, and what to say beside them.
#include "assess/assess_internal.h"

#include "base/text.h"
#include "digit/contact.h"

#include <math.h>
#include <string.h>

static const char *const joint_word[HW_JOINTS] = {"knuckle", "PIP", "DIP"};
static const char *const thumb_word[HW_JOINTS] = {"base", "MCP", "IP"};

// ---- the chain of each family
// ------------------------------------------------------------------------------------------------

// Bars: the pulley turns with the knuckle; springs, where they open it, sit there too.
static void bars_stroke(const hw_hand *hand, int digit, const hw_stroke *s, double back[])
{
    const double preload = hand->return_preload[digit], rate = hand->return_rate[digit];
    for (size_t i = 0; i < s->n; i++) back[i] = preload + rate * (s->joint[0][i] - s->joint[0][0]);
}

// A cord over the joints: as a pulley of the first arm's radius that the cord turns as it is
// pulled.
static hw_code cord_stroke(const hw_digit *d, const hw_stroke *s, double turn[], double back[])
{
    for (size_t i = 0; i < s->n; i++) {
        double tension, pulled;
        hw_code code = hw_cord_free(d, s->s[i], &tension, &pulled);
        if (code != HW_OK) return code;
        turn[i] = pulled / d->cord.arm[0];
        back[i] = tension * d->cord.arm[0];
    }
    return HW_OK;
}

static hw_drive_peak least_of(const double value[], size_t from, size_t n)
{
    hw_drive_peak least = {value[from], from};
    for (size_t i = from; i < n; i++)
        if (value[i] < least.value) least = (hw_drive_peak){value[i], i};
    return least;
}

static double pick(double a, double b, bool largest)
{
    return (largest ? b > a : b < a) ? b : a;
}

// What a digit of three servos does as a whole: its weakest joint decides the force, its slowest
// the time, and angles add no more than their largest.
static void join(hw_drive_result *all, const hw_drive_result *one, bool weakest)
{
    hw_drive_result was = *all;
    if (weakest) *all = *one;
    all->closing_time = pick(was.closing_time, one->closing_time, true);
    all->closing_fastest = pick(was.closing_fastest, one->closing_fastest, true);
    all->travel_used = pick(was.travel_used, one->travel_used, true);
    all->travel_spare = pick(was.travel_spare, one->travel_spare, false);
    all->hold_share =
        was.hold_share.value > one->hold_share.value ? was.hold_share : one->hold_share;
    all->busiest = was.busiest.value > one->busiest.value ? was.busiest : one->busiest;
}

double hw_assess_follows(const hw_stroke *s)
{
    double driven = s->joint[HW_JOINTS - 2][s->n - 1] - s->joint[HW_JOINTS - 2][0];
    double follows = s->joint[HW_JOINTS - 1][s->n - 1] - s->joint[HW_JOINTS - 1][0];
    return driven != 0 ? follows / driven : 1;
}

// One servo a joint, each with its own torque from the load at the tip; the last two joints may
// share one, which then bears what both ask (virtual work).
static hw_code direct_run(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *g)
{
    const hw_digit *d = &hand->digit[digit];
    const hw_digit_family *family = hw_digit_family_of(d->family);
    const hw_stroke *s = &g->stroke;
    double *unit[HW_JOINTS], *tip = HW_NEW(a, double, s->n), *held = HW_NEW(a, double, s->n);
    for (int j = 0; j < HW_JOINTS; j++) unit[j] = HW_NEW(a, double, s->n);
    if (hw_arena_failed(a)) return HW_NO_MEMORY;
    hw_load load = hw_digit_unit_load(d);
    for (size_t i = 0; i < s->n; i++) {
        hw_digit_pose pose;
        hw_digit_statics got;
        hw_code code = hw_stroke_pose(d, s, i, &pose);
        if (code == HW_OK) code = family->statics(d, &pose, &load, 1, &got);
        if (code != HW_OK) return code;
        for (int j = 0; j < HW_JOINTS; j++) unit[j][i] = got.joint_torque[j];
        if (hand->together[digit])
            unit[HW_JOINTS - 2][i] += unit[HW_JOINTS - 1][i] * hw_assess_follows(s);
        g->tip_force[i] = g->tip_held[i] = INFINITY;
    }
    for (int j = 0; j < hand->servos[digit]; j++) {
        hw_drive_stroke one = {s->n, s->joint[j], unit[j], NULL, hand->loads.tip};
        hw_drive_result r;
        hw_code code = hw_drive_run(&hand->drive[digit], &one, tip, held, &r);
        if (code != HW_OK) return code;
        for (size_t i = 0; i < s->n; i++) {
            g->tip_force[i] = fmin(g->tip_force[i], tip[i]);
            g->tip_held[i] = fmin(g->tip_held[i], held[i]);
        }
        bool weakest = j == 0 || r.tip.value < g->drive.tip.value;
        if (weakest) g->drive_joint = j;
        if (j == 0)
            g->drive = r;
        else
            join(&g->drive, &r, weakest);
    }
    g->drive.tip = least_of(g->tip_force, s->n / 2, s->n);
    g->drive.tip_least = least_of(g->tip_force, 0, s->n);
    g->drive.held = least_of(g->tip_held, s->n / 2, s->n);
    return HW_OK;
}

hw_code hw_assess_drive(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *g)
{
    const hw_digit *d = &hand->digit[digit];
    const hw_stroke *s = &g->stroke;
    g->tip_force = HW_NEW(a, double, s->n);
    g->tip_held = HW_NEW(a, double, s->n);
    double *turn = HW_NEW(a, double, s->n), *back = HW_NEW(a, double, s->n);
    if (hw_arena_failed(a)) return HW_NO_MEMORY;
    if (d->family == HW_FAMILY_DIRECT) return direct_run(a, hand, digit, g);
    hw_drive_stroke chain = {s->n, s->joint[0], s->torque, back, hand->loads.tip};
    hw_code code = HW_OK;
    if (d->family == HW_FAMILY_CORD) {
        code = cord_stroke(d, s, turn, back);
        chain.turn = turn;
    } else
        bars_stroke(hand, digit, s, back);
    if (code == HW_OK)
        code = hw_drive_run(&hand->drive[digit], &chain, g->tip_force, g->tip_held, &g->drive);
    return code;
}

// ---- values
// ------------------------------------------------------------------------------------------------------------------

typedef hw_assess_subject subject;

static double tip_force(const subject *s)
{
    return s->got->drive.tip.value;
}

static double tip_force_held(const subject *s)
{
    return s->got->drive.held.value;
}

static double hold_share(const subject *s)
{
    return s->got->drive.hold_share.value;
}

static double closing_time(const subject *s)
{
    return s->got->drive.closing_time;
}

static double travel_spare(const subject *s)
{
    return s->got->drive.travel_spare;
}

static double cord_pull(const subject *s)
{
    return s->got->drive.grip[HW_MU_NOMINAL].pulley / s->digit->cord.tension;
}

static double cord_safety(const subject *s)
{
    return s->got->drive.cord_safety;
}

static double hysteresis(const subject *s)
{
    return s->got->drive.hysteresis;
}

static double position_error(const subject *s)
{
    return s->got->drive.position_error;
}

static double wrist_pretension(const subject *s)
{
    return s->got->drive.wrist_pretension;
}

static double tension_step(const subject *s)
{
    return s->got->drive.tension_step;
}

static double pulley_room(const subject *s)
{
    return s->hand->fitted[s->number] ? s->hand->fittings[s->number].wheel.room : (double)NAN;
}

static double switch_room(const subject *s)
{
    return s->hand->fittings[s->number].carrier.home_room;
}

static double pocket_room(const subject *s)
{
    return s->hand->fittings[s->number].carrier.horn_room;
}

static double drum_ratio(const subject *s)
{
    return s->got->drive.drum_ratio;
}

static double sheath_ratio(const subject *s)
{
    return s->got->drive.sheath_ratio;
}

// What holds stands still: friction of its gears helps, and the windings carry no more than the
// share of the stall current.
static double held_current(const hw_drive *d) // [A]
{
    return d->holding_share * d->servo.stall_current * d->rail.hold / d->rail.rated;
}

// In a grip friction is against it, and the current is the line's.
static double case_heat(const subject *s)
{
    hw_servo_warmth w;
    double current = held_current(&s->hand->drive[s->number]);
    if (hw_servo_warms(&s->hand->heat[s->number], current, &w) != HW_OK) return NAN;
    return s->hand->softens - w.outside;
}

static double grip_time(const subject *s)
{
    return hw_servo_warm_time(&s->hand->heat[s->number], s->got->drive.grip_current,
                              s->hand->softens);
}

static double cord_creep(const subject *s)
{
    return s->got->drive.hold[HW_MU_HIGH].pulley / s->hand->drive[s->number].cord_strength;
}

const hw_assess_row hw_assess_drive_row[] = {
    {"tip_force", HW_FOR_ANY, true, tip_force},
    {"tip_force_held", HW_FOR_ANY, true, tip_force_held},
    {"hold_share", HW_FOR_ANY, true, hold_share},
    {"closing_time", HW_FOR_ANY, true, closing_time},
    {"travel_spare", HW_FOR_ANY | HW_FOR_STOPPED, true, travel_spare},
    {"cord_pull", HW_FOR_CORD, true, cord_pull},
    {"hysteresis", HW_FOR_ANY, true, hysteresis},
    {"position_error", HW_FOR_ANY, true, position_error},
    {"wrist_pretension", HW_FOR_COUPLED, true, wrist_pretension},
    {"cord_safety", HW_FOR_COUPLED, true, cord_safety},
    {"drum_ratio", HW_FOR_COUPLED, true, drum_ratio},
    {"sheath_ratio", HW_FOR_COUPLED, true, sheath_ratio},
    {"tension_step", HW_FOR_COUPLED, true, tension_step},
    {"pulley_room", HW_FOR_BARS, false, pulley_room},
    {"switch_room", HW_FOR_BARS | HW_FOR_SWITCHED, false, switch_room},
    {"pocket_room", HW_FOR_ANY | HW_FOR_HORNED, false, pocket_room},
    {"cord_creep", HW_FOR_COUPLED, true, cord_creep},
    {"case_heat", HW_FOR_ANY, true, case_heat},
    {"grip_time", HW_FOR_ANY, true, grip_time},
};
const size_t hw_assess_drive_rows = sizeof hw_assess_drive_row / sizeof hw_assess_drive_row[0];

// ---- notes
// -------------------------------------------------------------------------------------------------------------------

void hw_note_number(hw_buffer *b, double value, int decimals, const char *after)
{
    char number[HW_NUMBER_TEXT];
    if (isinf(value))
        memcpy(number, "any", sizeof "any");
    else
        hw_number_write_fixed(value, decimals, number);
    hw_buffer_format(b, "%s%s", number, after);
}

static void put_pose(hw_buffer *b, const hw_digit_assessment *g, size_t at)
{
    hw_buffer_puts(b, "at ");
    hw_note_number(b, 100 * g->stroke.s[at], 0, " % of the travel");
}

// Where the weakest pose is, what the ends give, and what friction makes of it.
static void tip_note(hw_buffer *b, const hw_hand *hand, int digit, const hw_digit_assessment *g)
{
    const hw_drive_result *r = &g->drive;
    const hw_drive *d = &hand->drive[digit];
    if (r->tip.value < 0) {
        hw_buffer_puts(b,
                       "it cannot move: return and friction take more than the brief share, most ");
        put_pose(b, g, r->tip.at);
        return;
    }
    put_pose(b, g, r->tip.at);
    hw_buffer_puts(b, "; ");
    hw_note_number(b, g->tip_force[0], 1, " N open, ");
    hw_note_number(b, g->tip_force[g->stroke.n - 1], 1, " N closed");
    if (d->direct) {
        hw_buffer_format(b, "; the %s's servo is the weakest",
                         (hand->digit[digit].thumb ? thumb_word : joint_word)[g->drive_joint]);
        return;
    }
    hw_buffer_puts(b, "; ");
    hw_note_number(b, r->tip_range[HW_MU_HIGH], 1, " to ");
    hw_note_number(b, r->tip_range[HW_MU_LOW], 1, " N with friction ");
    hw_note_number(b, d->mu[HW_MU_HIGH], 2, " to ");
    hw_note_number(b, d->mu[HW_MU_LOW], 2, "");
}

static void time_note(hw_buffer *b, const hw_digit_assessment *g)
{
    const hw_drive_result *r = &g->drive;
    if (r->busiest.value >= 1) {
        hw_buffer_puts(b, "the servo stalls on friction and return ");
        put_pose(b, g, r->busiest.at);
        return;
    }
    hw_note_number(b, r->closing_fastest, 2,
                   " s as fast as it goes; friction and return take up to ");
    hw_note_number(b, 100 * r->busiest.value, 0, " % of stall, and leave ");
    hw_note_number(b, r->closing_voltage, 2, " V");
}

// Closing, holding, and what lies between the two.
static void reversal_note(hw_buffer *b, const hw_drive *d, const hw_drive_result *r)
{
    if (d->direct) return;
    hw_note_number(b, r->dead_band * 180 / HW_PI, 1, " deg by friction, ");
    hw_note_number(b, r->play * 180 / HW_PI, 1, " deg by gears and slack; the drum lets go of ");
    hw_note_number(b, 100 * (1 - 1 / r->reversal), 0, " % of its pull before a cord slips back");
}

static void travel_note(hw_buffer *b, const hw_drive *d, const hw_drive_result *r)
{
    hw_note_number(b, r->travel_used * 180 / HW_PI, 0, " of ");
    hw_note_number(b, d->servo_travel * 180 / HW_PI, 0, " deg are used");
}

static void put_celsius(hw_buffer *b, double kelvin, const char *after) // [K]
{
    hw_note_number(b, kelvin - 273.15, 0, after);
}

static void heat_note(hw_buffer *b, const hw_hand *hand, int digit)
{
    hw_servo_warmth w;
    double current = held_current(&hand->drive[digit]);
    if (hw_servo_warms(&hand->heat[digit], current, &w) != HW_OK) return;
    if (isinf(w.outside)) {
        hw_buffer_puts(b, "its windings never settle: it must not hold that long");
        return;
    }
    put_celsius(b, hand->softens, " °C less ");
    put_celsius(b, w.outside, " °C of the case, windings ");
    put_celsius(b, w.windings, " °C, in still air of ");
    put_celsius(b, hand->heat[digit].room, " °C");
}

// A control that lets it stall has less time.
static void grip_note(hw_buffer *b, const hw_hand *hand, int digit)
{
    const hw_drive *d = &hand->drive[digit];
    double volts = hw_servo_fed_at_share(&d->servo, d->rail.rated, &d->rail.alone, 1);
    double current = hw_servo_draws(&d->servo, d->rail.rated, volts, 1);
    hw_note_number(b, hw_servo_warm_time(&hand->heat[digit], current, hand->softens), 0,
                   " s if it is let stall");
}

static void error_note(hw_buffer *b, const hw_drive *d, const hw_drive_result *r)
{
    if (d->direct) return;
    hw_buffer_puts(b, "in a grip the cord stretches ");
    hw_note_number(b, 1e3 * r->stretch, 2, " mm, the sheath gives ");
    hw_note_number(b, 1e3 * r->shortening, 2, " mm, bowing ");
    hw_note_number(b, 1e3 * r->bowing, 2, " mm");
}

// What sets the tension, and in how many places a turn.
static void step_note(hw_buffer *b, const hw_hand *hand, int digit)
{
    const hw_drive *d = &hand->drive[digit];
    const hw_fittings *held = &hand->fittings[digit];
    bool spool = hand->fitted[digit] && held->pulley && held->wheel.spool.fits;
    if (!spool && d->drum_teeth <= 0) return;
    hw_note_number(b, d->drum_teeth, 0,
                   spool ? " places a turn of a spool of " : " teeth on a drum of ");
    hw_note_number(b, 1e3 * d->setting_radius, 2, " mm radius");
}

const char *hw_assess_drive_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                 const hw_finding *f)
{
    const char *id = f->kind->id;
    const hw_drive_result *r = &g->drive;
    if (isnan(f->value))
        return strcmp(id, "pulley_room") == 0 ? "no layer beside bar A is free for a pulley" : NULL;
    hw_buffer b = {.arena = a};
    if (strcmp(id, "tip_force") == 0)
        tip_note(&b, hand, f->digit, g);
    else if (strcmp(id, "tip_force_held") == 0)
        put_pose(&b, g, r->held.at);
    else if (strcmp(id, "hold_share") == 0) {
        put_pose(&b, g, r->hold_share.at);
        hw_buffer_puts(&b, ", with the load of loads.tip");
    } else if (strcmp(id, "closing_time") == 0)
        time_note(&b, g);
    else if (strcmp(id, "hysteresis") == 0)
        reversal_note(&b, &hand->drive[f->digit], r);
    else if (strcmp(id, "travel_spare") == 0)
        travel_note(&b, &hand->drive[f->digit], r);
    else if (strcmp(id, "position_error") == 0)
        error_note(&b, &hand->drive[f->digit], r);
    else if (strcmp(id, "case_heat") == 0)
        heat_note(&b, hand, f->digit);
    else if (strcmp(id, "grip_time") == 0)
        grip_note(&b, hand, f->digit);
    else if (strcmp(id, "tension_step") == 0)
        step_note(&b, hand, f->digit);
    else if (strcmp(id, "wrist_pretension") == 0 && f->value < 0)
        hw_buffer_puts(&b, "the wrist slackens a cord");
    return b.len ? b.at : NULL;
}
