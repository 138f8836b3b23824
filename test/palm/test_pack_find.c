// The search for slots, levers and horns: finds what there is, stops when asked, the caller's
// levers and what it counts, from anywhere and from where items are.
#include "bricks.h"

static bool stop_soon(void *self, double fraction, const char *stage)
{
    (void)stage;
    return fraction < *(double *)self;
}

static double lack_of(const hw_pack *r, const hw_palm *p) // [m]
{
    return fmax(fmax(-r->room, r->thickness - p->thickness), 0);
}

static void search(void)
{
    hw_palm p = palm_of(1);
    // levers behind ring and little; the servos may stand wherever there is room
    hw_pack_item two[2] = {upright((hw_vec3){34 * mm, -13 * mm, 2 * mm}),
                           upright((hw_vec3){34 * mm, -8 * mm, 2 * mm})};
    hw_pack_item found[2], again[2];
    hw_pack_def d = def_of(two, 2, &p);
    // one of 24 seeds lacks something after 8 starts, and which one is the compiler's choice
    const hw_pack_effort e = {3, 32, 3000, false};
    double lacks, same;
    // what the first lever is part of stands round its end: its rod goes there, the other's does
    // not
    hw_frame in = hw_frame_identity();
    in.at = two[0].lever.end;
    const hw_obstacle part = {hw_body_box(in, 4 * mm, 4 * mm, 4 * mm), 5};
    two[0].lever.owner = 5;
    d.obstacle = &part;
    d.obstacles = 1;
    CHECK(given(d).room < 0);
    CHECK(hw_pack_find(arena, &d, NULL, &e, NULL, found, &lacks) == HW_OK && lacks == 0);
    d.item = found;
    hw_pack r = given(d);
    CHECK(r.places == 2 && r.room >= 0 && r.thickness <= p.thickness);
    for (int i = 0; i < 2; i++) {
        CHECK(r.place[i].skew[0] <= d.skew && r.place[i].skew[1] <= d.skew);
        CHECK(r.place[i].rod >= 4 * d.rod);
        // nothing but the slots is another
        CHECK(hw_vec3_norm(hw_vec3_sub(found[i].lever.end, two[i].lever.end)) == 0);
        CHECK(found[i].shape.horn_hole == two[i].shape.horn_hole);
    }
    d.item = two;
    CHECK(hw_pack_find(arena, &d, NULL, &e, NULL, again, &same) == HW_OK && same == lacks);
    for (int i = 0; i < 2; i++)
        CHECK(hw_vec3_norm(hw_vec3_sub(found[i].slot.at, again[i].slot.at)) == 0);
    const hw_pack_effort other = {5, 32, 3000, false};
    CHECK(hw_pack_find(arena, &d, NULL, &other, NULL, again, &same) == HW_OK && same == 0);
    CHECK(hw_vec3_norm(hw_vec3_sub(found[0].slot.at, again[0].slot.at)) > 0);
    // one that cannot fit says what it lacks
    two[0].shape.height = 60 * mm;
    two[0].shape.width = 60 * mm;
    d.items = 1;
    const hw_pack_effort few = {3, 4, 3000, false};
    CHECK(hw_pack_find(arena, &d, NULL, &few, NULL, found, &lacks) == HW_OK && lacks > 0);
    d.item = found;
    r = given(d);
    CHECK(lack_of(&r, &p) > 0 && lack_of(&r, &p) <= lacks);
    // stopped it has the best so far, or nothing
    d.item = two;
    hw_job job = {stop_soon, &(double){0.3}};
    CHECK(hw_pack_find(arena, &d, NULL, &few, &job, found, &same) == HW_CANCELLED);
    CHECK(same >= lacks && isfinite(same));
}

// Stone above z = 6 and below z = low: what is left is a layer that holds the servo on its side
// alone. Where it is thinner than the servo the two stones together stand as deep in it as that
// lacks, wherever it is.
static void in_a_layer(void)
{
    hw_palm p = brick();
    for (int k = 0; k < HW_PALM_SECTIONS * HW_PALM_AROUND; k++)
        p.outline[k / HW_PALM_AROUND][k % HW_PALM_AROUND].y *= 0.5;
    hw_pack_item one = upright((hw_vec3){20 * mm, 0, -2 * mm}), found;
    one.shape.width = 8 * mm;
    one.shape.horn_arm = 4.5 * mm; // so short that it fits in the layer too
    one.shape.horn_hole = 3.5 * mm;
    one.shape.horn_width = 4 * mm;
    one.shape.height = 17 * mm;
    one.shape.ear_at = 12 * mm;
    one.lever.end.z = one.lever.at.z = 2 * mm;
    hw_pack_def d = def_of(&one, 1, &p);
    d.wall = 1 * mm;
    hw_frame at = hw_frame_identity();
    hw_obstacle stone[2];
    d.obstacle = stone;
    d.obstacles = 2;
    const hw_pack_effort e = {1, 8, 4000, false};
    const double has[] = {12 * mm, 7 * mm};
    for (int thin = 0; thin < 2; thin++) {
        at.at = (hw_vec3){40 * mm, 0, 6 * mm + 10 * mm};
        stone[0] = (hw_obstacle){hw_body_box(at, 100 * mm, 100 * mm, 20 * mm), 9};
        at.at.z = 6 * mm - has[thin] - 15 * mm;
        stone[1] = (hw_obstacle){hw_body_box(at, 100 * mm, 100 * mm, 30 * mm), 9};
        double lacks;
        CHECK(hw_pack_find(arena, &d, NULL, &e, NULL, &found, &lacks) == HW_OK);
        CHECK(found.slot.shaft < HW_WAY_BACK && found.slot.body < HW_WAY_BACK);
        // half the case, to the other side its horn, whose rod lies level; a tenth of the gap more
        double asks = one.shape.width / 2 + one.shape.horn_arm + one.shape.horn_width / 2;
        asks += 2.2 * d.gap;
        NEAR(lacks, fmax(asks - has[thin], 0), 5e-3 * mm);
    }
}

// What the caller lets be free, and what it counts.
typedef struct fence {
    hw_vec3 at; // levers end no farther from it than [m]
    double far, most, x;
    size_t whose;
} fence;

static bool within(const void *self, size_t which, hw_vec3 end, double hole, hw_pack_item *item,
                   hw_pack_room *room)
{
    const fence *f = (const fence *)self;
    room->n = 0;
    if (which != f->whose) return false; // its lever is where it is
    if (hw_vec3_norm(hw_vec3_sub(end, f->at)) > f->far) return false;
    item->lever.end = end;
    item->shape.horn_hole = fmin(hole, f->most);
    item->shape.horn_arm = item->shape.horn_hole + 2 * mm;
    hw_frame in = hw_frame_identity(); // all that is round its end and before it
    in.at = (hw_vec3){end.x + 47 * mm, 0, 0};
    room->body[room->n++] = hw_body_box(in, 100 * mm, 200 * mm, 100 * mm);
    return true;
}

static uint8_t mark_of(hw_vec3 at)
{
    return (uint8_t)(long)floor(at.y * 1e4); // its lowest bits
}

static void noted(const void *self, const hw_pack_item *item, const hw_pack_place *stands,
                  uint8_t mark[HW_PACK_MARKS])
{
    (void)self, (void)item;
    mark[HW_PACK_MARKS - 1] = mark_of(stands->slot.at);
}

static double beyond(const void *self, const hw_pack_item *const item[],
                     const hw_pack_place *const stands[], const uint8_t *const mark[],
                     size_t n) // [m]
{
    const fence *f = (const fence *)self;
    double sum = 0;
    for (size_t i = 0; i < n; i++) sum += fmax(item[i]->slot.at.x - f->x, 0);
    CHECK(stands[0]->slot.at.x == item[0]->slot.at.x);
    for (size_t i = 0; i < n; i++) CHECK(mark[i][HW_PACK_MARKS - 1] == mark_of(item[i]->slot.at));
    return sum;
}

// A lever that may end elsewhere is left alone by others' bodies and by its own but for the rod;
// what the caller counts is held.
static void free_levers(void)
{
    hw_palm p = brick();
    for (unsigned k = 0; k < 4; k++) {
        const size_t own = k % 2, other = 1 - own;
        hw_pack_item two[2], found[2];
        two[own] = upright((hw_vec3){40 * mm, -20 * mm, 2 * mm});
        two[other] = upright((hw_vec3){30 * mm, 25 * mm, 2 * mm});
        two[own].lever.owner = 3;
        const fence f = {{50 * mm, -12 * mm, 4 * mm}, 6 * mm, 8 * mm, 36 * mm, own};
        const hw_pack_free free = {within, noted, beyond, &f};
        hw_pack_def d = def_of(two, 2, &p);
        const hw_pack_effort e = {k, 32, 3000, k > 1};
        double lacks;
        CHECK(hw_pack_find(arena, &d, &free, &e, NULL, found, &lacks) == HW_OK && lacks == 0);
        const double end = found[own].lever.end.x;
        CHECK(hw_vec3_norm(hw_vec3_sub(found[own].lever.end, f.at)) <= f.far);
        CHECK(hw_vec3_norm(hw_vec3_sub(found[other].lever.end, two[other].lever.end)) == 0);
        CHECK(found[own].shape.horn_hole <= f.most && found[other].shape.horn_hole == 10 * mm);
        d.item = found;
        hw_pack r = given(d);
        CHECK(r.room >= 0);
        for (size_t i = 0; i < 2; i++) {
            CHECK(found[i].slot.at.x <= f.x);
            for (int b = 0; b < HW_SERVO_BODIES; b++) {
                double to = hw_body_reach(&r.place[i].body[b], (hw_vec3){1, 0, 0});
                if (i == other || b != HW_SERVO_ROD) CHECK(to <= end - 3 * mm - d.gap);
            }
        }
    }
}

// From where the items are a few steps find the room that lies beside them; from anywhere as few
// end elsewhere.
static void near_by(void)
{
    hw_palm p = brick();
    hw_pack_item two[2] = {upright((hw_vec3){50 * mm, -20 * mm, 2 * mm}),
                           upright((hw_vec3){30 * mm, 25 * mm, 2 * mm})};
    hw_pack_def d = def_of(two, 2, &p);
    hw_frame at = hw_frame_identity();
    at.at = (hw_vec3){22 * mm, 14 * mm, 0}; // the second one's case stands in it by 2 mm
    const hw_obstacle stone = {hw_body_box(at, 10 * mm, 14 * mm, 60 * mm), 9};
    d.obstacle = &stone;
    d.obstacles = 1;
    CHECK(given(d).room < -1 * mm);
    double far[2];
    for (int k = 0; k < 2; k++) {
        hw_pack_item found[2];
        double lacks;
        const hw_pack_effort e = {2, 32, 2000, k == 0};
        CHECK(hw_pack_find(arena, &d, NULL, &e, NULL, found, &lacks) == HW_OK && lacks == 0);
        far[k] = 0;
        for (int i = 0; i < 2; i++)
            far[k] += hw_vec3_norm(hw_vec3_sub(found[i].slot.at, two[i].slot.at));
    }
    CHECK(far[0] < far[1]);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(search);
    RUN(in_a_layer);
    RUN(free_levers);
    RUN(near_by);
    hw_arena_free(arena);
    return TEST_END();
}
