// Byte-exact edits: by example, then properties over random entries of a document of all forms.
#include "base/rng.h"
#include "base/text.h"
#include "support.h"

static const char like_heron[] = HW_SOURCE_DIR "/test/design/data/like_heron.yaml";

static hw_text edited(hw_arena *a, const char *text, const char *path, const char *value,
                      hw_code *code)
{
    hw_edit edit = {hw_text_of(path), hw_text_of(value)};
    hw_text out;
    hw_diag item[8] = {{0}};
    hw_diags diags = {item, 0, 8, 0};
    *code = hw_design_edit(a, hw_text_of(text), "hand.yaml", &edit, 1, &out, &diags);
    if (*code != HW_OK && !CHECK(diags.count > 0)) printf("    no message: %s\n", path);
    return out;
}

static void becomes(const char *text, const char *path, const char *value, const char *want)
{
    hw_arena *a = hw_arena_new(0);
    hw_code code;
    hw_text out = edited(a, text, path, value, &code);
    if (CHECK(code == HW_OK)) {
        if (!SAME_TEXT(hw_arena_text(a, out), want)) printf("    %s\n", path);
    } else
        printf("    %s in\n%s", path, text);
    hw_arena_free(a);
}

static void refused(const char *text, const char *path, const char *value)
{
    hw_arena *a = hw_arena_new(0);
    hw_code code;
    hw_text out = edited(a, text, path, value, &code);
    CHECK(code == HW_BAD_INPUT && out.at == NULL);
    hw_arena_free(a);
}

static void a_value_is_replaced_where_it_stands(void)
{
    becomes("hand: {length: 186 mm} # c\n", "hand.length", "190 mm",
            "hand: {length: 190 mm} # c\n");
    becomes("hand:\r\n  length: 186 mm\t# c\r\n", "hand.length", "1 m",
            "hand:\r\n  length: 1 m\t# c\r\n");
    becomes("hand.length: 186 mm", "hand.length", "19 cm", "hand.length: 19 cm");
    becomes("\xEF\xBB\xBFname: \xE9\xB7\xBA # \xC3\xA4\n", "name", "\xC3\xB6",
            "\xEF\xBB\xBFname: \xC3\xB6 # \xC3\xA4\n");
    becomes("digits: {index: {travel: [0 deg, 85 deg]}}", "digits.index.travel.closed", "80 deg",
            "digits: {index: {travel: [0 deg, 80 deg]}}");
    becomes("digits:\n  thumb:\n    phalanges:\n      - 40 mm\n      - 36 mm # p\n      - 30 mm\n",
            "digits.thumb.phalanges.proximal", "35 mm",
            "digits:\n  thumb:\n    phalanges:\n      - 40 mm\n      - 35 mm # p\n      - 30 mm\n");
    becomes(
        "digits: {ring: {mechanism: {stops: [[0 deg, 1 deg], [0 deg, 2 deg], [0 deg, 3 deg]]}}}",
        "digits.ring.mechanism.stops.middle.closed", "9 deg",
        "digits: {ring: {mechanism: {stops: [[0 deg, 1 deg], [0 deg, 9 deg], [0 deg, 3 "
        "deg]]}}}");
}

static void quotes_stay_and_come_where_needed(void)
{
    becomes("name: \"a\" # c\n", "name", "b \"c\"", "name: \"b \\\"c\\\"\" # c\n");
    becomes("name: 'a' # c\n", "name", "it's", "name: 'it''s' # c\n");
    becomes("name: a\n", "name", "b: c", "name: \"b: c\"\n");
    becomes("name: a\n", "name", "- b", "name: \"- b\"\n");
    becomes("name: a\n", "name", "", "name: \"\"\n");
    becomes("name: a\n", "name", "null", "name: \"null\"\n");
    becomes("name: a\n", "name", "two\nlines", "name: \"two\\nlines\"\n");
    becomes("name: 'a'\n", "name", "two\nlines", "name: \"two\\nlines\"\n");
    becomes("hand: {length: 1 m, side: left}", "hand.length", "min(1 m, 2 m)",
            "hand: {length: \"min(1 m, 2 m)\", side: left}");
    becomes("name: a\n", "name", " b", "name: \" b\"\n");
    becomes("name: \"a\"\n", "name", "b\\\tc", "name: \"b\\\\\\tc\"\n");
    becomes("\"name\": a\n", "name", "b", "\"name\": b\n");
    becomes("{\"name\":a}\n", "name", "b", "{\"name\":b}\n");
    becomes("name: a\n", "name", "#b", "name: \"#b\"\n");
    becomes("name: a\n", "name", "b #c", "name: \"b #c\"\n");
    becomes("name: a\n", "name", "b#c", "name: b#c\n");
    becomes("name:\n", "name", "Wren", "name: Wren\n");
    becomes("name: # none\nhand:\n", "name", "Wren", "name: Wren # none\nhand:\n");
    becomes("name: ~ # none\n", "name", "Wren", "name: Wren # none\n");
}

static void block_scalars_are_replaced_whole(void)
{
    becomes("note: | # c\n  one\n  two\n\nname: x\n", "note", "three",
            "note: three # c\n\nname: x\n");
    becomes("note: >-\r\n  one\r\n\r\n  two\r\nname: x\r\n", "note", "a\nb",
            "note: \"a\\nb\"\r\nname: x\r\n");
    becomes("note: |+\n  one\n\n", "note", "x", "note: x\n\n");
    becomes("note: one\n  two\nname: x\n", "note", "three", "note: three\nname: x\n");
}

static void what_is_missing_is_added_under_its_parent(void)
{
    becomes("", "name", "Wren", "name: Wren");
    becomes("# c\n", "name", "Wren", "# c\nname: Wren\n");
    becomes("hand:\n    length: 1 m # c\n# end\n", "hand.breadth", "80 mm",
            "hand:\n    length: 1 m # c\n    breadth: 80 mm\n# end\n");
    becomes("hand:\n    length: 1 m\n", "loads.tip", "9 N",
            "hand:\n    length: 1 m\nloads:\n    tip: 9 N\n");
    becomes("name: x", "hand.length", "1 m", "name: x\nhand:\n  length: 1 m");
    becomes("name: x\r\n", "hand.length", "1 m", "name: x\r\nhand:\r\n  length: 1 m\r\n");
    becomes("hand: {length: 1 m}\n", "hand.breadth", "80 mm",
            "hand: {length: 1 m, breadth: 80 mm}\n");
    becomes("hand: {}\n", "hand.breadth", "80 mm", "hand: {breadth: 80 mm}\n");
    becomes("hand: {\n  length: 1 m, # c\n}\n", "hand.breadth", "80 mm",
            "hand: {\n  length: 1 m, breadth: 80 mm, # c\n}\n");
    becomes("hand: # none yet\nname: x\n", "hand.length", "1 m",
            "hand: # none yet\n  length: 1 m\nname: x\n");
    becomes("hand: ~\n", "hand.length", "1 m", "hand: {length: 1 m}\n");
    becomes("digits: {index: {width: 1 cm}}\n", "digits.index.mechanism.bar_a.root.x", "6 mm",
            "digits: {index: {width: 1 cm, mechanism: {bar_a: {root: {x: 6 mm}}}}}\n");
    becomes("digits: {index: }\n", "digits.index.width", "1 cm",
            "digits: {index: {width: 1 cm} }\n");
    becomes("note: |\n  one\n\n# c\n", "name", "x", "note: |\n  one\nname: x\n\n# c\n");
    becomes("note: |+\n  one\n\n", "name", "x", "note: |+\n  one\n\nname: x\n");
    becomes("{name: x}", "revision", "2", "{name: x, revision: 2}");
    becomes("{}", "revision", "2", "{revision: 2}");
    becomes("variants:\n  small: {}\n", "variants.small.hand.length", "1 m",
            "variants:\n  small: {hand: {length: 1 m}}\n");
    becomes("name: x\n", "variants.small.name", "y", "name: x\nvariants:\n  small:\n    name: y\n");
    becomes("variants:\n  a.b:\n    hand.length: 1 m\n", "variants.a.b.hand.length", "2 m",
            "variants:\n  a.b:\n    hand.length: 2 m\n");
    becomes("requirements:\n  digits.*/slop: {high: 4 deg}\n", "requirements.digits.*/slop.high",
            "5 deg", "requirements:\n  digits.*/slop: {high: 5 deg}\n");
    becomes("requirements:\n  digits.*/slop: {high: 4 deg}\n", "requirements.digits.*/slop.low",
            "1 deg", "requirements:\n  digits.*/slop: {high: 4 deg, low: 1 deg}\n");
    becomes("name: x\n", "requirements.digits.index/slop.high", "5 deg",
            "name: x\nrequirements:\n  digits.index/slop:\n    high: 5 deg\n");
}

static void what_cannot_be_is_refused(void)
{
    refused("name: x\n", "hand.lenght", "1 m");
    refused("name: x\n", "hand", "1 m");
    refused("name: x\n", "", "1 m");
    refused("name: x\n", "digits.thumb.phalanges.middle", "1 m");
    refused("hand: {length: 1 m}\n", "hand.length", "1 N");
    refused("hand: {length: 1 m}\n", "hand.length", "5 km");
    refused("hand: {length: 1 m}\n", "hand.length", "1");
    refused("hand: {length: 1 m}\n", "hand.side", "middle");
    refused("hand: 3\n", "hand.length", "1 m");
    refused("name: {a: b}\n", "name", "x");
    refused("name: [\n", "name", "x");
    refused("name: x\n", "name", "a\x01");
    refused("name: x\n", "name", "a\xFF");
    refused("- name\n", "name", "x");
    refused("digits: {index: {travel: [0 deg]}}", "digits.index.travel.closed", "80 deg");
}

// Keys without letters have no token of their own: what is put beside them is refused or right.
static void strange_keys_are_no_trap(void)
{
    static const char *const text[] = {"\xEF\xBB\xBF :\n",  ": x\n",          "? \n",
                                       "\xEF\xBB\xBF{: x}", "hand:\n  : x\n", "\"\": x\n",
                                       "? hand\n: {}\n"};
    for (size_t i = 0; i < sizeof text / sizeof text[0]; i++) {
        hw_arena *a = hw_arena_new(0);
        hw_edit edit = {HW_TEXT("hand.length"), HW_TEXT("1 m")};
        hw_text out;
        hw_code code = hw_design_edit(a, hw_text_of(text[i]), "h", &edit, 1, &out, NULL);
        CHECK(code == HW_OK || code == HW_BAD_INPUT);
        CHECK(code != HW_OK || out.len < strlen(text[i]) + 40);
        hw_arena_free(a);
    }
}

static void edits_follow_each_other(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_edit edit[] = {{HW_TEXT("hand.length"), HW_TEXT("1 m")},
                      {HW_TEXT("hand.breadth"), HW_TEXT("0.4 * hand.length")},
                      {HW_TEXT("name"), HW_TEXT("Wren")},
                      {HW_TEXT("hand.length"), HW_TEXT("2 m")}};
    hw_text out;
    CHECK(hw_design_edit(a, HW_TEXT("# top\n"), "h", edit, 4, &out, NULL) == HW_OK);
    SAME_TEXT(hw_arena_text(a, out),
              "# top\nhand:\n  length: 2 m\n  breadth: 0.4 * hand.length\nname: Wren\n");
    CHECK(hw_design_edit(a, HW_TEXT("# top\n"), "h", NULL, 0, &out, NULL) == HW_OK);
    SAME_TEXT(hw_arena_text(a, out), "# top\n");
    edit[3].text = HW_TEXT("2 N");
    CHECK(hw_design_edit(a, HW_TEXT("# top\n"), "h", edit, 4, &out, NULL) == HW_BAD_INPUT);
    hw_arena_free(a);
}

// A value in the document's own units for an entry, and its text.
static void some_value(hw_rng *rng, const hw_entry_row *row, char out[64])
{
    double scale;
    const char *unit = hw_unit_of(row->dim, &scale);
    char number[HW_NUMBER_TEXT];
    double low = row->low, high = row->high;
    if (row->type == HW_ENTRY_TEXT) {
        static const char *const text[] = {"Wren",  "a: b", "\xE9\xB7\xBA", "it's", "{x}", "a, b",
                                           "\"q\"", "# no", "- d",          "7",    "a\nb"};
        strcpy(out, text[hw_rng_next(rng) % 11]);
        return;
    }
    hw_number_write_rounded(hw_rng_uniform(rng, low, high) / scale, 5, number);
    snprintf(out, 64, "%s %s", number, unit);
}

// The edited document has the old one's bytes before and behind one place, and reads to the same
// design with that one entry set.
static void one_random_edit(const char *text, size_t len, hw_rng *rng)
{
    hw_entry e = (hw_entry)(hw_rng_next(rng) % hw_entry_count());
    const hw_entry_row *row = hw_entry_row_of(e, NULL);
    if (row->type != HW_ENTRY_NUMBER && row->type != HW_ENTRY_TEXT) return;
    char path[HW_PATH_TEXT], value[64];
    hw_entry_path(e, path);
    some_value(rng, row, value);
    hw_arena *a = hw_arena_new(0);
    hw_edit edit = {hw_text_of(path), hw_text_of(value)};
    hw_text out;
    hw_diag item[4];
    hw_diags diags = {item, 0, 4, 0};
    hw_code code = hw_design_edit(a, (hw_text){text, len}, "h", &edit, 1, &out, &diags);
    if (!CHECK(code == HW_OK)) {
        printf("    %s = %s: %s\n", path, value, diags.count ? item[0].text : "");
        hw_arena_free(a);
        return;
    }
    size_t front = 0, back = 0;
    while (front < len && front < out.len && text[front] == out.at[front]) front++;
    while (back < len - front && back < out.len - front &&
           text[len - 1 - back] == out.at[out.len - 1 - back])
        back++;
    size_t gone = len - front - back;
    hw_read_def def = {.file = "h"};
    hw_design *before = NULL, *after = NULL;
    CHECK(hw_design_read(a, (hw_text){text, len}, &def, &before, NULL) == HW_OK);
    // A value beyond its opposite is a fault of the design, not of the edit.
    code = hw_design_read(a, out, &def, &after, NULL);
    if (code == HW_OK && before && row->type == HW_ENTRY_NUMBER) {
        // What went is at most the old value; nothing where the key is new.
        int line, column;
        bool stood = hw_design_place(before, e, &line, &column);
        CHECK(stood ? gone <= 40 : gone == 0);
        hw_override set = {e, hw_design_value(after, e)};
        hw_design *want = NULL;
        CHECK(hw_design_with(a, before, &set, 1, &want) == HW_OK);
        if (want) {
            for (hw_entry k = 0; (size_t)k < hw_entry_count(); k++)
                CHECK(hw_design_value(want, k) == hw_design_value(after, k));
        }
    } else if (code == HW_OK) {
        hw_text got = hw_design_text(after, e);
        CHECK(hw_text_same(got, hw_text_of(value)));
    }
    hw_arena_free(a);
}

static void random_edits_change_their_value_only(void)
{
    size_t len;
    char *text = file_text(like_heron, &len);
    if (!CHECK(text != NULL)) return;
    hw_rng rng = hw_rng_new(11, 1);
    for (int k = 0; k < 120; k++) one_random_edit(text, len, &rng);
    // The same with the line ends of the other system.
    char *other = malloc(2 * len);
    size_t n = 0;
    for (size_t i = 0; other && i < len; i++) {
        if (text[i] == '\n') other[n++] = '\r';
        other[n++] = text[i];
    }
    for (int k = 0; other && k < 60; k++) one_random_edit(other, n, &rng);
    free(other);
    free(text);
}

// Editing there and back gives the first bytes again.
static void there_and_back_is_the_same_file(void)
{
    size_t len;
    char *text = file_text(like_heron, &len);
    if (!CHECK(text != NULL)) return;
    static const char *const there[][2] = {
        {"hand.length", "186 mm"},
        {"printer.gap", "0.25 mm"},
        {"digits.index.phalanges.proximal", "0.245 * hand.length"},
        {"digits.middle.phalanges.proximal", "49.5 mm"},
        {"digits.index.mechanism.bar_a.root.x", "5.9 mm"},
        {"digits.thumb.mechanism.stops.metacarpal.closed", "40 deg"},
        {"loads.hook", "20 N"},
        {"loads.knock", "10 N"},
        {"variants.small.hand.length", "160 mm"},
        {"variants.small.digits.index.width", "14 mm"},
        {"requirements.digits.index/slop.high", "4 deg"},
    };
    for (size_t i = 0; i < sizeof there / sizeof there[0]; i++) {
        hw_arena *a = hw_arena_new(0);
        size_t n = strlen(there[i][1]);
        char changed[64];
        snprintf(changed, sizeof changed, "1.01 * (%s)", there[i][1]);
        hw_edit edit[2] = {{hw_text_of(there[i][0]), hw_text_of(changed)},
                           {hw_text_of(there[i][0]), hw_text_of(there[i][1])}};
        hw_text out;
        CHECK(n > 0 && hw_design_edit(a, (hw_text){text, len}, "h", edit, 1, &out, NULL) == HW_OK);
        CHECK(out.len == len + strlen(changed) - n);
        CHECK(hw_design_edit(a, (hw_text){text, len}, "h", edit, 2, &out, NULL) == HW_OK);
        if (!CHECK(out.len == len && memcmp(out.at, text, len) == 0))
            printf("    %s\n", there[i][0]);
        hw_arena_free(a);
    }
    free(text);
}

static void every_allocation_may_fail(void)
{
    size_t len;
    char *text = file_text(like_heron, &len);
    if (!CHECK(text != NULL)) return;
    hw_edit edit[2] = {{HW_TEXT("hand.length"), HW_TEXT("190 mm")},
                       {HW_TEXT("closing.dip"), HW_TEXT("60 deg")}};
    hw_code code = HW_NO_MEMORY;
    size_t n = 0;
    for (; n < 20000 && code != HW_OK; n++) {
        hw_arena *a = hw_arena_new(0);
        hw_text out;
        hw_arena_fail_after(a, n);
        code = hw_design_edit(a, (hw_text){text, len}, "h", edit, 2, &out, NULL);
        if (code != HW_OK && (code != HW_NO_MEMORY || out.at)) CHECK(false);
        hw_arena_free(a);
    }
    CHECK(code == HW_OK && n > 100);
    free(text);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_value_is_replaced_where_it_stands);
    RUN(quotes_stay_and_come_where_needed);
    RUN(block_scalars_are_replaced_whole);
    RUN(what_is_missing_is_added_under_its_parent);
    RUN(what_cannot_be_is_refused);
    RUN(strange_keys_are_no_trap);
    RUN(edits_follow_each_other);
    RUN(random_edits_change_their_value_only);
    RUN(there_and_back_is_the_same_file);
    RUN(every_allocation_may_fail);
    return TEST_END();
}
