#include "base/axes.h"
#include "base/rng.h"
#include "check.h"

#include <math.h>
#include <string.h>

enum { MOST = 6 };

// Of a matrix: m v = v times its value, and v square and of unit length, to some eps of the
// largest.
static void holds(size_t n, const double of[], double tolerance) // [1]
{
    double m[MOST * MOST], v[MOST * MOST], large = 0;
    memcpy(m, of, n * n * sizeof *m);
    for (size_t i = 0; i < n * n; i++) large = fmax(large, fabs(of[i]));
    hw_axes_of(n, m, v);
    for (size_t w = 0; w < n; w++) {
        for (size_t i = 0; i < n; i++) {
            double sum = 0, dot = 0;
            for (size_t k = 0; k < n; k++) {
                sum += of[i * n + k] * v[k * n + w];
                dot += v[k * n + i] * v[k * n + w];
            }
            NEAR(sum, m[w * n + w] * v[i * n + w], tolerance * large);
            NEAR(dot, i == w, tolerance);
            if (i != w) NEAR(m[i * n + w], 0, tolerance * large);
        }
    }
}

// Sizes 1 to 6, elements of any size, some nothing; ten times and a tenth, and far beyond.
static void any_symmetric_matrix(void)
{
    hw_rng rng = hw_rng_new(31, 0);
    static const double scale[] = {1, 10, 0.1, 1e140, 1e-140};
    for (int i = 0; i < 1000; i++) {
        size_t n = 1 + (size_t)i % MOST;
        double m[MOST * MOST];
        for (size_t r = 0; r < n; r++)
            for (size_t c = r; c < n; c++) {
                double x = hw_rng_uniform(&rng, 0, 1) < 0.2 ? 0 : hw_rng_uniform(&rng, -1, 1);
                m[r * n + c] = m[c * n + r] = x * scale[i % 5];
            }
        holds(n, m, 1e-14);
    }
}

// (x + y) / sqrt 2 and (x - y) / sqrt 2 of a square with 2 and 1: 3 and 1; equal values; nothing.
static void known_ones(void)
{
    double m[4] = {2, 1, 1, 2}, v[4];
    hw_axes_of(2, m, v);
    NEAR(fmin(m[0], m[3]), 1, 1e-15);
    NEAR(fmax(m[0], m[3]), 3, 1e-15);
    NEAR(fabs(v[0]), sqrt(0.5), 1e-15);
    const double same[9] = {4, 0, 0, 0, 4, 0, 0, 0, 4}, none[9] = {0};
    holds(3, same, 0);
    holds(3, none, 0);
    double bad[4] = {1, NAN, NAN, 1};
    hw_axes_of(2, bad, v);
    CHECK(isnan(bad[0]));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(any_symmetric_matrix);
    RUN(known_ones);
    return TEST_END();
}
