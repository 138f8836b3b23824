// Packing: a servo's bodies, the palm's skin, what is in the way of what and by how much, thickness
// by closed cases, another servo, scaling and mirror. The search: test_pack_find.c.
#include "bricks.h"

#include <string.h>

static void bodies_of_a_servo(void)
{
    hw_body b[HW_SERVO_BODIES];
    hw_servo_shape s = small();
    hw_servo_bodies(&s, (hw_vec3){0, 1, 0}, b);
    const hw_vec3 x = {1, 0, 0}, z = {0, 0, 1}, y = {0, 1, 0};
    const hw_vec3 down = {0, 0, -1}, back = {-1, 0, 0};
    NEAR(hw_body_reach(&b[HW_SERVO_CASE], x), 17 * mm, 1e-15); // 23 less 6 to the shaft
    NEAR(hw_body_reach(&b[HW_SERVO_CASE], back), 6 * mm, 1e-15);
    NEAR(hw_body_reach(&b[HW_SERVO_CASE], z), 0, 1e-15);
    NEAR(hw_body_reach(&b[HW_SERVO_CASE], down), 22 * mm, 1e-15);
    NEAR(hw_body_reach(&b[HW_SERVO_EARS], x), 21.5 * mm, 1e-15); // (32 - 23)/2 beyond
    NEAR(hw_body_reach(&b[HW_SERVO_EARS], down), 7 * mm, 1e-15);
    NEAR(hw_body_reach(&b[HW_SERVO_HORN], y), 14.5 * mm, 1e-15);
    NEAR(hw_body_reach(&b[HW_SERVO_HORN], x), (12 * sin(0.3) + 2.5) * mm, 1e-15);
    NEAR(hw_body_reach(&b[HW_SERVO_HORN], z), 5 * mm, 1e-15);
    NEAR(hw_body_reach(&b[HW_SERVO_CABLE], back), 10 * mm, 1e-15);
    s.cable_far = true;
    hw_servo_bodies(&s, y, b);
    NEAR(hw_body_reach(&b[HW_SERVO_CABLE], x), 21 * mm, 1e-15);
    hw_frame f;
    hw_servo_slot bad = {{0, 0, 0}, HW_WAY_BACK, HW_WAY_PALM, HW_WAY_FINGERS};
    CHECK(!hw_servo_frame(&bad, &f));
    for (int w = 0; w < HW_WAYS; w++)
        CHECK(hw_way_of(hw_vec3_times(hw_way_vector((hw_way)w), 0.7)) == (hw_way)w);
    SAME_TEXT(hw_way_name(HW_WAY_LITTLE), "the little finger");
    SAME_TEXT(hw_way_name((hw_way)17), "nowhere");
}

static void skin(void)
{
    hw_palm p = palm_of(1), b = brick();
    double y[2], z[2];
    // at a section's own points, where the loop does not stand upright
    for (int s = 0; s < HW_PALM_SECTIONS; s++)
        for (int k = 0; k < HW_PALM_AROUND; k++) {
            hw_vec3 v = p.outline[s][k];
            hw_palm_across(&p, v.x, y);
            CHECK(v.y >= y[0] - 1.5 * mm && v.y <= y[1] + 1.5 * mm);
            if (v.y < y[0] + 6 * mm || v.y > y[1] - 6 * mm) continue;
            hw_palm_depth(&p, v.x, v.y, z);
            CHECK(fmin(fabs(v.z - z[0]), fabs(v.z - z[1])) < 0.2 * mm);
        }
    // beyond both ends the last sections count
    for (int x = -20; x < 120; x += 7) {
        hw_palm_depth(&b, x * mm, 3 * mm, z);
        NEAR(z[0], -27 * mm, 1e-12);
        NEAR(z[1], 11 * mm, 1e-12);
        hw_palm_across(&b, x * mm, y);
        NEAR(y[0], -40 * mm, 1e-12);
        NEAR(y[1], 40 * mm, 1e-12);
    }
    hw_palm_depth(&p, 30 * mm, 100 * mm, z);
    CHECK(isnan(z[0]));
}

static void alone(void)
{
    hw_palm p = brick();
    hw_pack_item one = upright((hw_vec3){44 * mm, -5 * mm, 2 * mm});
    hw_pack r = given(def_of(&one, 1, &p));
    NEAR(r.thickness, 33 * mm, 1e-12); // from 11 down to 2 - 22, and a wall of 2
    NEAR(r.room, 2 * mm, 1e-12);       // 11 less 2, 5 of spline and a wall
    NEAR(r.place[0].rod, 9 * mm, 1e-12);
    NEAR(r.place[0].skew[0], 0, 1e-7);
    NEAR(r.place[0].skew[1], 0, 1e-7);
    // its side 3 mm out of the palm's, and a wall
    hw_pack_item out = upright((hw_vec3){44 * mm, -37 * mm, 2 * mm});
    r = given(def_of(&out, 1, &p));
    CHECK(r.place[0].meets == HW_PACK_SKIN && r.place[0].part != HW_SERVO_ROD);
    CHECK(hw_way_of(r.place[0].away) == HW_WAY_THUMB);
    NEAR(r.room, -(3 + 12 * sin(0.3) + 2.5 - 6 - 0 + 2) * mm, 1e-12); // its horn's sweep
    // out of the wrist by 1.5 mm of its ears, and a wall
    out = upright((hw_vec3){20 * mm, -5 * mm, 2 * mm});
    r = given(def_of(&out, 1, &p));
    CHECK(hw_way_of(r.place[0].away) == HW_WAY_FINGERS);
    NEAR(r.room, -3.5 * mm, 1e-12);
    // out of the back by a horn of 5 mm less 4, and a wall
    out = upright((hw_vec3){44 * mm, -5 * mm, 7 * mm});
    r = given(def_of(&out, 1, &p));
    CHECK(r.place[0].meets == HW_PACK_SKIN && hw_way_of(r.place[0].away) == HW_WAY_PALM);
    NEAR(r.room, -3 * mm, 1e-12);
    NEAR(r.thickness, (28 + 3) * mm, 1e-12); // deeper by what stands out
    // no slot, and a rod askew
    one.slot.horn = HW_WAY_BACK;
    r = given(def_of(&one, 1, &p));
    CHECK(r.place[0].meets == HW_PACK_SLOT);
    one = upright((hw_vec3){44 * mm, -5 * mm, 2 * mm});
    one.lever.end.x += 20 * mm;
    r = given(def_of(&one, 1, &p));
    CHECK(r.place[0].meets == HW_PACK_SLOT && r.room < 0);
    for (int s = 0; s < HW_PALM_SECTIONS; s++)
        for (int k = 0; k < HW_PALM_AROUND; k++)
            if (p.outline[s][k].y < 5 * mm) p.outline[s][k].z = fmin(p.outline[s][k].z, 7 * mm);
    one = upright((hw_vec3){44 * mm, -20 * mm, -4 * mm});
    NEAR(given(def_of(&one, 1, &p)).thickness, 39 * mm, 1e-12); // the back lower, not the face
}

// A palm's front that runs askew: 10 mm farther toward its far side a servo has as much more room
// as the front goes forward there.
static void askew_front(void)
{
    const double slope = 0.3;
    hw_palm p = brick();
    hw_vec3 *front = p.outline[HW_PALM_SECTIONS - 1];
    double most = -INFINITY, room[2];
    for (int k = 0; k < HW_PALM_AROUND; k++) {
        most = fmax(most, front[k].x);
        front[k].x += slope * front[k].y;
    }
    for (int i = 0; i < 2; i++) {
        hw_pack_item one = upright((hw_vec3){most - 4 * mm, (i ? 8 : -2) * mm, 2 * mm});
        hw_pack r = given(def_of(&one, 1, &p));
        room[i] = r.room;
        CHECK(r.place[0].meets == HW_PACK_SKIN && hw_way_of(r.place[0].away) == HW_WAY_WRIST);
    }
    NEAR(room[1] - room[0], slope * 10 * mm, 1e-12);
}

static void in_each_others_way(void)
{
    hw_palm p = brick();
    hw_pack_item two[2] = {upright((hw_vec3){44 * mm, -14 * mm, 2 * mm}),
                           upright((hw_vec3){44 * mm, -5 * mm, 2 * mm})};
    two[0].lever.end.y -= 18 * mm; // to its other side
    two[0].lever.at.y -= 18 * mm;
    hw_pack_def d = def_of(two, 2, &p);
    hw_pack r = given(d);
    // cases 12 wide and sweeps of horns 12.1 wide, 9 apart
    for (int i = 0; i < 2; i++) {
        CHECK(r.place[i].meets == HW_PACK_SERVO && r.place[i].which == 1 - i);
        CHECK(hw_way_of(r.place[i].away) == (i ? HW_WAY_THUMB : HW_WAY_LITTLE));
    }
    NEAR(r.room, -(2 * (12 * sin(0.3) + 2.5) - 9) * mm - d.gap, 1e-9);
    // a stone 2 mm into the case's side, whose middle is at x 38.5, z -9
    hw_frame at = hw_frame_identity();
    at.at = (hw_vec3){44 * mm, -28 * mm, -9 * mm};
    hw_obstacle stone = {hw_body_box(at, 4 * mm, 20 * mm, 4 * mm), 7};
    d.items = 1;
    d.obstacle = &stone;
    d.obstacles = 1;
    r = given(d);
    CHECK(r.place[0].meets == HW_PACK_OBSTACLE && r.place[0].which == 0);
    CHECK(r.place[0].part == HW_SERVO_CASE && hw_way_of(r.place[0].away) == HW_WAY_THUMB);
    NEAR(r.room, -2 * mm - d.gap, 1e-9);
    // the rod may touch what it moves, a case may not
    stone.body = hw_body_box(at, 4 * mm, 4 * mm, 4 * mm);
    stone.body.frame.at = two[0].lever.end;
    r = given(d);
    CHECK(r.place[0].meets == HW_PACK_OBSTACLE && r.place[0].part == HW_SERVO_ROD && r.room < 0);
    two[0].lever.owner = 7;
    r = given(d);
    CHECK(r.place[0].part != HW_SERVO_ROD);
    CHECK(r.room > 0);
}

// What a rod hooks in: the case keeps clear of all of it, the horn of its middle alone, the rod of
// none; what goes with it is for none of them, and others keep clear of both.
static void beside_its_lug(void)
{
    hw_palm p = brick();
    hw_pack_item two[2] = {upright((hw_vec3){44 * mm, -5 * mm, 2 * mm}),
                           upright((hw_vec3){44 * mm, 26 * mm, 2 * mm})};
    hw_pack_def d = def_of(two, 1, &p);
    const double free = given(d).room;
    hw_frame at = hw_frame_identity();
    const hw_body far = hw_body_box((hw_frame){{300 * mm, 0, 0}, at.x, at.y, at.z}, mm, mm, mm);
    at.at = two[0].lever.end;
    const hw_body end = hw_body_box(at, 4 * mm, 4 * mm, 4 * mm);
    at.at = (hw_vec3){38.5 * mm, -9 * mm, -9 * mm}; // 2 mm in the case's side
    const hw_body beside = hw_body_box(at, 4 * mm, 8 * mm, 4 * mm);
    at.at = (hw_vec3){54 * mm, -11 * mm, 4.5 * mm}; // in what its horn passes over, not in the horn
    const hw_body swept = hw_body_box(at, 4 * mm, 2 * mm, 4 * mm);
    hw_pack_lug *lug = &two[0].lug;
    *lug = (hw_pack_lug){{end, end, end}, 3, 3, 0};
    NEAR(given(d).room, free, 1e-12);
    lug->hooked = 2;
    hw_pack r = given(d);
    CHECK(r.room < 0 && r.place[0].meets == HW_PACK_LUG && r.place[0].part == HW_SERVO_ROD);
    *lug = (hw_pack_lug){{beside, end, end}, 3, 3, 0};
    r = given(d);
    CHECK(r.place[0].meets == HW_PACK_LUG && r.place[0].part == HW_SERVO_CASE);
    NEAR(r.room, -6 * mm - d.gap, 1e-9);
    CHECK(hw_way_of(r.place[0].away) == HW_WAY_THUMB);
    *lug = (hw_pack_lug){{swept, far, swept}, 3, 3, 0};
    CHECK(given(d).room > mm); // of its case alone
    *lug = (hw_pack_lug){{far, swept, far}, 3, 3, 0};
    lug->body[1].frame.at.y = -7 * mm; // 8 mm wide its edge is 1.5 mm in an arm of 5
    r = given(d);
    CHECK(r.place[0].meets == HW_PACK_LUG && r.place[0].part == HW_SERVO_HORN && r.room < 0);
    // another's, and bodies that are not its owner's
    *lug = (hw_pack_lug){{end}, 1, 1, 0};
    lug->body[0].frame.at.y = 18 * mm;
    d.items = 2;
    r = given(d);
    CHECK(r.place[1].meets == HW_PACK_SERVO && r.place[1].which == 0 && r.place[1].room < 0);
    CHECK(r.place[0].part == HW_SERVO_LUG && r.place[0].room == r.place[1].room);
    d.items = 1;
    hw_obstacle stone = {lug->body[0], 7};
    d.obstacle = &stone;
    d.obstacles = 1;
    r = given(d);
    CHECK(r.place[0].meets == HW_PACK_OBSTACLE && r.place[0].part == HW_SERVO_LUG && r.room < 0);
    two[0].lever.owner = 7;
    NEAR(given(d).room, free, 1e-12);
    CHECK(strcmp(hw_servo_body_name(HW_SERVO_LUG), "lug") == 0);
}

static void another_servo(void)
{
    hw_palm p = brick();
    hw_pack_item one = upright((hw_vec3){44 * mm, -5 * mm, 2 * mm});
    double was = given(def_of(&one, 1, &p)).thickness;
    one.shape.height += 13 * mm;
    one.shape.ear_at += 13 * mm;
    hw_pack r = given(def_of(&one, 1, &p));
    NEAR(r.thickness - was, 13 * mm, 1e-12); // it grows away from its horn
    one = upright((hw_vec3){44 * mm, -5 * mm, 2 * mm});
    one.slot.shaft = HW_WAY_PALM;
    one.slot.at.z = -10 * mm;
    was = given(def_of(&one, 1, &p)).thickness;
    one.shape.height += 13 * mm;
    r = given(def_of(&one, 1, &p));
    CHECK(r.thickness - was > 6 * mm); // out of the back, as far as there was nothing to spare
    CHECK(r.room < 0 && r.place[0].meets == HW_PACK_SKIN);
}

static void wrong_numbers(void)
{
    hw_palm p = palm_of(1);
    hw_pack out;
    hw_pack_item one = upright((hw_vec3){0, 0, 0});
    hw_pack_def d = def_of(&one, 1, &p);
    one.shape.ear_span = 20 * mm; // less than the case
    CHECK(hw_pack_given(&d, place, &out) == HW_BAD_INPUT && isnan(out.room));
    one = upright((hw_vec3){NAN, 0, 0});
    CHECK(hw_pack_given(&d, place, &out) == HW_BAD_INPUT);
    one = upright((hw_vec3){0, 0, 0});
    hw_pack_effort e = {1, 4, 10, false};
    hw_pack_item item;
    double lacks = 0;
    size_t mark = hw_arena_mark(arena);
    for (size_t n = 0; n < 3; n++) {
        hw_arena_fail_after(arena, n);
        CHECK(hw_pack_find(arena, &d, NULL, &e, NULL, &item, &lacks) == HW_NO_MEMORY);
        CHECK(isnan(lacks));
        hw_arena_fail_after(arena, SIZE_MAX);
        hw_arena_rewind(arena, mark);
    }
    for (int k = 0; k < 3; k++) {
        e = (hw_pack_effort){1, k != 0, k != 1 ? 10 : 0, false};
        if (k == 2) d.items = 0;
        CHECK(hw_pack_find(arena, &d, NULL, &e, NULL, &item, &lacks) == HW_BAD_INPUT);
    }
}

static hw_vec3 mirror(hw_vec3 v)
{
    return (hw_vec3){v.x, -v.y, v.z};
}

static hw_way mirror_way(hw_way w)
{
    return w == HW_WAY_THUMB ? HW_WAY_LITTLE : w == HW_WAY_LITTLE ? HW_WAY_THUMB : w;
}

static void scale_and_mirror(void)
{
    hw_palm p = palm_of(1), large = palm_of(10), left = p;
    hw_palm_mirror(&left);
    hw_pack_item one = upright((hw_vec3){34 * mm, -12 * mm, 1 * mm}), ten = one, other = one;
    double *v[] = {&ten.shape.length,     &ten.shape.width,     &ten.shape.height,
                   &ten.shape.ear_span,   &ten.shape.ear_at,    &ten.shape.ear_thickness,
                   &ten.shape.shaft_at,   &ten.shape.spline,    &ten.shape.horn_arm,
                   &ten.shape.horn_width, &ten.shape.horn_hole, &ten.shape.cable,
                   &ten.slot.at.x,        &ten.slot.at.y,       &ten.slot.at.z,
                   &ten.lever.end.x,      &ten.lever.end.y,     &ten.lever.end.z,
                   &ten.lever.at.x,       &ten.lever.at.y,      &ten.lever.at.z};
    for (size_t i = 0; i < sizeof v / sizeof v[0]; i++) *v[i] *= 10;
    hw_pack_def d = def_of(&one, 1, &p), e = def_of(&ten, 1, &large), m = def_of(&other, 1, &left);
    e.wall *= 10;
    e.gap *= 10;
    e.rod *= 10;
    other.slot.at = mirror(other.slot.at);
    other.slot.body = mirror_way(other.slot.body);
    other.slot.horn = mirror_way(other.slot.horn);
    other.lever.end = mirror(other.lever.end);
    other.lever.at = mirror(other.lever.at);
    hw_pack a = given(d), b = given(e), c = given(m);
    NEAR(b.thickness, 10 * a.thickness, 1e-9);
    NEAR(b.room, 10 * a.room, 1e-9);
    NEAR(c.thickness, a.thickness, 1e-12);
    NEAR(c.room, a.room, 1e-12);
}

// A lever of 15 mm beside a horn of 10, square to the rod between them: half as much again. Away
// from there the horn's turns add up to where the rod is as long as it was.
static void torque_through_the_rod(void)
{
    enum { STEPS = 2000 };
    hw_pack_item item = upright((hw_vec3){40 * mm, 0, 0});
    hw_pack_place p = {.slot = item.slot, .rod = 9 * mm};
    CHECK(hw_servo_frame(&item.slot, &p.frame));
    NEAR(hw_servo_worth(&item, &p, 0), 1.5, 1e-12);
    for (int way = -1; way <= 1; way += 2) {
        double turn = way * 0.3, horn = 0;
        for (int i = 0; i < STEPS; i++)
            horn += hw_servo_worth(&item, &p, turn * (i + 0.5) / STEPS) * turn / STEPS;
        // both ends go the same way across: the lever points back where the horn points ahead
        const hw_vec3 *end = &item.lever.end, *at = &item.lever.at;
        double x = at->x + (end->x - at->x) * cos(turn), y = at->y + (end->x - at->x) * sin(turn);
        double hx = p.frame.at.x + 10 * mm * cos(horn), hy = p.frame.at.y - 10 * mm * sin(horn);
        NEAR(hypot(x - hx, y - hy), 9 * mm, 1e-8);
        CHECK(fabs(horn) > 0.3);
    }
    // of the two turns at which the rod reaches, the other way round in the mirror: the nearer
    hw_pack_item left = item;
    left.slot.at = mirror(item.slot.at);
    left.slot.body = mirror_way(item.slot.body);
    left.slot.horn = mirror_way(item.slot.horn);
    left.lever.end = mirror(item.lever.end);
    left.lever.at = mirror(item.lever.at);
    hw_pack_place q = {.slot = left.slot, .rod = p.rod};
    CHECK(hw_servo_frame(&left.slot, &q.frame));
    for (int i = -3; i <= 3; i++)
        CLOSE(hw_servo_worth(&left, &q, -0.1 * i), hw_servo_worth(&item, &p, 0.1 * i), 1e-9);
    p.rod = 1 * mm; // it does not reach
    CHECK(isnan(hw_servo_worth(&item, &p, 0)));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(bodies_of_a_servo);
    RUN(skin);
    RUN(alone);
    RUN(askew_front);
    RUN(in_each_others_way);
    RUN(beside_its_lug);
    RUN(another_servo);
    RUN(wrong_numbers);
    RUN(scale_and_mirror);
    hw_arena_free(arena);
    RUN(torque_through_the_rod);
    return TEST_END();
}
