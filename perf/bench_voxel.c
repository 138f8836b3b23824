// A phalanx (fork with two cones, tang with two sockets, a slot) as voxels at several edges: held
// at its sockets, pushed at its cones. Conjugate gradients with one multigrid cycle beside the same
// with the diagonal alone, in the same run.
#include "print/voxel.h"

#include <math.h>
#include <stdio.h>
#include <time.h>

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

enum { BLOCKS = 16 };

typedef struct part {
    hw_arena *keep;
    hw_block block[BLOCKS];
    size_t n;
    bool failed;
} part;

static const double mm = 1e-3, length = 32; // [m], [mm] between the joints' axes

// A rounded hull of two discs (x, z, radius each), between two planes.
static void plate(part *p, hw_block_op op, double low, double high, const double disc[6])
{
    const hw_circle round[2] = {{{disc[0] * mm, disc[1] * mm}, disc[2] * mm},
                                {{disc[3] * mm, disc[4] * mm}, disc[5] * mm}};
    hw_profile profile;
    hw_polygon at = {0};
    if (hw_profile_hull(p->keep, round, 2, &profile) != HW_OK ||
        hw_profile_polygon(p->keep, &profile, 0.01 * mm, &at) != HW_OK)
        p->failed = true;
    p->block[p->n++] = (hw_block){op, {low * mm, high * mm}, {at, at}};
}

static void cone(part *p, hw_block_op op, double x, const double y[2], const double radius[2])
{
    size_t n = hw_circle_points(fmax(radius[0], radius[1]) * mm, 0.01 * mm);
    hw_polygon at[2] = {{0}, {0}};
    for (int i = 0; i < 2; i++)
        if (hw_polygon_circle(p->keep, (hw_circle){{x * mm, 0}, radius[i] * mm}, n, &at[i]) !=
            HW_OK)
            p->failed = true;
    p->block[p->n++] = (hw_block){op, {y[0] * mm, y[1] * mm}, {at[0], at[1]}};
}

static hw_code phalanx(hw_arena *keep, hw_arena *work, hw_mesh *mesh)
{
    part p = {.keep = keep};
    plate(&p, HW_BLOCK_ADD, -8, 8, (double[]){10, -0.5, 7.5, 22, -0.5, 7.2});
    for (int side = -1; side <= 1; side += 2) {
        plate(&p, HW_BLOCK_ADD, side < 0 ? -8 : 6, side < 0 ? -6 : 8,
              (double[]){22, -0.5, 7.2, length, 0, 7});
        plate(&p, HW_BLOCK_ADD, side < 0 ? -5.75 : 3.35, side < 0 ? -3.35 : 5.75,
              (double[]){0, 0, 7, 12, 0, 7});
    }
    plate(&p, HW_BLOCK_CUT, -6, 6, (double[]){length, 0, 8, length + 1, 0, 8});
    plate(&p, HW_BLOCK_CUT, -1.45, 1.45, (double[]){-5, 2, 2, length, -3, 2});
    cone(&p, HW_BLOCK_CUT, 0, (double[]){4.3, 5.75}, (double[]){1.6, 3.05});
    cone(&p, HW_BLOCK_CUT, 0, (double[]){-5.75, -4.3}, (double[]){3.05, 1.6});
    cone(&p, HW_BLOCK_ADD, length, (double[]){4.7, 6}, (double[]){1.7, 3});
    cone(&p, HW_BLOCK_ADD, length, (double[]){-6, -4.7}, (double[]){3, 1.7});
    const hw_solid solid = {p.block, p.n};
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh_made made;
    return p.failed ? HW_BAD_INPUT : hw_solid_mesh(keep, work, &solid, &def, NULL, mesh, &made);
}

static bool run(hw_arena *keep, hw_arena *work, const hw_mesh *mesh, double edge, bool plain,
                double *time)
{
    hw_voxels v;
    double start = now();
    if (hw_voxels_of(keep, work, mesh, edge, 8000000, NULL, &v) != HW_OK) return false;
    double filled = now() - start;
    const double y = 8 * mm, x = length * mm;
    const hw_voxel_support root = {{.shape = HW_VOXEL_CYLINDER,
                                    .at = {0, 0, 0},
                                    .axis = {0, 1, 0},
                                    .from = -y,
                                    .to = y,
                                    .outer = 3.2 * mm},
                                   {true, true, true}};
    const hw_voxel_load push = {.region = {.shape = HW_VOXEL_CYLINDER,
                                           .at = {x, 0, 0},
                                           .axis = {0, 1, 0},
                                           .from = -5.9 * mm,
                                           .to = 5.9 * mm,
                                           .outer = 3.2 * mm},
                                .spread = HW_VOXEL_FACING,
                                .force = {0, 0, 20},
                                .at = {x, 0, 0}};
    const hw_voxel_problem problem = {&v, hw_voxel_isotropic(2.5e9, 0.35), &push, 1, &root, 1};
    hw_voxel_def def = hw_voxel_def_default();
    def.plain = plain;
    def.most_iterations = 20000;
    hw_voxel_answer a;
    start = now();
    hw_code code = hw_voxel_solve(keep, work, &problem, &def, NULL, &a);
    double solved = now() - start;
    hw_voxel_peaks peak;
    start = now();
    if (code == HW_OK) code = hw_voxel_peaks_of(work, &problem, &a, 1.2 * mm, NULL, &peak);
    double searched = now() - start;
    if (code != HW_OK) return false;
    printf("%4.2f mm %-9s %7zu cells %8zu unknowns  fill %6.3f s  solve %7.3f s  %4zu iterations  "
           "%6.2f M unknowns/s an iteration  peaks %6.3f s  %.3f MPa, %.3f across layers\n",
           edge / mm, plain ? "diagonal" : "multigrid", v.cells, a.unknowns, filled, solved,
           a.iterations, (double)a.unknowns * (double)a.iterations / solved * 1e-6, searched,
           peak.mises.value * 1e-6, peak.across.value * 1e-6);
    *time = solved;
    return true;
}

int main(void)
{
    hw_arena *keep = hw_arena_new(0), *work = hw_arena_new(1 << 20);
    hw_mesh mesh;
    bool good = keep && work && phalanx(keep, work, &mesh) == HW_OK;
    static const double edge[] = {0.6e-3, 0.4e-3, 0.3e-3};
    for (size_t i = 0; good && i < sizeof edge / sizeof edge[0]; i++) {
        size_t mark = hw_arena_mark(keep);
        double fast = 0, slow = 0;
        good = run(keep, work, &mesh, edge[i], false, &fast);
        if (good && i < 2) {
            good = run(keep, work, &mesh, edge[i], true, &slow);
            printf("     multigrid %.1f times as fast\n", slow / fast);
        }
        hw_arena_rewind(keep, mark);
    }
    hw_arena_free(keep);
    hw_arena_free(work);
    return good ? 0 : 1;
}
