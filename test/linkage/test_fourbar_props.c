// Four-bars at random: fixed seeds, every property against an independent way.
#include "base/rng.h"
#include "base/vec.h"
#include "check.h"
#include "linkage/linkage.h"

static hw_fourbar bar(double ground, double crank, double coupler, double rocker)
{
    return (hw_fourbar){ground, crank, coupler, rocker};
}

// The dead points of random four-bars are where the loop stops closing, and nowhere else.
static void dead_points_bound_the_assembly(void)
{
    hw_rng r = hw_rng_new(20, 1);
    int ends = 0;
    for (int k = 0; k < 20000; k++) {
        hw_fourbar f = bar(hw_rng_uniform(&r, 1, 10), hw_rng_uniform(&r, 1, 10),
                           hw_rng_uniform(&r, 1, 10), hw_rng_uniform(&r, 1, 10));
        hw_fourbar_mark mark[12];
        hw_fourbar_pose p;
        size_t n = hw_fourbar_marks(&f, 1, -HW_PI, HW_PI, mark, 12);
        CHECK(n <= 12);
        for (size_t i = 0; i < n; i++) {
            double step = 1e-6;
            hw_code below = hw_fourbar_solve(&f, mark[i].crank - step, 1, &p, NULL);
            hw_code above = hw_fourbar_solve(&f, mark[i].crank + step, 1, &p, NULL);
            if (mark[i].kind <= HW_FOURBAR_DEAD_FOLDED) {
                CHECK((below == HW_OK) != (above == HW_OK));
                ends++;
            } else {
                CHECK(below == HW_OK && above == HW_OK);
            }
        }
        // A grid finds no end that the marks do not name.
        bool was = false;
        int changes = 0, dead = 0;
        for (int i = 0; i <= 90; i++) {
            bool is = hw_fourbar_solve(&f, -HW_PI + 2 * HW_PI * i / 90, 1, &p, NULL) == HW_OK;
            if (i > 0 && is != was) changes++;
            was = is;
        }
        for (size_t i = 0; i < n; i++) dead += mark[i].kind <= HW_FOURBAR_DEAD_FOLDED;
        CHECK(dead >= changes);
        CHECK((dead - changes) % 2 == 0);
    }
    CHECK(ends > 10000);
}

static void limits_are_where_the_rocker_rests(void)
{
    hw_rng r = hw_rng_new(20, 2);
    int limits = 0;
    for (int k = 0; k < 20000; k++) {
        hw_fourbar f = bar(hw_rng_uniform(&r, 1, 10), hw_rng_uniform(&r, 1, 10),
                           hw_rng_uniform(&r, 1, 10), hw_rng_uniform(&r, 1, 10));
        int branch = k % 2 ? 1 : -1;
        hw_fourbar_mark mark[12];
        size_t n = hw_fourbar_marks(&f, branch, -HW_PI, HW_PI, mark, 12);
        size_t found = 0, seen = 0;
        for (size_t i = 0; i < n; i++) {
            if (mark[i].kind < HW_FOURBAR_LIMIT_EXTENDED) continue;
            hw_fourbar_pose p;
            CHECK(hw_fourbar_solve(&f, mark[i].crank, branch, &p, NULL) == HW_OK);
            // The loop's own sensitivity: rounding over the sine of the transmission angle.
            NEAR(p.d_rocker, 0,
                 1e-13 * f.crank / f.rocker / (sin(p.transmission) * sin(p.transmission) + 1e-12));
            found++;
        }
        // Every change of sign of the rate on a grid has its mark.
        double was = NAN;
        for (int i = 0; i <= 180; i++) {
            hw_fourbar_pose p;
            double is = NAN;
            if (hw_fourbar_solve(&f, -HW_PI + 2 * HW_PI * i / 180, branch, &p, NULL) == HW_OK)
                is = p.d_rocker;
            if (was * is < 0) seen++;
            was = is;
        }
        CHECK(found >= seen);
        limits += (int)found;
    }
    CHECK(limits > 10000);
}

static void loop_closes_and_rates_agree_with_differences(void)
{
    hw_rng r = hw_rng_new(20, 3);
    int closed = 0;
    for (int k = 0; k < 20000; k++) {
        hw_fourbar f = bar(hw_rng_uniform(&r, 1, 10), hw_rng_uniform(&r, 1, 10),
                           hw_rng_uniform(&r, 1, 10), hw_rng_uniform(&r, 1, 10));
        double crank = hw_rng_uniform(&r, -7, 7);
        int branch = k % 2 ? 1 : -1;
        hw_fourbar_pose p, low, high;
        if (hw_fourbar_solve(&f, crank, branch, &p, NULL) != HW_OK) continue;
        closed++;
        double x =
            f.crank * cos(crank) + f.coupler * cos(p.coupler) - f.ground - f.rocker * cos(p.rocker);
        double z = f.crank * sin(crank) + f.coupler * sin(p.coupler) - f.rocker * sin(p.rocker);
        double longest = fmax(fmax(f.ground, f.crank), fmax(f.coupler, f.rocker));
        NEAR(hypot(x, z), 0, 8 * 2.3e-16 * longest / sin(p.transmission));
        double step = 1e-5;
        if (sin(p.transmission) < 0.1) continue;
        CHECK(hw_fourbar_solve(&f, crank - step, branch, &low, NULL) == HW_OK);
        CHECK(hw_fourbar_solve(&f, crank + step, branch, &high, NULL) == HW_OK);
        double difference = remainder(high.rocker - low.rocker, 2 * HW_PI) / (2 * step);
        double coupler = remainder(high.coupler - low.coupler, 2 * HW_PI) / (2 * step);
        // Third derivative of a loop with sin(mu) >= 0.1 stays below 1e7: step^2 / 6 times that,
        // where the ratio of lengths is at most ten.
        NEAR(difference, p.d_rocker, 1e-3 * (1 + fabs(p.d_rocker)));
        NEAR(coupler, p.d_coupler, 1e-3 * (1 + fabs(p.d_coupler)));
    }
    CHECK(closed > 8000);
}

static void scales_and_sweeps_alike(void)
{
    hw_rng r = hw_rng_new(20, 4);
    for (int k = 0; k < 2000; k++) {
        hw_fourbar f = bar(hw_rng_uniform(&r, 1, 10), hw_rng_uniform(&r, 1, 10),
                           hw_rng_uniform(&r, 1, 10), hw_rng_uniform(&r, 1, 10));
        hw_fourbar small = bar(f.ground / 1024, f.crank / 1024, f.coupler / 1024, f.rocker / 1024);
        double crank[4], rocker[4], coupler[4], transmission[4];
        uint8_t ok[4];
        for (int i = 0; i < 4; i++) crank[i] = hw_rng_uniform(&r, -7, 7);
        size_t closed = hw_fourbar_sweep(&f, 1, 4, crank, rocker, coupler, transmission, ok);
        for (int i = 0; i < 4; i++) {
            hw_fourbar_pose p, q;
            double gap, small_gap;
            hw_code code = hw_fourbar_solve(&f, crank[i], 1, &p, &gap);
            CHECK(hw_fourbar_solve(&small, crank[i], 1, &q, &small_gap) == code);
            CHECK((code == HW_OK) == (ok[i] == 1));
            CHECK(gap == 1024 * small_gap); // a power of two: the same bits
            CHECK(p.rocker == q.rocker && p.transmission == q.transmission);
            if (!ok[i]) {
                CHECK(isnan(rocker[i]) && isnan(coupler[i]) && isnan(transmission[i]));
                continue;
            }
            closed--;
            CHECK(rocker[i] == p.rocker && coupler[i] == p.coupler);
            CHECK(transmission[i] == p.transmission);
        }
        CHECK(closed == 0);
        CHECK(hw_fourbar_sweep(&f, 2, 4, crank, rocker, NULL, NULL, ok) == 0 && ok[0] == 0);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(dead_points_bound_the_assembly);
    RUN(limits_are_where_the_rocker_rests);
    RUN(loop_closes_and_rates_agree_with_differences);
    RUN(scales_and_sweeps_alike);
    return TEST_END();
}
