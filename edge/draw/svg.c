// SVG with real text. Numbers are written by hand, in micrometres rounded to three decimals, so
// that the same sheet gives the same bytes everywhere.
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "draw/sheet.h"

typedef struct writer {
    hw_sink out;
    bool failed;
    const char *name;
    int clips; // made so far, for their ids
} writer;

static void put(writer *w, const char *text)
{
    size_t n = strlen(text);
    if (!w->failed && n && !w->out.write(w->out.self, text, n)) w->failed = true;
}

static void put_number(writer *w, double v)
{
    char text[HW_NUMBER_TEXT];
    size_t n = hw_number_write_fixed(isfinite(v) ? v : 0, 3, text);
    while (n && text[n - 1] == '0') n--;
    if (n && text[n - 1] == '.') n--;
    text[n] = '\0';
    put(w, n ? text : "0");
}

static void put_pair(writer *w, double x, double y)
{
    put_number(w, x);
    put(w, " ");
    put_number(w, y);
}

static void put_attribute(writer *w, const char *name, double v)
{
    put(w, " ");
    put(w, name);
    put(w, "=\"");
    put_number(w, v);
    put(w, "\"");
}

// Text of an element or of an attribute in double quotes.
static void put_escaped(writer *w, const char *text)
{
    char one[2] = {0};
    for (; *text; text++) {
        const char *as = *text == '&'   ? "&amp;"
                         : *text == '<' ? "&lt;"
                         : *text == '>' ? "&gt;"
                         : *text == '"' ? "&quot;"
                                        : NULL;
        one[0] = *text;
        put(w, as ? as : one);
    }
}

static void put_step(writer *w, const hw_step *s, bool *open)
{
    switch (s->kind) {
    case HW_STEP_MOVE:
    case HW_STEP_LINE:
        put(w, s->kind == HW_STEP_MOVE ? "M" : "L");
        put_pair(w, s->at.x, s->at.y);
        *open = true;
        break;
    case HW_STEP_ARC: {
        put(w, *open ? "L" : "M");
        put_pair(w, s->at.x + s->radius * cos(s->from), s->at.y + s->radius * sin(s->from));
        *open = true;
        if (fabs(s->to - s->from) * s->radius < 5e-4) break; // shorter than the last decimal
        put(w, "A");
        put_pair(w, s->radius, s->radius);
        put(w, " 0 ");
        put(w, fabs(s->to - s->from) > HW_PI ? "1 " : "0 ");
        put(w, s->to > s->from ? "1 " : "0 ");
        put_pair(w, s->at.x + s->radius * cos(s->to), s->at.y + s->radius * sin(s->to));
        break;
    }
    case HW_STEP_CLOSE:
        put(w, "Z");
        *open = false;
        break;
    }
}

static void put_path(writer *w, const hw_item *i)
{
    const char *fill = hw_ink_colour(i->fill);
    const char *ink = i->pen.width > 0 ? hw_ink_colour(i->pen.ink) : NULL;
    put(w, "<path fill=\"");
    put(w, fill ? fill : "none");
    put(w, "\"");
    if (ink) {
        put(w, " stroke=\"");
        put(w, ink);
        put(w, "\"");
        put_attribute(w, "stroke-width", i->pen.width);
        double dash[4];
        int n = hw_dash_lengths(i->pen, dash);
        for (int k = 0; k < n; k++) {
            put(w, k ? " " : " stroke-dasharray=\"");
            put_number(w, dash[k]);
        }
        if (n) put(w, "\"");
    }
    put(w, " d=\"");
    bool open = false;
    for (size_t k = 0; k < i->path.n; k++) put_step(w, &i->path.step[k], &open);
    put(w, "\"/>\n");
}

static void put_text(writer *w, const hw_item *i)
{
    if (i->type.mask) {
        hw_spot c[4];
        hw_item_corners(i, 0.35, c);
        put(w, "<path fill=\"");
        put(w, hw_ink_colour(HW_INK_PAPER));
        put(w, "\" d=\"");
        for (int k = 0; k < 4; k++) {
            put(w, k ? "L" : "M");
            put_pair(w, c[k].x, c[k].y);
        }
        put(w, "Z\"/>\n");
    }
    put(w, "<text");
    if (i->type.angle != 0) {
        put(w, " transform=\"translate(");
        put_pair(w, i->at.x, i->at.y);
        put(w, ") rotate(");
        put_number(w, i->type.angle * 180 / HW_PI);
        put(w, ")\"");
    } else {
        put_attribute(w, "x", i->at.x);
        put_attribute(w, "y", i->at.y);
    }
    put_attribute(w, "font-size", i->type.size * HW_PT);
    // the width it was laid out with, so that another font cannot make labels collide
    put_attribute(w, "textLength", i->width);
    put(w, " lengthAdjust=\"spacingAndGlyphs\"");
    if (i->type.bold) put(w, " font-weight=\"bold\"");
    if (i->type.oblique) put(w, " font-style=\"oblique\"");
    if (i->type.ink != HW_INK_BLACK && hw_ink_colour(i->type.ink)) {
        put(w, " fill=\"");
        put(w, hw_ink_colour(i->type.ink));
        put(w, "\"");
    }
    put(w, ">");
    put_escaped(w, i->text);
    put(w, "</text>\n");
}

// Bytes as base64 text. Source: RFC 4648.
typedef struct base64 {
    writer *to;
    uint32_t bits;
    int held; // bytes in `bits`
} base64;

static void put_four(base64 *b, int letters)
{
    static const char alphabet[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    char four[5] = "====";
    for (int k = 0; k < letters; k++) four[k] = alphabet[b->bits >> (18 - 6 * k) & 63];
    put(b->to, four);
    b->bits = 0;
    b->held = 0;
}

static bool write_base64(void *self, const void *bytes, size_t n)
{
    base64 *b = self;
    const unsigned char *at = bytes;
    for (size_t i = 0; i < n; i++) {
        b->bits |= (uint32_t)at[i] << (16 - 8 * b->held);
        if (++b->held == 3) put_four(b, 4);
    }
    return !b->to->failed;
}

static void put_image(writer *w, const hw_item *i)
{
    put(w, "<image");
    put_attribute(w, "x", i->box.x);
    put_attribute(w, "y", i->box.y);
    put_attribute(w, "width", i->box.w);
    put_attribute(w, "height", i->box.h);
    put(w, " preserveAspectRatio=\"none\" href=\"data:image/png;base64,");
    base64 b = {.to = w};
    if (hw_item_png(i, (hw_sink){write_base64, &b}) != HW_OK) w->failed = true;
    if (b.held) put_four(&b, b.held + 1);
    put(w, "\"/>\n");
}

static void put_clip(writer *w, hw_box b)
{
    char number[HW_NUMBER_TEXT];
    hw_number_write_fixed(++w->clips, 0, number);
    put(w, "<clipPath id=\"");
    put(w, w->name);
    put(w, "-clip");
    put(w, number);
    put(w, "\"><rect");
    put_attribute(w, "x", b.x);
    put_attribute(w, "y", b.y);
    put_attribute(w, "width", b.w);
    put_attribute(w, "height", b.h);
    put(w, "/></clipPath>\n<g clip-path=\"url(#");
    put(w, w->name);
    put(w, "-clip");
    put(w, number);
    put(w, ")\">\n");
}

static void put_item(writer *w, const hw_item *i)
{
    switch (i->kind) {
    case HW_ITEM_PATH:
        put_path(w, i);
        break;
    case HW_ITEM_TEXT:
        put_text(w, i);
        break;
    case HW_ITEM_IMAGE:
        put_image(w, i);
        break;
    case HW_ITEM_GROUP:
        put(w, "<g><title>");
        put_escaped(w, i->text ? i->text : "");
        put(w, "</title>\n");
        break;
    case HW_ITEM_CLIP:
        put_clip(w, i->clip);
        break;
    case HW_ITEM_GROUP_END:
    case HW_ITEM_CLIP_END:
        put(w, "</g>\n");
        break;
    }
}

hw_code hw_sheet_svg(const hw_sheet *s, bool inlined, hw_sink out)
{
    if (hw_arena_failed(s->arena)) return HW_NO_MEMORY;
    writer w = {.out = out, .name = s->name};
    if (!inlined) put(&w, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    double m = inlined ? 0 : HW_SHEET_MARGIN;
    put(&w, "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"");
    put_number(&w, s->width + 2 * m);
    put(&w, "mm\" height=\"");
    put_number(&w, s->height + 2 * m);
    put(&w, "mm\" viewBox=\"");
    put_pair(&w, -m, -m);
    put(&w, " ");
    put_pair(&w, s->width + 2 * m, s->height + 2 * m);
    put(&w, "\" font-family=\"'DejaVu Sans Condensed','DejaVu Sans',Verdana,sans-serif\" fill=\"");
    put(&w, hw_ink_colour(HW_INK_BLACK));
    put(&w, "\" stroke-linejoin=\"round\" stroke-linecap=\"butt\">\n<title>");
    put_escaped(&w, s->title);
    put(&w, "</title>\n<path fill=\"");
    put(&w, hw_ink_colour(HW_INK_PAPER));
    put(&w, "\" d=\"M");
    put_pair(&w, -m, -m);
    put(&w, "H");
    put_number(&w, s->width + m);
    put(&w, "V");
    put_number(&w, s->height + m);
    put(&w, "H");
    put_number(&w, -m);
    put(&w, "Z\"/>\n");
    for (const hw_item *i = s->first; i; i = i->next) put_item(&w, i);
    put(&w, "</svg>\n");
    return w.failed ? HW_IO : HW_OK;
}
