// A digit's forces across it. Bars, cords and the drive's pulley lie in layers beside the middle
// plane, so that each joint carries a side moment as well as a force, and one of its two cones more
// than the other. All axes being parallel, the forces in the plane of motion are those of the
// planar balances (docs/derivations/spatial.md); the side moments follow from one cut at each
// joint.
//
// Frame: the digit's, y along the flexion axis toward the thumb.
#ifndef HW_DIGIT_SPATIAL_H
#define HW_DIGIT_SPATIAL_H

#include "digit/digit.h"

// Where things lie across the digit, from its middle plane. y in the digit frame.
typedef struct hw_across {
    double cone[HW_JOINTS][2]; // of each joint's cones, [0] < [1] [m]
    double bar[2];             // load lines of bars A and B [m]
    double pulley;             // middle of the drive's cord on the knuckle's pulley [m]
    double cord;               // cord family: of the cord over the joints [m]
} hw_across;

// How the drive turns the knuckle of bars and direct digits: by a cord on a pulley of the proximal
// phalanx, which also pulls at the knuckle's pin, or by a pure couple. A torque Q r draws one cord
// and eases the other by Q / 2 each, equal cords taken, until the other is slack: together they
// pull with the greater of twice the pretension and |Q|.
typedef struct hw_knuckle_cord {
    double radius;     // of the cord's middle on the pulley; 0: pure couples [m]
    hw_vec2 toward;    // direction in which the closing cord leaves the pulley, length 1 [1]
    hw_vec2 back;      // the same of the cord that opens [1]
    double pretension; // of both cords with the drive at rest; 0: no cord opens [N]
} hw_knuckle_cord;

// A force on one phalanx, in that phalanx's frame.
typedef struct hw_space_push {
    int phalanx;   // 0 proximal, 1 middle, 2 distal
    hw_vec3 at;    // [m]
    hw_vec3 force; // [N]
} hw_space_push;

typedef struct hw_joint_load {
    hw_vec3 force;         // of the earlier body on the later one [N]
    double side_x, side_z; // moment of the earlier on the later about x and z, at the joint's axis
                           // in the middle plane [N*m]
    hw_vec2 cone[2];       // in-plane force at each cone, on the later body [N]
    double radial[2];      // its size [N]
} hw_joint_load;

// A digit at a pose, ready for many loads.
typedef struct hw_across_pose {
    hw_family_kind family;
    hw_across across;
    hw_knuckle_cord drive;
    hw_vec2 at[HW_JOINTS];      // joints [m]
    double c[HW_JOINTS];        // of each phalanx's turn against the carrier: cosine, [1]
    double s[HW_JOINTS];        // sine [1]
    hw_vec2 bar_end[2];         // horn's ends [m]
    hw_vec2 bar_root[2];        // [m]
    hw_vec2 pull[2];            // of a stretched bar on its horn's end, length 1 [1]
    double arm[2];              // moment of that about the joint that follows [m]
    hw_vec2 leaves[HW_JOINTS];  // cord family: direction of the cord from each joint [1]
    double cord_arm[HW_JOINTS]; // [m]
} hw_across_pose;

// HW_BAD_INPUT: no such family, cones of a joint in one place, or a value is not finite. Bars are
// taken to stand parallel to the plane of motion: their two pins in one layer. Test:
// test/digit/test_spatial.c
HW_MUST_USE hw_code hw_across_at(const hw_digit *d, const hw_digit_pose *pose,
                                 const hw_across *across, const hw_knuckle_cord *drive,
                                 hw_across_pose *out);

// Balances the loads with the drive at the knuckle (bars), at every joint (direct), or with the
// cord (cord family: the least tension at which no joint gives way). *torque: that the drive gives
// at the knuckle, positive when it closes; NULL allowed. Infinite or NaN at a dead point.
// HW_BAD_INPUT: a load's phalanx does not exist. Accuracy: rounding times the conditioning. Source:
// docs/derivations/spatial.md. Test: test/digit/test_spatial.c against linkage/spatial.h,
// test/digit/test_spatial_engine.c against a rigid-body engine
HW_MUST_USE hw_code hw_across_forces(const hw_across_pose *p, const hw_space_push load[],
                                     size_t loads, hw_joint_load out[HW_JOINTS],
                                     double *torque); // [N*m]

// The same, and what the bars carry: pulled positive; 0 for families without bars. Test:
// test/digit/test_spatial.c
HW_MUST_USE hw_code hw_across_all_forces(const hw_across_pose *p, const hw_space_push load[],
                                         size_t loads, hw_joint_load out[HW_JOINTS],
                                         double bar[2],   // [N]
                                         double *torque); // [N*m]

// Knuckle's pin alone when the drive gives a torque [N*m] that a stop of the knuckle takes up at an
// arm [m] > 0, in the middle plane, whose force on the proximal phalanx has the direction `push`
// (length 1) of the digit frame. The other joints are free of it. Test: test/digit/test_spatial.c
void hw_across_stall(const hw_across_pose *p, double torque, double arm, // [N*m] [m]
                     hw_vec2 push, hw_joint_load *knuckle);

#endif
