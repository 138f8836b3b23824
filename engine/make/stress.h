// Stress in a digit's proximal or middle phalanx, where beams and plates do not fit: cheeks, horn
// and tang in one piece of voxels, under the load case that strains its fork most.
#ifndef HW_MAKE_STRESS_H
#define HW_MAKE_STRESS_H

#include "make/make.h"
#include "print/voxel.h"

typedef struct hw_made_stress_def {
    double edge[2]; // of voxels, coarse and fine, over the digit's width, > 0 [1]
    double radius;  // over which stress is fitted, over the digit's width [1]
    double poisson; // of the printed filament [1]
    size_t most;    // voxels in the part's box
} hw_made_stress_def;

// A 32nd and a 46th of the width (0.5 and 0.35 mm on 16 mm), a fit over a 16th, 0.35.
hw_made_stress_def hw_made_stress_def_default(void);

typedef struct hw_made_stress {
    const char *part;       // its name
    int which;              // load case: hw_case or hw_hold_case
    double s;               // pose [1]
    double share;           // of strength used, the larger of the two below; NaN: not computed [1]
    bool across;            // tension across layers is the larger
    hw_voxel_peak mises;    // right hand's part, bed frame of its group
    hw_voxel_peak zz;       // tension across layers
    double edge[2], radius; // [m]
    double spread;          // of the larger, between the edges, over the finer [1]
    double unbalanced;      // of the loads, before it was taken out [1]
    size_t iterations[2], cells[2];
    const char *fault; // why it was not computed; NULL: it was
    int normal;        // axis that the map's cut is square to: of the three cuts through the worst
                       // place the one that meets most of the part; 0 x, 1 y, 2 z
    double at;         // where that cut is along it [m]
    int axis[2];       // that run to the right and up in the map
    double low[2];     // of the map's corner, along those [m]
    size_t n[2];       // cells along those
    double *map;       // von Mises stress, rightward fastest; NaN: nothing there [Pa]
    double *filled;    // share of each cell that is filled [1]
} hw_made_stress;

// The stress in a phalanx (0 proximal, 1 middle) of group `group` of what was made. Loads: both
// joints' cones with what they spread, the bar at its horn or root, the cords on the knuckle's
// pulley, the push itself where it acts on this phalanx; together in balance, so it is held
// nowhere. A digit that cannot be judged (cords run over its joints, its numbers are faulty, loads
// do not balance within a hundredth) gets a fault and no code. HW_NO_MEMORY, HW_CANCELLED,
// HW_LIMIT. Test: test/make/test_stress.c
HW_MUST_USE hw_code hw_make_stress(hw_arena *a, const hw_made *m, size_t group, int phalanx,
                                   const hw_made_stress_def *def, const hw_job *job,
                                   hw_made_stress *out);

// Adds the finding `part_stress` of a digit to what was made, or puts it in the place of the
// one before. hw_make leaves room for one a digit. Test: test/make/test_stress.c
void hw_made_stress_judge(hw_arena *a, hw_made *m, const hw_made_stress *s, int digit);

// "index middle phalanx, tip push, at 63 % of the travel: 12.3 MPa ...": what to say of it. In `a`.
const char *hw_made_stress_note(hw_arena *a, const hw_made_stress *s);

#endif
