// A rail with several servos: against GSL's solver of the whole set, closed forms, properties.
#include "base/rng.h"
#include "check.h"
#include "power/power.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multiroots.h>
#include <gsl/gsl_vector.h>

enum { MOST = 7, CASES = 400 };

typedef struct rail {
    hw_servo_feed source;
    hw_rail_load load[MOST];
    size_t n;
} rail;

static rail random_rail(hw_rng *r)
{
    rail a = {.source = {hw_rng_uniform(r, 5, 8), hw_rng_uniform(r, 0.005, 0.15)}};
    a.n = 1 + (size_t)hw_rng_uniform(r, 0, MOST - 0.01);
    for (size_t i = 0; i < a.n; i++) {
        hw_rail_load *l = &a.load[i];
        l->line = (hw_servo_line){hw_rng_uniform(r, 0.2, 2), 7, hw_rng_uniform(r, 0.7, 3),
                                  hw_rng_uniform(r, 0, 0.3)};
        l->rated = hw_rng_uniform(r, 4.8, 7);
        l->resistance = hw_rng_uniform(r, 0.01, 0.2);
        l->by_torque = hw_rng_uniform(r, 0, 1) < 0.5;
        l->share = hw_rng_uniform(r, 0, 1);
        l->torque = l->line.stall_torque * hw_rng_uniform(r, 0, 0.3);
    }
    return a;
}

// Unknowns: the bus and every servo's voltage. One law at the bus, one along each wire.
static int laws(const gsl_vector *x, void *of, gsl_vector *out)
{
    const rail *a = of;
    double bus = gsl_vector_get(x, 0), sum = 0;
    for (size_t i = 0; i < a->n; i++) {
        const hw_rail_load *l = &a->load[i];
        double v = gsl_vector_get(x, i + 1), k = v / l->rated;
        double share = l->by_torque ? l->torque / (k * l->line.stall_torque) : l->share;
        double current = (1 - share) * l->line.no_load_current + share * k * l->line.stall_current;
        sum += current;
        gsl_vector_set(out, i + 1, bus - l->resistance * current - v);
    }
    gsl_vector_set(out, 0, a->source.emf - a->source.resistance * sum - bus);
    return GSL_SUCCESS;
}

static void against_a_general_solver(void)
{
    hw_rng r = hw_rng_new(92, 1);
    for (int c = 0; c < CASES; c++) {
        rail a = random_rail(&r);
        gsl_vector *x = gsl_vector_alloc(a.n + 1);
        gsl_vector_set_all(x, a.source.emf);
        gsl_multiroot_function f = {laws, a.n + 1, &a};
        gsl_multiroot_fsolver *s =
            gsl_multiroot_fsolver_alloc(gsl_multiroot_fsolver_hybrids, a.n + 1);
        gsl_multiroot_fsolver_set(s, &f, x);
        for (int k = 0; k < 100 && gsl_multiroot_test_residual(s->f, 1e-13) != GSL_SUCCESS; k++)
            if (gsl_multiroot_fsolver_iterate(s) != GSL_SUCCESS) break;
        double bus, volt[MOST], ampere[MOST];
        CHECK(hw_rail_solve(&a.source, a.load, a.n, &bus, volt, ampere) == HW_OK);
        NEAR(bus, gsl_vector_get(s->x, 0), 1e-11);
        for (size_t i = 0; i < a.n; i++) {
            NEAR(volt[i], gsl_vector_get(s->x, i + 1), 1e-11);
            NEAR(ampere[i], (bus - volt[i]) / a.load[i].resistance, 1e-10);
        }
        gsl_multiroot_fsolver_free(s);
        gsl_vector_free(x);
    }
}

// Equal servos at one share are one servo behind n times the source's resistance and their own.
static void equal_servos_by_hand(void)
{
    rail a = {.source = {6, 0.05}, .n = 5};
    for (size_t i = 0; i < a.n; i++)
        a.load[i] = (hw_rail_load){{0.95, 7, 1.8, 0.2}, 6, 0.1, false, 0.45, 0};
    double bus, volt[MOST], ampere[MOST];
    CHECK(hw_rail_solve(&a.source, a.load, a.n, &bus, volt, ampere) == HW_OK);
    // V = 6 - (5 * 0.05 + 0.1) (0.55 * 0.2 + 0.45 * 0.3 V)
    double want = (6 - 0.35 * 0.11) / (1 + 0.35 * 0.135);
    for (size_t i = 0; i < a.n; i++) {
        CLOSE(volt[i], want, 1e-13);
        CLOSE(ampere[i], 0.11 + 0.135 * want, 1e-13);
    }
    CLOSE(bus, 6 - 0.25 * ampere[0], 1e-13);
    // and what feeds one of them while the others go on as they do leads back to its own voltage
    hw_servo_feed f = hw_rail_feed(&a.source, a.load, a.n, ampere, 2);
    CLOSE(f.emf, 6 - 0.2 * ampere[0], 1e-14);
    CLOSE(f.resistance, 0.15, 1e-14);
    CLOSE(hw_servo_fed_at_share(&a.load[2].line, 6, &f, 0.45), want, 1e-13);
}

// One more servo, more share or more resistance never lifts anybody's voltage.
static void more_load_means_less_voltage(void)
{
    hw_rng r = hw_rng_new(92, 2);
    for (int c = 0; c < CASES; c++) {
        rail a = random_rail(&r);
        double bus, volt[MOST], less, one[MOST];
        CHECK(hw_rail_solve(&a.source, a.load, a.n, &bus, volt, NULL) == HW_OK);
        CHECK(hw_rail_solve(&a.source, a.load, a.n - 1, &less, one, NULL) == HW_OK);
        CHECK(less >= bus);
        rail b = a;
        b.source.resistance *= 2;
        CHECK(hw_rail_solve(&b.source, b.load, b.n, &less, one, NULL) == HW_OK);
        for (size_t i = 0; i < a.n; i++) CHECK(one[i] <= volt[i]);
        b = a;
        b.load[0].by_torque = false;
        b.load[0].share = 1;
        CHECK(hw_rail_solve(&b.source, b.load, b.n, &less, one, NULL) == HW_OK);
        CHECK(less <= bus * (1 + 1e-14));
    }
}

static void a_servo_asked_for_too_much_stands(void)
{
    hw_servo_feed source = {6, 0.05};
    hw_rail_load l = {{0.95, 7, 1.8, 0.2}, 6, 0.1, true, 0, 1.5}, stalled = l;
    stalled.by_torque = false;
    stalled.share = 1;
    double bus, volt, ampere, want_bus, want, want_ampere;
    CHECK(hw_rail_solve(&source, &l, 1, &bus, &volt, &ampere) == HW_OK);
    CHECK(hw_rail_solve(&source, &stalled, 1, &want_bus, &want, &want_ampere) == HW_OK);
    CLOSE(volt, want, 1e-13);
    CLOSE(ampere, want_ampere, 1e-13);
    CLOSE(bus, want_bus, 1e-13);
    CLOSE(ampere, 1.8 * volt / 6, 1e-13);
}

static void nobody_and_nothing(void)
{
    hw_servo_feed source = {6, 0.5};
    double bus, volt, ampere;
    CHECK(hw_rail_solve(&source, NULL, 0, &bus, NULL, NULL) == HW_OK && bus == 6);
    hw_rail_load l = {{0.95, 7, 1.8, 0.2}, 6, 0.1, false, 0.5, 0};
    source.resistance = 0;
    CHECK(hw_rail_solve(&source, &l, 1, &bus, &volt, &ampere) == HW_OK && bus == 6 && volt < 6);
    source = (hw_servo_feed){6, 100}; // 20 V lost by the no-load current alone
    CHECK(hw_rail_solve(&source, &l, 1, &bus, &volt, &ampere) == HW_OK && bus == 0 && volt == 0);
    source = (hw_servo_feed){6, -1};
    CHECK(hw_rail_solve(&source, &l, 1, &bus, &volt, &ampere) == HW_BAD_INPUT);
    CHECK(isnan(bus) && isnan(volt) && isnan(ampere));
    source.resistance = 0.1;
    l.share = 1.5;
    CHECK(hw_rail_solve(&source, &l, 1, &bus, NULL, NULL) == HW_BAD_INPUT);
    l.share = 0.5;
    l.resistance = NAN;
    CHECK(hw_rail_solve(&source, &l, 1, &bus, NULL, NULL) == HW_BAD_INPUT);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    gsl_set_error_handler_off();
    RUN(against_a_general_solver);
    RUN(equal_servos_by_hand);
    RUN(more_load_means_less_voltage);
    RUN(a_servo_asked_for_too_much_stands);
    RUN(nobody_and_nothing);
    (void)hw_check_text;
    return TEST_END();
}
