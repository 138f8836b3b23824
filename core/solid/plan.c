// Iterated snap rounding on an integer grid. Source: Halperin & Packer 2002, "Iterated snap
// rounding", Comput. Geom. 23, 209-225; here repeated until the result is seen to be settled
// instead of resting on the proof.
#include "solid/plan_internal.h"

#include <stdlib.h>
#include <string.h>

#include "solid/exact_internal.h"

enum { ROUNDS = 64 };

void *hw_plan_room(hw_arena *work, void *array, size_t used, size_t *room, size_t need, size_t size)
{
    if (need <= *room) return array;
    size_t wish = *room < 64 ? 64 : *room * 2;
    if (wish < need) wish = need;
    void *more = hw_arena_alloc(work, wish, size, _Alignof(max_align_t));
    if (!more) return NULL;
    if (used) memcpy(more, array, used * size);
    *room = wish;
    return more;
}

static size_t mix(uint32_t a, uint32_t b)
{
    uint64_t k = ((uint64_t)a << 32) | b;
    k = (k ^ (k >> 31)) * 0x9e3779b97f4a7c15u;
    return (size_t)(k ^ (k >> 29));
}

static bool table_grow(hw_plan *p, hw_table *t, bool verts)
{
    size_t slots = t->slots ? t->slots * 2 : 256;
    uint32_t *slot = HW_NEW(p->work, uint32_t, slots);
    if (!slot) return false;
    size_t n = verts ? p->verts : p->edges;
    for (size_t i = 0; i < n; i++) {
        size_t k = verts ? mix((uint32_t)p->at[i][0], (uint32_t)p->at[i][1])
                         : mix(p->edge[i].a, p->edge[i].b);
        k &= slots - 1;
        while (slot[k]) k = (k + 1) & (slots - 1);
        slot[k] = (uint32_t)i + 1;
    }
    t->slot = slot;
    t->slots = slots;
    return true;
}

uint32_t hw_plan_vert(hw_plan *p, int32_t x, int32_t z)
{
    if (p->verts * 2 >= p->vert_table.slots && !table_grow(p, &p->vert_table, true))
        return HW_PLAN_NONE;
    size_t mask = p->vert_table.slots - 1, k = mix((uint32_t)x, (uint32_t)z) & mask;
    for (; p->vert_table.slot[k]; k = (k + 1) & mask) {
        uint32_t v = p->vert_table.slot[k] - 1;
        if (p->at[v][0] == x && p->at[v][1] == z) return v;
    }
    if (p->verts >= HW_PLAN_NONE - 1 ||
        !HW_ROOM(p->work, p->at, p->verts, p->verts_room, p->verts + 1))
        return HW_PLAN_NONE;
    p->at[p->verts][0] = x;
    p->at[p->verts][1] = z;
    p->verts++;
    p->vert_table.slot[k] = (uint32_t)p->verts;
    return (uint32_t)p->verts - 1;
}

uint32_t hw_plan_find(const hw_plan *p, uint32_t a, uint32_t b)
{
    if (!p->edge_table.slots) return HW_PLAN_NONE;
    uint32_t low = a < b ? a : b, high = a < b ? b : a;
    size_t mask = p->edge_table.slots - 1;
    for (size_t k = mix(low, high) & mask; p->edge_table.slot[k]; k = (k + 1) & mask) {
        uint32_t e = p->edge_table.slot[k] - 1;
        if (p->edge[e].a == low && p->edge[e].b == high) return e;
    }
    return HW_PLAN_NONE;
}

bool hw_plan_side(hw_plan *p, uint32_t a, uint32_t b)
{
    if (a == b || hw_plan_find(p, a, b) != HW_PLAN_NONE) return true;
    if (p->edges * 2 >= p->edge_table.slots && !table_grow(p, &p->edge_table, false)) return false;
    if (!HW_ROOM(p->work, p->edge, p->edges, p->edges_room, p->edges + 1)) return false;
    hw_plan_edge e = {.a = a < b ? a : b, .b = a < b ? b : a};
    size_t mask = p->edge_table.slots - 1, k = mix(e.a, e.b) & mask;
    while (p->edge_table.slot[k]) k = (k + 1) & mask;
    p->edge[p->edges++] = e;
    p->edge_table.slot[k] = (uint32_t)p->edges;
    return true;
}

hw_code hw_plan_begin(hw_plan *p, hw_arena *work, int32_t extent)
{
    memset(p, 0, sizeof *p);
    p->work = work;
    int32_t far = extent + 16;
    const int32_t corner[4][2] = {
        {-far, -far}, {2 * far, -far}, {2 * far, 2 * far}, {-far, 2 * far}};
    for (int i = 0; i < 4; i++)
        if (hw_plan_vert(p, corner[i][0], corner[i][1]) == HW_PLAN_NONE) return HW_NO_MEMORY;
    return HW_OK;
}

// ---- one round of snapping ------------------------------------------------------------------

typedef struct span { // a side, or a vertex, in order of its low x
    int32_t low, high, z_low, z_high;
    uint32_t id;
    bool fresh;
} span;

static int span_order(const void *left, const void *right)
{
    const span *a = left, *b = right;
    if (a->low != b->low) return a->low < b->low ? -1 : 1;
    return a->id < b->id ? -1 : a->id > b->id;
}

static span side_span(const hw_plan *p, uint32_t e, bool fresh)
{
    const int32_t *a = p->at[p->edge[e].a], *b = p->at[p->edge[e].b];
    return (span){.low = a[0] < b[0] ? a[0] : b[0],
                  .high = a[0] < b[0] ? b[0] : a[0],
                  .z_low = a[1] < b[1] ? a[1] : b[1],
                  .z_high = a[1] < b[1] ? b[1] : a[1],
                  .id = e,
                  .fresh = fresh};
}

static int sign64(int64_t v)
{
    return (v > 0) - (v < 0);
}

// num / den rounded to nearest, halves up; den > 0.
static int64_t round_ratio(hw_int128 num, hw_int128 den)
{
    hw_int128 twice = 2 * num + den, unit = 2 * den;
    hw_int128 q = twice / unit;
    if (twice % unit < 0) q--;
    return (int64_t)q;
}

// Where two sides cross in their insides, as a new vertex on the grid. False: out of memory.
static bool add_crossing(hw_plan *p, uint32_t e, uint32_t f)
{
    const int32_t *a = p->at[p->edge[e].a], *b = p->at[p->edge[e].b];
    const int32_t *c = p->at[p->edge[f].a], *d = p->at[p->edge[f].b];
    int64_t ac = hw_plan_cross(c, d, a), bc = hw_plan_cross(c, d, b);
    if (sign64(ac) * sign64(bc) >= 0) return true;
    if (sign64(hw_plan_cross(a, b, c)) * sign64(hw_plan_cross(a, b, d)) >= 0) return true;
    hw_int128 den = (hw_int128)ac - bc; // the crossing is a + (b - a) * ac / (ac - bc)
    hw_int128 num = ac;
    if (den < 0) {
        den = -den;
        num = -num;
    }
    int64_t x = a[0] + round_ratio(num * ((int64_t)b[0] - a[0]), den);
    int64_t z = a[1] + round_ratio(num * ((int64_t)b[1] - a[1]), den);
    return hw_plan_vert(p, (int32_t)x, (int32_t)z) != HW_PLAN_NONE;
}

static bool add_crossings(hw_plan *p, const span *side, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        for (size_t j = i + 1; j < n && side[j].low <= side[i].high; j++) {
            if (!side[i].fresh && !side[j].fresh) continue;
            if (side[j].z_low > side[i].z_high || side[j].z_high < side[i].z_low) continue;
            if (!add_crossing(p, side[i].id, side[j].id)) return false;
        }
    }
    return true;
}

typedef struct stop { // a vertex that a side must run through
    int64_t along;
    uint32_t vert;
} stop;

static int stop_order(const void *left, const void *right)
{
    const stop *a = left, *b = right;
    if (a->along != b->along) return a->along < b->along ? -1 : 1;
    return a->vert < b->vert ? -1 : a->vert > b->vert;
}

// True when the side from a to b passes the unit square round v (v in the box of the side). Of the
// square's rim only the low sides belong to it, as in rounding: a side through the corner of four
// squares passes one of them, so that pieces lie in smaller boxes than the side they came from.
static bool passes(const int32_t a[2], const int32_t b[2], const int32_t v[2])
{
    int64_t dx = (int64_t)b[0] - a[0], dz = (int64_t)b[1] - a[1];
    int64_t off = hw_plan_cross(a, b, v), reach = llabs(dx) + llabs(dz);
    if (2 * llabs(off) != reach) return 2 * llabs(off) < reach;
    return 2 * off == dx - dz; // through the low corner, v - (1/2, 1/2)
}

typedef struct stops {
    stop *item;
    size_t n, room;
} stops;

// Collects the vertices (sorted by x) whose square a side passes.
static bool collect_stops(hw_plan *p, const span *s, const span *vert, size_t verts, stops *out)
{
    const int32_t *a = p->at[p->edge[s->id].a], *b = p->at[p->edge[s->id].b];
    size_t low = 0, high = verts;
    while (low < high) {
        size_t mid = (low + high) / 2;
        if (vert[mid].low < s->low)
            low = mid + 1;
        else
            high = mid;
    }
    out->n = 0;
    for (; low < verts && vert[low].low <= s->high; low++) {
        uint32_t v = vert[low].id;
        if (vert[low].z_low < s->z_low || vert[low].z_low > s->z_high) continue;
        if (v == p->edge[s->id].a || v == p->edge[s->id].b || !passes(a, b, p->at[v])) continue;
        if (!HW_ROOM(p->work, out->item, out->n, out->room, out->n + 1)) return false;
        int64_t along = ((int64_t)b[0] - a[0]) * ((int64_t)p->at[v][0] - a[0]) +
                        ((int64_t)b[1] - a[1]) * ((int64_t)p->at[v][1] - a[1]);
        out->item[out->n++] = (stop){along, v};
    }
    if (out->n > 1) qsort(out->item, out->n, sizeof *out->item, stop_order);
    return true;
}

static bool split_side(hw_plan *p, uint32_t e, const stops *s)
{
    if (!HW_ROOM(p->work, p->via, p->vias, p->vias_room, p->vias + s->n)) return false;
    p->edge[e].split = true;
    p->edge[e].via = (uint32_t)p->vias;
    p->edge[e].vias = (uint32_t)s->n;
    uint32_t last = p->edge[e].a, end = p->edge[e].b;
    for (size_t i = 0; i < s->n; i++) {
        p->via[p->vias++] = s->item[i].vert;
        if (!hw_plan_side(p, last, s->item[i].vert)) return false;
        last = s->item[i].vert;
    }
    return hw_plan_side(p, last, end);
}

// One round; *changed tells whether a side was bent. `fresh` is the first edge not seen before.
static hw_code snap_round(hw_plan *p, size_t fresh, bool *changed)
{
    size_t sides = 0, verts_before = p->verts;
    span *side = HW_NEW(p->work, span, p->edges);
    if (!side) return HW_NO_MEMORY;
    for (size_t e = 0; e < p->edges; e++)
        if (!p->edge[e].split) side[sides++] = side_span(p, (uint32_t)e, e >= fresh);
    qsort(side, sides, sizeof *side, span_order);
    if (!add_crossings(p, side, sides)) return HW_NO_MEMORY;
    span *vert = HW_NEW(p->work, span, p->verts);
    if (!vert) return HW_NO_MEMORY;
    for (size_t v = 0; v < p->verts; v++)
        vert[v] = (span){p->at[v][0], p->at[v][0], p->at[v][1], p->at[v][1], (uint32_t)v, false};
    qsort(vert, p->verts, sizeof *vert, span_order);
    size_t verts = p->verts;
    stops s = {0};
    *changed = verts != verts_before;
    for (size_t i = 0; i < sides; i++) {
        if (!collect_stops(p, &side[i], vert, verts, &s)) return HW_NO_MEMORY;
        if (s.n == 0) continue;
        *changed = true;
        if (!split_side(p, side[i].id, &s)) return HW_NO_MEMORY;
    }
    return HW_OK;
}

hw_code hw_plan_snap(hw_plan *p, const hw_job *job)
{
    size_t fresh = 0;
    for (int round = 0; round < ROUNDS; round++) {
        if (!hw_job_go_on(job, 0.3 * round / ROUNDS, "outlines")) return HW_CANCELLED;
        bool changed = false;
        size_t seen = p->edges;
        hw_code code = p->edges ? snap_round(p, fresh, &changed) : HW_OK;
        if (code != HW_OK || !changed) return code;
        fresh = seen;
    }
    return HW_LIMIT;
}

bool hw_plan_chain(const hw_plan *p, uint32_t a, uint32_t b, uint32_t **chain, size_t *n,
                   size_t *room)
{
    if (a != b) {
        uint32_t e = hw_plan_find(p, a, b);
        const hw_plan_edge *side = &p->edge[e];
        if (side->split) {
            uint32_t last = a;
            for (uint32_t i = 0; i < side->vias; i++) {
                uint32_t k = a == side->a ? i : side->vias - 1 - i;
                uint32_t v = p->via[side->via + k];
                if (!hw_plan_chain(p, last, v, chain, n, room)) return false;
                (*n)--; // v comes again as the start of the next piece
                last = v;
            }
            return hw_plan_chain(p, last, b, chain, n, room);
        }
    }
    if (!HW_ROOM(p->work, *chain, *n, *room, *n + 2)) return false;
    (*chain)[(*n)++] = a;
    (*chain)[(*n)++] = b; // a side of no length is one point, written twice
    if (a == b) (*n)--;
    return true;
}
