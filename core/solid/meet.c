// Exact triangle against triangle, and a box tree that finds the pairs worth asking.
#include "solid/meet_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/par.h"
#include "solid/exact_internal.h"

int hw_meet_axis(const hw_float_mesh *m, const uint32_t t[3])
{
    for (int axis = 0; axis < 3; axis++)
        if (hw_exact_turn2(m->at[t[0]], m->at[t[1]], m->at[t[2]], (axis + 1) % 3, (axis + 2) % 3))
            return axis;
    return -1;
}

// ---- in one plane -----------------------------------------------------------------------------

typedef struct view { // axes to look at a plane with
    int u, v;
} view;

static int turn(const float *a, const float *b, const float *c, view w)
{
    return hw_exact_turn2(a, b, c, w.u, w.v);
}

static bool between(float low, float mid, float high)
{
    return low <= high ? low <= mid && mid <= high : high <= mid && mid <= low;
}

// c is known to be on the line a b.
static bool on_segment(const float *a, const float *b, const float *c, view w)
{
    return between(a[w.u], c[w.u], b[w.u]) && between(a[w.v], c[w.v], b[w.v]);
}

static bool segments_touch(const float *a, const float *b, const float *c, const float *d, view w)
{
    int abc = turn(a, b, c, w), abd = turn(a, b, d, w);
    int cda = turn(c, d, a, w), cdb = turn(c, d, b, w);
    if (abc * abd < 0 && cda * cdb < 0) return true;
    return (abc == 0 && on_segment(a, b, c, w)) || (abd == 0 && on_segment(a, b, d, w)) ||
           (cda == 0 && on_segment(c, d, a, w)) || (cdb == 0 && on_segment(c, d, b, w));
}

static bool point_in(const float *p, const float *const t[3], view w)
{
    int a = turn(t[0], t[1], p, w), b = turn(t[1], t[2], p, w), c = turn(t[2], t[0], p, w);
    return (a >= 0 && b >= 0 && c >= 0) || (a <= 0 && b <= 0 && c <= 0);
}

static bool flat_touch(const float *p, const float *q, const float *const t[3], int axis)
{
    view w = {(axis + 1) % 3, (axis + 2) % 3};
    if (point_in(p, t, w)) return true;
    for (int i = 0; i < 3; i++)
        if (segments_touch(p, q, t[i], t[(i + 1) % 3], w)) return true;
    return false;
}

// ---- in space ---------------------------------------------------------------------------------

// Does the closed segment p q touch the closed triangle t (seen with an area along `axis`)?
static bool segment_touches(const float *p, const float *q, const float *const t[3], int axis)
{
    int sp = hw_exact_side3(t[0], t[1], t[2], p), sq = hw_exact_side3(t[0], t[1], t[2], q);
    if (sp * sq > 0) return false;
    if (sp == 0 && sq == 0) return flat_touch(p, q, t, axis);
    int a = hw_exact_side3(p, q, t[0], t[1]);
    int b = hw_exact_side3(p, q, t[1], t[2]);
    if (a * b < 0) return false;
    int c = hw_exact_side3(p, q, t[2], t[0]);
    return (a >= 0 && b >= 0 && c >= 0) || (a <= 0 && b <= 0 && c <= 0);
}

typedef struct face {
    const float *at[3];
    const uint32_t *id;
    int axis;
} face;

static face face_of(const hw_float_mesh *m, const uint32_t t[3], int axis)
{
    return (face){{m->at[t[0]], m->at[t[1]], m->at[t[2]]}, t, axis};
}

static bool any_edge_touches(const face *s, const face *t)
{
    for (int i = 0; i < 3; i++)
        if (segment_touches(s->at[i], s->at[(i + 1) % 3], t->at, t->axis)) return true;
    return false;
}

// All corners of s strictly on one side of t's plane.
static bool apart(const face *s, const face *t)
{
    int a = hw_exact_side3(t->at[0], t->at[1], t->at[2], s->at[0]);
    if (a == 0 || hw_exact_side3(t->at[0], t->at[1], t->at[2], s->at[1]) != a) return false;
    return hw_exact_side3(t->at[0], t->at[1], t->at[2], s->at[2]) == a;
}

// One common corner: what else they share reaches the side opposite it in one of the two.
static bool meet_at_corner(const face *s, int i, const face *t, int j)
{
    return segment_touches(s->at[(i + 1) % 3], s->at[(i + 2) % 3], t->at, t->axis) ||
           segment_touches(t->at[(j + 1) % 3], t->at[(j + 2) % 3], s->at, s->axis);
}

// A common edge, opposite corner i of s and j of t: they overlap when folded onto each other.
static bool meet_at_edge(const face *s, int i, const face *t, int j)
{
    if (hw_exact_side3(s->at[0], s->at[1], s->at[2], t->at[j]) != 0) return false;
    view w = {(s->axis + 1) % 3, (s->axis + 2) % 3};
    const float *a = s->at[(i + 1) % 3], *b = s->at[(i + 2) % 3];
    return turn(a, b, s->at[i], w) == turn(a, b, t->at[j], w);
}

static bool faces_meet(const face *s, const face *t)
{
    int common = 0, alone_s = 3, alone_t = 3, last_s = 0, last_t = 0;
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++) {
            if (s->id[i] != t->id[j]) continue;
            common++;
            alone_s -= i;
            alone_t -= j;
            last_s = i;
            last_t = j;
        }
    }
    if (common == 3) return true;
    if (common == 2) return meet_at_edge(s, alone_s, t, alone_t);
    if (common == 1) return meet_at_corner(s, last_s, t, last_t);
    if (apart(s, t) || apart(t, s)) return false;
    return any_edge_touches(s, t) || any_edge_touches(t, s);
}

bool hw_meet_pair(const hw_float_mesh *m, const uint32_t s[3], const uint32_t t[3])
{
    face a = face_of(m, s, hw_meet_axis(m, s)), b = face_of(m, t, hw_meet_axis(m, t));
    return faces_meet(&a, &b);
}

// ---- which pairs ------------------------------------------------------------------------------

enum { LEAF = 4, CHUNK = 256 };
static const size_t BATCH = (size_t)16 * CHUNK; // triangles between two looks at the job

typedef struct box {
    float low[3], high[3];
} box;

typedef struct tree {
    const hw_float_mesh *m;
    uint32_t *order;  // triangles along a Morton curve
    size_t n, leaves; // leaves: a power of two; leaf k holds order[4 k .. 4 k + 3]
    box *node;        // heap order: children of k at 2 k + 1, 2 k + 2
    box *own;         // of order[i]
    int8_t *axis;     // that order[i] has an area along
} tree;

static box box_of(const hw_float_mesh *m, const uint32_t t[3])
{
    box b;
    for (int k = 0; k < 3; k++) {
        b.low[k] = fminf(m->at[t[0]][k], fminf(m->at[t[1]][k], m->at[t[2]][k]));
        b.high[k] = fmaxf(m->at[t[0]][k], fmaxf(m->at[t[1]][k], m->at[t[2]][k]));
    }
    return b;
}

static void widen(box *b, const box *c)
{
    for (int k = 0; k < 3; k++) {
        b->low[k] = fminf(b->low[k], c->low[k]);
        b->high[k] = fmaxf(b->high[k], c->high[k]);
    }
}

static bool overlap(const box *a, const box *b)
{
    for (int k = 0; k < 3; k++)
        if (a->low[k] > b->high[k] || b->low[k] > a->high[k]) return false;
    return true;
}

static const box nothing = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};

typedef struct key {
    uint64_t code;
    uint32_t tri;
    int8_t axis;
} key;

static int key_order(const void *left, const void *right)
{
    const key *a = left, *b = right;
    if (a->code != b->code) return a->code < b->code ? -1 : 1;
    return a->tri < b->tri ? -1 : a->tri > b->tri;
}

// The low 21 bits of v, two zero bits after each.
static uint64_t spread(uint64_t v)
{
    v = (v | (v << 32)) & 0x001f00000000ffffu;
    v = (v | (v << 16)) & 0x001f0000ff0000ffu;
    v = (v | (v << 8)) & 0x100f00f00f00f00fu;
    v = (v | (v << 4)) & 0x10c30c30c30c30c3u;
    return (v | (v << 2)) & 0x1249249249249249u;
}

static uint64_t morton(const box *b, const box *all)
{
    uint64_t code = 0;
    for (int k = 0; k < 3; k++) {
        double low = (double)all->low[k], span = (double)all->high[k] - low;
        double mid = ((double)b->low[k] + (double)b->high[k]) / 2 - low;
        double part = span > 0 ? mid / span : 0;
        code |= spread((uint64_t)(part * 2097151)) << k;
    }
    return code;
}

static bool plant(tree *t, hw_arena *work, const hw_float_mesh *m)
{
    t->m = m;
    key *k = HW_NEW(work, key, m->tris);
    box *own = HW_NEW(work, box, m->tris);
    t->order = HW_NEW(work, uint32_t, m->tris);
    t->own = HW_NEW(work, box, m->tris);
    t->axis = HW_NEW(work, int8_t, m->tris);
    if (hw_arena_failed(work)) return false;
    box all = nothing;
    t->n = 0;
    for (size_t i = 0; i < m->tris; i++) {
        int axis = hw_meet_axis(m, m->tri + 3 * i);
        if (axis < 0) continue;
        own[i] = box_of(m, m->tri + 3 * i);
        widen(&all, &own[i]);
        k[t->n++] = (key){.tri = (uint32_t)i, .axis = (int8_t)axis};
    }
    for (size_t i = 0; i < t->n; i++) k[i].code = morton(&own[k[i].tri], &all);
    if (t->n > 1) qsort(k, t->n, sizeof *k, key_order);
    t->leaves = 1;
    while (t->leaves * LEAF < t->n) t->leaves *= 2;
    t->node = HW_NEW(work, box, 2 * t->leaves);
    if (!t->node) return false;
    for (size_t i = 0; i < 2 * t->leaves; i++) t->node[i] = nothing;
    for (size_t i = 0; i < t->n; i++) {
        t->order[i] = k[i].tri;
        t->axis[i] = k[i].axis;
        t->own[i] = own[k[i].tri];
        widen(&t->node[t->leaves - 1 + i / LEAF], &t->own[i]);
    }
    for (size_t i = t->leaves - 1; i-- > 0;) {
        t->node[i] = t->node[2 * i + 1];
        widen(&t->node[i], &t->node[2 * i + 2]);
    }
    return true;
}

typedef struct found {
    size_t pairs;
    uint32_t first[2];
} found;

static void take(found *f, uint32_t s, uint32_t t)
{
    uint32_t low = s < t ? s : t, high = s < t ? t : s;
    if (f->pairs++ == 0 || low < f->first[0] || (low == f->first[0] && high < f->first[1])) {
        f->first[0] = low;
        f->first[1] = high;
    }
}

static face face_at(const tree *t, size_t i)
{
    return face_of(t->m, t->m->tri + 3 * (size_t)t->order[i], t->axis[i]);
}

// Pairs of order[i] with those from order[first] on; `one`: the first that is found is enough.
static void ask(const tree *t, size_t i, size_t first, bool one, found *f)
{
    uint32_t stack[64], s = t->order[i];
    int n = 0;
    face a = face_at(t, i);
    stack[n++] = 0;
    while (n) {
        size_t k = stack[--n];
        if (!overlap(&t->node[k], &t->own[i])) continue;
        if (k < t->leaves - 1) {
            size_t past = 2 * k + 2; // the later child first out is no matter: pairs are counted
            stack[n++] = (uint32_t)past;
            stack[n++] = (uint32_t)past - 1;
            continue;
        }
        size_t from = (k - (t->leaves - 1)) * LEAF;
        for (size_t j = from; j < from + LEAF && j < t->n; j++) {
            if (j < first || j == i || !overlap(&t->own[j], &t->own[i])) continue;
            face b = face_at(t, j);
            if (!faces_meet(&a, &b)) continue;
            take(f, s, t->order[j]);
            if (one) return;
        }
    }
}

// Counts of fixed chunks, so that the sum is the same for any number of threads.
typedef struct hunt {
    const tree *t;
    size_t offset;
    found *chunk;
} hunt;

static void hunt_chunk(void *self, size_t begin, size_t end)
{
    hunt *h = self;
    found f = {0};
    for (size_t i = begin; i < end; i++) ask(h->t, h->offset + i, h->offset + i + 1, false, &f);
    h->chunk[(h->offset + begin) / CHUNK] = f;
}

hw_code hw_meet_count(hw_arena *work, const hw_float_mesh *m, const hw_job *job,
                      hw_mesh_report *out)
{
    tree t;
    if (!plant(&t, work, m)) return HW_NO_MEMORY;
    size_t chunks = t.n / CHUNK + 1;
    hunt h = {.t = &t, .chunk = HW_NEW(work, found, chunks)};
    if (!h.chunk) return HW_NO_MEMORY;
    for (; h.offset < t.n; h.offset += BATCH) {
        if (!hw_job_go_on(job, (double)h.offset / (double)t.n, "crossings")) return HW_CANCELLED;
        size_t left = t.n - h.offset;
        if (left <= CHUNK)
            hunt_chunk(&h, 0, left); // not worth waking threads
        else
            hw_par_for(left < BATCH ? left : BATCH, CHUNK, hunt_chunk, &h);
    }
    found all = {0};
    for (size_t i = 0; i < chunks; i++) {
        if (!h.chunk[i].pairs) continue;
        size_t pairs = all.pairs + h.chunk[i].pairs;
        take(&all, h.chunk[i].first[0], h.chunk[i].first[1]);
        all.pairs = pairs;
    }
    out->crossing = all.pairs;
    memcpy(out->first, all.first, sizeof all.first);
    return HW_OK;
}

// ---- those of some triangles ------------------------------------------------------------------

typedef struct marker {
    const tree *t;
    size_t offset;
    uint32_t from;
    bool *crossed;
} marker;

static void mark_chunk(void *self, size_t begin, size_t end)
{
    const marker *m = self;
    for (size_t i = m->offset + begin; i < m->offset + end; i++) {
        const uint32_t *c = &m->t->m->tri[3 * (size_t)m->t->order[i]];
        if (c[0] < m->from && c[1] < m->from && c[2] < m->from) continue;
        found f = {0};
        ask(m->t, i, 0, true, &f);
        m->crossed[m->t->order[i]] = f.pairs > 0;
    }
}

hw_code hw_meet_mark(hw_arena *work, const hw_float_mesh *m, uint32_t from, const hw_job *job,
                     bool crossed[])
{
    tree t;
    if (!plant(&t, work, m)) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->tris; i++) {
        const uint32_t *c = &m->tri[3 * i];
        const bool asked = c[0] >= from || c[1] >= from || c[2] >= from;
        crossed[i] = asked && hw_meet_axis(m, c) < 0;
    }
    marker k = {.t = &t, .from = from, .crossed = crossed};
    for (; k.offset < t.n; k.offset += BATCH) {
        if (!hw_job_go_on(job, (double)k.offset / (double)t.n, "crossings")) return HW_CANCELLED;
        const size_t left = t.n - k.offset;
        hw_par_for(left < BATCH ? left : BATCH, CHUNK, mark_chunk, &k);
    }
    return HW_OK;
}
