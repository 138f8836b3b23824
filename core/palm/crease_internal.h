// Shared by the files of creases alone: a digit's parts as hulls of two discs, and the ball that
// fits between one of them and a place.
#ifndef HW_PALM_CREASE_INTERNAL_H
#define HW_PALM_CREASE_INTERNAL_H

#include "palm/pose.h"
#include "stroke/pinch.h"

enum { HW_LIMBS = HW_SEGMENTS + 1 }; // the carrier first

// The hull of two discs, drawn out to the digit's width.
typedef struct hw_limb_shape {
    double from;              // of the first disc, along the limb from its joint [m]
    double length, radius[2]; // [m]
    double sine, cosine;      // of the common tangent's lean; sine 1: one disc holds the other [1]
    double half;              // of the width [m]
    double reach;             // radius of a ball round all of it, about its middle [m]
} hw_limb_shape;

typedef struct hw_limb {
    hw_limb_shape shape;
    hw_frame frame; // at the first disc, x toward the second
    hw_vec3 middle; // [m]
} hw_limb;

// Where a finger may lie.
typedef struct hw_crease_place {
    hw_vec3 at, normal; // outward [m] [1]
    int phalanx;        // -1: the palm
} hw_crease_place;

typedef struct hw_crease_ball {
    double gap;       // its diameter; 0: too small to count, infinite: too large [m]
    hw_vec3 at, from; // its middle; normal of the moving part there, toward it
    int nearest;      // number of that limb
} hw_crease_ball;

void hw_limb_shapes_of(const hw_palm *p, int digit, hw_limb_shape out[HW_LIMBS]);
void hw_limbs_at(const hw_palm *p, const hw_limb_shape shape[HW_LIMBS], const hw_palm_pose *pose,
                 hw_limb out[HW_LIMBS]);

// Whether a point is at least that far from the limb.
bool hw_limb_clears(const hw_limb *l, hw_vec3 c, double by); // [m]

// Whether some of the limb lies between two heights along a unit vector.
bool hw_limb_between(const hw_limb *l, hw_vec3 normal, double low, double high); // [m]

// Whether a ball with a radius between those two may lie on a place and touch the limb where the
// cosine between both faces' outward normals is no more than `open`. For searches: it may say so in
// vain, as that cosine is known for the least ball alone, and grows with the ball.
bool hw_limb_may_press(const hw_limb *l, const hw_crease_place *at, double least, double most,
                       double open); // [m] [m] [1]

// The ball that lies on a place and touches the nearest of the limbs. `before`: the one a pose
// earlier; its limb is asked first, from its size on. Accuracy: `within` of its radius, over how
// fast it loses its room.
hw_crease_ball hw_crease_ball_of(const hw_limb m[HW_LIMBS], const hw_crease_place *at,
                                 const hw_crease_ball *before, double within); // [1]

#endif
