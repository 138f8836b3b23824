// Round flat plates of even thickness, small deflections (below half the thickness).
#ifndef HW_PIVOT_PLATE_H
#define HW_PIVOT_PLATE_H

#include "base/status.h"

typedef enum hw_plate_edge { HW_PLATE_CLAMPED, HW_PLATE_SUPPORTED } hw_plate_edge;

typedef struct hw_plate {
    double radius;    // > 0 [m]
    double thickness; // > 0 [m]
    double modulus;   // > 0 [Pa]
    double poisson;   // 0 to below 0.5 [1]
    hw_plate_edge edge;
} hw_plate;

// Bending stiffness D = E t^3 / (12 (1 - nu^2)) [N*m]; NaN for values out of range. Source:
// Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, eq. 3 (from memory). Test:
// test/pivot/test_beam.c
double hw_plate_stiffness(const hw_plate *p);

// Deflection at the centre [m] and largest stress [Pa] under an even pressure [Pa]: p a^4/(64 D)
// and 0.75 p a^2/t^2 at the edge when clamped, (5+nu)/(1+nu) times that and (3/8)(3+nu) p a^2/t^2
// at the centre when supported. `stress` may be NULL. HW_BAD_INPUT: a value out of range; outputs
// are NaN. Source: Roark, 7th ed., table 11.2 cases 10a, 10b (from memory). Test:
// test/pivot/test_beam.c
HW_MUST_USE hw_code hw_plate_pressed(const hw_plate *p, double pressure,  // [Pa]
                                     double *deflection, double *stress); // [m] [Pa]

// Deflection at the centre under a force there [m]: F a^2/(16 pi D) when clamped, (3+nu)/(1+nu)
// times that when supported; NaN for values out of range. The stress under a point is not finite
// and so not given. Source: Timoshenko & Woinowsky-Krieger, sec. 19 (from memory). Test:
// test/pivot/test_beam.c
double hw_plate_poked(const hw_plate *p, double force); // [N]

#endif
