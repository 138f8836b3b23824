#include "base/axes.h"

#include <math.h>
#include <stdbool.h>

enum { SWEEPS = 30 }; // each squares what is off the diagonal, once that is small

// Turns the columns p and q of a matrix into each other.
static void turn_columns(size_t n, double m[], size_t p, size_t q, double c, double s)
{
    for (size_t k = 0; k < n; k++) {
        double a = m[k * n + p], b = m[k * n + q];
        m[k * n + p] = c * a - s * b;
        m[k * n + q] = s * a + c * b;
    }
}

static void turn_rows(size_t n, double m[], size_t p, size_t q, double c, double s)
{
    for (size_t k = 0; k < n; k++) {
        double a = m[p * n + k], b = m[q * n + k];
        m[p * n + k] = c * a - s * b;
        m[q * n + k] = s * a + c * b;
    }
}

static bool sweep(size_t n, double m[], double v[])
{
    bool turned = false;
    for (size_t p = 0; p + 1 < n; p++)
        for (size_t q = p + 1; q < n; q++) {
            double off = m[p * n + q];
            if (off == 0) continue;
            double theta = (m[q * n + q] - m[p * n + p]) / (2 * off);
            double t = (theta < 0 ? -1 : 1) / (fabs(theta) + hypot(theta, 1));
            double c = 1 / sqrt(t * t + 1), s = t * c;
            turn_columns(n, m, p, q, c, s);
            turn_rows(n, m, p, q, c, s);
            turn_columns(n, v, p, q, c, s);
            turned = true;
        }
    return turned;
}

void hw_axes_of(size_t n, double m[], double v[])
{
    for (size_t i = 0; i < n * n; i++) v[i] = i % (n + 1) == 0;
    for (int i = 0; i < SWEEPS && sweep(n, m, v); i++) {
    }
}
