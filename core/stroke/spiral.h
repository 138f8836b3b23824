// The equiangular spiral that lies nearest to a row of points: how a tip's path is judged for
// natural closing.
#ifndef HW_STROKE_SPIRAL_H
#define HW_STROKE_SPIRAL_H

#include "base/vec.h"

#include "base/status.h"

// r = radius * exp(growth * (turn - start)) about the pole, `turn` the flexion of the radius from
// +x (vec.h: positive turns +x toward -z).
typedef struct hw_spiral {
    hw_vec2 pole;      // [m]
    double angle;      // between tangent and radius, 0 to pi/2; a circle has pi/2 [rad]
    double growth;     // d(ln r)/d(turn) = +-1/tan(angle) [1]
    double radius;     // at the first point's turn [m]
    double start, end; // turn of the first and of the last point, unwound along the points [rad]
    double rms;        // root mean square of the points' distances square to the spiral [m]
} hw_spiral;

// Fits all four numbers (pole, growth, radius) to n points given in their order along the path, so
// that the sum of squared distances is least. The distance is that to the spiral's tangent at the
// point's own turn, right to second order in distance/radius. The answer scales and turns with the
// points. HW_BAD_INPUT: fewer than 5 points, a point that is not finite, or all points in one
// place; *out is zero. HW_NOT_CONVERGED: nearly straight points, whose pole lies beyond 300 times
// their spread, or the bound of steps was reached; *out is the best found. Accuracy: points on a
// spiral over a quarter turn or more give pole and angle to 1e-8 (relative to their spread, rad).
// Source: the curve: Kamper, Cruz & Siegel 2003, "Stereotypical fingertip trajectories during
// grasp", J. Neurophysiol. 90, 3702-3710; the fit: least squares by Levenberg-Marquardt from a grid
// of poles, own derivation. Test: test/stroke/test_spiral.c
HW_MUST_USE hw_code hw_spiral_fit(const hw_vec2 *p, size_t n, hw_spiral *out);

// The spiral's point at a turn [rad]. Test: test/stroke/test_spiral.c
hw_vec2 hw_spiral_at(const hw_spiral *s, double turn); // [rad]

#endif
