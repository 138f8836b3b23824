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

bool hw_walker_find_dip(hw_walker *w)
{
    bracket b = {0, w->next.step, w->at.k[w->n], w->next.k[w->n], 0};
    for (int pass = 0; pass < 100; pass++) {
        if (!hw_walker_reach(w, propose(&b), &w->probe)) return false;
        swap_nodes(&w->probe, &w->next);
        double value = w->next.k[w->n];
        // The tangent is flat here: it is known to the square of what is left.
        if (fabs(value) <= 1e-10 || b.high - b.low <= 1e-10) return true;
        narrow(&b, w->next.step, value);
    }
    return false;
}

enum { POINTS = 6 };

// The polynomial through (at[i], value[i]), at a place (Neville).
static double interpolate(const double at[POINTS], const double value[POINTS], double place)
{
    double v[POINTS];
    memcpy(v, value, sizeof v);
    for (size_t gap = 1; gap < POINTS; gap++)
        for (size_t i = 0; i + gap < POINTS; i++)
            v[i] =
                ((place - at[i]) * v[i + 1] + (at[i + gap] - place) * v[i]) / (at[i + gap] - at[i]);
    return v[0];
}

// The determinant and the stroke parameter as polynomials in the step around a centre. At a branch
// point the corrector is at its worst, a little beside it at its best.
typedef struct fit {
    double at[POINTS], test[POINTS], stroke[POINTS];
} fit;

static bool fit_around(hw_walker *w, double centre, double spacing, fit *out)
{
    static const int place[POINTS] = {-3, -2, -1, 1, 2, 3};
    for (int i = 0; i < POINTS; i++) {
        out->at[i] = place[i] * spacing;
        if (!hw_walker_reach(w, centre + out->at[i], &w->probe)) return false;
        out->test[i] = w->probe.test;
        out->stroke[i] = w->probe.x[w->n];
    }
    return true;
}

// Stroke parameter where the fitted determinant vanishes between two places of different sign.
static double root_of_fit(const fit *f, double low, double high)
{
    bool sign = interpolate(f->at, f->test, low) < 0;
    for (int pass = 0; pass < 60; pass++) {
        double middle = 0.5 * (low + high);
        if ((interpolate(f->at, f->test, middle) < 0) == sign)
            low = middle;
        else
            high = middle;
    }
    return interpolate(f->at, f->stroke, 0.5 * (low + high));
}

static double refine_branch(hw_walker *w, double centre, double spacing, double coarse)
{
    fit f;
    if (!fit_around(w, centre, spacing, &f)) return coarse;
    for (int i = 1; i < POINTS; i++) // one change of sign, in the middle
        if ((f.test[i] < 0) != ((f.test[0] < 0) != (f.at[i] > 0))) return coarse;
    return root_of_fit(&f, f.at[2], f.at[3]);
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
    double whole = w->next.step, resolution = fmin(1e-6, 0.1 * whole);
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
    if (apart > 2 * (b.high - b.low) + 1e-8) return false;
    *body = singular_body(w);
    double middle = 0.5 * (b.low + b.high);
    double coarse = 0.5 * (low[w->n] + high->x[w->n]);
    *stroke = refine_branch(w, middle, fmin(2e-3, 0.25 * whole), coarse);
    return true;
}

// The determinant at a step from w->at, with its sign there counted as positive; NAN where it is
// lost.
static double test_at(hw_walker *w, double step)
{
    if (!hw_walker_reach(w, step, &w->probe)) return NAN;
    return w->at.test < 0 ? -w->probe.test : w->probe.test;
}

// The step of least determinant between two to a thousandth, by golden sections, or the first at
// which it is negative.
static double least_test(hw_walker *w, double low, double high, double *least)
{
    const double part = 0.3819660112501051; // 2 - golden ratio
    double a = low + part * (high - low), b = high - part * (high - low);
    double at_a = test_at(w, a), at_b = test_at(w, b), fine = fmin(1e-3, 0.02 * (high - low));
    for (int pass = 0; pass < 40 && high - low > fine && at_a > 0 && at_b > 0; pass++) {
        if (at_a < at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = low + part * (high - low);
            at_a = test_at(w, a);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = high - part * (high - low);
            at_b = test_at(w, b);
        }
    }
    *least = at_a < at_b ? at_a : at_b;
    return at_a < at_b ? a : b;
}

// Root of the determinant between a step where it is positive and one where it is not.
static double root_of_test(hw_walker *w, double positive, double negative)
{
    for (int pass = 0; pass < 60 && fabs(negative - positive) > 1e-7; pass++) {
        double middle = 0.5 * (positive + negative);
        if (test_at(w, middle) > 0)
            positive = middle;
        else
            negative = middle;
    }
    return 0.5 * (positive + negative);
}

static double stroke_at(hw_walker *w, double step)
{
    return hw_walker_reach(w, step, &w->probe) ? w->probe.x[w->n] : w->at.x[w->n];
}

// The same where the pair lies within a thousandth or touches: from the fit around the least.
static size_t close_pair(hw_walker *w, double at, double stroke[2])
{
    fit f;
    if (!fit_around(w, at, 2e-3, &f)) return 0;
    double sign = w->at.test < 0 ? -1 : 1;
    double ends = fmin(sign * f.test[0], sign * f.test[POINTS - 1]);
    double low = f.at[0], high = f.at[POINTS - 1];
    for (int pass = 0; pass < 60; pass++) {
        double a = low + (high - low) / 3, b = high - (high - low) / 3;
        if (sign * interpolate(f.at, f.test, a) < sign * interpolate(f.at, f.test, b))
            high = b;
        else
            low = a;
    }
    double place = 0.5 * (low + high), least = sign * interpolate(f.at, f.test, place);
    // A gap of g at a distance d dips to (g/d)^2: as fine as the rounding of the fit allows.
    if (!(least < 1e-6 * ends)) return 0;
    stroke[0] = stroke[1] = interpolate(f.at, f.stroke, place);
    if (least > -1e-6 * ends) return 1;
    stroke[0] = root_of_fit(&f, f.at[0], place);
    stroke[1] = root_of_fit(&f, place, f.at[POINTS - 1]);
    return 2;
}

size_t hw_walker_find_pair(hw_walker *w, double back, double ahead, double stroke[2], int *body)
{
    double least, at = least_test(w, -back, ahead, &least);
    double ends = fmax(test_at(w, -back), test_at(w, ahead));
    if (least > 0.01 * ends) return 0;
    size_t found = 2;
    if (!(least < -1e-4 * ends)) { // or lost so close to both that the corrector fails
        found = close_pair(w, at, stroke);
    } else {
        double first = root_of_test(w, -back, at), second = root_of_test(w, ahead, at);
        double spacing = fmin(2e-3, 0.125 * (second - first));
        stroke[0] = refine_branch(w, first, spacing, stroke_at(w, first));
        stroke[1] = refine_branch(w, second, spacing, stroke_at(w, second));
        at = second;
    }
    if (!found) return 0;
    (void)test_at(w, at); // for the factors that it leaves
    *body = singular_body(w);
    return found;
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
