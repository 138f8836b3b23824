// The reference of all entries as Markdown, from the table.
#include "design/design_internal.h"

#include "base/text.h"

#include <string.h>

static void put_range(hw_buffer *b, const hw_entry_row *row)
{
    if (row->type == HW_ENTRY_CHOICE) {
        for (const char *c = row->choices; *c; c++) {
            if (*c == '|')
                hw_buffer_puts(b, ", ");
            else
                hw_buffer_put(b, (hw_text){c, 1});
        }
        return;
    }
    if (row->type == HW_ENTRY_TEXT) hw_buffer_puts(b, "text");
    if (row->type == HW_ENTRY_NAME) {
        hw_buffer_puts(b, "an item of ");
        hw_buffer_puts(b, row->choices);
    }
    if (row->type != HW_ENTRY_NUMBER && row->type != HW_ENTRY_COUNT) return;
    char text[64];
    hw_buffer_puts(b, row->type == HW_ENTRY_COUNT ? "whole number, " : hw_dim_name(row->dim));
    if (row->type == HW_ENTRY_NUMBER) hw_buffer_puts(b, ", ");
    hw_quantity_text(row->low, row->dim, text);
    hw_buffer_puts(b, text);
    hw_buffer_puts(b, " to ");
    hw_quantity_text(row->high, row->dim, text);
    hw_buffer_puts(b, text);
}

static void put_default(hw_buffer *b, const hw_entry_row *row)
{
    bool by_digit = false;
    for (int d = 0; d < HW_DIGITS; d++) by_digit = by_digit || row->digit_fallback[d];
    if (row->fallback) {
        hw_buffer_puts(b, row->fallback[0] ? "`" : "empty");
        hw_buffer_puts(b, row->fallback);
        if (row->fallback[0]) hw_buffer_puts(b, "`");
    }
    if (!by_digit) return;
    bool first = !row->fallback;
    for (int d = 0; d < HW_DIGITS; d++) {
        if (!row->digit_fallback[d]) continue;
        if (!first) hw_buffer_puts(b, "; ");
        first = false;
        hw_buffer_puts(b, hw_digit_name[d]);
        hw_buffer_puts(b, " `");
        hw_buffer_puts(b, row->digit_fallback[d]);
        hw_buffer_puts(b, "`");
    }
}

void hw_entries_reference(hw_buffer *b)
{
    hw_buffer_puts(b, "| entry | what it is | takes | default | where the default is from |\n"
                      "|---|---|---|---|---|\n");
    for (int i = 0; i < HW_E_ROWS; i++) {
        const hw_entry_row *row = &hw_entry_table[i];
        hw_buffer_puts(b, "| `");
        hw_buffer_puts(b, row->path);
        hw_buffer_puts(b, "`");
        if (row->thumb_path) {
            hw_buffer_puts(b, " (thumb: `");
            hw_buffer_puts(b, strrchr(row->thumb_path, '*') + 2);
            hw_buffer_puts(b, "`)");
        }
        hw_buffer_puts(b, " | ");
        hw_buffer_puts(b, row->sentence);
        hw_buffer_puts(b, " | ");
        put_range(b, row);
        hw_buffer_puts(b, " | ");
        put_default(b, row);
        hw_buffer_puts(b, " | ");
        hw_buffer_puts(b, row->origin);
        hw_buffer_puts(b, " |\n");
    }
}
