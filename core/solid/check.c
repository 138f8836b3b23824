// A mesh as a reader of the file sees it: welded, then its edges, fans and crossings counted.
#include "solid/solid.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "solid/exact_internal.h"
#include "solid/meet_internal.h"
#include "solid/topology_internal.h"

hw_code hw_mesh_to_float(hw_arena *keep, const hw_mesh *mesh, double unit, hw_float_mesh *out)
{
    *out = (hw_float_mesh){0};
    float(*at)[3] = hw_arena_alloc(keep, mesh->verts, sizeof *at, _Alignof(float));
    uint32_t *tri = HW_NEW(keep, uint32_t, 3 * mesh->tris);
    if (!at || !tri) return HW_NO_MEMORY;
    for (size_t i = 0; i < mesh->verts; i++) {
        const double v[3] = {mesh->vert[i].x / unit, mesh->vert[i].y / unit,
                             mesh->vert[i].z / unit};
        for (int k = 0; k < 3; k++) {
            at[i][k] = (float)v[k];
            if (!isfinite(at[i][k])) return HW_BAD_INPUT;
        }
    }
    if (mesh->tris) memcpy(tri, mesh->tri, 3 * mesh->tris * sizeof *tri);
    *out = (hw_float_mesh){at, tri, mesh->verts, mesh->tris};
    return HW_OK;
}

bool hw_mesh_sound(const hw_mesh_report *r)
{
    size_t faults = r->not_finite | r->degenerate | r->open_edges | r->crowded_edges |
                    r->flipped_edges | r->pinched_verts | r->crossing;
    return faults == 0 && r->volume > 0;
}

// ---- welding ----------------------------------------------------------------------------------

static uint64_t mix_point(const float p[3])
{
    uint64_t k = 0;
    for (int i = 0; i < 3; i++) {
        float v = p[i] + 0.0F; // -0 and 0 are the same place
        uint32_t bits;
        memcpy(&bits, &v, sizeof bits);
        k = (k ^ bits) * 0x9e3779b97f4a7c15u;
        k ^= k >> 29;
    }
    return k;
}

// For each vertex the first one with its coordinates. False: out of memory.
static bool weld(hw_arena *work, const hw_float_mesh *m, uint32_t *same, size_t *merged)
{
    size_t slots = 64;
    while (slots < 2 * m->verts) slots *= 2;
    uint32_t *slot = HW_NEW(work, uint32_t, slots);
    if (!slot) return false;
    *merged = 0;
    for (size_t v = 0; v < m->verts; v++) {
        size_t k = (size_t)mix_point(m->at[v]) & (slots - 1);
        const float *p = m->at[v];
        for (; slot[k]; k = (k + 1) & (slots - 1)) {
            const float *q = m->at[slot[k] - 1];
            if (p[0] == q[0] && p[1] == q[1] && p[2] == q[2]) break;
        }
        if (slot[k])
            (*merged)++;
        else
            slot[k] = (uint32_t)v + 1;
        same[v] = slot[k] - 1;
    }
    return true;
}

static bool finite_point(const float p[3])
{
    return isfinite(p[0]) && isfinite(p[1]) && isfinite(p[2]);
}

static size_t count_not_finite(const hw_float_mesh *m)
{
    size_t n = 0;
    for (size_t t = 0; t < m->tris; t++) {
        const uint32_t *v = m->tri + 3 * t;
        n += !finite_point(m->at[v[0]]) || !finite_point(m->at[v[1]]) || !finite_point(m->at[v[2]]);
    }
    return n;
}

static size_t count_degenerate(const hw_float_mesh *m)
{
    size_t n = 0;
    for (size_t t = 0; t < m->tris; t++) n += hw_meet_axis(m, m->tri + 3 * t) < 0;
    return n;
}

static double volume(const hw_float_mesh *m)
{
    if (!m->tris) return 0;
    const float *o = m->at[m->tri[0]];
    double six = 0;
    for (size_t t = 0; t < m->tris; t++) {
        double v[3][3];
        for (int i = 0; i < 3; i++)
            for (int k = 0; k < 3; k++)
                v[i][k] = (double)m->at[m->tri[3 * t + (size_t)i]][k] - (double)o[k];
        six += v[0][0] * (v[1][1] * v[2][2] - v[1][2] * v[2][1]) +
               v[0][1] * (v[1][2] * v[2][0] - v[1][0] * v[2][2]) +
               v[0][2] * (v[1][0] * v[2][1] - v[1][1] * v[2][0]);
    }
    return six / 6;
}

static hw_code inspect(hw_arena *work, const hw_float_mesh *m, bool crossings, const hw_job *job,
                       hw_mesh_report *out)
{
    out->not_finite = count_not_finite(m);
    if (out->not_finite) return HW_OK;
    uint32_t *same = HW_NEW(work, uint32_t, m->verts);
    uint32_t *tri = HW_NEW(work, uint32_t, 3 * m->tris);
    if (!same || !tri || !weld(work, m, same, &out->merged_verts)) return HW_NO_MEMORY;
    for (size_t i = 0; i < 3 * m->tris; i++) tri[i] = same[m->tri[i]];
    hw_float_mesh welded = {m->at, tri, m->verts, m->tris};
    out->degenerate = count_degenerate(&welded);
    out->volume = volume(&welded);
    hw_topology t;
    if (!hw_topology_make(work, tri, m->tris, m->verts, &t)) return HW_NO_MEMORY;
    out->open_edges = t.open;
    out->crowded_edges = t.crowded;
    out->flipped_edges = t.flipped;
    out->pinched_verts = t.pinched;
    return crossings ? hw_meet_count(work, &welded, job, out) : HW_OK;
}

static hw_code check(hw_arena *work, const hw_float_mesh *mesh, bool crossings, const hw_job *job,
                     hw_mesh_report *out)
{
    *out = (hw_mesh_report){0};
    if (mesh->verts > 0xfffffff0u || mesh->tris > 0x55555550u) return HW_BAD_INPUT;
    for (size_t i = 0; i < 3 * mesh->tris; i++)
        if (mesh->tri[i] >= mesh->verts) return HW_BAD_INPUT;
    size_t mark = hw_arena_mark(work);
    hw_code code = inspect(work, mesh, crossings, job, out);
    hw_arena_rewind(work, mark);
    return code;
}

hw_code hw_mesh_check(hw_arena *work, const hw_float_mesh *mesh, const hw_job *job,
                      hw_mesh_report *out)
{
    return check(work, mesh, true, job, out);
}

hw_code hw_mesh_edges(hw_arena *work, const hw_float_mesh *mesh, hw_mesh_report *out)
{
    return check(work, mesh, false, NULL, out);
}
