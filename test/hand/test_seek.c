// The search for slots, levers and horns with the sheaths' ways: what has room is left alone, what
// has none finds some, what is found is what a document with it says. The rest of the search:
// test/palm/test_pack.c. With the argument "long": the whole of it.
#include "check.h"
#include "document.h"
#include "hand/hand.h"
#include "patience.h"

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
                  "slot: {at: {x: 29.8 mm, y: -17.7 mm, z: 2.4 mm}, shaft: fingers, body: thumb, "
                  "horn: palm}, servo: {horn_arm: 7.5 mm, horn_hole: 5.5 mm}, "
                  "lever: {x: -26.3 mm, y: 5.4 mm, z: -2.6 mm}}}\n");
    if (!d) return;
    hw_hand_build(d, &hand);
    CHECK(hand.places.pack.room >= 0 && hw_hand_lacks(d, &hand) == 0);
    hw_job job = {stop_at_once, NULL};
    CHECK(hw_hand_slots(arena, d, &hand, &job, &found) == HW_OK);
    CHECK(found.places.mover[HW_RING].item.slot.at.x == hand.places.mover[HW_RING].item.slot.at.x);
    // the lever as its entries say it
    hw_vec3 arm = hw_hand_lever_arm(&hand, HW_RING, &hand.places.mover[HW_RING].item.lever);
    CLOSE(arm.x, -0.0263, 1e-12);
    // one that has no room is searched, and the search can be stopped
    d = design_of(RING("x: 60 mm, y: -9 mm, z: -4 mm"));
    if (!d) return;
    hw_hand_build(d, &hand);
    CLOSE(hw_hand_lacks(d, &hand),
          fmax(-hand.places.pack.room, 0) +
              fmax(hand.places.pack.thickness - hand.palm.thickness, 0),
          1e-12);
    CHECK(hand.places.pack.room < 0);
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

static void finds_room(void)
{
    hw_design *d = design_of(RING("x: 35 mm, y: -20 mm, z: 6 mm"));
    if (!d) return;
    hw_hand_build(d, &hand);
    CHECK(hand.places.pack.room < -0.005);
    CHECK(hw_hand_slots(arena, d, &hand, NULL, &found) == HW_OK);
    CHECK(hw_hand_lacks(d, &found) == 0);
    CHECK(pasted(&found) <= 1e-8);
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

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    if (argc > 1 && strcmp(argv[1], "long") == 0) {
        RUN(finds_room);
    } else {
        RUN(nothing_to_do);
        RUN(stopped_on_the_way);
    }
    hw_arena_free(arena);
    return TEST_END();
}
