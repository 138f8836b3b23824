// Aligned text.
#include "cli/cli_internal.h"

#include <math.h>

void hw_put_number(hw_buffer *b, double value)
{
    char text[HW_NUMBER_TEXT];
    if (isnan(value)) {
        hw_buffer_puts(b, "—");
        return;
    }
    hw_number_write_rounded(value, 4, text);
    hw_buffer_puts(b, text);
}

void hw_put_pad(hw_buffer *b, size_t from, size_t width)
{
    size_t n = b->at && b->len > from ? hw_utf8_count((hw_text){b->at + from, b->len - from}) : 0;
    for (; n < width; n++) hw_buffer_puts(b, " ");
}

void hw_put_cell(hw_buffer *b, const char *text, int width)
{
    size_t wide = (size_t)(width < 0 ? -width : width);
    size_t n = hw_utf8_count(hw_text_of(text));
    if (width < 0) hw_buffer_puts(b, text);
    for (; n < wide; n++) hw_buffer_puts(b, " ");
    if (width >= 0) hw_buffer_puts(b, text);
}
