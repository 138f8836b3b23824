// Balances of all bodies at once. With f the loop equations, the forces of the joints on the bodies
// are J^T k for multipliers k, so that J^T k = -loads. In the order of the equations, k holds pin
// forces (of a on b), slider forces and couples, and the drives' efforts on b.
#include "linkage/dense.h"
#include "linkage/loops.h"

#include <math.h>
#include <string.h>

static const double RANK_TOLERANCE = 1e-9;

hw_code hw_mech_forces_new(hw_arena *a, const hw_mech *m, hw_mech_forces *out)
{
    *out = (hw_mech_forces){0};
    out->pin = HW_NEW(a, hw_vec2, m->pins);
    out->slider_normal = HW_NEW(a, double, m->sliders);
    out->slider_couple = HW_NEW(a, double, m->sliders);
    out->driver = HW_NEW(a, double, m->drivers);
    return hw_arena_failed(a) ? HW_NO_MEMORY : HW_OK;
}

typedef struct balance {
    hw_loops loops;
    size_t n, rows;
    double *x, *f, *j;
    double *square; // eliminated rows x n
    double *left;   // n x n, the transposed balance of independent equations
    double *load, *k, *work, *all;
    int *row, *col, *order;
} balance;

static hw_code balance_new(const hw_mech *m, hw_arena *a, balance *q)
{
    hw_code code = hw_loops_new(m, a, &q->loops);
    if (code != HW_OK) return code;
    size_t n = q->n = q->loops.n, rows = q->rows = q->loops.equations;
    q->x = HW_NEW(a, double, n + 1);
    q->f = HW_NEW(a, double, rows);
    q->j = HW_NEW(a, double, rows *(n + 1));
    q->square = HW_NEW(a, double, rows *n);
    q->left = HW_NEW(a, double, n *n);
    q->load = HW_NEW(a, double, n);
    q->k = HW_NEW(a, double, n);
    q->work = HW_NEW(a, double, n);
    q->all = HW_NEW(a, double, rows);
    q->row = HW_NEW(a, int, rows);
    q->col = HW_NEW(a, int, n);
    q->order = HW_NEW(a, int, n);
    return hw_arena_failed(a) ? HW_NO_MEMORY : HW_OK;
}

// Generalized loads. Scaled unknowns make forces count times the length; so do the multipliers of
// lengthwise equations.
static hw_code gather_loads(balance *q, const hw_body_pose pose[], const hw_mech_load load[],
                            size_t loads)
{
    for (size_t i = 0; i < loads; i++) {
        const hw_mech_load *one = &load[i];
        if (one->body < 0 || (size_t)one->body >= q->loops.m->bodies) return HW_BAD_INPUT;
        hw_vec2 arm = hw_flexed(one->at, pose[one->body].angle);
        double moment = hw_moment(arm, one->force) + one->couple;
        if (!isfinite(moment)) return HW_BAD_INPUT;
        if (one->body == 0) continue; // the ground takes it
        double *at = q->load + 3 * (size_t)(one->body - 1);
        at[0] += one->force.x * q->loops.length;
        at[1] += one->force.z * q->loops.length;
        at[2] += moment;
    }
    return HW_OK;
}

static void eliminate(balance *q, size_t *rank)
{
    size_t n = q->n;
    for (size_t i = 0; i < q->rows; i++)
        memcpy(q->square + i * n, q->j + i * (n + 1), n * sizeof(double));
    *rank = hw_rank(q->square, q->rows, n, RANK_TOLERANCE, q->row, q->col);
}

// J^T k = -load with the first n rows of q->row.
static bool solve_independent(balance *q)
{
    size_t n = q->n;
    for (size_t i = 0; i < n; i++)
        memcpy(q->left + i * n, q->j + (size_t)q->row[i] * (n + 1), n * sizeof(double));
    if (!(fabs(hw_lu_factor(q->left, n, q->order)) > 0)) return false;
    for (size_t i = 0; i < n; i++) q->load[i] = -q->load[i];
    hw_lu_solve_transposed(q->left, n, q->order, q->load, q->k, q->work);
    return true;
}

// An independent equation's multiplier is undetermined where some repeated equation leans on it:
// that equation's row is a combination of the independent ones, c^T J_independent.
static void mark_undetermined(balance *q)
{
    size_t n = q->n;
    for (size_t i = 0; i < q->rows; i++) q->all[i] = NAN;
    for (size_t i = 0; i < n; i++) q->all[q->row[i]] = q->k[i];
    for (size_t r = n; r < q->rows; r++) {
        const double *repeated = q->j + (size_t)q->row[r] * (n + 1);
        hw_lu_solve_transposed(q->left, n, q->order, repeated, q->k, q->work);
        double most = 0;
        for (size_t i = 0; i < n; i++) most = fmax(most, fabs(q->k[i]));
        for (size_t i = 0; i < n; i++)
            if (fabs(q->k[i]) > 1e-7 * most) q->all[q->row[i]] = NAN;
    }
}

static void hand_out(const balance *q, hw_mech_forces *out)
{
    const hw_mech *m = q->loops.m;
    double length = q->loops.length;
    const double *k = q->all;
    for (size_t i = 0; i < m->pins; i++, k += 2)
        out->pin[i] = (hw_vec2){k[0] / length, k[1] / length};
    for (size_t i = 0; i < m->sliders; i++) {
        out->slider_normal[i] = *k++ / length;
        out->slider_couple[i] = m->slider[i].keyed ? *k++ : 0;
    }
    for (size_t i = 0; i < m->drivers; i++)
        out->driver[i] = *k++ / (m->driver[i].slider < 0 ? 1 : length);
    out->undetermined = 0;
    for (size_t i = 0; i < q->rows; i++)
        if (isnan(q->all[i])) out->undetermined++;
}

static hw_code balance_at(balance *q, const hw_body_pose pose[], const hw_mech_load load[],
                          size_t loads)
{
    hw_code code = gather_loads(q, pose, load, loads);
    if (code != HW_OK) return code;
    hw_loops_pack(&q->loops, pose, 0, q->x);
    for (size_t i = 0; i <= q->n; i++)
        if (!isfinite(q->x[i])) return HW_BAD_INPUT;
    hw_loops_at(&q->loops, q->x, q->f, q->j);
    size_t rank;
    eliminate(q, &rank);
    if (rank < q->n || !solve_independent(q)) return HW_NO_ASSEMBLY;
    mark_undetermined(q);
    return HW_OK;
}

hw_code hw_mech_balance(const hw_mech *m, hw_arena *a, const hw_body_pose pose[],
                        const hw_mech_load load[], size_t loads, hw_mech_forces *out)
{
    size_t mark = hw_arena_mark(a);
    balance q;
    hw_code code = balance_new(m, a, &q);
    if (code == HW_OK) {
        code = balance_at(&q, pose, load, loads);
        for (size_t i = 0; code != HW_OK && i < q.rows; i++) q.all[i] = NAN;
        hand_out(&q, out);
    }
    hw_arena_rewind(a, mark);
    return code;
}
