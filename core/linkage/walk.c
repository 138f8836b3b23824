// The walk through a sweep's poses.
#include "linkage/dense.h"
#include "linkage/walk_internal.h"

#include <math.h>
#include <string.h>

typedef struct sweep_state {
    hw_walker w;
    hw_mech_sweep *sweep;
    size_t done;       // poses that were passed
    double end;        // scaled stroke parameter of the last pose [1]
    double way;        // +1 or -1
    double rounding;   // of the scaled stroke parameter [1]
    double last_test;  // size of the determinant one node before; 0 behind a branch point [1]
    double last_step;  // [1]
    double resolution; // to which an event's stroke parameter is known [1]
} sweep_state;

static void blank(hw_mech_motion *out, size_t bodies)
{
    const hw_body_pose none = {NAN, NAN, NAN};
    for (size_t b = 0; b < bodies; b++) out->pose[b] = out->rate[b] = out->rate2[b] = none;
    out->conditioning = NAN;
    out->iterations = 0;
}

static void unpack(const hw_loops *l, const double x[], double factor, hw_body_pose out[])
{
    out[0] = (hw_body_pose){0, 0, 0};
    for (size_t b = 1; b < l->m->bodies; b++) {
        const double *at = x + 3 * (b - 1);
        out[b] =
            (hw_body_pose){factor * l->length * at[0], factor * l->length * at[1], factor * at[2]};
    }
}

static double norm1_of(const double a[], size_t n)
{
    double most = 0;
    for (size_t c = 0; c < n; c++) {
        double sum = 0;
        for (size_t i = 0; i < n; i++) sum += fabs(a[i * n + c]);
        most = fmax(most, sum);
    }
    return most;
}

// Pose, rates and conditioning at x. J v = -df/du, J a = -(what v alone makes of d2f).
static void fill_motion(hw_walker *w, const double x[], hw_mech_motion *out)
{
    const hw_loops *l = &w->loops;
    size_t n = w->n;
    unpack(l, x, 1, out->pose);
    hw_loops_at(l, x, w->f, w->j);
    for (size_t i = 0; i < n; i++)
        memcpy(w->square + i * n, w->j + (size_t)w->row[i] * w->wide, n * sizeof(double));
    double norm = norm1_of(w->square, n);
    if (!(fabs(hw_lu_factor(w->square, n, w->order)) > 0)) {
        const hw_body_pose none = {NAN, NAN, NAN};
        for (size_t b = 1; b < l->m->bodies; b++) out->rate[b] = out->rate2[b] = none;
        out->conditioning = INFINITY;
        return;
    }
    out->conditioning = n ? hw_lu_condition(w->square, n, w->order, norm, w->spare) : 1;
    for (size_t i = 0; i < n; i++) w->right[i] = -w->j[(size_t)w->row[i] * w->wide + n];
    hw_lu_solve(w->square, n, w->order, w->right, w->move);
    w->move[n] = 1;
    unpack(l, w->move, l->stroke, out->rate);
    hw_loops_turning(l, x, w->move, w->f);
    for (size_t i = 0; i < n; i++) w->right[i] = -w->f[w->row[i]];
    hw_lu_solve(w->square, n, w->order, w->right, w->guess);
    unpack(l, w->guess, l->stroke * l->stroke, out->rate2);
}

static void say(sweep_state *q, hw_event_kind kind, double stroke, int body)
{
    hw_mech_sweep *s = q->sweep;
    if (s->events < s->room)
        s->event[s->events] = (hw_event){kind, stroke / q->w.loops.stroke, body};
    s->events++;
}

static double scaled(const sweep_state *q, size_t i)
{
    return q->sweep->s[i] * q->w.loops.stroke;
}

// Poses of the sweep up to w->next, which the walk has just reached, or `slack` beyond it.
static void serve(sweep_state *q, double slack)
{
    hw_walker *w = &q->w;
    for (; q->done < q->sweep->n; q->done++) {
        double stroke = scaled(q, q->done);
        double beyond = q->way * (stroke - w->next.x[w->n]);
        if (beyond > slack) return;
        size_t before = w->iterations;
        double *x = w->pose;
        if (beyond >= 0)
            memcpy(x, w->next.x, w->wide * sizeof(double));
        else if (!hw_walker_between(w, stroke, x))
            continue;
        hw_mech_motion *out = &q->sweep->at[q->done];
        fill_motion(w, x, out);
        out->iterations = (int)(w->iterations - before);
        q->sweep->ok[q->done] = 1;
    }
}

// Poses at the start itself.
static void serve_start(sweep_state *q)
{
    hw_walker *w = &q->w;
    while (q->done < q->sweep->n && fabs(scaled(q, q->done) - w->at.x[w->n]) <= q->rounding) {
        hw_mech_motion *out = &q->sweep->at[q->done];
        fill_motion(w, w->at.x, out);
        out->iterations = (int)w->iterations;
        q->sweep->ok[q->done++] = 1;
    }
}

// Whether the stroke may turn back and forth again within the step, between two ends where it goes
// forward: its rate falls at one end and rises at the other, and the cubic through both comes near
// 0.
static bool may_hide_folds(const hw_walker *w, double way)
{
    size_t n = w->n;
    double whole = w->next.step, pace = hw_dot_of(w->at.t, w->next.t, w->wide);
    double a = way * w->at.t[n], b = way * w->next.t[n];
    double falls = way * w->at.k[n] * whole, rises = way * w->next.k[n] * whole / pace;
    if (!(a > 0 && b > 0 && falls < 0 && rises > 0)) return false;
    double least = fmin(a, b);
    for (int i = 1; i < 16; i++) {
        double x = i / 16.0, u = 1 - x;
        double rate =
            u * u * (1 + 2 * x) * a + x * x * (3 - 2 * x) * b + x * u * (u * falls - x * rises);
        least = fmin(least, rate);
    }
    return least < 0.02 || least < 0.3 * fmin(a, b);
}

typedef enum outcome { GO_ON, TRY_SHORTER, STOP } outcome;

// The step lies on the motion; look what is inside it.
static outcome inspect(sweep_state *q, double step)
{
    hw_walker *w = &q->w;
    size_t n = w->n;
    bool branch = (w->next.test < 0) != (w->at.test < 0);
    bool fold = q->way * w->next.t[n] <= 0;
    if (!fold && may_hide_folds(w, q->way)) {
        if (!hw_walker_find_dip(w)) return TRY_SHORTER;
        // Where it dips below 0 the step ends, and the first of two folds lies in it.
        fold = q->way * w->next.t[n] <= 0;
        if (fold)
            branch = (w->next.test < 0) != (w->at.test < 0);
        else if (!hw_walker_reach(w, step, &w->next))
            return TRY_SHORTER;
    }
    if (branch && fold && step > 1e-5) return TRY_SHORTER;
    double whole = w->next.step;
    if (branch) {
        double stroke;
        int body;
        if (!hw_walker_find_branch(w, &stroke, &body)) return TRY_SHORTER;
        if (q->way * (stroke - q->end) <= q->resolution)
            say(q, HW_EVENT_BRANCH_CHANGE, stroke, body);
        if (!hw_walker_reach(w, whole, &w->next)) return TRY_SHORTER;
    }
    if (fold) {
        if (!hw_walker_find_fold(w)) return TRY_SHORTER;
        double stroke = w->next.x[n];
        if (q->way * (stroke - q->end) <= q->resolution)
            say(q, HW_EVENT_DEAD_POINT, stroke, hw_loops_body(&w->loops, w->next.t));
        serve(q, q->resolution);
        if (q->done < q->sweep->n)
            say(q, HW_EVENT_LOCK_UP, stroke, hw_loops_body(&w->loops, w->next.t));
        return STOP;
    }
    return GO_ON;
}

static bool good_step(hw_walker *w, double step)
{
    if (!hw_walker_reach(w, step, &w->next) || !hw_walker_trusts(w, &w->next)) return false;
    if (!w->repeated) return true;
    hw_loops_at(&w->loops, w->next.x, w->f, NULL);
    return hw_walker_disagrees(w) <= HW_WALK_CLOSED;
}

// Two branch points within a step leave the determinant's sign as it was, but it dips between
// nodes.
static void look_for_pair(sweep_state *q, size_t events_before)
{
    hw_walker *w = &q->w;
    double here = fabs(w->at.test), pace = hw_dot_of(w->at.t, w->next.t, w->wide);
    double ahead = fabs(w->next.test) / pace, behind = q->last_test;
    bool passed = q->sweep->events > events_before;
    q->last_test = passed ? 0 : here;
    double back = q->last_step;
    q->last_step = w->next.step;
    if (passed || w->repeated || here >= behind || here > ahead) return;
    double stroke[2];
    int body = -1;
    size_t found = hw_walker_find_pair(w, back, w->next.step, stroke, &body);
    for (size_t i = 0; i < found; i++)
        if (q->way * (stroke[i] - q->end) <= q->resolution)
            say(q, HW_EVENT_BRANCH_CHANGE, stroke[i], body);
}

// How far ahead the determinant would vanish if it went on falling as over the step before;
// INFINITY where it does not fall.
static double zero_ahead(const sweep_state *q)
{
    double here = fabs(q->w.at.test), fall = q->last_test - here;
    return fall > 0 ? here * q->last_step / fall : (double)INFINITY;
}

// A step beyond the place where the determinant should have vanished, with its sign unchanged, may
// have leapt over two near-change points at once: the next must stop short of that place. Returns
// the step to try instead; 0: this one is good. Closer than a millionth nothing is told apart: then
// it is leapt over on purpose, and look_for_pair sees to it.
static double stop_short(const sweep_state *q, double trial)
{
    const double resolution = 1e-6, leap = 1e-3;
    double zero = zero_ahead(q);
    if (q->w.repeated || trial <= zero) return 0;
    if ((q->w.next.test < 0) != (q->w.at.test < 0)) return 0; // inspect finds out
    if (zero > resolution) return 0.7 * zero;
    return trial < leap ? leap : 0;
}

// Before the first step there is none to compare with: a short one back.
static void begin_prediction(sweep_state *q)
{
    q->last_step = 1e-4;
    q->last_test = hw_walker_reach(&q->w, -q->last_step, &q->w.next) ? fabs(q->w.next.test) : 0;
}

// All poses are served, the last where the stroke hardly moves: a dead point may lie on it or
// within rounding of it.
static void look_ahead(sweep_state *q)
{
    hw_walker *w = &q->w;
    size_t n = w->n;
    if (fabs(w->at.t[n]) > 1e-5) return;
    double step = -2 * w->at.t[n] / w->at.k[n];
    if (!(step > 0) || !(step < 0.1) || !hw_walker_reach(w, step, &w->next)) return;
    if (!hw_walker_trusts(w, &w->next) || q->way * w->next.t[n] > 0) return;
    if (!hw_walker_find_fold(w)) return;
    double stroke = w->next.x[n];
    if (fabs(stroke - q->end) <= q->resolution)
        say(q, HW_EVENT_DEAD_POINT, stroke, hw_loops_body(&w->loops, w->next.t));
}

// One step of at most *step, which becomes the next one's. GO_ON: the walk has moved.
static outcome one_step(sweep_state *q, double *step)
{
    hw_walker *w = &q->w;
    const double longest = 0.25;
    double left = fabs(q->end - w->at.x[w->n]), pace = fabs(w->at.t[w->n]);
    double trial = pace > 0 ? fmin(*step, 1.02 * left / pace + 1e-9) : *step;
    size_t events = q->sweep->events;
    *step = 0.5 * trial;
    if (!good_step(w, trial)) return TRY_SHORTER;
    double instead = stop_short(q, trial);
    if (instead > 0) {
        *step = instead;
        return TRY_SHORTER;
    }
    outcome what = inspect(q, trial);
    if (what != GO_ON) return what;
    look_for_pair(q, events);
    serve(q, q->rounding);
    bool easy = hw_dot_of(w->at.t, w->next.t, w->wide) > 0.994; // half the angle allowed
    *step = easy ? fmin(longest, 1.5 * trial) : trial;
    hw_walker_advance(w);
    return GO_ON;
}

// Steps until all poses are served. Steps shrink where something is in the way; where they vanish,
// repeated constraints have ceased to agree.
static hw_code walk(sweep_state *q)
{
    hw_walker *w = &q->w;
    const double shortest = 1e-10;
    double step = 0.05;
    outcome what = GO_ON;
    if (q->done < q->sweep->n) begin_prediction(q);
    while (q->done < q->sweep->n && what != STOP) {
        if (++w->steps > HW_WALK_STEPS) return HW_NOT_CONVERGED;
        what = one_step(q, &step);
        if (what == TRY_SHORTER && step < shortest) {
            say(q, HW_EVENT_LOCK_UP, w->at.x[w->n], hw_loops_body(&w->loops, w->at.t));
            break;
        }
        if (what == GO_ON && q->done == q->sweep->n) look_ahead(q);
    }
    for (size_t i = 0; i < q->sweep->n; i++)
        if (!q->sweep->ok[i]) return HW_NO_ASSEMBLY;
    return HW_OK;
}

static bool ordered(const double s[], size_t n, double from)
{
    double way = n && s[n - 1] < from ? -1 : 1;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(s[i]) || way * (s[i] - from) < 0) return false;
        from = s[i];
    }
    return true;
}

// The known pose is singular, or not held: which of them.
static hw_code not_determined(sweep_state *q, hw_arena *a, const hw_body_pose known[])
{
    hw_walker *w = &q->w;
    hw_mech_freedom count;
    hw_code code = hw_mech_count(w->loops.m, a, known, &count);
    if (code != HW_OK) return code;
    if (!count.by_pose) return HW_BAD_INPUT;
    bool fold = hw_walker_choose(w, w->at.x, w->wide) == w->n;
    say(q, fold ? HW_EVENT_DEAD_POINT : HW_EVENT_BRANCH_CHANGE, w->at.x[w->n], count.body);
    return HW_NO_ASSEMBLY;
}

static int worst_body(const hw_walker *w)
{
    size_t worst = 0;
    for (size_t i = 1; i < w->loops.equations; i++)
        if (fabs(w->f[i]) > fabs(w->f[worst])) worst = i;
    int pin, slider, driver;
    hw_loops_joint(&w->loops, worst, &pin, &slider, &driver);
    const hw_mech *m = w->loops.m;
    return pin >= 0 ? m->pin[pin].b : slider >= 0 ? m->slider[slider].b : m->driver[driver].b;
}

static hw_code begin(sweep_state *q, hw_arena *a, const hw_body_pose known[], double s_known)
{
    hw_walker *w = &q->w;
    hw_mech_sweep *sweep = q->sweep;
    double last = sweep->n ? sweep->s[sweep->n - 1] : s_known;
    q->way = last < s_known ? -1 : 1;
    q->end = last * w->loops.stroke;
    q->rounding = 4e-15 * fmax(1, fmax(fabs(q->end), fabs(s_known * w->loops.stroke)));
    q->resolution = 250 * q->rounding;
    hw_loops_pack(&w->loops, known, s_known, w->at.x);
    for (size_t i = 0; i < w->wide; i++)
        if (!isfinite(w->at.x[i])) return HW_BAD_INPUT;
    if (hw_walker_choose(w, w->at.x, w->n) < w->n) return not_determined(q, a, known);
    if (!hw_walker_approach(w, w->at.x)) {
        hw_loops_at(&w->loops, w->at.x, w->f, NULL);
        say(q, HW_EVENT_LOCK_UP, w->at.x[w->n], w->loops.equations ? worst_body(w) : -1);
        return HW_NO_ASSEMBLY;
    }
    serve_start(q);
    if (q->done < sweep->n && !hw_walker_start(w, q->way)) {
        say(q, HW_EVENT_LOCK_UP, w->at.x[w->n], -1);
        return HW_NO_ASSEMBLY;
    }
    return HW_OK;
}

hw_code hw_mech_walk(const hw_mech *m, hw_arena *a, const hw_body_pose known[], double s_known,
                     hw_mech_sweep *sweep)
{
    sweep->events = sweep->steps = 0;
    for (size_t i = 0; i < sweep->n; i++) {
        sweep->ok[i] = 0;
        blank(&sweep->at[i], m->bodies);
    }
    if (!isfinite(s_known) || !ordered(sweep->s, sweep->n, s_known)) return HW_BAD_INPUT;
    size_t mark = hw_arena_mark(a);
    sweep_state q = {.sweep = sweep};
    hw_code code = hw_walker_new(m, a, &q.w);
    if (code == HW_OK) code = begin(&q, a, known, s_known);
    if (code == HW_OK) code = walk(&q);
    sweep->steps = q.w.steps;
    hw_arena_rewind(a, mark);
    return code;
}

hw_code hw_mech_solve(const hw_mech *m, hw_arena *a, const hw_body_pose known[], double s_known,
                      double s, hw_mech_motion *out, hw_event *stop)
{
    uint8_t ok;
    enum { ROOM = 8 };
    hw_event event[ROOM] = {{HW_EVENT_LOCK_UP, s_known, -1}};
    hw_mech_sweep sweep = {.n = 1, .s = &s, .at = out, .ok = &ok, .event = event, .room = ROOM};
    hw_code code = hw_mech_walk(m, a, known, s_known, &sweep);
    if (!stop || code != HW_NO_ASSEMBLY) return code;
    // What stopped it comes last, or just before the lock-up that follows from it.
    size_t last = sweep.events < ROOM ? sweep.events : ROOM;
    if (last) last--;
    if (last && event[last - 1].kind == HW_EVENT_DEAD_POINT) last--;
    *stop = event[last];
    return code;
}
