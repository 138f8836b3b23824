// The HTML report and the drawings of whole hands: well formed, self-contained, the same bytes
// again; and what the PDF says.
#include <stdlib.h>

#include "draw/memory.h"
#include "fixture.h"

static hw_arena *arena;

// ---- a small reader of markup -------------------------------------------------------------------

typedef struct markup {
    char open[64][24]; // names of the elements that are open
    int depth;
    int elements;
} markup;

static bool is_void(const char *name)
{
    return strcmp(name, "meta") == 0 || strcmp(name, "br") == 0;
}

static bool fault(const char *at, const char *what)
{
    printf("    %s near: %.60s\n", what, at);
    return false;
}

// One tag from '<' on; *after gets the place behind its '>'.
static bool read_tag(markup *m, const char *tag, const char **after)
{
    char name[24];
    bool closing = tag[1] == '/';
    const char *from = tag + 1 + closing;
    size_t n = strcspn(from, " >/\n");
    if (n == 0 || n >= sizeof name) return fault(tag, "no name");
    memcpy(name, from, n);
    name[n] = '\0';
    const char *c = from + n;
    bool quoted = false;
    for (; *c && (quoted || *c != '>'); c++) {
        if (*c == '"') quoted = !quoted;
        if (*c == '<') return fault(tag, "'<' inside a tag");
    }
    if (!*c) return fault(tag, "no end");
    *after = c + 1;
    m->elements++;
    if (closing) {
        if (m->depth == 0 || strcmp(m->open[m->depth - 1], name) != 0)
            return fault(tag, "closes what is not open");
        m->depth--;
    } else if (c[-1] != '/' && !is_void(name)) {
        if (m->depth == 64) return fault(tag, "too deep");
        memcpy(m->open[m->depth++], name, sizeof name);
    }
    return true;
}

static bool entity_ends(const char *amp)
{
    static const char *const known[] = {"&amp;", "&lt;", "&gt;", "&quot;"};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strncmp(amp, known[i], strlen(known[i])) == 0) return true;
    return fault(amp, "bare '&'");
}

static bool well_formed(const char *html)
{
    markup m = {.depth = 0};
    const char *c = html + strlen("<!DOCTYPE html>");
    while (*c) {
        if (*c == '&' && !entity_ends(c)) return false;
        if (*c != '<') {
            c++;
            continue;
        }
        if (strncmp(c, "<style>", 7) == 0) {
            c = strstr(c, "</style>");
            if (!c) return fault(html, "style does not end");
            c += 8;
            continue;
        }
        if (!read_tag(&m, c, &c)) return false;
    }
    return m.depth == 0 && m.elements > 50;
}

static bool ids_are_unique(const char *html)
{
    static char id[4000][48];
    size_t n = 0;
    for (const char *c = html; (c = strstr(c, " id=\"")); c++) {
        size_t k = strcspn(c + 5, "\"");
        if (k >= sizeof id[0] || n == 4000) return fault(c, "too long or too many");
        memcpy(id[n], c + 5, k);
        id[n][k] = '\0';
        for (size_t i = 0; i < n; i++)
            if (strcmp(id[i], id[n]) == 0) return fault(c, "id twice");
        n++;
    }
    return n > 3;
}

// ---- tests --------------------------------------------------------------------------------------

static void check_page(const char *html)
{
    CHECK(strncmp(html, "<!DOCTYPE html>\n<html lang=\"en\">", 32) == 0);
    CHECK(well_formed(html));
    CHECK(ids_are_unique(html));
    CHECK(count_of(html, "<script") == 0);
    // nothing is fetched: the only addresses are the names of the SVG elements' language
    CHECK(count_of(html, "http") == count_of(html, "xmlns=\"http://www.w3.org/2000/svg\""));
    CHECK(count_of(html, "@import") == 0 && count_of(html, "<link") == 0);
    CHECK(count_of(html, "src=") == 0 && count_of(html, "<img") == 0);
    CHECK(count_of(html, ">nan<") == 0 && count_of(html, ">inf<") == 0);
    CHECK(count_of(html, "Not a medical device") == 1 && count_of(html, "Pinch and crush") == 1);
    CHECK(count_of(html, "Batteries and mains") == 1 && count_of(html, "Heat.") == 1);
}

static void a_filled_assessment(void)
{
    fixture f;
    fixture_fill(&f, arena, FIXTURE_DOCUMENT);
    hw_buffer b = {.arena = arena};
    f.report.variant = "a<b";
    f.assessment.digit[HW_RING].fault = HW_DIGIT_BAR_A_DEAD;
    CHECK(hw_report_html(&f.report, &b) == HW_OK);
    check_page(b.at);
    CHECK(count_of(b.at, "<h1>Test &quot;hand&quot; caf\xc3\xa9 &lt;1&gt;</h1>") == 1);
    CHECK(count_of(b.at, "variant a&lt;b") == 1);
    CHECK(count_of(b.at, "17.2\xc2\xa0N/N") == 1); // index and middle together
    CHECK(count_of(b.at, "worst pose, required <span") == 1);
    CHECK(count_of(b.at, "line 41") >= 1);
    CHECK(count_of(b.at, "<b>Lever:</b>") == 2);
    CHECK(count_of(b.at, "the rig is not computed yet") == 1);
    CHECK(count_of(b.at, "No digit of this design can be drawn") == 1); // no strokes were filled
    CHECK(count_of(b.at, "<p>The ring is not drawn: ") == 1);
}

static hw_text whole_file(const char *name)
{
    char path[500];
    memory m = {0};
    char part[4096];
    snprintf(path, sizeof path, "%s/examples/%s", HW_SOURCE_DIR, name);
    FILE *file = fopen(path, "rb");
    if (!CHECK(file != NULL)) return (hw_text){NULL, 0};
    for (size_t n; (n = fread(part, 1, sizeof part, file)) > 0;) memory_write(&m, part, n);
    fclose(file);
    hw_text t = {hw_arena_text(arena, (hw_text){m.at, m.n}), m.n};
    free(m.at);
    return t;
}

static bool assess_file(const char *name, hw_assessment *s)
{
    hw_design *d = NULL;
    hw_diag diag[8];
    hw_diags diags = {.item = diag, .capacity = 8};
    hw_read_def def = {.file = name, .requirable = &hw_assess_requirable};
    bool read = CHECK(hw_design_read(arena, whole_file(name), &def, &d, &diags) == HW_OK);
    for (size_t i = 0; !read && i < diags.count; i++) printf("    %s\n", diag[i].text);
    return read && CHECK(hw_assess(arena, d, NULL, s) == HW_OK);
}

static void check_sheets(const hw_assessment *s, const char *name)
{
    hw_sheet *sheet[HW_REPORT_SHEETS];
    size_t n = hw_report_sheets(arena, s, sheet);
    CHECK(n > HW_DRAWINGS);
    for (size_t i = 0; i < n; i++) {
        hw_sheet_fault f[4];
        size_t faults = hw_sheet_check(sheet[i], f, 4);
        if (!CHECK(faults == 0))
            printf("    %s, %s: %s: \"%s\"\n", name, hw_sheet_name(sheet[i]),
                   hw_sheet_fault_text(f[0].kind), f[0].text);
        for (size_t k = 0; k < i; k++)
            CHECK(strcmp(hw_sheet_name(sheet[i]), hw_sheet_name(sheet[k])) != 0);
    }
}

static void the_examples(void)
{
    static const char *const name[] = {"heron.yaml", "wren.yaml", "dodo.yaml"};
    for (size_t i = 0; i < sizeof name / sizeof *name; i++) {
        size_t mark = hw_arena_mark(arena);
        hw_assessment s;
        if (assess_file(name[i], &s)) {
            hw_report r = {.assessment = &s};
            hw_buffer b = {.arena = arena}, again = {.arena = arena};
            CHECK(hw_report_html(&r, &b) == HW_OK);
            CHECK(i > 0 || hw_report_html(&r, &again) == HW_OK); // once is enough for that
            check_page(b.at);
            CHECK(i > 0 || (b.len == again.len && memcmp(b.at, again.at, b.len) == 0));
            CHECK(count_of(b.at, "<figure><svg") > HW_DRAWINGS);
            check_sheets(&s, name[i]);
        }
        hw_arena_rewind(arena, mark);
    }
}

// What a reader of the PDF can search for: the text is text.
static void the_pdf_says(void)
{
    hw_assessment s;
    if (!assess_file("heron.yaml", &s)) return;
    hw_sheet *sheet[HW_REPORT_SHEETS];
    size_t n = hw_report_sheets(arena, &s, sheet);
    memory m = {0};
    CHECK(hw_sheet_pdf((const hw_sheet *const *)sheet, n, memory_sink(&m)) == HW_OK);
    char path[] = "/tmp/handwright-test-XXXXXX", command[200];
    int file = mkstemp(path);
    FILE *out = file >= 0 ? fdopen(file, "wb") : NULL;
    if (!CHECK(out != NULL)) return;
    CHECK(fwrite(m.at, 1, m.n, out) == m.n);
    fclose(out);
    free(m.at);
    snprintf(command, sizeof command, "pdftotext -layout %s -", path);
    FILE *pipe = popen(command, "r");
    memory text = {0};
    char part[4096];
    for (size_t k; pipe && (k = fread(part, 1, sizeof part, pipe)) > 0;)
        memory_write(&text, part, k);
    CHECK(pipe && pclose(pipe) == 0);
    remove(path);
    CHECK(text.at && count_of(text.at, "Index in section") == 1);
    CHECK(text.at && count_of(text.at, "All digits in section") == 1);
    CHECK(text.at && count_of(text.at, "\f") == n); // one page a sheet
    CHECK(text.at && count_of(text.at, "\xc2\xb0") > 20);
    free(text.at);
}

static void running_out_of_memory_is_told(void)
{
    fixture f;
    fixture_fill(&f, arena, FIXTURE_DOCUMENT);
    for (size_t n = 0; n < 60; n += 2) {
        hw_arena *small = hw_arena_new(0);
        hw_arena_fail_after(small, n);
        hw_buffer b = {.arena = small};
        hw_code code = hw_report_html(&f.report, &b);
        CHECK(code == (hw_arena_failed(small) ? HW_NO_MEMORY : HW_OK));
        hw_arena_free(small);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(a_filled_assessment);
    RUN(the_examples);
    RUN(the_pdf_says);
    RUN(running_out_of_memory_is_told);
    hw_arena_free(arena);
    return TEST_END();
}
