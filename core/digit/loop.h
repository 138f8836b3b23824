// One loop of a coupled-bars digit: earlier body, later body, bar. Private to digit and stroke.
//
// Everything turns on unit vectors: the later body's joint, its horn's end and the bar's root are
// points of the earlier body's frame, and the horn's end is one of the two meeting points of a
// circle about the joint (horn) and one about the root (bar). No angle is formed, so there is no
// branch cut, and everything is + - * / and one root: the same bits on every machine. The same
// functions serve single poses and the batch over a stroke. Derivation: docs/derivations/bars.md
#ifndef HW_DIGIT_LOOP_H
#define HW_DIGIT_LOOP_H

#include "digit/digit.h"

#include <math.h>

typedef struct hw_loop {
    double link;    // driven joint to the joint that follows [m]
    hw_vec2 root;   // of the bar, seen from the driven joint, in the body that this joint turns
                    // against [m]
    hw_vec2 horn;   // its end in the later body [m]
    double horn_sq; // horn's length squared [m^2]
    double bar_sq;  // bar's length squared [m^2]
    double bar;     // [m]
    double side;    // +1 or -1: on which side of the line joint-root the horn's end stays [1]
} hw_loop;

typedef struct hw_loop_pose {
    hw_vec2 joint; // the joint that follows [m]
    hw_vec2 arm;   // from it to the horn's end [m]
    hw_vec2 bar;   // from the bar's root to the horn's end [m]
    double gc, gs; // [1] of the later body's flexion against the loop's ground: cosine, sine
    double c, s;   // the same against the earlier body: of the joint that follows [1]
    double room;   // (distance * horn * sine of their angle)^2, < 0 where it does not close [m^4]
    double moment; // of the bar's vector about the joint: arm x bar [m^2]
} hw_loop_pose;

// What is left once the horn's end is known by its shares along the line joint-root and across it.
static inline hw_loop_pose hw_loop_meet(const hw_loop *l, double c, double s, hw_loop_pose p, // [1]
                                        double along, double across) // [m^2]
{
    double dx = l->root.x - p.joint.x, dz = l->root.z - p.joint.z;
    double over = 1.0 / (dx * dx + dz * dz);
    double b = l->side * across;
    p.arm.x = (along * dx - b * dz) * over;
    p.arm.z = (along * dz + b * dx) * over;
    p.bar.x = p.arm.x - dx;
    p.bar.z = p.arm.z - dz;
    double unit = 1.0 / l->horn_sq;
    p.gc = (l->horn.x * p.arm.x + l->horn.z * p.arm.z) * unit;
    p.gs = (l->horn.z * p.arm.x - l->horn.x * p.arm.z) * unit;
    p.c = p.gc * c + p.gs * s;
    p.s = p.gs * c - p.gc * s;
    // arm x bar = arm x (arm - D) = D x arm, which is b: nothing cancels near a dead point
    p.moment = b;
    return p;
}

// Closes the loop for cosine and sine [1] of the driven joint's flexion, no branch in the code.
// Where room < 0 only `room` and `joint` mean anything.
static inline hw_loop_pose hw_loop_try(const hw_loop *l, double c, double s, double *along) // [m^2]
{
    hw_loop_pose p = {.joint = {l->link * c, -(l->link * s)}};
    double dx = l->root.x - p.joint.x, dz = l->root.z - p.joint.z;
    double d_sq = dx * dx + dz * dz;
    *along = 0.5 * (l->horn_sq + d_sq - l->bar_sq);
    p.room = l->horn_sq * d_sq - *along * *along;
    return hw_loop_meet(l, c, s, p, *along, sqrt(p.room > 0.0 ? p.room : 0.0));
}

// The same; where room < 0 the pose is the closest approach: horn and bar on one line.
static inline hw_loop_pose hw_loop_close(const hw_loop *l, double c, double s) // [1]
{
    double along;
    hw_loop_pose p = hw_loop_try(l, c, s, &along);
    if (p.room >= 0) return p;
    double reach = sqrt(l->horn_sq) * hw_norm(hw_sub(l->root, p.joint));
    return hw_loop_meet(l, c, s, p, along > 0 ? reach : -reach, 0);
}

// d(joint that follows)/d(driven joint): the bar keeps its length, bar . (d joint + d arm) = 0. [1]
static inline double hw_loop_rate(const hw_loop_pose *p) // [1]
{
    return (p->bar.x * p->joint.z - p->bar.z * p->joint.x) / p->moment - 1.0;
}

// Loop A (0) or B (1) of a digit. Returns the fault that keeps it from being built.
hw_digit_fault hw_loop_of(const hw_digit *d, int which, hw_loop *out);

// The later body's flexion with its whole turns, for a driven joint's flexion. [rad]
double hw_loop_angle(const hw_loop *l, double driven, const hw_loop_pose *p); // [rad]

#endif
