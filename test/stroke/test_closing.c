#include "check.h"
#include "digits.h"

static const double law[HW_JOINTS] = {90, 100, 67};
static const double deg = HW_PI / 180;

static hw_closing close_of(const hw_digit *d, size_t n)
{
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    hw_closing c;
    CHECK(hw_stroke_new(a, n, &s) == HW_OK && hw_stroke_run(d, &s) == HW_OK);
    CHECK(hw_closing_of(d, &s, law, &c) == HW_OK);
    hw_arena_free(a);
    return c;
}

static void the_law_itself_has_no_error(void)
{
    hw_digit d = proportional(90, 100, 67);
    hw_closing c = close_of(&d, 61);
    NEAR(c.pip_rms, 0, 1e-14);
    NEAR(c.dip_rms, 0, 1e-14);
    NEAR(c.path_rms, 0, 2e-5); // the stated chord error
    CLOSE(c.pip_ratio, 100.0 / 90, 1e-13);
    CLOSE(c.dip_ratio, 0.67, 1e-13);
    // a proportional curl's path is near a spiral of 73 to 77 deg: docs/sources, own table there
    CHECK(c.spiral_angle > 73 * deg && c.spiral_angle < 77.5 * deg);
    CHECK(c.spiral_rms < 0.5e-3);
}

// PIP ten degrees short at the end and in proportion before: RMS of a ramp is its end over root 3.
static void a_known_ramp_of_error(void)
{
    hw_digit d = proportional(90, 90, 67);
    hw_closing c = close_of(&d, 2001);
    CLOSE(c.pip_rms, 10 * deg / sqrt(3), 1e-3); // 2001 poses of a ramp: 3/(4 n)
    NEAR(c.dip_rms, 0, 1e-14);
    CHECK(c.path_rms > 1e-3);
}

// A digit that curls past the law's end: nearest points of a dense law path that goes a tenth of
// the range beyond both ends.
static void path_against_dense_points(void)
{
    hw_digit d = proportional(90, 125, 100);
    hw_closing c = close_of(&d, 33);
    double sum = 0;
    for (int i = 0; i < 33; i++) {
        hw_digit_pose p;
        CHECK(hw_digit_family_of(d.family)->pose(&d, i / 32.0, &p) == HW_OK);
        double least = INFINITY;
        for (int k = 0; k <= 12000; k++) {
            double knuckle = (k / 10000.0 - 0.1) * 90 * deg, turned = 0;
            hw_vec2 at = {0, 0};
            for (int j = 0; j < HW_JOINTS; j++) {
                turned += knuckle * law[j] / law[0];
                at = hw_add(at, hw_flexed((hw_vec2){d.phalanx[j], 0}, turned));
            }
            hw_vec2 off = hw_sub(at, p.at[3]);
            least = fmin(least, hw_dot(off, off));
        }
        sum += least;
    }
    double length = d.phalanx[0] + d.phalanx[1] + d.phalanx[2];
    NEAR(c.path_rms, sqrt(sum / 33) / length, 2e-5); // the stated chord error
}

static void scales(void)
{
    hw_digit d = heron_index();
    hw_closing c = close_of(&d, 33);
    for (int way = 0; way < 2; way++) {
        double k = way ? 10 : 0.1;
        hw_digit m = scaled(d, k);
        hw_closing g = close_of(&m, 33);
        CLOSE(g.pip_rms, c.pip_rms, 1e-11);
        CLOSE(g.dip_rms, c.dip_rms, 1e-11);
        CLOSE(g.path_rms, c.path_rms, 1e-9);
        CLOSE(g.spiral_angle, c.spiral_angle, 1e-6);
        CLOSE(g.spiral_rms, k * c.spiral_rms, 1e-4);
    }
}

static void wrong_laws_and_strokes(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    hw_stroke s;
    hw_closing c;
    CHECK(hw_stroke_new(a, 9, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    const double none[3] = {0, 1, 1}, nan[3] = {1, (double)NAN, 1};
    CHECK(hw_closing_of(&d, &s, none, &c) == HW_BAD_INPUT && isnan(c.pip_rms));
    CHECK(hw_closing_of(&d, &s, nan, &c) == HW_BAD_INPUT);
    for (size_t i = 1; i < s.n; i++) s.ok[i] = 0;
    CHECK(hw_closing_of(&d, &s, law, &c) == HW_NO_ASSEMBLY && isnan(c.path_rms));
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(the_law_itself_has_no_error);
    RUN(a_known_ramp_of_error);
    RUN(path_against_dense_points);
    RUN(scales);
    RUN(wrong_laws_and_strokes);
    return TEST_END();
}
