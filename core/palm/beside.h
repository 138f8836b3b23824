// Neighbouring fingers: how near they come while both close, and how far each may splay.
#ifndef HW_PALM_BESIDE_H
#define HW_PALM_BESIDE_H

#include "palm/pose.h"

typedef struct hw_palm_pair {
    double open, closed; // gap at the two ends of the motion, negative where they meet [m]
    double least;        // and over it [m]
    double at;           // where that is [1]
    double roll;         // how much they are rolled toward each other, flexed axis against flexed
                         // axis; negative: apart [rad]
    double depth;        // how far below the knuckle's axis the closed pair is nearest [m]
    double free_roll;    // roll at which they would touch closed: their gap is used up by depth *
                         // sin(roll) [rad]
} hw_palm_pair;

// A finger (1 to 3) and the next, both at the same s, unsplayed. The gap is that of the better of
// two separating planes, the side of either finger against the other's corners: never more than the
// true distance, and equal to it for parallel fingers. HW_BAD_INPUT: no such pair, fewer than two
// poses, numbers not finite; *out is NaN. Source: plane geometry; d sin(roll): a point d off an
// axis. Test: test/palm/test_beside.c, against core/palm/body.h
HW_MUST_USE hw_code hw_palm_pair_of(const hw_palm *p, int digit, const hw_palm_motion *here,
                                    const hw_palm_motion *next, hw_palm_pair *out);

typedef struct hw_palm_splay_room {
    double free[2][2]; // [open, closed][away from the thumb, toward it]: splay at which it meets
                       // its neighbour there, who has gone that way as far as its own range goes;
                       // infinite: none within 60 degrees [rad]
    double aside[2];   // how far its tip goes sideways over its own range, open and closed [m]
} hw_palm_splay_room;

// A finger (1 to 4) among its neighbours, which may be absent. `motion` has one for each of the
// five digits. Codes as above. Accuracy: 1e-6 rad. Test: as above.
HW_MUST_USE hw_code hw_palm_splay_room_of(const hw_palm *p, int digit,
                                          const hw_palm_motion motion[HW_HAND_DIGITS],
                                          hw_palm_splay_room *out);

#endif
