// Digits: three phalanges in a plane, closed by one of several families of mechanism. A family is
// one row of a table of functions (hw_digit_family_of) and one file.
//
// Frame of a phalanx: origin at its own joint, x toward the tip, z dorsal. Joint 0 is the knuckle
// (thumb: base, CMC), joint 1 the PIP (thumb: MCP), joint 2 the DIP (thumb: IP). Body 0 is the
// carrier, body 1..3 the phalanges. Flexion positive.
#ifndef HW_DIGIT_H
#define HW_DIGIT_H

#include "base/arena.h"
#include "base/vec.h"
#include "linkage/linkage.h"

enum { HW_JOINTS = 3 };

typedef enum hw_family_kind {
    HW_FAMILY_COUPLED_BARS,
    HW_FAMILY_DIRECT,
    HW_FAMILY_CORD,
    HW_FAMILIES
} hw_family_kind;

// Joint angles of bars are counted from the straight digit, not folded into a turn.

// One coupling bar of a coupled-bars digit. Its length is what the straight digit makes it, on that
// pose's branch.
typedef struct hw_bar {
    hw_vec2 root;      // on the earlier body, seen from the joint that the bar spans [m]
    double horn;       // length of the arm that it pulls on, > 0 [m]
    double horn_angle; // of that arm in its own phalanx (x, z), counter-clockwise from +x toward +z
                       // [rad]
    double width;      // in the plane of motion [m]
    double depth;      // across the digit, all twins together [m]
    double depth_one;  // of one twin: it buckles alone [m]
} hw_bar;

typedef struct hw_cord {              // cord over joints with elastic return
    double arm[HW_JOINTS];            // moment arm of the closing cord at each joint, > 0 [m]
    double spring_rate[HW_JOINTS];    // of the elastic return at each joint, >= 0 [N*m/rad]
    double spring_preload[HW_JOINTS]; // its torque in the straight digit, >= 0 [N*m]
    double tension;                   // of the cord when it grips [N]
} hw_cord;

typedef struct hw_digit {
    hw_family_kind family;
    double phalanx[HW_JOINTS];   // joint to joint, last: joint to the distal end, > 0 [m]
    double thickness[HW_JOINTS]; // palmar to dorsal, at each joint, > 0 [m]
    double tip_thickness;        // at the distal end [m]
    double width;                // across, > 0 [m]
    double travel[2];            // of the driven knuckle, open and closed [rad]
    double joint_travel[HW_JOINTS]
                       [2]; // direct: own travel of each joint; cord: stops of each joint [rad]
    hw_bar bar[2];          // coupled bars: A (carrier to middle), B (proximal to distal)
    hw_cord cord;           // cord family
    double pivot_radius;    // boss round a pivot [m]
    double pivot_play;      // radial play of one pivot [m]
    double modulus;         // of the printed material [Pa]
    bool thumb;             // joints are CMC, MCP, IP
} hw_digit;

// One pose. Angles are of each joint, relative to the body before.
typedef struct hw_digit_pose {
    double joint[HW_JOINTS]; // [rad]
    double rate[HW_JOINTS]; // d(joint)/d(joint 0) along the stroke, or d/ds where joint 0 rests [1]
                            // (cord: of the stretch after s where two meet)
    double transmission[2]; // of bar A's and bar B's loop, 0 to pi; NaN where the family has none
                            // [rad]
    hw_vec2 at[HW_JOINTS + 1];       // knuckle, PIP, DIP, tip, in the digit frame [m]
    hw_vec2 bar_root[2], bar_end[2]; // bars' pins, in the digit frame [m]
} hw_digit_pose;

// A force on one phalanx, for load cases. Frame: that phalanx's own.
typedef struct hw_load {
    int phalanx;   // 0 proximal, 1 middle, 2 distal
    hw_vec2 at;    // [m]
    hw_vec2 force; // [N]
} hw_load;

// What a load does at one pose, frictionless, the drive a pure couple on the proximal phalanx
// (coupled bars), a pure couple at each joint (direct), or the cord's tension over what free
// closing to that pose takes (cord: the least at which no joint gives way; joints that it
// overpowers rest as couples on their stop or on what is held, core/digit/README.md).
typedef struct hw_digit_statics {
    double bar[2]; // axial force, tension positive; NaN where the family has none [N]
    hw_vec2
        pin[HW_JOINTS]; // force of the earlier body on the later one at each joint, digit frame [N]
    double joint_torque[HW_JOINTS]; // that the drive must give at each joint: coupled bars use
                                    // joint 0 only, cord: arm * tension [N*m]
    double torque;                  // at the driven knuckle, or cord tension * arm[0] [N*m]
} hw_digit_statics;

// Everything the families promise; a NULL function means "this family has no such thing" and the
// caller says so.
typedef struct hw_digit_family {
    hw_family_kind kind;
    const char *name; // as in the document: "coupled bars", "direct", "cord"
    // The pose at stroke parameter s, 0 to 1. HW_NO_ASSEMBLY: the loop does not close there; *out
    // holds the closest approach. HW_BAD_INPUT: hw_digit_check names a fault; *out is all NaN.
    hw_code (*pose)(const hw_digit *d, double s, hw_digit_pose *out); // [1]
    // Forces that balance the loads at a pose. HW_BAD_INPUT: a load's phalanx does not exist, or
    // hw_digit_check names a fault. At a dead point the forces are infinite or NaN.
    hw_code (*statics)(const hw_digit *d, const hw_digit_pose *pose, const hw_load *load,
                       size_t loads, hw_digit_statics *out);
    // The same digit as a general mechanism (bodies, pins, drivers) for linkage's solver, in the
    // arena. Bodies: 0 carrier, 1 to 3 phalanges, 4 and 5 bars A and B (frame at the root, x toward
    // the horn's end). NULL for cords, whose motion is a matter of forces. HW_BAD_INPUT,
    // HW_NO_MEMORY.
    hw_code (*mechanism)(const hw_digit *d, hw_arena *a, hw_mech *out);
    // As statics, for many loads on a digit that has been checked.
    hw_code (*balance)(const hw_digit *d, const hw_digit_pose *pose, const hw_load *load,
                       size_t loads, hw_digit_statics *out);
} hw_digit_family;

const hw_digit_family *hw_digit_family_of(
    hw_family_kind kind); // NULL for a kind that does not exist

// What is wrong with a digit's numbers, by name; the first that applies.
typedef enum hw_digit_fault {
    HW_DIGIT_SOUND,
    HW_DIGIT_NOT_FINITE, // a number is NaN or infinite
    HW_DIGIT_PHALANX,    // a phalanx is not longer than 0
    HW_DIGIT_HORN,       // coupled bars: a horn is not longer than 0
    HW_DIGIT_BAR_A_NONE, // bar A's root lies on its horn's end in the straight digit: no bar
    HW_DIGIT_BAR_B_NONE, // the same for bar B
    HW_DIGIT_BAR_A_DEAD, // the straight digit is bar A's dead point: root, horn's end and PIP on
                         // one line, so that it has no branch to keep
    HW_DIGIT_BAR_B_DEAD, // the same for bar B and the DIP
    HW_DIGIT_TRAVEL,     // cord: a stop lies beyond its opposite
    HW_DIGIT_CORD,       // cord: an arm is not > 0, or a spring's rate or preload is < 0
    HW_DIGIT_FAMILY,     // no such family
    HW_DIGIT_FAULTS
} hw_digit_fault;

// The straight digit counts as a dead point below this sine of the angle between horn and the line
// from joint to root: there rounding of the lengths (1e-16) decides the branch. [1]
#define HW_DIGIT_DEAD_SINE 1e-12

// Checks the numbers that the digit's family uses. Test: test/digit/test_coupled_bars.c
hw_digit_fault hw_digit_check(const hw_digit *d);
const char *hw_digit_fault_text(hw_digit_fault f); // never NULL; lower case, no full stop

// What people call a joint (0 to 2) of this digit: knuckle, PIP, DIP; thumb: CMC, MCP, IP. Never
// NULL. Test: test/digit/test_statics.c
const char *hw_digit_joint_name(const hw_digit *d, int joint);

// The unit load of the stroke: 1 N at the distal end on the phalanx's axis, square to it, pushing
// the digit open. Test: test/digit/test_statics.c
hw_load hw_digit_unit_load(const hw_digit *d);

// Angle of a phalanx (0 to 2) against the carrier at a pose. [rad]
double hw_digit_turned(const hw_digit_pose *pose, int phalanx); // [rad]

// A point of a phalanx's own frame in the digit frame. Test: test/digit/test_statics.c
hw_vec2 hw_digit_point(const hw_digit_pose *pose, int phalanx, hw_vec2 at); // [m]

// A digit with sizes of common practice and no mechanism choice beyond direct drive; overwrite what
// you know.
hw_digit hw_digit_default(void);

#endif
