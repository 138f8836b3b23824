// Published method: Birglen & Gosselin 2004, IEEE Trans. Robotics and Automation 20(2), and
// Birglen, Laliberte & Gosselin 2008, Underactuated Robotic Hands (Springer), method from memory;
// the numbers are those of docs/sources/mechanics.md, reckoned by virtual work.
#include "check.h"
#include "digit/contact.h"
#include "random_digit.h"

static const double deg = HW_PI / 180;

static void table_of_forces(void)
{
    // mm and N*mm, as in the source of the numbers; seven printed digits
    static const struct {
        size_t n;
        double l[2], joint[3], torque[3], k[3], want[3];
    } row[] = {
        {2, {50}, {0, 30}, {200, 120}, {25, 17.5}, {-8.676920, 6.857143}},
        {2, {50}, {0, 60}, {200, 120}, {25, 17.5}, {-3.657143, 6.857143}},
        {2, {50}, {0, 90}, {200, 120}, {25, 17.5}, {3.200000, 6.857143}},
        {2, {50}, {0, 50}, {200, 200 * 0.15768585}, {25, 17.5}, {4.421747, 1.802124}},
        {3, {45, 28}, {0, 40, 30}, {300, 180, 90}, {22, 14, 11}, {11.862845, -7.742753, 8.181818}},
        {3, {45, 28}, {0, 30, 20}, {300, 135, 36}, {22, 14, 11}, {1.566076, 0.920713, 3.272727}},
        // uniform force along a straight gripper of equal links: arms as squares, 9:4:1 (Hirose &
        // Umetani 1978, Mech. Mach. Theory 13, 351-359)
        {3,
         {20, 20},
         {0},
         {300, 300 * 4.0 / 9, 300 / 9.0},
         {10, 10, 10},
         {10.0 / 3, 10.0 / 3, 10.0 / 3}},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        double joint[3], f[3];
        for (int j = 0; j < 3; j++) joint[j] = row[i].joint[j] * deg;
        CHECK(hw_contact_forces(row[i].n, row[i].l, joint, row[i].torque, row[i].k, f) == HW_OK);
        // half a unit of the sixth decimal; the four-bar row's ratio has eight
        for (size_t j = 0; j < row[i].n; j++) NEAR(f[j], row[i].want[j], 6e-7);
    }
}

// Ratio of a four-bar stage, h/(h + l1), by where the driving bar's line meets the phalanx's axis,
// then ejection at the published place.
static void ejection_of_a_four_bar_stage(void)
{
    double h = 9.3602756, l1 = 50, torque[2] = {200, 200 * h / (h + l1)};
    double joint[2] = {0, 50 * deg}, k[2] = {25, h * cos(50 * deg)}, f[2];
    CHECK(hw_contact_forces(2, &l1, joint, torque, k, f) == HW_OK);
    NEAR(f[0], 0, 1e-12 * torque[0] / k[0]); // k2 = h cos: the boundary
    NEAR(k[1], 6.016669, 6e-7);
    k[1] *= 0.99;
    CHECK(hw_contact_forces(2, &l1, joint, torque, k, f) == HW_OK && f[0] < 0);
}

// The same stage by the four-bar itself: the crank's turn per turn of phalanx 2 (phalanx 1 held) is
// the ratio, and where the bar's line meets the axis gives it too. Seen mirrored, from the outer
// joint: ground 50, "crank" the 12 mm arm at 180 - (50 + 90) deg, "rocker" the driven crank.
static void ratio_of_a_four_bar_stage(void)
{
    hw_fourbar f = {50, 12, 45, 25};
    hw_fourbar_pose p;
    CHECK(hw_fourbar_solve(&f, 40 * deg, 1, &p, NULL) == HW_OK);
    if (fabs(p.rocker - (180 - 91.706312) * deg) > 1e-6)
        CHECK(hw_fourbar_solve(&f, 40 * deg, -1, &p, NULL) == HW_OK);
    NEAR(p.rocker, (180 - 91.706312) * deg, 1e-8); // half a unit of the sixth decimal of a degree
    NEAR(p.d_rocker, 0.15768585, 6e-9);
    double h = 9.3602756; // O2 to where the bar's line meets the phalanx's axis
    NEAR(p.d_rocker, h / (h + 50), 1e-8);
    double joint[2] = {0, 50 * deg}, l1 = 50, torque[2] = {200, 200 * p.d_rocker},
           k[2] = {25, 17.5};
    double force[2], c2 = cos(50 * deg);
    CHECK(hw_contact_forces(2, &l1, joint, torque, k, force) == HW_OK);
    NEAR(force[0], 200 * l1 * (k[1] - h * c2) / (k[0] * k[1] * (h + l1)), 1e-6);
    NEAR(force[1], 200 * h / (k[1] * (h + l1)), 1e-6);
}

static void wrong_contacts(void)
{
    double l[2] = {1, 1}, q[3] = {0}, t[3] = {1, 1, 1}, k[3] = {1, 0, 1}, f[3];
    CHECK(hw_contact_forces(3, l, q, t, k, f) == HW_BAD_INPUT);
    CHECK(hw_contact_forces(0, l, q, t, k, f) == HW_BAD_INPUT);
    CHECK(hw_contact_forces(4, l, q, t, k, f) == HW_BAD_INPUT);
}

// Virtual work by finite differences: turning joint j by a little moves every contact point; the
// forces' work is the joint's torque times the turn.
static void forces_against_virtual_work(void)
{
    uint64_t seed = 31;
    for (int i = 0; i < 200; i++) {
        hw_digit d = hw_digit_default();
        double q[3], t[3], k[3], f[3];
        for (int j = 0; j < 3; j++) {
            q[j] = random_between(&seed, -0.2, 1.7);
            t[j] = random_between(&seed, -0.1, 0.4);
            k[j] = random_between(&seed, 0.2, 0.9) * d.phalanx[j];
        }
        CHECK(hw_contact_forces(3, d.phalanx, q, t, k, f) == HW_OK);
        for (int j = 0; j < 3; j++) {
            double h = 1e-6, work = 0;
            for (int c = 0; c < 3; c++) {
                hw_vec2 at[2];
                for (int way = 0; way < 2; way++) {
                    double turned = 0;
                    hw_vec2 joint_at = {0, 0};
                    for (int m = 0; m <= c; m++) {
                        turned += q[m] + (m == j ? (way ? h : -h) : 0);
                        double length = m < c ? d.phalanx[m] : k[m];
                        joint_at = hw_add(joint_at, hw_flexed((hw_vec2){length, 0}, turned));
                    }
                    at[way] = joint_at;
                }
                double turned = 0;
                for (int m = 0; m <= c; m++) turned += q[m];
                hw_vec2 palmar = hw_flexed((hw_vec2){0, -1}, turned);
                work += f[c] * hw_dot(palmar, hw_sub(at[1], at[0])) / (2 * h);
            }
            double size = fabs(t[0]) + fabs(t[1]) + fabs(t[2]);
            NEAR(work, t[j],
                 1e-8 * size * 20); // differences: h^2 and 1e-16/h, arms up to 20 times k
        }
    }
}

static void bounds_are_where_forces_vanish(void)
{
    uint64_t seed = 32;
    int finite = 0, never = 0;
    for (int i = 0; i < 2000; i++) {
        double l[3] = {0.045, 0.027, 0.018}, q[3], t[3], k[3], f[3];
        for (int j = 0; j < 3; j++) {
            q[j] = random_between(&seed, 0, 1.9);
            t[j] = random_between(&seed, -0.02, 0.2);
            k[j] = random_between(&seed, 0.05, 1) * l[j];
        }
        hw_contact_bound b = hw_contact_bound_of(l, q, t, k[2]);
        CHECK(hw_contact_forces(3, l, q, t, k, f) == HW_OK);
        CHECK((f[2] >= 0) == b.distal);
        CHECK((f[1] >= 0) == (k[2] >= b.middle.low && k[2] <= b.middle.high));
        CHECK((f[0] >= 0) == (k[1] >= b.proximal.low && k[1] <= b.proximal.high));
        never += b.proximal.low > b.proximal.high;
        if (b.middle.low > 0 && isfinite(b.middle.low)) {
            k[2] = b.middle.low;
            CHECK(hw_contact_forces(3, l, q, t, k, f) == HW_OK);
            NEAR(f[1] * k[1], 0, 1e-12 * (1 + l[1] / k[2])); // N*m, of torques of 0.2
            finite++;
        }
    }
    CHECK(finite > 100 && never > 10);
}

static void stable_region_of_two_cords(void)
{
    hw_digit d = hw_digit_default();
    hw_stable_region r;
    CHECK(hw_stable_region_of(&d, 20, 16, &r) == HW_BAD_INPUT); // not a cord
    d.family = HW_FAMILY_CORD;
    CHECK(hw_stable_region_of(&d, 20, 1, &r) == HW_BAD_INPUT);
    // no tension: springs only, nothing presses
    CHECK(hw_stable_region_of(&d, 0, 16, &r) == HW_OK);
    CHECK(r.at_middle == 0 && r.any == 0 && r.distal == 1);
    const double falling[3] = {0.012, 0.003, 0.0006};
    for (int j = 0; j < 3; j++) {
        d.cord.arm[j] = falling[j];
        d.cord.spring_preload[j] = 0.002;
        d.cord.spring_rate[j] = 0.002;
    }
    // arms as squares of the distance from the tip (Hirose & Umetani) hold where equal arms push
    // phalanges off
    CHECK(hw_stable_region_of(&d, 40, 32, &r) == HW_OK);
    hw_digit equal = d;
    for (int j = 0; j < 3; j++) equal.cord.arm[j] = 0.006;
    hw_stable_region e;
    CHECK(hw_stable_region_of(&equal, 40, 32, &e) == HW_OK);
    printf("held: falling arms %.3f (any place %.3f), equal arms %.3f (%.3f)\n", r.at_middle, r.any,
           e.at_middle, e.any);
    CHECK(r.at_middle > e.at_middle + 0.2 && r.any > e.any + 0.2);
    CHECK(e.middle + e.proximal > 0.5);
    // the share over contact places against a plain count of the same poses
    uint64_t seed = 33;
    int held = 0, tries = 40000;
    hw_stable_region g;
    CHECK(hw_stable_region_of(&d, 40, 32, &g) == HW_OK);
    for (int i = 0; i < tries; i++) {
        double q[3] = {(d.joint_travel[0][0] + d.joint_travel[0][1]) / 2}, t[3], k[3], f[3];
        k[0] = d.phalanx[0] / 2;
        for (int j = 1; j < 3; j++) {
            double step = floor(random_between(&seed, 0, 32)) / 31;
            q[j] = d.joint_travel[j][0] + step * (d.joint_travel[j][1] - d.joint_travel[j][0]);
            k[j] = d.phalanx[j] * (1 - random_between(&seed, 0, 1));
        }
        hw_cord_torque(&d, q, 40, t);
        CHECK(hw_contact_forces(3, d.phalanx, q, t, k, f) == HW_OK);
        held += f[0] >= 0 && f[1] >= 0 && f[2] >= 0;
    }
    // four standard deviations of the count, and the 32 midpoints
    NEAR((double)held / tries, g.any, 4 * sqrt(0.25 / tries) + 0.005);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(table_of_forces);
    RUN(ejection_of_a_four_bar_stage);
    RUN(ratio_of_a_four_bar_stage);
    RUN(wrong_contacts);
    RUN(forces_against_virtual_work);
    RUN(bounds_are_where_forces_vanish);
    RUN(stable_region_of_two_cords);
    return TEST_END();
}
