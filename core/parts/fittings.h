// What a digit's parts hold beside their joints: pulley and spool, the carrier's seats, pads,
// names.
#ifndef HW_PARTS_FITTINGS_H
#define HW_PARTS_FITTINGS_H

#include "parts/carrier.h"
#include "parts/pad.h"
#include "parts/pulley.h"

typedef struct hw_fittings_def {
    bool driven;          // a cord turns the knuckle: pulley, sheaths, switch
    hw_pulley_def pulley; // `from` and `beside` are taken from the carrier
    hw_carrier_def carrier;
    hw_pad_def pad;     // on the distal phalanx, where no bar's foot comes through the face
    bool engraved;      // names are cut into the sides
    char mark[64];      // name and revision, on the proximal; "" for none
    bool mirrored;      // the digit will be mirrored before it is printed
    double line, layer; // of the printer, > 0 [m]
} hw_fittings_def;

typedef struct hw_fittings {
    bool pulley; // there is one
    hw_pulley wheel;
    hw_carrier_place carrier;
} hw_fittings;

// Sizes of common practice for a standard servo's cord of 1 mm in a tube of 4 mm. Test:
// test/parts/test_carrier.c
hw_fittings_def hw_fittings_def_default(void);

// Where everything lies. A digit without a layer for the pulley, or whose pulley has no room, has
// none. HW_BAD_INPUT: a number out of its range. Test: test/parts/test_carrier.c
HW_MUST_USE hw_code hw_fittings_of(const hw_fittings_def *def, const hw_digit *d,
                                   const hw_layers *l, hw_fittings *out);

#endif
