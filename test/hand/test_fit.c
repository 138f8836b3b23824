// Families of ways, ways that are laid again where the first ones lack something, and choices of
// places for servos beside them: by closed cases and by trying everything.
#include "check.h"
#include "document.h"
#include "hand/fit_internal.h"
#include "hand/hand_internal.h"

#include <string.h>

static hw_hand hand;

#define ROUTED                                                                                     \
    "handwright: 1\nforearm: {ways: computed, lengths: routed}\n"                                  \
    "drive: {sheath: {radius: 16 mm}}\npalm: {thickness: 38 mm}\n"                                 \
    "wrist: {tunnel: {width: 54 mm, height: 26 mm, at: {z: -7 mm}}}\ndigits:\n"                    \
    "  ring: {splay: {driven: yes, slot: {at: {x: "

#define AT(x, y, z) ROUTED x " mm, y: " y " mm, z: " z " mm}}}}\n"

static bool routed(const char *text)
{
    hw_design *d = design_of(text);
    if (!CHECK(d)) return false;
    hw_hand_build(d, &hand);
    for (int i = 0; i < HW_DIGITS; i++)
        hand.drive[i].sheath_radius = hw_design_value(d, hw_entry_of(HW_E_OWN_SHEATH_RADIUS, i));
    return CHECK(hand.places.movers == 1);
}

// Least gap of a way's middle to bodies, by points a fifth of a millimetre apart.
static double gap_by_points(const hw_route *way, const hw_lay_bodies *w, int own) // [m]
{
    double least = INFINITY;
    for (double s = 0; s <= way->length; s += 2e-4) {
        hw_vec3 at, along;
        hw_route_at(way, s, &at, &along);
        hw_body ball = hw_body_capsule(at, at, 0);
        for (size_t k = 0; k < w->n; k++)
            if (w->owner[k] != own) least = fmin(least, hw_body_clear(&ball, &w->body[k], 0.02));
    }
    return least;
}

// Every way of a family begins in the tunnel, ends where its sheath ends and as that points, bends
// no tighter than it may, and has the room that it says; those that lack nothing come first.
static void families(void)
{
    if (!routed(AT("30", "-6", "-4"))) return;
    static hw_lay_bodies palm;
    static hw_lay_way way[HW_LAY_FAMILY];
    hw_strand s[HW_SHEATH_WAYS];
    hw_lay_palm(&hand, &palm);
    hw_lay_movers(hand.places.place, hand.places.whose, 1, &palm);
    size_t n = hw_lay_strands(&hand, s);
    CHECK(n == 8 || n == 12);
    for (size_t i = 0; i < n; i++) {
        const hw_drive *v = &hand.drive[s[i].from->digit];
        size_t m = hw_lay_family(&hand, &palm, &s[i], -1e-3, way);
        CHECK(m > 0 || s[i].in_tunnel || s[i].from->digit == HW_RING);
        for (size_t k = 0; k < m; k++) {
            const hw_route *r = &way[k].way;
            hw_vec3 last = r->point[r->points - 1], at, along;
            CHECK(hw_vec3_norm(hw_vec3_sub(last, s[i].end.at)) < 1e-12);
            hw_route_at(r, r->length, &at, &along);
            CHECK(hw_vec3_dot(along, s[i].end.along) > 1 - 1e-9);
            hw_vec2 off = {r->point[0].y - hand.places.tunnel_at.y,
                           r->point[0].z - hand.places.tunnel_at.z};
            CHECK(hw_norm(hw_sub(off, way[k].hole)) < 1e-12);
            double half = (hand.places.tunnel.width - hand.places.tunnel.height) / 2;
            hw_vec2 on = {fmin(fmax(off.x, -half), half), 0};
            CHECK(hw_norm(hw_sub(off, on)) <= 0.013 - v->sheath_outer / 2 - hand.gap + 1e-12);
            CHECK(r->radius >= 0.99 * 0.016);
            CHECK(way[k].room >= -1e-3);
            CHECK(k == 0 || fmax(-way[k].room, 0) >= fmax(-way[k - 1].room, 0));
            if (k % 48) continue;
            double gap = gap_by_points(r, &palm, s[i].from->digit) - v->sheath_outer / 2 - hand.gap;
            // arcs are chords of a sixth, 0.9 % of their radius off
            NEAR(fmin(gap, 0), way[k].room, 2e-4);
        }
    }
}

// What the points of the ways say a sheath lacks beside a servo is what the best of its family
// lacks, measured whole.
static void lacks_by_all(void)
{
    if (!routed(AT("30", "-6", "-4"))) return;
    static hw_lay_way way[HW_LAY_FAMILY];
    static hw_lay_bodies palm, with;
    hw_strand s[HW_SHEATH_WAYS];
    size_t n = hw_lay_strands(&hand, s), blocked = 0, free = 0;
    const hw_fitter *f = hw_fitter_of(arena, &hand, HW_LAY_FAMILY);
    const hw_fitter *few = hw_fitter_of(arena, &hand, 40);
    if (!CHECK(f && few)) return;
    uint8_t mark[HW_PACK_MARKS];
    const uint8_t *const marks[] = {mark};
    hw_pack_place place = hand.places.place[0];
    static hw_lay_skin skin;
    hw_lay_skin_of(&hand.palm, &skin);
    hw_lay_palm(&hand, &palm);
    palm.skin = &skin;
    for (int k = 0; k < 9; k++) {
        hw_vec3 by = {(k % 5 - 2) * 3e-3, (k % 7 - 3) * 2.5e-3, (k % 3 - 1) * 6e-3};
        hw_pack_place at = place;
        at.lug.n = at.lug.hooked = 0;
        for (int b = 0; b < HW_SERVO_BODIES; b++)
            at.body[b].frame.at = hw_vec3_add(place.body[b].frame.at, by);
        with = palm;
        int whose = HW_LITTLE + 1; // nobody's sheath may meet it
        hw_lay_movers(&at, &whose, 1, &with);
        double lack = 0;
        for (size_t i = 0; i < n; i++) {
            size_t m = hw_lay_family(&hand, &palm, &s[i], 0, way);
            double best = m ? -INFINITY : 0;
            for (size_t w = 0; w < m; w++) {
                const double half = hand.drive[s[i].from->digit].sheath_outer / 2;
                hw_body part[HW_ROUTE_BODIES];
                size_t parts = hw_route_bodies(&way[w].way, half, part);
                double room = 0;
                for (size_t p = 0; p < parts; p++)
                    for (int b = 0; b < HW_SERVO_BODIES; b++)
                        room = fmin(room, hw_body_clear(&part[p], &at.body[b], 1e-3) - hand.gap);
                best = fmax(best, room);
            }
            lack -= best;
        }
        const hw_pack_place *const stands[] = {&at};
        double said = hw_fit_lack(f, stands, 1), fewer = hw_fit_lack(few, stands, 1);
        hw_fit_mark(few, &at, mark);
        CHECK(fewer >= said && hw_fit_marked(few, marks, 1) == fewer);
        blocked += lack > 0;
        free += lack <= 0;
        // points lie a millimetre apart, depths are told in steps of 0.05 mm a sheath
        if (lack < 1e-3) NEAR(said, lack, 1.5e-4);
        CHECK((lack > 3e-4) <= (said > 0)); // nothing is called free that is not
    }
    CHECK(blocked > 1 && free > 1);
    CHECK(hw_fit_lack(f, NULL, 0) == 0 && hw_fit_marked(few, NULL, 0) == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(families);
    RUN(lacks_by_all);
    hw_arena_free(arena);
    return TEST_END();
}
