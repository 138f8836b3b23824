#include "check.h"
#include "digits.h"
#include "stroke/pinch.h"

#include "digit/outline.h"

static hw_digit_pose pose_of(const hw_digit *d, double s) // [1]
{
    hw_digit_pose p;
    CHECK(hw_digit_family_of(d->family)->pose(d, s, &p) == HW_OK);
    return p;
}

// A direct digit of even thickness, its joints at given angles in degrees at s = 1.
static hw_digit even(double mcp, double pip, double dip) // [deg]
{
    hw_digit d = proportional(mcp, pip, dip);
    for (int j = 0; j < HW_JOINTS; j++) d.thickness[j] = 0.018;
    d.tip_thickness = 0.018;
    return d;
}

// Even thickness, PIP at a right angle: the corner is square, its bottom 9 mm palmar and 9 mm along
// from the joint, and a 5 mm finger touches both faces 2.5 mm further on.
static void a_right_angle_in_numbers(void)
{
    hw_digit d = even(0, 90, 0);
    hw_digit_pose p = pose_of(&d, 1);
    hw_crease_pose c;
    hw_crease_of(&d, &p, HW_CREASE_PIP, &c);
    NEAR(c.gap, 0.02, 1e-15); // 10 mm deep, both faces 10 mm away
    NEAR(c.closing[1], 0.0115, 1e-15);
    NEAR(c.closing[0] + c.closing[2], 0, 0);
    NEAR(c.at.x, p.at[1].x - 0.0115, 1e-15);
    NEAR(c.at.z, -0.0115, 1e-15);
    const double torque[] = {9, 0.23, 9};
    NEAR(hw_crease_force(&d, &p, &c, torque), 20, 1e-12);
    hw_crease_of(&d, &p, HW_CREASE_DIP, &c); // straight: no crease
    CHECK(isinf(c.gap) && isnan(c.at.x));
    NEAR(hw_crease_force(&d, &p, &c, torque), 0, 0);
    hw_crease_of(&d, &p, (hw_crease)99, &c);
    CHECK(isinf(c.gap));
}

// Distal laid back on the proximal phalanx: two right angles, 26.6 mm between the axes less two
// half thicknesses; the arm is along the distal phalanx to its last disc.
static void a_fold_in_numbers(void)
{
    hw_digit d = even(0, 90, 90);
    hw_digit_pose p = pose_of(&d, 1);
    hw_crease_pose c;
    hw_crease_of(&d, &p, HW_CREASE_FOLD, &c);
    NEAR(c.gap, 0.0266 - 0.018, 1e-15);
    // parallel faces: either end may be the one; 0.009 from the joint's line, or at it
    CHECK(fabs(c.closing[2]) <= 0.009 + 1e-15);
    NEAR(c.closing[1], c.closing[2], 1e-15); // PIP and DIP in one line square to the faces
    hw_digit e = even(90, 90, 0); // middle and distal along the palm, 45.6 mm below the knuckle
    p = pose_of(&e, 1);
    hw_crease_of(&e, &p, HW_CREASE_PALM_DISTAL, &c);
    NEAR(c.gap, 0.0456 - 0.018, 1e-15);
    hw_crease_of(&e, &p, HW_CREASE_PALM_MIDDLE, &c);
    NEAR(c.gap, 0.0456 - 0.018, 1e-15);
    NEAR(c.closing[0], c.closing[1], 1e-15);
}

// Distance from the middle of a finger held on the inner face to the outer part's face, by the
// outline's own function.
static double distance_to(const hw_digit *d, const hw_digit_pose *p, int phalanx, hw_vec2 at)
{
    hw_disc disc[2];
    hw_phalanx_discs(d, phalanx, disc);
    hw_vec2 in = hw_flexed(hw_sub(at, p->at[phalanx]), -hw_digit_turned(p, phalanx));
    return hw_discs_distance(disc, in);
}

static const int outer_of[HW_CREASES] = {0, 1, 2, 2, 1, 2};

// Corners: the least finger touches both hulls, and the outer face comes nearer as told. Over
// random digits, tapered either way.
static void corners_against_distances(void)
{
    uint64_t seed = 11;
    int seen = 0;
    for (int k = 0; k < 2000; k++) {
        hw_digit d = even(random_between(&seed, 20, 100), random_between(&seed, 20, 130),
                          random_between(&seed, 20, 130));
        for (int j = 0; j < HW_JOINTS; j++) d.thickness[j] = random_between(&seed, 0.012, 0.024);
        d.tip_thickness = random_between(&seed, 0.008, 0.02);
        hw_digit_pose p = pose_of(&d, 1);
        for (int c = HW_CREASE_KNUCKLE; c <= HW_CREASE_DIP; c++) {
            hw_crease_pose at;
            hw_crease_of(&d, &p, (hw_crease)c, &at);
            if (isinf(at.gap)) continue;
            seen++;
            NEAR(distance_to(&d, &p, c, at.at), HW_FINGER_LEAST / 2, 1e-14); // rounding of hulls
            if (c > 0) NEAR(distance_to(&d, &p, c - 1, at.at), HW_FINGER_LEAST / 2, 1e-14);
            hw_digit moved = d;
            const double h = 1e-6; // error h^2 * length: 1e-14, over h
            double side[2];
            for (int w = 0; w < 2; w++) {
                moved.joint_travel[c][1] = d.joint_travel[c][1] + (w ? h : -h);
                hw_digit_pose q = pose_of(&moved, 1);
                side[w] = distance_to(&moved, &q, c, at.at);
            }
            NEAR((side[0] - side[1]) / (2 * h), at.closing[c], 1e-9);
        }
    }
    CHECK(seen > 3000);
}

// Least distance of two hulls by dense sampling of the outer one's axis; *faces: not at an end that
// lies beside or beyond the inner face, where the phalanx between the two is.
static double sampled(const hw_digit *d, const hw_digit_pose *p, int inner, int outer, bool *faces)
{
    hw_disc disc[2];
    hw_phalanx_discs(d, outer, disc);
    double least = INFINITY;
    enum { N = 2000 };
    for (int i = 0; i <= N; i++) {
        double t = i / (double)N;
        hw_vec2 at = hw_digit_point(p, outer, (hw_vec2){t * disc[1].at.x, 0});
        double r = disc[0].radius + t * (disc[1].radius - disc[0].radius);
        hw_vec2 edge = {fmin(at.x, 0), -d->thickness[0] / 2}; // the palm's nearest point
        double gap = (inner >= 0 ? distance_to(d, p, inner, at) : hw_norm(hw_sub(at, edge))) - r;
        if (!(gap < least)) continue;
        least = gap;
        hw_vec2 in = inner >= 0 ? hw_flexed(hw_sub(at, p->at[0]), -p->joint[0]) : at;
        *faces = t > 0.999 && in.x < (inner >= 0 ? 0.95 * d->phalanx[0] : 1e-12);
        if (inner >= 0 && in.z > 0) *faces = false;
    }
    return least;
}

// Gaps of parts that face each other against sampling, and rates against differences of the gap.
// Sampled discs lie inside the hull by up to the taper squared (0.3^2 / 2 of 12 mm): 0.6 mm.
static void facing_against_sampling(void)
{
    uint64_t seed = 12;
    int seen = 0, compared = 0;
    for (int k = 0; k < 1000; k++) {
        hw_digit d = even(random_between(&seed, 40, 100), random_between(&seed, 60, 110),
                          random_between(&seed, 20, 90));
        for (int j = 0; j < HW_JOINTS; j++) d.thickness[j] = random_between(&seed, 0.014, 0.02);
        d.tip_thickness = random_between(&seed, 0.009, 0.014);
        hw_digit_pose p = pose_of(&d, 1);
        for (int c = HW_CREASE_FOLD; c < HW_CREASES; c++) {
            hw_crease_pose at;
            hw_crease_of(&d, &p, (hw_crease)c, &at);
            if (isinf(at.gap) || at.gap < 0) continue;
            seen++;
            int inner = c == HW_CREASE_FOLD ? 0 : -1;
            bool faces = false;
            double least = sampled(&d, &p, inner, outer_of[c], &faces);
            CHECK(at.gap > least - 6e-4);
            if (faces) {
                NEAR(at.gap, least, 6e-4);
                compared++;
            }
            for (int j = inner + 1; j <= outer_of[c]; j++) {
                hw_digit moved = d;
                const double h = 1e-7;
                double side[2];
                for (int w = 0; w < 2; w++) {
                    moved.joint_travel[j][1] = d.joint_travel[j][1] + (w ? h : -h);
                    hw_digit_pose q = pose_of(&moved, 1);
                    hw_crease_pose near;
                    hw_crease_of(&moved, &q, (hw_crease)c, &near);
                    side[w] = near.gap;
                }
                // either side of a switch from disc to disc the rate differs: not there
                double two = (side[0] - side[1]) / (2 * h);
                double one = (side[0] - at.gap) / h;
                if (fabs(two - one) < 1e-6) NEAR(two, at.closing[j], 1e-6);
            }
        }
    }
    CHECK(seen > 1000 && compared > 300);
}

// Coupled bars: the drive's work on the way from one pose to the next is the finger's. Simpson of
// the torque over force = d(gap)/d(knuckle).
static void virtual_work_of_coupled_bars(void)
{
    hw_digit d = heron_index();
    const double torque[] = {0.5, NAN, NAN};
    int seen = 0;
    for (int k = 1; k < 40; k++) {
        double s = k / 40.0, h = 1e-5;
        hw_digit_pose p = pose_of(&d, s), before = pose_of(&d, s - h), after = pose_of(&d, s + h);
        for (int c = HW_CREASE_FOLD; c < HW_CREASES; c++) {
            hw_crease_pose at, a, b;
            hw_crease_of(&d, &p, (hw_crease)c, &at);
            hw_crease_of(&d, &before, (hw_crease)c, &a);
            hw_crease_of(&d, &after, (hw_crease)c, &b);
            double force = hw_crease_force(&d, &p, &at, torque);
            double turned = after.joint[0] - before.joint[0];
            if (isinf(a.gap) || isinf(b.gap) || !(force > 0)) continue;
            if (fabs(a.gap + b.gap - 2 * at.gap) > 1e-9) continue; // another disc is nearest
            seen++;
            CLOSE(force * (a.gap - b.gap), torque[0] * turned, 1e-6); // h^2 and rounding over h
        }
    }
    CHECK(seen > 10);
}

static hw_pinch pinch_of(const hw_digit *d, size_t n, double torque) // [N*m]
{
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    hw_pinch out = {0};
    CHECK(hw_stroke_new(a, n, &s) == HW_OK && hw_stroke_run(d, &s) == HW_OK);
    double *t = HW_NEW(a, double, n);
    for (size_t i = 0; t && i < n; i++) t[i] = torque;
    const double *const all[] = {t, t, t};
    CHECK(hw_pinch_of(d, &s, all, &out) == HW_OK);
    hw_arena_free(a);
    return out;
}

// Even phalanges, PIP alone moving to 100 degrees: its crease begins to count where the opening 10
// mm deep is 25 mm, tan(half) = 20/25, arm (9 + 2.5) * 0.8; the torque is spread over that.
static void worst_of_a_stroke_is_where_the_crease_begins(void)
{
    hw_digit d = even(0, 100, 0);
    for (size_t n = 17; n <= 257; n = 2 * n - 1) {
        hw_pinch m = pinch_of(&d, n, 0.1);
        CHECK(m.worst == HW_CREASE_PIP);
        double step = 100 * HW_PI / 180 / (double)(n - 1);
        NEAR(m.peak[HW_CREASE_PIP].force, 0.1 / (0.0115 * 0.8), 15 * step * step); // interpolated
        NEAR(m.peak[HW_CREASE_PIP].gap, HW_FINGER_MOST, 1e-12);
        NEAR(m.peak[HW_CREASE_DIP].force, 0, 0);
        CHECK(isnan(m.peak[HW_CREASE_DIP].at_s));
    }
    // up to 75 degrees the corner opens more than 25 mm: a finger slips out
    hw_digit wide = even(0, 75, 0);
    NEAR(pinch_of(&wide, 65, 0.1).peak[HW_CREASE_PIP].force, 0, 0);
}

// A hundred times the torque, a hundred times the force; gaps and places do not change.
static void force_is_proportional_to_torque(void)
{
    hw_digit d = heron_index();
    hw_pinch one = pinch_of(&d, 65, 0.4), many = pinch_of(&d, 65, 40);
    CHECK(one.peak[one.worst].force > 0 && one.worst == many.worst);
    for (int c = 0; c < HW_CREASES; c++) {
        CLOSE(many.peak[c].force, 100 * one.peak[c].force, 1e-12);
        if (one.peak[c].force > 0) NEAR(many.peak[c].at_s, one.peak[c].at_s, 1e-12);
    }
    // negative torque presses nobody
    NEAR(pinch_of(&d, 65, -1).peak[one.worst].force, 0, 0);
}

// Larger joints carry the corner further from the axis: less force from the same torque.
static void thicker_joints_press_less(void)
{
    double last = INFINITY;
    for (int k = 0; k < 5; k++) {
        hw_digit d = even(0, 100, 0);
        for (int j = 0; j < HW_JOINTS; j++) d.thickness[j] = 0.014 + 0.002 * k;
        double force = pinch_of(&d, 65, 0.1).peak[HW_CREASE_PIP].force;
        CHECK(force < last && force > 0);
        last = force;
    }
}

// Direct: the first joint to give way decides, and one on its opening stop cannot.
static void first_joint_to_give_way_decides(void)
{
    hw_digit d = even(90, 90, 40);
    hw_digit_pose p = pose_of(&d, 1);
    hw_crease_pose c = {.gap = 0.01, .closing = {0.05, 0.03, 0.02}};
    const double torque[] = {0.1, 0.1, 0.1}, weak[] = {0.1, 0.1, 0.01}, gone[] = {0.1, 0.1, -1};
    NEAR(hw_crease_force(&d, &p, &c, torque), 2, 1e-12);
    NEAR(hw_crease_force(&d, &p, &c, weak), 0.5, 1e-12);
    NEAR(hw_crease_force(&d, &p, &c, gone), 0, 0);
    p.joint[2] = d.joint_travel[2][0];
    NEAR(hw_crease_force(&d, &p, &c, gone), 2, 1e-12);
    p.joint[0] = d.joint_travel[0][0];
    p.joint[1] = d.joint_travel[1][0];
    NEAR(hw_crease_force(&d, &p, &c, torque), 0, 0);
}

static void wrong_input_is_said(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    hw_stroke s;
    hw_pinch m;
    CHECK(hw_stroke_new(a, 5, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    double t[5] = {1, 1, 1, 1, 1};
    const double *const none[HW_JOINTS] = {NULL, t, t}, *const one[HW_JOINTS] = {t, NULL, NULL};
    CHECK(hw_pinch_of(&d, &s, none, &m) == HW_BAD_INPUT && isnan(m.peak[0].force));
    CHECK(hw_pinch_of(&d, &s, one, &m) == HW_OK);
    d.family = HW_FAMILY_DIRECT;
    CHECK(hw_pinch_of(&d, &s, one, &m) == HW_BAD_INPUT);
    d.phalanx[0] = NAN;
    const double *const all[HW_JOINTS] = {t, t, t};
    CHECK(hw_pinch_of(&d, &s, all, &m) == HW_NO_ASSEMBLY && isnan(m.peak[2].force));
    for (int c = 0; c < HW_CREASES; c++) {
        CHECK(strlen(hw_crease_name(&d, (hw_crease)c)) > 10);
        for (int e = 0; e < c; e++)
            CHECK(strcmp(hw_crease_name(&d, (hw_crease)c), hw_crease_name(&d, (hw_crease)e)) != 0);
    }
    CHECK(strlen(hw_crease_name(&d, (hw_crease)-1)) > 3);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_right_angle_in_numbers);
    RUN(a_fold_in_numbers);
    RUN(corners_against_distances);
    RUN(facing_against_sampling);
    RUN(virtual_work_of_coupled_bars);
    RUN(worst_of_a_stroke_is_where_the_crease_begins);
    RUN(force_is_proportional_to_torque);
    RUN(thicker_joints_press_less);
    RUN(first_joint_to_give_way_decides);
    RUN(wrong_input_is_said);
    return TEST_END();
}
