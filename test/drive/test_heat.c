// Servos that stand under load: temperatures by hand, against an ODE of both masses, and refusals.
#include "base/rng.h"
#include "check.h"
#include "drive/heat.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

enum { CASES = 60 };

static const double alpha = 0.00393, cold = 293.15;

// 0.6 A in 3.33 ohm: 1.2 W cold. In a room of 20 degC, P = 1.2 (1 + 0.00393 * 23 P): P = 1.346 W,
// case 17.5 K and windings 31.0 K above the room.
static void by_hand(void)
{
    hw_servo_heat s = {1.2 / 0.36, 10, 13, 500, cold};
    hw_servo_warmth w;
    CHECK(hw_servo_warms(&s, 0.6, &w) == HW_OK);
    CLOSE(w.power, 1.2 / (1 - alpha * 23 * 1.2), 1e-12);
    NEAR(w.power, 1.346, 5e-4);
    NEAR(w.outside - cold, 17.5, 0.05);
    NEAR(w.windings - cold, 31.0, 0.05);
    // a colder room takes its difference and a little more, because copper resists less
    s.room -= 20;
    hw_servo_warmth c;
    CHECK(hw_servo_warms(&s, 0.6, &c) == HW_OK);
    CHECK(w.outside - c.outside > 20 && w.outside - c.outside < 22);
    // no current, no heat
    CHECK(hw_servo_warms(&s, 0, &w) == HW_OK && w.power == 0 && w.outside == s.room);
    CHECK(isinf(hw_servo_warm_time(&s, 0, s.room + 1)));
}

typedef struct body {
    hw_servo_heat s;
    double current, winding_time;
} body;

// Two masses: windings and case.
static int slope(double t, const double y[], double out[], void *of)
{
    (void)t;
    const body *b = of;
    double power = b->current * b->current * b->s.resistance * (1 + alpha * (y[0] - cold));
    double in = (y[0] - y[1]) / b->s.winding;
    out[0] = (power - in) * b->s.winding / b->winding_time;
    out[1] = (in * b->s.outside - (y[1] - b->s.room)) / b->s.time;
    return GSL_SUCCESS;
}

// Time at which the case passes `limit`, or its temperature after `most`.
static double by_ode(body *b, double limit, double most, double y[2])
{
    gsl_odeiv2_system sys = {slope, NULL, 2, b};
    gsl_odeiv2_driver *run =
        gsl_odeiv2_driver_alloc_y_new(&sys, gsl_odeiv2_step_rk8pd, 1e-4, 1e-10, 1e-10);
    double t = 0, before = b->s.room, step = b->s.time / 2000;
    y[0] = y[1] = b->s.room;
    for (int k = 1; k * step < most && y[1] < limit; k++) {
        before = y[1];
        if (gsl_odeiv2_driver_apply(run, &t, k * step, y) != GSL_SUCCESS) break;
    }
    gsl_odeiv2_driver_free(run);
    return y[1] < limit ? (double)INFINITY : t - step * (y[1] - limit) / (y[1] - before);
}

static body random_body(hw_rng *r)
{
    body b = {.s = {hw_rng_uniform(r, 1.5, 7), hw_rng_uniform(r, 2, 30), hw_rng_uniform(r, 8, 40),
                    hw_rng_uniform(r, 200, 800), hw_rng_uniform(r, 270, 310)}};
    // up to nearly the current that never settles
    double most = sqrt(1 / (alpha * (b.s.winding + b.s.outside) * b.s.resistance));
    b.current = hw_rng_uniform(r, 0.2, 0.9) * most;
    b.winding_time = 1e-3 * b.s.time;
    return b;
}

static void where_it_ends_against_an_ode(void)
{
    hw_rng r = hw_rng_new(93, 1);
    for (int k = 0; k < CASES; k++) {
        body b = random_body(&r);
        double y[2];
        hw_servo_warmth w;
        (void)by_ode(&b, 1e9, 60 * b.s.time, y);
        CHECK(hw_servo_warms(&b.s, b.current, &w) == HW_OK);
        CLOSE(y[1] - b.s.room, w.outside - b.s.room, 2e-4);
        CLOSE(y[0] - b.s.room, w.windings - b.s.room, 2e-4);
    }
}

static void when_it_gets_there_against_an_ode(void)
{
    hw_rng r = hw_rng_new(93, 2);
    for (int k = 0; k < CASES; k++) {
        body b = random_body(&r);
        double y[2], limit = b.s.room + hw_rng_uniform(&r, 3, 60);
        if (k % 3 == 0) b.current *= 2; // some never settle
        double want = by_ode(&b, limit, 40 * b.s.time, y),
               got = hw_servo_warm_time(&b.s, b.current, limit);
        hw_servo_warmth w;
        CHECK(hw_servo_warms(&b.s, b.current, &w) == HW_OK);
        CHECK(isinf(got) == (limit > w.outside));
        if (isinf(want) || isinf(got)) {
            CHECK(isinf(want) && isinf(got));
            continue;
        }
        // the windings' own thousandth of the case's time is left out, the more the nearer they
        // are to running away alone: then the answer is 0
        double own = 1 - alpha * b.current * b.current * b.s.resistance * b.s.winding;
        if (own > 0.05)
            NEAR(got, want, 5 * b.winding_time / own + 3e-3 * want);
        else
            CHECK(got >= 0 && got <= want && want < 0.05 * b.s.time);
    }
}

static void what_never_settles(void)
{
    hw_servo_heat s = {3.33, 10, 13, 500, cold};
    hw_servo_warmth w;
    double most = sqrt(1 / (alpha * 23 * 3.33));
    CHECK(hw_servo_warms(&s, 0.999 * most, &w) == HW_OK && isfinite(w.outside));
    CHECK(hw_servo_warms(&s, 1.001 * most, &w) == HW_OK && isinf(w.outside) && isinf(w.windings));
    double t = hw_servo_warm_time(&s, 1.001 * most, 325);
    CHECK(t > 0 && t < 500);
    // beyond what the windings alone bear it is a matter of their own seconds
    CHECK(hw_servo_warm_time(&s, sqrt(1 / (alpha * 10 * 3.33)) * 1.01, 325) == 0);
    // at the very current where the case's balance has no slope, warming is straight in time
    double edge = most;
    NEAR(hw_servo_warm_time(&s, edge, cold + 20) / hw_servo_warm_time(&s, edge, cold + 10), 2,
         1e-4);
}

static void out_of_range_is_refused(void)
{
    const hw_servo_heat good = {3.33, 10, 13, 500, cold};
    hw_servo_warmth w;
    for (int k = 0; k < 5; k++) {
        hw_servo_heat s = good;
        double *const at[] = {&s.resistance, &s.winding, &s.outside, &s.time, &s.room};
        *at[k] = -1;
        CHECK(hw_servo_warms(&s, 0.5, &w) == HW_BAD_INPUT && isnan(w.power) && isnan(w.outside));
        CHECK(isnan(hw_servo_warm_time(&s, 0.5, 320)));
        *at[k] = NAN;
        CHECK(hw_servo_warms(&s, 0.5, &w) == HW_BAD_INPUT);
    }
    CHECK(hw_servo_warms(&good, -0.5, &w) == HW_BAD_INPUT);
    CHECK(isnan(hw_servo_warm_time(&good, 0.5, NAN)));
    CHECK(hw_servo_warm_time(&good, 0.5, cold) == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(by_hand);
    RUN(where_it_ends_against_an_ode);
    RUN(when_it_gets_there_against_an_ode);
    RUN(what_never_settles);
    RUN(out_of_range_is_refused);
    (void)hw_check_text;
    return TEST_END();
}
