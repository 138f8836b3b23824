// Inclines, wedges and screws with dry friction (phi = atan mu). Functions return NaN for values
// outside the stated ranges.
#ifndef HW_PIVOT_WEDGE_H
#define HW_PIVOT_WEDGE_H

#include "base/status.h"

// Push along the base that starts a load up a slope: W tan(a + phi); infinite where it jams.
// `load` >= 0 [N], `slope` from 0 to below pi/2 [rad], `mu` >= 0 [1]. Source: Beer & Johnston,
// Vector Mechanics for Engineers: Statics, sec. 8.2 to 8.6. Test: test/published/mechanics.c
double hw_incline_raise(double load, double slope, double mu); // [N] [rad] [1]

// Push toward the slope that keeps the load from sliding down: W tan(a - phi). Negative: it stays
// by itself, and that much pull starts it down. Ranges, source and test as above.
double hw_incline_hold(double load, double slope, double mu); // [N] [rad] [1]

typedef struct hw_wedge {
    double angle;   // between the wedge's faces, >= 0 [rad]
    double mu_top;  // at the slanted face, under the load, >= 0 [1]
    double mu_base; // at the base, >= 0 [1]
    double mu_side; // at the guide that keeps the load from moving sideways, >= 0 [1]
} hw_wedge;

// Push that drives the wedge in and raises the load, infinite where it jams; and the pull that
// draws it out, negative where it slips out by itself. `load` >= 0 [N]. HW_BAD_INPUT: a value out
// of range; *push and *pull are NaN. Source: balance of load and wedge; Beer & Johnston, sec. 8.5.
// Test: test/published/mechanics.c
HW_MUST_USE hw_code hw_wedge_forces(const hw_wedge *w, double load, // [N]
                                    double *push, double *pull);    // [N]

typedef struct hw_screw {
    double mean_radius; // of the thread, > 0 [m]
    double lead;        // advance a turn: pitch times starts, > 0 [m]
    double mu;          // >= 0 [1]
} hw_screw;

// Torque per newton of axial load [N*m/N], square thread: tightening r tan(lambda + phi), loosening
// r tan(phi - lambda), tan lambda = lead/(2 pi r). A negative loosening torque means that the screw
// runs back by itself. NaN for values out of range. Source: Beer & Johnston, sec. 8.6. Test:
// test/published/mechanics.c
double hw_screw_tighten(const hw_screw *s);
double hw_screw_loosen(const hw_screw *s);

#endif
