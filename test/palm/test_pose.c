// Digits posed on the palm, splayed and opposed.
#include "check.h"
#include "motion.h"

static const double deg = HW_PI / 180;

static double apart(hw_vec3 a, hw_vec3 b)
{
    return hw_vec3_norm(hw_vec3_sub(a, b));
}

static hw_palm palm(void)
{
    hw_palm_def f;
    hw_palm p = {0};
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    return p;
}

// The middle finger points along the palm: 50, 32 and 20 mm of it, straight and at right angles.
static void flexed_by_hand(void)
{
    hw_palm p = palm();
    hw_palm_pose o;
    hw_vec3 at = p.digit[2].knuckle.at;
    const double *l = p.digit[2].segment, square[] = {90 * deg, 90 * deg, 90 * deg};
    hw_palm_pose_of(&p, 2, 0, (const double[]){0, 0, 0}, &o);
    NEAR(apart(o.tip, (hw_vec3){at.x + l[0] + l[1] + l[2], at.y, at.z}), 0, 1e-15);
    hw_palm_pose_of(&p, 2, 0, square, &o); // down, back, up
    NEAR(apart(o.tip, (hw_vec3){at.x - l[1], at.y, at.z - l[0] + l[2]}), 0, 1e-15);
    hw_vec3 normal, pad = hw_palm_pad(&p, 2, &o, &normal);
    double t = p.digit[2].thickness[2], u = p.digit[2].thickness[3];
    // the last segment points up: its pad looks forward, to the proximal, and a little up
    double slant = atan2((t - u) / 2, l[2]);
    NEAR(apart(normal, (hw_vec3){cos(slant), 0, sin(slant)}), 0, 1e-12);
    NEAR(pad.x, at.x - l[1] + (t + u) / 4, 1e-12);
    NEAR(pad.z, at.z - l[0] + l[2] / 2, 1e-12);
    hw_body box = hw_palm_box(&p, 2, &o, 1);
    CHECK(box.kind == HW_BODY_BOX);
    NEAR(apart(box.frame.at, (hw_vec3){at.x - l[1] / 2, at.y, at.z - l[0]}), 0, 1e-15);
    CLOSE(2 * box.half.y, p.digit[2].width, 1e-12);
    CLOSE(2 * box.half.z, p.digit[2].thickness[1], 1e-12);
}

// Splay of the straight finger swings it, of one flexed by 85 degrees it twists it: the direction
// of the proximal turns by cos(85) of it, and about itself by sin(85).
static void splay_becomes_twist(void)
{
    hw_palm p = palm();
    const double splay = 1e-4;
    for (int i = 0; i < 3; i++) {
        double f = (const double[]){0, 45 * deg, 85 * deg}[i];
        hw_palm_pose still, turned;
        hw_palm_pose_of(&p, 3, 0, (const double[]){f, 0, 0}, &still);
        hw_palm_pose_of(&p, 3, splay, (const double[]){f, 0, 0}, &turned);
        hw_palm_splaying share = hw_palm_splaying_at(f);
        NEAR(apart(turned.phalanx[0].x, still.phalanx[0].x) / splay, share.sideways, 1e-4);
        // what y turns about x: toward z
        double twist =
            hw_vec3_dot(hw_vec3_sub(turned.phalanx[0].y, still.phalanx[0].y), still.phalanx[0].z) /
            splay;
        NEAR(fabs(twist), share.twist, 1e-4);
    }
    CHECK(hw_palm_splaying_at(85 * deg).twist > 0.99);
    CLOSE(hw_palm_splay_of_people(20 * deg, 0), 20 * deg, 1e-15);
    CLOSE(hw_palm_splay_of_people(20 * deg, 35 * deg), 10 * deg, 1e-12);
    CHECK(hw_palm_splay_of_people(20 * deg, 85 * deg) == 0);
    // toward the thumb is positive, about an axis behind the knuckle
    hw_palm_pose o;
    hw_palm_pose_of(&p, 3, 10 * deg, (const double[]){0, 0, 0}, &o);
    double radius = 0.75 * p.digit[3].thickness[0];
    NEAR(o.base.at.y - p.digit[3].knuckle.at.y, radius * sin(10 * deg), 1e-12);
    NEAR(p.digit[3].knuckle.at.x - o.base.at.x, radius * (1 - cos(10 * deg)), 1e-12);
}

static void opposed_before_the_palm(void)
{
    hw_palm p = palm();
    hw_palm_pose open, closed;
    const double straight[] = {0, 0, 0};
    hw_palm_pose_of(&p, 0, 0, straight, &open);
    hw_palm_pose_of(&p, 0, 45 * deg, straight, &closed);
    CHECK(closed.tip.z < open.tip.z && closed.tip.y < open.tip.y);
    CHECK(apart(closed.base.at, open.base.at) < 1e-15);
    NEAR(apart(closed.tip, closed.base.at), apart(open.tip, open.base.at), 1e-15);
}

// The axis along the palm, the thumb straight aside: its base, 20 mm before the axis, and all that
// follows go round the point behind it.
static void opposed_about_an_axis_behind(void)
{
    hw_palm_def f;
    hw_palm p, at_base;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK);
    f.opposition_turn = f.opposition_rise = 0;
    f.digit[0].points = (hw_palm_pointing){90 * deg, 0, -30 * deg};
    CHECK(hw_palm_of(&f, &at_base) == HW_OK);
    f.opposition_behind = 0.02;
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    CHECK(apart(at_base.opposition_at, f.digit[0].knuckle) == 0);
    hw_vec3 at = f.digit[0].knuckle, through = {at.x, at.y - 0.02, at.z};
    NEAR(apart(p.opposition_at, through), 0, 1e-15);
    double reach = 0;
    for (int k = 0; k < HW_SEGMENTS; k++) reach += f.digit[0].segment[k];
    for (int i = -1; i <= 9; i++) {
        double q = 10 * deg * i;
        const double straight[] = {0, 0, 0}, bent[] = {0.3, 0.5, 0.7};
        const hw_vec3 along = {0, cos(q), -sin(q)};
        hw_palm_pose o, there;
        hw_palm_pose_of(&p, 0, q, straight, &o);
        NEAR(apart(o.base.at, hw_vec3_along(through, 0.02, along)), 0, 1e-15);
        NEAR(apart(o.tip, hw_vec3_along(through, 0.02 + reach, along)), 0, 1e-15);
        // the axis carries all the way along: directions are those of an axis through the base
        hw_palm_pose_of(&p, 0, q, bent, &o);
        hw_palm_pose_of(&at_base, 0, q, bent, &there);
        CHECK(apart(there.base.at, at) < 1e-15);
        hw_vec3 gone = hw_vec3_sub(o.base.at, at);
        NEAR(apart(o.tip, hw_vec3_add(there.tip, gone)), 0, 1e-15);
        NEAR(apart(o.phalanx[2].z, there.phalanx[2].z), 0, 1e-15);
    }
}

static void between_poses(void)
{
    motions m;
    natural_motions(&m);
    double joint[HW_SEGMENTS];
    hw_palm_motion_at(&m.of[1], 0.37, joint);
    CLOSE(joint[0], 0.37 * 85 * deg, 1e-12);
    hw_palm_motion_at(&m.of[1], 1, joint);
    CLOSE(joint[2], 63 * deg, 1e-15);
    hw_palm_motion_at(&m.of[1], 1.01, joint);
    CHECK(isnan(joint[0]));
    hw_palm_motion_at(&(hw_palm_motion){1, {joint, joint, joint}}, 0, joint);
    CHECK(isnan(joint[1]));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(flexed_by_hand);
    RUN(splay_becomes_twist);
    RUN(opposed_before_the_palm);
    RUN(opposed_about_an_axis_behind);
    RUN(between_poses);
    (void)hw_check_text;
    return TEST_END();
}
