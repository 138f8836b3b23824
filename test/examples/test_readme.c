// What examples/README.md says of the three hands is what the program says of them: every number in
// its tables is the sheet's, rounded to the place that is printed, every limit is the document's,
// and no line of a sheet goes without a word: what is required or falls short has it with its hand.
//
// A row: `finding`, ... | numbers | limit | words. Numbers stand for the digits that the section's
// first table names, in its order; "each" says one for all, "a to b" their range, "(thumb x)" the
// thumb's. Rows of several findings have one number each, or their common range. "never" is an
// infinite time.
#include "readme.h"

enum { NAMES = 8 };

typedef struct section {
    const hw_assessment *sheet;
    int digit[HW_DIGITS];
    size_t digits;
    bool asked, fails; // third column is the limit; every row falls short
    hw_text text;
} section;

// Names between back quotes, each ended by a zero.
static size_t names_of(hw_text t, char out[NAMES][64])
{
    size_t n = 0;
    const char *end = t.at + t.len;
    for (const char *p = t.at; p < end && n < NAMES;) {
        const char *open = memchr(p, '`', (size_t)(end - p));
        const char *close = open ? memchr(open + 1, '`', (size_t)(end - open - 1)) : NULL;
        if (!close) break;
        (void)snprintf(out[n++], 64, "%.*s", (int)(close - open - 1), open + 1);
        p = close + 1;
    }
    return n;
}

static const hw_finding *find(const hw_assessment *s, const char *id)
{
    for (size_t i = 0; i < s->findings; i++)
        if (strcmp(s->finding[i].id, id) == 0) return &s->finding[i];
    return NULL;
}

static const hw_finding *of_digit(const section *s, int digit, const char *name)
{
    char id[96];
    if (strchr(name, '/')) return find(s->sheet, name);
    (void)snprintf(id, sizeof id, "hand/%s", name);
    const hw_finding *f = find(s->sheet, id);
    if (f) return f;
    (void)snprintf(id, sizeof id, "digits.%s/%s", hw_digit_name[digit], name);
    return find(s->sheet, id);
}

static double shown(const hw_finding *f, double si)
{
    hw_unit u;
    size_t used;
    double scale = 1;
    if (f->kind->unit && hw_unit_read(hw_text_of(f->kind->unit), &u, &used) == HW_OK)
        return hw_from_si(si, &u);
    (void)hw_unit_of(f->kind->dim, &scale);
    return si / scale;
}

static void check_value(const section *s, const hw_finding *f, number x)
{
    if (!CHECK(f != NULL)) return;
    if (!CHECK(same(shown(f, f->value), x)))
        printf("    %s: %g is printed, the sheet says %.6g\n", f->id, x.value, shown(f, f->value));
    if (s->fails && !CHECK(f->verdict == HW_FALLS_SHORT)) printf("    %s holds\n", f->id);
}

static void check_range(const section *s, char names[NAMES][64], size_t n, const cell *c)
{
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < s->digits; k++) {
            const hw_finding *f = of_digit(s, s->digit[k], names[i]);
            if (!CHECK(f != NULL)) return;
            low = fmin(low, shown(f, f->value));
            high = fmax(high, shown(f, f->value));
        }
    if (!CHECK(c->n == 2 && same(low, c->at[0]) && same(high, c->at[1])))
        printf("    %s: the sheet says %.6g to %.6g\n", names[0], low, high);
}

static void check_values(const section *s, char names[NAMES][64], size_t n, const cell *c)
{
    if (c->has_thumb) check_value(s, of_digit(s, HW_THUMB, names[0]), c->thumb);
    if (c->range) {
        check_range(s, names, n, c);
        return;
    }
    bool by_name = c->n == n && (n > 1 || c->each || s->digits == 1);
    for (size_t i = 0; i < n; i++) {
        const hw_finding *first = of_digit(s, s->digit[0], names[i]);
        if (by_name || (first && first->digit < 0)) {
            if (!CHECK(c->n == n)) break;
            size_t to = c->each ? s->digits : 1;
            for (size_t k = 0; k < to; k++)
                check_value(s, of_digit(s, s->digit[k], names[i]), c->at[i]);
        } else if (CHECK(n == 1 && c->n == s->digits)) {
            for (size_t k = 0; k < s->digits; k++)
                check_value(s, of_digit(s, s->digit[k], names[i]), c->at[k]);
        }
    }
}

static void check_limit(const hw_finding *f, const cell *c, size_t at)
{
    if (!CHECK(f != NULL)) return;
    bool low = has(c->text, "at least") || c->range, high = !low || c->range;
    bool ok = true;
    if (low) ok = CHECK(same(shown(f, f->low), c->at[c->range ? 0 : at]));
    if (high) ok = CHECK(same(shown(f, f->high), c->at[c->range ? 1 : at])) && ok;
    if (!ok) printf("    limits of %s: %g, %g\n", f->id, shown(f, f->low), shown(f, f->high));
}

static void check_limits(const section *s, char names[NAMES][64], size_t n, const cell *c)
{
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < s->digits; k++) {
            const hw_finding *f = of_digit(s, s->digit[k], names[i]);
            size_t at = c->n == 1 || c->range ? 0 : n > 1 ? i : k;
            if (CHECK(at < c->n)) check_limit(f, c, at);
            if (f && f->digit < 0) break;
        }
}

static void check_row(section *s, hw_text line)
{
    hw_text column[COLUMNS] = {{0}};
    char names[NAMES][64];
    if (columns_of(line, column) < 3) return;
    size_t n = names_of(column[0], names);
    if (n == 0) { // a table's head
        s->asked = has(column[2], "asked");
        s->fails = has(column[2], "why");
        if (has(column[0], "finding") && s->digits == 0)
            for (int digit = HW_INDEX; digit <= HW_LITTLE; digit++)
                if (has(column[1], hw_digit_name[digit])) s->digit[s->digits++] = digit;
        return;
    }
    if (!s->asked && !s->fails) return;
    cell value = cell_of(column[1]);
    check_values(s, names, n, &value);
    if (!s->asked) return;
    cell limit = cell_of(column[2]);
    check_limits(s, names, n, &limit);
}

static size_t check_tables(section *s)
{
    size_t rows = 0;
    const char *end = s->text.at + s->text.len;
    for (const char *p = s->text.at; p < end;) {
        const char *stop = memchr(p, '\n', (size_t)(end - p));
        if (!stop) stop = end;
        if (*p == '|' && p[1] != '-') {
            check_row(s, (hw_text){p, (size_t)(stop - p)});
            rows++;
        }
        p = stop + 1;
    }
    return rows;
}

static void hand(const char *title, const char *name)
{
    size_t mark = hw_arena_mark(arena);
    hw_assessment sheet = {0};
    if (assess_example(name, &sheet)) {
        section s = {.sheet = &sheet, .text = section_of(title)};
        hw_text page = example_file(arena, "README.md"),
                shared = section_of("## Lines of every hand");
        CHECK(check_tables(&s) > 20 && s.digits > 0);
        for (size_t i = 0; i < sheet.findings; i++) {
            const hw_finding *f = &sheet.finding[i];
            char quoted[72];
            (void)snprintf(quoted, sizeof quoted, "`%s`", f->kind->id);
            bool plain = f->verdict == HW_HOLDS && !f->required; // by default limits, as elsewhere
            if (!CHECK(has(s.text, quoted) || has(plain ? page : shared, quoted)))
                printf("    no word on %s\n", f->id);
        }
    }
    hw_arena_rewind(arena, mark);
}

static void heron(void)
{
    hand("## Heron", "heron");
}

static void wren(void)
{
    hand("## Wren", "wren");
}

static void dodo(void)
{
    hand("## Dodo", "dodo");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(64u << 20);
    if (!arena) return 1;
    RUN(heron);
    RUN(wren);
    RUN(dodo);
    hw_arena_free(arena);
    return TEST_END();
}
