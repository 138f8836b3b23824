// An independent judge: GSL's root finder on loop equations of another kind (relative vectors and
// link angles instead of absolute poses), carried along in small steps, beside the walk. The
// six-bars are driven where no chain of dyads solves them.
#include "check.h"
#include "random_planar.h"

#include <gsl/gsl_multiroots.h>

static hw_arena *arena;

enum { POSES = 32, ANGLES = 4, SMALL_STEPS = 20 };

// Five bodies' flexions; body `driven` is given, the others unknown.
typedef struct chain {
    const planar *p;
    six_bar kind;
    int driven;
    double given;
} chain;

static void angles_of(const chain *c, const gsl_vector *v, double flexion[6])
{
    size_t k = 0;
    flexion[0] = 0;
    for (int b = 1; b < 6; b++) flexion[b] = b == c->driven ? c->given : gsl_vector_get(v, k++);
}

// From one pin of a body to another, turned.
static hw_vec2 link(const chain *c, const double flexion[6], int body, int from, int to)
{
    const hw_pin *f = &c->p->pin[from], *t = &c->p->pin[to];
    hw_vec2 a = f->a == body ? f->at_a : f->at_b, b = t->a == body ? t->at_a : t->at_b;
    return hw_flexed(hw_sub(b, a), flexion[body]);
}

// Two closed polygons: pivot, crank, coupler, rocker, ground; and over the second dyad.
static int polygons(const gsl_vector *v, void *self, gsl_vector *out)
{
    const chain *c = self;
    double f[6];
    angles_of(c, v, f);
    hw_vec2 crank = link(c, f, 1, 0, 1), coupler = link(c, f, 2, 1, 2);
    hw_vec2 one = hw_add(hw_add(crank, coupler), link(c, f, 3, 2, 3));
    one = hw_sub(one, link(c, f, 0, 0, 3));
    hw_vec2 two = c->kind == WATT ? hw_add(link(c, f, 0, 0, 3), link(c, f, 3, 3, 4))
                                  : hw_add(crank, link(c, f, 2, 1, 4));
    two = hw_add(hw_add(two, link(c, f, 4, 4, 5)), link(c, f, 5, 5, 6));
    two = hw_sub(two, link(c, f, 0, 0, 6));
    gsl_vector_set(out, 0, one.x);
    gsl_vector_set(out, 1, one.z);
    gsl_vector_set(out, 2, two.x);
    gsl_vector_set(out, 3, two.z);
    return GSL_SUCCESS;
}

static bool judge_solves(gsl_multiroot_fsolver *solver, chain *c, gsl_vector *v)
{
    gsl_multiroot_function f = {polygons, ANGLES, c};
    if (gsl_multiroot_fsolver_set(solver, &f, v) != GSL_SUCCESS) return false;
    int status = GSL_CONTINUE;
    for (int i = 0; i < 60 && status == GSL_CONTINUE; i++) {
        if (gsl_multiroot_fsolver_iterate(solver) != GSL_SUCCESS) return false;
        status = gsl_multiroot_test_residual(solver->f, 1e-12);
    }
    gsl_vector_memcpy(v, solver->x);
    return status == GSL_SUCCESS;
}

static void six_bars_that_are_no_dyads(void)
{
    hw_rng g = hw_rng_new(31, 1);
    gsl_set_error_handler_off();
    gsl_multiroot_fsolver *solver =
        gsl_multiroot_fsolver_alloc(gsl_multiroot_fsolver_hybrids, ANGLES);
    gsl_vector *v = gsl_vector_alloc(ANGLES);
    int poses = 0, left_out = 0, stops = 0, confirmed = 0;
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 300; k++, hw_arena_rewind(arena, mark)) {
        six_bar kind = k % 2 ? WATT : STEPHENSON;
        int driven = kind == WATT ? 4 : 5;
        double span = hw_rng_uniform(&g, 0.3, 1.5) * (k % 4 < 2 ? 1 : -1);
        planar p = random_six_bar(&g, kind, driven, span);
        planar_ends(&p);
        double s[POSES];
        hw_mech_motion at[POSES];
        uint8_t ok[POSES];
        hw_event event[8];
        hw_mech_sweep sweep = {.n = POSES, .s = s, .at = at, .ok = ok, .event = event, .room = 8};
        for (int i = 0; i < POSES; i++) {
            s[i] = (double)i / (POSES - 1);
            CHECK(hw_mech_motion_new(arena, &p.m, &at[i]) == HW_OK);
        }
        hw_code code = hw_mech_walk(&p.m, arena, p.at, 0, &sweep);
        CHECK(code == HW_OK || code == HW_NO_ASSEMBLY);
        chain c = {&p, kind, driven, 0};
        for (int b = 1, i = 0; b < 6; b++)
            if (b != driven) gsl_vector_set(v, (size_t)i++, p.at[b].angle);
        bool alive = true;
        for (int i = 0; i < POSES && alive && ok[i]; i++) {
            for (int step = 1; step <= SMALL_STEPS && alive; step++) {
                double from = i ? s[i - 1] : 0;
                double now = from + (s[i] - from) * step / SMALL_STEPS;
                c.given = p.driver[0].start + span * now;
                alive = judge_solves(solver, &c, v);
            }
            // Where the mechanism is near a dead point the judge's small steps may lose the branch.
            if (!alive || at[i].conditioning > 1e3) break;
            double f[6];
            angles_of(&c, v, f);
            poses++;
            for (int b = 1; b < 6; b++)
                NEAR(f[b], at[i].pose[b].angle, 1e-11 * at[i].conditioning); // judge's residual
        }
        left_out += !alive;
        // Beyond a dead point the judge finds nothing either, started from the last pose before.
        if (!sweep.events) continue;
        stops++;
        CHECK(event[0].kind == HW_EVENT_DEAD_POINT);
        double before = event[0].s * (1 - 1e-8), beyond = event[0].s + 1e-5;
        if (hw_mech_solve(&p.m, arena, p.at, 0, before, &at[0], NULL) != HW_OK) continue;
        for (int b = 1, i = 0; b < 6; b++)
            if (b != driven) gsl_vector_set(v, (size_t)i++, at[0].pose[b].angle);
        c.given = p.driver[0].start + span * beyond;
        gsl_vector *start = gsl_vector_alloc(ANGLES);
        gsl_vector_memcpy(start, v);
        bool found = judge_solves(solver, &c, v);
        gsl_vector_sub(start, v);
        double moved = 0;
        for (size_t i = 0; i < ANGLES; i++) moved = fmax(moved, fabs(gsl_vector_get(start, i)));
        gsl_vector_free(start);
        confirmed += !found || moved > 0.02; // nothing, or a solution that is nowhere near
    }
    printf(
        "%d poses of 300 six-bars beside the judge, who lost %d; %d of %d dead points confirmed\n",
        poses, left_out, confirmed, stops);
    CHECK(poses > 3000);
    CHECK(left_out < 15);
    CHECK(stops > 50 && confirmed == stops);
    gsl_vector_free(v);
    gsl_multiroot_fsolver_free(solver);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(six_bars_that_are_no_dyads);
    hw_arena_free(arena);
    return TEST_END();
}
