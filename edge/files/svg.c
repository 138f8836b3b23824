// Outlines as SVG in millimetres, y down: z becomes -y.
#include "files/files_internal.h"

#include <math.h>
#include <string.h>

enum { DECIMALS = 5 }; // of a millimetre

static void put_spot(hw_buffer *b, hw_vec2 at)
{
    hw_put_mm(b, at.x, DECIMALS);
    hw_buffer_puts(b, " ");
    hw_put_mm(b, -at.z, DECIMALS);
}

static void put_attribute(hw_buffer *b, const char *name, double v) // [m]
{
    hw_buffer_format(b, " %s=\"", name);
    hw_put_mm(b, v, DECIMALS);
    hw_buffer_puts(b, "\"");
}

static void put_ring(hw_buffer *b, const hw_profile *p)
{
    hw_buffer_puts(b, "M");
    put_spot(b, p->corner[0].at);
    for (size_t i = 0; i < p->n; i++) {
        hw_vec2 at = p->corner[i].at, to = p->corner[i + 1 < p->n ? i + 1 : 0].at;
        double bulge = p->corner[i].bulge, k = fabs(bulge);
        if (bulge == 0) {
            if (i + 1 == p->n) break; // Z draws it
            hw_buffer_puts(b, "L");
        } else {
            double radius = hw_norm(hw_sub(to, at)) * (1 + k * k) / (4 * k);
            hw_buffer_puts(b, "A");
            hw_put_mm(b, radius, DECIMALS + 2);
            hw_buffer_puts(b, " ");
            hw_put_mm(b, radius, DECIMALS + 2);
            // at most half a turn; counter-clockwise with z up is the same as seen
            hw_buffer_format(b, " 0 %d %d ", k > 1, bulge < 0);
        }
        put_spot(b, to);
    }
    hw_buffer_puts(b, "Z");
}

static void put_lettering(hw_buffer *b, hw_vec2 at, double size, bool middle,
                          const char *text) // [m]
{
    hw_buffer_puts(b, "<text");
    put_attribute(b, "x", at.x);
    put_attribute(b, "y", -at.z);
    put_attribute(b, "font-size", size);
    hw_buffer_puts(b, middle ? " text-anchor=\"middle\" dominant-baseline=\"central\">" : ">");
    hw_put_xml(b, text);
    hw_buffer_puts(b, "</text>\n");
}

static void put_shape(hw_buffer *b, const hw_sketch *s, size_t i)
{
    const hw_sketch_shape *p = &s->shape[i];
    hw_buffer_puts(b, "<path data-part=\"");
    hw_put_xml(b, p->part);
    hw_buffer_puts(b, "\"");
    put_attribute(b, "data-low", p->low);
    put_attribute(b, "data-high", p->high);
    hw_buffer_puts(b, " d=\"");
    for (size_t k = 0; k < p->region.rings; k++) put_ring(b, &p->region.ring[k]);
    hw_buffer_puts(b, "\"/>\n");
}

static void put_name(hw_buffer *b, const hw_sketch *s, size_t i)
{
    hw_vec2 at;
    double height;
    if (hw_sketch_label(s, i, 0.75, &at, &height))
        put_lettering(b, at, 1.3 * height, true,
                      s->shape[i].part); // a font's size, not its letters'
}

static void put_axis(hw_buffer *b, const hw_sketch_axis *a)
{
    double reach = a->radius > 0 ? 1.3 * a->radius : 1e-3;
    hw_buffer_puts(b, "<path d=\"M");
    put_spot(b, hw_add(a->at, (hw_vec2){-reach, 0}));
    hw_buffer_puts(b, "L");
    put_spot(b, hw_add(a->at, (hw_vec2){reach, 0}));
    hw_buffer_puts(b, "M");
    put_spot(b, hw_add(a->at, (hw_vec2){0, reach}));
    hw_buffer_puts(b, "L");
    put_spot(b, hw_add(a->at, (hw_vec2){0, -reach}));
    hw_buffer_puts(b, "\"/>\n");
    if (!(a->radius > 0)) return;
    hw_buffer_puts(b, "<circle");
    put_attribute(b, "cx", a->at.x);
    put_attribute(b, "cy", -a->at.z);
    put_attribute(b, "r", a->radius);
    hw_buffer_puts(b, "/>\n");
}

// Everything of one layer, the first time that its name comes up among the shapes.
static void put_layer(hw_buffer *b, const hw_sketch *s, size_t first)
{
    const char *layer = s->shape[first].layer;
    for (size_t i = first; i-- > 0;)
        if (strcmp(s->shape[i].layer, layer) == 0) return;
    hw_buffer_puts(b, "<g id=\"");
    for (const char *p = layer; *p; p++) hw_put_xml(b, (char[]){*p == ' ' ? '-' : *p, 0});
    hw_buffer_puts(b, "\" fill-rule=\"evenodd\"><title>");
    hw_put_xml(b, layer);
    hw_buffer_puts(b, "</title>\n");
    for (size_t i = first; i < s->shapes; i++)
        if (strcmp(s->shape[i].layer, layer) == 0) put_shape(b, s, i);
    hw_buffer_puts(b, "<g stroke=\"#777777\">\n");
    for (size_t i = 0; i < s->axes; i++)
        if (strcmp(s->axis[i].layer, layer) == 0) put_axis(b, &s->axis[i]);
    hw_buffer_puts(b, "</g>\n<g stroke=\"none\" fill=\"#000000\">\n");
    for (size_t i = first; i < s->shapes; i++)
        if (strcmp(s->shape[i].layer, layer) == 0) put_name(b, s, i);
    hw_buffer_puts(b, "</g>\n</g>\n");
}

// Below the drawing: what it is, and a line to measure.
static void put_notes(hw_buffer *b, const hw_sketch *s, const hw_extent *box)
{
    const double letter = 3e-3, line = 50e-3;
    hw_vec2 at = {box->low.x, box->low.z - 2 * letter};
    hw_buffer_puts(b, "<g id=\"notes\" stroke=\"none\" fill=\"#000000\">\n");
    put_lettering(b, at, letter, false, s->title);
    at.z -= 1.5 * letter;
    if (s->note) put_lettering(b, at, letter, false, s->note);
    at.z -= s->note ? 1.5 * letter : 0;
    put_lettering(b, at, letter, false, "lengths in mm; this line is 50 mm long");
    at.z -= letter;
    hw_buffer_puts(b, "<path stroke=\"#000000\" d=\"M");
    put_spot(b, at);
    hw_buffer_puts(b, "L");
    put_spot(b, hw_add(at, (hw_vec2){line, 0}));
    hw_buffer_puts(b, "\"/>\n</g>\n");
}

hw_code hw_sketch_svg(const hw_sketch *s, hw_buffer *out)
{
    const double margin = 5e-3, notes = 21e-3, least = 90e-3; // the notes' own width
    hw_extent box;
    hw_code code = hw_sketch_fit(s, &box);
    if (code != HW_OK) return code;
    hw_vec2 size = {fmax(box.high.x - box.low.x, least) + 2 * margin,
                    box.high.z - box.low.z + 2 * margin + notes};
    hw_buffer_puts(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"");
    hw_put_mm(out, size.x, DECIMALS);
    hw_buffer_puts(out, "mm\" height=\"");
    hw_put_mm(out, size.z, DECIMALS);
    hw_buffer_puts(out, "mm\" viewBox=\"");
    put_spot(out, (hw_vec2){box.low.x - margin, box.high.z + margin});
    hw_buffer_puts(out, " ");
    put_spot(out, (hw_vec2){size.x, -size.z});
    hw_buffer_puts(out, "\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.1\" font-family=\""
                        "'DejaVu Sans Condensed','DejaVu Sans',Verdana,sans-serif\">\n<title>");
    hw_put_xml(out, s->title);
    hw_buffer_puts(out, "</title>\n");
    for (size_t i = 0; i < s->shapes; i++) put_layer(out, s, i);
    put_notes(out, s, &box);
    hw_buffer_puts(out, "</svg>\n");
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
