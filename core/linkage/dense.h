// Small dense linear algebra for the loops: matrices by rows, a[i * n + k].
#ifndef HW_LINKAGE_DENSE_H
#define HW_LINKAGE_DENSE_H

#include "base/status.h"

// Factors a square matrix in place with partial pivoting; order[k] is the row that was taken k-th.
// Returns the determinant, 0 where a pivot vanished (the factors are then not to be used).
// Source: Golub & Van Loan, Matrix Computations, alg. 3.4.1. Test: test/linkage/test_dense.c
double hw_lu_factor(double a[], size_t n, int order[]); // [1]

// Solves A x = b and A^T x = b from the factors; x, b and work (n long) must not overlap.
void hw_lu_solve(const double a[], size_t n, const int order[], const double b[], // [1]
                 double x[]);                                                     // [1]
void hw_lu_solve_transposed(const double a[], size_t n, const int order[], const double b[],
                            double x[], double work[]); // [1]

// Condition number in the 1-norm, at least 1, from the factors and the matrix's own 1-norm, column
// by column of the inverse: an estimate in fewer solves (Hager 1984) was tried, and jumps by a
// factor of 2 where rounding tips its choices, also between a mechanism and its larger copy. work
// is 2 n long. Test: test/linkage/test_dense.c
double hw_lu_condition(const double a[], size_t n, const int order[], double norm1, // [1]
                       double work[]);

// Gaussian elimination of a rows x cols matrix in place with complete pivoting; stops when what is
// left lies below `tolerance` times the largest element [1]. row[] and col[] hold the
// permutations: the first `rank` entries are the independent rows and the columns they determine.
// Returns the rank. Test: test/linkage/test_dense.c
size_t hw_rank(double a[], size_t rows, size_t cols, double tolerance, int row[], int col[]);

#endif
