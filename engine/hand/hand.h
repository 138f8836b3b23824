// Design -> Hand: the only room that knows both the document's entries and the core's types.
#ifndef HW_HAND_H
#define HW_HAND_H

#include "design/design.h"
#include "digit/digit.h"
#include "stroke/stroke.h"

enum { HW_THUMB, HW_INDEX, HW_MIDDLE, HW_RING, HW_LITTLE };

// Forces that the hand is meant to bear, one each load case. All >= 0.
typedef struct hw_loads {
    double tip;   // palmar push at the tip [N]
    double pad;   // palmar push at the middle of any one pad [N]
    double hook;  // pull at the middle of the proximal phalanx, as when carrying [N]
    double knock; // push on the back of the tip [N]
} hw_loads;

typedef struct hw_hand {
    double length, breadth; // [m]
    bool left;
    bool classroom;
    bool present[HW_DIGITS];
    hw_digit digit[HW_DIGITS];
    hw_loads loads;
    double law[HW_JOINTS];  // natural closing MCP:PIP:DIP, as fractions of the first [1]
    double strength;        // of the printed material across its layers [Pa]
    double gap, line;       // printer's gap between moving parts, line width [m]
    double cone_half_angle; // of the pivots [rad]
} hw_hand;

// Builds the hand. Never fails on a design that was read: what cannot be built shows as findings.
// Test: test/hand/
void hw_hand_build(const hw_design *d, hw_hand *out);

#endif
