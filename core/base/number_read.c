// Decimal text to the nearest double. Short numbers take one exact operation (Clinger 1990, "How to
// read floating point numbers accurately", PLDI); all others the exact quotient of whole numbers.
#include "base/big.h"
#include "base/text.h"

#include <math.h>
#include <string.h>

// Digits kept: a double and the midpoints between doubles have at most 767 significant digits, so
// that what follows can only break a tie.
enum { KEPT_DIGITS = 780, EXPONENT_BOUND = 100000000 };

typedef struct decimal {
    char digit[KEPT_DIGITS + 1]; // values 0 to 9, first not 0
    size_t digits;
    int64_t exponent; // value = digits as a whole number * 10^exponent
    bool negative;
} decimal;

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static void take_digit(decimal *d, char c, bool *more)
{
    if (d->digits == 0 && c == '0') return;
    if (d->digits < KEPT_DIGITS) {
        d->digit[d->digits++] = (char)(c - '0');
        return;
    }
    if (c != '0') *more = true;
    d->exponent++;
}

// Bytes of a complete exponent at t, 0 when there is none.
static size_t scan_exponent(hw_text t, int64_t *out)
{
    size_t i = 0;
    if (i >= t.len || (t.at[i] != 'e' && t.at[i] != 'E')) return 0;
    i++;
    bool negative = i < t.len && t.at[i] == '-';
    if (i < t.len && (t.at[i] == '-' || t.at[i] == '+')) i++;
    if (i >= t.len || !is_digit(t.at[i])) return 0;
    int64_t e = 0;
    for (; i < t.len && is_digit(t.at[i]); i++)
        if (e < EXPONENT_BOUND) e = e * 10 + (t.at[i] - '0');
    *out = negative ? -e : e;
    return i;
}

static size_t scan(hw_text t, decimal *d)
{
    size_t i = 0, seen = 0;
    bool more = false;
    if (i < t.len && (t.at[i] == '-' || t.at[i] == '+')) d->negative = t.at[i++] == '-';
    for (; i < t.len && is_digit(t.at[i]); i++, seen++) take_digit(d, t.at[i], &more);
    if (i < t.len && t.at[i] == '.') {
        size_t point = i++;
        for (; i < t.len && is_digit(t.at[i]); i++, seen++) {
            take_digit(d, t.at[i], &more);
            d->exponent--;
        }
        if (seen == 0) i = point;
    }
    if (seen == 0) return 0;
    int64_t e = 0;
    i += scan_exponent((hw_text){t.at + i, t.len - i}, &e);
    d->exponent += e;
    if (more) { // anything but 0 behind the kept digits: one digit 1 stands for all of it
        d->digit[d->digits++] = 1;
        d->exponent--;
    } else
        while (d->digits && d->digit[d->digits - 1] == 0) {
            d->digits--;
            d->exponent++;
        }
    return i;
}

// Nearest double to (q + a fraction when `sticky`) * 2^e, ties to even; q has its top bit set.
static double round_binary(uint64_t q, int e, bool sticky)
{
    int top = e + 63; // exponent of the leading bit
    if (top > 1023) return HUGE_VAL;
    int drop = top < -1022 ? 11 + (-1022 - top) : 11;
    if (drop > 64) return 0.0;
    uint64_t half = (uint64_t)1 << (drop - 1);
    uint64_t keep = drop == 64 ? 0 : q >> drop;
    uint64_t rest = drop == 64 ? q : q & ((half << 1) - 1);
    if (rest > half || (rest == half && (sticky || (keep & 1)))) keep++;
    return ldexp((double)keep, e + drop);
}

static double exact(const decimal *d)
{
    hw_big a, b;
    hw_big_set(&a, 0);
    for (size_t i = 0; i < d->digits; i++) hw_big_times_add(&a, 10, (uint32_t)d->digit[i]);
    hw_big_set(&b, 1);
    int e = (int)d->exponent; // 10^e = 5^e * 2^e
    if (e >= 0)
        hw_big_times_pow5(&a, (unsigned)e);
    else
        hw_big_times_pow5(&b, (unsigned)-e);
    // b's top limb full, a below b by one or two bits: two steps then give 62 or more bits.
    unsigned fill = (32 - hw_big_bits(&b) % 32) % 32;
    hw_big_shift(&b, fill);
    e += (int)fill;
    unsigned a_bits = hw_big_bits(&a), b_bits = hw_big_bits(&b);
    unsigned move = a_bits >= b_bits ? (a_bits - b_bits) / 32 + 1 : 0;
    hw_big_shift(&b, move * 32); // keeps the top limb full
    e += (int)(move * 32);
    unsigned raise = hw_big_bits(&b) - a_bits - 1;
    hw_big_shift(&a, raise);
    e -= (int)raise;
    uint64_t q = (uint64_t)hw_big_divide_step(&a, &b) << 32;
    q |= hw_big_divide_step(&a, &b);
    e -= 64;
    while (!(q >> 63)) { // at most two turns
        q <<= 1;
        e--;
    }
    return round_binary(q, e, a.n != 0);
}

static double value_of(const decimal *d)
{
    static const double pow10[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                   1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                   1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    if (d->digits == 0) return 0.0;
    int64_t top = d->exponent + (int64_t)d->digits; // value below 10^top, at least 10^(top-1)
    if (top > 310) return HUGE_VAL;
    if (top < -323) return 0.0; // below half the least double, 2.47e-324
    if (d->digits <= 15 && d->exponent >= -22 && d->exponent <= 22) {
        double whole = 0.0;
        for (size_t i = 0; i < d->digits; i++) whole = whole * 10.0 + d->digit[i];
        return d->exponent < 0 ? whole / pow10[-d->exponent] : whole * pow10[d->exponent];
    }
    return exact(d);
}

size_t hw_number_read(hw_text t, double *out)
{
    decimal d;
    d.digits = 0;
    d.exponent = 0;
    d.negative = false;
    size_t used = scan(t, &d);
    if (used == 0) return 0;
    double magnitude = value_of(&d);
    *out = d.negative ? -magnitude : magnitude;
    return used;
}
