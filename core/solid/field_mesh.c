// A field's mesh: lattice, surface, grid, flats.
#include "solid/lattice_internal.h"

#include "solid/build_internal.h"
#include "solid/meet_internal.h"
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

static void on_grid(hw_vec3 p, double grid, int32_t at[3]) // [m] [steps]
{
    at[0] = (int32_t)llround(p.x / grid);
    at[1] = (int32_t)llround(p.y / grid);
    at[2] = (int32_t)llround(p.z / grid);
}

// Corners on the grid.
static hw_code settle(hw_arena *work, const hw_lattice *l, const hw_march *m, double grid,
                      hw_int_mesh *out)
{
    *out = (hw_int_mesh){.verts = m->edges + m->mores};
    out->at = hw_arena_alloc(work, out->verts, sizeof *out->at, _Alignof(int32_t));
    if (!out->at) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->edges; i++) {
        hw_vec3 a = hw_spot_place(l, hw_spot_of(m->edge[i][0]));
        hw_vec3 d = hw_vec3_sub(hw_spot_place(l, hw_spot_of(m->edge[i][1])), a);
        double off = KEEP_OFF * grid / hw_vec3_norm(d);
        on_grid(hw_vec3_along(a, fmin(fmax(m->t[i], off), 1 - off), d), grid, out->at[i]);
    }
    for (size_t i = 0; i < m->mores; i++) on_grid(m->more[i], grid, out->at[m->edges + i]);
    return HW_OK;
}

// Leaves out peaks whose triangles meet others; how many.
static hw_code withdraw(hw_arena *work, const hw_int_mesh *mesh, const hw_job *job, hw_march *m,
                        size_t *gone)
{
    hw_float_mesh f = {NULL, m->tri, mesh->verts, m->tris};
    float(*at)[3] = hw_arena_alloc(work, mesh->verts, sizeof *at, _Alignof(float));
    bool *crossed = HW_NEW(work, bool, m->tris), *out = HW_NEW(work, bool, m->mores + 1);
    if (!at || !crossed || !out) return HW_NO_MEMORY;
    for (size_t i = 0; i < mesh->verts; i++)
        for (int k = 0; k < 3; k++) at[i][k] = (float)mesh->at[i][k]; // whole numbers below 2^24
    f.at = at;
    const hw_code code = hw_meet_mark(work, &f, (uint32_t)m->edges, job, crossed);
    if (code != HW_OK) return code;
    for (size_t i = 0; i < 3 * m->tris; i++)
        if (crossed[i / 3] && m->tri[i] >= m->edges) out[m->tri[i] - m->edges] = true;
    *gone = 0;
    for (size_t i = 0; i < m->pieces; i++) {
        if (m->peak[i] == HW_NO_EDGE || !out[m->peak[i] - m->edges]) continue;
        m->peak[i] = HW_NO_EDGE;
        ++*gone;
    }
    return HW_OK;
}

// Triangles with edges where the surface has them, free of crossings as they are without.
static hw_code sharpen(hw_arena *work, const hw_lattice *l, const hw_job *job, double grid,
                       hw_march *m, hw_int_mesh *mesh, hw_topology *t)
{
    hw_code code = hw_lattice_sharpen(work, l, job, m);
    if (code == HW_OK) code = settle(work, l, m, grid, mesh);
    for (size_t gone = 1; code == HW_OK && gone > 0;) {
        code = hw_lattice_fill(work, l, m);
        if (code != HW_OK) return code;
        mesh->tri = m->tri;
        mesh->tris = m->tris;
        if (!hw_topology_make(work, mesh->tri, mesh->tris, mesh->verts, t)) return HW_NO_MEMORY;
        if (t->bad_edge != HW_NO_TWIN || t->pinched)
            return HW_BAD_INPUT; // a box that does not hold it
        code = hw_lattice_crease(work, l, m, t->twin);
        if (code == HW_OK) code = withdraw(work, mesh, job, m, &gone);
    }
    return code;
}

static hw_code make(hw_arena *keep, hw_arena *work, hw_lattice *l, const hw_job *job, hw_mesh *out,
                    hw_field_made *made)
{
    made->grid = grid_of(l->f, l->def);
    if (!(l->def->cell > 8 * KEEP_OFF * made->grid)) return HW_BAD_INPUT;
    hw_march m = {0};
    hw_code code = hw_lattice_make(work, l, job);
    if (code == HW_OK) code = hw_lattice_march(work, l, job, &m);
    if (code != HW_OK || m.pieces == 0) return code;
    hw_int_mesh mesh;
    hw_topology t;
    code = sharpen(work, l, job, made->grid, &m, &mesh, &t);
    if (code != HW_OK) return code;
    made->cubes = m.cubes;
    made->tets = m.tets;
    made->tris_before = m.tris;
    if (!hw_job_go_on(job, 0.95, "flats")) return HW_CANCELLED;
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
