// All joints of a digit over its stroke, under every load case: which pivot lets go first, at what
// load, in which pose.
#ifndef HW_PIVOT_RELEASE_H
#define HW_PIVOT_RELEASE_H

#include "digit/spatial.h"
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

typedef struct hw_release_def {
    const hw_digit *digit;
    hw_across across;
    hw_knuckle_cord cord;
    hw_pivot pivot[HW_JOINTS];
    double force[HW_HOLD_CASES]; // of each case, >= 0; stall: torque at the knuckle; squeeze:
                                 // unused [N], [N*m]
    const double *squeeze;       // of the drive at each pose, not finite: none there; NULL [N]
    double stop_arm;             // of the knuckle's stop, > 0 where stall's torque is not 0 [m]
    size_t poses;                // over the stroke, both ends included, >= 2
} hw_release_def;

// The worst of one kind: over all cases and poses, or over the poses of one case.
typedef struct hw_release_peak {
    double value;  // load factor, or share of strength [1]
    bool breaks;   // of load factors: the cheek breaks there before the cone lets go
    int which;     // case
    double s;      // pose [1]
    int side;      // of the cone that carries more: 0 at negative y, 1 toward the thumb
    double load;   // of that cone, at the case's own force [N]
    double spread; // on either cheek there [N]
} hw_release_peak;

typedef struct hw_release {
    hw_release_peak joint[HW_JOINTS];    // least load factor over all cases
    hw_release_peak tip[HW_JOINTS];      // least load factor of the palmar push at the tip
    hw_release_peak strained[HW_JOINTS]; // largest share of strength over all cases
} hw_release;

// Pushes on pads are tried at both ends of the pad (a pad begins and ends half a joint's thickness
// from the joints' axes; the last one ends at the tip), where one of them is the worst
// (docs/derivations/spatial.md); on digits closed by a cord also in between. A knock passes; all
// other loads last and halve the print's modulus. A load factor is what the forces may
// grow by until a cone has left its socket or a cheek is broken, 1 being the
// case's own force; a case of force 0 is left out, and values without any case are infinite, shares
// 0. HW_BAD_INPUT: a pivot, the digit or a force is faulty. HW_NO_ASSEMBLY: some poses do not
// close; the others count. Test: test/pivot/test_release.c
HW_MUST_USE hw_code hw_release_of(const hw_release_def *def, hw_release *out);

#endif
