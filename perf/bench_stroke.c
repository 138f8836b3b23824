// Whole strokes per second on one core: 64 poses, angles and all pin forces. Our hot loop in both
// builds, then the same digits by a general Newton solver on the loop equations (GSL's
// multi-dimensional root finder, analytic Jacobian, warm start from the pose before) with a general
// 9 x 9 balance. Same digits, same run, same machine; both answers are compared.
#include "stroke/batch.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_multiroots.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { DIGITS = 256, POSES = 64, ROUNDS = 7 };

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t); // other work on the machine does not count
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

// Four index fingers of the examples' kind, each entry moved by up to 2 %.
static void make_digits(hw_digit *d)
{
    uint64_t state = 5;
    for (int i = 0; i < DIGITS; i++) {
        d[i] = hw_digit_default();
        d[i].family = HW_FAMILY_COUPLED_BARS;
        double *value[] = {&d[i].phalanx[0],    &d[i].phalanx[1],    &d[i].phalanx[2],
                           &d[i].bar[0].root.x, &d[i].bar[0].root.z, &d[i].bar[0].horn,
                           &d[i].bar[1].root.x, &d[i].bar[1].root.z, &d[i].bar[1].horn};
        for (size_t k = 0; k < sizeof value / sizeof *value; k++) {
            state = state * 6364136223846793005u + 1442695040888963407u;
            *value[k] *= 1 + 0.04 * ((double)(state >> 11) * 0x1p-53 - 0.5);
        }
    }
}

typedef struct loops {
    const hw_digit *d;
    double horn[2][2], bar[2], driven;
} loops;

// Unknowns: flexion of middle and distal phalanx, of bar A and bar B, against the carrier.
static int equations(const gsl_vector *x, void *self, gsl_vector *f)
{
    const loops *q = self;
    const double *l = q->d->phalanx;
    double from[3] = {q->driven, gsl_vector_get(x, 0), gsl_vector_get(x, 1)};
    hw_vec2 knuckle = hw_flexed((hw_vec2){l[0], 0}, from[0]);
    hw_vec2 dip = hw_add(knuckle, hw_flexed((hw_vec2){l[1], 0}, from[1]));
    hw_vec2 end[2] = {hw_add(knuckle, hw_flexed((hw_vec2){q->horn[0][0], q->horn[0][1]}, from[1])),
                      hw_add(dip, hw_flexed((hw_vec2){q->horn[1][0], q->horn[1][1]}, from[2]))};
    hw_vec2 root[2] = {q->d->bar[0].root, hw_add(knuckle, hw_flexed(q->d->bar[1].root, from[0]))};
    for (size_t b = 0; b < 2; b++) {
        hw_vec2 bar = hw_flexed((hw_vec2){q->bar[b], 0}, gsl_vector_get(x, 2 + b));
        gsl_vector_set(f, 2 * b, end[b].x - root[b].x - bar.x);
        gsl_vector_set(f, 2 * b + 1, end[b].z - root[b].z - bar.z);
    }
    return GSL_SUCCESS;
}

static void put_rate(gsl_matrix *j, size_t row, size_t column, hw_vec2 v)
{
    gsl_matrix_set(j, row, column, v.z); // d/d(flexion) of (x, z) is (z, -x)
    gsl_matrix_set(j, row + 1, column, -v.x);
}

static int rates(const gsl_vector *x, void *self, gsl_matrix *j)
{
    const loops *q = self;
    double mid = gsl_vector_get(x, 0), far = gsl_vector_get(x, 1);
    gsl_matrix_set_zero(j);
    put_rate(j, 0, 0, hw_flexed((hw_vec2){q->horn[0][0], q->horn[0][1]}, mid));
    put_rate(j, 2, 0, hw_flexed((hw_vec2){q->d->phalanx[1], 0}, mid));
    put_rate(j, 2, 1, hw_flexed((hw_vec2){q->horn[1][0], q->horn[1][1]}, far));
    for (size_t b = 0; b < 2; b++) {
        hw_vec2 bar = hw_flexed((hw_vec2){q->bar[b], 0}, gsl_vector_get(x, 2 + b));
        put_rate(j, 2 * b, 2 + b, hw_scale(bar, -1));
    }
    return GSL_SUCCESS;
}

static int both(const gsl_vector *x, void *self, gsl_vector *f, gsl_matrix *j)
{
    equations(x, self, f);
    return rates(x, self, j);
}

static void put_force(gsl_matrix *m, size_t body, size_t column, hw_vec2 arm, double sign)
{
    // a force (fx, fz) in two columns: sums and moment z fx - x fz
    gsl_matrix_set(m, 3 * body, column, sign);
    gsl_matrix_set(m, 3 * body + 1, column + 1, sign);
    gsl_matrix_set(m, 3 * body + 2, column, sign * arm.z);
    gsl_matrix_set(m, 3 * body + 2, column + 1, -sign * arm.x);
}

// Unknowns: pins 0 to 2 (x, z), bars A and B, torque. Bodies: proximal, middle, distal, moments
// about the knuckle.
static void balance(const loops *q, const gsl_vector *x, gsl_matrix *m, gsl_vector *rhs,
                    gsl_permutation *p, gsl_vector *y)
{
    const double *l = q->d->phalanx;
    double turned[3] = {q->driven, gsl_vector_get(x, 0), gsl_vector_get(x, 1)};
    hw_vec2 at[4] = {{0, 0}};
    for (int i = 0; i < 3; i++) at[i + 1] = hw_add(at[i], hw_flexed((hw_vec2){l[i], 0}, turned[i]));
    gsl_matrix_set_zero(m);
    gsl_vector_set_zero(rhs);
    for (size_t i = 0; i < 3; i++) {
        put_force(m, i, 2 * i, at[i], 1);
        if (i > 0) put_force(m, i - 1, 2 * i, at[i], -1);
    }
    for (size_t b = 0; b < 2; b++) {
        hw_vec2 horn = hw_flexed((hw_vec2){q->horn[b][0], q->horn[b][1]}, turned[b + 1]);
        hw_vec2 pull = hw_flexed((hw_vec2){-1, 0}, gsl_vector_get(x, 2 + b));
        hw_vec2 end = hw_add(at[b + 1], horn);
        gsl_matrix_set(m, 3 * (b + 1), 6 + b, pull.x);
        gsl_matrix_set(m, 3 * (b + 1) + 1, 6 + b, pull.z);
        gsl_matrix_set(m, 3 * (b + 1) + 2, 6 + b, hw_moment(end, pull));
        if (b == 0) continue;
        gsl_matrix_set(m, 0, 7, -pull.x);
        gsl_matrix_set(m, 1, 7, -pull.z);
        gsl_matrix_set(m, 2, 7, -hw_moment(end, pull)); // along the bar's own line
    }
    gsl_matrix_set(m, 2, 8, 1);
    hw_vec2 load = hw_flexed((hw_vec2){0, 1}, turned[2]);
    gsl_vector_set(rhs, 6, -load.x);
    gsl_vector_set(rhs, 7, -load.z);
    gsl_vector_set(rhs, 8, -hw_moment(at[3], load));
    int sign;
    gsl_linalg_LU_decomp(m, p, &sign);
    gsl_linalg_LU_solve(m, p, rhs, y);
}

typedef struct newton {
    gsl_multiroot_fdfsolver *solver;
    gsl_matrix *m;
    gsl_vector *rhs, *y, *x;
    gsl_permutation *p;
} newton;

// One stroke; the largest difference from ours in PIP, DIP [rad] and in the PIP pin [N/N].
static size_t stroke_by_newton(const newton *w, const hw_digit *d, const hw_stroke *ours,
                               size_t from, double *angle, double *force)
{
    loops q = {.d = d};
    size_t steps = 0;
    for (int b = 0; b < 2; b++) {
        q.horn[b][0] = d->bar[b].horn * cos(d->bar[b].horn_angle);
        q.horn[b][1] = d->bar[b].horn * sin(d->bar[b].horn_angle);
        double x = d->phalanx[b] + q.horn[b][0] - d->bar[b].root.x;
        double z = q.horn[b][1] - d->bar[b].root.z;
        q.bar[b] = hypot(x, z);
        gsl_vector_set(w->x, (size_t)b, 0);
        gsl_vector_set(w->x, (size_t)b + 2, atan2(-z, x));
    }
    gsl_multiroot_function_fdf f = {equations, rates, both, 4, &q};
    for (size_t i = 0; i < POSES; i++) {
        q.driven = d->travel[0] + ours->s[i] * (d->travel[1] - d->travel[0]);
        gsl_multiroot_fdfsolver_set(w->solver, &f, w->x);
        // to 1e-14 m of closure: what our closed form gives
        for (int k = 0; k < 20; k++) {
            if (gsl_multiroot_test_residual(w->solver->f, 1e-14) == GSL_SUCCESS) break;
            steps++;
            if (gsl_multiroot_fdfsolver_iterate(w->solver)) break;
        }
        gsl_vector_memcpy(w->x, w->solver->x);
        balance(&q, w->x, w->m, w->rhs, w->p, w->y);
        double pip = gsl_vector_get(w->x, 0) - q.driven;
        double dip = gsl_vector_get(w->x, 1) - gsl_vector_get(w->x, 0);
        double pin = hypot(gsl_vector_get(w->y, 2), gsl_vector_get(w->y, 3));
        *angle = fmax(*angle, fmax(fabs(pip - ours->joint[1][from + i]),
                                   fabs(dip - ours->joint[2][from + i])));
        *force = fmax(*force, fabs(pin / ours->pin[1][from + i] - 1));
    }
    return steps;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

// Median over rounds of strokes per second.
static double ours_per_second(const hw_digit *d, hw_stroke_build build, hw_stroke *out)
{
    double rate[ROUNDS];
    for (int r = 0; r < ROUNDS; r++) {
        size_t closed, runs = 0;
        double start = now(), spent = 0;
        while (spent < 0.2) {
            if (hw_stroke_batch(d, DIGITS, POSES, build, out, &closed)) exit(1);
            runs++;
            spent = now() - start;
        }
        rate[r] = (double)(runs * DIGITS) / spent;
    }
    qsort(rate, ROUNDS, sizeof *rate, by_size);
    return rate[ROUNDS / 2];
}

static double newton_per_second(const hw_digit *d, const hw_stroke *ours)
{
    newton w = {gsl_multiroot_fdfsolver_alloc(gsl_multiroot_fdfsolver_newton, 4),
                gsl_matrix_alloc(9, 9),
                gsl_vector_alloc(9),
                gsl_vector_alloc(9),
                gsl_vector_alloc(4),
                gsl_permutation_alloc(9)};
    double angle = 0, force = 0, start = now(), spent = 0;
    size_t runs = 0, steps = 0;
    while (spent < 1.5) {
        steps +=
            stroke_by_newton(&w, &d[runs % DIGITS], ours, runs % DIGITS * POSES, &angle, &force);
        runs++;
        spent = now() - start;
    }
    printf(
        "newton: %.2f steps a pose; largest difference from ours %.1e rad, %.1e of the PIP pin\n",
        (double)steps / (double)(runs * POSES), angle, force);
    gsl_multiroot_fdfsolver_free(w.solver);
    gsl_matrix_free(w.m);
    gsl_vector_free(w.rhs);
    gsl_vector_free(w.y);
    gsl_vector_free(w.x);
    gsl_permutation_free(w.p);
    if (angle > 1e-9 || force > 1e-8) exit(1);
    return (double)runs / spent;
}

int main(void)
{
    hw_arena *a = hw_arena_new(0);
    static hw_digit d[DIGITS];
    hw_stroke full;
    gsl_set_error_handler_off();
    if (hw_stroke_new(a, (size_t)DIGITS * POSES, &full)) return 1;
    make_digits(d);
    hw_stroke lean = full;
    lean.transmission[0] = lean.transmission[1] = NULL;
    double wide = ours_per_second(d, HW_STROKE_FASTEST, &lean);
    double plain = ours_per_second(d, HW_STROKE_PLAIN, &lean);
    double angles = ours_per_second(d, HW_STROKE_FASTEST, &full);
    double general = newton_per_second(d, &full);
    printf("strokes of %d poses a second and core\n", POSES);
    printf("  fastest build            %10.0f\n", wide);
    printf("  plain build              %10.0f\n", plain);
    printf("  fastest, transmission too%10.0f\n", angles);
    printf("  newton and 9 x 9 balance %10.0f\n", general);
    printf("  fastest / newton         %10.1f\n", wide / general);
    hw_arena_free(a);
    return 0;
}
