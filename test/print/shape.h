// Parts on a bed for tests; lengths in millimetres.
#ifndef HW_TEST_PRINT_SHAPE_H
#define HW_TEST_PRINT_SHAPE_H

#include "print/print.h"
#include "solid/make.h"

enum { MOST_PARTS = 8 };

typedef struct group {
    model m; // the blocks of the part at hand
    hw_print_part part[MOST_PARTS];
    size_t n;
    hw_print_def def;
    hw_print_report got;
    size_t bad;
} group;

static inline group group_new(void)
{
    return (group){.m = model_new(), .def = hw_print_def_default()};
}

static inline void group_free(group *g)
{
    model_free(&g->m);
}

static inline void add_mesh(group *g, const char *name, hw_mesh mesh)
{
    hw_mesh *kept = HW_NEW(g->m.keep, hw_mesh, 1);
    *kept = mesh;
    g->part[g->n++] = (hw_print_part){.name = name, .mesh = kept};
}

// The blocks so far as one part of the group.
static inline void add_part(group *g, const char *name)
{
    hw_mesh mesh;
    hw_mesh_made made;
    hw_mesh_def def = hw_mesh_def_default();
    hw_solid solid = {g->m.block, g->m.n};
    if (!CHECK(hw_solid_mesh(g->m.keep, g->m.work, &solid, &def, NULL, &mesh, &made) == HW_OK))
        mesh = (hw_mesh){0};
    add_mesh(g, name, mesh);
    g->m.n = 0;
}

// Permits a box of the part added last.
static inline void allow(group *g, hw_allowance_kind kind, const double low[3],
                         const double high[3])
{
    hw_print_part *p = &g->part[g->n - 1];
    hw_allowance *list = HW_NEW(g->m.keep, hw_allowance, p->allows + 1);
    double k = 1e-3 * g->m.scale;
    if (p->allows) memcpy(list, p->allow, p->allows * sizeof *list);
    list[p->allows++] = (hw_allowance){
        kind, {low[0] * k, low[1] * k, low[2] * k}, {high[0] * k, high[1] * k, high[2] * k}};
    p->allow = list;
}

static inline hw_code judge(group *g)
{
    return hw_print_judge(g->m.keep, g->m.work, g->part, g->n, &g->def, NULL, &g->got, &g->bad);
}

// A part about a vertical axis at (x, y): radius r[i] at height z[i], rising; n corners round. The
// ends are flat, or tips where the radius is 0.
static inline hw_mesh turned(hw_arena *a, double x, double y, size_t rings, const double r[],
                             const double z[], size_t n)
{
    hw_mesh m = {HW_NEW(a, hw_vec3, rings * n + 2), HW_NEW(a, uint32_t, 6 * rings * n + 6 * n), 0,
                 0};
    size_t t = 0;
    for (size_t i = 0; i < rings; i++)
        for (size_t k = 0; k < n; k++) {
            double angle = 2 * HW_PI * (double)k / (double)n;
            m.vert[i * n + k] = (hw_vec3){(x + r[i] * cos(angle)) * 1e-3,
                                          (y + r[i] * sin(angle)) * 1e-3, z[i] * 1e-3};
        }
    size_t low = rings * n, high = low + 1;
    m.vert[low] = (hw_vec3){x * 1e-3, y * 1e-3, z[0] * 1e-3};
    m.vert[high] = (hw_vec3){x * 1e-3, y * 1e-3, z[rings - 1] * 1e-3};
    m.verts = rings * n + 2;
    for (size_t k = 0; k < n; k++) {
        size_t next = (k + 1) % n, top = (rings - 1) * n;
        m.tri[t++] = (uint32_t)low, m.tri[t++] = (uint32_t)next, m.tri[t++] = (uint32_t)k;
        m.tri[t++] = (uint32_t)high, m.tri[t++] = (uint32_t)(top + k);
        m.tri[t++] = (uint32_t)(top + next);
        for (size_t i = 0; i + 1 < rings; i++) {
            uint32_t p = (uint32_t)(i * n + k), q = (uint32_t)(i * n + next);
            uint32_t u = p + (uint32_t)n, v = q + (uint32_t)n;
            m.tri[t++] = p, m.tri[t++] = q, m.tri[t++] = v;
            m.tri[t++] = p, m.tri[t++] = v, m.tri[t++] = u;
        }
    }
    m.tris = t / 3;
    return m;
}

// Two meshes as one.
static inline hw_mesh joined(hw_arena *a, hw_mesh p, hw_mesh q)
{
    hw_mesh m = {HW_NEW(a, hw_vec3, p.verts + q.verts), HW_NEW(a, uint32_t, 3 * (p.tris + q.tris)),
                 p.verts + q.verts, p.tris + q.tris};
    memcpy(m.vert, p.vert, p.verts * sizeof *m.vert);
    if (q.verts) memcpy(m.vert + p.verts, q.vert, q.verts * sizeof *m.vert);
    memcpy(m.tri, p.tri, 3 * p.tris * sizeof *m.tri);
    for (size_t i = 0; i < 3 * q.tris; i++) m.tri[3 * p.tris + i] = q.tri[i] + (uint32_t)p.verts;
    return m;
}

#endif
