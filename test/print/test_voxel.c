// Cells of a mesh; loads, supports and balance; constant stress on every grid. `threads`: once
// through all that is shared among threads.
#include "base/rng.h"
#include "print/voxel_internal.h"
#include "voxel_make.h"

#include <stdlib.h>

// ---- cells --------------------------------------------------------------------------------------

static void a_box_on_the_grid_is_full(void)
{
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){3, -2, 1}, (double[]){8, 1, 3});
    CHECK(voxels(&m, 0.5, &v) == HW_OK);
    CHECK(v.n[0] == 10 && v.n[1] == 6 && v.n[2] == 4 && v.cells == 240);
    for (size_t i = 0; i < 240; i++) CHECK(v.fill[i] == 1);
    CLOSE(v.volume, 30 * mm * mm * mm, 1e-12);
    CHECK(v.dropped == 0);
    NEAR(v.low.x, 3 * mm, 1e-9);
    model_free(&m);
}

// Off the grid each share is exact along x and to half a 16th across.
static void a_box_off_the_grid_counts_by_shares(void)
{
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){3.3, 2.45, 1.8});
    CHECK(voxels(&m, 1, &v) == HW_OK);
    CHECK(v.n[0] == 4 && v.n[1] == 3 && v.n[2] == 2);
    NEAR(v.fill[3], 0.3, 1e-4); // the mesh's own grid
    NEAR(v.fill[2 * 4], 0.45, 1. / 32 + 1e-4);
    NEAR(v.fill[1 * 12], 0.8, 1. / 32 + 1e-4);
    NEAR(v.fill[12 + 8 + 3], 0.3 * 0.45 * 0.8, 0.05);
    model_free(&m);
}

// A lying cylinder with a cone in it, against points sprinkled over the same shape.
static void round_shapes_keep_their_volume_and_bending(void)
{
    model m = model_new();
    hw_voxels v;
    hw_polygon outer = circle(&m, 0, 5, 4, 200);
    taper(&m, HW_BLOCK_ADD, 0, 7, outer, outer);
    taper(&m, HW_BLOCK_CUT, 0, 2, circle(&m, 0, 5, 3, 200), circle(&m, 0, 5, 1, 200));
    for (int fine = 0; fine < 2; fine++) {
        double edge = fine ? 0.37 : 0.8, second = 0, volume = 0;
        CHECK(voxels(&m, edge, &v) == HW_OK);
        for (size_t i = 0; i < v.n[0] * v.n[1] * v.n[2]; i++) {
            double z = (v.low.z / mm - 5) + ((double)(i / (v.n[0] * v.n[1])) + 0.5) * edge;
            volume += v.fill[i] * edge * edge * edge;
            second += v.fill[i] * (z * z + edge * edge / 12) * edge * edge * edge;
        }
        // Frustum of radii 3 and 1; second moments about the axis' plane: pi r^4/4 a length.
        double cone = HW_PI * 2 / 3 * (9 + 3 + 1);
        CLOSE(volume, HW_PI * 16 * 7 - cone, 2e-3);
        double cone_second = HW_PI / 4 * (243. - 1) / 5; // integral of r^4 dy, r from 3 to 1 over 2
        CLOSE(second, HW_PI / 4 * 256 * 7 - cone_second, 0.05 * edge * edge); // of second order
        CLOSE(v.volume, volume * mm * mm * mm, 1e-9);
    }
    model_free(&m);
}

static void crumbs_are_dropped_and_said(void)
{
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){1, 1, 1});
    box(&m, HW_BLOCK_ADD, (double[]){3, 0, 0}, (double[]){6, 1, 1});
    CHECK(voxels(&m, 0.5, &v) == HW_OK);
    CHECK(v.cells == 24 && v.fill[0] == 0);
    CLOSE(v.dropped, 0.25, 1e-9);
    model_free(&m);
}

static void faulty_meshes_are_refused(void)
{
    model m = model_new();
    hw_voxels v;
    hw_mesh mesh;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 4, 4});
    CHECK(mesh_of(&m, &mesh));
    CHECK(hw_voxels_of(m.keep, m.work, &mesh, 0, 1000, NULL, &v) == HW_BAD_INPUT);
    CHECK(hw_voxels_of(m.keep, m.work, &mesh, (double)NAN, 1000, NULL, &v) == HW_BAD_INPUT);
    CHECK(hw_voxels_of(m.keep, m.work, &mesh, 1 * mm, 63, NULL, &v) == HW_LIMIT && !v.fill);
    CHECK(hw_voxels_of(m.keep, m.work, &mesh, 1 * mm, 64, NULL, &v) == HW_OK && v.cells == 64);
    for (uint32_t t = 0; t < mesh.tris; t++) {
        hw_mesh open = mesh;
        open.tri = HW_NEW(m.keep, uint32_t, 3 * (mesh.tris - 1));
        for (size_t i = 0, n = 0; i < 3 * mesh.tris; i++)
            if (i / 3 != t) open.tri[n++] = mesh.tri[i];
        open.tris--;
        const hw_vec3 *at[3];
        for (int c = 0; c < 3; c++) at[c] = &mesh.vert[mesh.tri[3 * t + (uint32_t)c]];
        if (at[0]->x != at[1]->x || at[1]->x != at[2]->x) continue; // along the rays: not missed
        CHECK(hw_voxels_of(m.keep, m.work, &open, 1 * mm, 1000, NULL, &v) == HW_BAD_INPUT);
    }
    for (size_t i = 0; i < mesh.tris; i++) { // inside out
        uint32_t swap = mesh.tri[3 * i];
        mesh.tri[3 * i] = mesh.tri[3 * i + 1];
        mesh.tri[3 * i + 1] = swap;
    }
    CHECK(hw_voxels_of(m.keep, m.work, &mesh, 1 * mm, 1000, NULL, &v) == HW_BAD_INPUT);
    mesh.tris = 0;
    CHECK(hw_voxels_of(m.keep, m.work, &mesh, 1 * mm, 1000, NULL, &v) == HW_BAD_INPUT);
    model_free(&m);
}

// ---- constant stress ----------------------------------------------------------------------------

static const hw_voxel_stuff layered = {2.4e9, 1.7e9, 0.36, 0.31, 0.6e9};

// All six stresses by tractions on the faces of a free box; the displacements give the strains that
// the stuff's compliances say.
static void patch_test(hw_voxel_stuff stuff, double edge) // [mm]
{
    const double size[3] = {5, 3, 4};
    static const int pair[6][2] = {{0, 0}, {1, 1}, {2, 2}, {1, 2}, {0, 2}, {0, 1}};
    const double e = stuff.modulus, up = stuff.across;
    const double give[6] = {1 / e,
                            1 / e,
                            1 / up,
                            1 / stuff.shear_across,
                            1 / stuff.shear_across,
                            2 * (1 + stuff.poisson) / e};
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, size);
    CHECK(voxels(&m, edge, &v) == HW_OK);
    for (int s = 0; s < 6; s++) {
        hw_voxel_load load[4];
        size_t loads = 0;
        const double asked = 1e6;
        for (int turn = 0; turn < (s < 3 ? 1 : 2); turn++) {
            int face = pair[s][turn], way = pair[s][1 - turn];
            double area = size[0] * size[1] * size[2] / size[face] * mm * mm;
            for (int end = 0; end < 2; end++)
                load[loads++] = (hw_voxel_load){.region = plane_region(face, end ? size[face] : 0),
                                                .force = along(way, (end ? 1 : -1) * asked * area),
                                                .at = {2.5 * mm, 1.5 * mm, 2 * mm}};
            for (size_t i = loads - 2; i < loads; i++) { // at the middle of its face
                double at = (i == loads - 1 ? size[face] : 0) * mm;
                if (face == 0) load[i].at.x = at;
                if (face == 1) load[i].at.y = at;
                if (face == 2) load[i].at.z = at;
            }
        }
        hw_voxel_problem p = {&v, stuff, load, loads, NULL, 0};
        hw_voxel_answer a;
        CHECK(solved(&m, &p, 1e-11, &a) == HW_OK);
        CHECK(a.loose == 6 && a.unbalanced < 1e-12);
        double worst = 0;
        for (size_t i = 0; i < v.n[0] * v.n[1] * v.n[2]; i++) {
            double got[6];
            hw_voxel_stress(&p, &a, i % v.n[0], i / v.n[0] % v.n[1], i / (v.n[0] * v.n[1]), got);
            for (int c = 0; c < 6; c++) worst = fmax(worst, fabs(got[c] - (c == s ? asked : 0)));
        }
        NEAR(worst, 0, 1e-7 * asked); // the residual asked for, times the grid's conditioning
        double volume = size[0] * size[1] * size[2] * mm * mm * mm;
        CLOSE(a.work, 0.5 * asked * asked * give[s] * volume, 1e-8);
        if (s < 3) {
            const double cross = s == 2 ? stuff.poisson_across / up : stuff.poisson / e;
            int other = s == 0 ? 1 : 0;
            double grown = at_axis(hw_voxel_moved(&p, &a, &load[1].region), s) -
                           at_axis(hw_voxel_moved(&p, &a, &load[0].region), s);
            CLOSE(grown, asked * give[s] * size[s] * mm, 1e-8);
            hw_voxel_region side[2] = {plane_region(other, 0), plane_region(other, size[other])};
            double shrunk = at_axis(hw_voxel_moved(&p, &a, &side[0]), other) -
                            at_axis(hw_voxel_moved(&p, &a, &side[1]), other);
            CLOSE(shrunk, asked * cross * size[other] * mm, 1e-8);
        }
    }
    model_free(&m);
}

static void constant_stress_is_exact(void)
{
    patch_test(hw_voxel_isotropic(2.5e9, 0.35), 1);
    patch_test(layered, 0.5);
}

// Pressure all round any pile of cubes is the same pressure within.
static void pressure_all_round_a_ragged_body(void)
{
    hw_rng rng = hw_rng_new(5, 0);
    for (int turn = 0; turn < 3; turn++) {
        model m = model_new();
        hw_voxels v;
        box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){9, 7, 8});
        CHECK(voxels(&m, 1, &v) == HW_OK);
        for (size_t i = 0; i < 9 * 7 * 8; i++)
            if (hw_rng_uniform(&rng, 0, 1) < 0.2) v.fill[i] = 0;
        {
            hw_voxel_load load = {.region = box_region(-99, -99, -99, 99, 99, 99), .pressure = 2e6};
            hw_voxel_problem p = {&v, hw_voxel_isotropic(2e9, 0.3), &load, 1, NULL, 0};
            hw_voxel_answer a;
            CHECK(solved(&m, &p, 1e-11, &a) == HW_OK);
            double worst = 0;
            for (size_t i = 0; i < v.n[0] * v.n[1] * v.n[2]; i++) {
                double got[6];
                if (!(v.fill[i] > 0)) continue;
                hw_voxel_stress(&p, &a, i % v.n[0], i / v.n[0] % v.n[1], i / (v.n[0] * v.n[1]),
                                got);
                for (int c = 0; c < 6; c++) worst = fmax(worst, fabs(got[c] + (c < 3 ? 2e6 : 0)));
            }
            NEAR(worst, 0, 2e6 * 1e-7);
        }
        model_free(&m);
    }
}

// ---- loads and balance
// ----------------------------------------------------------------------------

// A force and a moment on a round hole, answered by the same at a far face: in balance to rounding
// whatever the surface is; a hundredth off, or held in one way only, they are not.
static void forces_and_moments_are_exact(void)
{
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 6, 8});
    plate(&m, HW_BLOCK_CUT, 0, 6, circle(&m, 14, 4, 2.3, 60));
    CHECK(voxels(&m, 0.5, &v) == HW_OK);
    const hw_voxel_region hole = {.shape = HW_VOXEL_CYLINDER,
                                  .at = {14 * mm, 0, 4 * mm},
                                  .axis = {0, 3, 0},
                                  .from = 1 * mm,
                                  .to = 5 * mm,
                                  .outer = 2.9 * mm};
    hw_vec3 force = {3, -1, 7}, turn = {0.01, 0.02, -0.03}, at = {14 * mm, 2 * mm, 4 * mm};
    hw_vec3 back = {0, 3 * mm, 4 * mm};
    double x = at.x - back.x, y = at.y - back.y, z = at.z - back.z;
    hw_voxel_load load[2] = {
        {.region = hole, .spread = HW_VOXEL_FACING, .force = force, .moment = turn, .at = at},
        {.region = plane_region(0, 0),
         .force = {-3, 1, -7},
         .moment = {-turn.x - (y * force.z - z * force.y), -turn.y - (z * force.x - x * force.z),
                    -turn.z - (x * force.y - y * force.x)},
         .at = back}};
    hw_voxel_problem p = {&v, layered, load, 2, NULL, 0};
    hw_voxel_answer a;
    CHECK(solved(&m, &p, 1e-6, &a) == HW_OK);
    CHECK(a.loose == 6 && a.unbalanced < 1e-13);
    load[1].force.y *= 1.01;
    CHECK(solved(&m, &p, 1e-6, &a) == HW_BAD_INPUT && a.unbalanced > 1e-4);
    hw_voxel_def def = hw_voxel_def_default();
    def.unbalanced = 0.01;
    CHECK(hw_voxel_solve(m.keep, m.work, &p, &def, NULL, &a) == HW_OK);
    load[1].force.y /= 1.01;
    load[1].moment.z *= 1.02;
    CHECK(solved(&m, &p, 1e-6, &a) == HW_BAD_INPUT && a.unbalanced > 1e-5);
    model_free(&m);
}

// In a slot only the wall that the force presses on carries.
static void facing_loads_press_on_one_wall(void)
{
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){12, 3, 6});
    box(&m, HW_BLOCK_CUT, (double[]){6, 0, 2}, (double[]){8, 3, 6});
    CHECK(voxels(&m, 0.5, &v) == HW_OK);
    hw_voxel_support root = {plane_region(2, 0), {true, true, true}};
    hw_vec3 at = {8 * mm, 1.5 * mm, 4 * mm};
    hw_voxel_load load = {.region = box_region(5, 0, 2, 9, 3, 5.9), .force = {5, 0, 0}, .at = at};
    hw_voxel_problem p = {&v, layered, &load, 1, &root, 1};
    hw_voxel_answer facing, even, wall;
    CHECK(solved(&m, &p, 1e-9, &even) == HW_OK);
    load.spread = HW_VOXEL_FACING;
    CHECK(solved(&m, &p, 1e-9, &facing) == HW_OK);
    load.region = box_region(8, 0, 2, 8, 3, 5.9);
    load.spread = HW_VOXEL_EVEN;
    CHECK(solved(&m, &p, 1e-9, &wall) == HW_OK);
    CLOSE(facing.work, wall.work, 1e-6);
    CHECK(fabs(even.work / wall.work - 1) > 0.05);
    model_free(&m);
}

static void what_nothing_holds_is_counted(void)
{
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){6, 4, 5});
    CHECK(voxels(&m, 1, &v) == HW_OK);
    hw_voxel_support s[3] = {{plane_region(0, 0), {true, false, false}},
                             {plane_region(1, 0), {false, true, false}},
                             {box_region(0, 0, 0, 0, 0, 0), {false, false, true}}};
    hw_voxel_load load = {
        .region = plane_region(0, 6), .force = {9, 0, 0}, .at = {6 * mm, 2 * mm, 2.5 * mm}};
    hw_voxel_problem p = {&v, layered, &load, 1, s, 0};
    static const int loose[4] = {6, 3, 1, 0};
    hw_voxel_answer a;
    for (size_t n = 0; n < 4; n++) {
        p.supports = n;
        hw_code code = solved(&m, &p, 1e-8, &a);
        CHECK(code == (n ? HW_OK : HW_BAD_INPUT)); // the force needs an answer in x
        CHECK(a.loose == loose[n]);
    }
    load.force = (hw_vec3){0, 0, 9};
    p.supports = 2;
    CHECK(solved(&m, &p, 1e-8, &a) == HW_BAD_INPUT);
    // Not held in z, but pulled along x only: Poisson's shrinking about the middle.
    load.force = (hw_vec3){9, 0, 0};
    CHECK(solved(&m, &p, 1e-9, &a) == HW_OK);
    hw_voxel_region top = plane_region(2, 5), bottom = plane_region(2, 0);
    NEAR(hw_voxel_moved(&p, &a, &top).z + hw_voxel_moved(&p, &a, &bottom).z, 0, 1e-15);
    CHECK(hw_voxel_moved(&p, &a, &top).z < 0);
    model_free(&m);
}

static void empty_regions_are_named(void)
{
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){6, 4, 5});
    CHECK(voxels(&m, 1, &v) == HW_OK);
    hw_voxel_support s[2] = {{plane_region(0, 0), {true, true, true}},
                             {plane_region(0, 7), {true, true, true}}};
    hw_voxel_load load[2] = {{.region = plane_region(0, 6), .force = {1, 0, 0}},
                             {.region = box_region(2, 1, 1, 4, 3, 3), .force = {1, 0, 0}}};
    hw_voxel_problem p = {&v, layered, load, 2, s, 1};
    hw_voxel_answer a;
    CHECK(solved(&m, &p, 1e-8, &a) == HW_BAD_INPUT && a.bad_load == 1);
    p.loads = 1;
    p.supports = 2;
    CHECK(solved(&m, &p, 1e-8, &a) == HW_BAD_INPUT && a.bad_support == 1);
    p.supports = 1;
    CHECK(solved(&m, &p, 1e-8, &a) == HW_OK);
    CHECK(a.bad_load == SIZE_MAX && a.bad_support == SIZE_MAX && a.unknowns == 6 * 5 * 6 * 3);
    load[0].region = plane_region(0, 5);
    CHECK(solved(&m, &p, 1e-8, &a) == HW_BAD_INPUT && a.bad_load == 0);
    load[0].region = plane_region(0, 6);
    const hw_voxel_stuff bad[] = {{0, 1, 0, 0, 1},           {1, -1, 0, 0, 1},
                                  {1, 1, 0, 0, (double)NAN}, {1, 1, 0.5, 0.5, 0.3},
                                  {1, 1, -1, 0, 1},          {1, 1, 0, 1.1, 1}};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        p.stuff = bad[i];
        CHECK(solved(&m, &p, 1e-8, &a) == HW_BAD_INPUT);
    }
    model_free(&m);
}

// ---- the same answer
// ------------------------------------------------------------------------------

// A bracket with a hole, held at one end and pushed at the other.
static bool bracket(model *m, double edge, hw_voxels *v, hw_voxel_load *load, hw_voxel_support *s)
{
    box(m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 6, 3});
    box(m, HW_BLOCK_ADD, (double[]){16, 0, 3}, (double[]){20, 6, 9});
    plate(m, HW_BLOCK_CUT, 0, 6, circle(m, 8, 1.5, 0.8, 40));
    double k = mm * m->scale, big = 1e3 * k;
    *s = (hw_voxel_support){{.shape = HW_VOXEL_BOX, .low = {0, -big, -big}, .high = {0, big, big}},
                            {true, true, true}};
    *load = (hw_voxel_load){
        .region = {.shape = HW_VOXEL_BOX, .low = {-big, -big, 9 * k}, .high = {big, big, 9 * k}},
        .force = {2 * m->scale * m->scale, 0, 1 * m->scale * m->scale},
        .at = {18 * k, 3 * k, 9 * k}};
    return voxels(m, edge, v) == HW_OK;
}

static void both_builds_give_the_same_bits(void)
{
    model m = model_new();
    hw_voxels v;
    hw_voxel_load load;
    hw_voxel_support s;
    CHECK(bracket(&m, 0.5, &v, &load, &s));
    hw_cell cell;
    hw_voxel_stuff stuff = layered;
    CHECK(hw_cell_of(&stuff, &cell) == HW_OK);
    static hw_ladder ladder;
    CHECK(hw_ladder_of(m.work, &v, &cell, &ladder) == HW_OK);
    const hw_level *l = &ladder.level[0];
    hw_rng rng = hw_rng_new(3, 0);
    double *u = HW_NEW(m.work, double, 3 * l->nodes), *f[2];
    for (size_t i = 0; i < 3 * l->nodes; i++) u[i] = hw_rng_uniform(&rng, -1, 1);
    for (int wide = 0; wide < 2; wide++) {
        f[wide] = HW_NEW(m.work, double, 3 * l->nodes);
        hw_product p = {l, u, f[wide], 0};
        for (p.odd = 0; p.odd < 2; p.odd++)
            (wide ? hw_product_wide : hw_product_plain)(&p, 0, l->n[2] / 2 + (p.odd ? 0 : 1));
    }
    CHECK(memcmp(f[0], f[1], 3 * l->nodes * sizeof(double)) == 0);
    // Symmetric, and no energy in moving as a whole.
    double *w = HW_NEW(m.work, double, 3 * l->nodes), *g = HW_NEW(m.work, double, 3 * l->nodes);
    double uw = 0, wu = 0, size = 0;
    for (size_t i = 0; i < 3 * l->nodes; i++) w[i] = hw_rng_uniform(&rng, -1, 1);
    hw_level_apply(l, w, g);
    for (size_t i = 0; i < 3 * l->nodes; i++) {
        uw += u[i] * g[i];
        wu += w[i] * f[0][i];
        size += fabs(u[i] * g[i]);
    }
    NEAR(uw, wu, 1e-13 * size);
    for (size_t i = 0; i < 3 * l->nodes; i++) w[i] = i / l->nodes == 1;
    hw_level_apply(l, w, g);
    double most = 0, typical = stuff.modulus * l->edge;
    for (size_t i = 0; i < 3 * l->nodes; i++) most = fmax(most, fabs(g[i]));
    NEAR(most, 0, 1e-14 * typical);
    model_free(&m);
}

static void multigrid_and_diagonal_agree(void)
{
    model m = model_new();
    hw_voxels v;
    hw_voxel_load load;
    hw_voxel_support s;
    CHECK(bracket(&m, 0.5, &v, &load, &s));
    hw_voxel_problem p = {&v, layered, &load, 1, &s, 1};
    hw_voxel_def def = hw_voxel_def_default();
    def.tolerance = 1e-10;
    def.most_iterations = 5000;
    hw_voxel_answer fast, plain, again;
    CHECK(hw_voxel_solve(m.keep, m.work, &p, &def, NULL, &fast) == HW_OK);
    CHECK(hw_voxel_solve(m.keep, m.work, &p, &def, NULL, &again) == HW_OK);
    def.plain = true;
    CHECK(hw_voxel_solve(m.keep, m.work, &p, &def, NULL, &plain) == HW_OK);
    size_t n = 3 * (v.n[0] + 1) * (v.n[1] + 1) * (v.n[2] + 1);
    CHECK(memcmp(fast.moved, again.moved, n * sizeof(double)) == 0);
    double most = 0, off = 0;
    for (size_t i = 0; i < n; i++) {
        most = fmax(most, fabs(plain.moved[i]));
        off = fmax(off, fabs(plain.moved[i] - fast.moved[i]));
    }
    NEAR(off, 0, 1e-7 * most); // tolerance times conditioning
    printf("iterations: multigrid %zu, diagonal %zu\n", fast.iterations, plain.iterations);
    CHECK(fast.iterations <= 60 && plain.iterations >= 5 * fast.iterations);
    def.most_iterations = 3;
    CHECK(hw_voxel_solve(m.keep, m.work, &p, &def, NULL, &plain) == HW_NOT_CONVERGED);
    CHECK(plain.iterations == 3 && plain.residual > 1e-10);
    model_free(&m);
}

// Sixteen times as long, 256 times the force: the same stresses, sixteen times the movement.
static void everything_scales(void)
{
    double moved[2], work[2], stress[2];
    for (int large = 0; large < 2; large++) {
        model m = model_new();
        m.scale = large ? 16 : 1;
        hw_voxels v;
        hw_voxel_load load;
        hw_voxel_support s;
        CHECK(bracket(&m, 0.5, &v, &load, &s));
        hw_voxel_problem p = {&v, layered, &load, 1, &s, 1};
        hw_voxel_answer a;
        hw_voxel_peaks peak;
        CHECK(solved(&m, &p, 1e-9, &a) == HW_OK);
        CHECK(hw_voxel_peaks_of(m.work, &p, &a, 1 * mm * m.scale, NULL, &peak) == HW_OK);
        moved[large] = hw_voxel_moved(&p, &a, &load.region).x;
        work[large] = a.work;
        stress[large] = peak.mises.value;
        model_free(&m);
    }
    CLOSE(moved[1], 16 * moved[0], 1e-6);
    CLOSE(work[1], 4096 * work[0], 1e-6);
    CLOSE(stress[1], stress[0], 1e-6);
}

// ---- failures
// -------------------------------------------------------------------------------------

static bool stop_after(void *self, double fraction, const char *stage)
{
    int *left = self;
    (void)stage;
    CHECK(fraction >= 0 && fraction <= 1);
    return (*left)-- > 0;
}

static void memory_and_patience_may_run_out(void)
{
    model m = model_new();
    hw_voxels v;
    hw_voxel_load load;
    hw_voxel_support s;
    hw_mesh mesh;
    CHECK(bracket(&m, 1, &v, &load, &s) && mesh_of(&m, &mesh));
    hw_voxel_problem p = {
        .stuff = layered, .load = &load, .loads = 1, .support = &s, .supports = 1};
    hw_voxel_study_def def = {.edge = {2 * mm, 1.5 * mm},
                              .edges = 2,
                              .radius = 4 * mm,
                              .most = 100000,
                              .solve = hw_voxel_def_default()};
    hw_voxel_study study;
    hw_arena *both[2] = {m.keep, m.work};
    for (int which = 0; which < 2; which++)
        for (size_t n = 0;; n++) {
            size_t mark = hw_arena_mark(both[which]);
            hw_arena_fail_after(both[which], n);
            hw_code code = hw_voxel_study_of(m.keep, m.work, &mesh, &p, &def, NULL, &study);
            hw_arena_fail_after(both[which], SIZE_MAX);
            hw_arena_rewind(both[which], mark);
            if (code == HW_OK) {
                CHECK(n > 1);
                break;
            }
            if (!CHECK(code == HW_NO_MEMORY) || n > 1000) break;
        }
    int stops = 0;
    for (int patience = 0; patience < 400; patience += 1 + patience / 3) {
        int left = patience;
        hw_job job = {stop_after, &left};
        hw_code code = hw_voxel_study_of(m.keep, m.work, &mesh, &p, &def, &job, &study);
        if (code == HW_OK) break;
        CHECK(code == HW_CANCELLED);
        stops++;
    }
    CHECK(stops > 5 && stops < 25);
    model_free(&m);
}

int main(int argc, char **argv)
{
    const bool threads = argc > 1 && strcmp(argv[1], "threads") == 0;
    TEST_BEGIN(argc, argv);
    RUN(round_shapes_keep_their_volume_and_bending);
    RUN(faulty_meshes_are_refused);
    RUN(what_nothing_holds_is_counted);
    RUN(both_builds_give_the_same_bits);
    RUN(multigrid_and_diagonal_agree);
    RUN(everything_scales);
    RUN(memory_and_patience_may_run_out);
    if (threads) return TEST_END();
    RUN(a_box_on_the_grid_is_full);
    RUN(a_box_off_the_grid_counts_by_shares);
    RUN(crumbs_are_dropped_and_said);
    RUN(constant_stress_is_exact);
    RUN(pressure_all_round_a_ragged_body);
    RUN(forces_and_moments_are_exact);
    RUN(facing_loads_press_on_one_wall);
    RUN(empty_regions_are_named);
    return TEST_END();
}
