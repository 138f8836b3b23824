#include "check.h"
#include "digits.h"
#include "stroke/cases.h"

static void tip_case_is_the_stroke(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    hw_stroke s;
    hw_case_worst w;
    CHECK(hw_stroke_new(a, 64, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    CHECK(hw_case_worst_of(&d, &s, HW_CASE_TIP, 3, &w) == HW_OK);
    double pin = 0, pull = 0, at_s = -1;
    for (size_t i = 0; i < s.n; i++) {
        if (s.pin[1][i] > pin) {
            pin = s.pin[1][i];
            at_s = s.s[i];
        }
        pull = fmax(pull, s.bar[0][i]);
    }
    CLOSE(w.pin[1].value, 3 * pin, 1e-11);
    CHECK(w.pin[1].at_s == at_s);
    CLOSE(w.pull[0].value, 3 * pull, 1e-11);
    hw_arena_free(a);
}

static void knock_turns_signs(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    d.tip_thickness = 0; // then the knock is the tip push turned round
    hw_stroke s;
    hw_case_worst tip, knock;
    CHECK(hw_stroke_new(a, 16, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    CHECK(hw_case_worst_of(&d, &s, HW_CASE_TIP, 1, &tip) == HW_OK);
    CHECK(hw_case_worst_of(&d, &s, HW_CASE_KNOCK, 1, &knock) == HW_OK);
    for (int b = 0; b < 2; b++) {
        CLOSE(knock.push[b].value, tip.pull[b].value, 1e-13);
        CLOSE(knock.pull[b].value, tip.push[b].value, 1e-13);
    }
    CLOSE(knock.torque.value, -tip.torque.value, 1e-13);
    hw_arena_free(a);
}

static void pads_and_hook(void)
{
    hw_digit d = proportional(90, 0, 0);
    hw_digit_pose p;
    hw_digit_statics f;
    const hw_digit_family *family = hw_digit_family_of(d.family);
    CHECK(family->pose(&d, 1, &p) == HW_OK);
    // the proximal phalanx points down, the hook pulls it square: half its length is the arm
    hw_load hook = hw_case_load(&d, &p, HW_CASE_HOOK, 2);
    CHECK(family->statics(&d, &p, &hook, 1, &f) == HW_OK);
    CLOSE(f.torque, 2 * d.phalanx[0] / 2, 1e-14);
    for (int k = 0; k < 3; k++) {
        hw_case c = (hw_case)((int)HW_CASE_PAD_PROXIMAL + k);
        hw_load pad = hw_case_load(&d, &p, c, 1);
        CHECK(pad.phalanx == k && pad.at.z < 0 && pad.force.z == 1);
        CHECK(family->statics(&d, &p, &pad, 1, &f) == HW_OK);
        double arm = d.phalanx[k] / 2;
        for (int j = 0; j < k; j++) arm += d.phalanx[j];
        CLOSE(f.torque, arm, 1e-14);
    }
    for (int c = 0; c <= HW_CASES; c++) CHECK(hw_case_name((hw_case)c) != NULL);
}

static void all_at_once_are_one_by_one(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    hw_stroke s;
    CHECK(hw_stroke_new(a, 33, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    const double force[HW_CASES] = {8, 9, 10, 11, 15, 3};
    hw_case_worst all[HW_CASES], one;
    CHECK(hw_case_worst_all(&d, &s, force, all) == HW_OK);
    for (int c = 0; c < HW_CASES; c++) {
        CHECK(hw_case_worst_of(&d, &s, (hw_case)c, force[c], &one) == HW_OK);
        CHECK(memcmp(&one, &all[c], sizeof one) == 0);
    }
    const double bad[HW_CASES] = {8, 9, -1, 11, 15, 3};
    CHECK(hw_case_worst_all(&d, &s, bad, all) == HW_BAD_INPUT && isnan(all[0].pin[0].value));
    hw_arena_free(a);
}

static void wrong_input(void)
{
    hw_digit d = heron_index();
    hw_stroke s = {.n = 0};
    hw_case_worst w;
    CHECK(hw_case_worst_of(&d, &s, HW_CASES, 1, &w) == HW_BAD_INPUT);
    CHECK(hw_case_worst_of(&d, &s, HW_CASE_TIP, -1, &w) == HW_BAD_INPUT);
    CHECK(hw_case_worst_of(&d, &s, HW_CASE_TIP, (double)NAN, &w) == HW_BAD_INPUT);
    CHECK(hw_case_worst_of(&d, &s, HW_CASE_TIP, 1, &w) == HW_OK && isnan(w.pin[0].value));
    hw_arena *a = hw_arena_new(0);
    d.family = HW_FAMILY_DIRECT;
    CHECK(hw_stroke_new(a, 4, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    CHECK(hw_case_worst_of(&d, &s, HW_CASE_HOOK, 1, &w) == HW_OK);
    CHECK(isnan(w.pull[0].value) && isnan(w.push[1].value) && w.pin[0].value > 0);
    d.bar[0].horn = 0;
    d.family = HW_FAMILY_COUPLED_BARS;
    CHECK(hw_case_worst_of(&d, &s, HW_CASE_HOOK, 1, &w) == HW_BAD_INPUT);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(tip_case_is_the_stroke);
    RUN(knock_turns_signs);
    RUN(pads_and_hook);
    RUN(all_at_once_are_one_by_one);
    RUN(wrong_input);
    return TEST_END();
}
