// A fork's cheek: a plate that stands out of a phalanx and is bent by what its cone does to it.
#ifndef HW_PIVOT_CHEEK_H
#define HW_PIVOT_CHEEK_H

#include "base/status.h"

typedef struct hw_cheek {
    double depth;     // from where it is held to the joint's axis, > 0 [m]
    double height;    // palmar to dorsal, > 0 [m]
    double thickness; // along the joint's axis, > 0 [m]
    double modulus;   // of the print; half of it for a sustained grip, > 0 [Pa]
} hw_cheek;

// How a cheek gives at a place `at` from its root, along the joint's axis, to a force of one newton
// there and to a couple of one newton metre at the axis; places from 0 to beyond the axis.
// Cantilever with a root that turns, shear, and a dent under the load; wide cheeks count as high as
// carries: h / sqrt(1 + (h/(6.7 l))^2). Within 7 % below and 11 % above solid finite elements for
// depths of 1.5 to 15 thicknesses and heights of a quarter to four depths. The plain cantilever
// formula gives half of what they give at a depth of 2.5 thicknesses, and is within 10 % only from
// 15 on. NaN for values out of range. Source: constants fitted to own finite elements,
// docs/derivations/cone.md. Test: test/pivot/test_cheek.c
double hw_cheek_give(const hw_cheek *c, double at, double from); // [m] [m] -> [m/N]
double hw_cheek_lean(const hw_cheek *c, double at);              // [m] -> [m/N/m]

// Stress on the surface beside the root [Pa] from a moment there [N*m]: 6 M / (h t^2), the height
// as above. Within 15 % below and 20 % above the same elements. Test: test/pivot/test_cheek.c
double hw_cheek_stress(const hw_cheek *c, double moment); // [N*m]

#endif
