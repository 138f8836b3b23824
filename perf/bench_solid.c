// Making and checking the solid of one phalanx (fork with two cones, tang with two sockets, slot)
// at several chord deviations, and a plate with many small cuts.
#include "solid/solid.h"

#include <math.h>
#include <stdio.h>
#include <time.h>

enum { BLOCKS = 1200, REPEATS = 5 };

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

typedef struct part {
    hw_arena *keep, *work;
    hw_block block[BLOCKS];
    size_t n;
    double deviation; // [m]
    bool failed;
} part;

// Rounded hull of two discs, millimetres.
static hw_polygon hull(part *p, const double d[6])
{
    const hw_circle disc[2] = {{{d[0] * 1e-3, d[1] * 1e-3}, d[2] * 1e-3},
                               {{d[3] * 1e-3, d[4] * 1e-3}, d[5] * 1e-3}};
    hw_profile profile;
    hw_polygon out = {0};
    if (hw_profile_hull(p->keep, disc, 2, &profile) != HW_OK ||
        hw_profile_polygon(p->keep, &profile, p->deviation, &out) != HW_OK)
        p->failed = true;
    return out;
}

static void plate(part *p, hw_block_op op, double y0, double y1, const double d[6])
{
    hw_polygon at = hull(p, d);
    p->block[p->n++] = (hw_block){op, {y0 * 1e-3, y1 * 1e-3}, {at, at}};
}

// A cone about (x, 0) from radius r0 at y0 to r1 at y1 > y0.
static void cone(part *p, hw_block_op op, double x, double y0, double r0, double y1, double r1)
{
    size_t n = hw_circle_points(fmax(r0, r1) * 1e-3, p->deviation);
    hw_polygon low = {NULL, 0}, high = low;
    if (hw_polygon_circle(p->keep, (hw_circle){{x * 1e-3, 0}, r0 * 1e-3}, n, &low) != HW_OK ||
        hw_polygon_circle(p->keep, (hw_circle){{x * 1e-3, 0}, r1 * 1e-3}, n, &high) != HW_OK)
        p->failed = true;
    p->block[p->n++] = (hw_block){op, {y0 * 1e-3, y1 * 1e-3}, {low, high}};
}

static void phalanx(part *p)
{
    const double length = 45.6, wide = 0.25 * sqrt(2);
    plate(p, HW_BLOCK_ADD, -8, 8, (double[]){12, -1, 8, 32.6, -1, 7.5});
    plate(p, HW_BLOCK_ADD, 6, 8, (double[]){32.6, -1, 7.5, length, 0, 7.5});
    plate(p, HW_BLOCK_ADD, -8, -6, (double[]){32.6, -1, 7.5, length, 0, 7.5});
    plate(p, HW_BLOCK_CUT, -6, 6, (double[]){length, 0, 9, length, 0, 9});
    plate(p, HW_BLOCK_ADD, 3.35, 5.75, (double[]){0, 0, 7.5, 13, -1, 7});
    plate(p, HW_BLOCK_ADD, -5.75, -3.35, (double[]){0, 0, 7.5, 13, -1, 7});
    cone(p, HW_BLOCK_CUT, 0, 4.30, 1.3 + wide, 5.75, 2.75 + wide);
    cone(p, HW_BLOCK_CUT, 0, -5.75, 2.75 + wide, -4.30, 1.3 + wide);
    cone(p, HW_BLOCK_ADD, length, 4.55, 1.55, 6, 3);
    cone(p, HW_BLOCK_ADD, length, -6, 3, -4.55, 1.55);
    plate(p, HW_BLOCK_CUT, -1.45, 1.45, (double[]){-5, 2, 2, length, -3, 2});
}

static void cuts(part *p)
{
    plate(p, HW_BLOCK_ADD, 0, 2, (double[]){0, 0, 12, 60, 0, 12});
    for (int i = 0; i < 50; i++)
        for (int j = 0; j < 16; j++) {
            double x = 1 + i * 1.17, z = -9 + j * 1.15;
            plate(p, HW_BLOCK_CUT, 1.6, 2, (double[]){x, z, 0.15, x + 0.6, z + 0.8, 0.15});
        }
}

// Best of several runs; false when the mesh is not sound.
static bool run(const char *name, void (*fill)(part *), double deviation)
{
    static part p;
    p = (part){.keep = hw_arena_new(0), .work = hw_arena_new(0), .deviation = deviation};
    fill(&p);
    hw_solid solid = {p.block, p.n};
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh mesh = {0};
    hw_float_mesh file = {0};
    hw_mesh_made made = {0};
    hw_mesh_report report = {0};
    double make = INFINITY, check = INFINITY;
    for (int i = 0; i < REPEATS && !p.failed; i++) {
        double start = now();
        p.failed = hw_solid_mesh(p.keep, p.work, &solid, &def, NULL, &mesh, &made) != HW_OK;
        double middle = now();
        make = fmin(make, middle - start);
        p.failed = p.failed || hw_mesh_to_float(p.keep, &mesh, def.unit, &file) != HW_OK ||
                   hw_mesh_check(p.work, &file, NULL, &report) != HW_OK;
        check = fmin(check, now() - middle);
    }
    bool sound = !p.failed && hw_mesh_sound(&report);
    printf("%-10s %6.2f um  %6zu points  %6zu triangles  make %8.2f ms  check %8.2f ms  %s\n", name,
           deviation * 1e6, made.plan_points, mesh.tris, make * 1e3, check * 1e3,
           sound ? "sound" : "NOT SOUND");
    hw_arena_free(p.keep);
    hw_arena_free(p.work);
    return sound;
}

int main(void)
{
    bool good = run("phalanx", phalanx, 20e-6);
    good = run("phalanx", phalanx, 5e-6) && good;
    good = run("phalanx", phalanx, 1e-6) && good;
    good = run("cuts", cuts, 5e-6) && good;
    return good ? 0 : 1;
}
