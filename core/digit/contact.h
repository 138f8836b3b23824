// Underactuated digits: what a cord at a tension presses on an object, phalanx by phalanx, when a
// phalanx is pushed off (ejection), and how much of the digit's poses and contacts hold.
//
// Forces are frictionless and square to the phalanx, positive when they press on the object.
#ifndef HW_DIGIT_CONTACT_H
#define HW_DIGIT_CONTACT_H

#include "digit/digit.h"

// Free closing of a cord digit at stroke parameter s: the tension that the springs ask for [N] and
// the cord pulled since the open digit [m]. Where a spring without rate lets a joint jump, the
// joints that jump at one tension move in proportion. HW_BAD_INPUT: not a sound cord digit; both
// are then NaN. Source: balance of each joint, arm * tension = preload + rate * angle. Test:
// test/digit/test_cord.c
HW_MUST_USE hw_code hw_cord_free(const hw_digit *d, double s, double *tension, // [1] [N]
                                 double *pulled);                              // [m]

// Torque left at each joint for pressing on objects: arm * tension - preload - rate * angle, for
// given joint angles. Test: test/digit/test_cord.c
void hw_cord_torque(const hw_digit *d, const double joint[HW_JOINTS], double tension, // [rad] [N]
                    double torque[HW_JOINTS]);                                        // [N*m]

// Contact forces f = J^-T T^-T t on n phalanges (1 to 3), each touched at distance k[i] > 0 from
// its own joint, `torque` the joints' torques (T^-T t). joint[0] plays no part. HW_BAD_INPUT: n or
// a k[i] out of range. Accuracy: a few eps of the largest term. Source: Birglen & Gosselin 2004,
// IEEE Trans. Robotics and Automation 20(2); Birglen, Laliberte & Gosselin 2008, Underactuated
// Robotic Hands, Springer. Test: test/digit/test_contact.c
HW_MUST_USE hw_code hw_contact_forces(size_t n, const double phalanx[], const double joint[], // [m]
                                      const double torque[], const double k[], // [N*m] [m]
                                      double force[]);                         // [N]

// Where the phalanges may be touched without one being pushed off (f >= 0), in closed form, for
// given joint angles and torques: from low to high; none where low > high. Own rearrangement of the
// equation above, docs/derivations/contact.md. Test: test/digit/test_contact.c
typedef struct hw_contact_range {
    double low, high; // distance from the phalanx's own joint, 0 to infinity [m]
} hw_contact_range;
typedef struct hw_contact_bound {
    bool distal;               // f3 >= 0 at all: the distal joint's torque is not negative
    hw_contact_range middle;   // of the distal contact, for f2 >= 0
    hw_contact_range proximal; // of the middle contact, for f1 >= 0 with the distal contact at k3
} hw_contact_bound;
hw_contact_bound hw_contact_bound_of(const double phalanx[HW_JOINTS], // [m]
                                     const double joint[HW_JOINTS],   // [rad]
                                     const double torque[HW_JOINTS],  // [N*m]
                                     double k3);                      // > 0 [m]

// How much of the digit's possible grasps press with all three phalanges.
typedef struct hw_stable_region {
    double at_middle; // share of poses that hold when each phalanx is touched at its middle [1]
    double any;       // share of poses and contact places that hold, all phalanges' lengths [1]
    double distal, middle, proximal; // shares of poses, touched at the middle, where that phalanx
                                     // is pushed off [1]
} hw_stable_region;

// Poses: `grid` (2 to 64) angles of each of the joints 1 and 2 between their stops, joint 0 at the
// middle of its travel; contact places: midpoints of `grid` parts of the distal phalanx, exact
// along the middle one. HW_BAD_INPUT: not a sound cord digit, or grid out of range. Test:
// test/digit/test_contact.c
HW_MUST_USE hw_code hw_stable_region_of(const hw_digit *d, double tension, size_t grid, // [N]
                                        hw_stable_region *out);

#endif
