// Shared by the files of this room alone.
#ifndef HW_PRINT_INTERNAL_H
#define HW_PRINT_INTERNAL_H

#include "print/print.h"

// Half-edge 3 t + i runs from corner i of triangle t to the next.
static inline uint32_t hw_half_after(uint32_t h)
{
    return h % 3 == 2 ? h - 2 : h + 1;
}
static inline uint32_t hw_half_before(uint32_t h)
{
    return h % 3 == 0 ? h + 2 : h - 1;
}

// Height of the plane of layer i.
static inline double hw_slice_height(double layer, size_t i)
{
    return ((double)i + 0.5) * layer;
}

// The opposite of every half-edge, in the arena. HW_BAD_INPUT: the mesh is empty, has an index out
// of range, a corner that is not finite, or an edge without exactly two triangles that run it in
// opposite senses. HW_NO_MEMORY.
HW_MUST_USE hw_code hw_print_twins(hw_arena *a, const hw_mesh *mesh, uint32_t **twin);

// Pieces that a closed mesh falls into: shells round something (a cavity is none). HW_NO_MEMORY.
HW_MUST_USE hw_code hw_print_pieces(hw_arena *work, const hw_mesh *mesh, const uint32_t *twin,
                                    size_t *pieces);

// Is a spot inside the region of a slice? On its edge either may be said, the same for all.
bool hw_slice_holds(const hw_print_slice *s, hw_bed_spot p);

// Where a line along x at height y runs through a region: x[0] to x[1], x[2] to x[3] and so on, in
// order; `body` picks one of the regions, UINT32_MAX all. x has room for all corners of the slice.
size_t hw_slice_spans(const hw_print_slice *s, uint32_t body, double y, double x[]);

// Nearest outline from a spot along a unit direction; infinite where there is none.
double hw_slice_ray(const hw_print_slice *s, hw_bed_spot from, hw_bed_spot along);

size_t hw_slice_corners(const hw_print_slice *s);

// ---- pairs of segments that come near each other

typedef struct hw_seg {
    hw_bed_spot a, b;
    uint32_t part, tag;
} hw_seg;

// Calls `visit` with every pair i != j that lies within `reach` of each other, once or more, and
// with some that do not. HW_NO_MEMORY. `work` is rewound.
HW_MUST_USE hw_code hw_segs_near(hw_arena *work, const hw_seg seg[], size_t n, double reach,
                                 void (*visit)(void *self, size_t i, size_t j), void *self);

// Squared distance, 0 where they cross; *at is half way.
double hw_seg_distance2(const hw_seg *s, const hw_seg *t, hw_bed_spot *at);

// ---- patches of undersides

typedef struct hw_rim { // a piece of a patch's edge, seen from above
    hw_bed_spot a, b;
    bool carries; // material goes on below it
} hw_rim;

typedef struct hw_across {
    double span, jut;   // as hw_print_hang says
    hw_bed_spot middle; // of the longest line from carrier to carrier
    hw_bed_spot along;  // direction of the lines, unit
} hw_across;

// The direction in which a patch is best crossed; orders rim[] by length, carriers first. False:
// out of memory.
HW_MUST_USE bool hw_patch_cross(hw_arena *work, const hw_print_def *def, hw_rim rim[], size_t rims,
                                hw_across *out);

// ---- the findings, each filling its part of the report

typedef struct hw_print_run {
    hw_arena *keep, *work;
    const hw_print_part *part;
    const uint32_t *const *twin; // of each part
    const hw_print_def *def;
    const hw_job *job;
    const hw_slices *slices;
    hw_print_report *out;
} hw_print_run;

HW_MUST_USE hw_code hw_print_islands(hw_print_run *r);
HW_MUST_USE hw_code hw_print_hangs(hw_print_run *r);
HW_MUST_USE hw_code hw_print_gaps(hw_print_run *r);
HW_MUST_USE hw_code hw_print_walls(hw_print_run *r);
HW_MUST_USE hw_code hw_print_amount(hw_print_run *r);
HW_MUST_USE hw_code hw_print_fit(hw_print_run *r);

// The array with room for one more; the old one is left to the arena. NULL: out of memory.
void *hw_print_grow(hw_arena *a, void *array, size_t used, size_t *room, size_t size);

#endif
