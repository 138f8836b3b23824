// A digit's section: rays from inside it all round, a closed curve through what they meet.
#include "anatomy/scan_internal.h"

#include <math.h>
#include <stdlib.h>

enum { RAYS = 48, TERMS = 5 };

// Solves a symmetric positive system by elimination. False: it is singular.
static bool solve(double m[TERMS][TERMS], double v[TERMS]) // [1] [1]
{
    for (int i = 0; i < TERMS; i++) {
        if (!(m[i][i] > 1e-9)) return false;
        for (int j = i + 1; j < TERMS; j++) {
            double k = m[j][i] / m[i][i];
            for (int l = i; l < TERMS; l++) m[j][l] -= k * m[i][l];
            v[j] -= k * v[i];
        }
    }
    for (int i = TERMS; i-- > 0;) {
        for (int j = i + 1; j < TERMS; j++) v[i] -= m[i][j] * v[j];
        v[i] /= m[i][i];
    }
    return true;
}

typedef struct star {
    double angle[RAYS], radius[RAYS]; // infinite: not used [rad] [m]
    double fit[TERMS];                // 1, cos, sin, of the angle and of twice it [m]
} star;

static void terms(double angle, double out[TERMS]) // [rad] [1]
{
    out[0] = 1;
    out[1] = cos(angle);
    out[2] = sin(angle);
    out[3] = cos(2 * angle);
    out[4] = sin(2 * angle);
}

static double radius_at(const star *t, double angle) // [rad] [m]
{
    double row[TERMS], r = 0;
    terms(angle, row);
    for (int i = 0; i < TERMS; i++) r += row[i] * t->fit[i];
    return r;
}

static bool fit_star(star *t)
{
    double m[TERMS][TERMS] = {{0}}, v[TERMS] = {0};
    for (int k = 0; k < RAYS; k++) {
        double row[TERMS];
        if (!isfinite(t->radius[k])) continue;
        terms(t->angle[k], row);
        for (int i = 0; i < TERMS; i++) {
            v[i] += row[i] * t->radius[k];
            for (int j = 0; j < TERMS; j++) m[i][j] += row[i] * row[j];
        }
    }
    if (!solve(m, v)) return false;
    for (int i = 0; i < TERMS; i++) t->fit[i] = v[i];
    return true;
}

static int by_size(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return a < b ? -1 : a > b;
}

// The middle of what can be used.
static double median(const double value[RAYS], size_t *used) // [m]
{
    double sorted[RAYS] = {0};
    size_t n = 0;
    for (int k = 0; k < RAYS; k++)
        if (isfinite(value[k])) sorted[n++] = value[k];
    *used = n;
    qsort(sorted, n, sizeof *sorted, by_size);
    return n ? sorted[n / 2] : (double)NAN;
}

// Leaves out rays that went through a hole to something else.
static bool trim(star *t, double noise) // [m]
{
    double off[RAYS];
    size_t n;
    for (int k = 0; k < RAYS; k++) off[k] = fabs(t->radius[k] - radius_at(t, t->angle[k]));
    double limit = 4 * fmax(median(off, &n), 0.7 * noise);
    for (int k = 0; k < RAYS; k++)
        if (!(off[k] <= limit)) t->radius[k] = (double)INFINITY;
    return n >= RAYS / 2 && fit_star(t);
}

// The widest angle without a ray that is used.
static double widest(const star *t) // [rad]
{
    int most = 0, run = 0;
    for (int k = 0; k < 2 * RAYS && run < RAYS; k++) {
        run = isfinite(t->radius[k % RAYS]) ? 0 : run + 1;
        if (run > most) most = run;
    }
    return 2 * HW_PI * (most + 1) / RAYS;
}

bool hw_scan_section(const hw_scanner *s, const hw_frame *f, double reach, hw_scan_ring *out)
{
    size_t n;
    star t;
    for (int k = 0; k < RAYS; k++) {
        double a = t.angle[k] = 2 * HW_PI * k / RAYS;
        hw_vec3 d = hw_vec3_along(hw_vec3_times(f->y, cos(a)), sin(a), f->z);
        int from_back = abs(k - RAYS / 4); // the same on both sides of the digit
        if (from_back > RAYS / 2) from_back = RAYS - from_back;
        hw_vec3 from = hw_vec3_along(f->at, (from_back % 3 - 1) * 0.008 * s->size, f->x);
        t.radius[k] = hw_near_ray(s->near, from, d, 0, reach).distance;
    }
    double usual = median(t.radius, &n);
    for (int k = 0; k < RAYS; k++)
        if (!(t.radius[k] < 1.8 * usual)) t.radius[k] = (double)INFINITY;
    if (n < RAYS / 2 || !fit_star(&t) || !trim(&t, s->def.noise) || !trim(&t, s->def.noise))
        return false;
    double right = radius_at(&t, 0), left = radius_at(&t, HW_PI);
    double up = radius_at(&t, HW_PI / 2), down = radius_at(&t, -HW_PI / 2);
    *out = (hw_scan_ring){.thick = up + down, .wide = right + left, .blind = widest(&t)};
    out->centre =
        hw_vec3_along(hw_vec3_along(f->at, 0.5 * (right - left), f->y), 0.5 * (up - down), f->z);
    return out->thick > 0 && out->wide > 0.5 * out->thick && out->wide < 2 * out->thick;
}
