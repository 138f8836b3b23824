// What the sheet says of layers that do not fit: which of them, cut to whole lines, make room.
#include "base/text.h"
#include "reading.h"

static hw_arena *arena;

// The finger's layers in lines of 0.42 mm: cheeks 2.0 (4.76), tangs 2.8 (6.67) and 1.68 (4), bar A
// 2.4 (5.71), bar B 2 (4.76); five gaps of 0.25.
static const hw_finding *sum_of(const char *layers, const char *width)
{
    static hw_assessment s;
    hw_buffer text = {.arena = arena};
    hw_buffer_puts(&text, ONE_FINGER);
    hw_buffer_format(&text, "    layers: %s\nprinter: {gap: 0.25 mm, line: 0.42 mm}\n", layers);
    hw_buffer_format(&text, "variants: {narrow: {digits: {index: {width: %s}}}}\n", width);
    hw_diag item[8];
    hw_diags diags = {item, 0, 8, 0};
    hw_design *d = NULL;
    hw_read_def def = {
        .file = "hand.yaml", .requirable = &hw_assess_requirable, .variant = hw_text_of("narrow")};
    CHECK(hw_design_read(arena, (hw_text){text.at, text.len}, &def, &d, &diags) == HW_OK);
    for (size_t i = 0; i < diags.count; i++) printf("%d: %s\n", item[i].line, item[i].text);
    if (!d || !CHECK(hw_assess(arena, d, NULL, &s) == HW_OK)) return NULL;
    return finding(&s, "digits.index/layer_sum");
}

static const char drawn[] = "{cheek: {a: 2 mm, b: 2 mm}, tang: {a: 2.8 mm, b: 1.68 mm}}";

static void what_fits_gets_no_advice(void)
{
    const hw_finding *f = sum_of(drawn, "14.2 mm");
    if (!CHECK(f && f->verdict == HW_HOLDS)) return;
    NEAR(f->value, 14.2e-3 - 14.13e-3, 1e-12);
    SAME_TEXT(f->note, "6 layers and 5 gaps make 14.13 mm of 14.20 mm");
}

// The layers that bring most come first, and no more of them than it takes; cut so, it fits.
static void whole_lines_make_room(void)
{
    const hw_finding *f = sum_of(drawn, "13.5 mm");
    if (!CHECK(f && f->verdict == HW_FALLS_SHORT)) return;
    SAME_TEXT(f->note, "6 layers and 5 gaps make 14.13 mm of 13.50 mm; in whole lines of 0.42 mm: "
                       "layers.cheek.a 1.68 mm (4), layers.cheek.b 1.68 mm (4) save 0.64 mm");
    f = sum_of("{cheek: {a: 1.68 mm, b: 1.68 mm}, tang: {a: 2.8 mm, b: 1.68 mm}}", "13.5 mm");
    CHECK(f && f->verdict == HW_HOLDS);
}

static void too_narrow_is_said(void)
{
    const hw_finding *f = sum_of(drawn, "12 mm");
    if (!CHECK(f && f->note)) return;
    // 0.32 + 0.32 + 0.28 + 0.30 + 0.32
    CHECK(strstr(f->note, " save 1.54 mm: not enough, the digit is too narrow for these bars"));
    CHECK(strstr(f->note, "mechanism.bar_a.depth 2.10 mm (5)"));
    CHECK(strstr(f->note, "mechanism.bar_b.depth 1.68 mm (4)"));
    CHECK(!strstr(f->note, "layers.tang.b")); // four lines already
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(what_fits_gets_no_advice);
    RUN(whole_lines_make_room);
    RUN(too_narrow_is_said);
    hw_arena_free(arena);
    return TEST_END();
}
