// Voxels beside general-purpose finite elements (Debian's calculix-ccx) on the same cubes of one
// part: a phalanx with a fork, a pin's hole through both cheeks, a slot. Its bricks with
// incompatible modes must give the same movement, its quadratic ones say how far both are from the
// truth about these cubes.
#include "voxel_make.h"

#include <stdlib.h>
#include <unistd.h>

typedef struct lattice {
    const hw_voxels *v;
    size_t n[3]; // places along each axis: two to a cell, and one
    int *id;     // of nodes, from 1; 0: none
} lattice;

static int *at(const lattice *l, size_t i, size_t j, size_t k)
{
    return &l->id[(k * l->n[1] + j) * l->n[0] + i];
}

static bool filled(const hw_voxels *v, size_t i, size_t j, size_t k)
{
    return v->fill[(k * v->n[1] + j) * v->n[0] + i] > 0;
}

// Corners first, then middles of edges, in the order of the solver's bricks.
static const size_t corner[20][3] = {{0, 0, 0}, {2, 0, 0}, {2, 2, 0}, {0, 2, 0}, {0, 0, 2},
                                     {2, 0, 2}, {2, 2, 2}, {0, 2, 2}, {1, 0, 0}, {2, 1, 0},
                                     {1, 2, 0}, {0, 1, 0}, {1, 0, 2}, {2, 1, 2}, {1, 2, 2},
                                     {0, 1, 2}, {0, 0, 1}, {2, 0, 1}, {2, 2, 1}, {0, 2, 1}};

static void write_deck(FILE *f, const lattice *l, int nodes, double x_load, double force)
{
    const hw_voxels *v = l->v;
    int count = 0;
    for (size_t c = 0; c < v->n[0] * v->n[1] * v->n[2]; c++)
        for (int q = 0; v->fill[c] > 0 && q < nodes; q++)
            *at(l, 2 * (c % v->n[0]) + corner[q][0], 2 * (c / v->n[0] % v->n[1]) + corner[q][1],
                2 * (c / (v->n[0] * v->n[1])) + corner[q][2]) = -1;
    fprintf(f, "*NODE,NSET=ALL\n");
    for (size_t k = 0; k < l->n[2]; k++)
        for (size_t j = 0; j < l->n[1]; j++)
            for (size_t i = 0; i < l->n[0]; i++)
                if (*at(l, i, j, k)) {
                    *at(l, i, j, k) = ++count;
                    fprintf(f, "%d,%.9g,%.9g,%.9g\n", count, (double)i * v->edge / 2,
                            (double)j * v->edge / 2, (double)k * v->edge / 2);
                }
    fprintf(f, "*ELEMENT,TYPE=%s,ELSET=E\n", nodes == 8 ? "C3D8I" : "C3D20");
    count = 0;
    for (size_t c = 0; c < v->n[0] * v->n[1] * v->n[2]; c++) {
        if (!(v->fill[c] > 0)) continue;
        fprintf(f, "%d", ++count);
        for (int q = 0; q < nodes; q++)
            fprintf(f, ",%s%d", q == 15 ? "\n" : "",
                    *at(l, 2 * (c % v->n[0]) + corner[q][0],
                        2 * (c / v->n[0] % v->n[1]) + corner[q][1],
                        2 * (c / (v->n[0] * v->n[1])) + corner[q][2]));
        fprintf(f, "\n");
    }
    fprintf(f, "*NSET,NSET=ROOT\n");
    for (size_t k = 0; k < l->n[2]; k++)
        for (size_t j = 0; j < l->n[1]; j++)
            if (*at(l, 0, j, k)) fprintf(f, "%d,\n", *at(l, 0, j, k));
    fprintf(f, "*NSET,NSET=END\n");
    size_t end = 2 * (size_t)lround(x_load / v->edge);
    for (size_t k = 0; k < l->n[2]; k += 2)
        for (size_t j = v->n[1]; j < l->n[1]; j++)
            if (j % 2 == 0 && *at(l, end, j, k)) fprintf(f, "%d,\n", *at(l, end, j, k));
    fprintf(f, "*MATERIAL,NAME=M\n*ELASTIC\n2.5e9,0.35\n*SOLID SECTION,ELSET=E,MATERIAL=M\n"
               "*BOUNDARY\nROOT,1,3\n*STEP\n*STATIC\n*CLOAD\n");
    // The end faces of the cheek at larger y, each face's share on its corners.
    int faces = 0;
    for (int pass = 0; pass < 2; pass++)
        for (size_t k = 0; k < v->n[2]; k++)
            for (size_t j = v->n[1] / 2; j < v->n[1]; j++) {
                if (!filled(v, end / 2 - 1, j, k)) continue;
                if (pass == 0) faces++;
                for (size_t q = 0; pass && q < 4; q++)
                    fprintf(f, "%d,2,%.12g\n", *at(l, end, 2 * (j + q % 2), 2 * (k + q / 2)),
                            force / faces / 4);
            }
    fprintf(f, "*NODE PRINT,NSET=END\nU\n*END STEP\n");
}

// Mean movement along y of the loaded end; NaN where the solver fails.
static double judged(const hw_voxels *v, int nodes, double x_load, double force)
{
    char folder[] = "/tmp/voxel.XXXXXX", command[200], path[100], line[400];
    if (!mkdtemp(folder)) return NAN;
    snprintf(path, sizeof path, "%s/part.inp", folder);
    FILE *f = fopen(path, "w");
    if (!f) return NAN;
    lattice l = {v, {2 * v->n[0] + 1, 2 * v->n[1] + 1, 2 * v->n[2] + 1}, NULL};
    l.id = calloc(l.n[0] * l.n[1] * l.n[2], sizeof *l.id);
    if (l.id) write_deck(f, &l, nodes, x_load, force);
    free(l.id);
    fclose(f);
    snprintf(command, sizeof command, "cd %s && OMP_NUM_THREADS=1 ccx -i part > log 2>&1", folder);
    double sum = 0, count = 0;
    snprintf(path, sizeof path, "%s/part.dat", folder);
    f = system(command) ? NULL : fopen(path, "r");
    while (f && fgets(line, sizeof line, f)) {
        int id;
        double u[3];
        if (sscanf(line, "%d %lf %lf %lf", &id, &u[0], &u[1], &u[2]) != 4) continue;
        sum += u[1];
        count++;
    }
    if (f) fclose(f);
    snprintf(command, sizeof command, "rm -r %s", folder);
    if (system(command)) return NAN;
    return count > 0 ? sum / count : (double)NAN;
}

static void a_phalanx_of_cubes(void)
{
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){12, 16, 12});
    box(&m, HW_BLOCK_ADD, (double[]){12, 0, 0}, (double[]){24, 2, 12});
    box(&m, HW_BLOCK_ADD, (double[]){12, 14, 0}, (double[]){24, 16, 12});
    box(&m, HW_BLOCK_CUT, (double[]){4, 6, 3}, (double[]){12, 10, 12});
    plate(&m, HW_BLOCK_CUT, 0, 16, circle(&m, 19, 6, 2.2, 40));
    CHECK(voxels(&m, 1, &v) == HW_OK);
    v.cells = 0;
    for (size_t i = 0; i < v.n[0] * v.n[1] * v.n[2]; i++) {
        v.fill[i] = v.fill[i] >= 0.5; // whole cubes, as the judge has them
        v.cells += v.fill[i] > 0;
    }
    const double force = 10;
    hw_voxel_support root = {plane_region(0, 0), {true, true, true}};
    hw_voxel_load load = {.region = box_region(24, 8, -1, 24, 99, 99),
                          .force = {0, force, 0},
                          .at = {24 * mm, 15 * mm, 6 * mm}};
    hw_voxel_problem p = {&v, hw_voxel_isotropic(2.5e9, 0.35), &load, 1, &root, 1};
    hw_voxel_answer a;
    CHECK(solved(&m, &p, 1e-9, &a) == HW_OK);
    double got = hw_voxel_moved(&p, &a, &load.region).y;
    double same = judged(&v, 8, 24 * mm, force), fine = judged(&v, 20, 24 * mm, force);
    printf(
        "%zu cubes of 1 mm, cheeks of two: %.6g mm; judge's bricks with incompatible modes %.6g, "
        "ratio %.5f; quadratic bricks %.6g, ratio %.4f\n",
        v.cells, got / mm, same / mm, got / same, fine / mm, got / fine);
    CLOSE(got, same, 0.002); // the judge has two forms of these modes; digits of its table
    CLOSE(got, fine, 0.03);
    model_free(&m);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_phalanx_of_cubes);
    return TEST_END();
}
