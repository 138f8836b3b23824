#include "check.h"
#include "digits.h"

static hw_slop slop(const hw_digit *d)
{
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    hw_slop out;
    CHECK(hw_stroke_new(a, 33, &s) == HW_OK && hw_stroke_run(d, &s) == HW_OK);
    CHECK(hw_slop_of(d, &s, &out) == HW_OK);
    hw_arena_free(a);
    return out;
}

static hw_vec2 in_circle(uint64_t *seed, double radius)
{
    for (int tries = 0; tries < 100; tries++) {
        hw_vec2 v = {random_between(seed, -1, 1), random_between(seed, -1, 1)};
        if (hw_dot(v, v) <= 1) return hw_scale(v, radius);
    }
    return (hw_vec2){0, 0}; // once in 10^66 draws
}

// PIP's angle with every pin anywhere in its circle: circle about the shifted PIP, circle about the
// shifted root, by halving on the horn's angle near the true one.
static double played(const hw_digit *d, const hw_digit_pose *p, double length, uint64_t *seed)
{
    double c = d->pivot_play;
    hw_vec2 knuckle = in_circle(seed, c), pip = in_circle(seed, c), root = in_circle(seed, c);
    hw_vec2 eye = in_circle(seed, c);
    hw_vec2 joint = hw_add(p->at[1], hw_add(knuckle, pip));
    hw_vec2 from = hw_sub(hw_add(p->bar_root[0], root), eye);
    hw_vec2 arm = hw_sub(p->bar_end[0], p->at[1]);
    double low = -0.5, high = 0.5;
    double sign = hw_norm(hw_sub(hw_add(joint, hw_flexed(arm, high)), from)) > length ? 1 : -1;
    for (int k = 0; k < 60; k++) {
        double mid = (low + high) / 2;
        double off = hw_norm(hw_sub(hw_add(joint, hw_flexed(arm, mid)), from)) - length;
        if (off * sign > 0)
            high = mid;
        else
            low = mid;
    }
    return low;
}

static void formula_against_drawn_pins(void)
{
    uint64_t seed = 61;
    hw_digit d = heron_index();
    const double play[] = {0.00005, 0.000212};
    for (int which = 0; which < 2; which++) {
        d.pivot_play = play[which];
        for (int k = 0; k <= 4; k++) {
            hw_digit_pose p;
            CHECK(hw_digit_family_of(d.family)->pose(&d, k / 4.0, &p) == HW_OK);
            double length = hw_norm(hw_sub(p.bar_end[0], p.bar_root[0]));
            enum { DRAWS = 20000 };
            double sum = 0, square = 0, low = 1, high = -1;
            for (int i = 0; i < DRAWS; i++) {
                double q = played(&d, &p, length, &seed);
                sum += q;
                square += q * q;
                low = fmin(low, q);
                high = fmax(high, q);
            }
            double mean = sum / DRAWS, deviation = sqrt(square / DRAWS - mean * mean);
            double formula = 2 * d.pivot_play * 2 / (d.bar[0].horn * sin(p.transmission[0]));
            printf("play %.3f mm, s %.2f: formula %.2f deg, four deviations %.2f, all draws %.2f\n",
                   1e3 * d.pivot_play, k / 4.0, formula * 180 / HW_PI, 4 * deviation * 180 / HW_PI,
                   (high - low) * 180 / HW_PI);
            // the formula is linear; curvature of the circles is of order formula^2, draws 0.5 %
            NEAR(4 * deviation / formula, 1, 0.02 + formula * formula);
            CHECK(high - low > formula && high - low < 2 * formula * 1.1);
        }
    }
}

static void measures_of_the_pivots_decide(void)
{
    hw_digit d = heron_index();
    d.pivot_play = 0.00015 / cos(HW_PI / 4);
    hw_slop six = slop(&d);
    hw_digit shorter = d; // the same loop's shape on a horn of 3.5 mm
    shorter.bar[0].horn *= 3.5 / 6;
    shorter.bar[0].root = hw_scale(d.bar[0].root, 3.5 / 6);
    hw_slop short_horn = slop(&shorter);
    CHECK(six.joint[0] == 0);
    CHECK(short_horn.joint[1] > 1.3 * six.joint[1]);
    CHECK(six.joint[1] > 7 * HW_PI / 180 && six.joint[1] < 14 * HW_PI / 180);
    CHECK(six.tip > 2 * sqrt(3) * d.pivot_play);
    d.pivot_play = 0;
    hw_slop none = slop(&d);
    CHECK(none.tip == 0 && none.joint[2] == 0);
    d.pivot_play = -1e-6;
    hw_stroke s = {.n = 0};
    CHECK(hw_slop_of(&d, &s, &none) == HW_BAD_INPUT);
    d.pivot_play = 1e-4;
    CHECK(hw_slop_of(&d, &s, &none) == HW_NO_ASSEMBLY && isnan(none.tip));
    hw_digit direct = proportional(90, 100, 67);
    direct.pivot_play = 2e-4;
    hw_slop pins = slop(&direct);
    CHECK(pins.joint[1] == 0);
    CLOSE(pins.tip, 4e-4 * sqrt(3), 1e-15 * 4);
}

// DIP and tip at one pose, the bands put together from moved poses: PIP turned a little drags DIP
// along bar B, DIP turned alone moves the tip alone.
static void play_of_the_outer_joint(void)
{
    hw_digit d = heron_index();
    for (int k = 0; k <= 4; k++) {
        const double h = 1e-6;
        hw_digit_pose p, q;
        const hw_digit_family *f = hw_digit_family_of(d.family);
        d.travel[0] = k * 0.3;
        CHECK(f->pose(&d, 0, &p) == HW_OK);
        hw_digit near = d;
        near.travel[0] += h;
        CHECK(f->pose(&near, 0, &q) == HW_OK);
        double follow = (q.joint[2] - p.joint[2]) / (q.joint[1] - p.joint[1]);
        double own[2];
        for (int b = 0; b < 2; b++)
            own[b] = 4 * d.pivot_play / (d.bar[b].horn * sin(p.transmission[b]));
        // forward kinematics with PIP and DIP moved, the knuckle held
        hw_vec2 tip = {0, 0};
        const double turned[3] = {p.joint[0], p.joint[1] + h, p.joint[2] + follow * h};
        double sum = 0;
        for (int j = 0; j < HW_JOINTS; j++) {
            sum += turned[j];
            tip = hw_add(tip, hw_flexed((hw_vec2){d.phalanx[j], 0}, sum));
        }
        double with = hw_norm(hw_sub(tip, p.at[3])) / h;
        hw_arena *a = hw_arena_new(0);
        hw_stroke s;
        hw_slop got;
        CHECK(hw_stroke_new(a, 1, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
        CHECK(hw_slop_of(&d, &s, &got) == HW_OK);
        // differences of 1e-6: that much, and 1e-16/1e-6 of rounding
        CLOSE(got.joint[2], own[1] + fabs(follow) * own[0], 1e-5);
        CLOSE(got.tip, 2 * sqrt(3) * d.pivot_play + own[0] * with + own[1] * d.phalanx[2], 1e-5);
        hw_arena_free(a);
    }
}

static void scales(void)
{
    hw_digit d = heron_index();
    hw_slop a = slop(&d);
    for (int way = 0; way < 2; way++) {
        double k = way ? 10 : 0.1;
        hw_digit m = scaled(d, k);
        hw_slop b = slop(&m);
        CLOSE(b.joint[1], a.joint[1], 1e-11);
        CLOSE(b.joint[2], a.joint[2], 1e-11);
        CLOSE(b.tip, k * a.tip, 1e-11);
        NEAR(b.at_s, a.at_s, 1e-15);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(formula_against_drawn_pins);
    RUN(measures_of_the_pivots_decide);
    RUN(play_of_the_outer_joint);
    RUN(scales);
    return TEST_END();
}
