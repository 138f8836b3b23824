// The report as one HTML file.
#include "report/html.h"

#include <string.h>

void hw_page_text(hw_page *p, const char *text)
{
    for (; text && *text; text++) {
        const char *as = *text == '&'   ? "&amp;"
                         : *text == '<' ? "&lt;"
                         : *text == '>' ? "&gt;"
                         : *text == '"' ? "&quot;"
                                        : NULL;
        if (as)
            hw_buffer_puts(p->out, as);
        else
            hw_buffer_put(p->out, (hw_text){text, 1});
    }
}

hw_text hw_page_line(const hw_page *p, hw_text origin)
{
    const char *file = hw_design_file(p->r->assessment->design);
    size_t n = file ? strlen(file) : 0;
    if (n == 0 || origin.len <= n + 1 || memcmp(origin.at, file, n) != 0 || origin.at[n] != ':')
        return (hw_text){NULL, 0};
    return (hw_text){origin.at + n + 1, origin.len - n - 1};
}

void hw_page_origin(hw_page *p, hw_text origin)
{
    hw_text line = hw_page_line(p, origin);
    if (line.len) hw_buffer_puts(p->out, "line ");
    hw_page_text(p, hw_arena_text(p->out->arena, line.len ? line : origin));
}

static void put(hw_page *p, const char *markup)
{
    hw_buffer_puts(p->out, markup);
}

static void head(hw_page *p)
{
    const hw_assessment *s = p->r->assessment;
    put(p, "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n<title>");
    hw_page_text(p, p->name);
    put(p, ": verdict sheet</title>\n<meta name=\"viewport\" content=\"width=device-width, "
           "initial-scale=1\">\n<meta name=\"generator\" content=\"Handwright\">\n<style>\n");
    put(p, hw_page_style);
    put(p, "</style></head>\n<body>\n<header><h1>");
    hw_page_text(p, p->name);
    put(p, "</h1>\n<div class=\"sub\">Verdict sheet of the design in ");
    hw_page_text(p, hw_design_file(s->design) ? hw_design_file(s->design) : "memory");
    if (p->r->variant) {
        put(p, ", variant ");
        hw_page_text(p, p->r->variant);
    }
    put(p, ", computed by Handwright before anything is printed</div></header>\n");
}

static void answer(hw_page *p)
{
    const hw_assessment *s = p->r->assessment;
    hw_buffer words = {.arena = p->out->arena};
    hw_put_answer(p->r, &words);
    put(p, "<div class=\"tally\">");
    hw_buffer_format(p->out, "<div><b>%zu</b>fall%s short</div>", s->fallen_short,
                     s->fallen_short == 1 ? "s" : "");
    hw_buffer_format(p->out, "<div><b>%zu</b>unknown</div><div><b>%zu</b>hold</div></div>\n<p>",
                     s->unknown, s->held);
    hw_page_text(p, words.at);
    put(p, "</p>\n<nav>");
    if (s->fallen_short) put(p, "<a href=\"#short\">falls short</a>");
    if (s->unknown) put(p, "<a href=\"#unknown\">unknown</a>");
    if (s->held) put(p, "<a href=\"#holds\">holds</a>");
    put(p, "<a href=\"#cautions\">cautions</a><a href=\"#drawings\">drawings</a>"
           "<a href=\"#entries\">numbers</a></nav>\n");
}

static bool sink_buffer(void *self, const void *bytes, size_t n)
{
    hw_buffer_put(self, (hw_text){bytes, n});
    return true;
}

static void figure(hw_page *p, const hw_sheet *sheet)
{
    if (!sheet) return;
    put(p, "<figure>");
    if (hw_sheet_svg(sheet, true, (hw_sink){sink_buffer, p->out}) != HW_OK) return;
    put(p, "</figure>\n");
}

// Every drawing lives only until it is written: a hand has up to 26.
static void one_drawing(hw_page *p, const hw_drawing *drawing, const hw_digit_view *v)
{
    figure(p, drawing->draw(p->out->arena, v));
}

// Digits whose numbers make no digit: said, not left out in silence.
static void not_drawn(hw_page *p)
{
    const hw_assessment *s = p->r->assessment;
    for (int i = 1; i <= HW_DIGITS; i++) {
        const hw_digit_assessment *g = &s->digit[i % HW_DIGITS];
        if (!g->present || g->fault == HW_DIGIT_SOUND) continue;
        hw_buffer_format(p->out, "<p>The %s is not drawn: %s.</p>\n", hw_digit_name[i % HW_DIGITS],
                         hw_digit_fault_text(g->fault));
    }
}

static void drawings(hw_page *p)
{
    const hw_assessment *s = p->r->assessment;
    hw_digit_view view[HW_DIGITS];
    size_t n = 0;
    for (int i = 1; i <= HW_DIGITS; i++)
        if (hw_report_view(s, i % HW_DIGITS, p->name, &view[n])) n++;
    put(p, "<h2 id=\"drawings\" class=\"leaf\">Drawings</h2>\n");
    if (n == 0) put(p, "<p>No digit of this design can be drawn.</p>\n");
    not_drawn(p);
    figure(p, hw_draw_hand(p->out->arena, view, n));
    figure(p, hw_report_palm(p->out->arena, s, p->name));
    for (size_t i = 0; i < n; i++) {
        put(p, "<section class=\"digit\">\n");
        bool open = false;
        for (int k = 0; k < HW_DRAWINGS; k++) {
            const hw_drawing *d = &hw_drawing_of_digit[k];
            if (d->narrow != open) put(p, open ? "</div>\n" : "<div class=\"pair\">\n");
            open = d->narrow;
            one_drawing(p, d, &view[i]);
        }
        if (open) put(p, "</div>\n");
        put(p, "</section>\n");
    }
}

hw_code hw_report_html(const hw_report *r, hw_buffer *out)
{
    hw_page p = {.r = r, .out = out, .name = hw_report_name(out->arena, r->assessment->design)};
    if (!p.name) return HW_NO_MEMORY;
    head(&p);
    answer(&p);
    hw_page_verdicts(&p);
    put(&p, hw_page_cautions);
    drawings(&p);
    hw_page_entries(&p);
    put(&p, "</body></html>\n");
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
