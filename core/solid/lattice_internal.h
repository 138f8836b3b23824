// Tetrahedra that fill space, small where a surface needs it.
//
// Space is cut into cubes whose edge is 2^levels cells. Each is six tetrahedra round the diagonal
// from its corner with all even numbers to that with all odd ones. A tetrahedron is split at the
// middle of its longest edge: that is the cube's diagonal (kind 0), then a face's (kind 1), then
// an edge of the cube (kind 2); the pieces are kind 0 again in cubes half as large. All that share
// an edge are split with it, so the set of split places, closed under what must be split before,
// is all there is to remember.
#ifndef HW_SOLID_LATTICE_INTERNAL_H
#define HW_SOLID_LATTICE_INTERNAL_H

#include "solid/field_internal.h"

typedef struct hw_spot {
    int32_t at[3]; // half cells from the lattice's corner
} hw_spot;

// Corners in the order that the split needs: kind 0 and 1 split [0]-[last of its path], see
// hw_tet_ends.
typedef struct hw_tet {
    hw_spot v[4];
    int kind;
} hw_tet;

typedef struct hw_spot_set {
    uint64_t *slot; // key + 1, 0: free
    size_t slots, n;
} hw_spot_set;

typedef struct hw_lattice {
    const hw_field *f;
    const hw_field_mesh_def *def;
    hw_vec3 corner;
    double cell;         // half of what the definition says
    int32_t root;        // those along a cube
    size_t count[3];     // cubes along each axis
    hw_field_near *cube; // what is left of the field in each cube
    hw_arena **arena;    // that holds those, a few cubes each
    size_t arenas;
    hw_spot_set split;
} hw_lattice;

static inline uint64_t hw_spot_key(hw_spot s)
{
    return (uint64_t)s.at[0] << 42 | (uint64_t)s.at[1] << 21 | (uint64_t)s.at[2];
}
static inline hw_spot hw_spot_of(uint64_t key)
{
    return (hw_spot){
        {(int32_t)(key >> 42), (int32_t)(key >> 21 & 0x1fffff), (int32_t)(key & 0x1fffff)}};
}
static inline hw_vec3 hw_spot_place(const hw_lattice *l, hw_spot s)
{
    return (hw_vec3){l->corner.x + l->cell * s.at[0], l->corner.y + l->cell * s.at[1],
                     l->corner.z + l->cell * s.at[2]};
}

bool hw_spot_in(const hw_spot_set *set, hw_spot s);

// The longest edge's ends, its middle, and the two halves.
void hw_tet_ends(const hw_tet *t, hw_spot *a, hw_spot *b);
hw_spot hw_tet_middle(const hw_tet *t);
void hw_tet_split(const hw_tet *t, hw_spot middle, hw_tet half[2]);
double hw_tet_radius(const hw_lattice *l, const hw_tet *t); // of the ball round that middle
bool hw_tet_smallest(const hw_tet *t);                      // half a cell: never split

// The six tetrahedra of a cube, by its number.
void hw_lattice_cube(const hw_lattice *l, size_t cube, hw_tet six[6]);

// The number of the cube that owns a place, given twice.
size_t hw_lattice_owner(const hw_lattice *l, const int32_t twice[3]);

// Chooses the lattice and its splits. hw_lattice_done whatever comes of it.
HW_MUST_USE hw_code hw_lattice_make(hw_arena *work, hw_lattice *l, const hw_job *job);
void hw_lattice_done(hw_lattice *l);

// The surface through the lattice: in each tetrahedron a piece with three corners or four, which
// are places on its edges. Then triangles with more corners where the surface has edges.
#define HW_NO_EDGE UINT32_MAX
typedef struct hw_march {
    uint64_t (*edge)[2]; // keys of its ends
    double *t;           // where the surface is between them, 0 to 1
    hw_vec3 *out;        // which way it faces there, 0: unknown [1]
    size_t edges;
    uint32_t (*piece)[4]; // edges, outward winding; the last HW_NO_EDGE where there are three
    size_t pieces;
    uint32_t *peak; // of each piece: a corner from `edges` on, HW_NO_EDGE: none
    hw_vec3 *more;  // those [m]
    size_t mores;
    uint32_t *tri; // 3 corners each, outward winding
    size_t tris;
    size_t cubes, tets;
} hw_march;

// Which way the surface faces at a place near it; 0 where the field is level. [m] [1]
hw_vec3 hw_lattice_facing(const hw_field *f, hw_vec3 at, double cell);

// Pieces: all but peaks and triangles.
HW_MUST_USE hw_code hw_lattice_march(hw_arena *work, const hw_lattice *l, const hw_job *job,
                                     hw_march *out);

// Peaks: a piece whose corners face apart gets one where their tangent planes meet, if the surface
// is there. Source: Kobbelt, Botsch, Schwanecke and Seidel 2001, for cubes. Test:
// test/solid/test_sharp.c
HW_MUST_USE hw_code hw_lattice_sharpen(hw_arena *work, const hw_lattice *l, const hw_job *job,
                                       hw_march *m);

// Triangles of all pieces; HW_LIMIT: more than the definition allows.
HW_MUST_USE hw_code hw_lattice_fill(hw_arena *work, const hw_lattice *l, hw_march *m);

// Edges of the surface from peak to peak: the side between two pieces is turned to join them, where
// both triangles then lie in the surface. `twin` is kept up. HW_NO_MEMORY.
HW_MUST_USE hw_code hw_lattice_crease(hw_arena *work, const hw_lattice *l, hw_march *m,
                                      uint32_t twin[]);

enum { HW_LATTICE_BATCH = 16 }; // cubes between two questions whether to go on

#endif
