// The boundary of a solid as a complex of (plan triangle) x (layer) cells: flats at the planes
// where inside and outside differ, walls in the layers.
#include <string.h>

#include "solid/build_internal.h"

typedef struct skin {
    hw_build *b;
    hw_int_mesh *out;
    hw_painter paint;
    size_t suspect; // a course whose tapered wall was not put, in the layer at hand; SIZE_MAX none
    uint8_t *low, *high;        // inside, at a layer's low and high plane
    uint8_t *below;             // the layer before's high plane
    int8_t *low_rim, *high_rim; // of each edge: +1 inside on its left, -1 on its right, 0 no rim
    uint32_t *row[2]; // mesh vertex + 1 of each plan vertex at the layer's low and high plane
} skin;

// Mesh vertex of a plan vertex at the layer's low (0) or high (1) plane. HW_PLAN_NONE: out of
// memory.
static uint32_t corner(skin *s, size_t layer, int end, uint32_t v)
{
    hw_int_mesh *m = s->out;
    if (s->row[end][v]) return s->row[end][v] - 1;
    if (m->verts >= HW_PLAN_NONE - 1 ||
        !HW_ROOM(s->b->work, m->at, m->verts, m->verts_room, m->verts + 1))
        return HW_PLAN_NONE;
    m->at[m->verts][0] = s->b->plan.at[v][0];
    m->at[m->verts][1] = s->b->plane[layer + (size_t)end];
    m->at[m->verts][2] = s->b->plan.at[v][1];
    s->row[end][v] = (uint32_t)++m->verts;
    return (uint32_t)m->verts - 1;
}

// a b c, or a c b when `turned`.
static bool put(skin *s, uint32_t a, uint32_t b, uint32_t c, bool turned)
{
    hw_int_mesh *m = s->out;
    if (a == HW_PLAN_NONE || b == HW_PLAN_NONE || c == HW_PLAN_NONE) return false;
    if (m->tris >= HW_PLAN_NONE / 3 ||
        !HW_ROOM(s->b->work, m->tri, 3 * m->tris, m->tri_room, 3 * m->tris + 3))
        return false;
    uint32_t *t = m->tri + 3 * m->tris++;
    t[0] = a;
    t[1] = turned ? c : b;
    t[2] = turned ? b : c;
    return true;
}

// Flats at a layer's low plane: a plan triangle counter-clockwise in (x, z) looks toward -y.
static bool put_flats(skin *s, size_t layer, const uint8_t *under, const uint8_t *over)
{
    const hw_plan *p = &s->b->plan;
    for (size_t t = 0; t < p->tris; t++) {
        if (under[t] == over[t]) continue;
        uint32_t v[3];
        for (int i = 0; i < 3; i++) v[i] = corner(s, layer, 0, p->tri[t][i]);
        if (!put(s, v[0], v[1], v[2], under[t] != 0)) return false;
    }
    return true;
}

// ---- walls ------------------------------------------------------------------------------------

typedef struct run { // a chain of plan edges at one plane
    const uint32_t *step;
    size_t steps;
    uint32_t first; // where it starts
} run;

static uint32_t run_vert(const hw_plan *p, const run *r, size_t k)
{
    if (k == 0) return r->first;
    uint32_t step = r->step[k - 1];
    return step & 1 ? p->edge[step / 2].a : p->edge[step / 2].b;
}

enum { MIXED = 2 };

// The side on which the inside lies along a run: +1 left, -1 right, 0 it is no rim; or MIXED.
static int run_side(const run *r, const int8_t *rim)
{
    int side = 0;
    for (size_t k = 0; k < r->steps; k++) {
        int here = r->step[k] & 1 ? -rim[r->step[k] / 2] : rim[r->step[k] / 2];
        if (k > 0 && here != side) return MIXED;
        side = here;
    }
    return side;
}

// The wall between two runs, as a strip that keeps step by the share of each run done.
static bool put_strip(skin *s, size_t layer, const run *low, const run *high, int side)
{
    const hw_plan *p = &s->b->plan;
    size_t i = 0, j = 0;
    while (i < low->steps || j < high->steps) {
        uint32_t l = corner(s, layer, 0, run_vert(p, low, i));
        uint32_t h = corner(s, layer, 1, run_vert(p, high, j));
        // (j + 1) / high->steps against (i + 1) / low->steps
        bool up =
            i == low->steps || (j < high->steps && (j + 1) * low->steps <= (i + 1) * high->steps);
        uint32_t to = up ? corner(s, layer, 1, run_vert(p, high, ++j))
                         : corner(s, layer, 0, run_vert(p, low, ++i));
        if (!put(s, l, h, to, side < 0)) return false;
    }
    return true;
}

static void clear(const run *r, int8_t *rim)
{
    for (size_t k = 0; k < r->steps; k++) rim[r->step[k] / 2] = 0;
}

static hw_code blame(skin *s, size_t course, size_t layer, uint32_t vert)
{
    hw_build *b = s->b;
    b->made->bad_block = course;
    b->made->bad_at = (hw_vec3){b->grid * (double)(b->plan.at[vert][0] + b->origin[0]),
                                b->grid * (double)(b->plane[layer] + b->origin[1]),
                                b->grid * (double)(b->plan.at[vert][1] + b->origin[2])};
    return HW_BAD_INPUT;
}

static bool same_run(const run *a, const run *b)
{
    return a->first == b->first && a->steps == b->steps &&
           (a->steps == 0 || memcmp(a->step, b->step, a->steps * sizeof *a->step) == 0);
}

// The tapered walls of one course in a layer; their rims are taken off the lists, so that what is
// left is upright.
static hw_code put_tapered(skin *s, size_t course, size_t layer)
{
    const hw_course *c = &s->b->course[course];
    const hw_ring *a = hw_course_ring(c, layer), *z = hw_course_ring(c, layer + 1);
    for (size_t i = 0; i < a->points; i++) {
        run low = {a->step + a->start[i], a->start[i + 1] - a->start[i], a->point[i]};
        run high = {z->step + z->start[i], z->start[i + 1] - z->start[i], z->point[i]};
        if (same_run(&low, &high)) continue;
        int below = run_side(&low, s->low_rim), above = run_side(&high, s->high_rim);
        if (low.steps == 0 || a->flat) below = above; // a tip or a ridge has no rim
        if (high.steps == 0 || z->flat) above = below;
        if (below == MIXED || below != above) {
            // inside another block but for an outline that both share, or cut by another outline:
            // the rims left over tell
            s->suspect = course;
            continue;
        }
        if (below == 0) continue; // hidden
        if (!put_strip(s, layer, &low, &high, below)) return HW_NO_MEMORY;
        clear(&low, s->low_rim);
        clear(&high, s->high_rim);
    }
    return HW_OK;
}

static hw_code put_walls(skin *s, size_t layer)
{
    const hw_plan *p = &s->b->plan;
    s->suspect = SIZE_MAX;
    hw_paint_rims(s->b, s->low, s->low_rim);
    hw_paint_rims(s->b, s->high, s->high_rim);
    for (size_t i = 0; i < s->b->courses; i++) {
        const hw_course *c = &s->b->course[i];
        if (c->plate || layer < c->first || layer >= c->last) continue;
        hw_code code = put_tapered(s, i, layer);
        if (code != HW_OK) return code;
    }
    for (size_t e = 0; e < p->edges; e++) {
        if (s->low_rim[e] != s->high_rim[e]) return blame(s, s->suspect, layer, p->edge[e].a);
        if (!s->low_rim[e]) continue;
        uint32_t step = 2 * (uint32_t)e;
        run r = {&step, 1, p->edge[e].a};
        if (!put_strip(s, layer, &r, &r, s->low_rim[e])) return HW_NO_MEMORY;
    }
    return HW_OK;
}

// ---- layer by layer ---------------------------------------------------------------------------

static bool skin_arrays(skin *s)
{
    hw_arena *work = s->b->work;
    size_t tris = s->b->plan.tris, edges = s->b->plan.edges;
    s->low = HW_NEW(work, uint8_t, tris);
    s->high = HW_NEW(work, uint8_t, tris);
    s->below = HW_NEW(work, uint8_t, tris);
    s->low_rim = HW_NEW(work, int8_t, edges);
    s->high_rim = HW_NEW(work, int8_t, edges);
    for (int i = 0; i < 2; i++) s->row[i] = HW_NEW(work, uint32_t, s->b->plan.verts);
    return hw_paint_begin(&s->paint, s->b) && !hw_arena_failed(work);
}

static void next_layer(skin *s)
{
    uint8_t *was = s->below;
    s->below = s->high;
    s->high = was;
    uint32_t *row = s->row[0];
    s->row[0] = s->row[1];
    s->row[1] = row;
    memset(row, 0, s->b->plan.verts * sizeof *row);
}

hw_code hw_build_skin(hw_build *b, hw_int_mesh *out)
{
    skin s = {.b = b, .out = out};
    if (!skin_arrays(&s)) return HW_NO_MEMORY;
    for (size_t layer = 0; layer + 1 < b->planes; layer++) {
        double done = 0.5 + 0.3 * (double)layer / (double)b->planes;
        if (!hw_job_go_on(b->job, done, "layers")) return HW_CANCELLED;
        hw_paint(&s.paint, layer, layer, s.low);
        hw_paint(&s.paint, layer, layer + 1, s.high);
        if (!put_flats(&s, layer, s.below, s.low)) return HW_NO_MEMORY;
        hw_code code = put_walls(&s, layer);
        if (code != HW_OK) return code;
        next_layer(&s);
    }
    memset(s.low, 0, b->plan.tris);
    return put_flats(&s, b->planes - 1, s.below, s.low) ? HW_OK : HW_NO_MEMORY;
}
