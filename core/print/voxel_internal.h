// Shared by the voxel files of this room alone.
#ifndef HW_VOXEL_INTERNAL_H
#define HW_VOXEL_INTERNAL_H

#include "print/voxel.h"

// Corners of a cell and its modes are numbered by three bits, x lowest. A mode is a component and a
// product of coordinates (bit set: that coordinate, -1 to 1, is a factor). Mirrored stuff leaves
// eight groups of three modes that do not know each other: group g holds component c times the
// product g ^ (1 << c).
enum { HW_CELL_CORNERS = 8, HW_CELL_WIDE = 8 };

typedef struct hw_cell {
    double k[HW_CELL_CORNERS][6]; // stiffness of each group, unit edge: xx, yy, zz, yz, xz, xy;
                                  // both sums over corners are left to the caller [Pa]
    double diagonal[3];           // of the cell's matrix, at every corner [Pa]
    double top;     // no eigenvalue of matrix over diagonal, of any pile of cells, is above it [1]
    double d[6][6]; // stress over strain [Pa]
} hw_cell;

// HW_BAD_INPUT: stuff that could give energy.
HW_MUST_USE hw_code hw_cell_of(const hw_voxel_stuff *stuff, hw_cell *out);
// Stress at the middle of a cell of these displacements.
void hw_cell_stress(const hw_voxels *v, const double d[6][6], const double *moved, size_t i,
                    size_t j, size_t k, double out[6]);

// One grid of the multigrid. Vectors are three arrays of `nodes`, x fastest, rows padded to whole
// blocks of cells.
typedef struct hw_level {
    size_t n[3];  // cells, n[0] a multiple of HW_CELL_WIDE
    size_t row;   // nodes in a row, n[0] + 1
    size_t layer; // nodes in a layer
    size_t nodes; // in all
    size_t chunk; // layers that one thread takes at a time: small grids are one piece
    double edge;  // [m]
    const hw_cell *cell;
    double *fill;          // of cells [1]
    uint32_t *span;        // of each row of cells: first filled block, end of the last
    double *inverse;       // of the diagonal, 3 * nodes; 0: held, or no cell [m/N]
    double *spring;        // to the ground, 3 * nodes; NULL: none [N/m]
    double *x, *b, *r, *d; // 3 * nodes
    double *q;
} hw_level;

typedef struct hw_product {
    const hw_level *l;
    const double *u;
    double *f;
    size_t odd;
} hw_product;

// Every second layer of cells, for hw_par_for: the even ones first. Two builds, the same bits.
void hw_product_plain(void *self, size_t begin, size_t end);
void hw_product_wide(void *self, size_t begin, size_t end);

// f = K u. u is 0 where `inverse` is; f there is not to be used.
void hw_level_apply(const hw_level *l, const double *u, double *f);

// Shares of loads, held corners: what the solver takes.
typedef struct hw_voxel_frame {
    const hw_voxel_problem *p;
    hw_level *top;
    double *load;  // 3 * nodes [N]
    uint8_t *held; // of each node, a bit per axis
} hw_voxel_frame;

bool hw_voxel_inside(const hw_voxel_region *r, hw_vec3 at, double edge);
bool hw_voxel_region_good(const hw_voxel_region *r);
HW_MUST_USE hw_code hw_voxel_hold(const hw_voxel_frame *f, hw_voxel_answer *out);
HW_MUST_USE hw_code hw_voxel_load_all(const hw_voxel_frame *f, hw_voxel_answer *out);

// Ways in which a body may move that nothing holds: of the six (three ways, three turns about the
// middle), combinations way[i], i < ways.
typedef struct hw_loose {
    int ways;
    double way[6][6];
    hw_vec3 middle;
    double size;
} hw_loose;

void hw_loose_of(const hw_voxel_frame *f, hw_loose *out);
// Takes out of v what lies in those ways; returns the largest share taken.
double hw_loose_remove(const hw_voxel_frame *f, const hw_loose *l, double *v);

// Cholesky factor of a band matrix, row by row, each row's last entry on the diagonal.
typedef struct hw_band {
    uint32_t *unknown; // place of each in the level's vectors
    size_t n, width;   // unknowns; entries left of the diagonal
    double *factor;
} hw_band;

// Multigrid.
typedef struct hw_ladder {
    hw_level level[24];
    int levels;
    hw_band band; // of the last level
    const hw_job *job;
    double fraction;
    bool stopped;
} hw_ladder;

HW_MUST_USE hw_code hw_ladder_of(hw_arena *work, const hw_voxels *v, const hw_cell *cell,
                                 hw_ladder *out);
// After `held` is known: inverse diagonals, springs and the last level's factor.
HW_MUST_USE hw_code hw_ladder_hold(hw_arena *work, const uint8_t *held, bool plain, hw_ladder *out);
// z = about K^-1 r on the first level: its x from its b.
void hw_ladder_cycle(hw_ladder *m);
bool hw_ladder_go_on(hw_ladder *m);

#endif
