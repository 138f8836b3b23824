// Planar mechanisms: the four-bar in closed form, a general solver for bodies, pins, sliders and
// drivers, and bars that buckle. No absolute tolerances: everything scales with the lengths given.
#ifndef HW_LINKAGE_H
#define HW_LINKAGE_H

#include "linkage/column.h"
#include "linkage/fourbar.h"
#include "linkage/mech.h"
#include "linkage/spatial.h"

#endif
