#include "base/arena.h"
#include "base/text.h"
#include "check.h"

static void valid_and_invalid_sequences(void)
{
    static const struct {
        const char *text;
        size_t step;
    } row[] = {{"", 0},
               {"a", 1},
               {"\xC2\xB0", 2},
               {"\xE2\x84\xA6", 3},
               {"\xF0\x9F\x98\x80", 4},
               {"\x80", 0},             // a tail alone
               {"\xC2", 0},             // cut
               {"\xE2\x84", 0},         // cut
               {"\xC0\xAF", 0},         // overlong
               {"\xC1\xBF", 0},         // overlong
               {"\xE0\x80\xAF", 0},     // overlong
               {"\xF0\x80\x80\xAF", 0}, // overlong
               {"\xED\xA0\x80", 0},     // surrogate
               {"\xED\x9F\xBF", 3},     // last before the surrogates
               {"\xF4\x8F\xBF\xBF", 4}, // the last code point
               {"\xF4\x90\x80\x80", 0}, // beyond it
               {"\xF5\x80\x80\x80", 0},
               {"\xFF", 0},
               {"\xE2\x28\xA1", 0},
               {"\xF0\x9F\x98\x28", 0}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++)
        CHECK(hw_utf8_step(hw_text_of(row[i].text)) == row[i].step);
    CHECK(hw_utf8_bad(HW_TEXT("5 \xC2\xB0 ok")) == 7);
    CHECK(hw_utf8_bad(HW_TEXT("ab\xC3zz")) == 2);
    CHECK(hw_utf8_count(HW_TEXT("5 \xC2\xB0")) == 3);
    CHECK(hw_utf8_count(HW_TEXT("\xFF\xFE"
                                "a")) == 3);
    CHECK(hw_utf8_count((hw_text){NULL, 0}) == 0);
}

static size_t distance(const char *a, const char *b)
{
    return hw_text_distance(hw_text_of(a), hw_text_of(b));
}

static void names_and_their_distance(void)
{
    CHECK(distance("", "") == 0);
    CHECK(distance("", "abc") == 3);
    CHECK(distance("widht", "width") == 1); // neighbours swapped
    CHECK(distance("width", "wdith") == 1);
    CHECK(distance("thicknes", "thickness") == 1);
    CHECK(distance("kitten", "sitting") == 3);
    CHECK(distance("ca", "abc") == 3); // optimal string alignment: no edit inside a swap
    CHECK(distance("horn", "root") == 3);
    CHECK(distance("a", "0123456789012345678901234567890123456789012345678901234567890123456") ==
          64);
}

static void distance_is_symmetric_and_bounded(void)
{
    static const char *const name[] = {"",           "mcp",    "pip",  "horn_angle",
                                       "angle_horn", "travel", "ravel"};
    for (size_t i = 0; i < sizeof name / sizeof name[0]; i++)
        for (size_t k = 0; k < sizeof name / sizeof name[0]; k++) {
            size_t d = distance(name[i], name[k]);
            size_t a = strlen(name[i]), b = strlen(name[k]);
            CHECK(d == distance(name[k], name[i]));
            CHECK(d <= (a > b ? a : b) && d >= (a > b ? a - b : b - a));
            CHECK((d == 0) == (i == k));
        }
}

static void a_buffer_grows(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_buffer b = {.arena = a};
    hw_buffer_put(&b, (hw_text){NULL, 0});
    CHECK(b.at && b.at[0] == '\0');
    for (int i = 0; i < 1000; i++) {
        hw_buffer_puts(&b, "ab");
        hw_buffer_number(&b, 0.5);
        hw_buffer_format(&b, "%d%s", i % 10, ";");
    }
    CHECK(b.len == 7000 && strlen(b.at) == 7000);
    CHECK(memcmp(b.at + 6993, "ab0.59;", 7) == 0);
    b.len = 0;
    for (size_t n = 0; n < 3; n++) hw_buffer_count(&b, n, "gap");
    CHECK(b.len == 17 && memcmp(b.at, "0 gaps1 gap2 gaps", 17) == 0);
    hw_arena_free(a);
}

static void a_failed_arena_loses_text_but_says_so(void)
{
    for (size_t n = 0; n < 6; n++) {
        hw_arena *a = hw_arena_new(0);
        hw_buffer b = {.arena = a};
        hw_arena_fail_after(a, n);
        for (int i = 0; i < 1000; i++) hw_buffer_format(&b, "%d,", i);
        CHECK(hw_arena_failed(a));
        CHECK(!b.at || strlen(b.at) == b.len);
        hw_arena_free(a);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(valid_and_invalid_sequences);
    RUN(names_and_their_distance);
    RUN(distance_is_symmetric_and_bounded);
    RUN(a_buffer_grows);
    RUN(a_failed_arena_loses_text_but_says_so);
    return TEST_END();
}
