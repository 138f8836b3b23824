// The parts of a digit as seen across it, in the plane of motion: rounded hulls (the convex hull of
// a few discs) in each part's own body frame. For drawings, for wrapping round objects, and for the
// layers that are cut from them.
//
// Parts: 0 carrier, 1 to 3 phalanges, 4 and 5 bars A and B. Frames: carrier at the knuckle, x along
// the straight digit; phalanges as in digit.h; bars at their root, x toward the horn's end.
#ifndef HW_DIGIT_OUTLINE_H
#define HW_DIGIT_OUTLINE_H

#include "digit/digit.h"

enum { HW_HULL_DISCS = 3, HW_OUTLINE_HULLS = 6, HW_OUTLINE_EYES = 4, HW_OUTLINE_PARTS = 6 };

typedef struct hw_disc {
    hw_vec2 at;    // [m]
    double radius; // >= 0 [m]
} hw_disc;

// What a hull is to its part, and so where across the digit it lies.
typedef enum hw_hull_role {
    HW_HULL_BODY,   // the whole width
    HW_HULL_CHEEKS, // at a phalanx's own joint, round the tang of the part before: outer layers
    HW_HULL_TANG,   // at a part's far end, between the cheeks of the next (docs/decisions/0010)
    HW_HULL_HORN,   // arm that a bar pulls on
    HW_HULL_ROOT,   // lug that a bar is rooted in
    HW_HULL_BAR,    // a bar's plate, eyes included
    HW_HULL_ROLES
} hw_hull_role;

typedef struct hw_hull {
    hw_hull_role role;
    size_t discs; // 1 to HW_HULL_DISCS
    hw_disc disc[HW_HULL_DISCS];
} hw_hull;

// One part: the union of its hulls, and the axes of the pivots in it.
typedef struct hw_outline {
    size_t hulls; // 0: this digit has no such part
    hw_hull hull[HW_OUTLINE_HULLS];
    size_t eyes;
    hw_disc eye[HW_OUTLINE_EYES]; // radius: of the pivot's boss
} hw_outline;

// Outlines of all parts. Cheeks and tangs reach round their joint by half the thickness there;
// whole width is kept where the neighbour does not sweep. Digits without bars have none.
// HW_BAD_INPUT: hw_digit_check names a fault; all parts are empty. Source: own layout,
// docs/decisions/0010. Test: test/digit/test_outline.c
HW_MUST_USE hw_code hw_digit_outline(const hw_digit *d, hw_outline out[HW_OUTLINE_PARTS]);

// Where a part's frame is at a pose: its origin [m] and its flexion against the carrier [rad]; NaN
// for bars of a digit without. Test: test/digit/test_outline.c
void hw_outline_place(const hw_digit_pose *pose, int part, hw_vec2 *origin,
                      double *turned); // [rad]

// The two discs whose hull is a whole phalanx (0 to 2), from joint to joint, as an object in the
// hand meets it: half the thickness at each end; the last ends in a disc that reaches the distal
// end.
void hw_phalanx_discs(const hw_digit *d, int phalanx, hw_disc disc[2]);

// Distance of a point from the hull of two discs, negative inside. Exact. Source: own derivation,
// docs/derivations/wrap.md. Test: test/digit/test_outline.c
double hw_discs_distance(const hw_disc disc[2], hw_vec2 p); // [m]

#endif
