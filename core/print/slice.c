// Slices: every facet that a plane cuts gives one side of a ring, walked from facet to facet.
#include <math.h>
#include <string.h>

#include "print/print_internal.h"

enum { MOST_LAYERS = 1 << 16 };

static double cross(hw_bed_spot a, hw_bed_spot b, hw_bed_spot c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

// Layers whose planes cut a triangle: corners at a plane count as above it.
static void reach_of(const hw_mesh *m, size_t t, double layer, size_t layers, size_t *from,
                     size_t *to)
{
    double low = INFINITY, high = -INFINITY;
    for (size_t k = 0; k < 3; k++) {
        double z = m->vert[m->tri[3 * t + k]].z;
        low = fmin(low, z);
        high = fmax(high, z);
    }
    size_t i = low > layer ? (size_t)(low / layer - 1) : 0;
    while (i < layers && hw_slice_height(layer, i) <= low) i++;
    *from = i;
    while (i < layers && hw_slice_height(layer, i) <= high) i++;
    *to = i;
}

typedef struct walk {
    const hw_mesh *mesh;
    const uint32_t *twin;
    double z;
    uint32_t mark, *seen; // of each triangle: the last layer that it was cut in, + 1
    hw_bed_spot *at;      // room for a ring
    size_t n;
    double straight; // corners nearer than that to the line past them are left out
} walk;

// Where an edge meets the plane, the same from both its triangles.
static hw_bed_spot meet(const walk *w, uint32_t half)
{
    uint32_t a = w->mesh->tri[half], b = w->mesh->tri[hw_half_after(half)];
    hw_vec3 p = w->mesh->vert[a < b ? a : b], q = w->mesh->vert[a < b ? b : a];
    double t = (w->z - p.z) / (q.z - p.z);
    return (hw_bed_spot){p.x + t * (q.x - p.x), p.y + t * (q.y - p.y)};
}

// The half-edge of a cut triangle that comes up through the plane; the ring leaves there.
static uint32_t rising(const walk *w, uint32_t t)
{
    bool above[3];
    for (uint32_t k = 0; k < 3; k++) above[k] = w->mesh->vert[w->mesh->tri[3 * t + k]].z >= w->z;
    uint32_t k = !above[0] && above[1] ? 0 : !above[1] && above[2] ? 1 : 2;
    return 3 * t + k;
}

static bool on_line(const walk *w, hw_bed_spot a, hw_bed_spot b, hw_bed_spot c)
{
    double length = hypot(c.x - a.x, c.y - a.y);
    if (fabs(cross(a, b, c)) > w->straight * length) return false;
    // not where the outline turns back on itself
    return (b.x - a.x) * (c.x - b.x) + (b.y - a.y) * (c.y - b.y) >= 0;
}

static void add_spot(walk *w, hw_bed_spot p)
{
    if (w->n && hypot(p.x - w->at[w->n - 1].x, p.y - w->at[w->n - 1].y) <= w->straight) return;
    if (w->n > 1 && on_line(w, w->at[w->n - 2], w->at[w->n - 1], p)) w->n--;
    w->at[w->n++] = p;
}

static void walk_ring(walk *w, uint32_t first)
{
    w->n = 0;
    uint32_t t = first;
    do {
        w->seen[t] = w->mark;
        uint32_t out = rising(w, t);
        add_spot(w, meet(w, out));
        t = w->twin[out] / 3;
    } while (t != first);
    // the same where the ring closes
    while (w->n > 2 &&
           (hypot(w->at[0].x - w->at[w->n - 1].x, w->at[0].y - w->at[w->n - 1].y) <= w->straight ||
            on_line(w, w->at[w->n - 2], w->at[w->n - 1], w->at[0])))
        w->n--;
    size_t lead = 0;
    while (w->n > lead + 2 && on_line(w, w->at[w->n - 1], w->at[lead], w->at[lead + 1])) lead++;
    w->n -= lead;
    if (lead) memmove(w->at, w->at + lead, w->n * sizeof *w->at);
}

// Area about the first corner, and the length.
static void measure(hw_print_ring *ring, double *length)
{
    double twice = 0, around = 0;
    for (size_t i = 0; i < ring->n; i++) {
        hw_bed_spot a = ring->at[i], b = ring->at[i + 1 < ring->n ? i + 1 : 0];
        twice += cross(ring->at[0], a, b);
        around += hypot(b.x - a.x, b.y - a.y);
    }
    ring->area = 0.5 * twice;
    *length = around;
}

// Does the outline of a ring run round a spot?
static bool ring_holds(const hw_print_ring *ring, hw_bed_spot p)
{
    bool in = false;
    for (size_t i = 0, j = ring->n - 1; i < ring->n; j = i++) {
        hw_bed_spot a = ring->at[j], b = ring->at[i];
        if ((a.y <= p.y) == (b.y <= p.y)) continue;
        double turn = cross(a, b, p);
        if ((b.y > a.y) == (turn > 0)) in = !in;
    }
    return in;
}

// Numbers the separate regions; a hole belongs to the smallest outline round it.
static void number_bodies(hw_print_slice *s)
{
    s->bodies = 0;
    for (size_t i = 0; i < s->rings; i++)
        if (s->ring[i].area > 0) s->ring[i].body = (uint32_t)s->bodies++;
    for (size_t i = 0; i < s->rings; i++) {
        hw_print_ring *hole = &s->ring[i];
        if (hole->area > 0) continue;
        hw_bed_spot p = {0.5 * (hole->at[0].x + hole->at[1].x),
                         0.5 * (hole->at[0].y + hole->at[1].y)};
        double least = INFINITY;
        for (size_t j = 0; j < s->rings; j++) {
            const hw_print_ring *o = &s->ring[j];
            if (o->area <= 0 || o->area >= least || !ring_holds(o, p)) continue;
            least = o->area;
            hole->body = o->body;
        }
    }
}

typedef struct cut {
    size_t *start; // of each layer's triangles, layers + 1
    uint32_t *tri;
} cut;

// Which triangles each layer's plane cuts.
static bool list_cuts(hw_arena *work, const hw_mesh *m, double layer, size_t layers, cut *out)
{
    out->start = HW_NEW(work, size_t, layers + 2);
    if (!out->start) return false;
    size_t from, to;
    for (size_t t = 0; t < m->tris; t++) {
        reach_of(m, t, layer, layers, &from, &to);
        for (size_t i = from; i < to; i++) out->start[i + 2]++;
    }
    for (size_t i = 0; i < layers; i++) out->start[i + 2] += out->start[i + 1];
    out->tri = HW_NEW(work, uint32_t, out->start[layers + 1]);
    if (!out->tri) return false;
    for (size_t t = 0; t < m->tris; t++) {
        reach_of(m, t, layer, layers, &from, &to);
        for (size_t i = from; i < to; i++) out->tri[out->start[i + 1]++] = (uint32_t)t;
    }
    return true;
}

static hw_code keep_slice(hw_arena *keep, hw_arena *work, walk *w, const uint32_t *tri, size_t n,
                          hw_print_slice *out)
{
    size_t mark = hw_arena_mark(work);
    hw_print_ring *ring = HW_NEW(work, hw_print_ring, n / 3 + 1);
    if (!ring) return HW_NO_MEMORY;
    size_t rings = 0;
    for (size_t k = 0; k < n; k++) {
        if (w->seen[tri[k]] == w->mark) continue;
        walk_ring(w, tri[k]);
        hw_print_ring one = {.at = w->at, .n = w->n};
        double length = 0;
        if (w->n > 2) measure(&one, &length);
        if (one.area == 0) continue;
        one.at = HW_NEW(keep, hw_bed_spot, w->n);
        if (!one.at) return HW_NO_MEMORY;
        memcpy(one.at, w->at, w->n * sizeof *one.at);
        out->area += one.area;
        out->length += length;
        ring[rings++] = one;
    }
    out->ring = HW_NEW(keep, hw_print_ring, rings);
    if (!out->ring) return HW_NO_MEMORY;
    if (rings) memcpy(out->ring, ring, rings * sizeof *ring);
    out->rings = rings;
    number_bodies(out);
    hw_arena_rewind(work, mark);
    return HW_OK;
}

// All slices of one part.
static hw_code slice_part(hw_arena *keep, hw_arena *work, const hw_mesh *m, const hw_job *job,
                          size_t p, hw_slices *out)
{
    walk w = {.mesh = m};
    uint32_t *twin;
    hw_code code = hw_print_twins(work, m, &twin);
    if (code != HW_OK) return code;
    w.twin = twin;
    w.straight = 1e-6 * out->layer;
    cut c;
    if (!list_cuts(work, m, out->layer, out->layers, &c)) return HW_NO_MEMORY;
    size_t most = 0;
    for (size_t i = 0; i < out->layers; i++) {
        size_t n = c.start[i + 1] - c.start[i];
        most = n > most ? n : most;
    }
    w.seen = HW_NEW(work, uint32_t, m->tris);
    w.at = HW_NEW(work, hw_bed_spot, most + 1);
    if (!w.seen || !w.at) return HW_NO_MEMORY;
    for (size_t i = 0; i < out->layers; i++) {
        double done = ((double)p + (double)i / (double)out->layers) / (double)out->parts;
        if (i % 16 == 0 && !hw_job_go_on(job, done, "slices")) return HW_CANCELLED;
        w.z = hw_slice_height(out->layer, i);
        w.mark = (uint32_t)i + 1;
        code = keep_slice(keep, work, &w, c.tri + c.start[i], c.start[i + 1] - c.start[i],
                          &out->slice[i * out->parts + p]);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

// Lowest and highest corner of all parts; false where a number is not finite or a mesh is none.
static bool heights(const hw_mesh *m, double *low, double *high)
{
    if (!m || m->tris == 0 || m->verts == 0) return false;
    for (size_t i = 0; i < m->verts; i++) {
        if (!isfinite(m->vert[i].z)) return false;
        *low = fmin(*low, m->vert[i].z);
        *high = fmax(*high, m->vert[i].z);
    }
    return true;
}

static hw_code slice_all(hw_arena *keep, hw_arena *work, const hw_print_part part[],
                         const hw_job *job, hw_slices *out, size_t *bad)
{
    double high = 0;
    for (size_t p = 0; p < out->parts; p++) {
        double low = INFINITY;
        *bad = p;
        if (!heights(part[p].mesh, &low, &high) || low < -1e-3 * out->layer) return HW_BAD_INPUT;
    }
    *bad = SIZE_MAX;
    if (high / out->layer > MOST_LAYERS - 1) return HW_LIMIT;
    while (hw_slice_height(out->layer, out->layers) <= high) out->layers++;
    out->slice = HW_NEW(keep, hw_print_slice, out->layers * out->parts);
    if (!out->slice) return HW_NO_MEMORY;
    for (size_t p = 0; p < out->parts; p++) {
        size_t mark = hw_arena_mark(work);
        hw_code code = slice_part(keep, work, part[p].mesh, job, p, out);
        if (code == HW_OK && !(hw_mesh_mass(part[p].mesh, 1).volume > 0)) code = HW_BAD_INPUT;
        if (code == HW_BAD_INPUT) *bad = p;
        if (code != HW_OK) return code;
        hw_arena_rewind(work, mark);
    }
    return HW_OK;
}

hw_code hw_slices_make(hw_arena *keep, hw_arena *work, const hw_print_part part[], size_t parts,
                       double layer, const hw_job *job, hw_slices *out, size_t *bad)
{
    *out = (hw_slices){.parts = parts, .layer = layer};
    *bad = SIZE_MAX;
    size_t mark = hw_arena_mark(work);
    hw_code code = HW_BAD_INPUT;
    if (parts && layer > 0 && isfinite(layer)) code = slice_all(keep, work, part, job, out, bad);
    hw_arena_rewind(work, mark);
    if (code != HW_OK) *out = (hw_slices){0};
    return code;
}

// ---- questions to a slice -------------------------------------------------------------------

bool hw_slice_holds(const hw_print_slice *s, hw_bed_spot p)
{
    bool in = false;
    for (size_t i = 0; i < s->rings; i++)
        if (ring_holds(&s->ring[i], p)) in = !in;
    return in;
}

size_t hw_slice_corners(const hw_print_slice *s)
{
    size_t n = 0;
    for (size_t i = 0; i < s->rings; i++) n += s->ring[i].n;
    return n;
}

size_t hw_slice_spans(const hw_print_slice *s, uint32_t body, double y, double x[])
{
    size_t n = 0;
    for (size_t i = 0; i < s->rings; i++) {
        const hw_print_ring *ring = &s->ring[i];
        if (body != UINT32_MAX && ring->body != body) continue;
        for (size_t k = 0, j = ring->n - 1; k < ring->n; j = k++) {
            hw_bed_spot a = ring->at[j], b = ring->at[k];
            if ((a.y <= y) == (b.y <= y)) continue;
            double at = a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
            size_t to = n++; // few: sorted as they come
            for (; to > 0 && x[to - 1] > at; to--) x[to] = x[to - 1];
            x[to] = at;
        }
    }
    return n / 2;
}

double hw_slice_ray(const hw_print_slice *s, hw_bed_spot from, hw_bed_spot along)
{
    double least = INFINITY;
    for (size_t i = 0; i < s->rings; i++) {
        const hw_print_ring *ring = &s->ring[i];
        for (size_t k = 0, j = ring->n - 1; k < ring->n; j = k++) {
            hw_bed_spot a = {ring->at[j].x - from.x, ring->at[j].y - from.y};
            hw_bed_spot b = {ring->at[k].x - from.x, ring->at[k].y - from.y};
            double side_a = along.x * a.y - along.y * a.x, side_b = along.x * b.y - along.y * b.x;
            if ((side_a <= 0) == (side_b <= 0)) continue;
            double t = side_a / (side_a - side_b);
            double far = along.x * (a.x + t * (b.x - a.x)) + along.y * (a.y + t * (b.y - a.y));
            if (far >= 0) least = fmin(least, far);
        }
    }
    return least;
}

void *hw_print_grow(hw_arena *a, void *array, size_t used, size_t *room, size_t size)
{
    if (used < *room) return array;
    size_t more = *room ? 2 * *room : 16;
    void *grown = hw_arena_alloc(a, more, size, _Alignof(max_align_t));
    if (!grown) return NULL;
    if (used) memcpy(grown, array, used * size);
    *room = more;
    return grown;
}
