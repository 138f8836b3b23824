// Golden findings: what the program said of the examples when their numbers were last looked at.
// A change in any finding's value, limit or verdict fails here, with both numbers.
//
// After a change that is meant: test_golden_findings --update prints each difference, writes the
// files anew and keeps the tolerances that are in them. Read the differences before committing.
//
// Each finding has its own tolerance, in its own unit. A new one gets a millionth of its value (of
// one unit where that is more): pins and angles are closed forms good to 1e-12, searches along the
// stroke stop at 1e-9, and what is left is for other C libraries' sine and cosine.
#include "assess/assess.h"
#include "base/arena.h"
#include "base/text.h"
#include "check.h"
#include "report/report.h"

#include <libfyaml.h>
#include <stdlib.h>

enum { MOST = 400, BYTES = 1 << 20 };

typedef struct line {
    hw_text id, unit, verdict;
    double value, low, high, margin, within; // NaN: null [in the finding's unit]
} line;

typedef struct sheet {
    struct fy_document *json; // holds the texts
    line line[MOST];
    size_t count;
} sheet;

static hw_arena *arena;
static bool update;

static hw_text words(struct fy_node *map, const char *key)
{
    hw_text t = {NULL, 0};
    struct fy_node *n = fy_node_mapping_lookup_by_string(map, key, FY_NT);
    if (n && fy_node_is_scalar(n)) t.at = fy_node_get_scalar(n, &t.len);
    return t;
}

static double number(struct fy_node *map, const char *key) // [1]
{
    hw_text t = words(map, key);
    double value = NAN;
    return t.len && hw_number_read(t, &value) == t.len ? value : (double)NAN;
}

static bool read_sheet(hw_text bytes, sheet *out)
{
    *out = (sheet){0};
    if (bytes.len) out->json = fy_document_build_from_string(NULL, bytes.at, bytes.len);
    struct fy_node *root = out->json ? fy_document_root(out->json) : NULL;
    struct fy_node *list = root ? fy_node_mapping_lookup_by_string(root, "findings", FY_NT) : NULL;
    if (!list || !fy_node_is_sequence(list)) return false;
    void *at = NULL;
    for (struct fy_node *n = fy_node_sequence_iterate(list, &at); n && out->count < MOST;
         n = fy_node_sequence_iterate(list, &at))
        out->line[out->count++] =
            (line){words(n, "id"),   words(n, "unit"),  words(n, "verdict"), number(n, "value"),
                   number(n, "low"), number(n, "high"), number(n, "margin"), number(n, "within")};
    return out->count > 0 && out->count < MOST;
}

static char *path_of(const char *folder, const char *name, const char *ending)
{
    hw_buffer b = {.arena = arena};
    hw_buffer_format(&b, "%s/%s/%s%s", HW_SOURCE_DIR, folder, name, ending);
    return b.at;
}

static hw_text read_file(const char *path)
{
    FILE *f = fopen(path, "rb");
    if (!f) return (hw_text){NULL, 0};
    char *bytes = HW_NEW(arena, char, BYTES);
    size_t len = bytes ? fread(bytes, 1, BYTES, f) : 0;
    fclose(f);
    return (hw_text){bytes, len};
}

static void print_number(double value) // [1]
{
    char text[HW_NUMBER_TEXT];
    hw_number_write_rounded(value, 9, text);
    printf("%s", isnan(value) ? "null" : text);
}

static void print_change(const char *what, const line *l, double was, double is) // [1]
{
    printf("%.*s: %s ", (int)l->id.len, l->id.at, what);
    print_number(was);
    printf(" -> ");
    print_number(is);
    printf(" %.*s\n", (int)l->unit.len, l->unit.at);
}

static bool same(double a, double b, double within) // [1]
{
    return (isnan(a) && isnan(b)) || fabs(a - b) <= within;
}

// One finding beside its golden line; says what differs. True when nothing does.
static bool compare(const line *golden, const line *now)
{
    bool value = same(golden->value, now->value, golden->within);
    double rounding = 1e-9 * (1 + fabs(golden->low) + fabs(golden->high)); // of the limits' text
    if (isnan(rounding))
        rounding = 1e-9 * (1 + fabs(isnan(golden->low) ? golden->high : golden->low));
    bool low = same(golden->low, now->low, rounding),
         high = same(golden->high, now->high, rounding);
    bool verdict = hw_text_same(golden->verdict, now->verdict);
    bool unit = hw_text_same(golden->unit, now->unit);
    if (!value) print_change("value", golden, golden->value, now->value);
    if (!low) print_change("low", golden, golden->low, now->low);
    if (!high) print_change("high", golden, golden->high, now->high);
    if (!verdict || !unit)
        printf("%.*s: %.*s (%.*s) -> %.*s (%.*s)\n", (int)golden->id.len, golden->id.at,
               (int)golden->verdict.len, golden->verdict.at, (int)golden->unit.len, golden->unit.at,
               (int)now->verdict.len, now->verdict.at, (int)now->unit.len, now->unit.at);
    return value && low && high && verdict && unit;
}

static const line *find(const sheet *s, hw_text id)
{
    for (size_t i = 0; i < s->count; i++)
        if (hw_text_same(s->line[i].id, id)) return &s->line[i];
    return NULL;
}

// Margin and verdict follow from value and limits, whatever the golden file says.
static void check_judgement(const line *l)
{
    double below = l->value - l->low, above = l->high - l->value;
    double margin = isnan(below) ? above : isnan(above) ? below : fmin(below, above);
    double scale = fabs(l->value) + fabs(isnan(l->low) ? l->high : l->low);
    if (isnan(l->value)) {
        // unknown, or beyond every number: then the verdict says on which side of its only limit
        bool one_limit = isnan(l->low) != isnan(l->high);
        CHECK(isnan(l->margin) && (one_limit || hw_text_same(l->verdict, hw_text_of("unknown")) ||
                                   hw_text_same(l->verdict, hw_text_of("falls short"))));
        return;
    }
    CHECK(same(margin, l->margin, 1e-9 * (1 + scale))); // both were rounded on their way to text
    // what is 0 but for rounding holds
    if (fabs(margin) > 1e-9 * (1 + scale))
        CHECK(hw_text_same(l->verdict, hw_text_of(margin > 0 ? "holds" : "falls short")));
}

static void put_number(hw_buffer *b, const char *key, double value) // [1]
{
    hw_buffer_format(b, ", \"%s\": ", key);
    if (isnan(value))
        hw_buffer_puts(b, "null");
    else
        hw_buffer_number(b, value);
}

static double rounded(double value, int digits) // [1]
{
    char text[HW_NUMBER_TEXT];
    double back = NAN;
    size_t len = hw_number_write_rounded(value, digits, text);
    if (!isnan(value)) hw_number_read((hw_text){text, len}, &back);
    return back;
}

static bool write_golden(const char *name, const char *path, const sheet *golden, const sheet *now)
{
    hw_buffer b = {.arena = arena};
    hw_buffer_format(&b, "{\"schema\": 1, \"document\": \"examples/%s.yaml\", \"findings\": [\n",
                     name);
    for (size_t i = 0; i < now->count; i++) {
        const line *l = &now->line[i], *old = find(golden, l->id);
        double within =
            old && old->within > 0 ? old->within : rounded(1e-6 * fmax(1, fabs(l->value)), 2);
        hw_buffer_puts(&b, "  {\"id\": \"");
        hw_buffer_put(&b, l->id);
        hw_buffer_puts(&b, "\", \"unit\": \"");
        hw_buffer_put(&b, l->unit);
        hw_buffer_puts(&b, "\"");
        put_number(&b, "value", rounded(l->value, 10));
        put_number(&b, "within", within);
        put_number(&b, "low", l->low);
        put_number(&b, "high", l->high);
        hw_buffer_puts(&b, ", \"verdict\": \"");
        hw_buffer_put(&b, l->verdict);
        hw_buffer_puts(&b, i + 1 < now->count ? "\"},\n" : "\"}\n");
    }
    hw_buffer_puts(&b, "]}\n");
    FILE *f = hw_arena_failed(arena) ? NULL : fopen(path, "wb");
    if (!f) return false;
    bool ok = fwrite(b.at, 1, b.len, f) == b.len;
    return fclose(f) == 0 && ok;
}

// What "assess --json" prints, without the search for levers, which takes a hundred times as long.
static hw_text assessed(const char *name)
{
    char *path = path_of("examples", name, ".yaml");
    hw_diag item[4];
    hw_diags diags = {item, 0, 4, 0};
    hw_read_def def = {.file = path, .requirable = &hw_assess_requirable};
    hw_design *design = NULL;
    hw_assessment *s = HW_NEW(arena, hw_assessment, 1);
    hw_buffer json = {.arena = arena};
    bool ok = CHECK(hw_design_read(arena, read_file(path), &def, &design, &diags) == HW_OK) &&
              CHECK(hw_assess(arena, design, NULL, s) == HW_OK) &&
              CHECK(hw_report_json(&(hw_report){s, NULL, NULL}, &json) == HW_OK);
    return ok ? (hw_text){json.at, json.len} : (hw_text){0};
}

static void look_at(const char *name)
{
    static sheet golden, now;
    size_t mark = hw_arena_mark(arena);
    hw_text json = assessed(name);
    const char *path = path_of("test/golden", name, ".json");
    bool had = read_sheet(read_file(path), &golden);
    if (CHECK(read_sheet(json, &now))) {
        size_t differ = 0;
        if (!update) CHECK(had);
        for (size_t i = 0; i < golden.count; i++) {
            const line *l = find(&now, golden.line[i].id);
            if (!l) printf("%.*s: gone\n", (int)golden.line[i].id.len, golden.line[i].id.at);
            if (!l || !compare(&golden.line[i], l)) differ++;
        }
        for (size_t i = 0; i < now.count; i++) {
            check_judgement(&now.line[i]);
            if (find(&golden, now.line[i].id)) continue;
            print_change("new", &now.line[i], NAN, now.line[i].value);
            differ++;
        }
        if (update)
            CHECK(write_golden(name, path, &golden, &now));
        else
            CHECK(differ == 0);
        printf("%s: %zu findings, %zu differ\n", name, now.count, differ);
    }
    fy_document_destroy(golden.json);
    fy_document_destroy(now.json);
    hw_arena_rewind(arena, mark);
}

static void heron(void)
{
    look_at("heron");
}

static void wren(void)
{
    look_at("wren");
}

static void dodo(void)
{
    look_at("dodo");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    update = argc > 1 && strcmp(argv[1], "--update") == 0;
    arena = hw_arena_new(64u << 20);
    if (!arena) return 1;
    RUN(heron);
    RUN(wren);
    RUN(dodo);
    hw_arena_free(arena);
    return TEST_END();
}
