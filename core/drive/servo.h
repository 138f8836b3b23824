// Brushed motors with gears, as hobby servos have: straight lines between stall and no load.
#ifndef HW_DRIVE_SERVO_H
#define HW_DRIVE_SERVO_H

#include "base/status.h"

// At one voltage.
typedef struct hw_servo_line {
    double stall_torque;    // > 0 [N*m]
    double no_load_speed;   // > 0 [rad/s]
    double stall_current;   // >= no_load_current; 0 when unknown [A]
    double no_load_current; // >= 0 [A]
} hw_servo_line;

typedef struct hw_servo_point {
    double torque;  // [N*m]
    double speed;   // negative beyond stall: the load drives it back [rad/s]
    double current; // [A]
    double power;   // mechanical [W]
} hw_servo_point;

// The point at a torque [N*m] or a speed [rad/s]: T = Ts (1 - w/w0), I = I0 + (Is - I0) T/Ts.
// HW_BAD_INPUT: a value out of range; *out is NaN. Source: direct-current motor with constant
// field, common practice (docs/sources/mechanics.md). Test: test/drive/test_servo.c
HW_MUST_USE hw_code hw_servo_at_torque(const hw_servo_line *s, double torque, // [N*m]
                                       hw_servo_point *out);
HW_MUST_USE hw_code hw_servo_at_speed(const hw_servo_line *s, double speed, // [rad/s]
                                      hw_servo_point *out);

// Most mechanical power that the line has, at half the no-load speed: Ts w0/4 [W]. Source as above.
// Test: test/drive/test_servo.c
double hw_servo_most_power(const hw_servo_line *s);

// The line at `voltage` [V] of a servo rated at `rated` [V]: torque, speed and stall current go
// with the voltage, the no-load current stays. Catalogue pairs at 4.8 and 6 V give about a fifth
// more speed for a quarter more voltage, so that this is a little hopeful upward. Both > 0, else
// the line is NaN. Source: as above. Test: test/drive/test_servo.c
hw_servo_line hw_servo_at_voltage(const hw_servo_line *s, double rated, double voltage); // [V]

// What feeds a servo: a source behind a resistance, wires and plugs included.
typedef struct hw_servo_feed {
    double emf;        // without a load, >= 0 [V]
    double resistance; // >= 0 [ohm]
} hw_servo_feed;

// Voltage that is left at a servo with the line `s` at `rated` [V] > 0 while it gives a share of
// the stall torque that it has at that very voltage, or a torque [N*m] >= 0: less voltage means
// less torque and speed, and less current drawn. Closed forms: a share makes the current straight
// in the voltage, a torque asks for a square root. 0 where the source cannot even bear the no-load
// current; NaN for values out of range. Source: Ohm's law and the line above. Test:
// test/drive/test_feed.c, against GSL's root finder and a motor started into its rail
double hw_servo_fed_at_share(const hw_servo_line *s, double rated,    // [V]
                             const hw_servo_feed *f, double share);   // [V] [1]
double hw_servo_fed_at_torque(const hw_servo_line *s, double rated,   // [V]
                              const hw_servo_feed *f, double torque); // [V] [N*m]

// Current that it draws at `voltage` [V] >= 0 and a share of the stall torque there. [A] Never less
// than without a load. Source and test: as above.
double hw_servo_draws(const hw_servo_line *s, double rated, double voltage,
                      double share); // [V] [1]

#endif
