// Pivots and what is near them: cones, what holds them, journals, beams, snap fits, wedges. One
// topic a file; this header is all of them.
#ifndef HW_PIVOT_H
#define HW_PIVOT_H

#include "pivot/bars.h"
#include "pivot/beam.h"
#include "pivot/cheek.h"
#include "pivot/cone.h"
#include "pivot/hold.h"
#include "pivot/journal.h"
#include "pivot/plate.h"
#include "pivot/release.h"
#include "pivot/seat.h"
#include "pivot/snap.h"
#include "pivot/wedge.h"

#endif
