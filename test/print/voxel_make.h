// Parts, loads and supports for tests of voxels in a line each; lengths in millimetres.
#ifndef HW_TEST_VOXEL_MAKE_H
#define HW_TEST_VOXEL_MAKE_H

#include "check.h"
#include "print/voxel.h"
#include "solid/make.h"

static const double mm = 1e-3, far = 1; // [m], beyond every part [m]

// The mesh of a model without judging it.
static inline bool mesh_of(model *m, hw_mesh *mesh)
{
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh_made made;
    hw_solid solid = {m->block, m->n};
    return hw_solid_mesh(m->keep, m->work, &solid, &def, NULL, mesh, &made) == HW_OK;
}

static inline hw_code voxels(model *m, double edge, hw_voxels *out) // [mm]
{
    hw_mesh mesh;
    if (!mesh_of(m, &mesh)) return HW_BAD_INPUT;
    return hw_voxels_of(m->keep, m->work, &mesh, edge * mm * m->scale, 4000000, NULL, out);
}

static inline hw_voxel_region box_region(double x0, double y0, double z0, double x1, double y1,
                                         double z1)
{
    return (hw_voxel_region){.shape = HW_VOXEL_BOX,
                             .low = {x0 * mm, y0 * mm, z0 * mm},
                             .high = {x1 * mm, y1 * mm, z1 * mm}};
}

// Everything in the plane at[axis] = where.
static inline hw_voxel_region plane_region(int axis, double where) // [mm]
{
    double low[3] = {-1e3, -1e3, -1e3}, high[3] = {1e3, 1e3, 1e3};
    low[axis] = high[axis] = where;
    return box_region(low[0], low[1], low[2], high[0], high[1], high[2]);
}

static inline double at_axis(hw_vec3 v, int axis)
{
    return axis == 0 ? v.x : axis == 1 ? v.y : v.z;
}

static inline hw_vec3 along(int axis, double size)
{
    return (hw_vec3){axis == 0 ? size : 0, axis == 1 ? size : 0, axis == 2 ? size : 0};
}

static inline hw_code solved(model *m, const hw_voxel_problem *p, double tolerance,
                             hw_voxel_answer *a)
{
    hw_voxel_def def = hw_voxel_def_default();
    def.tolerance = tolerance;
    return hw_voxel_solve(m->keep, m->work, p, &def, NULL, a);
}

#endif
