// A general planar mechanism: bodies joined by pins and sliders, moved by drivers. Body 0 is the
// ground and keeps the pose (0, 0, 0). Positions are (x, z) of vec.h, body angles are flexions
// (positive turns +x toward -z) and are never wrapped.
#ifndef HW_LINKAGE_MECH_H
#define HW_LINKAGE_MECH_H

#include "base/arena.h"
#include "base/vec.h"

enum { HW_MECH_BODIES = 64 }; // most bodies of one mechanism, with the ground

typedef struct hw_body_pose { // of a body's own frame
    double x, z;              // [m]
    double angle;             // flexion [rad]
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

typedef struct hw_driver { // one prescribed relative motion: value = start + s * span, s the stroke
                           // parameter
    int a, b;
    int slider;         // -1: angle(b) - angle(a); otherwise distance along that slider from at_a
                        // (a and b are then the slider's own)
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
    int body; // the body whose motion becomes singular (turns most, or else moves most, in the null
              // vector)
} hw_event;

typedef struct hw_mech_motion { // results at one s; arrays of mech->bodies
    hw_body_pose *pose;         // [m] [rad]
    hw_body_pose *rate;         // d(pose)/ds
    hw_body_pose *rate2;        // d2(pose)/ds2
    double conditioning; // of the loop Jacobian scaled by a length of the mechanism, >= 1 [1]
    int iterations;
} hw_mech_motion;

// What holds a mechanism together at a pose.
typedef struct hw_mech_freedom {
    size_t unknowns;  // three a moving body
    size_t equations; // two a pin, one a slider and one more where keyed, one a driver
    size_t rank;      // of the loop Jacobian at the pose, to 1e-9 of its largest element
    size_t freedoms;  // unknowns - rank: motions that nothing determines
    size_t redundant; // equations - rank: constraints that repeat others
    int body;         // the body that turns (or else moves) most in the first free motion; -1: none
    bool by_pose;     // the free motions belong to this pose alone: a dead point or change point
    // The first equation that repeats others: at most one of these is not -1.
    int pin, slider, driver;
} hw_mech_freedom;

// Counts freedoms and redundant constraints at a pose (`pose` of mech->bodies). HW_BAD_INPUT: a
// body or slider index is out of range, a joint joins a body to itself, or a number is not finite.
// HW_LIMIT: more bodies than HW_MECH_BODIES. HW_NO_MEMORY. Scratch is taken from the arena and
// given back. Source: Gaussian elimination with complete pivoting (Golub & Van Loan, Matrix
// Computations, ch. 3). Test: test/linkage/test_mech.c
HW_MUST_USE hw_code hw_mech_count(const hw_mech *m, hw_arena *a, const hw_body_pose pose[],
                                  hw_mech_freedom *out);

// A length of the mechanism: the largest distance between a body's joints and its frame, or a
// sliding driver's travel [m]; 0 for a mechanism without lengths.
double hw_mech_length(const hw_mech *m);

// Room for a motion's arrays. HW_NO_MEMORY.
HW_MUST_USE hw_code hw_mech_motion_new(hw_arena *a, const hw_mech *m, hw_mech_motion *out);

typedef struct hw_mech_sweep {
    size_t n;
    const double *s;    // n stroke parameters, rising or falling [1]
    hw_mech_motion *at; // n, each with room (hw_mech_motion_new); where ok[i] is 0 all values are
                        // NaN
    uint8_t *ok;        // n
    hw_event *event;    // room for `room` events, in the order they are met; may be NULL with 0
    size_t room;
    size_t events; // how many there are, also where they did not fit
    size_t steps;  // of the walk between the poses
} hw_mech_sweep;

// Walks the mechanism from a known pose at s_known [1] (`known` of mech->bodies, roughly right: it
// is corrected first) through all poses of the sweep, without ever leaving its branch, and reports
// what it meets between s_known and the last pose:
//   dead point     s turns back: the loop Jacobian loses rank and the drive can go no further;
//   branch change  two branches meet: the walk goes straight on;
//   lock-up        follows a dead point (or the pose where repeated constraints cease to agree)
//                  when poses beyond it were asked for.
// A body that turns round (its rate passes zero) is no event.
// HW_NO_ASSEMBLY: `known` does not close, or some poses are not reached (ok tells which).
// HW_BAD_INPUT: as hw_mech_count, s not finite or not monotone, s_known beyond the first pose (it
// must not lie between them), or something is free to move (hw_mech_count tells what). HW_LIMIT,
// HW_NO_MEMORY, HW_NOT_CONVERGED: the walk used up its bound of steps.
// Accuracy: pose within a few units of rounding times the conditioning, times the mechanism's
// length; an event's s within 1e-12 or rounding times the conditioning.
// Source: own derivation, docs/derivations/walking-a-mechanism.md (pseudo-arclength continuation
// after Keller 1977; test functions after Allgower & Georg, Numerical Continuation Methods, 1990).
// Test: test/linkage/test_walk.c
HW_MUST_USE hw_code hw_mech_walk(const hw_mech *m, hw_arena *a, const hw_body_pose known[],
                                 double s_known, hw_mech_sweep *sweep); // [1]

// One pose: as a sweep of n = 1. `stop` may be NULL; where HW_NO_ASSEMBLY is returned it holds the
// dead point that is in the way (kind HW_EVENT_LOCK_UP at s_known when `known` itself does not
// close).
HW_MUST_USE hw_code hw_mech_solve(const hw_mech *m, hw_arena *a, const hw_body_pose known[],
                                  double s_known, double s, // [1]
                                  hw_mech_motion *out, hw_event *stop);

// A load on a body.
typedef struct hw_mech_load {
    int body;
    hw_vec2 at;    // where the force acts, in the body's own frame [m]
    hw_vec2 force; // in the ground's frame [N]
    double couple; // positive in flexion [N*m]
} hw_mech_load;

// What the joints carry. Arrays as long as the mechanism's; all values act on body b, their
// opposites on body a. NaN where repeated constraints leave a value undetermined.
typedef struct hw_mech_forces {
    hw_vec2 *pin;          // force of body a on body b, ground's frame [N]
    double *slider_normal; // force of a on b, along the line's direction turned from +x to +z [N]
    double *slider_couple; // of a keyed slider, at its point on b; 0 where not keyed [N*m]
    double *driver;        // couple, or force along the slider, of the drive on b [N*m] or [N]
    size_t undetermined;   // how many scalar reactions are NaN
} hw_mech_forces;

HW_MUST_USE hw_code hw_mech_forces_new(hw_arena *a, const hw_mech *m, hw_mech_forces *out);

// Full balance of every body at a pose, frictionless, with the drives' efforts as unknowns.
// HW_BAD_INPUT: a load's body does not exist, or as hw_mech_count. HW_NO_ASSEMBLY: the pose is
// singular, so that no finite effort balances the loads; all values are NaN. HW_NO_MEMORY.
// Accuracy: virtual work agrees to rounding times the conditioning.
// Source: multipliers of the loop equations (Lagrange); balances in Norton, Design of Machinery,
// ch. 11. Test: test/linkage/test_forces.c
HW_MUST_USE hw_code hw_mech_balance(const hw_mech *m, hw_arena *a, const hw_body_pose pose[],
                                    const hw_mech_load load[], size_t loads, hw_mech_forces *out);

// A body's point in the ground's frame [m].
hw_vec2 hw_body_point(hw_body_pose body, hw_vec2 at);
// Its velocity d/ds and acceleration d2/ds2, from the body's pose, rate and rate2 [m].
hw_vec2 hw_body_velocity(hw_body_pose body, hw_body_pose rate, hw_vec2 at);
hw_vec2 hw_body_acceleration(hw_body_pose body, hw_body_pose rate, hw_body_pose rate2, hw_vec2 at);

// Instant centre of body b against body a, in the ground's frame [m]. false: they only translate
// against each other, or the centre is further than 1e12 lengths of the mechanism; *out is NaN.
// Test: test/linkage/test_mech.c
bool hw_instant_centre(const hw_mech *m, const hw_mech_motion *at, int a, int b, hw_vec2 *out);

// Transmission angle at a pin: between the lines to a pin on each of its two bodies, 0 to pi [rad];
// NaN where a line has no length. `pin` is the joint, `pin_a` and `pin_b` any other pins of its
// body a and body b. Test: test/linkage/test_mech.c
double hw_mech_transmission(const hw_mech *m, const hw_body_pose pose[], int pin, int pin_a,
                            int pin_b); // [rad]

#endif
