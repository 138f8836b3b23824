// Walls: thin ones, odd ones, and what only looks like one.
#include "check.h"

#include "shape.h"

static void plain_walls(void)
{
    const double thick[] = {0.3, 0.5, 0.84, 1.05, 2, 2.5};
    for (int i = 0; i < 6; i++) {
        group g = group_new();
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){12, 12, 4});
        box(&g.m, HW_BLOCK_CUT, (double[]){thick[i], thick[i], -1},
            (double[]){12 - thick[i], 12 - thick[i], 5});
        add_part(&g, "frame");
        CHECK(judge(&g) == HW_OK);
        const hw_print_of *of = g.got.of;
        if (i < 5)
            CLOSE(of->wall, thick[i] * 1e-3, 1e-3);
        else
            CHECK(isinf(of->wall)); // beyond five lines
        CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_WALL) == of->wall / g.def.line);
        // 0.3 is no wall at all, 0.5 is 1.2 lines, 0.84 two, 1.05 two and a half, 2 more than four
        CHECK((of->odd_share > 0) == (i == 3));
        if (i == 3) {
            CHECK(of->odd_share > 0.85);
            CLOSE(of->odd_wall, 1.05e-3, 1e-3);
        }
        group_free(&g);
    }
}

// What is thin in fewer than three layers is a tip: a ridge's top, a round back.
static void tips_are_no_walls(void)
{
    for (int layers = 1; layers <= 4; layers++) {
        group g = group_new();
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){12, 12, 4});
        box(&g.m, HW_BLOCK_ADD, (double[]){5, 0, 4}, (double[]){5.3, 12, 4 + 0.2 * layers});
        add_part(&g, "ridge");
        CHECK(judge(&g) == HW_OK);
        CHECK(isinf(g.got.of[0].wall) == (layers < 3));
        if (layers >= 3) {
            CLOSE(g.got.of[0].wall, 0.3e-3, 1e-3);
            CHECK(g.got.of[0].wall_layer >= 22);
            NEAR(g.got.of[0].wall_at.x, 5.15e-3, 0.16e-3);
        }
        group_free(&g);
    }
    group g = group_new();
    plate(&g.m, HW_BLOCK_ADD, 0, 12, circle(&g.m, 0, 4, 4, 128)); // its highest slices are strips
    add_part(&g, "round");
    for (int i = 0; i < 12; i++) {
        g.def.layer = 0.2e-3 + 0.0021e-3 * i;
        CHECK(judge(&g) == HW_OK);
        CHECK(g.got.of[0].wall > g.def.line);
    }
    group_free(&g);
    g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){12, 0.3, 0.2}); // one layer in all
    add_part(&g, "string");
    CHECK(judge(&g) == HW_OK);
    CLOSE(g.got.of[0].wall, 0.3e-3, 1e-3);
    group_free(&g);
}

// Two engraved strokes a quarter of a millimetre apart: a thin wall, unless they are declared, and
// then only as deep as was said. A fold of the mesh's grid has no walls.
static void engraved_strokes(void)
{
    for (int i = 0; i < 3; i++) {
        group g = group_new();
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){12, 6, 6});
        for (int k = 0; k < 2; k++)
            box(&g.m, HW_BLOCK_CUT, (double[]){5 + 0.75 * k, -1, 2},
                (double[]){5.5 + 0.75 * k, 0.4, 4});
        add_part(&g, "letters");
        if (i > 0)
            allow(&g, HW_ALLOW_LETTERS, (double[]){5, -0.4, 2},
                  (double[]){6.25, i == 1 ? 0.4 : 0.1, 4});
        CHECK(judge(&g) == HW_OK);
        if (i == 1)
            CHECK(isinf(g.got.of[0].wall));
        else
            CLOSE(g.got.of[0].wall, 0.25e-3, 1e-3);
        group_free(&g);
    }
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){12, 6, 6});
    box(&g.m, HW_BLOCK_ADD, (double[]){5, 5, 0}, (double[]){5.2, 6.005, 6});
    add_part(&g, "fold");
    CHECK(judge(&g) == HW_OK && isinf(g.got.of[0].wall));
    group_free(&g);
}

// Corners of 60 degrees that end bluntly, 0.2 mm wide and 0.15 mm long, are no walls; the same end
// 0.6 mm long is one.
static void blunt_corners(void)
{
    for (int i = 0; i < 2; i++) {
        group g = group_new();
        const double foot = 5 * sqrt(3), end = foot + (i ? 0.6 : 0.15);
        taper(&g.m, HW_BLOCK_ADD, 0, foot, rectangle(&g.m, 0, 0, 10.2, 4),
              rectangle(&g.m, 5, 0, 5.2, 4));
        box(&g.m, HW_BLOCK_ADD, (double[]){5, foot - 1, 0}, (double[]){5.2, end, 4});
        add_part(&g, "corner");
        CHECK(judge(&g) == HW_OK);
        if (i)
            CLOSE(g.got.of[0].wall, 0.2e-3, 1e-3);
        else
            CHECK(g.got.of[0].wall > g.def.line);
        group_free(&g);
    }
}

// A wall that thins out is as thick as it is at its thin end; a slot in a block is no wall.
static void tapers_and_slots(void)
{
    group g = group_new();
    taper(&g.m, HW_BLOCK_ADD, 0, 12, rectangle(&g.m, 0, 0, 1.6, 4), rectangle(&g.m, 0, 0, 0.6, 4));
    add_part(&g, "taper");
    CHECK(judge(&g) == HW_OK);
    NEAR(g.got.of[0].wall, 0.62e-3, 0.025e-3); // samples a line apart
    CHECK(g.got.of[0].wall_at.y > 11e-3);
    g.n = 0;
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){12, 12, 4});
    box(&g.m, HW_BLOCK_CUT, (double[]){5.9, 3, -1}, (double[]){6.1, 9, 5});
    add_part(&g, "slot");
    CHECK(judge(&g) == HW_OK && isinf(g.got.of[0].wall));
    group_free(&g);
}

// Corners are no walls, and strips that lie apart are none together.
static void corners_and_strips(void)
{
    group g = group_new();
    add_mesh(&g, "triangle", turned(g.m.keep, 0, 0, 2, (double[]){8, 8}, (double[]){0, 5}, 3));
    CHECK(judge(&g) == HW_OK && isinf(g.got.of[0].wall) && g.got.of[0].odd_share == 0);
    g.n = 0;
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){12, 12, 4});
    for (int i = 0; i < 3; i++)
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 2 + 3 * i, 4.2 + 0.2 * i},
            (double[]){12, 2.3 + 3 * i, 4.4 + 0.2 * i});
    add_part(&g, "strips");
    CHECK(judge(&g) == HW_OK && isinf(g.got.of[0].wall));
    group_free(&g);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(plain_walls);
    RUN(tips_are_no_walls);
    RUN(engraved_strokes);
    RUN(blunt_corners);
    RUN(tapers_and_slots);
    RUN(corners_and_strips);
    return TEST_END();
}
