// Gaps against closed forms and against dense samples of the same outlines.
#include "check.h"

#include "base/rng.h"
#include "shape.h"

static void side_by_side(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){10, 5, 4});
    add_part(&g, "left");
    box(&g.m, HW_BLOCK_ADD, (double[]){10.3125, 0, 0}, (double[]){20, 5, 4});
    box(&g.m, HW_BLOCK_CUT, (double[]){10, 0, 2}, (double[]){10.375, 5, 5}); // wider above 2 mm
    add_part(&g, "right");
    CHECK(judge(&g) == HW_OK);
    CLOSE(g.got.gap.gap, 0.3125e-3, 1e-4);
    CHECK(g.got.gap.a == 0 && g.got.gap.b == 1 && g.got.gap.layer < 10 && g.got.gap.above == 0);
    NEAR(g.got.gap.at.x, 10.15625e-3, 1e-6);
    CHECK(g.got.gap.at.y >= 0 && g.got.gap.at.y <= 5e-3);
    CHECK(g.got.layers == 20);
    for (size_t i = 0; i < g.got.layers; i++)
        CLOSE(g.got.slice_gap[i], (i < 10 ? 0.3125e-3 : 0.375e-3), 1e-4);
    CHECK(g.got.nears == 1 && g.got.near[0].gap == g.got.gap.gap);
    CLOSE(hw_print_value(&g.got, &g.def, HW_PRINT_GAP), 0.0625e-3, 1e-3);
    CLOSE(g.got.step.gap, 0.3125e-3, 1e-4); // upright walls: no stairs
    CHECK(g.got.step.above == 1);
    CLOSE(g.got.first.gap, 0.3125e-3, 1e-4);
    CHECK(g.got.islands == 0);
    group_free(&g);
}

static void corner_to_corner(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){10, 5, 1});
    add_part(&g, "low");
    box(&g.m, HW_BLOCK_ADD, (double[]){13, 9, 0}, (double[]){20, 15, 1});
    add_part(&g, "high");
    CHECK(judge(&g) == HW_OK);
    CLOSE(g.got.gap.gap, 5e-3, 1e-4); // far beyond two gaps: 3, 4, 5
    CLOSE(g.got.step.gap, 5e-3, 1e-4);
    CLOSE(g.got.first.gap, 5e-3, 1e-4);
    CHECK(g.got.nears == 0 && isinf(g.got.slice_gap[0]));
    g.n = 1;
    CHECK(judge(&g) == HW_OK); // alone
    CHECK(isinf(g.got.gap.gap) && g.got.gap.a == SIZE_MAX);
    CHECK(isinf(hw_print_value(&g.got, &g.def, HW_PRINT_GAP)));
    group_free(&g);
}

static void parts_that_meet(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){10, 10, 4});
    add_part(&g, "block");
    box(&g.m, HW_BLOCK_ADD, (double[]){8, 8, 0}, (double[]){20, 20, 4});
    add_part(&g, "overlaps");
    CHECK(judge(&g) == HW_OK && g.got.gap.gap == 0);
    CHECK(g.got.gap.at.x > 7.9e-3 && g.got.gap.at.x < 10.1e-3);
    g.n = 1;
    box(&g.m, HW_BLOCK_ADD, (double[]){3, 3, 1}, (double[]){6, 6, 3});
    add_part(&g, "inside"); // crosses no outline
    CHECK(judge(&g) == HW_OK && g.got.gap.gap == 0 && g.got.gap.layer == 5);
    CHECK(g.got.slice_gap[4] > 0 && g.got.slice_gap[5] == 0 && g.got.step.gap == 0);
    g.n = 1;
    box(&g.m, HW_BLOCK_ADD, (double[]){3, 3, 4.05}, (double[]){6, 6, 6});
    add_part(&g, "on top"); // no layer between them
    CHECK(judge(&g) == HW_OK && g.got.step.gap == 0 && g.got.step.above == 1);
    CHECK(g.got.step.a == 0 && g.got.step.b == 1 && g.got.step.layer == 19);
    CHECK(isinf(g.got.gap.gap)); // they share no slice
    g.n = 1;
    box(&g.m, HW_BLOCK_ADD, (double[]){3, 3, 4.4}, (double[]){6, 6, 6});
    add_part(&g, "above"); // two layers of air
    CHECK(judge(&g) == HW_OK && g.got.step.above == 3);
    CLOSE(g.got.step.gap, 0.4e-3, 1e-9);
    g.n = 0; // the small one first: found from either side
    box(&g.m, HW_BLOCK_ADD, (double[]){3, 3, 0}, (double[]){6, 6, 2});
    add_part(&g, "under");
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 2.2}, (double[]){10, 10, 4});
    add_part(&g, "lid");
    CHECK(judge(&g) == HW_OK && g.got.step.above == 2);
    CLOSE(g.got.step.gap, 0.2e-3, 1e-9);
    group_free(&g);
}

// Two faces at 45 degrees, 0.25 mm apart: 0.354 in every slice, and a layer less between stairs.
static void stairs(void)
{
    const double wide = 0.25 * sqrt(2);
    group g = group_new();
    plate(&g.m, HW_BLOCK_ADD, 0, 6, polygon(&g.m, 4, (double[]){0, 0, 10, 0, 4, 6, 0, 6}));
    add_part(&g, "ramp");
    plate(&g.m, HW_BLOCK_ADD, 0, 6,
          polygon(&g.m, 4, (double[]){10 + wide, 0, 20, 0, 20, 6, 4 + wide, 6}));
    add_part(&g, "leaning");
    CHECK(judge(&g) == HW_OK && g.got.hangs == 0);
    CLOSE(g.got.gap.gap, wide * 1e-3, 1e-3);
    CLOSE(g.got.step.gap, (wide - 0.2) * 1e-3, 2e-3);
    CHECK(g.got.step.above == 1);
    NEAR(hw_print_value(&g.got, &g.def, HW_PRINT_STEP_GAP), (wide - 0.2 - 0.125) * 1e-3, 1e-6);
    g.def.layer = 0.1e-3; // thinner layers: lower stairs
    CHECK(judge(&g) == HW_OK);
    CLOSE(g.got.step.gap, hypot(wide - 0.2, 0.1) * 1e-3, 2e-3); // two layers on is nearer
    CHECK(g.got.step.above == 2);
    group_free(&g);
}

// Chamfers at the bed keep the first layer apart once it spreads.
static void first_layer(void)
{
    for (int chamfered = 0; chamfered < 2; chamfered++) {
        double c = chamfered ? 0.4 : 0;
        group g = group_new();
        plate(&g.m, HW_BLOCK_ADD, 0, 6,
              polygon(&g.m, 5, (double[]){0, 0, 10 - c, 0, 10, c + 0.001, 10, 6, 0, 6}));
        add_part(&g, "left");
        plate(&g.m, HW_BLOCK_ADD, 0, 6,
              polygon(&g.m, 5, (double[]){10.3 + c, 0, 20, 0, 20, 6, 10.3, 6, 10.3, c + 0.001}));
        add_part(&g, "right");
        CHECK(judge(&g) == HW_OK);
        double left = chamfered ? 0.3 + 2 * 0.3 - 2 * 0.15 : 0.3 - 2 * 0.15;
        NEAR(hw_print_value(&g.got, &g.def, HW_PRINT_FIRST), (left - 0.25) * 1e-3, 1e-6);
        NEAR(hw_print_value(&g.got, &g.def, HW_PRINT_GAP), 0.05e-3, 1e-6);
        g.def.spread = 0.3e-3;
        CHECK(judge(&g) == HW_OK);
        NEAR(hw_print_value(&g.got, &g.def, HW_PRINT_FIRST), (left - 0.3 - 0.25) * 1e-3, 1e-6);
        group_free(&g);
    }
}

// Two tips that pass each other, their sides running apart, whatever rows they fall in.
static void tips(void)
{
    for (int i = 0; i < 40; i++) {
        group g = group_new();
        double shift = 0.02 * i, dx = 0.15, dy = 0.45; // nearer than two gaps
        double a[] = {0, 0, -9, -1 - shift, -9, -2 - shift};
        double b[] = {dx, dy, 9, dy + 1, 9, dy + 2 + shift};
        for (int k = 0; k < 2; k++) {
            const double *t = k ? b : a;
            hw_mesh m = turned(g.m.keep, 0, 0, 2, (double[]){1, 1}, (double[]){0, 1}, 3);
            for (size_t v = 0; v < 6; v++) {
                size_t c = v % 3; // the corners in order, counter-clockwise
                m.vert[v].x = t[2 * c] * 1e-3;
                m.vert[v].y = t[2 * c + 1] * 1e-3;
            }
            for (size_t v = 6; v < 8; v++) {
                m.vert[v].x = (t[0] + t[2] + t[4]) / 3e3;
                m.vert[v].y = (t[1] + t[3] + t[5]) / 3e3;
            }
            add_mesh(&g, k ? "up" : "down", m);
        }
        CHECK(judge(&g) == HW_OK);
        CLOSE(g.got.gap.gap, hypot(dx, dy) * 1e-3, 1e-6);
        CHECK(g.got.slice_gap[0] == g.got.gap.gap);
        group_free(&g);
    }
}

// ---- random parts: tilted turned bodies, as many as four, near each other

static hw_mesh random_part(hw_arena *a, hw_rng *rng)
{
    double r[4], z[4], at = 0;
    for (int i = 0; i < 4; i++) {
        r[i] = hw_rng_uniform(rng, 0.3, 3);
        z[i] = at;
        at += hw_rng_uniform(rng, 0.4, 2);
    }
    hw_mesh m = turned(a, 0, 0, 4, r, z, 3 + (size_t)hw_rng_uniform(rng, 0, 6));
    double lean = hw_rng_uniform(rng, 0, HW_PI), turn = hw_rng_uniform(rng, 0, 2 * HW_PI);
    double x = hw_rng_uniform(rng, 0, 9e-3), y = hw_rng_uniform(rng, 0, 9e-3), low = INFINITY;
    for (size_t i = 0; i < m.verts; i++) {
        hw_vec3 v = m.vert[i];
        double up = v.z * cos(lean) + v.x * sin(lean), out = v.x * cos(lean) - v.z * sin(lean);
        m.vert[i] = (hw_vec3){x + out * cos(turn) - v.y * sin(turn),
                              y + out * sin(turn) + v.y * cos(turn), up};
        low = fmin(low, up);
    }
    for (size_t i = 0; i < m.verts; i++) m.vert[i].z -= low;
    return m;
}

static bool holds(const hw_print_slice *s, hw_bed_spot p)
{
    double turns = 0; // by the winding angle, unlike the product's crossings
    for (size_t i = 0; i < s->rings; i++)
        for (size_t k = 0; k < s->ring[i].n; k++) {
            hw_bed_spot a = s->ring[i].at[k], b = s->ring[i].at[(k + 1) % s->ring[i].n];
            double ax = a.x - p.x, ay = a.y - p.y, bx = b.x - p.x, by = b.y - p.y;
            turns += atan2(ax * by - ay * bx, ax * bx + ay * by);
        }
    return turns > HW_PI;
}

// Least distance of spots along the outlines of two slices, 0 when one lies in the other.
static double sampled(const hw_print_slice *s, const hw_print_slice *t, int per_side,
                      double *spacing)
{
    double least = INFINITY;
    for (size_t i = 0; i < s->rings; i++)
        for (size_t k = 0; k < s->ring[i].n; k++) {
            hw_bed_spot a = s->ring[i].at[k], b = s->ring[i].at[(k + 1) % s->ring[i].n];
            *spacing = fmax(*spacing, hypot(b.x - a.x, b.y - a.y) / per_side);
            for (int m = 0; m < per_side; m++) {
                double f = (double)m / per_side;
                hw_bed_spot p = {a.x + f * (b.x - a.x), a.y + f * (b.y - a.y)};
                if (holds(t, p)) return 0;
                for (size_t j = 0; j < t->rings; j++)
                    for (size_t q = 0; q < t->ring[j].n; q++) {
                        hw_bed_spot c = t->ring[j].at[q], d = t->ring[j].at[(q + 1) % t->ring[j].n];
                        for (int o = 0; o < per_side; o++) {
                            double h = (double)o / per_side;
                            least = fmin(least, hypot(c.x + h * (d.x - c.x) - p.x,
                                                      c.y + h * (d.y - c.y) - p.y));
                        }
                    }
            }
        }
    return least;
}

static void random_groups(void)
{
    hw_rng rng = hw_rng_new(22, 3);
    int apart = 0, meeting = 0;
    for (int round = 0; round < 150; round++) {
        group g = group_new();
        g.def.layer = 0.8e-3;
        g.def.gap = 0.4e-3;
        size_t n = 2 + (size_t)(round % 3);
        const char *const name[] = {"one", "two", "three", "four"};
        for (size_t p = 0; p < n; p++) add_mesh(&g, name[p], random_part(g.m.keep, &rng));
        hw_slices s;
        CHECK(judge(&g) == HW_OK);
        CHECK(hw_slices_make(g.m.keep, g.m.work, g.part, n, g.def.layer, NULL, &s, &g.bad) ==
              HW_OK);
        double least = INFINITY, most_spacing = 0;
        for (size_t i = 0; i < s.layers; i++) {
            double of_slice = INFINITY, spacing = 0;
            for (size_t p = 0; p < n; p++)
                for (size_t q = 0; q < n; q++)
                    if (p != q)
                        of_slice = fmin(of_slice, sampled(&s.slice[i * n + p], &s.slice[i * n + q],
                                                          12, &spacing));
            double got = g.got.slice_gap[i];
            if (of_slice < 0.8e-3) CHECK(got <= of_slice * (1 + 1e-9));
            if (isfinite(got)) CHECK(of_slice <= got + spacing);
            least = fmin(least, of_slice);
            most_spacing = fmax(most_spacing, spacing);
        }
        CHECK(g.got.gap.gap <= least * (1 + 1e-9) && least <= g.got.gap.gap + most_spacing);
        if (isfinite(g.got.gap.gap)) {
            apart += g.got.gap.gap > 0;
            meeting += g.got.gap.gap == 0;
            CHECK(g.got.gap.a < g.got.gap.b);
        }
        // between layers: the same by samples
        double step = INFINITY;
        for (size_t i = 0; i + 1 < s.layers; i++)
            for (size_t p = 0; p < n; p++)
                for (size_t q = 0; q < n; q++)
                    if (p != q) {
                        const hw_print_slice *a = &s.slice[i * n + p],
                                             *b = &s.slice[(i + 1) * n + q];
                        double spacing = 0;
                        step = fmin(step, sampled(a, b, 12, &spacing));
                        step = fmin(step, sampled(b, a, 12, &spacing));
                        most_spacing = fmax(most_spacing, spacing);
                    }
        CHECK(g.got.step.gap <= step * (1 + 1e-9) && step <= g.got.step.gap + most_spacing);
        group_free(&g);
    }
    CHECK(apart > 40 && meeting > 20);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(side_by_side);
    RUN(corner_to_corner);
    RUN(parts_that_meet);
    RUN(stairs);
    RUN(first_layer);
    RUN(tips);
    RUN(random_groups);
    return TEST_END();
}
