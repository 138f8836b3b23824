// Sweeps per second of the general solver beside GSL's root finders on the same loop equations with
// the same Jacobian, and of the closed form. One thread.
//   bench_linkage [seconds per row]
#include "digit/digit.h"
#include "linkage/loops.h"

#include <gsl/gsl_multiroots.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define DEG (HW_PI / 180)

enum { POSES = 64, BODIES = 6 };

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static hw_digit digit_of(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    const double phalanx[3] = {0.0456, 0.0266, 0.0180};
    for (int i = 0; i < 3; i++) d.phalanx[i] = phalanx[i];
    d.travel[0] = 0;
    d.travel[1] = 85 * DEG;
    d.bar[0].root = (hw_vec2){0.0059, 0.0031};
    d.bar[0].horn = 0.006;
    d.bar[0].horn_angle = -50 * DEG;
    d.bar[1].root = (hw_vec2){-0.0040, -0.0020};
    d.bar[1].horn = 0.005;
    d.bar[1].horn_angle = 149 * DEG;
    return d;
}

// One mechanism with all that its rows need.
typedef struct bench {
    hw_digit d;
    hw_arena *arena;
    hw_mech m;
    hw_body_pose start[BODIES];
    double s[POSES];
    hw_mech_sweep sweep;
    hw_mech_motion at[POSES];
    uint8_t ok[POSES];
    hw_loops loops;
    double *x, *f, *j;
    double judged[POSES]; // last body's angle by whoever ran [rad]
    long iterations;
} bench;

static void known_pose(bench *b)
{
    hw_digit_pose p;
    double flexion = 0;
    if (hw_digit_family_of(b->d.family)->pose(&b->d, 0, &p) != HW_OK) exit(3);
    for (int i = 0; i < HW_JOINTS; i++) {
        flexion += p.joint[i];
        b->start[i + 1] = (hw_body_pose){p.at[i].x, p.at[i].z, flexion};
    }
    for (int i = 0; i < 2; i++) {
        hw_vec2 line = hw_sub(p.bar_end[i], p.bar_root[i]);
        b->start[4 + i] = (hw_body_pose){p.bar_root[i].x, p.bar_root[i].z, atan2(-line.z, line.x)};
    }
}

static void set_up(bench *b)
{
    *b = (bench){.d = digit_of(), .arena = hw_arena_new(0)};
    if (!b->arena) exit(3);
    if (hw_digit_family_of(b->d.family)->mechanism(&b->d, b->arena, &b->m) != HW_OK) exit(3);
    known_pose(b);
    for (int i = 0; i < POSES; i++) {
        b->s[i] = (double)i / (POSES - 1);
        if (hw_mech_motion_new(b->arena, &b->m, &b->at[i]) != HW_OK) exit(3);
    }
    b->sweep = (hw_mech_sweep){.n = POSES, .s = b->s, .at = b->at, .ok = b->ok};
    if (hw_loops_new(&b->m, b->arena, &b->loops) != HW_OK) exit(3);
    size_t n = b->loops.n;
    b->x = HW_NEW(b->arena, double, n + 1);
    b->f = HW_NEW(b->arena, double, n);
    b->j = HW_NEW(b->arena, double, n *(n + 1));
    if (hw_arena_failed(b->arena)) exit(3);
}

static bool by_walk(bench *b)
{
    hw_code code = hw_mech_walk(&b->m, b->arena, b->start, 0, &b->sweep);
    b->iterations = 0;
    for (int i = 0; i < POSES; i++) {
        b->judged[i] = b->at[i].pose[3].angle;
        b->iterations += b->at[i].iterations;
    }
    return code == HW_OK;
}

static bool by_closed_form(bench *b)
{
    bool all = true;
    for (int i = 0; i < POSES; i++) {
        hw_digit_pose p;
        all = hw_digit_family_of(b->d.family)->pose(&b->d, b->s[i], &p) == HW_OK && all;
        b->judged[i] = p.joint[0] + p.joint[1] + p.joint[2];
    }
    return all;
}

static void gsl_at(bench *b, const gsl_vector *v, gsl_vector *f, gsl_matrix *j)
{
    size_t n = b->loops.n;
    for (size_t i = 0; i < n; i++) b->x[i] = gsl_vector_get(v, i);
    hw_loops_at(&b->loops, b->x, b->f, j ? b->j : NULL);
    for (size_t i = 0; i < n; i++) {
        if (f) gsl_vector_set(f, i, b->f[i]);
        for (size_t c = 0; j && c < n; c++) gsl_matrix_set(j, i, c, b->j[i * (n + 1) + c]);
    }
}

static int gsl_f(const gsl_vector *v, void *self, gsl_vector *f)
{
    gsl_at(self, v, f, NULL);
    return GSL_SUCCESS;
}

static int gsl_df(const gsl_vector *v, void *self, gsl_matrix *j)
{
    gsl_at(self, v, NULL, j);
    return GSL_SUCCESS;
}

static int gsl_fdf(const gsl_vector *v, void *self, gsl_vector *f, gsl_matrix *j)
{
    gsl_at(self, v, f, j);
    return GSL_SUCCESS;
}

// Each pose from the one before, to the same residual that the walk ends with; positions only.
static bool by_gsl(bench *b, const gsl_multiroot_fdfsolver_type *type)
{
    size_t n = b->loops.n;
    gsl_multiroot_fdfsolver *solver = gsl_multiroot_fdfsolver_alloc(type, n);
    gsl_vector *v = gsl_vector_alloc(n);
    gsl_multiroot_function_fdf system = {gsl_f, gsl_df, gsl_fdf, n, b};
    bool all = true;
    hw_loops_pack(&b->loops, b->start, 0, b->x);
    for (size_t i = 0; i < n; i++) gsl_vector_set(v, i, b->x[i]);
    b->iterations = 0;
    for (int i = 0; i < POSES; i++) {
        b->x[n] = b->s[i] * b->loops.stroke;
        gsl_multiroot_fdfsolver_set(solver, &system, v);
        int status = GSL_CONTINUE;
        for (int pass = 0; pass < 50 && status == GSL_CONTINUE; pass++, b->iterations++) {
            if (gsl_multiroot_fdfsolver_iterate(solver)) break;
            status = gsl_multiroot_test_residual(solver->f, 1e-14);
        }
        all = all && status == GSL_SUCCESS;
        gsl_vector_memcpy(v, solver->x);
        b->judged[i] = gsl_vector_get(v, 8);
    }
    gsl_vector_free(v);
    gsl_multiroot_fdfsolver_free(solver);
    return all;
}

static bool by_gsl_newton(bench *b)
{
    return by_gsl(b, gsl_multiroot_fdfsolver_newton);
}

static bool by_gsl_hybrid(bench *b)
{
    return by_gsl(b, gsl_multiroot_fdfsolver_hybridsj);
}

typedef struct row {
    const char *what;
    bool (*run)(bench *b);
} row;

int main(int argc, char **argv)
{
    static const row rows[] = {
        {"closed form, angles and rates", by_closed_form},
        {"walk: poses, two rates, conditioning, events", by_walk},
        {"GSL newton, poses only", by_gsl_newton},
        {"GSL hybridsj, poses only", by_gsl_hybrid},
    };
    double seconds = argc > 1 ? strtod(argv[1], NULL) : 1;
    bench b;
    set_up(&b);
    gsl_set_error_handler_off();
    if (!by_closed_form(&b)) return 3;
    double expected[POSES], walk_rate = 0;
    for (int i = 0; i < POSES; i++) expected[i] = b.judged[i];
    printf("a digit of coupled bars, %zu unknowns, %d poses a sweep, one thread\n", b.loops.n,
           POSES);
    printf("%-46s %12s %12s %10s %9s\n", "", "sweeps/s", "us a pose", "worst rad", "Newtons");
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        bool all = rows[k].run(&b);
        long runs = 0;
        double from = now(), spent;
        do {
            all = rows[k].run(&b) && all;
            runs++;
            spent = now() - from;
        } while (spent < seconds);
        double off = 0;
        for (int i = 0; i < POSES; i++) off = fmax(off, fabs(b.judged[i] - expected[i]));
        double rate = (double)runs / spent;
        if (k == 1) walk_rate = rate;
        printf("%-46s %12.0f %12.3f %10.1g %9.1f%s\n", rows[k].what, rate, 1e6 / rate / POSES, off,
               k ? (double)b.iterations / POSES : 0, all ? "" : "  (some poses not found)");
        if (k > 1) printf("%-46s %12.2f times the walk's time\n", "", walk_rate / rate);
    }
    hw_arena_free(b.arena);
    return 0;
}
