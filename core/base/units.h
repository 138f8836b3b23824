// Units and dimensions. Angle is a dimension of its own: torque is N*m/rad, so N*m as a torque is
// not J, and rpm is not Hz.
#ifndef HW_BASE_UNITS_H
#define HW_BASE_UNITS_H

#include "base/status.h"

// Exponents of metre, kilogram, second, ampere, kelvin, radian.
typedef struct hw_dim {
    int8_t m, kg, s, A, K, rad;
} hw_dim;

// HW_INIT_X initialises a member of a constant table, HW_DIM_X is a value in an expression.
// The dimensions that entries and findings have. Torque's N*m carries rad^-1; stiffness of a joint
// N*m/rad carries rad^-2.
// clang-format off
#define HW_INIT_NONE {0, 0, 0, 0, 0, 0}
#define HW_DIM_NONE ((hw_dim)HW_INIT_NONE)
#define HW_INIT_LENGTH {1, 0, 0, 0, 0, 0}
#define HW_DIM_LENGTH ((hw_dim)HW_INIT_LENGTH)
#define HW_INIT_AREA {2, 0, 0, 0, 0, 0}
#define HW_DIM_AREA ((hw_dim)HW_INIT_AREA)
#define HW_INIT_VOLUME {3, 0, 0, 0, 0, 0}
#define HW_DIM_VOLUME ((hw_dim)HW_INIT_VOLUME)
#define HW_INIT_ANGLE {0, 0, 0, 0, 0, 1}
#define HW_DIM_ANGLE ((hw_dim)HW_INIT_ANGLE)
#define HW_INIT_MASS {0, 1, 0, 0, 0, 0}
#define HW_DIM_MASS ((hw_dim)HW_INIT_MASS)
#define HW_INIT_TIME {0, 0, 1, 0, 0, 0}
#define HW_DIM_TIME ((hw_dim)HW_INIT_TIME)
#define HW_INIT_FORCE {1, 1, -2, 0, 0, 0}
#define HW_DIM_FORCE ((hw_dim)HW_INIT_FORCE)
#define HW_INIT_TORQUE {2, 1, -2, 0, 0, -1}
#define HW_DIM_TORQUE ((hw_dim)HW_INIT_TORQUE)
#define HW_INIT_PRESSURE {-1, 1, -2, 0, 0, 0}
#define HW_DIM_PRESSURE ((hw_dim)HW_INIT_PRESSURE)
#define HW_INIT_STIFFNESS {0, 1, -2, 0, 0, 0}
#define HW_DIM_STIFFNESS ((hw_dim)HW_INIT_STIFFNESS)
#define HW_INIT_JOINT_RATE {2, 1, -2, 0, 0, -2}
#define HW_DIM_JOINT_RATE ((hw_dim)HW_INIT_JOINT_RATE)
#define HW_INIT_SPEED {1, 0, -1, 0, 0, 0}
#define HW_DIM_SPEED ((hw_dim)HW_INIT_SPEED)
#define HW_INIT_TURN_SPEED {0, 0, -1, 0, 0, 1}
#define HW_DIM_TURN_SPEED ((hw_dim)HW_INIT_TURN_SPEED)
#define HW_INIT_FREQUENCY {0, 0, -1, 0, 0, 0}
#define HW_DIM_FREQUENCY ((hw_dim)HW_INIT_FREQUENCY)
#define HW_INIT_DENSITY {-3, 1, 0, 0, 0, 0}
#define HW_DIM_DENSITY ((hw_dim)HW_INIT_DENSITY)
#define HW_INIT_VOLTAGE {2, 1, -3, -1, 0, 0}
#define HW_DIM_VOLTAGE ((hw_dim)HW_INIT_VOLTAGE)
#define HW_INIT_CURRENT {0, 0, 0, 1, 0, 0}
#define HW_DIM_CURRENT ((hw_dim)HW_INIT_CURRENT)
#define HW_INIT_RESISTANCE {2, 1, -3, -2, 0, 0}
#define HW_DIM_RESISTANCE ((hw_dim)HW_INIT_RESISTANCE)
#define HW_INIT_POWER {2, 1, -3, 0, 0, 0}
#define HW_DIM_POWER ((hw_dim)HW_INIT_POWER)
#define HW_INIT_ENERGY {2, 1, -2, 0, 0, 0}
#define HW_DIM_ENERGY ((hw_dim)HW_INIT_ENERGY)
#define HW_INIT_CHARGE {0, 0, 1, 1, 0, 0}
#define HW_DIM_CHARGE ((hw_dim)HW_INIT_CHARGE)
#define HW_INIT_TEMPERATURE {0, 0, 0, 0, 1, 0}
#define HW_DIM_TEMPERATURE ((hw_dim)HW_INIT_TEMPERATURE)
#define HW_INIT_WARMING {-2, -1, 3, 0, 1, 0}
#define HW_DIM_WARMING ((hw_dim)HW_INIT_WARMING)
// clang-format on

bool hw_dim_same(hw_dim a, hw_dim b);
hw_dim hw_dim_times(hw_dim a, hw_dim b); // saturates at +-127
hw_dim hw_dim_over(hw_dim a, hw_dim b);
// A person's name for a dimension ("length", "torque", "a plain number"), or "another quantity".
// Never NULL.
const char *hw_dim_name(hw_dim d);

// A unit: SI value = number * scale + offset, or scale / number where `inverse` (s/60deg as a
// turning speed).
typedef struct hw_unit {
    hw_dim dim;
    double scale;  // SI per unit [1]
    double offset; // SI [K for degC, else 0] [1]
    bool inverse;
} hw_unit;

// Reads a unit at the start of t: mm cm m km um µm in mil deg ° rad N kN kgf gf lbf g kg s ms us µs
// min h V mV A mA uA µA ohm Ω mohm mΩ kohm kΩ W mW J Wh Ah mAh Hz kHz K °C degC % rpm MPa GPa kPa
// Pa s/60deg ms/60deg, and products of them with * or · and / and whole powers up to 9 (g/cm^3,
// g/cm3, g/cm³, N·mm, kgf*cm, mm2, s^-1). One force times one length is a torque (rad^-1). The
// offset of °C holds where it stands alone. No white space inside; the longest product that is one
// is taken, so that "mm*count" reads "mm", and a name that goes on with _ . or [ is no unit. *used
// is the bytes taken. HW_NOT_FOUND: no unit there; *out is then the plain number and *used 0. Test:
// test/base/test_units.c
HW_MUST_USE hw_code hw_unit_read(hw_text t, hw_unit *out, size_t *used);

// The unit that people use for a dimension (length mm, angle deg, force N, torque N·mm, pressure
// MPa, temperature K, ...): its text, readable by hw_unit_read, and SI per unit. A plain number
// gives
// "", an unnamed dimension "SI" (hw_dim_write has its product); both with scale 1. Test:
// test/base/test_units.c
const char *hw_unit_of(hw_dim d, double *scale); // [SI per unit]

// As hw_unit_of for a value that stands for itself and is no difference: temperatures are in °C,
// with the offset in *out. Test: test/base/test_units.c
const char *hw_unit_absolute(hw_dim d, hw_unit *out);

// Longest text that hw_dim_write makes, with its terminator.
#define HW_DIM_TEXT 64

// A dimension as a product of SI units, "m^2*kg*s^-2"; "" for a plain number. Returns the length.
// Test: test/base/test_units.c
size_t hw_dim_write(hw_dim d, char out[HW_DIM_TEXT]);

double hw_to_si(double number, const hw_unit *u); // [SI]
double hw_from_si(double si, const hw_unit *u);   // [unit's]

#endif
