#include "verdict/verdict.h"

#include "check.h"

static hw_finding judged(double value, double low, double high)
{
    static const hw_finding_kind kind = {.id = "x", .scale = 2.0};
    hw_finding f = {.kind = &kind, .value = value, .low = low, .high = high};
    hw_finding_judge(&f);
    return f;
}

static void margins_are_signed_and_take_the_nearer_limit(void)
{
    NEAR(judged(5, 3, NAN).margin, 2, 0);
    NEAR(judged(5, NAN, 9).margin, 4, 0);
    NEAR(judged(5, 3, 6).margin, 1, 0);
    NEAR(judged(5, 3, 6).margin_ratio, 0.5, 0);
    CHECK(judged(5, 3, 6).verdict == HW_HOLDS);
    NEAR(judged(2, 3, 6).margin, -1, 0);
    CHECK(judged(2, 3, 6).verdict == HW_FALLS_SHORT);
    CHECK(judged(7, 3, 6).verdict == HW_FALLS_SHORT);
}

static void limits_themselves_hold_and_rounding_does_not_spoil_them(void)
{
    CHECK(judged(0, 0, NAN).verdict == HW_HOLDS);
    CHECK(judged(-1e-18, 0, NAN).verdict == HW_HOLDS);
    CHECK(judged(-1e-6, 0, NAN).verdict == HW_FALLS_SHORT);
}

static void unknown_and_infinite_values(void)
{
    CHECK(judged(NAN, 0, 1).verdict == HW_UNKNOWN);
    CHECK(isnan(judged(NAN, 0, 1).margin));
    CHECK(judged(INFINITY, NAN, 1).verdict == HW_FALLS_SHORT);
    CHECK(judged(INFINITY, 1, NAN).verdict == HW_HOLDS);
    SAME_TEXT(hw_verdict_text(HW_UNKNOWN), "unknown");
    SAME_TEXT(hw_verdict_text(HW_FALLS_SHORT), "falls short");
    SAME_TEXT(hw_verdict_text(HW_HOLDS), "holds");
}

static void every_row_is_complete_and_named_once(void)
{
    static const char *const names[5] = {"thumb", "index", "middle", "ring", "little"};
    size_t n;
    const hw_finding_kind *k = hw_finding_kinds(&n);
    CHECK(n > 10);
    for (size_t i = 0; i < n; i++) {
        CHECK(k[i].id && k[i].what && k[i].source && k[i].origin && k[i].scale > 0);
        CHECK(!isnan(k[i].low) || !isnan(k[i].high));
        CHECK(strlen(k[i].what) <= 60);
        char id[64];
        CHECK(hw_finding_id(&k[i], k[i].of_digit ? 4 : -1, names, id) < 63);
        CHECK(strncmp(id, k[i].of_digit ? "digits.little/" : "hand/", k[i].of_digit ? 14 : 5) == 0);
        for (size_t j = 0; j < i; j++) CHECK(strcmp(k[i].id, k[j].id) != 0);
    }
}

static void classrooms_are_gentler_about_known_findings(void)
{
    size_t n, gentler = 0;
    const hw_finding_kind *k = hw_finding_kinds(&n);
    for (size_t i = 0; i < n; i++) {
        const hw_setting_limit *l = hw_classroom_limit(k[i].id);
        if (!l) continue;
        gentler++;
        CHECK(l->origin && strcmp(l->id, k[i].id) == 0);
        CHECK(!isnan(l->low) || !isnan(l->high));
        CHECK(!(l->low < k[i].low)); // never asks for less on the low side
    }
    CHECK(gentler >= 1 && !hw_classroom_limit("no such finding"));
    CHECK(hw_classroom_limit("closing_time") && hw_classroom_limit("closing_time")->low == 2.0);
    CHECK(gentler == 5 && !hw_classroom_limit("") && !hw_classroom_limit("closing_tim"));
    // not above what is asked of any hand, on the high side either
    CHECK(hw_classroom_limit("crease_force") && hw_classroom_limit("crease_force")->high == 19);
    CHECK(hw_classroom_limit("open_force") && hw_classroom_limit("open_force")->high == 19);
}

// What no document may ask for more than is a ceiling only, of a finding that there is, above the
// default and the classroom's limits, and says where it is from.
static void hard_limits_are_ceilings_of_known_findings(void)
{
    size_t n, hard = 0;
    const hw_finding_kind *k = hw_finding_kinds(&n);
    for (size_t i = 0; i < n; i++) {
        const hw_setting_limit *l = hw_hard_limit(k[i].id), *gentle = hw_classroom_limit(k[i].id);
        if (!l) continue;
        hard++;
        CHECK(l->origin && strcmp(l->id, k[i].id) == 0);
        CHECK(isnan(l->low) && l->high > 0 && isfinite(l->high));
        CHECK(k[i].high <= l->high);
        CHECK(!gentle || gentle->high <= l->high);
    }
    // 50 N: advised for children (Hohendorff et al. 2012, quoted in core/stroke/README.md)
    CHECK(hard == 3 && hw_hard_limit("crease_force") && hw_hard_limit("crease_force")->high == 50);
    CHECK(!hw_hard_limit("closing_time") && !hw_hard_limit("no such finding"));
}

static void bodies_are_judged_as_parts_are(void)
{
    size_t n, of_bodies = 0;
    const hw_finding_kind *k = hw_finding_kinds(&n);
    for (size_t i = 0; i < n; i++) {
        if (!hw_finding_of_bodies(&k[i])) continue;
        of_bodies++;
        CHECK(k[i].of_digit && hw_finding_is_made(&k[i]));
    }
    CHECK(of_bodies == 8); // faults, islands, overhang, exceptions, bridge, wall, pieces, bed
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(margins_are_signed_and_take_the_nearer_limit);
    RUN(limits_themselves_hold_and_rounding_does_not_spoil_them);
    RUN(unknown_and_infinite_values);
    RUN(every_row_is_complete_and_named_once);
    RUN(classrooms_are_gentler_about_known_findings);
    RUN(hard_limits_are_ceilings_of_known_findings);
    RUN(bodies_are_judged_as_parts_are);
    return TEST_END();
}
