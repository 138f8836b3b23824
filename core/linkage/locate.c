// What lies inside one step of the walk: folds, branch points, and poses at a given stroke.
#include "linkage/dense.h"
#include "linkage/walk_internal.h"

#include <math.h>
#include <string.h>

static void swap_nodes(hw_node *a, hw_node *b)
{
    hw_node held = *a;
    *a = *b;
    *b = held;
}

// A bracketed root by regula falsi, the kept end's value halved (the Illinois rule).
typedef struct bracket {
    double low, high, at_low, at_high;
    int kept; // -1: low was kept last, +1: high
} bracket;

static double propose(const bracket *b)
{
    double width = b->high - b->low;
    double share = b->at_low / (b->at_low - b->at_high);
    return b->low + width * fmin(0.999, fmax(0.001, share));
}

static void narrow(bracket *b, double step, double value)
{
    if ((value < 0) == (b->at_low < 0)) {
        b->low = step;
        b->at_low = value;
        if (b->kept > 0) b->at_high *= 0.5;
        b->kept = 1;
    } else {
        b->high = step;
        b->at_high = value;
        if (b->kept < 0) b->at_low *= 0.5;
        b->kept = -1;
    }
}

bool hw_walker_find_fold(hw_walker *w)
{
    bracket b = {0, w->next.step, w->at.t[w->n], w->next.t[w->n], 0};
    for (int pass = 0; pass < 100; pass++) {
        if (!hw_walker_reach(w, propose(&b), &w->probe)) return false;
        swap_nodes(&w->probe, &w->next);
        double value = w->next.t[w->n];
        // The stroke is flat here: what is left of it is the square of this.
        if (fabs(value) <= 1e-10 || b.high - b.low <= 1e-15) return true;
        narrow(&b, w->next.step, value);
    }
    return false;
}

// Value at 0 of the polynomial through (at[i], value[i]).
static double neville_at_zero(size_t n, const double at[], double value[])
{
    for (size_t gap = 1; gap < n; gap++)
        for (size_t i = 0; i + gap < n; i++)
            value[i] = (at[i + gap] * value[i] - at[i] * value[i + 1]) / (at[i + gap] - at[i]);
    return value[0];
}

// At a branch point the corrector is at its worst, a little beside it at its best: the stroke
// parameter is read off a polynomial in the determinant through six points around it.
static double refine_branch(hw_walker *w, double centre, double spacing, double coarse)
{
    enum { POINTS = 6 };
    static const int place[POINTS] = {-3, -2, -1, 1, 2, 3};
    double test[POINTS], stroke[POINTS];
    for (size_t i = 0; i < POINTS; i++) {
        if (!hw_walker_reach(w, centre + place[i] * spacing, &w->next)) return coarse;
        test[i] = w->next.test;
        stroke[i] = w->next.x[w->n];
        if (i > 0 && !((test[i] - test[i - 1]) * (test[1] - test[0]) > 0)) return coarse;
    }
    return neville_at_zero(POINTS, test, stroke);
}

// The other motion at a branch point: the null vector of the bordered matrix, by inverse iteration
// on the factors that are there.
static int singular_body(hw_walker *w)
{
    double *v = w->spare;
    for (size_t i = 0; i < w->wide; i++) v[i] = 1 + 0.1 * (double)(i % 7);
    for (int pass = 0; pass < 3; pass++) {
        hw_lu_solve(w->square, w->wide, w->order, v, w->move);
        double norm = hw_norm_of(w->move, w->wide);
        if (!isfinite(norm) || !(norm > 0)) return -1;
        for (size_t i = 0; i < w->wide; i++) v[i] = w->move[i] / norm;
    }
    return hw_loops_body(&w->loops, v);
}

bool hw_walker_find_branch(hw_walker *w, double *stroke, int *body)
{
    double whole = w->next.step, resolution = fmin(1e-6, 1e-3 * whole);
    bracket b = {0, whole, w->at.test, w->next.test, 0};
    double *low = w->guess; // x at the lower end
    memcpy(low, w->at.x, w->wide * sizeof(double));
    hw_node *high = &w->next, *trial = &w->probe;
    for (int pass = 0; pass < 200 && b.high - b.low > resolution; pass++) {
        // Regula falsi creeps at one end: every third try halves, and tries close beside a good
        // guess jump over it.
        double step = pass % 3 == 2 ? 0.5 * (b.low + b.high) : propose(&b);
        if (pass % 3 == 1) step += (b.kept > 0 ? 0.3 : -0.3) * resolution;
        if (step <= b.low || step >= b.high) step = 0.5 * (b.low + b.high);
        if (!hw_walker_reach(w, step, trial)) return false;
        bool below = (trial->test < 0) == (b.at_low < 0);
        if (below)
            memcpy(low, trial->x, w->wide * sizeof(double));
        else
            swap_nodes(high, trial);
        narrow(&b, step, below ? trial->test : high->test);
    }
    double apart = 0;
    for (size_t i = 0; i < w->wide; i++) apart = hypot(apart, high->x[i] - low[i]);
    if (apart > 2 * (b.high - b.low) + 1e-9) return false;
    *body = singular_body(w);
    double middle = 0.5 * (b.low + b.high);
    double coarse = 0.5 * (low[w->n] + high->x[w->n]);
    *stroke = refine_branch(w, middle, fmin(2e-3, 0.25 * whole), coarse);
    return true;
}

// Cubic through both nodes with their tangents, as a function of the step along w->at's tangent.
static double hermite(const hw_walker *w, size_t i, double share)
{
    double whole = w->next.step, pace = hw_dot_of(w->at.t, w->next.t, w->wide);
    double u = 1 - share, a = w->at.x[i], b = w->next.x[i];
    double da = whole * w->at.t[i], db = whole * w->next.t[i] / pace;
    return u * u * (1 + 2 * share) * a + share * share * (3 - 2 * share) * b +
           share * u * (u * da - share * db);
}

static double share_at(const hw_walker *w, double stroke)
{
    double low = 0, high = 1, rises = w->next.x[w->n] - w->at.x[w->n];
    for (int pass = 0; pass < 30; pass++) {
        double middle = 0.5 * (low + high);
        if ((hermite(w, w->n, middle) - stroke) * rises < 0)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

// The stroke parameter met by stepping, for poses so near a fold that Newton at a fixed stroke
// would leave them.
static bool search_between(hw_walker *w, double stroke, double x[])
{
    bracket b = {0, w->next.step, w->at.x[w->n] - stroke, w->next.x[w->n] - stroke, 0};
    memcpy(x, w->next.x, w->wide * sizeof(double));
    if (!(fabs(b.at_high) > 0)) return true;
    for (int pass = 0; pass < 100 && b.high - b.low > 1e-15; pass++) {
        if (!hw_walker_reach(w, propose(&b), &w->probe)) return false;
        memcpy(x, w->probe.x, w->wide * sizeof(double));
        double value = x[w->n] - stroke;
        if (fabs(value) <= 1e-15 * fmax(1, fabs(stroke))) return true;
        narrow(&b, w->probe.step, value);
    }
    return true;
}

bool hw_walker_between(hw_walker *w, double stroke, double x[])
{
    double share = share_at(w, stroke);
    for (size_t i = 0; i < w->n; i++) x[i] = hermite(w, i, share);
    x[w->n] = stroke;
    double *first = w->spare;
    memcpy(first, x, w->wide * sizeof(double));
    if (hw_walker_settle(w, x)) {
        double moved = 0;
        for (size_t i = 0; i < w->n; i++) moved = hypot(moved, x[i] - first[i]);
        double room = fmin(share, 1 - share) * fabs(w->next.step);
        if (moved <= 0.05 * room + 1e-9) return true;
    }
    return search_between(w, stroke, x);
}
