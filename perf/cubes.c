#include "cubes.h"

#include <math.h>
#include <string.h>

typedef struct grid {
    size_t n[3];
    double low[3], cell;
    float *f; // signed distance, negative inside [m]
} grid;

static size_t at(const grid *g, size_t i, size_t j, size_t k)
{
    return (i * g->n[1] + j) * g->n[2] + k;
}

static hw_vec3 sub(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x - b.x, a.y - b.y, a.z - b.z};
}
static double dot(hw_vec3 a, hw_vec3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
static hw_vec3 along(hw_vec3 a, hw_vec3 u, double t) // [1]
{
    return (hw_vec3){a.x + t * u.x, a.y + t * u.y, a.z + t * u.z};
}

static double to_side(hw_vec3 p, hw_vec3 a, hw_vec3 b) // squared [m^2]
{
    hw_vec3 u = sub(b, a), w = sub(p, a);
    double square = dot(u, u), t = square > 0 ? fmin(1, fmax(0, dot(u, w) / square)) : 0;
    hw_vec3 d = sub(w, along((hw_vec3){0, 0, 0}, u, t));
    return dot(d, d);
}

// Squared distance of a point from a triangle [m^2].
static double to_triangle(hw_vec3 p, hw_vec3 a, hw_vec3 b, hw_vec3 c)
{
    hw_vec3 u = sub(b, a), v = sub(c, a), w = sub(p, a);
    hw_vec3 n = {u.y * v.z - u.z * v.y, u.z * v.x - u.x * v.z, u.x * v.y - u.y * v.x};
    double uu = dot(u, u), uv = dot(u, v), vv = dot(v, v), wu = dot(w, u), wv = dot(w, v);
    double det = uu * vv - uv * uv;
    if (det > 0) {
        double s = (vv * wu - uv * wv) / det, t = (uu * wv - uv * wu) / det;
        if (s >= 0 && t >= 0 && s + t <= 1) return dot(w, n) * dot(w, n) / dot(n, n);
    }
    return fmin(to_side(p, a, b), fmin(to_side(p, b, c), to_side(p, c, a)));
}

static hw_vec3 corner(const grid *g, size_t i, size_t j, size_t k)
{
    return (hw_vec3){g->low[0] + g->cell * (double)i, g->low[1] + g->cell * (double)j,
                     g->low[2] + g->cell * (double)k};
}

// Distances within two cells of every triangle.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static void band(grid *g, const hw_mesh *m)
{
    for (size_t t = 0; t < m->tris; t++) {
        hw_vec3 c[3];
        for (size_t e = 0; e < 3; e++) c[e] = m->vert[m->tri[3 * t + e]];
        size_t from[3], to[3];
        for (int k = 0; k < 3; k++) {
            double x[3] = {k == 0   ? c[0].x
                           : k == 1 ? c[0].y
                                    : c[0].z,
                           k == 0   ? c[1].x
                           : k == 1 ? c[1].y
                                    : c[1].z,
                           k == 0   ? c[2].x
                           : k == 1 ? c[2].y
                                    : c[2].z};
            double low = (fmin(x[0], fmin(x[1], x[2])) - g->low[k]) / g->cell - 2;
            double high = (fmax(x[0], fmax(x[1], x[2])) - g->low[k]) / g->cell + 3;
            from[k] = (size_t)fmax(0, low);
            to[k] = (size_t)fmin((double)g->n[k], fmax(0, high));
        }
        for (size_t i = from[0]; i < to[0]; i++)
            for (size_t j = from[1]; j < to[1]; j++)
                for (size_t k = from[2]; k < to[2]; k++) {
                    float d = (float)sqrt(to_triangle(corner(g, i, j, k), c[0], c[1], c[2]));
                    float *f = &g->f[at(g, i, j, k)];
                    if (d < *f) *f = d;
                }
    }
}

// Signs by counting crossings along z over every column, a hair off the corners.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static bool sign(hw_arena *work, grid *g, const hw_mesh *m)
{
    uint8_t *flip = HW_NEW(work, uint8_t, g->n[0] * g->n[1] * g->n[2]);
    if (!flip) return false;
    double hair = 1.234e-5 * g->cell;
    for (size_t t = 0; t < m->tris; t++) {
        hw_vec3 a = m->vert[m->tri[3 * t]], b = m->vert[m->tri[3 * t + 1]],
                c = m->vert[m->tri[3 * t + 2]];
        double area = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
        if (area == 0) continue;
        double x0 = fmin(a.x, fmin(b.x, c.x)), x1 = fmax(a.x, fmax(b.x, c.x));
        double y0 = fmin(a.y, fmin(b.y, c.y)), y1 = fmax(a.y, fmax(b.y, c.y));
        for (size_t i = (size_t)fmax(0, floor((x0 - g->low[0]) / g->cell));
             i < g->n[0] && g->low[0] + g->cell * (double)i <= x1; i++)
            for (size_t j = (size_t)fmax(0, floor((y0 - g->low[1]) / g->cell));
                 j < g->n[1] && g->low[1] + g->cell * (double)j <= y1; j++) {
                double x = g->low[0] + g->cell * (double)i + hair;
                double y = g->low[1] + g->cell * (double)j + 0.7 * hair;
                double u = ((b.x - x) * (c.y - y) - (b.y - y) * (c.x - x)) / area;
                double v = ((c.x - x) * (a.y - y) - (c.y - y) * (a.x - x)) / area;
                if (u < 0 || v < 0 || u + v > 1) continue;
                double z = u * a.z + v * b.z + (1 - u - v) * c.z;
                double k = ceil((z - g->low[2]) / g->cell);
                if (k >= 0 && k < (double)g->n[2]) flip[at(g, i, j, (size_t)k)] ^= 1;
            }
    }
    for (size_t i = 0; i < g->n[0]; i++)
        for (size_t j = 0; j < g->n[1]; j++) {
            bool inside = false;
            for (size_t k = 0; k < g->n[2]; k++) {
                inside ^= flip[at(g, i, j, k)];
                if (inside) g->f[at(g, i, j, k)] = -g->f[at(g, i, j, k)];
            }
        }
    return true;
}

// Corners of a cell by the bits of their number; faces as their corners in turn.
static const int face[6][4] = {{0, 2, 6, 4}, {1, 5, 7, 3}, {0, 4, 5, 1},
                               {2, 3, 7, 6}, {0, 1, 3, 2}, {4, 6, 7, 5}};

// The polygon loops of one cell: segments across its faces, end to start; where a face is crossed
// four times, the corners outside are joined. A crossing is named by its two corners.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static size_t loops_of(const float f[8], int loop[12][2], size_t start[6])
{
    int from[24][2], to[24][2];
    size_t segments = 0, loops = 0, n = 0;
    for (int s = 0; s < 6; s++)
        for (int e = 0; e < 4; e++) {
            int a = face[s][e], b = face[s][(e + 1) % 4];
            if (!(f[a] >= 0 && f[b] < 0)) continue; // goes in here: out again at
            for (int k = 1; k < 4; k++) {
                int p = face[s][(e + k) % 4], q = face[s][(e + k + 1) % 4];
                if (!(f[p] < 0 && f[q] >= 0)) continue;
                from[segments][0] = a;
                from[segments][1] = b;
                to[segments][0] = q;
                to[segments++][1] = p;
                break;
            }
        }
    bool used[24] = {false};
    for (size_t i = 0; i < segments; i++) {
        if (used[i]) continue;
        start[loops++] = n;
        size_t j = i;
        do {
            used[j] = true;
            memcpy(loop[n++], from[j], sizeof loop[0]);
            size_t k = 0;
            while (k < segments && (used[k] || from[k][0] != to[j][0] || from[k][1] != to[j][1]))
                k++;
            j = k;
        } while (j < segments && n < 12);
    }
    start[loops] = n;
    return loops;
}

static hw_vec3 crossing(const grid *g, size_t i, size_t j, size_t k, const float f[8],
                        const int e[2])
{
    unsigned p = (unsigned)e[0], q = (unsigned)e[1];
    hw_vec3 a = corner(g, i + (p & 1), j + (p >> 1 & 1), k + (p >> 2));
    hw_vec3 b = corner(g, i + (q & 1), j + (q >> 1 & 1), k + (q >> 2));
    double t = (double)f[e[0]] / ((double)f[e[0]] - (double)f[e[1]]);
    return along(a, sub(b, a), t);
}

// Triangles of one cell as corners; how many.
static size_t march(const grid *g, size_t i, size_t j, size_t k, hw_vec3 out[30])
{
    float f[8];
    int loop[12][2];
    size_t start[6], n = 0;
    bool any = false, all = true;
    for (int c = 0; c < 8; c++) {
        f[c] = g->f[at(g, i + (size_t)(c & 1), j + (size_t)(c >> 1 & 1), k + (size_t)(c >> 2))];
        any = any || f[c] < 0;
        all = all && f[c] < 0;
    }
    if (!any || all) return 0;
    size_t loops = loops_of(f, loop, start);
    for (size_t s = 0; s < loops; s++)
        for (size_t e = start[s] + 1; e + 1 < start[s + 1]; e++) {
            out[n++] = crossing(g, i, j, k, f, loop[start[s]]);
            out[n++] = crossing(g, i, j, k, f, loop[e]);
            out[n++] = crossing(g, i, j, k, f, loop[e + 1]);
        }
    return n / 3;
}

// Distance of a corner of the part from the surface in the cells round it. [m]
static double off(const grid *g, hw_vec3 p)
{
    size_t c[3] = {(size_t)((p.x - g->low[0]) / g->cell), (size_t)((p.y - g->low[1]) / g->cell),
                   (size_t)((p.z - g->low[2]) / g->cell)};
    double best = INFINITY;
    for (size_t i = c[0] - 1; i <= c[0] + 1; i++)
        for (size_t j = c[1] - 1; j <= c[1] + 1; j++)
            for (size_t k = c[2] - 1; k <= c[2] + 1; k++) {
                hw_vec3 t[30];
                size_t n = march(g, i, j, k, t);
                for (size_t e = 0; e < n; e++)
                    best = fmin(best, to_triangle(p, t[3 * e], t[3 * e + 1], t[3 * e + 2]));
            }
    return sqrt(best);
}

bool cubes_march(hw_arena *work, const hw_mesh *m, double cell, cubes *out)
{
    *out = (cubes){0};
    grid g = {.cell = cell, .low = {INFINITY, INFINITY, INFINITY}};
    double high[3] = {-INFINITY, -INFINITY, -INFINITY};
    for (size_t v = 0; v < m->verts; v++) {
        double x[3] = {m->vert[v].x, m->vert[v].y, m->vert[v].z};
        for (int k = 0; k < 3; k++) {
            g.low[k] = fmin(g.low[k], x[k]);
            high[k] = fmax(high[k], x[k]);
        }
    }
    for (int k = 0; k < 3; k++) {
        g.low[k] -= 3.3 * cell;
        g.n[k] = (size_t)((high[k] - g.low[k]) / cell) + 5;
    }
    size_t total = g.n[0] * g.n[1] * g.n[2];
    g.f = HW_NEW(work, float, total);
    if (!g.f) return false;
    for (size_t i = 0; i < total; i++) g.f[i] = (float)(3 * cell);
    band(&g, m);
    if (!sign(work, &g, m)) return false;
    for (size_t i = 0; i + 1 < g.n[0]; i++)
        for (size_t j = 0; j + 1 < g.n[1]; j++)
            for (size_t k = 0; k + 1 < g.n[2]; k++) {
                hw_vec3 t[30];
                out->tris += march(&g, i, j, k, t);
            }
    out->cells = total;
    out->verts = out->tris / 2; // Euler: a closed surface has half as many corners
    for (size_t v = 0; v < m->verts; v++)
        out->deviation = fmax(out->deviation, off(&g, m->vert[v]));
    return true;
}
