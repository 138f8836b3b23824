// Shared by the files of this room only: shapes that parts are put together from, as blocks of a
// pile.
#ifndef HW_PARTS_BLOCKS_INTERNAL_H
#define HW_PARTS_BLOCKS_INTERNAL_H

#include "parts/parts_internal.h"

typedef struct hw_blocks {
    hw_pile pile;
    double deviation; // of chords from round walls, > 0 [m]
} hw_blocks;

hw_blocks hw_blocks_new(hw_arena *keep, double deviation); // [m]
hw_solid hw_blocks_solid(const hw_blocks *b);

// Polygons of the list's arena; without points after a failure.
hw_polygon hw_blocks_polygon(hw_blocks *b, size_t n, const hw_vec2 at[]);
hw_polygon hw_blocks_rectangle(hw_blocks *b, hw_vec2 low, hw_vec2 high);
hw_polygon hw_blocks_circle(hw_blocks *b, hw_vec2 at, double radius); // [m]
// A circle with ridges above and below, 41 degrees from upright: a hole across that prints without
// a crown.
hw_polygon hw_blocks_peaked(hw_blocks *b, hw_vec2 at, double radius); // [m]
hw_polygon hw_blocks_hull(hw_blocks *b, size_t n, const hw_circle disc[]);

void hw_blocks_plate(hw_blocks *b, hw_block_op op, double y0, double y1, hw_polygon at); // [m]
void hw_blocks_taper(hw_blocks *b, hw_block_op op, double y0, double y1,                 // [m]
                     hw_polygon low, hw_polygon high);
void hw_blocks_box(hw_blocks *b, hw_block_op op, hw_vec3 low, hw_vec3 high);
// The blocks of another list, behind the others.
void hw_blocks_take(hw_blocks *b, const hw_solid *other);
void hw_blocks_allow(hw_blocks *b, hw_allowance_kind kind, hw_vec3 low, hw_vec3 high);

// An upright or horizontal hole with a round or straight plan in (x, y), between two heights: cut
// as strips across y, at most `step` wide, each inside (op ADD) or outside (op CUT) the true plan.
typedef struct hw_upright {
    hw_vec2 at;      // middle, x and y (in .z) [m]
    double radius;   // of a disc [m]
    double along[2]; // and of a bar beside it, in x from the middle: from, to; none where equal [m]
    double half;     // half of that bar's width across y [m]
    double z[2];     // [m]
} hw_upright;
void hw_blocks_upright(hw_blocks *b, hw_block_op op, const hw_upright *u, double step); // [m]

// A bore along x, or leaning a little from it, between two faces square to x, for a round thing:
// all its undersides hang by 45 degrees, up to a ridge above and below. Stepped: radius[i] up to
// depth[i] from the mouth, along x; the last is the bore's end. What it lies in is cleared and
// built again, so material must reach `wall` beyond its ridges, and beyond a blind end.
typedef struct hw_bore {
    hw_vec2 from;     // middle of the mouth
    hw_vec2 way;      // direction into the material; x is not 0
    double y;         // of its axis [m]
    size_t steps;     // 1 or 2; the second narrower than the first
    double radius[2]; // of what goes in; the ridges are 1.41 of it from the axis [m]
    double depth[2];  // rising [m]
    double wall[2];   // > 0; the first with its radius reaches farther than the second [m]
    bool through;
} hw_bore;
void hw_blocks_bore(hw_blocks *b, const hw_bore *h);

// All of a list's blocks and allowances into a body's pile, from the body's own frame to the bed's.
void hw_blocks_onto(const hw_blocks *b, const hw_bed *bed, int body, hw_pile *p);

#endif
