// Numbers as text and text as numbers, the same on every machine and in every locale; UTF-8.
#ifndef HW_BASE_TEXT_H
#define HW_BASE_TEXT_H

#include "base/status.h"

// Longest text that hw_number_write makes, with its terminator.
#define HW_NUMBER_TEXT 32

// Reads the longest decimal number at the start of t (sign, digits, point, exponent; no hex, no
// "inf", no "nan"), correctly rounded. Returns the bytes used, 0 when there is no number. A value
// beyond the range of double gives +-HUGE_VAL [1] and is for the caller to refuse. Accuracy:
// nearest double, ties to even. Test: test/base/test_number.c
size_t hw_number_read(hw_text t, double *out); // [1]

// Writes the shortest decimal text that reads back to the same double; plain notation from 1e-5 to
// 1e15, else with exponent. NaN and infinities are written as "nan", "inf", "-inf" (a JSON writer
// must refuse them before). Returns the length. Test: test/base/test_number.c
size_t hw_number_write(double value, char out[HW_NUMBER_TEXT]); // [1]

// As hw_number_write, but rounded to at most `digits` significant digits (1 to 17): for tables that
// people read.
size_t hw_number_write_rounded(double value, int digits, char out[HW_NUMBER_TEXT]); // [1]

// As above with a fixed number of decimals (0 to 12), "-0.00" written "0.00": for aligned columns.
// Values of 1e15 and more are written as by hw_number_write. Both round the exact value, ties to
// even. Test: test/base/test_number.c
size_t hw_number_write_fixed(double value, int decimals, char out[HW_NUMBER_TEXT]); // [1]

// Length in bytes of the valid UTF-8 sequence at the start of t (1 to 4), 0 when it is not one
// (overlong, surrogate, cut).
size_t hw_utf8_step(hw_text t);

// Offset of the first byte that is not valid UTF-8; t.len when all is.
size_t hw_utf8_bad(hw_text t);

// Number of code points in t; bytes that are not UTF-8 count one each.
size_t hw_utf8_count(hw_text t);

// Edit distance (insert, delete, replace, swap of neighbours) between two names of at most 64
// bytes, for "nearest" suggestions; longer names give 64. Source: Damerau 1964, Levenshtein 1966,
// optimal string alignment. Test: test/base/test_text.c
size_t hw_text_distance(hw_text a, hw_text b);

// A growing text in an arena: appends are checked once at the end through hw_arena_failed.
struct hw_arena;
typedef struct hw_buffer {
    struct hw_arena *arena;
    char *at; // terminated when not NULL
    size_t len, capacity;
} hw_buffer;
void hw_buffer_put(hw_buffer *b, hw_text t);
void hw_buffer_puts(hw_buffer *b, const char *terminated);
void hw_buffer_number(hw_buffer *b, double value);             // [1]
void hw_buffer_count(hw_buffer *b, size_t n, const char *one); // "1 gap", "3 gaps"
// printf into the buffer. Only %s %d %zu %c %u: numbers with a point go through hw_buffer_number.
__attribute__((format(printf, 2, 3))) void hw_buffer_format(hw_buffer *b, const char *format, ...);

#endif
