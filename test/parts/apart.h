// How near meshes come in a slice, and whether they meet in a pose: from triangles alone.
#ifndef HW_TEST_PARTS_APART_H
#define HW_TEST_PARTS_APART_H

#include "group.h"
#include "solid/meet_internal.h"

#include <stdlib.h>

typedef struct segment {
    double a[2], b[2], low; // on the bed, and the least x [m]
} segment;

typedef struct slice {
    segment *at;
    size_t n;
} slice;

static inline int segment_order(const void *a, const void *b)
{
    double x = ((const segment *)a)->low, y = ((const segment *)b)->low;
    return (x > y) - (x < y);
}

// Where a mesh is cut at a height; corners at that height count as below it.
static inline slice slice_of(hw_arena *a, const hw_mesh *m, double z) // [m]
{
    slice s = {HW_NEW(a, segment, m->tris), 0};
    for (size_t t = 0; t < m->tris; t++) {
        double end[2][2] = {{0}};
        int n = 0;
        for (int i = 0; i < 3 && n < 2; i++) {
            hw_vec3 p = m->vert[m->tri[3 * t + (size_t)i]];
            hw_vec3 q = m->vert[m->tri[3 * t + (size_t)((i + 1) % 3)]];
            if ((p.z <= z) == (q.z <= z)) continue;
            double k = (z - p.z) / (q.z - p.z);
            end[n][0] = p.x + k * (q.x - p.x);
            end[n++][1] = p.y + k * (q.y - p.y);
        }
        if (n < 2) continue;
        segment *g = &s.at[s.n++];
        memcpy(g->a, end[0], sizeof g->a);
        memcpy(g->b, end[1], sizeof g->b);
        g->low = fmin(g->a[0], g->b[0]);
    }
    qsort(s.at, s.n, sizeof *s.at, segment_order);
    return s;
}

static inline double to_point(const segment *s, const double p[2])
{
    double u[2] = {s->b[0] - s->a[0], s->b[1] - s->a[1]};
    double w[2] = {p[0] - s->a[0], p[1] - s->a[1]};
    double square = u[0] * u[0] + u[1] * u[1];
    double t = square > 0 ? fmin(1, fmax(0, (u[0] * w[0] + u[1] * w[1]) / square)) : 0;
    return hypot(w[0] - t * u[0], w[1] - t * u[1]);
}

static inline double turn(const double a[2], const double b[2], const double c[2])
{
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}

static inline bool far(const segment *s, const segment *t, double most) // [m]
{
    for (int k = 0; k < 2; k++)
        if (fmin(s->a[k], s->b[k]) > fmax(t->a[k], t->b[k]) + most ||
            fmin(t->a[k], t->b[k]) > fmax(s->a[k], s->b[k]) + most)
            return true;
    return false;
}

static inline double between(const segment *s, const segment *t) // [m]
{
    if (turn(s->a, s->b, t->a) * turn(s->a, s->b, t->b) < 0 &&
        turn(t->a, t->b, s->a) * turn(t->a, t->b, s->b) < 0)
        return 0;
    return fmin(fmin(to_point(s, t->a), to_point(s, t->b)),
                fmin(to_point(t, s->a), to_point(t, s->b)));
}

// Least distance of two slices, exact below `most`, else `most`. [m]
static inline double slices_apart(const slice *s, const slice *t, double most, double at[2]) // [m]
{
    size_t first = 0;
    double widest = 0;
    for (size_t j = 0; j < t->n; j++)
        widest = fmax(widest, fmax(t->at[j].a[0], t->at[j].b[0]) - t->at[j].low);
    for (size_t i = 0; i < s->n; i++) {
        const segment *g = &s->at[i];
        double high = fmax(g->a[0], g->b[0]);
        while (first < t->n && t->at[first].low + widest + most < g->low) first++;
        for (size_t j = first; j < t->n && t->at[j].low <= high + most; j++) {
            if (far(g, &t->at[j], most)) continue;
            double d = between(g, &t->at[j]);
            if (d >= most) continue;
            most = d;
            at[0] = g->a[0];
            at[1] = g->a[1];
        }
    }
    return most;
}

typedef struct nearest {
    double gap, z, at[2]; // [m]
    size_t a, b;
} nearest;

// Least distance of any two parts over all slices of the printed pose, in the middles of layers.
static inline nearest group_gap(group *g, double layer, double most) // [m]
{
    nearest best = {most, 0, {0, 0}, 0, 0};
    double top = 0;
    for (size_t i = 0; i < g->set.parts; i++)
        for (size_t v = 0; v < g->mesh[i].verts; v++) top = fmax(top, g->mesh[i].vert[v].z);
    for (double z = layer / 2; z < top; z += layer) {
        size_t mark = hw_arena_mark(g->work);
        slice s[GROUP_PARTS];
        for (size_t i = 0; i < g->set.parts; i++) s[i] = slice_of(g->work, &g->mesh[i], z);
        for (size_t i = 0; i < g->set.parts; i++)
            for (size_t j = i + 1; j < g->set.parts; j++) {
                double at[2] = {0, 0};
                double d = slices_apart(&s[i], &s[j], best.gap, at);
                if (d < best.gap) best = (nearest){d, z, {at[0], at[1]}, i, j};
            }
        hw_arena_rewind(g->work, mark);
    }
    return best;
}

// All parts at a pose as one mesh on float coordinates, the part `moved` shifted besides.
static inline hw_float_mesh group_posed(group *g, double s, size_t moved, hw_vec3 by) // [1]
{
    hw_float_mesh all = {0};
    for (size_t i = 0; i < g->set.parts; i++) {
        all.verts += g->mesh[i].verts;
        all.tris += g->mesh[i].tris;
    }
    all.at = hw_arena_alloc(g->keep, all.verts, sizeof *all.at, _Alignof(float));
    all.tri = HW_NEW(g->keep, uint32_t, 3 * all.tris);
    hw_digit_pose pose;
    hw_place place[HW_STACK_PARTS];
    CHECK(hw_digit_family_of(g->digit.family)->pose(&g->digit, s, &pose) == HW_OK);
    hw_parts_place(&g->set.bed, &pose, place);
    size_t v = 0, t = 0;
    for (size_t i = 0; i < g->set.parts; i++) {
        // a spool lies beside the digit until it is put in
        const hw_place still = {{0, 0}, 1, 0};
        const hw_place *p = g->set.part[i].body < 0 ? &still : &place[g->set.part[i].body];
        for (size_t k = 0; k < 3 * g->mesh[i].tris; k++)
            all.tri[t++] = g->mesh[i].tri[k] + (uint32_t)v;
        for (size_t k = 0; k < g->mesh[i].verts; k++) {
            hw_vec3 q = g->mesh[i].vert[k];
            hw_vec2 r = hw_add(p->at, hw_flex((hw_vec2){q.x, q.z}, p->c, p->s));
            hw_vec3 m = i == moved ? by : (hw_vec3){0, 0, 0};
            float *out = all.at[v++];
            out[0] = (float)((r.x + m.x) * 1e3);
            out[1] = (float)((q.y + m.y) * 1e3);
            out[2] = (float)((r.z + m.z) * 1e3);
        }
    }
    return all;
}

// ---- do two parts meet --------------------------------------------------------------------------

typedef struct tree { // boxes of triangles, halved by the middles along their widest extent
    float (*low)[3], (*high)[3];
    uint32_t *item;
    const hw_float_mesh *mesh;
} tree;

static inline void tree_box(tree *t, size_t node, size_t from, size_t to)
{
    float *low = t->low[node], *high = t->high[node];
    for (int k = 0; k < 3; k++) low[k] = INFINITY, high[k] = -INFINITY;
    for (size_t i = from; i < to; i++)
        for (int c = 0; c < 3; c++)
            for (int k = 0; k < 3; k++) {
                float x = t->mesh->at[t->mesh->tri[3 * t->item[i] + (uint32_t)c]][k];
                low[k] = fminf(low[k], x);
                high[k] = fmaxf(high[k], x);
            }
    if (to - from <= 4) return;
    int wide = 0;
    for (int k = 1; k < 3; k++)
        if (high[k] - low[k] > high[wide] - low[wide]) wide = k;
    size_t mid = from + (to - from) / 2, lo = from, hi = to - 1;
    while (lo < hi) { // quickselect by a corner
        float pivot = t->mesh->at[t->mesh->tri[3 * t->item[lo + (hi - lo) / 2]]][wide];
        size_t i = lo, j = hi;
        while (i <= j) {
            while (t->mesh->at[t->mesh->tri[3 * t->item[i]]][wide] < pivot) i++;
            while (t->mesh->at[t->mesh->tri[3 * t->item[j]]][wide] > pivot) j--;
            if (i > j) break;
            uint32_t swap = t->item[i];
            t->item[i++] = t->item[j];
            t->item[j] = swap;
            if (j == 0) break;
            j--;
        }
        if (mid <= j)
            hi = j;
        else if (mid >= i)
            lo = i;
        else
            break;
    }
    tree_box(t, 2 * node + 1, from, mid);
    tree_box(t, 2 * node + 2, mid, to);
}

static inline tree tree_of(hw_arena *a, const hw_float_mesh *m, size_t from, size_t tris)
{
    size_t nodes = 4 * tris + 8;
    tree t = {hw_arena_alloc(a, nodes, sizeof *t.low, _Alignof(float)),
              hw_arena_alloc(a, nodes, sizeof *t.high, _Alignof(float)),
              HW_NEW(a, uint32_t, tris + 1), m};
    for (size_t i = 0; i < tris; i++) t.item[i] = (uint32_t)(from + i);
    tree_box(&t, 0, 0, tris);
    return t;
}

static inline size_t trees_meet(const tree *s, size_t a, size_t s0, size_t s1, const tree *t,
                                size_t b, size_t t0, size_t t1)
{
    for (int k = 0; k < 3; k++)
        if (s->low[a][k] > t->high[b][k] || t->low[b][k] > s->high[a][k]) return 0;
    size_t n = 0, sm = s0 + (s1 - s0) / 2, tm = t0 + (t1 - t0) / 2;
    if (s1 - s0 <= 4 && t1 - t0 <= 4) {
        for (size_t i = s0; i < s1; i++)
            for (size_t j = t0; j < t1; j++) {
                const uint32_t *p = &s->mesh->tri[3 * s->item[i]];
                const uint32_t *q = &t->mesh->tri[3 * t->item[j]];
                if (hw_meet_axis(s->mesh, p) >= 0 && hw_meet_axis(t->mesh, q) >= 0)
                    n += hw_meet_pair(s->mesh, p, q);
            }
        return n;
    }
    if (s1 - s0 > 4 && (t1 - t0 <= 4 || s1 - s0 > t1 - t0))
        return trees_meet(s, 2 * a + 1, s0, sm, t, b, t0, t1) +
               trees_meet(s, 2 * a + 2, sm, s1, t, b, t0, t1);
    return trees_meet(s, a, s0, s1, t, 2 * b + 1, t0, tm) +
           trees_meet(s, a, s0, s1, t, 2 * b + 2, tm, t1);
}

// Pairs of triangles of two parts that meet in a pose, exactly on float coordinates.
static inline size_t group_meets(group *g, double s, size_t moved, hw_vec3 by) // [1]
{
    size_t mark = hw_arena_mark(g->keep), met = 0, from = 0, start[GROUP_PARTS + 1];
    hw_float_mesh all = group_posed(g, s, moved, by);
    tree t[GROUP_PARTS];
    for (size_t i = 0; i < g->set.parts; i++) {
        start[i] = from;
        t[i] = tree_of(g->keep, &all, from, g->mesh[i].tris);
        from += g->mesh[i].tris;
    }
    start[g->set.parts] = from;
    for (size_t i = 0; i < g->set.parts; i++)
        for (size_t j = i + 1; j < g->set.parts; j++) {
            size_t n = trees_meet(&t[i], 0, 0, start[i + 1] - start[i], &t[j], 0, 0,
                                  start[j + 1] - start[j]);
            if (n && moved == SIZE_MAX)
                printf("    s %.3f: %s meets %s, %zu pairs\n", s, g->set.part[i].name,
                       g->set.part[j].name, n);
            met += n;
        }
    hw_arena_rewind(g->keep, mark);
    return met;
}

#endif
