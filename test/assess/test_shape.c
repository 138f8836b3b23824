// Proportions in the chain: defaults are a person's, what differs is told in mm and deviations.
#include "reading.h"

static void defaults_are_a_persons(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    hw_design *d = read_design(a, "hand: {length: 171 mm, breadth: 77 mm}\n");
    if (!CHECK(d && hw_assess(a, d, NULL, &s) == HW_OK)) return;
    for (int digit = 0; digit < HW_DIGITS; digit++) {
        char id[64];
        snprintf(id, sizeof id, "digits.%s/proportion", hw_digit_name[digit]);
        const hw_finding *f = finding(&s, id);
        CHECK(f && f->verdict == HW_HOLDS);
        NEAR(f ? f->value : (double)NAN, 0, 1e-12);
        snprintf(id, sizeof id, "digits.%s/reach_off", hw_digit_name[digit]);
        f = finding(&s, id);
        NEAR(f ? f->value : (double)NAN, 0, 1e-15);
    }
    hw_arena_free(a);
}

// An index of 53, 26.6 and 19.4 mm on a hand of 200, where a person's are 49, 28.6 and 19.4; and a
// thumb that is a quarter too long in its metacarpal (50.2 mm, 3.94/46.22 of it the deviation).
static void a_long_finger_by_hand(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    hw_design *d = read_design(a, "hand: {length: 200 mm}\n"
                                  "digits:\n"
                                  "  index: {phalanges: [53 mm, 26.6 mm, 19.4 mm]}\n"
                                  "  thumb: {phalanges: [62.8 mm, 39.2 mm, 31.6 mm]}\n");
    if (!CHECK(d && hw_assess(a, d, NULL, &s) == HW_OK)) return;
    const hw_finding *f = finding(&s, "digits.index/proportion");
    double z0 = 4 / (49 * 4.94 / 39.78), z1 = 2 / (28.6 * 2.51 / 22.38);
    if (CHECK(f != NULL)) {
        NEAR(f->value, sqrt((z0 * z0 + z1 * z1) / 3), 1e-9);
        CHECK(f->note && strstr(f->note, "proximal +4.0 mm (0.7 sd)"));
        CHECK(f->note && strstr(f->note, "middle -2.0 mm (-0.6 sd)"));
    }
    f = finding(&s, "digits.index/reach_off");
    if (CHECK(f != NULL)) NEAR(1e3 * f->value, 2, 1e-9);
    f = finding(&s, "digits.thumb/proportion");
    if (CHECK(f != NULL)) {
        NEAR(f->value, 12.6 / (50.2 * 3.94 / 46.22) / sqrt(3), 1e-9);
        CHECK(f->verdict == HW_FALLS_SHORT && strstr(f->note, "metacarpal +12.6 mm (2.9 sd)"));
    }
    f = finding(&s, "digits.thumb/reach_off");
    CHECK(f && f->verdict == HW_FALLS_SHORT);
    hw_arena_free(a);
}

// The hand's own size decides what a person's is.
static void the_hand_is_the_measure(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    hw_design *d = read_design(a, "hand: {length: 150 mm}\n"
                                  "digits: {ring: {phalanges: [48.8 mm, 33 mm, 21.4 mm]}}\n");
    if (!CHECK(d && hw_assess(a, d, NULL, &s) == HW_OK)) return;
    const hw_finding *f = finding(&s, "digits.ring/reach_off");
    if (CHECK(f != NULL)) NEAR(1e3 * f->value, 0.516 * 50, 1e-9); // a ring finger of 200 mm's hand
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(defaults_are_a_persons);
    RUN(a_long_finger_by_hand);
    RUN(the_hand_is_the_measure);
    return TEST_END();
}
