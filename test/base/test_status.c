#include "base/status.h"
#include "check.h"

static void every_code_has_its_own_words(void)
{
    for (int i = 0; i < HW_CODES; i++) {
        CHECK(strlen(hw_code_text((hw_code)i)) > 0);
        for (int k = 0; k < i; k++)
            CHECK(strcmp(hw_code_text((hw_code)i), hw_code_text((hw_code)k)) != 0);
    }
    SAME_TEXT(hw_code_text((hw_code)999), "unknown code");
    SAME_TEXT(hw_code_text((hw_code)-1), "unknown code");
}

static void a_full_list_counts_what_it_drops(void)
{
    hw_diag room[2];
    hw_diags d = {room, 0, 2, 0};
    for (int i = 0; i < 5; i++)
        hw_diag_say(&d, HW_BAD_INPUT, "a.yaml", i + 1, 1, HW_TEXT("x"), HW_TEXT("y"), HW_TEXT("z"));
    CHECK(d.count == 2 && d.dropped == 3);
    CHECK(room[0].line == 1 && room[1].line == 2);
    SAME_TEXT(room[1].expected, "y");
    hw_diag_add(NULL, room[0]);
}

static void long_texts_are_cut_before_a_code_point(void)
{
    char many[200];
    for (int i = 0; i < 100; i++) memcpy(many + 2 * i, "\xC2\xB0", 2); // degree signs
    hw_diag room[1];
    hw_diags d = {room, 0, 1, 0};
    hw_text found = {many, sizeof many};
    hw_diag_say(&d, HW_BAD_INPUT, NULL, 0, 0, found, (hw_text){NULL, 0}, (hw_text){NULL, 0});
    CHECK(strlen(room[0].found) == 62); // 63 bytes of room hold 31 signs of two bytes
    SAME_TEXT(room[0].expected, "");
}

static void texts_compare_by_content(void)
{
    CHECK(hw_text_same((hw_text){NULL, 0}, hw_text_of(NULL)));
    CHECK(hw_text_same(hw_text_of("ab"), HW_TEXT("ab")));
    CHECK(!hw_text_same(HW_TEXT("ab"), HW_TEXT("ac")));
    CHECK(!hw_text_same(HW_TEXT("ab"), HW_TEXT("abc")));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(every_code_has_its_own_words);
    RUN(a_full_list_counts_what_it_drops);
    RUN(long_texts_are_cut_before_a_code_point);
    RUN(texts_compare_by_content);
    return TEST_END();
}
