// Double to decimal text: exact digits by whole-number arithmetic. Source: Burger & Dybvig 1996,
// "Printing floating-point numbers quickly and accurately", PLDI (the free-format algorithm), and
// plain long division for a given number of digits.
#include "base/big.h"
#include "base/text.h"

#include <math.h>
#include <string.h>

enum { MOST_DIGITS = 32 };

// 0.d1d2d3... * 10^point
typedef struct digits {
    char at[MOST_DIGITS]; // '0' to '9'
    int n;
    int point;
} digits;

// value = r / s; up and down are half the gaps to the neighbouring doubles, over the same s.
typedef struct ratio {
    hw_big r, s, up, down;
    bool even; // the neighbours' midpoints read back to this value
    int point;
} ratio;

static void times_pow10(hw_big *a, unsigned power)
{
    hw_big_times_pow5(a, power);
    hw_big_shift(a, power);
}

// value > 0 and finite. Leaves r/s in [1/10, 1) up to the last unit, with `point` its power of ten.
static void ratio_of(double value, ratio *x)
{
    int e2;
    double fraction = frexp(value, &e2);
    uint64_t f = (uint64_t)ldexp(fraction, 53);
    int e = e2 - 53;
    if (e < -1074) { // denormal: fewer bits
        f >>= -1074 - e;
        e = -1074;
    }
    bool edge = f == (uint64_t)1 << 52 && e > -1074; // the gap below is half the gap above
    hw_big_set(&x->r, f);
    hw_big_set(&x->s, 1);
    hw_big_set(&x->up, 1);
    hw_big_set(&x->down, 1);
    unsigned extra = edge ? 2 : 1;
    hw_big_shift(&x->r, extra + (e > 0 ? (unsigned)e : 0));
    hw_big_shift(&x->s, extra + (e < 0 ? (unsigned)-e : 0));
    hw_big_shift(&x->up, extra - 1 + (e > 0 ? (unsigned)e : 0));
    hw_big_shift(&x->down, e > 0 ? (unsigned)e : 0);
    x->even = (f & 1) == 0;
    x->point = (int)ceil(log10(value) - 1e-10); // at most one too small: mended by the caller
    if (x->point >= 0) {
        times_pow10(&x->s, (unsigned)x->point);
    } else {
        times_pow10(&x->r, (unsigned)-x->point);
        times_pow10(&x->up, (unsigned)-x->point);
        times_pow10(&x->down, (unsigned)-x->point);
    }
}

// Moves the ratio so that the top limb of s has 28 bits: ten times a rest then has as many limbs as
// s, and a digit can be estimated from the top limbs alone.
static void align(ratio *x)
{
    unsigned move = (32 + 28 - hw_big_bits(&x->s) % 32) % 32;
    hw_big_shift(&x->r, move);
    hw_big_shift(&x->s, move);
    hw_big_shift(&x->up, move);
    hw_big_shift(&x->down, move);
}

// Next digit of r/s, aligned; r becomes the rest.
static int next_digit(ratio *x)
{
    hw_big_times_add(&x->r, 10, 0);
    size_t n = x->s.n;
    uint32_t d = x->r.n == n ? x->r.limb[n - 1] / (x->s.limb[n - 1] + 1) : 0;
    hw_big_subtract_times(&x->r, &x->s, d);
    while (hw_big_compare(&x->r, &x->s) >= 0) { // at most one turn
        hw_big_subtract(&x->r, &x->s);
        d++;
    }
    return (int)d;
}

// Adds one unit to the last digit.
static void round_up(digits *out)
{
    int i = out->n;
    while (i > 0 && out->at[i - 1] == '9') out->at[--i] = '0';
    if (i > 0) {
        out->at[i - 1]++;
        return;
    }
    out->at[0] = '1';
    if (out->n == 0) out->n = 1;
    out->point++;
}

static bool reaches_next(const ratio *x)
{
    hw_big sum;
    hw_big_copy(&sum, &x->r);
    hw_big_add(&sum, &x->up);
    int order = hw_big_compare(&sum, &x->s);
    return order > 0 || (order == 0 && x->even);
}

static void shortest(double value, digits *out)
{
    ratio x;
    ratio_of(value, &x);
    if (reaches_next(&x)) {
        hw_big_times_add(&x.s, 10, 0);
        x.point++;
    }
    align(&x);
    out->point = x.point;
    for (out->n = 0; out->n < MOST_DIGITS;) { // ends after 17 digits at most
        int d = next_digit(&x);
        hw_big_times_add(&x.up, 10, 0);
        hw_big_times_add(&x.down, 10, 0);
        int below = hw_big_compare(&x.r, &x.down);
        bool low = below < 0 || (below == 0 && x.even);
        bool high = reaches_next(&x);
        out->at[out->n++] = (char)('0' + d);
        if (!low && !high) continue;
        hw_big twice;
        hw_big_copy(&twice, &x.r);
        hw_big_shift(&twice, 1);
        int middle = hw_big_compare(&twice, &x.s); // nearer digit; a tie goes to the even one
        if (high && (!low || middle > 0 || (middle == 0 && (d & 1)))) round_up(out);
        return;
    }
}

// The first n digits (n <= 0: none), or those up to `decimals` behind the point when n < 0;
// nearest, ties to even.
static void rounded(double value, int n, int decimals, digits *out)
{
    ratio x;
    ratio_of(value, &x);
    if (hw_big_compare(&x.r, &x.s) >= 0) {
        hw_big_times_add(&x.s, 10, 0);
        x.point++;
    }
    align(&x);
    out->point = x.point;
    out->n = 0;
    if (n < 0) n = x.point + decimals;
    if (n < 0) return; // less than a tenth of the last place
    if (n > MOST_DIGITS) n = MOST_DIGITS;
    while (out->n < n) out->at[out->n++] = (char)('0' + next_digit(&x));
    hw_big_shift(&x.r, 1);
    int order = hw_big_compare(&x.r, &x.s);
    bool odd = out->n && (out->at[out->n - 1] & 1);
    if (order > 0 || (order == 0 && odd)) round_up(out);
}

static size_t put_text(char *out, const char *text)
{
    size_t n = strlen(text);
    memcpy(out, text, n + 1);
    return n;
}

// True when there is nothing but a word to write.
static bool write_word(double value, char *out, size_t *n)
{
    if (isnan(value))
        *n = put_text(out, "nan");
    else if (isinf(value))
        *n = put_text(out, value > 0 ? "inf" : "-inf");
    else if (value == 0)
        *n = put_text(out, signbit(value) ? "-0" : "0");
    else
        return false;
    return true;
}

static size_t write_plain(const digits *d, size_t i, char *out)
{
    if (d->point <= 0) {
        out[i++] = '0';
        out[i++] = '.';
        for (int k = d->point; k < 0; k++) out[i++] = '0';
    }
    for (int k = 0; k < d->n || k < d->point; k++) {
        if (k == d->point && k > 0) out[i++] = '.';
        out[i++] = k < d->n ? d->at[k] : '0';
    }
    out[i] = '\0';
    return i;
}

static size_t write_exponent(const digits *d, size_t i, char *out)
{
    out[i++] = d->at[0];
    if (d->n > 1) out[i++] = '.';
    for (int k = 1; k < d->n; k++) out[i++] = d->at[k];
    out[i++] = 'e';
    int e = d->point - 1;
    if (e < 0) out[i++] = '-';
    unsigned m = (unsigned)(e < 0 ? -e : e);
    if (m >= 100) out[i++] = (char)('0' + m / 100);
    if (m >= 10) out[i++] = (char)('0' + m / 10 % 10);
    out[i++] = (char)('0' + m % 10);
    out[i] = '\0';
    return i;
}

static size_t write_digits(digits *d, bool negative, char *out)
{
    while (d->n > 1 && d->at[d->n - 1] == '0') d->n--;
    size_t i = 0;
    if (negative) out[i++] = '-';
    bool plain = d->point > -5 && d->point <= 15; // 1e-5 to below 1e15
    return plain ? write_plain(d, i, out) : write_exponent(d, i, out);
}

size_t hw_number_write(double value, char out[HW_NUMBER_TEXT])
{
    size_t n;
    if (write_word(value, out, &n)) return n;
    digits d;
    shortest(fabs(value), &d);
    return write_digits(&d, value < 0, out);
}

size_t hw_number_write_rounded(double value, int digits_kept, char out[HW_NUMBER_TEXT])
{
    size_t n;
    if (write_word(value == 0 ? 0 : value, out, &n)) return n; // no "-0" for people
    int keep = digits_kept < 1 ? 1 : digits_kept > 17 ? 17 : digits_kept;
    digits d;
    rounded(fabs(value), keep, 0, &d);
    return write_digits(&d, value < 0, out);
}

size_t hw_number_write_fixed(double value, int decimals, char out[HW_NUMBER_TEXT])
{
    if (!isfinite(value) || fabs(value) >= 1e15) return hw_number_write(value, out);
    int keep = decimals < 0 ? 0 : decimals > 12 ? 12 : decimals;
    digits d = {.n = 0};
    if (value != 0) rounded(fabs(value), -1, keep, &d);
    size_t i = 0;
    if (value < 0 && d.n) out[i++] = '-';
    int whole = d.n && d.point > 0 ? d.point : 0;
    if (whole == 0) out[i++] = '0';
    for (int k = 0; k < whole; k++) out[i++] = k < d.n ? d.at[k] : '0';
    if (keep) out[i++] = '.';
    for (int k = 0; k < keep; k++) { // place k behind the point is digit number point + k
        int at = d.point + k;
        out[i++] = d.n && at >= 0 && at < d.n ? d.at[at] : '0';
    }
    out[i] = '\0';
    return i;
}
