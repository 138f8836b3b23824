// Posts and fins of a part that stands in layers that are too slender for a push at their tops.
#ifndef HW_SOLID_SLENDER_H
#define HW_SOLID_SLENDER_H

#include "base/arena.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

// Layers of places, x fastest, then y, then the layer; below 0 is inside.
typedef struct hw_slender_def {
    const float *value;
    int32_t n[2], layers;
    double cell; // of places and layers [m]
    double push; // of a force sideways, over the stress that its root may take: > 0 [m^2]
    const int32_t (*kept)[3][2]; // boxes, low and high place along x, y and the layers, in them
    size_t keeps;                // too: what stands in one of them stays
} hw_slender_def;

// The most slender of what stays for a box.
typedef struct hw_slender_post {
    double push;      // that it takes; infinite: no other stays [m^2]
    int32_t place[3]; // middle of its root
} hw_slender_post;

// What stands on a section whose modulus about its weak axis is less than the push times its height
// is marked, from there up: a beam held at its root. What is joined above stands on all its legs
// together. `gone` is as long as the places; *any: something is; *kept is told beside it.
// HW_NO_MEMORY. `work` is rewound. Source: bending of a cantilever, sigma = F h / W (Roark's
// Formulas for Stress and Strain, table 8.1, from memory). Test: test/solid/test_slender.c
HW_MUST_USE hw_code hw_slender_mark(hw_arena *work, const hw_slender_def *def, bool gone[],
                                    bool *any, hw_slender_post *kept);

#endif
