// Constrained Delaunay triangulation of the snapped plan, all signs exact. Sources: Lawson 1977
// (insertion and flips); Sloan 1993, "A fast algorithm for generating constrained Delaunay
// triangulations", Comput. Struct. 47 (pulling a side in by flips).
#include "solid/plan_internal.h"

#include <stdlib.h>
#include <string.h>

#include "solid/exact_internal.h"

static const int after[3] = {1, 2, 0}, before[3] = {2, 0, 1};

static int64_t turn(const hw_plan *p, uint32_t a, uint32_t b, uint32_t c)
{
    return hw_plan_cross(p->at[a], p->at[b], p->at[c]);
}

static int corner_of(const hw_plan *p, uint32_t t, uint32_t v)
{
    return p->tri[t][0] == v ? 0 : p->tri[t][1] == v ? 1 : 2;
}

// Which side of t faces neighbour u.
static int side_to(const hw_plan *p, uint32_t t, uint32_t u)
{
    return p->next[t][0] == u ? 0 : p->next[t][1] == u ? 1 : 2;
}

static void relink(hw_plan *p, uint32_t t, uint32_t old, uint32_t now)
{
    if (t != HW_PLAN_NONE) p->next[t][side_to(p, t, old)] = now;
}

static void set_tri(hw_plan *p, uint32_t t, const uint32_t v[3], const uint32_t next[3])
{
    for (int i = 0; i < 3; i++) {
        p->tri[t][i] = v[i];
        p->next[t][i] = next[i];
        p->near_tri[v[i]] = t;
    }
}

// Two triangles and the four beyond them: t = a b c and u = c b d share side b c, opposite corner i
// of t.
typedef struct quad {
    uint32_t t, u, a, b, c, d, ab, ca, bd, dc;
} quad;

static quad quad_at(const hw_plan *p, uint32_t t, int i)
{
    uint32_t u = p->next[t][i];
    int j = side_to(p, u, t);
    return (quad){.t = t,
                  .u = u,
                  .a = p->tri[t][i],
                  .b = p->tri[t][after[i]],
                  .c = p->tri[t][before[i]],
                  .d = p->tri[u][j],
                  .ab = p->next[t][before[i]],
                  .ca = p->next[t][after[i]],
                  .bd = p->next[u][after[j]],
                  .dc = p->next[u][before[j]]};
}

// Swaps the diagonal: t becomes a b d, u becomes a d c.
static void flip(hw_plan *p, uint32_t t, int i)
{
    quad q = quad_at(p, t, i);
    set_tri(p, t, (uint32_t[3]){q.a, q.b, q.d}, (uint32_t[3]){q.bd, q.u, q.ab});
    set_tri(p, q.u, (uint32_t[3]){q.a, q.d, q.c}, (uint32_t[3]){q.dc, q.ca, t});
    relink(p, q.bd, q.u, t);
    relink(p, q.ca, t, q.u);
}

// ---- insertion --------------------------------------------------------------------------------

// The triangle that holds v; *side is the side it lies on, or -1. HW_PLAN_NONE: bound reached.
static uint32_t locate(const hw_plan *p, uint32_t start, uint32_t v, int *side)
{
    uint32_t t = start;
    for (size_t step = 0; step <= 4 * p->tris + 16; step++) {
        int out = -1;
        *side = -1;
        for (size_t k = 0; k < 3 && out < 0; k++) {
            int i = (int)((step + k) % 3);
            int64_t s = turn(p, p->tri[t][after[i]], p->tri[t][before[i]], v);
            if (s < 0) out = i;
            if (s == 0) *side = i;
        }
        if (out < 0) return t;
        t = p->next[t][out];
    }
    return HW_PLAN_NONE;
}

typedef struct work_list {
    uint32_t *tri;
    size_t n, room;
} work_list;

static bool push(hw_plan *p, work_list *w, uint32_t t)
{
    if (!HW_ROOM(p->work, w->tri, w->n, w->room, w->n + 1)) return false;
    w->tri[w->n++] = t;
    return true;
}

static void split_inside(hw_plan *p, uint32_t t, uint32_t v)
{
    uint32_t c[3], n[3];
    memcpy(c, p->tri[t], sizeof c);
    memcpy(n, p->next[t], sizeof n);
    uint32_t u = (uint32_t)p->tris, w = u + 1;
    p->tris += 2;
    set_tri(p, t, (uint32_t[3]){v, c[0], c[1]}, (uint32_t[3]){n[2], u, w});
    set_tri(p, u, (uint32_t[3]){v, c[1], c[2]}, (uint32_t[3]){n[0], w, t});
    set_tri(p, w, (uint32_t[3]){v, c[2], c[0]}, (uint32_t[3]){n[1], t, u});
    relink(p, n[0], t, u);
    relink(p, n[1], t, w);
}

// v on the side of t opposite corner i: two triangles become four.
static void split_side(hw_plan *p, uint32_t t, int i, uint32_t v)
{
    quad q = quad_at(p, t, i);
    uint32_t x = (uint32_t)p->tris, y = x + 1;
    p->tris += 2;
    set_tri(p, t, (uint32_t[3]){v, q.a, q.b}, (uint32_t[3]){q.ab, q.u, x});
    set_tri(p, q.u, (uint32_t[3]){v, q.b, q.d}, (uint32_t[3]){q.bd, y, t});
    set_tri(p, x, (uint32_t[3]){v, q.c, q.a}, (uint32_t[3]){q.ca, t, y});
    set_tri(p, y, (uint32_t[3]){v, q.d, q.c}, (uint32_t[3]){q.dc, x, q.u});
    relink(p, q.ca, t, x);
    relink(p, q.dc, q.u, y);
}

// True when the corner beyond side i of t lies inside the circle round t.
static bool should_flip(const hw_plan *p, uint32_t t, int i)
{
    uint32_t u = p->next[t][i];
    if (u == HW_PLAN_NONE) return false;
    const uint32_t *c = p->tri[t];
    uint32_t d = p->tri[u][side_to(p, u, t)];
    return hw_plan_in_circle(p->at[c[0]], p->at[c[1]], p->at[c[2]], p->at[d]) > 0;
}

// Flips sides opposite v until the triangles round v are Delaunay.
static hw_code settle(hw_plan *p, uint32_t v, work_list *w)
{
    while (w->n) {
        uint32_t t = w->tri[--w->n];
        int i = corner_of(p, t, v);
        uint32_t u = p->next[t][i];
        if (!should_flip(p, t, i)) continue;
        flip(p, t, i);
        if (!push(p, w, t) || !push(p, w, u)) return HW_NO_MEMORY;
    }
    return HW_OK;
}

static hw_code insert(hw_plan *p, uint32_t v, uint32_t *start, work_list *w)
{
    int side;
    uint32_t t = locate(p, *start, v, &side);
    if (t == HW_PLAN_NONE) return HW_LIMIT;
    uint32_t first = (uint32_t)p->tris;
    uint32_t across = side >= 0 ? p->next[t][side] : t;
    if (side >= 0)
        split_side(p, t, side, v);
    else
        split_inside(p, t, v);
    w->n = 0;
    if (!push(p, w, t) || !push(p, w, first) || !push(p, w, first + 1)) return HW_NO_MEMORY;
    if (across != t && !push(p, w, across)) return HW_NO_MEMORY;
    *start = t;
    return settle(p, v, w);
}

// ---- constraints ------------------------------------------------------------------------------

// The triangle with the directed side a b, or HW_PLAN_NONE.
static uint32_t with_side(const hw_plan *p, uint32_t a, uint32_t b)
{
    uint32_t t = p->near_tri[a], first = t;
    do {
        int i = corner_of(p, t, a);
        if (p->tri[t][after[i]] == b) return t;
        t = p->next[t][after[i]]; // across the side from the last corner to a
    } while (t != HW_PLAN_NONE && t != first);
    return HW_PLAN_NONE;
}

typedef struct side {
    uint32_t a, b;
} side;

typedef struct side_list {
    side *item;
    size_t n, room;
} side_list;

static bool push_side(hw_plan *p, side_list *w, side s)
{
    if (!HW_ROOM(p->work, w->item, w->n, w->room, w->n + 1)) return false;
    w->item[w->n++] = s;
    return true;
}

// The triangle round a that the line to b leaves through the side opposite a.
static uint32_t leaving(const hw_plan *p, uint32_t a, uint32_t b)
{
    uint32_t t = p->near_tri[a], first = t;
    do {
        int i = corner_of(p, t, a);
        if (turn(p, a, b, p->tri[t][after[i]]) < 0 && turn(p, a, b, p->tri[t][before[i]]) > 0)
            return t;
        t = p->next[t][after[i]];
    } while (t != HW_PLAN_NONE && t != first);
    return HW_PLAN_NONE;
}

// All triangulation sides that a b crosses, in order from a.
static hw_code crossed(hw_plan *p, uint32_t a, uint32_t b, side_list *out)
{
    out->n = 0;
    uint32_t t = leaving(p, a, b);
    if (t == HW_PLAN_NONE) return HW_LIMIT;
    int i = corner_of(p, t, a);
    for (size_t step = 0; step <= p->tris; step++) {
        side s = {p->tri[t][after[i]], p->tri[t][before[i]]};
        if (!push_side(p, out, s)) return HW_NO_MEMORY;
        uint32_t u = p->next[t][i];
        uint32_t d = p->tri[u][side_to(p, u, t)];
        if (d == b) return HW_OK;
        // u = s.b s.a d: go on through the side of d that the line leaves by
        i = turn(p, a, b, d) > 0 ? corner_of(p, u, s.b) : corner_of(p, u, s.a);
        t = u;
    }
    return HW_LIMIT;
}

// The triangle and corner that look at a side from its left. Frame vertices have an open fan, so
// the search goes round the side's other end there and turns the side.
static bool facing(const hw_plan *p, side *s, uint32_t *t, int *i)
{
    if (s->a < 4) *s = (side){s->b, s->a};
    *t = with_side(p, s->a, s->b);
    if (*t == HW_PLAN_NONE) return false;
    *i = before[corner_of(p, *t, s->a)];
    return true;
}

// Does c d cross the line a b between them?
static bool splits(const hw_plan *p, uint32_t a, uint32_t b, uint32_t c, uint32_t d)
{
    if (c == a || c == b || d == a || d == b) return false;
    int64_t tc = turn(p, a, b, c), td = turn(p, a, b, d);
    return (tc > 0 && td < 0) || (tc < 0 && td > 0);
}

static hw_code pull_in(hw_plan *p, uint32_t a, uint32_t b, side_list *w)
{
    if (with_side(p, a, b) != HW_PLAN_NONE) return HW_OK;
    hw_code code = crossed(p, a, b, w);
    if (code != HW_OK) return code;
    size_t bound = 64 + 16 * w->n * w->n; // each pass over the list takes one crossing away
    for (size_t head = 0; head < w->n; head++) {
        if (head > bound) return HW_LIMIT;
        side s = w->item[head];
        uint32_t t;
        int i;
        if (!facing(p, &s, &t, &i)) return HW_LIMIT;
        uint32_t u = p->next[t][i], c = p->tri[t][i], d = p->tri[u][side_to(p, u, t)];
        bool convex = turn(p, c, s.a, d) > 0 && turn(p, d, s.b, c) > 0;
        if (convex) flip(p, t, i);
        if (convex && !splits(p, a, b, c, d)) continue;
        if (!push_side(p, w, convex ? (side){c, d} : s)) return HW_NO_MEMORY;
    }
    return HW_OK;
}

// Lawson's flips over all free sides, so that pulled-in sides leave good triangles round them.
static hw_code improve(hw_plan *p)
{
    bool changed = true;
    for (int pass = 0; pass < 200 && changed; pass++) {
        changed = false;
        for (uint32_t t = 0; t < p->tris; t++) {
            for (int i = 0; i < 3; i++) {
                const uint32_t *c = p->tri[t];
                if (!should_flip(p, t, i) ||
                    hw_plan_find(p, c[after[i]], c[before[i]]) != HW_PLAN_NONE)
                    continue;
                flip(p, t, i);
                changed = true;
            }
        }
    }
    return changed ? HW_LIMIT : HW_OK;
}

// ---- the whole --------------------------------------------------------------------------------

static void mark_rims(hw_plan *p)
{
    for (uint32_t t = 0; t < p->tris; t++)
        for (int i = 0; i < 3; i++)
            p->rim[t][i] = hw_plan_find(p, p->tri[t][after[i]], p->tri[t][before[i]]);
}

typedef struct key {
    uint64_t code;
    uint32_t vert;
} key;

static int key_order(const void *left, const void *right)
{
    const key *a = left, *b = right;
    if (a->code != b->code) return a->code < b->code ? -1 : 1;
    return a->vert < b->vert ? -1 : a->vert > b->vert;
}

// A zero bit after each of the low 32.
static uint64_t spread(uint64_t v)
{
    v = (v | (v << 16)) & 0x0000ffff0000ffffu;
    v = (v | (v << 8)) & 0x00ff00ff00ff00ffu;
    v = (v | (v << 4)) & 0x0f0f0f0f0f0f0f0fu;
    v = (v | (v << 2)) & 0x3333333333333333u;
    return (v | (v << 1)) & 0x5555555555555555u;
}

// Vertices along a Morton curve, so that each is found near the one before.
static key *insertion_order(hw_plan *p)
{
    key *k = HW_NEW(p->work, key, p->verts);
    if (!k) return NULL;
    for (uint32_t v = 4; v < p->verts; v++) {
        uint64_t x = spread((uint32_t)p->at[v][0]), z = spread((uint32_t)p->at[v][1]);
        k[v - 4] = (key){x | (z << 1), v};
    }
    qsort(k, p->verts - 4, sizeof *k, key_order);
    return k;
}

// A walk that reaches every triangle from one already reached.
static hw_code make_walk(hw_plan *p)
{
    p->order = HW_NEW(p->work, uint32_t, p->tris);
    p->from = HW_NEW(p->work, uint32_t, p->tris);
    p->from_side = HW_NEW(p->work, uint8_t, p->tris);
    uint8_t *seen = HW_NEW(p->work, uint8_t, p->tris);
    if (!p->order || !p->from || !p->from_side || !seen) return HW_NO_MEMORY;
    size_t n = 0;
    p->order[n++] = p->near_tri[0];
    seen[p->near_tri[0]] = 1;
    for (size_t head = 0; head < n; head++) {
        uint32_t t = p->order[head];
        for (int i = 0; i < 3; i++) {
            uint32_t u = p->next[t][i];
            if (u == HW_PLAN_NONE || seen[u]) continue;
            seen[u] = 1;
            p->from[u] = t;
            p->from_side[u] = (uint8_t)i;
            p->order[n++] = u;
        }
    }
    return n == p->tris ? HW_OK : HW_LIMIT;
}

static hw_code insert_all(hw_plan *p, const hw_job *job)
{
    key *order = insertion_order(p);
    if (!order) return HW_NO_MEMORY;
    set_tri(p, 0, (uint32_t[3]){0, 1, 2}, (uint32_t[3]){HW_PLAN_NONE, 1, HW_PLAN_NONE});
    set_tri(p, 1, (uint32_t[3]){0, 2, 3}, (uint32_t[3]){HW_PLAN_NONE, HW_PLAN_NONE, 0});
    p->tris = 2;
    work_list w = {0};
    uint32_t start = 0;
    for (size_t i = 0; i + 4 < p->verts; i++) {
        if (i % 1024 == 0 && !hw_job_go_on(job, 0.3 + 0.2 * (double)i / (double)p->verts, "plan"))
            return HW_CANCELLED;
        hw_code code = insert(p, order[i].vert, &start, &w);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

hw_code hw_plan_triangulate(hw_plan *p, const hw_job *job)
{
    size_t most = 2 * p->verts + 8;
    p->tri = hw_arena_alloc(p->work, most, sizeof *p->tri, _Alignof(uint32_t));
    p->next = hw_arena_alloc(p->work, most, sizeof *p->next, _Alignof(uint32_t));
    p->rim = hw_arena_alloc(p->work, most, sizeof *p->rim, _Alignof(uint32_t));
    p->near_tri = HW_NEW(p->work, uint32_t, p->verts);
    if (!p->tri || !p->next || !p->rim || !p->near_tri) return HW_NO_MEMORY;
    hw_code code = insert_all(p, job);
    side_list crossing = {0};
    for (uint32_t e = 0; e < p->edges && code == HW_OK; e++)
        if (!p->edge[e].split) code = pull_in(p, p->edge[e].a, p->edge[e].b, &crossing);
    if (code == HW_OK) code = improve(p);
    if (code != HW_OK) return code;
    mark_rims(p);
    return make_walk(p);
}
