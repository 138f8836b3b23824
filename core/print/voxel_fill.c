// A closed mesh -> shares of cells. Rays along x, sixteen to a row of cells; the length of each
// inside the mesh is shared out to the cells it runs through.
#include "print/voxel_internal.h"

#include "base/par.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { RAYS = 16, TURNS = 8 };
static const double least = 0.02; // share of a cell below which it is taken as empty

typedef struct crossing {
    double x; // [m]
    int turn; // +1: into the mesh
} crossing;

typedef struct rays {
    const hw_mesh *mesh;
    hw_voxels *v;
    int turn;        // of trying
    size_t *first;   // of each ray, in `met`; one more than there are rays
    uint32_t *count; // of each ray
    crossing *met;
    uint8_t *bad; // of each layer of rays
    bool store;
} rays;

// Place of ray m of a row: a lattice whose sixteen points all differ in y and in z, moved aside by
// shares of no meaning, so that no line between round numbers meets a ray.
static void ray_at(const rays *r, size_t j, size_t k, int m, double *y, double *z)
{
    double a = (m + 0.51234567 + 0.0317 * r->turn) / RAYS;
    double b = (m * 7 % RAYS + 0.48023456 - 0.0271 * r->turn) / RAYS;
    *y = r->v->low.y + ((double)j + a) * r->v->edge;
    *z = r->v->low.z + ((double)k + b) * r->v->edge;
}

// Side of the line from a to b on which the point is; the same number but for its sign when the
// ends change places, so that two triangles agree on the edge between them.
static double side(const hw_vec3 *a, const hw_vec3 *b, double y, double z)
{
    bool turn = a->y > b->y || (a->y == b->y && a->z > b->z);
    const hw_vec3 *p = turn ? b : a, *q = turn ? a : b;
    double s = (q->y - p->y) * (z - p->z) - (q->z - p->z) * (y - p->y);
    return turn ? -s : s;
}

static void meet(const rays *r, const hw_vec3 *t[3], size_t ray, double y, double z)
{
    double s[3];
    int up = 0, down = 0;
    for (int e = 0; e < 3; e++) {
        s[e] = side(t[(e + 1) % 3], t[(e + 2) % 3], y, z);
        up += s[e] > 0;
        down += s[e] < 0;
    }
    if (up != 3 && down != 3) return;
    if (r->store) {
        double sum = s[0] + s[1] + s[2];
        double x = (s[0] * t[0]->x + s[1] * t[1]->x + s[2] * t[2]->x) / sum;
        // Seen from outside a triangle turns counter-clockwise: about +x where x grows outward.
        r->met[r->first[ray] + r->count[ray]] = (crossing){x, up == 3 ? -1 : 1};
    }
    r->count[ray]++;
}

static void reach(double low, double high, double from, double edge, size_t n, size_t *a, size_t *b)
{
    double first = floor((low - from) / edge - 1e-6), last = floor((high - from) / edge + 1e-6);
    *a = first > 0 ? (size_t)first : 0;
    *b = last < 0 ? 0 : (last + 1 < (double)n ? (size_t)last + 1 : n);
}

static void shoot_layers(void *self, size_t begin, size_t end)
{
    const rays *r = self;
    const hw_voxels *v = r->v;
    for (size_t t = 0; t < r->mesh->tris; t++) {
        const hw_vec3 *at[3];
        for (int c = 0; c < 3; c++) at[c] = &r->mesh->vert[r->mesh->tri[3 * t + (size_t)c]];
        double zl = fmin(at[0]->z, fmin(at[1]->z, at[2]->z));
        double zh = fmax(at[0]->z, fmax(at[1]->z, at[2]->z));
        double yl = fmin(at[0]->y, fmin(at[1]->y, at[2]->y));
        double yh = fmax(at[0]->y, fmax(at[1]->y, at[2]->y));
        size_t k0, k1, j0, j1;
        reach(zl, zh, v->low.z, v->edge, v->n[2], &k0, &k1);
        reach(yl, yh, v->low.y, v->edge, v->n[1], &j0, &j1);
        for (size_t k = k0 > begin ? k0 : begin; k < k1 && k < end; k++)
            for (size_t j = j0; j < j1; j++)
                for (int m = 0; m < RAYS; m++) {
                    double y, z;
                    ray_at(r, j, k, m, &y, &z);
                    if (y < yl || y > yh || z < zl || z > zh) continue;
                    meet(r, at, (k * v->n[1] + j) * RAYS + (size_t)m, y, z);
                }
    }
}

static int by_place(const void *a, const void *b)
{
    const crossing *p = a, *q = b;
    if (p->x != q->x) return p->x < q->x ? -1 : 1;
    return q->turn - p->turn; // into it first: touching walls have nothing between them
}

// Length [from, to] of a ray, in edges from the grid's corner, to the cells of its row.
static void add_length(double *row, size_t n, double from, double to)
{
    from = fmax(from, 0);
    to = fmin(to, (double)n);
    for (size_t i = (size_t)from; i < n && (double)i < to; i++) {
        double a = fmax(from, (double)i), b = fmin(to, (double)(i + 1));
        row[i] += (b - a) / RAYS;
    }
}

// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static void fill_layers(void *self, size_t begin, size_t end)
{
    const rays *r = self;
    hw_voxels *v = r->v;
    for (size_t k = begin; k < end; k++)
        for (size_t j = 0; j < v->n[1]; j++) {
            double *row = &v->fill[(k * v->n[1] + j) * v->n[0]];
            for (size_t m = 0; m < RAYS; m++) {
                size_t ray = (k * v->n[1] + j) * RAYS + m;
                crossing *met = &r->met[r->first[ray]];
                size_t n = r->count[ray];
                if (n) qsort(met, n, sizeof *met, by_place);
                int inside = 0;
                for (size_t c = 0; c < n; c++) {
                    if (inside > 0)
                        add_length(row, v->n[0], (met[c - 1].x - v->low.x) / v->edge,
                                   (met[c].x - v->low.x) / v->edge);
                    inside += met[c].turn;
                    if (inside < 0) r->bad[k] = 1;
                }
                if (inside) r->bad[k] = 1;
            }
            for (size_t i = 0; i < v->n[0]; i++) {
                if (row[i] > 1 - 1e-9) row[i] = 1;
                if (row[i] < least) row[i] = 0;
            }
        }
}

// Fills the cells. HW_BAD_INPUT: some ray leaves the mesh more or less often than it enters.
static hw_code shoot(hw_arena *work, const hw_mesh *mesh, int turn, hw_voxels *v)
{
    size_t all = v->n[1] * v->n[2] * RAYS;
    rays r = {.mesh = mesh, .v = v, .turn = turn};
    r.count = HW_NEW(work, uint32_t, all);
    r.first = HW_NEW(work, size_t, all + 1);
    r.bad = HW_NEW(work, uint8_t, v->n[2]);
    if (hw_arena_failed(work)) return HW_NO_MEMORY;
    hw_par_for(v->n[2], 1, shoot_layers, &r);
    for (size_t i = 0; i < all; i++) {
        r.first[i + 1] = r.first[i] + r.count[i];
        r.count[i] = 0;
    }
    r.met = HW_NEW(work, crossing, r.first[all]);
    if (!r.met) return HW_NO_MEMORY;
    r.store = true;
    hw_par_for(v->n[2], 1, shoot_layers, &r);
    memset(v->fill, 0, v->n[0] * v->n[1] * v->n[2] * sizeof(double));
    hw_par_for(v->n[2], 1, fill_layers, &r);
    for (size_t k = 0; k < v->n[2]; k++)
        if (r.bad[k]) return HW_BAD_INPUT;
    return HW_OK;
}

// Body of each filled cell (from 1) by the faces they share; the number of the largest.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static hw_code bodies(hw_arena *work, const hw_voxels *v, uint32_t *body, uint32_t *largest)
{
    size_t all = v->n[0] * v->n[1] * v->n[2];
    uint32_t *open = HW_NEW(work, uint32_t, all), count = 0;
    if (!open) return HW_NO_MEMORY;
    const size_t step[3] = {1, v->n[0], v->n[0] * v->n[1]};
    double best = 0;
    for (size_t i = 0; i < all; i++) {
        if (body[i] || !(v->fill[i] > 0)) continue;
        size_t opened = 0;
        double volume = 0;
        open[opened++] = (uint32_t)i;
        body[i] = ++count;
        while (opened) {
            size_t c = open[--opened];
            volume += v->fill[c];
            const size_t at[3] = {c % v->n[0], c / v->n[0] % v->n[1], c / step[2]};
            for (int f = 0; f < 6; f++) {
                int axis = f / 2;
                if (f % 2 ? at[axis] + 1 == v->n[axis] : at[axis] == 0) continue;
                size_t o = f % 2 ? c + step[axis] : c - step[axis];
                if (body[o] || !(v->fill[o] > 0)) continue;
                body[o] = count;
                open[opened++] = (uint32_t)o;
            }
        }
        if (volume > best) {
            best = volume;
            *largest = count;
        }
    }
    return HW_OK;
}

static hw_code keep_largest(hw_arena *work, hw_voxels *v)
{
    size_t all = v->n[0] * v->n[1] * v->n[2];
    uint32_t *body = HW_NEW(work, uint32_t, all), largest = 0;
    if (!body) return HW_NO_MEMORY;
    hw_code code = bodies(work, v, body, &largest);
    if (code != HW_OK) return code;
    double sum = 0, before = 0;
    for (size_t i = 0; i < all; i++) {
        before += v->fill[i];
        if (body[i] != largest) v->fill[i] = 0;
        sum += v->fill[i];
        v->cells += v->fill[i] > 0;
    }
    v->volume = sum * v->edge * v->edge * v->edge;
    if (!v->cells) return HW_BAD_INPUT;
    v->dropped = 1 - sum / before;
    return HW_OK;
}

// The box and the number of cells. HW_LIMIT: too many.
static hw_code lay_box(const hw_mesh *mesh, double edge, size_t most, hw_voxels *v)
{
    hw_vec3 low = mesh->vert[mesh->tri[0]], high = low;
    for (size_t i = 0; i < 3 * mesh->tris; i++) {
        if (mesh->tri[i] >= mesh->verts) return HW_BAD_INPUT;
        const hw_vec3 *p = &mesh->vert[mesh->tri[i]];
        if (!isfinite(p->x) || !isfinite(p->y) || !isfinite(p->z)) return HW_BAD_INPUT;
        low = (hw_vec3){fmin(low.x, p->x), fmin(low.y, p->y), fmin(low.z, p->z)};
        high = (hw_vec3){fmax(high.x, p->x), fmax(high.y, p->y), fmax(high.z, p->z)};
    }
    const double span[3] = {high.x - low.x, high.y - low.y, high.z - low.z};
    double all = 1;
    for (int a = 0; a < 3; a++) {
        double cells = fmax(1, ceil(span[a] / edge - 1e-6));
        all *= cells;
        if (!(all <= (double)most) || !(all < 4e9)) return HW_LIMIT;
        v->n[a] = (size_t)cells;
    }
    v->low = low;
    v->edge = edge;
    return HW_OK;
}

hw_code hw_voxels_of(hw_arena *keep, hw_arena *work, const hw_mesh *mesh, double edge, size_t most,
                     const hw_job *job, hw_voxels *out)
{
    hw_voxels v = {0};
    *out = v;
    if (!(edge > 0) || !isfinite(edge) || !mesh->tris) return HW_BAD_INPUT;
    hw_code code = lay_box(mesh, edge, most, &v);
    if (code != HW_OK) return code;
    v.fill = HW_NEW(keep, double, v.n[0] * v.n[1] * v.n[2]);
    if (!v.fill) return HW_NO_MEMORY;
    size_t mark = hw_arena_mark(work);
    // A ray through an edge of the mesh may be lost: then all of them move a little.
    code = HW_BAD_INPUT;
    for (int i = 0; i < TURNS && code == HW_BAD_INPUT; i++) {
        hw_arena_rewind(work, mark);
        if (!hw_job_go_on(job, 0, "voxels")) return HW_CANCELLED;
        code = shoot(work, mesh, i, &v);
    }
    hw_arena_rewind(work, mark);
    if (code == HW_OK) code = keep_largest(work, &v);
    hw_arena_rewind(work, mark);
    if (code == HW_OK) *out = v;
    return code;
}
