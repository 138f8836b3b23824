// Where a person's finger is caught between a digit that moves and what stands still beside it: the
// palm below it, a neighbour, the thumb or what the thumb folds on. Creases within one digit are
// stroke/pinch.h's.
//
// The finger is a ball that lies on what stands still and is as large as the moving digit leaves
// it. Phalanges are hulls of two discs, as wide as their digit; the palm is the section of
// palm/fist.h; carriers, where no finger can be, reach from the palm's front to their knuckle. Of
// the diameter counts what stroke/pinch.h counts of a gap. Two faces throw the ball out where they
// stand more open than twice the angle of friction; one that slides past it faster than it comes on
// spends its torque on friction. docs/derivations/pinch.md
#ifndef HW_PALM_CREASE_H
#define HW_PALM_CREASE_H

#include "palm/pose.h"
#include "stroke/pinch.h"

enum { HW_CREASE_ASIDE = HW_SEGMENTS, HW_CREASE_MOTIONS }; // splay or opposition, after the joints

// One motion of one digit, n >= 2 poses (HW_PINCH_POSES at most) from its opening stop on, each
// array n long. Where `rate` is there the joints go together, and torque[0] drives them; else each
// joint has a torque of its own, as the splay or opposition always has. NULL: it stands fast.
typedef struct hw_palm_run {
    int digit;
    size_t n;
    const double *joint[HW_SEGMENTS];        // [rad]
    const double *aside;                     // rising or falling [rad]
    const double *rate[HW_SEGMENTS];         // d(joint)/d(joint 0) [1]
    const double *torque[HW_CREASE_MOTIONS]; // [N*m]
} hw_palm_run;

typedef struct hw_palm_caught {
    hw_pinch_peak peak; // force 0: no finger is caught
    hw_vec3 where;      // middle of the ball, hand frame; NaN where none is caught [m]
    int phalanx;        // that presses, 0 to 2; -1: the carrier, or none
    int still;          // phalanx that it is pressed against; -1: the palm, or none
} hw_palm_caught;

// Worst place on the palm over a run of a finger (1 to 4), its `aside` standing fast.
// HW_BAD_INPUT: no such finger, too few or too many poses, a number that is not finite; *out is
// then NaN. Accuracy: of the places 2 %, of which hardly any is missed by more than that: a
// sixteenth of the palm's thickness, a twelfth of a phalanx apart at 17 poses, half of that beside
// those that bear half as much as the worst, then three of them at all poses, moved along their
// part by halves to a thousandth of it. Between the run's poses forces are interpolated: 33 of them
// tell up to 6 % less than 65. Source: virtual work, docs/derivations/pinch.md. Test:
// test/palm/test_crease.c, against every place
HW_MUST_USE hw_code hw_palm_crease_palm(const hw_palm *p, const hw_palm_run *run,
                                        hw_palm_caught *out);

// Worst place on the palm's outline, before it and on the side beside the thumb, over a run of the
// thumb: as the outline is, without the room that a seat takes, an eighth of its sections apart; of
// the places 3 %. *out: no finger, where none bears more than `above`. Codes, accuracy, source and
// test as above.
HW_MUST_USE hw_code hw_palm_crease_side(const hw_palm *p, const hw_palm_run *run,
                                        double above, // [N]
                                        hw_palm_caught *out);

// How a digit stands still.
typedef struct hw_palm_still {
    double aside, joint[HW_SEGMENTS]; // [rad]
} hw_palm_still;

// Worst place on another digit, `still`, over the n ways in which it stands still; *out: no
// finger, where n is 0, or none that bears more than `above`. Places: on the sides, palmar face
// and edges between of each phalanx. Codes, accuracy, source and test as above.
HW_MUST_USE hw_code hw_palm_crease_beside(const hw_palm *p, const hw_palm_run *run, int still,
                                          size_t n, const hw_palm_still held[],
                                          double above, // [N]
                                          hw_palm_caught *out);

#endif
