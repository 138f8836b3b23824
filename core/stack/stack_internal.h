// Shared by the files of this room only.
#ifndef HW_STACK_INTERNAL_H
#define HW_STACK_INTERNAL_H

#include "stack/stack.h"

// How two plates face each other: the direction, in the first one's frame, along which they are
// farthest apart, and how far.
typedef struct hw_facing {
    double gap;        // [m]
    hw_vec2 direction; // from the first to the second, unit [1]
} hw_facing;

// A frame as seen from another.
static inline hw_place hw_place_seen(hw_place from, hw_place other)
{
    hw_vec2 off = hw_sub(other.at, from.at);
    return (hw_place){hw_flex(off, from.c, -from.s), from.c * other.c + from.s * other.s,
                      other.s * from.c - other.c * from.s};
}

// Centres of a plate's discs, its frame seen from elsewhere.
void hw_slab_seen(const hw_slab *b, hw_place seen, hw_vec2 at[]);

hw_facing hw_slabs_facing(const hw_slab *a, const hw_slab *b, hw_place seen);

// How far a plate reaches along a direction in its own frame. [m]
double hw_slab_support(const hw_slab *p, hw_vec2 u); // [1]

#endif
