// Filament and time of bodies whose insets are known in closed form.
#include "check.h"

#include "shape.h"

static void block(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 16, 10});
    add_part(&g, "block");
    CHECK(judge(&g) == HW_OK);
    // 50 layers, 4 lines of 0.42 mm all round, 4 solid layers at each end, 30 % between
    double d = 4 * 0.42, core = (20 - 2 * d) * (16 - 2 * d);
    double section = 50 * 320 - 0.7 * core * 42, volume = section * 0.2;
    CLOSE(g.got.of[0].filament * 1e9, volume, 1e-4);
    CLOSE(hw_print_value(&g.got, &g.def, HW_PRINT_MASS), volume * 1.24e-6, 1e-4);
    CLOSE(g.got.length * 1e3, section / 0.42, 1e-4);
    CHECK(g.got.outlines == 50 && g.got.layers == 50);
    CLOSE(hw_print_value(&g.got, &g.def, HW_PRINT_TIME),
          300 + section / 0.42 / 40 + 50 * 2 + 50 * 0.4, 1e-4);
    CLOSE(g.got.of[0].volume * 1e9, 3200.0, 1e-6);
    g.def.infill = 1;
    CHECK(judge(&g) == HW_OK);
    CLOSE(g.got.of[0].filament * 1e9, 3200.0, 1e-6); // solid: its own volume
    g.def.infill = 0;
    CHECK(judge(&g) == HW_OK);
    CLOSE(g.got.of[0].filament * 1e9, (50 * 320 - core * 42) * 0.2, 1e-4);
    g.def.solid_layers = 25;
    CHECK(judge(&g) == HW_OK);
    CLOSE(g.got.of[0].filament * 1e9, 3200.0, 1e-6); // floors and roofs meet
    g.def.solid_layers = 0;
    g.def.walls = 0;
    CHECK(judge(&g) == HW_OK && g.got.of[0].filament == 0);
    group_free(&g);
}

static void thin_and_hollow(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){100, 2.4, 16});
    add_part(&g, "thin plate"); // thinner than two walls: solid
    CHECK(judge(&g) == HW_OK);
    CLOSE(g.got.of[0].filament * 1e9, 100 * 2.4 * 16.0, 1e-3);
    g.n = 0;
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){30, 30, 8});
    box(&g.m, HW_BLOCK_CUT, (double[]){12, 12, -1}, (double[]){18, 18, 9});
    add_part(&g, "with a hole");
    CHECK(judge(&g) == HW_OK);
    double d = 1.68, core = (30 - 2 * d) * (30 - 2 * d) - (6 + 2 * d) * (6 + 2 * d);
    CLOSE(g.got.of[0].filament * 1e9, (40 * 864 - 0.7 * core * 32) * 0.2, 1e-4);
    CHECK(g.got.outlines == 80);
    g.n = 0;
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){2, 2, 8});
    add_part(&g, "post"); // its walls meet
    CHECK(judge(&g) == HW_OK);
    CLOSE(g.got.of[0].filament * 1e9, 32.0, 1e-4);
    g.n = 0; // a regular polygon drawn in by d is one whose inner radius is less by d
    add_mesh(&g, "round", turned(g.m.keep, 0, 0, 2, (double[]){9, 9}, (double[]){0, 6}, 40));
    CHECK(judge(&g) == HW_OK);
    double area = 20 * sin(2 * HW_PI / 40) * 81, inner = 9 * cos(HW_PI / 40);
    core = area * (inner - d) * (inner - d) / (inner * inner);
    CLOSE(g.got.of[0].filament * 1e9, (30 * area - 0.7 * core * 22) * 0.2, 1e-6);
    group_free(&g);
}

static void time_of_a_plate(void)
{
    hw_print_def def = hw_print_def_default();
    CHECK(hw_print_time(&def, 0, 0, 0) == 300);
    CLOSE(hw_print_time(&def, 4, 100, 50), 300 + 100 + 200 + 20.0, 1e-12);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(block);
    RUN(thin_and_hollow);
    RUN(time_of_a_plate);
    return TEST_END();
}
