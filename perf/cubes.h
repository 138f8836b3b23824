// Marching cubes as anybody would write them first, to be compared with: a narrow band of exact
// distances to a mesh on a grid, then one polygon a loop of crossings in every cell.
#ifndef HW_PERF_CUBES_H
#define HW_PERF_CUBES_H

#include "solid/solid.h"

typedef struct cubes {
    size_t cells, verts, tris;
    double deviation; // largest distance of the part's own corners from the surface [m]
} cubes;

// The surface of a closed mesh at this cell size [m]. False: out of memory.
bool cubes_march(hw_arena *work, const hw_mesh *m, double cell, cubes *out); // [m]

#endif
