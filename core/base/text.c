#include "base/text.h"
#include "base/arena.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

// Source: The Unicode Standard, table 3-7 "Well-formed UTF-8 byte sequences".
size_t hw_utf8_step(hw_text t)
{
    if (t.len == 0) return 0;
    const unsigned char *b = (const unsigned char *)t.at;
    if (b[0] < 0x80) return 1;
    size_t n;
    unsigned low = 0x80, high = 0xBF; // allowed range of the second byte
    if (b[0] >= 0xC2 && b[0] <= 0xDF) {
        n = 2;
    } else if (b[0] >= 0xE0 && b[0] <= 0xEF) {
        n = 3;
        if (b[0] == 0xE0) low = 0xA0;
        if (b[0] == 0xED) high = 0x9F; // surrogates
    } else if (b[0] >= 0xF0 && b[0] <= 0xF4) {
        n = 4;
        if (b[0] == 0xF0) low = 0x90;
        if (b[0] == 0xF4) high = 0x8F;
    } else {
        return 0;
    }
    if (t.len < n || b[1] < low || b[1] > high) return 0;
    for (size_t i = 2; i < n; i++)
        if ((b[i] & 0xC0u) != 0x80u) return 0;
    return n;
}

size_t hw_utf8_bad(hw_text t)
{
    size_t i = 0;
    while (i < t.len) {
        size_t step = hw_utf8_step((hw_text){t.at + i, t.len - i});
        if (step == 0) return i;
        i += step;
    }
    return t.len;
}

size_t hw_utf8_count(hw_text t)
{
    size_t count = 0;
    for (size_t i = 0; i < t.len; count++) {
        size_t step = hw_utf8_step((hw_text){t.at + i, t.len - i});
        i += step ? step : 1;
    }
    return count;
}

enum { LONGEST_NAME = 64 };

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

size_t hw_text_distance(hw_text a, hw_text b)
{
    if (a.len > LONGEST_NAME || b.len > LONGEST_NAME) return LONGEST_NAME;
    size_t row[3]
              [LONGEST_NAME + 1]; // this row of the table, the one before and the one before that
    size_t *now = row[0], *last = row[1], *older = row[2];
    for (size_t j = 0; j <= b.len; j++) now[j] = j;
    for (size_t i = 1; i <= a.len; i++) {
        size_t *spare = older;
        older = last;
        last = now;
        now = spare;
        now[0] = i;
        for (size_t j = 1; j <= b.len; j++) {
            size_t replace = last[j - 1] + (a.at[i - 1] != b.at[j - 1]);
            now[j] = least(replace, least(last[j], now[j - 1]) + 1);
            bool swapped =
                i > 1 && j > 1 && a.at[i - 1] == b.at[j - 2] && a.at[i - 2] == b.at[j - 1];
            if (swapped) now[j] = least(now[j], older[j - 2] + 1);
        }
    }
    return now[b.len];
}

// Room for `more` bytes and a terminator; false when the arena failed.
static bool reserve(hw_buffer *b, size_t more)
{
    if (hw_arena_failed(b->arena)) return false;
    if (b->capacity - b->len > more) return true;
    size_t capacity = b->capacity ? b->capacity : 64;
    while (capacity - b->len <= more && capacity <= SIZE_MAX / 2) capacity *= 2;
    if (capacity - b->len <= more) capacity = SIZE_MAX; // more than there is: the arena refuses it
    char *grown = HW_NEW(b->arena, char, capacity);
    if (!grown) return false;
    if (b->len) memcpy(grown, b->at, b->len);
    b->at = grown;
    b->capacity = capacity;
    return true;
}

void hw_buffer_put(hw_buffer *b, hw_text t)
{
    if (!reserve(b, t.len)) return;
    if (t.len) memcpy(b->at + b->len, t.at, t.len);
    b->len += t.len;
    b->at[b->len] = '\0';
}

void hw_buffer_puts(hw_buffer *b, const char *terminated)
{
    hw_buffer_put(b, hw_text_of(terminated));
}

void hw_buffer_count(hw_buffer *b, size_t n, const char *one)
{
    hw_buffer_format(b, "%zu %s%s", n, one, n == 1 ? "" : "s");
}

void hw_buffer_number(hw_buffer *b, double value)
{
    char text[HW_NUMBER_TEXT];
    size_t n = hw_number_write(value, text);
    hw_buffer_put(b, (hw_text){text, n});
}

void hw_buffer_format(hw_buffer *b, const char *format, ...)
{
    va_list list, again;
    va_start(list, format);
    va_copy(again, list);
    int n = vsnprintf(NULL, 0, format, list);
    if (n >= 0 && reserve(b, (size_t)n)) {
        (void)vsnprintf(b->at + b->len, (size_t)n + 1, format, again);
        b->len += (size_t)n;
    }
    va_end(again);
    va_end(list);
}
