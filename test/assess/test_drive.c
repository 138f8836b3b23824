// The drive in the chain: entries to numbers, catalogues, families, settings, notes.
#include "base/rng.h"
#include "reading.h"

static double value_of(const hw_assessment *s, const char *id)
{
    const hw_finding *f = finding(s, id);
    return CHECK(f != NULL) ? f->value : (double)NAN;
}

static bool assess_text(hw_arena *a, const char *text, hw_assessment *s)
{
    hw_design *d = read_design(a, text);
    return CHECK(d && hw_assess(a, d, NULL, s) == HW_OK);
}

// A digit repeats the hand's drive but for what it says itself; a class of servo brings its figures
// only where the document gives none.
static void a_digit_has_its_own_where_it_says_so(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read_design(a, "drive:\n"
                                  "  servo: {type: standard 4 continuous, stall_torque: 0.5 N*m}\n"
                                  "  drum_radius: 7 mm\n  sheath: {mu: 0.08}\n"
                                  "  return: {kind: elastic}\n"
                                  "digits:\n"
                                  "  ring:\n    drive: {servo: {type: micro 9 g}, pretension: 3 N, "
                                  "return: {kind: cord}}\n"
                                  "  little:\n    drive: {drum_radius: 5 mm}\n");
    if (!d) return;
    hw_hand h;
    hw_hand_build(d, &h);
    const hw_drive *index = &h.drive[HW_INDEX], *ring = &h.drive[HW_RING];
    CLOSE(index->servo.stall_torque, 0.5, 1e-15);
    CLOSE(index->servo.no_load_speed, 48 * 2 * 3.14159265358979 / 60, 1e-12); // 48 rpm
    CHECK(isinf(index->servo_travel) && index->back == HW_RETURN_ELASTIC);
    CLOSE(index->mu[HW_MU_NOMINAL], 0.08, 1e-15);
    CLOSE(index->mu[HW_MU_LOW], 0.04, 1e-15);
    CLOSE(index->mu[HW_MU_HIGH], 0.12, 1e-15);
    CLOSE(ring->servo.stall_torque, 2.0 * 0.0980665, 1e-12);
    CLOSE(ring->servo_travel, 3.14159265358979, 1e-12);
    CLOSE(ring->drum_radius, 7e-3, 1e-15);
    CLOSE(ring->pretension, 3.0, 1e-15);
    CHECK(ring->back == HW_RETURN_CORD);
    CLOSE(h.drive[HW_LITTLE].drum_radius, 5e-3, 1e-15);
    CLOSE(h.drive[HW_LITTLE].servo.stall_torque, 0.5, 1e-15);
    SAME_TEXT(hw_design_text(d, hw_entry_of(HW_E_OWN_SERVO_TYPE, HW_INDEX)).at ? "yes" : "no",
              "yes");
    CHECK(hw_text_same(hw_design_text(d, hw_entry_of(HW_E_OWN_SERVO_TYPE, HW_RING)),
                       HW_TEXT("micro 9 g")));
    CHECK(hw_text_same(hw_design_text(d, hw_entry_of(HW_E_OWN_SERVO_TYPE, HW_INDEX)),
                       HW_TEXT("standard 4 continuous")));
    hw_arena_free(a);
}

// An override of the hand's own entry reaches every digit that repeats it.
static void overrides_reach_the_digits(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read_design(a, "digits: {ring: {drive: {drum_radius: 5 mm}}}\n"), *e = NULL;
    hw_override set = {hw_entry_of(HW_E_DRIVE_DRUM_RADIUS, -1), 8e-3};
    if (!d || !CHECK(hw_design_with(a, d, &set, 1, &e) == HW_OK)) return;
    hw_hand h;
    hw_hand_build(e, &h);
    CHECK(h.drive[HW_INDEX].drum_radius == 8e-3 && h.drive[HW_RING].drum_radius == 5e-3);
    set.value = 21e-3; // more than the servo's place allows
    CHECK(hw_design_with(a, d, &set, 1, &e) == HW_BAD_INPUT);
    set = (hw_override){hw_entry_of(HW_E_OWN_CORD_DIAMETER, HW_RING), 2e-3};
    CHECK(hw_design_with(a, d, &set, 1, &e) == HW_BAD_INPUT); // as wide as its sheath's bore
    hw_arena_free(a);
}

// Every class and kind that is shipped can be chosen, and is of a sensible size.
static void what_is_shipped_is_sane(void)
{
    static const char *const servo[] = {
        "micro 9 g",   "micro 9 g continuous",  "micro metal gear",
        "standard 4",  "standard 10",           "standard 10 continuous",
        "standard 20", "standard 4 continuous", "standard 20 continuous"};
    static const char *const cord[] = {"braid 0.5 mm", "braid 0.8 mm",   "braid 1 mm",
                                       "braid 1.2 mm", "polyester 1 mm", "wire 0.8 mm"};
    static const char *const sheath[] = {"ptfe 4x2", "ptfe 3x2", "coil 5x2", "printed channel 2"};
    hw_arena *a = hw_arena_new(0);
    for (size_t i = 0; i < 9; i++)
        for (size_t j = 0; j < 6; j++)
            for (size_t k = 0; k < 4; k++) {
                size_t mark = hw_arena_mark(a);
                char text[300];
                snprintf(text, sizeof text,
                         "drive:\n  servo: {type: %s}\n  cord: {type: %s}\n  sheath: {type: %s}\n",
                         servo[i], cord[j], sheath[k]);
                hw_design *d = read_design(a, text);
                hw_hand h;
                if (!CHECK(d != NULL)) continue;
                hw_hand_build(d, &h);
                const hw_drive *v = &h.drive[HW_INDEX];
                // a servo gives 0.2 to 5 W at most, and draws more than it gives
                double power = hw_servo_most_power(&v->servo);
                double volts = hw_design_value(d, hw_entry_of(HW_E_DRIVE_SERVO_VOLTAGE, -1));
                CHECK(power > 0.2 && power < 5 && power < 0.5 * volts * v->servo.stall_current);
                CHECK(isinf(v->servo_travel) == (strstr(servo[i], "continuous") != NULL));
                // cords bear 0.5 to 3 GPa and stretch by 1 to 50 % before they break
                double area = 0.785 * v->cord_diameter * v->cord_diameter;
                CHECK(v->cord_strength / area > 0.4e9 && v->cord_strength / area < 3e9);
                double strain = v->cord_strength / v->cord_stiffness;
                CHECK(strain > 0.01 && strain < 0.5);
                double rule =
                    hw_tube_bend_radius(v->sheath_outer, 0.5 * (v->sheath_outer - v->sheath_bore));
                CHECK(v->sheath_radius >= 1.4 * rule && v->sheath_radius < 3 * rule);
                hw_arena_rewind(a, mark);
            }
    hw_arena_free(a);
}

// Digits of one servo a joint: the weakest joint decides, and it is named.
static void direct_digits_are_as_weak_as_their_weakest(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a, "drive: {servo: {type: micro 9 g}}\n", &s)) return;
    const hw_finding *f = finding(&s, "digits.thumb/tip_force");
    const hw_digit_assessment *g = &s.digit[HW_THUMB];
    CHECK(f && f->note && strstr(f->note, "the base's servo is the weakest"));
    CHECK(g->drive_joint == 0 && !finding(&s, "digits.thumb/cord_safety"));
    // arms by hand: what lies between a joint and the tip, seen along the last phalanx
    const double *l = s.hand->digit[HW_THUMB].phalanx, torque = 2.0 * 0.0980665 * 0.45;
    for (size_t i = 0; i < g->stroke.n; i++) {
        double q1 = g->stroke.joint[1][i], q2 = g->stroke.joint[2][i];
        double mcp = l[2] + l[1] * cos(q2), base = mcp + l[0] * cos(q1 + q2);
        CLOSE(g->tip_force[i], torque / fmax(fmax(l[2], mcp), base), 1e-9);
    }
    CHECK(f && f->value == g->drive.tip.value);
    hw_arena_free(a);
}

// A cord over the joints: the drive's pull against the bands, against a balance by hand.
static void cords_over_joints_pull_against_their_bands(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a,
                     "drive: {servo: {stall_torque: 0.8 N*m}, drum_radius: 8 mm,\n"
                     "        sheath: {bend: 0 deg}}\n"
                     "digits: {index: {mechanism: {kind: cord}}}\n",
                     &s))
        return;
    const hw_digit *d = &s.hand->digit[HW_INDEX];
    const hw_digit_assessment *g = &s.digit[HW_INDEX];
    double pull = 0.45 * 0.8 / 8e-3;
    CLOSE(value_of(&s, "digits.index/cord_pull"), pull / d->cord.tension, 1e-12);
    // closed, every joint's own balance: arm * (pull - what holds it) = torque of the unit load
    size_t last = g->stroke.n - 1;
    double holds = 0;
    for (int j = 0; j < HW_JOINTS; j++)
        holds = fmax(
            holds, (d->cord.spring_preload[j] + d->cord.spring_rate[j] * g->stroke.joint[j][last]) /
                       d->cord.arm[j]);
    CLOSE(g->tip_force[last], (pull - holds) * d->cord.arm[0] / g->stroke.torque[last], 1e-9);
    hw_arena_free(a);
}

static void classrooms_have_time(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a, "setting: classroom\ndrive: {close_in: 1.9 s}\n", &s)) return;
    const hw_finding *f = finding(&s, "digits.index/closing_time");
    CHECK(f && f->verdict == HW_FALLS_SHORT && f->low == 2.0 && strstr(f->origin, "classroom"));
    if (!assess_text(a,
                     "setting: classroom\ndrive: {close_in: 1.2 s}\n"
                     "requirements: {digits.index/closing_time: {low: 1 s}}\n",
                     &s))
        return;
    f = finding(&s, "digits.index/closing_time");
    CHECK(f && f->required && f->verdict == HW_HOLDS); // the document's own word goes before
    if (!assess_text(a, "drive: {close_in: 1.2 s}\n", &s)) return;
    f = finding(&s, "digits.index/closing_time");
    CHECK(f && f->verdict == HW_HOLDS && strstr(f->note, "as fast as it goes"));
    hw_arena_free(a);
}

static void a_wrist_that_slackens_is_a_finding(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a, "drive: {wrist: {offset: 4 mm, range: 40 deg}}\n", &s)) return;
    const hw_finding *f = finding(&s, "digits.index/wrist_pretension");
    CHECK(f && f->verdict == HW_FALLS_SHORT && f->value < 0);
    CHECK(f && f->note && strstr(f->note, "slackens a cord"));
    if (!assess_text(a, "drive: {wrist: {offset: 4 mm, range: 40 deg, cords: astride}}\n", &s))
        return;
    f = finding(&s, "digits.index/wrist_pretension");
    CHECK(f && f->verdict == HW_HOLDS);
    CHECK(s.digit[HW_INDEX].drive.wrist_shift > 0.4); // but it moves the finger
    hw_arena_free(a);
}

// A servo that cannot drag its own cords: no time is given, and the note says where it stands.
static void too_weak_a_servo_is_a_finding(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a, "drive: {servo: {stall_torque: 0.02 N*m}, pretension: 20 N}\n", &s)) return;
    const hw_finding *f = finding(&s, "digits.index/closing_time");
    CHECK(f && f->verdict == HW_FALLS_SHORT && isinf(f->value));
    CHECK(f && f->note && strstr(f->note, "the servo stalls"));
    f = finding(&s, "digits.index/tip_force");
    CHECK(f && f->value < 0 && f->note && strstr(f->note, "it cannot move"));
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_digit_has_its_own_where_it_says_so);
    RUN(overrides_reach_the_digits);
    RUN(what_is_shipped_is_sane);
    RUN(direct_digits_are_as_weak_as_their_weakest);
    RUN(cords_over_joints_pull_against_their_bands);
    RUN(classrooms_have_time);
    RUN(a_wrist_that_slackens_is_a_finding);
    RUN(too_weak_a_servo_is_a_finding);
    return TEST_END();
}
