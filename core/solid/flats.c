// Fewer triangles for the same surface: a vertex whose faces lie in one plane, or in two with their
// common edge running straight through it, is drawn into a neighbour. All signs exact on the grid.
#include <string.h>

#include "solid/build_internal.h"
#include "solid/exact_internal.h"
#include "solid/topology_internal.h"

enum { PASSES = 32, STAR = 4096 };
static const size_t MOST_TURNS = (size_t)4 * STAR;

typedef struct flats {
    hw_int_mesh *m;
    uint32_t *twin, *out;  // out: one half-edge that leaves each vertex
    uint8_t *gone;         // per triangle
    uint32_t *mark, stamp; // vertices round the one at hand
    uint32_t star[STAR];   // half-edges that leave it, counter-clockwise
    uint8_t crease[STAR];  // whether the edge of star[i] is one
    size_t n;
} flats;

static uint32_t origin(const flats *f, uint32_t h)
{
    return f->m->tri[h];
}
static uint32_t end(const flats *f, uint32_t h)
{
    return f->m->tri[hw_half_next(h)];
}

// True when d lies in the plane of triangle a b c.
static bool in_plane(const flats *f, const uint32_t t[3], uint32_t d)
{
    const int32_t *a = f->m->at[t[0]], *b = f->m->at[t[1]], *c = f->m->at[t[2]], *e = f->m->at[d];
    int64_t u[3], v[3], w[3];
    for (int i = 0; i < 3; i++) {
        u[i] = (int64_t)b[i] - a[i];
        v[i] = (int64_t)c[i] - a[i];
        w[i] = (int64_t)e[i] - a[i];
    }
    hw_int128 det = (hw_int128)(u[1] * v[2] - u[2] * v[1]) * w[0] +
                    (hw_int128)(u[2] * v[0] - u[0] * v[2]) * w[1] +
                    (hw_int128)(u[0] * v[1] - u[1] * v[0]) * w[2];
    return det == 0;
}

// Twice the area of a b c seen along one axis.
static int64_t shadow(const flats *f, int axis, uint32_t a, uint32_t b, uint32_t c)
{
    const int32_t *p = f->m->at[a], *q = f->m->at[b], *r = f->m->at[c];
    int u = (axis + 1) % 3, v = (axis + 2) % 3;
    return ((int64_t)q[u] - p[u]) * ((int64_t)r[v] - p[v]) -
           ((int64_t)q[v] - p[v]) * ((int64_t)r[u] - p[u]);
}

static bool straight(const flats *f, uint32_t a, uint32_t v, uint32_t b)
{
    for (int axis = 0; axis < 3; axis++)
        if (shadow(f, axis, a, v, b) != 0) return false;
    return true;
}

// The half-edges round v; false when there are too many to bother.
static bool gather(flats *f, uint32_t v)
{
    uint32_t h = f->out[v];
    f->n = 0;
    do {
        if (f->n == STAR) return false;
        f->star[f->n++] = h;
        h = f->twin[hw_half_prev(h)];
    } while (h != f->out[v]);
    return true;
}

// Marks creases; false when v is a true corner.
static bool removable(flats *f, uint32_t v)
{
    size_t creases = 0;
    uint32_t ends[2];
    for (size_t i = 0; i < f->n; i++) {
        size_t j = i ? i - 1 : f->n - 1; // the triangle before star[i] in turning order
        size_t t = f->star[i] / 3;
        f->crease[i] = !in_plane(f, f->m->tri + 3 * t, end(f, f->star[j]));
        if (!f->crease[i]) continue;
        if (creases == 2) return false;
        ends[creases++] = end(f, f->star[i]);
    }
    return creases == 0 || (creases == 2 && straight(f, ends[0], v, ends[1]));
}

static int main_axis(const flats *f, size_t t)
{
    const uint32_t *v = f->m->tri + 3 * t;
    int best = 0;
    int64_t most = -1;
    for (int axis = 0; axis < 3; axis++) {
        int64_t s = shadow(f, axis, v[0], v[1], v[2]);
        if (s < 0) s = -s;
        if (s > most) {
            most = s;
            best = axis;
        }
    }
    return best;
}

static double length2(const flats *f, uint32_t a, uint32_t b)
{
    double sum = 0;
    for (int i = 0; i < 3; i++) {
        double d = (double)(f->m->at[a][i] - f->m->at[b][i]);
        sum += d * d;
    }
    return sum;
}

// The worst shape (area over the sum of squared sides, along one axis) of the triangles that are
// left when v goes into the end of star[c]; <= 0 when one would turn over.
static double worth(const flats *f, size_t c)
{
    uint32_t w = end(f, f->star[c]);
    double worst = 1;
    size_t before = c ? c - 1 : f->n - 1;
    for (size_t i = 0; i < f->n; i++) {
        if (i == c || i == before) continue; // the two that vanish
        uint32_t h = f->star[i], a = end(f, h), b = origin(f, hw_half_prev(h));
        int axis = main_axis(f, h / 3);
        int64_t was = shadow(f, axis, origin(f, h), a, b), now = shadow(f, axis, w, a, b);
        if (now == 0 || (was > 0) != (now > 0)) return -1;
        double shape = (double)(now > 0 ? now : -now) /
                       (length2(f, w, a) + length2(f, a, b) + length2(f, b, w));
        if (shape < worst) worst = shape;
    }
    return worst;
}

// Only the two corners opposite the edge may be neighbours of both its ends.
static bool link_good(flats *f, size_t c)
{
    f->stamp++;
    for (size_t i = 0; i < f->n; i++) f->mark[end(f, f->star[i])] = f->stamp;
    uint32_t first = f->twin[f->star[c]], h = first;
    size_t common = 0, round = 0;
    do {
        if (f->mark[end(f, h)] == f->stamp) common++;
        h = f->twin[hw_half_prev(h)];
    } while (h != first && ++round < MOST_TURNS);
    return common == 2 && h == first;
}

static void collapse(flats *f, size_t c)
{
    uint32_t h = f->star[c], g = f->twin[h], w = end(f, h);
    uint32_t n1 = f->twin[hw_half_next(h)], p1 = f->twin[hw_half_prev(h)];
    uint32_t n2 = f->twin[hw_half_next(g)], p2 = f->twin[hw_half_prev(g)];
    for (size_t i = 0; i < f->n; i++) f->m->tri[f->star[i]] = w;
    f->gone[h / 3] = f->gone[g / 3] = 1;
    f->twin[n1] = p1;
    f->twin[p1] = n1;
    f->twin[n2] = p2;
    f->twin[p2] = n2;
    f->out[w] = p1;
    f->out[origin(f, n1)] = n1;
    f->out[origin(f, n2)] = n2;
}

static bool try_vertex(flats *f, uint32_t v)
{
    if (f->out[v] == HW_NO_TWIN || !gather(f, v) || !removable(f, v)) return false;
    size_t best = f->n;
    double most = 0;
    bool any_crease = false;
    for (size_t i = 0; i < f->n; i++) any_crease = any_crease || f->crease[i];
    for (size_t i = 0; i < f->n; i++) {
        if (any_crease && !f->crease[i]) continue;
        double w = worth(f, i);
        if (w > most && link_good(f, i)) {
            most = w;
            best = i;
        }
    }
    if (best == f->n) return false;
    collapse(f, best);
    f->out[v] = HW_NO_TWIN;
    return true;
}

static void close_ranks(flats *f)
{
    size_t kept = 0;
    for (size_t t = 0; t < f->m->tris; t++) {
        if (f->gone[t]) continue;
        memmove(f->m->tri + 3 * kept, f->m->tri + 3 * t, 3 * sizeof *f->m->tri);
        kept++;
    }
    f->m->tris = kept;
}

hw_code hw_join_flats(hw_arena *work, hw_int_mesh *m, uint32_t *twin)
{
    flats *f = HW_NEW(work, flats, 1);
    if (!f) return HW_NO_MEMORY;
    f->m = m;
    f->twin = twin;
    f->out = HW_NEW(work, uint32_t, m->verts);
    f->gone = HW_NEW(work, uint8_t, m->tris);
    f->mark = HW_NEW(work, uint32_t, m->verts);
    if (hw_arena_failed(work)) return HW_NO_MEMORY;
    for (size_t v = 0; v < m->verts; v++) f->out[v] = HW_NO_TWIN;
    for (uint32_t h = 0; h < 3 * m->tris; h++) f->out[m->tri[h]] = h;
    bool changed = true;
    for (int pass = 0; pass < PASSES && changed; pass++) { // what is left after that stays, closed
        changed = false;
        for (uint32_t v = 0; v < m->verts; v++) changed = try_vertex(f, v) || changed;
    }
    close_ranks(f);
    return HW_OK;
}
