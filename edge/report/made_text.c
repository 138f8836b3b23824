// What was made, in text: the sheet for the terminal, and the page that lies beside the files.
#include <math.h>
#include <string.h>

#include "print/print.h"
#include "report/made.h"
#include "report/report_internal.h"

enum { PAGE = 80 }; // columns of the listing

static void put_fixed(hw_buffer *b, double value, int decimals) // [1]
{
    char text[HW_NUMBER_TEXT];
    hw_number_write_fixed(value, decimals, text);
    hw_buffer_puts(b, text);
}

// "1 h 25 min", "40 min"
static void put_time(hw_buffer *b, double seconds) // [s]
{
    double minutes = ceil(seconds / 60 - 1e-6), hours = floor(minutes / 60);
    if (hours > 0) {
        put_fixed(b, hours, 0);
        hw_buffer_puts(b, " h ");
    }
    put_fixed(b, minutes - 60 * hours, 0);
    hw_buffer_puts(b, " min");
}

// Appends spaces until the line that began at `from` has `width` columns.
static void pad(hw_buffer *b, size_t from, size_t width)
{
    size_t have = b->at ? hw_utf8_count((hw_text){b->at + from, b->len - from}) : 0;
    for (; have < width; have++) hw_buffer_puts(b, " ");
}

// Words broken into lines of PAGE columns, every line indented.
static void put_wrapped(hw_buffer *b, int indent, const char *text)
{
    int column = 0;
    while (*text) {
        size_t n = strcspn(text, " ");
        int wide = (int)hw_utf8_count((hw_text){text, n});
        if (column && column + 1 + wide > PAGE) {
            hw_buffer_puts(b, "\n");
            column = 0;
        }
        for (; column < indent; column++) hw_buffer_puts(b, " ");
        if (column > indent) hw_buffer_puts(b, " "), column++;
        hw_buffer_put(b, (hw_text){text, n});
        column += wide;
        text += n + strspn(text + n, " ");
    }
    hw_buffer_puts(b, "\n");
}

static void put_heading(hw_buffer *b, const char *words)
{
    hw_buffer_format(b, "\n%s\n", words);
    for (size_t i = 0; i < hw_utf8_count(hw_text_of(words)); i++) hw_buffer_puts(b, "-");
    hw_buffer_puts(b, "\n");
}

// "index, middle, ring": what lies on a plate.
static void put_groups(hw_buffer *b, const hw_made *m, size_t plate)
{
    const char *between = m->plate[plate].coupons ? "coupons: " : "";
    for (size_t g = 0; g < m->groups; g++) {
        if (m->group[g].plate != (int)plate) continue;
        const hw_coupon *c = m->group[g].coupon;
        hw_buffer_format(b, "%s%s", between, c ? c->id : m->group[g].name);
        between = ", ";
    }
}

static void put_plates(hw_buffer *b, const hw_made *m)
{
    for (size_t p = 0; p < m->plates; p++) {
        size_t from = b->len;
        hw_buffer_format(b, "  plate %zu", p + 1);
        pad(b, from, 11);
        put_fixed(b, m->plate[p].filament * 1e3, 1);
        hw_buffer_puts(b, " g");
        pad(b, from, 20);
        put_time(b, m->plate[p].time);
        pad(b, from, 33);
        put_groups(b, m, p);
        hw_buffer_puts(b, "\n");
    }
    for (size_t g = 0; g < m->groups; g++)
        if (m->group[g].fault)
            hw_buffer_format(b, "  %s: not made: %s\n", m->group[g].name, m->group[g].fault);
        else if (m->group[g].plate < 0)
            hw_buffer_format(b, "  %s: fits no plate of this bed (printer.bed)\n",
                             m->group[g].name);
}

// ---- for the terminal -------------------------------------------------------------------------

hw_code hw_report_made_text(const hw_made_report *r, int columns, hw_buffer *out)
{
    const hw_made *m = r->made;
    hw_assessment *s = HW_NEW(out->arena, hw_assessment, 1);
    if (!s) return HW_NO_MEMORY;
    *s = (hw_assessment){.design = m->design,
                         .hand = m->hand,
                         .finding = m->finding,
                         .findings = m->findings,
                         .held = m->held,
                         .fallen_short = m->fallen_short,
                         .unknown = m->unknown,
                         .required = m->required,
                         .required_held = m->required_held,
                         .elsewhere = m->unasked,
                         .by = "handwright make --stress"};
    for (size_t g = 0; g < m->groups; g++)
        if (m->group[g].digit >= 0) s->digit[m->group[g].digit].present = true;
    hw_report report = {s, NULL, r->variant};
    hw_code code = hw_report_text(&report, columns, out);
    if (code != HW_OK) return code;
    size_t tris = 0;
    for (size_t i = 0; i < m->parts; i++) tris += m->part[i].mesh.tris;
    hw_buffer_format(out, "\n%zu parts, %zu triangles, %s\n", m->parts, tris,
                     hw_make_quality_name(m->def.quality));
    put_plates(out, m);
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}

// ---- the listing ------------------------------------------------------------------------------

static void put_printing(hw_buffer *b, const hw_made *m)
{
    const hw_print_def *p = m->printer;
    put_heading(b, "How to print");
    hw_buffer w = {.arena = b->arena};
    hw_buffer_puts(&w, "Layers of ");
    put_fixed(&w, p->layer * 1e3, 2);
    hw_buffer_puts(&w, " mm, lines of ");
    put_fixed(&w, p->line * 1e3, 2);
    hw_buffer_puts(&w, " mm, ");
    put_fixed(&w, p->walls, 0);
    hw_buffer_puts(&w, " lines along every outline, ");
    put_fixed(&w, p->solid_layers, 0);
    hw_buffer_puts(&w, " full layers at floors and roofs, ");
    put_fixed(&w, p->infill * 100, 0);
    hw_buffer_puts(&w, " % inside. No supports. Leave every part as it lies: a digit is printed "
                       "assembled, and each of its parts must stay where it is beside the others. "
                       "A skirt is fine, a brim is not: it would join what must move. Times and "
                       "masses below assume these numbers.");
    put_wrapped(b, 2, w.at ? w.at : "");
    put_wrapped(b, 2,
                "Print the coupons first, on the same machine and with the same filament: they "
                "tell whether a digit will move, grip and hold before you print one. STL files "
                "carry no unit: they "
                "are in millimetres.");
    put_wrapped(b, 2,
                "When a digit has cooled down, hold the carrier and turn one joint after the "
                "other, the one nearest the tip first, by small angles until it comes free.");
}

static void put_parts(hw_buffer *b, const hw_made_report *r)
{
    put_heading(b, "Parts");
    for (size_t i = 0; i < r->files; i++) {
        const hw_made_file *f = &r->file[i];
        if (f->part < 0) continue;
        const hw_made_part *p = &r->made->part[f->part];
        size_t from = b->len;
        hw_buffer_format(b, "  %s", f->name);
        pad(b, from, 36);
        put_fixed(b, p->mass.mass * 1e3, 1);
        hw_buffer_puts(b, " g solid");
        pad(b, from, 50);
        put_fixed(b, (p->high.x - p->low.x) * 1e3, 1);
        hw_buffer_puts(b, " x ");
        put_fixed(b, (p->high.y - p->low.y) * 1e3, 1);
        hw_buffer_puts(b, " x ");
        put_fixed(b, (p->high.z - p->low.z) * 1e3, 1);
        hw_buffer_puts(b, " mm\n");
    }
}

// Undersides of one kind that a part may have.
static void put_exception(hw_buffer *b, const hw_made *m, const hw_made_group *g, size_t part,
                          hw_allowance_kind kind, bool *any)
{
    size_t n = 0;
    double span = 0, area = 0;
    for (size_t h = 0; h < g->print->hangs; h++) {
        const hw_print_hang *hang = &g->print->hang[h];
        if (hang->part != part || hang->kind != kind || hang->hold != HW_HANG_PERMITTED) continue;
        span = fmax(span, hang->span);
        area += hang->area;
        n++;
    }
    if (n == 0) return;
    *any = true;
    size_t from = b->len;
    hw_buffer_format(b, "  %s", m->part[g->first + part].part->name);
    pad(b, from, 34);
    hw_buffer_format(b, " %zu %s%s", n, hw_allowance_text(kind), n > 1 ? "s" : "");
    pad(b, from, 48);
    hw_buffer_puts(b, "span ");
    put_fixed(b, span * 1e3, 1);
    hw_buffer_puts(b, " mm, ");
    put_fixed(b, area * 1e6, 1);
    hw_buffer_puts(b, " mm2 in all\n");
}

static void put_exceptions(hw_buffer *b, const hw_made *m)
{
    put_heading(b, "What hangs by permission");
    bool any = false;
    for (size_t i = 0; i < m->groups; i++)
        for (size_t p = 0; m->group[i].print && p < m->group[i].parts; p++)
            for (int k = 0; k < HW_ALLOWANCES; k++)
                put_exception(b, m, &m->group[i], p, (hw_allowance_kind)k, &any);
    if (!any) hw_buffer_puts(b, "  nothing\n");
}

static void put_measures(hw_buffer *b, const hw_made *m)
{
    bool any = false;
    for (size_t i = 0; i < m->groups; i++) {
        const hw_coupon *c = m->group[i].coupon;
        if (!c || m->group[i].parts == 0) continue;
        if (!any) put_heading(b, "What to measure on the coupons");
        any = true;
        hw_buffer_format(b, "  %s: %s\n", c->id, c->title);
        put_wrapped(b, 4, c->measure);
        if (c->caution && *c->caution) put_wrapped(b, 4, c->caution);
        if (c->entry) hw_buffer_format(b, "    belongs to: %s\n", c->entry);
    }
    put_heading(b, any ? "What to measure on the digits" : "What to measure");
    put_wrapped(b, 2,
                "Width across every knuckle with a caliper: the document's width, less or more by "
                "at most 0.1 mm. Play of each joint at the tip, pushed both ways with a finger's "
                "weight: beside slop_tip of handwright assess. A joint that does not come free, or "
                "a gap that is closed: note which one and in which layer.");
}

static void put_cautions(hw_buffer *b)
{
    put_heading(b, "Cautions");
    put_wrapped(b, 2,
                "Nozzle and bed burn for minutes after a print; let them cool before you reach "
                "in, and air the room. Cut strings and first layers away from your hand, not "
                "toward it.");
    put_wrapped(b, 2,
                "Joints pinch: keep fingers out of the creases while you free or move a digit. "
                "Coupons that are pulled until they let go snap back and may splinter: wear "
                "glasses, pull away from your face, keep others away.");
    put_wrapped(b, 2,
                "A file is a computation, not a test. Nothing made with it is a medical device; "
                "where other people are concerned, follow local rules and ask qualified people.");
}

hw_code hw_report_made_listing(const hw_made_report *r, hw_buffer *out)
{
    const hw_made *m = r->made;
    char print[17];
    const char *name = hw_report_name(out->arena, m->design);
    hw_text revision = hw_design_text(m->design, hw_entry_of(HW_E_REVISION, -1));
    hw_buffer_format(out, "%s", name ? name : "");
    if (revision.len) {
        hw_buffer_puts(out, ", revision ");
        hw_buffer_put(out, revision);
    }
    hw_buffer_format(out, ": printed parts of a %s hand\n", m->hand->left ? "left" : "right");
    if (r->variant) hw_buffer_format(out, "variant %s, ", r->variant);
    hw_buffer_format(out, "quality %s, fingerprint %s\n", hw_make_quality_name(m->def.quality),
                     hw_fingerprint_text(hw_design_fingerprint(m->design), print));
    put_printing(out, m);
    put_heading(out, "Plates");
    put_plates(out, m);
    put_parts(out, r);
    put_exceptions(out, m);
    put_heading(out, "Other files");
    for (size_t i = 0; i < r->files; i++) {
        if (r->file[i].part >= 0) continue;
        size_t from = out->len;
        hw_buffer_format(out, "  %s", r->file[i].name);
        pad(out, from, 36);
        hw_buffer_format(out, " %s\n", r->file[i].what);
    }
    put_measures(out, m);
    put_cautions(out);
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
