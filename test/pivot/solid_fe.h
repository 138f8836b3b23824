// A fork's cheek as a solid, for the judge: quadratic bricks, solved by Debian's calculix-ccx. Half
// of a symmetric fork: a block (the phalanx), half as wide as the digit, from which one cheek
// stands out; the middle plane is held in y, the far end of the block altogether. x runs along the
// cheek from where it is held, y outward, z across its height. Beyond the cone's axis its end is
// round.
#ifndef HW_TEST_SOLID_FE_H
#define HW_TEST_SOLID_FE_H

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

typedef struct solid_cheek {
    double depth, height, thickness; // root to axis, palmar to dorsal, across
    double round;                    // how far the cheek reaches past the axis, <= height / 2
    double half_width;               // of the block
    double pad;                      // radius of the loaded patch
    double modulus, poisson;
    int fine;         // elements through the thickness
    bool lengthwise;  // the load points along x, at the inner face, instead of y
    double kept;      // where a keeper holds the inner face in y, from the root; 0: nothing does
    double kept_half; // half its width across the height
} solid_cheek;

typedef struct solid_answer {
    double opening; // of the patch, along y, per newton
    double stress;  // largest along x on the outer face beside the root, where no notch disturbs
} solid_answer;

enum { FE_MOST = 60 };

typedef struct solid_grid {
    int nx, ny, nz, root, inner; // elements; where the cheek begins along x and y
    double x[2 * FE_MOST + 1], y[2 * FE_MOST + 1];
    double z[2 * FE_MOST + 1]; // -1 to 1
    int id[2 * FE_MOST + 1][2 * FE_MOST + 1][2 * FE_MOST + 1];
} solid_grid;

static void spread_out(double *at, int *n, double from, double to, int cells)
{
    for (int i = 1; i <= 2 * cells; i++) at[*n + i] = from + (to - from) * i / (2 * cells);
    *n += 2 * cells;
}

static int whole(double x)
{
    return (int)fmax(1, ceil(x - 1e-9));
}

static void lay_grid(const solid_cheek *c, solid_grid *g)
{
    double cell = c->thickness / c->fine * 1.5;
    int n = 0;
    g->x[0] = -1.5 * c->height;
    spread_out(g->x, &n, g->x[0], -c->thickness, 4);
    spread_out(g->x, &n, -c->thickness, 0, c->fine);
    g->root = n / 2;
    spread_out(g->x, &n, 0, c->depth, whole(c->depth / cell));
    spread_out(g->x, &n, c->depth, c->depth + c->round, whole(c->round / cell));
    g->nx = n / 2;
    n = 0;
    g->y[0] = 0;
    double face = c->half_width - c->thickness;
    spread_out(g->y, &n, 0, face - 0.5 * c->thickness, 2);
    spread_out(g->y, &n, face - 0.5 * c->thickness, face, 1);
    g->inner = n / 2;
    spread_out(g->y, &n, face, c->half_width, c->fine);
    g->ny = n / 2;
    n = 0;
    g->z[0] = -1;
    spread_out(g->z, &n, -1, 1, whole(fmin(c->height / cell, 16)));
    g->nz = n / 2;
}

static int holds(const solid_grid *g, int i, int j)
{
    return i < g->root || j >= g->inner;
}

// Half the height at x: an ellipse past the axis, cut off where it would come to a point.
static double half_height(const solid_cheek *c, double x)
{
    double over = (x - c->depth) / c->round;
    return 0.5 * c->height * (over > 0 ? sqrt(fmax(1 - over * over * 0.94, 0)) : 1);
}

static void number_nodes(solid_grid *g)
{
    memset(g->id, 0, sizeof g->id);
    for (int i = 0; i < g->nx; i++)
        for (int j = 0; j < g->ny; j++)
            for (int k = 0; k < g->nz; k++)
                for (int d = 0; holds(g, i, j) && d < 27; d++) {
                    int a = d % 3, b = d / 3 % 3, e = d / 9;
                    if ((a == 1) + (b == 1) + (e == 1) < 2)
                        g->id[2 * i + a][2 * j + b][2 * k + e] = -1;
                }
    int n = 0;
    for (int i = 0; i <= 2 * g->nx; i++)
        for (int j = 0; j <= 2 * g->ny; j++)
            for (int k = 0; k <= 2 * g->nz; k++)
                if (g->id[i][j][k]) g->id[i][j][k] = ++n;
}

static void write_elements(FILE *f, const solid_grid *g)
{
    static const int at[20][3] = {{0, 0, 0}, {2, 0, 0}, {2, 2, 0}, {0, 2, 0}, {0, 0, 2},
                                  {2, 0, 2}, {2, 2, 2}, {0, 2, 2}, {1, 0, 0}, {2, 1, 0},
                                  {1, 2, 0}, {0, 1, 0}, {1, 0, 2}, {2, 1, 2}, {1, 2, 2},
                                  {0, 1, 2}, {0, 0, 1}, {2, 0, 1}, {2, 2, 1}, {0, 2, 1}};
    int n = 0;
    for (int i = 0; i < g->nx; i++)
        for (int j = 0; j < g->ny; j++)
            for (int k = 0; k < g->nz; k++) {
                if (!holds(g, i, j)) continue;
                fprintf(f, "%d", ++n);
                for (int q = 0; q < 20; q++)
                    fprintf(f, ",%s%d", q == 15 ? "\n" : "",
                            g->id[2 * i + at[q][0]][2 * j + at[q][1]][2 * k + at[q][2]]);
                fprintf(f, "\n");
            }
}

static void write_set(FILE *f, const char *name, const int *node, int n)
{
    fprintf(f, "*NSET,NSET=%s\n", name);
    for (int i = 0; i < n; i++) fprintf(f, "%d,\n", node[i]);
}

// Nodes of the patch on the face of index `face`.
static int patch(const solid_cheek *c, const solid_grid *g, int face, int *node)
{
    int n = 0;
    for (int i = 2 * g->root; i <= 2 * g->nx; i++)
        for (int k = 0; k <= 2 * g->nz; k++) {
            double dx = g->x[i] - c->depth, dz = g->z[k] * half_height(c, g->x[i]);
            if (g->id[i][face][k] && dx * dx + dz * dz <= c->pad * c->pad * 1.0001)
                node[n++] = g->id[i][face][k];
        }
    return n;
}

// Nodes that a keeper holds: the row of the inner face nearest to it.
static int kept_row(const solid_cheek *c, const solid_grid *g, int *node)
{
    int n = 0, row = 2 * g->root;
    for (int i = 2 * g->root; i <= 2 * g->nx; i += 2)
        if (fabs(g->x[i] - c->kept) < fabs(g->x[row] - c->kept)) row = i;
    for (int k = 0; k <= 2 * g->nz; k++) {
        double z = g->z[k] * half_height(c, g->x[row]);
        if (g->id[row][2 * g->inner][k] && fabs(z) <= c->kept_half * 1.0001)
            node[n++] = g->id[row][2 * g->inner][k];
    }
    return n;
}

// Outer layer of elements beside the root.
static void write_root(FILE *f, const solid_grid *g)
{
    int n = 0;
    fprintf(f, "*ELSET,ELSET=ROOT\n");
    for (int i = 0; i < g->nx; i++)
        for (int j = 0; j < g->ny; j++)
            for (int k = 0; k < g->nz; k++) {
                if (!holds(g, i, j)) continue;
                n++;
                if (j == g->ny - 1 && (i == g->root - 1 || i == g->root)) fprintf(f, "%d,\n", n);
            }
}

static void write_nodes(FILE *f, const solid_cheek *c, const solid_grid *g)
{
    fprintf(f, "*NODE,NSET=ALL\n");
    for (int i = 0; i <= 2 * g->nx; i++)
        for (int j = 0; j <= 2 * g->ny; j++)
            for (int k = 0; k <= 2 * g->nz; k++)
                if (g->id[i][j][k])
                    fprintf(f, "%d,%.9g,%.9g,%.9g\n", g->id[i][j][k], g->x[i], g->y[j],
                            g->z[k] * half_height(c, g->x[i]));
}

static void write_deck(FILE *f, const solid_cheek *c, const solid_grid *g)
{
    static int node[40000];
    write_nodes(f, c, g);
    fprintf(f, "*ELEMENT,TYPE=C3D20R,ELSET=E\n");
    write_elements(f, g);
    write_root(f, g);
    int n = 0;
    for (int j = 0; j <= 2 * g->ny; j++)
        for (int k = 0; k <= 2 * g->nz; k++)
            if (g->id[0][j][k]) node[n++] = g->id[0][j][k];
    write_set(f, "FAR", node, n);
    n = 0;
    for (int i = 0; i <= 2 * g->root; i++)
        for (int k = 0; k <= 2 * g->nz; k++)
            if (g->id[i][0][k]) node[n++] = g->id[i][0][k];
    write_set(f, "MID", node, n);
    n = patch(c, g, 2 * g->inner, node);
    write_set(f, "PATCH", node, n);
    int patched = n;
    if (c->kept > 0) write_set(f, "KEPT", node, kept_row(c, g, node));
    fprintf(f, "*MATERIAL,NAME=M\n*ELASTIC\n%g,%g\n*SOLID SECTION,ELSET=E,MATERIAL=M\n", c->modulus,
            c->poisson);
    fprintf(f, "*BOUNDARY\nFAR,1,3\nMID,2,2\n%s*STEP\n*STATIC\n*CLOAD\nPATCH,%d,%.12g\n",
            c->kept > 0 ? "KEPT,2,2\n" : "", c->lengthwise ? 1 : 2, 1.0 / patched);
    fprintf(f, "*NODE PRINT,NSET=PATCH\nU\n*EL PRINT,ELSET=ROOT\nS\n*END STEP\n");
}

// Means and extremes of the solver's table. Stresses at the integration points 1, 2, 5, 6 lie
// inside of those two further on: the line through both gives the surface.
static solid_answer read_answer(FILE *f)
{
    char line[400];
    solid_answer out = {NAN, 0};
    double sum = 0, inside[9] = {0};
    int nodes = 0, table = 0;
    while (fgets(line, sizeof line, f)) {
        if (strstr(line, "displacements")) table = 1;
        if (strstr(line, "stresses")) table = 2;
        int id, point;
        double v[3];
        if (table == 1 && sscanf(line, "%d %lf %lf %lf", &id, &v[0], &v[1], &v[2]) == 4) {
            sum += v[1];
            nodes++;
        }
        if (table == 2 && sscanf(line, "%d %d %lf", &id, &point, &v[0]) == 3) {
            if (point < 1 || point > 8) continue;
            inside[point] = v[0];
            if (point == 3 || point == 4 || point == 7 || point == 8) {
                const double part = (1 - sqrt(1.0 / 3)) / (2 * sqrt(1.0 / 3));
                double at = v[0] + (v[0] - inside[point - 2]) * part;
                out.stress = fmax(out.stress, fabs(at));
            }
        }
    }
    if (nodes) out.opening = sum / nodes;
    return out;
}

// Solves it in a folder of its own. NaN where the solver fails.
static solid_answer solve_cheek(const solid_cheek *c)
{
    static solid_grid g;
    char folder[] = "/tmp/cheek.XXXXXX", command[200], path[100];
    solid_answer out = {NAN, NAN};
    if (!mkdtemp(folder)) return out;
    lay_grid(c, &g);
    number_nodes(&g);
    snprintf(path, sizeof path, "%s/cheek.inp", folder);
    FILE *f = fopen(path, "w");
    if (!f) return out;
    write_deck(f, c, &g);
    fclose(f);
    snprintf(command, sizeof command, "cd %s && OMP_NUM_THREADS=1 ccx -i cheek > log 2>&1", folder);
    int failed = system(command);
    snprintf(path, sizeof path, "%s/cheek.dat", folder);
    f = failed ? NULL : fopen(path, "r");
    if (f) {
        out = read_answer(f);
        fclose(f);
    }
    snprintf(command, sizeof command, "rm -r %s", folder);
    if (system(command)) return (solid_answer){NAN, NAN};
    return out;
}

#endif
