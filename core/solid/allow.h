// Where a part's author permits an underside that hangs more than the printer likes, or ridges that
// are no walls. A place is only declared here; core/print measures what hangs in it and refuses
// what is not of its kind.
#ifndef HW_SOLID_ALLOW_H
#define HW_SOLID_ALLOW_H

#include "base/vec.h"

typedef enum hw_allowance_kind {
    HW_ALLOW_CROWN,  // upper wall of a lying hole, its opening at most 4 mm wide across its axis
    HW_ALLOW_BRIDGE, // flat underside held up on two opposite sides, its span at most the printer's
    HW_ALLOW_CUTOUT, // edge of an opening cut for a cord or a pulley, that juts out at most 2 mm
                     // from what carries it
    HW_ALLOW_LEDGE,  // juts out at most a line and a half, spans at most three: held by the lines
                     // beside it, needs no declaring
    HW_ALLOW_LETTERS, // engraved strokes: their upper edges jut out at most a line and a half;
                      // between them what is thinner than a line is no wall: where a nozzle
                      // cannot make it, a letter's corner fills
    HW_ALLOWANCES
} hw_allowance_kind;

typedef struct hw_allowance {
    hw_allowance_kind kind;
    hw_vec3 low, high; // box that holds the whole exception, bed frame of the part's group [m]
} hw_allowance;

#endif
