#include "check.h"
#include "digit/outline.h"
#include "digits.h"

static hw_wrap wrap(const hw_digit *d, size_t n, double diameter)
{
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    hw_wrap w;
    CHECK(hw_stroke_new(a, n, &s) == HW_OK && hw_stroke_run(d, &s) == HW_OK);
    CHECK(hw_wrap_of(d, &s, diameter, &w) == HW_OK);
    hw_arena_free(a);
    return w;
}

enum { DISCS = 300, STEPS = 100 };

// Distance of the cylinder's surface to a phalanx by walking over many discs of its hull.
static double slow_gap(const hw_digit *d, const hw_digit_pose *p, int phalanx, hw_vec2 centre,
                       double radius)
{
    hw_disc disc[2];
    double least = INFINITY;
    hw_phalanx_discs(d, phalanx, disc);
    hw_vec2 a = hw_digit_point(p, phalanx, disc[0].at);
    hw_vec2 b = hw_digit_point(p, phalanx, disc[1].at);
    for (int k = 0; k <= DISCS; k++) {
        double t = (double)k / DISCS;
        hw_vec2 off = hw_sub(centre, hw_add(hw_scale(a, 1 - t), hw_scale(b, t)));
        double r = disc[0].radius + t * (disc[1].radius - disc[0].radius);
        least = fmin(least, sqrt(hw_dot(off, off)) - r - radius);
    }
    return least;
}

// The cylinder pushed along the palm from the wrist side until it meets the proximal phalanx.
static double slow_place(const hw_digit *d, const hw_digit_pose *p, double radius)
{
    double z = -d->thickness[0] / 2 - radius, free = -0.15, met = 0;
    // from the wrist in steps of two millimetres, then halved
    for (double x = -0.15; x < 0; x += 2e-3) {
        if (slow_gap(d, p, 0, (hw_vec2){x, z}, radius) < 0) {
            met = x;
            break;
        }
        free = x;
    }
    for (int k = 0; k < 30; k++) {
        double mid = (free + met) / 2;
        if (slow_gap(d, p, 0, (hw_vec2){mid, z}, radius) < 0)
            met = mid;
        else
            free = mid;
    }
    return free;
}

static void against_brute_force(void)
{
    const double size[] = {0.01, 0.03, 0.06, 0.1};
    hw_digit digit[3] = {heron_index(), proportional(60, 110, 80), proportional(90, 50, 30)};
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 4; k++) {
            const hw_digit *d = &digit[i];
            double r = size[k] / 2;
            hw_wrap w = wrap(d, 33, size[k]);
            int first = -1;
            double at_s = 1;
            hw_digit_pose p;
            for (int step = 0; step <= STEPS && first < 0; step++) {
                double s = (double)step / STEPS;
                CHECK(hw_digit_family_of(d->family)->pose(d, s, &p) == HW_OK);
                hw_vec2 c = {slow_place(d, &p, r), -d->thickness[0] / 2 - r};
                double g1 = slow_gap(d, &p, 1, c, r), g2 = slow_gap(d, &p, 2, c, r);
                if (fmin(g1, g2) <= 0) {
                    first = g1 <= g2 ? 1 : 2;
                    at_s = s;
                }
            }
            CHECK(w.first == first);
            NEAR(w.at_s, at_s, 1.0 / STEPS + 1e-6); // the slow scan's step
            CHECK(hw_digit_family_of(d->family)->pose(d, w.at_s, &p) == HW_OK);
            NEAR(w.centre.x, slow_place(d, &p, r), 2e-6); // m: chords of 0.17 mm
            for (int j = 0; j < HW_JOINTS; j++)
                NEAR(w.gap[j], slow_gap(d, &p, j, w.centre, r), 2e-6);
        }
}

// A straight corner: constant thickness, only the knuckle moves to a right angle. Palm and phalanx
// are then two lines of a square corner, and the centre lies (r + t/2) from both axes.
static void a_square_corner(void)
{
    hw_digit d = proportional(90, 0, 0);
    for (int j = 0; j < HW_JOINTS; j++) d.thickness[j] = 0.02;
    d.tip_thickness = 0.02;
    hw_wrap w = wrap(&d, 9, 0.04);
    NEAR(w.centre.x, -0.03, 1e-15);
    NEAR(w.centre.z, -0.03, 1e-15);
    CHECK(w.first == -1); // 30 mm along a 45.6 mm phalanx: the middle one stays straight beyond it
    NEAR(w.gap[0], 0, 1e-15);
}

// Curls: led by the tip they leave a gap at the middle phalanx, led by the knuckle they do not.
static void the_coupling_decides(void)
{
    hw_digit tip = proportional(50, 100, 120), root = proportional(90, 60, 30);
    hw_wrap t = wrap(&tip, 65, 0.06), r = wrap(&root, 65, 0.06);
    CHECK(t.first == 2 && r.first == 1);
    CHECK(t.gap[1] > 0 && r.gap[2] > 0);
    NEAR(t.gap[2], 0, 1e-12);
    NEAR(r.gap[1], 0, 1e-12);
}

static void scales_and_number_of_poses(void)
{
    hw_digit d = heron_index();
    for (int k = 1; k <= 10; k++) {
        hw_wrap w = wrap(&d, 33, 0.01 * k), fine = wrap(&d, 400, 0.01 * k);
        CHECK(w.first == fine.first);
        NEAR(w.at_s, fine.at_s, 1e-9);
        for (int way = 0; way < 2; way++) {
            double by = way ? 10 : 0.1;
            hw_digit m = scaled(d, by);
            hw_wrap g = wrap(&m, 33, 0.01 * k * by);
            CHECK(g.first == w.first);
            NEAR(g.at_s, w.at_s, 1e-9);
            NEAR(g.gap[1], by * w.gap[1], by * 1e-11);
        }
    }
}

static void wrong_input(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    hw_stroke s;
    hw_wrap w;
    hw_wrap_chart chart;
    CHECK(hw_stroke_new(a, 17, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    CHECK(hw_wrap_of(&d, &s, 0, &w) == HW_BAD_INPUT && w.first == -1 && isnan(w.at_s));
    CHECK(hw_wrap_chart_of(&d, &s, &chart) == HW_OK);
    for (int k = 0; k < HW_WRAP_SIZES; k++) {
        NEAR(chart.diameter[k], 0.01 * (k + 1), 1e-17);
        printf("%3.0f mm: first %d at s %.3f, gaps %.2f %.2f %.2f mm\n", 1e3 * chart.diameter[k],
               chart.first[k], chart.at_s[k], 1e3 * chart.gap[k][0], 1e3 * chart.gap[k][1],
               1e3 * chart.gap[k][2]);
    }
    d.thickness[1] = 0;
    CHECK(hw_wrap_chart_of(&d, &s, &chart) == HW_BAD_INPUT && chart.first[3] == -1);
    d = heron_index();
    d.bar[0].horn = 0;
    CHECK(hw_wrap_of(&d, &s, 0.03, &w) == HW_NO_ASSEMBLY);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(against_brute_force);
    RUN(a_square_corner);
    RUN(the_coupling_decides);
    RUN(scales_and_number_of_poses);
    RUN(wrong_input);
    return TEST_END();
}
