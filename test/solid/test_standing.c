// What of a field stands when it is printed, against closed cases and against what standing means.
#include "check.h"

#include "base/rng.h"
#include "base/vec3.h"
#include "solid/field.h"
#include "solid/field_internal.h"

static const hw_frame plain = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
static const hw_standing_def usual = {.cell = 0.25, .least = 0.6, .lean = {0.9, 1}};

static hw_vec3 at(double x, double y, double z)
{
    return (hw_vec3){x, y, z};
}

typedef struct bench {
    hw_arena *a, *work;
} bench;

static bench begin(void)
{
    return (bench){hw_arena_new(0), hw_arena_new(0)};
}
static void end(bench *b)
{
    hw_arena_free(b->a);
    hw_arena_free(b->work);
}

static const hw_field *standing(bench *b, const hw_field *f, const hw_standing_def *def,
                                double *taken)
{
    const hw_field *out = NULL;
    hw_standing_made made;
    CHECK(hw_field_standing(b->a, b->work, f, def, NULL, &out, &made) == HW_OK);
    if (taken) *taken = made.taken;
    return out;
}

static bool in(const hw_field *f, double x, double y, double z)
{
    return hw_field_at(f, at(x, y, z)) < 0;
}

// A plate on a stem: what is left of it is a cone about the stem that leans as it may.
static void a_mushroom_keeps_a_cone(void)
{
    bench b = begin();
    const hw_field *part[] = {hw_field_cylinder(b.a, at(0, 0, 0), at(0, 0, 12), 2),
                              hw_field_cylinder(b.a, at(0, 0, 5), at(0, 0, 10), 8)};
    double taken;
    const hw_field *f = standing(&b, hw_field_union(b.a, part, 2), &usual, &taken);
    for (int i = 0; i < 360; i++) {
        const double turn = i * HW_PI / 180, z = 5.3 + 4.5 * i / 360, r = 2 + 0.9 * (z - 5);
        const double c = cos(turn), s = sin(turn);
        CHECK(in(f, (r - 0.35) * c, (r - 0.35) * s, z));
        CHECK(!in(f, (r + 0.35) * c, (r + 0.35) * s, z));
        CHECK(in(f, 1.9 * c, 1.9 * s, 11));
    }
    // the plate less a frustum
    const double top = 2 + 0.9 * 5, cone = HW_PI * 5 * (4 + 2 * top + top * top) / 3;
    CLOSE(taken, HW_PI * 64 * 5 - cone, 0.03);
    end(&b);
}

// One that leans a little farther than it may is cut back all the way; and near what was cut the
// value changes by no more than one moves.
static void steep_flares_are_cut(void)
{
    bench b = begin();
    const hw_field *f =
        standing(&b, hw_field_cone(b.a, at(0, 0, 0), at(0, 0, 6), 2, 2 + 1.2 * 6), &usual, NULL);
    for (int i = 0; i < 90; i++) {
        const double c = cos(i * 0.07), s = sin(i * 0.07), r = 2 + 0.9 * 5;
        CHECK(in(f, (r - 0.4) * c, (r - 0.4) * s, 5));
        CHECK(!in(f, (r + 0.6) * c, (r + 0.6) * s, 5)); // 8 before
    }
    const hw_field *part[] = {hw_field_cylinder(b.a, at(0, 0, 0), at(0, 0, 12), 2),
                              hw_field_cylinder(b.a, at(0, 0, 5), at(0, 0, 10), 8)};
    f = standing(&b, hw_field_union(b.a, part, 2), &usual, NULL);
    for (int k = 0; k < 40; k++) {
        double last = hw_field_at(f, at(2 + 0.15 * k, 0.3, 4));
        for (double z = 4.02; z < 7; z += 0.02) {
            const double v = hw_field_at(f, at(2 + 0.15 * k, 0.3, z));
            CHECK(fabs(v - last) <= 0.02 + 1e-6); // values are floats
            last = v;
        }
    }
    end(&b);
}

// What begins in the air goes, and all that only that carries; what also stands stays.
static void islands_go(void)
{
    bench b = begin();
    const hw_field *part[] = {
        hw_field_box(b.a, &plain, at(-10, -5, 0), at(-2, 5, 8)),
        hw_field_box(b.a, &plain, at(3, -2, 3), at(6, 2, 5)),
        hw_field_tube(b.a, (const hw_vec3[]){{4.5, 0, 8}}, 1, 3.2),
        hw_field_tube(b.a, (const hw_vec3[]){{-6, 0, 8}}, 1, 3), // half in the block
    };
    const hw_field *f = standing(&b, hw_field_union(b.a, part, 4), &usual, NULL);
    hw_rng r = hw_rng_new(1, 0);
    for (int i = 0; i < 5000; i++)
        CHECK(
            !in(f, hw_rng_uniform(&r, 0, 9), hw_rng_uniform(&r, -4, 4), hw_rng_uniform(&r, 0, 12)));
    CHECK(in(f, -6, 0, 10.8) && in(f, -3, 4, 7.9) && in(f, -8.9, 0, 8.3));
    end(&b);
}

// A room under a roof becomes a vault that falls to its walls; in a box that is spared its ceiling
// stays flat, and so does the floor of the room anyway.
static void ceilings_become_vaults(void)
{
    bench b = begin();
    const hw_field *block = hw_field_box(b.a, &plain, at(-10, -10, 0), at(10, 10, 12));
    const hw_field *room = hw_field_box(b.a, &plain, at(-8, -3, 2), at(8, 3, 5));
    const hw_field *f = standing(&b, hw_field_cut(b.a, block, room), &usual, NULL);
    for (int i = -20; i <= 20; i++) {
        const double y = 0.14 * i, x = 0.2 * i, high = 5 + (3 - fabs(y)) / 0.9;
        CHECK(!in(f, x, y, high - 0.4));
        CHECK(in(f, x, y, high + 0.4));
        CHECK(in(f, x, y, 1.95) && !in(f, x, y, 2.05));
    }
    const hw_vec3 box[1][2] = {{{-9, -4, 4}, {9, 4, 12}}};
    hw_standing_def def = usual;
    def.spared = box;
    def.spares = 1;
    double taken;
    f = standing(&b, hw_field_cut(b.a, block, room), &def, &taken);
    CHECK(taken == 0);
    for (int i = -20; i <= 20; i++) CHECK(in(f, 0.35 * i, 0.14 * i, 5.05));
    // a roof over it stays, and the vault ends there
    def = usual;
    def.roof = hw_field_box(b.a, &plain, at(-20, -20, 6.5), at(20, 20, 8));
    f = standing(&b, hw_field_cut(b.a, block, room), &def, &taken);
    CHECK(taken > 0);
    for (int i = -20; i <= 20; i++) {
        const double y = 0.14 * i, x = 0.2 * i, high = fmin(5 + (3 - fabs(y)) / 0.9, 6.5);
        CHECK(!in(f, x, y, high - 0.4));
        CHECK(in(f, x, y, high + 0.4));
    }
    end(&b);
}

// With bridges of 4 where it is spared the vault over a room of 6 by 16 ends flat where that much
// is left of it: at 1 / 0.9 over its ceiling; bridges that are long enough leave the ceiling alone,
// and elsewhere there are none.
static void a_vault_ends_in_a_bridge(void)
{
    bench b = begin();
    const hw_field *block = hw_field_box(b.a, &plain, at(-10, -10, 0), at(10, 10, 12));
    const hw_field *room = hw_field_box(b.a, &plain, at(-8, -3, 2), at(8, 3, 5));
    const hw_vec3 over[1][2] = {{{-9, -4, 4}, {9, 4, 12}}},
                  aside[1][2] = {{{-9, 5, 4}, {9, 9, 12}}};
    hw_standing_def def = usual;
    def.spared = over;
    def.spares = 1;
    for (int run = 0; run < 3; run++) {
        double taken;
        def.bridge = run == 1 ? 7 : 4;
        if (run == 2) def.spared = aside;
        const hw_field *f = standing(&b, hw_field_cut(b.a, block, room), &def, &taken);
        CHECK((taken > 0) == (run != 1));
        for (int i = -20; i <= 20; i++) {
            const double y = 0.14 * i, x = 0.2 * i, vault = 5 + (3 - fabs(y)) / 0.9;
            const double flat = 5 + (3 - 2) / 0.9, high = run == 0   ? fmin(vault, flat)
                                                          : run == 1 ? 5
                                                                     : vault;
            CHECK(!in(f, x, y, high - 0.5));
            CHECK(in(f, x, y, high + 0.5));
        }
    }
    end(&b);
}

// Cones, wedges and drops that lean by 45 degrees, at every turn: nothing is taken.
static void what_leans_by_45_degrees_stays(void)
{
    bench b = begin();
    for (int k = 0; k < 12; k++) {
        const double turn = 0.13 * k, c = cos(turn), s = sin(turn);
        const hw_frame in_it = {{0.1 * k, 0, 0}, {c, s, 0}, {-s, c, 0}, {0, 0, 1}};
        const hw_vec3 way[] = {{-3 * c, -3 * s, 4}, {3 * c, 3 * s, 4}};
        const hw_field *body[] = {hw_field_box(b.a, &in_it, at(-6, -6, 0), at(6, 6, 9)),
                                  hw_field_cone(b.a, at(0, 0, 8), at(0, 0, 12), 3, 7)};
        const hw_field *tool[] = {hw_field_drop(b.a, way, 2, 1.5, at(0, 0, 1)),
                                  hw_field_cone(b.a, at(4, 0, -1), at(4, 0, 1), 2, 0.5)};
        const hw_field *whole =
            hw_field_cut(b.a, hw_field_union(b.a, body, 2), hw_field_union(b.a, tool, 2));
        hw_standing_def def = usual;
        def.least = 0;
        double taken;
        const hw_field *f = standing(&b, whole, &def, &taken);
        // a grid knows edges to a cell: no more than those
        CHECK(taken < 0.001 * 12 * 12 * 9);
        hw_rng r = hw_rng_new(7, (uint64_t)k);
        for (int i = 0; i < 500; i++) {
            const hw_vec3 p = {hw_rng_uniform(&r, -7, 7), hw_rng_uniform(&r, -7, 7),
                               hw_rng_uniform(&r, 0, 11.5)};
            if (fabs(hw_field_at(whole, p)) > 0.25)
                CHECK((hw_field_at(f, p) < 0) == (hw_field_at(whole, p) < 0));
        }
    }
    end(&b);
}

// Walls half a cell above and below the measure, and a foil that lies between the places looked at.
static void thin_walls_go(void)
{
    bench b = begin();
    for (int k = 0; k < 40; k++) {
        const double turn = 0.08 * k, c = cos(turn), s = sin(turn), half = k % 2 ? 0.235 : 0.365;
        const hw_frame own = {{0.03 * k, 0.01 * k, 0}, {c, s, 0}, {-s, c, 0}, {0, 0, 1}};
        const hw_field *part[] = {hw_field_box(b.a, &own, at(-6, -half, 0), at(6, half, 4)),
                                  hw_field_box(b.a, &own, at(-6, 2.02, 0), at(6, 2.1, 4))};
        const hw_field *f = standing(&b, hw_field_union(b.a, part, 2), &usual, NULL);
        for (int i = -20; i <= 20; i++) {
            const hw_vec3 p = hw_frame_point(&own, at(0.25 * i, 0, 2));
            const hw_vec3 q = hw_frame_point(&own, at(0.25 * i, 2.06, 2));
            CHECK((hw_field_at(f, p) < 0) == (k % 2 == 0));
            CHECK(!(hw_field_at(f, q) < 0));
        }
    }
    end(&b);
}

// A tray with rooms at all angles and heights.
static const hw_field *tray(hw_arena *a, uint64_t seed, double scale, double side)
{
    hw_rng r = hw_rng_new(seed, 0);
    const hw_field *tool[8];
    for (int i = 0; i < 8; i++) {
        const double turn = hw_rng_uniform(&r, 0, HW_PI), c = cos(turn), s = side * sin(turn);
        hw_vec3 p = {hw_rng_uniform(&r, -8, 8), side * hw_rng_uniform(&r, -8, 8),
                     hw_rng_uniform(&r, 0.5, 4)};
        hw_frame own = {hw_vec3_times(p, scale), {c, s, 0}, {-s, c, 0}, {0, 0, 1}};
        hw_vec3 q = {hw_rng_uniform(&r, 1, 4), hw_rng_uniform(&r, 1, 4), hw_rng_uniform(&r, 1, 7)};
        q = hw_vec3_times(q, scale);
        tool[i] = i % 3 ? hw_field_box(a, &own, at(-q.x, -q.y, 0), q)
                        : hw_field_cylinder(a, own.at, hw_vec3_along(own.at, q.z, own.z), q.x);
    }
    const hw_field *block = hw_field_box(a, &plain, at(-10 * scale, -10 * scale, 0),
                                         at(10 * scale, 10 * scale, 6 * scale));
    return hw_field_cut(a, block, hw_field_union(a, tool, 8));
}

// Whether some place within a radius in plan is inside, at a height.
static bool near_inside(const hw_field *f, hw_vec3 p, double radius, double z)
{
    enum { RINGS = 5, ROUND = 24 };
    for (int i = 0; i <= RINGS * ROUND; i++) {
        const double r = radius * ((i - 1) / ROUND + 1) / RINGS, turn = 2 * HW_PI * i / ROUND;
        if (in(f, p.x + (i ? r : 0) * cos(turn), p.y + (i ? r : 0) * sin(turn), z)) return true;
    }
    return false;
}

// Nothing is added; a place that stays has one below it within reach, down to the bed; and one
// whose whole column stands in the open tray stays.
static void all_that_stays_is_carried(void)
{
    bench b = begin();
    int lost = 0, kept = 0;
    for (uint64_t seed = 0; seed < 4; seed++) {
        const hw_field *whole = tray(b.a, seed, 1, 1), *f = standing(&b, whole, &usual, NULL);
        hw_rng r = hw_rng_new(seed, 2);
        for (int i = 0; i < 1500; i++) {
            const hw_vec3 p = {hw_rng_uniform(&r, -10, 10), hw_rng_uniform(&r, -10, 10),
                               hw_rng_uniform(&r, 1.2, 6)};
            const bool was = hw_field_at(whole, p) < 0, is = hw_field_at(f, p) < 0;
            CHECK(was || !is);
            lost += was && !is;
            kept += is;
            // over four layers, to a cell
            if (is) CHECK(near_inside(f, p, 1.03 + 0.25, p.z - 1));
            bool column = was;
            for (double z = 0.05; z < p.z && column; z += 0.1)
                column = hw_field_at(whole, at(p.x, p.y, z)) < -0.5;
            if (column) CHECK(is);
        }
        hw_arena_rewind(b.a, 0);
    }
    CHECK(lost > 30 && kept > 1000);
    end(&b);
}

// The same in what is left of the field in a ball; sixteen times as large; and on the other hand.
static void same_in_every_ball(void)
{
    bench b = begin();
    for (uint64_t seed = 0; seed < 2; seed++) {
        hw_standing_def big = usual;
        big.cell *= 16;
        big.least *= 16;
        const hw_field *f = standing(&b, tray(b.a, seed, 1, 1), &usual, NULL);
        const hw_field *large = standing(&b, tray(b.a, seed, 16, 1), &big, NULL);
        const hw_field *left = standing(&b, tray(b.a, seed, 1, -1), &usual, NULL);
        hw_rng r = hw_rng_new(seed, 3);
        for (int i = 0; i < 400; i++) {
            const hw_vec3 c = {hw_rng_uniform(&r, -10, 10), hw_rng_uniform(&r, -10, 10),
                               hw_rng_uniform(&r, 0, 6)};
            const double radius = hw_rng_uniform(&r, 0.05, 1);
            hw_field_near near = hw_field_prune(b.work, f, c, radius, 0);
            for (int k = 0; k < 10; k++) {
                hw_vec3 d = {hw_rng_normal(&r), hw_rng_normal(&r), hw_rng_normal(&r)};
                d = hw_vec3_times(hw_vec3_unit(d), radius * hw_rng_uniform(&r, 0, 1));
                const hw_vec3 p = hw_vec3_add(c, d);
                const double v = hw_field_at(f, p);
                bool seen = near.side == HW_SIDE_IN ||
                            (near.side == HW_SIDE_CUT && hw_field_at(near.f, p) < 0);
                CHECK((v < 0) == seen);
                CHECK((v < 0) == (hw_field_at(large, hw_vec3_times(p, 16)) < 0));
                CHECK(hw_field_at(left, at(p.x, -p.y, p.z)) == v);
                CHECK(fabs(v - hw_field_at(f, c)) <= radius + 1e-6);
            }
            hw_arena_rewind(b.work, 0);
        }
        hw_arena_rewind(b.a, 0);
    }
    end(&b);
}

static void meshes_are_sound(void)
{
    bench b = begin();
    const double mm = 1e-3;
    for (uint64_t seed = 0; seed < 2; seed++) {
        hw_standing_def small = usual;
        small.cell *= mm;
        small.least *= mm;
        const hw_field *f = standing(&b, tray(b.a, seed, mm, 1), &small, NULL);
        hw_field_mesh_def def = hw_field_mesh_def_default();
        hw_mesh mesh;
        hw_field_made made;
        CHECK(hw_field_mesh(b.a, b.work, f, &def, NULL, &mesh, &made) == HW_OK);
        hw_float_mesh file;
        hw_mesh_report report;
        CHECK(hw_mesh_to_float(b.a, &mesh, def.unit, &file) == HW_OK);
        CHECK(hw_mesh_check(b.work, &file, NULL, &report) == HW_OK && hw_mesh_sound(&report));
    }
    end(&b);
}

static bool stop_at(void *self, double fraction, const char *stage)
{
    (void)stage;
    return fraction < *(double *)self;
}

static void bad_input(void)
{
    bench b = begin();
    const hw_field *f = hw_field_box(b.a, &plain, at(0, 0, 0), at(4, 4, 4)), *out;
    const hw_standing_def bad[] = {
        {.cell = 0, .lean = {1, 1}},
        {.cell = 0.25, .least = -1, .lean = {1, 1}},
        {.cell = 0.25, .least = 3, .lean = {1, 1}},
        {.cell = 0.25, .lean = {1, 0.5}},
        {.cell = 0.25, .lean = {1, 3}},
        {.cell = (double)NAN, .lean = {1, 1}},
        {.cell = 0.25, .lean = {1, 1}, .push = -1},
        {.cell = 0.25, .lean = {1, 1}, .push = (double)INFINITY},
        {.cell = 0.25, .lean = {1, 1}, .bridge = -1},
        {.cell = 0.25, .lean = {1, 1}, .bridge = (double)NAN},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        CHECK(hw_field_standing(b.a, b.work, f, &bad[i], NULL, &out, NULL) == HW_BAD_INPUT);
        CHECK(!out);
    }
    CHECK(hw_field_standing(b.a, b.work, NULL, &usual, NULL, &out, NULL) == HW_BAD_INPUT);
    const hw_field *half = hw_field_half(b.a, at(0, 0, 0), at(0, 0, 1));
    CHECK(hw_field_standing(b.a, b.work, half, &usual, NULL, &out, NULL) == HW_BAD_INPUT);
    hw_standing_def fine = usual;
    fine.cell = 1e-3;
    fine.least = 0;
    CHECK(hw_field_standing(b.a, b.work, f, &fine, NULL, &out, NULL) == HW_LIMIT);
    double stop = 0.5;
    const hw_job job = {stop_at, &stop};
    CHECK(hw_field_standing(b.a, b.work, f, &usual, &job, &out, NULL) == HW_CANCELLED && !out);
    // below the bed there is nothing to stand
    const hw_field *low = hw_field_box(b.a, &plain, at(0, 0, -4), at(4, 4, -1));
    CHECK(hw_field_standing(b.a, b.work, low, &usual, NULL, &out, NULL) == HW_OK && out == low);
    hw_arena_fail_after(b.work, 2);
    CHECK(hw_field_standing(b.a, b.work, f, &usual, NULL, &out, NULL) == HW_NO_MEMORY);
    end(&b);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_mushroom_keeps_a_cone);
    RUN(steep_flares_are_cut);
    RUN(islands_go);
    RUN(ceilings_become_vaults);
    RUN(a_vault_ends_in_a_bridge);
    RUN(what_leans_by_45_degrees_stays);
    RUN(thin_walls_go);
    RUN(all_that_stays_is_carried);
    RUN(same_in_every_ball);
    RUN(meshes_are_sound);
    RUN(bad_input);
    return TEST_END();
}
