// Neighbouring fingers: by hand, and against distances of their boxes.
#include "check.h"
#include "motion.h"
#include "palm/beside.h"

static const double deg = HW_PI / 180;

// Two parallel fingers of one size, `apart` between their sides, the second rolled toward the
// first.
static hw_palm pair(double apart, double roll)
{
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK);
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        f.digit[d].points = (hw_palm_pointing){0, 0, d == 3 ? roll : 0};
        f.digit[d].width = 0.014;
        f.digit[d].knuckle = (hw_vec3){0.08, (2 - d) * (0.014 + apart), 0};
        f.digit[d].splay_behind = 0.0135;
        f.digit[d].splay[0] = -10 * deg;
        f.digit[d].splay[1] = 10 * deg;
        for (int k = 0; k < HW_SEGMENTS; k++) f.digit[d].segment[k] = 0.045 - 0.01 * k;
        for (int k = 0; k < HW_PALM_DEPTHS; k++) f.digit[d].thickness[k] = 0.018;
    }
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    return p;
}

// Parallel, the gap is what it is; rolled by g, a point d below the axis comes nearer by d sin g.
static void rolled_by_hand(void)
{
    motions m;
    motions_to(&m, (const double[]){90 * deg, 0, 0}, (const double[]){0, 0, 0});
    hw_palm p = pair(0.003, 0);
    hw_palm_pair o;
    CHECK(hw_palm_pair_of(&p, 2, &m.of[2], &m.of[3], &o) == HW_OK);
    NEAR(o.open, 0.003, 1e-15);
    NEAR(o.closed, 0.003, 1e-15);
    CHECK(o.roll == 0);
    const double g = 1.2 * deg, d = 0.045 + 0.035 + 0.025;
    p = pair(0.003, g);
    CHECK(hw_palm_pair_of(&p, 2, &m.of[2], &m.of[3], &o) == HW_OK);
    NEAR(o.roll, g, 1e-12);
    // the corner d below the axis, half the width turned with it
    NEAR(o.closed, 0.003 + 0.007 - 0.007 * cos(g) - d * sin(g), 1e-12);
    NEAR(o.depth, d * cos(g) - 0.007 * sin(g), 1e-12);
    NEAR(o.free_roll, asin(sin(g) + o.closed / o.depth), 1e-12);
    hw_palm_pair deep; // farther into each other than they are deep: no roll frees them
    p = pair(-0.13, 0);
    CHECK(hw_palm_pair_of(&p, 2, &m.of[2], &m.of[3], &deep) == HW_OK);
    CHECK(deep.closed < -deep.depth);
    NEAR(deep.free_roll, -HW_PI / 2, 1e-12);
    p = pair(0.003, o.free_roll); // so far it goes, and no further
    CHECK(hw_palm_pair_of(&p, 2, &m.of[2], &m.of[3], &o) == HW_OK);
    NEAR(o.closed, 0, 2e-6);
    p = pair(0.003, 9 * deg); // people's own convergence: rigid fingers meet
    CHECK(hw_palm_pair_of(&p, 2, &m.of[2], &m.of[3], &o) == HW_OK);
    CHECK(o.closed < -0.010 && o.least <= o.closed && o.open > 0);
}

// Never more than the true distance of the boxes, equal to it where they are parallel.
static void beside_true_distances(void)
{
    motions m;
    natural_motions(&m);
    for (int r = -2; r <= 2; r++) {
        hw_palm p = pair(0.004, r * 0.8 * deg);
        hw_palm_pair o;
        CHECK(hw_palm_pair_of(&p, 2, &m.of[2], &m.of[3], &o) == HW_OK);
        for (int end = 0; end < 2; end++) {
            double joint[HW_SEGMENTS], true_gap = INFINITY, got = end ? o.closed : o.open;
            hw_palm_pose a, b;
            hw_palm_motion_at(&m.of[2], end, joint);
            hw_palm_pose_of(&p, 2, 0, joint, &a);
            hw_palm_pose_of(&p, 3, 0, joint, &b);
            for (int i = 0; i < HW_SEGMENTS; i++)
                for (int k = 0; k < HW_SEGMENTS; k++) {
                    hw_body x = hw_palm_box(&p, 2, &a, i), y = hw_palm_box(&p, 3, &b, k);
                    hw_nearness n;
                    CHECK(hw_body_near(&x, &y, &n) == HW_OK);
                    true_gap = fmin(true_gap, n.distance);
                }
            CHECK(got <= true_gap + 1e-9);
            NEAR(got, true_gap, r == 0 ? 1e-9 : 0.002);
        }
    }
}

// Splay at which a straight finger's side meets its straight neighbour's: found by the distance of
// their boxes too.
static void splay_until_they_meet(void)
{
    motions m;
    natural_motions(&m);
    hw_palm p = pair(0.004, 0);
    hw_palm_splay_room o;
    CHECK(hw_palm_splay_room_of(&p, 3, m.of, &o) == HW_OK);
    CHECK(o.free[0][0] > 10 * deg);                // its neighbours make way by their 10 degrees
    p.digit[2].splay[1] = p.digit[4].splay[0] = 0; // or stand still
    CHECK(hw_palm_splay_room_of(&p, 3, m.of, &o) == HW_OK);
    NEAR(o.free[0][0], o.free[0][1], 1e-6); // neighbours alike
    CHECK(o.free[0][0] > 1 * deg && o.free[0][0] < 5 * deg);
    // the tip's corner swings past the gap: length behind the axis and half the width
    double reach = 0.0135 + 0.045 + 0.035 + 0.025, s = o.free[0][1];
    NEAR(reach * sin(s) + 0.007 * cos(s), 0.011, 1e-7);
    CHECK(0.011 * cos(s) - reach * sin(s) <= 0.007); // the other plane says less
    CHECK(o.free[1][0] > o.free[0][0]);              // flexed, splay is twist: it may turn further
    NEAR(o.aside[0], 2 * reach * sin(10 * deg), 1e-12);
    CHECK(o.aside[1] < 0.4 * o.aside[0]);
    CHECK(hw_palm_splay_room_of(&p, 4, m.of, &o) == HW_OK && isinf(o.free[0][0]));
    p.digit[2].present = false;
    CHECK(hw_palm_splay_room_of(&p, 3, m.of, &o) == HW_OK && isinf(o.free[0][1]));
}

static void ten_times_and_refused(void)
{
    hw_palm_def f, g;
    hw_palm p, q;
    motions m;
    natural_motions(&m);
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    CHECK(hw_palm_def_of(1.86, 0.84, &g) == HW_OK && hw_palm_of(&g, &q) == HW_OK);
    hw_palm_pair a, b;
    for (int d = 1; d < 4; d++) {
        CHECK(hw_palm_pair_of(&p, d, &m.of[d], &m.of[d + 1], &a) == HW_OK);
        CHECK(hw_palm_pair_of(&q, d, &m.of[d], &m.of[d + 1], &b) == HW_OK);
        CLOSE(b.closed, 10 * a.closed, 1e-9);
        CLOSE(b.open, 10 * a.open, 1e-9);
        NEAR(b.free_roll, a.free_roll, 1e-9);
    }
    CHECK(hw_palm_pair_of(&p, 4, &m.of[4], &m.of[4], &a) == HW_BAD_INPUT && isnan(a.least));
    CHECK(hw_palm_pair_of(&p, 0, &m.of[0], &m.of[1], &a) == HW_BAD_INPUT);
    hw_palm_splay_room o;
    CHECK(hw_palm_splay_room_of(&p, 0, m.of, &o) == HW_BAD_INPUT && isnan(o.aside[0]));
    m.joint[2][0][3] = (double)NAN;
    CHECK(hw_palm_splay_room_of(&p, 1, m.of, &o) == HW_BAD_INPUT);
    CHECK(hw_palm_pair_of(&p, 1, &m.of[1], &m.of[2], &a) == HW_BAD_INPUT);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(rolled_by_hand);
    RUN(beside_true_distances);
    RUN(splay_until_they_meet);
    RUN(ten_times_and_refused);
    (void)hw_check_text;
    return TEST_END();
}
