#include "base/rng.h"
#include "check.h"
#include "make.h"

static double perimeter(const hw_polygon *l)
{
    double sum = 0;
    for (size_t i = 0; i < l->n; i++) sum += hw_norm(hw_sub(l->at[(i + 1) % l->n], l->at[i]));
    return sum;
}

static hw_polygon hull_loop(hw_arena *keep, const hw_circle *disc, size_t n, double deviation)
{
    hw_profile o;
    hw_polygon l = {0};
    CHECK(hw_profile_hull(keep, disc, n, &o) == HW_OK);
    CHECK(hw_profile_polygon(keep, &o, deviation, &l) == HW_OK);
    return l;
}

static void bad_input(void)
{
    hw_arena *keep = hw_arena_new(0);
    hw_profile o;
    hw_polygon l, k;
    const hw_circle point[2] = {{{1, 2}, 0}, {{1, 2}, 0}}, negative = {{0, 0}, -1};
    const hw_circle odd = {{NAN, 0}, 1};
    CHECK(hw_profile_hull(keep, point, 0, &o) == HW_BAD_INPUT);
    CHECK(hw_profile_hull(keep, point, 2, &o) == HW_BAD_INPUT);
    CHECK(hw_profile_hull(keep, &negative, 1, &o) == HW_BAD_INPUT);
    CHECK(hw_profile_hull(keep, &odd, 1, &o) == HW_BAD_INPUT && o.n == 0);
    hw_corner node[2] = {{{0, 0}, 1}, {{1, 0}, 1}};
    hw_profile two = {node, 2};
    CHECK(hw_profile_polygon(keep, &two, 0, &l) == HW_BAD_INPUT);
    CHECK(hw_profile_polygon(keep, &two, NAN, &l) == HW_BAD_INPUT);
    CHECK(hw_profile_polygon(keep, &two, 1e-30, &l) == HW_LIMIT);
    two.n = 1;
    CHECK(hw_profile_polygon(keep, &two, 0.1, &l) == HW_BAD_INPUT);
    CHECK(hw_polygon_circle(keep, (hw_circle){{0, 0}, 1}, 2, &l) == HW_BAD_INPUT);
    CHECK(hw_polygon_circle(keep, (hw_circle){{0, 0}, 0}, 8, &l) == HW_BAD_INPUT && l.n == 0);
    CHECK(hw_polygon_raise(keep, &l, 0, &l, &k) == HW_BAD_INPUT);
    hw_arena_free(keep);
}

// One disc, and discs inside it: the circle.
static void one_disc(void)
{
    hw_arena *keep = hw_arena_new(0);
    const hw_circle d[4] = {{{1, 2}, 3}, {{1, 2}, 3}, {{2, 2}, 1}, {{1, 1}, 0}};
    for (size_t n = 1; n <= 4; n++) {
        hw_polygon l = hull_loop(keep, d, n, 1e-6);
        CLOSE(hw_polygon_area(&l), HW_PI * 9, 1e-6); // deviation over radius, twice at most
        CLOSE(perimeter(&l), HW_PI * 6, 1e-6);
    }
    hw_arena_free(keep);
}

// A stadium: area pi r^2 + 2 r l, perimeter 2 pi r + 2 l; also turned and with collinear discs
// between.
static void stadium(void)
{
    hw_arena *keep = hw_arena_new(0);
    for (int turn = 0; turn < 24; turn++) {
        double c = cos(turn * HW_PI / 12), s = sin(turn * HW_PI / 12);
        const hw_circle d[4] = {{{5, 7}, 2},
                                {{5 + 4 * c, 7 + 4 * s}, 2},
                                {{5 + 10 * c, 7 + 10 * s}, 2},
                                {{5 + 6 * c, 7 + 6 * s}, 1}};
        hw_polygon l = hull_loop(keep, d, 4, 1e-6);
        CLOSE(hw_polygon_area(&l), HW_PI * 4 + 40, 1e-6);
        CLOSE(perimeter(&l), HW_PI * 4 + 20, 1e-6);
    }
    hw_arena_free(keep);
}

// Radius 0: the plain convex hull; four corners of a square and points on its sides and inside.
static void sharp_square(void)
{
    hw_arena *keep = hw_arena_new(0);
    const hw_circle d[7] = {{{0, 0}, 0},  {{1, 1}, 0},   {{1, 0}, 0},  {{0, 1}, 0},
                            {{.5, 0}, 0}, {{.5, .5}, 0}, {{.25, 0}, 0}};
    hw_profile o;
    CHECK(hw_profile_hull(keep, d, 7, &o) == HW_OK);
    CHECK(o.n == 4);
    hw_polygon l = hull_loop(keep, d, 7, 0.1);
    NEAR(hw_polygon_area(&l), 1, 1e-15); // exact corners
    NEAR(perimeter(&l), 4, 1e-15);
    hw_arena_free(keep);
}

// The hull of a big, a small and a big disc in a row holds the small one; of a big disc between
// two small ones the big one has two arcs.
static void two_arcs(void)
{
    hw_arena *keep = hw_arena_new(0);
    const hw_circle thin[3] = {{{-5, 0}, 2}, {{0, 0}, 1}, {{5, 0}, 2}};
    hw_polygon l = hull_loop(keep, thin, 3, 1e-6);
    CLOSE(hw_polygon_area(&l), HW_PI * 4 + 40, 1e-6);
    const hw_circle fat[3] = {{{-5, 0}, 1}, {{0, 0}, 3}, {{5, 0}, 1}};
    l = hull_loop(keep, fat, 3, 1e-6);
    // four mirrored quarters: tangent length t, tangent angle a from the axis
    double a = asin(2.0 / 5), t = sqrt(21);
    double area = 4 * ((3 + 1) * t / 2 + 9 * a / 2 + 1 * (HW_PI / 2 - a) / 2);
    CLOSE(hw_polygon_area(&l), area, 1e-6);
    hw_arena_free(keep);
}

// How far a hull reaches in direction u is how far its farthest disc does; random discs on a small
// grid so that tangents coincide often. Growing all radii grows that reach.
static void reach(void)
{
    hw_rng r = hw_rng_new(5, 0);
    hw_arena *keep = hw_arena_new(0);
    for (int n = 0; n < 2000; n++) {
        size_t count = 1 + hw_rng_next(&r) % 6, mark = hw_arena_mark(keep);
        hw_circle d[6];
        for (size_t i = 0; i < count; i++)
            d[i] = (hw_circle){{(double)(hw_rng_next(&r) % 5), (double)(hw_rng_next(&r) % 5)},
                               1 + (double)(hw_rng_next(&r) % 3) / 2};
        hw_polygon l = hull_loop(keep, d, count, 1e-4);
        double worst = 0;
        for (int k = 0; k < 16; k++) {
            hw_vec2 u = {cos(k * HW_PI / 8), sin(k * HW_PI / 8)};
            double want = -INFINITY, got = -INFINITY;
            for (size_t i = 0; i < count; i++) want = fmax(want, hw_dot(d[i].at, u) + d[i].radius);
            for (size_t i = 0; i < l.n; i++) got = fmax(got, hw_dot(l.at[i], u));
            worst = fmax(worst, fabs(got - want));
        }
        CHECK(worst <= 1.001e-4); // chords
        bool convex = true;
        for (size_t i = 0; i < l.n; i++) {
            hw_vec2 a = hw_sub(l.at[(i + 1) % l.n], l.at[i]);
            hw_vec2 b = hw_sub(l.at[(i + 2) % l.n], l.at[(i + 1) % l.n]);
            convex = convex && a.x * b.z - a.z * b.x > -1e-9;
        }
        CHECK(convex);
        hw_arena_rewind(keep, mark);
    }
    hw_arena_free(keep);
}

// Chords stay within the deviation, and do not waste: twice the points would be within a quarter.
static void deviation(void)
{
    hw_arena *keep = hw_arena_new(0);
    const double bulge[4] = {0.1, 0.4142135623730951, 1, 3};
    for (int i = 0; i < 8; i++) {
        double b = i < 4 ? bulge[i] : -bulge[i - 4];
        hw_corner node[2] = {{{0, 0}, b}, {{1, 0}, 0}};
        hw_profile o = {node, 2};
        hw_polygon l;
        CHECK(hw_profile_polygon(keep, &o, 1e-3, &l) == HW_OK);
        double radius = (1 + b * b) / (4 * fabs(b)), chord = hw_norm(hw_sub(l.at[1], l.at[0]));
        double sagitta = radius - sqrt(radius * radius - chord * chord / 4);
        CHECK(sagitta <= 1e-3 && sagitta > 0.2e-3);
        // area of the segment: r^2 (t - sin t)/2 with t = 4 atan(bulge); the arc lies to the right
        double t = 4 * atan(fabs(b));
        CLOSE(fabs(hw_polygon_area(&l)), radius * radius * (t - sin(t)) / 2, 4e-3 / fabs(b) + 2e-3);
        CHECK((hw_polygon_area(&l) > 0) == (b > 0));
    }
    for (double r = 1e-3; r < 1e3; r *= 7) {
        size_t n = hw_circle_points(r, 1e-4 * r);
        CHECK(n % 4 == 0 && r * (1 - cos(HW_PI / (double)n)) <= 1e-4 * r);
        CHECK(n < 240); // pi / acos(1 - 1e-4) = 222.1
    }
    CHECK(hw_circle_points(1, 1e-12) > 2000000 / 2 && hw_circle_points(0, 1) == 4);
    hw_arena_free(keep);
}

static void raised(void)
{
    model m = model_new();
    hw_polygon l = polygon(&m, 4, (double[]){0, 0, 10, 0, 12, 5, -2, 5}), low, high;
    CHECK(hw_polygon_raise(m.keep, &l, 0.4e-3, &low, &high) == HW_OK);
    CHECK(low.n == 6 && high.n == 6);
    NEAR(hw_polygon_area(&low), hw_polygon_area(&l), 1e-18); // 1e-13 of it
    // the trapezium from z = 0.4 up: widths 10.32 and 14
    NEAR(hw_polygon_area(&high), (10.32 + 14) / 2 * 4.6e-6, 1e-18);
    taper(&m, HW_BLOCK_ADD, 0, 0.4, high, low); // the chamfer
    plate(&m, HW_BLOCK_ADD, 0.4, 2, l);
    hw_mesh mesh;
    hw_mesh_made made;
    hw_mesh_report report;
    CHECK(build(&m, &mesh, &made, &report) == HW_OK);
    CHECK(hw_mesh_sound(&report));
    CHECK(hw_polygon_raise(m.keep, &l, -1, &low, &high) == HW_OK && low.n == 4); // nothing below
    model_free(&m);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(bad_input);
    RUN(one_disc);
    RUN(stadium);
    RUN(sharp_square);
    RUN(two_arcs);
    RUN(reach);
    RUN(deviation);
    RUN(raised);
    return TEST_END();
}
