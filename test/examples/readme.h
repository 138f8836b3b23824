// The page of the examples, for tests: its sections, rows, columns and numbers.
#ifndef HW_TEST_README_H
#define HW_TEST_README_H

#include "assessed.h"

#include <ctype.h>
#include <stdlib.h>

enum { NUMBERS = 16, COLUMNS = 4 };

typedef struct number {
    double value;
    int decimals;
} number;

typedef struct cell {
    number at[NUMBERS], thumb;
    size_t n;
    bool has_thumb, each, range;
    hw_text text;
} cell;

static inline bool has(hw_text t, const char *word)
{
    size_t len = strlen(word);
    for (size_t i = 0; i + len <= t.len; i++)
        if (memcmp(t.at + i, word, len) == 0) return true;
    return false;
}

static inline number number_at(const char *at, const char **end)
{
    char *after;
    number x = {strtod(at, &after), 0};
    for (const char *p = at; p < after; p++)
        if (*p == '.') x.decimals = (int)(after - p) - 1;
    *end = after;
    return x;
}

static inline bool starts_number(const char *at, const char *from)
{
    const char *digit = *at == '-' ? at + 1 : at;
    return isdigit((unsigned char)*digit) &&
           (at == from || !(isalnum((unsigned char)at[-1]) || at[-1] == '.'));
}

static inline cell cell_of(hw_text t)
{
    cell c = {.text = t, .each = has(t, " each"), .range = has(t, " to ")};
    const char *end = t.at + t.len;
    for (const char *p = t.at; p < end && c.n < NUMBERS;) {
        if (strncmp(p, "never", 5) == 0) {
            c.at[c.n++] = (number){(double)INFINITY, 0};
            p += 5;
        } else if (strncmp(p, "(thumb ", 7) == 0) {
            c.thumb = number_at(p + 7, &p);
            c.has_thumb = true;
        } else if (starts_number(p, t.at)) {
            c.at[c.n++] = number_at(p, &p);
        } else {
            p++;
        }
    }
    return c;
}

static inline size_t columns_of(hw_text line, hw_text out[COLUMNS])
{
    size_t n = 0;
    const char *end = line.at + line.len;
    for (const char *p = line.at + 1; p < end && n < COLUMNS;) {
        const char *bar = memchr(p, '|', (size_t)(end - p));
        if (!bar) bar = end;
        out[n++] = (hw_text){p, (size_t)(bar - p)};
        p = bar + 1;
    }
    return n;
}

// Whether a value is what was printed, to the place that was.
static inline bool same(double value, number x)
{
    if (isinf(x.value)) return value == x.value;
    double half = 0.5 * pow(10, -x.decimals);
    return fabs(value - x.value) <= half * (1 + 1e-9) + 1e-9 * fabs(value);
}

static inline hw_text section_of(const char *title)
{
    hw_text all = example_file(arena, "README.md");
    const char *from = strstr(all.at, title);
    if (!CHECK(from != NULL)) return (hw_text){all.at, 0};
    const char *to = strstr(from + 3, "\n## ");
    return (hw_text){from, to ? (size_t)(to - from) : (size_t)(all.at + all.len - from)};
}

#endif
