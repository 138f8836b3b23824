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
HW_MUST_USE hw_code hw_closing_of(const hw_digit *d, const hw_stroke *s,
                                  const double law[HW_JOINTS], hw_closing *out); // law [1]

// Cylinders of a range of diameters in the digit's curl: which phalanx touches first, and the gap
// left at the others.
enum { HW_WRAP_SIZES = 10 };
typedef struct hw_wrap_chart {
    double diameter[HW_WRAP_SIZES]; // [m]
    int first[HW_WRAP_SIZES];       // phalanx that touches first while closing; -1: none touches
    double at_s[HW_WRAP_SIZES];     // stroke parameter at first touch [1]
    double gap[HW_WRAP_SIZES][HW_JOINTS]; // distance left at each phalanx then [m]
    hw_vec2 centre[HW_WRAP_SIZES];        // of the cylinder, digit frame [m]
} hw_wrap_chart;
HW_MUST_USE hw_code hw_wrap_chart_of(const hw_digit *d, const hw_stroke *s, hw_wrap_chart *out);

// Play of the joints from the pivots' radial play, peak to peak.
typedef struct hw_slop {
    double joint[HW_JOINTS]; // worst over the stroke [rad]
    double tip;  // across the tip, worst over the stroke, joint slops added through their arms [m]
    double at_s; // where the tip's is worst [1]
} hw_slop;
HW_MUST_USE hw_code hw_slop_of(const hw_digit *d, const hw_stroke *s, hw_slop *out);

// Dead points, branch changes and lock-ups inside the travel, refined between poses, in order of s.
typedef struct hw_stroke_event {
    hw_event_kind kind;
    double s;     // [1]
    int loop;     // 0: bar A's, 1: bar B's
    double joint; // driven-knuckle angle there [rad]
} hw_stroke_event;
// At most `room` events are written; returns how many there are.
size_t hw_stroke_events(const hw_digit *d, hw_stroke_event out[], size_t room);

#endif
