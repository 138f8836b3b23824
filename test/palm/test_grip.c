// Grip patterns: where they end, by the poses themselves; sizes, refusals.
#include "check.h"
#include "motion.h"
#include "palm/grip.h"

static const double deg = HW_PI / 180;

static void hand(hw_palm *p, motions *m, double scale) // [1]
{
    hw_palm_def f;
    natural_motions(m);
    CHECK(hw_palm_def_of(0.186 * scale, 0.084 * scale, &f) == HW_OK);
    for (int d = 1; d < HW_HAND_DIGITS; d++)
        f.digit[d].splay[0] = -8 * deg, f.digit[d].splay[1] = 6 * deg;
    CHECK(hw_palm_of(&f, p) == HW_OK);
}

static void pose_in(const hw_palm *p, const motions *m, const hw_palm_stance *s, int digit,
                    hw_palm_pose *out)
{
    double joint[HW_SEGMENTS];
    hw_palm_stance_joints(s, &m->of[digit], digit, joint);
    hw_palm_pose_of(p, digit, s->aside[digit], joint, out);
}

static double to_object(const hw_palm *p, const motions *m, const hw_grip_closing *c,
                        const hw_palm_stance *s, int digit)
{
    hw_palm_pose pose;
    double least = INFINITY;
    pose_in(p, m, s, digit, &pose);
    for (int k = 0; k < HW_SEGMENTS; k++) {
        hw_body box = hw_palm_box(p, digit, &pose, k);
        least = fmin(least, hw_body_clear(&box, &c->object, INFINITY));
    }
    return least;
}

// Every finger lies on the cylinder at the end, and none has been in it before; the cylinder lies
// on the palm's inside. The thumb comes last, onto the back of the index.
static void round_a_cylinder(void)
{
    hw_palm p;
    motions m;
    hand(&p, &m, 1);
    hw_grip_closing c;
    hw_palm_stance s;
    CHECK(hw_grip_closing_of(&p, m.of, HW_GRIP_POWER, false, &c) == HW_OK);
    NEAR(2 * c.object.half.x, 0.4 * p.breadth, 1e-12);
    const hw_vec3 up = {0, 0, 1};
    NEAR(hw_body_reach(&c.object, up), p.digit[2].knuckle.at.z + p.back - p.thickness, 1e-12);
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        CHECK(c.to.close[d] > 0.1 && c.to.close[d] < 0.9 && c.to.aside[d] == 0);
        for (int i = 0; i <= 20; i++) {
            hw_grip_stance_at(&c, i / 20.0, &s);
            CHECK(to_object(&p, &m, &c, &s, d) > -1e-6);
        }
        CHECK(to_object(&p, &m, &c, &c.to, d) < 1e-6);
    }
    hw_grip_stance_at(&c, 0.5, &s);
    CHECK(s.close[1] == c.to.close[1] && s.close[0] == 0);
    NEAR(s.aside[0], p.opposition[0], 1e-15);
    hw_palm_pose pose;
    hw_vec3 normal, thumb;
    pose_in(&p, &m, &c.to, 0, &pose);
    thumb = hw_palm_pad(&p, 0, &pose, &normal);
    pose_in(&p, &m, &c.to, 1, &pose);
    const hw_palm_digit *d = &p.digit[1];
    hw_vec3 back = hw_vec3_along(pose.phalanx[1].at, 0.5 * d->segment[1], pose.phalanx[1].x);
    back = hw_vec3_along(back, 0.25 * (d->thickness[1] + d->thickness[2]), pose.phalanx[1].z);
    NEAR(hw_vec3_norm(hw_vec3_sub(thumb, back)), c.miss, 1e-9);
    printf("power: %.4f m, %.1f deg\n", c.miss, c.angle / deg);
}

// The middle pad and the thumb's are a ball's width apart, its middle between them, and on the way
// were farther; the outer fingers are spread away from the middle one.
static void round_a_ball(void)
{
    hw_palm p;
    motions m;
    hand(&p, &m, 1);
    hw_grip_closing c;
    CHECK(hw_grip_closing_of(&p, m.of, HW_GRIP_SPHERICAL, false, &c) == HW_OK);
    for (int i = 0; i <= 10; i++) {
        hw_palm_stance s;
        hw_palm_pose pose;
        hw_vec3 pad[2], normal;
        hw_grip_stance_at(&c, i / 10.0, &s);
        for (int k = 0; k < 2; k++) {
            pose_in(&p, &m, &s, 2 * k, &pose);
            pad[k] = hw_palm_pad(&p, 2 * k, &pose, &normal);
        }
        double wide = hw_vec3_norm(hw_vec3_sub(pad[1], pad[0]));
        CHECK(i == 10 || wide > 0.75 * p.breadth);
        if (i < 10) continue;
        NEAR(wide, 0.75 * p.breadth, 1e-9);
        hw_vec3 middle = hw_vec3_times(hw_vec3_add(pad[0], pad[1]), 0.5);
        NEAR(hw_vec3_norm(hw_vec3_sub(c.object.frame.at, middle)), 0, 1e-12);
        NEAR(c.object.half.x, 0.5 * wide, 1e-9);
    }
    CHECK(c.to.aside[1] == p.digit[1].splay[1] && c.to.aside[4] == p.digit[4].splay[0]);
    CHECK(c.to.close[1] == c.to.close[2] && c.to.close[4] == c.to.close[2]);
    CHECK(c.to.close[2] > 0.1 && c.to.close[2] < 0.6);
}

// Pads are as far apart at the end as it says, and those who hold do not splay or oppose on the
// way.
static void pads_that_meet(void)
{
    static const struct {
        hw_grip_pattern grip;
        int fingers;
        double most; // miss, of the thumb's last segment [1]
    } row[] = {{HW_GRIP_TIP, 1, 1e-3}, {HW_GRIP_TRIPOD, 2, 0.6}, {HW_GRIP_EXTENSION, 2, 2.5}};
    hw_palm p;
    motions m;
    hand(&p, &m, 1);
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        hw_grip_closing c;
        CHECK(hw_grip_closing_of(&p, m.of, row[i].grip, false, &c) == HW_OK);
        hw_palm_pose pose;
        hw_vec3 normal, thumb, pad;
        double miss = 0;
        pose_in(&p, &m, &c.to, 0, &pose);
        thumb = hw_palm_pad(&p, 0, &pose, &normal);
        for (int d = 1; d <= row[i].fingers; d++) {
            pose_in(&p, &m, &c.to, d, &pose);
            pad = hw_palm_pad(&p, d, &pose, &normal);
            miss = fmax(miss, hw_vec3_norm(hw_vec3_sub(thumb, pad)));
        }
        NEAR(miss, c.miss, 1e-12);
        printf("%s: %.4f m, %.1f deg\n", hw_grip_name(row[i].grip), c.miss, c.angle / deg);
        CHECK(c.miss <= row[i].most * p.digit[0].segment[2]);
        CHECK(c.from.aside[0] == c.to.aside[0] && c.from.aside[1] == c.to.aside[1]);
        CHECK(c.fingers[1] == 1 && c.flex[0] == 0 && c.object.kind == HW_BODY_HULL);
        // two fingers can be no nearer than half of their pads' distance
        if (row[i].grip == HW_GRIP_TRIPOD) CHECK(c.miss > 0.3 * p.digit[1].width);
        if (row[i].grip == HW_GRIP_EXTENSION) CHECK(c.to.close[4] <= 0.4 && c.to.close[1] >= 0.1);
        if (row[i].grip == HW_GRIP_TIP) CHECK(c.to.close[3] == 0.25);
    }
}

// The thumb comes down on the side of the index, after it; the same by hand.
static void lateral_on_the_side(void)
{
    hw_palm p;
    motions m;
    hand(&p, &m, 1);
    hw_grip_closing c;
    CHECK(hw_grip_closing_of(&p, m.of, HW_GRIP_LATERAL, false, &c) == HW_OK);
    hw_palm_pose pose;
    hw_vec3 normal, thumb, side;
    pose_in(&p, &m, &c.to, 0, &pose);
    thumb = hw_palm_pad(&p, 0, &pose, &normal);
    pose_in(&p, &m, &c.to, 1, &pose);
    const hw_frame *f = &pose.phalanx[1];
    side = hw_vec3_along(f->at, 0.5 * p.digit[1].segment[1], f->x);
    side = hw_vec3_along(side, 0.5 * p.digit[1].width, f->y);
    NEAR(hw_vec3_norm(hw_vec3_sub(thumb, side)), c.miss, 1e-12);
    printf("lateral: %.4f m, %.1f deg\n", c.miss, c.angle / deg);
    CHECK(c.miss < 0.5 * p.digit[0].segment[2]);
    CHECK(c.to.close[1] >= 0.5 && c.to.close[1] <= 0.9 && c.to.close[4] == c.to.close[1]);
    hw_palm_stance s;
    hw_grip_stance_at(&c, 0.5, &s);
    CHECK(s.close[1] == c.to.close[1] && s.close[0] == 0);
    NEAR(s.aside[0], p.opposition[0], 1e-15);
    hw_grip_stance_at(&c, 0.75, &s);
    NEAR(s.aside[0], c.to.aside[0], 1e-15);
    CHECK(s.close[0] == 0);
    hw_grip_stance_at(&c, 0.875, &s);
    NEAR(s.close[0], 0.5 * c.to.close[0], 1e-12);
    NEAR(s.curl, 0.5 * c.to.curl, 1e-12);
}

// A thumb in one motion ends with both its shares alike.
static void tied_thumbs(void)
{
    hw_palm p;
    motions m;
    hand(&p, &m, 1);
    for (int g = 0; g < HW_GRIPS; g++) {
        hw_grip_closing c, free;
        CHECK(hw_grip_closing_of(&p, m.of, (hw_grip_pattern)g, true, &c) == HW_OK);
        CHECK(c.to.curl == c.to.close[0] && c.from.curl == c.from.close[0]);
        CHECK(hw_grip_closing_of(&p, m.of, (hw_grip_pattern)g, false, &free) == HW_OK);
        if (g == HW_GRIP_TIP) CHECK(free.miss <= c.miss + 1e-6);
    }
}

static void ten_times_and_refused(void)
{
    hw_palm p, q;
    motions m;
    hand(&p, &m, 1);
    hand(&q, &m, 10);
    for (int g = 0; g < HW_GRIPS; g++) {
        hw_grip_closing a, b;
        CHECK(hw_grip_closing_of(&p, m.of, (hw_grip_pattern)g, false, &a) == HW_OK);
        CHECK(hw_grip_closing_of(&q, m.of, (hw_grip_pattern)g, false, &b) == HW_OK);
        for (int d = 0; d < HW_HAND_DIGITS; d++) NEAR(b.to.close[d], a.to.close[d], 1e-6);
        if (!isnan(a.miss)) NEAR(b.miss, 10 * a.miss, 1e-6);
    }
    hw_grip_closing c;
    CHECK(hw_grip_closing_of(&p, m.of, HW_GRIPS, false, &c) == HW_BAD_INPUT);
    CHECK(isnan(c.to.close[1]) && hw_grip_name(HW_GRIPS) == NULL);
    p.digit[3].present = false; // its motion is not read
    m.of[3].n = 0;
    CHECK(hw_grip_closing_of(&p, m.of, HW_GRIP_POWER, false, &c) == HW_OK);
    p.digit[0].present = false;
    CHECK(hw_grip_closing_of(&p, m.of, HW_GRIP_POWER, false, &c) == HW_BAD_INPUT);
    q.breadth = (double)NAN;
    CHECK(hw_grip_closing_of(&q, m.of, HW_GRIP_SPHERICAL, false, &c) == HW_BAD_INPUT);
}

// Distal on distal, the thumb's on the index's side, the thumb on any finger it wraps.
static void what_is_to_touch(void)
{
    static const struct {
        hw_grip_pattern grip;
        int digit[2], phalanx[2];
        bool means;
    } row[] = {{HW_GRIP_TIP, {0, 1}, {2, 2}, true},      {HW_GRIP_TIP, {1, 0}, {2, 2}, true},
               {HW_GRIP_TIP, {0, 2}, {2, 2}, false},     {HW_GRIP_TIP, {0, 1}, {1, 2}, false},
               {HW_GRIP_TIP, {0, 1}, {2, 1}, false},     {HW_GRIP_TRIPOD, {2, 0}, {2, 2}, true},
               {HW_GRIP_TRIPOD, {0, 3}, {2, 2}, false},  {HW_GRIP_TRIPOD, {1, 2}, {2, 2}, false},
               {HW_GRIP_LATERAL, {0, 1}, {2, 0}, true},  {HW_GRIP_LATERAL, {0, 1}, {1, 0}, false},
               {HW_GRIP_POWER, {3, 0}, {1, 1}, true},    {HW_GRIP_POWER, {0, 3}, {0, 1}, false},
               {HW_GRIP_POWER, {3, 4}, {1, 1}, false},   {HW_GRIP_SPHERICAL, {0, 1}, {2, 2}, false},
               {HW_GRIP_EXTENSION, {0, 2}, {2, 2}, true}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++)
        CHECK(hw_grip_means(row[i].grip, row[i].digit, row[i].phalanx) == row[i].means);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(round_a_cylinder);
    RUN(round_a_ball);
    RUN(pads_that_meet);
    RUN(lateral_on_the_side);
    RUN(tied_thumbs);
    RUN(ten_times_and_refused);
    RUN(what_is_to_touch);
    return TEST_END();
}
