// Random coupled-bars digits for property tests: all four layouts of root and horn for each bar,
// one in a hundred with a bar within a degree of its dead point in the straight digit.
#ifndef HW_TEST_RANDOM_DIGIT_H
#define HW_TEST_RANDOM_DIGIT_H

#include "digit/digit.h"

#include <math.h>

// splitmix64, Steele, Lea & Flood 2014: one word of state is enough for a test.
static inline double random_between(uint64_t *state, double low, double high)
{
    uint64_t z = (*state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    z ^= z >> 31;
    return low + (high - low) * (double)(z >> 11) * 0x1p-53;
}

static inline hw_digit random_bars(uint64_t *state)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    for (int i = 0; i < HW_JOINTS; i++) d.phalanx[i] = random_between(state, 0.015, 0.055);
    d.travel[0] = random_between(state, -0.2, 0);
    d.travel[1] = random_between(state, 0.8, 1.6);
    int layout = (int)random_between(state, 0, 16);
    bool near = random_between(state, 0, 1) < 0.01;
    int near_bar = (int)random_between(state, 0, 2);
    for (int i = 0; i < 2; i++) {
        hw_bar *b = &d.bar[i];
        double up = layout >> (2 * i) & 1 ? 1 : -1, over = layout >> (2 * i) & 2 ? 1 : -1;
        b->root.x = random_between(state, -0.008, 0.008);
        b->root.z = up * random_between(state, 0.001, 0.008);
        b->horn = random_between(state, 0.003, 0.008);
        b->horn_angle = over * random_between(state, 0.05 * HW_PI, 0.95 * HW_PI);
        if (near && i == near_bar) {
            double line = atan2(b->root.z, b->root.x - d.phalanx[i]);
            double off = random_between(state, -1, 1) * HW_PI / 180;
            b->horn_angle = line + off + (over > 0 ? 0 : HW_PI);
        }
    }
    return d;
}

#endif
