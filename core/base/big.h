// Whole numbers of up to 5120 bits, for exact conversion between decimal and binary. Internal to
// base; the callers' bounds (see number_read.c, number_write.c) keep every result inside the room.
#ifndef HW_BASE_BIG_H
#define HW_BASE_BIG_H

#include "base/status.h"

enum { HW_BIG_LIMBS = 160 };

// Little endian, no leading zero limbs: zero has n == 0.
typedef struct hw_big {
    uint32_t limb[HW_BIG_LIMBS];
    size_t n;
} hw_big;

void hw_big_set(hw_big *a, uint64_t value);
void hw_big_copy(hw_big *to, const hw_big *from);                   // the limbs in use only
void hw_big_times_add(hw_big *a, uint32_t factor, uint32_t addend); // a = a * factor + addend
void hw_big_times_pow5(hw_big *a, unsigned power);
void hw_big_shift(hw_big *a, unsigned bits);                             // a = a * 2^bits
void hw_big_add(hw_big *a, const hw_big *b);                             // a = a + b
void hw_big_subtract(hw_big *a, const hw_big *b);                        // a = a - b, needs a >= b
void hw_big_subtract_times(hw_big *a, const hw_big *b, uint32_t factor); // needs a >= b * factor
int hw_big_compare(const hw_big *a, const hw_big *b);                    // sign of a - b
unsigned hw_big_bits(const hw_big *a); // position of the highest bit, 0 for zero

// One digit of a long division in base 2^32: q = floor(a * 2^32 / b), a becomes the remainder.
// Needs a < b and the top bit of b's top limb set. Source: Knuth, The Art of Computer Programming
// vol. 2, 4.3.1, algorithm D.
uint32_t hw_big_divide_step(hw_big *a, const hw_big *b);

#endif
