#include "base/vec.h"
#include "check.h"
#include "drive/drive.h"

static void out_of_range_is_refused(void)
{
    hw_sheath s = {0.3, 3, 0.1, 3000, HUGE_VAL};
    hw_sheath_pull p;
    CHECK(hw_sheath_pull_of(&s, -1, &p) == HW_BAD_INPUT && isnan(p.out));
    s.mu = -0.1;
    CHECK(hw_sheath_pull_of(&s, 1, &p) == HW_BAD_INPUT);
    s.mu = 0.1;
    s.cord_stiffness = 0;
    CHECK(hw_sheath_pull_of(&s, 1, &p) == HW_BAD_INPUT);
    CHECK(isnan(hw_sheath_clip_span(0, 1)) && isnan(hw_tube_bend_radius(1e-3, 1e-3)));
}

// T0 20 N, mu 0.1, half a turn, 300 mm, EA 3000 N: docs/sources/mechanics.md, sheaths. Five figures
// are printed.
static void a_worked_case(void)
{
    hw_sheath s = {0.3, HW_PI, 0.1, 3000, 6000};
    hw_sheath_pull p;
    CHECK(hw_sheath_pull_of(&s, 20, &p) == HW_OK);
    NEAR(p.out, 14.608, 5e-4);
    NEAR(p.stretch, 1.7163e-3, 5e-8);
    NEAR(p.reversal, 1.8745, 5e-5);
    CLOSE(p.shortening, p.stretch / 2, 1e-12);
    CLOSE(p.pull_share, p.stretch / 2.0e-3, 1e-12);
    CLOSE(p.holding * p.out, 400.0, 1e-12);
}

// Stretch added up piece by piece along the sheath: midpoints of 2000 pieces, right to 1e-7.
static void stretch_added_up(void)
{
    for (int k = 1; k < 10; k++) {
        hw_sheath s = {0.2 + 0.03 * k, 0.7 * k, 0.05 + 0.02 * k, 900.0 * k, HUGE_VAL};
        double sum = 0;
        enum { N = 2000 };
        for (int i = 0; i < N; i++)
            sum += 33 * exp(-s.mu * s.bend * (i + 0.5) / N) * s.length / N / s.cord_stiffness;
        hw_sheath_pull p;
        CHECK(hw_sheath_pull_of(&s, 33, &p) == HW_OK);
        CLOSE(p.stretch, sum, 1e-6);
        CHECK(p.shortening == 0);
    }
}

static void little_friction_is_no_jump(void)
{
    double last = 0;
    for (int k = 0; k < 40; k++) {
        hw_sheath s = {0.3, 1, pow(10, -k), 3000, 3000};
        hw_sheath_pull p;
        CHECK(hw_sheath_pull_of(&s, 20, &p) == HW_OK);
        CHECK(p.stretch >= last); // grows toward the frictionless 2 mm
        last = p.stretch;
    }
    CLOSE(last, 2e-3, 1e-12);
    hw_sheath none = {0.3, 0, 0, 3000, 3000};
    hw_sheath_pull p;
    CHECK(hw_sheath_pull_of(&none, 20, &p) == HW_OK);
    CHECK(p.out == 20 && p.holding == 20 && p.reversal == 1);
}

static void a_span_between_clips(void)
{
    // the load that Euler's column of that span bears is the tension
    double span = hw_sheath_clip_span(0.004, 25);
    CLOSE(HW_PI * HW_PI * 0.004 / (span * span), 25.0, 1e-12);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(out_of_range_is_refused);
    RUN(a_worked_case);
    RUN(stretch_added_up);
    RUN(little_friction_is_no_jump);
    RUN(a_span_between_clips);
    return TEST_END();
}
