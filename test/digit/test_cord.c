#include "check.h"
#include "digit/contact.h"
#include "random_digit.h"

static hw_digit cord(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_CORD;
    return d;
}

static void faults_have_names(void)
{
    hw_digit d = cord();
    CHECK(hw_digit_check(&d) == HW_DIGIT_SOUND);
    d.cord.arm[1] = 0;
    CHECK(hw_digit_check(&d) == HW_DIGIT_CORD);
    d = cord();
    d.cord.spring_preload[2] = -1e-6;
    CHECK(hw_digit_check(&d) == HW_DIGIT_CORD);
    d = cord();
    d.joint_travel[2][0] = 2;
    CHECK(hw_digit_check(&d) == HW_DIGIT_TRAVEL);
    d = cord();
    d.cord.spring_rate[0] = NAN;
    CHECK(hw_digit_check(&d) == HW_DIGIT_NOT_FINITE);
    double t, x;
    CHECK(hw_cord_free(&d, 0, &t, &x) == HW_BAD_INPUT && isnan(t) && isnan(x));
    CHECK(hw_digit_family_of(HW_FAMILY_CORD)->mechanism == NULL);
}

// Ends, monotony, and each joint in balance or at the stop that its torque pushes it into.
static void every_pose_is_in_balance(void)
{
    uint64_t seed = 41;
    for (int i = 0; i < 300; i++) {
        hw_digit d = cord();
        for (int j = 0; j < HW_JOINTS; j++) {
            d.cord.arm[j] = random_between(&seed, 0.002, 0.01);
            d.cord.spring_rate[j] = random_between(&seed, 0.001, 0.05);
            d.cord.spring_preload[j] = random_between(&seed, 0, 0.05);
            d.joint_travel[j][0] = random_between(&seed, -0.3, 0);
            d.joint_travel[j][1] = random_between(&seed, 0.5, 1.8);
        }
        double last = -1, full, tension, pulled;
        hw_digit_pose p;
        CHECK(hw_cord_free(&d, 1, &tension, &full) == HW_OK);
        for (int k = 0; k <= 40; k++) {
            double s = k / 40.0;
            CHECK(hw_digit_family_of(d.family)->pose(&d, s, &p) == HW_OK);
            CHECK(hw_cord_free(&d, s, &tension, &pulled) == HW_OK);
            CHECK(tension >= last);
            last = tension;
            double torque[HW_JOINTS], length = 0;
            hw_cord_torque(&d, p.joint, tension, torque);
            for (int j = 0; j < HW_JOINTS; j++) {
                double low = d.joint_travel[j][0], high = d.joint_travel[j][1];
                double size = 1e-12 * (0.1 + tension * 0.01); // N*m, of the terms' size
                if (p.joint[j] > low + 1e-12) CHECK(torque[j] >= -size);
                if (p.joint[j] < high - 1e-12) CHECK(torque[j] <= size);
                double rest = -d.cord.spring_preload[j] / d.cord.spring_rate[j];
                length += d.cord.arm[j] * (p.joint[j] - fmin(fmax(rest, low), high));
            }
            NEAR(length, pulled, 1e-13); // m, of some 0.02
            CLOSE(pulled, s * full, 1e-12);
        }
        for (int j = 0; j < HW_JOINTS; j++) NEAR(p.joint[j], d.joint_travel[j][1], 1e-12);
    }
}

static void springs_without_rate_jump(void)
{
    hw_digit d = cord();
    for (int j = 0; j < HW_JOINTS; j++) {
        d.cord.spring_rate[j] = 0;
        d.cord.arm[j] = 0.005;
        d.cord.spring_preload[j] = 0.01 * (3 - j); // the tip's joint first
        d.joint_travel[j][0] = 0;
        d.joint_travel[j][1] = 1;
    }
    const hw_digit_family *f = hw_digit_family_of(d.family);
    hw_digit_pose p;
    CHECK(f->pose(&d, 0.5, &p) == HW_OK); // half the cord: tip's joint closed, middle half way
    NEAR(p.joint[2], 1, 1e-15);
    NEAR(p.joint[1], 0.5, 1e-15 * 4);
    NEAR(p.joint[0], 0, 1e-15);
    double tension, pulled;
    CHECK(hw_cord_free(&d, 0.5, &tension, &pulled) == HW_OK);
    CLOSE(tension, 4.0, 1e-15 * 4);
    NEAR(p.rate[1], 3, 1e-14); // d/ds, joint 0 at rest: a third of the cord for one radian
    for (int j = 0; j < HW_JOINTS; j++) d.cord.spring_preload[j] = 0.01;
    CHECK(f->pose(&d, 0.5, &p) == HW_OK); // all at one tension: together
    for (int j = 0; j < HW_JOINTS; j++) NEAR(p.joint[j], 0.5, 1e-15 * 4);
    for (int j = 0; j < HW_JOINTS; j++) d.joint_travel[j][1] = 0;
    CHECK(f->pose(&d, 0.5, &p) == HW_OK); // nothing to close
    for (int j = 0; j < HW_JOINTS; j++) CHECK(p.joint[j] == 0 && p.rate[j] == 0);
}

// The least tension that no joint gives way to, and pins that carry load and cord.
static void unit_load(void)
{
    hw_digit d = cord();
    const hw_digit_family *f = hw_digit_family_of(d.family);
    hw_load unit = hw_digit_unit_load(&d);
    hw_digit_pose p;
    hw_digit_statics r;
    CHECK(f->pose(&d, 0, &p) == HW_OK && f->statics(&d, &p, &unit, 1, &r) == HW_OK);
    // straight: 90/8, 45/6, 18/4 mm/mm: the knuckle asks most
    CLOSE(r.torque, 0.09, 1e-14);
    CLOSE(r.joint_torque[2], 0.09 / 0.008 * 0.004, 1e-14);
    for (int j = 0; j < HW_JOINTS; j++) CHECK(hw_norm(r.pin[j]) > 11 && hw_norm(r.pin[j]) < 12);
    // at the knuckle the cord runs along the carrier and the load across it
    CLOSE(r.pin[0].x, 0.09 / 0.008, 1e-14);
    NEAR(r.pin[0].z, -1, 1e-14);
    // at the PIP it comes from a larger pulley, 2 mm further out 45 mm back: that leans on the pin
    double lean = 0.002 / 0.045, tension = 0.09 / 0.008;
    CLOSE(r.pin[1].z, -1 + tension * lean, 1e-13);
    CLOSE(r.pin[1].x, tension * sqrt(1 - lean * lean), 1e-14);
    hw_load shut = unit;
    shut.force.z = -1;
    CHECK(f->statics(&d, &p, &shut, 1, &r) == HW_OK && r.torque == 0); // a cord does not push
    shut.phalanx = -1;
    CHECK(f->statics(&d, &p, &shut, 1, &r) == HW_BAD_INPUT);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(faults_have_names);
    RUN(every_pose_is_in_balance);
    RUN(springs_without_rate_jump);
    RUN(unit_load);
    return TEST_END();
}
