// Small pieces of a mesh that nothing joins to the rest.
#include "solid/solid.h"

#include <math.h>

// Vertices of one piece have one root.
static uint32_t root_of(uint32_t *up, uint32_t v)
{
    while (up[v] != v) {
        up[v] = up[up[v]];
        v = up[v];
    }
    return v;
}

static void join(uint32_t *up, uint32_t a, uint32_t b)
{
    uint32_t p = root_of(up, a), q = root_of(up, b);
    if (p < q)
        up[q] = p;
    else
        up[p] = q;
}

// Six times the volume between a triangle and a point.
static double volume6(const hw_mesh *m, size_t t, hw_vec3 o)
{
    hw_vec3 p[3];
    for (size_t k = 0; k < 3; k++) {
        hw_vec3 v = m->vert[m->tri[3 * t + k]];
        p[k] = (hw_vec3){v.x - o.x, v.y - o.y, v.z - o.z};
    }
    return p[0].x * (p[1].y * p[2].z - p[1].z * p[2].y) +
           p[0].y * (p[1].z * p[2].x - p[1].x * p[2].z) +
           p[0].z * (p[1].x * p[2].y - p[1].y * p[2].x);
}

// Whether a vertex of a cavity lies in the box round a crumb.
static bool is_within(const hw_mesh *m, uint32_t *up, uint32_t crumb, uint32_t cavity)
{
    hw_vec3 low = m->vert[crumb], high = low, at = m->vert[cavity];
    for (uint32_t i = 0; i < m->verts; i++) {
        if (root_of(up, i) != crumb) continue;
        hw_vec3 v = m->vert[i];
        low = (hw_vec3){fmin(low.x, v.x), fmin(low.y, v.y), fmin(low.z, v.z)};
        high = (hw_vec3){fmax(high.x, v.x), fmax(high.y, v.y), fmax(high.z, v.z)};
    }
    return at.x > low.x && at.x < high.x && at.y > low.y && at.y < high.y && at.z > low.z &&
           at.z < high.z;
}

// Marks crumbs by a volume of NaN, and the cavities in them.
static size_t mark(const hw_mesh *m, uint32_t *up, double *volume, double least) // [m^3] [m^3]
{
    size_t n = 0;
    for (uint32_t c = 0; c < m->verts; c++) {
        if (!(volume[c] > 0 && volume[c] < least)) continue;
        for (uint32_t v = 0; v < m->verts; v++)
            if (volume[v] < 0 && is_within(m, up, c, v)) volume[v] = (double)NAN;
        volume[c] = (double)NAN;
        n++;
    }
    return n;
}

// Triangles of the pieces that stay, and the vertices that these use.
static void keep(hw_mesh *m, uint32_t *up, const double *volume) // [m^3]
{
    size_t tris = 0, verts = 0;
    for (size_t t = 0; t < m->tris; t++) {
        if (isnan(volume[root_of(up, m->tri[3 * t])])) continue;
        for (size_t k = 0; k < 3; k++) m->tri[3 * tris + k] = m->tri[3 * t + k];
        tris++;
    }
    m->tris = tris;
    for (size_t v = 0; v < m->verts; v++) up[v] = UINT32_MAX;
    for (size_t i = 0; i < 3 * tris; i++) up[m->tri[i]] = 0;
    for (size_t v = 0; v < m->verts; v++) {
        if (up[v] == UINT32_MAX) continue;
        up[v] = (uint32_t)verts;
        m->vert[verts++] = m->vert[v];
    }
    m->verts = verts;
    for (size_t i = 0; i < 3 * tris; i++) m->tri[i] = up[m->tri[i]];
}

hw_code hw_mesh_drop_crumbs(hw_arena *work, hw_mesh *mesh, double share, size_t *dropped)
{
    *dropped = 0;
    if (!(share >= 0)) return HW_BAD_INPUT;
    for (size_t i = 0; i < 3 * mesh->tris; i++)
        if (mesh->tri[i] >= mesh->verts) return HW_BAD_INPUT;
    const size_t start = hw_arena_mark(work);
    uint32_t *up = HW_NEW(work, uint32_t, mesh->verts);
    double *volume = HW_NEW(work, double, mesh->verts);
    if (!up || !volume) {
        hw_arena_rewind(work, start);
        return HW_NO_MEMORY;
    }
    for (size_t v = 0; v < mesh->verts; v++) up[v] = (uint32_t)v;
    for (size_t i = 0; i < 3 * mesh->tris; i += 3) {
        join(up, mesh->tri[i], mesh->tri[i + 1]);
        join(up, mesh->tri[i], mesh->tri[i + 2]);
    }
    for (size_t t = 0; t < mesh->tris; t++) {
        uint32_t r = root_of(up, mesh->tri[3 * t]);
        volume[r] += volume6(mesh, t, mesh->vert[r]);
    }
    double most = 0;
    for (size_t v = 0; v < mesh->verts; v++) most = fmax(most, volume[v]);
    *dropped = mark(mesh, up, volume, share * most);
    if (*dropped) keep(mesh, up, volume);
    hw_arena_rewind(work, start);
    return HW_OK;
}
