// JSON text. RFC 8259: strings escaped, numbers finite.
#include "report/json.h"

#include <math.h>

static void put_string(hw_buffer *b, const char *value)
{
    static const char hex[] = "0123456789abcdef";
    hw_text t = hw_text_of(value);
    hw_buffer_puts(b, "\"");
    for (size_t i = 0, step; i < t.len; i += step ? step : 1) {
        unsigned char c = (unsigned char)t.at[i];
        step = hw_utf8_step((hw_text){t.at + i, t.len - i});
        if (step == 0)
            hw_buffer_puts(b, "\xef\xbf\xbd"); // not UTF-8: the replacement character
        else if (c == '"' || c == '\\')
            hw_buffer_format(b, "\\%c", c);
        else if (c < ' ')
            hw_buffer_format(b, "\\u00%c%c", hex[c >> 4], hex[c & 15]);
        else
            hw_buffer_put(b, (hw_text){t.at + i, step});
    }
    hw_buffer_puts(b, "\"");
}

static void lead(hw_json *j, const char *key)
{
    if (j->started) hw_buffer_puts(j->to, ",");
    if (j->depth) hw_buffer_puts(j->to, "\n");
    for (int i = 0; i < j->depth; i++) hw_buffer_puts(j->to, "  ");
    if (key) {
        put_string(j->to, key);
        hw_buffer_puts(j->to, ": ");
    }
    j->started = true;
}

void hw_json_open(hw_json *j, const char *key, char bracket)
{
    lead(j, key);
    hw_buffer_put(j->to, (hw_text){&bracket, 1});
    j->depth++;
    j->started = false;
}

void hw_json_close(hw_json *j, char bracket)
{
    j->depth--;
    if (j->started) {
        hw_buffer_puts(j->to, "\n");
        for (int i = 0; i < j->depth; i++) hw_buffer_puts(j->to, "  ");
    }
    hw_buffer_put(j->to, (hw_text){&bracket, 1});
    j->started = true;
    if (j->depth == 0) hw_buffer_puts(j->to, "\n");
}

void hw_json_text(hw_json *j, const char *key, const char *value)
{
    lead(j, key);
    if (value)
        put_string(j->to, value);
    else
        hw_buffer_puts(j->to, "null");
}

static void put_number(hw_buffer *b, double value)
{
    if (isfinite(value))
        hw_buffer_number(b, value);
    else
        hw_buffer_puts(b, "null");
}

void hw_json_number(hw_json *j, const char *key, double value)
{
    lead(j, key);
    put_number(j->to, value);
}

void hw_json_count(hw_json *j, const char *key, size_t value)
{
    lead(j, key);
    hw_buffer_format(j->to, "%zu", value);
}

void hw_json_flag(hw_json *j, const char *key, bool value)
{
    lead(j, key);
    hw_buffer_puts(j->to, value ? "true" : "false");
}

void hw_json_row(hw_json *j, const char *key, const double *row, size_t n, double k)
{
    lead(j, key);
    hw_buffer_puts(j->to, row ? "[" : "null");
    for (size_t i = 0; row && i < n; i++) {
        if (i) hw_buffer_puts(j->to, ", ");
        put_number(j->to, k * row[i]);
    }
    if (row) hw_buffer_puts(j->to, "]");
}
