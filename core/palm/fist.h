// A finger closing on the palm, in its own plane: what stops it, how near its end comes, which
// cylinders it encloses.
//
// The palm there is a rounded rectangle: its front edge `setback` behind the knuckle's axis, its
// inside `thickness - back` below it, edges of radius `edge`. It follows the arch, so it is the
// same beside each finger. A phalanx is the hull of two discs (digit/outline.h); of the proximal
// what lies within half its thickness of the knuckle is left out: the carrier is there, not the
// palm.
#ifndef HW_PALM_FIST_H
#define HW_PALM_FIST_H

#include "palm/pose.h"

typedef struct hw_palm_stop {
    double knuckle; // flexion of the knuckle at the first touch; infinite: none up to 40 degrees
                    // past the closed end, where only the knuckle goes on [rad]
    double spare;   // the same less the closed end of the motion [rad]
    double at;      // where on the motion that is, 1: closed; beyond 1 past it [1]
    int phalanx;    // which touches, 0 to 2; -1: none
    bool front;     // at the palm's front edge; else on its inside
    double relief;  // to be cut from the palm so that it closes `extra` further [m]
    double reach;   // from the last phalanx to the palm, closed or where it stops [m]
} hw_palm_stop;

// What stops a finger (1 to 4). HW_BAD_INPUT: the thumb, no such digit, fewer than two poses, or a
// number that is not finite; *out is NaN. Accuracy: 1e-9 rad of the angle between poses that are
// taken as straight. Source: plane distances, core/stack. Test: test/palm/test_fist.c
HW_MUST_USE hw_code hw_palm_stop_of(const hw_palm *p, int digit, const hw_palm_motion *m,
                                    double extra, // [rad]
                                    hw_palm_stop *out);

typedef struct hw_palm_cylinders {
    double least; // largest that a closed finger leaves room for: thinner ones it does not press;
                  // NaN: the closed finger's end does not come under the palm [m]
    double most;  // thickest that it encloses at any pose; NaN: none [m]
    double at;    // at which pose that is [1]
} hw_palm_cylinders;

// Diameters, up to where the finger stops (hw_palm_stop.at, 1 or infinite: it closes), of cylinders
// across the palm that touch its inside and that a finger encloses: its end lies under the
// cylinder's axis or beyond, so that it and the palm press against each other. Codes as above.
// Accuracy: 1e-3 of the diameter (poses are sampled). Source: circles tangent to a line and to a
// disc or a second line, docs/derivations/fist.md. Test: as above.
HW_MUST_USE hw_code hw_palm_cylinders_of(const hw_palm *p, int digit, const hw_palm_motion *m,
                                         double stop, // [1]
                                         hw_palm_cylinders *out);

#endif
