// JSON and aligned text.
#include "cli/cli_internal.h"

#include <math.h>
#include <string.h>

static void escaped(hw_buffer *b, hw_text t)
{
    hw_buffer_puts(b, "\"");
    for (size_t i = 0; i < t.len;) {
        unsigned char c = (unsigned char)t.at[i];
        size_t step = hw_utf8_step((hw_text){t.at + i, t.len - i});
        if (c == '"' || c == '\\')
            hw_buffer_format(b, "\\%c", c);
        else if (c == '\n')
            hw_buffer_puts(b, "\\n");
        else if (c == '\t')
            hw_buffer_puts(b, "\\t");
        else if (c < 0x20 || c == 0x7f) {
            static const char hex[] = "0123456789abcdef";
            char u[7] = {'\\', 'u', '0', '0', hex[c >> 4], hex[c & 15], 0};
            hw_buffer_puts(b, u);
        } else if (step == 0)
            hw_buffer_puts(b, "\\ufffd");
        else
            hw_buffer_put(b, (hw_text){t.at + i, step});
        i += step ? step : 1;
    }
    hw_buffer_puts(b, "\"");
}

static void lead(hw_jot *j, const char *key)
{
    if (j->started) hw_buffer_puts(j->to, j->flat ? ", " : ",");
    if (!j->flat && j->depth) {
        hw_buffer_puts(j->to, "\n");
        for (int i = 0; i < j->depth; i++) hw_buffer_puts(j->to, "  ");
    }
    if (key) {
        escaped(j->to, hw_text_of(key));
        hw_buffer_puts(j->to, ": ");
    }
    j->started = true;
}

void hw_jot_open(hw_jot *j, const char *key, char bracket)
{
    lead(j, key);
    hw_buffer_put(j->to, (hw_text){&bracket, 1});
    j->depth++;
    j->started = false;
}

void hw_jot_close(hw_jot *j, char bracket)
{
    j->depth--;
    if (j->started && !j->flat) {
        hw_buffer_puts(j->to, "\n");
        for (int i = 0; i < j->depth; i++) hw_buffer_puts(j->to, "  ");
    }
    hw_buffer_put(j->to, (hw_text){&bracket, 1});
    j->started = true;
    if (j->depth == 0) hw_buffer_puts(j->to, "\n");
}

void hw_jot_text(hw_jot *j, const char *key, hw_text value)
{
    lead(j, key);
    escaped(j->to, value);
}

void hw_jot_words(hw_jot *j, const char *key, const char *value)
{
    lead(j, key);
    if (value)
        escaped(j->to, hw_text_of(value));
    else
        hw_buffer_puts(j->to, "null");
}

static void number(hw_buffer *b, double value)
{
    if (isfinite(value))
        hw_buffer_number(b, value);
    else
        hw_buffer_puts(b, "null");
}

void hw_jot_number(hw_jot *j, const char *key, double value)
{
    lead(j, key);
    number(j->to, value);
}

void hw_jot_count(hw_jot *j, const char *key, size_t value)
{
    lead(j, key);
    hw_buffer_format(j->to, "%zu", value);
}

void hw_jot_flag(hw_jot *j, const char *key, bool value)
{
    lead(j, key);
    hw_buffer_puts(j->to, value ? "true" : "false");
}

void hw_jot_row(hw_jot *j, const char *key, const double *value, size_t n, double unit)
{
    lead(j, key);
    hw_buffer_puts(j->to, "[");
    for (size_t i = 0; i < n; i++) {
        if (i) hw_buffer_puts(j->to, ", ");
        number(j->to, value[i] / unit);
    }
    hw_buffer_puts(j->to, "]");
}

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
