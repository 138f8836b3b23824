// What the families share; private to the digit room.
#ifndef HW_DIGIT_INTERNAL_H
#define HW_DIGIT_INTERNAL_H

#include "digit/digit.h"
#include "digit/loop.h"

extern const hw_digit_family hw_family_coupled_bars, hw_family_direct, hw_family_cord;

// hw_digit_check, and the loops of coupled bars that it has worked out on its way.
hw_digit_fault hw_digit_check_loops(const hw_digit *d, hw_loop l[2]);

// What is wrong with travel and bars.
hw_digit_fault hw_bars_check(const hw_digit *d, hw_loop l[2]);

// All NaN.
void hw_pose_nothing(hw_digit_pose *out);

// Fills `at` from the joint angles, and NaN for bars and transmission.
void hw_pose_place(const hw_digit *d, hw_digit_pose *out);

// Loads of each phalanx alone: total force [N] in the digit frame, and total moment about that
// phalanx's own joint, positive in flexion [N*m]. False: a load's phalanx does not exist.
bool hw_load_totals(const hw_digit_pose *p, const hw_load *load, size_t loads,
                    hw_vec2 force[HW_JOINTS], double moment[HW_JOINTS]); // [N*m]

// Loads carried outward of each joint: force on everything from that joint to the tip [N], and
// moment about that joint [N*m].
void hw_load_beyond(const hw_digit_pose *p, const hw_vec2 force[HW_JOINTS],
                    const double moment[HW_JOINTS], hw_vec2 beyond[HW_JOINTS], // [N*m]
                    double turning[HW_JOINTS]);                                // [N*m]

#endif
