#include "check.h"
#include "stroke/stroke.h"

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

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(same_as_single_poses);
    RUN(index_finger_of_the_design_note);
    RUN(poses_that_do_not_close);
    RUN(odd_counts_and_no_memory);
    return TEST_END();
}
