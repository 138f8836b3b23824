// How triangles hang together.
#ifndef HW_SOLID_TOPOLOGY_INTERNAL_H
#define HW_SOLID_TOPOLOGY_INTERNAL_H

#include "base/arena.h"

#define HW_NO_TWIN 0xffffffffu

typedef struct hw_topology {
    uint32_t *twin; // half-edge 3 t + i runs from corner i to the next; its opposite or HW_NO_TWIN
    size_t open, crowded, flipped; // edges
    uint32_t bad_edge;             // a half-edge of the first bad edge, or HW_NO_TWIN
    size_t pinched;                // vertices with more than one fan; counted when no edge is bad
    uint32_t bad_vert;             // the first such
} hw_topology;

// Half-edges of triangles joined in pairs. `tri` has 3 * tris indices below `verts`; 3 * tris <
// 2^32. False: out of memory.
bool hw_topology_make(hw_arena *work, const uint32_t *tri, size_t tris, size_t verts,
                      hw_topology *out);

static inline uint32_t hw_half_next(uint32_t h)
{
    return h % 3 == 2 ? h - 2 : h + 1;
}
static inline uint32_t hw_half_prev(uint32_t h)
{
    return h % 3 == 0 ? h + 2 : h - 1;
}

#endif
