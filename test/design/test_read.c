// Reading: values, defaults and their origins, variants, catalogues, requirements. With the
// argument "long" each allocation fails once, else of those after the first hundred every seventh.
#include "base/rng.h"
#include "base/vec.h"
#include "support.h"

// Values pass one or two roundings on the way from text to SI.
#define ROUNDED 5e-16

static bool each;

static const char like_heron[] = HW_SOURCE_DIR "/test/design/data/like_heron.yaml";

static void an_empty_document_is_a_hand_of_defaults(void)
{
    static const char *const empty[] = {"",      "\n",           "# nothing\n",
                                        "---\n", "{}",           "hand:\n",
                                        "~",     "\xEF\xBB\xBF", "digits: {index: }\n"};
    uint64_t print = 0;
    for (size_t i = 0; i < sizeof empty / sizeof empty[0]; i++) {
        reading r;
        read_text(&r, empty[i]);
        if (CHECK(r.code == HW_OK && r.design)) {
            uint64_t own = hw_design_fingerprint(r.design);
            CHECK(i == 0 || own == print);
            print = own;
            for (hw_entry e = 0; (size_t)e < hw_entry_count(); e++) {
                const hw_entry_row *row = hw_entry_row_of(e, NULL);
                double x = hw_design_value(r.design, e);
                bool number = row->type == HW_ENTRY_NUMBER || row->type == HW_ENTRY_COUNT;
                CHECK(isfinite(x) && (!number || (x >= row->low && x <= row->high)));
                CHECK(hw_design_origin(r.design, e) == HW_FROM_DEFAULT);
                CHECK(hw_design_origin_text(r.design, e).len > 0);
            }
            CLOSE(value_of(&r, "hand.length"), 0.187, ROUNDED);
            CLOSE(value_of(&r, "digits.index.phalanges.proximal"), 0.245 * 0.187, ROUNDED);
            CLOSE(value_of(&r, "digits.thumb.phalanges.metacarpal"), 0.251 * 0.187, ROUNDED);
            CHECK(value_of(&r, "digits.thumb.mechanism.kind") == 1);
            CHECK(value_of(&r, "digits.ring.mechanism.kind") == 0);
            CHECK(value_of(&r, "digits.ring.present") == HW_PRESENT_YES);
        }
        done(&r);
    }
}

static void defaults_hold_over_all_hand_sizes(void)
{
    static const char *const size[] = {"{length: 20 mm, breadth: 10 mm}",
                                       "{length: 2000 mm, breadth: 1000 mm}",
                                       "{length: 20 mm, breadth: 1000 mm}"};
    for (size_t i = 0; i < 3; i++) {
        char text[100];
        snprintf(text, sizeof text, "hand: %s\n", size[i]);
        reading r;
        read_text(&r, text);
        if (!CHECK(r.code == HW_OK)) print_messages(&r);
        done(&r);
    }
}

static void read_file(reading *r, const char *variant)
{
    size_t len;
    char *text = file_text(like_heron, &len);
    if (!CHECK(text != NULL)) return;
    hw_read_def def = {.file = "heron.yaml", .variant = hw_text_of(variant)};
    hw_arena *keep = hw_arena_new(0);
    hw_text bytes = {hw_arena_text(keep, (hw_text){text, len}), len};
    free(text);
    read_with(r, bytes, &def);
    // The design borrows its bytes: move the reading into the arena that holds them.
    hw_arena_free(r->arena);
    r->arena = keep;
    r->diags.count = 0;
    r->code = hw_design_read(keep, bytes, &def, &r->design, &r->diags);
    if (!CHECK(r->code == HW_OK)) print_messages(r);
}

static void every_form_of_a_value_is_read(void)
{
    reading r;
    read_file(&r, NULL);
    if (!r.design) return;
    CLOSE(value_of(&r, "hand.length"), 0.186, ROUNDED);
    CLOSE(value_of(&r, "digits.index.phalanges.middle"), 0.143 * 0.186, ROUNDED);
    CLOSE(value_of(&r, "digits.index.mechanism.bar_a.root.z"), 0.0031, ROUNDED);
    CLOSE(value_of(&r, "digits.index.mechanism.bar_a.horn_angle"), -50 * HW_PI / 180, ROUNDED);
    CLOSE(value_of(&r, "digits.middle.mechanism.bar_a.root.x"), 0.0058, ROUNDED);
    CLOSE(value_of(&r, "digits.middle.phalanges.distal"), 0.0201, ROUNDED);
    CLOSE(value_of(&r, "digits.middle.width"), 0.016, ROUNDED);
    CLOSE(value_of(&r, "digits.thumb.phalanges.proximal"), 0.036, ROUNDED);
    CLOSE(value_of(&r, "digits.thumb.mechanism.stops.proximal.closed"), 50 * HW_PI / 180, ROUNDED);
    CLOSE(value_of(&r, "digits.ring.mechanism.cord.rate.middle"), 0.015, ROUNDED);
    CLOSE(value_of(&r, "loads.hook"), 20.0, ROUNDED);
    CLOSE(value_of(&r, "loads.knock"), 10.0, ROUNDED);
    CHECK(value_of(&r, "digits.ring.mechanism.kind") == 2);
    hw_entry name = hw_entry_of(HW_E_NAME, -1), note = hw_entry_of(HW_E_NOTE, -1);
    SAME_TEXT(shown(&r, hw_design_text(r.design, name)), "Heron \"one\"");
    SAME_TEXT(shown(&r, hw_design_text(r.design, note)),
              "First line, \xC3\xA4 and \xE9\xB7\xBA.\n  Indented.\n\n# no comment, text\n");
    hw_entry kind = hw_entry_of(HW_E_MECHANISM_KIND, 3);
    SAME_TEXT(shown(&r, hw_design_text(r.design, kind)), "cord");
    SAME_TEXT(hw_design_file(r.design), "heron.yaml");
    done(&r);
}

static void origins_tell_where_a_value_is_from(void)
{
    reading r;
    read_file(&r, "small");
    if (!r.design) return;
    hw_entry length = hw_entry_of(HW_E_HAND_LENGTH, -1), gap = hw_entry_of(HW_E_PRINTER_GAP, -1),
             line = hw_entry_of(HW_E_PRINTER_LINE, -1), tip = hw_entry_of(HW_E_TIP_THICKNESS, 1),
             modulus = hw_entry_of(HW_E_FILAMENT_MODULUS, -1);
    CLOSE(hw_design_value(r.design, length), 0.16, ROUNDED);
    CLOSE(value_of(&r, "digits.index.phalanges.distal"), 0.097 * 0.16, ROUNDED);
    CLOSE(value_of(&r, "digits.middle.width"), 0.014, ROUNDED);
    CHECK(hw_design_origin(r.design, length) == HW_FROM_VARIANT);
    SAME_TEXT(shown(&r, hw_design_origin_text(r.design, length)), "heron.yaml:63, variant small");
    CHECK(hw_design_origin(r.design, gap) == HW_FROM_DOCUMENT);
    SAME_TEXT(shown(&r, hw_design_origin_text(r.design, gap)), "heron.yaml:15");
    CHECK(hw_design_origin(r.design, line) == HW_FROM_CATALOGUE);
    CHECK(strncmp(shown(&r, hw_design_origin_text(r.design, line)),
                  "printers, fine nozzle: ", 23) == 0);
    CHECK(hw_design_origin(r.design, modulus) == HW_FROM_DEFAULT);
    CHECK(strncmp(shown(&r, hw_design_origin_text(r.design, modulus)), "filaments, pla: ", 16) ==
          0);
    CHECK(hw_design_origin(r.design, tip) == HW_FROM_DEFAULT);
    int at, column;
    CHECK(hw_design_place(r.design, gap, &at, &column) && at == 15 && column == 8);
    CHECK(!hw_design_place(r.design, tip, &at, &column) && at == 0);
    const hw_text *names;
    CHECK(hw_design_variants(r.design, &names) == 2);
    SAME_TEXT(shown(&r, names[1]), "plain printer");
    done(&r);
    read_file(&r, "plain printer");
    if (!r.design) return;
    CLOSE(value_of(&r, "printer.gap"), 0.25e-3, ROUNDED); // the document's own goes before an item
    CLOSE(value_of(&r, "printer.line"), 0.45e-3, ROUNDED);
    done(&r);
}

static void a_variant_that_is_not_there_is_a_fault(void)
{
    reading r;
    hw_read_def def = {.file = "hand.yaml", .variant = HW_TEXT("smal")};
    read_with(&r, HW_TEXT("variants: {small: {hand.length: 150 mm}}"), &def);
    CHECK(r.code == HW_BAD_INPUT && r.diags.count == 1);
    SAME_TEXT(r.item[0].expected, "small");
    CHECK(r.item[0].line == 1);
    done(&r);
}

static void requirements_are_expanded(void)
{
    reading r;
    read_text(&r, "digits: {little: {present: no}}\n"
                  "requirements:\n"
                  "  digits.*/slop: {high: 5 deg}\n"
                  "  digits.index/slop: {low: 0, high: 4 deg}\n"
                  "  hand/weight: {high: 2 * loads.tip}\n");
    const hw_requirement *q;
    if (CHECK(r.code == HW_OK) && CHECK(hw_design_requirements(r.design, &q) == 5)) {
        SAME_TEXT(q[0].id, "digits.thumb/slop");
        SAME_TEXT(q[1].id, "digits.middle/slop");
        SAME_TEXT(q[2].id, "digits.ring/slop");
        SAME_TEXT(q[3].id, "digits.index/slop");
        SAME_TEXT(q[4].id, "hand/weight");
        CHECK(isnan(q[0].low) && q[3].low == 0);
        CLOSE(q[3].high, 4 * HW_PI / 180, ROUNDED);
        CLOSE(q[4].high, 21.0, ROUNDED);
        CHECK(q[0].line == 3 && q[4].line == 5 && q[4].column == 16);
        hw_override set = {hw_entry_of(HW_E_LOADS_TIP, -1), 20};
        hw_design *other;
        CHECK(hw_design_with(r.arena, r.design, &set, 1, &other) == HW_OK);
        const hw_requirement *then;
        hw_design_requirements(other, &then);
        CLOSE(then[4].high, 40.0, ROUNDED);
        CLOSE(q[4].high, 21.0, ROUNDED);
    } else
        print_messages(&r);
    done(&r);
}

static hw_code mine(void *self, hw_arena *a, const char *name, hw_text *out)
{
    (void)self;
    if (strcmp(name, "mine.yaml") != 0) return HW_NOT_FOUND;
    static const char text[] = "printers:\n  fine nozzle: {source: own coupon, gap: 0.22 mm}\n"
                               "  attic: {source: own coupon, gap: 0.5 mm}\n";
    *out = (hw_text){hw_arena_text(a, (hw_text){text, sizeof text - 1}), sizeof text - 1};
    return out->at ? HW_OK : HW_NO_MEMORY;
}

static void own_catalogues_add_and_shadow(void)
{
    reading r;
    hw_loader loader = {mine, NULL};
    hw_read_def def = {.file = "hand.yaml", .loader = &loader};
    read_with(&r, HW_TEXT("catalogue: mine.yaml\nprinter: {type: attic}\n"), &def);
    CHECK(r.code == HW_OK && r.diags.count == 1);
    CHECK(r.item[0].code == HW_OK && r.item[0].line == 2);
    SAME_TEXT(r.item[0].file, "mine.yaml");
    SAME_TEXT(r.item[0].text, "this item takes the place of the shipped one in 'printers'");
    if (r.design) {
        CLOSE(value_of(&r, "printer.gap"), 0.5e-3, ROUNDED);
        CLOSE(value_of(&r, "pivot.gap"), 0.6 * 0.5e-3, 2 * ROUNDED);
        CLOSE(value_of(&r, "printer.line"), 0.42e-3, ROUNDED); // the table's: the item has none
    }
    done(&r);
    read_with(&r, HW_TEXT("catalogue: [mine.yaml]\n"), &def);
    if (CHECK(r.design != NULL)) CLOSE(value_of(&r, "printer.gap"), 0.22e-3, ROUNDED);
    done(&r);
}

static void older_documents_are_read_with_a_note(void)
{
    reading r;
    read_text(&r, "handwright: 0\n");
    CHECK(r.code == HW_OK && r.design && r.diags.count == 1 && r.item[0].code == HW_OK);
    done(&r);
    read_text(&r, "name: no version is the present one\n");
    CHECK(r.code == HW_OK && r.diags.count == 0);
    done(&r);
}

static void messages_may_be_declined(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_read_def def = {.file = NULL};
    hw_design *d;
    CHECK(hw_design_read(a, HW_TEXT("hand: 3"), &def, &d, NULL) == HW_BAD_INPUT && !d);
    CHECK(hw_design_read(a, HW_TEXT("hand: {length: 18 cm}"), &def, &d, NULL) == HW_OK && d);
    hw_arena_free(a);
}

// Allocations fail one by one: no crash, no leak (the sanitizer build looks), no half design.
static void allocations_may_fail(void)
{
    size_t len;
    char *text = file_text(like_heron, &len);
    if (!CHECK(text != NULL)) return;
    hw_read_def def = {.file = "heron.yaml", .variant = HW_TEXT("small")};
    hw_code code = HW_NO_MEMORY;
    size_t n = 0;
    for (; n < 20000 && code != HW_OK; n += each || n < 100 ? 1 : 7) {
        hw_diag item[8];
        hw_diags diags = {item, 0, 8, 0};
        hw_design *d = (hw_design *)text;
        hw_arena *a = hw_arena_new(0);
        if (!CHECK(a != NULL)) break;
        hw_arena_fail_after(a, n);
        code = hw_design_read(a, (hw_text){text, len}, &def, &d, &diags);
        if (code != HW_OK && (code != HW_NO_MEMORY || d != NULL)) CHECK(false);
        hw_arena_free(a);
    }
    CHECK(code == HW_OK && n > 100);
    free(text);
}

static void reads_or_says_why(const char *text, size_t len)
{
    reading r;
    hw_read_def def = {.file = "heron.yaml", .variant = HW_TEXT("small")};
    read_with(&r, (hw_text){text, len}, &def);
    if (r.code == HW_OK)
        CHECK(r.design != NULL);
    else
        CHECK(r.code == HW_BAD_INPUT && !r.design && r.diags.count > 0 && r.item[0].text[0]);
    done(&r);
}

// Cut anywhere, or with bytes changed, put in and taken out: a design or messages.
static void spoiled_documents_are_read_or_refused(void)
{
    size_t len;
    char *text = file_text(like_heron, &len);
    if (!CHECK(text != NULL)) return;
    for (size_t cut = 0; cut < len; cut += 7) reads_or_says_why(text, cut);
    static const char odd[] = "\n\r\t :-[]{}#&*!|>'\"%@`,?~0.e\x00\xFF\xC3\x80";
    hw_rng rng = hw_rng_new(3, 1);
    for (int k = 0; k < 600; k++) {
        char *copy = malloc(len); // of its own, so that a read behind it is seen
        if (!copy) break;
        memcpy(copy, text, len);
        for (int i = 0; i < 1 + k % 5; i++) {
            size_t at = (size_t)(hw_rng_next(&rng) % len), to = (size_t)(hw_rng_next(&rng) % len);
            size_t most = len - (at > to ? at : to);
            size_t n = (size_t)(hw_rng_next(&rng) % 40);
            if (i % 2)
                memmove(copy + to, copy + at, n < most ? n : most);
            else
                copy[at] = odd[hw_rng_next(&rng) % (sizeof odd - 1)];
        }
        reads_or_says_why(copy, len);
        free(copy);
    }
    free(text);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    each = argc > 1 && strcmp(argv[1], "long") == 0;
    if (!each) {
        RUN(an_empty_document_is_a_hand_of_defaults);
        RUN(defaults_hold_over_all_hand_sizes);
        RUN(every_form_of_a_value_is_read);
        RUN(origins_tell_where_a_value_is_from);
        RUN(a_variant_that_is_not_there_is_a_fault);
        RUN(requirements_are_expanded);
        RUN(own_catalogues_add_and_shadow);
        RUN(older_documents_are_read_with_a_note);
        RUN(messages_may_be_declined);
        RUN(spoiled_documents_are_read_or_refused);
    }
    RUN(allocations_may_fail);
    return TEST_END();
}
