// Second routes are balances of forces solved as linear equations; 1e-12 relative.
#include "base/rng.h"
#include "base/vec.h"
#include "check.h"
#include "pivot/pivot.h"

static void out_of_range_is_refused(void)
{
    CHECK(isnan(hw_incline_raise(-1, 0.1, 0.1)) && isnan(hw_incline_hold(1, 2, 0.1)));
    hw_wedge w = {-0.1, 0.1, 0.1, 0.1};
    double push = 0, pull = 0;
    CHECK(hw_wedge_forces(&w, 1, &push, &pull) == HW_BAD_INPUT && isnan(push) && isnan(pull));
    hw_screw s = {0, 1, 0.1};
    CHECK(isnan(hw_screw_tighten(&s)) && isnan(hw_screw_loosen(&s)));
    CHECK(isnan(hw_lever_effort(1, 0.001, 1, 0.01, false)) && isnan(hw_journal_circle(-1, 0.1)));
}

static void a_steep_slope_jams(void)
{
    CHECK(isinf(hw_incline_raise(1, 80 * HW_PI / 180, 0.3)));
    hw_wedge w = {60 * HW_PI / 180, 0.5, 0.5, 0.5};
    double push = 0, pull = 0;
    CHECK(hw_wedge_forces(&w, 1, &push, &pull) == HW_OK && isinf(push));
    hw_screw s = {1e-3, 50e-3, 0.3};
    CHECK(isinf(hw_screw_tighten(&s)));
}

// Load and wedge as two bodies, each with its two equations, solved in order.
static void wedges_balance(void)
{
    hw_rng r = hw_rng_new(21, 0);
    for (int i = 0; i < 1000; i++) {
        hw_wedge w = {hw_rng_uniform(&r, 0, 0.3), hw_rng_uniform(&r, 0, 0.4),
                      hw_rng_uniform(&r, 0, 0.4), hw_rng_uniform(&r, 0, 0.4)};
        double push = 0, pull = 0;
        CHECK(hw_wedge_forces(&w, 100, &push, &pull) == HW_OK);
        for (int sink = 0; sink < 2; sink++) {
            double sign = sink ? -1 : 1, s = sin(w.angle), c = cos(w.angle);
            // slanted face: normal n on the load, friction mu n against its motion along the face
            double up = c - sign * w.mu_top * s, across = s + sign * w.mu_top * c; // per n
            // the guide takes `across`, its friction opposes the load's motion
            double n = 100 / (up - sign * w.mu_side * fabs(across));
            double base = n * up; // the wedge's weight is left out
            double force = n * across + sign * w.mu_base * base;
            CLOSE(sink ? -pull : push, force, 1e-11);
        }
    }
}

static void without_friction_nothing_is_lost(void)
{
    hw_wedge w = {0.1, 0, 0, 0};
    double push = 0, pull = 0;
    CHECK(hw_wedge_forces(&w, 100, &push, &pull) == HW_OK);
    CLOSE(push, 100 * tan(0.1), 1e-12);
    CLOSE(pull, -push, 1e-12);
    hw_screw s = {5e-3, 4e-3, 0};
    CLOSE(hw_screw_tighten(&s), 4e-3 / (2 * HW_PI), 1e-12); // work of a turn
    CLOSE(hw_screw_loosen(&s), -4e-3 / (2 * HW_PI), 1e-12);
    CLOSE(hw_incline_raise(100, 0.3, 0), 100 * tan(0.3), 1e-12);
    CLOSE(hw_incline_hold(100, 0.3, 0), 100 * tan(0.3), 1e-12);
    CHECK(hw_incline_hold(100, 0.1, 0.2) < 0); // it stays
    CLOSE(hw_lever_effort(9, 2, 3, 0, false), 6.0, 1e-12);
}

static void journals(void)
{
    CLOSE(hw_journal_circle(5e-3, 0.2), 5e-3 * sin(atan(0.2)), 1e-12);
    CHECK(hw_journal_circle(5e-3, 0) == 0);
    double c = 0.3, up = hw_lever_effort(10, 4, 5, c, false),
           held = hw_lever_effort(10, 4, 5, c, true);
    // moments about the journal's middle: the friction circle's arm against both forces
    NEAR(up * 5 - 10 * 4 - c * (up + 10), 0, 1e-12 * 40);
    NEAR(held * 5 - 10 * 4 + c * (held + 10), 0, 1e-12 * 40);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(out_of_range_is_refused);
    RUN(a_steep_slope_jams);
    RUN(wedges_balance);
    RUN(without_friction_nothing_is_lost);
    RUN(journals);
    return TEST_END();
}
