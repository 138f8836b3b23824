// Conjugate gradients for the displacements of a part under its loads.
#include "print/voxel_internal.h"

#include "base/par.h"

#include <math.h>
#include <string.h>

enum { CHUNK = 32768 };

hw_voxel_def hw_voxel_def_default(void)
{
    return (hw_voxel_def){.tolerance = 1e-7, .most_iterations = 1000, .unbalanced = 1e-6};
}

typedef struct sums {
    const double *a, *b, *scale; // scale NULL: 1
    double *part;                // of each chunk
} sums;

static void sum_chunk(void *self, size_t begin, size_t end)
{
    const sums *s = self;
    double sum = 0;
    if (s->scale)
        for (size_t i = begin; i < end; i++) sum += s->a[i] * s->b[i] * s->scale[i];
    else
        for (size_t i = begin; i < end; i++) sum += s->a[i] * s->b[i];
    s->part[begin / CHUNK] = sum;
}

// Sum of a b scale, chunk by chunk and then in order.
static double product(sums *s, size_t n)
{
    double sum = 0;
    hw_par_for(n, CHUNK, sum_chunk, s);
    for (size_t i = 0; i < (n + CHUNK - 1) / CHUNK; i++) sum += s->part[i];
    return sum;
}

typedef struct step {
    double *u, *p;
    const double *q;
    hw_level *l;
    double alpha, beta;
} step;

static void advance_chunk(void *self, size_t begin, size_t end)
{
    const step *s = self;
    for (size_t i = begin; i < end; i++) {
        s->u[i] += s->alpha * s->p[i];
        s->l->b[i] -= s->alpha * s->q[i];
    }
}

static void turn_chunk(void *self, size_t begin, size_t end)
{
    const step *s = self;
    for (size_t i = begin; i < end; i++) s->p[i] = s->l->x[i] + s->beta * s->p[i];
}

static void scale_chunk(void *self, size_t begin, size_t end)
{
    hw_level *l = self;
    for (size_t i = begin; i < end; i++) l->x[i] = l->inverse[i] * l->b[i];
}

typedef struct descent {
    hw_ladder *m;
    double *u, *p, *part;
    const hw_voxel_def *def;
    hw_voxel_answer *out;
} descent;

static void precondition(const descent *d)
{
    hw_level *l = &d->m->level[0];
    if (d->def->plain)
        hw_par_for(3 * l->nodes, CHUNK, scale_chunk, l);
    else
        hw_ladder_cycle(d->m);
}

// The residual is the first grid's b throughout, its x the preconditioned one, its q the product.
// Sizes of residuals are measured over the diagonal.
static hw_code descend(const descent *d)
{
    hw_level *l = &d->m->level[0];
    size_t n = 3 * l->nodes;
    sums size = {l->b, l->b, l->inverse, d->part}, pq = {d->p, l->q, NULL, d->part};
    sums rz = {l->b, l->x, NULL, d->part};
    double start = sqrt(product(&size, n)), old = 0;
    d->out->residual = start > 0 ? 1 : 0;
    step s = {.u = d->u, .p = d->p, .q = l->q, .l = l};
    while (d->out->residual > d->def->tolerance) {
        if (d->out->iterations == d->def->most_iterations) return HW_NOT_CONVERGED;
        d->m->fraction = fmax(0, fmin(1, log(d->out->residual) / log(d->def->tolerance)));
        if (!hw_ladder_go_on(d->m)) return HW_CANCELLED;
        precondition(d);
        if (d->m->stopped) return HW_CANCELLED;
        double now = product(&rz, n);
        s.beta = old > 0 ? now / old : 0;
        old = now;
        hw_par_for(n, CHUNK, turn_chunk, &s);
        hw_level_apply(l, d->p, l->q);
        double curve = product(&pq, n);
        if (!(curve > 0) || !(now > 0)) return HW_NOT_CONVERGED;
        s.alpha = now / curve;
        hw_par_for(n, CHUNK, advance_chunk, &s);
        d->out->iterations++;
        d->out->residual = sqrt(product(&size, n)) / start;
    }
    return HW_OK;
}

static void give_out(const hw_voxels *v, const hw_level *l, const double *u, double *moved)
{
    for (size_t k = 0; k <= v->n[2]; k++)
        for (size_t j = 0; j <= v->n[1]; j++)
            for (size_t i = 0; i <= v->n[0]; i++)
                for (size_t c = 0; c < 3; c++)
                    moved[3 * ((k * (v->n[1] + 1) + j) * (v->n[0] + 1) + i) + c] =
                        u[c * l->nodes + k * l->layer + j * l->row + i];
}

static hw_code solve(hw_arena *work, const hw_voxel_problem *p, const hw_voxel_def *def,
                     const hw_job *job, hw_voxel_answer *out)
{
    hw_cell cell;
    hw_code code = hw_cell_of(&p->stuff, &cell);
    if (code != HW_OK) return code;
    hw_ladder *m = HW_NEW(work, hw_ladder, 1);
    if (!m) return HW_NO_MEMORY;
    m->job = job;
    code = hw_ladder_of(work, p->voxels, &cell, m);
    if (code != HW_OK) return code;
    hw_level *top = &m->level[0];
    hw_voxel_frame frame = {p, top, top->b, HW_NEW(work, uint8_t, top->nodes)};
    descent d = {m,
                 HW_NEW(work, double, 3 * top->nodes),
                 HW_NEW(work, double, 3 * top->nodes),
                 HW_NEW(work, double, 3 * top->nodes / CHUNK + 1),
                 def,
                 out};
    double *load = HW_NEW(work, double, 3 * top->nodes);
    if (hw_arena_failed(work)) return HW_NO_MEMORY;
    code = hw_voxel_hold(&frame, out);
    if (code == HW_OK) code = hw_ladder_hold(work, frame.held, def->plain, m);
    if (code == HW_OK) code = hw_voxel_load_all(&frame, out);
    if (code != HW_OK) return code;
    for (size_t i = 0; i < 3 * top->nodes; i++) out->unknowns += top->inverse[i] > 0;
    hw_loose loose;
    hw_loose_of(&frame, &loose);
    out->loose = loose.ways;
    out->unbalanced = hw_loose_remove(&frame, &loose, top->b);
    if (!(out->unbalanced <= def->unbalanced)) return HW_BAD_INPUT;
    memcpy(load, top->b, 3 * top->nodes * sizeof(double));
    code = descend(&d);
    hw_loose_remove(&frame, &loose, d.u);
    for (size_t i = 0; i < 3 * top->nodes; i++) out->work += 0.5 * load[i] * d.u[i];
    give_out(p->voxels, top, d.u, out->moved);
    return code;
}

hw_code hw_voxel_solve(hw_arena *keep, hw_arena *work, const hw_voxel_problem *p,
                       const hw_voxel_def *def, const hw_job *job, hw_voxel_answer *out)
{
    *out = (hw_voxel_answer){.residual = 1, .bad_load = SIZE_MAX, .bad_support = SIZE_MAX};
    if (!p->voxels || !p->voxels->cells || !(def->tolerance > 0) || !def->most_iterations ||
        !(def->unbalanced >= 0))
        return HW_BAD_INPUT;
    const size_t *n = p->voxels->n;
    out->moved = HW_NEW(keep, double, 3 * (n[0] + 1) * (n[1] + 1) * (n[2] + 1));
    if (!out->moved) return HW_NO_MEMORY;
    size_t mark = hw_arena_mark(work);
    hw_code code = solve(work, p, def, job, out);
    hw_arena_rewind(work, mark);
    return code;
}
