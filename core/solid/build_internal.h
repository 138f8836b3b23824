// Between the stages of hw_solid_mesh.
#ifndef HW_SOLID_BUILD_INTERNAL_H
#define HW_SOLID_BUILD_INTERNAL_H

#include "solid/plan_internal.h"
#include "solid/solid.h"

// One outline of a block at one plane: `points` plan vertices, and after snapping the edges that
// each of its sides runs through.
typedef struct hw_ring {
    uint32_t *point;
    size_t points;
    size_t *start;  // of each side in step[], points + 1 entries
    uint32_t *step; // edge * 2, + 1 when it is run from its b to its a
    int sense;      // +1 counter-clockwise, -1 clockwise, 0 no area
    bool flat;      // runs back over itself everywhere: a line or a point
    bool simple;    // meets itself nowhere: winding numbers are 0 and sense
} hw_ring;

// A block on the grid: rings at the planes from first to last, or one ring for all of them.
typedef struct hw_course {
    hw_block_op op;
    size_t first, last; // planes
    bool plate;         // the same outline at both ends
    hw_ring *ring;
} hw_course;

typedef struct hw_int_mesh {
    int32_t (*at)[3];
    size_t verts, verts_room;
    uint32_t *tri;         // 3 per triangle
    size_t tris, tri_room; // room in indices
} hw_int_mesh;

typedef struct hw_build {
    hw_arena *work;
    const hw_job *job;
    hw_mesh_made *made;
    double grid;       // [m]
    int64_t origin[3]; // grid steps from the frame's origin to the corner of the box
    int32_t extent;
    hw_plan plan;
    hw_course *course;
    size_t courses;
    int32_t *plane;
    size_t planes;
    int32_t *net;            // of each plan edge: room to count a ring's runs
    uint32_t *visit, visits; // of each plan vertex: the ring that ran through it last
} hw_build;

// The ring of a course at a plane within its range.
static inline const hw_ring *hw_course_ring(const hw_course *c, size_t plane)
{
    return c->plate ? c->ring : c->ring + (plane - c->first);
}

// Checks a solid and a def and chooses the grid; low and high are the solid's reach along y [m].
HW_MUST_USE hw_code hw_build_ground(hw_build *b, const hw_solid *solid, const hw_mesh_def *def,
                                    double *low, double *high); // [m] [m]

// Puts every outline on the plan. The solid must be good and within the box of the ground's.
HW_MUST_USE hw_code hw_build_plan(hw_build *b, const hw_solid *solid);

// Runs through the snapped plan and fills every ring's steps.
HW_MUST_USE hw_code hw_build_steps(hw_build *b);

// Room to paint with.
typedef struct hw_painter {
    const hw_build *b;
    int32_t *count; // of each edge: times run from a to b less times run back
    int32_t *wind;  // of each triangle
} hw_painter;

bool hw_paint_begin(hw_painter *s, const hw_build *b); // false: out of memory

// inside[t] = 1 for the plan triangles that belong to a layer at one of its two planes, else 0.
void hw_paint(const hw_painter *s, size_t layer, size_t plane, uint8_t *inside);

// rim[e] = +1 where the inside ends at edge e and lies left of it, from its a to its b; -1 right;
// 0.
void hw_paint_rims(const hw_build *b, const uint8_t *inside, int8_t *rim);

// The boundary of all layers as triangles on the grid.
HW_MUST_USE hw_code hw_build_skin(hw_build *b, hw_int_mesh *out);

// Takes out vertices that lie inside a flat or on a straight edge; the surface stays the same set
// of points. The mesh must be closed and manifold, with these twins (they are kept up to date).
HW_MUST_USE hw_code hw_join_flats(hw_arena *work, hw_int_mesh *m, uint32_t *twin);

// The vertices that triangles use, in order of first use, off the grid: grid * (at + origin).
HW_MUST_USE hw_code hw_int_mesh_out(hw_arena *keep, hw_arena *work, const hw_int_mesh *m,
                                    double grid, const int64_t origin[3], hw_mesh *out); // [m]

#endif
