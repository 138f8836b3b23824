#include "solid/exact_internal.h"

#include <float.h>
#include <math.h>

// A sum of doubles held exactly: components that do not overlap, smallest first.
typedef struct expansion {
    double part[64];
    int n;
} expansion;

static void two_sum(double a, double b, double *sum, double *rest)
{
    double s = a + b;
    double bv = s - a;
    *rest = (a - (s - bv)) + (b - bv);
    *sum = s;
}

// Shewchuk's GROW-EXPANSION with zero components left out.
static void grow(expansion *e, double b)
{
    double q = b;
    int kept = 0;
    for (int i = 0; i < e->n; i++) {
        double rest;
        two_sum(q, e->part[i], &q, &rest);
        if (rest != 0) e->part[kept++] = rest;
    }
    if (q != 0) e->part[kept++] = q;
    e->n = kept;
}

static int sign_of(const expansion *e)
{
    if (e->n == 0) return 0;
    return e->part[e->n - 1] > 0 ? 1 : -1;
}

// Adds sign * a * b * c, exactly: a * b has at most 48 bits, halved into two parts of at most 26
// (Veltkamp), each of which times c fits a double.
static void grow_product(expansion *e, double sign, double a, double b, double c)
{
    double p = a * b;
    double t = 134217729.0 * p; // 2^27 + 1
    double high = t - (t - p);
    double low = p - high;
    grow(e, sign * high * c);
    grow(e, sign * low * c);
}

// sign * det of the rows a, b, c.
static void grow_det(expansion *e, double sign, const float a[3], const float b[3],
                     const float c[3])
{
    static const int turn[6][3] = {{0, 1, 2}, {1, 2, 0}, {2, 0, 1},
                                   {0, 2, 1}, {1, 0, 2}, {2, 1, 0}};
    for (int k = 0; k < 6; k++)
        grow_product(e, k < 3 ? sign : -sign, (double)a[turn[k][0]], (double)b[turn[k][1]],
                     (double)c[turn[k][2]]);
}

static int side3_exact(const float a[3], const float b[3], const float c[3], const float d[3])
{
    expansion e = {.n = 0};
    grow_det(&e, 1, a, b, c);
    grow_det(&e, -1, b, c, d);
    grow_det(&e, 1, c, d, a);
    grow_det(&e, -1, d, a, b);
    return sign_of(&e);
}

int hw_exact_side3(const float a[3], const float b[3], const float c[3], const float d[3])
{
    double u[3], v[3], w[3];
    for (int i = 0; i < 3; i++) {
        u[i] = (double)a[i] - (double)d[i];
        v[i] = (double)b[i] - (double)d[i];
        w[i] = (double)c[i] - (double)d[i];
    }
    double vw0 = v[1] * w[2], wv0 = v[2] * w[1];
    double vw1 = v[2] * w[0], wv1 = v[0] * w[2];
    double vw2 = v[0] * w[1], wv2 = v[1] * w[0];
    double det = u[0] * (vw0 - wv0) + u[1] * (vw1 - wv1) + u[2] * (vw2 - wv2);
    double size = fabs(u[0]) * (fabs(vw0) + fabs(wv0)) + fabs(u[1]) * (fabs(vw1) + fabs(wv1)) +
                  fabs(u[2]) * (fabs(vw2) + fabs(wv2));
    // Shewchuk 1997, o3derrboundA = (7 + 56 eps) eps with eps = 2^-53; 8 eps is above it.
    double bound = 8 * (DBL_EPSILON / 2) * size;
    if (det > bound) return 1;
    if (det < -bound) return -1;
    if (size == 0) return 0; // every product has a factor that is exactly 0
    return side3_exact(a, b, c, d);
}

int hw_exact_turn2(const float a[3], const float b[3], const float c[3], int u, int v)
{
    double au = (double)a[u], av = (double)a[v], bu = (double)b[u], bv = (double)b[v];
    double cu = (double)c[u], cv = (double)c[v];
    double left = (bu - au) * (cv - av), right = (bv - av) * (cu - au);
    double det = left - right, bound = 4 * (DBL_EPSILON / 2) * (fabs(left) + fabs(right));
    if (det > bound) return 1;
    if (det < -bound) return -1;
    if (bound == 0) return 0;
    expansion e = {.n = 0};
    grow(&e, bu * cv);
    grow(&e, -bu * av);
    grow(&e, -au * cv);
    grow(&e, -bv * cu);
    grow(&e, bv * au);
    grow(&e, av * cu);
    return sign_of(&e);
}

int hw_plan_in_circle(const int32_t a[2], const int32_t b[2], const int32_t c[2],
                      const int32_t d[2])
{
    int64_t ax = (int64_t)a[0] - d[0], az = (int64_t)a[1] - d[1];
    int64_t bx = (int64_t)b[0] - d[0], bz = (int64_t)b[1] - d[1];
    int64_t cx = (int64_t)c[0] - d[0], cz = (int64_t)c[1] - d[1];
    hw_int128 det = (hw_int128)(ax * ax + az * az) * (bx * cz - bz * cx) +
                    (hw_int128)(bx * bx + bz * bz) * (cx * az - cz * ax) +
                    (hw_int128)(cx * cx + cz * cz) * (ax * bz - az * bx);
    return (det > 0) - (det < 0);
}
