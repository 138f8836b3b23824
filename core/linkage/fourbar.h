// The four-bar in closed form. Positions are (x, z) with the crank's pivot at the origin and the
// rocker's on +x; angles are counter-clockwise (+x toward +z) from the ground line.
#ifndef HW_LINKAGE_FOURBAR_H
#define HW_LINKAGE_FOURBAR_H

#include "base/status.h"

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
    double coupler, rocker; // angles from the ground line, -pi to pi [rad]
    double transmission;    // between coupler and rocker, 0 to pi [rad]
    double d_rocker;        // d(rocker)/d(crank); infinite at a dead point [1]
    double d_coupler;       // d(coupler)/d(crank); infinite at a dead point [1]
} hw_fourbar_pose;

// Closes the loop at one crank angle [rad], on branch +1 (Norton's "open") or -1 ("crossed"): the
// coupler's end lies left or right of the line from the crank's pin to the rocker's pivot.
// HW_NO_ASSEMBLY: *gap [m] is how far the two circles miss, *out is the pose of closest approach
// with rates of NaN; a gap of 0 means that the crank's pin lies on the rocker's pivot and coupler
// and rocker are equal, so that every rocker angle closes. HW_BAD_INPUT: a length is not finite and
// > 0, the angle is not finite, or the branch is not +1 or -1; *out and *gap are NaN. `gap` may be
// NULL. Accuracy: closure within 8 units of rounding of the longest bar; angles within that over
// the sine of the transmission angle. Source: two-circle dyad, own derivation in vector form (no
// half-angle, so no branch cut); checked against Norton, Design of Machinery, Ex. 4-1 and 6-7.
// Test: test/linkage/test_fourbar.c
HW_MUST_USE hw_code hw_fourbar_solve(const hw_fourbar *f, double crank, int branch, // [rad]
                                     hw_fourbar_pose *out, double *gap);            // [m]

// n crank angles at once, the arrays n long and not overlapping; `coupler` and `transmission` may
// be NULL. Where ok[i] is 0 the loop does not close and the other values at i are NaN. Returns how
// many close. A bad length or branch closes none. Accuracy and source as hw_fourbar_solve.
// Test: test/linkage/test_fourbar.c
size_t hw_fourbar_sweep(const hw_fourbar *f, int branch, size_t n, const double crank[], // [rad]
                        double rocker[], double coupler[], double transmission[],        // [rad]
                        uint8_t ok[]);

// After Grashof 1883. Equality of the sums is decided to within rounding of the longest bar.
// A length that is not finite and > 0 is impossible. Test: test/linkage/test_fourbar.c
hw_fourbar_class hw_fourbar_classify(const hw_fourbar *f);
const char *hw_fourbar_class_text(hw_fourbar_class c); // never NULL, also for values out of range

// Where the motion of a four-bar that the crank drives is singular, or its output turns round.
typedef enum hw_fourbar_mark_kind {
    HW_FOURBAR_DEAD_EXTENDED,  // coupler and rocker stretched in line: the crank can go no further
    HW_FOURBAR_DEAD_FOLDED,    // coupler and rocker folded in line: the crank can go no further
    HW_FOURBAR_CHANGE,         // in line while the crank could go on: two branches meet
    HW_FOURBAR_LIMIT_EXTENDED, // crank and coupler stretched in line: the rocker turns round
    HW_FOURBAR_LIMIT_FOLDED    // crank and coupler folded in line: the rocker turns round
} hw_fourbar_mark_kind;

typedef struct hw_fourbar_mark {
    hw_fourbar_mark_kind kind;
    double crank; // [rad]
} hw_fourbar_mark;

// All marks on a branch with the crank between `from` and `to` [rad], both included, in order of
// the crank (falling where to < from). At most `room` are written; returns how many there are.
// Closed form (sides of a triangle), so none is stepped over. More than 2^20 turns, or bad input,
// give 0. Accuracy: a few units of rounding over the rate at which the triangle's side changes.
// Test: test/linkage/test_fourbar.c
size_t hw_fourbar_marks(const hw_fourbar *f, int branch, double from, double to, // [rad]
                        hw_fourbar_mark out[], size_t room);

#endif
