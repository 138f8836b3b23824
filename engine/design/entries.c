// Entries by index and by path.
#include "design/design_internal.h"

#include "base/text.h"

#include <string.h>

enum { DIGIT_ROWS = HW_E_ROWS - HW_E_SHARED_ROWS };

const char *const hw_digit_name[HW_DIGITS] = {"thumb", "index", "middle", "ring", "little"};

const hw_entry_row *hw_entry_rows(size_t *n)
{
    *n = HW_E_ROWS;
    return hw_entry_table;
}

size_t hw_entry_count(void)
{
    return (size_t)HW_E_SHARED_ROWS + (size_t)DIGIT_ROWS * HW_DIGITS;
}

hw_entry hw_entry_of(hw_entry_id row, int digit)
{
    int r = (int)row;
    if (r < 0 || r >= HW_E_ROWS) return -1;
    if (r < HW_E_SHARED_ROWS) return r;
    if (digit < 0 || digit >= HW_DIGITS) return -1;
    return HW_E_SHARED_ROWS + digit * DIGIT_ROWS + (r - HW_E_SHARED_ROWS);
}

const hw_entry_row *hw_entry_row_of(hw_entry e, int *digit)
{
    if (digit) *digit = -1;
    if (e < 0 || (size_t)e >= hw_entry_count()) return NULL;
    if (e < HW_E_SHARED_ROWS) return &hw_entry_table[e];
    if (digit) *digit = (e - HW_E_SHARED_ROWS) / DIGIT_ROWS;
    return &hw_entry_table[HW_E_SHARED_ROWS + (e - HW_E_SHARED_ROWS) % DIGIT_ROWS];
}

size_t hw_entry_path(hw_entry e, char out[HW_PATH_TEXT])
{
    int digit = -1;
    const hw_entry_row *row = hw_entry_row_of(e, &digit);
    size_t n = 0;
    const char *p = row ? (digit == 0 && row->thumb_path ? row->thumb_path : row->path) : "";
    for (; *p && n < HW_PATH_TEXT - 8; p++) {
        if (*p == '*' && digit >= 0) {
            size_t len = strlen(hw_digit_name[digit]);
            memcpy(out + n, hw_digit_name[digit], len);
            n += len;
        } else
            out[n++] = *p;
    }
    out[n] = '\0';
    return n;
}

// The digit named by the second part of "digits.NAME.rest", and where ".rest" begins; -1: none.
static int digit_in(hw_text path, size_t *rest)
{
    static const char lead[] = "digits.";
    size_t skip = sizeof lead - 1;
    if (path.len <= skip || memcmp(path.at, lead, skip) != 0) return -1;
    for (int d = 0; d < HW_DIGITS; d++) {
        size_t len = strlen(hw_digit_name[d]);
        if (path.len > skip + len && path.at[skip + len] == '.' &&
            memcmp(path.at + skip, hw_digit_name[d], len) == 0) {
            *rest = skip + len;
            return d;
        }
    }
    return -1;
}

hw_entry hw_entry_find(hw_text path)
{
    size_t rest = 0;
    if (path.len == 0) return -1;
    int digit = digit_in(path, &rest);
    int first = digit < 0 ? 0 : HW_E_SHARED_ROWS;
    int last = digit < 0 ? HW_E_SHARED_ROWS : HW_E_ROWS;
    hw_text tail = {path.at + rest, path.len - rest};
    for (int r = first; r < last; r++) {
        const hw_entry_row *row = &hw_entry_table[r];
        const char *name = digit == 0 && row->thumb_path ? row->thumb_path : row->path;
        if (digit >= 0) name += sizeof "digits.*" - 1;
        if (hw_text_same(hw_text_of(name), tail)) return hw_entry_of((hw_entry_id)r, digit);
    }
    return -1;
}

hw_text hw_entry_nearest(hw_text path, char out[HW_PATH_TEXT])
{
    size_t best = 64, limit = 1 + path.len / 4;
    hw_entry found = -1;
    for (hw_entry e = 0; (size_t)e < hw_entry_count(); e++) {
        char whole[HW_PATH_TEXT];
        size_t n = hw_entry_path(e, whole), d = 64;
        bool tail = n > path.len && path.len > 2 && whole[n - path.len - 1] == '.' &&
                    memcmp(whole + n - path.len, path.at, path.len) == 0;
        if (tail)
            d = 1; // the right name in the wrong place
        else if (n <= path.len + limit && path.len <= n + limit)
            d = hw_text_distance(path, (hw_text){whole, n});
        if (d < best && d <= limit) {
            best = d;
            found = e;
        }
    }
    out[0] = '\0';
    return (hw_text){out, found < 0 ? 0 : hw_entry_path(found, out)};
}
