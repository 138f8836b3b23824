// A digit on the palm, splayed or opposed and flexed, and how splay changes with flexion.
#ifndef HW_PALM_POSE_H
#define HW_PALM_POSE_H

#include "palm/body.h"
#include "palm/palm.h"

// Joint angles of a digit from open to closed, n >= 2 poses, the caller's arrays.
typedef struct hw_palm_motion {
    size_t n;
    const double *joint[HW_SEGMENTS]; // n each [rad]
} hw_palm_motion;

typedef struct hw_palm_pose {
    hw_frame base;                 // the knuckle's frame once splayed (thumb: opposed)
    hw_frame phalanx[HW_SEGMENTS]; // at its joint, x toward the tip, z dorsal
    hw_vec3 tip;                   // [m]
} hw_palm_pose;

// Joint angles at s (0 open, 1 closed), straight between poses. NaN for fewer than two poses.
void hw_palm_motion_at(const hw_palm_motion *m, double s, double joint[HW_SEGMENTS]); // [1] [rad]

// Where a digit is: `aside` is its splay, the thumb's opposition; splay first, then flexion. Test:
// test/palm/test_pose.c
void hw_palm_pose_of(const hw_palm *p, int digit, double aside, // [rad]
                     const double joint[HW_SEGMENTS],           // [rad]
                     hw_palm_pose *out);

// A phalanx (0 to 2) as a box: its length, width, and its larger thickness. Test: as above.
hw_body hw_palm_box(const hw_palm *p, int digit, const hw_palm_pose *pose, int phalanx);

// The middle of a digit's pad: on the palmar face of its last segment, half way along; and the
// pad's outward normal. Test: as above.
hw_vec3 hw_palm_pad(const hw_palm *p, int digit, const hw_palm_pose *pose, hw_vec3 *normal);

// What one radian of splay does to a digit flexed at its knuckle alone by `flexion`, its axis
// square to the flexion axis: it turns the proximal's direction sideways by cos(flexion) and about
// itself by sin(flexion). A flexed finger's splay is almost a twist. Source: plane geometry. Test:
// as above.
typedef struct hw_palm_splaying {
    double sideways, twist; // [1]
} hw_palm_splaying;
hw_palm_splaying hw_palm_splaying_at(double flexion); // [rad]

// Splay that people keep of `most` at a flexion: falls in a straight line to none at 70 degrees,
// where bone meets bone. Source: collateral ligaments tighten (second hand), the line is an
// assumption (docs/sources/anatomy.md). Test: as above.
double hw_palm_splay_of_people(double most, double flexion); // [rad]

#endif
