#include "base/rng.h"
#include "check.h"
#include "make.h"

static hw_section section_of(model *m, double y)
{
    hw_solid solid = {m->block, m->n};
    hw_mesh_def def = hw_mesh_def_default();
    hw_section s;
    hw_mesh_made made;
    CHECK(hw_solid_section(m->keep, m->work, &solid, &def, y * 1e-3, NULL, &s, &made) == HW_OK);
    CHECK(hw_arena_mark(m->work) == 0);
    return s;
}

static double area_of(const hw_section *s) // [mm^2]
{
    double sum = 0;
    for (size_t i = 0; i < s->rings; i++) sum += hw_polygon_area(&s->ring[i]) * 1e6;
    return sum;
}

static void nothing_there(void)
{
    model m = model_new();
    CHECK(section_of(&m, 0).rings == 0);
    plate(&m, HW_BLOCK_ADD, 0, 1, rectangle(&m, 0, 0, 1, 1));
    CHECK(section_of(&m, -0.1).rings == 0);
    CHECK(section_of(&m, 0).rings == 1);
    CHECK(section_of(&m, 1).rings == 0); // the layer above the last plane
    plate(&m, HW_BLOCK_CUT, 0, 1, rectangle(&m, -1, -1, 2, 2));
    CHECK(section_of(&m, 0.5).rings == 0);
    hw_solid solid = {m.block, m.n};
    hw_mesh_def def = hw_mesh_def_default();
    hw_section s;
    hw_mesh_made made;
    CHECK(hw_solid_section(m.keep, m.work, &solid, &def, NAN, NULL, &s, &made) == HW_BAD_INPUT);
    m.block[1].y[1] = m.block[1].y[0];
    CHECK(hw_solid_section(m.keep, m.work, &solid, &def, 0, NULL, &s, &made) == HW_BAD_INPUT);
    CHECK(made.bad_block == 1 && s.rings == 0);
    model_free(&m);
}

// Two overlapping plates are one ring of eight corners; a hole in them is a ring the other way.
static void joined_with_hole(void)
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 1, rectangle(&m, 0, 0, 4, 4));
    plate(&m, HW_BLOCK_ADD, 0, 1, rectangle(&m, 2, 2, 6, 6));
    plate(&m, HW_BLOCK_CUT, 0, 1, circle(&m, 3, 3, 0.5, 24));
    hw_section s = section_of(&m, 0.5);
    CHECK(s.rings == 2);
    size_t outer = hw_polygon_area(&s.ring[0]) > 0 ? 0 : 1;
    CHECK(s.ring[outer].n == 8 && s.ring[1 - outer].n == 24);
    CLOSE(hw_polygon_area(&s.ring[outer]), 28e-6, 1e-5); // the grid
    CLOSE(hw_polygon_area(&s.ring[1 - outer]), -12e-6 * 0.25 * sin(HW_PI / 12), 1e-5);
    model_free(&m);
}

static void corner_to_corner(void)
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 1, rectangle(&m, 0, 0, 1, 1));
    plate(&m, HW_BLOCK_ADD, 0, 1, rectangle(&m, 1, 1, 2, 2));
    hw_section s = section_of(&m, 0.5);
    CHECK(s.rings == 2 && s.ring[0].n == 4 && s.ring[1].n == 4);
    plate(&m, HW_BLOCK_ADD, 0, 1, rectangle(&m, -1, -1, 3, 3)); // now all round, with two holes
    plate(&m, HW_BLOCK_CUT, 0, 1, rectangle(&m, 0, 0, 1, 1));
    plate(&m, HW_BLOCK_CUT, 0, 1, rectangle(&m, 1, 1, 2, 2));
    s = section_of(&m, 0.5);
    NEAR(area_of(&s), 14, 1e-4);
    model_free(&m);
}

// A cone's section is the circle between its ends.
static void of_a_cone(void)
{
    model m = model_new();
    taper(&m, HW_BLOCK_ADD, 1, 5, circle(&m, 0, 0, 3, 32), circle(&m, 0, 0, 1, 32));
    hw_section s = section_of(&m, 2);
    CHECK(s.rings == 1);
    CLOSE(area_of(&s), 16 * 2.5 * 2.5 * sin(HW_PI / 16), 1e-5);
    model_free(&m);
}

static int pick(hw_rng *r, int below)
{
    return (int)(hw_rng_next(r) % (uint64_t)below);
}

// Sections times thickness are the volume of the mesh, whether or not the mesh pinches elsewhere.
static void add_up(void)
{
    hw_rng r = hw_rng_new(21, 0);
    int compared = 0;
    for (int n = 0; n < 400; n++) {
        model m = model_new();
        int blocks = 1 + pick(&r, 6);
        for (int i = 0; i < blocks; i++) {
            double xz[8];
            for (int k = 0; k < 8; k++) xz[k] = pick(&r, 7);
            int y = pick(&r, 3);
            plate(&m, pick(&r, 3) ? HW_BLOCK_ADD : HW_BLOCK_CUT, y, y + 1 + pick(&r, 3 - y),
                  polygon(&m, 4, xz));
        }
        double volume = 0;
        for (int y = 0; y < 3; y++) {
            hw_section s = section_of(&m, y + 0.5);
            volume += area_of(&s);
        }
        hw_mesh mesh;
        hw_mesh_made made;
        hw_mesh_report report;
        if (build(&m, &mesh, &made, &report) == HW_OK) {
            compared++;
            // outlines of a plane are snapped without those of the others: a few steps along sides
            NEAR(report.volume, volume, 1e-3);
        }
        model_free(&m);
    }
    CHECK(compared > 100);
}

// A bed chamfer of 0.4 mm along the joined outline of a layer: the layer is cleared and built again
// from the rings of its section, outer ones added, holes cut.
static void chamfer_on_a_joined_outline(void)
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 4, rectangle(&m, 0, 0, 20, 6));
    plate(&m, HW_BLOCK_ADD, 0, 4, circle(&m, 20, 4, 4, 48));
    plate(&m, HW_BLOCK_CUT, 0, 4, rectangle(&m, 8, -1, 12, 3));
    plate(&m, HW_BLOCK_CUT, 0, 4, circle(&m, 20, 4, 1.5, 24));
    hw_mesh mesh;
    hw_mesh_made made;
    hw_mesh_report report;
    CHECK(build(&m, &mesh, &made, &report) == HW_OK);
    double whole = report.volume;
    hw_section s = section_of(&m, 0.2);
    plate(&m, HW_BLOCK_CUT, 0, 0.4, rectangle(&m, -1, -1, 30, 10));
    for (int holes = 0; holes < 2; holes++)
        for (size_t i = 0; i < s.rings; i++) {
            if ((hw_polygon_area(&s.ring[i]) < 0) != holes) continue;
            hw_polygon low, high;
            CHECK(hw_polygon_raise(m.keep, &s.ring[i], 0.4e-3, &low, &high) == HW_OK);
            taper(&m, holes ? HW_BLOCK_CUT : HW_BLOCK_ADD, 0, 0.4, high, low);
        }
    CHECK(build(&m, &mesh, &made, &report) == HW_OK);
    CHECK(hw_mesh_sound(&report));
    // triangles of 0.4 x 0.4 along 0 to 8 and 12 to the disc's side, 18.8 or so, and round its foot
    double gone = whole - report.volume;
    CHECK(gone > 0.08 * 14 && gone < 0.08 * 19);
    model_free(&m);
}

static void inset_square(void)
{
    model m = model_new();
    hw_polygon square = rectangle(&m, 0, 0, 10, 6), low, high;
    const double d = 1e-3, tolerance = 1e-6;
    CHECK(hw_polygon_inset(m.keep, &square, d, tolerance, &low, &high) == HW_OK);
    CHECK(low.n == 4 && high.n == 4);
    NEAR(hw_polygon_area(&high), 8 * 4e-6, 1e-18); // rounding, relative 1e-13
    CHECK(hw_polygon_inset(m.keep, &square, -d, tolerance, &low, &high) == HW_OK);
    NEAR(hw_polygon_area(&high), 12 * 8e-6, 1e-18);
    CHECK(hw_polygon_inset(m.keep, &square, 3.1 * d, tolerance, &low, &high) == HW_BAD_INPUT);
    CHECK(low.n == 0 && high.n == 0);
    CHECK(hw_polygon_inset(m.keep, &square, NAN, tolerance, &low, &high) == HW_BAD_INPUT);
    CHECK(hw_polygon_inset(m.keep, &square, d, -1, &low, &high) == HW_BAD_INPUT);
    CHECK(hw_polygon_inset(m.keep, &square, d, 1, &low, &high) == HW_BAD_INPUT); // all idle
    model_free(&m);
}

static void inset_drops_idle_corners(void)
{
    model m = model_new();
    hw_polygon p =
        polygon(&m, 8, (double[]){0, 0, 5, 1e-5, 10, 0, 10, 1e-5, 10, 6, 4, 6, 4, 6, 0, 6});
    hw_polygon low, high;
    CHECK(hw_polygon_inset(m.keep, &p, 1e-3, 1e-6, &low, &high) == HW_OK);
    CHECK(low.n == 4);
    CLOSE(hw_polygon_area(&high), 32e-6, 1e-4); // corners moved by the tolerance
    model_free(&m);
}

// A circle drawn in is the circle with its sides' distance less: r cos(pi/n) - d.
static void inset_circle(void)
{
    model m = model_new();
    hw_polygon c = circle(&m, 1, 2, 5, 40), low, high;
    CHECK(hw_polygon_inset(m.keep, &c, 2e-3, 1e-6, &low, &high) == HW_OK && high.n == 40);
    double inner = 5e-3 * cos(HW_PI / 40) - 2e-3;
    CLOSE(hw_polygon_area(&high), 40 * inner * inner * tan(HW_PI / 40), 1e-12);
    CHECK(hw_polygon_inset(m.keep, &c, 5e-3, 1e-6, &low, &high) == HW_BAD_INPUT);
    model_free(&m);
}

// An edge of 1.2 mm rounded in six steps all along a joined outline with a slot and a hole.
static void rounded_edge(void)
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 6, rectangle(&m, 0, 0, 20, 6));
    plate(&m, HW_BLOCK_ADD, 0, 6, circle(&m, 20, 4, 5, 48));
    plate(&m, HW_BLOCK_CUT, 0, 6, rectangle(&m, 6, -1, 12, 3));
    plate(&m, HW_BLOCK_CUT, 0, 6, circle(&m, 20, 4, 1.5, 24));
    hw_mesh mesh;
    hw_mesh_made made;
    hw_mesh_report report;
    CHECK(build(&m, &mesh, &made, &report) == HW_OK);
    double whole = report.volume;
    enum { STEPS = 6 };
    const double radius = 1.2;
    hw_section s = section_of(&m, 5);
    CHECK(s.rings == 2);
    plate(&m, HW_BLOCK_CUT, 6 - radius, 6, rectangle(&m, -1, -1, 30, 12));
    for (int holes = 0; holes < 2; holes++)
        for (size_t i = 0; i < s.rings; i++)
            for (int k = 0; k < STEPS && (hw_polygon_area(&s.ring[i]) < 0) == holes; k++) {
                double a = HW_PI / 2 * k / STEPS, b = HW_PI / 2 * (k + 1) / STEPS;
                hw_polygon same, low, high;
                double in = 1e-3 * radius;
                CHECK(hw_polygon_inset(m.keep, &s.ring[i], in * (1 - cos(a)), 1e-7, &same, &low) ==
                      HW_OK);
                CHECK(hw_polygon_inset(m.keep, &s.ring[i], in * (1 - cos(b)), 1e-7, &same, &high) ==
                      HW_OK);
                taper(&m, holes ? HW_BLOCK_CUT : HW_BLOCK_ADD, 6 - radius + radius * sin(a),
                      6 - radius + radius * sin(b), low, high);
            }
    CHECK(build(&m, &mesh, &made, &report) == HW_OK);
    CHECK(hw_mesh_sound(&report));
    // r^2 (1 - pi/4) along some 80 mm of outline, corners and facets for a tenth
    double gone = (whole - report.volume) / (radius * radius * (1 - HW_PI / 4));
    CHECK(gone > 65 && gone < 85);
    model_free(&m);
}

static void out_of_memory(void)
{
    hw_code code = HW_NO_MEMORY;
    size_t n = 0;
    for (; n < 2000 && code == HW_NO_MEMORY; n++) {
        model m = model_new();
        plate(&m, HW_BLOCK_ADD, 0, 4, circle(&m, 20, 4, 4, 48));
        plate(&m, HW_BLOCK_CUT, 0, 4, circle(&m, 21, 4, 1.5, 24));
        hw_solid solid = {m.block, m.n};
        hw_mesh_def def = hw_mesh_def_default();
        hw_section s;
        hw_mesh_made made;
        hw_arena_fail_after(m.work, n / 2);
        if (n % 2) hw_arena_fail_after(m.keep, n / 2);
        code = hw_solid_section(m.keep, m.work, &solid, &def, 1e-3, NULL, &s, &made);
        CHECK(code == HW_OK || (s.rings == 0 && !s.ring));
        model_free(&m);
    }
    CHECK(code == HW_OK && n > 20);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(nothing_there);
    RUN(joined_with_hole);
    RUN(corner_to_corner);
    RUN(of_a_cone);
    RUN(add_up);
    RUN(chamfer_on_a_joined_outline);
    RUN(inset_square);
    RUN(inset_drops_idle_corners);
    RUN(inset_circle);
    RUN(rounded_edge);
    RUN(out_of_memory);
    return TEST_END();
}
