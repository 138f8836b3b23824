#include "reading.h"

static void an_empty_document_gets_a_whole_verdict(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read_design(a, "");
    hw_assessment s;
    CHECK(d && hw_assess(a, d, NULL, &s) == HW_OK);
    CHECK(s.findings == s.held + s.fallen_short + s.unknown);
    CHECK(s.findings > 40 && s.required == 0);
    CHECK(!hw_assess_all_hold(&s)); // unknown is not held
    for (size_t i = 0; i < s.findings; i++) {
        const hw_finding *f = &s.finding[i];
        CHECK(isnan(f->value) == (f->verdict == HW_UNKNOWN));
        CHECK(!f->kind->unknown || f->verdict == HW_UNKNOWN);
        CHECK(f->kind->unknown ||
              !isnan(f->value)); // defaults assemble: all that is built is computed
        CHECK(f->origin && (f->note || f->verdict != HW_UNKNOWN));
        for (size_t j = 0; j < i; j++) CHECK(strcmp(f->id, s.finding[j].id) != 0);
    }
    hw_arena_free(a);
}

static void requirements_replace_limits_and_name_their_line(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read_design(a, ONE_FINGER "requirements:\n"
                                             "  digits.index/slop_tip: {high: 3 mm}\n"
                                             "  digits.*/transmission: {low: 35 deg}\n");
    hw_assessment s;
    CHECK(d && hw_assess(a, d, NULL, &s) == HW_OK);
    const hw_finding *slop = finding(&s, "digits.index/slop_tip"),
                     *mu = finding(&s, "digits.index/transmission");
    CHECK(slop && slop->required && slop->verdict == HW_FALLS_SHORT);
    NEAR(slop->high, 0.003, 1e-15);
    SAME_TEXT(slop->origin, "hand.yaml:17");
    CHECK(mu && mu->required && mu->verdict == HW_HOLDS);
    CHECK(!finding(&s, "digits.middle/transmission")); // a digit that is not there is not judged
    CHECK(s.required >= 2 && !hw_assess_all_hold(&s));
    hw_arena_free(a);
}

static void only_what_is_required_decides_when_anything_is(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d =
        read_design(a, ONE_FINGER "requirements: {digits.index/transmission: {low: 35 deg}}\n");
    hw_assessment s;
    CHECK(d && hw_assess(a, d, NULL, &s) == HW_OK);
    CHECK(s.unknown > 0 && s.required == 1 && hw_assess_all_hold(&s));
    hw_arena_free(a);
}

// A horn turned to point along the bar: the straight digit is a dead point, and says so.
static void a_dead_point_is_a_finding_not_a_fault(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read_design(a, "digits:\n  index:\n    travel: [0 deg, 170 deg]\n");
    hw_assessment s;
    CHECK(d && hw_assess(a, d, NULL, &s) == HW_OK);
    const hw_finding *closes = finding(&s, "digits.index/closes"),
                     *pin = finding(&s, "digits.index/pip_pin_worst");
    CHECK(closes && closes->verdict == HW_FALLS_SHORT && closes->value > 0.3 && closes->value < 1);
    CHECK(closes && closes->note && strstr(closes->note, "loop at") != NULL);
    CHECK(pin && pin->verdict == HW_UNKNOWN && pin->note);
    NEAR(finding(&s, "digits.index/transmission")->value, 0, 0);
    CHECK(finding(&s, "digits.ring/closes")->verdict ==
          HW_HOLDS); // the others are judged all the same
    hw_arena_free(a);
}

// Lengths times k, forces times k^2, elastic constants kept: ratios and angles stay, lengths grow
// by k, forces by k^2.
static void answers_scale_with_the_design(void)
{
    static const char small[] =
        ONE_FINGER "pivot: {boss: 3 mm, gap: 0.25 mm}\nloads: {tip: 10 N, "
                   "pad: 15 N, hook: 20 N, knock: 10 N}\n"
                   "drive:\n  servo: {stall_torque: 0.05 N*m, drum_room: 20 mm}\n"
                   "  drum_radius: 6 mm\n  pulley_radius: 10 mm\n  drum_teeth: 25\n"
                   "  cord: {diameter: 0.8 mm, stiffness: 5 kN, strength: 800 N}\n"
                   "  sheath: {outer: 4 mm, bore: 2 mm, length: 300 mm, radius: 25 mm, "
                   "clips: 40 mm}\n"
                   "  wrist: {offset: 0.5 mm, range: 20 deg}\n  pretension: 2 N\n";
    static const char large[] =
        "hand: {length: 1870 mm, breadth: 830 mm}\n"
        "digits:\n"
        "  thumb: {present: no}\n  middle: {present: no}\n  ring: "
        "{present: no}\n  little: {present: no}\n"
        "  index:\n"
        "    phalanges: [456 mm, 266 mm, 180 mm]\n    width: 160 mm\n    "
        "thickness: [220 mm, 180 mm, 160 mm]\n"
        "    tip_thickness: 140 mm\n    travel: [0 deg, 85 deg]\n"
        "    mechanism:\n      kind: coupled bars\n"
        "      bar_a: {root: [55 mm, 35 mm], horn: 60 mm, horn_angle: -55 "
        "deg, width: 50 mm, depth: 24 mm}\n"
        "      bar_b: {root: [-21 mm, -27 mm], horn: 50 mm, horn_angle: "
        "152 deg, width: 50 mm, depth: 20 mm, count: 1}\n"
        "pivot: {boss: 30 mm, gap: 2.5 mm, engagement: 20 mm}\n"
        "printer: {gap: 2.5 mm, line: 4.2 mm}\nloads: {tip: 1000 N, pad: 1500 "
        "N, hook: 2000 N, knock: 1000 N}\n"
        "drive:\n  servo: {stall_torque: 50 N*m, drum_room: 200 mm}\n"
        "  drum_radius: 60 mm\n  pulley_radius: 100 mm\n"
        "  drum_teeth: 25\n"
        "  cord: {diameter: 8 mm, stiffness: 500 kN, strength: 80 kN}\n"
        "  sheath: {outer: 40 mm, bore: 20 mm, length: 3000 mm, radius: "
        "250 mm, clips: 400 mm}\n"
        "  wrist: {offset: 5 mm, range: 20 deg}\n  pretension: 200 N\n";
    hw_arena *a = hw_arena_new(0);
    hw_design *d1 = read_design(a, small), *d2 = read_design(a, large);
    hw_assessment s1, s2;
    CHECK(d1 && d2 && hw_assess(a, d1, NULL, &s1) == HW_OK && hw_assess(a, d2, NULL, &s2) == HW_OK);
    CHECK(s1.findings == s2.findings);
    for (size_t i = 0; i < s1.findings; i++) {
        const hw_finding *f = &s1.finding[i], *g = &s2.finding[i];
        if (f->verdict == HW_UNKNOWN || strstr(f->id, "wrap_gap") || strstr(f->id, "/crease_") ||
            strstr(f->id, "cost") || strstr(f->id, "switch_room"))
            continue; // cylinders, fingers and switches are fixed sizes, prices too
        if (isinf(f->value)) {
            CHECK(g->value == f->value);
            continue;
        }
        double factor = 1;
        if (hw_dim_same(f->kind->dim, HW_DIM_LENGTH)) factor = 10;
        if (hw_dim_same(f->kind->dim, HW_DIM_FORCE)) factor = 100;
        // rounding of 65 poses and a fitted spiral
        if (!NEAR(g->value, factor * f->value, 1e-9 * fabs(factor * f->value) + 1e-12))
            printf("    %s\n", f->id);
    }
    hw_arena_free(a);
}

static void memory_that_fails_at_any_step_is_reported(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d =
        read_design(a, ONE_FINGER "requirements: {digits.index/transmission: {low: 35 deg}}\n");
    size_t mark = hw_arena_mark(a);
    size_t steps = 0;
    for (;; steps++) {
        hw_assessment s;
        hw_arena_fail_after(a, steps);
        hw_code code = hw_assess(a, d, NULL, &s);
        hw_arena_fail_after(a, SIZE_MAX);
        hw_arena_rewind(a, mark);
        if (code == HW_OK || steps > 5000) break;
        CHECK(code == HW_NO_MEMORY);
    }
    CHECK(steps > 3 && steps <= 5000);
    hw_arena_free(a);
}

static bool stop_at_once(void *self, double fraction, const char *stage) // [1]
{
    (void)fraction;
    (void)stage;
    ++*(int *)self;
    return false;
}

static void a_job_can_stop_it(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read_design(a, "");
    int asked = 0;
    hw_job job = {stop_at_once, &asked};
    hw_assessment s;
    CHECK(hw_assess(a, d, &job, &s) == HW_CANCELLED);
    CHECK(asked == 1);
    hw_arena_free(a);
}

static void finding_names_are_looked_up_and_suggested(void)
{
    hw_dim dim;
    char nearest[96];
    CHECK(hw_assess_requirable.look_up(NULL, HW_TEXT("digits.little/slop_tip"), &dim, nearest));
    CHECK(hw_dim_same(dim, HW_DIM_LENGTH));
    CHECK(!hw_assess_requirable.look_up(NULL, HW_TEXT("digits.little/slop_tp"), &dim, nearest));
    SAME_TEXT(nearest, "digits.little/slop_tip");
    CHECK(!hw_assess_requirable.look_up(NULL, HW_TEXT("zebra"), &dim, nearest));
    SAME_TEXT(nearest, "");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(an_empty_document_gets_a_whole_verdict);
    RUN(requirements_replace_limits_and_name_their_line);
    RUN(only_what_is_required_decides_when_anything_is);
    RUN(a_dead_point_is_a_finding_not_a_fault);
    RUN(answers_scale_with_the_design);
    RUN(memory_that_fails_at_any_step_is_reported);
    RUN(a_job_can_stop_it);
    RUN(finding_names_are_looked_up_and_suggested);
    return TEST_END();
}
