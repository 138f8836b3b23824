// How far a digit's tip stays behind its drive once it is loaded: the play is then taken up to one
// side, bars and cord stretch. Unloaded it wobbles instead (hw_slop). docs/derivations/lag.md
#ifndef HW_STROKE_LAG_H
#define HW_STROKE_LAG_H

#include "stroke/stroke.h"

// What turns a driven joint, as it yields.
typedef struct hw_lag_drive {
    double stiffness; // of the drive at a driven joint, > 0, may be infinite [N*m/rad]
    double play;      // of the drive there, end to end, >= 0 [rad]
} hw_lag_drive;

typedef struct hw_lag {
    double tip;     // along the load, worst over the stroke [m]
    double pins;    // of it, the pivots' play taken up [m]
    double bars;    // of it, stretch and shortening of the bars [m]
    double drive;   // of it, the drive: its play taken up, and its yielding [m]
    double knuckle; // the driven joint behind its drive there [rad]
    double at_s;    // where [1]
} hw_lag;

// For a load at the distal end, square to it, of `load` [N] > 0 or, where that is less, of what
// the drive brings at the pose (`most` [N], s->n long; NULL: all of it), over a stroke that was run
// for this digit (its unit load). All pivots start in the middle of their play and end with it
// taken up along their own force, the drive in the middle of its: each pin gives its force per
// newton times pivot_play, each joint with a drive its arm times half the drive's play. A bar
// stretches by N L / (E A). Both by virtual work, exact to first order in the play. The carrier is
// rigid. A cord over the joints is refused: its joints give way one by one, by their springs.
// HW_BAD_INPUT: that, or a number out of its range. HW_NO_ASSEMBLY: no pose closes. *out is NaN
// then. Infinite at a dead point. Source: own derivation, docs/derivations/lag.md. Test:
// test/stroke/test_lag.c
HW_MUST_USE hw_code hw_lag_of(const hw_digit *d, const hw_stroke *s, double load, // [N]
                              const double most[],                                // [N]
                              const hw_lag_drive *drive, hw_lag *out);

#endif
