#include "linkage/dense.h"

#include <math.h>

static size_t pivot_row(const double a[], size_t n, size_t k)
{
    size_t best = k;
    for (size_t i = k + 1; i < n; i++)
        if (fabs(a[i * n + k]) > fabs(a[best * n + k])) best = i;
    return best;
}

static void swap_rows(double a[], size_t n, size_t i, size_t k)
{
    for (size_t c = 0; c < n; c++) {
        double held = a[i * n + c];
        a[i * n + c] = a[k * n + c];
        a[k * n + c] = held;
    }
}

static bool is_zero(double v)
{
    return v >= 0 && v <= 0;
}

static void eliminate_below(double a[], size_t n, size_t k)
{
    const double *top = a + k * n;
    for (size_t i = k + 1; i < n; i++) {
        double *row = a + i * n;
        if (is_zero(row[k])) continue; // loop Jacobians are mostly zeros
        double factor = row[k] / top[k];
        row[k] = factor;
        for (size_t c = k + 1; c < n; c++) row[c] -= factor * top[c];
    }
}

double hw_lu_factor(double a[], size_t n, int order[])
{
    double determinant = 1;
    for (size_t k = 0; k < n; k++) order[k] = (int)k;
    for (size_t k = 0; k < n; k++) {
        size_t best = pivot_row(a, n, k);
        if (best != k) {
            swap_rows(a, n, best, k);
            int held = order[best];
            order[best] = order[k];
            order[k] = held;
            determinant = -determinant;
        }
        double pivot = a[k * n + k];
        if (!(fabs(pivot) > 0) || !isfinite(pivot)) return 0;
        determinant *= pivot;
        eliminate_below(a, n, k);
    }
    return determinant;
}

// By columns, so that zeros of the right side (most, for a column of the inverse) cost nothing.
void hw_lu_solve(const double a[], size_t n, const int order[], const double b[], double x[])
{
    for (size_t i = 0; i < n; i++) x[i] = b[order[i]];
    for (size_t c = 0; c < n; c++) {
        if (is_zero(x[c])) continue;
        for (size_t i = c + 1; i < n; i++) x[i] -= a[i * n + c] * x[c];
    }
    for (size_t c = n; c-- > 0;) {
        if (is_zero(x[c])) continue;
        x[c] /= a[c * n + c];
        for (size_t i = 0; i < c; i++) x[i] -= a[i * n + c] * x[c];
    }
}

// A^T = (P^T L U)^T = U^T L^T P: forward with U^T, back with L^T, then the rows go home.
void hw_lu_solve_transposed(const double a[], size_t n, const int order[], const double b[],
                            double x[], double y[])
{
    for (size_t i = 0; i < n; i++) y[i] = b[i];
    for (size_t i = 0; i < n; i++) {
        y[i] /= a[i * n + i];
        for (size_t c = i + 1; c < n; c++) y[c] -= a[i * n + c] * y[i];
    }
    for (size_t i = n; i-- > 0;)
        for (size_t c = 0; c < i; c++) y[c] -= a[i * n + c] * y[i];
    for (size_t i = 0; i < n; i++) x[order[i]] = y[i];
}

static double norm1(const double v[], size_t n)
{
    double sum = 0;
    for (size_t i = 0; i < n; i++) sum += fabs(v[i]);
    return sum;
}

double hw_lu_condition(const double a[], size_t n, const int order[], double norm, double work[])
{
    double *unit = work, *column = work + n;
    double most = 0;
    for (size_t c = 0; c < n; c++) unit[c] = 0;
    for (size_t c = 0; c < n; c++) {
        unit[c] = 1;
        hw_lu_solve(a, n, order, unit, column);
        unit[c] = 0;
        most = fmax(most, norm1(column, n));
    }
    return fmax(1, most * norm);
}

static double largest_left(const double a[], size_t rows, size_t cols, size_t k, size_t *row,
                           size_t *col)
{
    double best = -1;
    for (size_t i = k; i < rows; i++)
        for (size_t c = k; c < cols; c++)
            if (fabs(a[i * cols + c]) > best) {
                best = fabs(a[i * cols + c]);
                *row = i;
                *col = c;
            }
    return best;
}

static void bring_to_corner(double a[], size_t rows, size_t cols, size_t k, size_t row, size_t col)
{
    for (size_t c = 0; c < cols; c++) {
        double held = a[row * cols + c];
        a[row * cols + c] = a[k * cols + c];
        a[k * cols + c] = held;
    }
    for (size_t i = 0; i < rows; i++) {
        double held = a[i * cols + col];
        a[i * cols + col] = a[i * cols + k];
        a[i * cols + k] = held;
    }
}

static void swap_index(int v[], size_t i, size_t k)
{
    int held = v[i];
    v[i] = v[k];
    v[k] = held;
}

size_t hw_rank(double a[], size_t rows, size_t cols, double tolerance, int row[], int col[])
{
    for (size_t i = 0; i < rows; i++) row[i] = (int)i;
    for (size_t c = 0; c < cols; c++) col[c] = (int)c;
    size_t most = rows < cols ? rows : cols;
    double largest = 0;
    for (size_t k = 0; k < most; k++) {
        size_t r = k, c = k;
        double pivot = largest_left(a, rows, cols, k, &r, &c);
        if (k == 0) largest = pivot;
        if (!(pivot > tolerance * largest)) return k;
        bring_to_corner(a, rows, cols, k, r, c);
        swap_index(row, r, k);
        swap_index(col, c, k);
        for (size_t i = k + 1; i < rows; i++) {
            double factor = a[i * cols + k] / a[k * cols + k];
            a[i * cols + k] = 0;
            for (size_t q = k + 1; q < cols; q++) a[i * cols + q] -= factor * a[k * cols + q];
        }
    }
    return most;
}
