#include "base/vec.h"
#include "check.h"
#include "pivot/pivot.h"

static hw_snap an_arm(hw_snap_shape shape)
{
    return (hw_snap){.length = 19e-3,
                     .width = 9.5e-3,
                     .thickness = 3.28e-3,
                     .modulus = 1.815e9,
                     .mu = 0.6,
                     .lead = 30 * HW_PI / 180,
                     .shape = shape};
}

static void out_of_range_is_refused(void)
{
    hw_snap s = an_arm(HW_SNAP_EVEN);
    hw_snap_result r;
    CHECK(hw_snap_pass(&s, -1e-3, &r) == HW_BAD_INPUT && isnan(r.mate));
    s.length = 0;
    CHECK(hw_snap_pass(&s, 1e-3, &r) == HW_BAD_INPUT);
    CHECK(isnan(hw_snap_thickness(&s, 1e-3, 0.02)));
    s = an_arm(HW_SNAP_SHAPES);
    CHECK(hw_snap_pass(&s, 1e-3, &r) == HW_BAD_INPUT);
    CHECK(isnan(hw_snap_share(HW_SNAP_SHAPES)));
    s = an_arm(HW_SNAP_EVEN);
    s.lead = HW_PI / 2;
    CHECK(hw_snap_pass(&s, 1e-3, &r) == HW_BAD_INPUT);
}

// Unit-load method: deflection = sum of M(x) m(x)/(E I(x)), for the root's strain M c/(E I) = 1.
static void shares_by_adding_up_curvature(void)
{
    for (int shape = 0; shape < HW_SNAP_SHAPES; shape++) {
        enum { N = 20000 };
        double sum = 0;
        for (int i = 0; i < N; i++) {
            double x = (i + 0.5) / N; // length, root thickness and width 1, E 12: E I = b h^3
            double h = shape == HW_SNAP_HALF_THICK ? 1 - x / 2 : 1;
            double b = shape == HW_SNAP_QUARTER_WIDTH ? 1 - 0.75 * x : 1;
            double moment = 2; // strain 1 at the root: M h/2 = E I = 1
            sum += moment * (1 - x) * (1 - x) / (b * h * h * h) / N;
        }
        CLOSE(hw_snap_share((hw_snap_shape)shape), sum, 1e-7); // midpoints of 20000 pieces
    }
}

static void an_even_arm_is_a_cantilever(void)
{
    hw_snap s = an_arm(HW_SNAP_EVEN);
    hw_snap_result r;
    hw_bending b;
    CHECK(hw_snap_pass(&s, 1.1e-3, &r) == HW_OK);
    CHECK(hw_beam_bend(HW_BEAM_CANTILEVER, r.bend, s.length, s.width, s.thickness, s.modulus, &b) ==
          HW_OK);
    CLOSE(b.deflection, 1.1e-3, 1e-12);
    CLOSE(b.stress, r.strain * s.modulus, 1e-12);
    CLOSE(hw_snap_thickness(&s, 1.1e-3, r.strain), s.thickness, 1e-12);
}

static void friction_may_jam_it(void)
{
    hw_snap s = an_arm(HW_SNAP_EVEN);
    hw_snap_result r;
    s.mu = 0;
    CHECK(hw_snap_pass(&s, 1e-3, &r) == HW_OK);
    CLOSE(r.mate, r.bend * tan(s.lead), 1e-12);
    s.mu = 1.8; // 1.8 * tan 30 > 1
    CHECK(hw_snap_pass(&s, 1e-3, &r) == HW_OK && isinf(r.mate) && isfinite(r.bend));
    CHECK(hw_snap_pass(&s, 0, &r) == HW_OK && r.bend == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(out_of_range_is_refused);
    RUN(shares_by_adding_up_curvature);
    RUN(an_even_arm_is_a_cantilever);
    RUN(friction_may_jam_it);
    return TEST_END();
}
