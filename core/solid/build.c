#include "solid/build_internal.h"

#include "solid/topology_internal.h"

hw_mesh_def hw_mesh_def_default(void)
{
    return (hw_mesh_def){.unit = 1e-3, .bits = 20, .join_flats = true};
}

static hw_vec3 place(double grid, const int64_t origin[3], const int32_t at[3]) // [m]
{
    return (hw_vec3){grid * (double)(at[0] + origin[0]), grid * (double)(at[1] + origin[1]),
                     grid * (double)(at[2] + origin[2])};
}

// The same surface without its waste, after making sure that it is a manifold.
static hw_code refine(hw_build *b, const hw_mesh_def *def, hw_int_mesh *m)
{
    hw_topology t;
    if (!hw_topology_make(b->work, m->tri, m->tris, m->verts, &t)) return HW_NO_MEMORY;
    if (t.bad_edge != HW_NO_TWIN || t.pinched) {
        uint32_t v = t.bad_edge != HW_NO_TWIN ? m->tri[t.bad_edge] : t.bad_vert;
        b->made->pinched = true;
        b->made->bad_at = place(b->grid, b->origin, m->at[v]);
        return HW_BAD_INPUT;
    }
    return def->join_flats ? hw_join_flats(b->work, m, t.twin) : HW_OK;
}

hw_code hw_int_mesh_out(hw_arena *keep, hw_arena *work, const hw_int_mesh *m, double grid,
                        const int64_t origin[3], hw_mesh *out)
{
    uint32_t *number = HW_NEW(work, uint32_t, m->verts);
    if (!number) return HW_NO_MEMORY;
    size_t used = 0;
    for (size_t i = 0; i < 3 * m->tris; i++)
        if (!number[m->tri[i]]) number[m->tri[i]] = (uint32_t)++used;
    hw_vec3 *vert = HW_NEW(keep, hw_vec3, used);
    uint32_t *tri = HW_NEW(keep, uint32_t, 3 * m->tris);
    if (!vert || !tri) return HW_NO_MEMORY;
    for (size_t i = 0; i < 3 * m->tris; i++) tri[i] = number[m->tri[i]] - 1;
    for (size_t v = 0; v < m->verts; v++)
        if (number[v]) vert[number[v] - 1] = place(grid, origin, m->at[v]);
    *out = (hw_mesh){vert, tri, used, m->tris};
    return HW_OK;
}

static hw_code make(hw_arena *keep, hw_build *b, const hw_solid *solid, const hw_mesh_def *def,
                    hw_mesh *out)
{
    hw_int_mesh m = {0};
    double low, high;
    hw_code code = hw_build_ground(b, solid, def, &low, &high);
    if (code != HW_OK || solid->blocks == 0) return code;
    code = hw_build_plan(b, solid);
    if (code == HW_OK) code = hw_plan_snap(&b->plan, b->job);
    if (code == HW_OK) code = hw_plan_triangulate(&b->plan, b->job);
    if (code == HW_OK) code = hw_build_steps(b);
    if (code == HW_OK) code = hw_build_skin(b, &m);
    b->made->plan_points = b->plan.verts > 4 ? b->plan.verts - 4 : 0;
    b->made->plan_tris = b->plan.tris;
    b->made->planes = b->planes;
    b->made->tris_before = m.tris;
    if (code == HW_OK) code = refine(b, def, &m);
    if (code == HW_OK) code = hw_int_mesh_out(keep, b->work, &m, b->grid, b->origin, out);
    return code;
}

// Outlines that nearly share a line can leave a sliver that touches itself, or cuts a tapered wall,
// on one grid and not on another; a solid that truly does is refused on all of them.
static bool another_grid(int turn, const hw_mesh_def *def, hw_mesh_def *out)
{
    static const int bits[] = {1, 2, -1, -2};
    *out = *def;
    if ((size_t)turn >= sizeof bits / sizeof *bits) return false;
    out->bits = def->bits + bits[turn];
    if (out->bits > 22) out->bits = def->bits - 2 - turn;
    return out->bits >= 10;
}

hw_code hw_solid_mesh(hw_arena *keep, hw_arena *work, const hw_solid *solid, const hw_mesh_def *def,
                      const hw_job *job, hw_mesh *out, hw_mesh_made *made)
{
    size_t mark = hw_arena_mark(work);
    hw_mesh_def now = *def;
    hw_code code;
    int turn = 0;
    do {
        *made = (hw_mesh_made){.bad_block = SIZE_MAX};
        *out = (hw_mesh){0};
        hw_build b = {.work = work, .job = job, .made = made};
        code = make(keep, &b, solid, &now, out);
        hw_arena_rewind(work, mark);
    } while (code == HW_BAD_INPUT && made->planes > 0 && another_grid(turn++, def, &now));
    if (code != HW_OK) *out = (hw_mesh){0};
    return code;
}
