// A servo behind a resistance: closed forms against a root finder, against hand calculations, and
// the chain of a drive on a rail that sags.
#include "base/rng.h"
#include "check.h"
#include "drive/drive.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

enum { CASES = 2000 };

typedef struct fed {
    hw_servo_line line;
    double rated, share, torque;
    bool by_torque;
    hw_servo_feed feed;
} fed;

// Kirchhoff's voltage law with the line's definition alone: zero where all agree.
static double mismatch(double voltage, void *of) // [V]
{
    const fed *f = of;
    double stalled = f->line.stall_current * voltage / f->rated;
    double share =
        f->by_torque ? f->torque / (f->line.stall_torque * voltage / f->rated) : f->share;
    double current = f->line.no_load_current + share * (stalled - f->line.no_load_current);
    return f->feed.emf - f->feed.resistance * current - voltage;
}

static double by_gsl(fed *f) // [V]
{
    gsl_function fn = {mismatch, f};
    gsl_root_fsolver *s = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    double low = f->feed.emf * 0.05, high = f->feed.emf * (1 + 1e-9);
    if (!CHECK(gsl_root_fsolver_set(s, &fn, low, high) == GSL_SUCCESS)) return NAN;
    for (int k = 0; k < 200; k++) {
        gsl_root_fsolver_iterate(s);
        low = gsl_root_fsolver_x_lower(s);
        high = gsl_root_fsolver_x_upper(s);
        if (high - low < 1e-14 * f->feed.emf) break;
    }
    double got = gsl_root_fsolver_root(s);
    gsl_root_fsolver_free(s);
    return got;
}

static fed random_fed(hw_rng *r)
{
    fed f = {.line = {.stall_torque = hw_rng_uniform(r, 0.1, 2),
                      .no_load_speed = hw_rng_uniform(r, 3, 12),
                      .stall_current = hw_rng_uniform(r, 0.7, 4),
                      .no_load_current = hw_rng_uniform(r, 0, 0.3)},
             .rated = hw_rng_uniform(r, 4.8, 7.4),
             .share = hw_rng_uniform(r, 0, 1)};
    f.feed = (hw_servo_feed){hw_rng_uniform(r, 4, 8.4), hw_rng_uniform(r, 0, 0.6)};
    f.torque = f.line.stall_torque * hw_rng_uniform(r, 0, 0.4);
    return f;
}

static void closed_forms_against_a_root_finder(void)
{
    hw_rng r = hw_rng_new(91, 1);
    for (int k = 0; k < CASES; k++) {
        fed f = random_fed(&r);
        CLOSE(hw_servo_fed_at_share(&f.line, f.rated, &f.feed, f.share), by_gsl(&f), 1e-12);
        f.by_torque = true;
        CLOSE(hw_servo_fed_at_torque(&f.line, f.rated, &f.feed, f.torque), by_gsl(&f), 1e-12);
    }
}

// 6 V behind 0.5 ohm, a servo of 1.8 A and 0.2 A at 6 V. Stalled: V = 6 - 0.5 * 0.3 V, 5.217 V and
// 1.565 A. Without a load: 6 - 0.5 * 0.2 = 5.9 V. At 45 %: V = (6 - 0.5 * 0.55 * 0.2)/(1 + 0.5 *
// 0.45 * 0.3) = 5.569 V and 0.862 A.
static void by_hand(void)
{
    hw_servo_line s = {0.95, 7, 1.8, 0.2};
    hw_servo_feed f = {6, 0.5};
    CLOSE(hw_servo_fed_at_share(&s, 6, &f, 1), 6 / 1.15, 1e-14);
    CLOSE(hw_servo_draws(&s, 6, 6 / 1.15, 1), 1.8 / 1.15, 1e-14);
    CLOSE(hw_servo_fed_at_share(&s, 6, &f, 0), 5.9, 1e-14);
    CLOSE(hw_servo_fed_at_torque(&s, 6, &f, 0), 5.9, 1e-14);
    double at = hw_servo_fed_at_share(&s, 6, &f, 0.45);
    NEAR(at, 5.569, 5e-4);
    NEAR(hw_servo_draws(&s, 6, at, 0.45), 0.862, 5e-4);
    // the torque of that point leads back to it
    CLOSE(hw_servo_fed_at_torque(&s, 6, &f, 0.45 * at / 6 * 0.95), at, 1e-13);
    // nothing resists: nothing sags
    f.resistance = 0;
    CHECK(hw_servo_fed_at_share(&s, 6, &f, 1) == 6 && hw_servo_fed_at_torque(&s, 6, &f, 0.5) == 6);
    CHECK(hw_servo_draws(&s, 6, 0, 1) == 0.2); // no less than without a load
}

static void a_starved_servo_gets_what_is_left(void)
{
    hw_servo_line s = {0.95, 7, 1.8, 0.2};
    hw_servo_feed f = {0.5, 1}; // 0.3 V left, at which even a stall takes 0.09 A
    CLOSE(hw_servo_fed_at_share(&s, 6, &f, 0.7), 0.3, 1e-14);
    CLOSE(hw_servo_fed_at_torque(&s, 6, &f, 0), 0.3, 1e-14);
    f.resistance = 4;
    CHECK(hw_servo_fed_at_share(&s, 6, &f, 1) == 0 && hw_servo_fed_at_torque(&s, 6, &f, 0.1) == 0);
    f = (hw_servo_feed){0, 0};
    CHECK(hw_servo_fed_at_share(&s, 6, &f, 1) == 0);
}

static void out_of_range_is_no_number(void)
{
    hw_servo_line s = {0.95, 7, 1.8, 0.2};
    hw_servo_feed f = {6, 0.5}, bad[] = {{-1, 0.5}, {6, -0.1}, {NAN, 0.5}, {6, INFINITY}};
    for (int i = 0; i < 4; i++) {
        CHECK(isnan(hw_servo_fed_at_share(&s, 6, &bad[i], 0.5)));
        CHECK(isnan(hw_servo_fed_at_torque(&s, 6, &bad[i], 0.5)));
    }
    CHECK(isnan(hw_servo_fed_at_share(&s, 0, &f, 0.5)) &&
          isnan(hw_servo_fed_at_share(&s, 6, &f, 2)));
    CHECK(isnan(hw_servo_fed_at_torque(&s, 6, &f, -1)));
    s.stall_current = 0.1; // less than without a load
    CHECK(isnan(hw_servo_fed_at_share(&s, 6, &f, 0.5)));
}

// ---- the chain

static void run(const hw_drive *d, hw_drive_result *r, double tip[3], double held[3]) // [N] [N]
{
    static const double knuckle[] = {0, 0.74, 1.4835}, per[] = {0.151, 0.108, 0.037};
    hw_drive_stroke s = {3, knuckle, per, NULL, 8};
    CHECK(hw_drive_run(d, &s, tip, held, r) == HW_OK);
}

// Each voltage reaches the results that it decides, and no other.
static void every_voltage_has_its_results(void)
{
    hw_drive d = hw_drive_default();
    hw_drive_result ideal, r;
    double tip[3], held[3], low_tip[3], low_held[3];
    run(&d, &ideal, tip, held);
    CHECK(ideal.closing_voltage == 6);
    d.rail.grip = 5.4;
    run(&d, &r, low_tip, low_held);
    CLOSE(low_tip[1], tip[1] * 0.9, 1e-12); // the opening cord is slack in a grip
    CLOSE(r.grip_current, 0.2 + 0.45 * (0.9 * 1.8 - 0.2), 1e-12);
    CHECK(low_held[1] == held[1] && r.closing_fastest == ideal.closing_fastest);
    CHECK(r.torque_most == ideal.torque_most && r.cord_safety == ideal.cord_safety);
    CHECK(r.stretch < ideal.stretch && r.alone.torque == ideal.alone.torque);
    d = hw_drive_default();
    d.rail.hold = 5.1;
    run(&d, &r, low_tip, low_held);
    CLOSE(low_held[1], held[1] * 0.85, 1e-12);
    CLOSE(r.hold_share.value, ideal.hold_share.value / 0.85, 1e-12);
    CLOSE(r.hold_current, 0.2 + 0.33 * (0.85 * 1.8 - 0.2), 1e-12);
    CHECK(low_tip[1] == tip[1]);
    d = hw_drive_default();
    d.rail.alone.resistance = 0.5;
    run(&d, &r, low_tip, low_held);
    CLOSE(hw_drive_alone(&d, 1), 0.95 / 1.15, 1e-12);
    CLOSE(r.torque_most, ideal.torque_most / 1.15, 1e-12);
    CLOSE(r.cord_safety, ideal.cord_safety * 1.15, 1e-12);
    CHECK(r.alone.torque < ideal.alone.torque && low_tip[1] == tip[1]);
    d = hw_drive_default();
    d.rail.closing = (hw_servo_feed){5, 0.5};
    run(&d, &r, low_tip, low_held);
    double torque = hw_drive_moving(&d, 0.1, 0);
    double volts = hw_servo_fed_at_torque(&d.servo, 6, &d.rail.closing, torque);
    CLOSE(r.closing_voltage, volts, 1e-14);
    CLOSE(r.closing_fastest, 1.4835 * 10.5 / 6.5 / 7 / (volts / 6 - torque / 0.95),
          1e-12); // one torque throughout
    CLOSE(r.busiest.value, torque / (0.95 * volts / 6), 1e-12);
    CHECK(low_tip[1] == tip[1] && r.closing_fastest > 1.2 * ideal.closing_fastest);
}

// The servo's torque in free closing, by hand from the balance t = 2 P/(phi (1 + e^m)) at the
// pulley.
static void what_moves_the_joint(void)
{
    hw_drive d = hw_drive_default();
    double m = 0.3, phi = (1 - exp(-m)) / m, t = 14 / phi / (1 + exp(m));
    CLOSE(hw_drive_moving(&d, 0.1, 0.05), 6.5e-3 * t * (exp(m) - exp(-m)), 1e-12);
    d.back = HW_RETURN_ELASTIC;
    CLOSE(hw_drive_moving(&d, 0.1, 0.05), 0.05 / 10.5e-3 * exp(m) * 6.5e-3, 1e-12);
    d.direct = true;
    CHECK(hw_drive_moving(&d, 0.1, 0.05) == 0);
}

static void a_dead_rail_moves_nothing(void)
{
    hw_drive d = hw_drive_default();
    hw_drive_result r;
    double tip[3], held[3];
    d.rail.grip = d.rail.hold = 0;
    d.rail.closing = d.rail.alone = (hw_servo_feed){0, 0.1};
    run(&d, &r, tip, held);
    CHECK(tip[1] <= 0 && isinf(r.closing_time) && isinf(r.hold_share.value) && r.torque_most <= 0);
    // the sheaths' friction still holds a little: t (e^m - e^-m), t = 2 P/(phi (1 + e^m))
    double m = 0.3, phi = (1 - exp(-m)) / m, t = 14 / phi / (1 + exp(m));
    CLOSE(held[1], 10.5e-3 * t * (exp(m) - exp(-m)) / 0.108, 1e-12);
    d.rail.rated = 0;
    double knuckle[] = {0, 1}, per[] = {0.1, 0.1};
    hw_drive_stroke s = {2, knuckle, per, NULL, 8};
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_BAD_INPUT);
    d = hw_drive_default();
    d.rail.closing.resistance = -1;
    CHECK(hw_drive_run(&d, &s, NULL, NULL, &r) == HW_BAD_INPUT && isnan(r.closing_voltage));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(closed_forms_against_a_root_finder);
    RUN(by_hand);
    RUN(a_starved_servo_gets_what_is_left);
    RUN(out_of_range_is_no_number);
    RUN(every_voltage_has_its_results);
    RUN(what_moves_the_joint);
    RUN(a_dead_rail_moves_nothing);
    (void)hw_check_text;
    return TEST_END();
}
