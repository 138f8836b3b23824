// handwright landmarks: a scanned hand in numbers.
#include "cli/cli_internal.h"

#include "anatomy/scan.h"
#include "base/vec.h"
#include "draw/scan.h"
#include "files/files.h"
#include "hand/hand.h"

#include <math.h>

#define MM  1000.0        // [mm/m]
#define DEG (180 / HW_PI) // [deg/rad]

typedef struct sheet {
    hw_call *call;
    const hw_mesh_file *file;
    const hw_scan *scan;
} sheet;

static const char *const axis_words[] = {
    [HW_AXIS_UNKNOWN] = "unknown", [HW_AXIS_ASSUMED] = "assumed", [HW_AXIS_BENT] = "bent"};

// ---- text -------------------------------------------------------------------------------------

static const char *fixed(double value, int decimals, char out[HW_NUMBER_TEXT]) // [1]
{
    if (!isfinite(value)) return "—";
    hw_number_write_fixed(value, decimals, out);
    return out;
}

// "45.9 ± 2.1" in a cell.
static void put_with(hw_buffer *b, hw_with w, double k, int decimals, int width) // [1]
{
    char value[HW_NUMBER_TEXT], off[HW_NUMBER_TEXT], text[2 * HW_NUMBER_TEXT + 8];
    if (!isfinite(w.value)) {
        hw_put_cell(b, "—", width);
        return;
    }
    snprintf(text, sizeof text, "%s ± %s", fixed(w.value * k, decimals, value),
             fixed(w.off * k, decimals, off));
    hw_put_cell(b, text, width);
}

static void put_arch(const sheet *s, hw_buffer *b)
{
    const hw_with c = s->scan->curvature;
    char at[HW_NUMBER_TEXT], low[HW_NUMBER_TEXT], high[HW_NUMBER_TEXT], rms[HW_NUMBER_TEXT];
    if (isnan(c.value)) {
        hw_buffer_puts(b, "Knuckles' arch: unknown, fewer than three knuckles were picked\n");
        return;
    }
    double least = c.value + c.off, most = c.value - c.off;
    if (!(c.value > 0))
        hw_buffer_puts(b, "Knuckles' arch: none, they lie on a line or sag");
    else
        hw_buffer_format(b, "Knuckles' arch: radius %s mm", fixed(MM / c.value, 0, at));
    hw_buffer_format(b, ", between %s", least > 0 ? fixed(MM / least, 0, low) : "any");
    hw_buffer_format(b, " and %s mm", most > 0 ? fixed(MM / most, 0, high) : "a straight line");
    if (!isnan(s->scan->arch_rms))
        hw_buffer_format(b, "; knuckles are %s mm off it", fixed(s->scan->arch_rms * MM, 2, rms));
    hw_buffer_puts(b, "\n");
}

static void put_head(const sheet *s, hw_buffer *b)
{
    const hw_scan *scan = s->scan;
    hw_buffer_format(b, "%s hand, %zu triangles in %s%s\n", scan->left ? "Left" : "Right",
                     s->file->mesh.tris, scan->unit,
                     scan->guessed ? " (assumed: the file does not say)" : "");
    hw_buffer_puts(b, "Each ± holds the truth in 95 of 100 cases.\n\n");
    hw_buffer_puts(b, "Hand length ");
    put_with(b, scan->length, MM, 1, 0);
    hw_buffer_format(b, " mm%s\n",
                     scan->length_whole ? ", wrist crease to the tip of the middle finger"
                                        : ", from the palm's usual share of it: no middle finger");
    hw_buffer_puts(b, "Hand breadth ");
    put_with(b, scan->breadth, MM, 1, 0);
    hw_buffer_format(b, " mm%s\n",
                     scan->breadth_whole ? ", across the knuckles"
                                         : ", from the knuckles' usual share of it");
    put_arch(s, b);
}

static void put_lengths(const sheet *s, hw_buffer *b)
{
    hw_buffer_puts(b, "\nLengths, mm (thumb: metacarpal, proximal, distal)\n");
    hw_put_cell(b, "", -8);
    static const char *const heads[] = {"proximal", "middle", "distal"};
    for (int i = 0; i < HW_SEGMENTS; i++) hw_put_cell(b, heads[i], 15);
    hw_buffer_puts(b, "\n");
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        hw_put_cell(b, hw_digit_name[d], -8);
        for (int i = 0; i < HW_SEGMENTS; i++) put_with(b, s->scan->digit[d].segment[i], MM, 1, 15);
        hw_buffer_puts(b, "\n");
    }
}

static void put_knuckles(const sheet *s, hw_buffer *b)
{
    hw_buffer_puts(b, "\nKnuckles from the wrist, mm: x toward the fingers, y toward the thumb, z "
                      "out of\nthe back (thumb: its base)\n");
    hw_put_cell(b, "", -8);
    static const char *const heads[] = {"x", "y", "z", "points, deg"};
    for (int i = 0; i < 4; i++) hw_put_cell(b, heads[i], 15);
    hw_buffer_puts(b, "\n");
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        const hw_scan_digit *g = &s->scan->digit[d];
        const double at[3] = {g->knuckle.at.x, g->knuckle.at.y, g->knuckle.at.z};
        hw_put_cell(b, hw_digit_name[d], -8);
        for (int i = 0; i < 3; i++) put_with(b, (hw_with){at[i], g->at_off[i]}, MM, 1, 15);
        put_with(b, g->pointing, DEG, 1, 15);
        hw_buffer_puts(b, "\n");
    }
}

static void put_axis(const hw_scan_digit *g, hw_buffer *b)
{
    char off[HW_NUMBER_TEXT], rms[HW_NUMBER_TEXT];
    if (g->axis != HW_AXIS_BENT) {
        hw_buffer_puts(b,
                       g->axis == HW_AXIS_ASSUMED ? "  assumed: in the palm's plane" : "  unknown");
        return;
    }
    hw_buffer_format(b, "  to %s deg", fixed(g->axis_off * DEG, 1, off));
    if (!isnan(g->axis_rms))
        hw_buffer_format(b, "; joints %s mm off the plane", fixed(g->axis_rms * MM, 2, rms));
}

static void put_bends(const sheet *s, hw_buffer *b)
{
    hw_buffer_puts(b, "\nBends as scanned, deg, and the flexion axis (seen where PIP or DIP, the "
                      "thumb's MCP\nor IP, is bent by 15 deg or more)\n");
    hw_put_cell(b, "", -8);
    static const char *const heads[] = {"MCP", "PIP", "DIP"};
    for (int i = 0; i < 3; i++) hw_put_cell(b, heads[i], 13);
    hw_buffer_puts(b, "  axis\n");
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        const hw_scan_digit *g = &s->scan->digit[d];
        hw_put_cell(b, hw_digit_name[d], -8);
        for (int i = 0; i < 3; i++) put_with(b, g->bend[i], DEG, 0, 13);
        put_axis(g, b);
        hw_buffer_puts(b, "\n");
    }
}

// ---- JSON -------------------------------------------------------------------------------------

static void json_vec(hw_json *j, const char *key, hw_vec3 v, double k) // [1]
{
    const double row[3] = {v.x, v.y, v.z};
    hw_json_row(j, key, row, 3, k);
}

static void json_frame(hw_json *j, const char *key, const hw_frame *f)
{
    hw_json_open(j, key, '{');
    json_vec(j, "at_mm", f->at, MM);
    json_vec(j, "x", f->x, 1);
    json_vec(j, "y", f->y, 1);
    json_vec(j, "z", f->z, 1);
    hw_json_close(j, '}');
}

static void json_with(hw_json *j, const char *key, hw_with w, double k, const char *unit) // [1]
{
    hw_json_open(j, key, '{');
    hw_json_number(j, "value", w.value * k);
    hw_json_number(j, "off_95", w.off * k);
    hw_json_text(j, "unit", unit);
    hw_json_close(j, '}');
}

static void json_withs(hw_json *j, const char *key, const char *key_off, const hw_with w[3],
                       double k) // [1]
{
    const double value[3] = {w[0].value, w[1].value, w[2].value};
    const double off[3] = {w[0].off, w[1].off, w[2].off};
    hw_json_row(j, key, value, 3, k);
    hw_json_row(j, key_off, off, 3, k);
}

static void json_digit(hw_json *j, int d, const hw_scan_digit *g)
{
    hw_json_open(j, NULL, '{');
    hw_json_text(j, "digit", hw_digit_name[d]);
    json_withs(j, "segments_mm", "segments_off_95_mm", g->segment, MM);
    json_withs(j, "bends_deg", "bends_off_95_deg", g->bend, DEG);
    json_with(j, "pointing", g->pointing, DEG, "deg");
    json_frame(j, "knuckle", &g->knuckle);
    hw_json_row(j, "knuckle_off_95_mm", g->at_off, 3, MM);
    hw_json_text(j, "axis", axis_words[g->axis]);
    hw_json_number(j, "axis_off_95_deg", g->axis_off * DEG);
    hw_json_number(j, "plane_rms_mm", g->axis_rms * MM);
    hw_json_close(j, '}');
}

static void json_mark(hw_json *j, int mark, const hw_mark *m)
{
    const double none = (double)NAN;
    const double lifted[2] = {m->faces[0] ? m->lifted[0] : none, m->faces[1] ? m->lifted[1] : none};
    if (!m->known) return;
    hw_json_open(j, NULL, '{');
    hw_json_text(j, "mark", hw_mark_name(mark));
    json_vec(j, "at_mm", m->at, MM);
    hw_json_row(j, "off_95_mm", m->off, 3, MM);
    hw_json_number(j, "thickness_mm", m->thickness * MM);
    hw_json_row(j, "picks_off_surface_mm", lifted, 2, MM);
    hw_json_flag(j, "centred_by_section", m->centred);
    hw_json_close(j, '}');
}

static void put_json(const sheet *s, hw_buffer *to)
{
    const hw_scan *scan = s->scan;
    hw_json j = {.to = to};
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_text(&j, "scan", s->call->argument[0]);
    hw_json_text(&j, "picks", s->call->argument[1]);
    hw_json_count(&j, "triangles", s->file->mesh.tris);
    hw_json_text(&j, "unit", scan->unit);
    hw_json_flag(&j, "unit_assumed", scan->guessed);
    hw_json_flag(&j, "inside_out", scan->inside_out);
    hw_json_count(&j, "open_edges", scan->open_edges);
    hw_json_count(&j, "crowded_edges", scan->crowded_edges);
    hw_json_count(&j, "flipped_edges", scan->flipped_edges);
    hw_json_text(&j, "side", scan->left ? "left" : "right");
    json_with(&j, "length", scan->length, MM, "mm");
    hw_json_flag(&j, "length_measured", scan->length_whole);
    json_with(&j, "breadth", scan->breadth, MM, "mm");
    hw_json_flag(&j, "breadth_measured", scan->breadth_whole);
    json_with(&j, "arch_curvature", scan->curvature, 1, "1/m");
    hw_json_number(&j, "arch_rms_mm", scan->arch_rms * MM);
    json_frame(&j, "hand_in_mesh", &scan->hand);
    hw_json_open(&j, "digits", '[');
    for (int d = 0; d < HW_HAND_DIGITS; d++) json_digit(&j, d, &scan->digit[d]);
    hw_json_close(&j, ']');
    hw_json_open(&j, "marks", '[');
    for (int m = 0; m < HW_MARKS; m++) json_mark(&j, m, &scan->mark[m]);
    hw_json_close(&j, ']');
    hw_json_close(&j, '}');
}

// ---- sheet ------------------------------------------------------------------------------------

static bool to_buffer(void *self, const void *bytes, size_t n)
{
    hw_buffer_put(self, (hw_text){bytes, n});
    return true;
}

static hw_code add_drawing(const sheet *s, const hw_scan_view *v)
{
    hw_arena *work = hw_arena_new(0);
    hw_sheet *drawn = NULL;
    if (!work) return HW_NO_MEMORY;
    hw_code code = hw_draw_scan(s->call->arena, work, v, &s->call->job, &drawn);
    hw_arena_free(work);
    hw_buffer svg = {.arena = s->call->arena}, pdf = {.arena = s->call->arena};
    if (code == HW_OK) code = hw_sheet_svg(drawn, false, (hw_sink){to_buffer, &svg});
    const hw_sheet *page[1] = {drawn};
    if (code == HW_OK) code = hw_sheet_pdf(page, 1, (hw_sink){to_buffer, &pdf});
    hw_call_file(s->call, "sections.svg", (hw_text){svg.at, svg.len});
    hw_call_file(s->call, "sections.pdf", (hw_text){pdf.at, pdf.len});
    s->call->main_file = "sections.pdf";
    return code;
}

// The design whose digits are laid over the scan, if one was given.
static hw_exit read_design(hw_call *call, hw_scan_view *v)
{
    if (call->arguments < 3) return HW_EXIT_HOLDS;
    hw_design *design = NULL;
    hw_exit status = hw_call_design(call, 2, &design);
    if (status != HW_EXIT_HOLDS) return status;
    hw_hand *hand = HW_NEW(call->arena, hw_hand, 1);
    if (!hand) return hw_call_code(call, HW_NO_MEMORY);
    hw_hand_build(design, hand);
    v->name = call->design_name;
    for (int d = 0; d < HW_DIGITS; d++) v->digit[d] = hand->present[d] ? &hand->digit[d] : NULL;
    return HW_EXIT_HOLDS;
}

hw_exit hw_verb_landmarks(hw_call *call)
{
    hw_mesh_file file;
    hw_scan *scan = HW_NEW(call->arena, hw_scan, 1);
    hw_scan_view v = {.scan = scan, .mesh = &file.mesh};
    if (!scan) return hw_call_code(call, HW_NO_MEMORY);
    hw_exit status = read_design(call, &v);
    if (status == HW_EXIT_HOLDS)
        status = hw_call_scan(call, call->argument[0], call->argument[1], &file, scan);
    if (status != HW_EXIT_HOLDS) return status;
    sheet s = {call, &file, scan};
    put_head(&s, &call->text);
    put_lengths(&s, &call->text);
    put_knuckles(&s, &call->text);
    put_bends(&s, &call->text);
    put_json(&s, &call->json);
    hw_code code = call->option[HW_OPT_FOLDER] ? add_drawing(&s, &v) : HW_OK;
    return hw_call_code(call, code);
}
