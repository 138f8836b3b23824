// Shared by the coupons' files only.
#ifndef HW_PARTS_COUPON_INTERNAL_H
#define HW_PARTS_COUPON_INTERNAL_H

#include "parts/blocks_internal.h"
#include "parts/coupon.h"
#include "parts/lettering_internal.h"

enum { HW_COUPON_PARTS = 16 };

// A coupon being made: its parts' blocks.
typedef struct hw_coupon_draft {
    const hw_coupon_def *def;
    hw_arena *keep;
    hw_coupon *out;
    size_t parts;
    char name[HW_COUPON_PARTS][64];
    hw_blocks piece[HW_COUPON_PARTS];
} hw_coupon_draft;

// A new piece; the draft's own list.
hw_blocks *hw_coupon_piece(hw_coupon_draft *m, const char *name);

// A text on a face of the last piece, as large as the box allows; nothing where it does not fit.
void hw_coupon_write(hw_coupon_draft *m, hw_blocks *b, const char *text, hw_letter_face face,
                     hw_vec3 middle, double width, double height); // [m]

// The design's pin on a face across y that looks along `outward`, or its bore from `mouth` on with
// this gap.
void hw_coupon_pin(hw_coupon_draft *m, hw_blocks *b, hw_vec2 at, double face, double outward);
void hw_coupon_bore(hw_coupon_draft *m, hw_blocks *b, hw_vec2 at, double face, double outward,
                    double mouth, double gap, double thickness); // [m]

// Smallest coupon features: a wall that stands.
double hw_coupon_wall(const hw_coupon_def *def); // [m]

// An outline whose lower edge stands `chamfer` higher at one end of a block than at the other: the
// edge along the bed of a face across y. `from` is where the part goes on into another: there the
// chamfer runs out.
void hw_coupon_foot(hw_blocks *b, double y0, double y1, const hw_polygon *outline, double chamfer,
                    bool high_end, bool runs_out);

void hw_coupon_gap(hw_coupon_draft *m);
void hw_coupon_chain(hw_coupon_draft *m, size_t pivots, bool eyes);
void hw_coupon_tilt(hw_coupon_draft *m);
void hw_coupon_overhang(hw_coupon_draft *m);

#endif
