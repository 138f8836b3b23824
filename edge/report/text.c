// The verdict sheet for a terminal.
#include <math.h>
#include <string.h>

#include "report/report_internal.h"

typedef struct sheet {
    const hw_report *r;
    hw_buffer *out;
    int columns;
    hw_sources sources;
} sheet;

static void spaces(hw_buffer *b, int n)
{
    for (int i = 0; i < n; i++) hw_buffer_puts(b, " ");
}

// Text in a column: padded after it, or before it.
static void cell(hw_buffer *b, const char *text, int width, bool right)
{
    int room = width - (int)hw_utf8_count(hw_text_of(text));
    if (right) spaces(b, room);
    hw_buffer_puts(b, text);
    if (!right) spaces(b, room);
}

// Words from column `at` on, broken at spaces; further lines start at column `indent`. Ends the
// line.
static void wrapped(sheet *s, int at, int indent, const char *text)
{
    const char *word = text;
    bool first = true;
    while (*word) {
        size_t n = strcspn(word, " ");
        int wide = (int)hw_utf8_count((hw_text){word, n});
        if (!first && at + 1 + wide > s->columns) {
            hw_buffer_puts(s->out, "\n");
            spaces(s->out, indent);
            at = indent;
        } else if (!first) {
            hw_buffer_puts(s->out, " ");
            at++;
        }
        hw_buffer_put(s->out, (hw_text){word, n});
        at += wide;
        word += n;
        word += strspn(word, " ");
        first = false;
    }
    hw_buffer_puts(s->out, "\n");
}

static void heading(sheet *s, const char *words)
{
    hw_buffer_format(s->out, "\n%s\n", words);
    for (size_t i = 0; i < hw_utf8_count(hw_text_of(words)); i++)
        hw_buffer_puts(s->out, "\xe2\x94\x80");
    hw_buffer_puts(s->out, "\n");
}

static hw_buffer scratch(const sheet *s)
{
    return (hw_buffer){.arena = s->out->arena};
}

static const char *words_of(const hw_buffer *b)
{
    return b->at ? b->at : "";
}

// "    index, middle    17.2 N/N   at most 15   margin −2.2"
static void value_line(sheet *s, const hw_finding *f, const char *who, bool required)
{
    hw_shown u = hw_shown_finding(f->kind);
    char number[40], limit[96];
    hw_buffer v = scratch(s);
    hw_buffer_format(&v, "%s%s%s", hw_value_text(f->value, u, number), *u.unit ? " " : "", u.unit);
    hw_buffer_puts(s->out, "    ");
    cell(s->out, who, 22, false);
    cell(s->out, words_of(&v), 12, true);
    hw_buffer_puts(s->out, "   ");
    cell(s->out, hw_limit_text(f, u, limit), 16, false);
    hw_buffer_format(s->out, "margin %s", hw_signed_text(f->margin, u, number));
    hw_buffer_puts(s->out, required ? "   required\n" : "\n");
}

static void source_line(sheet *s, int indent, const char *lead, const char *text)
{
    hw_buffer b = scratch(s);
    if (!text || !*text) return;
    hw_buffer_format(&b, "%s%s", lead, text);
    spaces(s->out, indent);
    wrapped(s, indent, indent + 2, words_of(&b));
}

static bool all_required(const sheet *s, const hw_group *g)
{
    bool all = true;
    for (size_t i = 0; i < g->n; i++) all = all && s->r->assessment->finding[g->at[i]].required;
    return all;
}

static void kind_line(sheet *s, const hw_group *g, bool required)
{
    hw_buffer b = scratch(s);
    hw_buffer_format(&b, "%s%s [%zu]", g->kind->what, required ? ", required" : "",
                     hw_source_number(&s->sources, g->kind->source));
    hw_buffer_puts(s->out, "  ");
    wrapped(s, 2, 4, words_of(&b));
}

static void lever_lines(sheet *s, const hw_group *g)
{
    hw_lever_cluster c[HW_DIGITS];
    size_t n = hw_lever_clusters(s->r, g, c);
    for (size_t i = 0; i < n; i++) {
        hw_buffer b = scratch(s);
        hw_put_cluster(s->r, &c[i], n > 1, &b);
        source_line(s, 4, "lever: ", words_of(&b));
    }
}

static void short_group(sheet *s, const hw_group *g)
{
    bool taken[HW_DIGITS] = {false}, digits[HW_DIGITS], required = all_required(s, g);
    char who[64];
    const char *origin = NULL;
    kind_line(s, g, required);
    for (size_t i = 0; i < g->n; i++) {
        if (taken[i] || hw_same_lines(s->r, g, i, taken, digits) == 0) continue;
        const hw_finding *f = &s->r->assessment->finding[g->at[i]];
        hw_digits_text(s->r->assessment, digits, who);
        value_line(s, f, *who ? who : "the hand", f->required && !required);
        source_line(s, 6, "", f->note);
    }
    for (size_t i = 0; i < g->n; i++) {
        const hw_finding *f = &s->r->assessment->finding[g->at[i]];
        if (!origin || strcmp(origin, f->origin) != 0) source_line(s, 4, "limit: ", f->origin);
        origin = f->origin;
    }
    lever_lines(s, g);
}

// Why a group is unknown: the same words for all of it, or the kind's own.
static const char *reason_of(const hw_assessment *a, const hw_group *g)
{
    const hw_finding *f = &a->finding[g->at[0]];
    return f->note ? f->note : g->kind->unknown ? g->kind->unknown : "not computed";
}

// The digits of a group in words; "" for the hand's own and for all digits.
static const char *who_of(const hw_assessment *a, const hw_group *g, char out[64])
{
    bool digits[HW_DIGITS] = {false};
    for (size_t m = 0; m < g->n; m++) {
        int digit = a->finding[g->at[m]].digit;
        if (digit >= 0) digits[digit] = true;
    }
    hw_digits_text(a, digits, out);
    if (strcmp(out, "all digits") == 0) out[0] = '\0';
    return out;
}

// Whether all groups with this reason are unknown for the same digits: these are then named once.
static bool same_digits(const hw_assessment *a, const hw_group *g, size_t n, const char *why)
{
    char first[64] = "", other[64] = "";
    bool same = true, any = false;
    for (size_t k = 0; k < n; k++) {
        if (strcmp(why, reason_of(a, &g[k])) != 0) continue;
        who_of(a, &g[k], any ? other : first);
        same = same && (!any || strcmp(first, other) == 0);
        any = true;
    }
    return same && *first;
}

static void unknown(sheet *s, const hw_group *g, size_t n)
{
    const hw_assessment *a = s->r->assessment;
    bool *done = HW_NEW(s->out->arena, bool, n + 1);
    if (!done) return;
    for (size_t i = 0; i < n; i++) {
        if (done[i]) continue;
        char who[64];
        const char *why = reason_of(a, &g[i]);
        hw_buffer b = scratch(s);
        bool once = same_digits(a, g, n, why);
        if (once) hw_buffer_format(&b, "%s: ", who_of(a, &g[i], who));
        hw_buffer_format(&b, "%s:", why);
        for (size_t k = i; k < n; k++) {
            if (done[k] || strcmp(why, reason_of(a, &g[k])) != 0) continue;
            done[k] = true;
            hw_buffer_format(&b, "%s %s", k == i ? "" : ";", g[k].kind->what);
            if (!once && *who_of(a, &g[k], who)) hw_buffer_format(&b, " (%s)", who);
        }
        hw_buffer_puts(s->out, "  ");
        wrapped(s, 2, 4, words_of(&b));
    }
}

enum { NUMBERS = 54 }; // columns that value, limit and margin take

// Text in a column of its own: its first line, padded; the rest is left in *rest.
static void first_line(sheet *s, const char *text, int width, const char **rest)
{
    size_t n = strlen(text);
    while (n && (int)hw_utf8_count((hw_text){text, n}) > width) do
            n--;
        while (n && text[n] != ' ');
    if (n == 0) n = strlen(text); // one long word
    hw_buffer_put(s->out, (hw_text){text, n});
    spaces(s->out, width - (int)hw_utf8_count((hw_text){text, n}));
    *rest = text + n + strspn(text + n, " ");
}

// What a row says of a group: range of the values, limit, the smallest margin and whose it is.
static void held_line(sheet *s, const hw_group *g)
{
    const hw_assessment *a = s->r->assessment;
    hw_shown u = hw_shown_finding(g->kind);
    const hw_finding *tight = &a->finding[g->at[0]];
    double low = INFINITY, high = -INFINITY;
    bool required = false, digits[HW_DIGITS] = {false};
    char range[96], limit[96], margin[40], who[64];
    for (size_t i = 0; i < g->n; i++) {
        const hw_finding *f = &a->finding[g->at[i]];
        low = fmin(low, f->value);
        high = fmax(high, f->value);
        required = required || f->required;
        if (f->digit >= 0) digits[f->digit] = true;
        if (f->margin < tight->margin) tight = f;
    }
    hw_buffer v = scratch(s), what = scratch(s);
    hw_range_text(low, high, u, range);
    hw_buffer_format(&v, "%s%s%s", range, *u.unit ? " " : "", u.unit);
    hw_digits_text(a, digits, who);
    bool some = *who && strcmp(who, "all digits") != 0;
    hw_buffer_format(&what, "%s%s%s [%zu]%s", g->kind->what, some ? ", " : "", some ? who : "",
                     hw_source_number(&s->sources, g->kind->source), required ? " *" : "");
    const char *rest;
    hw_buffer_puts(s->out, "  ");
    first_line(s, words_of(&what), s->columns - NUMBERS, &rest);
    cell(s->out, words_of(&v), 19, true);
    hw_buffer_puts(s->out, "  ");
    cell(s->out, hw_limit_text(tight, u, limit), 14, false);
    if (hw_utf8_count(hw_text_of(limit)) >= 14) hw_buffer_puts(s->out, " ");
    hw_buffer_puts(s->out, hw_signed_text(tight->margin, u, margin));
    if (strstr(range, " to ") && tight->digit >= 0)
        hw_buffer_format(s->out, " %s", hw_digit_name[tight->digit]);
    hw_buffer_puts(s->out, "\n");
    if (*rest) {
        spaces(s->out, 4);
        wrapped(s, 4, 4, rest);
    }
}

static void held(sheet *s, const hw_group *g, size_t n)
{
    bool required = false;
    spaces(s->out, 2 + s->columns - NUMBERS);
    cell(s->out, "value", 19, true);
    hw_buffer_puts(s->out, "  ");
    cell(s->out, "limit", 14, false);
    hw_buffer_puts(s->out, "least margin\n");
    for (size_t i = 0; i < n; i++) {
        held_line(s, &g[i]);
        for (size_t k = 0; k < g[i].n; k++)
            required = required || s->r->assessment->finding[g[i].at[k]].required;
    }
    if (required) hw_buffer_puts(s->out, "  * required by the document\n");
}

static void head(sheet *s)
{
    const hw_design *d = s->r->assessment->design;
    const char *file = hw_design_file(d), *name = hw_report_name(s->out->arena, d);
    hw_buffer b = scratch(s);
    hw_buffer_puts(s->out, name ? name : "");
    if (file) hw_buffer_format(s->out, "   %s", file);
    if (s->r->variant) hw_buffer_format(s->out, "   variant %s", s->r->variant);
    hw_buffer_puts(s->out, "\n\n");
    hw_put_answer(s->r, &b);
    wrapped(s, 0, 0, words_of(&b));
}

hw_code hw_report_text(const hw_report *r, int columns, hw_buffer *out)
{
    sheet s = {.r = r, .out = out, .columns = columns < 60 ? 60 : columns > 200 ? 200 : columns};
    size_t n;
    head(&s);
    hw_group *g = hw_groups_of(out->arena, r->assessment, HW_FALLS_SHORT, &n);
    if (n) heading(&s, "Falls short");
    for (size_t i = 0; i < n; i++) short_group(&s, &g[i]);
    g = hw_groups_of(out->arena, r->assessment, HW_UNKNOWN, &n);
    if (n) {
        heading(&s, "Unknown, counted as not held");
        unknown(&s, g, n);
    }
    g = hw_groups_of(out->arena, r->assessment, HW_HOLDS, &n);
    if (n) {
        heading(&s, "Holds");
        held(&s, g, n);
    }
    if (s.sources.n) heading(&s, "Computed by");
    for (size_t i = 0; i < s.sources.n; i++) {
        hw_buffer b = scratch(&s);
        hw_buffer_format(&b, "[%zu] %s", i + 1, s.sources.at[i]);
        hw_buffer_puts(out, "  ");
        wrapped(&s, 2, 6, words_of(&b));
    }
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
