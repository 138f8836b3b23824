#include "check.h"
#include "stroke/cases.h"
#include "stroke/chart.h"
#include "stroke/lag.h"
#include "stroke/pinch.h"

#include <string.h>

static hw_digit heron_index(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    d.phalanx[0] = 0.0456;
    d.phalanx[1] = 0.0266;
    d.phalanx[2] = 0.018;
    return d;
}

static void same_as_single_poses(void)
{
    hw_arena *a = hw_arena_new(0);
    for (int kind = 0; kind < HW_FAMILIES; kind++) {
        hw_digit d = heron_index();
        d.family = (hw_family_kind)kind;
        const hw_digit_family *f = hw_digit_family_of(d.family);
        hw_stroke s;
        CHECK(hw_stroke_new(a, 33, &s) == HW_OK);
        CHECK(hw_stroke_run(&d, &s) == HW_OK);
        hw_load unit = hw_digit_unit_load(&d);
        for (size_t i = 0; i < s.n; i++) {
            hw_digit_pose p;
            hw_digit_statics r;
            CHECK(f->pose(&d, s.s[i], &p) == HW_OK);
            CHECK(f->statics(&d, &p, &unit, 1, &r) == HW_OK);
            CHECK(s.ok[i] == 1);
            // the same formulas; sine, cosine and arctangent of the batch are own, to 1e-15
            for (int j = 0; j < HW_JOINTS; j++) {
                NEAR(s.joint[j][i], p.joint[j], 1e-13);
                CLOSE(s.pin[j][i], hw_norm(r.pin[j]), 1e-12);
            }
            NEAR(s.tip_x[i], p.at[3].x, 1e-14);
            NEAR(s.tip_z[i], p.at[3].z, 1e-14);
            CLOSE(s.torque[i], r.torque, 1e-12);
            for (int b = 0; b < 2; b++) {
                if (kind == HW_FAMILY_COUPLED_BARS) {
                    CLOSE(s.bar[b][i], r.bar[b], 1e-12);
                    NEAR(s.transmission[b][i], p.transmission[b], 1e-13);
                } else
                    CHECK(isnan(s.bar[b][i]) && isnan(s.transmission[b][i]));
            }
        }
    }
    hw_arena_free(a);
}

// The science centre's index finger: a pull on bar A and a push on bar B, and 4.8 N at the PIP pin
// per newton at the tip in mid-stroke (the project's own design note, two digits).
static void index_finger_of_the_design_note(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    hw_stroke s;
    CHECK(hw_stroke_new(a, 65, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    NEAR(s.pin[1][32], 4.8, 0.05);
    for (size_t i = 0; i < s.n; i++) CHECK(s.bar[0][i] > 0 && s.bar[1][i] < 0 && s.pin[1][i] < 11);
    hw_arena_free(a);
}

static void poses_that_do_not_close(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    d.travel[1] = 300 * HW_PI / 180;
    hw_stroke s;
    CHECK(hw_stroke_new(a, 16, &s) == HW_OK);
    CHECK(hw_stroke_run(&d, &s) == HW_NO_ASSEMBLY);
    size_t bad = 0;
    while (bad < 15 && s.ok[bad]) bad++;
    CHECK(s.ok[0] == 1 && s.ok[bad] == 0);
    CHECK(s.s[bad] == (double)bad / 15 && isnan(s.joint[0][bad]) && isnan(s.torque[bad]));
    d.phalanx[0] = 0;
    CHECK(hw_stroke_run(&d, &s) == HW_BAD_INPUT);
    CHECK(s.ok[0] == 0 && isnan(s.joint[0][0]));
    hw_arena_free(a);
}

static void odd_counts_and_no_memory(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    hw_stroke s;
    for (size_t n = 0; n < 20; n++) {
        CHECK(hw_stroke_new(a, n, &s) == HW_OK);
        CHECK(hw_stroke_run(&d, &s) == HW_OK);
        if (n) NEAR(s.joint[0][n - 1], n == 1 ? d.travel[0] : d.travel[1], 1e-15);
    }
    for (size_t k = 0; k < 15; k++) {
        size_t mark = hw_arena_mark(a);
        hw_arena_fail_after(a, k);
        CHECK(hw_stroke_new(a, 10, &s) == HW_NO_MEMORY && s.n == 0);
        hw_arena_rewind(a, mark);
    }
    hw_arena_fail_after(a, SIZE_MAX);
    CHECK(hw_stroke_new(a, 10, &s) == HW_OK);
    hw_arena_free(a);
}

typedef struct answers { // all that walks over a stroke's poses
    hw_case_worst worst[HW_CASES];
    hw_wrap_chart wrap;
    hw_slop slop;
    hw_lag lag;
    hw_pinch pinch;
} answers;

static void ask(const hw_digit *d, const hw_stroke *s, answers *out)
{
    const double force[HW_CASES] = {8, 20, 20, 20, 40, 30};
    const double *const torque[HW_JOINTS] = {s->torque, s->torque, s->torque};
    memset(out, 0, sizeof *out); // padding, too
    CHECK(hw_case_worst_all(d, s, force, out->worst) == HW_OK);
    CHECK(hw_wrap_chart_of(d, s, &out->wrap) == HW_OK);
    CHECK(hw_slop_of(d, s, &out->slop) == HW_OK);
    CHECK(hw_pinch_of(d, s, torque, &out->pinch) == HW_OK);
    if (d->family == HW_FAMILY_CORD) return; // has no lag
    CHECK(hw_lag_of(d, s, 8, NULL, &(hw_lag_drive){30, 0.01}, &out->lag) == HW_OK);
}

// Kept poses are the family's own, and whoever uses them says the same to the last bit.
static void kept_poses_change_nothing(void)
{
    hw_arena *a = hw_arena_new(0);
    for (int kind = 0; kind < HW_FAMILIES; kind++) {
        hw_digit d = heron_index();
        d.family = (hw_family_kind)kind;
        hw_stroke s;
        answers fresh, kept;
        CHECK(hw_stroke_new(a, 33, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
        ask(&d, &s, &fresh);
        CHECK(hw_stroke_keep(a, &d, &s) == HW_OK);
        ask(&d, &s, &kept);
        CHECK(memcmp(&fresh, &kept, sizeof fresh) == 0);
        for (size_t i = 0; i < s.n; i++) {
            hw_digit_pose own, got;
            CHECK(hw_digit_family_of(d.family)->pose(&d, s.s[i], &own) == HW_OK);
            CHECK(hw_stroke_pose(&d, &s, i, &got) == HW_OK);
            CHECK(memcmp(&own, &got, sizeof own) == 0);
        }
        // they are what is asked: other poses give other answers
        for (size_t i = 0; i < s.n; i++) s.pose[i] = s.pose[0];
        ask(&d, &s, &kept);
        CHECK(memcmp(&fresh, &kept, sizeof fresh) != 0);
    }
    hw_digit d = heron_index();
    hw_digit_pose p;
    hw_stroke s;
    d.travel[1] = 300 * HW_PI / 180;
    CHECK(hw_stroke_new(a, 16, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_NO_ASSEMBLY);
    CHECK(hw_stroke_keep(a, &d, &s) == HW_OK);
    for (size_t i = 0; i < s.n; i++)
        CHECK(hw_stroke_pose(&d, &s, i, &p) == (s.ok[i] ? HW_OK : HW_NO_ASSEMBLY));
    hw_arena_fail_after(a, 1);
    CHECK(hw_stroke_keep(a, &d, &s) == HW_NO_MEMORY && !s.pose);
    d.family = HW_FAMILIES;
    CHECK(hw_stroke_pose(&d, &s, 0, &p) == HW_BAD_INPUT);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(same_as_single_poses);
    RUN(index_finger_of_the_design_note);
    RUN(poses_that_do_not_close);
    RUN(kept_poses_change_nothing);
    RUN(odd_counts_and_no_memory);
    return TEST_END();
}
