// Which plan triangles are inside at a plane: winding numbers carried over the walk of the plan.
#include <string.h>

#include "solid/build_internal.h"

static const int after[3] = {1, 2, 0};

bool hw_paint_begin(hw_painter *s, const hw_build *b)
{
    s->b = b;
    s->count = HW_NEW(b->work, int32_t, b->plan.edges);
    s->wind = HW_NEW(b->work, int32_t, b->plan.tris);
    return s->count && s->wind;
}

// Adds or takes away what a run of courses of one kind covers at a plane.
static void paint_run(const hw_painter *s, size_t from, size_t to, size_t layer, size_t plane,
                      uint8_t *inside)
{
    const hw_plan *p = &s->b->plan;
    memset(s->count, 0, p->edges * sizeof *s->count);
    for (size_t i = from; i < to; i++) {
        const hw_course *c = &s->b->course[i];
        if (layer < c->first || layer >= c->last) continue;
        const hw_ring *r = hw_course_ring(c, plane);
        for (size_t k = 0; k < r->start[r->points]; k++)
            s->count[r->step[k] / 2] += r->step[k] & 1 ? -r->sense : r->sense;
    }
    uint8_t value = s->b->course[from].op == HW_BLOCK_ADD;
    s->wind[p->order[0]] = 0;
    for (size_t n = 1; n < p->tris; n++) {
        uint32_t t = p->order[n], f = p->from[t];
        int side = p->from_side[t];
        uint32_t e = p->rim[f][side];
        int32_t w = s->wind[f];
        if (e != HW_PLAN_NONE)
            w -= p->tri[f][after[side]] == p->edge[e].a ? s->count[e] : -s->count[e];
        s->wind[t] = w;
        if (w > 0) inside[t] = value;
    }
}

// May a course be painted in one go with others of its kind? Not when its outline meets itself:
// where that turns back on itself it counts -1, which would take away from the others.
static bool joins(const hw_course *c, size_t layer, size_t plane)
{
    return layer < c->first || layer >= c->last || hw_course_ring(c, plane)->simple;
}

void hw_paint(const hw_painter *s, size_t layer, size_t plane, uint8_t *inside)
{
    const hw_course *c = s->b->course;
    memset(inside, 0, s->b->plan.tris);
    for (size_t i = 0; i < s->b->courses;) {
        size_t j = i + 1;
        if (joins(&c[i], layer, plane))
            while (j < s->b->courses && c[j].op == c[i].op && joins(&c[j], layer, plane)) j++;
        paint_run(s, i, j, layer, plane, inside);
        i = j;
    }
}

void hw_paint_rims(const hw_build *b, const uint8_t *inside, int8_t *rim)
{
    const hw_plan *p = &b->plan;
    memset(rim, 0, p->edges);
    for (size_t t = 0; t < p->tris; t++) {
        if (!inside[t]) continue;
        for (int i = 0; i < 3; i++) {
            uint32_t e = p->rim[t][i];
            if (e != HW_PLAN_NONE && !inside[p->next[t][i]])
                rim[e] = p->tri[t][after[i]] == p->edge[e].a ? 1 : -1;
        }
    }
}
