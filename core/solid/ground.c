// From blocks in metres to rings on the grid.
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "solid/build_internal.h"
#include "solid/exact_internal.h"

typedef struct box {
    double low[3], high[3]; // [m]
} box;

static void take(box *b, int axis, double v)
{
    b->low[axis] = fmin(b->low[axis], v);
    b->high[axis] = fmax(b->high[axis], v);
}

// A block's own faults; widens the box.
static bool block_good(const hw_block *k, box *b)
{
    if (!isfinite(k->y[0]) || !isfinite(k->y[1]) || !(k->y[0] < k->y[1])) return false;
    if (k->op != HW_BLOCK_ADD && k->op != HW_BLOCK_CUT) return false;
    if (k->at[0].n < 3 || k->at[0].n != k->at[1].n || k->at[0].n > (1u << 24)) return false;
    for (int end = 0; end < 2; end++) {
        take(b, 1, k->y[end]);
        for (size_t i = 0; i < k->at[end].n; i++) {
            hw_vec2 p = k->at[end].at[i];
            if (!isfinite(p.x) || !isfinite(p.z)) return false;
            take(b, 0, p.x);
            take(b, 2, p.z);
        }
    }
    return true;
}

// The grid: the file's unit halved until the longest extent takes at least 2^(bits - 1) steps.
static bool choose_grid(hw_build *b, const box *x, const hw_mesh_def *def)
{
    double longest = 0;
    for (int i = 0; i < 3; i++) longest = fmax(longest, x->high[i] - x->low[i]);
    if (!(longest > 0) || !isfinite(longest)) return false;
    int exponent;
    frexp(longest / def->unit, &exponent); // longest < unit * 2^exponent
    b->grid = ldexp(def->unit, exponent - def->bits);
    b->extent = 0;
    for (int i = 0; i < 3; i++) {
        double low = x->low[i] / b->grid, high = x->high[i] / b->grid;
        if (!(fabs(low) < 0x1p40 && fabs(high) < 0x1p40)) return false; // far off its own size
        b->origin[i] = llround(low);
        int64_t span = llround(high) - b->origin[i];
        if (span > b->extent) b->extent = (int32_t)span;
    }
    return true;
}

static int32_t on_grid(const hw_build *b, int axis, double v)
{
    return (int32_t)(llround(v / b->grid) - b->origin[axis]);
}

static int int_order(const void *left, const void *right)
{
    const int32_t *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

static bool choose_planes(hw_build *b, const hw_solid *solid)
{
    b->plane = HW_NEW(b->work, int32_t, 2 * solid->blocks);
    if (!b->plane) return false;
    for (size_t i = 0; i < 2 * solid->blocks; i++)
        b->plane[i] = on_grid(b, 1, solid->block[i / 2].y[i % 2]);
    qsort(b->plane, 2 * solid->blocks, sizeof *b->plane, int_order);
    for (size_t i = 0; i < 2 * solid->blocks; i++)
        if (b->planes == 0 || b->plane[i] != b->plane[b->planes - 1])
            b->plane[b->planes++] = b->plane[i];
    return true;
}

static size_t plane_of(const hw_build *b, double y) // [m]
{
    int32_t v = on_grid(b, 1, y);
    const int32_t *found = bsearch(&v, b->plane, b->planes, sizeof *b->plane, int_order);
    return (size_t)(found - b->plane);
}

// The outline of a block at part t of the way from low to high, as a ring with its sides on the
// plan.
static bool lay_ring(hw_build *b, const hw_block *k, double t, hw_ring *out) // [1]
{
    size_t n = k->at[0].n;
    out->points = n;
    out->point = HW_NEW(b->work, uint32_t, n);
    if (!out->point) return false;
    for (size_t i = 0; i < n; i++) {
        hw_vec2 low = k->at[0].at[i], high = k->at[1].at[i];
        hw_vec2 p = hw_add(low, hw_scale(hw_sub(high, low), t));
        if (t <= 0) p = low;
        if (t >= 1) p = high;
        out->point[i] = hw_plan_vert(&b->plan, on_grid(b, 0, p.x), on_grid(b, 2, p.z));
        if (out->point[i] == HW_PLAN_NONE) return false;
    }
    hw_int128 area2 = 0;
    for (size_t i = 0; i < n; i++) {
        size_t j = i + 1 < n ? i + 1 : 0;
        if (!hw_plan_side(&b->plan, out->point[i], out->point[j])) return false;
        area2 += hw_plan_cross(b->plan.at[out->point[0]], b->plan.at[out->point[i]],
                               b->plan.at[out->point[j]]);
    }
    out->sense = (area2 > 0) - (area2 < 0);
    return true;
}

static bool same_points(const hw_ring *a, const hw_ring *b)
{
    return memcmp(a->point, b->point, a->points * sizeof *a->point) == 0;
}

static bool lay_course(hw_build *b, const hw_block *k, hw_course *c)
{
    c->op = k->op;
    c->first = plane_of(b, k->y[0]);
    c->last = plane_of(b, k->y[1]);
    size_t rings = c->last - c->first + 1;
    c->ring = HW_NEW(b->work, hw_ring, rings);
    if (!c->ring || !lay_ring(b, k, 0, &c->ring[0])) return false;
    c->plate = rings == 1 || k->at[0].at == k->at[1].at;
    if (c->plate) return true;
    if (!lay_ring(b, k, 1, &c->ring[rings - 1])) return false;
    c->plate = same_points(&c->ring[0], &c->ring[rings - 1]);
    double low = b->plane[c->first], high = b->plane[c->last];
    for (size_t i = 1; !c->plate && i + 1 < rings; i++) {
        double t = (b->plane[c->first + i] - low) / (high - low);
        if (!lay_ring(b, k, t, &c->ring[i])) return false;
    }
    return true;
}

hw_code hw_build_ground(hw_build *b, const hw_solid *solid, const hw_mesh_def *def, double *low,
                        double *high)
{
    if (!(def->unit > 0) || !isfinite(def->unit) || def->bits < 10 || def->bits > 22)
        return HW_BAD_INPUT;
    box x = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
    for (size_t i = 0; i < solid->blocks; i++) {
        if (block_good(&solid->block[i], &x)) continue;
        b->made->bad_block = i;
        return HW_BAD_INPUT;
    }
    if (solid->blocks == 0) return HW_OK;
    if (!choose_grid(b, &x, def)) return HW_BAD_INPUT;
    b->made->grid = b->grid;
    *low = x.low[1];
    *high = x.high[1];
    return HW_OK;
}

hw_code hw_build_plan(hw_build *b, const hw_solid *solid)
{
    hw_code code = hw_plan_begin(&b->plan, b->work, b->extent);
    if (code != HW_OK) return code;
    b->courses = solid->blocks;
    b->course = HW_NEW(b->work, hw_course, b->courses);
    if (!b->course || !choose_planes(b, solid)) return HW_NO_MEMORY;
    for (size_t i = 0; i < b->courses; i++)
        if (!lay_course(b, &solid->block[i], &b->course[i])) return HW_NO_MEMORY;
    return HW_OK;
}

// True when every edge is run as often from a to b as back.
static bool runs_back(hw_build *b, const hw_ring *r, size_t steps)
{
    bool back = true;
    for (size_t k = 0; k < steps; k++) b->net[r->step[k] / 2] += r->step[k] & 1 ? -1 : 1;
    for (size_t k = 0; k < steps; k++) back = back && b->net[r->step[k] / 2] == 0;
    for (size_t k = 0; k < steps; k++) b->net[r->step[k] / 2] = 0;
    return back;
}

static bool ring_steps(hw_build *b, hw_ring *r)
{
    uint32_t *chain = NULL;
    size_t room = 0, steps = 0, steps_room = 0;
    r->start = HW_NEW(b->work, size_t, r->points + 1);
    if (!r->start) return false;
    r->simple = true;
    b->visits++;
    for (size_t i = 0; i < r->points; i++) {
        r->start[i] = steps;
        size_t n = 0;
        uint32_t from = r->point[i], to = r->point[i + 1 < r->points ? i + 1 : 0];
        if (!hw_plan_chain(&b->plan, from, to, &chain, &n, &room)) return false;
        if (!HW_ROOM(b->work, r->step, steps, steps_room, steps + n)) return false;
        for (size_t k = 0; k + 1 < n; k++) {
            uint32_t e = hw_plan_find(&b->plan, chain[k], chain[k + 1]);
            if (b->visit[chain[k]] == b->visits) r->simple = false;
            b->visit[chain[k]] = b->visits;
            r->step[steps++] = 2 * e + (b->plan.edge[e].a == chain[k] ? 0 : 1);
        }
    }
    r->start[r->points] = steps;
    r->flat = r->sense == 0 && runs_back(b, r, steps);
    return true;
}

hw_code hw_build_steps(hw_build *b)
{
    b->visit = HW_NEW(b->work, uint32_t, b->plan.verts);
    b->net = HW_NEW(b->work, int32_t, b->plan.edges);
    if (!b->visit || !b->net) return HW_NO_MEMORY;
    for (size_t i = 0; i < b->courses; i++) {
        hw_course *c = &b->course[i];
        size_t rings = c->plate ? 1 : c->last - c->first + 1;
        for (size_t k = 0; k < rings; k++)
            if (!ring_steps(b, &c->ring[k])) return HW_NO_MEMORY;
    }
    return HW_OK;
}
