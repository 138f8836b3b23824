#include "base/vec.h"
#include "check.h"
#include "drive/drive.h"

static void out_of_range_is_not_a_number(void)
{
    CHECK(isnan(hw_capstan(-1, 0.1, 1)) && isnan(hw_capstan(1, -0.1, 1)));
    CHECK(isnan(hw_capstan_mu(1, 2, 1)) && isnan(hw_capstan_mu(2, 1, 0)));
    CHECK(isnan(hw_capstan_wrap(2, 1, 0)) && isnan(hw_capstan_wrap(2, 0, 1)));
    CHECK(isnan(hw_belt_torque(1, 0.1, 1, 0)) && isnan(hw_drum_step(1, 1, 0)));
}

// The cord's own balance, dT = mu T d(angle), stepped by the classical fourth-order rule: 200 steps
// leave less than 1e-9.
static void capstan_by_stepping_round_the_corner(void)
{
    double t = 20, mu = 0.08, h = HW_PI / 200;
    for (int i = 0; i < 200; i++) {
        double k1 = mu * t, k2 = mu * (t + h / 2 * k1), k3 = mu * (t + h / 2 * k2);
        double k4 = mu * (t + h * k3);
        t += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
    }
    CLOSE(hw_capstan(20, 0.08, HW_PI), t, 1e-9);
    CLOSE(hw_capstan(hw_capstan(20, 0.08, 1), 0.08, -1), 20.0, 1e-12);
    CHECK(hw_capstan(20, 0, 9) == 20 && hw_capstan(20, 0.3, 0) == 20 && hw_capstan(0, 1, 1) == 0);
}

static void the_same_relation_three_ways(void)
{
    double high = hw_capstan(12, 0.21, 7.5);
    CLOSE(hw_capstan_mu(high, 12, 7.5), 0.21, 1e-12);
    CLOSE(hw_capstan_wrap(high, 12, 0.21), 7.5, 1e-12);
    CLOSE(hw_belt_torque(high, 0.21, 7.5, 0.02), (high - 12) * 0.02, 1e-12);
    // tiny friction: mu wrap T r, to second order
    CLOSE(hw_belt_torque(10, 1e-9, 1, 1), 1e-8, 1e-8);
}

static void a_drum_with_teeth(void)
{
    // 5 N/mm, 6 mm drum, 40 teeth: 0.9425 mm a step
    CLOSE(hw_drum_step(5e3, 6e-3, 40), 5e3 * 2 * HW_PI * 6e-3 / 40, 1e-12);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(out_of_range_is_not_a_number);
    RUN(capstan_by_stepping_round_the_corner);
    RUN(the_same_relation_three_ways);
    RUN(a_drum_with_teeth);
    return TEST_END();
}
