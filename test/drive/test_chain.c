// The chain over a stroke: hand calculations, balances, properties, refusals.
#include "base/rng.h"
#include "base/vec.h"
#include "check.h"
#include "drive/drive.h"

#include <gsl/gsl_sf_ellint.h>

enum { N = 9, CASES = 2000 };

static double turn[N], unit[N], back[N];

static hw_drive_stroke stroke_of(double load) // [N]
{
    for (int i = 0; i < N; i++) {
        turn[i] = 1.4835 * i / (N - 1);
        unit[i] = 0.150 - 0.110 * i / (N - 1);
        back[i] = 0.05 + 0.02 * turn[i];
    }
    return (hw_drive_stroke){N, turn, unit, back, load};
}

// The numbers that examples/heron.yaml works out by hand, to the digits printed there.
static void a_finger_by_hand(void)
{
    hw_drive d = hw_drive_default();
    d.servo_travel = INFINITY;
    double knuckle[] = {0, 0.74, 1.4835}, per[] = {0.151, 0.108, 0.037}, tip[3], held[3];
    hw_drive_stroke s = {3, knuckle, per, NULL, 8};
    hw_drive_result r;
    CHECK(hw_drive_run(&d, &s, tip, held, &r) == HW_OK);
    NEAR(r.grip[HW_MU_NOMINAL].drum, 65.8, 0.05);
    NEAR(r.grip[HW_MU_NOMINAL].pulley, 48.7, 0.05);
    CHECK(r.grip[HW_MU_NOMINAL].against == 0); // 65.8 N are more than twice the 7 of pretension
    NEAR(tip[0], 3.4, 0.05);
    NEAR(tip[1], 4.7, 0.05);
    NEAR(tip[2], 13.8, 0.1);
    NEAR(held[1], 6.3, 0.05);
    CHECK(r.tip.at == 1 && r.tip_least.at == 0 && r.tip_most.at == 2);
    NEAR(r.closing_fastest, 0.34, 0.02); // 3 % of stall to move both cords
    NEAR(r.stretch, 1.9e-3, 5e-5);
    NEAR(r.shortening, 3.2e-3, 5e-5);
    NEAR(r.stiffness, 1 / (0.3 / 8e3 + 0.3 / (HW_PI / 4 * 12e-6 * 0.5e9)), 1e-9);
    // 650 N over 146 N at the drum are 4.4; a load that turns the stalled drum back adds e^0.3
    NEAR(r.cord_safety, 4.4 * exp(-0.3), 0.05);
    CLOSE(r.reversal, exp(0.6), 1e-12);
    CLOSE(r.hold_share.value, 8 * 0.108 / 0.0105 * exp(-0.3) * 0.0065 / 0.95, 1e-12);
    CHECK(r.hold_share.at == 1 && isinf(r.travel_spare));
    CLOSE(r.grip_current, 0.2 + 0.45 * 1.6, 1e-12);
    CLOSE(r.hold_current, 0.2 + 0.33 * 1.6, 1e-12);
    CLOSE(r.sheath_ratio, 25.0 / 16, 1e-12);
    CLOSE(r.drum_ratio, 13.0, 1e-12);
}

// What the drum turns is what the pulley turns, and what is lost between them.
static void travel_adds_up(void)
{
    hw_drive d = hw_drive_default();
    hw_drive_stroke s = stroke_of(5);
    hw_drive_result r;
    d.wrist_range = 0.4;
    d.wrist_astride = true;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_OK);
    double path = d.pulley_radius * 1.4835 + r.stretch + r.shortening + r.bowing;
    path += d.pulley_radius * r.dead_band + d.drum_radius * d.servo_play;
    path += 2 * d.wrist_offset * d.wrist_range;
    CLOSE(r.travel_used, path / d.drum_radius, 1e-12);
    CLOSE(r.travel_spare, HW_PI - r.travel_used, 1e-12);
    CLOSE(r.lag + 0.5 * (r.hysteresis + r.wrist_shift), r.position_error, 1e-12);
    CLOSE(r.wrist_pretension, d.pretension, 1e-15); // astride, a pair shifts and stays taut
    d.wrist_astride = false;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_OK);
    CHECK(r.wrist_shift == 0);
    CLOSE(r.wrist_pretension, 7 - r.stiffness * 0.5e-3 * 0.4, 1e-12);
}

// One tooth takes up 2 pi r/N of path: a pair shares it, and one cord bears it alone.
static void teeth_set_tension_in_steps(void)
{
    hw_drive d = hw_drive_default();
    hw_drive_stroke s = stroke_of(5);
    hw_drive_result r;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_OK && r.tension_step == 0);
    d.drum_teeth = 25;
    double path = 2 * HW_PI * 6.5e-3 / 25, each = 0.3 / 8e3 + 0.3 / (HW_PI / 4 * 12e-6 * 0.5e9);
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_OK);
    CLOSE(r.tension_step, path / (2 * each), 1e-12);
    d.back = HW_RETURN_ELASTIC;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_OK);
    CLOSE(r.tension_step, path / each, 1e-12);
    // a spool of 1.75 mm whose 7 and 8 holes meet 56 times a turn, beside a pair of Heron's cords:
    // 9.88 N/mm each, half of it in the loop, times 0.196 mm
    d.back = HW_RETURN_CORD;
    d.drum_teeth = 56;
    d.setting_radius = 1.75e-3;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_OK);
    NEAR(r.tension_step, 0.970, 0.001);
}

// A wrist that slackens a cord is a finding, and its slack and the bore's clearance are play.
static void a_wrist_that_slackens(void)
{
    hw_drive d = hw_drive_default();
    hw_drive_stroke s = stroke_of(5);
    hw_drive_result r, taut;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &taut) == HW_OK);
    d.wrist_offset = 5e-3;
    d.wrist_range = 0.5;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_OK);
    CHECK(r.wrist_pretension < 0);
    double slack = 2.5e-3 - 7 / r.stiffness + 0.5 * 1e-3 * 3;
    CLOSE(r.play - taut.play, slack / d.pulley_radius, 1e-9);
}

// Elastic: the grip is what the cord brings less what the return takes, pose by pose.
static void an_elastic_return_takes_its_part(void)
{
    hw_drive d = hw_drive_default();
    d.back = HW_RETURN_ELASTIC;
    d.pretension = 100; // more than the return bears: it gives way, and the rest counts
    hw_drive_stroke s = stroke_of(5);
    double tip[N], held[N];
    hw_drive_result r;
    CHECK(hw_drive_run(&d, &s, tip, held, &r) == HW_OK);
    double force = 0.45 * 0.95 / 6.5e-3, hold = 0.33 * 0.95 / 6.5e-3;
    for (int i = 0; i < N; i++) {
        CLOSE(tip[i], (force * exp(-0.3) * 10.5e-3 - back[i]) / unit[i], 1e-12);
        CLOSE(held[i], (hold * exp(0.3) * 10.5e-3 - back[i]) / unit[i], 1e-12);
    }
    CLOSE(r.wrist_pretension, back[0] / 10.5e-3, 1e-12);
    // one cord, both ways: the most that the return pulls with, (phi T/k)(e^m - 1)
    double t = back[N - 1] / 10.5e-3, phi = -expm1(-0.3) / 0.3;
    CLOSE(r.dead_band, phi * t / r.stiffness * expm1(0.3) / 10.5e-3, 1e-12);
    for (int i = 0; i < N; i++) back[i] = 2;
    CHECK(hw_drive_run(&d, &s, tip, held, &r) == HW_OK);
    CHECK(tip[0] < 0 && r.tip.value < 0 && isinf(r.closing_time)); // it takes more than all
}

// Bowing against the elastica with elliptic integrals: shortening 2 - 2 E/K at (2K/pi)^2 of Euler's
// load. The second-order form leaves out 0.6 k^2 of it.
static void bowing_is_the_elastica(void)
{
    hw_drive d = hw_drive_default();
    d.back = HW_RETURN_ELASTIC; // one cord at rest without tension
    d.mu[0] = d.mu[1] = d.mu[2] = 0;
    d.pretension = 0;
    d.sheath_bore = 3.9e-3; // thin and wide: the cord does not stop it early
    d.cord_diameter = 0.1e-3;
    double i4 = pow(d.sheath_outer, 4) - pow(d.sheath_bore, 4);
    double ei = d.sheath_modulus * HW_PI / 64 * i4;
    for (int i = 1; i <= 7; i++) {
        double k = 0.02 * i;
        double full = gsl_sf_ellint_Kcomp(k, GSL_PREC_DOUBLE);
        double e = gsl_sf_ellint_Ecomp(k, GSL_PREC_DOUBLE);
        double load = pow(2 * full / HW_PI, 2) * HW_PI * HW_PI * ei / pow(d.clip_spacing, 2);
        double want = (2 - 2 * e / full) * d.sheath_length;
        hw_drive_stroke s = stroke_of(0);
        s.back_torque = NULL;
        d.servo.stall_torque = load * d.drum_radius / d.brief_share;
        hw_drive_result r;
        CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_OK);
        CLOSE(r.bowing, want, 0.7 * k * k);
    }
    // pressed hard, it stops where the cord lies across the bore: (arc - chord) of a sine of height
    // c
    d = hw_drive_default();
    hw_drive_stroke s = stroke_of(0);
    hw_drive_result r;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_OK);
    double arc = 0, c = 1e-3, a = d.clip_spacing;
    for (int i = 0; i < 2000; i++)
        arc += hypot(1, HW_PI * c / a * cos(HW_PI * (i + 0.5) / 2000)) / 2000;
    CHECK(r.bowing > 0 && arc > 1);
    CLOSE(r.bowing, (arc - 1) * d.sheath_length, 0.01); // squares of slopes of 0.08 left out
}

static hw_drive random_drive(hw_rng *r)
{
    hw_drive d = hw_drive_default();
    d.servo.stall_torque = hw_rng_uniform(r, 0.1, 2);
    d.drum_radius = hw_rng_uniform(r, 4e-3, 15e-3);
    d.pulley_radius = hw_rng_uniform(r, 4e-3, 15e-3);
    d.pretension = hw_rng_uniform(r, 0, 20);
    d.sheath_bend = hw_rng_uniform(r, 0, 6);
    d.wrist_range = hw_rng_uniform(r, 0, 0.5);
    d.wrist_astride = hw_rng_uniform(r, 0, 1) < 0.5;
    d.drum_teeth = hw_rng_uniform(r, 0, 1) < 0.5 ? 0 : 40;
    d.back = hw_rng_uniform(r, 0, 1) < 0.5 ? HW_RETURN_CORD : HW_RETURN_ELASTIC;
    return d;
}

// Lengths by `by`, forces by `force`, times by the root of `by`.
static hw_drive scaled(const hw_drive *d, double by, double force) // [1] [1]
{
    hw_drive e = *d;
    double *const length[] = {
        &e.drum_radius,   &e.setting_radius, &e.pulley_radius, &e.cord_diameter, &e.sheath_length,
        &e.sheath_radius, &e.sheath_outer,   &e.sheath_bore,   &e.clip_spacing,  &e.wrist_offset};
    for (size_t i = 0; i < sizeof length / sizeof length[0]; i++) *length[i] *= by;
    e.cord_stiffness *= force;
    e.cord_strength *= force;
    e.pretension *= force;
    e.sheath_modulus *= force / (by * by);
    e.servo.stall_torque *= force * by;
    e.servo.no_load_speed /= sqrt(by);
    e.close_in *= sqrt(by);
    return e;
}

static void answers_scale(void)
{
    hw_rng r = hw_rng_new(78, 1);
    const double sizes[] = {10, 0.1}, forces[] = {1, 100};
    for (int k = 0; k < CASES; k++) {
        hw_drive d = random_drive(&r);
        double by = sizes[k % 2], force = forces[k / 2 % 2];
        hw_drive e = scaled(&d, by, force);
        hw_drive_stroke s = stroke_of(5);
        hw_drive_result a, b;
        CHECK(hw_drive_run(&d, &s, NULL, NULL, &a) == HW_OK);
        for (int i = 0; i < N; i++) {
            unit[i] *= by;
            back[i] *= by * force;
        }
        s.tip_load *= force;
        CHECK(hw_drive_run(&e, &s, NULL, NULL, &b) == HW_OK);
        NEAR(b.tip.value, a.tip.value * force, 1e-11 * force * (1 + fabs(a.tip.value)));
        NEAR(b.held.value, a.held.value * force, 1e-11 * force * (1 + fabs(a.held.value)));
        NEAR(b.hold_share.value, a.hold_share.value, 1e-11 * (1 + a.hold_share.value));
        if (isfinite(a.closing_time)) CLOSE(b.closing_time, a.closing_time * sqrt(by), 1e-11);
        CHECK(isfinite(a.closing_time) == isfinite(b.closing_time));
        NEAR(b.travel_used, a.travel_used, 1e-10 * a.travel_used);
        NEAR(b.position_error, a.position_error, 1e-10 * (1 + fabs(a.position_error)));
        NEAR(b.hysteresis, a.hysteresis, 1e-10 * a.hysteresis);
        NEAR(b.wrist_pretension, a.wrist_pretension * force,
             1e-10 * force * (20 + fabs(a.wrist_pretension)));
        NEAR(b.tension_step, a.tension_step * force, 1e-10 * force * (1 + a.tension_step));
        CLOSE(b.cord_safety, a.cord_safety, 1e-10);
        CLOSE(b.drum_ratio, a.drum_ratio, 1e-12);
    }
}

// More of what hinders never helps.
static void worse_is_never_better(void)
{
    hw_rng r = hw_rng_new(78, 2);
    for (int k = 0; k < CASES; k++) {
        hw_drive d = random_drive(&r), e = d;
        hw_drive_stroke s = stroke_of(5);
        hw_drive_result a, b;
        CHECK(hw_drive_run(&d, &s, NULL, NULL, &a) == HW_OK);
        CHECK(a.tip_range[HW_MU_LOW] >= a.tip_range[HW_MU_NOMINAL] &&
              a.tip_range[HW_MU_NOMINAL] >= a.tip_range[HW_MU_HIGH]);
        CHECK(a.tip_least.value <= a.tip.value && a.tip.value <= a.tip_most.value);
        for (int mu = 0; mu < HW_MUS; mu++) e.mu[mu] += 0.02;
        CHECK(hw_drive_run(&e, &s, NULL, NULL, &b) == HW_OK);
        CHECK(b.tip.value <= a.tip.value && b.held.value >= a.held.value);
        CHECK(b.closing_fastest >= a.closing_fastest && b.hysteresis >= a.hysteresis);
        CHECK(b.cord_safety <= a.cord_safety);
        e = d;
        e.drum_radius *= 1.1;
        CHECK(hw_drive_run(&e, &s, NULL, NULL, &b) == HW_OK);
        CHECK(b.tip.value <= a.tip.value);
        CHECK(!(a.busiest.value < 0.4) || b.closing_fastest < a.closing_fastest);
        e = d;
        e.servo.stall_torque *= 1.1;
        CHECK(hw_drive_run(&e, &s, NULL, NULL, &b) == HW_OK);
        CHECK(b.tip.value >= a.tip.value && b.closing_fastest <= a.closing_fastest);
    }
}

static void a_servo_on_the_joint(void)
{
    hw_drive d = hw_drive_default();
    d.direct = true;
    d.cord_stiffness = d.drum_radius = d.sheath_bore = NAN; // it has none of them
    hw_drive_stroke s = stroke_of(2);
    double tip[N], held[N];
    hw_drive_result r;
    CHECK(hw_drive_run(&d, &s, tip, held, &r) == HW_OK);
    CLOSE(tip[0], 0.45 * 0.95 / unit[0], 1e-12);
    CLOSE(held[0], 0.33 * 0.95 / unit[0], 1e-12);
    CLOSE(r.hold_share.value, 2 * unit[N / 2] / 0.95, 1e-12);
    CLOSE(r.hysteresis, d.servo_play, 1e-15);
    CLOSE(r.position_error, 0.5 * d.servo_play, 1e-15);
    CLOSE(r.travel_spare, HW_PI - 1.4835 - d.servo_play, 1e-12);
    CHECK(isnan(r.cord_safety) && isnan(r.stretch) && isnan(r.wrist_pretension));
}

static void loads_that_close_cost_nothing(void)
{
    hw_drive d = hw_drive_default();
    hw_drive_stroke s = stroke_of(2);
    double tip[N], held[N];
    hw_drive_result r;
    for (int i = 0; i < N; i++) unit[i] = i < 6 ? 0.1 : -0.01 * (i - 6);
    CHECK(hw_drive_run(&d, &s, tip, held, &r) == HW_OK);
    CHECK(isinf(tip[N - 1]) && isinf(held[6]) && isfinite(r.tip.value) && isinf(r.tip_most.value));
}

static void unsound_numbers_are_refused(void)
{
    hw_drive_stroke s = stroke_of(2);
    hw_drive_result r;
    hw_drive sound = hw_drive_default(), d = sound;
    double *const own[] = {&d.servo.stall_torque, &d.servo.no_load_speed, &d.servo_travel,
                           &d.drum_radius,        &d.pulley_radius,       &d.cord_diameter,
                           &d.cord_stiffness,     &d.cord_strength,       &d.sheath_length,
                           &d.sheath_radius,      &d.sheath_modulus,      &d.clip_spacing,
                           &d.setting_radius};
    for (size_t i = 0; i < sizeof own / sizeof own[0]; i++)
        for (int bad = 0; bad < 3; bad++) {
            d = sound;
            *own[i] = bad == 0 ? 0 : bad == 1 ? -1 : NAN;
            CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_BAD_INPUT);
            CHECK(isnan(r.tip.value) && isnan(r.closing_time) && isnan(r.position_error));
        }
    double *const none_below[] = {&d.servo_play,  &d.close_in,     &d.sheath_bend, &d.mu[0],
                                  &d.pretension,  &d.wrist_offset, &d.wrist_range, &d.drum_teeth,
                                  &d.brief_share, &d.holding_share};
    for (size_t i = 0; i < sizeof none_below / sizeof none_below[0]; i++) {
        d = sound;
        *none_below[i] = -0.1;
        CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_BAD_INPUT);
        *none_below[i] = NAN;
        CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_BAD_INPUT);
    }
    d = sound;
    d.cord_diameter = d.sheath_bore;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_BAD_INPUT);
    d = sound;
    d.mu[HW_MU_HIGH] = 0.01;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_BAD_INPUT);
    turn[4] = 3; // turns back
    CHECK(hw_drive_run(&sound, &s, NULL, NULL, &r) == HW_BAD_INPUT);
    s = stroke_of(2);
    s.n = 1;
    CHECK(hw_drive_run(&sound, &s, NULL, NULL, &r) == HW_BAD_INPUT);
    r = hw_drive_unknown();
    CHECK(isnan(r.held.value) && isnan(r.hysteresis) && isnan(r.grip_current));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_finger_by_hand);
    RUN(travel_adds_up);
    RUN(teeth_set_tension_in_steps);
    RUN(a_wrist_that_slackens);
    RUN(an_elastic_return_takes_its_part);
    RUN(bowing_is_the_elastica);
    RUN(answers_scale);
    RUN(worse_is_never_better);
    RUN(a_servo_on_the_joint);
    RUN(loads_that_close_cost_nothing);
    RUN(unsound_numbers_are_refused);
    (void)hw_check_text;
    return TEST_END();
}
