// The search for the thumb's base: descents in random steps, from several places about its own.
#include "palm/thumb_internal.h"

#include "base/par.h"
#include "base/rng.h"

#include <math.h>

enum {
    DIMS = 8,    // of the search
    PLACE = 5,   // the first of P's
    RUNS = 8,    // with a seat
    DRAWS = 8,   // of which a run begins at the best
    STEPS = 900, // of a run
    AT_ONCE = 5, // of them, before others are waited for
};

static const double stray[] = {0.01, 0.1}; // cost of a scale away from home; with a seat [1]
static const double about = 1.5;           // runs begin so many scales about home, at most [1]
static const double widest = 0.5, finest = 0.01; // nudges, in scales [1]
static const char stage[] = "thumb's base";

// Variables: three of pointing, two of the axis, three of P.
typedef struct spot {
    double x[DIMS]; // [rad] [m]
} spot;

typedef struct quest {
    const hw_palm_def *from;
    const hw_palm_motion *motion;
    const hw_thumb_seat *seat;
    spot home;
    double within; // [m]
} quest;

static hw_vec3 along_thumb(const hw_palm_def *d)
{
    return hw_palm_frame(d->digit[0].knuckle, d->digit[0].points).x;
}

static spot spot_of(const hw_palm_def *d)
{
    hw_vec3 at = hw_vec3_along(d->digit[0].knuckle, -d->opposition_behind, along_thumb(d));
    const hw_palm_pointing *o = &d->digit[0].points;
    return (spot){
        {o->turn, o->rise, o->roll, d->opposition_turn, d->opposition_rise, at.x, at.y, at.z}};
}

static hw_code put(const quest *q, const spot *s, hw_palm_def *out, hw_palm *palm)
{
    *out = *q->from;
    hw_vec3 at = {s->x[5], s->x[6], s->x[7]};
    out->digit[0].points = (hw_palm_pointing){s->x[0], s->x[1], s->x[2]};
    out->opposition_turn = s->x[3];
    out->opposition_rise = s->x[4];
    out->digit[0].knuckle = at;
    if (q->seat) {
        if (hw_palm_of(out, palm) != HW_OK) return HW_BAD_INPUT;
        out->opposition_behind = hw_thumb_behind(palm, q->seat);
    }
    out->digit[0].knuckle = hw_vec3_along(at, out->opposition_behind, along_thumb(out));
    return hw_palm_of(out, palm);
}

// A large step, which away from home costs what stray says.
static double scale_of(const quest *q, int k)
{
    return k < PLACE ? 20 * HW_PI / 180 : q->within;
}

// Straying from home costs a little, so that pads do not meet where no hand has its thumb. No more
// than `enough` is told apart.
static double cost_of(const quest *q, const spot *s, double enough, hw_palm_def *out) // [1] [1]
{
    hw_palm p;
    double cost = 0;
    if (put(q, s, out, &p) != HW_OK) return (double)NAN;
    for (int k = 0; k < DIMS; k++) {
        double off = s->x[k] - q->home.x[k], scale = scale_of(q, k);
        if (scale > 0) cost += stray[q->seat != NULL] * (off / scale) * (off / scale);
    }
    return cost + hw_thumb_cost_to(&p, q->motion, q->seat, enough - cost);
}

// One descent, with numbers of its own.
typedef struct run {
    const quest *q;
    hw_rng rng;
    spot here;
    hw_palm_def def;
    double best, step; // its cost, and the farthest nudge in scales [1] [1]
} run;

// Moves some of the variables, one in so many, by up to `far` scales; P no farther than it may go.
static spot nudged(run *r, double far, double some) // [1] [1]
{
    spot there = r->here;
    for (int k = 0; k < DIMS; k++) {
        double scale = scale_of(r->q, k), home = r->q->home.x[k];
        double by = hw_rng_uniform(&r->rng, -far, far);
        if (hw_rng_uniform(&r->rng, 0, 1) >= some) continue;
        there.x[k] += scale * by;
        if (k >= PLACE) there.x[k] = fmax(home - scale, fmin(home + scale, there.x[k]));
    }
    return there;
}

static bool better(run *r, const spot *there)
{
    hw_palm_def tried;
    double cost = cost_of(r->q, there, r->best, &tried);
    if (!(cost < r->best)) return false;
    r->best = cost;
    r->def = tried;
    r->here = *there;
    return true;
}

// A place all about home.
static void set_out(void *self, size_t begin, size_t end)
{
    for (size_t i = begin; i < end; i++) {
        run *r = (run *)self + i;
        spot was = r->here;
        r->here = r->q->home;
        spot there = nudged(r, about, 1);
        r->here = was;
        (void)better(r, &there);
    }
}

// Farther after what helped, nearer after what did not.
static void go_down(void *self, size_t begin, size_t end)
{
    for (size_t i = begin; i < end; i++) {
        run *r = (run *)self + i;
        for (int k = 0; k < AT_ONCE && r->step >= finest; k++) {
            spot there = nudged(r, r->step, 0.5);
            r->step = better(r, &there) ? fmin(widest, 1.2 * r->step) : 0.985 * r->step;
        }
    }
}

// The best come first, where several are as good the earlier.
static void sort(run r[], size_t n)
{
    for (size_t i = 1; i < n; i++)
        for (size_t k = i; k > 0 && r[k].best < r[k - 1].best; k--) {
            run swap = r[k];
            r[k] = r[k - 1];
            r[k - 1] = swap;
        }
}

// All runs take some steps each; a third of the way and two thirds the worse half ends.
static hw_code descend(run r[], size_t n, const hw_job *job)
{
    for (size_t k = 0; n > 1 && k < DRAWS; k++) {
        if (!hw_job_go_on(job, 0, stage)) return HW_CANCELLED;
        hw_par_for(n - 1, 1, set_out, r + 1);
    }
    for (size_t k = 0; k < STEPS; k += AT_ONCE) {
        bool all = false;
        if (!hw_job_go_on(job, (double)k / STEPS, stage)) return HW_CANCELLED;
        hw_par_for(n, 1, go_down, r);
        for (size_t i = 0; i < n; i++) all = all || r[i].step >= finest;
        if (!all) break;
        if (n > 1 && (k + AT_ONCE) % (STEPS / 3) == 0) {
            sort(r, n);
            n /= 2;
        }
    }
    return HW_OK;
}

hw_code hw_palm_thumb_search(hw_palm_def *def, const hw_palm_motion motion[HW_HAND_DIGITS],
                             const hw_thumb_seat *seat, double within, const hw_job *job,
                             double *cost)
{
    const hw_palm_def from = *def;
    const quest q = {&from, motion, seat, spot_of(def), within};
    hw_palm_def tried;
    run r[RUNS];
    *cost = cost_of(&q, &q.home, INFINITY, &tried);
    if (!isfinite(*cost) || !(within >= 0)) return HW_BAD_INPUT;
    for (size_t i = 0; i < RUNS; i++)
        r[i] = (run){&q, hw_rng_new(1, i), q.home, tried, i ? (double)INFINITY : *cost, widest};
    hw_code code = descend(r, seat ? RUNS : 1, job);
    sort(r, RUNS);
    *def = r[0].def;
    *cost = r[0].best;
    return code;
}
