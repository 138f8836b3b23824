// How far the palm's tray holds a servo: what its case and ears stand against.
#ifndef HW_PARTS_PALM_HOLD_H
#define HW_PARTS_PALM_HOLD_H

#include "parts/palm.h"

enum { HW_TRAY_WAYS = 6 }; // along the servo's own axes: -x, x, -y, y, -z, z

typedef struct hw_tray_hold {
    double
        area[HW_TRAY_WAYS]; // that stands in the way of slipping so; NaN: the lid closes it [m^2]
    int least;              // the way with the least
} hw_tray_hold;

// Material of the tray (all parts whose name begins with "palm tray") beside a servo: each face of
// its case, and of its ears beside the case, looked at `off` [m] > 0 outside of it in 16 x 16
// cells. The way that leads most nearly out of the back is the lid's. Accuracy: a cell on every
// edge. Source: own. Test: test/parts/test_palm_hold.c
hw_tray_hold hw_tray_hold_of(const hw_palm_parts *parts, const hw_palm_servo *servo,
                             double off); // [m]

#endif
