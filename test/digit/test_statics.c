#include "check.h"
#include "random_digit.h"

// Power of the loads for a small step of s, by differences of the poses: the drive's torque times
// its own step must balance it. An independent route: no pin or bar force enters.
static double work_by_differences(const hw_digit *d, double s, double h, const hw_load *load,
                                  size_t loads, double step[HW_JOINTS])
{
    const hw_digit_family *f = hw_digit_family_of(d->family);
    hw_digit_pose p, a, b;
    if (f->pose(d, s, &p) || f->pose(d, s - h, &a) || f->pose(d, s + h, &b)) return NAN;
    double work = 0;
    for (size_t i = 0; i < loads; i++) {
        hw_vec2 path = hw_sub(hw_digit_point(&b, load[i].phalanx, load[i].at),
                              hw_digit_point(&a, load[i].phalanx, load[i].at));
        hw_vec2 force = hw_flexed(load[i].force, hw_digit_turned(&p, load[i].phalanx));
        work += hw_dot(path, force);
    }
    for (int j = 0; j < HW_JOINTS; j++) step[j] = b.joint[j] - a.joint[j];
    return work;
}

// The same from the exact rates: what the 1e-9 is asked of.
static double work_by_rates(const hw_digit_pose *p, const hw_load *load, size_t loads)
{
    double work = 0;
    for (size_t i = 0; i < loads; i++) {
        int k = load[i].phalanx;
        hw_vec2 at = hw_digit_point(p, k, load[i].at);
        hw_vec2 force = hw_flexed(load[i].force, hw_digit_turned(p, k));
        for (int j = 0; j <= k; j++) work += p->rate[j] * hw_moment(hw_sub(at, p->at[j]), force);
    }
    return work;
}

static void three_loads(uint64_t *seed, const hw_digit *d, hw_load load[HW_JOINTS])
{
    for (int i = 0; i < HW_JOINTS; i++)
        load[i] = (hw_load){
            .phalanx = i,
            .at = {random_between(seed, 0, d->phalanx[i]), random_between(seed, -0.01, 0.01)},
            .force = {random_between(seed, -5, 5), random_between(seed, -5, 5)}};
}

static void balances_against_virtual_work(void)
{
    uint64_t seed = 21;
    const hw_digit_family *f = hw_digit_family_of(HW_FAMILY_COUPLED_BARS);
    int tried = 0;
    for (int i = 0; i < 3000; i++) {
        hw_digit d = random_bars(&seed);
        hw_load load[HW_JOINTS];
        three_loads(&seed, &d, load);
        double largest = 0, off = 0;
        for (int k = 0; k <= 16; k++) {
            hw_digit_pose p;
            hw_digit_statics r;
            if (f->pose(&d, k / 16.0, &p) || f->statics(&d, &p, load, HW_JOINTS, &r)) continue;
            double tight = sin(p.transmission[0]) * sin(p.transmission[1]);
            double torque = -work_by_rates(&p, load, HW_JOINTS);
            largest = fmax(largest, fabs(torque));
            off = fmax(off, fabs(r.torque - torque) * tight);
            tried++;
        }
        CHECK(off <= 1e-9 * largest); // of the stroke's largest torque
    }
    CHECK(tried > 10000);
}

static void rates_against_moved_points(void)
{
    uint64_t seed = 22;
    int tried = 0;
    for (int i = 0; i < 500; i++) {
        hw_digit d = random_bars(&seed);
        const hw_digit_family *f = hw_digit_family_of(d.family);
        hw_load load[HW_JOINTS];
        three_loads(&seed, &d, load);
        hw_digit_pose p;
        if (f->pose(&d, 0.5, &p)) continue;
        double tight = sin(p.transmission[0]) * sin(p.transmission[1]);
        double step[HW_JOINTS], work = work_by_differences(&d, 0.5, 1e-5, load, HW_JOINTS, step);
        if (isnan(work) || tight < 0.2) continue;
        double want = work_by_rates(&p, load, HW_JOINTS);
        // central differences of 1e-5: second order, third derivatives over the tight sines
        NEAR(work / step[0], want, 1e-5 * (fabs(want) + 0.1));
        tried++;
    }
    CHECK(tried > 100);
}

// Every body by itself: the whole digit must balance with the carrier's forces.
static void whole_digit_balances(void)
{
    uint64_t seed = 23;
    int tried = 0;
    for (int i = 0; i < 500; i++) {
        hw_digit d = random_bars(&seed);
        const hw_digit_family *f = hw_digit_family_of(d.family);
        hw_digit_pose p;
        hw_digit_statics r;
        hw_load load[HW_JOINTS];
        three_loads(&seed, &d, load);
        if (f->pose(&d, 0.3, &p) || f->statics(&d, &p, load, HW_JOINTS, &r)) continue;
        hw_vec2 line = hw_sub(p.bar_root[0], p.bar_end[0]);
        hw_vec2 bar = hw_scale(line, r.bar[0] / hw_norm(line)); // carrier's bar on the digit
        hw_vec2 sum = hw_add(r.pin[0], bar);
        double turn = r.torque + hw_moment(p.bar_end[0], bar);
        double size = hw_norm(r.pin[0]);
        for (int k = 0; k < HW_JOINTS; k++) {
            hw_vec2 force = hw_flexed(load[k].force, hw_digit_turned(&p, k));
            sum = hw_add(sum, force);
            turn += hw_moment(hw_digit_point(&p, k, load[k].at), force);
            size += hw_norm(force);
        }
        NEAR(hw_norm(sum), 0, 1e-12 * size);
        NEAR(turn, 0, 1e-12 * size * 0.15); // arms up to 0.15 m
        tried++;
    }
    CHECK(tried > 100);
}

// One input: a push at k2 on the middle phalanx takes f (k2 + l1 cos q + k2 g'), g' = dPIP/dMCP:
// the coupled finger's closed form (docs/sources, underactuated and coupled fingers).
static void coupled_finger_closed_form(void)
{
    NEAR(300 / (12 + 45 * cos(40 * HW_PI / 180) + 12 * 0.8), 5.350264, 6e-7); // its printed row
    uint64_t seed = 24;
    int tried = 0;
    for (int i = 0; i < 300; i++) {
        hw_digit d = random_bars(&seed);
        const hw_digit_family *f = hw_digit_family_of(d.family);
        double k2 = random_between(&seed, 0.1, 0.9) * d.phalanx[1];
        hw_load push = {.phalanx = 1, .at = {k2, 0}, .force = {0, 1}};
        hw_digit_pose p;
        hw_digit_statics r;
        if (f->pose(&d, 0.6, &p) || f->statics(&d, &p, &push, 1, &r)) continue;
        double want = k2 + d.phalanx[0] * cos(p.joint[1]) + k2 * p.rate[1];
        double size = d.phalanx[0] + k2 * (1 + fabs(p.rate[1]));
        NEAR(r.torque, want, 1e-12 * size / sin(p.transmission[0]));
        tried++;
    }
    CHECK(tried > 100);
}

static void forces_scale_and_mirror(void)
{
    uint64_t seed = 25;
    for (int i = 0; i < 300; i++) {
        hw_digit d = random_bars(&seed), big = d, mirror = d;
        for (int j = 0; j < HW_JOINTS; j++) big.phalanx[j] *= 10;
        for (int b = 0; b < 2; b++) {
            big.bar[b].root = hw_scale(d.bar[b].root, 10);
            big.bar[b].horn *= 10;
            mirror.bar[b].root.z *= -1;
            mirror.bar[b].horn_angle *= -1;
            mirror.travel[b] *= -1;
        }
        const hw_digit_family *f = hw_digit_family_of(d.family);
        hw_digit_pose p, q, m;
        hw_digit_statics r, g, o;
        if (f->pose(&d, 0.4, &p) || f->pose(&big, 0.4, &q) || f->pose(&mirror, 0.4, &m)) continue;
        hw_load unit = hw_digit_unit_load(&d), far = hw_digit_unit_load(&big), down = unit;
        down.force.z = -1;
        CHECK(f->statics(&d, &p, &unit, 1, &r) == HW_OK);
        CHECK(f->statics(&big, &q, &far, 1, &g) == HW_OK);
        CHECK(f->statics(&mirror, &m, &down, 1, &o) == HW_OK);
        double sine = sin(p.transmission[0]) * sin(p.transmission[1]);
        double size = 1e-12 * (1 + hw_norm(r.pin[0])) / (sine * sine);
        for (int j = 0; j < HW_JOINTS; j++) {
            NEAR(hw_norm(g.pin[j]), hw_norm(r.pin[j]), size);
            NEAR(o.pin[j].z, -r.pin[j].z, size);
        }
        NEAR(g.torque, 10 * r.torque, size);
        NEAR(o.torque, -r.torque, size);
        for (int b = 0; b < 2; b++) NEAR(o.bar[b], r.bar[b], size);
    }
}

static void joints_have_names(void)
{
    hw_digit d = hw_digit_default();
    SAME_TEXT(hw_digit_joint_name(&d, 0), "knuckle");
    SAME_TEXT(hw_digit_joint_name(&d, 2), "DIP");
    d.thumb = true;
    SAME_TEXT(hw_digit_joint_name(&d, 0), "CMC");
    SAME_TEXT(hw_digit_joint_name(&d, 2), "IP");
    SAME_TEXT(hw_digit_joint_name(&d, 3), "unknown joint");
}

static void direct_drive(void)
{
    hw_digit d = hw_digit_default();
    const hw_digit_family *f = hw_digit_family_of(d.family);
    hw_load unit = hw_digit_unit_load(&d);
    hw_digit_pose p;
    hw_digit_statics r;
    CHECK(f->pose(&d, 0, &p) == HW_OK);
    CHECK(f->statics(&d, &p, &unit, 1, &r) == HW_OK);
    // straight: 1 N at the tip turns each joint by the length beyond it
    CLOSE(r.torque, 0.090, 1e-15 * 4);
    CLOSE(r.joint_torque[1], 0.045, 1e-15 * 4);
    CLOSE(r.joint_torque[2], 0.018, 1e-15 * 4);
    for (int j = 0; j < HW_JOINTS; j++) CLOSE(hw_norm(r.pin[j]), 1.0, 1e-15 * 4);
    CHECK(isnan(r.bar[0]) && isnan(r.bar[1]) && isnan(p.transmission[0]));
    CHECK(f->pose(&d, 1, &p) == HW_OK);
    CLOSE(p.rate[1], 100.0 / 90, 1e-15 * 4);
    for (int j = 0; j < HW_JOINTS; j++) CHECK(p.joint[j] == d.joint_travel[j][1]);
    // joint 0 at rest: rates are per s
    d.joint_travel[0][1] = 0;
    CHECK(f->pose(&d, 0.5, &p) == HW_OK);
    CLOSE(p.rate[2], 67 * HW_PI / 180, 1e-15 * 4);
    hw_load wrong = {.phalanx = 3};
    CHECK(f->statics(&d, &p, &wrong, 1, &r) == HW_BAD_INPUT);
    d.joint_travel[1][0] = NAN;
    CHECK(f->pose(&d, 0.5, &p) == HW_BAD_INPUT && isnan(p.joint[0]));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(balances_against_virtual_work);
    RUN(rates_against_moved_points);
    RUN(whole_digit_balances);
    RUN(coupled_finger_closed_form);
    RUN(forces_scale_and_mirror);
    RUN(joints_have_names);
    RUN(direct_drive);
    return TEST_END();
}
