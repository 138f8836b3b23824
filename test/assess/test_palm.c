// Findings of the palm: what changes them, and what they say.
#include "assess/assess_internal.h"

#include "reading.h"

static double value(hw_arena *a, const char *text, const char *id, const char **note)
{
    hw_design *d = read_design(a, text);
    hw_assessment *s = HW_NEW(a, hw_assessment, 1);
    CHECK(d && s && hw_assess(a, d, NULL, s) == HW_OK);
    const hw_finding *f = finding(s, id);
    CHECK(f);
    if (note) *note = f ? f->note : NULL;
    return f ? f->value : (double)NAN;
}

static void the_palm_stops_a_finger(void)
{
    hw_arena *a = hw_arena_new(0);
    const char *note, *id = "digits.middle/palm_stop";
    double as_is = value(a, "", id, &note), near, far;
    CHECK(strstr(note, "front edge at ") && strstr(note, "proximal phalanx"));
    near = value(a, "palm: {setback: 8 mm}\n", id, &note);
    far = value(a, "palm: {setback: 14 mm}\n", id, NULL);
    CHECK(near < as_is && as_is < far);
    // a thin palm is farther from the fist, and holds a thicker cylinder at least
    double reach = value(a, "", "digits.middle/fist_reach", NULL);
    double thin = value(a, "palm: {thickness: 20 mm}\n", "digits.middle/fist_reach", NULL);
    NEAR(thin - reach, 0.375 * 0.083 - 0.020, 0.001);
    double least = value(a, "", "hand/cylinder_least", &note);
    CHECK(value(a, "palm: {thickness: 20 mm}\n", "hand/cylinder_least", NULL) > least + 0.005);
    CHECK(strstr(note, "finger decides"));
    hw_arena_free(a);
}

// Rolled toward each other by what the note calls the most, two fingers just meet.
static void neighbours_rolled_together(void)
{
    hw_arena *a = hw_arena_new(0);
    const char *note, *id = "digits.little/neighbour_gap";
    double gap = value(a, "", id, &note);
    CHECK(gap > 0 && strstr(note, "beside the ring finger"));
    double more = value(a, "digits: {little: {knuckle: {roll: 9 deg}}}\n", id, NULL);
    CHECK(more < -0.003);
    CHECK(isinf(value(a, ONE_FINGER, "digits.index/neighbour_gap", &note)));
    SAME_TEXT(note, "no neighbour");
    // splay: what it has less what it asks
    double free = value(a, "", "digits.ring/splay_room", &note);
    CHECK(strstr(note, "% twist"));
    double asks =
        value(a, "digits: {ring: {splay: {most: 1 deg}}}\n", "digits.ring/splay_room", NULL);
    NEAR(free - asks, HW_PI / 180, 1e-6);
    hw_arena_free(a);
}

static void thumbs_meet_fingers(void)
{
    hw_arena *a = hw_arena_new(0);
    const char *note, *id = "digits.little/thumb_miss";
    CHECK(value(a, "", id, &note) < 1e-3);
    CHECK(strstr(note, "thumb opposed by "));
    CHECK(value(a, "palm: {opposition: {closed: 20 deg}}\n", id, NULL) > 0.005);
    CHECK(value(a, "", "digits.index/thumb_angle", NULL) > 0.5);
    hw_design *d = read_design(a, "digits: {thumb: {present: no}}\n");
    hw_assessment s;
    CHECK(d && hw_assess(a, d, NULL, &s) == HW_OK);
    CHECK(!finding(&s, id)); // nobody to meet: not asked
    CHECK(finding(&s, "digits.little/palm_stop"));
    hw_arena_free(a);
}

// Twice the torque presses twice as hard; a palm that begins far behind the knuckles catches
// nothing under the proximal phalanx, and one level with it leaves no room.
static void the_palm_and_the_drive(void)
{
    hw_arena *a = hw_arena_new(0);
    const char *note, *id = "digits.middle/crease_palm";
    double as_is = value(a, "", id, &note);
    CHECK(as_is > 0 && strstr(note, "phalanx and palm, gap "));
    double half = value(a, "drive: {brief_share: 0.2}\npalm: {setback: 12 mm}\n", id, NULL);
    double more = value(a, "drive: {brief_share: 0.4}\npalm: {setback: 12 mm}\n", id, NULL);
    CHECK(half > 0 && more > 1.8 * half && more < 2.5 * half);
    CHECK(fabs(value(a, "palm: {setback: 16 mm}\n", id, NULL) - as_is) > 0.01 * as_is);
    hw_arena_free(a);
}

// One finger has nobody beside it. Where closing is weak, a splay that a servo closes presses; one
// that is set by hand does not.
static void digits_beside_it(void)
{
    hw_arena *a = hw_arena_new(0);
    const char *note, *id = "digits.index/crease_beside";
    NEAR(value(a, ONE_FINGER, id, &note), 0, 0);
    CHECK(strstr(note, "no finger"));
    static const char by_hand[] = "drive: {servo: {stall_torque: 0.02 N*m}}\n"
                                  "digits:\n  thumb: {present: no}\n"
                                  "  index: {splay: {driven: no, least: 0 deg, most: 25 deg}}\n";
    static const char driven[] = "drive: {servo: {stall_torque: 0.02 N*m}}\n"
                                 "digits:\n  thumb: {present: no}\n"
                                 "  index: {splay: {driven: yes, least: 0 deg, most: 25 deg}}\n";
    double still = value(a, by_hand, id, NULL), splayed = value(a, driven, id, &note);
    CHECK(splayed > still + 1 && strstr(note, "its splay presses it between "));
    hw_arena_free(a);
}

// "index's case lacks", "index's ears lack".
static void one_body_and_several(void)
{
    static hw_hand hand;
    const hw_finding_kind room = {.id = "servo_room"}, tunnel = {.id = "tunnel_room"};
    hw_finding f = {.kind = &room, .value = -1e-3};
    hw_arena *a = hw_arena_new(0);
    hand.places.whose[0] = HW_INDEX;
    for (int part = HW_SERVO_CASE; part <= HW_SERVO_EARS; part++)
        for (int sign = -1; sign <= 1; sign += 2) {
            static const char *const says[2][2] = {
                {"index's case lacks 1.5 mm toward", "index's case has 1.5 mm beyond"},
                {"index's ears lack 1.5 mm toward", "index's ears have 1.5 mm beyond"}};
            hand.places.place[0] = (hw_pack_place){
                .part = part, .room = sign * 1.5e-3, .away = {1, 0, 0}, .meets = HW_PACK_SKIN};
            const char *note = hw_assess_places_note(a, &hand, &f);
            CHECK(strstr(note, says[part == HW_SERVO_EARS][sign > 0]) == note);
        }
    f.kind = &tunnel;
    hand.places.sheaths = 2;
    hand.places.movers = 1;
    CHECK(strstr(hw_assess_places_note(a, &hand, &f), "2 sheaths and 1 lead in "));
    // leads that are shut in, by name; how long a shut one would be counts for nothing
    const hw_finding_kind shut = {.id = "leads_shut"}, length = {.id = "lead_room"};
    double n = -1;
    hand.places.leads = 3;
    hand.places.lead[0] = (hw_lead){.digit = HW_RING, .in_palm = true, .shut = true, .needs = NAN};
    hand.places.lead[1] = (hw_lead){.digit = HW_INDEX, .in_palm = true, .needs = 0.2, .has = 0.3};
    hand.places.lead[2] = (hw_lead){.digit = HW_THUMB, .in_palm = true, .shut = true, .needs = NAN};
    CHECK(hw_assess_places_value(&hand, shut.id, &n) && n == 2);
    f = (hw_finding){.kind = &shut, .value = n};
    SAME_TEXT(hw_assess_places_note(a, &hand, &f), "ring's servo's, opposition's servo's");
    CHECK(hw_assess_places_value(&hand, length.id, &n));
    NEAR(n, 0.1, 1e-12);
    hw_arena_free(a);
}

// A thumb that turns about an axis in the palm has a seat or a word why not; one that turns about
// its own joint asks for none.
static void the_thumbs_seat(void)
{
    static const char *const seat[] = {"hand/thumb_seat"};
    hw_arena *a = hw_arena_new(0);
    const char *note = NULL;
    const hw_finding_kind kind = {.id = "thumb_seat"};
    static hw_hand hand;
    double far = NAN;
    hand.places.seat = 2e-3;
    CHECK(hw_assess_hand_applies(&hand, &kind) && hw_assess_places_value(&hand, kind.id, &far));
    const hw_finding room = {.kind = &kind, .value = far};
    CHECK(far == 2e-3 && !hw_assess_places_note(a, &hand, &room));
    double near = value(a, "palm: {opposition: {behind: 5 mm}}\n", *seat, &note);
    CHECK(near < 0 && strstr(note, "place --thumb"));
    hw_assessment *s = HW_NEW(a, hw_assessment, 1);
    hw_design *d = read_design(a, "palm: {opposition: {behind: 0 mm}}\n");
    CHECK(d && hw_assess(a, d, NULL, s) == HW_OK && !finding(s, *seat));
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(the_thumbs_seat);
    RUN(the_palm_stops_a_finger);
    RUN(neighbours_rolled_together);
    RUN(thumbs_meet_fingers);
    RUN(the_palm_and_the_drive);
    RUN(digits_beside_it);
    RUN(one_body_and_several);
    return TEST_END();
}
