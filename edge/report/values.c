// Values in the units that people use, and what findings have in common.
#include <math.h>
#include <string.h>

#include "report/report_internal.h"

#define MINUS "\xe2\x88\x92"

hw_shown hw_shown_finding(const hw_finding_kind *k)
{
    hw_unit u;
    size_t used;
    hw_shown s = {.scale = 1, .unit = k->unit};
    if (k->unit && hw_unit_read(hw_text_of(k->unit), &u, &used) == HW_OK && u.scale > 0)
        s.scale = u.scale;
    if (!k->unit) s.unit = hw_unit_of(k->dim, &s.scale);
    // a tenth of the scale is told apart
    double tenth = k->scale / s.scale / 10;
    while (s.decimals < 6 && tenth < 0.2) {
        tenth *= 10;
        s.decimals++;
    }
    if (s.decimals == 0 && tenth < 10) s.decimals = 1;
    return s;
}

hw_shown hw_shown_entry(const hw_entry_row *row)
{
    hw_unit u;
    const char *unit = hw_unit_absolute(row->dim, &u);
    return (hw_shown){.scale = u.scale, .offset = u.offset, .unit = unit, .decimals = -1};
}

static const char *number_text(double value, hw_shown u, const char *plus, char out[40])
{
    char plain[HW_NUMBER_TEXT];
    if (isnan(value)) return strcpy(out, "\xe2\x80\x94");
    double v = (value - u.offset) / u.scale, size = fabs(v);
    if (isinf(v))
        strcpy(plain, "\xe2\x88\x9e");
    else if (size < 1e-6)
        strcpy(plain, "0");
    else if (u.decimals >= 0)
        for (int d = size >= 1000                    ? 0
                     : size >= 100 && u.decimals > 1 ? 1
                                                     : u.decimals;
             d <= 7; d++) {
            hw_number_write_fixed(size, d, plain);
            if (strpbrk(plain, "123456789")) break;
        }
    else if (size >= 100)
        hw_number_write_fixed(size, 0, plain);
    else
        hw_number_write_rounded(size, 3, plain);
    bool zero = !strpbrk(plain, "123456789\xe2");
    strcpy(out, v < 0 && !zero ? MINUS : v > 0 && !zero ? plus : "");
    return strcat(out, plain);
}

const char *hw_value_text(double value, hw_shown u, char out[40])
{
    return number_text(value, u, "", out);
}

const char *hw_signed_text(double value, hw_shown u, char out[40])
{
    return number_text(value, u, "+", out);
}

const char *hw_range_text(double low, double high, hw_shown u, char out[96])
{
    char x[40], y[40];
    hw_value_text(low, u, x);
    hw_value_text(high, u, y);
    strcpy(out, x);
    return strcmp(x, y) == 0 ? out : strcat(strcat(out, " to "), y);
}

const char *hw_limit_text(const hw_finding *f, hw_shown u, char out[96])
{
    char low[40], high[40];
    u.decimals = -1; // as people set it
    hw_value_text(f->low, u, low);
    hw_value_text(f->high, u, high);
    bool has_low = !isnan(f->low), has_high = !isnan(f->high);
    const char *part[3] = {"no limit", "", ""};
    if (has_low && has_high) part[0] = low, part[1] = " to ", part[2] = high;
    if (has_low && !has_high) part[0] = "at least ", part[1] = low;
    if (!has_low && has_high) part[0] = "at most ", part[1] = high;
    out[0] = '\0';
    for (int i = 0; i < 3; i++) strcat(out, part[i]);
    return out;
}

const char *hw_report_name(hw_arena *a, const hw_design *d)
{
    hw_text name = hw_design_text(d, hw_entry_of(HW_E_NAME, -1));
    const char *file = hw_design_file(d);
    if (name.len == 0 && file) {
        const char *base = strrchr(file, '/');
        name = hw_text_of(base ? base + 1 : file);
        const char *dot = strrchr(name.at, '.');
        if (dot && dot > name.at) name.len = (size_t)(dot - name.at);
    }
    if (name.len == 0) name = HW_TEXT("this design");
    return hw_arena_text(a, name);
}

// ---- grouping ---------------------------------------------------------------------------------

static hw_group *group_for(hw_group *g, size_t *n, const hw_finding *f)
{
    for (size_t i = 0; i < *n; i++)
        if (g[i].kind == f->kind && g[i].n < HW_DIGITS) return &g[i];
    g[*n] = (hw_group){.kind = f->kind, .verdict = f->verdict, .worst_ratio = NAN};
    return &g[(*n)++];
}

hw_group *hw_groups_of(hw_arena *a, const hw_assessment *s, hw_verdict v, size_t *n)
{
    *n = 0;
    hw_group *g = HW_NEW(a, hw_group, s->findings + 1);
    if (!g) return NULL;
    for (size_t i = 0; i < s->findings; i++) {
        const hw_finding *f = &s->finding[i];
        if (f->verdict != v) continue;
        hw_group *to = group_for(g, n, f);
        to->at[to->n++] = i;
        if (!(to->worst_ratio <= f->margin_ratio)) to->worst_ratio = f->margin_ratio;
    }
    if (v != HW_FALLS_SHORT) return g;
    for (size_t i = 1; i < *n; i++)
        for (size_t k = i; k > 0 && g[k].worst_ratio < g[k - 1].worst_ratio; k--) {
            hw_group swap = g[k];
            g[k] = g[k - 1];
            g[k - 1] = swap;
        }
    return g;
}

const char *hw_digits_text(const hw_assessment *s, const bool digits[HW_DIGITS], char out[64])
{
    bool all = true, none = true, fingers = true;
    for (int i = 0; i < HW_DIGITS; i++) {
        all = all && digits[i] == s->digit[i].present;
        none = none && !digits[i];
        fingers = fingers && digits[i] == (i != HW_THUMB);
    }
    out[0] = '\0';
    if (none) return out;
    if (all) return strcpy(out, "all digits");
    if (fingers) return strcpy(out, "all fingers");
    for (int i = 1; i <= HW_DIGITS; i++) { // index to little, thumb last, as in the assessment
        int digit = i % HW_DIGITS;
        if (!digits[digit]) continue;
        if (out[0]) strcat(out, ", ");
        strcat(out, hw_digit_name[digit]);
    }
    return out;
}

static bool same_words(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

static bool reads_the_same(const hw_report *r, size_t a, size_t b)
{
    const hw_finding *f = &r->assessment->finding[a], *g = &r->assessment->finding[b];
    hw_shown u = hw_shown_finding(f->kind);
    char v[2][40], m[2][40], l[2][96];
    hw_value_text(f->value, u, v[0]);
    hw_value_text(g->value, u, v[1]);
    hw_value_text(f->margin, u, m[0]);
    hw_value_text(g->margin, u, m[1]);
    hw_limit_text(f, u, l[0]);
    hw_limit_text(g, u, l[1]);
    return strcmp(v[0], v[1]) == 0 && strcmp(m[0], m[1]) == 0 && strcmp(l[0], l[1]) == 0 &&
           same_words(f->note, g->note) && f->required == g->required;
}

size_t hw_same_lines(const hw_report *r, const hw_group *g, size_t first, bool taken[HW_DIGITS],
                     bool digits[HW_DIGITS])
{
    size_t n = 0;
    for (int i = 0; i < HW_DIGITS; i++) digits[i] = false;
    for (size_t i = first; i < g->n; i++) {
        const hw_finding *f = &r->assessment->finding[g->at[i]];
        if (taken[i] || (i != first && !reads_the_same(r, g->at[first], g->at[i]))) continue;
        taken[i] = true;
        if (f->digit >= 0 && f->digit < HW_DIGITS) digits[f->digit] = true;
        n++;
    }
    return n;
}

size_t hw_source_number(hw_sources *s, const char *source)
{
    const size_t room = sizeof s->at / sizeof *s->at;
    for (size_t i = 0; i < s->n; i++)
        if (strcmp(s->at[i], source) == 0) return i + 1;
    if (s->n == room) return 0;
    s->at[s->n++] = source;
    return s->n;
}

// ---- sentences --------------------------------------------------------------------------------

void hw_put_answer(const hw_report *r, hw_buffer *out)
{
    const hw_assessment *s = r->assessment;
    // what the maker asked for comes first
    if (s->required == 1)
        hw_buffer_format(out, "The finding that the document requires %s. ",
                         s->required_held ? "holds" : "does not hold");
    else if (s->required && s->required_held == s->required)
        hw_buffer_format(out, "All %zu findings that the document requires hold. ", s->required);
    else if (s->required)
        hw_buffer_format(out, "Of %zu findings that the document requires %zu hold. ", s->required,
                         s->required_held);
    hw_buffer_format(out, s->required ? "All %zu findings: %zu hold" : "Of %zu findings %zu hold",
                     s->findings, s->held);
    if (s->fallen_short)
        hw_buffer_format(out, ", %zu fall%s short", s->fallen_short,
                         s->fallen_short == 1 ? "s" : "");
    else
        hw_buffer_puts(out, ", none falls short");
    if (s->unknown)
        hw_buffer_format(out, ", %zu %s unknown", s->unknown, s->unknown == 1 ? "is" : "are");
    hw_buffer_puts(out, ".");
    if (s->elsewhere)
        hw_buffer_format(out,
                         " Another %zu that it requires %s about printed parts: %s computes %s.",
                         s->elsewhere, s->elsewhere == 1 ? "is" : "are", s->by,
                         s->elsewhere == 1 ? "it" : "them");
    if (s->required == 0 && s->elsewhere == 0)
        hw_buffer_puts(out, " The document requires nothing by name, so every limit counts.");
}
