// Shared by the files of bodies alone.
#ifndef HW_PALM_BODY_INTERNAL_H
#define HW_PALM_BODY_INTERNAL_H

#include "palm/body.h"

// A body without the round that a capsule has all over: edges added up, and a disc for a cylinder.
// The body is everything within `round` of it.
typedef struct core_shape {
    hw_vec3 at;
    hw_vec3 edge[3]; // unit directions
    double half[3];  // of each edge [m]
    int edges;
    hw_vec3 axis;         // of the disc
    double disc;          // its radius, 0: none [m]
    double round;         // [m]
    const hw_vec3 *point; // of a hull, along the three edges from `at`; these are its box [m]
    size_t points;        // 0: no hull
} core_shape;

core_shape hw_core_of(const hw_body *b);
hw_vec3 hw_core_support(const core_shape *c, hw_vec3 n);

hw_vec3 hw_hull_support(const core_shape *c, hw_vec3 n);

// As hw_core_depth, where one of the two is a hull.
double hw_hull_depth(const core_shape *a, const core_shape *b, hw_vec3 *direction); // [m]

// How large a pair is: what tolerances are measured by. [m]
double hw_core_size(const core_shape *a, const core_shape *b);

// Vector from a to b where they come nearest, with the two places; false: they meet, or stand apart
// by less than `least`. Where `enough` >= 0 it may stop once they are farther apart than that.
bool hw_core_apart(const core_shape *a, const core_shape *b, double least, double enough,
                   hw_vec3 *at, double *distance); // [m] [m] [m], two places

// How deep two that meet stand in each other, and along which unit vector b comes free.
double hw_core_depth(const core_shape *a, const core_shape *b, hw_vec3 *direction); // [m]

#endif
