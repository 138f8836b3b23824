// What keeps a joint's two cones in their sockets, and the load at which they let go.
#ifndef HW_PIVOT_HOLD_H
#define HW_PIVOT_HOLD_H

#include "base/status.h"
#include "pivot/cheek.h"

// Ways to keep a pivot together; all but the first add no width.
typedef enum hw_pivot_kind {
    HW_PIVOT_CONE,  // bare cones: the cheeks' stiffness alone
    HW_PIVOT_LAND,  // a cylinder under the cone takes the radial load, which then does not spread
    HW_PIVOT_LIP,   // a lip of the neighbouring phalanx stands over the cheek's end
    HW_PIVOT_TIE,   // a pin through an arc window of the tang joins both cheeks
    HW_PIVOT_BOX,   // a wall beyond the tang joins both cheeks' ends
    HW_PIVOT_STRIP, // a strip wound round the phalanx as a hoop
    HW_PIVOT_KINDS
} hw_pivot_kind;

const char *hw_pivot_kind_name(
    hw_pivot_kind kind); // "cone", "cone and land"; never NULL; test_hold.c

// A second support of the cheeks, beside the root. `breaks` 0: there is none.
typedef struct hw_keeper {
    double at;     // from the cheek's root, > 0 [m]
    double gap;    // how far the cheek moves there before it takes hold, >= 0 [m]
    double give;   // its own, per newton on one cheek, >= 0 [m/N]
    double breaks; // force on one cheek at which it gives way, >= 0 [N]
    double from;   // joint angle from which on it holds; -infinity: always [rad]
} hw_keeper;

// Sizes of a keeper.
typedef struct hw_keeper_def {
    hw_pivot_kind kind;
    double reach;     // from the joint's axis: lip and box beyond it, tie and strip short of it [m]
    double thickness; // of lip or wall or strip; diameter of the tie, > 0 [m]
    double width;     // palmar to dorsal, of lip or wall; along the digit, of the strip, > 0 [m]
    double length;    // lip: how far it stands out; others: between the cheeks, > 0 [m]
    double gap;       // lip: to the cheek's outer face, >= 0 [m]
    double modulus;   // > 0 [Pa]
    double strength;  // > 0 [Pa]
    double from;      // lip: joint angle from which on it stands over the cheek [rad]
} hw_keeper_def;

// The keeper of these sizes on a cheek `depth` deep. Lip: a cantilever. Tie, wall, strip:
// stretched, half their length to each cheek; a strip goes round twice, palmar and dorsal. Bare
// cones and lands: none. HW_BAD_INPUT: a size out of its range, or a tie or strip further short of
// the axis than the fork is deep. Source: bar and cantilever, beam.h. Test: test/pivot/test_hold.c
HW_MUST_USE hw_code hw_keeper_of(const hw_keeper_def *def, double depth, hw_keeper *out); // [m]

// One joint's pivot. Index [2]: the side of the cone, 0 at negative y.
typedef struct hw_pivot {
    double half_angle; // from the joint's axis, 0 to pi/2 [rad]
    double engagement; // > 0 [m]
    double gap;        // square to the cones' surface, >= 0 [m]
    double face_gap;   // between the flat faces of one side, >= 0 [m]
    double mu;         // friction to count on, >= 0 [1]
    double load_depth; // of the load's line from the cheek's inner face [m]
    double land;       // height of the cylinder under the cone; 0: none [m]
    double base;       // radius of a cone at its base, less than half of a cheek's height [m]
    hw_cheek cheek[2]; // with the modulus of a load that passes
    hw_keeper keeper;
    double strength;        // along the printed lines, > 0 [Pa]
    double strength_across; // across the layers, > 0 [Pa]
} hw_pivot;

// What is worked out of a pivot once, for many loads. Private numbers.
typedef struct hw_grip {
    hw_pivot p;
    double axial_float;           // [m]
    double spread;                // of a cone, axial over radial [1]
    double give[2], lean[2];      // at the axis [m/N], [m/N/m]
    double keep[2], keep_lean[2]; // at the keeper, from the axis [m/N], [m/N/m]
    double keeper_give[2];        // of cheek and keeper, at the keeper [m/N]
    double root_stress[2];        // [Pa/N/m]
} hw_grip;

// HW_BAD_INPUT: a value out of its range; *out is zero and holds nothing. Test:
// test/pivot/test_hold.c
HW_MUST_USE hw_code hw_grip_of(const hw_pivot *p, hw_grip *out);

// Loads of one joint at one pose.
typedef struct hw_grip_load {
    double radial[2]; // of each cone [N]
    double along[2];  // part of it that draws the cheek away from its root, < 0: pushes [N]
    double axial;     // of the tang on the cheeks along y [N]
    double angle;     // of the joint [rad]
    bool sustained;   // the print creeps: half its modulus
} hw_grip_load;

typedef struct hw_grip_hold {
    double factor; // that the load may grow by until a cone leaves its socket; 0: the float alone
                   // frees it; infinite: never [1]
    double spread; // axial force on either cheek, at the load itself [N]
    int side;      // of the cone that carries more
    double stress; // largest share of strength used, at the load itself [1]
} hw_grip_hold;

// A cone spreads by (4/pi) tan(a - phi) of its radial load; the tang, pushed by the cone that
// carries more, leans on the other cheek, so both are bent by that force and the one along the
// axis. Away from its root the load also bends a cheek by its offset from the cheek's middle. Out
// when both cheeks' opening and the float together are the engagement. A land carries the radial
// load without spreading until opening and float are its height. A keeper holds the cheeks from its
// gap on until it breaks: rigid ones leave 3 to 16 % of the bare opening more than solid finite
// elements do. Stress: bending at the root and in the cheek's plane over `strength`, and
// the cheek beside its socket, pulled apart, over `strength_across`. NaN loads give NaN. Source:
// docs/derivations/cone.md. Test: test/pivot/test_hold.c, test_cheek.c
void hw_grip_hold_of(const hw_grip *g, const hw_grip_load *load, hw_grip_hold *out);

#endif
