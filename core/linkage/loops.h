// The loop equations of a mechanism, free of units: lengths over a length of the mechanism, angles
// in radians, the stroke parameter times the largest motion of a driver. Unknowns are x, z, angle
// of bodies 1, 2, ... and then the scaled stroke parameter.
#ifndef HW_LINKAGE_LOOPS_H
#define HW_LINKAGE_LOOPS_H

#include "linkage/mech.h"

typedef struct hw_loops {
    const hw_mech *m;
    double length;         // [m]
    double stroke;         // scaled stroke parameter per s [1]
    size_t n;              // unknowns without the stroke parameter
    size_t equations;      // in the order pins, sliders, drivers
    double *cosine, *sine; // of every body's angle, set by hw_loops_at [1]
} hw_loops;

// HW_BAD_INPUT, HW_LIMIT as hw_mech_count; HW_NO_MEMORY.
HW_MUST_USE hw_code hw_loops_new(const hw_mech *m, hw_arena *a, hw_loops *out);

// Residuals f[equations] and, unless NULL, the Jacobian j[equations][n + 1] at x[n + 1].
void hw_loops_at(const hw_loops *l, const double x[], double f[], double j[]); // [1]

// The part of d2 f that second derivatives of the unknowns do not touch, for the motion v[n + 1]
// at x (which hw_loops_at has seen last): g[equations].
void hw_loops_turning(const hw_loops *l, const double x[], const double v[], double g[]); // [1]

void hw_loops_pack(const hw_loops *l, const hw_body_pose pose[], double s, double x[]); // [1]

// The joint of an equation: exactly one of the three is not -1.
void hw_loops_joint(const hw_loops *l, size_t equation, int *pin, int *slider, int *driver);

// The body that turns most, or else moves most, in v[n]; -1 where nothing moves.
int hw_loops_body(const hw_loops *l, const double v[]); // [1]

#endif
