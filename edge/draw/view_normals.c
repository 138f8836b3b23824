// Normals that are smooth over each face, so that facets of a curved skin do not show.
#include "base/par.h"
#include "base/vec3.h"
#include "draw/view_internal.h"

#include <math.h>
#include <string.h>

enum { PASSES = 10 }; // each reaches one triangle farther

#define BLUNT  0.95 // cosine between faces that are no skin's facets: 18 degrees [1]
#define NEEDLE 0.1  // height over length of a triangle whose normal says little [1]

typedef struct smoother {
    const hw_mesh *m;
    const uint32_t *face;
    const size_t *first; // of each vertex in `of`
    const uint32_t *of;  // triangles round the vertices
    const double *area;  // of each triangle, twice [m2]
    const bool *needle;  // of each triangle
    hw_vec3 *own;        // normal of each triangle, unit or zero [1]
    hw_vec3 *normal;     // the same, smoothed [1]
    uint32_t *near;      // triangles that count at the corners
    const size_t *end;   // of each corner in `near`, after a zero
    hw_vec3 *out;        // of each corner [1]
} smoother;

// Triangles round each vertex, one vertex after the other.
static bool triangles_round(hw_arena *work, const hw_mesh *m, size_t **first, uint32_t **of)
{
    size_t n = 3 * m->tris, *at = HW_NEW(work, size_t, m->verts + 2);
    uint32_t *list = HW_NEW(work, uint32_t, n);
    if (!at || !list) return false;
    for (size_t i = 0; i < n; i++) at[m->tri[i] + 2]++;
    for (size_t v = 2; v < m->verts + 2; v++) at[v] += at[v - 1];
    for (size_t i = 0; i < n; i++) list[at[m->tri[i] + 1]++] = (uint32_t)(i / 3);
    *first = at;
    *of = list;
    return true;
}

// Whether a triangle counts at a corner of another: on the same face, and not beyond an edge. What
// turns off by more than a skin's facets do lies beyond one, however blunt.
static bool counts(const smoother *s, size_t t, uint32_t other)
{
    return s->face[other] == s->face[t] &&
           (s->needle[t] || hw_vec3_dot(s->own[other], s->own[t]) > BLUNT);
}

// Those that count at each corner, one corner after the other.
static bool those_that_count(hw_arena *work, smoother *s)
{
    const size_t corners = 3 * s->m->tris;
    size_t *end = HW_NEW(work, size_t, corners + 1);
    if (!end) return false;
    for (int fill = 0; fill < 2; fill++) {
        size_t n = 0;
        for (size_t c = 0; c < corners; c++) {
            const uint32_t v = s->m->tri[c];
            for (size_t i = s->first[v]; i < s->first[v + 1]; i++) {
                if (!counts(s, c / 3, s->of[i])) continue;
                if (fill) s->near[n] = s->of[i];
                n++;
            }
            end[c + 1] = n;
        }
        if (!fill) s->near = HW_NEW(work, uint32_t, n + 1);
        if (!s->near) return false;
    }
    s->end = end;
    return true;
}

// The mean over a face round one of its corners, each triangle as much as it is large: what noise
// slivers have counts little, and a flat that is one triangle keeps its own.
static void at_corners(void *self, size_t begin, size_t end)
{
    const smoother *s = self;
    for (size_t c = begin; c < end; c++) {
        hw_vec3 sum = {0, 0, 0};
        for (size_t i = s->end[c]; i < s->end[c + 1]; i++)
            sum = hw_vec3_along(sum, s->area[s->near[i]], s->normal[s->near[i]]);
        s->out[c] = hw_vec3_unit(sum);
    }
}

static void shapes(const hw_mesh *m, double area[], hw_vec3 own[], bool needle[]) // [m2] [1]
{
    const double extent = hw_view_extent(m);
    for (size_t t = 0; t < m->tris; t++) {
        const uint32_t *c = &m->tri[3 * t];
        hw_vec3 n = hw_vec3_cross(hw_vec3_sub(m->vert[c[1]], m->vert[c[0]]),
                                  hw_vec3_sub(m->vert[c[2]], m->vert[c[0]]));
        area[t] = hw_vec3_norm(n);
        own[t] = hw_vec3_unit(n);
        double longest = 0;
        for (int k = 0; k < 3; k++)
            longest =
                fmax(longest, hw_vec3_norm(hw_vec3_sub(m->vert[c[(k + 1) % 3]], m->vert[c[k]])));
        needle[t] = area[t] < NEEDLE * extent * longest;
    }
}

hw_code hw_view_normals(hw_arena *work, const hw_mesh *m, const uint32_t face[], hw_vec3 out[])
{
    if (m->tris == 0) return HW_OK;
    size_t mark = hw_arena_mark(work), *first;
    uint32_t *of;
    double *area = HW_NEW(work, double, m->tris);
    hw_vec3 *own = HW_NEW(work, hw_vec3, m->tris), *normal = HW_NEW(work, hw_vec3, m->tris);
    bool *needle = HW_NEW(work, bool, m->tris);
    if (!area || !own || !normal || !needle || !triangles_round(work, m, &first, &of))
        return HW_NO_MEMORY;
    shapes(m, area, own, needle);
    memcpy(normal, own, m->tris * sizeof *own);
    smoother s = {m, face, first, of, area, needle, own, normal, NULL, NULL, out};
    if (!those_that_count(work, &s)) return HW_NO_MEMORY;
    for (int pass = 0; pass <= PASSES; pass++) {
        hw_par_for(3 * m->tris, 3 * 4096, at_corners, &s);
        for (size_t t = 0; pass < PASSES && t < m->tris; t++)
            normal[t] =
                hw_vec3_unit(hw_vec3_add(hw_vec3_add(out[3 * t], out[3 * t + 1]), out[3 * t + 2]));
    }
    hw_arena_rewind(work, mark);
    return HW_OK;
}
