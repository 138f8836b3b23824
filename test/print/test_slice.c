// Slices against closed forms and against counted cells.
#include "check.h"

#include "base/rng.h"
#include "shape.h"

static hw_code slices(group *g, double layer, hw_slices *out) // [mm]
{
    return hw_slices_make(g->m.keep, g->m.work, g->part, g->n, layer * 1e-3, NULL, out, &g->bad);
}

static void box_slices(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){1, 2, 0}, (double[]){31, 12, 5});
    add_part(&g, "box");
    hw_slices s;
    CHECK(slices(&g, 0.2, &s) == HW_OK);
    CHECK(s.layers == 25 && s.parts == 1);
    for (size_t i = 0; i < s.layers; i++) {
        const hw_print_slice *one = &s.slice[i];
        if (!CHECK(one->rings == 1 && one->bodies == 1)) break;
        CHECK(one->ring[0].n == 4); // straight runs are one side
        CLOSE(one->area, 300e-6, 1e-12);
        CLOSE(one->length, 80e-3, 1e-12);
        CHECK(one->ring[0].area == one->area);
    }
    group_free(&g);
}

// A turned part with flat-sided rings: every slice is a regular polygon, its corner's distance
// straight between the rings'.
static void ball_slices(void)
{
    enum { RINGS = 41, ROUND = 48 };
    double r[RINGS], z[RINGS];
    for (int i = 0; i < RINGS; i++) {
        double angle = HW_PI * i / (RINGS - 1);
        r[i] = i == 0 || i == RINGS - 1 ? 0.01 : 8 * sin(angle);
        z[i] = 8 - 8 * cos(angle);
    }
    group g = group_new();
    add_mesh(&g, "ball", turned(g.m.keep, 3, -4, RINGS, r, z, ROUND));
    double polygon = 0.5 * ROUND * sin(2 * HW_PI / ROUND);
    double exact = hw_mesh_mass(g.part[0].mesh, 1).volume, error[4];
    for (int k = 0; k < 4; k++) {
        double layer = 0.64 / (1 << k), sum = 0;
        hw_slices s;
        CHECK(slices(&g, layer, &s) == HW_OK);
        for (size_t i = 0; i < s.layers; i++) {
            double at = ((double)i + 0.5) * layer, want = 0;
            for (int j = 0; j + 1 < RINGS; j++)
                if (z[j] < at && at <= z[j + 1]) {
                    double radius = r[j] + (at - z[j]) / (z[j + 1] - z[j]) * (r[j + 1] - r[j]);
                    want = polygon * radius * radius * 1e-6;
                }
            CLOSE(s.slice[i].area, want, 1e-9);
            sum += s.slice[i].area * layer * 1e-3;
        }
        error[k] = fabs(sum - exact) / exact;
    }
    // the middle rule: at least a third of the error is left at half the height, on average
    CHECK(error[0] < 3e-3 && error[3] < 1e-4 && error[3] < error[0] / 27);
    group_free(&g);
}

static void cone_slices(void)
{
    group g = group_new();
    add_mesh(&g, "cone", turned(g.m.keep, 0, 0, 2, (double[]){6, 2}, (double[]){0, 8}, 64));
    hw_slices s;
    CHECK(slices(&g, 0.25, &s) == HW_OK);
    CHECK(s.layers == 32);
    double polygon = 32 * sin(2 * HW_PI / 64), sum = 0;
    for (size_t i = 0; i < s.layers; i++) {
        double r = 6 - 0.5 * ((double)i + 0.5) * 0.25;
        CLOSE(s.slice[i].area, polygon * r * r * 1e-6, 1e-12);
        sum += s.slice[i].area;
    }
    // Simpson would be exact; the middle rule is short by h^3 f'' / 24 a layer: f'' = 2 * 0.25
    double exact = polygon * (36 + 12 + 4) * 8 / 3;
    NEAR(sum * 0.25e6, exact - polygon * 32 * 0.25 * 0.25 * 0.25 * 0.5 / 24, 1e-9);
    group_free(&g);
}

// A plane through a flat and through corners is as one just below: steps of 0.2 mm with planes in
// them, and a roof whose ridge is a plane's height.
static void planes_through_corners(void)
{
    group g = group_new();
    for (int i = 0; i < 6; i++) // treads at 0.1, 0.3, 0.5 ...
        box(&g.m, HW_BLOCK_ADD, (double[]){i, 0, 0}, (double[]){10, 10, 0.1 + 0.2 * i});
    add_part(&g, "stairs");
    hw_slices s;
    CHECK(slices(&g, 0.2, &s) == HW_OK);
    CHECK(s.layers == 6);
    for (size_t i = 0; i < s.layers; i++) {
        // 0.1 mm is no multiple of the mesh's grid, so a tread lies up to half a step from a plane
        double a = s.slice[i].area * 1e6, with = 10 * (10 - (double)i);
        CHECK(fabs(a - with) < 1e-3 || fabs(a - (with - 10)) < 1e-3);
    }
    group_free(&g);
    g = group_new();
    for (int i = 0; i < 6; i++) // on the grid: heights in eighths, layers of a quarter
        box(&g.m, HW_BLOCK_ADD, (double[]){i, 0, 0}, (double[]){10, 10, 0.125 + 0.25 * i});
    add_part(&g, "stairs");
    CHECK(slices(&g, 0.25, &s) == HW_OK);
    CHECK(s.layers == 6);
    for (size_t i = 0; i < s.layers; i++) {
        CLOSE(s.slice[i].area * 1e6, 10 * (10 - (double)i), 1e-12);
        CHECK(s.slice[i].rings == 1 && s.slice[i].ring[0].n == 4);
    }
    group_free(&g);
    g = group_new();
    plate(&g.m, HW_BLOCK_ADD, 0, 4, polygon(&g.m, 3, (double[]){0, 0, 2, 0, 1, 0.625}));
    add_part(&g, "roof");
    CHECK(slices(&g, 0.25, &s) == HW_OK);
    CHECK(s.layers == 3);
    CLOSE(s.slice[1].area * 1e6, 4 * 2 * (1 - 0.375 / 0.625), 1e-9);
    CHECK(s.slice[2].rings == 0 && s.slice[2].area == 0); // the ridge itself has no area
    group_free(&g);
}

static void holes_and_bodies(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 20, 2});
    box(&g.m, HW_BLOCK_CUT, (double[]){2, 2, -1}, (double[]){18, 18, 3});
    box(&g.m, HW_BLOCK_ADD, (double[]){5, 5, 0}, (double[]){15, 15, 2});
    box(&g.m, HW_BLOCK_CUT, (double[]){7, 7, -1}, (double[]){13, 13, 3});
    box(&g.m, HW_BLOCK_ADD, (double[]){9, 9, 0}, (double[]){11, 11, 2});
    add_part(&g, "rings");
    hw_slices s;
    CHECK(slices(&g, 0.5, &s) == HW_OK);
    CHECK(s.layers == 4);
    for (size_t i = 0; i < s.layers; i++) {
        const hw_print_slice *one = &s.slice[i];
        CHECK(one->rings == 5 && one->bodies == 3);
        CLOSE(one->area * 1e6, 400.0 - 256 + 100 - 36 + 4, 1e-9);
        double of[3] = {0};
        for (size_t k = 0; k < one->rings; k++) of[one->ring[k].body] += one->ring[k].area * 1e6;
        for (int k = 0; k < 3; k++) // every hole with what it is in
            CHECK(fabs(of[k] - 144) < 1e-6 || fabs(of[k] - 64) < 1e-6 || fabs(of[k] - 4) < 1e-6);
        CHECK(of[0] != of[1] && of[1] != of[2] && of[0] != of[2]);
    }
    group_free(&g);
}

static int below(hw_rng *rng, int n)
{
    return (int)(hw_rng_next(rng) % (uint64_t)n);
}

// Rings within rings, in whatever order they come.
static void nested_in_any_order(void)
{
    for (int order = 0; order < 6; order++) {
        group g = group_new();
        hw_mesh tube[3];
        for (int i = 0; i < 3; i++) {
            double r = 4.0 + 4 * i;
            box(&g.m, HW_BLOCK_ADD, (double[]){-r, -r, 0}, (double[]){r, r, 2});
            box(&g.m, HW_BLOCK_CUT, (double[]){1 - r, 1 - r, -1}, (double[]){r - 1, r - 1, 3});
            add_part(&g, "tube");
            tube[i] = *g.part[--g.n].mesh;
        }
        int a = order % 3, b = (a + 1 + order / 3) % 3;
        hw_mesh all = joined(g.m.keep, joined(g.m.keep, tube[a], tube[b]), tube[3 - a - b]);
        add_mesh(&g, "tubes", all);
        hw_slices s;
        CHECK(slices(&g, 0.5, &s) == HW_OK);
        CHECK(s.slice[0].rings == 6 && s.slice[0].bodies == 3);
        double of[3] = {0};
        for (size_t k = 0; k < 6; k++) of[s.slice[0].ring[k].body] += s.slice[0].ring[k].area * 1e6;
        for (int i = 0; i < 3; i++) { // 4 ((r)^2 - (r - 1)^2)
            double want = 4 * (2 * (4.0 + 4 * i) - 1);
            int found = 0;
            for (int k = 0; k < 3; k++) found += fabs(of[k] - want) < 1e-6;
            CHECK(found == 1);
        }
        group_free(&g);
    }
}

// Piles of boxes with whole coordinates: every slice's area is the number of cells.
static void random_piles(void)
{
    enum { SIDE = 10 };
    hw_rng rng = hw_rng_new(20, 7);
    int judged = 0;
    for (int round = 0; round < 400; round++) {
        group g = group_new();
        bool cell[SIDE][SIDE][SIDE] = {0};
        int boxes = 2 + below(&rng, 6);
        for (int b = 0; b < boxes; b++) {
            int low[3], high[3];
            bool add = b == 0 || below(&rng, 3) > 0;
            for (int k = 0; k < 3; k++) {
                low[k] = below(&rng, SIDE - 1);
                high[k] = low[k] + 1 + below(&rng, SIDE - 1 - low[k]);
            }
            box(&g.m, add ? HW_BLOCK_ADD : HW_BLOCK_CUT, (double[]){low[0], low[1], low[2]},
                (double[]){high[0], high[1], high[2]});
            for (int x = low[0]; x < high[0]; x++)
                for (int y = low[1]; y < high[1]; y++)
                    for (int z = low[2]; z < high[2]; z++) cell[x][y][z] = add;
        }
        hw_mesh mesh;
        hw_mesh_made made;
        hw_mesh_def def = hw_mesh_def_default();
        hw_solid solid = {g.m.block, g.m.n};
        hw_code code = hw_solid_mesh(g.m.keep, g.m.work, &solid, &def, NULL, &mesh, &made);
        if (code == HW_OK && mesh.tris) { // piles that touch in an edge only are refused
            judged++;
            add_mesh(&g, "pile", mesh);
            hw_slices s;
            CHECK(slices(&g, 0.5, &s) == HW_OK); // planes at quarters, never at a face
            for (size_t i = 0; i < s.layers; i++) {
                int count = 0;
                for (int x = 0; x < SIDE; x++)
                    for (int y = 0; y < SIDE; y++) count += cell[x][y][i / 2];
                CLOSE(s.slice[i].area * 1e6, (double)count, 1e-9);
            }
            CHECK(slices(&g, 2, &s) == HW_OK); // planes at 1, 3, 5: at faces, as just below them
            for (size_t i = 0; i < s.layers; i++) {
                int count = 0;
                for (int x = 0; x < SIDE; x++)
                    for (int y = 0; y < SIDE; y++) count += cell[x][y][2 * i];
                NEAR(s.slice[i].area * 1e6, (double)count, 1e-9 * SIDE * SIDE);
            }
        }
        group_free(&g);
    }
    CHECK(judged > 150);
}

static void bad_meshes(void)
{
    group g = group_new();
    hw_slices s;
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT && g.bad == SIZE_MAX); // no parts
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){5, 5, 5});
    add_part(&g, "good");
    CHECK(slices(&g, 0, &s) == HW_BAD_INPUT && g.bad == SIZE_MAX);
    CHECK(slices(&g, (double)NAN, &s) == HW_BAD_INPUT);
    CHECK(slices(&g, 1e-5, &s) == HW_LIMIT);
    add_mesh(&g, "empty", (hw_mesh){0});
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT && g.bad == 1 && s.layers == 0);
    hw_mesh cube = *g.part[0].mesh, bad = joined(g.m.keep, cube, (hw_mesh){0});
    hw_mesh *put = HW_NEW(g.m.keep, hw_mesh, 1);
    g.part[1].mesh = put;
    *put = bad;
    CHECK(slices(&g, 0.2, &s) == HW_OK && s.layers == 25);
    bad.vert[3].x = (double)NAN;
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT && g.bad == 1);
    bad.vert[3].x = (double)INFINITY;
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT);
    bad = joined(g.m.keep, cube, (hw_mesh){0});
    *put = bad;
    put->tris--; // open
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT && g.bad == 1);
    put->tris++;
    uint32_t swap = put->tri[0];
    put->tri[0] = put->tri[1], put->tri[1] = swap; // one triangle the wrong way round
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT);
    put->tri[1] = put->tri[0], put->tri[0] = swap;
    CHECK(slices(&g, 0.2, &s) == HW_OK);
    put->tri[4] = 99; // no such corner
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT);
    *put = joined(g.m.keep, cube, (hw_mesh){0});
    for (size_t t = 0; t < put->tris; t++) { // inside out
        swap = put->tri[3 * t];
        put->tri[3 * t] = put->tri[3 * t + 1], put->tri[3 * t + 1] = swap;
    }
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT && g.bad == 1);
    *put = joined(g.m.keep, cube, cube);
    memcpy(put->tri + 3 * cube.tris, put->tri, 3 * cube.tris * sizeof *put->tri); // all edges twice
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT);
    *put = joined(g.m.keep, cube, (hw_mesh){0});
    for (size_t i = 0; i < put->verts; i++) put->vert[i].z -= 1e-3; // below the bed
    CHECK(slices(&g, 0.2, &s) == HW_BAD_INPUT && g.bad == 1);
    group_free(&g);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(box_slices);
    RUN(ball_slices);
    RUN(cone_slices);
    RUN(planes_through_corners);
    RUN(holes_and_bodies);
    RUN(nested_in_any_order);
    RUN(random_piles);
    RUN(bad_meshes);
    return TEST_END();
}
