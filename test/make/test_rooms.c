// Heron's servos in its palm and forearm: horns, drums and rods turn freely over all that they are
// asked to turn, the forearm and its lid clamp the ears, leads have a way out.
#include "../parts/group.h"
#include "base/vec3.h"
#include "hand/hand_internal.h"
#include "palm/body.h"
#include "parts/palm.h"
#include "parts/palm_internal.h"

static const double mm = 1e-3;

static hw_arena *arena;
static hw_hand hand;
static hw_palm_parts_def def;
static hw_palm_parts parts;
static hw_vec3 low[HW_PALM_PARTS], high[HW_PALM_PARTS]; // of parts, each on its bed

static bool build(hw_arena *a)
{
    const char *fault = NULL;
    hw_design *d = example(a, "heron", "");
    if (!CHECK(d != NULL)) return false;
    hw_hand_build(d, &hand);
    hw_hand_palm_parts(d, &hand, &def);
    if (!CHECK(hw_palm_parts_of(a, &def, &parts, &fault) == HW_OK)) return false;
    for (size_t i = 0; i < parts.parts; i++)
        CHECK(hw_field_reach(parts.part[i].field, &low[i], &high[i]));
    return true;
}

// How deep a place of the hand's frame lies in a part; negative: beside it.
static double depth_in(size_t part, hw_vec3 at) // [m]
{
    const hw_palm_part *p = &parts.part[part];
    const hw_vec3 q = hw_frame_seen(&p->bed, at), *l = &low[part], *h = &high[part];
    const double out = fmax(fmax(fmax(l->x - q.x, q.x - h->x), fmax(l->y - q.y, q.y - h->y)),
                            fmax(l->z - q.z, q.z - h->z));
    return out > 3 * mm ? -out : -hw_field_at(p->field, q);
}

static bool called(size_t part, const char *name) // or its halves
{
    return strncmp(parts.part[part].name, name, strlen(name)) == 0;
}

static double depth_in_all(const char *name, hw_vec3 at) // [m]
{
    double most = -INFINITY;
    for (size_t i = 0; i < parts.parts; i++)
        if (called(i, name)) most = fmax(most, depth_in(i, at));
    return most;
}

static bool is_forearm(size_t part)
{
    return called(part, "forearm") && !called(part, "forearm lid") &&
           !called(part, "forearm cover");
}

// ---- what turns -------------------------------------------------------------------------------

static double yoke_turned(size_t part, const hw_palm_seat *s, double angle, hw_vec3 at) // [rad] [m]
{
    hw_frame rest = hw_frame_identity();
    rest = hw_frame_turned(&rest, s->splay_at, s->splay_axis, -angle);
    return depth_in(part, hw_frame_point(&rest, at));
}

// A horn and its rod where the rod's end on the lever is turned by `share` of its range: the horn
// stands where the rod keeps its length, looked for anew.
typedef struct driven {
    const hw_palm_servo *servo;
    const hw_palm_seat *seat;
    const hw_servo_shape *shape;
    double angle;        // of the yoke [rad]
    hw_vec3 horn, lever; // the rod's ends [m]
} driven;

static driven driven_at(size_t i, double share) // [1]
{
    const hw_places *p = &hand.places;
    const int digit = p->whose[i];
    const hw_pack_item *item = &p->mover[digit].item;
    driven d = {.servo = &def.palm[i], .seat = &def.digit[digit], .shape = &item->shape};
    const double *range = digit ? hand.palm.digit[digit].splay : hand.palm.opposition;
    const double turn = range[0] + share * (range[1] - range[0]);
    // a thumb's lever is told in the middle of its range, its yoke at the open end of it
    const double rest = digit ? 0 : (range[0] + range[1]) / 2;
    d.angle = turn;
    hw_frame arm = hw_frame_identity();
    arm.at = item->lever.end;
    d.lever = hw_frame_turned(&arm, item->lever.at, item->lever.axis, turn - rest).at;
    double best = INFINITY;
    const hw_vec3 u = hw_way_vector(p->place[i].slot.horn), z = p->place[i].frame.z,
                  v = hw_vec3_cross(z, u),
                  axle = hw_vec3_along(p->place[i].frame.at, d.shape->spline, z);
    for (int k = -500; k <= 500; k++) {
        const double a = d.shape->horn_turns * k / 500, r = d.shape->horn_hole;
        const hw_vec3 at = hw_vec3_along(hw_vec3_along(axle, r * cos(a), u), r * sin(a), v);
        const double off = fabs(hw_vec3_norm(hw_vec3_sub(d.lever, at)) - p->place[i].rod);
        if (off < best) best = off, d.horn = at;
    }
    // at the thumb's open end it turns a little farther than horns are said to, by 1 mm of the rod
    CHECK(best < (digit ? 0.25 : 1) * mm);
    return d;
}

// Places all over a bar from one end to the other, with round ends: as seen along `z`, its half
// width; down from there.
static double bar_depth(size_t part, const driven *d, bool yoke, hw_vec3 from, hw_vec3 to,
                        double half, double down, double spare) // [m] [m] [m] [m]
{
    enum { ALONG = 14, ROUND = 8, DEEP = 3 };
    const hw_vec3 way = hw_vec3_unit(hw_vec3_sub(to, from)), z = d->servo->frame.z,
                  side = hw_vec3_cross(z, way);
    const double length = hw_vec3_norm(hw_vec3_sub(to, from)) - spare;
    double most = -INFINITY;
    for (int i = 0; i <= ALONG; i++)
        for (int k = 0; k < ROUND; k++)
            for (int m = 0; m <= (down > 0 ? DEEP : 0); m++) {
                const double a = 2 * HW_PI * k / ROUND;
                hw_vec3 at = hw_vec3_along(from, length * i / ALONG, way);
                at = hw_vec3_along(at, half * cos(a), side);
                if (down > 0) { // a flat bar
                    at = hw_vec3_along(at, half * sin(a), way);
                    at = hw_vec3_along(at, -down * m / DEEP, z);
                } else
                    at = hw_vec3_along(at, half * sin(a), hw_vec3_cross(way, side));
                most = fmax(most,
                            yoke ? yoke_turned(part, d->seat, d->angle, at) : depth_in(part, at));
            }
    return most;
}

// Horns and rods over their travel, in all that stands still and in their own yokes as these turn:
// but a rod in the eye that it hooks in.
static void horns_and_rods_turn(void)
{
    enum { STEPS = 12 };
    static const char *const yoke[] = {"thumb yoke", "index yoke", "middle yoke", "ring yoke",
                                       "little yoke"};
    CHECK(def.palm_servos == 4 && def.rods == 4);
    size_t noticed = 0;
    for (size_t i = 0; i < def.palm_servos; i++)
        for (int k = 0; k <= STEPS; k++) {
            const driven d = driven_at(i, (double)k / STEPS);
            const hw_vec3 axle =
                hw_vec3_along(d.servo->frame.at, d.shape->spline, d.servo->frame.z);
            const hw_vec3 way = hw_vec3_unit(hw_vec3_sub(d.horn, axle));
            const hw_vec3 end = hw_vec3_along(axle, d.shape->horn_arm, way);
            const char *own = yoke[hand.places.whose[i]];
            for (size_t part = 0; part < parts.parts; part++) {
                const bool turns = called(part, own);
                if (!turns && strstr(parts.part[part].name, " yoke")) continue; // they turn too
                double deep = bar_depth(part, &d, turns, axle, end, d.shape->horn_width / 2,
                                        d.shape->spline, 0);
                if (!CHECK(deep <= 0))
                    printf("    %s's horn at %.2f: %.2f mm in %s\n", own, (double)k / STEPS,
                           deep / mm, parts.part[part].name);
                // its end lies in the eye, whose lug is as thick as a screw or two
                deep = bar_depth(part, &d, turns, d.horn, d.lever, def.rod[i].radius, 0,
                                 turns ? 3.5 * def.screw : 0);
                // beside it the ring's yoke is touched by 0.05 mm at the end of its splay
                if (!CHECK(deep <= (turns ? 0.1 * mm : 0)))
                    printf("    %s's rod at %.2f: %.2f mm in %s\n", own, (double)k / STEPS,
                           deep / mm, parts.part[part].name);
                const hw_vec3 by = hw_vec3_times(d.servo->frame.z, -3 * mm);
                noticed += bar_depth(part, &d, false, hw_vec3_add(axle, by), hw_vec3_add(end, by),
                                     d.shape->horn_width / 2, d.shape->spline, 0) > 0;
            }
        }
    CHECK(noticed > 0); // 3 mm deeper they would not
}

static void drums_turn(void)
{
    enum { ROUND = 48, UP = 10 };
    for (size_t i = 0; i < hand.places.drums; i++) {
        const hw_drum *m = &hand.places.drum[i];
        const double r = m->radius + hand.drive[m->digit].cord_diameter;
        for (size_t part = 0; part < parts.parts; part++) {
            double most = -INFINITY;
            for (int k = 0; k < ROUND * (UP + 1); k++) {
                const double a = 2 * HW_PI * (k % ROUND) / ROUND;
                const double up = (m->above + m->height / 2) * (0.02 + 0.98 * (k / ROUND) / UP);
                hw_vec3 at = hw_vec3_along(m->servo.at, r * cos(a), m->servo.x);
                at = hw_vec3_along(at, r * sin(a), m->servo.y);
                most = fmax(most, depth_in(part, hw_vec3_along(at, up, m->servo.z)));
            }
            if (!CHECK(most <= 0))
                printf("    drum %zu: %.2f mm in %s\n", i, most / mm, parts.part[part].name);
        }
    }
}

// ---- what is clamped ----------------------------------------------------------------------------

// Both ears of a servo of the forearm, in the hand's frame: what is beyond the case.
static void ears_of(const hw_palm_servo *s, hw_box3 ear[2])
{
    const hw_box3 body = hw_servo_box_of(s, HW_BOX_CASE, 0);
    ear[0] = ear[1] = hw_servo_box_of(s, HW_BOX_EARS, 0);
    ear[0].high.x = body.low.x;
    ear[1].low.x = body.high.x;
}

// Share of an ear's face that has material of forearm or lid at a height above it. [1]
static double share_at(const hw_box3 *ear, double z, const char *lid) // [m]
{
    enum { N = 12 };
    int n = 0;
    for (int i = 0; i < N * N; i++) {
        const hw_vec3 at = {ear->low.x + (ear->high.x - ear->low.x) * (i % N + 0.5) / N,
                            ear->low.y + (ear->high.y - ear->low.y) * (i / N + 0.5) / N, z};
        double most = -INFINITY;
        if (lid)
            most = depth_in_all(lid, at);
        else
            for (size_t part = 0; part < parts.parts; part++)
                if (is_forearm(part)) most = fmax(most, depth_in(part, at));
        n += most > 0;
    }
    return (double)n / (N * N);
}

// A servo moved: how much of its case and ears then stands in forearm or lid; the lid bears on the
// ears as it is. [1]
static double stands_in(const hw_palm_servo *s, hw_vec3 by, bool lids) // [m]
{
    enum { N = 16 };
    int n = 0, all = 0;
    for (int which = HW_BOX_CASE; which <= HW_BOX_EARS; which++) {
        const hw_box3 box = hw_servo_box_of(s, (hw_servo_box)which, 0);
        for (int i = 0; i < N * N * 9; i++) {
            const double share[3] = {(i % N) / (N - 1.0), (i / N % N) / (N - 1.0), i / N / N / 8.0};
            const hw_vec3 at = {box.low.x + share[0] * (box.high.x - box.low.x) + by.x,
                                box.low.y + share[1] * (box.high.y - box.low.y) + by.y,
                                box.low.z + share[2] * (box.high.z - box.low.z) + by.z};
            double most = -INFINITY;
            for (size_t part = 0; part < parts.parts; part++)
                if (is_forearm(part) || (lids && called(part, "forearm lid")))
                    most = fmax(most, depth_in(part, at));
            n += most > 1e-9;
            all++;
        }
    }
    return (double)n / all;
}

// Ears stand on the forearm, and the lid is 0.3 mm above them at most: it bears on them before it
// lies on the body. A servo has its play beside it and no more.
static void ears_are_clamped(void)
{
    CHECK(def.arm_servos == 6);
    for (size_t i = 0; i < def.arm_servos; i++) {
        const hw_palm_servo *s = &def.arm[i];
        hw_box3 ear[2];
        ears_of(s, ear);
        for (int e = 0; e < 2; e++) {
            CHECK(share_at(&ear[e], ear[e].low.z - 0.02 * mm, NULL) > 0.6);
            CHECK(share_at(&ear[e], ear[e].low.z - 2 * mm, NULL) > 0.6); // no skin of a print
            CHECK(share_at(&ear[e], ear[e].high.z + 0.3 * mm, "forearm lid") > 0.6);
            CHECK(share_at(&ear[e], ear[e].high.z + 2 * mm, "forearm lid") > 0.6);
            CHECK(share_at(&ear[e], ear[e].low.z + 0.02 * mm, NULL) == 0);
            CHECK(share_at(&ear[e], ear[e].high.z - def.gap, "forearm lid") ==
                  0); // pressed by less
        }
        CHECK(stands_in(s, (hw_vec3){0, 0, 0}, false) == 0);
        for (int way = 0; way < 6; way++) {
            const double sign = way % 2 ? 1 : -1, play = way < 4 ? def.gap : 0;
            hw_vec3 unit = {way < 2 ? sign : 0, way / 2 == 1 ? sign : 0, way > 3 ? sign : 0};
            if (play > 0) CHECK(stands_in(s, hw_vec3_times(unit, 0.9 * play), false) == 0);
            const double moved = stands_in(s, hw_vec3_times(unit, play + 0.1 * mm), way > 3);
            if (!CHECK(moved > 0.003)) // of an end, or the ears' faces
                printf("    servo %zu, way %d: %.4f\n", i, way, moved);
        }
    }
}

// ---- leads --------------------------------------------------------------------------------------

enum { NX = 180, NY = 110, NZ = 60, CELLS = NX * NY * NZ };
typedef struct flood {
    const hw_palm_servo *servo; // that stand in the way
    size_t servos;
    const hw_field *within;     // stays there but before the wrist; NULL: anywhere
    unsigned char state[CELLS]; // 1: free, 2: not
    bool seen[CELLS];
    int queue[CELLS];
    hw_vec3 from;
    double cell, half; // [m]
} flood;
static flood water;

static hw_vec3 place_of(const flood *w, int i)
{
    return (hw_vec3){w->from.x + w->cell * (i % NX), w->from.y + w->cell * (i / NX % NY),
                     w->from.z + w->cell * (i / NX / NY)};
}

static bool in_box(const hw_box3 *b, hw_vec3 p)
{
    return p.x > b->low.x && p.x < b->high.x && p.y > b->low.y && p.y < b->high.y &&
           p.z > b->low.z && p.z < b->high.z;
}

// Room for a lead: clear of parts and of servos by half its thickness.
static bool is_free(flood *w, int i)
{
    if (w->state[i]) return w->state[i] == 1;
    const hw_vec3 p = place_of(w, i);
    bool ok = !w->within || p.x < 12 * mm || hw_field_at(w->within, p) < 0;
    for (size_t k = 0; k < parts.parts && ok; k++)
        if (!w->within || called(k, "palm")) ok = depth_in(k, p) < -w->half;
    for (size_t k = 0; k < w->servos && ok; k++)
        for (int b = HW_BOX_CASE; b <= HW_BOX_EARS && ok; b++) {
            const hw_box3 box = hw_servo_box_of(&w->servo[k], (hw_servo_box)b, w->half);
            ok = !in_box(&box, p);
        }
    w->state[i] = ok ? 1 : 2;
    return ok;
}

// Whether a lead gets from a servo's end to a box without leaving the region.
static bool gets_to(flood *w, const hw_box3 *from, const hw_box3 *to)
{
    static const int step[3] = {1, NX, NX * NY}, most[3] = {NX, NY, NZ};
    int n = 0;
    memset(w->seen, 0, sizeof w->seen);
    for (int i = 0; i < CELLS; i++)
        if (in_box(from, place_of(w, i)) && is_free(w, i)) w->seen[w->queue[n++] = i] = true;
    CHECK(n > 0);
    for (int h = 0; h < n; h++) {
        const int at = w->queue[h], c[3] = {at % NX, at / NX % NY, at / NX / NY};
        if (in_box(to, place_of(w, at))) return true;
        for (int k = 0; k < 6; k++) {
            const int to_side = k % 2 ? 1 : -1, next = at + to_side * step[k / 2];
            const int along = c[k / 2] + to_side;
            if (along < 0 || along >= most[k / 2] || w->seen[next] || !is_free(w, next)) continue;
            w->seen[w->queue[n++] = next] = true;
        }
    }
    return false;
}

// A lead of a servo in the palm, as flat as its wires and a place on its way into the forearm.
static bool is_out(const hw_lead *lead, double end) // [m]
{
    for (double s = end - 16 * mm; s < end; s += 0.5 * mm) {
        hw_vec3 at, along;
        hw_route_at(&lead->way, s, &at, &along);
        if (at.x > 2 * mm) continue;
        for (size_t k = 0; k < parts.parts; k++)
            if (depth_in(k, at) > -1 * mm) return false;
    }
    return true;
}

// From the room at each servo's end a lead of 1.2 mm gets through what is printed, under the lid
// and within the palm's outline, to the wrist; through that its way is free as far as the forearm's
// hollow, and from there it gets to the board.
static void leads_leave_the_palm(void)
{
    flood *w = &water;
    const hw_field *bay;
    *w = (flood){.servo = def.palm, .servos = def.palm_servos, .cell = 0.6 * mm, .half = 0.6 * mm};
    w->from = (hw_vec3){-0.3 * mm, -33 * mm, -30 * mm};
    w->within = hw_palm_block(arena, &def, &bay);
    if (!CHECK(w->within != NULL)) return;
    const hw_box3 wrist = {{-1 * mm, -30 * mm, -25 * mm}, {1 * mm, 30 * mm, 10 * mm}};
    for (size_t i = 0; i < def.palm_servos; i++) {
        const hw_box3 room = hw_servo_box_of(&def.palm[i], HW_BOX_LEAD, 0);
        if (!CHECK(gets_to(w, &room, &wrist))) printf("    lead of servo %zu\n", i);
    }
    size_t n = 0;
    for (size_t i = 0; i < hand.places.leads; i++) {
        const hw_lead *one = &hand.places.lead[i];
        if (!one->in_palm) continue;
        if (!CHECK(!one->shut && is_out(one, one->inside + 7 * mm)))
            printf("    lead of %s\n", hw_digit_name[one->digit]);
        n++;
    }
    CHECK(n == def.palm_servos);
}

// All six leads of the forearm run under their servos, out of its end and over a lane of the stand
// to the board; a lead is 2 mm thick here. Looked at below the lid alone, so that none goes round
// outside.
static void leads_reach_the_board(void)
{
    flood *w = &water;
    const hw_palm_part *stand = NULL;
    for (size_t i = 0; i < parts.parts; i++)
        if (called(i, "stand")) stand = &parts.part[i];
    if (!CHECK(stand != NULL)) return;
    hw_box3 arm = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
    for (size_t i = 0; i < def.arm_servos; i++) {
        const hw_box3 box = hw_servo_box_of(&def.arm[i], HW_BOX_CASE, 6 * mm);
        arm.low = hw_least(arm.low, box.low);
        arm.high = hw_most(arm.high, box.high);
    }
    // over the board: beside the arm's lower y, in the middle of its height, in the stand
    const hw_vec3 middle = {stand->bed.at.x + def.floor + def.board.under + 6 * mm,
                            arm.low.y - 0.5 * def.board.width, (arm.low.z + arm.high.z) / 2};
    const hw_box3 board = hw_box_grown((hw_box3){middle, middle}, 4 * mm);
    *w = (flood){.servo = def.arm, .servos = def.arm_servos, .cell = 1.1 * mm, .half = 1 * mm};
    w->from = (hw_vec3){stand->bed.at.x, board.low.y, arm.low.z - 8 * mm};
    for (size_t i = 0; i < def.arm_servos; i++) {
        const hw_box3 lead = hw_servo_box_of(&def.arm[i], HW_BOX_LEAD, 0);
        if (!CHECK(gets_to(w, &lead, &board))) printf("    lead of servo %zu\n", i);
    }
    for (size_t i = 0; i < hand.places.leads; i++) { // and those of the palm
        const hw_lead *one = &hand.places.lead[i];
        hw_vec3 at, along;
        if (!one->in_palm) continue;
        hw_route_at(&one->way, one->inside + 9 * mm, &at, &along);
        const hw_box3 begin = hw_box_grown((hw_box3){at, at}, 1.2 * mm);
        if (!CHECK(gets_to(w, &begin, &board)))
            printf("    %s's, of the palm\n", hw_digit_name[one->digit]);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    if (build(arena)) {
        RUN(horns_and_rods_turn);
        RUN(drums_turn);
        RUN(ears_are_clamped);
        RUN(leads_leave_the_palm);
        RUN(leads_reach_the_board);
    }
    hw_arena_free(arena);
    (void)hw_check_near, (void)hw_check_text, (void)group_new, (void)group_free, (void)group_mesh;
    return TEST_END();
}
