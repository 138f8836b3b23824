// Blocks for tests in a line each; lengths in millimetres.
#ifndef HW_TEST_SOLID_MAKE_H
#define HW_TEST_SOLID_MAKE_H

#include "solid/solid.h"

#include <assert.h>

enum { MOST_BLOCKS = 128 };

typedef struct model {
    hw_arena *keep, *work;
    hw_block block[MOST_BLOCKS];
    size_t n;
    double scale; // applied to every length [1]
} model;

static inline model model_new(void)
{
    return (model){.keep = hw_arena_new(0), .work = hw_arena_new(0), .scale = 1};
}

static inline void model_free(model *m)
{
    hw_arena_free(m->keep);
    hw_arena_free(m->work);
}

// A polygon of n points x, z.
static inline hw_polygon polygon(model *m, size_t n, const double xz[])
{
    hw_polygon l = {HW_NEW(m->keep, hw_vec2, n), n};
    for (size_t i = 0; i < n; i++)
        l.at[i] = (hw_vec2){xz[2 * i] * 1e-3 * m->scale, xz[2 * i + 1] * 1e-3 * m->scale};
    return l;
}

static inline hw_polygon rectangle(model *m, double x0, double z0, double x1, double z1)
{
    return polygon(m, 4, (double[]){x0, z0, x1, z0, x1, z1, x0, z1});
}

static inline hw_polygon circle(model *m, double x, double z, double radius, size_t n)
{
    hw_polygon l = {0};
    double k = 1e-3 * m->scale;
    hw_circle d = {{x * k, z * k}, radius * k};
    if (hw_polygon_circle(m->keep, d, n, &l) != HW_OK) l.n = 0;
    return l;
}

static inline void taper(model *m, hw_block_op op, double y0, double y1, hw_polygon low,
                         hw_polygon high)
{
    double k = 1e-3 * m->scale;
    assert(m->n < MOST_BLOCKS);
    m->block[m->n++] = (hw_block){op, {y0 * k, y1 * k}, {low, high}};
}

static inline void plate(model *m, hw_block_op op, double y0, double y1, hw_polygon at)
{
    taper(m, op, y0, y1, at, at);
}

static inline void box(model *m, hw_block_op op, const double low[3], const double high[3])
{
    plate(m, op, low[1], high[1], rectangle(m, low[0], low[2], high[0], high[2]));
}

// The mesh, and what the exact check says of it as a file in millimetres.
static inline hw_code build(model *m, hw_mesh *mesh, hw_mesh_made *made, hw_mesh_report *report)
{
    hw_mesh_def def = hw_mesh_def_default();
    hw_solid solid = {m->block, m->n};
    hw_float_mesh f;
    *report = (hw_mesh_report){0};
    hw_code code = hw_solid_mesh(m->keep, m->work, &solid, &def, NULL, mesh, made);
    if (code == HW_OK) code = hw_mesh_to_float(m->keep, mesh, 1e-3, &f);
    if (code == HW_OK) code = hw_mesh_check(m->work, &f, NULL, report);
    return code;
}

#endif
