// Principal axes of symmetric matrices of a few rows.
#ifndef HW_BASE_AXES_H
#define HW_BASE_AXES_H

#include <stddef.h>

// Turns the symmetric n by n matrix m (row by row) until only its diagonal is left: the eigenvalues
// m[i * n + i], in no order, of the vectors that stand in the columns of v, v[k * n + i], which are
// square to each other and 1 long. Units of m. What is not finite stays so. Accuracy: a few eps of
// the largest eigenvalue. Source: C. G. J. Jacobi, Journal fuer die reine und angewandte Mathematik
// 30, 1846; the stable form of the rotation: Golub and Van Loan, Matrix Computations, sec. 8.5
// (from memory). Test: test/base/test_axes.c
void hw_axes_of(size_t n, double m[], double v[]); // [1] [1]

#endif
