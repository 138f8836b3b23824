// Bars bear in bores with roofs: what the roof takes off the bearing, of Heron's bars in all cases.
#include "assess/assess.h"
#include "group.h"

// Share of a pin's projected half that a bore with a roof over its upper quarter carries, pressed
// at an angle off straight up.
static double carried(double off) // [rad] [1]
{
    double quarter = HW_PI / 4, from = fmax(-quarter, off - HW_PI / 2);
    double to = fmin(quarter, off + HW_PI / 2);
    return from < to ? 1 - (sin(to - off) - sin(from - off)) / 2 : 1;
}

static void by_hand(void)
{
    NEAR(carried(HW_PI), 1, 1e-12);                     // away from the roof
    NEAR(carried(0), 1 - sqrt(0.5), 1e-12);             // straight into it
    NEAR(carried(HW_PI / 2), 0.5 + sqrt(0.125), 1e-12); // half of it is missing
    NEAR(carried(0.75 * HW_PI), 1, 1e-12);
}

// A bar is pressed along its length alone: at one angle to its roofs in every pose. Its greatest
// pressure, what the pin lacks below included, holds on what the roof leaves; where the load meets
// what both lack it is more, and not looked at.
static void bars_bear(void)
{
    for (int digit = 1; digit < 5; digit++) {
        group g = group_new();
        hw_design *d = example(g.keep, "heron", "");
        hw_digit_assessment *got = HW_NEW(g.keep, hw_digit_assessment, 1);
        if (d && got && group_make(&g, d, digit, 5e-5)) {
            const hw_hand *hand = hand_of(d);
            CHECK(hw_assess_digit(g.keep, hand, digit, got) == HW_OK);
            for (int b = 0; b < 2; b++) {
                hw_vec2 way = hw_sub(hw_bed_point(&g.set.bed, 4 + b, (hw_vec2){1, 0}),
                                     hw_bed_point(&g.set.bed, 4 + b, (hw_vec2){0, 0}));
                double lean = asin(fabs(way.z)), roof = carried(HW_PI / 2 - lean);
                for (int e = 0; e < 2; e++) {
                    const hw_release_peak *peak = &got->release.pressed[HW_HOLD_BARS + 2 * b + e];
                    double share = peak->value / roof;
                    printf(
                        "    %s %s: %.1f deg, %.0f N, %.2f of its strength, with the roof %.2f\n",
                        hw_digit_name[digit], hw_hold_place_name(&hand->digit[digit], peak->place),
                        lean * 180 / HW_PI, peak->load, peak->value, share);
                    CHECK(lean > 0 && lean < HW_PI / 6 && share > peak->value && share < 1);
                }
            }
        }
        group_free(&g);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(by_hand);
    RUN(bars_bear);
    return TEST_END();
}
