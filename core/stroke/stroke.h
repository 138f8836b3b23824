// A digit over its whole travel: joint angles, tip path, pin loads per load case, natural closing,
// wrap chart, joint slop.
#ifndef HW_STROKE_H
#define HW_STROKE_H

#include "digit/digit.h"

// n poses as a structure of arrays, each n long, caller's or arena's. Where ok[i] is 0 the other
// values at i are NaN.
typedef struct hw_stroke {
    size_t n;
    double *s;                // [1]
    double *joint[HW_JOINTS]; // [rad]
    double *tip_x, *tip_z;    // [m]
    double *transmission[2];  // [rad]
    double *bar[2];           // for the unit load, tension positive [N]
    double *pin[HW_JOINTS];   // magnitudes for the unit load [N]
    double *torque;           // for the unit load [N*m]
    uint8_t *ok;
    hw_digit_pose *pose; // and what the family said of each, where hw_stroke_keep put them; or NULL
    hw_code *closes;
} hw_stroke;

// Room for n poses in the arena. HW_NO_MEMORY.
HW_MUST_USE hw_code hw_stroke_new(hw_arena *a, size_t n, hw_stroke *out);

// Fills a stroke of n equally spaced poses, both ends included, for a load of 1 N at the distal end
// on the phalanx's axis, square to it, pushing the digit open. HW_NO_ASSEMBLY: some poses do not
// close (ok tells which); the others are filled.
HW_MUST_USE hw_code hw_stroke_run(const hw_digit *d, hw_stroke *out);

// Works every pose out once and keeps it, for all that is asked of this stroke and this very digit.
// HW_NO_MEMORY: nothing is kept, and all goes on as before. Test: test/stroke/test_stroke.c
HW_MUST_USE hw_code hw_stroke_keep(hw_arena *a, const hw_digit *d, hw_stroke *s);

// Pose i, kept or not: as the family's own pose at s->s[i]. HW_BAD_INPUT: no such family, too.
hw_code hw_stroke_pose(const hw_digit *d, const hw_stroke *s, size_t i, hw_digit_pose *out);

#endif
