// The forearm's measures, for its files of this room only.
#ifndef HW_PARTS_PALM_ARM_INTERNAL_H
#define HW_PARTS_PALM_ARM_INTERNAL_H

#include "parts/palm_internal.h"

typedef struct hw_arm {
    hw_box3 box;    // of the body below its lid [m]
    double lid;     // z of the lid's underside [m]
    double roof;    // z of the lid's upper side [m]
    double flange;  // x where the flange ends [m]
    double upright; // height of the sides that is upright above the bed, then they lean out [m]
    double bevel;   // by that much, by 45 degrees [m]
    double stand;   // how deep it stands in its stand [m]
} hw_arm;

void hw_arm_measure(const hw_palm_build *b, hw_arm *m);

// From the wrist's section to the body's, so that the arm swells as an arm does; the body's upper
// side raised by `over`.
const hw_field *hw_arm_neck(hw_palm_build *b, const hw_arm *m, double over); // [m]

// All that is over the flange, under the cover, between two x.
const hw_field *hw_arm_over_flange(hw_palm_build *b, const hw_arm *m, double rear, // [m]
                                   double front);                                  // [m]

// All that is over the bevels of the body's lower edges, without end along the arm.
const hw_field *hw_arm_keel(hw_palm_build *b, const hw_arm *m);

// All that is a gap and `in` inside the cover.
const hw_field *hw_arm_under(hw_palm_build *b, const hw_arm *m, double in); // [m]

// What the neck may fill so that the cover goes over it.
const hw_field *hw_arm_within(hw_palm_build *b, const hw_arm *m);

// All that is a gap below the cover's edge before the body.
const hw_field *hw_arm_below(hw_palm_build *b, const hw_arm *m);

// The cover over drums and cords, from the wrist to the stand.
void hw_arm_cover(hw_palm_build *b, const hw_arm *m);

#endif
