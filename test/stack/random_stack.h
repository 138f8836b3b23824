// Random digits with their layers, for property tests: coupled bars of all four layouts, direct
// digits, bars beside each other and astride.
#ifndef HW_TEST_RANDOM_STACK_H
#define HW_TEST_RANDOM_STACK_H

#include "../digit/random_digit.h"
#include "stack/stack.h"

static inline void random_stack(uint64_t *seed, hw_digit *d, hw_layers_def *f)
{
    *d = random_bars(seed);
    *f = hw_layers_def_default();
    for (int j = 0; j < HW_JOINTS; j++) {
        d->thickness[j] = random_between(seed, 0.010, 0.024);
        f->disc[j] = random_between(seed, 0.002, 0.005);
        d->joint_travel[j][0] = random_between(seed, -0.3, 0);
        d->joint_travel[j][1] = random_between(seed, 0.5, 2);
    }
    d->tip_thickness = random_between(seed, 0.006, 0.014);
    d->width = random_between(seed, 0.010, 0.020);
    f->gap = random_between(seed, 0.0001, 0.0005);
    f->web = random_between(seed, 0.001, 0.003);
    f->order = (hw_layer_order)random_between(seed, 0, 2.999);
    for (int b = 0; b < 2; b++) {
        f->count[b] = f->order == HW_ORDER_BESIDE             ? 1
                      : (f->order == HW_ORDER_B_ASTRIDE) == b ? 2
                                                              : 1;
        f->foot_at[b] = random_between(seed, 0.002, 0.02);
        f->foot_length[b] = random_between(seed, 0, 0.008);
    }
    if (random_between(seed, 0, 1) < 0.2) d->family = HW_FAMILY_DIRECT;
}

#endif
