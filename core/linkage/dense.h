// Small dense linear algebra for the loops: matrices by rows, a[i * n + k].
#ifndef HW_LINKAGE_DENSE_H
#define HW_LINKAGE_DENSE_H

#include "base/status.h"

// Factors a square matrix in place with partial pivoting; order[k] is the row that was taken k-th.
// Returns the determinant, 0 where a pivot vanished (the factors are then not to be used).
// Source: Golub & Van Loan, Matrix Computations, alg. 3.4.1. Test: test/linkage/test_dense.c
double hw_lu_factor(double a[], size_t n, int order[]); // [1]

// Solves A x = b and A^T x = b from the factors; x, b and work (n long) must not overlap.
void hw_lu_solve(const double a[], size_t n, const int order[], const double b[], double x[]);
void hw_lu_solve_transposed(const double a[], size_t n, const int order[], const double b[],
                            double x[], double work[]);

// Estimates the condition number in the 1-norm from the factors and the matrix's own 1-norm; work
// is 3 n long. At least 1; within a factor of 3 almost always, never too large. Source: Hager 1984,
// Higham 1988 (Golub & Van Loan, sec. 3.5.4). Test: test/linkage/test_dense.c
double hw_lu_condition(const double a[], size_t n, const int order[], double norm1, // [1]
                       double work[]);

// Gaussian elimination of a rows x cols matrix in place with complete pivoting; stops when what is
// left lies below `tolerance` times the largest element [1]. row[] and col[] hold the
// permutations: the first `rank` entries are the independent rows and the columns they determine.
// Returns the rank. Test: test/linkage/test_dense.c
size_t hw_rank(double a[], size_t rows, size_t cols, double tolerance, int row[], int col[]);

#endif
