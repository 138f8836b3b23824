// Leads of the palm's servos: beside everything, within the skin, from the room at their servo's
// end to their hole; none where that room is walled in.
#include "../parts/group.h"
#include "hand/lay_internal.h"

static const double mm = 1e-3;

static hw_hand hand;
static hw_lay_bodies palm;
static hw_lay_skin skin;
static double thick; // of a lead [m]

// Everything in Heron's palm but leads.
static bool build(hw_arena *a)
{
    hw_design *d = example(a, "heron", "");
    if (!CHECK(d != NULL)) return false;
    hw_hand_build(d, &hand);
    thick = hw_design_value(d, hw_entry_of(HW_E_TUNNEL_LEAD, -1));
    const hw_places *p = &hand.places;
    hw_lay_movers(p->place, p->whose, p->movers, &palm);
    hw_lay_palm(&hand, &palm);
    for (size_t i = 0; i < p->sheaths; i++)
        hw_lay_put_way(&palm, &p->sheath[i].way,
                       hand.drive[p->sheath[i].digit].sheath_outer / 2 - hand.gap);
    hw_lay_skin_of(&hand.palm, &skin);
    palm.skin = &skin;
    return CHECK(p->movers == 4);
}

static hw_vec3 hole_of(size_t mover)
{
    const hw_places *p = &hand.places;
    return (hw_vec3){p->tunnel_at.x, p->tunnel_at.y + p->mover_hole[mover].x,
                     p->tunnel_at.z + p->mover_hole[mover].z};
}

// Least gap of a way to bodies and skin, place by place; the room at a servo's end is for a lead,
// and behind the tunnel's palm end the wrist is cut for it.
static double least_gap(const hw_route *way, size_t *begins) // [m]
{
    const hw_places *p = &hand.places;
    double least = INFINITY;
    for (double s = 0; s < way->length; s += 0.2 * mm) {
        hw_vec3 at, along;
        hw_route_at(way, s, &at, &along);
        const hw_body spot = hw_body_capsule(at, at, thick / 2);
        if (at.x < p->tunnel_at.x + p->tunnel_length / 2) break;
        bool in_room = false;
        for (size_t k = 0; k < palm.n; k++) {
            const double gap = hw_body_clear(&spot, &palm.body[k], 1 * mm);
            const int owner = palm.owner[k];
            const bool room = owner >= HW_LAY_LEADS && owner < HW_LAY_LEADS + HW_DIGITS;
            in_room = in_room || (room && gap < 0);
            if (!room) least = fmin(least, gap);
        }
        if (in_room) (*begins)++;
        if (!in_room && at.x > p->tunnel_at.x + p->tunnel_length)
            least = fmin(least, hw_lay_within(&skin, at) - thick / 2);
    }
    return least;
}

static void each_has_a_way(void)
{
    const hw_places *p = &hand.places;
    for (size_t m = 0; m < p->movers; m++) {
        hw_route way, again;
        size_t begins = 0;
        if (!CHECK(hw_lay_lead(&hand, m, thick, &palm, &way))) continue;
        CHECK(least_gap(&way, &begins) > -0.05 * mm && begins > 0);
        const hw_body *room = &p->place[m].body[HW_SERVO_CABLE];
        const hw_body spot = hw_body_capsule(way.point[0], way.point[0], 0);
        CHECK(hw_body_clear(&spot, room, 0) < 1e-9);
        const hw_vec3 hole = hole_of(m), end = way.point[way.points - 1];
        NEAR(end.x, hole.x - p->tunnel_length / 2, 1e-12);
        NEAR(hypot(end.y - hole.y, end.z - hole.z), 0, 1e-9);
        // hardly longer than a string would be that knows no obstacle but has to go round some
        const double straight = hw_vec3_norm(hw_vec3_sub(end, way.point[0]));
        CHECK(way.length >= straight - 1e-12 && way.length < 1.25 * straight + 4 * mm);
        CHECK(hw_lay_lead(&hand, m, thick, &palm, &again));
        NEAR(again.length, way.length, 0);
    }
}

// The hand keeps them, one beside the other, and their rooms are no others' obstacles.
static void the_hand_has_them(void)
{
    const hw_places *p = &hand.places;
    size_t n = 0;
    double least = INFINITY;
    for (size_t i = 0; i < p->leads; i++) {
        const hw_lead *one = &p->lead[i];
        if (!one->in_palm) continue;
        n++;
        CHECK(!one->shut && one->inside > p->tunnel_length - 1e-9 && one->inside < one->way.length);
        CLOSE(one->needs, 1.1 * one->way.length, 1e-12);
        for (size_t k = 0; k < i; k++)
            for (double s = 0; s < one->inside && p->lead[k].in_palm; s += 0.5 * mm)
                for (double t = 0; t < p->lead[k].inside; t += 0.5 * mm) {
                    hw_vec3 a, b, along;
                    hw_route_at(&one->way, s, &a, &along);
                    hw_route_at(&p->lead[k].way, t, &b, &along);
                    least = fmin(least, hw_vec3_norm(hw_vec3_sub(a, b)));
                }
    }
    CHECK(n == 4 && least > thick - 0.1 * mm);
}

// A box round a servo's room with the servo beside it: there is no way out, and the hand says so.
static void walled_in(void)
{
    const size_t before = palm.n;
    const hw_body *room = &hand.places.place[1].body[HW_SERVO_CABLE];
    hw_route way;
    hw_vec3 span[2];
    hw_body_span(room, span);
    const hw_vec3 middle = hw_vec3_times(hw_vec3_add(span[0], span[1]), 0.5);
    const hw_vec3 half = hw_vec3_times(hw_vec3_sub(span[1], span[0]), 0.5);
    const double h[3] = {half.x + 1 * mm, half.y + 1 * mm, half.z + 1 * mm};
    for (int k = 0; k < 6; k++) {
        const double sign = k % 2 ? 1 : -1;
        hw_frame at = hw_frame_identity();
        double edge[3] = {2 * h[0], 2 * h[1], 2 * h[2]};
        at.at = middle;
        *(k < 2 ? &at.at.x : k < 4 ? &at.at.y : &at.at.z) += sign * (h[k / 2] + 0.5 * mm);
        edge[k / 2] = 1 * mm;
        hw_lay_put(&palm, hw_body_box(at, edge[0] + 2 * mm, edge[1] + 2 * mm, edge[2] + 2 * mm),
                   -1);
    }
    CHECK(!hw_lay_lead(&hand, 1, thick, &palm, &way));
    CHECK(hw_lay_lead(&hand, 0, thick, &palm, &way)); // another's is not
    size_t ways = 0;
    for (size_t k = before; k < before + 6; k++) { // one side open
        const hw_body wall = palm.body[k];
        palm.body[k] = palm.body[before + (k == before)];
        memcpy(span, palm.span[k], sizeof span);
        memcpy(palm.span[k], palm.span[before + (k == before)], sizeof span);
        ways += hw_lay_lead(&hand, 1, thick, &palm, &way);
        palm.body[k] = wall;
        memcpy(palm.span[k], span, sizeof span);
    }
    CHECK(ways > 0);
    palm.n = before;
}

static void refused(void)
{
    hw_route way;
    CHECK(!hw_lay_lead(&hand, 0, 0, &palm, &way));
    CHECK(!hw_lay_lead(&hand, 0, (double)NAN, &palm, &way));
    CHECK(!hw_lay_lead(&hand, 0, 40 * mm, &palm, &way)); // thicker than the tunnel
    palm.skin = NULL;
    CHECK(!hw_lay_lead(&hand, 0, thick, &palm, &way));
    palm.skin = &skin;
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    hw_arena *arena = hw_arena_new(0);
    if (build(arena)) {
        RUN(each_has_a_way);
        RUN(the_hand_has_them);
        RUN(walled_in);
        RUN(refused);
    }
    hw_arena_free(arena);
    (void)hw_check_text, (void)group_new, (void)group_free, (void)group_mesh;
    return TEST_END();
}
