// Journals: a shaft in a dry hole. Functions return NaN for values outside the stated ranges.
#ifndef HW_PIVOT_JOURNAL_H
#define HW_PIVOT_JOURNAL_H

#include "base/status.h"

// Radius of the friction circle, r sin(phi), which the load's line of action touches while the
// joint turns. `radius` >= 0 [m], `mu` >= 0 [1]. For mu below 0.2 books use r mu, 2 % more at most.
// Source: Beer & Johnston, Vector Mechanics for Engineers: Statics, sec. 8.8. Test:
// test/pivot/test_wedge.c
double hw_journal_circle(double radius, double mu); // [m] [1]

// Effort at one arm of a lever or pulley that moves a parallel load at the other: load times
// (load_arm + r_f) / (effort_arm - r_f); with `holding`, the least effort that keeps the load:
// (load_arm - r_f) / (effort_arm + r_f). Forces on opposite sides of the journal; arms > `circle`
// >= 0 [m]. Source: as above. Test: test/published/mechanics.c
double hw_lever_effort(double load,                        // [N]
                       double load_arm, double effort_arm, // [m]
                       double circle,                      // of friction [m]
                       bool holding);

#endif
