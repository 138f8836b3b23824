// All joints of a digit over its stroke, under every load case: which pivot lets go first, at what
// load, in which pose.
#ifndef HW_PIVOT_RELEASE_H
#define HW_PIVOT_RELEASE_H

#include "digit/spatial.h"
#include "pivot/bars.h"
#include "pivot/hold.h"
#include "stroke/cases.h"

// The load cases of the stroke, and those that only pivots feel.
typedef enum hw_hold_case {
    HW_HOLD_SIDE = HW_CASES, // sideways at the tip, to the worse side, as when holding with a thumb
    HW_HOLD_STALL,           // the drive against the knuckle's closed stop
    HW_HOLD_SQUEEZE,         // palmar push at the tip, as hard as the drive presses in each pose
    HW_HOLD_CASES
} hw_hold_case;

const char *hw_hold_case_name(int c); // hw_case or hw_hold_case; never NULL

// Places where a cone stands in a socket: the joints, then bar A's root and horn, bar B's root and
// horn.
enum { HW_HOLD_BARS = HW_JOINTS, HW_HOLD_PLACES = HW_JOINTS + 4 };

// "knuckle", "bar A's horn"; never NULL. Test: test/pivot/test_release.c
const char *hw_hold_place_name(const hw_digit *d, int place);

typedef struct hw_release_def {
    const hw_digit *digit;
    hw_across across;
    hw_knuckle_cord cord;
    hw_pivot pivot[HW_JOINTS];
    hw_bar_pivot bar[2];     // coupled bars
    const hw_beside *beside; // of every pose, then bar, then end; NULL: bars' ends are not judged
    double force[HW_HOLD_CASES]; // of each case, >= 0; stall: torque at the knuckle; squeeze:
                                 // unused [N], [N*m]
    const double *squeeze;       // of the drive at each pose, not finite: none there; NULL [N]
    double stop_arm;             // of the knuckle's stop, > 0 where stall's torque is not 0 [m]
    size_t poses;                // over the stroke, both ends included, >= 2
} hw_release_def;

// The worst of one kind: over all cases and poses, or over the poses of one case.
typedef struct hw_release_peak {
    double value;  // load factor, share of strength, or a length in metres [1]
    bool breaks;   // of load factors: the cheek breaks there before the cone lets go
    int place;     // of HW_HOLD_PLACES
    int which;     // case
    double s;      // pose [1]
    int side;      // of the cone that carries more: 0 at negative y, 1 toward the thumb
    double load;   // of that cone, at the case's own force [N]
    double spread; // on either cheek there; bars' ends: 0 [N]
    double force;  // of the case itself; stall: torque at the knuckle [N], [N*m]
} hw_release_peak;

typedef struct hw_release {
    hw_release_peak joint[HW_JOINTS];        // least load factor over all cases
    hw_release_peak tip[HW_JOINTS];          // least load factor of the palmar push at the tip
    hw_release_peak strained[HW_JOINTS];     // largest share of strength over all cases
    hw_release_peak pressed[HW_HOLD_PLACES]; // largest pressure on a cone or land, over strength
    hw_release_peak rooted[HW_HOLD_PLACES];  // largest share of strength at a cone's root
    hw_release_peak bar[2][2];               // least load factor of bars' ends [bar][root, horn]
    hw_release_peak left[2][2];              // least height of their cones that is still inside the
                                             // bar at the load itself, from minus that height [m]
    hw_release_peak eye[2];                  // largest share of strength in a bar and its eyes
} hw_release;

// *out with nothing known. Test: test/pivot/test_release.c
void hw_release_clear(hw_release *out);

// Pushes on pads are tried at both ends of the pad (a pad begins and ends half a joint's thickness
// from the joints' axes; the last one ends at the tip), where one of them is the worst
// (docs/derivations/spatial.md); on digits closed by a cord also in between. A knock passes; all
// other loads last and halve the print's modulus. A load factor is what the forces may
// grow by until a cone has left its socket or a cheek is broken, 1 being the
// case's own force; a case of force 0 is left out, and values without any case are infinite, shares
// 0. Pressure counts on the projected area of what is in its socket when the joint has floated to
// one side (joints) or where its end then lies (bars); over the strength along the lines. A cone's
// root is judged in the frame of the part that it stands on, whose layers are taken to lie across z
// of the straight digit. HW_BAD_INPUT: a pivot, the digit or a force is faulty. HW_NO_ASSEMBLY:
// some poses do not close; the others count. Test: test/pivot/test_release.c
HW_MUST_USE hw_code hw_release_of(const hw_release_def *def, hw_release *out);

#endif
