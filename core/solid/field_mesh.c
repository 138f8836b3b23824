// A field's mesh: lattice, surface, grid, flats.
#include "solid/lattice_internal.h"

#include "solid/build_internal.h"
#include "solid/topology_internal.h"

enum { KEEP_OFF = 64 }; // grid steps between a corner of the surface and one of the lattice

hw_field_mesh_def hw_field_mesh_def_default(void)
{
    return (hw_field_mesh_def){
        .unit = 1e-3, .cell = 0.5e-3, .deviation = 2e-5, .levels = 3, .tris_most = 4000000};
}

static double farthest(hw_vec3 a, hw_vec3 b)
{
    return fmax(fmax(fabs(a.x), fmax(fabs(a.y), fabs(a.z))),
                fmax(fabs(b.x), fmax(fabs(b.y), fabs(b.z))));
}

// The step that floats have at the solid's far end, in the file's unit.
static double grid_of(const hw_field *f, const hw_field_mesh_def *def)
{
    int exponent;
    (void)frexp(farthest(f->low, f->high) / def->unit, &exponent);
    return ldexp(def->unit, exponent - 24);
}

// Corners on the grid.
static hw_code settle(hw_arena *work, const hw_lattice *l, const hw_march *m, double grid,
                      hw_int_mesh *out)
{
    *out = (hw_int_mesh){.verts = m->edges, .tri = m->tri, .tris = m->tris};
    out->at = hw_arena_alloc(work, m->edges, sizeof *out->at, _Alignof(int32_t));
    if (!out->at) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->edges; i++) {
        hw_vec3 a = hw_spot_place(l, hw_spot_of(m->edge[i][0]));
        hw_vec3 d = hw_vec3_sub(hw_spot_place(l, hw_spot_of(m->edge[i][1])), a);
        double off = KEEP_OFF * grid / hw_vec3_norm(d);
        hw_vec3 p = hw_vec3_along(a, fmin(fmax(m->t[i], off), 1 - off), d);
        out->at[i][0] = (int32_t)llround(p.x / grid);
        out->at[i][1] = (int32_t)llround(p.y / grid);
        out->at[i][2] = (int32_t)llround(p.z / grid);
    }
    return HW_OK;
}

static hw_code make(hw_arena *keep, hw_arena *work, hw_lattice *l, const hw_job *job, hw_mesh *out,
                    hw_field_made *made)
{
    made->grid = grid_of(l->f, l->def);
    if (!(l->def->cell > 8 * KEEP_OFF * made->grid)) return HW_BAD_INPUT;
    hw_march m = {0};
    hw_code code = hw_lattice_make(work, l, job);
    if (code == HW_OK) code = hw_lattice_march(work, l, job, &m);
    if (code != HW_OK || m.tris == 0) return code;
    made->cubes = m.cubes;
    made->tets = m.tets;
    made->tris_before = m.tris;
    hw_int_mesh mesh;
    hw_topology t;
    code = settle(work, l, &m, made->grid, &mesh);
    if (code != HW_OK) return code;
    if (!hw_job_go_on(job, 0.9, "flats")) return HW_CANCELLED;
    if (!hw_topology_make(work, mesh.tri, mesh.tris, mesh.verts, &t)) return HW_NO_MEMORY;
    if (t.bad_edge != HW_NO_TWIN || t.pinched) return HW_BAD_INPUT; // a box that does not hold it
    code = hw_join_flats(work, &mesh, t.twin);
    static const int64_t origin[3] = {0};
    return code == HW_OK ? hw_int_mesh_out(keep, work, &mesh, made->grid, origin, out) : code;
}

hw_code hw_field_mesh(hw_arena *keep, hw_arena *work, const hw_field *f,
                      const hw_field_mesh_def *def, const hw_job *job, hw_mesh *out,
                      hw_field_made *made)
{
    *out = (hw_mesh){0};
    *made = (hw_field_made){0};
    if (!f && hw_arena_failed(keep)) return HW_NO_MEMORY;
    hw_vec3 low, high;
    bool any = hw_field_reach(f, &low, &high);
    made->empty_field = !f || (any && !isfinite(farthest(low, high)));
    bool good = def->unit > 0 && def->cell > 0 && def->deviation > 0 && def->levels >= 0 &&
                def->levels <= 8 && isfinite(def->unit + def->cell + def->deviation);
    if (made->empty_field || !good) return HW_BAD_INPUT;
    if (!any) return HW_OK;
    hw_lattice l = {
        .f = f,
        .def = def,
    };
    size_t mark = hw_arena_mark(work);
    hw_code code = make(keep, work, &l, job, out, made);
    hw_lattice_done(&l);
    hw_arena_rewind(work, mark);
    if (code != HW_OK) *out = (hw_mesh){0};
    return code;
}
