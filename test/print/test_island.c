// Islands on hand-made parts, and on random piles against counted cells.
#include "check.h"

#include "base/rng.h"
#include "shape.h"

static void standing_parts(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){10, 10, 4});
    box(&g.m, HW_BLOCK_ADD, (double[]){2, 2, 4}, (double[]){4, 4, 9}); // two towers on a base
    box(&g.m, HW_BLOCK_ADD, (double[]){6, 6, 4}, (double[]){8, 8, 9});
    add_part(&g, "towers");
    CHECK(judge(&g) == HW_OK && g.got.islands == 0 && g.got.of[0].on_bed);
    CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_ISLANDS) == 0);
    CHECK(g.got.of[0].pieces == 1 && hw_print_value(&g.got, &g.def, HW_PRINT_PIECES) == 0);
    group_free(&g);
}

static void floating_block(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){10, 10, 2});
    box(&g.m, HW_BLOCK_ADD, (double[]){2, 3, 5}, (double[]){6, 5, 9});
    add_part(&g, "base and block");
    CHECK(judge(&g) == HW_OK);
    if (CHECK(g.got.islands == 1)) {
        const hw_print_island *i = g.got.island;
        CHECK(i->part == 0 && i->layer == 25); // 5.1 is the first plane in it
        CLOSE(i->area, 8e-6, 1e-9);
        NEAR(i->at.x, 4e-3, 1e-6);
        NEAR(i->at.y, 4e-3, 1.01e-3);
    }
    CHECK(g.got.of[0].pieces == 2 && hw_print_value(&g.got, &g.def, HW_PRINT_PIECES) == 1);
    CHECK(g.got.hangs == 1 && isinf(g.got.hang[0].jut) && g.got.hang[0].hold == HW_HANG_OPEN);
    // another part under it does not carry it
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 2.4}, (double[]){10, 10, 4.6});
    add_part(&g, "between");
    CHECK(judge(&g) == HW_OK && g.got.islands == 2);
    CHECK(!g.got.of[1].on_bed && g.got.of[0].on_bed);
    CHECK(g.got.island[0].part == 1 && g.got.island[1].part == 0);
    group_free(&g);
}

// A corner of a plate's underside that comes down by one layer begins in the air and is of no
// account; one that comes down by two, or is broader than a line, is an island.
static void lowest_corners(void)
{
    const double low[] = {3.8, 3.6, 3.8}, wide[] = {0.4, 0.1, 0.5};
    for (int i = 0; i < 3; i++) {
        group g = group_new();
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 4, 6});
        box(&g.m, HW_BLOCK_ADD, (double[]){4, 0, 4}, (double[]){10, 4, 6});
        box(&g.m, HW_BLOCK_ADD, (double[]){7, 2, low[i]}, (double[]){7 + wide[i], 2 + wide[i], 4});
        add_part(&g, "plate");
        CHECK(judge(&g) == HW_OK && g.got.islands == (i > 0));
        group_free(&g);
    }
}

// A grain in one layer alone, of less than a tenth of a line's square, is laid by no slicer; one
// that is larger, or of two layers, is an island.
static void grains(void)
{
    const double wide[] = {0.1, 0.2, 0.1}, high[] = {0.2, 0.2, 0.5};
    for (int i = 0; i < 3; i++) {
        group g = group_new();
        CHECK(g.def.line == 0.42e-3 && g.def.layer == 0.2e-3);
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 4, 6});
        box(&g.m, HW_BLOCK_ADD, (double[]){7, 2, 4},
            (double[]){7 + wide[i], 2 + wide[i], 4 + high[i]});
        add_part(&g, "block");
        CHECK(judge(&g) == HW_OK && g.got.islands == (i > 0));
        group_free(&g);
    }
}

// A peg that hangs from a bridge begins in the air, and so does a tip; an overhang that grows out
// of a wall does not.
static void hanging_peg(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 5, 8});
    box(&g.m, HW_BLOCK_ADD, (double[]){12, 0, 0}, (double[]){16, 5, 8});
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 6}, (double[]){16, 5, 8});
    add_part(&g, "gate");
    CHECK(judge(&g) == HW_OK && g.got.islands == 0);
    g.n = 0;
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 5, 8});
    box(&g.m, HW_BLOCK_ADD, (double[]){12, 0, 0}, (double[]){16, 5, 8});
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 6}, (double[]){16, 5, 8});
    box(&g.m, HW_BLOCK_ADD, (double[]){7, 1, 5}, (double[]){9, 4, 6});
    add_part(&g, "gate with a peg");
    CHECK(judge(&g) == HW_OK && g.got.islands == 1 && g.got.of[0].pieces == 1);
    CHECK(g.got.islands == 1 && g.got.island[0].layer == 25);
    g.n = 0;
    add_mesh(&g, "top",
             turned(g.m.keep, 0, 0, 3, (double[]){0.001, 5, 5}, (double[]){0, 5, 7}, 32));
    CHECK(judge(&g) == HW_OK && g.got.islands == 0); // its tip stands on the bed
    group_free(&g);
}

// Just above the first plane, and shells that are cavities.
static void first_layers_and_cavities(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0.25}, (double[]){10, 10, 4});
    add_part(&g, "lifted");
    CHECK(judge(&g) == HW_OK && g.got.islands == 1 && g.got.island[0].layer == 1);
    CHECK(!g.got.of[0].on_bed);
    g.n = 0;
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){10, 10, 10});
    box(&g.m, HW_BLOCK_CUT, (double[]){2, 2, 2}, (double[]){8, 8, 8});
    add_part(&g, "hollow");
    CHECK(judge(&g) == HW_OK && g.got.of[0].pieces == 1 && g.got.islands == 0);
    g.n = 0;
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){10, 10, 10});
    box(&g.m, HW_BLOCK_CUT, (double[]){2, 2, 2}, (double[]){8, 8, 8});
    box(&g.m, HW_BLOCK_ADD, (double[]){3, 3, 3}, (double[]){5, 5, 5});
    add_part(&g, "rattle");
    CHECK(judge(&g) == HW_OK && g.got.of[0].pieces == 2 && g.got.islands == 1);
    group_free(&g);
}

enum { SIDE = 9 };

// Marks what hangs together with a cell in its layer; says whether any of it stands on something.
static bool stands(bool cell[SIDE][SIDE][SIDE], bool seen[SIDE][SIDE][SIDE], int x, int y, int z)
{
    if (x < 0 || y < 0 || x >= SIDE || y >= SIDE || !cell[x][y][z] || seen[x][y][z]) return false;
    seen[x][y][z] = true;
    bool on = z == 0 || cell[x][y][z - 1];
    on |= stands(cell, seen, x + 1, y, z);
    on |= stands(cell, seen, x - 1, y, z);
    on |= stands(cell, seen, x, y + 1, z);
    on |= stands(cell, seen, x, y - 1, z);
    return on;
}

static int below(hw_rng *rng, int n)
{
    return (int)(hw_rng_next(rng) % (uint64_t)n);
}

static void random_piles(void)
{
    hw_rng rng = hw_rng_new(21, 7);
    int judged = 0, islands = 0;
    for (int round = 0; round < 500; round++) {
        group g = group_new();
        bool cell[SIDE][SIDE][SIDE] = {0}, seen[SIDE][SIDE][SIDE] = {0};
        int boxes = 2 + below(&rng, 5);
        for (int b = 0; b < boxes; b++) {
            int low[3], high[3];
            for (int k = 0; k < 3; k++) {
                low[k] = below(&rng, SIDE - 1);
                high[k] = low[k] + 1 + below(&rng, SIDE - 1 - low[k]);
            }
            box(&g.m, HW_BLOCK_ADD, (double[]){low[0], low[1], low[2]},
                (double[]){high[0], high[1], high[2]});
            for (int x = low[0]; x < high[0]; x++)
                for (int y = low[1]; y < high[1]; y++)
                    for (int z = low[2]; z < high[2]; z++) cell[x][y][z] = true;
        }
        hw_mesh mesh;
        hw_mesh_made made;
        hw_mesh_def def = hw_mesh_def_default();
        hw_solid solid = {g.m.block, g.m.n};
        if (hw_solid_mesh(g.m.keep, g.m.work, &solid, &def, NULL, &mesh, &made) == HW_OK) {
            size_t want = 0;
            for (int z = 0; z < SIDE; z++)
                for (int x = 0; x < SIDE; x++)
                    for (int y = 0; y < SIDE; y++)
                        if (cell[x][y][z] && !seen[x][y][z]) want += !stands(cell, seen, x, y, z);
            add_mesh(&g, "pile", mesh);
            g.def.layer = 0.5e-3;
            CHECK(judge(&g) == HW_OK && g.got.islands == want);
            judged++;
            islands += (int)want;
        }
        group_free(&g);
    }
    CHECK(judged > 200 && islands > 200);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(standing_parts);
    RUN(floating_block);
    RUN(lowest_corners);
    RUN(grains);
    RUN(hanging_peg);
    RUN(first_layers_and_cavities);
    RUN(random_piles);
    return TEST_END();
}
