// Printed cone pivots: a cone of half-angle a (from the joint's axis) in a socket, held by the
// stiffness of the cheeks. Functions that return a double return NaN for values outside the stated
// ranges.
#ifndef HW_PIVOT_CONE_H
#define HW_PIVOT_CONE_H

#include "base/status.h"

typedef enum hw_cone_contact {
    HW_CONE_LINE,     // the load rests on one generating line
    HW_CONE_HALF_CONE // pressure over the loaded half, falling off with the cosine
} hw_cone_contact;

// Axial force that a radial load on one cone makes, which spreads the cheeks: F tan(a - phi) on a
// line, 4/pi times that over half a cone, phi = atan(mu); 0 where a <= phi and the cone holds
// itself. `load` >= 0 [N], `half_angle` between 0 and pi/2 [rad], `mu` >= 0 [1]. Accuracy: a few
// units of rounding. Source: own derivation by integrating the pressure (docs/derivations/cone.md);
// the line case is the wedge of any statics book. Test: test/pivot/test_cone.c
double hw_cone_spread(double load,       // [N]
                      double half_angle, // [rad]
                      double mu,         // [1]
                      hw_cone_contact contact);

// Radial play when the gap between the cones, measured square to the surface, is `gap`: g / cos a.
// Source: geometry. Test: test/pivot/test_cone.c
double hw_cone_radial_play(double gap, double half_angle); // [m] [rad]

// Axial float: g / sin a, or `face_gap` where the flat faces meet first. Source: geometry. Test:
// test/pivot/test_cone.c
double hw_cone_float(double gap, double face_gap, double half_angle); // [m] [m] [rad]

// Half-angle up to which a cone holds itself against being pushed out: atan(mu) [rad]. Source:
// wedge with friction. Test: test/pivot/test_cone.c
double hw_cone_holding_angle(double mu); // [1]

// Forces of a cone pressed into its seat so that friction carries a torque.
typedef struct hw_cone_press {
    double normal;  // sum of the pressure on the surface [N]
    double engage;  // axial force that seats it against friction [N]
    double hold;    // axial force that keeps the pressure without friction's help [N]
    double release; // axial pull that frees it; negative: it comes out by itself [N]
} hw_cone_press;

// `torque` >= 0 [N*m] carried at the mean radius [m] > 0, friction mu > 0. HW_BAD_INPUT: a value
// out of range; *out is NaN. Source: cone clutch, Khurmi & Gupta, Theory of Machines, ch. 10. Test:
// test/published/mechanics.c
HW_MUST_USE hw_code hw_cone_press_of(double torque,      // [N*m]
                                     double mean_radius, // [m]
                                     double half_angle,  // [rad]
                                     double mu,          // [1]
                                     hw_cone_press *out);

typedef enum hw_cone_wear {
    HW_CONE_NEW, // uniform pressure
    HW_CONE_WORN // wear has made pressure times radius uniform
} hw_cone_wear;

// Friction torque of a cone between radii `inner` (may be 0) and `outer` that carries an axial
// load: (2/3) mu W (R^3 - r^3) / ((R^2 - r^2) sin a) when new, (1/2) mu W (R + r) / sin a when
// worn. Source: conical pivot, Khurmi & Gupta, Theory of Machines, ch. 10. Test:
// test/published/mechanics.c
double hw_cone_torque(double load,         // axial [N]
                      double outer,        // [m]
                      double inner,        // [m]
                      double half_angle,   // [rad]
                      double mu,           // [1]
                      hw_cone_wear state); // [N*m]

// A fork with a cone on each cheek. All > 0 except where said.
typedef struct hw_fork {
    double half_angle; // [rad]
    double engagement; // how far a cone stands in its socket, along the axis [m]
    double gap;        // square to the cones' surface, >= 0 [m]
    double face_gap;   // between the flat faces of one side, >= 0 [m]
    double mu;         // friction to count on, >= 0 [1]
    double depth;      // from the cone's axis to where the cheek is held [m]
    double width;      // of a cheek, along the joint's radius [m]
    double thickness;  // of a cheek, along the joint's axis [m]
    double modulus;    // of the print in bending; halve it for a sustained grip [Pa]
    double spacing;    // of the two cones along the axis [m]
    double side_arm;   // side moment over radial load: M_side = load * arm, >= 0 [m]
} hw_fork;

typedef struct hw_fork_hold {
    double axial_float; // axial float of the joint [m]
    double spread;      // axial force on a cheek per newton of radial load [N/N]
    double opening;     // of a cheek per newton of radial load [m/N]
    double release;     // radial load at which opening + float is the engagement; infinite when the
                        // cones hold themselves; 0 when the float alone frees them [N]
    double stress;      // at the cheek's root at that load; infinite with it [Pa]
} hw_fork_hold;

// What a fork holds. The load is shared by both cones, pressed over half a cone each; a side moment
// loads one cheek through the spacing; a cheek bends as a cantilever. HW_BAD_INPUT: a value out of
// range; *out is NaN. Source: own model (docs/derivations/cone.md); cantilever as in beam.h. Test:
// test/pivot/test_cone.c
HW_MUST_USE hw_code hw_fork_hold_of(const hw_fork *f, hw_fork_hold *out);

#endif
