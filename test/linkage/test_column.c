#include "check.h"
#include "linkage/linkage.h"

// Degenerate first.
static void sizes_that_are_none(void)
{
    hw_column_load out;
    CHECK(hw_column_buckling(0, 1, 1, 1, &out) == HW_BAD_INPUT && isnan(out.load));
    CHECK(hw_column_buckling(1, -1, 1, 1, &out) == HW_BAD_INPUT);
    CHECK(hw_column_buckling(1, 1, INFINITY, 1, &out) == HW_BAD_INPUT);
    CHECK(hw_column_buckling(1, 1, 1, NAN, &out) == HW_BAD_INPUT && isnan(out.in_width));
}

// A steel rule 300 x 25 x 1 mm, E 200 GPa: pi^2 200e9 (0.025 0.001^3 / 12) / 0.3^2 = 45.69 N, by
// hand.
static void a_rule_between_two_fingers(void)
{
    hw_column_load out;
    CHECK(hw_column_buckling(0.3, 0.025, 0.001, 200e9, &out) == HW_OK);
    NEAR(out.in_depth, 45.69, 0.005);               // printed digits of the hand calculation
    CLOSE(out.in_width, out.in_depth * 625, 1e-14); // (25/1)^2, rounding only
    CHECK(out.load == out.in_depth);
}

// A printed bar 3 x 1.6 mm, 40 mm long, 2 GPa: pi^2 2e9 (3e-3 1.6e-3^3/12) / 0.04^2 = 12.633 N.
static void a_printed_bar(void)
{
    hw_column_load out;
    CHECK(hw_column_buckling(0.04, 0.003, 0.0016, 2e9, &out) == HW_OK);
    NEAR(out.load, 12.633, 0.0005);
    CHECK(out.load < out.in_width);
}

static void scales_with_the_square(void)
{
    hw_column_load one, ten;
    CHECK(hw_column_buckling(0.04, 0.003, 0.0016, 2e9, &one) == HW_OK);
    CHECK(hw_column_buckling(0.4, 0.03, 0.016, 2e9, &ten) == HW_OK);
    CLOSE(ten.load, 100 * one.load, 1e-14); // rounding only
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(sizes_that_are_none);
    RUN(a_rule_between_two_fingers);
    RUN(a_printed_bar);
    RUN(scales_with_the_square);
    return TEST_END();
}
