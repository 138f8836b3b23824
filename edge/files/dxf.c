// DXF of release 12: pairs of lines, a group code and its value.
#include "files/files_internal.h"

#include <math.h>
#include <string.h>

enum { LAYER_ROOM = 32 }; // 31 characters and the end

static void put_text(hw_buffer *b, int code, const char *text)
{
    hw_buffer_format(b, "%d\n%s\n", code, text);
}

static void put_whole(hw_buffer *b, int code, int value)
{
    hw_buffer_format(b, "%d\n%d\n", code, value);
}

// Millimetres to a millionth, always with a point.
static void put_number(hw_buffer *b, int code, double value) // [1]
{
    hw_buffer_format(b, "%d\n", code);
    size_t from = b->len;
    hw_put_decimal(b, value, 6);
    if (b->at && !memchr(b->at + from, '.', b->len - from)) hw_buffer_puts(b, ".0");
    hw_buffer_puts(b, "\n");
}

static void put_point(hw_buffer *b, int code, hw_vec2 at, double across) // [m]
{
    put_number(b, code, at.x * 1000);
    put_number(b, code + 10, at.z * 1000);
    put_number(b, code + 20, across * 1000);
}

// Text on one line of ASCII: other letters as the format's own escape \U+XXXX, which later readers
// know.
static void put_words(hw_buffer *b, int code, const char *text)
{
    static const char digit[] = "0123456789ABCDEF";
    hw_buffer_format(b, "%d\n", code);
    for (const char *p = text; *p;) {
        size_t n = hw_utf8_step(hw_text_of(p));
        uint32_t letter = (uint8_t)*p;
        if (n > 1) {
            letter &= 0xffu >> (n + 1);
            for (size_t i = 1; i < n; i++) letter = letter << 6 | ((uint8_t)p[i] & 0x3f);
        }
        p += n ? n : 1;
        if (letter >= ' ' && letter < 127) {
            char one[2] = {(char)letter, 0};
            hw_buffer_puts(b, one);
        } else if (letter >= 127 && letter < 0x10000) {
            char escape[8] = "\\U+";
            for (int k = 0; k < 4; k++) escape[3 + k] = digit[letter >> (12 - 4 * k) & 15];
            hw_buffer_puts(b, escape);
        } else {
            hw_buffer_puts(b, "?");
        }
    }
    hw_buffer_puts(b, "\n");
}

// "cheek-1" -> "CHEEK-1", "slice 3" with ending "_TEXT" -> "SLICE_3_TEXT".
static const char *layer_name(const char *layer, const char *ending, char out[LAYER_ROOM])
{
    size_t n = 0, room = LAYER_ROOM - 1 - strlen(ending);
    for (; n < room && layer[n]; n++) {
        char c = layer[n];
        if (c >= 'a' && c <= 'z') c = (char)(c - 'a' + 'A');
        bool allowed = (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '$';
        out[n] = allowed ? c : '_';
    }
    strcpy(out + n, ending);
    return out;
}

static void put_layer(hw_buffer *b, const char *name, int colour)
{
    put_text(b, 0, "LAYER");
    put_text(b, 2, name);
    put_whole(b, 70, 0);
    put_whole(b, 62, colour); // 7 black or white, 8 grey
    put_text(b, 6, "CONTINUOUS");
}

// The layers' names, each once.
static size_t distinct(hw_arena *a, const hw_sketch *s, const char ***out)
{
    size_t n = 0;
    *out = HW_NEW(a, const char *, s->shapes + s->axes);
    if (!*out) return 0;
    for (size_t i = 0; i < s->shapes + s->axes; i++) {
        const char *name = i < s->shapes ? s->shape[i].layer : s->axis[i - s->shapes].layer;
        bool known = false;
        // neighbours share a layer mostly: the last ones first
        for (size_t k = n; k-- > 0 && !known;) known = strcmp((*out)[k], name) == 0;
        if (!known) (*out)[n++] = name;
    }
    return n;
}

static void put_tables(hw_buffer *b, const hw_sketch *s)
{
    char name[LAYER_ROOM];
    const char **layer;
    size_t layers = distinct(b->arena, s, &layer);
    put_text(b, 0, "SECTION");
    put_text(b, 2, "TABLES");
    put_text(b, 0, "TABLE");
    put_text(b, 2, "LTYPE");
    put_whole(b, 70, 1);
    put_text(b, 0, "LTYPE");
    put_text(b, 2, "CONTINUOUS");
    put_whole(b, 70, 0);
    put_text(b, 3, "Solid line");
    put_whole(b, 72, 65);
    put_whole(b, 73, 0);
    put_number(b, 40, 0);
    put_text(b, 0, "ENDTAB");
    put_text(b, 0, "TABLE");
    put_text(b, 2, "LAYER");
    put_whole(b, 70, (int)(3 * layers + 2));
    put_layer(b, "0", 7);
    put_layer(b, "NOTES", 8);
    for (size_t i = 0; i < layers; i++) {
        put_layer(b, layer_name(layer[i], "", name), 7);
        put_layer(b, layer_name(layer[i], "_AXES", name), 8);
        put_layer(b, layer_name(layer[i], "_TEXT", name), 8);
    }
    put_text(b, 0, "ENDTAB");
    put_text(b, 0, "ENDSEC");
}

static void put_ring(hw_buffer *b, const char *layer, const hw_profile *p,
                     const hw_sketch_shape *shape)
{
    put_text(b, 0, "POLYLINE");
    put_text(b, 8, layer);
    put_whole(b, 66, 1);
    put_point(b, 10, (hw_vec2){0, 0}, shape->low);
    put_number(b, 39, (shape->high - shape->low) * 1000);
    put_whole(b, 70, 1); // closed
    for (size_t i = 0; i < p->n; i++) {
        put_text(b, 0, "VERTEX");
        put_text(b, 8, layer);
        put_point(b, 10, p->corner[i].at, shape->low);
        if (p->corner[i].bulge != 0) {
            // a ratio, not a length: more digits
            char text[HW_NUMBER_TEXT];
            hw_number_write_fixed(p->corner[i].bulge, 12, text);
            put_text(b, 42, text);
        }
    }
    put_text(b, 0, "SEQEND");
    put_text(b, 8, layer);
}

static void put_line(hw_buffer *b, const char *layer, hw_vec2 from, hw_vec2 to)
{
    put_text(b, 0, "LINE");
    put_text(b, 8, layer);
    put_point(b, 10, from, 0);
    put_point(b, 11, to, 0);
}

static void put_axis(hw_buffer *b, const hw_sketch_axis *a)
{
    char name[LAYER_ROOM];
    layer_name(a->layer, "_AXES", name);
    double reach = a->radius > 0 ? 1.3 * a->radius : 1e-3;
    put_line(b, name, hw_add(a->at, (hw_vec2){-reach, 0}), hw_add(a->at, (hw_vec2){reach, 0}));
    put_line(b, name, hw_add(a->at, (hw_vec2){0, -reach}), hw_add(a->at, (hw_vec2){0, reach}));
    if (!(a->radius > 0)) return;
    put_text(b, 0, "CIRCLE");
    put_text(b, 8, name);
    put_point(b, 10, a->at, 0);
    put_number(b, 40, a->radius * 1000);
}

static void put_lettering(hw_buffer *b, const char *layer, hw_vec2 at, double height, bool middle,
                          const char *text) // [m]
{
    put_text(b, 0, "TEXT");
    put_text(b, 8, layer);
    put_point(b, 10, at, 0);
    put_number(b, 40, height * 1000);
    put_words(b, 1, text);
    if (!middle) return;
    put_whole(b, 72, 1); // centred on the second point
    put_whole(b, 73, 2);
    put_point(b, 11, at, 0);
}

static void put_shapes(hw_buffer *b, const hw_sketch *s)
{
    char name[LAYER_ROOM];
    for (size_t i = 0; i < s->shapes; i++) {
        const hw_sketch_shape *p = &s->shape[i];
        layer_name(p->layer, "", name);
        for (size_t k = 0; k < p->region.rings; k++) put_ring(b, name, &p->region.ring[k], p);
        hw_vec2 at;
        double height;
        if (!hw_sketch_label(s, i, 0.9, &at, &height)) continue;
        put_lettering(b, layer_name(p->layer, "_TEXT", name), at, height, true, p->part);
    }
}

// Below the drawing: what it is, and a line to measure.
static void put_notes(hw_buffer *b, const hw_sketch *s, const hw_extent *box)
{
    const double letter = 2.5e-3, line = 50e-3;
    hw_vec2 at = {box->low.x, box->low.z - 3 * letter};
    put_lettering(b, "NOTES", at, letter, false, s->title);
    at.z -= 2 * letter;
    if (s->note) put_lettering(b, "NOTES", at, letter, false, s->note);
    at.z -= s->note ? 2 * letter : 0;
    put_lettering(b, "NOTES", at, letter, false, "lengths in mm; this line is 50 mm long");
    at.z -= letter;
    put_line(b, "NOTES", at, hw_add(at, (hw_vec2){line, 0}));
}

hw_code hw_dxf_write(const hw_sketch *s, hw_buffer *out)
{
    hw_extent box;
    hw_code code = hw_sketch_fit(s, &box);
    if (code != HW_OK) return code;
    put_words(out, 999, s->title);
    put_text(out, 999, "lengths in millimetres, scale 1 : 1");
    put_text(out, 0, "SECTION");
    put_text(out, 2, "HEADER");
    put_text(out, 9, "$ACADVER");
    put_text(out, 1, "AC1009");
    put_text(out, 9, "$EXTMIN");
    put_point(out, 10, box.low, 0);
    put_text(out, 9, "$EXTMAX");
    put_point(out, 10, box.high, 0);
    put_text(out, 9, "$LUNITS");
    put_whole(out, 70, 2); // decimal
    put_text(out, 0, "ENDSEC");
    put_tables(out, s);
    put_text(out, 0, "SECTION");
    put_text(out, 2, "ENTITIES");
    put_shapes(out, s);
    for (size_t i = 0; i < s->axes; i++) put_axis(out, &s->axis[i]);
    put_notes(out, s, &box);
    put_text(out, 0, "ENDSEC");
    put_text(out, 0, "EOF");
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
