#include "../assess/reading.h"
#include "tune/tune.h"

static size_t index_of(const hw_assessment *s, const char *id)
{
    for (size_t i = 0; i < s->findings; i++)
        if (strcmp(s->finding[i].id, id) == 0) return i;
    return SIZE_MAX;
}

enum { ROOM = 8 };

// Levers of one finding of a document. Returns how many.
static size_t levers(hw_arena *a, const char *text, const char *id, hw_assessment *s,
                     hw_lever out[ROOM])
{
    hw_design *d = read_design(a, text);
    hw_lever_table table;
    size_t n = 0;
    CHECK(d && hw_assess(a, d, NULL, s) == HW_OK);
    CHECK(hw_lever_table_fill(a, s, NULL, NULL, &table) == HW_OK);
    CHECK(hw_levers_of(a, &table, index_of(s, id), NULL, out, ROOM, &n) == HW_OK);
    return n;
}

// A horn 0.6 mm too long for its joint: shortening the horn, or thickening the joint, is what
// helps, by one for one and one for two.
static void a_lever_with_a_known_answer(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    hw_lever l[ROOM];
    size_t n = levers(a, ONE_FINGER "    \n", "digits.index/horn_room", &s, l);
    CHECK(finding(&s, "digits.index/horn_room")->verdict == HW_HOLDS);
    (void)n;
    static const char tight[] =
        "digits:\n  thumb: {present: no}\n  middle: {present: no}\n  ring: {present: no}\n  "
        "little: {present: no}\n"
        "  index:\n    thickness: [22 mm, 16.8 mm, 16 mm]\n    mechanism:\n"
        "      bar_a: {horn: 6 mm}\n      bar_b: {horn: 5 mm}\npivot: {boss: 3 mm}\n";
    n = levers(a, tight, "digits.index/horn_room", &s, l);
    const hw_finding *f = finding(&s, "digits.index/horn_room");
    NEAR(f->margin, -0.6e-3, 1e-12);
    CHECK(n >= 2);
    bool horn = false, thickness = false;
    for (size_t i = 0; i < n; i++) {
        char path[HW_PATH_TEXT];
        hw_entry_path(l[i].entry, path);
        double per = l[i].gain / fabs(l[i].step);
        if (strcmp(path, "digits.index.mechanism.bar_a.horn") == 0) {
            horn = true;
            CHECK(l[i].step < 0);
            NEAR(per, 1, 1e-9);
        }
        if (strcmp(path, "digits.index.thickness.middle") == 0) {
            thickness = true;
            CHECK(l[i].step > 0);
            NEAR(per, 0.5, 1e-9);
        }
        CHECK(i == 0 || l[i].gain <= l[i - 1].gain);
    }
    CHECK(horn && thickness);
    CHECK(l[0].verified && l[0].suggested == l[0].suggested);
    hw_arena_free(a);
}

// What a lever promises is what assessing the changed design says.
static void a_suggestion_holds_when_assessed_again(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    hw_lever l[ROOM];
    size_t n = levers(a, ONE_FINGER "requirements: {digits.index/transmission: {low: 40.5 deg}}\n",
                      "digits.index/transmission", &s, l);
    CHECK(finding(&s, "digits.index/transmission")->verdict == HW_FALLS_SHORT);
    CHECK(n > 0);
    int followed = 0;
    for (size_t i = 0; i < n; i++) {
        if (!l[i].verified) continue;
        followed++;
        hw_design *changed = NULL;
        hw_override set = {l[i].entry, l[i].suggested};
        hw_assessment again;
        CHECK(hw_design_with(a, s.design, &set, 1, &changed) == HW_OK);
        CHECK(hw_assess(a, changed, NULL, &again) == HW_OK);
        CHECK(finding(&again, "digits.index/transmission")->verdict == HW_HOLDS);
        int spoiled = 0;
        for (size_t f = 0; f < s.findings; f++)
            spoiled += s.finding[f].verdict == HW_HOLDS && again.finding[f].verdict != HW_HOLDS;
        CHECK(spoiled == l[i].spoiled);
    }
    CHECK(followed > 0);
    hw_arena_free(a);
}

static void wishes_are_not_levers_and_unknown_has_none(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    hw_lever l[ROOM];
    size_t n = levers(a,
                      "digits: {index: {travel: [0 deg, 170 deg]}, thumb: {present: no}, middle: "
                      "{present: no}, ring: {present: no}, little: {present: no}}\n",
                      "digits.index/pip_pin_worst", &s, l); // meets a dead point
    CHECK(n == 0);
    n = levers(a, ONE_FINGER, "digits.index/pin_load", &s, l);
    CHECK(n > 0);
    for (size_t i = 0; i < n; i++) {
        char path[HW_PATH_TEXT];
        hw_entry_path(l[i].entry, path);
        CHECK(strncmp(path, "loads.", 6) != 0 && strncmp(path, "closing.", 8) != 0 &&
              strncmp(path, "hand.", 5) != 0);
    }
    hw_arena_free(a);
}

static void the_same_list_every_time(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    hw_lever one[ROOM], two[ROOM];
    size_t n = levers(a, ONE_FINGER, "digits.index/slop_tip", &s, one);
    CHECK(n > 0 && levers(a, ONE_FINGER, "digits.index/slop_tip", &s, two) == n);
    for (size_t i = 0; i < n; i++)
        CHECK(one[i].entry == two[i].entry && one[i].gain == two[i].gain);
    hw_arena_free(a);
}

// What levers do not compute again they say nothing of: a finger caught beside a neighbour.
static void nothing_of_what_is_kept(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    hw_lever l[ROOM];
    static const char two[] = "digits:\n  thumb: {present: no}\n  ring: {present: no}\n"
                              "  little: {present: no}\n";
    CHECK(levers(a, two, "digits.index/crease_beside", &s, l) == 0);
    CHECK(finding(&s, "digits.index/crease_beside")->value > 1);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(nothing_of_what_is_kept);
    RUN(a_lever_with_a_known_answer);
    RUN(a_suggestion_holds_when_assessed_again);
    RUN(wishes_are_not_levers_and_unknown_has_none);
    RUN(the_same_list_every_time);
    return TEST_END();
}
