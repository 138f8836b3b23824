// Plane and circle fits: exact cases, GSL, coverage of the intervals, turning and scaling.
#include "anatomy/fit.h"
#include "base/rng.h"
#include "check.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_multifit.h>
#include <gsl/gsl_multifit_nlinear.h>

enum { MOST = 40, RUNS = 600 };

static void quantiles(void)
{
    CHECK(isinf(hw_student_95(0)));
    for (size_t n = 1; n < 200; n++)
        CLOSE(hw_student_95(n), gsl_cdf_tdist_Pinv(0.975, (double)n), 1e-3);
    CLOSE(hw_student_95(1000000), 1.959966, 1e-5);
}

// ---- planes

static void a_plane_is_found_exactly(void)
{
    // z = 0.3 x - 0.2 y + 1, corners of a rectangle 4 by 2 and its middle
    hw_vec3 p[5] = {{-2, -1, 0}, {2, -1, 0}, {2, 1, 0}, {-2, 1, 0}, {0, 0, 0}};
    for (int i = 0; i < 5; i++) p[i].z = 0.3 * p[i].x - 0.2 * p[i].y + 1;
    hw_plane_fit f;
    CHECK(hw_plane_fit_of(p, 5, &f) == HW_OK);
    double size = sqrt(0.09 + 0.04 + 1);
    NEAR(f.frame.z.x, -0.3 / size, 1e-12);
    NEAR(f.frame.z.y, 0.2 / size, 1e-12);
    NEAR(f.frame.z.z, 1 / size, 1e-12);
    NEAR(f.frame.at.z, 1, 1e-12);
    NEAR(f.rms, 0, 1e-12);
    NEAR(f.tilt[0], 0, 1e-10);
    CHECK(hw_plane_fit_of(p, 3, &f) == HW_OK && isinf(f.tilt[0]) && f.rms == 0);
}

// Against ordinary least squares by GSL where the plane is nearly level: tilts and intervals agree
// to the square of the slopes; at any tilt and size the fit turns and scales with its points.
static void planes_against_least_squares(void)
{
    hw_rng r = hw_rng_new(55, 1);
    for (int k = 0; k < 50; k++) {
        enum { N = 12 };
        hw_vec3 p[N], q[N];
        gsl_matrix *x = gsl_matrix_alloc(N, 3), *cov = gsl_matrix_alloc(3, 3);
        gsl_vector *y = gsl_vector_alloc(N), *c = gsl_vector_alloc(3);
        double sum;
        for (size_t i = 0; i < N; i++) {
            p[i] = (hw_vec3){hw_rng_uniform(&r, -3, 3), hw_rng_uniform(&r, -1, 1), 0};
            p[i].z = 1e-3 * hw_rng_normal(&r);
            gsl_matrix_set(x, i, 0, p[i].x);
            gsl_matrix_set(x, i, 1, p[i].y);
            gsl_matrix_set(x, i, 2, 1);
            gsl_vector_set(y, i, p[i].z);
        }
        gsl_multifit_linear_workspace *w = gsl_multifit_linear_alloc(N, 3);
        gsl_multifit_linear(x, y, c, cov, &sum, w);
        hw_plane_fit f, g;
        CHECK(hw_plane_fit_of(p, N, &f) == HW_OK);
        NEAR(f.frame.z.x, -gsl_vector_get(c, 0), 1e-5);
        NEAR(f.frame.z.y, -gsl_vector_get(c, 1), 1e-5);
        CLOSE(f.rms, sqrt(sum / (N - 3)), 1e-3);
        // slope along the frame's x: a turn about y
        double ax = f.frame.x.x, ay = f.frame.x.y;
        double v = ax * ax * gsl_matrix_get(cov, 0, 0) + 2 * ax * ay * gsl_matrix_get(cov, 0, 1) +
                   ay * ay * gsl_matrix_get(cov, 1, 1);
        CLOSE(f.tilt[1], gsl_cdf_tdist_Pinv(0.975, N - 3) * sqrt(v), 2e-3);
        CHECK(f.tilt[0] > f.tilt[1]); // the short way is the looser one
        for (int i = 0; i < N; i++) // turned by 120 degrees about the diagonal, 1000 times smaller
            q[i] = (hw_vec3){p[i].z * 1e-3 + 5, p[i].x * 1e-3, p[i].y * 1e-3 - 2};
        CHECK(hw_plane_fit_of(q, N, &g) == HW_OK);
        NEAR(fabs(g.frame.z.x), fabs(f.frame.z.z), 1e-9);
        CLOSE(g.rms, 1e-3 * f.rms, 1e-6);
        CLOSE(g.tilt[0], f.tilt[0], 1e-6);
        gsl_multifit_linear_free(w);
        gsl_matrix_free(x);
        gsl_matrix_free(cov);
        gsl_vector_free(y);
        gsl_vector_free(c);
    }
}

static void planes_cover_the_truth(void)
{
    hw_rng r = hw_rng_new(55, 2);
    int held = 0;
    for (int k = 0; k < RUNS; k++) {
        hw_vec3 p[8];
        for (int i = 0; i < 8; i++)
            p[i] = (hw_vec3){hw_rng_uniform(&r, -30, 30), hw_rng_uniform(&r, -10, 10),
                             0.4 * hw_rng_normal(&r)};
        hw_plane_fit f;
        CHECK(hw_plane_fit_of(p, 8, &f) == HW_OK);
        // the true normal is z: its turn about the frame's y
        double about_y = atan2(f.frame.x.z, f.frame.z.z);
        held += fabs(about_y) <= f.tilt[1];
    }
    CHECK(held > 0.92 * RUNS && held < 0.98 * RUNS);
}

static void lines_are_no_planes(void)
{
    hw_vec3 p[4] = {{0, 0, 0}, {1, 2, 3}, {2, 4, 6}, {3, 6, 9}};
    hw_plane_fit f;
    CHECK(hw_plane_fit_of(p, 4, &f) == HW_BAD_INPUT && isnan(f.rms));
    CHECK(hw_plane_fit_of(p, 2, &f) == HW_BAD_INPUT);
    p[2].y = NAN;
    CHECK(hw_plane_fit_of(p, 4, &f) == HW_BAD_INPUT);
    for (int i = 0; i < 4; i++) p[i] = (hw_vec3){1, 1, 1};
    CHECK(hw_plane_fit_of(p, 4, &f) == HW_BAD_INPUT);
}

// ---- circles

static void circles_are_found_exactly(void)
{
    static const double arcs[] = {0.1, 1, 3, 6};
    for (int a = 0; a < 4; a++)
        for (int far = 0; far < 2; far++) {
            hw_vec2 p[7];
            double radius = far ? 84e-3 : 3, at = far ? 2 : 0;
            for (int i = 0; i < 7; i++) {
                double turn = arcs[a] * i / 6;
                p[i] = (hw_vec2){at + radius * cos(turn), 0.5 - radius * sin(turn)};
            }
            hw_circle_fit c;
            CHECK(hw_circle_fit_of(p, 7, &c) == HW_OK);
            double flat = arcs[a] < 0.5 ? 1e-9 : 1e-12; // a short arc hides its radius
            CLOSE(c.radius, radius, flat * 100);
            NEAR(c.centre.x, at, flat * 100 * (1 + radius));
            NEAR(c.rms, 0, 1e-13);
            CHECK(hw_circle_fit_of(p, 3, &c) == HW_OK && isinf(c.radius_off) && c.rms == 0);
        }
}

typedef struct data {
    const hw_vec2 *p;
    size_t n;
} data;

static int distances(const gsl_vector *x, void *of, gsl_vector *f)
{
    const data *d = of;
    for (size_t i = 0; i < d->n; i++)
        gsl_vector_set(f, i,
                       hypot(d->p[i].x - gsl_vector_get(x, 0), d->p[i].z - gsl_vector_get(x, 1)) -
                           gsl_vector_get(x, 2));
    return GSL_SUCCESS;
}

static void circles_against_gsl(void)
{
    hw_rng r = hw_rng_new(56, 1);
    for (int k = 0; k < 50; k++) {
        enum { N = 10 };
        hw_vec2 p[N];
        double arc = hw_rng_uniform(&r, 1, 6), radius = hw_rng_uniform(&r, 0.5, 2);
        for (int i = 0; i < N; i++) {
            double turn = hw_rng_uniform(&r, 0, arc), away = radius + 0.02 * hw_rng_normal(&r);
            p[i] = (hw_vec2){1 + away * cos(turn), away * sin(turn)};
        }
        hw_circle_fit c;
        if (!CHECK(hw_circle_fit_of(p, N, &c) == HW_OK)) continue;
        data d = {p, N};
        gsl_multifit_nlinear_fdf fdf = {.f = distances, .n = N, .p = 3, .params = &d};
        gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
        gsl_multifit_nlinear_workspace *w =
            gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, N, 3);
        double begin[3] = {c.centre.x + 0.05, c.centre.z - 0.05, c.radius + 0.05};
        gsl_vector_view x = gsl_vector_view_array(begin, 3);
        int info;
        gsl_multifit_nlinear_init(&x.vector, &fdf, w);
        gsl_multifit_nlinear_driver(200, 1e-12, 1e-12, 0, NULL, NULL, &info, w);
        gsl_matrix *cov = gsl_matrix_alloc(3, 3);
        gsl_multifit_nlinear_covar(gsl_multifit_nlinear_jac(w), 0, cov);
        double cost;
        gsl_blas_ddot(gsl_multifit_nlinear_residual(w), gsl_multifit_nlinear_residual(w), &cost);
        NEAR(c.centre.x, gsl_vector_get(w->x, 0), 1e-6);
        NEAR(c.centre.z, gsl_vector_get(w->x, 1), 1e-6);
        NEAR(c.radius, gsl_vector_get(w->x, 2), 1e-6);
        CLOSE(c.rms, sqrt(cost / (N - 3)), 1e-6);
        double t = gsl_cdf_tdist_Pinv(0.975, N - 3) * sqrt(cost / (N - 3));
        CLOSE(c.radius_off, t * sqrt(gsl_matrix_get(cov, 2, 2)), 2e-3);
        CLOSE(c.centre_off.x, t * sqrt(gsl_matrix_get(cov, 0, 0)), 2e-3);
        CLOSE(c.centre_off.z, t * sqrt(gsl_matrix_get(cov, 1, 1)), 2e-3);
        gsl_matrix_free(cov);
        gsl_multifit_nlinear_free(w);
    }
}

static void circles_cover_the_truth(void)
{
    hw_rng r = hw_rng_new(56, 2);
    int radius = 0, centre = 0;
    for (int k = 0; k < RUNS; k++) {
        hw_vec2 p[9];
        for (int i = 0; i < 9; i++) { // picks 0.3 mm off an arc of 120 degrees of 60 mm
            double turn = 2.1 * i / 8, away = 60 + 0.3 * hw_rng_normal(&r);
            p[i] = (hw_vec2){away * cos(turn), away * sin(turn)};
        }
        hw_circle_fit c;
        CHECK(hw_circle_fit_of(p, 9, &c) == HW_OK);
        radius += fabs(c.radius - 60) <= c.radius_off;
        centre += fabs(c.centre.x) <= c.centre_off.x;
    }
    CHECK(radius > 0.92 * RUNS && radius < 0.98 * RUNS);
    CHECK(centre > 0.92 * RUNS && centre < 0.98 * RUNS);
}

static void lines_are_no_circles(void)
{
    hw_vec2 p[4] = {{0, 0}, {1, 2}, {2, 4}, {3, 6}};
    hw_circle_fit c;
    CHECK(hw_circle_fit_of(p, 4, &c) == HW_BAD_INPUT && isnan(c.radius));
    CHECK(hw_circle_fit_of(p, 2, &c) == HW_BAD_INPUT);
    p[0].x = INFINITY;
    CHECK(hw_circle_fit_of(p, 4, &c) == HW_BAD_INPUT);
    // a flat S has no nearest circle: the larger, the better
    hw_vec2 s[21];
    for (int i = 0; i < 21; i++) s[i] = (hw_vec2){i - 10, 1e-5 * pow(i - 10, 3)};
    hw_code code = hw_circle_fit_of(s, 21, &c);
    CHECK(code == HW_NOT_CONVERGED && isnan(c.radius));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(quantiles);
    RUN(a_plane_is_found_exactly);
    RUN(planes_against_least_squares);
    RUN(planes_cover_the_truth);
    RUN(lines_are_no_planes);
    RUN(circles_are_found_exactly);
    RUN(circles_against_gsl);
    RUN(circles_cover_the_truth);
    RUN(lines_are_no_circles);
    (void)hw_check_text;
    return TEST_END();
}
