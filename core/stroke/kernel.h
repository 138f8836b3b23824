// The hot loop of coupled bars: a block of poses of one digit, for the unit load. Private to the
// stroke room. + - * / and square roots only, and no multiply-add, so that every build gives the
// same bits; built once for any machine and once for 256-bit registers (docs/decisions/0004).
#ifndef HW_STROKE_KERNEL_H
#define HW_STROKE_KERNEL_H

#include "digit/loop.h"

enum { HW_KERNEL_BLOCK = 64 };

// Largest driven angle for which the sine's reduction is exact; beyond it callers go pose by pose.
#define HW_KERNEL_REACH 1e5 // [rad]

typedef struct hw_kernel_digit {
    hw_loop loop[2];
    double proximal, distal; // phalanx lengths [m]
    double start, span;      // of the driven knuckle [rad]
} hw_kernel_digit;

// Where results go, each for n values; NaN where ok is 0. transmission[] may be NULL, both or none.
typedef struct hw_kernel_out {
    double *joint[HW_JOINTS]; // [rad], joints 1 and 2 folded into -pi to pi
    double *tip_x, *tip_z;    // [m]
    double *transmission[2];  // [rad]
    double *bar[2];           // [N]
    double *pin[HW_JOINTS];   // [N]
    double *torque;           // [N*m]
    uint8_t *ok;
} hw_kernel_out;

// Folded joint angles within the first and with steps below the second, in a digit that closes
// throughout and whose travel holds the straight pose, are the counted ones: a turn could only be
// lost by a step between 2 pi - 2 * 1.9 = 2.48 and 2 pi - 1 rad, which folds to more than 1.
#define HW_KERNEL_TURNED 1.9 // [rad]
#define HW_KERNEL_STEP   1.0 // [rad]

// n <= HW_KERNEL_BLOCK poses at stroke parameters s. True: some pose does not close, or an angle of
// joints 1 and 2 passes the limits above.
typedef bool hw_kernel(const hw_kernel_digit *d, size_t n, const double *s, // [1]
                       const hw_kernel_out *out);
hw_kernel hw_kernel_plain, hw_kernel_wide;

// The build that this processor takes, or the plain one when `plain` is asked for.
hw_kernel *hw_kernel_choose(bool plain);

#endif
