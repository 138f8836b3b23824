// Shared by the files of packing alone.
#ifndef HW_PALM_PACK_INTERNAL_H
#define HW_PALM_PACK_INTERNAL_H

#include "palm/pack.h"

// The outline's ends across, section by section: [0] toward the little finger, [1] toward the
// thumb.
typedef struct hw_skin {
    double x[2][HW_PALM_SECTIONS], y[2][HW_PALM_SECTIONS]; // [m]
} hw_skin;

void hw_skin_of(const hw_palm *palm, hw_skin *out);
double hw_skin_side(const hw_skin *skin, int side, double x); // [m]

#endif
