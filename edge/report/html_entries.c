// Every number of the design and where it came from.
#include <string.h>

#include "report/html.h"

static void put(hw_page *p, const char *markup)
{
    hw_buffer_puts(p->out, markup);
}

// By weight, not by colour: bold from the document, underlined from the variant, slanted from a
// catalogue, plain by default.
static const char *class_of(hw_origin o)
{
    static const char *const name[] = {[HW_FROM_DEFAULT] = "",
                                       [HW_FROM_CATALOGUE] = "cat",
                                       [HW_FROM_DOCUMENT] = "doc",
                                       [HW_FROM_VARIANT] = "var",
                                       [HW_FROM_OVERRIDE] = "var"};
    return (unsigned)o < sizeof name / sizeof *name ? name[o] : "";
}

static void value(hw_page *p, hw_entry e, const hw_entry_row *row, bool unit)
{
    const hw_design *d = p->r->assessment->design;
    hw_buffer_format(p->out, "<span class=\"%s\">", class_of(hw_design_origin(d, e)));
    if (row->type == HW_ENTRY_NUMBER || row->type == HW_ENTRY_COUNT) {
        char number[HW_NUMBER_TEXT];
        hw_shown u = hw_shown_entry(row);
        hw_number_write_rounded((hw_design_value(d, e) - u.offset) / u.scale, 5, number);
        if (number[0] == '-') put(p, "\xe2\x88\x92");
        hw_page_text(p, number + (number[0] == '-'));
        if (unit && *u.unit) {
            put(p, "\xc2\xa0");
            hw_page_text(p, u.unit);
        }
    } else
        hw_page_text(p, hw_arena_text(p->out->arena, hw_design_text(d, e)));
    put(p, "</span>");
}

static void shared_row(hw_page *p, hw_entry e, const hw_entry_row *row)
{
    put(p, "<tr><td class=\"w\">");
    hw_page_text(p, row->path);
    put(p, row->type == HW_ENTRY_NUMBER ? "</td><td class=\"n\">" : "</td><td class=\"r\">");
    value(p, e, row, true);
    put(p, "</td><td class=\"soft\">");
    hw_page_text(p, row->sentence);
    put(p, "</td><td class=\"soft\">");
    hw_page_origin(p, hw_design_origin_text(p->r->assessment->design, e));
    put(p, "</td></tr>\n");
}

// Whether a digit uses the entry: bars' entries are of coupled bars only, cords' of cords only.
static bool has(const hw_page *p, hw_entry_id id, int digit)
{
    size_t n;
    const hw_entry_row *row = &hw_entry_rows(&n)[id];
    hw_family_kind family = p->r->assessment->hand->digit[digit].family;
    if (!p->r->assessment->digit[digit].present) return id == HW_E_PRESENT;
    if (strstr(row->path, ".bar_")) return family == HW_FAMILY_COUPLED_BARS;
    if (strstr(row->path, ".mechanism.cord.")) return family == HW_FAMILY_CORD;
    return true;
}

// Origins of the digits' entries of one row, each text once.
static void digit_origins(hw_page *p, hw_entry_id id)
{
    const hw_design *d = p->r->assessment->design;
    hw_text seen[HW_DIGITS];
    size_t n = 0;
    bool lines = false;
    for (int i = 0; i < HW_DIGITS; i++) {
        if (!p->r->assessment->digit[i].present) continue;
        hw_text t = hw_design_origin_text(d, hw_entry_of(id, i));
        bool known = t.len == 0;
        for (size_t k = 0; k < n; k++) known = known || hw_text_same(seen[k], t);
        if (known || !has(p, id, i)) continue;
        hw_text line = hw_page_line(p, t);
        if (n) put(p, line.len && lines ? ", " : "; ");
        if (line.len && !lines) put(p, "line ");
        lines = line.len > 0;
        hw_page_text(p, hw_arena_text(p->out->arena, line.len ? line : t));
        seen[n++] = t;
    }
}

static void digit_row(hw_page *p, hw_entry_id id, const hw_entry_row *row)
{
    const char *path = strrchr(row->path, '*');
    bool any = false;
    for (int i = 0; i < HW_DIGITS; i++) {
        // what only repeats the hand's own entry is not listed again
        hw_origin from = hw_design_origin(p->r->assessment->design, hw_entry_of(id, i));
        any = any || (has(p, id, i) && !(row->shared && from == HW_FROM_DEFAULT));
    }
    if (!any) return;
    hw_shown u = hw_shown_entry(row);
    put(p, "<tr><td class=\"w\">");
    hw_page_text(p, path && path[1] == '.' ? path + 2 : row->path);
    put(p, "</td><td class=\"w soft\">");
    if (row->type == HW_ENTRY_NUMBER) hw_page_text(p, u.unit);
    put(p, "</td>");
    for (int i = 1; i <= HW_DIGITS; i++) {
        int digit = i % HW_DIGITS;
        if (!p->r->assessment->digit[digit].present) continue;
        put(p, row->type == HW_ENTRY_NUMBER ? "<td class=\"n\">" : "<td class=\"r\">");
        if (has(p, id, digit)) value(p, hw_entry_of(id, digit), row, false);
        put(p, "</td>");
    }
    put(p, "<td class=\"soft\">");
    digit_origins(p, id);
    put(p, "</td></tr>\n");
}

void hw_page_entries(hw_page *p)
{
    size_t n;
    int digit;
    const hw_entry_row *rows = hw_entry_rows(&n);
    put(p, "<h2 id=\"entries\" class=\"leaf\">The numbers, and where each came from</h2>\n"
           "<p><span class=\"doc\">Bold</span>: from the document. "
           "<span class=\"var\">Underlined</span>: from the variant. "
           "<span class=\"cat\">Slanted</span>: from a catalogue. Plain: a default. Lines are "
           "those of ");
    hw_page_text(p, hw_design_file(p->r->assessment->design));
    put(p, ".</p>\n"
           "<table class=\"entries\"><thead><tr><th>entry</th><th class=\"n\">value</th>"
           "<th>what it is</th><th>origin</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < n; i++) {
        hw_entry e = hw_entry_of((hw_entry_id)i, -1);
        if (i < HW_E_SHARED_ROWS && hw_entry_row_of(e, &digit)) shared_row(p, e, &rows[i]);
    }
    put(p, "</tbody></table>\n<h3>Of each digit</h3>\n<table "
           "class=\"digits\"><thead><tr><th>entry</th>"
           "<th>unit</th>");
    for (int i = 1; i <= HW_DIGITS; i++)
        if (p->r->assessment->digit[i % HW_DIGITS].present)
            hw_buffer_format(p->out, "<th class=\"n\">%s</th>", hw_digit_name[i % HW_DIGITS]);
    put(p, "<th>origin</th></tr></thead><tbody>\n");
    for (size_t i = HW_E_SHARED_ROWS; i < n; i++) digit_row(p, (hw_entry_id)i, &rows[i]);
    put(p, "</tbody></table>\n");
}
