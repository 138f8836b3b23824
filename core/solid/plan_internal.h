// The plan: all outlines of a solid, from every plane, as one triangulated subdivision of the
// integer grid.
#ifndef HW_SOLID_PLAN_INTERNAL_H
#define HW_SOLID_PLAN_INTERNAL_H

#include "base/arena.h"
#include "base/job.h"

#define HW_PLAN_NONE 0x7fffffffu

// An undirected side, low vertex first. A side that had to bend runs through `vias` vertices.
typedef struct hw_plan_edge {
    uint32_t a, b;
    uint32_t via, vias;
    bool split;
} hw_plan_edge;

typedef struct hw_table { // open addressing; slots hold an index + 1
    uint32_t *slot;
    size_t slots;
} hw_table;

typedef struct hw_plan {
    hw_arena *work;
    int32_t (*at)[2]; // x, z
    size_t verts, verts_room;
    hw_plan_edge *edge;
    size_t edges, edges_room;
    uint32_t *via;
    size_t vias, vias_room;
    hw_table vert_table, edge_table;
    // Triangulation: corners counter-clockwise; next[t][i] and rim[t][i] are the neighbour and the
    // edge (or HW_PLAN_NONE) opposite corner i. The first four vertices are a frame round all.
    uint32_t (*tri)[3], (*next)[3], (*rim)[3];
    size_t tris;
    uint32_t *near_tri; // one triangle of each vertex
    uint32_t *order, *from;
    uint8_t *from_side; // walk over all triangles: order[0] touches the frame
} hw_plan;

// The array, or a larger copy in the work arena when `need` items do not fit into *room (the old
// one is left to the rewind). NULL: out of memory.
void *hw_plan_room(hw_arena *work, void *array, size_t used, size_t *room, size_t need,
                   size_t size);

// Makes room for `need` items of an array that holds `used`; false, and array is NULL, when out of
// memory.
#define HW_ROOM(work, array, used, room, need)                                                     \
    (((array) = hw_plan_room((work), (array), (used), &(room), (need), sizeof *(array))) != NULL)

// An empty plan with its frame; coordinates must lie in [0, extent].
HW_MUST_USE hw_code hw_plan_begin(hw_plan *p, hw_arena *work, int32_t extent);

// Index of the vertex there, new or known; HW_PLAN_NONE when out of memory.
uint32_t hw_plan_vert(hw_plan *p, int32_t x, int32_t z);

// Adds a side; equal ends add nothing. False: out of memory.
bool hw_plan_side(hw_plan *p, uint32_t a, uint32_t b);

// Index of the edge between two vertices, or HW_PLAN_NONE.
uint32_t hw_plan_find(const hw_plan *p, uint32_t a, uint32_t b);

// Bends sides through every vertex within half a step and every crossing, until no side crosses
// another and no vertex is within half a step of a side that does not end there. HW_LIMIT: not
// settled after 64 rounds.
HW_MUST_USE hw_code hw_plan_snap(hw_plan *p, const hw_job *job);

// The vertices that the side from a to b now runs through, a first, b last, appended to *chain.
// False: out of memory.
bool hw_plan_chain(const hw_plan *p, uint32_t a, uint32_t b, uint32_t **chain, size_t *n,
                   size_t *room);

// Constrained Delaunay triangulation of the snapped plan, and the walk over it. HW_LIMIT: a bound
// of the flipping was reached.
HW_MUST_USE hw_code hw_plan_triangulate(hw_plan *p, const hw_job *job);

#endif
