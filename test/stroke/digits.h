// Digits that several tests of the stroke room use: the science centre's index finger, and a
// proportional digit whose closing is known exactly.
#ifndef HW_TEST_DIGITS_H
#define HW_TEST_DIGITS_H

#include "../digit/random_digit.h"
#include "stroke/chart.h"

static inline hw_digit heron_index(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    d.phalanx[0] = 0.0456;
    d.phalanx[1] = 0.0266;
    d.phalanx[2] = 0.018;
    d.thickness[0] = 0.022;
    d.thickness[1] = 0.018;
    d.thickness[2] = 0.016;
    d.tip_thickness = 0.012;
    return d;
}

// Direct drive at a given MCP:PIP:DIP.
static inline hw_digit proportional(double mcp, double pip, double dip)
{
    hw_digit d = heron_index();
    d.family = HW_FAMILY_DIRECT;
    const double deg = HW_PI / 180;
    d.joint_travel[0][1] = mcp * deg;
    d.joint_travel[1][1] = pip * deg;
    d.joint_travel[2][1] = dip * deg;
    return d;
}

static inline hw_digit scaled(hw_digit d, double k)
{
    for (int j = 0; j < HW_JOINTS; j++) {
        d.phalanx[j] *= k;
        d.thickness[j] *= k;
    }
    for (int b = 0; b < 2; b++) {
        d.bar[b].root = hw_scale(d.bar[b].root, k);
        d.bar[b].horn *= k;
    }
    d.tip_thickness *= k;
    d.pivot_play *= k;
    d.pivot_radius *= k;
    return d;
}

#endif
