// The search for slots, levers and horns with the sheaths' ways: what has room is left alone, what
// has none finds some, what is found is what a document with it says. The rest of the search:
// test/palm/test_pack_find.c. With the argument "long": the whole of it.
#include "base/vec3.h"
#include "check.h"
#include "document.h"
#include "hand/hand.h"
#include "patience.h"

#include <limits.h>
#include <string.h>

static hw_hand hand, found;

static bool stop_at_once(void *self, double fraction, const char *stage)
{
    (void)self, (void)fraction, (void)stage;
    return false;
}

#define RING(at)                                                                                   \
    "handwright: 1\npalm: {thickness: 38 mm}\ndigits:\n  ring: {splay: {driven: yes, slot: {at: "  \
    "{" at "}}}}\n"

static void nothing_to_do(void)
{
    hw_design *d = design_of("handwright: 1\n");
    if (!d) return;
    hw_hand_build(d, &hand);
    CHECK(hw_hand_lacks(d, &hand) == 0);
    CHECK(hw_hand_slots(arena, d, &hand, NULL, &found) == HW_OK);
    CHECK(memcmp(&found.palm, &hand.palm, sizeof hand.palm) == 0);
    // one that stands free is left where it is
    d = design_of("handwright: 1\npalm: {thickness: 38 mm}\ndigits:\n  ring: {splay: {driven: yes, "
                  "slot: {at: {x: 14.94 mm, y: -0.01 mm, z: -2.17 mm}, shaft: back, body: little, "
                  "horn: fingers}, servo: {horn_arm: 9.7 mm, horn_hole: 7.7 mm}, "
                  "lever: {x: -25.83 mm, y: -0.57 mm, z: 0.26 mm}}}\n");
    if (!d) return;
    hw_hand_build(d, &hand);
    CHECK(hand.places.pack.room >= 0 && hw_hand_lacks(d, &hand) == 0);
    CHECK(hw_hand_slots(arena, d, &hand, NULL, &found) == HW_OK);
    CHECK(found.places.mover[HW_RING].item.slot.at.x == hand.places.mover[HW_RING].item.slot.at.x);
    // the lever as its entries say it
    hw_vec3 arm = hw_hand_lever_arm(&hand, HW_RING, &hand.places.mover[HW_RING].item.lever);
    CLOSE(arm.x, -0.02583, 1e-12);
    // one that has no room is searched, and the search can be stopped
    d = design_of(RING("x: 60 mm, y: -9 mm, z: -4 mm"));
    if (!d) return;
    hw_hand_build(d, &hand);
    CHECK(hand.places.pack.room < 0 && hw_hand_lacks(d, &hand) >= -hand.places.pack.room);
    hw_job job = {stop_at_once, NULL};
    CHECK(hw_hand_slots(arena, d, &hand, &job, &found) == HW_CANCELLED);
}

// The document with what was found lacks what the search said.
static double pasted(const hw_hand *h) // [m]
{
    static const char *const way[HW_WAYS] = {"fingers", "wrist", "thumb", "little", "back", "palm"};
    const hw_pack_item *m = &h->places.mover[HW_RING].item;
    hw_vec3 arm = hw_hand_lever_arm(h, HW_RING, &m->lever);
    char text[1200];
    snprintf(text, sizeof text,
             "handwright: 1\npalm: {thickness: 38 mm}\ndigits:\n  ring: {splay: {driven: yes, "
             "slot: {at: {x: %.9f m, y: %.9f m, z: %.9f m}, shaft: %s, body: %s, horn: %s}, "
             "servo: {horn_arm: %.9f m, horn_hole: %.9f m}, "
             "lever: {x: %.9f m, y: %.9f m, z: %.9f m}}}\n",
             m->slot.at.x, m->slot.at.y, m->slot.at.z, way[m->slot.shaft], way[m->slot.body],
             way[m->slot.horn], m->shape.horn_arm, m->shape.horn_hole, arm.x, arm.y, arm.z);
    static hw_hand again;
    hw_design *d = design_of(text);
    if (!d) return NAN;
    hw_hand_build(d, &again);
    return hw_hand_lacks(d, &again);
}

// A rod that is too long for its lever in the whole range lacks a tenth of the palm.
static void what_does_not_reach(void)
{
    hw_design *d = design_of(RING("x: 35 mm, y: -20 mm, z: 6 mm"));
    if (!d) return;
    hw_hand_build(d, &hand);
    const double lacks = hw_hand_lacks(d, &hand);
    hand.places.place[0].rod *= 3;
    CLOSE(hw_hand_lacks(d, &hand) - lacks, 0.1 * hand.palm.length, 1e-12);
}

// Rods of what was found follow their levers to both ends.
static void all_reach(void)
{
    for (size_t i = 0; i < found.places.movers; i++) {
        const int digit = found.places.whose[i];
        for (int e = 0; e < 2; e++)
            CHECK(isfinite(hw_servo_worth(&found.places.mover[digit].item, &found.places.place[i],
                                          found.palm.digit[digit].splay[e])));
    }
}

static void finds_room(void)
{
    hw_design *d = design_of(RING("x: 35 mm, y: -20 mm, z: 6 mm"));
    if (!d) return;
    hw_hand_build(d, &hand);
    CHECK(hand.places.pack.room < -0.005);
    patience p = {.most = INT_MAX};
    hw_job job = {go_on, &p};
    CHECK(hw_hand_slots(arena, d, &hand, &job, &found) == HW_OK);
    CHECK(hw_hand_lacks(d, &found) == 0);
    all_reach();
    CHECK(pasted(&found) <= 1e-8);
    // stopped where it asked last, it says so
    p = (patience){.most = p.asked};
    CHECK(p.most > 1 && hw_hand_slots(arena, d, &hand, &job, &found) == HW_CANCELLED);
}

// Stopped on its way it has at least what it began with, and that is what a document with it says.
static void stopped_on_the_way(void)
{
    hw_design *d = design_of(RING("x: 35 mm, y: -20 mm, z: 6 mm"));
    if (!d) return;
    hw_hand_build(d, &hand);
    const double lacks = hw_hand_lacks(d, &hand);
    CHECK(lacks > 0.005);
    patience p = {.most = 5};
    hw_job job = {go_on, &p};
    hw_code code = hw_hand_slots(arena, d, &hand, &job, &found);
    CHECK(code == HW_CANCELLED && p.asked == p.most);
    CHECK(hw_hand_lacks(d, &found) <= lacks);
    CHECK(fabs(pasted(&found) - hw_hand_lacks(d, &found)) <= 1e-8);
}

// What is lacking, term by term: servos' room and thickness, the thumb's seat, the bundle, sheaths'
// room and radius, leads' lengths, and a palm's length for what was not found.
static void what_lacks(void)
{
    static hw_hand other;
    hw_design *d = design_of("handwright: 1\nforearm: {ways: computed}\n"
                             "palm: {thickness: 38 mm}\ndigits:\n"
                             "  ring: {splay: {driven: yes, slot: {at: {x: 35 mm, y: -20 mm, z: 6 "
                             "mm}}}}\n");
    if (!d) return;
    hw_hand_build(d, &hand);
    hw_places *p = &hand.places;
    CHECK(p->routed && p->movers == 1 && p->drums > 0 && p->sheaths > 0 && p->leads > 0);
    p->place[0].room = 1e-3;
    p->place[0].thickness = hand.palm.thickness - 1e-3;
    p->seat = p->bundle = 1e-3;
    for (size_t i = 0; i < p->sheaths; i++) p->sheath[i].room = 1e-3, p->sheath[i].way.radius = 1;
    size_t cords = 0;
    for (size_t i = 0; i < p->leads; i++) {
        p->lead[i].has = p->lead[i].needs + 1e-3;
        cords += p->lead[i].in_palm;
    }
    const double length = hand.palm.length;
    const double none = (double)(2 * p->drums - p->sheaths + p->movers - cords) * length;
    NEAR(hw_hand_lacks(d, &hand), none, 1e-12);
    double radius = hw_design_value(d, hw_entry_of(HW_E_OWN_SHEATH_RADIUS, p->sheath[0].digit));
    double *const value[] = {&other.places.place[0].room,  &other.places.place[0].thickness,
                             &other.places.seat,           &other.places.bundle,
                             &other.places.sheath[0].room, &other.places.sheath[0].way.radius,
                             &other.places.lead[0].has};
    const double is[] = {-2e-3,         hand.palm.thickness + 3e-3, -4e-3, -5e-3, -6e-3,
                         radius - 8e-3, p->lead[0].needs - 9e-3};
    const double lacks[] = {2e-3, 3e-3, 4e-3, 5e-3, 6e-3, 2e-3, 9e-3}; // of a radius a quarter
    for (size_t i = 0; i < sizeof is / sizeof *is; i++) {
        other = hand;
        *value[i] = is[i];
        NEAR(hw_hand_lacks(d, &other), none + lacks[i], 1e-12);
    }
    other = hand;
    other.places.sheaths--;
    NEAR(hw_hand_lacks(d, &other), none + length, 1e-12);
    other.places.leads = 0;
    NEAR(hw_hand_lacks(d, &other), none + length + (double)cords * length, 1e-12);
    other.places.routed = false; // typed ones lack nothing
    CHECK(hw_hand_lacks(d, &other) == 0);
}

// What the search may not touch stands as it stood: palm, drives, digits and who has a servo.
static void only_servos_move(const hw_hand *before, const hw_hand *after)
{
    CHECK(memcmp(&after->palm, &before->palm, sizeof before->palm) == 0);
    CHECK(memcmp(after->digit, before->digit, sizeof before->digit) == 0);
    CHECK(after->places.movers == before->places.movers);
    for (size_t i = 0; i < before->places.movers; i++) {
        int whose = before->places.whose[i];
        const hw_servo_shape *a = &before->places.mover[whose].item.shape;
        const hw_servo_shape *b = &after->places.mover[whose].item.shape;
        hw_frame f;
        CHECK(after->places.whose[i] == whose);
        CHECK(a->length == b->length && a->width == b->width && a->height == b->height);
        CHECK(hw_servo_frame(&after->places.mover[whose].item.slot, &f));
        CHECK(fabs(hw_vec3_dot(hw_vec3_cross(f.x, f.y), f.z) - 1) < 1e-12);
    }
}

// The same search twice comes to the same places, to the bit; patience does not make it worse.
static void the_same_twice(void)
{
    static hw_hand other;
    hw_design *d = design_of(RING("x: 35 mm, y: -20 mm, z: 6 mm"));
    if (!d) return;
    hw_hand_build(d, &hand);
    double last = hw_hand_lacks(d, &hand);
    for (int most = 2; most <= 4; most += 2) {
        for (int k = 0; k < 2; k++) {
            patience p = {.most = most};
            hw_job job = {go_on, &p};
            CHECK(hw_hand_slots(arena, d, &hand, &job, k ? &other : &found) == HW_CANCELLED);
        }
        const hw_servo_slot *a = &found.places.mover[HW_RING].item.slot;
        const hw_servo_slot *b = &other.places.mover[HW_RING].item.slot;
        CHECK(a->at.x == b->at.x && a->at.y == b->at.y && a->at.z == b->at.z);
        CHECK(a->shaft == b->shaft && a->body == b->body && a->horn == b->horn);
        const double now = hw_hand_lacks(d, &found);
        CHECK(now == hw_hand_lacks(d, &other) && now <= last);
        last = now;
        only_servos_move(&hand, &found);
    }
}

#define TWO                                                                                        \
    "handwright: 1\npalm: {thickness: 38 mm}\ndigits:\n"                                           \
    "  ring: {splay: {driven: yes, slot: {at: {x: 35 mm, y: -20 mm, z: 6 mm}}}}\n"                 \
    "  little: {splay: {driven: yes, slot: {at: {x: 36 mm, y: -20 mm, z: 6 mm}}}}\n"

// Two that stand in each other leave each other, and their rods keep what they need.
static void two_find_room(void)
{
    hw_design *d = design_of(TWO);
    if (!d) return;
    hw_hand_build(d, &hand);
    CHECK(hand.places.movers == 2 && hand.places.pack.room < -0.005);
    CHECK(hw_hand_slots(arena, d, &hand, NULL, &found) == HW_OK);
    const hw_pack *p = &found.places.pack;
    printf("two: lacks %.3g, room %.3g mm, thickness %.3g of %.3g mm\n", hw_hand_lacks(d, &found),
           1e3 * p->room, 1e3 * p->thickness, 1e3 * found.palm.thickness);
    CHECK(hw_hand_lacks(d, &found) == 0 && p->room >= 0 && p->thickness <= found.palm.thickness);
    only_servos_move(&hand, &found);
    all_reach();
    const hw_pack_place *place = found.places.place;
    for (int i = 0; i <= HW_SERVO_EARS; i++)
        for (int k = 0; k <= HW_SERVO_EARS; k++)
            CHECK(hw_body_clear(&place[0].body[i], &place[1].body[k], 1) >= found.gap - 1e-9);
}

// One that lacks two millimetres in depth beside where it would stand free goes back by small
// steps, the same way round.
static void near_ones_stay_near(void)
{
    hw_design *d =
        design_of("handwright: 1\npalm: {thickness: 38 mm}\ndigits:\n  ring: {splay: {driven: yes, "
                  "slot: {at: {x: 14.94 mm, y: -0.01 mm, z: -5 mm}, shaft: back, body: little, "
                  "horn: fingers}, servo: {horn_arm: 9.7 mm, horn_hole: 7.7 mm}, "
                  "lever: {x: -25.83 mm, y: -0.57 mm, z: 0.26 mm}}}\n");
    if (!d) return;
    hw_hand_build(d, &hand);
    CHECK(hw_hand_lacks(d, &hand) > 0.5e-3);
    CHECK(hw_hand_slots(arena, d, &hand, NULL, &found) == HW_OK);
    CHECK(hw_hand_lacks(d, &found) == 0);
    const hw_servo_slot *was = &hand.places.mover[HW_RING].item.slot;
    const hw_servo_slot *is = &found.places.mover[HW_RING].item.slot;
    CHECK(is->shaft == was->shaft && is->body == was->body && is->horn == was->horn);
    CHECK(hw_vec3_norm(hw_vec3_sub(is->at, was->at)) < 6e-3);
    only_servos_move(&hand, &found);
    all_reach();
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    if (argc > 1 && strcmp(argv[1], "long") == 0) {
        RUN(finds_room);
        RUN(two_find_room);
    } else {
        RUN(what_lacks);
        RUN(what_does_not_reach);
        RUN(nothing_to_do);
        RUN(near_ones_stay_near);
        RUN(stopped_on_the_way);
        RUN(the_same_twice);
    }
    hw_arena_free(arena);
    return TEST_END();
}
