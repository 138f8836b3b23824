// Bytes, numbers and text as the formats want them.
#include "files/files_internal.h"

#include <math.h>
#include <string.h>

void hw_put_u16(hw_buffer *b, uint32_t v)
{
    const char byte[2] = {(char)(v & 0xff), (char)(v >> 8 & 0xff)};
    hw_buffer_put(b, (hw_text){byte, sizeof byte});
}

void hw_put_u32(hw_buffer *b, uint32_t v)
{
    hw_put_u16(b, v & 0xffff);
    hw_put_u16(b, v >> 16);
}

void hw_put_f32(hw_buffer *b, float v)
{
    uint32_t bits;
    memcpy(&bits, &v, sizeof bits);
    hw_put_u32(b, bits);
}

uint32_t hw_get_u32(const char *at)
{
    uint32_t v = 0;
    for (int i = 3; i >= 0; i--) v = v << 8 | (uint8_t)at[i];
    return v;
}

float hw_get_f32(const char *at)
{
    uint32_t bits = hw_get_u32(at);
    float v;
    memcpy(&v, &bits, sizeof v);
    return v;
}

static void put_digits(hw_buffer *b, const char *text, size_t n)
{
    if (memchr(text, '.', n))
        while (text[n - 1] == '0') n--;
    if (text[n - 1] == '.') n--;
    if (n == 2 && text[0] == '-' && text[1] == '0') text++, n--;
    hw_buffer_put(b, (hw_text){text, n});
}

void hw_put_decimal(hw_buffer *b, double v, int decimals)
{
    char text[HW_NUMBER_TEXT];
    put_digits(b, text, hw_number_write_fixed(v, decimals, text));
}

void hw_put_mm(hw_buffer *b, double v, int decimals)
{
    hw_put_decimal(b, v * 1000, decimals);
}

// A float times a power of ten up to 10^12 is exact in a double while it stays below 2^53 (24 and
// 28 bits), so the nearest decimal of that many places is known; it is taken when it lies well
// within the float's own half step.
void hw_put_float(hw_buffer *b, float v)
{
    char text[HW_NUMBER_TEXT];
    double size = fabs((double)v), power = 1;
    double step = (double)nextafterf((float)size, INFINITY) - size;
    for (int decimals = 0; decimals <= 12 && size * power < 9e15; decimals++, power *= 10) {
        double near = nearbyint(size * power) / power;
        if (fabs(near - size) > 0.24 * step) continue; // below a power of two steps are half
        put_digits(b, text, hw_number_write_fixed(v < 0 ? -near : near, decimals, text));
        return;
    }
    hw_number_write((double)v, text);
    hw_buffer_puts(b, text);
}

void hw_put_xml(hw_buffer *b, const char *text)
{
    for (const char *p = text; *p; p++) {
        const char *as = *p == '&'   ? "&amp;"
                         : *p == '<' ? "&lt;"
                         : *p == '>' ? "&gt;"
                         : *p == '"' ? "&quot;"
                                     : NULL;
        bool allowed = (unsigned char)*p >= ' ' || *p == '\t' || *p == '\n' || *p == '\r';
        if (as)
            hw_buffer_puts(b, as);
        else
            hw_buffer_put(b, (hw_text){allowed ? p : "?", 1});
    }
}

hw_code hw_mesh_fit(const hw_float_mesh *m)
{
    for (size_t i = 0; i < 3 * m->tris; i++)
        if (m->tri[i] >= m->verts) return HW_BAD_INPUT;
    for (size_t i = 0; i < m->verts; i++)
        for (int k = 0; k < 3; k++)
            if (!isfinite(m->at[i][k])) return HW_BAD_INPUT;
    return HW_OK;
}
