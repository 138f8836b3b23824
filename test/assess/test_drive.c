// The drive in the chain: entries to numbers, catalogues, families, settings, notes.
#include "base/rng.h"
#include "digit/contact.h"
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

// A rail without resistance, for what is worked out by hand.
#define IDEAL "wire: {length: 0 mm, plugs: 0 ohm}"
#define POWER "power: {resistance: 0 ohm}\n"

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
    if (!assess_text(a, POWER "drive: {servo: {type: micro 9 g}, " IDEAL "}\n", &s)) return;
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
                     POWER "drive: {servo: {stall_torque: 0.8 N*m}, drum_radius: 8 mm, " IDEAL ",\n"
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

// ---- the rail

// Four fingers of one servo and a thumb of three, all alike: seven servos, each behind its own
// lead.
static void the_rail_by_hand(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a,
                     "power: {resistance: 100 mohm, current: 5 A}\n"
                     "drive: {wire: {length: 0 mm, plugs: 200 mohm}}\n",
                     &s))
        return;
    // V = 6 - (7 * 0.1 + 0.2) I with I = 0.2 (1 - x) + x 1.8 V/6
    for (int k = 0; k < 3; k++) {
        double x = k == 0 ? 0.45 : k == 1 ? 0.33 : 1;
        double volts = (6 - 0.9 * 0.2 * (1 - x)) / (1 + 0.9 * x * 0.3);
        double amps = 0.2 * (1 - x) + x * 0.3 * volts;
        const hw_supply *p = &s.hand->supply;
        CLOSE(k == 0 ? p->grip_voltage : k == 1 ? p->hold_voltage : p->stall_voltage, volts, 1e-12);
        CLOSE(k == 0   ? p->grip_current
              : k == 1 ? p->hold_current
                       : p->stall_current,
              7 * amps, 1e-12);
        const hw_drive *v = &s.hand->drive[HW_RING];
        if (k < 2) CLOSE(k == 0 ? v->rail.grip : v->rail.hold, volts, 1e-12);
        if (k == 0) CLOSE(value_of(&s, "hand/supply_share"), 7 * amps / 5, 1e-12);
        if (k == 2) CLOSE(value_of(&s, "hand/rail_sag"), volts, 1e-12);
    }
    const hw_finding *f = finding(&s, "hand/rail_sag");
    CHECK(f && f->note && strstr(f->note, "when all grip") && f->verdict == HW_FALLS_SHORT);
    f = finding(&s, "hand/supply_share");
    CHECK(f && f->note && strstr(f->note, "7 servos") && f->verdict == HW_FALLS_SHORT);
    CHECK(s.hand->drive[HW_INDEX].rail.alone.emf == 6);
    CLOSE(s.hand->drive[HW_INDEX].rail.alone.resistance, 0.3, 1e-12);
    // closing: fingers drag their cords, the thumb's three turn free
    double torque = hw_drive_moving(&s.hand->drive[HW_INDEX], 0.1, 0);
    CLOSE(s.hand->drive[HW_INDEX].rail.closing.resistance, 0.3, 1e-12);
    double others = (6 - s.hand->drive[HW_INDEX].rail.closing.emf) / 0.1;
    double least = 6 * 0.2, more = 3 * torque / 0.95 * 1.8;
    CHECK(others > least && others < least + more);
    hw_arena_free(a);
}

// What the supply loses the fingers lose: force, hold, time; what must not break or hurt is
// reckoned with one finger alone on the rail.
static void a_weak_supply_weakens_the_hand(void)
{
    static const char *const id[] = {"tip_force",    "tip_force_held", "cord_pull", "cord_safety",
                                     "crease_force", "hold_share",     "case_heat", "grip_time"};
    hw_arena *a = hw_arena_new(0);
    hw_assessment strong, weak;
    if (!assess_text(a, POWER "drive: {close_in: 0 s, " IDEAL "}\n", &strong)) return;
    if (!assess_text(a, "power: {resistance: 300 mohm}\ndrive: {close_in: 0 s}\n", &weak)) return;
    const hw_drive *v = &weak.hand->drive[HW_INDEX];
    double ratio = v->rail.grip / 6, held = v->rail.hold / 6;
    CHECK(ratio < 0.85 && held > ratio && held < 0.95);
    for (size_t i = 0; i < sizeof id / sizeof id[0]; i++) {
        char whole[64];
        snprintf(whole, sizeof whole, "digits.index/%s", id[i]);
        if (strcmp(id[i], "cord_pull") == 0) continue; // bars have none
        double was = value_of(&strong, whole), is = value_of(&weak, whole);
        bool grows = strcmp(id[i], "hold_share") == 0 || strcmp(id[i], "cord_safety") == 0 ||
                     strcmp(id[i], "case_heat") == 0 || strcmp(id[i], "grip_time") == 0;
        if (!CHECK(grows ? is > was : is < was)) printf("    %s: %g, %g\n", whole, was, is);
    }
    CLOSE(value_of(&weak, "digits.thumb/tip_force"),
          value_of(&strong, "digits.thumb/tip_force") * weak.hand->drive[HW_THUMB].rail.grip / 6,
          1e-12);
    double alone = hw_servo_fed_at_share(&v->servo, 6, &v->rail.alone, 1) / 6;
    CLOSE(value_of(&weak, "digits.index/cord_safety"),
          value_of(&strong, "digits.index/cord_safety") / alone, 1e-9);
    CHECK(alone > ratio);
    CHECK(weak.digit[HW_INDEX].drive.closing_time >
          1.05 * strong.digit[HW_INDEX].drive.closing_time);
    CHECK(weak.digit[HW_INDEX].drive.closing_voltage < 6);
    hw_arena_free(a);
}

// Digits with a supply of their own have a rail of their own.
static void two_supplies_are_two_rails(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment one, two;
    if (!assess_text(a, "digits: {thumb: {drive: {supply: 6 V}}}\n", &one)) return;
    if (!assess_text(a, "digits: {thumb: {drive: {supply: 5.9 V}}}\n", &two)) return;
    CHECK(two.hand->drive[HW_INDEX].rail.grip > one.hand->drive[HW_INDEX].rail.grip);
    CHECK(two.hand->supply.grip_current < one.hand->supply.grip_current);
    CHECK(one.hand->supply.servos == 7 && two.hand->supply.servos == 7);
    hw_arena_free(a);
}

// A lead's wires, there and back, and another rated voltage; closing, everyone at the hardest pose
// of its own return.
static void leads_and_returns_by_hand(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a,
                     POWER "drive: {servo: {voltage: 7.4 V}, supply: 6.6 V,\n"
                           "        wire: {gauge: 22, length: 0.5 m, plugs: 10 mohm},\n"
                           "        return: {kind: elastic, preload: 40 N*mm, rate: 30 N*mm/rad}}\n"
                           "digits: {thumb: {present: no}, little: {mechanism: {kind: cord}},\n"
                           "         ring: {present: no}, middle: {present: no}}\n",
                     &s))
        return;
    const hw_drive *v = &s.hand->drive[HW_INDEX];
    NEAR(v->rail.alone.resistance, 0.5 * 0.1059 + 0.010, 5e-5); // docs/sources/mechanics.md, wires
    CHECK(v->rail.rated == 7.4 && v->rail.alone.emf == 6.6);
    CLOSE(v->rail.grip, hw_servo_fed_at_share(&v->servo, 7.4, &v->rail.alone, 0.45), 1e-12);
    hw_arena_free(a);
    // with a shared resistance the little finger is left what the index does not draw
    a = hw_arena_new(0);
    if (!assess_text(a,
                     "power: {resistance: 1 ohm}\n"
                     "drive: {" IDEAL ", return: {kind: elastic, preload: 40 N*mm, "
                     "rate: 30 N*mm/rad}}\n"
                     "digits: {thumb: {present: no}, little: {mechanism: {kind: cord}},\n"
                     "         ring: {present: no}, middle: {present: no}}\n",
                     &s))
        return;
    double travel = 85 * 3.14159265358979 / 180, back = 0.04 + 0.03 * travel, tension, pulled;
    v = &s.hand->drive[HW_INDEX];
    const hw_drive *cord = &s.hand->drive[HW_LITTLE];
    double one =
        back / v->pulley_radius * exp(v->mu[HW_MU_NOMINAL] * v->sheath_bend) * v->drum_radius;
    const hw_digit *little = &s.hand->digit[HW_LITTLE];
    if (!CHECK(hw_cord_free(little, 1, &tension, &pulled) == HW_OK)) return;
    double other = tension * exp(cord->mu[HW_MU_NOMINAL] * cord->sheath_bend) * cord->drum_radius;
    // both laws at once, by going round: V = 6 - (I + J)
    double volts = 6;
    for (int k = 0; k < 200; k++) {
        double sum = 0.2 + one / 0.95 * (1.8 - 0.2 * 6 / volts);
        sum += 0.2 + other / 0.95 * (1.8 - 0.2 * 6 / volts);
        volts = 0.5 * (volts + 6 - sum);
    }
    double index = 0.2 + one / 0.95 * (1.8 - 0.2 * 6 / volts);
    double last = 0.2 + other / 0.95 * (1.8 - 0.2 * 6 / volts);
    CLOSE(cord->rail.closing.emf, 6 - index, 1e-9);
    CLOSE(v->rail.closing.emf, 6 - last, 1e-9);
    CHECK(volts < 5.5 && index > 0.25 && last > 0.25);
    hw_arena_free(a);
}

// Figures that only pass through the chain, by hand from the entries.
static void ratios_by_hand(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a,
                     "drive: {drum_radius: 5 mm, pulley_radius: 9 mm, cord: {diameter: 0.8 mm},\n"
                     "        sheath: {radius: 20 mm, outer: 4 mm, bore: 2.4 mm}}\n",
                     &s))
        return;
    CLOSE(value_of(&s, "digits.index/drum_ratio"), 10 / 0.8, 1e-12);
    CLOSE(value_of(&s, "digits.index/sheath_ratio"), 20 / (16 / 0.8), 1e-12);
    const hw_drive_result *r = &s.digit[HW_INDEX].drive;
    double turned = 85 * 3.14159265358979 / 180 + r->lag + r->hysteresis;
    CLOSE(value_of(&s, "digits.index/travel_spare"), 3.14159265358979 - turned * 9 / 5, 1e-9);
    CLOSE(value_of(&s, "digits.index/position_error"), r->lag + 0.5 * r->hysteresis, 1e-12);
    CLOSE(value_of(&s, "digits.index/hysteresis"), r->dead_band + r->play, 1e-12);
    CHECK(r->lag > 0.1 && r->dead_band > 0 && r->play > 0);
    hw_arena_free(a);
}

// A hand without digits asks nothing of its supply, and nothing is said of it.
static void nobody_on_the_rail(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a,
                     "digits: {thumb: {present: no}, index: {present: no}, middle: {present: no},"
                     " ring: {present: no}, little: {present: no}}\n",
                     &s))
        return;
    const hw_finding *f = finding(&s, "hand/rail_sag");
    CHECK(f && f->verdict == HW_UNKNOWN && isnan(f->value));
    hw_arena_free(a);
}

// ---- heat and life

static void heat_by_hand(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_assessment s;
    if (!assess_text(a,
                     POWER "drive: {" IDEAL ", servo: {heat_case: 20 K/W, heat_winding: 5 K/W,"
                           " heat_time: 300 s}}\n"
                           "room: {temperature: 20 degC}\nfilament: {softens: 60 degC}\n",
                     &s))
        return;
    // a third of 1.8 A in 6/1.8 ohm, and what warm copper adds
    double p0 = 0.594 * 0.594 * 6 / 1.8, power = p0 / (1 - 0.00393 * 25 * p0);
    CLOSE(value_of(&s, "digits.index/case_heat"), 40 - 20 * power, 1e-9);
    // in a grip 0.2 + 0.45 * 1.6 A
    hw_servo_heat heat = {6 / 1.8, 5, 20, 300, 293.15};
    CLOSE(value_of(&s, "digits.index/grip_time"), hw_servo_warm_time(&heat, 0.92, 333.15), 1e-12);
    CHECK(value_of(&s, "digits.index/grip_time") < 1000);
    const hw_finding *f = finding(&s, "digits.index/case_heat");
    CHECK(f && f->note && strstr(f->note, "60 °C less 4")); // 47 of the case
    f = finding(&s, "digits.index/grip_time");
    CHECK(f && f->note && strstr(f->note, "let stall"));
    // the pull that the cord holds on to, of its strength
    const hw_drive_result *r = &s.digit[HW_INDEX].drive;
    CLOSE(value_of(&s, "digits.index/cord_creep"), r->hold[HW_MU_HIGH].pulley / 1300, 1e-12);
    CHECK(r->hold[HW_MU_HIGH].pulley > r->hold[HW_MU_LOW].pulley);
    CHECK(!finding(&s, "digits.thumb/cord_creep")); // its servos sit at its joints
    f = finding(&s, "hand/cord_life");
    CHECK(f && f->verdict == HW_UNKNOWN);
    if (!assess_text(a, "drive: {servo: {heat_case: 200 K/W}, holding_share: 80 %}\n", &s)) return;
    f = finding(&s, "digits.index/case_heat");
    CHECK(f && isinf(f->value) && f->value < 0 && f->verdict == HW_FALLS_SHORT);
    CHECK(f && f->note && strstr(f->note, "never settle"));
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
    RUN(the_rail_by_hand);
    RUN(a_weak_supply_weakens_the_hand);
    RUN(two_supplies_are_two_rails);
    RUN(leads_and_returns_by_hand);
    RUN(ratios_by_hand);
    RUN(nobody_on_the_rail);
    RUN(heat_by_hand);
    return TEST_END();
}
