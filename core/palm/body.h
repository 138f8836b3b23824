// Convex bodies in space: how far two of them are apart, or how deep one stands in the other.
#ifndef HW_PALM_BODY_H
#define HW_PALM_BODY_H

#include "base/status.h"
#include "base/vec.h"
#include "base/vec3.h"

#include <stddef.h>

typedef enum hw_body_kind {
    HW_BODY_BOX,
    HW_BODY_CAPSULE,
    HW_BODY_CYLINDER,
    HW_BODY_HULL, // of points
} hw_body_kind;

// A body with its frame at its middle; axes are right-handed unit vectors.
typedef struct hw_body {
    hw_body_kind kind;
    hw_frame frame;
    hw_vec3 half; // box: half its edges along x, y, z; capsule and cylinder, about z: radius,
                  // radius, half the length (of a capsule without its round ends); hull: half of
                  // the box round its points. All >= 0 [m]
    const hw_vec3 *point; // of a hull, in `frame`: the caller's [m]
    size_t points;        // >= 1 for a hull
} hw_body;

// Bodies from what a person would measure. `length` of a capsule is from centre to centre. [m]
hw_body hw_body_box(hw_frame frame, double x, double y, double z);      // whole edges [m]
hw_body hw_body_capsule(hw_vec3 from, hw_vec3 to, double radius);       // [m]
hw_body hw_body_cylinder(hw_frame frame, double radius, double length); // about z [m]
hw_frame hw_frame_identity(void);

// The convex hull of n >= 1 points given in `frame`, whose origin moves to the middle of the box
// round them: the points are moved with it, in place.
hw_body hw_body_hull(hw_frame frame, hw_vec3 point[], size_t n); // [m]

// Points among which all corners of the hull are: of those in one plane y = const only that plane's
// own corners stay. Sorts `point`; returns how many stay, at its front. Source: Andrew 1979, Inf
// Process Lett 9(5):216-219 (from memory). Test: test/palm/test_hull.c
size_t hw_hull_corners(hw_vec3 point[], size_t n); // [m]

// A frame given in `f`, in the coordinates that `f` is given in.
hw_frame hw_frame_in(const hw_frame *f, const hw_frame *inner);

// The frame turned about an axis (a point on it, a unit vector) by `angle`, right-handed. [rad]
hw_frame hw_frame_turned(const hw_frame *f, hw_vec3 at, hw_vec3 axis, double angle);

typedef struct hw_nearness {
    double distance;   // apart (+), or how far the second must be moved to come free (-) [m]
    hw_vec3 at[2];     // where they come nearest, or stand deepest in each other [m]
    hw_vec3 direction; // from first to second: the second moved along it comes away [1]
} hw_nearness;

// How far two bodies are apart. HW_BAD_INPUT: a number that is not finite or negative, *out is NaN.
// Accuracy: 1e-9 of the bodies' size (radii and half edges added); a cylinder that stands in
// another 1e-6: its least depth is searched from 200 directions, and of 30,000 random pairs of
// cylinders one missed it by 1e-4; a hull's is the least of what 200
// directions lead to, and may miss a lesser one. Where several directions are as
// near one is chosen, the same on every machine. Source: apart: Gilbert, Johnson & Keerthi 1988,
// IEEE J Robot Autom 4(2):193-203, nearest point of a simplex after Ericson 2005, Real-Time
// Collision Detection, 5.1 (both from memory); depth: least support of the Minkowski difference,
// whose facets are square to two edges, or to one edge and touch a rim (own derivation,
// docs/derivations/bodies.md). Test: test/palm/test_body.c, by FCL in test/palm/test_judge.c
HW_MUST_USE hw_code hw_body_near(const hw_body *a, const hw_body *b, hw_nearness *out);

// The same without witnesses, and only as far as `enough`: bodies farther apart may answer any
// distance between `enough` and the true one. For searches. NaN where hw_body_near would refuse.
double hw_body_clear(const hw_body *a, const hw_body *b, double enough); // [m] [m]

// How far the farthest point of a body reaches along a unit vector.
double hw_body_reach(const hw_body *b, hw_vec3 direction); // [m]

// Least and largest corner of the box round a body, along the axes that it is told in. Test:
// test/palm/test_body.c
void hw_body_span(const hw_body *b, hw_vec3 at[2]); // [m]

typedef struct hw_body_swept {
    hw_nearness nearest; // of all poses
    size_t pose;         // where
    double bound;        // nowhere between the poses is it nearer than this [m]
} hw_body_swept;

// A body that takes n >= 1 poses one after the other, each a frame that body is given in, beside
// one that stands still. `bound` allows for every point of the body going along a circle or a
// straight line from pose to pose. HW_BAD_INPUT as above, and for n 0. Test: test/palm/test_body.c
HW_MUST_USE hw_code hw_body_sweep(const hw_body *still, const hw_body *moving,
                                  const hw_frame pose[], size_t n, hw_body_swept *out);

#endif
