// The six grip patterns as closings of a hand's motions: splay and opposition first, then flexion,
// until fingers lie on an object or pads meet.
#ifndef HW_PALM_GRIP_H
#define HW_PALM_GRIP_H

#include "palm/oppose.h"

// Source: Light, Chappell & Kyberd 2002, Arch Phys Med Rehabil 83(6):776-783 (six patterns; what
// each is: from memory).
typedef enum hw_grip_pattern {
    HW_GRIP_SPHERICAL, // thumb and all fingers, spread, round a ball
    HW_GRIP_TRIPOD,    // thumb's pad against those of index and middle
    HW_GRIP_POWER,     // fingers round a cylinder, the thumb after them
    HW_GRIP_LATERAL,   // thumb's pad against the side of the flexed index
    HW_GRIP_TIP,       // thumb's pad against the index's
    HW_GRIP_EXTENSION, // thumb's pad against those of nearly straight fingers
    HW_GRIPS
} hw_grip_pattern;

const char *hw_grip_name(hw_grip_pattern grip); // "spherical"; NULL beyond the list

// All motions of a hand at one moment.
typedef struct hw_palm_stance {
    double close[HW_HAND_DIGITS]; // of the fingers' travel; thumb: of its base's [1]
    double curl;                  // of the thumb's outer joints' travel, both together [1]
    double aside[HW_HAND_DIGITS]; // splay; thumb: opposition [rad]
} hw_palm_stance;

typedef struct hw_grip_closing {
    hw_palm_stance from, to;
    double fingers[2], oppose[2], flex[2]; // shares of the closing between which the fingers move,
                                           // the thumb opposes, and flexes [1]
    double miss, angle; // of pads that are to meet, as hw_palm_hold_of; NaN: none are [m] [rad]
    hw_body object;     // what is held; HW_BODY_HULL: nothing
} hw_grip_closing;

// Fingers and thumb close by straight lines between two stances. Pads end where they come nearest,
// opposed and splayed for it from the start; fingers that are not asked for go along: in `tip` by a
// quarter, else as far as the middle finger. Spherical: fingers splayed to their ends; thumb and
// middle finger close as if their pads were to meet, and stop as far apart as a ball of 0.75 of the
// palm's breadth. Lateral and power: the thumb comes after the fingers, opposes, then flexes; in
// lateral onto the side of the index, half to nine tenths closed, the others as far; in power onto
// the back of the index, each finger closed until a phalanx's box touches a cylinder of 0.4 of the
// breadth on the palm's inside (else whole). Sizes: own choice. `tied`: the thumb's outer joints go
// with its base. `motion` for five digits; those of digits that are absent are not read.
// HW_BAD_INPUT: no such pattern, thumb, index or middle is absent, numbers not finite; *out is then
// NaN. Test: test/palm/test_grip.c
HW_MUST_USE hw_code hw_grip_closing_of(const hw_palm *p,
                                       const hw_palm_motion motion[HW_HAND_DIGITS],
                                       hw_grip_pattern grip, bool tied, hw_grip_closing *out);

// The stance at t, 0 to 1 of the closing. Test: as above.
void hw_grip_stance_at(const hw_grip_closing *c, double t, hw_palm_stance *out); // [1]

// Joint angles of a digit in a stance. Test: as above.
void hw_palm_stance_joints(const hw_palm_stance *s, const hw_palm_motion *motion, int digit,
                           double joint[HW_SEGMENTS]); // [rad]

// Whether a grip is there for two phalanges (0 to 2) of two digits to touch: pads that hold, the
// thumb on the fingers that it wraps.
bool hw_grip_means(hw_grip_pattern grip, const int digit[2], const int phalanx[2]);

#endif
