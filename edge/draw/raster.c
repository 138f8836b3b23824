// PNG and PDF through cairo. User space is the point; the sheet's millimetres are converted here.
#include <cairo/cairo-pdf.h>
#include <math.h>
#include <string.h>
#include <zlib.h>

#include "base/text.h"
#include "draw/sheet.h"
#include "draw/type.h"

#define K (1 / HW_PT) // points per millimetre

static void parts_of(hw_ink ink, int part[3])
{
    const char *c = hw_ink_colour(ink);
    for (int k = 0; k < 3; k++) part[k] = 0;
    for (int i = 0; c && i < 6; i++) {
        char d = c[1 + i];
        part[i / 2] = 16 * part[i / 2] + (d <= '9' ? d - '0' : d - 'a' + 10);
    }
}

static void set_ink(cairo_t *cr, hw_ink ink)
{
    int part[3];
    parts_of(ink, part);
    cairo_set_source_rgb(cr, part[0] / 255.0, part[1] / 255.0, part[2] / 255.0);
}

// The image in colours between paper and ink; the caller destroys it.
static cairo_surface_t *image_of(const hw_item *i)
{
    cairo_surface_t *image =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)i->columns, (int)i->rows);
    unsigned char *data = cairo_image_surface_get_data(image);
    if (!data) return image; // its status says why
    int paper[3], black[3];
    parts_of(HW_INK_PAPER, paper);
    parts_of(HW_INK_BLACK, black);
    uint32_t colour[256];
    for (int t = 0; t < 256; t++) {
        colour[t] = 0;
        for (int k = 0; k < 3; k++) {
            int mixed = (paper[k] * (255 - t) + black[k] * t + 127) / 255;
            colour[t] = colour[t] << 8 | (uint32_t)mixed;
        }
    }
    size_t stride = (size_t)cairo_image_surface_get_stride(image);
    for (size_t y = 0; y < i->rows; y++)
        for (size_t x = 0; x < i->columns; x++)
            memcpy(data + y * stride + 4 * x, &colour[i->ink[y * i->columns + x]], 4);
    cairo_surface_mark_dirty(image);
    return image;
}

static void draw_image(cairo_t *cr, const hw_item *i)
{
    cairo_surface_t *image = image_of(i);
    cairo_save(cr);
    cairo_translate(cr, i->box.x * K, i->box.y * K);
    cairo_scale(cr, i->box.w * K / (double)i->columns, i->box.h * K / (double)i->rows);
    cairo_set_source_surface(cr, image, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_GOOD);
    cairo_paint(cr);
    cairo_restore(cr);
    cairo_surface_destroy(image);
}

static void trace(cairo_t *cr, const hw_path *p)
{
    cairo_new_path(cr);
    for (size_t i = 0; i < p->n; i++) {
        const hw_step *s = &p->step[i];
        double x = s->at.x * K, y = s->at.y * K;
        switch (s->kind) {
        case HW_STEP_MOVE:
            cairo_move_to(cr, x, y);
            break;
        case HW_STEP_LINE:
            cairo_line_to(cr, x, y);
            break;
        case HW_STEP_ARC:
            if (s->to >= s->from)
                cairo_arc(cr, x, y, s->radius * K, s->from, s->to);
            else
                cairo_arc_negative(cr, x, y, s->radius * K, s->from, s->to);
            break;
        case HW_STEP_CLOSE:
            cairo_close_path(cr);
            break;
        }
    }
}

static void draw_path(cairo_t *cr, const hw_item *i)
{
    trace(cr, &i->path);
    if (hw_ink_colour(i->fill)) {
        set_ink(cr, i->fill);
        cairo_fill_preserve(cr);
    }
    if (i->pen.width > 0 && hw_ink_colour(i->pen.ink)) {
        double dash[4];
        int n = hw_dash_lengths(i->pen, dash);
        for (int k = 0; k < n; k++) dash[k] *= K;
        cairo_set_dash(cr, dash, n, 0);
        set_ink(cr, i->pen.ink);
        cairo_set_line_width(cr, i->pen.width * K);
        cairo_stroke_preserve(cr);
    }
    cairo_new_path(cr);
}

static void draw_text(cairo_t *cr, const hw_item *i)
{
    if (i->type.mask) {
        hw_spot c[4];
        hw_item_corners(i, 0.35, c);
        cairo_new_path(cr);
        for (int k = 0; k < 4; k++) cairo_line_to(cr, c[k].x * K, c[k].y * K);
        cairo_close_path(cr);
        set_ink(cr, HW_INK_PAPER);
        cairo_fill(cr);
    }
    PangoLayout *layout = hw_type_layout(i->type, i->text);
    cairo_save(cr);
    cairo_translate(cr, i->at.x * K, i->at.y * K);
    cairo_rotate(cr, i->type.angle);
    cairo_move_to(cr, 0, 0);
    set_ink(cr, i->type.ink);
    pango_cairo_show_layout_line(cr, pango_layout_get_line_readonly(layout, 0));
    cairo_restore(cr);
    cairo_new_path(cr); // text leaves a current point, from which the next arc would draw a line
    g_object_unref(layout);
}

static void draw_item(cairo_t *cr, const hw_item *i)
{
    switch (i->kind) {
    case HW_ITEM_PATH:
        draw_path(cr, i);
        break;
    case HW_ITEM_TEXT:
        draw_text(cr, i);
        break;
    case HW_ITEM_IMAGE:
        draw_image(cr, i);
        break;
    case HW_ITEM_CLIP:
        cairo_save(cr);
        cairo_rectangle(cr, i->clip.x * K, i->clip.y * K, i->clip.w * K, i->clip.h * K);
        cairo_clip(cr);
        break;
    case HW_ITEM_CLIP_END:
        cairo_restore(cr);
        break;
    case HW_ITEM_GROUP:
    case HW_ITEM_GROUP_END:
        break;
    }
}

static void draw_sheet(cairo_t *cr, const hw_sheet *s)
{
    set_ink(cr, HW_INK_PAPER);
    cairo_paint(cr);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_save(cr);
    cairo_translate(cr, HW_SHEET_MARGIN * K, HW_SHEET_MARGIN * K);
    for (const hw_item *i = s->first; i; i = i->next) draw_item(cr, i);
    cairo_restore(cr);
}

static double full(double size)
{
    return size + 2 * HW_SHEET_MARGIN;
}

static cairo_status_t pass_on(void *sink, const unsigned char *bytes, unsigned n)
{
    hw_sink *out = sink;
    return out->write(out->self, bytes, n) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

static hw_code code_of(cairo_status_t status)
{
    if (status == CAIRO_STATUS_SUCCESS) return HW_OK;
    return status == CAIRO_STATUS_NO_MEMORY ? HW_NO_MEMORY : HW_IO;
}

hw_code hw_item_png(const hw_item *image, hw_sink out)
{
    cairo_surface_t *surface = image_of(image);
    cairo_status_t status = cairo_surface_status(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_write_to_png_stream(surface, pass_on, &out);
    cairo_surface_destroy(surface);
    return code_of(status);
}

// ---- the resolution of a PNG, which cairo does not write --------------------------------------

enum { PNG_HEAD = 33 }; // signature and first chunk; the resolution may stand behind them

typedef struct png_sink {
    hw_sink out;
    double dpi;
    size_t seen; // bytes
} png_sink;

static void put_big(unsigned char *at, unsigned long value)
{
    for (int i = 0; i < 4; i++) at[i] = (unsigned char)(value >> (24 - 8 * i) & 0xff);
}

// Chunk pHYs in pixels a metre (PNG, ISO/IEC 15948, 11.3.5.3).
static bool put_resolution(const png_sink *s)
{
    unsigned char chunk[21] = {0, 0, 0, 9, 'p', 'H', 'Y', 's', [16] = 1};
    const unsigned long each = (unsigned long)lround(s->dpi / 25.4e-3);
    put_big(&chunk[8], each);
    put_big(&chunk[12], each);
    put_big(&chunk[17], crc32(0, &chunk[4], 13));
    return s->out.write(s->out.self, chunk, sizeof chunk);
}

static cairo_status_t pass_png(void *sink, const unsigned char *bytes, unsigned n)
{
    png_sink *s = sink;
    const size_t head = s->seen < PNG_HEAD ? PNG_HEAD - s->seen : 0, first = n < head ? n : head;
    bool good = first == 0 || s->out.write(s->out.self, bytes, first);
    if (good && head > 0 && first == head) good = put_resolution(s);
    if (good && n > first) good = s->out.write(s->out.self, bytes + first, n - first);
    s->seen += n;
    return good ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

hw_code hw_sheet_png(const hw_sheet *s, double dpi, hw_sink out)
{
    if (!(dpi >= 10 && dpi <= 2400)) return HW_BAD_INPUT;
    if (hw_arena_failed(s->arena)) return HW_NO_MEMORY;
    int w = (int)lround(full(s->width) / 25.4 * dpi);
    int h = (int)lround(full(s->height) / 25.4 * dpi);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, w, h);
    cairo_t *cr = cairo_create(surface);
    cairo_scale(cr, dpi / 72, dpi / 72);
    draw_sheet(cr, s);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_write_to_png_stream(surface, pass_png, &(png_sink){out, dpi, 0});
    cairo_surface_destroy(surface);
    return code_of(status);
}

hw_code hw_sheet_pdf(const hw_sheet *const *s, size_t n, hw_sink out)
{
    if (n == 0) return HW_BAD_INPUT;
    for (size_t i = 0; i < n; i++)
        if (hw_arena_failed(s[i]->arena)) return HW_NO_MEMORY;
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(
        pass_on, &out, full(s[0]->width) * K, full(s[0]->height) * K);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, s[0]->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "Handwright");
    // same input, same bytes
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
    cairo_t *cr = cairo_create(surface);
    for (size_t i = 0; i < n; i++) {
        cairo_pdf_surface_set_size(surface, full(s[i]->width) * K, full(s[i]->height) * K);
        draw_sheet(cr, s[i]);
        cairo_show_page(cr);
    }
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return code_of(status);
}
