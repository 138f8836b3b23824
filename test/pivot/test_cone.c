// Tolerance 1e-12 relative: a handful of roundings. Integrals are sums of 2000 midpoints, right to
// 1e-6 of themselves.
#include "base/vec.h"
#include "check.h"
#include "pivot/pivot.h"

static const double deg = HW_PI / 180;

static void out_of_range_is_not_a_number(void)
{
    CHECK(isnan(hw_cone_spread(10, 0, 0.1, HW_CONE_LINE)));
    CHECK(isnan(hw_cone_spread(10, HW_PI / 2, 0.1, HW_CONE_LINE)));
    CHECK(isnan(hw_cone_spread(-1, 0.5, 0.1, HW_CONE_LINE)));
    CHECK(isnan(hw_cone_spread(10, 0.5, -0.1, HW_CONE_LINE)));
    CHECK(isnan(hw_cone_spread(10, (double)NAN, 0.1, HW_CONE_LINE)));
    CHECK(isnan(hw_cone_float(-1e-4, 1e-4, 0.5)));
    CHECK(isnan(hw_cone_radial_play(1e-4, 2)));
    CHECK(isnan(hw_cone_torque(10, 0.01, 0.01, 0.5, 0.1, HW_CONE_NEW)));
    CHECK(isnan(hw_cone_holding_angle(-1)));
    hw_cone_press p;
    CHECK(hw_cone_press_of(1, 0, 0.5, 0.2, &p) == HW_BAD_INPUT && isnan(p.engage));
    CHECK(hw_cone_press_of(1, 0.1, 0.5, 0, &p) == HW_BAD_INPUT);
    hw_fork f = {0};
    hw_fork_hold h;
    CHECK(hw_fork_hold_of(&f, &h) == HW_BAD_INPUT && isnan(h.release));
}

// Table of docs/sources/mechanics.md, 45 and 30 degrees, per newton.
static void spread_of_one_cone(void)
{
    static const struct {
        double half_angle, mu, want;
    } row[] = {{45, 0, 1.0},    {45, 0.2, 0.6667}, {45, 0.3, 0.5385}, {45, 0.4, 0.4286},
               {30, 0, 0.5774}, {30, 0.2, 0.3383}, {30, 0.3, 0.2364}, {30, 0.4, 0.1441}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        double a = row[i].half_angle * deg;
        // four digits are printed
        NEAR(hw_cone_spread(1, a, row[i].mu, HW_CONE_LINE), row[i].want, 5e-5);
        CLOSE(hw_cone_spread(1, a, row[i].mu, HW_CONE_HALF_CONE), row[i].want * 4 / HW_PI, 4e-4);
    }
    CHECK(hw_cone_spread(50, 10 * deg, 0.2, HW_CONE_LINE) ==
          0); // 10 < atan 0.2 = 11.3: holds itself
    CHECK(hw_cone_spread(0, 45 * deg, 0.2, HW_CONE_HALF_CONE) == 0);
}

// Pressure p cos(t) over the half cone with friction mu p along the slant, added up piece by piece.
static void half_cone_pressure_added_up(void)
{
    for (int k = 0; k < 40; k++) {
        double a = (20 + k) * deg, mu = 0.3 * (k % 3) / 2, radial = 0, axial = 0;
        enum { N = 2000 };
        for (int i = 0; i < N; i++) {
            double t = HW_PI * ((i + 0.5) / N - 0.5), p = cos(t);
            // normal: cos a outward along the radius, sin a along the axis; friction opposes
            // sliding out
            radial += p * (cos(a) + mu * sin(a)) * cos(t);
            axial += p * (sin(a) - mu * cos(a));
        }
        CLOSE(hw_cone_spread(radial, a, mu, HW_CONE_HALF_CONE), axial, 1e-6);
    }
}

static void gaps_and_float(void)
{
    CLOSE(hw_cone_radial_play(0.25e-3, 45 * deg), 0.25e-3 * sqrt(2), 1e-12);
    CLOSE(hw_cone_float(0.25e-3, 1e-3, 45 * deg), 0.25e-3 * sqrt(2), 1e-12);
    CLOSE(hw_cone_float(0.25e-3, 0.3e-3, 45 * deg), 0.3e-3, 1e-12); // the flats meet first
    // normal gap of a shift: shift * sin a (0.4243 for 0.30 at 45 degrees)
    CLOSE(hw_cone_float(0.30e-3, HUGE_VAL, 45 * deg), 0.42426407e-3, 1e-8);
    CLOSE(hw_cone_float(0.30e-3, HUGE_VAL, 30 * deg), 0.6e-3, 1e-12);
    // self-holding half-angles for mu 0.1 to 0.4, as printed to a hundredth of a degree
    const double mu[] = {0.1, 0.15, 0.2, 0.3, 0.4}, want[] = {5.71, 8.53, 11.31, 16.70, 21.80};
    for (int i = 0; i < 5; i++) NEAR(hw_cone_holding_angle(mu[i]) / deg, want[i], 0.005);
}

static void torque_of_a_thin_ring_is_that_of_its_mean_radius(void)
{
    double r = 5e-3, t = 1e-9, want = 0.2 * 30 * r / sin(45 * deg);
    CLOSE(hw_cone_torque(30, r + t, r - t, 45 * deg, 0.2, HW_CONE_NEW), want, 1e-9);
    CLOSE(hw_cone_torque(30, r + t, r - t, 45 * deg, 0.2, HW_CONE_WORN), want, 1e-9);
    CHECK(hw_cone_torque(30, r, 0, 45 * deg, 0.2, HW_CONE_NEW) >
          hw_cone_torque(30, r, 0, 45 * deg, 0.2, HW_CONE_WORN));
}

static hw_fork a_fork(double scale)
{
    return (hw_fork){.half_angle = 45 * deg,
                     .engagement = 1.2e-3 * scale,
                     .gap = 0.25e-3 * scale,
                     .face_gap = 0.25e-3 * scale,
                     .mu = 0.15,
                     .depth = 8e-3 * scale,
                     .width = 8e-3 * scale,
                     .thickness = 2e-3 * scale,
                     .modulus = 2.5e9,
                     .spacing = 10e-3 * scale};
}

static void a_fork_lets_go_where_its_own_numbers_say(void)
{
    hw_fork f = a_fork(1);
    hw_fork_hold h;
    CHECK(hw_fork_hold_of(&f, &h) == HW_OK);
    // worked by hand: float 0.25 (flats), room 0.95 mm; I = 8*2^3/12 = 5.3333 mm^4;
    // opening per N of spread 8^3/(3*2500*5.3333) = 0.0128 mm/N; spread (1/2)(4/pi)tan(45-8.53)
    double spread = 2 / HW_PI * tan(45 * deg - atan(0.15));
    CLOSE(h.axial_float, 0.25e-3, 1e-12);
    CLOSE(h.spread, spread, 1e-12);
    CLOSE(h.opening, spread * 0.0128e-3, 1e-12);
    CLOSE(h.release, 0.95 / (0.0128 * spread), 1e-12);
    CLOSE(h.stress, 6 * h.release * spread * 8e-3 / (8e-3 * 4e-6), 1e-12);
    f.side_arm = 5e-3; // half the spacing
    CHECK(hw_fork_hold_of(&f, &h) == HW_OK);
    CLOSE(h.spread, spread + 0.5, 1e-12);
    f.depth = 20e-3; // the cube of the depth
    hw_fork_hold deep;
    CHECK(hw_fork_hold_of(&f, &deep) == HW_OK);
    CLOSE(deep.release, h.release / 15.625, 1e-12);
}

static void a_fork_that_always_or_never_lets_go(void)
{
    hw_fork f = a_fork(1);
    hw_fork_hold h;
    f.face_gap = 2e-3;
    f.gap = 1e-3;
    CHECK(hw_fork_hold_of(&f, &h) == HW_OK && h.release == 0 && h.stress == 0); // float 1.41 mm
    f = a_fork(1);
    f.mu = 1.1; // phi 47.7 degrees
    CHECK(hw_fork_hold_of(&f, &h) == HW_OK && isinf(h.release) && isinf(h.stress));
}

static void ten_times_the_size_bears_a_hundred_times_the_load(void)
{
    hw_fork small = a_fork(1), large = a_fork(10);
    hw_fork_hold a, b;
    CHECK(hw_fork_hold_of(&small, &a) == HW_OK && hw_fork_hold_of(&large, &b) == HW_OK);
    CLOSE(b.release, 100 * a.release, 1e-12);
    CLOSE(b.stress, a.stress, 1e-12);
    CLOSE(b.axial_float, 10 * a.axial_float, 1e-12);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(out_of_range_is_not_a_number);
    RUN(spread_of_one_cone);
    RUN(half_cone_pressure_added_up);
    RUN(gaps_and_float);
    RUN(torque_of_a_thin_ring_is_that_of_its_mean_radius);
    RUN(a_fork_lets_go_where_its_own_numbers_say);
    RUN(a_fork_that_always_or_never_lets_go);
    RUN(ten_times_the_size_bears_a_hundred_times_the_load);
    return TEST_END();
}
