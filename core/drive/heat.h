// How warm a servo gets that stands under load: windings, case, room in a row.
#ifndef HW_DRIVE_HEAT_H
#define HW_DRIVE_HEAT_H

#include "base/status.h"

typedef struct hw_servo_heat {
    double resistance; // of the windings at 20 degC, >= 0: rated voltage over stall current [ohm]
    double winding;    // from the windings to the case, >= 0 [K/W]
    double outside;    // from the case to the room, > 0 [K/W]
    double time;       // of the case: `outside` times its heat capacity, > 0 [s]
    double room;       // temperature, > 0 [K]
} hw_servo_heat;

typedef struct hw_servo_warmth {
    double power;    // turned into heat at last [W]
    double windings; // temperature at last [K]
    double outside;  // temperature of the case at last [K]
} hw_servo_warmth;

// Where temperatures end under `current` [A] >= 0 in the windings of a servo that stands. Copper
// resists 0.393 % more for each kelvin, so that heat feeds itself: beyond a current nothing
// settles, and all three are infinite. HW_BAD_INPUT: a number out of range; *out is NaN. Source:
// Ohm's and Fourier's laws as a chain of two thermal resistances, common practice for motors; IEC
// 60028 for copper (from memory). Accuracy: the resistances are good to a third at best. Test:
// test/drive/test_heat.c, against an ODE
HW_MUST_USE hw_code hw_servo_warms(const hw_servo_heat *s, double current, // [A]
                                   hw_servo_warmth *out);

// Time from the room's temperature until the case has `limit` [K]; infinite where it never has, 0
// where the room has. The windings, whose own time constant is small beside the case's, are taken
// as settled above it. NaN for a number out of range. [s] Source and test: as above.
double hw_servo_warm_time(const hw_servo_heat *s, double current, double limit); // [A] [K]

#endif
