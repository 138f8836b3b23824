// The search for slots, levers and horns: walks from places at random, and from those of their ends
// that go together.
#include "palm/pack_walk_internal.h"

#include "base/par.h"

#include <string.h>

enum { SLICE = 64, ABREAST = 4, POOL = 96, CROSSINGS = ABREAST - 1, NODES = 2000000 };

// In lengths of the palm: heat of walks from crossings and from where items are, of every second of
// the latter, and of walks from the best; items that stand alike.
static const double warm = 0.012, cool = 0.004, mild = 1.5e-3, near = 0.06; // [1]

// ---- crossings

// Where the items stood at the ends of walks: what one walk found for one item may go with what
// another found for the next.
typedef struct pool {
    hw_spot *at[HW_PACK_MOST];
    double
        *pair[HW_PACK_MOST][HW_PACK_MOST]; // of two items' spots, the first item's the lesser [m]
    bool warmed[POOL];                     // it is the end of a walk from a crossing
    size_t n;                              // of each item
} pool;

typedef struct crossing {
    size_t at[HW_PACK_MOST];
    double cost; // [m]
} crossing;

static bool pool_of(hw_arena *a, size_t items, pool *p)
{
    *p = (pool){.n = 0};
    for (size_t i = 0; i < items; i++) {
        p->at[i] = HW_NEW(a, hw_spot, POOL);
        if (!p->at[i]) return false;
        for (size_t k = i + 1; k < items; k++) {
            p->pair[i][k] = HW_NEW(a, double, (size_t)POOL *POOL);
            if (!p->pair[i][k]) return false;
        }
    }
    return true;
}

// The end of a walk, in place of an older one where the pool is full.
static void put(const hw_finder *f, pool *p, size_t at, bool warmed, const hw_walk *w)
{
    p->warmed[at] = warmed;
    for (size_t i = 0; i < f->n; i++) p->at[i][at] = w->best[i];
    if (p->n <= at) p->n = at + 1;
    for (size_t i = 0; i < f->n; i++)
        for (size_t k = i + 1; k < f->n; k++)
            for (size_t m = 0; m < p->n; m++) {
                p->pair[i][k][at * POOL + m] = hw_spots_lack(f, &p->at[i][at], &p->at[k][m]);
                p->pair[i][k][m * POOL + at] = hw_spots_lack(f, &p->at[i][m], &p->at[k][at]);
            }
}

// Depth first for the CROSSINGS crossings that cost least.
typedef struct crosser {
    const hw_finder *f;
    const pool *p;
    crossing best[CROSSINGS], now;
    long nodes;
} crosser;

// Whether all items stand alike in two crossings, and near each other.
static bool alike(const crosser *c, const crossing *a, const crossing *b)
{
    for (size_t i = 0; i < c->f->n; i++) {
        const hw_servo_slot *s = &c->p->at[i][a->at[i]].item.slot;
        const hw_servo_slot *t = &c->p->at[i][b->at[i]].item.slot;
        if (s->shaft != t->shaft || s->body != t->body || s->horn != t->horn) return false;
        if (hw_vec3_norm(hw_vec3_sub(s->at, t->at)) > near * c->f->length) return false;
    }
    return true;
}

static double limit_of(const crosser *c) // [m]
{
    double most = 0;
    for (int k = 0; k < CROSSINGS; k++) most = fmax(most, c->best[k].cost);
    return most;
}

// In the place of one alike, or of the worst. One alike to where a walk from another crossing has
// ended would end there again.
static void keep_crossing(crosser *c, double cost) // [m]
{
    crossing end;
    for (size_t m = 0; m < c->p->n; m++) {
        for (size_t i = 0; i < c->f->n; i++) end.at[i] = m;
        if (c->p->warmed[m] && alike(c, &end, &c->now)) return;
    }
    const hw_spot *all[HW_PACK_MOST];
    for (size_t i = 0; i < c->f->n; i++) all[i] = &c->p->at[i][c->now.at[i]];
    c->now.cost = cost + hw_finder_more(c->f, all);
    crossing *to = NULL;
    for (int k = 0; k < CROSSINGS; k++) {
        crossing *b = &c->best[k];
        if (isfinite(b->cost) && alike(c, b, &c->now)) {
            to = b;
            break;
        }
        if (!to || b->cost > to->cost) to = b;
    }
    if (c->now.cost < to->cost) *to = c->now;
}

static void cross(crosser *c, size_t i, double cost) // [m]
{
    if (!(cost < limit_of(c)) || c->nodes-- < 0) return;
    if (i == c->f->n) {
        keep_crossing(c, cost);
        return;
    }
    for (size_t m = 0; m < c->p->n; m++) {
        double sum = cost + c->p->at[i][m].own;
        for (size_t k = 0; k < i; k++) sum += c->p->pair[k][i][c->now.at[k] * POOL + m];
        c->now.at[i] = m;
        cross(c, i + 1, sum);
    }
}

static void cross_all(const hw_finder *f, const pool *p, crosser *c)
{
    *c = (crosser){.f = f, .p = p, .nodes = NODES};
    for (int k = 0; k < CROSSINGS; k++) c->best[k].cost = INFINITY;
    cross(c, 0, 0);
}

// ---- all walks

typedef struct searcher {
    hw_finder f;
    const hw_pack_effort *effort;
    const hw_job *job;
    hw_walk walk[ABREAST];
    size_t walks; // begun so far
    pool pool;
    crosser cross;
    hw_spot best[HW_PACK_MOST];
    double lacks; // of the best [m]
} searcher;

static hw_rng next_rng(searcher *s)
{
    return hw_rng_new(s->effort->seed, s->walks++);
}

static void slice(void *self, size_t from, size_t to)
{
    for (size_t i = from; i < to; i++) hw_walk_on((hw_walk *)self + i, SLICE);
}

// Walks beside each other, step by step, until all are done or one lacks nothing; their ends go
// into the pool. False: asked to stop.
static bool run(searcher *s, size_t n, bool warmed)
{
    const double before = (double)(s->walks - n), all = 2 * (double)s->effort->starts;
    bool whole = true;
    for (bool go = n > 0; go;) {
        double gone = (double)s->walk[0].step / (double)s->f.steps * (double)n;
        whole = hw_job_go_on(s->job, fmin((before + gone) / all, 1), "servos");
        if (!whole) break;
        hw_par_for(n, 1, slice, s->walk);
        go = false;
        for (size_t k = 0; k < n; k++) go = go || !hw_walk_done(&s->walk[k]);
        for (size_t k = 0; k < n; k++) go = go && s->walk[k].least > 0;
    }
    for (size_t k = 0; k < n; k++) {
        const hw_walk *w = &s->walk[k];
        put(&s->f, &s->pool, (s->walks - n + k) % POOL, warmed, w);
        if (!(w->least < s->lacks)) continue;
        s->lacks = w->least;
        memcpy(s->best, w->best, s->f.n * sizeof *s->best);
    }
    return whole;
}

// From places at random.
static bool run_hot(searcher *s)
{
    for (size_t k = 0; k < ABREAST; k++) hw_walk_anywhere(&s->f, next_rng(s), &s->walk[k]);
    return run(s, ABREAST, false);
}

// From where the items are.
static bool run_near(searcher *s)
{
    for (size_t k = 0; k < ABREAST; k++)
        hw_walk_near(&s->f, next_rng(s), (k % 2 ? warm : cool) * s->f.length, &s->walk[k]);
    return run(s, ABREAST, false);
}

// From crossings of what was found, and from the best.
static bool run_warm(searcher *s)
{
    const hw_spot *from[HW_PACK_MOST];
    const double length = s->f.length;
    size_t n = 0;
    cross_all(&s->f, &s->pool, &s->cross);
    for (size_t k = 0; k < CROSSINGS; k++) {
        const crossing *c = &s->cross.best[k];
        if (isinf(c->cost)) continue;
        for (size_t i = 0; i < s->f.n; i++) from[i] = &s->pool.at[i][c->at[i]];
        hw_walk_from(&s->f, next_rng(s), from, warm * length, &s->walk[n++]);
    }
    for (size_t i = 0; i < s->f.n; i++) from[i] = &s->best[i];
    hw_walk_from(&s->f, next_rng(s), from, mild * length, &s->walk[n++]);
    return run(s, n, true);
}

hw_code hw_pack_find(hw_arena *a, const hw_pack_def *def, const hw_pack_free *free,
                     const hw_pack_effort *effort, const hw_job *job, hw_pack_item item[],
                     double *lacks)
{
    *lacks = (double)NAN;
    if (!hw_pack_sound(def) || def->items > HW_PACK_MOST || def->items == 0 || effort->steps < 1 ||
        effort->starts < 1)
        return HW_BAD_INPUT;
    searcher *s = HW_NEW(a, searcher, 1);
    if (!s || !hw_finder_of(a, def, free, effort->steps, &s->f) ||
        !pool_of(a, def->items, &s->pool))
        return HW_NO_MEMORY;
    s->effort = effort;
    s->job = job;
    s->lacks = INFINITY;
    bool whole = true;
    for (size_t start = 0; start < effort->starts && s->lacks > 0 && whole; start += ABREAST) {
        whole = start == 0 && effort->near ? run_near(s) : run_hot(s);
        if (whole && s->lacks > 0) whole = run_warm(s);
    }
    if (isinf(s->lacks)) return HW_CANCELLED;
    for (size_t i = 0; i < def->items; i++) item[i] = s->best[i].item;
    *lacks = fmax(s->lacks, 0);
    return whole ? HW_OK : HW_CANCELLED;
}
