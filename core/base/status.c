#include "base/status.h"

#include <string.h>

static const char *const code_name[HW_CODES] = {
    [HW_OK] = "done",
    [HW_BAD_INPUT] = "wrong input",
    [HW_NOT_FOUND] = "not found",
    [HW_NO_ASSEMBLY] = "does not assemble",
    [HW_NOT_CONVERGED] = "did not converge",
    [HW_LIMIT] = "limit reached",
    [HW_NO_MEMORY] = "out of memory",
    [HW_IO] = "reading or writing failed",
    [HW_CANCELLED] = "cancelled",
};

const char *hw_code_text(hw_code c)
{
    return (unsigned)c < HW_CODES ? code_name[c] : "unknown code";
}

hw_text hw_text_of(const char *terminated)
{
    if (!terminated) return (hw_text){NULL, 0};
    return (hw_text){terminated, strlen(terminated)};
}

bool hw_text_same(hw_text a, hw_text b)
{
    return a.len == b.len && (a.len == 0 || memcmp(a.at, b.at, a.len) == 0);
}

void hw_diag_add(hw_diags *d, hw_diag one)
{
    if (!d) return;
    if (d->count < d->capacity)
        d->item[d->count++] = one;
    else
        d->dropped++;
}

// Copies what fits, cutting before a code point rather than inside it.
static void copy_cut(char *to, size_t room, hw_text from)
{
    size_t n = from.len < room - 1 ? from.len : room - 1;
    if (n < from.len)
        while (n > 0 && ((unsigned char)from.at[n] & 0xC0u) == 0x80u) n--;
    if (n) memcpy(to, from.at, n);
    to[n] = '\0';
}

void hw_diag_say(hw_diags *d, hw_code code, const char *file, int line, int column, hw_text found,
                 hw_text expected, hw_text text)
{
    hw_diag one = {.code = code, .file = file, .line = line, .column = column};
    copy_cut(one.found, sizeof one.found, found);
    copy_cut(one.expected, sizeof one.expected, expected);
    copy_cut(one.text, sizeof one.text, text);
    hw_diag_add(d, one);
}
