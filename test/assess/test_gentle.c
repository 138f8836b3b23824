// Creases, opening, lag, payload and building, from the document to the sheet.
#include "reading.h"

static hw_assessment assess(hw_arena *a, const char *text)
{
    hw_assessment s = {0};
    hw_design *d = read_design(a, text);
    CHECK(d && hw_assess(a, d, NULL, &s) == HW_OK);
    return s;
}

// The limit follows the setting, a requirement replaces it, and none goes beyond 50 N.
static void limits_of_creases(void)
{
    static const struct {
        const char *text;
        double high;
    } cases[] = {
        {ONE_FINGER, 35},
        {"setting: classroom\n" ONE_FINGER, 19},
        {ONE_FINGER "requirements: {digits.index/crease_force: {high: 25 N}}\n", 25},
        {ONE_FINGER "requirements: {digits.index/crease_force: {high: 90 N}}\n", 50},
        {ONE_FINGER "requirements: {digits.index/crease_force: {low: 1 N}}\n", 50},
    };
    hw_arena *a = hw_arena_new(0);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        hw_assessment s = assess(a, cases[i].text);
        const hw_finding *f = finding(&s, "digits.index/crease_force");
        if (CHECK(f && f->note)) NEAR(f->high, cases[i].high, 1e-12);
    }
    hw_arena_free(a);
}

// Twice the servo, no friction's law changed: a crease presses about twice as hard.
static void a_stronger_servo_presses_harder(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment weak = assess(a, ONE_FINGER "drive: {servo: {stall_torque: 0.4 N*m}}\n");
    hw_assessment strong = assess(a, ONE_FINGER "drive: {servo: {stall_torque: 0.8 N*m}}\n");
    double one = finding(&weak, "digits.index/crease_force")->value;
    double two = finding(&strong, "digits.index/crease_force")->value;
    CHECK(one > 1);
    NEAR(two, 2 * one, 0.15 * one); // the opening cord's share of the pretension
    CHECK(finding(&strong, "digits.index/open_force")->value >
          1.5 * finding(&weak, "digits.index/open_force")->value);
    hw_assessment locked = assess(a, ONE_FINGER "drive: {servo: {back_drive: 100 %}}\n");
    const hw_finding *f = finding(&locked, "digits.index/open_force");
    CHECK(isinf(f->value) && f->verdict == HW_FALLS_SHORT && f->note);
    hw_arena_free(a);
}

// 2 mu F / (SF g), with the lesser of the two tips.
static void payload_by_hand(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s = assess(a, "grip: {friction: 0.4, safety: 2}\n");
    double thumb = finding(&s, "digits.thumb/tip_force")->value;
    double index = finding(&s, "digits.index/tip_force")->value;
    CLOSE(finding(&s, "hand/payload")->value, 0.4 * fmin(thumb, index) / 9.80665, 1e-12);
    double t = finding(&s, "digits.thumb/tip_force_held")->value;
    double i = finding(&s, "digits.index/tip_force_held")->value;
    CLOSE(finding(&s, "hand/payload_held")->value, 0.4 * fmin(t, i) / 9.80665, 1e-12);
    hw_assessment none = assess(a, "digits: {thumb: {present: no}}\n");
    CHECK(finding(&none, "hand/payload")->verdict == HW_UNKNOWN);
    CHECK(finding(&none, "hand/payload")->note != NULL);
    hw_arena_free(a);
}

// One finger of bars with two cords, every count by hand.
static void building_by_hand(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s =
        assess(a, ONE_FINGER "build: {body_parts: 3, body_screws: 6, drum_screws: 1, "
                             "solder_joints: 0}\n"
                             "drive:\n  servo: {screws: 9, cost_low: 5, cost_high: 7}\n"
                             "  cord: {ends: crimped, cost_low: 1, cost_high: 2}\n"
                             "  sheath: {length: 500 mm, cost_low: 3, cost_high: 4}\n");
    NEAR(finding(&s, "hand/loose_parts")->value, 3 + 1 + 1 + 1 + 2, 0); // servo, drum, sheaths
    NEAR(finding(&s, "hand/fasteners")->value, 6 + 9 + 1, 0);
    NEAR(finding(&s, "hand/solder_joints")->value, 0, 0);
    NEAR(finding(&s, "hand/cords_to_thread")->value, 2, 0);
    NEAR(finding(&s, "hand/special_tools")->value, 1, 0);
    SAME_TEXT(finding(&s, "hand/special_tools")->note, "crimping pliers");
    CLOSE(finding(&s, "hand/cost")->value, 7 + 2 * (2 * 0.5902 + 4 * 0.5), 1e-12);
    CHECK(strstr(finding(&s, "hand/cost")->note, "from 9 to 13") != NULL);
    hw_arena_free(a);
}

// Pins are pressed into reamed holes, an elastic return saves a cord, and solder asks for its iron.
static void pins_and_bands_by_hand(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s = assess(a, "build: {body_parts: 1, solder_joints: 3}\n"
                                "drive: {return: {kind: elastic}}\n"
                                "digits:\n  thumb: {present: no}\n  ring: {present: no}\n"
                                "  little: {present: no}\n"
                                "  index: {build: {parts: 4, pins: 5}}\n"
                                "  middle: {build: {parts: 2}, drive: {return: {kind: cord}}}\n");
    // servo, drum and cords of each: one and two
    NEAR(finding(&s, "hand/loose_parts")->value, 1 + 4 + 5 + 1 + 1 + 1 + 2 + 1 + 1 + 2, 0);
    NEAR(finding(&s, "hand/cords_to_thread")->value, 3, 0);
    NEAR(finding(&s, "hand/special_tools")->value, 2, 0);
    SAME_TEXT(finding(&s, "hand/special_tools")->note, "a soldering iron, a reamer for pins");
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(limits_of_creases);
    RUN(a_stronger_servo_presses_harder);
    RUN(payload_by_hand);
    RUN(building_by_hand);
    RUN(pins_and_bands_by_hand);
    return TEST_END();
}
