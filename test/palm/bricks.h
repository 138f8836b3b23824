// A palm like a brick and small servos in it, for tests of packing.
#ifndef HW_TEST_PALM_BRICKS_H
#define HW_TEST_PALM_BRICKS_H

#include "check.h"
#include "palm/pack.h"

static const double mm = 1e-3;
static hw_arena *arena;
static hw_pack_place place[4];

static hw_servo_shape small(void)
{
    return (hw_servo_shape){.length = 23 * mm,
                            .width = 12 * mm,
                            .height = 22 * mm,
                            .ear_span = 32 * mm,
                            .ear_thickness = 2.5 * mm,
                            .ear_at = 15 * mm,
                            .shaft_at = 6 * mm,
                            .spline = 5 * mm,
                            .horn_arm = 12 * mm,
                            .horn_width = 5 * mm,
                            .horn_hole = 10 * mm,
                            .horn_turns = 0.3,
                            .cable = 4 * mm};
}

static hw_palm palm_of(double scale)
{
    hw_palm_def d;
    hw_palm p;
    CHECK(hw_palm_def_of(186 * mm * scale, 84 * mm * scale, &d) == HW_OK);
    d.thickness = d.wrist_thickness = 38 * mm * scale;
    CHECK(hw_palm_of(&d, &p) == HW_OK);
    return p;
}

// A palm like a brick: x 0 to 80, y -40 to 40, z -27 to 11 mm.
static hw_palm brick(void)
{
    hw_palm p = palm_of(1);
    for (int s = 0; s < HW_PALM_SECTIONS; s++)
        for (int k = 0; k < HW_PALM_AROUND; k++) {
            const int side = HW_PALM_AROUND / 4;
            double t = (double)(k % side) / side, x = 80 * mm * s / (HW_PALM_SECTIONS - 1);
            const double y[4] = {40, 40 - 80 * t, -40, -40 + 80 * t};
            const double z[4] = {-27 + 38 * t, 11, 11 - 38 * t, -27};
            p.outline[s][k] = (hw_vec3){x, y[k / side] * mm, z[k / side] * mm};
        }
    return p;
}

// A servo upright in the middle of the palm, its rod to a lever that turns about z.
static hw_pack_item upright(hw_vec3 at)
{
    hw_pack_item i = {.shape = small(), .slot = {at, HW_WAY_BACK, HW_WAY_WRIST, HW_WAY_FINGERS}};
    hw_vec3 tip = {at.x + i.shape.horn_hole, at.y, at.z + i.shape.spline};
    i.lever = (hw_servo_lever){.end = {tip.x, tip.y + 9 * mm, tip.z},
                               .at = {tip.x + 15 * mm, tip.y + 9 * mm, tip.z},
                               .axis = {0, 0, 1},
                               .owner = -1};
    return i;
}

static hw_pack_def def_of(const hw_pack_item *item, size_t n, const hw_palm *palm)
{
    hw_pack_def d = hw_pack_def_default();
    d.item = item;
    d.items = n;
    d.palm = palm;
    return d;
}

static hw_pack given(hw_pack_def d)
{
    hw_pack out;
    CHECK(hw_pack_given(&d, place, &out) == HW_OK);
    return out;
}

#endif
