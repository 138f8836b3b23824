// Small prints that tell what a printer, a filament and a pivot really do, with the design's own
// sizes. Each has an id that stays, and says what to measure and which entry the number belongs to.
#ifndef HW_PARTS_COUPON_H
#define HW_PARTS_COUPON_H

#include "parts/pad.h"
#include "parts/parts.h"

typedef enum hw_coupon_kind {
    HW_COUPON_GAP,       // levers between cones and flats, a row of gaps
    HW_COUPON_RETENTION, // one joint of the design with an eye at each end, to pull apart
    HW_COUPON_SLOP,      // four such joints in a row, to push and pull
    HW_COUPON_TILT,      // a plate with the pads' texture, to tilt until things slide
    HW_COUPON_OVERHANG,  // leaning walls, a row of angles
    HW_COUPONS
} hw_coupon_kind;

enum { HW_COUPON_VALUES = 12, HW_COUPON_PIVOTS = 4 };

// Sizes that the coupons take from a design.
typedef struct hw_coupon_def {
    const char *mark;   // name and revision, written on each where they fit; "" for none
    hw_fork_place fork; // of the joint that is tried: cheeks, tangs, depth
    hw_cone_shape cone; // half-angle, engagement, base
    double land;        // of the cylinder under the cone, >= 0 [m]
    double gap;         // drawn between parts that move, > 0 [m]
    double line, layer; // of the printer, > 0 [m]
    hw_pad_def pad;     // texture of the tilt coupon
    double deviation;   // of chords from round walls, > 0 [m]
} hw_coupon_def;

typedef struct hw_coupon {
    const char *id;                 // "gap", "retention", "slop", "tilt", "overhang"
    const char *title;              // a few words
    const char *measure;            // what to do and what to note, sentences
    const char *caution;            // what can hurt; never NULL, may be empty
    const char *entry;              // path of the entry that the result is for, or NULL
    const char *unit;               // that the result is noted in: "mm", "N", "deg", "1"
    double value[HW_COUPON_VALUES]; // what its stations stand for, as marked: gaps [m], angles
                                    // [rad]; tilt: the length to divide by [m]
    size_t values;
    bool hangs;      // its undersides hang on purpose: print findings of overhang are its point
    hw_part_set set; // role HW_PART_COUPON; one part for each piece that comes loose
} hw_coupon;

// Sizes of a digit of hw_layers_def_default. Test: test/parts/test_coupon.c
hw_coupon_def hw_coupon_def_default(void);

// One coupon, in the printed pose on z = 0, in `keep`. HW_BAD_INPUT: no such kind, or a size out of
// its range (a land as high as the cone, a cone without a tip, a fork without depth). HW_NO_MEMORY.
// *out is empty unless HW_OK. Source: core/parts/README.md. Test: test/parts/test_coupon.c
HW_MUST_USE hw_code hw_parts_coupon(hw_arena *keep, hw_coupon_kind kind, const hw_coupon_def *def,
                                    hw_coupon *out);

#endif
