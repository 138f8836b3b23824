// A cord in a sheath that bends by a total angle, with Coulomb friction along it.
#ifndef HW_DRIVE_SHEATH_H
#define HW_DRIVE_SHEATH_H

#include "base/status.h"

typedef struct hw_sheath {
    double length;           // of the cord in the sheath, > 0 [m]
    double bend;             // sum of all bends, whichever way, spread evenly, >= 0 [rad]
    double mu;               // between cord and sheath, >= 0 [1]
    double cord_stiffness;   // EA of the cord, > 0 [N]
    double sheath_stiffness; // EA of the sheath in compression, > 0; infinite: rigid [N]
} hw_sheath;

typedef struct hw_sheath_pull {
    double out;        // tension that arrives while pulling, T exp(-mu b) [N]
    double holding;    // tension that the load may rise to before the cord slips back [N]
    double stretch;    // of the cord while pulling [m]
    double shortening; // of the sheath while pulling [m]
    double reversal;   // ratio of input tensions between pulling and paying out [1]
    double pull_share; // stretch over that of the same cord without friction [1]
} hw_sheath_pull;

// `tension` >= 0 at the servo's end [N]. The tension falls as T(x) = T exp(-mu b x/L); its mean
// (1 - exp(-mu b))/(mu b) stretches the cord and presses the sheath together, whose ends take the
// same force. HW_BAD_INPUT: a value out of range; *out is NaN. Accuracy: a few units of rounding,
// also as mu b goes to 0. Source: Kaneko, Yamashita & Tanie 1991, "Basic considerations on
// transmission characteristics for tendon drive robots", IEEE ICRA (abstract read; formulas
// re-derived). Test: test/drive/test_sheath.c
HW_MUST_USE hw_code hw_sheath_pull_of(const hw_sheath *s, double tension, // [N]
                                      hw_sheath_pull *out);

// Distance between clips [m] beyond which a sheath bows out under its cord's tension: pi
// sqrt(EI/T). `stiffness` EI > 0 [N*m^2], `tension` > 0 [N]; NaN otherwise. Source: Euler 1744,
// pinned column. Test: test/drive/test_sheath.c
double hw_sheath_clip_span(double stiffness, double tension); // [N*m^2] [N]

// Least bend radius of a plastic tube before it kinks [m]: outer^2/wall. `outer` diameter > `wall`
// > 0 [m]; NaN otherwise. Vendors' tested tubes bear 1.0 to 1.4 times that. Source: a tube
// catalogue's rule, docs/sources/mechanics.md. Test: test/published/mechanics.c
double hw_tube_bend_radius(double outer, double wall); // [m] [m]

#endif
