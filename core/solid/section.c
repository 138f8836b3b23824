// The outline of a solid in a plane across it, traced on the plan.
#include <math.h>
#include <string.h>

#include "solid/build_internal.h"
#include "solid/exact_internal.h"

static const int after[3] = {1, 2, 0};

// The blocks that a plane cuts, as plates from low to high with the outline they have there.
static bool flatten(hw_arena *work, const hw_solid *solid, double y, double low, double high,
                    hw_solid *out)
{
    hw_block *block = HW_NEW(work, hw_block, solid->blocks);
    if (!block) return false;
    size_t n = 0;
    for (size_t i = 0; i < solid->blocks; i++) {
        const hw_block *k = &solid->block[i];
        if (y < k->y[0] || y >= k->y[1]) continue;
        double t = (y - k->y[0]) / (k->y[1] - k->y[0]);
        hw_vec2 *at = HW_NEW(work, hw_vec2, k->at[0].n);
        if (!at) return false;
        for (size_t j = 0; j < k->at[0].n; j++) {
            hw_vec2 a = k->at[0].at[j], b = k->at[1].at[j];
            at[j] = t > 0 ? hw_add(a, hw_scale(hw_sub(b, a), t)) : a;
        }
        hw_polygon p = {at, k->at[0].n};
        block[n++] = (hw_block){k->op, {low, high}, {p, p}};
    }
    *out = (hw_solid){block, n};
    return true;
}

typedef struct trace {
    const hw_build *b;
    const uint8_t *inside;
    uint8_t *seen;  // of each triangle, a bit for each side
    uint32_t *vert; // of the ring at hand
    size_t n, room;
} trace;

// Is side i of an inside triangle on the rim?
static bool is_rim(const trace *s, uint32_t t, int i)
{
    return s->inside[t] && !s->inside[s->b->plan.next[t][i]];
}

// The rim side that goes on from the end of side *i of *t, kept to the inside triangles round that
// corner, so that parts which touch there stay rings of their own.
static void go_on(const trace *s, uint32_t *t, int *i)
{
    const hw_plan *p = &s->b->plan;
    int side = after[*i];
    for (size_t step = 0; step < p->tris && !is_rim(s, *t, side); step++) {
        uint32_t u = p->next[*t][side];
        int back = p->next[u][0] == *t ? 0 : p->next[u][1] == *t ? 1 : 2;
        *t = u;
        side = after[back];
    }
    *i = side;
}

// Vertices of the ring that starts with side i of t, without those on a straight run.
static bool trace_ring(trace *s, uint32_t t, int i)
{
    const hw_plan *p = &s->b->plan;
    s->n = 0;
    while (!(s->seen[t] >> i & 1)) {
        s->seen[t] = (uint8_t)(s->seen[t] | 1 << i);
        if (!HW_ROOM(s->b->work, s->vert, s->n, s->room, s->n + 1)) return false;
        s->vert[s->n++] = p->tri[t][after[i]];
        go_on(s, &t, &i);
    }
    size_t kept = 0;
    for (size_t k = 0; k < s->n; k++) {
        uint32_t last = kept ? s->vert[kept - 1] : s->vert[s->n - 1];
        uint32_t here = s->vert[k], next = s->vert[k + 1 < s->n ? k + 1 : 0];
        if (hw_plan_cross(p->at[last], p->at[here], p->at[next]) != 0) s->vert[kept++] = here;
    }
    s->n = kept;
    return true;
}

static bool keep_ring(hw_arena *keep, const trace *s, hw_polygon *out)
{
    const hw_build *b = s->b;
    out->at = HW_NEW(keep, hw_vec2, s->n);
    if (!out->at) return false;
    out->n = s->n;
    for (size_t k = 0; k < s->n; k++) {
        const int32_t *at = b->plan.at[s->vert[k]];
        out->at[k] = (hw_vec2){b->grid * (double)(at[0] + b->origin[0]),
                               b->grid * (double)(at[1] + b->origin[2])};
    }
    return true;
}

static hw_code trace_all(hw_arena *keep, hw_build *b, hw_section *out)
{
    uint8_t *inside = HW_NEW(b->work, uint8_t, b->plan.tris);
    trace s = {.b = b, .inside = inside, .seen = HW_NEW(b->work, uint8_t, b->plan.tris)};
    hw_painter paint;
    if (!inside || !s.seen || !hw_paint_begin(&paint, b)) return HW_NO_MEMORY;
    hw_paint(&paint, 0, 0, inside);
    hw_polygon *ring = NULL;
    size_t rings = 0, room = 0;
    for (uint32_t t = 0; t < b->plan.tris; t++) {
        for (int i = 0; i < 3; i++) {
            if (!inside[t] || !is_rim(&s, t, i) || (s.seen[t] >> i & 1)) continue;
            if (!trace_ring(&s, t, i) || !HW_ROOM(b->work, ring, rings, room, rings + 1) ||
                !keep_ring(keep, &s, &ring[rings]))
                return HW_NO_MEMORY;
            rings++;
        }
    }
    out->ring = HW_NEW(keep, hw_polygon, rings);
    if (!out->ring) return HW_NO_MEMORY;
    if (rings) memcpy(out->ring, ring, rings * sizeof *ring);
    out->rings = rings;
    return HW_OK;
}

static hw_code section(hw_arena *keep, hw_build *b, const hw_solid *solid, const hw_mesh_def *def,
                       double y, hw_section *out) // [m]
{
    double low = 0, high = 0;
    hw_solid flat;
    if (!isfinite(y)) return HW_BAD_INPUT;
    hw_code code = hw_build_ground(b, solid, def, &low, &high);
    if (code != HW_OK || solid->blocks == 0) return code;
    if (!flatten(b->work, solid, y, low, high, &flat)) return HW_NO_MEMORY;
    if (flat.blocks == 0) return HW_OK;
    code = hw_build_plan(b, &flat);
    if (code == HW_OK) code = hw_plan_snap(&b->plan, b->job);
    if (code == HW_OK) code = hw_plan_triangulate(&b->plan, b->job);
    if (code == HW_OK) code = hw_build_steps(b);
    if (code == HW_OK) code = trace_all(keep, b, out);
    return code;
}

hw_code hw_solid_section(hw_arena *keep, hw_arena *work, const hw_solid *solid,
                         const hw_mesh_def *def, double y, const hw_job *job, hw_section *out,
                         hw_mesh_made *made)
{
    *made = (hw_mesh_made){.bad_block = SIZE_MAX};
    *out = (hw_section){0};
    size_t mark = hw_arena_mark(work);
    hw_build b = {.work = work, .job = job, .made = made};
    hw_code code = section(keep, &b, solid, def, y, out);
    made->plan_points = b.plan.verts > 4 ? b.plan.verts - 4 : 0;
    made->plan_tris = b.plan.tris;
    hw_arena_rewind(work, mark);
    if (code != HW_OK) *out = (hw_section){0};
    return code;
}
