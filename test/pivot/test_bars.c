#include "../digit/random_digit.h"
#include "base/vec.h"
#include "check.h"
#include "pivot/bars.h"
#include "pivot/cone.h"

static const double deg = HW_PI / 180, mm = 1e-3;

static hw_bar_pivot bar_a(void)
{
    return (hw_bar_pivot){
        .twins = 1,
        .seat = {45 * deg, 1.8 * mm, 1.575 * mm, 2.05 * mm},
        .eye = {3 * mm, 2.2 * mm, 1.8 * mm, 2.8 * mm, 6 * mm, 0.6625 * mm},
        .gap = 0.25 * mm,
        .mu = 0.15,
        .modulus = 2.5e9,
        .strength = {45e6, 26e6},
    };
}

// Deflection of both overhanging ends, from curvature added up along the bar from its middle: the
// guides are where it may not move.
static double bowed(double push, double couple, double c, double b, double stiff)
{
    enum { STEPS = 40000 };
    double slope = 0, at = 0, h = (c + b / 2) / STEPS, guide = 0;
    bool past = false;
    for (int i = 0; i < STEPS; i++) {
        double x = (i + 0.5) * h, arm = x < b / 2 ? c : c + b / 2 - x;
        if (!past && x > b / 2) {
            guide = at;
            past = true;
        }
        slope += (push * arm + couple) / stiff * h;
        at += slope * h;
    }
    return at - guide;
}

static void overhang_against_adding_up(void)
{
    uint64_t seed = 9;
    for (int i = 0; i < 200; i++) {
        hw_bar_pivot b = bar_a();
        b.eye.load_at = random_between(&seed, 0.1, 2.4) * mm;
        hw_beside by = {INFINITY, random_between(&seed, 1, 15) * mm,
                        random_between(&seed, 5, 40) * mm};
        double pull = random_between(&seed, -150, 150), t = b.eye.thickness;
        double stiff = b.modulus * b.eye.width * t * t * t / 12;
        double spread = hw_cone_spread(1, 45 * deg, 0.15, HW_CONE_HALF_CONE);
        double arm = fmax(t / 2 - b.eye.load_at, 0), couple = pull > 0 ? pull * arm : 0;
        double slack = b.gap * (1 + 2 * by.overhang / by.span);
        double land = b.seat.land - b.gap - slack, cone = b.seat.height - b.gap - slack;
        double curl = bowed(0, couple, by.overhang, by.span, stiff);
        double all = bowed(spread * fabs(pull), couple, by.overhang, by.span, stiff);
        double want = fmax(land > 0 ? land / curl : 0, cone > 0 ? cone / all : 0);
        hw_bar_hold got = hw_bar_hold_of(&b, &by, pull, false);
        if (land > 0 && couple == 0)
            CHECK(isinf(got.factor));
        else
            CLOSE(got.factor, want, 1e-3);
        bool laid = land > 0 && pull < 0 && arm > 0; // pressed on to its wall
        CLOSE(got.apart, laid ? 0 : b.gap + slack + (land > 0 ? curl : all), 1e-3);
    }
}

static void an_end_that_leans_stays(void)
{
    hw_bar_pivot b = bar_a();
    hw_beside kept = {0.5 * mm, 0, 0}, loose = {1.5 * mm, 0, 0}, alone = {INFINITY, 40 * mm, 0};
    CHECK(isinf(hw_bar_hold_of(&b, &kept, 1e6, true).factor));
    CLOSE(hw_bar_hold_of(&b, &kept, 138, true).apart, 0.75 * mm, 1e-12);
    // 1.55 mm reach beyond the gap: play of 1.5 keeps the tip in, 1.6 does not
    CHECK(isinf(hw_bar_hold_of(&b, &loose, 10, true).factor));
    loose.slack = 1.6 * mm;
    CHECK(hw_bar_hold_of(&b, &loose, 10, true).factor == 0);
    CHECK(hw_bar_hold_of(&b, &alone, 10, true).factor == 0);
}

static void what_helps_and_what_does_not(void)
{
    hw_bar_pivot b = bar_a(), bare = b;
    bare.seat.land = 0;
    bare.seat.base = 2.05 * mm;
    hw_beside by = {INFINITY, 11 * mm, 25 * mm};
    double pulled = hw_bar_hold_of(&b, &by, 100, false).factor;
    CHECK(hw_bar_hold_of(&bare, &by, 100, false).factor < 0.5 * pulled);
    CLOSE(hw_bar_hold_of(&b, &by, 100, true).factor, pulled / 2, 1e-12);
    CLOSE(hw_bar_hold_of(&b, &by, 200, false).factor, pulled / 2, 1e-12);
    CHECK(isinf(hw_bar_hold_of(&b, &by, -100, false).factor)); // pressed on to its wall
    hw_bar_pivot far = b;
    far.eye.load_at = 1.5 * mm; // beyond the middle: the pull presses it on
    CHECK(isinf(hw_bar_hold_of(&far, &by, 100, false).factor));
    hw_bar_pivot grown = b; // ten times as large, a hundred times the load
    double *of[] = {&grown.seat.height, &grown.seat.land,   &grown.seat.base, &grown.eye.thickness,
                    &grown.eye.width,   &grown.eye.load_at, &grown.gap};
    for (size_t i = 0; i < sizeof of / sizeof of[0]; i++) *of[i] *= 10;
    hw_beside wide = {INFINITY, 110 * mm, 250 * mm};
    CLOSE(hw_bar_hold_of(&grown, &wide, 1e4, false).factor, pulled, 1e-12);
}

static void bad_input(void)
{
    hw_bar_pivot b = bar_a();
    hw_beside by = {INFINITY, 11 * mm, 25 * mm}, off = {INFINITY, -1, 2};
    CHECK(isnan(hw_bar_hold_of(&b, &off, 1, false).factor));
    CHECK(isnan(hw_bar_hold_of(&b, &by, NAN, false).factor));
    b.modulus = 0;
    CHECK(isnan(hw_bar_hold_of(&b, &by, 1, false).apart));
    b = bar_a();
    b.mu = -1;
    CHECK(isnan(hw_bar_hold_of(&b, &by, 1, false).factor));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(overhang_against_adding_up);
    RUN(an_end_that_leans_stays);
    RUN(what_helps_and_what_does_not);
    RUN(bad_input);
    return TEST_END();
}
