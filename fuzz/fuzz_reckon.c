// A formula (first byte) with arguments from any bytes, parted by '|': a code and messages, results
// that are numbers or words.
#include "reckon/reckon.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_results(const hw_reckon_result *out, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!out[i].text && !isfinite(out[i].value)) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    enum { ARGS = 16, MESSAGES = 8 };
    if (size < 1) return 0;
    size_t rows;
    const hw_reckon_row *row = hw_reckon_rows(&rows) + data[0] % 32;
    if (data[0] % 32u >= rows) return 0;
    hw_reckon_arg arg[ARGS];
    size_t args = 0;
    const char *at = (const char *)data + 1, *end = (const char *)data + size;
    while (at < end && args < ARGS) { // each turn takes at least one byte
        const char *cut = memchr(at, '|', (size_t)(end - at));
        size_t len = (size_t)((cut ? cut : end) - at);
        if (hw_reckon_split((hw_text){at, len}, &arg[args])) args++;
        at += len + 1;
    }
    hw_diag message[MESSAGES];
    hw_diags diags = {message, 0, MESSAGES, 0};
    hw_reckon_result out[HW_RECKON_RESULTS];
    size_t n;
    hw_arena *arena = hw_arena_new(0);
    if (!arena) return 0;
    hw_code code = hw_reckon_eval(row, arg, args, arena, out, HW_RECKON_RESULTS, &n, &diags);
    if (n > HW_RECKON_RESULTS) abort();
    if (code == HW_BAD_INPUT && diags.count == 0) abort(); // every fault has its words
    check_results(out, n);
    hw_arena_free(arena);
    return 0;
}
