// The walk along a mechanism's motion, shared by step.c (one step), locate.c (what happens inside a
// step) and walk.c (the whole). Derivation: docs/derivations/walking-a-mechanism.md.
#ifndef HW_LINKAGE_WALK_INTERNAL_H
#define HW_LINKAGE_WALK_INTERNAL_H

#include "linkage/loops.h"

// A point of the motion. All values scaled as in loops.h.
typedef struct hw_node {
    double *x;         // n + 1 unknowns [1]
    double *t;         // unit tangent, n + 1 [1]
    double *k;         // curvature, dt over the way, n + 1 [1]
    double step;       // from the node before, along its tangent [1]
    double test;       // determinant of (loop rows; tangent of the step's start) [1]
    double first_step; // first correction of the corrector [1]
} hw_node;

typedef struct hw_walker {
    hw_loops loops;
    size_t n, wide; // unknowns without and with the stroke parameter
    int *row;       // n loop equations in use: all, or an independent choice
    bool repeated;  // more equations than unknowns
    hw_node at;     // where the walk stands
    hw_node next, probe;
    double *pose;                                          // of the sweep, n + 1 [1]
    double *f, *j, *square, *right, *move, *guess, *spare; // scratch
    int *order, *choice, *column;
    size_t iterations, steps;
} hw_walker;

enum { HW_WALK_STEPS = 20000 };

// Loops count as closed when what is left is below a hundred-millionth of the mechanism's length:
// dimensions are typed with at most that many digits, and repeated constraints agree no better.
#define HW_WALK_CLOSED 1e-8

HW_MUST_USE hw_code hw_walker_new(const hw_mech *m, hw_arena *a, hw_walker *out);

// Chooses independent equations at x for the tangent system (`wide` columns) or the pose system
// (n columns). Returns the rank that was found, at most n.
size_t hw_walker_choose(hw_walker *w, const double x[], size_t columns);

// Corrects x at its stroke parameter: from a rough guess with damped Newton, or from a close one
// with plain Newton to the last digits. false where it does not close.
bool hw_walker_approach(hw_walker *w, double x[]);
bool hw_walker_settle(hw_walker *w, double x[]);

// The point at `step` along the tangent of w->at; false where the corrector does not converge.
bool hw_walker_reach(hw_walker *w, double step, hw_node *out);

// Whether a node is close enough to w->at to be surely on the same motion.
bool hw_walker_trusts(hw_walker *w, const hw_node *node);

// Largest residual of all equations where they were evaluated last [1]; closed when not above
// HW_WALK_CLOSED.
double hw_walker_disagrees(const hw_walker *w);

// The tangent at w->at.x, with `way` (+1, -1) as the sign of its stroke part; the equations in use
// are chosen anew and w->at.test set. false where the motion is not determined there.
bool hw_walker_start(hw_walker *w, double way);

// w->next becomes w->at, equations chosen anew where some are repeated.
void hw_walker_advance(hw_walker *w);

// The fold between w->at and w->next, where the tangent's stroke part vanishes, becomes w->next.
// false where it is lost.
bool hw_walker_find_fold(hw_walker *w);

// The node between w->at and w->next where the tangent's stroke part is least becomes w->next: the
// curvature's stroke part changes sign between them. false where it is lost.
bool hw_walker_find_dip(hw_walker *w);

// The branch point between w->at and w->next, where the determinant changes sign while the motion
// goes on smoothly: its stroke parameter and the body that the other branch moves most. false where
// the motion does not pass between the signs: it turns away, and w->next lies on a neighbour.
// w->next is spoilt.
bool hw_walker_find_branch(hw_walker *w, double *stroke, int *body);

// Branch points where the determinant touches 0, or passes through it and back, between steps -back
// and ahead from w->at, which it is smaller at than at both: how many (0, 1 where it touches, 2).
// w->next stays.
size_t hw_walker_find_pair(hw_walker *w, double back, double ahead, double stroke[2], int *body);

// The point of stroke parameter `stroke` between w->at and w->next, into x; false where it is lost.
bool hw_walker_between(hw_walker *w, double stroke, double x[]);

double hw_norm_of(const double v[], size_t n);
double hw_dot_of(const double a[], const double b[], size_t n);

#endif
