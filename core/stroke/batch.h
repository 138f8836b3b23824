// Whole strokes of many coupled-bars digits at once: surveys, tuning, tolerance.
#ifndef HW_STROKE_BATCH_H
#define HW_STROKE_BATCH_H

#include "stroke/stroke.h"

typedef enum hw_stroke_build {
    HW_STROKE_FASTEST, // what this processor takes
    HW_STROKE_PLAIN    // the build for any machine: the same bits, for tests and measurements
} hw_stroke_build;

// Runs `poses` equally spaced poses of each of `digits` digits for the unit load of the stroke.
// Every array of `out` is digits * poses long, digit by digit, except s, which is poses long; both
// transmission arrays may be NULL (a fifth faster). *closed: how many poses close. The same bits
// for either build and however the digits are split over calls and threads (no state is kept).
// HW_BAD_INPUT: some digit is not of coupled bars, has a fault, or travels beyond 1e5 rad; its
// values are NaN. HW_NO_ASSEMBLY: some poses do not close. The others are filled in either case.
// Accuracy: as the family's pose and statics, sine and angle to 2.5e-16 of 1 rad more. Source:
// docs/derivations/bars.md, docs/decisions/0004-hot-loop.md. Test: test/stroke/test_batch.c
HW_MUST_USE hw_code hw_stroke_batch(const hw_digit d[], size_t digits, size_t poses,
                                    hw_stroke_build build, hw_stroke *out, size_t *closed);

// Stroke parameter of pose i of n: 0 for a single one. [1]
double hw_stroke_parameter(size_t i, size_t n); // [1]

#endif
