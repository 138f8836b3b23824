// How the triangles of a mesh hang together.
#include <math.h>

#include "print/print_internal.h"

typedef struct ends {
    uint32_t low, high;
} ends;

static ends ends_of(const hw_mesh *m, uint32_t h)
{
    uint32_t a = m->tri[h], b = m->tri[hw_half_after(h)];
    return a < b ? (ends){a, b} : (ends){b, a};
}

static bool good(const hw_mesh *m)
{
    if (!m || m->tris == 0 || m->verts == 0 || m->tris > UINT32_MAX / 3) return false;
    for (size_t i = 0; i < 3 * m->tris; i++)
        if (m->tri[i] >= m->verts) return false;
    for (size_t i = 0; i < m->verts; i++) {
        hw_vec3 v = m->vert[i];
        if (!isfinite(v.x) || !isfinite(v.y) || !isfinite(v.z)) return false;
    }
    return true;
}

// One stable pass of a counting sort of half-edges by one of their ends.
static void sort_pass(const hw_mesh *m, bool by_low, size_t *start, const uint32_t *from,
                      uint32_t *to)
{
    size_t n = 3 * m->tris;
    for (size_t v = 0; v <= m->verts; v++) start[v] = 0;
    for (size_t i = 0; i < n; i++) {
        ends e = ends_of(m, (uint32_t)i);
        start[(by_low ? e.low : e.high) + 1]++;
    }
    for (size_t v = 0; v < m->verts; v++) start[v + 1] += start[v];
    for (size_t i = 0; i < n; i++) {
        uint32_t h = from ? from[i] : (uint32_t)i;
        ends e = ends_of(m, h);
        to[start[by_low ? e.low : e.high]++] = h;
    }
}

hw_code hw_print_twins(hw_arena *a, const hw_mesh *mesh, uint32_t **twin)
{
    if (!good(mesh)) return HW_BAD_INPUT;
    size_t n = 3 * mesh->tris;
    uint32_t *out = HW_NEW(a, uint32_t, n);
    size_t mark = hw_arena_mark(a);
    size_t *start = HW_NEW(a, size_t, mesh->verts + 1);
    uint32_t *by_high = HW_NEW(a, uint32_t, n), *sorted = HW_NEW(a, uint32_t, n);
    if (!out || !start || !by_high || !sorted) return HW_NO_MEMORY;
    sort_pass(mesh, false, start, NULL, by_high);
    sort_pass(mesh, true, start, by_high, sorted);
    for (size_t i = 0; i < n; i += 2) {
        ends e = ends_of(mesh, sorted[i]);
        if (i + 1 == n || e.low == e.high) return HW_BAD_INPUT;
        ends f = ends_of(mesh, sorted[i + 1]);
        bool crowded = false;
        if (i + 2 < n) {
            ends g = ends_of(mesh, sorted[i + 2]);
            crowded = g.low == e.low && g.high == e.high;
        }
        bool alike = mesh->tri[sorted[i]] == mesh->tri[sorted[i + 1]];
        if (e.low != f.low || e.high != f.high || crowded || alike) return HW_BAD_INPUT;
        out[sorted[i]] = sorted[i + 1];
        out[sorted[i + 1]] = sorted[i];
    }
    hw_arena_rewind(a, mark);
    *twin = out;
    return HW_OK;
}

// Six times the volume between a triangle and a point.
static double volume6(const hw_mesh *m, uint32_t t, hw_vec3 o)
{
    hw_vec3 p[3];
    for (int k = 0; k < 3; k++) {
        hw_vec3 v = m->vert[m->tri[3 * t + (uint32_t)k]];
        p[k] = (hw_vec3){v.x - o.x, v.y - o.y, v.z - o.z};
    }
    return p[0].x * (p[1].y * p[2].z - p[1].z * p[2].y) +
           p[0].y * (p[1].z * p[2].x - p[1].x * p[2].z) +
           p[0].z * (p[1].x * p[2].y - p[1].y * p[2].x);
}

hw_code hw_print_pieces(hw_arena *work, const hw_mesh *mesh, const uint32_t *twin, size_t *pieces)
{
    size_t mark = hw_arena_mark(work);
    uint32_t *stack = HW_NEW(work, uint32_t, mesh->tris);
    uint8_t *seen = HW_NEW(work, uint8_t, mesh->tris);
    *pieces = 0;
    if (!stack || !seen) return HW_NO_MEMORY;
    for (uint32_t first = 0; first < mesh->tris; first++) {
        if (seen[first]) continue;
        hw_vec3 o = mesh->vert[mesh->tri[3 * first]];
        double volume = 0;
        size_t n = 0;
        stack[n++] = first;
        seen[first] = 1;
        while (n) {
            uint32_t t = stack[--n];
            volume += volume6(mesh, t, o);
            for (uint32_t k = 0; k < 3; k++) {
                uint32_t u = twin[3 * t + k] / 3;
                if (seen[u]) continue;
                seen[u] = 1;
                stack[n++] = u;
            }
        }
        if (volume > 0) ++*pieces;
    }
    hw_arena_rewind(work, mark);
    return HW_OK;
}
