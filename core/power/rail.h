// One rail: a source that feeds several servos, each over its own wires and plugs. Torque and
// voltage hang together: what they draw lowers what they get.
#ifndef HW_POWER_RAIL_H
#define HW_POWER_RAIL_H

#include "drive/servo.h"

// One servo on the rail, and what it is asked for.
typedef struct hw_rail_load {
    hw_servo_line line; // at `rated`
    double rated;       // > 0 [V]
    double resistance;  // of its own wires and plugs, >= 0 [ohm]
    bool by_torque;     // `torque` is asked, otherwise `share`
    double share;       // of the stall torque at the voltage that it gets, 0 to 1 [1]
    double torque;      // >= 0 [N*m]
} hw_rail_load;

// Voltages and currents in balance. `source` is the supply with what all servos share: its own
// resistance, its lead and its plug. *bus gets the voltage where the servos' wires part, volt[n]
// that at each servo and ampere[n] its current; each array may be NULL. All 0 V where the no-load
// currents alone are too much. HW_BAD_INPUT: a number out of range; the results are NaN. Accuracy:
// 1e-14 of the source's voltage. One root: every current rises with its voltage. Source: Ohm's and
// Kirchhoff's laws. Test: test/power/test_rail.c, against GSL's solver of the whole set
HW_MUST_USE hw_code hw_rail_solve(const hw_servo_feed *source, const hw_rail_load load[], size_t n,
                                  double *bus, double volt[], double ampere[]); // [V] [V] [A]

// What feeds load `i` while the others draw what they do at `ampere` (from hw_rail_solve): the
// source less their drop, behind its resistance and the load's own. Test: as above.
hw_servo_feed hw_rail_feed(const hw_servo_feed *source, const hw_rail_load load[], size_t n,
                           const double ampere[], size_t i); // [A]

#endif
