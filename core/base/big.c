#include "base/big.h"

#include <string.h>

static void trim(hw_big *a)
{
    while (a->n && a->limb[a->n - 1] == 0) a->n--;
}

void hw_big_set(hw_big *a, uint64_t value)
{
    a->limb[0] = (uint32_t)value;
    a->limb[1] = (uint32_t)(value >> 32);
    a->n = 2;
    trim(a);
}

void hw_big_copy(hw_big *to, const hw_big *from)
{
    if (from->n) memcpy(to->limb, from->limb, from->n * sizeof from->limb[0]);
    to->n = from->n;
}

void hw_big_times_add(hw_big *a, uint32_t factor, uint32_t addend)
{
    uint64_t carry = addend;
    for (size_t i = 0; i < a->n; i++) {
        carry += (uint64_t)a->limb[i] * factor;
        a->limb[i] = (uint32_t)carry;
        carry >>= 32;
    }
    if (carry) a->limb[a->n++] = (uint32_t)carry;
}

void hw_big_times_pow5(hw_big *a, unsigned power)
{
    const uint32_t pow5_13 = 1220703125u; // the largest power of five in 32 bits
    for (; power >= 13; power -= 13) hw_big_times_add(a, pow5_13, 0);
    for (; power; power--) hw_big_times_add(a, 5, 0);
}

void hw_big_shift(hw_big *a, unsigned bits)
{
    if (a->n == 0 || bits == 0) return;
    size_t limbs = bits / 32;
    unsigned rest = bits % 32;
    a->limb[a->n] = 0;
    for (size_t i = a->n + 1; i-- > 0;) {
        uint64_t pair = (uint64_t)a->limb[i] << 32;
        if (i) pair |= a->limb[i - 1];
        a->limb[i + limbs] = (uint32_t)(pair >> (32 - rest));
    }
    memset(a->limb, 0, limbs * sizeof a->limb[0]);
    a->n += limbs + 1;
    trim(a);
}

void hw_big_add(hw_big *a, const hw_big *b)
{
    uint64_t carry = 0;
    size_t n = a->n > b->n ? a->n : b->n;
    for (size_t i = 0; i < n; i++) {
        carry += i < a->n ? a->limb[i] : 0u;
        carry += i < b->n ? b->limb[i] : 0u;
        a->limb[i] = (uint32_t)carry;
        carry >>= 32;
    }
    a->n = n;
    if (carry) a->limb[a->n++] = (uint32_t)carry;
}

void hw_big_subtract(hw_big *a, const hw_big *b)
{
    uint64_t borrow = 0;
    for (size_t i = 0; i < a->n; i++) {
        uint64_t take = borrow + (i < b->n ? b->limb[i] : 0u);
        borrow = a->limb[i] < take;
        a->limb[i] = (uint32_t)(a->limb[i] - take);
    }
    trim(a);
}

void hw_big_subtract_times(hw_big *a, const hw_big *b, uint32_t factor)
{
    uint64_t carry = 0, borrow = 0;
    for (size_t i = 0; i < a->n; i++) {
        carry += i < b->n ? (uint64_t)b->limb[i] * factor : 0u;
        uint64_t take = borrow + (uint32_t)carry;
        carry >>= 32;
        borrow = a->limb[i] < take;
        a->limb[i] = (uint32_t)(a->limb[i] - take);
    }
    trim(a);
}

int hw_big_compare(const hw_big *a, const hw_big *b)
{
    if (a->n != b->n) return a->n < b->n ? -1 : 1;
    for (size_t i = a->n; i-- > 0;)
        if (a->limb[i] != b->limb[i]) return a->limb[i] < b->limb[i] ? -1 : 1;
    return 0;
}

unsigned hw_big_bits(const hw_big *a)
{
    if (a->n == 0) return 0;
    unsigned top = 0;
    for (uint32_t x = a->limb[a->n - 1]; x; x >>= 1) top++;
    return (unsigned)(a->n - 1) * 32 + top;
}

uint32_t hw_big_divide_step(hw_big *a, const hw_big *b)
{
    hw_big_shift(a, 32);
    uint64_t high = a->n > b->n ? (uint64_t)a->limb[b->n] << 32 : 0;
    if (a->n >= b->n) high |= a->limb[b->n - 1];
    uint64_t guess = high / b->limb[b->n - 1]; // at most two too large, since b's top bit is set
    if (guess > UINT32_MAX) guess = UINT32_MAX;
    guess = guess > 2 ? guess - 2 : 0;
    hw_big_subtract_times(a, b, (uint32_t)guess);
    while (hw_big_compare(a, b) >= 0) { // at most three turns
        hw_big_subtract(a, b);
        guess++;
    }
    return (uint32_t)guess;
}
