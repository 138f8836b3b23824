// Cantilever snap fits: an arm with a hook that bends while it passes an undercut.
#ifndef HW_PIVOT_SNAP_H
#define HW_PIVOT_SNAP_H

#include "base/status.h"

typedef enum hw_snap_shape {
    HW_SNAP_EVEN,          // same section along the arm
    HW_SNAP_HALF_THICK,    // thickness falls evenly to half at the hook
    HW_SNAP_QUARTER_WIDTH, // width falls evenly to a quarter at the hook
    HW_SNAP_SHAPES
} hw_snap_shape;

typedef struct hw_snap {
    double length;    // root to hook, > 0 [m]
    double width;     // at the root, > 0 [m]
    double thickness; // at the root, > 0 [m]
    double modulus;   // secant modulus at the strain, > 0 [Pa]
    double mu;        // friction at the hook, >= 0 [1]
    double lead;      // angle of the hook's slope to the direction of pushing, 0 to pi/2 [rad]
    hw_snap_shape shape;
} hw_snap;

typedef struct hw_snap_result {
    double strain; // at the root's surface [1]
    double bend;   // force that bends the arm by the undercut [N]
    double mate;   // force that pushes it in; infinite where friction jams it [N]
} hw_snap_result;

// Share C of deflection = C * strain * length^2 / thickness: 2/3, 16 ln 2 - 10 = 1.090 and
// (16 ln 2)/27 + 4/9 = 0.855. The handbook prints 0.67, 1.09 and 0.86; these are the exact
// integrals of curvature. NaN for a shape out of range. Source: Bayer, Snap-Fit Joints for
// Plastics, A Design Guide, table 1; own integration. Test: test/pivot/test_snap.c
double hw_snap_share(hw_snap_shape shape);

// What passing an undercut [m] >= 0 takes. HW_BAD_INPUT: a value out of range; *out is NaN. Source:
// Bayer, as above: P = b h^2 E strain / (6 l), W = P (mu + tan a) / (1 - mu tan a). Test:
// test/published/mechanics.c
HW_MUST_USE hw_code hw_snap_pass(const hw_snap *s, double undercut, hw_snap_result *out); // [m]

// Thickness at the root [m] at which the undercut [m] strains the arm by `strain` [1]; NaN for
// values out of range. Source: Bayer, as above. Test: test/published/mechanics.c
double hw_snap_thickness(const hw_snap *s, double undercut, double strain); // [m] [1]

#endif
