// What the loads of use do to a digit over its stroke: the worst pin and bar forces, and where.
#ifndef HW_STROKE_CASES_H
#define HW_STROKE_CASES_H

#include "stroke/stroke.h"

typedef enum hw_case {
    HW_CASE_TIP,          // at the distal end on the axis, pushed open: the stroke's unit load
    HW_CASE_PAD_PROXIMAL, // the middle of a phalanx's palmar face, pushed open
    HW_CASE_PAD_MIDDLE,
    HW_CASE_PAD_DISTAL,
    HW_CASE_HOOK,  // a handle hung in the digit: at the middle of the proximal phalanx's palmar
                   // face, pulled away from the palm along the straight digit (+x of the digit
                   // frame)
    HW_CASE_KNOCK, // on the back of the distal end, pushed closed
    HW_CASES
} hw_case;

const char *hw_case_name(hw_case c); // never NULL, also for values out of range

// The load of a case at a pose, for a force of `magnitude` [N] >= 0. Cases are square to the
// phalanx, the hook keeps its direction in the digit frame. Test: test/stroke/test_cases.c
hw_load hw_case_load(const hw_digit *d, const hw_digit_pose *pose, hw_case c,
                     double magnitude); // [N]

typedef struct hw_case_peak {
    double value; // NaN where the family has no such thing, or no pose closes [N] or [N*m]
    double at_s;  // where, exact to the stroke's poses [1]
} hw_case_peak;

typedef struct hw_case_worst {
    hw_case_peak pin[HW_JOINTS]; // largest magnitude [N]
    hw_case_peak pull[2];        // of bars A and B: largest tension, 0 when never pulled [N]
    hw_case_peak push[2];        // largest compression, as a positive number [N]
    hw_case_peak torque;         // of the drive, largest magnitude with its sign [N*m]
} hw_case_worst;

// Worst over the poses of a stroke that was run for this digit. Forces are proportional to
// `magnitude` [N]. HW_BAD_INPUT: no such case, or a negative or non-finite magnitude.
// HW_NO_ASSEMBLY: some poses do not close; the others count. Source: the family's statics. Test:
// test/stroke/test_cases.c
HW_MUST_USE hw_code hw_case_worst_of(const hw_digit *d, const hw_stroke *s, hw_case c,
                                     double magnitude, hw_case_worst *out); // [N]

// All cases at once, each pose worked out once: magnitude[HW_CASES] [N], out[HW_CASES]. Codes and
// values as hw_case_worst_of gives them one by one. Test: test/stroke/test_cases.c
HW_MUST_USE hw_code hw_case_worst_all(const hw_digit *d, const hw_stroke *s,
                                      const double magnitude[HW_CASES], // [N]
                                      hw_case_worst out[HW_CASES]);

#endif
