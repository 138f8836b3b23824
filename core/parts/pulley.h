// The drive's pulley at the knuckle, part of the proximal phalanx, and the spool that sets the
// tension of its cords.
//
// One groove holds both cords: the closing one comes from below, the opening one from above, and
// they end in front, where the groove runs through the phalanx. The closing cord's knot lies in a
// hole beside the groove; the opening cord goes on to a spool in a recess of the phalanx's side.
// The spool's flange has n holes, the recess n + 1 on the same circle: a pin of filament holds the
// spool wherever two meet, n (n + 1) times a turn, without friction to rely on.
#ifndef HW_PARTS_PULLEY_H
#define HW_PARTS_PULLEY_H

#include "solid/solid.h"
#include "stack/stack.h"

// Index [2]: 0 the closing cord, 1 the opening one.
typedef struct hw_pulley_def {
    double radius; // to the cord's middle, > 0 [m]
    double cord;   // its diameter, > 0 [m]
    double from;   // x of the places that the cords come from, behind the knuckle, < 0 [m]
    double beside; // their distance from the digit's axis, >= 0 [m]
    double gap, line, deviation; // of the printer, > 0; of chords [m]
    double spool;                // radius of the spool, to the cord's middle; 0: none [m]
    double holes;                // in its flange: a whole number, 3 to 24 [1]
    double pin;                  // diameter of the pin that holds it, > 0 [m]
} hw_pulley_def;

typedef struct hw_spool_place {
    bool fits;        // it is made
    hw_vec2 at;       // axis, in the proximal phalanx's frame [m]
    double recess;    // radius of the recess for its flange [m]
    double flange;    // radius [m]
    double thickness; // of the flange [m]
    double pocket;    // radius of the recess for its drum [m]
    double drum;      // radius under the cord [m]
    double length;    // of the drum [m]
    double hole;      // radius of the pin's holes [m]
    double circle;    // radius that they lie on [m]
    double wall;      // least wall round its recess [m]
    hw_vec2 leaves;   // where the cord leaves the pulley for it [m]
    hw_vec2 arrives;  // where it reaches the drum [m]
    double positions; // that it can be held in, a turn [1]
} hw_spool_place;

typedef struct hw_pulley {
    int layer;          // number in hw_layers
    double y;           // of the groove's middle [m]
    double outward;     // +1 or -1: the side that knots and spool are reached from [1]
    double rim;         // radius of the flanges [m]
    double flank[2];    // radius of the groove's flanks, at its bottom and its mouth [m]
    double half[2];     // of its width there: bottom, mouth [m]
    double channel;     // outer radius of the groove where it runs inside the phalanx [m]
    double arc[2];      // that is round, from and to, from the phalanx's x toward its back [rad]
    hw_vec2 toward[2];  // directions in which the cords leave, in the open digit, length 1 [1]
    hw_vec2 knot[2];    // middles of the holes for their knots; the second is NaN with a spool [m]
    double knot_radius; // [m]
    double room;        // of the cord inside the knuckle; negative: it stands out of the skin, its
                        // layer is too thin for the groove, or the rim ends before its phalanx
                        // begins [m]
    hw_spool_place spool;
} hw_pulley;

// Where pulley and spool lie. HW_NOT_FOUND: this digit has no layer for it (hw_layers_pulley).
// HW_BAD_INPUT: a number out of its range, or a pulley that ends before its groove begins, is
// thinner than its groove or ends before its phalanx (its `room` is then the only thing known). The
// spool is placed where the walls round its recess are thickest; where less than two lines are left
// it is not made and the opening cord is knotted as the other one. Source: own layout,
// core/parts/README.md. Test: test/parts/test_pulley.c
HW_MUST_USE hw_code hw_pulley_of(const hw_pulley_def *def, const hw_digit *d, const hw_layers *l,
                                 hw_pulley *out);

// The direction from a circle round the origin to a point outside it, along the tangent that
// touches the circle on the back's side (sense +1) or the palm's (-1); *angle: where it touches.
// NaN inside. Test: test/parts/test_pulley.c
hw_vec2 hw_tangent_toward(double radius, hw_vec2 point, double sense,
                          double *angle); // [m] [1] [rad]

#endif
