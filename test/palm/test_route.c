// Ways and bundles: closed cases, against adding up small steps, best packings known, scaling,
// mirror.
#include "check.h"
#include "pairs.h"
#include "palm/route.h"

static const double mm = 1e-3;

static void closed_cases(void)
{
    hw_route r;
    // straight
    hw_vec3 line[3] = {{0, 0, 0}, {3 * mm, 0, 0}, {10 * mm, 0, 0}};
    CHECK(hw_route_through(line, 3, 25 * mm, &r) == HW_OK);
    NEAR(r.length, 10 * mm, 1e-15);
    NEAR(r.bend, 0, 1e-15);
    CHECK(isinf(r.radius));
    // a quarter turn that takes all of both legs, and one of 5 mm
    hw_vec3 corner[3] = {{0, 0, 0}, {20 * mm, 0, 0}, {20 * mm, 20 * mm, 0}};
    CHECK(hw_route_through(corner, 3, 1, &r) == HW_OK);
    NEAR(r.radius, 20 * mm, 1e-15);
    NEAR(r.length, 10 * HW_PI * mm, 1e-15);
    NEAR(r.bend, HW_PI / 2, 1e-15);
    CHECK(hw_route_through(corner, 3, 5 * mm, &r) == HW_OK);
    NEAR(r.length, (30 + 2.5 * HW_PI) * mm, 1e-15);
    // half a circle by two quarters
    hw_vec3 round[4] = {{0, 0, 0}, {10 * mm, 0, 0}, {10 * mm, 20 * mm, 0}, {0, 20 * mm, 0}};
    CHECK(hw_route_through(round, 4, 1, &r) == HW_OK);
    NEAR(r.radius, 10 * mm, 1e-15);
    NEAR(r.length, 10 * HW_PI * mm, 1e-15);
    NEAR(r.bend, HW_PI, 1e-15);
    hw_vec3 at, along;
    hw_route_at(&r, r.length / 2, &at, &along);
    NEAR(at.x, 10 * mm, 1e-12);
    NEAR(at.y, 10 * mm, 1e-12);
    NEAR(along.y, 1, 1e-12);
    // back on itself, on the spot, too many
    hw_vec3 back[3] = {{0, 0, 0}, {1, 0, 0}, {0, 0, 0}}, spot[2] = {{1, 1, 1}, {1, 1, 1}};
    CHECK(hw_route_through(back, 3, 1, &r) == HW_BAD_INPUT && isnan(r.length));
    CHECK(hw_route_through(spot, 2, 1, &r) == HW_BAD_INPUT);
    CHECK(hw_route_through(line, 3, 0, &r) == HW_BAD_INPUT);
    CHECK(hw_route_through(line, 1, 1, &r) == HW_BAD_INPUT);
}

// Length, bend and radius of curvature by walking it in small steps.
static void by_steps(void)
{
    hw_rng rng = hw_rng_new(3, 0);
    for (int n = 0; n < 40; n++) {
        hw_vec3 p[6];
        for (int i = 0; i < 6; i++)
            p[i] = (hw_vec3){i * 30 * mm, hw_rng_uniform(&rng, -9, 9) * mm,
                             hw_rng_uniform(&rng, -9, 9) * mm};
        hw_route r;
        CHECK(hw_route_through(p, 6, 25 * mm, &r) == HW_OK);
        enum { STEPS = 40000 };
        double length = 0, bend = 0, sharpest = 0, d = r.length / STEPS;
        hw_vec3 at = p[0], along = {0, 0, 0}, next, way;
        for (int i = 0; i <= STEPS; i++) {
            hw_route_at(&r, i * d, &next, &way);
            length += hw_vec3_norm(hw_vec3_sub(next, at));
            if (i) {
                double turn = hw_vec3_norm(hw_vec3_sub(way, along));
                bend += turn;
                sharpest = fmax(sharpest, turn / d);
            }
            at = next;
            along = way;
        }
        NEAR(hw_vec3_norm(hw_vec3_sub(at, p[5])), 0, 1e-12);
        CLOSE(length, r.length, 1e-8); // chords of 4 um on arcs of 25 mm
        CLOSE(bend, r.bend, 1e-6);
        CLOSE(1 / sharpest, r.radius, 1e-6);
        // capsules begin and end where it does, and hold all of it
        hw_body part[HW_ROUTE_BODIES];
        size_t parts = hw_route_bodies(&r, 2 * mm, part);
        for (int i = 0; i <= 200; i++) {
            hw_route_at(&r, i * r.length / 200, &at, &way);
            hw_body here = hw_body_capsule(at, at, 0);
            double near = INFINITY;
            for (size_t k = 0; k < parts; k++) near = fmin(near, hw_body_clear(&part[k], &here, 1));
            CHECK(near < -(2 * mm - 0.009 * r.radius));
        }
    }
}

// S-bend: from a straight line to one `h` beside it, `d` on. Two equal arcs that meet in the middle
// have the radius (d^2 + h^2) / 4h, the largest of all.
static void between_ends(void)
{
    const hw_vec3 x = {1, 0, 0};
    double h = 12 * mm, d = 60 * mm, room;
    hw_route_def f = {
        .from = {{0, 0, 0}, x}, .to = {{d, h, 0}, x}, .radius = 1, .outer = 4 * mm, .gap = 0};
    hw_route r;
    CHECK(hw_route_between(&f, &r, &room) == HW_OK);
    double most = (d * d + h * h) / (4 * h);
    CHECK(r.radius <= most * (1 + 1e-12));
    CHECK(r.radius > 0.95 * most); // corners at 24 places each
    NEAR(room, 8 * mm, 1e-15);     // nothing there: twice the outer diameter
    // as round as wanted, and then the shortest: hardly more than the straight line between
    f.radius = 25 * mm;
    CHECK(hw_route_between(&f, &r, &room) == HW_OK);
    NEAR(r.radius, 25 * mm, 1e-15);
    CHECK(r.length > hypot(d, h) && r.length < 1.01 * hypot(d, h));
    // a post in the middle of it is passed
    hw_frame post = hw_frame_identity();
    post.at = (hw_vec3){30 * mm, 6 * mm, 0};
    hw_body cylinder = hw_body_cylinder(post, 2 * mm, 40 * mm);
    f.body = &cylinder;
    f.bodies = 1;
    f.gap = 0.3 * mm;
    f.radius = 8 * mm;
    hw_body part[HW_ROUTE_BODIES];
    size_t n = hw_route_bodies(&r, 2 * mm, part);
    double met = INFINITY;
    for (size_t i = 0; i < n; i++) met = fmin(met, hw_body_clear(&part[i], &cylinder, 1));
    CHECK(met < 0); // it was in the way
    CHECK(hw_route_between(&f, &r, &room) == HW_OK);
    CHECK(room >= 0 && r.radius >= 8 * mm * (1 - 1e-12));
    n = hw_route_bodies(&r, 2 * mm, part);
    for (size_t i = 0; i < n; i++) CHECK(hw_body_clear(&part[i], &cylinder, 1) >= 0.3 * mm - 1e-12);
    // walled in: says by how much
    post.at = (hw_vec3){30 * mm, 6 * mm, 0};
    cylinder = hw_body_cylinder(post, 40 * mm, 40 * mm);
    CHECK(hw_route_between(&f, &r, &room) == HW_OK && room < 0);
    f.from.at = f.to.at;
    CHECK(hw_route_between(&f, &r, &room) == HW_BAD_INPUT && isnan(room));
}

// Radius of the least circle round n equal circles of radius 1; n = 5: 1 + sqrt(2 (1 + 1/sqrt 5)).
static void known_bundles(void)
{
    const double best[] = {0, 1, 2, 1 + 2 / sqrt(3), 1 + sqrt(2), 1 + sqrt(2 * (1 + 1 / sqrt(5))),
                           3, 3};
    for (size_t n = 1; n <= 7; n++) {
        double r[7] = {2 * mm, 2 * mm, 2 * mm, 2 * mm, 2 * mm, 2 * mm, 2 * mm}, room;
        hw_vec2 at[HW_BUNDLE];
        double d = 2 * best[n] * 2 * mm;
        // a hundredth more is enough, a hundredth less is not
        hw_tunnel wide = {1.01 * d, 1.01 * d}, narrow = {0.99 * d, 0.99 * d};
        CHECK(hw_bundle_in(&wide, r, n, at, &room) == HW_OK);
        CHECK(room >= 0);
        for (size_t i = 0; i < n; i++) {
            CHECK(hw_norm(at[i]) + r[i] <= wide.width / 2 + 1e-12);
            for (size_t k = 0; k < i; k++)
                CHECK(hw_norm(hw_sub(at[i], at[k])) >= r[i] + r[k] - 1e-12);
        }
        CHECK(hw_bundle_in(&narrow, r, n, at, &room) == HW_OK);
        CHECK(room < 0);
    }
}

static void slots(void)
{
    double r[12], room;
    for (int i = 0; i < 12; i++) r[i] = 2 * mm;
    hw_vec2 at[HW_BUNDLE];
    // a flat slot holds one row: 12 of 4 mm in 48 mm, and not in 47
    hw_tunnel flat = {48.0001 * mm, 4.0001 * mm};
    CHECK(hw_bundle_in(&flat, r, 12, at, &room) == HW_OK && room >= 0 && room < 0.001 * mm);
    flat.width = 47 * mm;
    CHECK(hw_bundle_in(&flat, r, 12, at, &room) == HW_OK && room < 0);
    // two rows of six: ends of a slot 8 mm high are round, so it must be longer than 24 mm
    hw_tunnel two = {32 * mm, 8.2 * mm};
    CHECK(hw_bundle_in(&two, r, 12, at, &room) == HW_OK && room >= 0);
    two.width = 24 * mm;
    CHECK(hw_bundle_in(&two, r, 12, at, &room) == HW_OK && room < 0);
    // scaled, the same
    hw_tunnel large = {320 * mm, 82 * mm};
    for (int i = 0; i < 12; i++) r[i] = 20 * mm;
    double ten;
    CHECK(hw_bundle_in(&large, r, 12, at, &ten) == HW_OK);
    two = (hw_tunnel){32 * mm, 8.2 * mm};
    for (int i = 0; i < 12; i++) r[i] = 2 * mm;
    CHECK(hw_bundle_in(&two, r, 12, at, &room) == HW_OK);
    NEAR(ten, 10 * room, 1e-9);
    CHECK(hw_bundle_in(&two, r, 0, at, &room) == HW_BAD_INPUT && isnan(room));
    two.height = 0;
    CHECK(hw_bundle_in(&two, r, 1, at, &room) == HW_BAD_INPUT);
}

// With a wish for each: kept where there is room, and no farther off than it must be.
static void wishes(void)
{
    hw_tunnel slot = {50 * mm, 22 * mm};
    double r[3] = {2 * mm, 2 * mm, 2 * mm}, room;
    hw_vec2 far[3] = {{-20 * mm, 0}, {0, 5 * mm}, {20 * mm, -3 * mm}}, at[HW_BUNDLE];
    CHECK(hw_bundle_near(&slot, r, far, 3, 0.3 * mm, at, &room) == HW_OK && room >= 0.3 * mm);
    for (int i = 0; i < 3; i++) NEAR(hw_norm(hw_sub(at[i], far[i])), 0, 1e-15);
    // two that want the same place part by their diameter and the gap, half of it each
    hw_vec2 same[2] = {{1 * mm, 1 * mm}, {1 * mm, 1 * mm}};
    CHECK(hw_bundle_near(&slot, r, same, 2, 0.3 * mm, at, &room) == HW_OK);
    NEAR(room, 0.3 * mm, 1e-9);
    NEAR(hw_norm(hw_sub(hw_scale(hw_add(at[0], at[1]), 0.5), same[0])), 0, 1e-6);
    // outside: comes in as far as the wall asks
    hw_vec2 out = {0, 30 * mm};
    CHECK(hw_bundle_near(&slot, r, &out, 1, 0.3 * mm, at, &room) == HW_OK);
    NEAR(at[0].z, (11 - 2 - 0.3) * mm, 1e-9);
    // no room: says so
    hw_tunnel narrow = {8 * mm, 4 * mm};
    CHECK(hw_bundle_near(&narrow, r, far, 3, 0, at, &room) == HW_OK && room < 0);
    CHECK(hw_bundle_near(&narrow, r, far, 3, -1, at, &room) == HW_BAD_INPUT && isnan(room));
}

// One wall across, with a way round it on one side only: two corners alone cannot pass it.
static void round_a_wall(void)
{
    const hw_vec3 x = {1, 0, 0};
    hw_frame f = hw_frame_identity();
    f.at = (hw_vec3){50 * mm, -20 * mm, 0};
    hw_body wall[2] = {hw_body_box(f, 6 * mm, 70 * mm, 200 * mm)};
    int owner[2] = {3, 4};
    hw_route_def d = {.from = {{0, 0, 0}, x},
                      .to = {{100 * mm, 0, 0}, x},
                      .radius = 16 * mm,
                      .outer = 4 * mm,
                      .gap = 0.3 * mm,
                      .body = wall,
                      .bodies = 1,
                      .owner = owner,
                      .own = -1};
    hw_route r;
    double room;
    CHECK(hw_route_between(&d, &r, &room) == HW_OK);
    CHECK(room >= 0 && r.radius >= 16 * mm * (1 - 1e-12) && r.points == 5);
    // by walking it: nowhere nearer than radius and gap
    for (int i = 0; i <= 2000; i++) {
        hw_vec3 at, along;
        hw_route_at(&r, r.length * i / 2000, &at, &along);
        hw_body here = hw_body_capsule(at, at, 2 * mm);
        CHECK(hw_body_clear(&wall[0], &here, 1) >= 0.3 * mm - 0.009 * 16 * mm);
    }
    // its own body is not in the way
    d.own = 3;
    CHECK(hw_route_between(&d, &r, &room) == HW_OK);
    CLOSE(r.length, 100 * mm, 1e-6);
    d.bodies = HW_ROUTE_OBSTACLES + 1;
    CHECK(hw_route_between(&d, &r, &room) == HW_BAD_INPUT);
}

// Least gap of a way's capsules to bodies, each to each.
static double nearest(const hw_route *r, const hw_route_def *d) // [m]
{
    hw_body part[HW_ROUTE_BODIES];
    size_t n = hw_route_bodies(r, d->outer / 2, part);
    double least = INFINITY;
    for (size_t k = 0; k < d->bodies; k++)
        for (size_t i = 0; i < n; i++) least = fmin(least, hw_body_clear(&part[i], &d->body[k], 1));
    return least;
}

// What is said of the room is what measuring every pair says, wherever bodies stand.
static void room_is_measured(void)
{
    hw_rng rng = hw_rng_new(21, 0);
    int in_the_way = 0, beside = 0;
    for (int n = 0; n < 30; n++) {
        hw_body body[5];
        for (int k = 0; k < 5; k++) {
            body[k] = random_body(&rng, 12 * mm);
            body[k].frame.at =
                hw_vec3_add(body[k].frame.at, (hw_vec3){hw_rng_uniform(&rng, 15, 65) * mm, 0, 0});
        }
        hw_route_def d = {.from = {{0, 0, 0}, {1, 0, 0}},
                          .to = {{80 * mm, 5 * mm, 3 * mm}, {1, 0, 0}},
                          .radius = 10 * mm,
                          .outer = 3 * mm,
                          .gap = 2.5 * mm,
                          .body = body,
                          .bodies = 1 + (size_t)n % 5};
        hw_route r;
        double room;
        CHECK(hw_route_between(&d, &r, &room) == HW_OK);
        double gap = nearest(&r, &d) - d.gap;
        if (gap < 2 * d.outer)
            NEAR(room, gap, 1e-9);
        else
            NEAR(room, 2 * d.outer, 1e-12);
        if (room < 0) in_the_way++;
        if (room > 0 && room < 2 * d.outer) beside++;
    }
    CHECK(in_the_way > 2 && beside > 5);
    // beside a straight way by more than twice the outer diameter, but not by the gap more
    hw_frame f = hw_frame_identity();
    f.at = (hw_vec3){40 * mm, 10 * mm, 0};
    hw_body plate = hw_body_box(f, 20 * mm, 3 * mm, 20 * mm);
    hw_route_def d = {.from = {{0, 0, 0}, {1, 0, 0}},
                      .to = {{80 * mm, 0, 0}, {1, 0, 0}},
                      .radius = 10 * mm,
                      .outer = 3 * mm,
                      .gap = 2.5 * mm,
                      .body = &plate,
                      .bodies = 1};
    hw_route r;
    double room;
    CHECK(hw_route_between(&d, &r, &room) == HW_OK);
    NEAR(room, (10 - 1.5 - 1.5 - 2.5) * mm, 1e-9);
}

// A turn of nearly 180 degrees between two ends: two corners reach 18 of the 30 mm wanted, a third
// nearly all of them. And what stands far outside both ends, where such a way goes, is seen.
static void out_and_back(void)
{
    const double turn = -2.836;
    hw_route_def d = {.from = {{0, 0, 0}, {1, 0, 0}},
                      .to = {{32.4 * mm, 35 * mm, 0}, {cos(turn), sin(turn), 0}},
                      .radius = 30 * mm,
                      .outer = 3 * mm,
                      .gap = 0.3 * mm};
    hw_route r;
    double room;
    CHECK(hw_route_between(&d, &r, &room) == HW_OK);
    CHECK(r.points > 4 && r.radius > 0.8 * d.radius);
    d.radius = 10 * mm; // is had
    CHECK(hw_route_between(&d, &r, &room) == HW_OK);
    CHECK(r.points == 4 && r.radius >= 9.9 * mm);
    // one that goes straight on for longer, and a post before its farthest point
    d = (hw_route_def){.from = {{0, 0, 0}, {0, 1, 0}},
                       .to = {{20 * mm, 0, 0}, {0, -1, 0}},
                       .radius = 10 * mm,
                       .outer = 3 * mm,
                       .gap = 0.3 * mm};
    CHECK(hw_route_between(&d, &r, &room) == HW_OK);
    double out = 0;
    hw_vec3 at, along;
    for (int i = 0; i <= 100; i++) {
        hw_route_at(&r, i * r.length / 100, &at, &along);
        out = fmax(out, at.y);
    }
    hw_frame f = hw_frame_identity();
    f.at = (hw_vec3){10 * mm, out + 2 * mm, 0};
    hw_body post = hw_body_box(f, 30 * mm, 2 * mm, 2 * mm);
    d.body = &post;
    d.bodies = 1;
    CHECK(nearest(&r, &d) < 0);
    CHECK(hw_route_between(&d, &r, &room) == HW_OK && room >= 0);
    NEAR(room, fmin(nearest(&r, &d) - d.gap, 2 * d.outer), 1e-9);
}

// Rows of unlike length, three and four, each from wall to wall in the slot's round ends.
static void unlike_rows(void)
{
    double r[7], room;
    for (int i = 0; i < 7; i++) r[i] = 2 * mm;
    hw_vec2 at[HW_BUNDLE];
    hw_tunnel two = {20 * mm, 8.2 * mm};
    CHECK(hw_bundle_in(&two, r, 7, at, &room) == HW_OK);
    NEAR(room, 0, 1e-12);
    size_t low = 0;
    for (int i = 0; i < 7; i++) low += at[i].z < 0;
    CHECK(low == 3);
}

// Nine of three sizes where no rows have room, and nine that all want one place.
static void pushed_apart(void)
{
    double r[9], room, area = 0;
    hw_vec2 at[HW_BUNDLE], same[9];
    for (int i = 0; i < 9; i++) {
        r[i] = (1 + 0.25 * (i % 3)) * mm;
        area += r[i] * r[i];
        same[i] = (hw_vec2){1 * mm, 0};
    }
    double wide = 2 * sqrt(area / 0.7); // seven tenths of the circle are full
    hw_tunnel round = {wide, wide}, slot = {20 * mm, 12 * mm};
    CHECK(hw_bundle_in(&round, r, 9, at, &room) == HW_OK && room >= 0);
    CHECK(hw_bundle_near(&slot, r, same, 9, 0.2 * mm, at, &room) == HW_OK);
    CHECK(room >= 0.2 * mm * (1 - 1e-6));
    double far = 0;
    for (int i = 0; i < 9; i++) far = fmax(far, hw_norm(hw_sub(at[i], same[i])));
    CHECK(far < 4 * mm); // they fill a circle of 4.5 mm, rims and gaps with it
}

static void clips(void)
{
    // a leg of 40 mm, a quarter turn of 10 mm, a leg of 30 mm
    hw_vec3 p[3] = {{0, 0, 0}, {50 * mm, 0, 0}, {50 * mm, 40 * mm, 0}};
    hw_route r;
    double s[20];
    CHECK(hw_route_through(p, 3, 10 * mm, &r) == HW_OK);
    CHECK(hw_route_clips(&r, 100 * mm, s, 20) == 2); // both ends of the arc, none at the way's
    NEAR(s[0], 40 * mm, 1e-12);
    NEAR(s[1], (40 + 5 * HW_PI) * mm, 1e-12);
    CHECK(hw_route_clips(&r, 20 * mm, s, 20) == 4); // one in the middle of each leg
    NEAR(s[0], 20 * mm, 1e-12);
    NEAR(s[3], (55 + 5 * HW_PI) * mm, 1e-12);
    CHECK(hw_route_clips(&r, 20 * mm, s, 3) == 3);
    for (size_t i = 1; i < 4; i++) CHECK(s[i] - s[i - 1] <= 20 * mm * (1 + 1e-9));
    // two arcs that meet share one
    hw_vec3 round[4] = {{0, 0, 0}, {10 * mm, 0, 0}, {10 * mm, 20 * mm, 0}, {0, 20 * mm, 0}};
    CHECK(hw_route_through(round, 4, 1, &r) == HW_OK);
    CHECK(hw_route_clips(&r, 100 * mm, s, 20) == 1);
    NEAR(s[0], 5 * HW_PI * mm, 1e-9);
}

static void crossings(void)
{
    hw_route a, b;
    hw_vec3 p[2] = {{0, 0, 0}, {40 * mm, 0, 0}}, q[3] = {{10 * mm, -9 * mm, 3 * mm},
                                                         {20 * mm, 9 * mm, 3 * mm},
                                                         {30 * mm, -9 * mm, 9 * mm}};
    CHECK(hw_route_through(p, 2, 1, &a) == HW_OK && hw_route_through(q, 3, 1e-6, &b) == HW_OK);
    CHECK(hw_route_crossings(&a, &b, 2 * mm) == 0);
    CHECK(hw_route_crossings(&a, &b, 4 * mm) == 1); // the second time it is 6 mm above
    CHECK(hw_route_crossings(&a, &b, 7 * mm) == 2);
    CHECK(hw_route_crossings(&b, &a, 7 * mm) == 2);
    CHECK(hw_route_crossings(&a, &a, 7 * mm) == 0); // side by side
}

static hw_route_def other(hw_route_def f, double k)
{
    hw_vec3 *v[] = {&f.from.at, &f.to.at};
    for (int i = 0; i < 2; i++) *v[i] = hw_vec3_times(*v[i], k);
    f.radius *= k;
    f.outer *= k;
    f.gap *= k;
    return f;
}

static void scale_and_mirror(void)
{
    hw_rng rng = hw_rng_new(4, 0);
    for (int n = 0; n < 50; n++) {
        hw_route_def f = {.from = {hw_vec3_times(random_direction(&rng), 40 * mm), {1, 0, 0}},
                          .to = {hw_vec3_times(random_direction(&rng), 60 * mm), {1, 0, 0}},
                          .radius = 15 * mm,
                          .outer = 4 * mm};
        f.to.at.x += 120 * mm;
        hw_route one, ten, left;
        double room;
        hw_route_def large = other(f, 10), mirror = f;
        mirror.from.at.y *= -1;
        mirror.to.at.y *= -1;
        CHECK(hw_route_between(&f, &one, &room) == HW_OK);
        CHECK(hw_route_between(&large, &ten, &room) == HW_OK);
        CHECK(hw_route_between(&mirror, &left, &room) == HW_OK);
        CLOSE(ten.length, 10 * one.length, 1e-9);
        CLOSE(ten.radius, 10 * one.radius, 1e-9);
        CLOSE(ten.bend, one.bend, 1e-9);
        CLOSE(left.length, one.length, 1e-12);
        CLOSE(left.bend, one.bend, 1e-12);
    }
}

static void wrists(void)
{
    NEAR(hw_wrist_needs(-3 * mm, 0.5), 1.5 * mm, 1e-15);
    // over the outside of an arc it is that much longer than its axis, over the inside shorter
    NEAR(hw_wrist_radius(3 * mm, 0.5, 20 * mm), 37 * mm, 1e-15);
    CHECK(isinf(hw_wrist_radius(3 * mm, 0, 20 * mm)));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(closed_cases);
    RUN(by_steps);
    RUN(between_ends);
    RUN(known_bundles);
    RUN(slots);
    RUN(wishes);
    RUN(round_a_wall);
    RUN(room_is_measured);
    RUN(out_and_back);
    RUN(unlike_rows);
    RUN(pushed_apart);
    RUN(clips);
    RUN(crossings);
    RUN(scale_and_mirror);
    RUN(wrists);
    return TEST_END();
}
