// Planes and circles through measured points, with intervals.
#ifndef HW_ANATOMY_FIT_H
#define HW_ANATOMY_FIT_H

#include "base/status.h"
#include "base/vec.h"

#include <stddef.h>

// Half width of the interval that holds a normal mean in 95 of 100 cases, in standard errors, for
// `freedom` >= 1 degrees of freedom; infinite for 0. Accuracy: 1e-3. Source: Student 1908, table of
// quantiles for 1 to 5; Abramowitz & Stegun 26.7.5 beyond. Test: test/anatomy/test_fit.c, by GSL
double hw_student_95(size_t freedom); // [1]

typedef struct hw_plane_fit {
    hw_frame frame; // at the points' mean; z is the normal, x the way they reach furthest
    double rms;     // distance of the points, n - 3 degrees of freedom; 0 for three points [m]
    double tilt[2]; // 95 % interval of the normal about x and about y, to either side; infinite
                    // for three points [rad]
} hw_plane_fit;

// Nearest plane to n >= 3 points by the smallest of their principal axes. HW_BAD_INPUT: fewer
// points, a number not finite, or all on one line to 1e-9 of their reach; *out is NaN. The normal
// points to +z where it has a part in it of more than rounding. Source: Pearson 1901, Phil Mag
// 2(11):559-572. Test: test/anatomy/test_fit.c
HW_MUST_USE hw_code hw_plane_fit_of(const hw_vec3 p[], size_t n, hw_plane_fit *out); // [m]

typedef struct hw_circle_fit {
    hw_vec2 centre;     // [m]
    double radius;      // [m]
    double rms;         // distance of the points, n - 3 degrees of freedom; 0 for three [m]
    hw_vec2 centre_off; // 95 % interval to either side; infinite for three points [m]
    double radius_off;  // the same [m]
} hw_circle_fit;

// Circle with the least sum of squared distances to n >= 3 points: Gauss-Newton from the algebraic
// circle. HW_BAD_INPUT: fewer points, not finite, or on one line to 1e-9 of their reach.
// HW_NOT_CONVERGED: the points are as straight as their scatter, no circle is nearest; *out is NaN.
// Intervals are those of the linear model at the solution: short arcs are wider and lopsided.
// Source: Gander, Golub & Strebel 1994, BIT 34:558-578; start: Kasa 1976, IEEE Trans Instrum Meas
// 25(1):8-14 (both from memory, re-derived). Test: test/anatomy/test_fit.c, by GSL's fitter
HW_MUST_USE hw_code hw_circle_fit_of(const hw_vec2 p[], size_t n, hw_circle_fit *out); // [m]

#endif
