// The verdict sheet of the HTML report: what falls short, what is unknown, what holds.
#include <math.h>
#include <string.h>

#include "report/html.h"

static void put(hw_page *p, const char *markup)
{
    hw_buffer_puts(p->out, markup);
}

static void with_unit(hw_page *p, const char *number, const char *unit)
{
    hw_page_text(p, number);
    if (*unit) {
        put(p, "\xc2\xa0");
        hw_page_text(p, unit);
    }
}

// The margin as a bar from its limit: to the right it holds, to the left it falls short. Full scale
// is twice the finding's scale either way.
static void gauge(hw_page *p, double ratio)
{
    char x[HW_NUMBER_TEXT], w[HW_NUMBER_TEXT];
    if (isnan(ratio)) return;
    double long_ = 11 * fmin(fabs(ratio) / 2, 1);
    hw_number_write_fixed(ratio < 0 ? 12 - long_ : 12, 2, x);
    hw_number_write_fixed(fmax(long_, 0.2), 2, w);
    put(p, "<svg class=\"gauge\" role=\"img\" aria-label=\"margin\" width=\"18mm\" height=\"3mm\" "
           "preserveAspectRatio=\"none\" viewBox=\"0 0 24 3\"><path d=\"M1 1.5H23\" "
           "stroke=\"#bdb7a6\" stroke-width=\".15\"/>"
           "<rect y=\"");
    put(p, ratio < 0 ? ".5\" height=\"2" : "1.1\" height=\".8");
    hw_buffer_format(p->out, "\" x=\"%s\" width=\"%s\" fill=\"#1c2128\"/>", x, w);
    if (fabs(ratio) > 2) // the bar goes on: cut it, near its far end
        put(p, ratio < 0 ? "<path d=\"M3 3L4.4 0\" stroke=\"#fbf8ef\" stroke-width=\".8\"/>"
                         : "<path d=\"M20 3L21.4 0\" stroke=\"#fbf8ef\" stroke-width=\".8\"/>");
    put(p, "<path d=\"M12 .1V2.9\" stroke=\"#1c2128\" stroke-width=\".3\"/></svg>");
}

static void value_cells(hw_page *p, const hw_finding *f)
{
    hw_shown u = hw_shown_finding(f->kind);
    char number[40], limit[96];
    put(p, "<td class=\"n v\">");
    with_unit(p, hw_value_text(f->value, u, number), u.unit);
    put(p, "</td><td class=\"w\">");
    hw_page_text(p, hw_limit_text(f, u, limit));
    put(p, "</td><td class=\"n\">");
    hw_page_text(p, hw_signed_text(f->margin, u, number));
    put(p, "</td><td>");
    gauge(p, f->margin_ratio);
    put(p, "</td>");
}

// "required" stands with the finding where the document asks for it of all its digits.
static bool kind_row(hw_page *p, const hw_group *g)
{
    bool required = true;
    for (size_t i = 0; i < g->n; i++)
        required = required && p->r->assessment->finding[g->at[i]].required;
    put(p, "<tr class=\"kind\"><td colspan=\"6\">");
    hw_page_text(p, g->kind->what);
    put(p, required ? ", required" : "");
    hw_buffer_format(p->out, " <span class=\"src\">[%zu]</span></td></tr>\n",
                     hw_source_number(&p->sources, g->kind->source));
    return required;
}

static void lever_rows(hw_page *p, const hw_group *g)
{
    hw_lever_cluster c[HW_DIGITS];
    size_t n = hw_lever_clusters(p->r, g, c);
    for (size_t i = 0; i < n; i++) {
        hw_buffer words = {.arena = p->out->arena};
        hw_put_cluster(p->r, &c[i], n > 1, &words);
        put(p, "<tr class=\"lever\"><td colspan=\"6\"><b>Lever:</b> ");
        hw_page_text(p, words.at);
        put(p, "</td></tr>\n");
    }
}

static void short_rows(hw_page *p, const hw_group *g)
{
    bool taken[HW_DIGITS] = {false}, digits[HW_DIGITS];
    char who[64];
    const char *origin = NULL;
    bool required = kind_row(p, g);
    for (size_t i = 0; i < g->n; i++) {
        if (taken[i] || hw_same_lines(p->r, g, i, taken, digits) == 0) continue;
        const hw_finding *f = &p->r->assessment->finding[g->at[i]];
        put(p, "<tr class=\"short\"><td>");
        hw_digits_text(p->r->assessment, digits, who);
        hw_page_text(p, *who ? who : "the hand");
        put(p, "</td>");
        value_cells(p, f);
        put(p, "<td class=\"soft\">");
        bool fresh = !origin || strcmp(origin, f->origin) != 0;
        if (f->required && !required) put(p, "required; ");
        if (fresh) hw_page_origin(p, hw_text_of(f->origin));
        if (fresh && f->note) put(p, "; ");
        hw_page_text(p, f->note);
        origin = f->origin;
        put(p, "</td></tr>\n");
    }
    lever_rows(p, g);
}

static void short_table(hw_page *p)
{
    size_t n;
    hw_group *g = hw_groups_of(p->out->arena, p->r->assessment, HW_FALLS_SHORT, &n);
    if (n == 0) return;
    put(p, "<h2 id=\"short\">Falls short</h2>\n<table class=\"fallen\"><thead><tr><th>digit</th>"
           "<th class=\"n\">value</th><th>limit</th><th class=\"n\">margin</th><th></th>"
           "<th>where the limit comes from</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < n; i++) short_rows(p, &g[i]);
    put(p, "</tbody></table>\n");
}

// ---- what holds: one row a finding, one column a digit ------------------------------------------

static void held_row(hw_page *p, const hw_group *g)
{
    const hw_assessment *a = p->r->assessment;
    const hw_finding *tight = &a->finding[g->at[0]], *of[HW_DIGITS] = {NULL}, *whole = NULL;
    hw_shown u = hw_shown_finding(g->kind);
    char number[40], limit[96];
    bool required = false;
    for (size_t i = 0; i < g->n; i++) {
        const hw_finding *f = &a->finding[g->at[i]];
        *(f->digit >= 0 ? &of[f->digit] : &whole) = f;
        required = required || f->required;
        if (f->margin < tight->margin) tight = f;
    }
    put(p, "<tr><td>");
    hw_page_text(p, g->kind->what);
    if (*u.unit) {
        put(p, ", ");
        hw_page_text(p, u.unit);
    }
    hw_buffer_format(p->out, " <span class=\"soft\">[%zu]</span>%s</td>",
                     hw_source_number(&p->sources, g->kind->source), required ? " *" : "");
    for (int i = 1; i <= HW_DIGITS; i++) {
        int digit = i % HW_DIGITS;
        if (!a->digit[digit].present) continue;
        const hw_finding *f = whole ? whole : of[digit];
        put(p, "<td class=\"n\">");
        if (f) hw_page_text(p, hw_value_text(f->value, u, number));
        put(p, "</td>");
        if (whole) break;
    }
    put(p, "<td class=\"w\">");
    hw_page_text(p, hw_limit_text(tight, u, limit));
    put(p, "</td><td class=\"w soft\">");
    if (hw_page_line(p, hw_text_of(tight->origin)).len)
        hw_page_origin(p, hw_text_of(tight->origin));
    else
        hw_buffer_format(p->out, "[%zu]", hw_source_number(&p->sources, tight->origin));
    put(p, "</td><td class=\"n\">");
    hw_page_text(p, hw_signed_text(tight->margin, u, number));
    put(p, "</td><td>");
    gauge(p, tight->margin_ratio);
    put(p, "</td></tr>\n");
}

static void held_table(hw_page *p)
{
    size_t n;
    hw_group *g = hw_groups_of(p->out->arena, p->r->assessment, HW_HOLDS, &n);
    if (n == 0) return;
    put(p, "<h2 id=\"holds\">Holds</h2>\n<table class=\"held\"><thead><tr><th>what</th>");
    for (int i = 1; i <= HW_DIGITS; i++)
        if (p->r->assessment->digit[i % HW_DIGITS].present)
            hw_buffer_format(p->out, "<th class=\"n\">%s</th>", hw_digit_name[i % HW_DIGITS]);
    put(p, "<th>limit</th><th>from</th><th class=\"n\">least margin</th><th></th></tr></thead>"
           "<tbody>\n");
    for (size_t i = 0; i < n; i++) held_row(p, &g[i]);
    put(p,
        "</tbody></table>\n<p class=\"soft note\">* required by the document. An empty field: this "
        "digit falls short there, or has no such thing.</p>\n");
}

static const char *reason_of(const hw_page *p, const hw_group *g)
{
    const char *note = p->r->assessment->finding[g->at[0]].note;
    return note ? note : g->kind->unknown ? g->kind->unknown : "not computed";
}

// `rows`: how many rows this one's reason holds for; 0: it stands above already.
static void unknown_row(hw_page *p, const hw_group *g, size_t rows)
{
    const hw_finding *f = &p->r->assessment->finding[g->at[0]];
    hw_shown u = hw_shown_finding(g->kind);
    bool digits[HW_DIGITS] = {false};
    char who[64], limit[96];
    for (size_t i = 0; i < g->n; i++) {
        int digit = p->r->assessment->finding[g->at[i]].digit;
        if (digit >= 0) digits[digit] = true;
    }
    hw_digits_text(p->r->assessment, digits, who);
    put(p, "<tr><td>");
    hw_page_text(p, g->kind->what);
    put(p, "</td><td>");
    hw_page_text(p, *who ? who : "the hand");
    put(p, "</td><td class=\"w\">");
    with_unit(p, hw_limit_text(f, u, limit), u.unit);
    put(p, "</td>");
    if (rows) {
        hw_buffer_format(p->out, "<td rowspan=\"%zu\">", rows);
        hw_page_text(p, reason_of(p, g));
        put(p, "</td>");
    }
    put(p, "</tr>\n");
}

static void unknown_table(hw_page *p)
{
    size_t n;
    hw_group *g = hw_groups_of(p->out->arena, p->r->assessment, HW_UNKNOWN, &n);
    if (n == 0) return;
    put(p, "<h2 id=\"unknown\">Unknown, counted as not held</h2>\n<table "
           "class=\"open\"><thead><tr><th>what</th>"
           "<th>digit</th><th>limit</th><th>why</th></tr></thead><tbody>\n");
    for (size_t i = 0, rows; i < n; i++) {
        bool told = i > 0 && strcmp(reason_of(p, &g[i]), reason_of(p, &g[i - 1])) == 0;
        for (rows = 1; i + rows < n; rows++)
            if (strcmp(reason_of(p, &g[i]), reason_of(p, &g[i + rows])) != 0) break;
        unknown_row(p, &g[i], told ? 0 : rows);
    }
    put(p, "</tbody></table>\n");
}

void hw_page_verdicts(hw_page *p)
{
    short_table(p);
    unknown_table(p);
    held_table(p);
    if (p->sources.n == 0) return;
    put(p,
        "<p class=\"soft note\">Bars beside margins start at the limit: to the right it holds, to "
        "the left it falls short; a bar that is cut goes on. \"line\" is a line of the "
        "design's file.</p>\n");
    put(p, "<h3>Computed by, and limits from</h3>\n<ol class=\"sources\">\n");
    for (size_t i = 0; i < p->sources.n; i++) {
        put(p, "<li>");
        hw_page_text(p, p->sources.at[i]);
        put(p, "</li>\n");
    }
    put(p, "</ol>\n");
}
