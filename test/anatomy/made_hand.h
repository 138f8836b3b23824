// A made-up scan of a hand whose joint centres are known: round cones for flesh, joint centres
// under the back at depths of their own, the surface by marching tetrahedra, roughened, with holes,
// and points picked beside their places. Nothing of the program is used but its random numbers.
#ifndef HW_TEST_MADE_HAND_H
#define HW_TEST_MADE_HAND_H

#include "anatomy/scan.h"
#include "base/rng.h"
#include "base/vec3.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MADE_CONES = 40 };

typedef struct made_cone {
    double a[3], b[3], ra, rb; // [mm]
} made_cone;

// How picks are off their places by `pick`: any way, as its root mean square; along the skin, each
// by exactly that; or along each axis, as its deviation.
typedef enum made_off_by { MADE_OFF_RMS, MADE_OFF_ALONG_SKIN, MADE_OFF_EACH_AXIS } made_off_by;

typedef struct made_def {
    double length; // about, of the hand [mm]
    double bend;   // most of each joint [rad]
    double pick;   // of picks off their places [mm]
    made_off_by off;
    double noise;      // of the surface [mm]
    double flesh;      // of depths to either side [mm]
    double missing;    // share of the triangles [1]
    double cell;       // of the grid [mm]
    bool left, single; // single: dorsal picks only
    double scale;      // of everything: 1
} made_def;

static inline made_def made_def_usual(double length)
{
    return (made_def){.length = length,
                      .bend = 1.1,
                      .pick = 2,
                      .noise = 0.3,
                      .flesh = 2,
                      .missing = 0.1,
                      .cell = length / 90,
                      .scale = 1};
}

typedef struct made_hand {
    made_def def;
    hw_rng rng;
    made_cone cone[MADE_CONES];
    int cones;
    double axis[HW_MARKS][3];  // middles of the flesh [mm]
    double joint[HW_MARKS][3]; // centres; tips on the skin [mm]
    double home[HW_MARKS][3];  // the same in the frame of the cones [mm]
    double deep[HW_MARKS][3], along[HW_MARKS][3], radius[HW_MARKS], crease[HW_MARKS];
    double flexion[HW_HAND_DIGITS][3]; // axis of each digit
    double bend[HW_HAND_DIGITS][3];    // [rad]
    float (*at)[3];
    uint32_t *tri;
    size_t verts, tris, room;
    hw_picks picks;
} made_hand;

// ---- bones and flesh --------------------------------------------------------------------------

static inline void made_along(double out[3], const double a[3], const double d[3], double k)
{
    for (int i = 0; i < 3; i++) out[i] = a[i] + k * d[i];
}

static inline void made_cone_add(made_hand *h, const double a[3], const double b[3], double ra,
                                 double rb)
{
    made_cone *c = &h->cone[h->cones++];
    memcpy(c->a, a, sizeof c->a);
    memcpy(c->b, b, sizeof c->b);
    c->ra = ra;
    c->rb = rb;
}

// Turns x and z by a flexion about y.
static inline void made_flex(double x[3], double z[3], double angle)
{
    double c = cos(angle), s = sin(angle);
    for (int i = 0; i < 3; i++) {
        double a = x[i], b = z[i];
        x[i] = c * a - s * b;
        z[i] = s * a + c * b;
    }
}

static inline void made_mark(made_hand *h, int mark, const double x[3], const double z[3],
                             double radius, double depth, double half)
{
    double *j = h->joint[mark];
    memcpy(h->along[mark], x, sizeof h->along[mark]);
    memcpy(h->deep[mark], z, sizeof h->deep[mark]);
    h->radius[mark] = radius;
    h->crease[mark] = radius / cos(half);
    made_along(j, h->axis[mark], z, radius - depth);
}

static inline double made_off(made_hand *h, double most)
{
    return hw_rng_uniform(&h->rng, -most, most);
}

// One digit from its first joint on: directions there, flexions, lengths and radii.
static inline void made_digit(made_hand *h, int digit, double x[3], double z[3],
                              const double length[3], const double radius[4], double first)
{
    double y[3] = {z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0]};
    memcpy(h->flexion[digit], y, sizeof y);
    for (int k = 0; k < 3; k++) {
        int mark = hw_mark_of(digit, k);
        double angle = h->bend[digit][k], half = k == 0 ? 0 : angle / 2;
        made_flex(x, z, angle / 2);
        double depth = (k == 0 ? first : radius[k]) + made_off(h, h->def.flesh);
        made_mark(h, mark, x, z, radius[k], depth, half);
        made_flex(x, z, angle / 2);
        made_along(h->axis[mark + 1], h->axis[mark], x, length[k]);
        made_cone_add(h, h->axis[mark], h->axis[mark + 1], radius[k], radius[k + 1]);
    }
    int tip = hw_mark_of(digit, 3);
    memcpy(h->along[tip], x, sizeof h->along[tip]);
    memcpy(h->deep[tip], z, sizeof h->deep[tip]);
    h->radius[tip] = radius[3];
    made_along(h->joint[tip], h->axis[tip], x, radius[3]);
}

static inline void made_bones(made_hand *h)
{
    const double l = h->def.length, s = l / 187;
    static const double place[5][2] = {
        {0.10, 0.15}, {0.447, 0.115}, {0.446, 0.012}, {0.409, -0.085}, {0.368, -0.17}};
    static const double part[5][3] = {{0.24, 0.19, 0.12},
                                      {0.245, 0.143, 0.06},
                                      {0.266, 0.170, 0.07},
                                      {0.244, 0.165, 0.07},
                                      {0.204, 0.117, 0.06}};
    static const double size[5][4] = {{13, 11, 10, 8},
                                      {13.5, 10, 8.5, 7},
                                      {14, 10.2, 8.8, 7.2},
                                      {13.5, 9.8, 8.4, 7},
                                      {12.5, 9, 8, 6.5}};
    const double back[3] = {-0.2 * l, 0, 0}, wrist[3] = {0, 0, 0};
    memcpy(h->axis[0], wrist, sizeof wrist);
    made_cone_add(h, back, wrist, 20 * s, 19 * s);
    const double x0[3] = {1, 0, 0}, z0[3] = {0, 0, 1};
    made_mark(h, 0, x0, z0, 19 * s, 19 * s, 0);
    for (int d = 0; d < 5; d++) {
        double fan = d == 0 ? 0.7 : 0.16 - 0.14 * (d - 1) + made_off(h, 0.05);
        double roll = d == 0 ? 0.9 : made_off(h, 0.12), length[3], radius[4];
        double x[3] = {cos(fan), sin(fan), 0}, up[3] = {0, 0, 1}, z[3];
        const double side[3] = {-sin(fan), cos(fan), 0};
        for (int i = 0; i < 3; i++) z[i] = cos(roll) * up[i] + sin(roll) * side[i];
        double *at = h->axis[hw_mark_of(d, 0)];
        at[0] = place[d][0] * l;
        at[1] = place[d][1] * l;
        at[2] = d == 0 ? -0.03 * l : -0.6 * pow(place[d][1] * l - 3 * s, 2) / (0.3 * l) - 1 * s;
        for (int k = 0; k < 3; k++) {
            length[k] = part[d][k] * l * (1 + made_off(h, 0.08));
            h->bend[d][k] = hw_rng_uniform(&h->rng, 0.02, h->def.bend * (d == 0 ? 0.5 : 1));
        }
        for (int k = 0; k < 4; k++) radius[k] = size[d][k] * s * (1 + made_off(h, 0.05));
        const double root[3] = {0.02 * l, at[1] * 0.45, 0};
        if (d > 0) made_cone_add(h, root, at, 15 * s, radius[0]);
        if (d > 0) made_flex(x, z, 0); // palms are flat
        made_digit(h, d, x, z, length, radius, hw_rng_uniform(&h->rng, 8, 12) * s);
    }
}

// ---- surface ----------------------------------------------------------------------------------

// Signed distance from a cone with round ends.
static inline double made_cone_distance(const made_cone *c, const double p[3])
{
    double ab = 0, ap = 0, pp = 0;
    for (int i = 0; i < 3; i++) {
        double d = c->b[i] - c->a[i], e = p[i] - c->a[i];
        ab += d * d;
        ap += d * e;
        pp += e * e;
    }
    // foot of the least of |p - a - t d| - ra - t (rb - ra)
    double length = sqrt(ab), taper = (c->rb - c->ra) / length, along = ap / length;
    double side = sqrt(fmax(pp - along * along, 0));
    double foot = along + side * taper / sqrt(1 - taper * taper);
    double t = fmin(fmax(foot / length, 0), 1), d = along - t * length;
    return sqrt(d * d + side * side) - c->ra - t * (c->rb - c->ra);
}

static inline double made_distance(const made_hand *h, const double p[3])
{
    double best = INFINITY;
    for (int i = 0; i < h->cones; i++) best = fmin(best, made_cone_distance(&h->cone[i], p));
    return best;
}

typedef struct made_grid {
    double low[3], cell;
    size_t n[3];
    float *value;
    uint64_t *key; // of sides: corner numbers + 1; 0: free
    uint32_t *vertex;
    size_t slots;
} made_grid;

static inline size_t made_index(const made_grid *g, size_t i, size_t j, size_t k)
{
    return (k * g->n[1] + j) * g->n[0] + i;
}

static inline void made_place(const made_grid *g, size_t index, double out[3])
{
    size_t ijk[3] = {index % g->n[0], index / g->n[0] % g->n[1], index / (g->n[0] * g->n[1])};
    for (int c = 0; c < 3; c++) out[c] = g->low[c] + g->cell * (double)ijk[c];
}

// Values at all corners; far from the skin one value does for a whole block.
static inline void made_fill(const made_hand *h, made_grid *g)
{
    enum { BLOCK = 5 };
    for (size_t k = 0; k < g->n[2]; k += BLOCK)
        for (size_t j = 0; j < g->n[1]; j += BLOCK)
            for (size_t i = 0; i < g->n[0]; i += BLOCK) {
                double mid[3], p[3], reach = g->cell * BLOCK * 0.5 * sqrt(3.0);
                const size_t from[3] = {i, j, k};
                for (int c = 0; c < 3; c++)
                    mid[c] = g->low[c] + g->cell * ((double)from[c] + (BLOCK - 1) * 0.5);
                double d = made_distance(h, mid);
                for (size_t c = k; c < k + BLOCK && c < g->n[2]; c++)
                    for (size_t b = j; b < j + BLOCK && b < g->n[1]; b++)
                        for (size_t a = i; a < i + BLOCK && a < g->n[0]; a++) {
                            size_t at = made_index(g, a, b, c);
                            made_place(g, at, p);
                            g->value[at] = (float)(fabs(d) > reach ? d : made_distance(h, p));
                        }
            }
}

static inline uint32_t made_vertex(made_hand *h, made_grid *g, size_t a, size_t b)
{
    size_t low = a < b ? a : b, high = a < b ? b : a;
    uint64_t key = (uint64_t)low * 0x100000000u + high + 1;
    size_t i = (size_t)(key * 0x9e3779b97f4a7c15u >> 24) % g->slots;
    for (; g->key[i]; i = (i + 1) % g->slots)
        if (g->key[i] == key) return g->vertex[i];
    double p[3], q[3], t = (double)g->value[low] / (double)(g->value[low] - g->value[high]);
    made_place(g, low, p);
    made_place(g, high, q);
    for (int c = 0; c < 3; c++) h->at[h->verts][c] = (float)(p[c] + t * (q[c] - p[c]));
    g->key[i] = key;
    return g->vertex[i] = (uint32_t)h->verts++;
}

static inline void made_triangle(made_hand *h, made_grid *g, const size_t in[3],
                                 const size_t out[3], const double outward[3])
{
    uint32_t v[3];
    double u[3], w[3];
    for (int c = 0; c < 3; c++) v[c] = made_vertex(h, g, in[c], out[c]);
    for (int c = 0; c < 3; c++) {
        u[c] = (double)h->at[v[1]][c] - (double)h->at[v[0]][c];
        w[c] = (double)h->at[v[2]][c] - (double)h->at[v[0]][c];
    }
    double turn = outward[0] * (u[1] * w[2] - u[2] * w[1]) +
                  outward[1] * (u[2] * w[0] - u[0] * w[2]) +
                  outward[2] * (u[0] * w[1] - u[1] * w[0]);
    uint32_t *t = &h->tri[3 * h->tris];
    if (h->tris == h->room || v[0] == v[1] || v[1] == v[2] || v[2] == v[0]) return;
    t[0] = v[0];
    t[1] = v[turn < 0 ? 2 : 1];
    t[2] = v[turn < 0 ? 1 : 2];
    h->tris++;
}

static inline void made_tet(made_hand *h, made_grid *g, const size_t c[4])
{
    size_t in[4], out[4];
    int n = 0, m = 0;
    double outward[3] = {0, 0, 0}, p[3];
    for (int i = 0; i < 4; i++)
        if (g->value[c[i]] < 0)
            in[n++] = c[i];
        else
            out[m++] = c[i];
    if (n == 0 || m == 0) return;
    for (int i = 0; i < n; i++) {
        made_place(g, in[i], p);
        for (int k = 0; k < 3; k++) outward[k] -= p[k] / n;
    }
    for (int i = 0; i < m; i++) {
        made_place(g, out[i], p);
        for (int k = 0; k < 3; k++) outward[k] += p[k] / m;
    }
    if (n == 1)
        made_triangle(h, g, (size_t[]){in[0], in[0], in[0]}, out, outward);
    else if (m == 1)
        made_triangle(h, g, in, (size_t[]){out[0], out[0], out[0]}, outward);
    else {
        made_triangle(h, g, (size_t[]){in[0], in[0], in[1]}, (size_t[]){out[0], out[1], out[0]},
                      outward);
        made_triangle(h, g, (size_t[]){in[1], in[0], in[1]}, (size_t[]){out[0], out[1], out[1]},
                      outward);
    }
}

static inline void made_surface(made_hand *h)
{
    static const int path[6][2] = {{1, 2}, {1, 4}, {2, 1}, {2, 4}, {4, 1}, {4, 2}};
    made_grid g = {.cell = h->def.cell};
    double high[3];
    for (int c = 0; c < 3; c++) {
        g.low[c] = INFINITY;
        high[c] = -INFINITY;
        for (int i = 0; i < h->cones; i++) {
            const made_cone *k = &h->cone[i];
            g.low[c] = fmin(g.low[c], fmin(k->a[c] - k->ra, k->b[c] - k->rb));
            high[c] = fmax(high[c], fmax(k->a[c] + k->ra, k->b[c] + k->rb));
        }
        g.low[c] -= 1.37 * g.cell;
        g.n[c] = (size_t)((high[c] - g.low[c]) / g.cell) + 4;
    }
    size_t all = g.n[0] * g.n[1] * g.n[2];
    h->room = 600000;
    g.slots = 1 << 21;
    g.value = malloc(all * sizeof *g.value);
    g.key = calloc(g.slots, sizeof *g.key);
    g.vertex = malloc(g.slots * sizeof *g.vertex);
    h->at = malloc(h->room * sizeof *h->at);
    h->tri = malloc(3 * h->room * sizeof *h->tri);
    made_fill(h, &g);
    for (size_t k = 0; k + 1 < g.n[2]; k++)
        for (size_t j = 0; j + 1 < g.n[1]; j++)
            for (size_t i = 0; i + 1 < g.n[0]; i++) {
                size_t corner[8];
                for (size_t b = 0; b < 8; b++)
                    corner[b] = made_index(&g, i + (b & 1), j + (b >> 1 & 1), k + (b >> 2));
                for (int p = 0; p < 6; p++)
                    made_tet(h, &g,
                             (size_t[]){corner[0], corner[path[p][0]],
                                        corner[path[p][0] + path[p][1]], corner[7]});
            }
    free(g.value);
    free(g.key);
    free(g.vertex);
}

static inline void made_wear(made_hand *h)
{
    for (size_t v = 0; v < h->verts; v++)
        for (int c = 0; c < 3; c++)
            h->at[v][c] = (float)((double)h->at[v][c] + h->def.noise * hw_rng_normal(&h->rng));
    size_t kept = 0;
    for (size_t t = 0; t < h->tris; t++) {
        if (hw_rng_uniform(&h->rng, 0, 1) < h->def.missing) continue;
        memmove(&h->tri[3 * kept++], &h->tri[3 * t], 3 * sizeof *h->tri);
    }
    h->tris = kept;
}

// ---- picks, place, mirror ---------------------------------------------------------------------

// `normal` [1] of the skin there.
static inline void made_pick(made_hand *h, int mark, int face, const double at[3],
                             const double normal[3])
{
    double p[3], by[3], square = 0, in = 0;
    for (int c = 0; c < 3; c++) {
        by[c] = hw_rng_normal(&h->rng);
        in += by[c] * normal[c];
    }
    for (int c = 0; c < 3 && h->def.off == MADE_OFF_ALONG_SKIN; c++) {
        by[c] -= in * normal[c];
        square += by[c] * by[c];
    }
    const double unit = h->def.off == MADE_OFF_RMS         ? sqrt(3.0)
                        : h->def.off == MADE_OFF_EACH_AXIS ? 1
                                                           : sqrt(square);
    for (int c = 0; c < 3; c++) p[c] = at[c] + h->def.pick * by[c] / unit;
    h->picks.pick[mark][face] = (hw_pick){{p[0], p[1], p[2]}, 1 + 2 * mark + face};
}

static inline void made_picks(made_hand *h)
{
    h->picks.scale = h->picks.accuracy = (double)NAN;
    for (int m = 0; m < HW_MARKS; m++) {
        double at[3];
        if (m > 0 && (m - 1) % 4 == 3) {
            made_pick(h, m, HW_DORSAL, h->joint[m], h->along[m]);
            continue;
        }
        made_along(at, h->axis[m], h->deep[m], h->radius[m]);
        made_pick(h, m, HW_DORSAL, at, h->deep[m]);
        if (h->def.single) continue;
        made_along(at, h->axis[m], h->deep[m], -h->crease[m]);
        made_pick(h, m, HW_PALMAR, at, h->deep[m]);
    }
}

// A scanner's own frame: turned, shifted, mirrored for a left hand, scaled.
typedef struct made_place_of {
    double m[3][3], shift[3];
} made_place_of;

static inline void made_move(const made_place_of *f, const double p[3], double out[3])
{
    double q[3];
    for (int i = 0; i < 3; i++)
        q[i] = f->shift[i] + f->m[i][0] * p[0] + f->m[i][1] * p[1] + f->m[i][2] * p[2];
    memcpy(out, q, sizeof q);
}

static inline void made_turn(made_place_of *f, hw_rng *r, double scale, bool left)
{
    double q[4], n = 0;
    for (int i = 0; i < 4; i++) {
        q[i] = hw_rng_normal(r);
        n += q[i] * q[i];
    }
    for (int i = 0; i < 4; i++) q[i] /= sqrt(n);
    for (int i = 0; i < 3; i++) {
        int j = (i + 1) % 3, k = (i + 2) % 3;
        f->m[i][i] = 1 - 2 * (q[j] * q[j] + q[k] * q[k]);
        f->m[i][j] = 2 * (q[i] * q[j] - q[k] * q[3]);
        f->m[i][k] = 2 * (q[i] * q[k] + q[j] * q[3]);
        f->shift[i] = scale * hw_rng_uniform(r, -100, 100);
    }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) f->m[i][j] *= scale * (left && j == 1 ? -1 : 1);
}

static inline void made_bring(made_hand *h)
{
    made_place_of f;
    made_turn(&f, &h->rng, h->def.scale, h->def.left);
    memcpy(h->home, h->joint, sizeof h->home);
    for (size_t v = 0; v < h->verts; v++) {
        double p[3] = {(double)h->at[v][0], (double)h->at[v][1], (double)h->at[v][2]};
        made_move(&f, p, p);
        for (int c = 0; c < 3; c++) h->at[v][c] = (float)p[c];
    }
    for (size_t t = 0; h->def.left && t < h->tris; t++) {
        uint32_t keep = h->tri[3 * t];
        h->tri[3 * t] = h->tri[3 * t + 1];
        h->tri[3 * t + 1] = keep;
    }
    for (int m = 0; m < HW_MARKS; m++) {
        made_move(&f, h->joint[m], h->joint[m]);
        for (int face = 0; face < 2; face++) {
            hw_vec3 *at = &h->picks.pick[m][face].at;
            double p[3] = {at->x, at->y, at->z};
            made_move(&f, p, p);
            *at = (hw_vec3){p[0], p[1], p[2]};
        }
    }
    memset(f.shift, 0, sizeof f.shift);
    for (int d = 0; d < HW_HAND_DIGITS; d++) made_move(&f, h->flexion[d], h->flexion[d]);
}

static inline void made_hand_new(made_hand *h, const made_def *def, uint64_t seed)
{
    memset(h, 0, sizeof *h);
    h->def = *def;
    h->rng = hw_rng_new(seed, 77);
    made_bones(h);
    made_surface(h);
    made_wear(h);
    made_picks(h);
    made_bring(h);
}

static inline void made_hand_free(made_hand *h)
{
    free(h->at);
    free(h->tri);
}

static inline hw_float_mesh made_mesh(const made_hand *h)
{
    return (hw_float_mesh){h->at, h->tri, h->verts, h->tris};
}

#endif
