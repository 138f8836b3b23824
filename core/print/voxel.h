// A part as cubes, and what loads do to it: linear elasticity of a closed mesh cut into voxels, for
// shapes that no closed form fits. Frame: the part's own, z across the printed layers.
//
// A voxel that the surface cuts counts by the share of it that is inside, in its stiffness and in
// all means, so that volume and bending stiffness do not depend on where the grid happens to lie.
// Stresses at re-entrant steps of the grid have no limit as the edge shrinks; the peaks are
// therefore those of a field fitted over a stated radius, and a study over several edges says how
// far they still move.
#ifndef HW_PRINT_VOXEL_H
#define HW_PRINT_VOXEL_H

#include "base/arena.h"
#include "base/job.h"
#include "base/vec.h"
#include "solid/solid.h"

// ---- grid -----------------------------------------------------------------------------------

typedef struct hw_voxels {
    hw_vec3 low;    // corner of the first cell [m]
    double edge;    // of a cell [m]
    size_t n[3];    // cells along x, y, z
    double *fill;   // of each cell, x fastest: share inside, 0 or from 0.02 to 1 [1]
    size_t cells;   // that are not empty
    double volume;  // of all of them [m^3]
    double dropped; // share of the mesh's volume left out: crumbs off the largest body [1]
} hw_voxels;

// Cells of a closed mesh, from its lowest corner on. 16 rays along x through each row of cells give
// the shares, exact along x and to a 16th across. Of bodies that hang together by no face only the
// largest is kept. HW_BAD_INPUT: edge not above 0, an empty mesh, one that is not closed, or no
// cell is filled. HW_LIMIT: the box would take more than `most` cells. HW_NO_MEMORY, HW_CANCELLED.
// *out is empty unless HW_OK; `work` is rewound. Slots narrower than two edges may close. Test:
// test/print/test_voxel.c
HW_MUST_USE hw_code hw_voxels_of(hw_arena *keep, hw_arena *work, const hw_mesh *mesh,
                                 double edge, // [m]
                                 size_t most, const hw_job *job, hw_voxels *out);

// ---- problem --------------------------------------------------------------------------------

// Printed stuff: alike in all directions of a layer, different across the layers.
typedef struct hw_voxel_stuff {
    double modulus;        // along the layers, > 0 [Pa]
    double across;         // across them, > 0 [Pa]
    double poisson;        // within a layer [1]
    double poisson_across; // strain in the layer by stress across it, over the strain across [1]
    double shear_across;   // > 0 [Pa]
} hw_voxel_stuff;

// The same in all directions.
hw_voxel_stuff hw_voxel_isotropic(double modulus, double poisson); // [Pa] [1]

typedef enum hw_voxel_shape { HW_VOXEL_BOX, HW_VOXEL_CYLINDER } hw_voxel_shape;

// A piece of space, its surface included. Points within a thousandth of an edge count as inside.
typedef struct hw_voxel_region {
    hw_voxel_shape shape;
    hw_vec3 low, high;   // box [m]
    hw_vec3 at, axis;    // cylinder: a point of its axis [m], and its direction (any length) [1]
    double from, to;     // cylinder: along the axis from that point [m]
    double inner, outer; // cylinder: radii, 0 <= inner < outer [m]
} hw_voxel_region;

typedef enum hw_voxel_spread {
    HW_VOXEL_EVEN,  // over all surface in the region
    HW_VOXEL_FACING // only where the force presses into the surface, in proportion to how squarely:
                    // half of a bearing
} hw_voxel_spread;

// A load on the surface inside a region. Force and moment are spread so that both are exact: each
// piece of surface takes its share of the force, and of the moment in proportion to its distance
// from their middle. A pressure stands square on the surface, and is added.
typedef struct hw_voxel_load {
    hw_voxel_region region;
    hw_voxel_spread spread;
    hw_vec3 force;   // [N]
    hw_vec3 moment;  // about `at` [N*m]
    hw_vec3 at;      // [m]
    double pressure; // into the part [Pa]
} hw_voxel_load;

// Cells' corners in a region are held along the axes named.
typedef struct hw_voxel_support {
    hw_voxel_region region;
    bool held[3];
} hw_voxel_support;

// A part may be held nowhere, or not in all six ways, when its loads balance in the ways left.
typedef struct hw_voxel_problem {
    const hw_voxels *voxels;
    hw_voxel_stuff stuff;
    const hw_voxel_load *load;
    size_t loads;
    const hw_voxel_support *support;
    size_t supports;
} hw_voxel_problem;

typedef struct hw_voxel_def {
    double tolerance;       // of the residual, relative to the loads, > 0 [1]
    size_t most_iterations; // >= 1
    double unbalanced;      // share of the loads that may be out of balance in a way that nothing
                            // holds; it is taken out, >= 0 [1]
    bool plain;             // conjugate gradients with the diagonal alone, for comparison
} hw_voxel_def;

hw_voxel_def hw_voxel_def_default(void); // 1e-7, 1000, 1e-6, false

typedef struct hw_voxel_answer {
    double *moved;     // 3 per corner of the grid, x fastest; 0 where no cell is. Ways that nothing
                       // holds: mean over the corners 0 [m]
    double work;       // of the loads: half force times displacement [J]
    size_t iterations; // of the conjugate gradients
    double residual;   // left, relative to the loads [1]
    int loose;         // in how many of the six ways of a rigid body nothing holds it
    double unbalanced; // share of the loads out of balance in those [1]
    size_t bad_load;   // HW_BAD_INPUT: the load without surface, or SIZE_MAX
    size_t bad_support; // HW_BAD_INPUT: the support without corners, or SIZE_MAX
    size_t unknowns;    // displacements solved for
} hw_voxel_answer;

// Displacements in `keep`; `work` is rewound. Bricks of eight corners with incompatible modes
// (bending without shear locking), conjugate gradients, one multigrid cycle as preconditioner;
// about 270 bytes a cell of the box. The same bits for any number of threads. HW_BAD_INPUT: see
// *out; stuff that could give energy; loads out of balance. HW_NOT_CONVERGED: best so far.
// HW_NO_MEMORY, HW_CANCELLED (best so far). Source: Wilson, Taylor, Doherty & Ghaboussi 1973
// (incompatible modes); Adams, Brezina, Hu & Tuminaro 2003, J. Comput. Phys. 188 (polynomial
// smoothing). Test: test/print/test_voxel.c, test_voxel_solve.c, test_voxel_judge.c
HW_MUST_USE hw_code hw_voxel_solve(hw_arena *keep, hw_arena *work, const hw_voxel_problem *p,
                                   const hw_voxel_def *def, const hw_job *job,
                                   hw_voxel_answer *out);

// ---- answers --------------------------------------------------------------------------------

// Stress at the middle of a cell: xx, yy, zz, yz, xz, xy. NaN in empty cells.
void hw_voxel_stress(const hw_voxel_problem *p, const hw_voxel_answer *a, size_t i, size_t j,
                     size_t k, double out[6]); // [Pa]

// Mean displacement of the corners in a region; NaN where there is none.
hw_vec3 hw_voxel_moved(const hw_voxel_problem *p, const hw_voxel_answer *a,
                       const hw_voxel_region *region); // [m]

double hw_voxel_mises(const double stress[6]); // von Mises, any unit [Pa]

typedef struct hw_voxel_peak {
    double value; // [Pa]
    hw_vec3 at;   // [m]
} hw_voxel_peak;

typedef struct hw_voxel_peaks {
    hw_voxel_peak mises;      // largest von Mises stress of the fitted field
    hw_voxel_peak across;     // largest tension across layers (zz) of the fitted field, 0: none
    hw_voxel_peak raw_mises;  // largest at a cell's middle, cells at least half full
    hw_voxel_peak raw_across; // the same across layers
} hw_voxel_peaks;

// Peaks of the stress fitted linearly, least squares, over the middles of the cells within `radius`
// [m] (at least 2 edges) of each place, weighted by fill and nearness; at cells' middles and
// where the surface is. Exact for stress that varies linearly (bending); a notch's peak is its mean
// over about half the radius. Slots narrower than the radius are averaged across. HW_BAD_INPUT: the
// radius; HW_NO_MEMORY; HW_CANCELLED; *out is then NaN. Source: mean over a length as the measure
// at notches, Taylor 2007, The Theory of Critical Distances (from memory). Test:
// test/print/test_voxel_solve.c
HW_MUST_USE hw_code hw_voxel_peaks_of(hw_arena *work, const hw_voxel_problem *p,
                                      const hw_voxel_answer *a, double radius, // [m]
                                      const hw_job *job, hw_voxel_peaks *out);

enum { HW_VOXEL_EDGES = 4 };

typedef struct hw_voxel_study_def {
    double edge[HW_VOXEL_EDGES]; // coarse to fine, > 0 [m]
    size_t edges;                // 1 to HW_VOXEL_EDGES
    double radius;               // of the fit, at least twice the coarsest edge [m]
    size_t most;                 // cells in the box
    hw_voxel_def solve;
} hw_voxel_study_def;

typedef struct hw_voxel_study {
    hw_voxel_peaks peak[HW_VOXEL_EDGES];
    size_t iterations[HW_VOXEL_EDGES];
    size_t cells[HW_VOXEL_EDGES];
    double spread;            // of von Mises: largest less smallest over the last, all edges [1]
    double spread_across;     // of the tension across layers [1]
    hw_voxels voxels;         // at the last edge
    hw_voxel_problem problem; // there
    hw_voxel_answer answer;   // there
} hw_voxel_study;

// The same problem (its `voxels` are not looked at) at several edges; *out as far as it came, its
// last grid and answer in `keep`. Codes: those of its steps. Test: test/print/test_voxel_solve.c
HW_MUST_USE hw_code hw_voxel_study_of(hw_arena *keep, hw_arena *work, const hw_mesh *mesh,
                                      const hw_voxel_problem *p, const hw_voxel_study_def *def,
                                      const hw_job *job, hw_voxel_study *out);

#endif
