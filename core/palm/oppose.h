// The thumb against the fingers: can their pads meet.
#ifndef HW_PALM_OPPOSE_H
#define HW_PALM_OPPOSE_H

#include "palm/pose.h"

typedef struct hw_palm_meeting {
    double miss;       // between the middles of the two pads [m]
    double angle;      // between the pads' planes, 0: face to face [rad]
    double opposition; // of the thumb [rad]
    double base;       // share of the travel of its base's flexion [1]
    double curl;       // share of its outer joints' travel, both together [1]
    double close;      // of the finger [1]
    double splay;      // of the finger [rad]
} hw_palm_meeting;

// Where the pads of thumb and finger (1 to 4) come nearest, within everybody's travel, and of
// places as near as each other the one where they face each other best. `thumb` gives the base's
// travel at joint 0 and the outer joints' at 1 and 2, from open to closed. HW_BAD_INPUT: no such
// finger, fewer than two poses, numbers not finite; *out is NaN. Accuracy: 1e-3 of the pad's length
// where they meet; a local search from 6 starts, which may miss a better place. Method: damped
// Gauss-Newton (Levenberg 1944; Marquardt 1963) with bounds. Test: test/palm/test_oppose.c
HW_MUST_USE hw_code hw_palm_meeting_of(const hw_palm *p, int finger, const hw_palm_motion *thumb,
                                       const hw_palm_motion *motion, hw_palm_meeting *out);

// What a thumb's pad is to hold against: a finger's pad, or on its middle phalanx the middle of the
// side toward the thumb, or of the back.
typedef enum hw_held_on { HW_HELD_PAD, HW_HELD_SIDE, HW_HELD_BACK } hw_held_on;

typedef struct hw_palm_hold {
    int finger[2], fingers; // numbers (1 to 4) of one or two
    double close[2];        // shares of their closing that they may take, least and most [1]
    hw_held_on on;
    bool tied; // the thumb's outer joints go with its base
} hw_palm_hold;

typedef struct hw_palm_held {
    double miss, angle;            // the greatest of the fingers', as above [m] [rad]
    double opposition, base, curl; // as above [rad] [1] [1]
    double close[2], splay[2];     // of each finger [1] [rad]
} hw_palm_held;

// The same search with one finger or two at once, whose distances count squared and so are alike.
// `motion` for five digits, of which the thumb's and these fingers' are read. Codes, method and
// accuracy as above. Test: test/palm/test_oppose.c, test/palm/test_grip.c
HW_MUST_USE hw_code hw_palm_hold_of(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                                    const hw_palm_hold *hold, hw_palm_held *out);

#endif
