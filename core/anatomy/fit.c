#include "anatomy/fit.h"

#include "base/axes.h"

#include <math.h>

double hw_student_95(size_t freedom)
{
    static const double small[] = {INFINITY, 12.7062, 4.30265, 3.18245, 2.77645, 2.57058};
    if (freedom < sizeof small / sizeof small[0]) return small[freedom];
    const double z = 1.959963984540054, n = (double)freedom, z2 = z * z;
    double g1 = z * (z2 + 1) / 4, g2 = z * ((5 * z2 + 16) * z2 + 3) / 96;
    double g3 = z * (((3 * z2 + 19) * z2 + 17) * z2 - 15) / 384;
    return z + (g1 + (g2 + g3 / n) / n) / n;
}

// ---- plane

static const hw_vec3 nothing3 = {NAN, NAN, NAN};

static hw_vec3 times(hw_vec3 a, double k) // [1]
{
    return (hw_vec3){a.x * k, a.y * k, a.z * k};
}

static double dot3(hw_vec3 a, hw_vec3 b) // [m^2]
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

static hw_vec3 cross(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

static hw_code refuse_plane(hw_plane_fit *out)
{
    const double none = (double)NAN;
    *out = (hw_plane_fit){{nothing3, nothing3, nothing3, nothing3}, none, {none, none}};
    return HW_BAD_INPUT;
}

hw_code hw_plane_fit_of(const hw_vec3 p[], size_t n, hw_plane_fit *out)
{
    hw_vec3 mean = {0, 0, 0};
    for (size_t i = 0; i < n; i++)
        mean = (hw_vec3){mean.x + p[i].x / (double)n, mean.y + p[i].y / (double)n,
                         mean.z + p[i].z / (double)n};
    double reach = 0, m[3][3] = {{0}}, v[3][3];
    for (size_t i = 0; i < n; i++)
        reach = fmax(
            reach, fmax(fabs(p[i].x - mean.x), fmax(fabs(p[i].y - mean.y), fabs(p[i].z - mean.z))));
    if (n < 3 || !(reach > 0) || !isfinite(reach)) return refuse_plane(out);
    for (size_t i = 0; i < n; i++) {
        const double d[3] = {(p[i].x - mean.x) / reach, (p[i].y - mean.y) / reach,
                             (p[i].z - mean.z) / reach};
        for (int a = 0; a < 3; a++)
            for (int b = 0; b < 3; b++) m[a][b] += d[a] * d[b];
    }
    if (!isfinite(m[0][0] + m[1][1] + m[2][2])) return refuse_plane(out);
    hw_axes_of(3, m[0], v[0]);
    int far = 0, near = 0; // by their spread
    for (int k = 1; k < 3; k++) {
        if (m[k][k] > m[far][far]) far = k;
        if (m[k][k] <= m[near][near]) near = k;
    }
    int mid = 3 - far - near;
    if (!(m[mid][mid] > 1e-18 * m[far][far])) return refuse_plane(out);
    hw_frame f = {.at = mean,
                  .x = {v[0][far], v[1][far], v[2][far]},
                  .z = {v[0][near], v[1][near], v[2][near]}};
    double sign = fabs(f.z.z) > 1e-12 ? f.z.z : fabs(f.z.y) > 1e-12 ? f.z.y : f.z.x;
    if (sign < 0) f.z = times(f.z, -1);
    f.y = cross(f.z, f.x);
    double sum = 0;
    for (size_t i = 0; i < n; i++) {
        hw_vec3 d = {p[i].x - mean.x, p[i].y - mean.y, p[i].z - mean.z};
        double off = dot3(d, f.z) / reach;
        sum += off * off;
    }
    size_t freedom = n - 3;
    double spread = freedom ? sqrt(sum / (double)freedom) : 0, t = hw_student_95(freedom);
    *out = (hw_plane_fit){f, reach * spread, {INFINITY, INFINITY}};
    if (freedom) { // a slope along an axis is good to its scatter over the points' spread along it
        out->tilt[0] = atan(t * spread / sqrt(m[mid][mid]));
        out->tilt[1] = atan(t * spread / sqrt(m[far][far]));
    }
    return HW_OK;
}

// ---- circle

typedef struct cloud {
    const hw_vec2 *p;
    size_t n;
    hw_vec2 mean;
    double reach; // everything is counted in it
} cloud;

static hw_vec2 point(const cloud *c, size_t i)
{
    return hw_scale(hw_sub(c->p[i], c->mean), 1 / c->reach);
}

// Solves a symmetric 3 x 3 system by Cramer's rule, and gives the inverse's diagonal.
static bool solve(double m[3][3], const double v[3], double x[3], double inverse[3]) // [1]
{
    double c[3][3];
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            int a = (i + 1) % 3, b = (i + 2) % 3, d = (j + 1) % 3, e = (j + 2) % 3;
            c[i][j] = m[a][d] * m[b][e] - m[a][e] * m[b][d];
        }
    double det = m[0][0] * c[0][0] + m[0][1] * c[0][1] + m[0][2] * c[0][2];
    double size = (m[0][0] + m[1][1] + m[2][2]) / 3;
    if (!(fabs(det) > 1e-24 * size * size * size)) return false;
    for (int i = 0; i < 3; i++) {
        x[i] = (c[0][i] * v[0] + c[1][i] * v[1] + c[2][i] * v[2]) / det;
        inverse[i] = c[i][i] / det;
    }
    return true;
}

// Algebraic circle: x^2 + z^2 = 2 a x + 2 b z + c by linear least squares.
static bool start(const cloud *c, double guess[3]) // [1]
{
    double m[3][3] = {{0}}, v[3] = {0}, x[3], unused[3];
    for (size_t i = 0; i < c->n; i++) {
        hw_vec2 p = point(c, i);
        const double row[3] = {2 * p.x, 2 * p.z, 1};
        double is = hw_dot(p, p);
        for (int a = 0; a < 3; a++) {
            v[a] += row[a] * is;
            for (int b = 0; b < 3; b++) m[a][b] += row[a] * row[b];
        }
    }
    if (!solve(m, v, x, unused)) return false;
    guess[0] = x[0];
    guess[1] = x[1];
    guess[2] = sqrt(fmax(x[2] + x[0] * x[0] + x[1] * x[1], 0));
    return guess[2] > 0 && isfinite(guess[2]);
}

// One step of Gauss and Newton; the cost before it.
static bool step(const cloud *c, const double at[3], double move[3], double inverse[3],
                 double *cost) // [1]
{
    double m[3][3] = {{0}}, v[3] = {0};
    *cost = 0;
    for (size_t i = 0; i < c->n; i++) {
        hw_vec2 d = hw_sub(point(c, i), (hw_vec2){at[0], at[1]});
        double away = hw_norm(d);
        if (!(away > 0)) return false; // the centre on a point: no direction
        const double row[3] = {-d.x / away, -d.z / away, -1};
        double off = away - at[2];
        *cost += off * off;
        for (int a = 0; a < 3; a++) {
            v[a] -= row[a] * off;
            for (int b = 0; b < 3; b++) m[a][b] += row[a] * row[b];
        }
    }
    return solve(m, v, move, inverse);
}

static hw_code refuse_circle(hw_circle_fit *out, hw_code code)
{
    const double none = (double)NAN;
    *out = (hw_circle_fit){{none, none}, none, none, {none, none}, none};
    return code;
}

// On one line to 1e-9 of their reach, or not even apart.
static bool straight(const cloud *c)
{
    double xx = 0, xz = 0, zz = 0;
    for (size_t i = 0; i < c->n; i++) {
        hw_vec2 p = point(c, i);
        xx += p.x * p.x;
        xz += p.x * p.z;
        zz += p.z * p.z;
    }
    double half = 0.5 * (xx + zz), far = half + hypot(0.5 * (xx - zz), xz);
    return !((xx * zz - xz * xz) / far > 1e-18 * far);
}

hw_code hw_circle_fit_of(const hw_vec2 p[], size_t n, hw_circle_fit *out)
{
    cloud c = {p, n, {0, 0}, 0};
    for (size_t i = 0; i < n; i++) c.mean = hw_add(c.mean, hw_scale(p[i], 1 / (double)n));
    for (size_t i = 0; i < n; i++) c.reach = fmax(c.reach, hw_norm(hw_sub(p[i], c.mean)));
    bool finite = isfinite(c.mean.x) && isfinite(c.mean.z) && isfinite(c.reach) && c.reach > 0;
    if (n < 3 || !finite || straight(&c)) return refuse_circle(out, HW_BAD_INPUT);
    double at[3], move[3] = {0}, inverse[3] = {0}, cost = 0, size = INFINITY;
    bool ok = start(&c, at);
    for (int k = 0; k < 200 && ok && size > 1e-14 * at[2]; k++) {
        ok = step(&c, at, move, inverse, &cost);
        size = fmax(fabs(move[0]), fmax(fabs(move[1]), fabs(move[2])));
        // far from the points a whole step may overshoot
        double share = size > 0.5 * at[2] ? 0.5 * at[2] / size : 1;
        for (int i = 0; i < 3 && ok; i++) at[i] += share * move[i];
        ok = ok && at[2] > 0 && at[2] < 1e9;
        if (size < 1e-10 * at[2] && k > 30) break; // rounding is all that is left
    }
    if (!ok || !(size <= 1e-10 * at[2])) return refuse_circle(out, HW_NOT_CONVERGED);
    size_t freedom = n - 3;
    double spread = freedom ? sqrt(cost / (double)freedom) : 0, t = hw_student_95(freedom);
    out->centre = hw_add(c.mean, hw_scale((hw_vec2){at[0], at[1]}, c.reach));
    out->radius = c.reach * at[2];
    out->rms = c.reach * spread;
    double unit = freedom ? c.reach * t * spread : (double)INFINITY;
    out->centre_off = (hw_vec2){unit * sqrt(inverse[0]), unit * sqrt(inverse[1])};
    out->radius_off = unit * sqrt(inverse[2]);
    return HW_OK;
}
