// One step along a mechanism's motion: predict along the tangent, correct square to it.
#include "linkage/dense.h"
#include "linkage/walk_internal.h"

#include <math.h>
#include <string.h>

static const double RANK_TOLERANCE = 1e-9;

double hw_dot_of(const double a[], const double b[], size_t n)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++) sum += a[i] * b[i];
    return sum;
}

double hw_norm_of(const double v[], size_t n)
{
    return sqrt(hw_dot_of(v, v, n));
}

static hw_node node_new(hw_arena *a, size_t wide)
{
    return (hw_node){
        .x = HW_NEW(a, double, wide), .t = HW_NEW(a, double, wide), .k = HW_NEW(a, double, wide)};
}

hw_code hw_walker_new(const hw_mech *m, hw_arena *a, hw_walker *out)
{
    *out = (hw_walker){0};
    hw_code code = hw_loops_new(m, a, &out->loops);
    if (code != HW_OK) return code;
    size_t n = out->n = out->loops.n, wide = out->wide = n + 1, rows = out->loops.equations;
    out->repeated = rows > n;
    out->row = HW_NEW(a, int, rows + 1);
    out->at = node_new(a, wide);
    out->next = node_new(a, wide);
    out->probe = node_new(a, wide);
    out->pose = HW_NEW(a, double, wide);
    out->f = HW_NEW(a, double, rows);
    out->j = HW_NEW(a, double, rows *wide);
    out->square = HW_NEW(a, double, (rows + wide) * wide);
    out->right = HW_NEW(a, double, rows + wide);
    out->move = HW_NEW(a, double, wide);
    out->guess = HW_NEW(a, double, wide);
    out->spare = HW_NEW(a, double, 3 * wide);
    out->order = HW_NEW(a, int, wide);
    out->choice = HW_NEW(a, int, rows + 1);
    out->column = HW_NEW(a, int, wide);
    if (hw_arena_failed(a)) return HW_NO_MEMORY;
    for (size_t i = 0; i < rows && i < n; i++) out->row[i] = (int)i;
    return HW_OK;
}

size_t hw_walker_choose(hw_walker *w, const double x[], size_t columns)
{
    size_t rows = w->loops.equations;
    hw_loops_at(&w->loops, x, w->f, w->j);
    for (size_t i = 0; i < rows; i++)
        memcpy(w->square + i * columns, w->j + i * w->wide, columns * sizeof(double));
    size_t rank = hw_rank(w->square, rows, columns, RANK_TOLERANCE, w->choice, w->column);
    size_t take = rank < w->n ? rank : w->n;
    if (take < w->n || !w->repeated) return take; // nothing to choose
    // In rising order, so that the choice keeps its sign from step to step.
    size_t k = 0;
    for (size_t i = 0; i < rows; i++)
        for (size_t c = 0; c < take; c++)
            if (w->choice[c] == (int)i) w->row[k++] = (int)i;
    return take;
}

double hw_walker_disagrees(const hw_walker *w)
{
    double worst = 0;
    for (size_t i = 0; i < w->loops.equations; i++) worst = fmax(worst, fabs(w->f[i]));
    return worst;
}

// The rows in use as a matrix of `columns` columns, and their residuals on the right.
static void gather(hw_walker *w, size_t columns)
{
    for (size_t i = 0; i < w->n; i++) {
        size_t from = (size_t)w->row[i];
        memcpy(w->square + i * columns, w->j + from * w->wide, columns * sizeof(double));
        w->right[i] = w->f[from];
    }
}

static double residual_norm(hw_walker *w, const double x[])
{
    hw_loops_at(&w->loops, x, w->f, NULL);
    double sum = 0;
    for (size_t i = 0; i < w->n; i++) {
        double f = w->f[w->row[i]];
        sum += f * f;
    }
    return sqrt(sum);
}

// Newton's step halved until the residual falls. false where not even a small part of it helps.
static bool damp(hw_walker *w, double x[], double before)
{
    memcpy(w->guess, x, w->wide * sizeof(double));
    double share = 1;
    for (int half = 0; half < 20; half++, share *= 0.5) {
        for (size_t i = 0; i < w->n; i++) x[i] = w->guess[i] - share * w->move[i];
        double after = residual_norm(w, x);
        if (after <= (1 - 0.25 * share) * before) return true;
    }
    return false;
}

// Newton's correction at x into w->move, its size into *move, the residual's size into *left. false
// where the pose is singular.
static bool correction(hw_walker *w, const double x[], double *left, double *move)
{
    hw_loops_at(&w->loops, x, w->f, w->j);
    gather(w, w->n);
    w->iterations++;
    *left = hw_norm_of(w->right, w->n);
    if (!(fabs(hw_lu_factor(w->square, w->n, w->order)) > 0)) return false;
    hw_lu_solve(w->square, w->n, w->order, w->right, w->move);
    *move = hw_norm_of(w->move, w->n);
    return isfinite(*move);
}

bool hw_walker_approach(hw_walker *w, double x[])
{
    for (int pass = 0; pass < 100; pass++) {
        if (w->repeated && hw_walker_choose(w, x, w->n) < w->n) return false;
        double left, move;
        if (!correction(w, x, &left, &move)) return false;
        if (left <= 1e-9) return hw_walker_settle(w, x);
        if (!damp(w, x, left)) return false;
    }
    return false;
}

bool hw_walker_settle(hw_walker *w, double x[])
{
    double last = INFINITY;
    for (int pass = 0; pass < 12; pass++) {
        double left, move;
        // Exactly singular, but closed: a pose on a dead point.
        if (!correction(w, x, &left, &move)) return left <= HW_WALK_CLOSED;
        for (size_t i = 0; i < w->n; i++) x[i] -= w->move[i];
        // What is left is the square of this times the conditioning, less than rounding times the
        // conditioning. Or the corrections have stopped shrinking: that is rounding itself.
        bool stalled = move > 0.5 * last;
        if (move <= 1e-9 || (left <= 1e-9 && stalled)) {
            hw_loops_at(&w->loops, x, w->f, NULL);
            return hw_walker_disagrees(w) <= HW_WALK_CLOSED;
        }
        if (pass > 1 && stalled) return false;
        last = move;
    }
    return false;
}

// The unit tangent from the factors of (rows; old tangent): the solution for the last unit vector
// points the way the old tangent did.
static bool tangent_from_factors(hw_walker *w, double t[])
{
    for (size_t i = 0; i < w->n; i++) w->right[i] = 0;
    w->right[w->n] = 1;
    hw_lu_solve(w->square, w->wide, w->order, w->right, t);
    double norm = hw_norm_of(t, w->wide);
    if (!isfinite(norm) || !(norm > 0)) return false;
    for (size_t i = 0; i < w->wide; i++) t[i] /= norm;
    return true;
}

// The curvature at a node from factors of (rows; some tangent near it): J k = -(what t alone makes
// of d2f), square to t.
static void curvature_from_factors(hw_walker *w, hw_node *node)
{
    hw_loops_turning(&w->loops, node->x, node->t, w->f);
    for (size_t i = 0; i < w->n; i++) w->right[i] = -w->f[w->row[i]];
    w->right[w->n] = 0;
    hw_lu_solve(w->square, w->wide, w->order, w->right, node->k);
    double along = hw_dot_of(node->k, node->t, w->wide);
    for (size_t i = 0; i < w->wide; i++) node->k[i] -= along * node->t[i];
}

static double factor_bordered(hw_walker *w, const double border[])
{
    gather(w, w->wide);
    memcpy(w->square + w->n * w->wide, border, w->wide * sizeof(double));
    return hw_lu_factor(w->square, w->wide, w->order);
}

bool hw_walker_reach(hw_walker *w, double step, hw_node *out)
{
    const double *x0 = w->at.x, *t0 = w->at.t;
    // A bend of a tenth over the step is none: beside a branch point the curvature is lost to
    // rounding.
    double bend = 0.5 * fabs(step) * hw_norm_of(w->at.k, w->wide) < 0.05 ? 0.5 * step : 0;
    for (size_t i = 0; i < w->wide; i++) out->x[i] = x0[i] + step * (t0[i] + bend * w->at.k[i]);
    out->step = step;
    double last = INFINITY;
    for (int pass = 0; pass < 10; pass++) {
        hw_loops_at(&w->loops, out->x, w->f, w->j);
        out->test = factor_bordered(w, t0);
        w->iterations++;
        if (!(fabs(out->test) > 0)) return false;
        double along = -step;
        for (size_t i = 0; i < w->wide; i++) along += t0[i] * (out->x[i] - x0[i]);
        w->right[w->n] = along;
        hw_lu_solve(w->square, w->wide, w->order, w->right, w->move);
        double move = hw_norm_of(w->move, w->wide);
        if (pass == 0) out->first_step = move;
        if (!isfinite(move) || move > 0.3 * fabs(step)) return false;
        for (size_t i = 0; i < w->wide; i++) out->x[i] -= w->move[i];
        if (move <= 1e-13 || (move <= 1e-8 && move > 0.25 * last)) {
            if (!tangent_from_factors(w, out->t)) return false;
            curvature_from_factors(w, out);
            return true;
        }
        if (move > 0.5 * last) return false;
        last = move;
    }
    return false;
}

// Three signs that a step stayed on its motion: the tangent turned by less than about a seventh of
// a right angle, the corrector had little to do, and the chord points between the two tangents (on
// a circle exactly; a step onto a neighbouring motion shows here).
bool hw_walker_trusts(hw_walker *w, const hw_node *node)
{
    const double *t0 = w->at.t, *t1 = node->t;
    double turn = hw_dot_of(t0, t1, w->wide);
    if (turn < 0.975) return false; // 13 degrees
    if (node->first_step > 0.1 * fabs(node->step)) return false;
    double chord2 = 0, mean2 = 0, both = 0;
    for (size_t i = 0; i < w->wide; i++) {
        double chord = node->x[i] - w->at.x[i], mean = t0[i] + t1[i];
        chord2 += chord * chord;
        mean2 += mean * mean;
        both += chord * mean;
    }
    return fabs(both) > 0.9995 * sqrt(chord2 * mean2); // 1.8 degrees
}

bool hw_walker_start(hw_walker *w, double way)
{
    if (hw_walker_choose(w, w->at.x, w->n) < w->n) return false;
    double *border = w->spare;
    memset(border, 0, w->wide * sizeof(double));
    border[w->n] = way;
    hw_loops_at(&w->loops, w->at.x, w->f, w->j);
    if (!(fabs(factor_bordered(w, border)) > 0)) return false;
    if (!tangent_from_factors(w, w->at.t)) return false;
    w->at.test = factor_bordered(w, w->at.t);
    if (!(fabs(w->at.test) > 0)) return false;
    curvature_from_factors(w, &w->at);
    return true;
}

void hw_walker_advance(hw_walker *w)
{
    hw_node held = w->at;
    w->at = w->next;
    w->next = held;
    if (w->repeated) (void)hw_walker_choose(w, w->at.x, w->wide);
    hw_loops_at(&w->loops, w->at.x, w->f, w->j);
    w->at.test = factor_bordered(w, w->at.t);
}
