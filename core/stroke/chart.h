// What a stroke means for the hand: natural closing, wrap chart, slop, events.
#ifndef HW_STROKE_CHART_H
#define HW_STROKE_CHART_H

#include "stroke/stroke.h"

// Closing beside a reference law MCP:PIP:DIP on the digit's own lengths.
typedef struct hw_closing {
    double pip_rms, dip_rms; // angle error at equal MCP [rad]
    double path_rms;     // RMS nearest distance of the tip path to the law's path over the digit's
                         // length [1]
    double spiral_angle; // tangent-radius angle of the best equiangular spiral through the tip path
                         // [rad]
    double spiral_rms;   // misfit of that spiral [m]
    hw_vec2 spiral_pole; // [m]
    double pip_ratio, dip_ratio; // PIP/MCP and DIP/PIP over the whole stroke [1]
} hw_closing;
// RMS over the stroke's poses that close, law * MCP beside PIP and DIP. The law's path runs over
// the digit's own MCP range and a tenth of it beyond both ends, so that it is not cut short beside
// the digit's. Ratios are NaN where the joint that they divide by rests. spiral_* are NaN where no
// spiral fits (hw_spiral_fit: too few or nearly straight points). HW_BAD_INPUT: law[0] is 0 or a
// law is not finite. HW_NO_ASSEMBLY: fewer than two poses close. *out is all NaN then. Accuracy:
// path_rms within 1e-5 of the digit's length (256 chords). Source: law and measures: common
// practice; spiral: spiral.h. Test: test/stroke/test_closing.c
HW_MUST_USE hw_code hw_closing_of(const hw_digit *d, const hw_stroke *s,
                                  const double law[HW_JOINTS], hw_closing *out); // law [1]

// Cylinders in the digit's curl: which phalanx closes on them first, and the gap left at the
// others.
//
// The cylinder lies in the corner of palm and digit: its surface touches the palm line (the
// carrier's palmar face, z = -thickness[0]/2, produced toward the wrist) and the proximal phalanx,
// pushed by it along the palm as it flexes. Closing ends where the middle or the distal phalanx
// meets the cylinder as well. Phalanges are whole hulls with their thickness
// (hw_phalanx_discs). A digit that curls at its tip first meets it with the distal phalanx and
// leaves a gap at the middle one. Own choice of placement, docs/derivations/wrap.md.
enum { HW_WRAP_SIZES = 10 }; // 10 to 100 mm
typedef struct hw_wrap {
    double diameter;       // [m]
    int first;             // 1 or 2: phalanx that closes on it; -1: none up to the closed pose
    double at_s;           // where; the last pose that closes when none does [1]
    double gap[HW_JOINTS]; // distance left at each phalanx there, < 0: overlap in the open pose
                           // already [m]
    hw_vec2 centre;        // of the cylinder there, digit frame [m]
} hw_wrap;

// One diameter > 0. Between the stroke's poses contact is refined to 1e-12 of the stroke; a touch
// and release between two poses is found where the gap has a single dip there. HW_BAD_INPUT: the
// diameter, or a thickness, is not > 0. HW_NO_ASSEMBLY: no pose closes, *out is NaN with first -1.
// Test: test/stroke/test_wrap.c
HW_MUST_USE hw_code hw_wrap_of(const hw_digit *d, const hw_stroke *s, double diameter, // [m]
                               hw_wrap *out);

typedef struct hw_wrap_chart {
    double diameter[HW_WRAP_SIZES];       // 10 to 100 mm: objects do not scale with the hand [m]
    int first[HW_WRAP_SIZES];             // as in hw_wrap
    double at_s[HW_WRAP_SIZES];           // [1]
    double gap[HW_WRAP_SIZES][HW_JOINTS]; // [m]
    hw_vec2 centre[HW_WRAP_SIZES];        // [m]
} hw_wrap_chart;
// Codes as hw_wrap_of.
HW_MUST_USE hw_code hw_wrap_chart_of(const hw_digit *d, const hw_stroke *s, hw_wrap_chart *out);

// Play of the joints from the pivots' radial play, peak to peak, the drive held. A joint that bars
// hold plays by 2 c sqrt(n)/(h sin mu): c the radial play, n = 4 the pins of its loop, h the horn,
// mu the transmission angle; that is the band of two standard deviations either way when each pin
// lies anywhere in its circle. DIP adds what PIP's play drives through bar B. Joints that a servo
// or a cord under tension holds do not turn by it.
typedef struct hw_slop {
    double joint[HW_JOINTS]; // worst over the stroke [rad]
    double tip; // across the tip, worst over the stroke: joint plays through their arms, PIP's with
                // the DIP that follows it, and the three joints' own pins, 2 c sqrt(3) [m]
    double at_s; // where the tip's is worst [1]
} hw_slop;
// HW_BAD_INPUT: pivot_play is negative or not finite, or no such family. HW_NO_ASSEMBLY: no pose
// closes; *out is NaN. Infinite at a dead point. Source: own derivation, docs/derivations/slop.md.
// Test: test/stroke/test_slop.c, by drawing pins at random
HW_MUST_USE hw_code hw_slop_of(const hw_digit *d, const hw_stroke *s, hw_slop *out);

// Dead points, branch changes and lock-ups inside the travel, in order of s.
typedef struct hw_stroke_event {
    // Dead point: root, joint and horn's end of the loop come into line and the branch ends.
    // Lock-up: with it, where the digit does not close on the side toward larger s. Branch change:
    // they come into line without an end of the motion.
    hw_event_kind kind;
    double s;     // [1]
    int loop;     // 0: bar A's, 1: bar B's
    double joint; // driven-knuckle angle there [rad]
} hw_stroke_event;
// At most `room` events are written; returns how many there are. Not from poses: bar A's from the
// triangle of its circles, bar B's between the extremes of PIP, where each is passed at most once;
// none is stepped over. Other families, and digits that hw_digit_check faults, have none. Travels
// beyond 64 turns count as 64. Accuracy: rounding over the rate at which the triangle's side
// changes. Source: own derivation, docs/derivations/bars.md. Test: test/stroke/test_events.c
size_t hw_stroke_events(const hw_digit *d, hw_stroke_event out[], size_t room);

#endif
