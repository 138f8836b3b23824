// Heat of voltage regulators.
#ifndef HW_POWER_REGULATOR_H
#define HW_POWER_REGULATOR_H

#include "base/status.h"

typedef struct hw_regulator_heat {
    double loss;       // turned into heat [W]
    double efficiency; // power out over power in [1]
    double input;      // current drawn from the supply [A]
} hw_regulator_heat;

// Linear: loss = (Vin - Vout) I + Vin Iq. `in` >= `out` > 0 [V], `current` >= 0, `idle` >= 0 [A].
// HW_BAD_INPUT: out of range; *heat is NaN. Source: data sheets' common practice
// (docs/sources/mechanics.md). Test: test/published/mechanics.c
HW_MUST_USE hw_code hw_regulator_linear(double in, double out,       // [V]
                                        double current, double idle, // [A]
                                        hw_regulator_heat *heat);

// Switching, with a given efficiency from above 0 to 1 [1]: loss = Vout I (1/eta - 1). Ranges and
// sources as above. Test: test/published/mechanics.c
HW_MUST_USE hw_code hw_regulator_switching(double in, double out, // [V]
                                           double current,        // [A]
                                           double efficiency,     // [1]
                                           hw_regulator_heat *heat);

// Junction temperature [K]: ambient [K] + loss [W] * thermal resistance [K/W]. Source: as above.
// Test: test/published/mechanics.c
double hw_regulator_junction(double ambient, double loss, double resistance); // [K] [W] [K/W]

#endif
