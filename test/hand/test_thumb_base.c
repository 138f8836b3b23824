// The thumb's seat as the document has it, and what a search for its base hands back. With the
// argument "long": the whole search.
#include "check.h"
#include "document.h"
#include "hand/thumb_base.h"
#include "patience.h"

static hw_hand hand, again;

#define THUMB                                                                                      \
    "handwright: 1\npalm: {thickness: 38 mm, back: 11 mm}\ndrive: {sheath: {type: ptfe 4x2}}\n"    \
    "digits:\n"                                                                                    \
    "  ring: {present: no}\n  little: {present: no}\n"                                             \
    "  thumb: {carrier: {length: 7 mm}, drive: {sheath: {radius: 16 mm}}}\n"

static void seat_from_the_document(void)
{
    hw_design *d = design_of(THUMB);
    if (!d) return;
    hw_hand_build(d, &hand);
    hw_thumb_seat s = hw_hand_thumb_seat(d, &hand);
    NEAR(s.block[HW_THUMB][1] - s.block[HW_THUMB][0], 7e-3, 1e-15);
    NEAR(s.block[HW_INDEX][1] - s.block[HW_INDEX][0], hand.digit[HW_INDEX].thickness[0], 1e-15);
    CLOSE(s.radius, 16e-3, 1e-12);
    CLOSE(s.sheath, 4e-3, 1e-12);
    // round four sheaths in a square: their diagonal and a sheath
    double bore = 4e-3 * sqrt(2) + 4e-3 + hand.gap;
    CLOSE(s.journal, bore / 2 + 5.7 * hand.line, 1e-12);
    CLOSE(s.bearing, 12 * hand.line, 1e-12);
    CLOSE(s.miss, 0.03 * hand.digit[HW_THUMB].phalanx[2], 1e-12);
    CHECK(s.tied == (hand.digit[HW_THUMB].family != HW_FAMILY_DIRECT));
}

static bool is_round(double value, double unit)
{
    return fabs(value / unit - round(value / unit)) < 1e-6;
}

// Stopped early it has the best so far; it is round, and what a document with it says.
static void found_and_pasted(void)
{
    hw_design *d = design_of(THUMB);
    if (!d) return;
    hw_hand_build(d, &hand);
    hw_thumb_stand s[2];
    patience few = {0, 16};
    hw_job job = {go_on, &few};
    CHECK(hw_hand_seek_thumb(arena, d, &hand, &job, s) == HW_CANCELLED);
    CHECK(s[0].room.behind < -20e-3 && !s[0].holds);
    CHECK(s[1].room.behind > -0.03e-3 && s[1].room.behind < 0.13e-3);
    CHECK(s[1].miss >= 0 && s[1].angle > 0);
    const hw_palm_digit_def *t = &s[1].def.digit[HW_THUMB];
    const double deg = HW_PI / 180;
    CHECK(is_round(t->knuckle.x, 1e-4) && is_round(t->knuckle.z, 1e-4));
    CHECK(is_round(s[1].def.opposition_behind, 1e-4) && is_round(t->points.roll, 0.1 * deg));
    char text[800];
    (void)snprintf(text, sizeof text,
                   THUMB "    knuckle: {at: {x: %.1f mm, y: %.1f mm, z: %.1f mm}, turn: %.1f deg, "
                         "rise: %.1f deg, roll: %.1f deg}\n",
                   1e3 * t->knuckle.x, 1e3 * t->knuckle.y, 1e3 * t->knuckle.z, t->points.turn / deg,
                   t->points.rise / deg, t->points.roll / deg);
    char *flow = strstr(text, "  thumb: {carrier: {length: 7 mm}, ");
    if (!CHECK(flow != NULL)) return;
    char whole[1000], *end = strchr(flow, '\n');
    (void)snprintf(whole, sizeof whole,
                   "%.*s  thumb:\n    carrier: {length: 7 mm}\n    drive: {sheath: {radius: 16 "
                   "mm}}\n%s",
                   (int)(flow - text), text, end + 1);
    char *palm = strstr(whole, "back: 11 mm");
    if (!CHECK(palm != NULL)) return;
    char pasted[1200];
    (void)snprintf(pasted, sizeof pasted,
                   "%.*sopposition: {behind: %.1f mm, turn: %.1f deg, rise: %.1f deg}, %s",
                   (int)(palm - whole), whole, 1e3 * s[1].def.opposition_behind,
                   s[1].def.opposition_turn / deg, s[1].def.opposition_rise / deg, palm);
    d = design_of(pasted);
    if (!d) return;
    hw_hand_build(d, &again);
    hw_palm p;
    CHECK(hw_palm_of(&s[1].def, &p) == HW_OK);
    NEAR(hw_vec3_norm(hw_vec3_sub(p.opposition_at, again.palm.opposition_at)), 0, 1e-12);
    NEAR(hw_vec3_norm(hw_vec3_sub(p.opposition_axis, again.palm.opposition_axis)), 0, 1e-12);
    NEAR(hw_vec3_norm(hw_vec3_sub(p.digit[0].knuckle.y, again.palm.digit[HW_THUMB].knuckle.y)), 0,
         1e-12);
}

// A thumb whose seat lacks room and that sweeps a fifth of the palm, of all five digits: the whole
// search, which takes the share to half.
static void all_of_it(void)
{
    hw_design *d = design_of(
        "handwright: 1\npalm: {thickness: 38 mm, back: 11 mm, opposition: {behind: 26.6 mm, "
        "turn: 11 deg, rise: 0 deg}}\ndrive: {sheath: {type: ptfe 4x2}}\ndigits:\n"
        "  thumb:\n    carrier: {length: 7 mm}\n    drive: {sheath: {radius: 16 mm}}\n"
        "    knuckle: {at: {x: 28 mm, y: 25.5 mm, z: -32 mm}, turn: 43 deg, rise: -45 deg, "
        "roll: -125 deg}\n");
    if (!d) return;
    hw_hand_build(d, &hand);
    hw_thumb_stand s[2];
    CHECK(hw_hand_seek_thumb(arena, d, &hand, NULL, s) == HW_OK);
    CHECK(!s[0].holds && s[0].room.palm > 0.18);
    CHECK(s[1].holds && s[1].room.palm < 0.13);
}

static void no_thumb(void)
{
    hw_design *d = design_of("handwright: 1\ndigits: {thumb: {present: no}}\n");
    hw_thumb_stand s[2];
    if (!d) return;
    hw_hand_build(d, &hand);
    CHECK(hw_hand_seek_thumb(arena, d, &hand, NULL, s) == HW_BAD_INPUT && !s[0].holds);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(1 << 20);
    if (argc > 1 && argv[1][0] == 'l') {
        RUN(all_of_it);
        hw_arena_free(arena);
        return TEST_END();
    }
    RUN(seat_from_the_document);
    RUN(found_and_pasted);
    RUN(no_thumb);
    hw_arena_free(arena);
    (void)hw_check_text;
    return TEST_END();
}
