// Closing time against an ordinary differential equation, with and without inertia.
#include "base/rng.h"
#include "base/vec.h"
#include "check.h"
#include "drive/drive.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

enum { POSES = 65 };

typedef struct chain {
    hw_drive d;
    double preload, rate, swing; // of the return: a torque that rises and swings [N*m] [N*m/rad]
    double inertia;              // of the digit about the knuckle; 0: none [kg*m^2]
} chain;

static double back_of(const chain *c, double turn) // [N*m]
{
    return c->preload + c->rate * turn + c->swing * sin(3 * turn);
}

static double full(void)
{
    return 1.5;
}

// The servo's own voltage while it gives a torque, by halving an interval: Ohm's law with what the
// line draws there.
static double volts_of(const hw_drive *d, double torque) // [V] [N*m]
{
    const hw_servo_line *s = &d->servo;
    const hw_servo_feed *f = &d->rail.closing;
    double low = 0.5 * f->emf, high = f->emf;
    for (int k = 0; k < 60; k++) {
        double v = 0.5 * (low + high), part = v / d->rail.rated;
        double current = s->no_load_current + torque / (part * s->stall_torque) *
                                                  (part * s->stall_current - s->no_load_current);
        if (f->emf - f->resistance * current > v)
            low = v;
        else
            high = v;
    }
    return low;
}

// d(turn)/dt of the servo's line; with inertia also d(speed)/dt.
static int slope(double t, const double y[], double out[], void *of)
{
    (void)t;
    const chain *c = of;
    double arm = c->d.pulley_radius / c->d.drum_radius,
           m = c->d.mu[HW_MU_NOMINAL] * c->d.sheath_bend;
    double need = back_of(c, y[0]) * exp(m) / arm; // of the servo
    const hw_servo_line *s = &c->d.servo;
    if (c->inertia == 0) {
        double part = volts_of(&c->d, need) / c->d.rail.rated;
        out[0] = s->no_load_speed * (part - need / s->stall_torque) / arm;
        return GSL_SUCCESS;
    }
    double torque = s->stall_torque * (1 - y[1] * arm / s->no_load_speed);
    out[0] = y[1];
    out[1] = (torque - need) * arm * exp(-m) / c->inertia;
    return GSL_SUCCESS;
}

// Time at which the digit has closed, by steps of 1/4000 of the free time and a last line between
// two steps.
static double by_ode(chain *c)
{
    gsl_odeiv2_system sys = {slope, NULL, c->inertia > 0 ? 2 : 1, c};
    gsl_odeiv2_driver *run =
        gsl_odeiv2_driver_alloc_y_new(&sys, gsl_odeiv2_step_rk8pd, 1e-5, 1e-12, 1e-12);
    double y[2] = {0, 0}, t = 0, before = 0;
    double step = full() * c->d.pulley_radius / c->d.drum_radius / c->d.servo.no_load_speed / 4000;
    for (int k = 1; k < 400000 && y[0] < full(); k++) {
        before = y[0];
        if (gsl_odeiv2_driver_apply(run, &t, k * step, y) != GSL_SUCCESS) break;
    }
    gsl_odeiv2_driver_free(run);
    return t - step * (y[0] - full()) / (y[0] - before);
}

static double closed_form(const chain *c, size_t n, double *busiest)
{
    double turn[4 * POSES], unit[4 * POSES], back[4 * POSES];
    for (size_t i = 0; i < n; i++) {
        turn[i] = full() * (double)i / (double)(n - 1);
        unit[i] = 0.1;
        back[i] = back_of(c, turn[i]);
    }
    hw_drive_stroke s = {n, turn, unit, back, 0};
    hw_drive_result r;
    if (!CHECK(hw_drive_run(&c->d, &s, NULL, NULL, &r) == HW_OK)) return NAN;
    *busiest = r.busiest.value;
    CHECK(r.closing_time == fmax(r.closing_fastest, c->d.close_in));
    return r.closing_fastest;
}

static chain random_chain(hw_rng *r)
{
    chain c = {.d = hw_drive_default()};
    c.d.back = HW_RETURN_ELASTIC;
    c.d.sheath_bend = hw_rng_uniform(r, 0, 5);
    c.d.drum_radius = hw_rng_uniform(r, 4e-3, 12e-3);
    c.preload = hw_rng_uniform(r, 0.03, 0.2);
    c.rate = hw_rng_uniform(r, 0, 0.1);
    c.swing = 0.02;
    return c;
}

static void against_an_ode(void)
{
    hw_rng r = hw_rng_new(77, 1);
    for (int k = 0; k < 20; k++) {
        chain c = random_chain(&r);
        double busiest, got = closed_form(&c, POSES, &busiest),
                        fine = closed_form(&c, 257, &busiest);
        double want = by_ode(&c);
        // the torque is straight between poses; of the curve 65 poses leave 1e-4 of the time, 257 a
        // sixteenth of that
        CLOSE(got, want, 2e-4);
        CLOSE(fine, want, 2e-5);
    }
}

// A straight torque needs no poses between the ends.
static void a_straight_torque_is_exact(void)
{
    hw_rng r = hw_rng_new(77, 2);
    for (int k = 0; k < 20; k++) {
        chain c = random_chain(&r);
        c.swing = 0;
        double busiest, two = closed_form(&c, 2, &busiest), many = closed_form(&c, POSES, &busiest);
        CLOSE(two, many, 1e-12);
        CLOSE(two, by_ode(&c), 1e-6); // the ODE's last step is a line
    }
}

// A rail that sags by up to a third: torque, current, voltage and speed in one loop.
static void a_sagging_rail_against_an_ode(void)
{
    hw_rng r = hw_rng_new(77, 3);
    for (int k = 0; k < 20; k++) {
        chain c = random_chain(&r);
        c.d.rail.closing =
            (hw_servo_feed){hw_rng_uniform(&r, 4.5, 6), hw_rng_uniform(&r, 0.1, 1.5)};
        double busiest, got = closed_form(&c, POSES, &busiest),
                        fine = closed_form(&c, 257, &busiest), want = by_ode(&c);
        CLOSE(got, want, 2e-4);
        CLOSE(fine, want, 2e-5);
        // a straight torque leaves what the voltage's curve leaves
        c.swing = 0;
        double two = closed_form(&c, 2, &busiest), many = closed_form(&c, POSES, &busiest);
        CLOSE(many, by_ode(&c), 1e-6);
        CLOSE(two, many, 2e-3);
        // and an ideal rail of the same voltage without a load is quicker
        c.d.rail.closing.resistance = 0;
        CHECK(closed_form(&c, POSES, &busiest) < many);
    }
}

// A finger of 20 g, 90 mm long, and the servo's own motor (2e-7 kg*m^2 behind gears of 1:200, that
// is 8e-3 at the drum) lengthen the closing by its start-up alone.
static void what_inertia_adds(void)
{
    chain c = {.d = hw_drive_default(), .preload = 0.08, .rate = 0.03};
    c.d.back = HW_RETURN_ELASTIC;
    double busiest, without = closed_form(&c, POSES, &busiest);
    double arm = c.d.pulley_radius / c.d.drum_radius;
    c.inertia = 0.02 * 0.09 * 0.09 / 3 + 8e-3 * arm * arm;
    double with = by_ode(&c);
    CHECK(with > without && with < without + 0.2);
}

static void too_weak_never_closes(void)
{
    chain c = {.d = hw_drive_default(), .preload = 0.5, .rate = 1};
    c.d.back = HW_RETURN_ELASTIC;
    double busiest, t = closed_form(&c, POSES, &busiest);
    CHECK(isinf(t) && t > 0 && busiest > 1);
}

static void the_controller_slows(void)
{
    chain c = {.d = hw_drive_default()};
    double turn[] = {0, 1.5}, unit[] = {0.1, 0.1};
    hw_drive_stroke s = {2, turn, unit, NULL, 0};
    hw_drive_result r;
    c.d.close_in = 2.5;
    CHECK(hw_drive_run(&c.d, &s, NULL, NULL, &r) == HW_OK);
    CHECK(r.closing_time == 2.5 && r.closing_fastest < 0.5);
    c.d.direct = true; // a servo on the joint turns as fast as it says
    c.d.close_in = 0;
    CHECK(hw_drive_run(&c.d, &s, NULL, NULL, &r) == HW_OK);
    CLOSE(r.closing_time, 1.5 / 7, 1e-15);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(against_an_ode);
    RUN(a_straight_torque_is_exact);
    RUN(a_sagging_rail_against_an_ode);
    RUN(what_inertia_adds);
    RUN(too_weak_never_closes);
    RUN(the_controller_slows);
    (void)hw_check_text;
    return TEST_END();
}
