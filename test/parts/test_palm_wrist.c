// The palm at the wrist: the lid over the forearm's flange and its screws, bores of sheaths, screws
// that join palm and forearm.
#include "check.h"

#include "palm_part.h"
#include "parts/palm_hold.h"
#include "parts/palm_internal.h"

static const char *fault;

// The lid goes on over the forearm's flange (three walls long), where a countersunk screw on each
// side goes through it into the forearm; without servos in the forearm there is nothing to hold it
// there.
static void lid_is_held_at_the_wrist(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1), *bare = HW_NEW(a, hw_palm_parts, 1);
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    const hw_palm_part *lid = part_of(p, "palm lid"), *arm = part_of(p, "forearm");
    if (!CHECK(lid && arm)) return;
    const double x = -1.5 * f.wall, step = 0.1e-3;
    int holes[2] = {0}, bores[2] = {0}, meant = 0;
    for (int i = -245; i < 245; i++) { // its sides lie farther out
        const double y = step * i;
        bool over = depth_at(lid, x, y, f.split + 0.3e-3) > 0;
        bool under = depth_at(arm, x, y, f.split - 1e-3) > 0;
        holes[y > 0] += !over;
        bores[y > 0] += !over && !under;
        meant += over && under;
        if (over || under)
            continue; // the head sinks in, the thread is deep, round both it is solid
        CHECK(!(depth_at(lid, x, y, f.split + 2.6e-3) > 0));
        CHECK(!(depth_at(arm, x, y, f.split - 5e-3) > 0));
        CHECK(depth_at(arm, x + 2.8e-3, y, f.split - 2e-3) > 0);
        CHECK(depth_at(lid, x + 3e-3, y, f.split + 1e-3) > 0);
    }
    CHECK(meant > 100); // they lie on each other over a centimetre
    for (int side = 0; side < 2; side++) {
        NEAR(holes[side] * step, 2 * 0.55 * f.screw, 0.25e-3);
        NEAR(bores[side] * step, 2 * 0.42 * f.screw, 0.25e-3);
    }
    CHECK(p->lid_screws >= 2 && hw_palm_lid_held(p, f.screw) == p->lid_screws);
    // both of the wrist are held; one would not be at the body's edge, beside its own bore, or
    // above
    CHECK(hw_palm_wrist_held(p, f.screw) == 2);
    const hw_vec3 stood = p->wrist_screw[1], by[3] = {{0, 8e-3, 0}, {0, -f.screw, 0}, {0, 0, 0.04}};
    for (int k = 0; k < 3; k++) {
        p->wrist_screw[1] = hw_vec3_add(stood, by[k]);
        CHECK(hw_palm_wrist_held(p, f.screw) == 1);
    }
    p->wrist_screw[1] = stood;
    // heads as wide and as deep as ISO 7046 has them (M3: 5.5 and 1.65 mm) lie below the lid's skin
    for (size_t i = 0; i < p->lid_screws; i++) {
        const hw_vec3 at = p->lid_screw[i];
        if (at.x > 0) continue;
        for (int k = 0; k < 12; k++) {
            const double angle = k * HW_PI / 6;
            CHECK(!(depth_at(lid, at.x + 2.75e-3 * cos(angle), at.y + 2.75e-3 * sin(angle),
                             f.split + 1.95e-3) > 0));
            CHECK(depth_at(lid, at.x + 2.75e-3 * cos(angle), at.y + 2.75e-3 * sin(angle),
                           f.split + 0.6e-3) > 0);
        }
    }
    f.arm_servos = 0;
    CHECK(hw_palm_parts_of(a, &f, bare, &fault) == HW_OK);
    lid = part_of(bare, "palm lid");
    CHECK(lid && !(depth_at(lid, x, 15e-3, f.split + 1e-3) > 0));
    hw_arena_free(a);
}

// Cut near its back, where the skin is flat, the lid ends blunt all the same: what it covers on its
// bed it covers a third of a wall up.
static void lids_end_blunt(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    f.palm_servos = f.rods = f.arm_servos = 0;
    f.split = 9e-3;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    const hw_palm_part *lid = part_of(p, "palm lid");
    size_t seen = 0, feather = 0;
    for (int i = 0; lid && i < 40; i++)
        for (int k = -120; k < 120; k++) {
            const double x = (5 + 0.6 * i) * 1e-3, y = 0.25e-3 * k;
            if (!(depth_at(lid, x, y, f.split + 0.1e-3) > 0.05e-3)) continue;
            seen++;
            feather += !(depth_at(lid, x, y, f.split + f.wall / 3) > 0);
        }
    CHECK(seen > 1000 && feather == 0);
    hw_arena_free(a);
}

// The lid's screws keep clear of sheaths, and where these leave no place there is none.
static void screws_make_way(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    f.palm_servos = 2;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    const double was = p->lid_screw[p->lid_screws - 1].y, z = f.split - 3e-3;
    CHECK(was > 0 && p->lid_screw[p->lid_screws - 1].x < 0);
    f.routes = 1;
    f.route[0] =
        (hw_palm_route){.at = {{-30e-3, was, z}, {30e-3, was, z}}, .n = 2, .radius = 1.5e-3};
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    const double now = p->lid_screw[p->lid_screws - 1].y;
    CHECK(fabs(now - was) >= 1.5e-3 + 0.8 * f.screw &&
          hw_palm_lid_held(p, f.screw) == p->lid_screws);
    const size_t held = p->lid_screws;
    f.routes = 16; // side by side over all the flange
    for (int i = 0; i < 16; i++) {
        const double y = (-30 + 4 * i) * 1e-3;
        f.route[i] =
            (hw_palm_route){.at = {{-30e-3, y, z}, {30e-3, y, z}}, .n = 2, .radius = 1.5e-3};
    }
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK && p->lid_screws <= held - 2);
    for (size_t i = 0; i < p->lid_screws; i++) CHECK(p->lid_screw[i].x > 0);
    hw_arena_free(a);
}

// At the wrist sheaths go through the tray's wall and the forearm's flange in bores: over one that
// lies deep both are whole; two that would leave less than half a wall between them have one room
// with one roof; one beside the window is open to it.
static void bored_at_the_wrist(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    const double r = 1.5e-3, y = 22e-3, z = -6e-3, inner = 29.4e-3 / 2 + r + 0.4e-3;
    const hw_vec3 at[] = {{0, y, z}, {0, -20e-3, z}, {0, -23.6e-3, z}, {0, inner, f.split - 6e-3}};
    f.palm_servos = f.rods = 0;
    f.digit[0].present = false; // its bearing is there
    f.routes = 4;
    for (int i = 0; i < 4; i++)
        f.route[i] = (hw_palm_route){
            .at = {{-30e-3, at[i].y, at[i].z}, {30e-3, at[i].y, at[i].z}}, .n = 2, .radius = r};
    if (!CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK)) return;
    const struct {
        const char *name;
        double x;
    } wall[] = {{"palm tray", 3e-3}, {"forearm", -3.6e-3}};
    for (int i = 0; i < 2; i++) {
        const hw_palm_part *w = part_of(p, wall[i].name);
        const double x = wall[i].x;
        for (int k = 0; k < 3; k++) CHECK(!(depth_at(w, x, at[k].y, z) > 0));
        CHECK(depth_at(w, x, y, z + 1.3 * r) <= 0 && depth_at(w, x, y, z + 1.6 * r) > 0);
        CHECK(!(depth_at(w, x, -21.8e-3, z) > 0) && !(depth_at(w, x, -21.8e-3, z + 2 * r) > 0));
        CHECK(depth_at(w, x, -21.8e-3, z + 3 * r) > 0); // 1.41 r and half their distance
        CHECK(depth_at(w, x, at[2].y - 1.2 * r, z + 1.2 * r) > 0);
    }
    f.arm_servos = 0; // the lid's screw beside it would narrow the window
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    const hw_palm_part *w = part_of(p, wall[0].name);
    for (double side = 0; w && side < inner; side += 0.4e-3)
        CHECK(!(depth_at(w, wall[0].x, side, at[3].z) > 0));
    CHECK(w && depth_at(w, wall[0].x, inner + 1.2 * r, at[3].z) > 0);
    hw_arena_free(a);
}

// A sheath under the palm's skin, a tenth of a millimetre from it: the skin goes round it, a third
// of a wall and more.
static void walls_go_round_sheaths(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    const double x = 14e-3, z = f.split - 8e-3, r = 1.5e-3;
    f.palm_servos = f.rods = f.arm_servos = 0;
    f.digit[0].present = false;
    if (!CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK)) return;
    double side = -20e-3; // of the skin
    while (depth_at(part_of(p, "palm tray"), x, side, z) > 0) side -= 0.05e-3;
    CHECK(side < -25e-3 && side > -60e-3);
    const double y = side + r + 0.1e-3;
    f.routes = 1;
    f.route[0] = (hw_palm_route){.at = {{x - 6e-3, y, z}, {x + 6e-3, y, z}}, .n = 2, .radius = r};
    if (!CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK)) return;
    const hw_palm_part *tray = part_of(p, "palm tray");
    CHECK(!(depth_at(tray, x, y, z) > 0));
    CHECK(depth_at(tray, x, y - r - f.wall / 3, z) > 0);
    CHECK(!(depth_at(tray, x, y - r - f.wall, z) > 0));
    hw_arena_free(a);
}

// A servo behind the wrist's screw: the screw finds another place, with three diameters of thread.
static void wrist_screws_find_thread(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    f.palm_servos = 0;
    for (int in_way = 0; in_way < 2; in_way++) {
        const double bottom = p->bottom;
        if (in_way) { // where the screw was, from 3 mm behind the wall on
            f.palm_servos = 1;
            f.palm[0] = hw_palm_parts_def_default().palm[0];
            f.palm[0].frame.at = hw_at(18e-3, -21.3e-3, bottom + 20e-3);
        }
        if (!CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK)) return;
        const hw_palm_part *tray = part_of(p, "palm tray");
        // a bore of 0.42 diameters with material round it, over all its length
        size_t found = 0;
        for (double y = -26e-3; y < -8e-3; y += 0.2e-3)
            for (double z = p->bottom + 4e-3; z < f.split - 4e-3; z += 0.2e-3) {
                bool bored = true;
                for (double x = 1e-3; x <= 9e-3 && bored; x += 1e-3) {
                    bored = !(depth_at(tray, x, y, z) > 0);
                    for (int k = 0; k < 8 && bored; k++) {
                        const double angle = k * HW_PI / 4, r = 0.65 * f.screw;
                        bored = depth_at(tray, x, y + r * cos(angle), z + r * sin(angle)) > 0;
                    }
                }
                found += bored;
            }
        CHECK(found > 0);
    }
    hw_arena_free(a);
}

// A driver of 3 mm comes to the wrist's screws from behind, over the places of servos that go in
// later: for 60 mm behind its head nothing of the forearm or its lid is in its way.
static void drivers_reach_the_wrist(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    f.palm_servos = 0;
    if (!CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK)) return;
    const double y = -29.4e-3 + 2.7 * f.screw, z = (p->bottom + f.split) / 2; // the usual place
    const hw_palm_part *part[] = {part_of(p, "forearm"), part_of(p, "forearm lid")};
    size_t in_way = 0;
    CHECK(part[0] && part[1]);
    for (int i = 0; i < 2 && part[i]; i++)
        for (double x = -3.1 * f.wall; x > -3.1 * f.wall - 60e-3; x -= 0.5e-3)
            for (int k = 0; k < 12; k++)
                in_way += depth_at(part[i], x, y + 0.5 * f.screw * cos(k * HW_PI / 6),
                                   z + 0.5 * f.screw * sin(k * HW_PI / 6)) > 0;
    CHECK(in_way == 0);
    CHECK(part[0] && depth_at(part[0], -1.5 * f.wall, y + f.screw, z) > 0); // the flange is there
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(lid_is_held_at_the_wrist);
    RUN(lids_end_blunt);
    RUN(screws_make_way);
    RUN(bored_at_the_wrist);
    RUN(walls_go_round_sheaths);
    RUN(wrist_screws_find_thread);
    RUN(drivers_reach_the_wrist);
    (void)hw_check_text;
    return TEST_END();
}
