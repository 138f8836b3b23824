#include "../digit/random_digit.h"
#include "check.h"
#include "stroke/batch.h"
#include "stroke/kernel.h"

enum { DIGITS = 500, POSES = 70, ALL = DIGITS * POSES };

static hw_digit digit[DIGITS];

static void make(void)
{
    uint64_t seed = 81;
    for (int i = 0; i < DIGITS; i++) digit[i] = random_bars(&seed);
    for (int i = 0; i < DIGITS; i += 7) digit[i].travel[1] = random_between(&seed, 2, 9);
}

static int differing(const double *a, const double *b, size_t n)
{
    int count = 0;
    for (size_t i = 0; i < n; i++)
        count += isnan(a[i]) ? !isnan(b[i]) : memcmp(&a[i], &b[i], sizeof a[i]) != 0;
    return count;
}

static void compare(const hw_stroke *a, const hw_stroke *b)
{
    CHECK(memcmp(a->ok, b->ok, ALL) == 0);
    for (int j = 0; j < HW_JOINTS; j++) {
        CHECK(differing(a->joint[j], b->joint[j], ALL) == 0);
        CHECK(differing(a->pin[j], b->pin[j], ALL) == 0);
    }
    for (int k = 0; k < 2; k++) {
        CHECK(differing(a->bar[k], b->bar[k], ALL) == 0);
        CHECK(differing(a->transmission[k], b->transmission[k], ALL) == 0);
    }
    CHECK(differing(a->tip_x, b->tip_x, ALL) == 0 && differing(a->tip_z, b->tip_z, ALL) == 0);
    CHECK(differing(a->torque, b->torque, ALL) == 0);
}

static void both_builds_give_the_same_bits(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_stroke plain, fast;
    size_t n[2];
    make();
    CHECK(hw_stroke_new(a, ALL, &plain) == HW_OK && hw_stroke_new(a, ALL, &fast) == HW_OK);
    CHECK(hw_stroke_batch(digit, DIGITS, POSES, HW_STROKE_PLAIN, &plain, &n[0]) != HW_BAD_INPUT);
    CHECK(hw_stroke_batch(digit, DIGITS, POSES, HW_STROKE_FASTEST, &fast, &n[1]) != HW_BAD_INPUT);
    CHECK(n[0] == n[1] && n[0] > ALL / 4 && n[0] < ALL);
    printf("wide build %s\n", hw_kernel_choose(false) == hw_kernel_plain ? "not used" : "used");
    compare(&plain, &fast);
    // one by one: the same again
    for (size_t i = 0; i < DIGITS; i++) {
        hw_stroke one;
        size_t mark = hw_arena_mark(a);
        CHECK(hw_stroke_new(a, POSES, &one) == HW_OK);
        CHECK(hw_stroke_run(&digit[i], &one) != HW_BAD_INPUT);
        CHECK(differing(one.joint[2], fast.joint[2] + i * POSES, POSES) == 0);
        CHECK(differing(one.torque, fast.torque + i * POSES, POSES) == 0);
        hw_arena_rewind(a, mark);
    }
    hw_arena_free(a);
}

// Angles with whole turns, as single poses count them, also where the travel is beyond a turn.
static void turns_are_counted(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    long beyond = 0;
    make();
    for (int i = 0; i < DIGITS; i++) {
        size_t mark = hw_arena_mark(a);
        hw_digit d = digit[i];
        d.travel[0] = -6;
        d.travel[1] = 8;
        // a long arm: the loop goes on closing as the phalanx goes round
        d.phalanx[0] = 0.006;
        d.bar[0].horn = 0.02;
        CHECK(hw_stroke_new(a, POSES, &s) == HW_OK);
        if (hw_stroke_run(&d, &s) == HW_BAD_INPUT) continue;
        for (size_t k = 0; k < POSES; k++) {
            hw_digit_pose p;
            if (!s.ok[k] || hw_digit_family_of(d.family)->pose(&d, s.s[k], &p)) continue;
            double tight = sin(p.transmission[0]) * sin(p.transmission[1]);
            for (int j = 1; j < HW_JOINTS; j++)
                NEAR(s.joint[j][k], p.joint[j], 1e-12 / (tight * tight));
            beyond += fabs(s.joint[1][k]) > HW_PI;
        }
        hw_arena_rewind(a, mark);
    }
    CHECK(beyond > 100);
    hw_arena_free(a);
}

static void faults_and_optional_rows(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    size_t closed;
    hw_digit d[3] = {hw_digit_default(), hw_digit_default(), hw_digit_default()};
    d[0].family = d[2].family = HW_FAMILY_COUPLED_BARS; // the middle one is direct
    CHECK(hw_stroke_new(a, 3 * 8, &s) == HW_OK);
    s.transmission[0] = s.transmission[1] = NULL;
    CHECK(hw_stroke_batch(d, 3, 8, HW_STROKE_FASTEST, &s, &closed) == HW_BAD_INPUT);
    CHECK(closed == 16 && s.ok[0] && !s.ok[8] && s.ok[16] && isnan(s.torque[9]));
    d[1] = d[0];
    d[1].travel[1] = 2e5;
    CHECK(hw_stroke_batch(d, 3, 8, HW_STROKE_FASTEST, &s, &closed) == HW_BAD_INPUT && closed == 16);
    d[1].travel[1] = (double)NAN;
    CHECK(hw_stroke_batch(d, 3, 8, HW_STROKE_FASTEST, &s, &closed) == HW_BAD_INPUT);
    d[1] = d[0];
    d[1].bar[1].root.x = INFINITY;
    CHECK(hw_stroke_batch(d, 3, 8, HW_STROKE_FASTEST, &s, &closed) == HW_BAD_INPUT);
    CHECK(hw_stroke_batch(d, 1, 8, HW_STROKE_FASTEST, &s, &closed) == HW_OK && closed == 8);
    CHECK(hw_stroke_batch(d, 0, 8, HW_STROKE_FASTEST, &s, &closed) == HW_OK && closed == 0);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(both_builds_give_the_same_bits);
    RUN(turns_are_counted);
    RUN(faults_and_optional_rows);
    return TEST_END();
}
