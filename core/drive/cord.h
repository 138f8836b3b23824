// Cords and belts round drums and corners. Functions return NaN for values outside the stated
// ranges.
#ifndef HW_DRIVE_CORD_H
#define HW_DRIVE_CORD_H

#include "base/status.h"

// Tension on the pulling side of a cord that slips round a corner: T exp(mu wrap), for any shape of
// corner. `tension` >= 0 on the pulled side [N], `wrap` >= 0 the angle turned through [rad], `mu`
// >= 0 [1]. With a negative wrap it is the tension left behind the corner. Source: Euler 1769,
// Eytelwein 1808; Beer & Johnston, Statics, sec. 8.10. Test: test/published/mechanics.c
double hw_capstan(double tension, double mu, double wrap); // [N] [1] [rad]

// Friction that two tensions at slipping betray: ln(high/low)/wrap. `high` >= `low` > 0 [N], `wrap`
// > 0 [rad]. Source and test as above.
double hw_capstan_mu(double high, double low, double wrap); // [N] [N] [rad]

// Wrap at which `low` just holds `high`: ln(high/low)/mu. `high` >= `low` > 0 [N], `mu` > 0 [1].
// Source as above. Test: test/drive/test_cord.c
double hw_capstan_wrap(double high, double low, double mu); // [N] [N] [1]

// Torque at which a belt or cord slips on its pulley: T (1 - exp(-mu wrap)) r, T the tight side's
// tension. `tight` >= 0 [N], `radius` > 0 to the cord's middle [m]. Source: Khurmi & Gupta, Theory
// of Machines, ch. 11. Test: test/published/mechanics.c
double hw_belt_torque(double tight, double mu, double wrap, double radius); // [N] [1] [rad] [m]

// Step of tension when a drum with a ratchet of `teeth` >= 1 is set one tooth on: k 2 pi r / teeth,
// k the loop's stiffness [N/m] > 0, r the drum's radius [m] > 0. Source: geometry. Test:
// test/drive/test_cord.c
double hw_drum_step(double stiffness, double radius, double teeth); // [N/m] [m] [1]

#endif
