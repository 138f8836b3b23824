// Solids of random blocks with small whole coordinates, where faces, edges and corners coincide all
// the time, against counting cells or columns.
#include "base/rng.h"
#include "check.h"
#include "make.h"

#include <stdlib.h>

enum { SIDE = 6 }; // cells along each axis

typedef struct cells {
    uint8_t in[SIDE + 2][SIDE + 2][SIDE + 2]; // one empty cell all round
} cells;

static int pick(hw_rng *r, int below)
{
    return (int)(hw_rng_next(r) % (uint64_t)below);
}

static void random_box(hw_rng *r, model *m, cells *c)
{
    int low[3], high[3];
    for (int k = 0; k < 3; k++) {
        low[k] = pick(r, SIDE);
        high[k] = low[k] + 1 + pick(r, SIDE - low[k]);
    }
    uint8_t add = pick(r, 3) > 0;
    for (int x = low[0]; x < high[0]; x++)
        for (int y = low[1]; y < high[1]; y++)
            for (int z = low[2]; z < high[2]; z++) c->in[x + 1][y + 1][z + 1] = add;
    box(m, add ? HW_BLOCK_ADD : HW_BLOCK_CUT, (double[]){low[0], low[1], low[2]},
        (double[]){high[0], high[1], high[2]});
}

// Two cells of four round an edge, across from each other, along any axis.
static bool edge_pinched(const cells *c, int x, int y, int z)
{
    static const int d[3][2][3] = {
        {{0, 1, 0}, {0, 0, 1}}, {{1, 0, 0}, {0, 0, 1}}, {{1, 0, 0}, {0, 1, 0}}};
    for (int k = 0; k < 3; k++) {
        const int *u = d[k][0], *v = d[k][1];
        uint8_t a = c->in[x][y][z], b = c->in[x + u[0]][y + u[1]][z + u[2]];
        uint8_t e = c->in[x + v[0]][y + v[1]][z + v[2]];
        uint8_t f = c->in[x + u[0] + v[0]][y + u[1] + v[1]][z + u[2] + v[2]];
        if (a == f && b == e && a != b) return true;
    }
    return false;
}

// The cells of one kind among the eight round a corner hang together through faces or not.
static bool one_piece(const uint8_t in[8], uint8_t kind)
{
    int seen = 0, all = 0;
    for (int i = 0; i < 8; i++)
        if (in[i] == kind) {
            all |= 1 << i;
            if (!seen) seen = 1 << i;
        }
    for (int round = 0; round < 8; round++)
        for (int i = 0; i < 8; i++)
            for (int k = 0; k < 3; k++)
                if ((seen >> i & 1) && (all >> (i ^ 1 << k) & 1)) seen |= 1 << (i ^ 1 << k);
    return seen == all;
}

static bool corner_pinched(const cells *c, int x, int y, int z)
{
    uint8_t in[8];
    for (int i = 0; i < 8; i++) in[i] = c->in[x + (i & 1)][y + (i >> 1 & 1)][z + (i >> 2 & 1)];
    return !one_piece(in, 1) || !one_piece(in, 0);
}

static bool cells_pinched(const cells *c)
{
    for (int x = 0; x <= SIDE; x++)
        for (int y = 0; y <= SIDE; y++)
            for (int z = 0; z <= SIDE; z++)
                if (edge_pinched(c, x, y, z) || corner_pinched(c, x, y, z)) return true;
    return false;
}

static int count_cells(const cells *c)
{
    int n = 0;
    for (int x = 1; x <= SIDE; x++)
        for (int y = 1; y <= SIDE; y++)
            for (int z = 1; z <= SIDE; z++) n += c->in[x][y][z];
    return n;
}

static void boxes(void)
{
    hw_rng r = hw_rng_new(11, 0);
    int good = 0, bad = 0, empty = 0;
    for (int n = 0; n < 1200; n++) {
        model m = model_new();
        cells c = {0};
        int blocks = 1 + pick(&r, 7);
        for (int i = 0; i < blocks; i++) random_box(&r, &m, &c);
        hw_mesh mesh;
        hw_mesh_made made;
        hw_mesh_report report;
        hw_code code = build(&m, &mesh, &made, &report);
        if (cells_pinched(&c)) {
            bad++;
            CHECK(code == HW_BAD_INPUT && made.pinched);
        } else if (count_cells(&c) == 0) {
            empty++;
            CHECK(code == HW_OK && mesh.tris == 0);
        } else {
            good++;
            CHECK(code == HW_OK && hw_mesh_sound(&report));
            CLOSE(report.volume, (double)count_cells(&c), 1e-5); // the grid
        }
        model_free(&m);
    }
    CHECK(good > 400 && bad > 100 && empty > 20);
}

// ---- slanted outlines -------------------------------------------------------------------------

// Winding number of a point in an outline, by crossings of the ray toward +x.
static int winding(const hw_polygon *l, double x, double z)
{
    int w = 0;
    for (size_t i = 0; i < l->n; i++) {
        hw_vec2 a = l->at[i], b = l->at[(i + 1) % l->n];
        if ((a.z <= z) == (b.z <= z)) continue;
        double at = a.x + (b.x - a.x) * ((z - a.z) / (b.z - a.z));
        if (at > x) w += b.z > a.z ? 1 : -1;
    }
    return w;
}

static bool inside(const model *m, double y, double x, double z)
{
    bool in = false;
    for (size_t k = 0; k < m->n; k++) {
        const hw_block *b = &m->block[k];
        double area = hw_polygon_area(&b->at[0]);
        // an outline whose loops cancel has no sense and holds nothing; the smallest area that does
        // not cancel is half a square millimetre
        if (y < b->y[0] || y >= b->y[1] || fabs(area) < 1e-7) continue;
        if ((area > 0 ? 1 : -1) * winding(&b->at[0], x, z) > 0) in = b->op == HW_BLOCK_ADD;
    }
    return in;
}

static int by_value(const void *left, const void *right)
{
    const double *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

// Where the sides of all outlines cross the row z, sorted.
static size_t crossings(const model *m, double z, double out[])
{
    size_t n = 0;
    for (size_t k = 0; k < m->n; k++) {
        const hw_polygon *l = &m->block[k].at[0];
        for (size_t i = 0; i < l->n; i++) {
            hw_vec2 a = l->at[i], b = l->at[(i + 1) % l->n];
            if ((a.z <= z) != (b.z <= z)) out[n++] = a.x + (b.x - a.x) * ((z - a.z) / (b.z - a.z));
        }
    }
    qsort(out, n, sizeof *out, by_value);
    return n;
}

// Area inside at height y by the painter's rule, row by row [m^2].
static double painted(const model *m, double y)
{
    enum { ROWS = 50 * SIDE };
    double step = SIDE * 1e-3 / ROWS, sum = 0, x[MOST_BLOCKS * 8];
    for (int i = 0; i < ROWS; i++) {
        double z = (i + 0.5) * step;
        size_t n = crossings(m, z, x);
        for (size_t k = 0; k + 1 < n; k++)
            if (inside(m, y, (x[k] + x[k + 1]) / 2, z)) sum += (x[k + 1] - x[k]) * step;
    }
    return sum;
}

static void random_polygon(hw_rng *r, model *m)
{
    size_t n = 3 + hw_rng_next(r) % 4;
    double xz[12];
    for (size_t i = 0; i < 2 * n; i++) xz[i] = pick(r, SIDE + 1);
    int y = pick(r, 3);
    hw_block_op op = pick(r, 3) > 0 ? HW_BLOCK_ADD : HW_BLOCK_CUT;
    plate(m, op, y, y + 1 + pick(r, 3 - y), polygon(m, n, xz));
}

static void polygons(void)
{
    hw_rng r = hw_rng_new(12, 0);
    int good = 0, pinched = 0;
    for (int n = 0; n < 160; n++) {
        model m = model_new();
        int blocks = 1 + pick(&r, 5);
        for (int i = 0; i < blocks; i++) random_polygon(&r, &m);
        hw_mesh mesh;
        hw_mesh_made made;
        hw_mesh_report report;
        hw_code code = build(&m, &mesh, &made, &report);
        CHECK(code == HW_OK || (code == HW_BAD_INPUT && made.pinched));
        pinched += code != HW_OK;
        if (code == HW_OK && mesh.tris) {
            good++;
            CHECK(hw_mesh_sound(&report));
            double want = 0;
            for (int y = 0; y < 3; y++) want += painted(&m, (y + 0.5) * 1e-3) * 1e6;
            // rows are exact but where outlines cross between whole z: there the width kinks within
            // a row 0.02 mm high, an error of 0.02^2/8 times a change of slope below 20, some
            // dozens of times
            NEAR(report.volume, want, 0.02);
        }
        model_free(&m);
    }
    CHECK(good > 40 && pinched > 20);
}

// Many crossings within a few steps of each other: a coarse grid and outlines through one point.
static void bundles(void)
{
    hw_rng r = hw_rng_new(13, 0);
    int good = 0;
    for (int n = 0; n < 52; n++) {
        model m = model_new();
        for (int i = 0; i < 6; i++) {
            double t = hw_rng_uniform(&r, 0, 2 * HW_PI), e = hw_rng_uniform(&r, 1e-4, 0.1);
            double c = cos(t), s = sin(t);
            plate(&m, HW_BLOCK_ADD, i % 3, 3,
                  polygon(&m, 4,
                          (double[]){-9 * c - e * s, -9 * s + e * c, -9 * c + e * s, -9 * s - e * c,
                                     9 * c + e * s, 9 * s - e * c, 9 * c - e * s, 9 * s + e * c}));
        }
        hw_solid solid = {m.block, m.n};
        hw_mesh_def def = {1e-3, 10 + n % 13, n % 2 == 0};
        hw_mesh mesh;
        hw_mesh_made made;
        hw_code code = hw_solid_mesh(m.keep, m.work, &solid, &def, NULL, &mesh, &made);
        CHECK(code == HW_OK || (code == HW_BAD_INPUT && made.pinched));
        if (code == HW_OK) {
            hw_float_mesh f;
            hw_mesh_report report;
            CHECK(hw_mesh_to_float(m.keep, &mesh, 1e-3, &f) == HW_OK);
            CHECK(hw_mesh_check(m.work, &f, NULL, &report) == HW_OK);
            CHECK(report.crossing == 0 && report.degenerate == 0);
            CHECK(mesh.tris == 0 || hw_mesh_sound(&report));
            good++;
        }
        model_free(&m);
    }
    CHECK(good > 25);
}

// Cones that stand in and on a plate, apart from each other.
static void cones(void)
{
    hw_rng r = hw_rng_new(14, 0);
    for (int n = 0; n < 50; n++) {
        model m = model_new();
        double want = 0;
        plate(&m, HW_BLOCK_ADD, 0, 3, rectangle(&m, 0, 0, 12, 12));
        want += 3 * 144;
        for (int i = 0; i < 9; i++) {
            double x = 2 + 4 * (i % 3), z = 2 + 4 * (i / 3);
            double a = 0.5 + pick(&r, 6) / 4.0, b = 0.5 + pick(&r, 6) / 4.0;
            double y = pick(&r, 3), h = 1 + pick(&r, 3);
            bool cut = pick(&r, 2) > 0;
            if (cut && y + h > 3) h = 3 - y;
            if (!cut) y = 3;
            size_t points = 12 + 4 * (size_t)pick(&r, 5);
            taper(&m, cut ? HW_BLOCK_CUT : HW_BLOCK_ADD, y, y + h, circle(&m, x, z, a, points),
                  circle(&m, x, z, b, points));
            double share = (double)points / 2 * sin(2 * HW_PI / (double)points); // of r^2
            want += (cut ? -1 : 1) * share * h * (a * a + a * b + b * b) / 3;
        }
        hw_mesh mesh;
        hw_mesh_made made;
        hw_mesh_report report;
        CHECK(build(&m, &mesh, &made, &report) == HW_OK);
        CHECK(hw_mesh_sound(&report));
        CLOSE(report.volume, want, 1e-5); // steps of 12 mm / 2^20 over all the walls
        model_free(&m);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(boxes);
    RUN(polygons);
    RUN(bundles);
    RUN(cones);
    return TEST_END();
}
