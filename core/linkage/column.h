// Bars in compression.
#ifndef HW_LINKAGE_COLUMN_H
#define HW_LINKAGE_COLUMN_H

#include "base/status.h"

typedef struct hw_column_load {
    double in_width; // load at which it bows in the plane of its width [N]
    double in_depth; // load at which it bows in the plane of its depth [N]
    double load;     // the smaller: about the weak axis [N]
} hw_column_load;

// Load at which a straight rectangular bar between pins bows out, in either plane. `length` [m] pin
// to pin, `width` and `depth` [m] of the section, `modulus` [Pa]. Both ends are taken as pinned in
// both planes, which is the safe side across the pins, where a pivot's faces hold a little.
// HW_BAD_INPUT: a value is not finite and > 0; *out is then NaN. Accuracy: a few units of rounding.
// Source: Euler 1744, P = pi^2 E I / L^2 (Timoshenko & Gere, Theory of Elastic Stability, ch. 2,
// from memory). Test: test/linkage/test_column.c
HW_MUST_USE hw_code hw_column_buckling(double length, double width, double depth, // [m]
                                       double modulus,                            // [Pa]
                                       hw_column_load *out);

#endif
