// Round copper wires by American wire gauge.
#ifndef HW_POWER_WIRE_H
#define HW_POWER_WIRE_H

#include "base/status.h"

typedef struct hw_wire {
    double diameter;   // of the solid wire of that gauge [m]
    double area;       // [m^2]
    double resistance; // per length, at the temperature asked for [ohm/m]
} hw_wire;

// Gauge from -3 (0000) to 40, fractions allowed: d = 0.127 mm * 92^((36 - n)/39). Resistivity of
// annealed copper 1.7241e-8 ohm*m at 20 degC, 0.393 % more per kelvin. `temperature` from 200 to
// 500 [K]. HW_BAD_INPUT: out of range; *out is NaN. Accuracy: tables differ by their rounding, 0.1
// %; stranded wires have up to 4 % more resistance. Source: ASTM B258-02 (formula read at second
// hand, docs/sources/mechanics.md); IEC 60028 for copper (from memory). Test:
// test/published/mechanics.c
HW_MUST_USE hw_code hw_wire_of(double gauge, double temperature, hw_wire *out); // [1] [K]

// Voltage lost in a pair of wires (there and back) [V]. `length` of the cable [m] >= 0, `current`
// >= 0 [A]; NaN otherwise. Source: Ohm's law. Test: test/power/test_power.c
double hw_wire_drop(const hw_wire *w, double length, double current); // [m] [A]

#endif
