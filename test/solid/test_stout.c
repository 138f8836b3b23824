// What is left of a field when all that is thinner in plan than a measure is taken away.
#include "check.h"

#include "base/rng.h"
#include "base/vec3.h"
#include "solid/field.h"
#include "solid/field_internal.h"

static const hw_frame plain = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};

static hw_vec3 at(double x, double y, double z)
{
    return (hw_vec3){x, y, z};
}

// A wall, a peg, a floor, a little below the measure and a little above it.
static void thin_goes_and_thick_stays(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_frame turned = {{1, 2, 3}, {0.8, 0.6, 0}, {-0.6, 0.8, 0}, {0, 0, 1}};
    for (int thick = 0; thick < 2; thick++) {
        const double t = thick ? 0.57 : 0.45; // half of it; the measure is 1
        const hw_field *f[] = {
            hw_field_box(a, &plain, at(-5, -t, -4), at(5, t, 4)),
            hw_field_box(a, &turned, at(-5, -t, -4), at(5, t, 4)),
            hw_field_cylinder(a, at(0, 0, -4), at(0, 0, 4), t),
            hw_field_box(a, &turned, at(-5, -4, -t / 4), at(5, 4, t / 4)), // floors stay
        };
        for (size_t i = 0; i < sizeof f / sizeof f[0]; i++) {
            const hw_field *stout = hw_field_stout(a, f[i], 1);
            const hw_vec3 *along[] = {&plain.y, &turned.y, &plain.x, &turned.z};
            const hw_frame *in = i % 2 ? &turned : &plain;
            for (int k = -1; k <= 1; k++) {
                double by = 0.95 * k * (i == 3 ? t / 4 : t);
                hw_vec3 p = hw_vec3_along(in->at, by, *along[i]);
                CHECK((hw_field_at(stout, p) < 0) == (thick || i == 3));
            }
        }
    }
    CHECK(!hw_field_stout(a, NULL, 1));
    CHECK(!hw_field_stout(a, hw_field_half(a, at(0, 0, 0), at(0, 0, 1)), 0));
    hw_arena_free(a);
}

// A wedge of 16 degrees ends where it is about as thick as said; nothing thinner is left anywhere,
// and beyond that all of it is.
static void wedges_end_blunt(void)
{
    hw_arena *a = hw_arena_new(0);
    const double beta = 8 * HW_PI / 180;
    hw_vec2 outline[] = {{0, 0}, {20, 20 * tan(beta)}, {20, -20 * tan(beta)}};
    const hw_frame in = {{0, 0, 0}, {1, 0, 0}, {0, 0, -1}, {0, 1, 0}}; // upright
    const hw_polygon polygon = {outline, 3};
    const hw_field *f = hw_field_prism(a, &in, &polygon, -5, 5);
    const hw_field *stout = hw_field_stout(a, f, 1);
    double tip = 0;
    while (tip < 19 && !(hw_field_at(stout, at(tip, 0, 0)) < 0)) tip += 0.005;
    // it is deeper than half the measure from 0.5 / sin on, and stays by 1 / 1.4 before
    CHECK(tip < 0.5 / sin(beta) - 1 / 1.4 + 0.01 && tip > 0.45 / sin(beta) - 1 / 1.4);
    for (int i = 0; i < 400; i++) {
        double x = 0.05 * i, edge = x * tan(beta);
        bool any = hw_field_at(stout, at(x, 0.8 * edge, 0)) < 0;
        if (x < tip) CHECK(!any);
        if (x > tip + 1.5 && x < 19.9) CHECK(any);
    }
    CHECK(2 * tip * tan(beta) > 0.75);
    hw_arena_free(a);
}

// Lying edges stay sharp, also on a bed; standing ones lose a tenth at most.
static void edges_stay(void)
{
    hw_arena *a = hw_arena_new(0);
    for (int k = 0; k < 24; k++) {
        double angle = 0.05 * k, c = cos(angle), s = sin(angle);
        const hw_frame in = {{0, 0, 0}, {c, s, 0}, {-s, c, 0}, {0, 0, 1}};
        const hw_field *stout =
            hw_field_stout(a, hw_field_box(a, &in, at(-4, -4, 0), at(4, 4, 4)), 1);
        const double in_by = 0.02;
        CHECK(hw_field_at(stout, hw_frame_point(&in, at(4 - in_by, 0, in_by))) < 0);
        CHECK(hw_field_at(stout, hw_frame_point(&in, at(0, in_by - 4, 4 - in_by))) < 0);
        CHECK(hw_field_at(stout, hw_frame_point(&in, at(3.9, 3.9, 2))) < 0);
    }
    hw_arena_free(a);
}

// A tray with rooms at all angles, thin walls among them.
static const hw_field *tray(hw_arena *a, hw_rng *r, double scale)
{
    const hw_field *tool[8];
    for (int i = 0; i < 8; i++) {
        double turn = hw_rng_uniform(r, 0, HW_PI), c = cos(turn), s = sin(turn);
        hw_vec3 p = {hw_rng_uniform(r, -8, 8), hw_rng_uniform(r, -8, 8), hw_rng_uniform(r, 1, 4)};
        hw_frame in = {hw_vec3_times(p, scale), {c, s, 0}, {-s, c, 0}, {0, 0, 1}};
        hw_vec3 q = {hw_rng_uniform(r, 1, 4), hw_rng_uniform(r, 1, 4), 9};
        q = hw_vec3_times(q, scale);
        tool[i] = i % 3 ? hw_field_box(a, &in, at(-q.x, -q.y, 0), q)
                        : hw_field_cylinder(a, in.at, hw_vec3_along(in.at, 9 * scale, in.z), q.x);
    }
    const hw_field *block = hw_field_box(a, &plain, at(-10 * scale, -10 * scale, 0),
                                         at(10 * scale, 10 * scale, 6 * scale));
    return hw_field_stout(a, hw_field_cut(a, block, hw_field_union(a, tool, 8)), 0.7 * scale);
}

// Inside or outside is the same in what is left of the field in a ball; and in a tray of another
// size, at the same place of it.
static void same_in_every_ball(void)
{
    hw_arena *a = hw_arena_new(0), *work = hw_arena_new(0);
    int cut = 0, taken = 0;
    for (uint64_t seed = 0; seed < 20; seed++) {
        hw_rng r[2] = {hw_rng_new(seed, 0), hw_rng_new(seed, 0)}, spot = hw_rng_new(seed, 1);
        const hw_field *f = tray(a, &r[0], 1), *large = tray(a, &r[1], 16);
        for (int i = 0; i < 300; i++) {
            hw_vec3 c = {hw_rng_uniform(&spot, -10, 10), hw_rng_uniform(&spot, -10, 10),
                         hw_rng_uniform(&spot, 0, 6)};
            double radius = hw_rng_uniform(&spot, 0.05, 1);
            hw_field_near near = hw_field_prune(work, f, c, radius, 0);
            for (int k = 0; k < 10; k++) {
                hw_vec3 d = {hw_rng_normal(&spot), hw_rng_normal(&spot), hw_rng_normal(&spot)};
                d = hw_vec3_times(hw_vec3_unit(d), radius * hw_rng_uniform(&spot, 0, 1));
                hw_vec3 p = hw_vec3_add(c, d);
                bool in = hw_field_at(f, p) < 0;
                bool seen = near.side == HW_SIDE_IN ||
                            (near.side == HW_SIDE_CUT && hw_field_at(near.f, p) < 0);
                CHECK(in == seen);
                CHECK(in == (hw_field_at(large, hw_vec3_times(p, 16)) < 0));
                taken += !in && hw_field_at(f->child[0], p) < 0;
            }
            cut += near.side == HW_SIDE_CUT && near.f != f;
            hw_arena_rewind(work, 0);
        }
    }
    CHECK(cut > 1000 && taken > 100);
    hw_arena_free(work);
    hw_arena_free(a);
}

// A block with a fin on it: the mesh is sound and the block's alone.
static void meshes_without_fins(void)
{
    hw_arena *a = hw_arena_new(1 << 20), *work = hw_arena_new(1 << 20);
    const double mm = 1e-3;
    const hw_field *part[] = {
        hw_field_box(a, &plain, at(0, 0, 0), at(12 * mm, 8 * mm, 4 * mm)),
        hw_field_box(a, &plain, at(2 * mm, 3 * mm, 2 * mm), at(10 * mm, 3.4 * mm, 9 * mm))};
    const hw_field *f = hw_field_stout(a, hw_field_union(a, part, 2), 0.6 * mm);
    hw_field_mesh_def def = hw_field_mesh_def_default();
    hw_mesh mesh;
    hw_field_made made;
    CHECK(hw_field_mesh(a, work, f, &def, NULL, &mesh, &made) == HW_OK);
    hw_float_mesh file;
    hw_mesh_report report;
    CHECK(hw_mesh_to_float(a, &mesh, def.unit, &file) == HW_OK);
    CHECK(hw_mesh_check(work, &file, NULL, &report) == HW_OK && hw_mesh_sound(&report));
    CLOSE(hw_mesh_mass(&mesh, 1).volume, 12 * 8 * 4 * 1e-9, 0.01); // edges are bevelled
    hw_arena_free(work);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(thin_goes_and_thick_stays);
    RUN(wedges_end_blunt);
    RUN(edges_stay);
    RUN(same_in_every_ball);
    RUN(meshes_without_fins);
    return TEST_END();
}
