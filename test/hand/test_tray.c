// The quick stand-in for the palm's tray beside the tray itself.
#include "check.h"
#include "document.h"
#include "hand/tray_internal.h"
#include "parts/palm_hold.h"

#include <stdio.h>
#include <string.h>

static const double mm = 1e-3;
static hw_hand hand;
static hw_palm_parts_def def;
static hw_palm_parts parts;

// A ring and an index whose servos stand free in a thick palm, the ring's moved by (x, y, z).
static hw_design *moved(double x, double y, double z) // [mm]
{
    static char text[1200];
    (void)snprintf(text, sizeof text,
                   "handwright: 1\npalm: {thickness: 38 mm}\ndigits:\n  ring: {splay: {driven: "
                   "yes, slot: {at: {x: %.2f mm, y: %.2f mm, z: %.2f mm}, shaft: fingers, body: "
                   "thumb, horn: palm}, servo: {horn_arm: 7.5 mm, horn_hole: 5.5 mm}, "
                   "lever: {x: -26.3 mm, y: 5.4 mm, z: -2.6 mm}}}\n",
                   29.8 + x, -17.7 + y, 2.4 + z);
    hw_design *d = design_of(text);
    if (!CHECK(d)) return NULL;
    hw_hand_build(d, &hand);
    hw_hand_palm_parts(d, &hand, &def);
    const char *fault;
    CHECK(hw_palm_parts_of(arena, &def, &parts, &fault) == HW_OK);
    return d;
}

// Way by way the stand-in sees the area that the tray has, to a tenth of the face and seven tenths.
static void as_the_tray(void)
{
    const double at[][3] = {{0, 0, 0}, {-6, 4, -8}, {-14, -3, -3}, {-20, 10, -14}};
    double seen[2] = {INFINITY, 0};
    for (size_t k = 0; k < sizeof at / sizeof at[0]; k++) {
        hw_design *d = moved(at[k][0], at[k][1], at[k][2]);
        if (!d) return;
        hw_tray *t;
        if (!CHECK(hw_tray_of(arena, d, &hand, NULL, &t) == HW_OK && t && hand.places.movers == 1))
            return;
        const hw_pack_item *item = &hand.places.mover[HW_RING].item;
        const hw_pack_place *place = &hand.places.place[0];
        const hw_servo_shape *s = &item->shape;
        hw_tray_hold h = hw_tray_hold_of(&parts, &def.palm[0], hand.gap + hand.line / 2, 0.4);
        const double side[3] = {s->width * s->height, s->length * s->height, s->length * s->width};
        for (int way = 0; way < HW_TRAY_WAYS; way++) {
            double area = hw_tray_area(t, &item, &place, 1, 0, way);
            CHECK(isnan(area) == isnan(h.wall[way]));
            if (isnan(area)) continue;
            seen[0] = fmin(seen[0], area / side[way / 2]);
            seen[1] = fmax(seen[1], area / side[way / 2]);
            NEAR(area, h.wall[way], 0.1 * side[way / 2] + 0.7 * h.wall[way]);
        }
    }
    CHECK(seen[0] < 0.1 && seen[1] > 0.8); // little and nearly all are among them
}

// Near the bay the servo's room is open to it: little stands before it there.
static void open_to_the_bay(void)
{
    hw_design *d = moved(4, 0, 0);
    if (!d) return;
    hw_tray *t;
    if (!CHECK(hw_tray_of(arena, d, &hand, NULL, &t) == HW_OK && t)) return;
    const hw_pack_item *item = &hand.places.mover[HW_RING].item;
    const hw_pack_place *place = &hand.places.place[0];
    CHECK(place->frame.z.x > 0.9); // its shaft points there
    const double side = item->shape.length * item->shape.width;
    CHECK(hw_tray_area(t, &item, &place, 1, 0, 5) < 0.35 * side);
    CHECK(hw_tray_hold_of(&parts, &def.palm[0], hand.gap + hand.line / 2, 0.4).wall[5] <
          0.35 * side);
    CHECK(hw_tray_area(t, &item, &place, 1, 0, 2) > 0);
}

static double lacks_at(double z, double *rises) // [mm] [m]
{
    hw_design *d = moved(-6, 4, z);
    hw_tray *t;
    if (!d || !CHECK(hw_tray_of(arena, d, &hand, NULL, &t) == HW_OK && t)) return NAN;
    const hw_pack_item *item = &hand.places.mover[HW_RING].item;
    const hw_pack_place *place = &hand.places.place[0];
    double back = -INFINITY;
    for (int s = 0; s < HW_PALM_SECTIONS; s++)
        for (int k = 0; k < HW_PALM_AROUND; k++) back = fmax(back, hand.palm.outline[s][k].z);
    // the case lies: at 45 degrees over its shorter side but for nine tenths of a bridge
    hw_vec3 at[2];
    hw_body_span(&place->body[HW_SERVO_CASE], at);
    const double across = fmin(at[1].x - at[0].x, at[1].y - at[0].y) + 2 * hand.gap;
    // the lid begins above it, or at its middle where less than two walls would be left over it
    const double over = fmax(at[1].z + 1.5 * hand.gap, def.outline[0][0].z);
    const double middle = fmax(place->frame.at.z, def.outline[0][0].z);
    NEAR(def.split, over <= back - 2 * def.wall ? over : middle, 1e-9);
    *rises = at[1].z + hand.gap + (across - 0.9 * def.bridge) / 2 - (back - def.wall / 2);
    return hw_tray_lacks(t, &item, &place, 1);
}

// A servo that lies so high that no ceiling closes over it lacks what it is too high.
static void under_the_lid(void)
{
    double rises;
    CHECK(lacks_at(-6, &rises) == 0 && rises < 0);
    const double high[] = {2.5, 4, 5.5};
    for (int k = 0; k < 3; k++) {
        double lacks = lacks_at(high[k], &rises);
        CHECK(rises > 0 && lacks >= rises - 1e-12);
        if (k == 0) NEAR(lacks, rises, 0.2 * mm);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(as_the_tray);
    RUN(open_to_the_bay);
    RUN(under_the_lid);
    hw_arena_free(arena);
    return TEST_END();
}
