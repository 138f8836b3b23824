#include "check.h"
#include "random_digit.h"

static const double deg = HW_PI / 180;

static const hw_digit_family *bars(void)
{
    return hw_digit_family_of(HW_FAMILY_COUPLED_BARS);
}

static hw_digit heron_index(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    d.phalanx[0] = 0.0456;
    d.phalanx[1] = 0.0266;
    d.phalanx[2] = 0.018;
    return d;
}

static void faults_have_names(void)
{
    const hw_digit good = heron_index();
    CHECK(hw_digit_check(&good) == HW_DIGIT_SOUND);
    hw_digit d = good;
    d.phalanx[1] = 0;
    CHECK(hw_digit_check(&d) == HW_DIGIT_PHALANX);
    d.phalanx[1] = NAN;
    CHECK(hw_digit_check(&d) == HW_DIGIT_NOT_FINITE);
    d = good;
    d.bar[1].horn = 0;
    CHECK(hw_digit_check(&d) == HW_DIGIT_HORN);
    d = good;
    d.travel[1] = INFINITY;
    CHECK(hw_digit_check(&d) == HW_DIGIT_NOT_FINITE);
    d = good;
    d.family = (hw_family_kind)77;
    CHECK(hw_digit_check(&d) == HW_DIGIT_FAMILY);
    CHECK(hw_digit_family_of((hw_family_kind)77) == NULL);
    for (int f = 0; f <= HW_DIGIT_FAULTS; f++)
        CHECK(hw_digit_fault_text((hw_digit_fault)f) != NULL);
}

// Root, horn's end and joint on one line in the straight digit: no branch to keep.
static void straight_digit_on_a_dead_point(void)
{
    for (int bar = 0; bar < 2; bar++)
        for (int away = 0; away < 2; away++) {
            hw_digit d = heron_index();
            d.bar[bar].root = (hw_vec2){d.phalanx[bar] - 0.03, 0.04}; // 0.05 from the joint
            d.bar[bar].horn = 0.005;
            double line = atan2(0.04, -0.03);
            d.bar[bar].horn_angle = line + away * HW_PI;
            CHECK(hw_digit_check(&d) == (bar ? HW_DIGIT_BAR_B_DEAD : HW_DIGIT_BAR_A_DEAD));
            hw_digit_pose p;
            CHECK(bars()->pose(&d, 0.5, &p) == HW_BAD_INPUT);
            CHECK(isnan(p.joint[0]) && isnan(p.at[3].x) && isnan(p.bar_end[1].z));
            // a thousandth of a degree off there is a branch again
            d.bar[bar].horn_angle += 1e-3 * deg;
            CHECK(hw_digit_check(&d) == HW_DIGIT_SOUND);
        }
}

static void bar_without_length(void)
{
    hw_digit d = heron_index();
    d.bar[0].horn_angle = 0;
    d.bar[0].root = (hw_vec2){d.phalanx[0] + d.bar[0].horn, 0};
    CHECK(hw_digit_check(&d) == HW_DIGIT_BAR_A_NONE);
    d = heron_index();
    d.bar[1].horn_angle = 0;
    d.bar[1].root = (hw_vec2){d.phalanx[1] + d.bar[1].horn, 0};
    CHECK(hw_digit_check(&d) == HW_DIGIT_BAR_B_NONE);
}

static void root_on_the_joint_it_spans(void)
{
    // a root on the knuckle's own axis: the bar is a link of a triangle and PIP cannot turn with it
    hw_digit d = heron_index();
    d.bar[0].root = (hw_vec2){0, 0};
    hw_digit_pose p;
    CHECK(bars()->pose(&d, 1, &p) == HW_OK);
    NEAR(p.joint[1], 0, 1e-13); // rad: rounding over the sine of the transmission angle
    // a root at the PIP's place when straight: distance 0 there, so no line and no branch
    d.bar[0].root = (hw_vec2){d.phalanx[0], 0};
    CHECK(hw_digit_check(&d) == HW_DIGIT_BAR_A_DEAD);
}

static void out_of_reach_gives_the_closest_approach(void)
{
    hw_digit d = heron_index();
    d.bar[0].root = (hw_vec2){0.02, 0.03};
    d.bar[0].horn = 0.004;
    d.bar[0].horn_angle = 60 * deg;
    d.travel[1] = 150 * deg;
    hw_digit_pose p;
    CHECK(bars()->pose(&d, 1, &p) == HW_NO_ASSEMBLY);
    hw_vec2 rod = hw_sub(p.bar_end[0], p.bar_root[0]);
    hw_vec2 arm = hw_sub(p.bar_end[0], p.at[1]);
    CLOSE(hw_norm(arm), d.bar[0].horn, 1e-12); // the horn keeps its length
    NEAR(rod.x * arm.z - rod.z * arm.x, 0, 1e-12 * hw_norm(rod) * hw_norm(arm)); // on one line
}

static void straight_digit_gives_zero(void)
{
    uint64_t seed = 11;
    for (int i = 0; i < 2000; i++) {
        hw_digit d = random_bars(&seed);
        if (hw_digit_check(&d)) continue;
        d.travel[0] = 0;
        hw_digit_pose p;
        hw_code code = bars()->pose(&d, 0, &p);
        // rounding of the bar's length (1e-16) over the sine of the horn's angle to its dead point,
        // squared where it is within rounding's root of it
        double tight = sin(p.transmission[0]) * sin(p.transmission[1]);
        CHECK(code == HW_OK || tight < 1e-6);
        NEAR(p.joint[1], 0, 1e-12 / sin(p.transmission[0]));
        NEAR(p.joint[2], 0, 1e-12 / tight);
        NEAR(p.at[3].x, d.phalanx[0] + d.phalanx[1] + d.phalanx[2], 1e-9 * d.phalanx[0]);
    }
}

static void bars_keep_length_and_side(void)
{
    uint64_t seed = 12;
    int closed = 0;
    for (int i = 0; i < 2000; i++) {
        hw_digit d = random_bars(&seed), straight = d;
        straight.travel[0] = straight.travel[1] = 0;
        hw_digit_pose p, zero;
        double s = random_between(&seed, 0, 1);
        if (bars()->pose(&d, s, &p) || bars()->pose(&straight, 0, &zero)) continue;
        closed++;
        for (int b = 0; b < 2; b++) {
            double length = hw_norm(hw_sub(zero.bar_end[b], zero.bar_root[b]));
            NEAR(hw_norm(hw_sub(p.bar_end[b], p.bar_root[b])), length, 1e-14 * 0.2); // m, of 0.2 m
            hw_vec2 horn = {d.bar[b].horn * cos(d.bar[b].horn_angle),
                            d.bar[b].horn * sin(d.bar[b].horn_angle)};
            hw_vec2 end = hw_digit_point(&p, b + 1, horn); // the other way round, by angles
            NEAR(hw_norm(hw_sub(p.bar_end[b], end)), 0, 1e-14 * 0.2);
            hw_vec2 r = hw_sub(p.bar_root[b], p.at[b + 1]), e = hw_sub(p.bar_end[b], p.at[b + 1]);
            hw_vec2 r0 = hw_sub(zero.bar_root[b], zero.at[b + 1]);
            hw_vec2 e0 = hw_sub(zero.bar_end[b], zero.at[b + 1]);
            CHECK((r.x * e.z - r.z * e.x > 0) == (r0.x * e0.z - r0.z * e0.x > 0));
        }
    }
    CHECK(closed > 500);
}

static void rates_against_differences(void)
{
    uint64_t seed = 13;
    int tried = 0;
    for (int i = 0; i < 500; i++) {
        hw_digit d = random_bars(&seed);
        hw_digit_pose p, a, b;
        double h = 1e-5, s = random_between(&seed, 0.01, 0.99);
        if (bars()->pose(&d, s, &p) || bars()->pose(&d, s - h, &a) || bars()->pose(&d, s + h, &b))
            continue;
        double tight = sin(p.transmission[0]) * sin(p.transmission[1]);
        if (tight < 0.1) continue;
        tried++;
        double span = 2 * h * (d.travel[1] - d.travel[0]);
        for (int j = 1; j < HW_JOINTS; j++) {
            double rate = (b.joint[j] - a.joint[j]) / span;
            // second differences: (rate/sin)^2 h^2 and rounding 1e-16/h
            NEAR(p.rate[j], rate, 1e-6 * (1 + rate * rate) / (tight * tight));
        }
    }
    CHECK(tried > 100);
}

// A proximal phalanx that goes round: the middle one goes with it (root inside the PIP's circle) or
// rocks and so is left behind by whole turns (outside). Counted angles have no jump at half a turn.
static void angles_count_turns(void)
{
    for (int outside = 0; outside < 2; outside++) {
        hw_digit d = heron_index();
        d.phalanx[0] = 0.01;
        d.bar[0].root = outside ? (hw_vec2){-0.03, 0.005} : (hw_vec2){0.002, 0.001};
        d.bar[0].horn = 0.02;
        d.bar[0].horn_angle = 100 * deg;
        d.travel[0] = -700 * deg;
        d.travel[1] = 700 * deg;
        hw_digit_pose p = {.joint = {0}}, last = p;
        double largest = 0, reach = 0;
        for (int i = 0; i <= 4000; i++) {
            last = p;
            CHECK(bars()->pose(&d, i / 4000.0, &p) != HW_BAD_INPUT);
            if (i > 0) largest = fmax(largest, fabs(p.joint[1] - last.joint[1]));
            reach = fmax(reach, fabs(p.joint[1]));
        }
        CHECK(largest < 0.05); // rad a step of 0.35 deg
        if (outside)
            CHECK(reach > 600 * deg);
        else
            CHECK(reach < HW_PI);
    }
}

static void mirror_image(void)
{
    uint64_t seed = 14;
    for (int i = 0; i < 500; i++) {
        hw_digit d = random_bars(&seed), m = d;
        for (int b = 0; b < 2; b++) {
            m.bar[b].root.z = -d.bar[b].root.z;
            m.bar[b].horn_angle = -d.bar[b].horn_angle;
            m.travel[b] = -d.travel[b];
        }
        hw_digit_pose p, q;
        hw_code code = bars()->pose(&d, 0.7, &p);
        CHECK(code == bars()->pose(&m, 0.7, &q));
        if (code) continue;
        for (int j = 0; j < HW_JOINTS; j++) CHECK(p.joint[j] == -q.joint[j]);
        CHECK(p.at[3].x == q.at[3].x && p.at[3].z == -q.at[3].z);
    }
}

static void scales(void)
{
    uint64_t seed = 15;
    for (int i = 0; i < 500; i++) {
        const hw_digit d = random_bars(&seed);
        hw_digit_pose p, q;
        hw_code code = bars()->pose(&d, 0.7, &p);
        for (int way = 0; way < 2; way++) {
            double k = way ? 10 : 0.1;
            hw_digit m = d;
            for (int b = 0; b < 2; b++) {
                m.bar[b].root = hw_scale(d.bar[b].root, k);
                m.bar[b].horn *= k;
            }
            for (int j = 0; j < HW_JOINTS; j++) m.phalanx[j] *= k;
            hw_code other = bars()->pose(&m, 0.7, &q);
            double tight = sin(p.transmission[0]) * sin(p.transmission[1]);
            CHECK(other == code || tight < 1e-6);
            if (code || other) continue;
            // rounding of k times a length, over the sines of the transmission angles
            for (int j = 0; j < HW_JOINTS; j++)
                NEAR(q.joint[j], p.joint[j], 1e-12 / (tight * tight));
        }
    }
}

static void mechanism_has_the_digits_measures(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    hw_mech m;
    CHECK(bars()->mechanism(&d, a, &m) == HW_OK);
    CHECK(m.bodies == 6 && m.pins == 7 && m.drivers == 1 && m.sliders == 0);
    // three coordinates a body, two equations a pin, one driver
    CHECK(3 * (m.bodies - 1) == 2 * m.pins + m.drivers);
    hw_arena_fail_after(a, 1);
    CHECK(bars()->mechanism(&d, a, &m) == HW_NO_MEMORY);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(faults_have_names);
    RUN(straight_digit_on_a_dead_point);
    RUN(bar_without_length);
    RUN(root_on_the_joint_it_spans);
    RUN(out_of_reach_gives_the_closest_approach);
    RUN(straight_digit_gives_zero);
    RUN(bars_keep_length_and_side);
    RUN(rates_against_differences);
    RUN(angles_count_turns);
    RUN(mirror_image);
    RUN(scales);
    RUN(mechanism_has_the_digits_measures);
    return TEST_END();
}
