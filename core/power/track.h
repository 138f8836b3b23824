// Copper tracks on circuit boards.
#ifndef HW_POWER_TRACK_H
#define HW_POWER_TRACK_H

#include "base/status.h"

typedef enum hw_track_layer { HW_TRACK_EXTERNAL, HW_TRACK_INTERNAL } hw_track_layer;

// Width [m] that a current [A] > 0 takes for a rise in temperature [K] > 0 on copper of a thickness
// [m] > 0; NaN for values out of range. Fitted for up to 35 A, 10 to 100 K, 0.5 to 3 oz copper;
// exempt from scaling, being empirical. I = k dT^0.44 A^0.725 with A in square mils, k = 0.048
// outside, 0.024 inside. Source: IPC-2221, sec. 6.2 (formula and constants read at second hand,
// docs/sources/mechanics.md). Test: test/published/mechanics.c
double hw_track_width(double current, double rise, double copper, // [A] [K] [m]
                      hw_track_layer layer);

// Current [A] that a track of a width [m] bears: the same relation the other way. Ranges, source
// and test as above.
double hw_track_current(double width, double rise, double copper, // [m] [K] [m]
                        hw_track_layer layer);

#endif
