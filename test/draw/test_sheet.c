// Sheets: geometry of hulls and hatching, metrics of type, the check of lettering, the writers.
#include "draw/draw.h"

#include "base/rng.h"
#include "base/vec.h"
#include "check.h"
#include "draw/sheet.h"
#include "memory.h"

static hw_arena *arena;

// Support function of the flattened outline in a direction, against that of the discs.
static double support(const hw_segment *s, size_t n, double a)
{
    double most = -INFINITY;
    for (size_t i = 0; i < n; i++) most = fmax(most, s[i].a.x * cos(a) + s[i].a.y * sin(a));
    return most;
}

static void hull_is_the_discs_envelope(void)
{
    hw_rng r = hw_rng_new(7, 1);
    for (int round = 0; round < 300; round++) {
        hw_round disc[9];
        size_t n = 1 + (size_t)(hw_rng_next(&r) % 9);
        // small whole numbers, so that equal, contained and collinear discs come up
        for (size_t i = 0; i < n; i++)
            disc[i] = (hw_round){{(double)(hw_rng_next(&r) % 5), (double)(hw_rng_next(&r) % 4)},
                                 (double)(hw_rng_next(&r) % 3)};
        hw_path p = hw_path_new(arena);
        hw_path_hull(&p, disc, n);
        size_t segments;
        hw_segment *s = hw_path_flatten(arena, &p, true, &segments);
        for (int k = 0; k < 36; k++) {
            double a = 2 * HW_PI * k / 36 + 0.01, want = -INFINITY;
            for (size_t i = 0; i < n; i++)
                want = fmax(want, disc[i].at.x * cos(a) + disc[i].at.y * sin(a) + disc[i].radius);
            double got = segments ? support(s, segments, a) : want;
            // chords leave their arc by at most 0.05 mm, as flattening promises
            NEAR(got, want, 0.051);
        }
    }
}

static void hatching_stays_inside(void)
{
    hw_sheet *s = hw_sheet_new(arena, 40, 40, "hatch", "Hatching");
    hw_path ring = hw_path_new(arena);
    hw_path_circle(&ring, (hw_spot){20, 20}, 15);
    hw_path_circle(&ring, (hw_spot){20, 20}, 5);
    hw_sheet_hatch(s, &ring, 0.7, 0.5, hw_pen_of(0.1, HW_INK_BLACK));
    CHECK(s->first && s->first->hatching && s->first->segments > 60);
    double area = 0;
    for (size_t i = 0; i < s->first->segments; i++) {
        hw_segment g = s->first->segment[i];
        double x = (g.a.x + g.b.x) / 2 - 20, y = (g.a.y + g.b.y) / 2 - 20, d = sqrt(x * x + y * y);
        CHECK(d < 15 && d > 5 * cos(0.2));
        area += 0.5 * hypot(g.a.x - g.b.x, g.a.y - g.b.y);
    }
    // midpoint sums over 0.5 mm strips and chords that leave by 0.05 mm: better than 1 %
    CLOSE(area, HW_PI * (225 - 25), 0.01);
}

static void type_is_measured(void)
{
    hw_type t = hw_type_of(10, HW_ANCHOR_START);
    double one = hw_type_width(t, "MCP 45\xc2\xb0");
    t.size = 20;
    // no hinting: width grows in proportion; pango rounds each glyph to 1/1024 pt
    CLOSE(hw_type_width(t, "MCP 45\xc2\xb0"), 2 * one, 1e-3);
    CHECK(one > 8 && one < 20);
    // DejaVu Sans Condensed: an em dash and a quad are one and 0.9 em wide
    t.size = 72 / 2.54; // an em of 10 mm
    NEAR(hw_type_width(t, "\xe2\x80\x94"), 9, 0.02);
    CHECK(hw_type_width(t, "") < 1e-9);
}

static size_t faults(hw_sheet *s, hw_sheet_fault_kind kind)
{
    hw_sheet_fault f[20];
    size_t n = hw_sheet_check(s, f, 20), of_kind = 0;
    CHECK(n <= 20);
    for (size_t i = 0; i < n; i++) of_kind += f[i].kind == kind;
    return of_kind;
}

static void check_finds_each_fault(void)
{
    hw_type t = hw_type_of(9, HW_ANCHOR_START);
    hw_sheet *s = hw_sheet_new(arena, 60, 40, "check", "Check");
    hw_sheet_text(s, 10, 10, t, "first label");
    hw_sheet_fault f[4];
    CHECK(hw_sheet_check(s, f, 4) == 0);
    hw_sheet_text(s, 18, 11, t, "second label");
    CHECK(faults(s, HW_FAULT_OVERLAP) == 1);
    CHECK(hw_sheet_check(s, f, 4) == 1);
    SAME_TEXT(f[0].text, "first label");
    SAME_TEXT(f[0].other, "second label");
    hw_sheet_text(s, 55, 30, t, "runs off");
    CHECK(faults(s, HW_FAULT_OUTSIDE) == 1);
    t.size = 6.9;
    hw_sheet_text(s, 5, 35, t, "small");
    CHECK(faults(s, HW_FAULT_SMALL) == 1);
    t.size = 9;
    hw_sheet_text(s, 5, 25, t, "struck");
    hw_sheet_line(s, (hw_spot){0, 24}, (hw_spot){60, 24}, hw_pen_of(0.2, HW_INK_BLACK));
    CHECK(faults(s, HW_FAULT_STRUCK) == 1);
    hw_sheet_text(s, 30, 38, t, "hidden");
    hw_path p = hw_path_new(arena);
    hw_path_box(&p, (hw_box){28, 32, 20, 8});
    hw_sheet_path(s, &p, HW_INK_WASH, hw_pen_of(0, HW_INK_NONE));
    CHECK(faults(s, HW_FAULT_COVERED) == 1);
    for (int k = 0; k < 6; k++) CHECK(strlen(hw_sheet_fault_text((hw_sheet_fault_kind)k)) > 5);
}

static void lines_under_a_mask_or_a_fill_do_not_strike(void)
{
    hw_type t = hw_type_of(9, HW_ANCHOR_START);
    hw_pen pen = hw_pen_of(0.2, HW_INK_BLACK);
    hw_sheet *s = hw_sheet_new(arena, 60, 40, "mask", "Mask");
    hw_sheet_line(s, (hw_spot){0, 9}, (hw_spot){60, 9}, pen);
    t.mask = true;
    hw_sheet_text(s, 10, 10, t, "masked");
    hw_sheet_line(s, (hw_spot){0, 29}, (hw_spot){60, 29}, pen);
    hw_path p = hw_path_new(arena);
    hw_path_box(&p, (hw_box){5, 22, 40, 12});
    hw_sheet_path(s, &p, HW_INK_PAPER, pen);
    t.mask = false;
    hw_sheet_text(s, 10, 30, t, "on a fill");
    hw_sheet_fault f[4];
    CHECK(hw_sheet_check(s, f, 4) == 0);
    t.mask = true;
    hw_sheet_line(s, (hw_spot){0, 17}, (hw_spot){60, 17}, hw_pen_of(0.5, HW_INK_BLACK));
    hw_sheet_text(s, 10, 18, t, "hides");
    CHECK(faults(s, HW_FAULT_CUT) == 1);
}

static void labels_find_room(void)
{
    hw_sheet *s = hw_sheet_new(arena, 80, 80, "labels", "Labels");
    for (int i = 0; i < 12; i++) {
        hw_spot at = {40 + 3 * cos(i), 40 + 3 * sin(2 * i)};
        hw_sheet_label(s, at, 25, hw_type_of(8, HW_ANCHOR_START), "a label here");
    }
    CHECK(faults(s, HW_FAULT_OVERLAP) == 0);
    CHECK(faults(s, HW_FAULT_OUTSIDE) == 0);
}

static void dimensions_of_all_ways(void)
{
    // each way round, long and too short for its text
    for (int k = 0; k < 8; k++)
        for (int length = 3; length <= 30; length += 27) {
            hw_sheet *s = hw_sheet_new(arena, 120, 120, "dim", "Dimension");
            double a = 2 * HW_PI * k / 8;
            hw_spot from = {60, 60}, to = {60 + length * cos(a), 60 + length * sin(a)};
            hw_sheet_dimension(s, from, to, k % 2 ? 6 : -6, "12.5");
            hw_sheet_fault f[2];
            CHECK(hw_sheet_check(s, f, 2) == 0);
            int texts = 0;
            for (const hw_item *i = s->first; i; i = i->next) {
                if (i->kind != HW_ITEM_TEXT) continue;
                texts++;
                // read from below or from the right
                CHECK(i->type.angle > -HW_PI / 2 - 1e-6 && i->type.angle <= HW_PI / 2 + 1e-6);
            }
            CHECK(texts == 1);
        }
}

static void paragraphs_wrap(void)
{
    hw_sheet *s = hw_sheet_new(arena, 80, 80, "para", "Paragraph");
    hw_type t = hw_type_of(9, HW_ANCHOR_START);
    double y = hw_sheet_paragraph(s, 5, 10, 40, 4, t,
                                  "Several words that take more than one line of forty millimetres "
                                  "and anunbreakablewordthatislongerthanthelineitselfandmore end");
    int lines = 0;
    for (hw_item *i = s->first; i; i = i->next) {
        lines++;
        CHECK(i->text[0] != ' ');
        if (!strstr(i->text, "unbreakable")) CHECK(i->width <= 40);
    }
    CHECK(lines >= 4);
    NEAR(y, 10 + 4.0 * lines, 1e-9); // leading times lines, rounding only
}

static hw_sheet *sample(void)
{
    hw_sheet *s = hw_sheet_new(arena, 100, 60, "sample one", "A \"sample\" <sheet> & more");
    hw_sheet_group(s, "parts & pins");
    hw_round disc[3] = {{{20, 20}, 8}, {{60, 20}, 5}, {{45, 35}, 3}};
    hw_path p = hw_path_new(arena);
    hw_path_hull(&p, disc, 3);
    hw_sheet_path(s, &p, HW_INK_PAPER, hw_pen_of(0.5, HW_INK_BLACK));
    hw_sheet_hatch(s, &p, HW_PI / 4, 1.5, hw_pen_of(0.13, HW_INK_BLACK));
    hw_sheet_group_end(s);
    hw_sheet_clip(s, (hw_box){10, 40, 30, 15});
    hw_sheet_line(s, (hw_spot){0, 45}, (hw_spot){90, 45},
                  (hw_pen){0.25, HW_INK_ACCENT, HW_DASH_CHAIN});
    hw_sheet_clip_end(s);
    hw_sheet_dimension(s, (hw_spot){20, 20}, (hw_spot){60, 20}, 15, "40.0");
    hw_sheet_text(s, 50, 55, hw_type_of(9, HW_ANCHOR_START), "\xce\xb8 < 30\xc2\xb0 & \xff");
    return s;
}

static void svg_has_its_structure(void)
{
    hw_sheet *s = sample();
    memory m = {0}, again = {0}, in_page = {0};
    CHECK(hw_sheet_svg(s, false, memory_sink(&m)) == HW_OK);
    CHECK(hw_sheet_svg(s, false, memory_sink(&again)) == HW_OK);
    CHECK(hw_sheet_svg(s, true, memory_sink(&in_page)) == HW_OK);
    CHECK(m.n == again.n && memcmp(m.at, again.at, m.n) == 0);
    CHECK(count_of(m.at, "<?xml") == 1 && count_of(in_page.at, "<?xml") == 0);
    CHECK(count_of(m.at, "<text") == 2);
    CHECK(count_of(m.at, "<clipPath") == 1);
    CHECK(count_of(m.at, "url(#sample-one-clip1)") == 1);
    CHECK(count_of(m.at, "stroke-dasharray") == 1);
    CHECK(count_of(m.at, "<g") == 2 && count_of(m.at, "</g>") == 2);
    CHECK(count_of(m.at, "&lt; 30\xc2\xb0 &amp; ?</text>") == 1);
    CHECK(count_of(m.at, "A &quot;sample&quot; &lt;sheet&gt; &amp; more") == 1);
    CHECK(count_of(m.at, "nan") == 0);
    CHECK(count_of(m.at, "width=\"116mm\" height=\"76mm\" viewBox=\"-8 -8 116 76\"") == 1);
    CHECK(count_of(in_page.at, "width=\"100mm\" height=\"60mm\" viewBox=\"0 0 100 60\"") == 1);
    free(m.at);
    free(again.at);
    free(in_page.at);
}

static unsigned big_endian(const char *at)
{
    const unsigned char *b = (const unsigned char *)at;
    return ((unsigned)b[0] << 24) | ((unsigned)b[1] << 16) | ((unsigned)b[2] << 8) | b[3];
}

static void png_and_pdf_repeat(void)
{
    const hw_sheet *s = sample();
    memory a = {0}, b = {0}, c = {0}, d = {0};
    CHECK(hw_sheet_png(s, 254, memory_sink(&a)) == HW_OK);
    CHECK(hw_sheet_png(s, 254, memory_sink(&b)) == HW_OK);
    CHECK(a.n == b.n && memcmp(a.at, b.at, a.n) == 0);
    CHECK(a.n > 24 && memcmp(a.at, "\x89PNG", 4) == 0);
    CHECK(big_endian(a.at + 16) == 1160 && big_endian(a.at + 20) == 760);
    // 254 dots an inch are 10,000 a metre; the check sum by another program
    CHECK(big_endian(a.at + 33) == 9 && memcmp(a.at + 37, "pHYs", 4) == 0 && a.at[49] == 1);
    CHECK(big_endian(a.at + 41) == 10000 && big_endian(a.at + 45) == 10000);
    CHECK(big_endian(a.at + 50) == 0x94695119);
    CHECK(hw_sheet_png(s, 5, memory_sink(&a)) == HW_BAD_INPUT);
    const hw_sheet *both[2] = {s, s};
    CHECK(hw_sheet_pdf(both, 2, memory_sink(&c)) == HW_OK);
    CHECK(hw_sheet_pdf(both, 2, memory_sink(&d)) == HW_OK);
    CHECK(c.n == d.n && memcmp(c.at, d.at, c.n) == 0);
    CHECK(c.n > 8 && memcmp(c.at, "%PDF-", 5) == 0);
    CHECK(hw_sheet_pdf(both, 0, memory_sink(&d)) == HW_BAD_INPUT);
    free(a.at);
    free(b.at);
    free(c.at);
    free(d.at);
}

static void a_refusing_sink_is_told(void)
{
    const hw_sheet *s = sample();
    for (size_t after = 1; after < 2000; after += 333) {
        memory m = {.refuse_after = after};
        CHECK(hw_sheet_svg(s, false, memory_sink(&m)) == HW_IO);
        CHECK(hw_sheet_png(s, 100, memory_sink(&m)) == HW_IO);
        CHECK(hw_sheet_pdf(&s, 1, memory_sink(&m)) == HW_IO);
        free(m.at);
    }
}

static void running_out_of_memory_is_told(void)
{
    for (size_t n = 0; n < 40; n++) {
        hw_arena *small = hw_arena_new(0), *kept = arena;
        hw_arena_fail_after(small, n);
        arena = small;
        hw_sheet *s = hw_sheet_new(arena, 10, 10, "x", "x");
        if (s) {
            hw_path p = hw_path_new(arena);
            hw_path_circle(&p, (hw_spot){5, 5}, 3);
            hw_sheet_path(s, &p, HW_INK_NONE, hw_pen_of(0.2, HW_INK_BLACK));
            hw_sheet_hatch(s, &p, 1, 1, hw_pen_of(0.2, HW_INK_BLACK));
            hw_sheet_label(s, (hw_spot){5, 5}, 3, hw_type_of(7, HW_ANCHOR_START), "a b");
            memory m = {0};
            hw_code code = hw_sheet_svg(s, false, memory_sink(&m));
            CHECK(code == (hw_arena_failed(arena) ? HW_NO_MEMORY : HW_OK));
            free(m.at);
        } else
            CHECK(hw_arena_failed(arena));
        arena = kept;
        hw_arena_free(small);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(hull_is_the_discs_envelope);
    RUN(hatching_stays_inside);
    RUN(type_is_measured);
    RUN(check_finds_each_fault);
    RUN(lines_under_a_mask_or_a_fill_do_not_strike);
    RUN(labels_find_room);
    RUN(dimensions_of_all_ways);
    RUN(paragraphs_wrap);
    RUN(svg_has_its_structure);
    RUN(png_and_pdf_repeat);
    RUN(a_refusing_sink_is_told);
    RUN(running_out_of_memory_is_told);
    hw_arena_free(arena);
    return TEST_END();
}
