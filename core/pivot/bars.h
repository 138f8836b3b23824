// A bar's ends: each hangs on one cone that stands on the wall beside it, and is kept there by what
// lies on its other side.
#ifndef HW_PIVOT_BARS_H
#define HW_PIVOT_BARS_H

#include "pivot/seat.h"

// What lies on the far side of a bar's end at one pose.
typedef struct hw_beside {
    double slack;    // how far the end can move off its wall before it leans on that; infinite:
                     // nothing lies beside the end itself [m]
    double overhang; // of the end beyond where its shank is guided on that side, >= 0 [m]
    double span;     // guided length behind it; 0: none [m]
} hw_beside;

// One bar of `twins` equal ones. Its two ends are alike.
typedef struct hw_bar_pivot {
    size_t twins;   // 0: no such bar
    hw_seat seat;   // of the cones
    hw_eye eye;     // of the bar's ends, with the cone's place in the middle of its layer
    double gap;     // to the wall, and to what lies beside, the bar in the middle, >= 0 [m]
    double mu;      // friction to count on, >= 0 [1]
    double modulus; // of the print; a load that lasts halves it, > 0 [Pa]
    hw_print_strength strength;
} hw_bar_pivot;

typedef struct hw_bar_hold {
    double factor; // that the load may grow by until the end leaves its cone; 0: play alone frees
                   // it; infinite: never [1]
    double apart;  // of bar and wall at that end, under the load itself; 0: on it [m]
} hw_bar_hold;

// A bare cone pushes its bar off by (4/pi) tan(a - phi) of the load, a land does not; a pull whose
// line lies nearer to the wall than the bar's middle also curls its ends off, and a push
// on lands lays them on the wall. An end that leans on
// something beside it moves by its slack alone. Any other overhangs where its shank is last guided,
// at both ends alike: N c^2 (c/3 + b/2)/(E I) and M c (c + b)/(2 E I), after the play of the span
// and its tilt. `pull` of one twin, < 0: a push [N]. NaN for values out of range. Source: beam with
// overhangs, Roark's Formulas for Stress and Strain, table 8.1 (from memory);
// docs/derivations/seat.md. Test: test/pivot/test_bars.c
hw_bar_hold hw_bar_hold_of(const hw_bar_pivot *b, const hw_beside *by, double pull, // [N]
                           bool sustained);

#endif
