// Currents on their way to the servos: rails, wires, tracks, regulators. One topic a file; this
// header is all of them.
#ifndef HW_POWER_H
#define HW_POWER_H

#include "power/rail.h"
#include "power/regulator.h"
#include "power/track.h"
#include "power/wire.h"

#endif
