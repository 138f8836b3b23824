#include "base/rng.h"
#include "check.h"
#include "linkage/dense.h"

static void empty_and_singular(void)
{
    int order[3], col[3];
    double none[1] = {0}, zero[4] = {0, 0, 0, 0}, flat[4] = {1, 2, 2, 4}, bad[1] = {NAN};
    CHECK(hw_lu_factor(none, 0, order) >= 1);
    CHECK(!(fabs(hw_lu_factor(zero, 2, order)) > 0));
    CHECK(!(fabs(hw_lu_factor(flat, 2, order)) > 0));
    CHECK(!(fabs(hw_lu_factor(bad, 1, order)) > 0));
    CHECK(hw_rank(none, 0, 3, 1e-9, order, col) == 0);
    CHECK(hw_rank(none, 3, 0, 1e-9, order, col) == 0);
    CHECK(hw_rank(zero, 2, 2, 1e-9, order, col) == 0);
    double again[4] = {1, 2, 2, 4};
    CHECK(hw_rank(again, 2, 2, 1e-9, order, col) == 1 && order[0] == 1 && col[0] == 1);
}

// Hilbert's matrix of order 3: determinant 1/2160, condition in the 1-norm 748 exactly.
static void hilbert(void)
{
    double a[9], work[9];
    int order[3];
    for (int i = 0; i < 9; i++) a[i] = 1.0 / (i / 3 + i % 3 + 1);
    CLOSE(hw_lu_factor(a, 3, order), 1.0 / 2160, 1e-13); // rounding times 748
    CLOSE(hw_lu_condition(a, 3, order, 11.0 / 6, work), 748.0, 1e-12);
}

static void random_systems(void)
{
    hw_rng r = hw_rng_new(21, 1);
    for (int k = 0; k < 500; k++) {
        enum { MOST = 12 };
        size_t n = 1 + (size_t)k % MOST;
        double a[MOST * MOST], lu[MOST * MOST], b[MOST], x[MOST], y[MOST], work[3 * MOST];
        int order[MOST];
        double norm = 0;
        for (size_t i = 0; i < n * n; i++) lu[i] = a[i] = hw_rng_uniform(&r, -1, 1);
        for (size_t i = 0; i < n; i++) b[i] = hw_rng_uniform(&r, -1, 1);
        for (size_t c = 0; c < n; c++) {
            double sum = 0;
            for (size_t i = 0; i < n; i++) sum += fabs(a[i * n + c]);
            norm = fmax(norm, sum);
        }
        CHECK(fabs(hw_lu_factor(lu, n, order)) > 0);
        hw_lu_solve(lu, n, order, b, x);
        hw_lu_solve_transposed(lu, n, order, b, y, work);
        double condition = hw_lu_condition(lu, n, order, norm, work);
        CHECK(condition >= 1);
        for (size_t i = 0; i < n; i++) {
            double ax = -b[i], aty = -b[i];
            for (size_t c = 0; c < n; c++) {
                ax += a[i * n + c] * x[c];
                aty += a[c * n + i] * y[c];
            }
            NEAR(ax, 0, 1e-14 * condition); // backward stable: far below this
            NEAR(aty, 0, 1e-14 * condition);
        }
    }
}

// The product of an m x r and an r x n matrix has rank r.
static void random_ranks(void)
{
    hw_rng g = hw_rng_new(21, 2);
    for (int k = 0; k < 500; k++) {
        enum { MOST = 9 };
        size_t m = 1 + hw_rng_next(&g) % MOST, n = 1 + hw_rng_next(&g) % MOST;
        size_t most = m < n ? m : n, rank = hw_rng_next(&g) % (most + 1);
        double left[MOST * MOST], right[MOST * MOST], a[MOST * MOST];
        int row[MOST], col[MOST];
        for (size_t i = 0; i < MOST * MOST; i++) {
            left[i] = hw_rng_uniform(&g, -1, 1);
            right[i] = hw_rng_uniform(&g, -1, 1);
        }
        for (size_t i = 0; i < m; i++)
            for (size_t c = 0; c < n; c++) {
                a[i * n + c] = 0;
                for (size_t q = 0; q < rank; q++)
                    a[i * n + c] += left[i * MOST + q] * right[q * MOST + c];
            }
        CHECK(hw_rank(a, m, n, 1e-9, row, col) == rank);
        int rows = 0, cols = 0;
        for (size_t i = 0; i < m; i++) rows += row[i] + 1;
        for (size_t c = 0; c < n; c++) cols += col[c] + 1;
        CHECK(rows == (int)(m * (m + 1) / 2) && cols == (int)(n * (n + 1) / 2));
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(empty_and_singular);
    RUN(hilbert);
    RUN(random_systems);
    RUN(random_ranks);
    return TEST_END();
}
