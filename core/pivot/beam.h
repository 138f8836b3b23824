// Straight beams of rectangular section in bending, small deflections, shear left out (below 3 %
// where the length is more than five times the thickness).
#ifndef HW_PIVOT_BEAM_H
#define HW_PIVOT_BEAM_H

#include "base/status.h"

typedef enum hw_beam_kind {
    HW_BEAM_CANTILEVER, // held at one end, load at the other
    HW_BEAM_SUPPORTED,  // resting on both ends, load in the middle
    HW_BEAM_BUILT_IN    // held at both ends, load in the middle
} hw_beam_kind;

typedef struct hw_bending {
    double deflection; // under the load, along it [m]
    double stress;     // largest, at the surface [Pa]
    double stiffness;  // load over deflection [N/m]
} hw_bending;

// `length` between supports or from support to load, `width` across the load's direction,
// `thickness` along it, all > 0 [m]; `modulus` > 0 [Pa]; any load [N] (its sign goes into
// deflection and stress). HW_BAD_INPUT: a value out of range; *out is NaN. Accuracy: a few units of
// rounding. Source: Young & Budynas, Roark's Formulas for Stress and Strain, 7th ed., table 8.1
// (from memory); checked against worked examples in test/published/mechanics.c. Test:
// test/pivot/test_beam.c
HW_MUST_USE hw_code hw_beam_bend(hw_beam_kind kind,
                                 double load,                                   // [N]
                                 double length, double width, double thickness, // [m]
                                 double modulus,                                // [Pa]
                                 hw_bending *out);

#endif
