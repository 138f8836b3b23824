// The fit works on points moved to their centroid and divided by their spread, so that no number in
// here has a length. Unknowns: pole (x, z), a = ln r at the reference turn, b = growth. Residual of
// a point at distance r and turn t from the pole: r (ln r - a - b t) / sqrt(1 + b^2), the radial
// gap times the sine of the angle between tangent and radius.
#include "stroke/spiral.h"

#include <math.h>

enum { UNKNOWNS = 4, STEPS = 300, RINGS = 10, SPOKES = 12, STARTS = 6, COARSE = 16 };

typedef struct cloud {
    const hw_vec2 *p;
    size_t n;
    hw_vec2 middle; // [m]
    double spread;  // [m]
    bool backward;  // the last point is the outer one
} cloud;

typedef struct guess {
    double x[UNKNOWNS]; // pole x, pole z, a, b
    double reference;   // turn that a belongs to, fixed during one descent
    double cost;        // sum of squared residuals
} guess;

// Points are taken from the outer end of the path inward: a turn can be unwound safely where the
// radius is long, and a wrong pole near the inner end would lose whole turns.
static hw_vec2 point(const cloud *c, size_t i)
{
    hw_vec2 p = c->p[c->backward ? c->n - 1 - i : i];
    return hw_scale(hw_sub(p, c->middle), 1.0 / c->spread);
}

static double turn_of(hw_vec2 d)
{
    return atan2(-d.z, d.x);
}

// The turn of d on the sheet nearest to the turn before it.
static double unwound(double before, hw_vec2 d)
{
    double t = turn_of(d), off = before - t;
    if (fabs(off) < 3.0) return t;
    return t + 2.0 * HW_PI * round(off / (2.0 * HW_PI));
}

static bool measure(cloud *c)
{
    double n = (double)c->n, largest = 0;
    c->middle = (hw_vec2){0, 0};
    for (size_t i = 0; i < c->n; i++) {
        if (!isfinite(c->p[i].x) || !isfinite(c->p[i].z)) return false;
        c->middle = hw_add(c->middle, hw_scale(c->p[i], 1.0 / n));
        largest = fmax(largest, hw_norm(c->p[i]));
    }
    double sum = 0;
    for (size_t i = 0; i < c->n; i++) {
        double d = hw_norm(hw_sub(c->p[i], c->middle));
        sum += d * d / n;
    }
    c->spread = sqrt(sum);
    c->backward = hw_norm(hw_sub(c->p[c->n - 1], c->middle)) > hw_norm(hw_sub(c->p[0], c->middle));
    return c->spread > 1e-12 * largest && isfinite(c->spread); // else: rounding of one place
}

// Best a and b for a fixed pole, weights r as in the residual (without its common factor), from
// some 16 points spread over all: enough to rank poles.
static void solve_line(const cloud *c, guess *g)
{
    size_t stride = c->n > COARSE ? (c->n - 1) / COARSE : 1;
    double w = 0, wt = 0, wl = 0, wtt = 0, wtl = 0, wll = 0, t = 0;
    for (size_t i = 0; i < c->n; i += stride) {
        hw_vec2 d = hw_sub(point(c, i), (hw_vec2){g->x[0], g->x[1]});
        double r2 = hw_dot(d, d);
        if (r2 < 1e-20) { // a pole on a point fits nothing
            g->cost = HUGE_VAL;
            return;
        }
        t = i ? unwound(t, d) : turn_of(d);
        if (i == 0) g->reference = t;
        double tt = t - g->reference, l = 0.5 * log(r2);
        w += r2;
        wt += r2 * tt;
        wl += r2 * l;
        wtt += r2 * tt * tt;
        wtl += r2 * tt * l;
        wll += r2 * l * l;
    }
    double stt = wtt - wt * wt / w, stl = wtl - wt * wl / w, sll = wll - wl * wl / w;
    double b = stt > 1e-14 * w ? stl / stt : 0.0;
    g->x[3] = b;
    g->x[2] = (wl - b * wt) / w;
    g->cost = fmax(sll - b * stl, 0.0) / (1.0 + b * b);
}

// Normal equations at a guess: n = J'J (upper part), v = -J'f.
typedef struct equations {
    double n[UNKNOWNS][UNKNOWNS], v[UNKNOWNS];
} equations;

// Returns the cost.
static double normal_equations(const cloud *c, const guess *g, equations *out)
{
    double a = g->x[2], b = g->x[3], s = 1.0 / sqrt(1.0 + b * b), cost = 0, t = g->reference;
    *out = (equations){0};
    for (size_t i = 0; i < c->n; i++) {
        hw_vec2 d = hw_sub(point(c, i), (hw_vec2){g->x[0], g->x[1]});
        double r = sqrt(hw_dot(d, d));
        if (r < 1e-10) return HUGE_VAL;
        t = unwound(t, d);
        double q = log(r) - a - b * (t - g->reference); // ln r above the spiral's
        double f = s * r * q;
        const double row[UNKNOWNS] = {s * (-d.x * (q + 1.0) + b * d.z) / r,
                                      s * (-d.z * (q + 1.0) - b * d.x) / r, -s * r,
                                      -s * r * (t - g->reference) - f * b * s * s};
        cost += f * f;
        for (int j = 0; j < UNKNOWNS; j++) {
            out->v[j] -= row[j] * f;
            for (int k = j; k < UNKNOWNS; k++) out->n[j][k] += row[j] * row[k];
        }
    }
    return cost;
}

// Solves (n + damping * diag n) x = v by Cholesky; false when not positive definite.
static bool solve_damped(const equations *e, double damping, double x[UNKNOWNS])
{
    double l[UNKNOWNS][UNKNOWNS];
    for (int j = 0; j < UNKNOWNS; j++) {
        for (int i = 0; i <= j; i++) {
            double sum = i == j ? e->n[j][j] * (1.0 + damping) : e->n[i][j];
            for (int k = 0; k < i; k++) sum -= l[i][k] * l[j][k];
            if (i < j)
                l[j][i] = sum / l[i][i];
            else if (sum > 0)
                l[j][j] = sqrt(sum);
            else
                return false;
        }
    }
    for (int j = 0; j < UNKNOWNS; j++) {
        x[j] = e->v[j];
        for (int k = 0; k < j; k++) x[j] -= l[j][k] * x[k];
        x[j] /= l[j][j];
    }
    for (int j = UNKNOWNS; j-- > 0;) {
        for (int k = j + 1; k < UNKNOWNS; k++) x[j] -= l[k][j] * x[k];
        x[j] /= l[j][j];
    }
    return true;
}

// A step of the damped equations; *size is the largest change beside the values themselves. False
// when they have no solution.
static bool stepped(const equations *e, double damping, const guess *from, guess *to, double *size)
{
    double step[UNKNOWNS];
    if (!solve_damped(e, damping, step)) return false;
    *to = *from;
    *size = 0;
    for (int j = 0; j < UNKNOWNS; j++) {
        to->x[j] += step[j];
        *size = fmax(*size, fabs(step[j]) / (1.0 + fabs(from->x[j])));
    }
    return true;
}

// Levenberg-Marquardt. True when the last step was negligible, nothing lowers the cost any more, or
// the way joins `best`, an end that another way settled at (NULL: none has).
static bool descend(const cloud *c, const guess *best, guess *g)
{
    equations e, next_e;
    double damping = 1e-3, size;
    g->cost = normal_equations(c, g, &e);
    for (int i = 0; i < STEPS && damping < 1e12; i++) {
        guess next;
        if (!stepped(&e, damping, g, &next, &size)) {
            damping *= 10;
            continue;
        }
        next.cost = normal_equations(c, &next, &next_e);
        bool better = next.cost <= g->cost;
        if (better) {
            *g = next;
            e = next_e;
        }
        damping = better ? fmax(damping * 0.1, 1e-15) : damping * 10;
        bool joined = best && g->cost >= best->cost &&
                      hypot(g->x[0] - best->x[0], g->x[1] - best->x[1]) < 1e-4;
        // beyond 1e6 a straight line: farther says no more
        if (size < 1e-14 || joined || hypot(g->x[0], g->x[1]) > 1e6) return true;
    }
    return damping >= 1e12;
}

// The best few of a grid of poles: rings about the middle, denser inside.
static size_t first_guesses(const cloud *c, guess best[STARTS])
{
    static const double ring[RINGS] = {0.05, 0.3, 0.6, 0.9, 1.3, 1.8, 2.6, 4.0, 7.0, 15.0};
    size_t kept = 0;
    for (int i = 0; i < RINGS * SPOKES; i++) {
        double angle = 2.0 * HW_PI * (i % SPOKES + 0.5 * (i / SPOKES % 2)) / SPOKES;
        guess g = {.x = {ring[i / SPOKES] * cos(angle), ring[i / SPOKES] * sin(angle)}};
        solve_line(c, &g);
        if (!(g.cost < HUGE_VAL)) continue;
        if (kept == STARTS && best[STARTS - 1].cost <= g.cost) continue;
        size_t at = kept < STARTS ? kept++ : STARTS - 1;
        for (; at > 0 && best[at - 1].cost > g.cost; at--) best[at] = best[at - 1];
        best[at] = g;
    }
    return kept;
}

static void describe(const cloud *c, const guess *g, hw_spiral *out)
{
    hw_vec2 pole = {g->x[0], g->x[1]};
    double outer = unwound(g->reference, hw_sub(point(c, 0), pole)), inner = outer;
    for (size_t i = 1; i < c->n; i++) inner = unwound(inner, hw_sub(point(c, i), pole));
    out->start = c->backward ? inner : outer;
    out->end = c->backward ? outer : inner;
    out->pole = hw_add(c->middle, hw_scale(pole, c->spread));
    out->growth = g->x[3];
    out->angle = atan2(1.0, fabs(g->x[3]));
    out->radius = c->spread * exp(g->x[2] + g->x[3] * (out->start - g->reference));
    out->rms = c->spread * sqrt(g->cost / (double)c->n);
}

hw_code hw_spiral_fit(const hw_vec2 *p, size_t n, hw_spiral *out)
{
    *out = (hw_spiral){0};
    cloud c = {.p = p, .n = n};
    if (n < 5 || !measure(&c)) return HW_BAD_INPUT;
    guess start[STARTS], best = {.cost = HUGE_VAL};
    size_t starts = first_guesses(&c, start);
    bool settled = false;
    for (size_t i = 0; i < starts; i++) {
        bool ok = descend(&c, settled ? &best : NULL, &start[i]);
        if (!(start[i].cost < best.cost)) continue;
        best = start[i];
        settled = ok;
    }
    if (!(best.cost < HUGE_VAL)) return HW_NOT_CONVERGED;
    describe(&c, &best, out);
    return settled && hypot(best.x[0], best.x[1]) < 300.0 ? HW_OK : HW_NOT_CONVERGED;
}

hw_vec2 hw_spiral_at(const hw_spiral *s, double turn)
{
    double r = s->radius * exp(s->growth * (turn - s->start));
    return (hw_vec2){s->pole.x + r * cos(turn), s->pole.z - r * sin(turn)};
}
