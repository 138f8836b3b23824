// Planar mechanisms: the four-bar in closed form, and a general solver for bodies, pins, sliders
// and drivers. Positions are (x, z) of vec.h, body angles are flexions (positive turns +x toward
// -z). Lengths in metres, no absolute tolerances.
#ifndef HW_LINKAGE_H
#define HW_LINKAGE_H

#include "base/arena.h"
#include "base/vec.h"

// ---- four-bar
// -------------------------------------------------------------------------------------------------------------
typedef struct hw_fourbar {
    double ground, crank, coupler, rocker; // pin-to-pin lengths, > 0 [m]
} hw_fourbar;

typedef enum hw_fourbar_class { // after Grashof: which link, if any, turns fully
    HW_FOURBAR_CRANK_ROCKER,
    HW_FOURBAR_DOUBLE_CRANK,
    HW_FOURBAR_DOUBLE_ROCKER,
    HW_FOURBAR_ROCKER_CRANK,  // the output link is shortest
    HW_FOURBAR_CHANGE_POINT,  // shortest + longest = the other two
    HW_FOURBAR_TRIPLE_ROCKER, // nothing turns fully
    HW_FOURBAR_IMPOSSIBLE     // longest exceeds the other three: never closes
} hw_fourbar_class;

typedef struct hw_fourbar_pose {
    double coupler, rocker; // angles from the ground line [rad]
    double transmission;    // between coupler and rocker, 0 to pi [rad]
    double d_rocker;        // d(rocker)/d(crank) [1]
    double d_coupler;       // d(coupler)/d(crank) [1]
} hw_fourbar_pose;

// Closes the loop at one crank angle [rad], angles counter-clockwise from the ground line, on
// branch +1 (Norton's "open") or -1
// ("crossed"). HW_NO_ASSEMBLY: *gap [m] is how far the two circles miss, *out is the pose of
// closest approach. Source: two-circle dyad; checked against Norton, Design of Machinery, Ex. 4-1.
// Test: test/linkage/test_fourbar.c
HW_MUST_USE hw_code hw_fourbar_solve(const hw_fourbar *f, double crank, int branch,
                                     hw_fourbar_pose *out, double *gap); // [rad] [m]
hw_fourbar_class hw_fourbar_classify(const hw_fourbar *f);

// ---- general planar solver
// ------------------------------------------------------------------------------------------------
// Body 0 is the ground. Bodies are named by index; pose of body b is (x, z, angle) of its own
// frame.
typedef struct hw_body_pose {
    double x, z;  // [m]
    double angle; // flexion [rad]
} hw_body_pose;

typedef struct hw_pin { // point `at_a` of body a coincides with point `at_b` of body b
    int a, b;
    hw_vec2 at_a, at_b; // in each body's own frame [m]
} hw_pin;

typedef struct hw_slider { // a point of body b stays on a line of body a; `keyed`: b may not turn
                           // against a
    int a, b;
    hw_vec2 at_a;     // a point of the line, in a [m]
    double direction; // of the line in a, as a flexion [rad]
    hw_vec2 at_b;     // in b [m]
    double turn;      // angle(b) - angle(a) where keyed [rad]
    bool keyed;
} hw_slider;

typedef struct hw_driver { // one prescribed relative motion: value = rate_0 + s * span, s the
                           // stroke parameter
    int a, b;
    int slider;         // -1: angle(b) - angle(a); otherwise distance along that slider
    double start, span; // [rad] or [m]
} hw_driver;

typedef struct hw_mech {
    size_t bodies; // with the ground
    const hw_pin *pin;
    size_t pins;
    const hw_slider *slider;
    size_t sliders;
    const hw_driver *driver;
    size_t drivers;
} hw_mech;

typedef enum hw_event_kind {
    HW_EVENT_DEAD_POINT,    // the drive cannot push past: the loop equations lose rank
    HW_EVENT_BRANCH_CHANGE, // two branches meet and the motion could go on along either
    HW_EVENT_LOCK_UP        // no assembly beyond this pose
} hw_event_kind;

typedef struct hw_event {
    hw_event_kind kind;
    double s; // stroke parameter, refined between poses [1]
    int body; // the body whose motion becomes singular (largest component of the null vector)
} hw_event;

typedef struct hw_mech_motion { // results at one s; arrays of mech->bodies
    hw_body_pose *pose;         // [m] [rad]
    hw_body_pose *rate;         // d(pose)/ds
    hw_body_pose *rate2;        // d2(pose)/ds2
    double conditioning; // of the loop Jacobian scaled by a length of the mechanism, >= 1 [1]
    int iterations;
} hw_mech_motion;

#endif
