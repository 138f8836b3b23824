// The drive over a digit's stroke: tip force, time, travel, stretch, play.
#include "base/vec.h"
#include "drive/drive_internal.h"

#include <math.h>

hw_drive hw_drive_default(void)
{
    return (hw_drive){
        .servo = {.stall_torque = 0.95,
                  .no_load_speed = 7.0,
                  .stall_current = 1.8,
                  .no_load_current = 0.2},
        .rail = {6.0, 6.0, 6.0, {6.0, 0.0}, {6.0, 0.0}},
        .servo_travel = HW_PI,
        .servo_play = HW_PI / 180.0,
        .brief_share = 0.45,
        .holding_share = 0.33,
        .close_in = 1.0,
        .drum_radius = 6.5e-3,
        .setting_radius = 6.5e-3,
        .pulley_radius = 10.5e-3,
        .cord_diameter = 1e-3,
        .cord_stiffness = 8e3,
        .cord_strength = 1300.0,
        .knot = 0.5,
        .sheath_length = 0.3,
        .sheath_bend = 3.0,
        .sheath_radius = 25e-3,
        .sheath_outer = 4e-3,
        .sheath_bore = 2e-3,
        .sheath_modulus = 0.5e9,
        .clip_spacing = 40e-3,
        .mu = {0.05, 0.10, 0.15},
        .wrist_offset = 0.5e-3,
        .back = HW_RETURN_CORD,
        .pretension = 7.0,
    };
}

static bool is_share(double x)
{
    return x >= 0.0 && x <= 1.0;
}

static bool is_positive(double x)
{
    return x > 0.0 && isfinite(x);
}

static bool is_size(double x)
{
    return x >= 0.0 && isfinite(x);
}

static bool is_rail_sound(const hw_drive_rail *r)
{
    return is_positive(r->rated) && is_size(r->grip) && is_size(r->hold) &&
           is_size(r->closing.emf) && is_size(r->closing.resistance) && is_size(r->alone.emf) &&
           is_size(r->alone.resistance);
}

static bool is_servo_sound(const hw_drive *d)
{
    const hw_servo_line *s = &d->servo;
    return is_positive(s->stall_torque) && is_positive(s->no_load_speed) &&
           is_size(s->no_load_current) && s->stall_current >= s->no_load_current &&
           isfinite(s->stall_current) && is_rail_sound(&d->rail) && d->servo_travel > 0.0 &&
           is_size(d->servo_play) && is_share(d->brief_share) && is_share(d->holding_share) &&
           is_size(d->close_in);
}

static bool is_cord_sound(const hw_drive *d)
{
    bool ok = is_positive(d->drum_radius) && is_positive(d->pulley_radius) &&
              is_size(d->drum_teeth) && is_positive(d->setting_radius) &&
              (d->drum_teeth == 0.0 || d->drum_teeth >= 1.0);
    ok = ok && is_positive(d->cord_diameter) && is_positive(d->cord_stiffness) &&
         is_positive(d->cord_strength) && is_share(d->knot);
    ok = ok && is_positive(d->sheath_length) && is_size(d->sheath_bend) &&
         is_positive(d->sheath_radius) && d->sheath_bore > d->cord_diameter &&
         d->sheath_outer > d->sheath_bore && isfinite(d->sheath_outer) && d->sheath_modulus > 0.0 &&
         is_positive(d->clip_spacing);
    ok = ok && is_size(d->mu[HW_MU_LOW]) && d->mu[HW_MU_NOMINAL] >= d->mu[HW_MU_LOW] &&
         d->mu[HW_MU_HIGH] >= d->mu[HW_MU_NOMINAL] && isfinite(d->mu[HW_MU_HIGH]);
    return ok && is_size(d->wrist_offset) && is_size(d->wrist_range) && is_size(d->pretension);
}

static bool is_stroke_sound(const hw_drive_stroke *s)
{
    if (s->n < 2 || !is_size(s->tip_load)) return false;
    for (size_t i = 0; i < s->n; i++) {
        if (!isfinite(s->turn[i]) || isnan(s->unit_torque[i])) return false;
        if (i > 0 && s->turn[i] < s->turn[i - 1]) return false;
        if (s->back_torque && !is_size(s->back_torque[i])) return false;
    }
    return true;
}

static double back_at(const hw_drive *d, const hw_drive_stroke *s, size_t i) // [N*m]
{
    bool has = s->back_torque && !d->direct && d->back == HW_RETURN_ELASTIC;
    return has ? s->back_torque[i] : 0.0;
}

// Servo's torque over the force it makes at the drum; a direct servo's force is its torque.
static double servo_arm(const hw_drive *d) // [m]
{
    return d->direct ? 1.0 : d->drum_radius;
}

// Stall torque at a voltage.
static double stall_at(const hw_drive *d, double voltage) // [N*m] [V]
{
    return voltage / d->rail.rated * d->servo.stall_torque;
}

// Force at the drum in a grip and in holding, everyone on the rail doing the same.
static double grip_force(const hw_drive *d) // [N]
{
    return d->brief_share * stall_at(d, d->rail.grip) / servo_arm(d);
}

static double hold_force(const hw_drive *d) // [N]
{
    return d->holding_share * stall_at(d, d->rail.hold) / servo_arm(d);
}

double hw_drive_alone(const hw_drive *d, double share)
{
    return share *
           stall_at(d, hw_servo_fed_at_share(&d->servo, d->rail.rated, &d->rail.alone, share));
}

static double tip_of(double torque, double unit) // [N]
{
    return unit > 0.0 ? torque / unit : (double)INFINITY;
}

static double tip_at(const hw_drive *d, const hw_drive_stroke *s, size_t i, hw_mu mu,
                     bool holding) // [N]
{
    hw_drive_pull p;
    double force = holding ? hold_force(d) : grip_force(d);
    hw_drive_pull_of(d, force, d->mu[mu], holding, back_at(d, s, i), &p);
    return tip_of(p.torque, s->unit_torque[i]);
}

// The first of the smallest or largest values so far.
static void keep(hw_drive_peak *peak, double value, size_t i, bool largest)
{
    if (i > 0 && (largest ? value <= peak->value : value >= peak->value)) return;
    *peak = (hw_drive_peak){value, i};
}

static void fill_forces(const hw_drive *d, const hw_drive_stroke *s, double tip[], double held[],
                        hw_drive_result *out)
{
    size_t half = s->n / 2;
    for (size_t i = 0; i < s->n; i++) {
        double closing = tip_at(d, s, i, HW_MU_NOMINAL, false);
        double holding = tip_at(d, s, i, HW_MU_NOMINAL, true);
        double load = s->tip_load * s->unit_torque[i];
        double share = hw_drive_hold_of(d, load, d->mu[HW_MU_NOMINAL], back_at(d, s, i)) *
                       servo_arm(d) / stall_at(d, d->rail.hold);
        if (tip) tip[i] = closing;
        if (held) held[i] = holding;
        keep(&out->tip_least, closing, i, false);
        keep(&out->tip_most, closing, i, true);
        if (i < half) continue;
        bool first = i == half;
        if (first || closing < out->tip.value) out->tip = (hw_drive_peak){closing, i};
        if (first || holding < out->held.value) out->held = (hw_drive_peak){holding, i};
        if (first || share > out->hold_share.value) out->hold_share = (hw_drive_peak){share, i};
    }
    for (int mu = 0; mu < HW_MUS; mu++) {
        size_t at = out->tip.at, held_at = out->held.at;
        out->tip_range[mu] = tip_at(d, s, at, (hw_mu)mu, false);
        hw_drive_pull_of(d, grip_force(d), d->mu[mu], false, back_at(d, s, at), &out->grip[mu]);
        hw_drive_pull_of(d, hold_force(d), d->mu[mu], true, back_at(d, s, held_at), &out->hold[mu]);
    }
    hw_drive_pull most;
    hw_drive_pull_of(d, hw_drive_alone(d, 1.0) / servo_arm(d), d->mu[HW_MU_LOW], false, 0.0, &most);
    hw_drive_pull_of(d, hw_drive_alone(d, d->brief_share) / servo_arm(d), d->mu[HW_MU_LOW], false,
                     back_at(d, s, out->tip.at), &out->alone);
    out->torque_most = most.torque;
}

// Mean of 1/x while x goes straight from a to b, both above 0: ln(a/b)/(a - b), by its series where
// the two nearly meet.
static double mean_slowness(double a, double b) // [1] [1]
{
    double middle = 0.5 * (a + b), h = 0.5 * (a - b) / middle, q = h * h;
    // atanh(h)/h = 1 + h^2/3 + h^4/5 + ...: at |h| < 0.01 the next term is 1e-16
    if (fabs(h) < 1e-2) return (1.0 + q * (1.0 / 3.0 + q * (1.0 / 5.0 + q * (1.0 / 7.0)))) / middle;
    return log(a / b) / (a - b);
}

// The servo takes the current of its torque from the rail, and runs at what voltage is left.
static void fill_time(const hw_drive *d, const hw_drive_stroke *s, hw_drive_result *out)
{
    const hw_drive_rail *rail = &d->rail;
    double ratio = d->direct ? 1.0 : d->pulley_radius / d->drum_radius;
    double time = 0.0, last = 0.0;
    for (size_t i = 0; i < s->n; i++) {
        double torque = hw_drive_moving(d, d->mu[HW_MU_NOMINAL], back_at(d, s, i));
        double volts = hw_servo_fed_at_torque(&d->servo, rail->rated, &rail->closing, torque);
        double speed = volts / rail->rated - torque / d->servo.stall_torque; // of no_load_speed
        double share = torque > 0.0 ? torque / stall_at(d, volts) : 0.0;
        keep(&out->busiest, share, i, true);
        if (i == 0 || volts < out->closing_voltage) out->closing_voltage = volts;
        if (i > 0 && !(speed > 0.0 && last > 0.0)) time = (double)INFINITY;
        if (i > 0 && isfinite(time))
            time += ratio * (s->turn[i] - s->turn[i - 1]) / d->servo.no_load_speed *
                    mean_slowness(last, speed);
        last = speed;
    }
    out->closing_fastest = time;
    out->closing_time = fmax(time, d->close_in);
}

// Path that the sheath gives away by bowing between its clips under a pressing force. Beyond
// Euler's load a pinned column shortens by 2 (F/F_E - 1) of its length (second-order elastica); it
// stops where the cord, pulled straight, lies across the whole bore: then the arc of height c =
// bore less cord is longer than its chord by pi^2 c^2/(4 a).
static double bowing_of(const hw_drive *d, double force) // [m]
{
    double a = d->clip_spacing, c = d->sheath_bore - d->cord_diameter;
    double o2 = d->sheath_outer * d->sheath_outer, b2 = d->sheath_bore * d->sheath_bore;
    double stiffness = d->sheath_modulus * HW_PI / 64.0 * (o2 * o2 - b2 * b2);
    double euler = HW_PI * HW_PI * stiffness / (a * a);
    if (!(force > euler)) return 0.0;
    double free_bow = 2.0 * (force / euler - 1.0) * a;
    double full = HW_PI * HW_PI * c * c / (4.0 * a);
    return fmin(free_bow, full) * d->sheath_length / a;
}

// Tension of the closing cord at rest: what it was set to, but an elastic return that is pulled
// harder gives way.
static double rest_of(const hw_drive *d, const hw_drive_stroke *s) // [N]
{
    if (d->back == HW_RETURN_CORD) return d->pretension;
    return fmin(d->pretension, back_at(d, s, 0) / d->pulley_radius);
}

static void fill_stretch(const hw_drive *d, const hw_drive_stroke *s, hw_drive_result *out)
{
    double mu = d->mu[HW_MU_NOMINAL], back = back_at(d, s, out->tip.at);
    // a drive too weak to grip still stretches what it moves the joint with
    double force = fmax(grip_force(d), hw_drive_free_of(d, mu, back));
    hw_drive_pull pull;
    hw_drive_pull_of(d, force, mu, false, back, &pull);
    double pressed = hw_drive_mean(mu * d->sheath_bend) * pull.drum, rest = rest_of(d, s);
    double o2 = d->sheath_outer * d->sheath_outer, b2 = d->sheath_bore * d->sheath_bore;
    double sheath = d->sheath_modulus * HW_PI / 4.0 * (o2 - b2);
    out->stretch = (pressed - rest) * d->sheath_length / d->cord_stiffness;
    out->shortening = (pressed - rest) * d->sheath_length / sheath;
    out->bowing = bowing_of(d, pressed) - bowing_of(d, rest);
    out->lag = (out->stretch + out->shortening + out->bowing) / d->pulley_radius;
    out->stiffness = 1.0 / (d->sheath_length / d->cord_stiffness + d->sheath_length / sheath);
}

// Change of a cord's stretch between closing and opening, the joint unloaded: the drum turns that
// far before the joint follows. A pair: (2 P/k) tanh(m/2); one cord against a return that pulls
// with T at the pulley: (phi T/k) (e^m - 1).
static double dead_path(const hw_drive *d, const hw_drive_stroke *s, double stiffness) // [m] [N/m]
{
    double m = d->mu[HW_MU_NOMINAL] * d->sheath_bend, most = 0.0;
    if (d->back == HW_RETURN_CORD) return 2.0 * d->pretension / stiffness * tanh(0.5 * m);
    for (size_t i = 0; i < s->n; i++) most = fmax(most, back_at(d, s, i));
    return hw_drive_mean(m) * most / d->pulley_radius / stiffness * expm1(m);
}

static void fill_play(const hw_drive *d, const hw_drive_stroke *s, hw_drive_result *out)
{
    double r = d->pulley_radius, rest = rest_of(d, s);
    double shift = d->wrist_offset * d->wrist_range; // of one cord, to one side
    bool taut_pair = d->back == HW_RETURN_CORD && d->wrist_astride;
    out->wrist_shift = d->back == HW_RETURN_CORD && !d->wrist_astride ? 0.0 : 2.0 * shift / r;
    out->wrist_pretension = taut_pair ? rest : rest - out->stiffness * shift;
    double slack = fmax(-out->wrist_pretension / out->stiffness, 0.0);
    // a slack cord also leaves the inner side of its bends for the outer one, bore less cord away
    if (slack > 0.0) slack += 0.5 * (d->sheath_bore - d->cord_diameter) * d->sheath_bend;
    out->dead_band = dead_path(d, s, out->stiffness) / r;
    out->play = (d->servo_play * d->drum_radius + slack) / r;
}

static void fill_travel(const hw_drive *d, const hw_drive_stroke *s, hw_drive_result *out)
{
    double joint = s->turn[s->n - 1] - s->turn[0] + out->lag + out->hysteresis + out->wrist_shift;
    out->travel_used = d->direct ? s->turn[s->n - 1] - s->turn[0] + d->servo_play
                                 : joint * d->pulley_radius / d->drum_radius;
    out->travel_spare = d->servo_travel - out->travel_used;
}

static void fill_limits(const hw_drive *d, hw_drive_result *out)
{
    hw_drive_pull stalled;
    hw_drive_pull_of(d, hw_drive_alone(d, 1.0) / servo_arm(d), d->mu[HW_MU_NOMINAL], true, 0.0,
                     &stalled);
    out->cord_safety = d->cord_strength * d->knot / stalled.pulley;
    out->drum_ratio = 2.0 * fmin(d->drum_radius, d->pulley_radius) / d->cord_diameter;
    double wall = 0.5 * (d->sheath_outer - d->sheath_bore);
    out->sheath_ratio = d->sheath_radius / hw_tube_bend_radius(d->sheath_outer, wall);
    double loop = d->back == HW_RETURN_CORD ? 0.5 * out->stiffness : out->stiffness;
    out->tension_step =
        d->drum_teeth > 0.0 ? hw_drum_step(loop, d->setting_radius, d->drum_teeth) : 0.0;
    out->reversal = exp(2.0 * d->mu[HW_MU_NOMINAL] * d->sheath_bend);
}

static void fill_nothing(const hw_drive *d, hw_drive_result *out)
{
    const double none = (double)NAN;
    out->stretch = out->shortening = out->bowing = out->stiffness = none;
    out->cord_safety = out->drum_ratio = out->sheath_ratio = out->tension_step = none;
    out->wrist_pretension = none;
    out->lag = out->dead_band = out->wrist_shift = 0.0;
    out->play = d->servo_play;
    out->reversal = 1.0;
}

hw_drive_result hw_drive_unknown(void)
{
    const double none = (double)NAN;
    const hw_drive_peak no = {none, 0};
    hw_drive_result r = {
        .tip = no, .tip_least = no, .tip_most = no, .held = no, .hold_share = no, .busiest = no};
    for (int mu = 0; mu < HW_MUS; mu++) {
        r.grip[mu] = r.hold[mu] = (hw_drive_pull){none, none, none, none};
        r.tip_range[mu] = none;
    }
    fill_nothing(&(hw_drive){.servo_play = none}, &r);
    r.lag = r.dead_band = r.wrist_shift = r.reversal = none;
    r.alone = r.grip[0];
    r.closing_voltage = none;
    r.torque_most = r.closing_time = r.closing_fastest = none;
    r.travel_used = r.travel_spare = r.hysteresis = r.position_error = none;
    r.grip_current = r.hold_current = none;
    return r;
}

hw_code hw_drive_run(const hw_drive *d, const hw_drive_stroke *s, double tip[], double held[],
                     hw_drive_result *out)
{
    *out = hw_drive_unknown();
    if (!is_servo_sound(d) || !is_stroke_sound(s)) return HW_BAD_INPUT;
    if (!d->direct && !is_cord_sound(d)) return HW_BAD_INPUT;
    fill_forces(d, s, tip, held, out);
    fill_time(d, s, out);
    if (d->direct)
        fill_nothing(d, out);
    else {
        fill_stretch(d, s, out);
        fill_play(d, s, out);
        fill_limits(d, out);
    }
    out->hysteresis = out->dead_band + out->play;
    out->position_error = out->lag + 0.5 * (out->hysteresis + out->wrist_shift);
    fill_travel(d, s, out);
    out->grip_current = hw_servo_draws(&d->servo, d->rail.rated, d->rail.grip, d->brief_share);
    out->hold_current = hw_servo_draws(&d->servo, d->rail.rated, d->rail.hold, d->holding_share);
    return HW_OK;
}
