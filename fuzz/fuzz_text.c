// Numbers, units and UTF-8 from any bytes: nothing is read past the end, numbers agree with the C
// library's strtod, and what is written reads back.
#include "base/text.h"
#include "base/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void expect(bool ok)
{
    if (!ok) abort();
}

static bool same_bits(double a, double b)
{
    uint64_t x, y;
    memcpy(&x, &a, sizeof x);
    memcpy(&y, &b, sizeof y);
    return x == y;
}

static void number(hw_text t)
{
    double got = 0;
    size_t used = hw_number_read(t, &got);
    expect(used <= t.len);
    if (used == 0) return;
    char *copy = malloc(used + 1);
    if (!copy) return;
    memcpy(copy, t.at, used);
    copy[used] = '\0';
    char *end;
    double want = strtod(copy, &end);
    expect(end == copy + used && same_bits(got, want));
    free(copy);
}

static void number_and_back(const uint8_t *data, size_t size)
{
    double x, y = 0;
    if (size < sizeof x) return;
    memcpy(&x, data, sizeof x);
    if (!isfinite(x)) return;
    char text[HW_NUMBER_TEXT];
    size_t n = hw_number_write(x, text);
    expect(n < HW_NUMBER_TEXT && hw_number_read((hw_text){text, n}, &y) == n && same_bits(x, y));
    expect(hw_number_write_rounded(x, data[0] % 20, text) < HW_NUMBER_TEXT);
    expect(hw_number_write_fixed(x, data[1] % 16, text) < HW_NUMBER_TEXT);
}

static void unit(hw_text t)
{
    hw_unit u;
    size_t used;
    hw_code code = hw_unit_read(t, &u, &used);
    expect(used <= t.len && (code == HW_OK) == (used > 0));
    char text[HW_DIM_TEXT];
    expect(hw_dim_write(u.dim, text) < HW_DIM_TEXT);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    hw_text t = {(const char *)data, size};
    number(t);
    number_and_back(data, size);
    unit(t);
    size_t bad = hw_utf8_bad(t), count = hw_utf8_count(t);
    expect(bad <= size && count <= size && (size == 0 || count > 0));
    size_t half = size / 2;
    size_t d = hw_text_distance((hw_text){t.at, half}, (hw_text){t.at + half, size - half});
    expect(d <= 64);
    return 0;
}
