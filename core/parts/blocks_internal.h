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

// A round bore in the plane of the outlines, from the mouth at `from` to `to`, through material
// that holds it with `wall` to spare on both sides: eight sides, so that what hangs does so at 45
// degrees but for a flat crown 0.41 diameters wide. Stepped: radius[i] up to depth[i]; the last
// depth is the bore's end. Ends blind, or through where `through`.
typedef struct hw_bore {
    hw_vec2 from, to;
    double y;         // of its axis [m]
    size_t steps;     // 1 or 2; the second no wider than the first
    double radius[2]; // apothem: a rod of this radius goes in [m]
    double depth[2];  // rising, from the mouth [m]
    bool through;
    double wall; // [m]
} hw_bore;
void hw_blocks_bore(hw_blocks *b, const hw_bore *h);

#endif
