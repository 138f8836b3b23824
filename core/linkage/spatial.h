// Static balances in space: rigid bodies on revolute pins, bars and cords that pull along straight
// lines wherever they lie, drives that give a couple about their axis. For one pose: all points and
// directions are in the ground's frame.
#ifndef HW_LINKAGE_SPATIAL_H
#define HW_LINKAGE_SPATIAL_H

#include "base/arena.h"
#include "base/vec.h"

// A revolute pin of bodies a and b. It carries any force and any couple but that about its axis.
typedef struct hw_space_pin {
    int a, b;
    hw_vec3 at;   // a point of the axis, for which its force and couple are given [m]
    hw_vec3 axis; // any length but 0 [1]
} hw_space_pin;

// A straight stretch that draws its two ends together with the tension of its line.
typedef struct hw_space_stretch {
    int a, b;
    hw_vec3 at_a, at_b; // [m]
} hw_space_stretch;

// A bar (one stretch), or a cord without friction over any number of bodies (a stretch from each to
// the next; where it lies on a pulley both tangent points are points of the pulley's body).
typedef struct hw_space_line {
    const hw_space_stretch *stretch;
    size_t stretches;
    bool known;     // the tension is given; otherwise it is an unknown of the balance
    double tension; // negative: pushed; read where known [N]
} hw_space_line;

// A couple of a on b about an axis, of unknown size: what a drive gives.
typedef struct hw_space_drive {
    int a, b;
    hw_vec3 axis; // [1]
} hw_space_drive;

typedef struct hw_space_load {
    int body;
    hw_vec3 at;     // [m]
    hw_vec3 force;  // [N]
    hw_vec3 couple; // beside the force [N*m]
} hw_space_load;

typedef struct hw_space {
    size_t bodies; // with the ground, which is body 0
    const hw_space_pin *pin;
    size_t pins;
    const hw_space_line *line;
    size_t lines;
    const hw_space_drive *drive;
    size_t drives;
} hw_space;

// Arrays as long as the model's; on body b of each.
typedef struct hw_space_forces {
    hw_vec3 *pin;    // [N]
    hw_vec3 *couple; // of each pin, at its point [N*m]
    double *line;    // tension [N]
    double *drive;   // couple about the unit axis [N*m]
} hw_space_forces;

HW_MUST_USE hw_code hw_space_forces_new(hw_arena *a, const hw_space *m, hw_space_forces *out);

// Six balances of every body but the ground, solved at once. There must be as many unknowns (five a
// pin, one a line of unknown tension, one a drive) as balances. HW_BAD_INPUT: that count is off, a
// body does not exist, an axis or a stretch has no length, or a value is not finite.
// HW_NO_ASSEMBLY: the balances do not decide the unknowns (a dead point). HW_NO_MEMORY. Outputs are
// NaN then. The answer scales with lengths and forces: moments are taken about the mean of all
// points and divided by the largest distance from it. Accuracy: rounding times the conditioning.
// Source: equilibrium of rigid bodies, Beer & Johnston, Vector Mechanics for Engineers: Statics,
// sec. 4.8 (from memory). Test: test/linkage/test_spatial.c
HW_MUST_USE hw_code hw_space_balance(const hw_space *m, hw_arena *a, const hw_space_load load[],
                                     size_t loads, hw_space_forces *out);

#endif
