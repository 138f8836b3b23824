// The entry table: complete, consistent, and found by path.
#include "check.h"
#include "design/design.h"

static const hw_entry_row *row(size_t *n)
{
    return hw_entry_rows(n);
}

static void every_row_is_filled(void)
{
    size_t n;
    const hw_entry_row *rows = row(&n);
    CHECK(n == HW_E_ROWS);
    for (size_t i = 0; i < n; i++) {
        const hw_entry_row *r = &rows[i];
        if (!CHECK(r->path && r->sentence && r->origin)) continue;
        CHECK(r->origin[0] && r->sentence[0]);
        CHECK((strncmp(r->path, "digits.*.", 9) == 0) == (i >= HW_E_SHARED_ROWS));
        for (int d = 0; d < HW_DIGITS; d++) CHECK(r->fallback || r->digit_fallback[d]);
        bool number = r->type == HW_ENTRY_NUMBER || r->type == HW_ENTRY_COUNT;
        if (number) CHECK(r->low < r->high);
        if (r->step > 0) CHECK(r->type == HW_ENTRY_NUMBER && r->step < r->high - r->low);
        bool chosen = r->type == HW_ENTRY_CHOICE || r->type == HW_ENTRY_NAME;
        CHECK(chosen == (r->choices != NULL));
        for (size_t k = 0; k < i; k++) CHECK(strcmp(rows[k].path, r->path) != 0);
    }
}

static void indices_and_paths_agree(void)
{
    for (hw_entry e = 0; (size_t)e < hw_entry_count(); e++) {
        char path[HW_PATH_TEXT];
        int digit;
        const hw_entry_row *r = hw_entry_row_of(e, &digit);
        size_t len = hw_entry_path(e, path), n;
        CHECK(strlen(path) == len && len > 0);
        CHECK(hw_entry_find((hw_text){path, len}) == e);
        CHECK(hw_entry_of((hw_entry_id)(r - row(&n)), digit) == e);
    }
    CHECK(hw_entry_find(HW_TEXT("digits.thumb.phalanges.middle")) == -1);
    CHECK(hw_entry_find(HW_TEXT("digits.thumb.phalanges.proximal")) ==
          hw_entry_of(HW_E_PHALANX_MIDDLE, 0));
    CHECK(hw_entry_find(HW_TEXT("digits.index.phalanges.metacarpal")) == -1);
    CHECK(hw_entry_find(HW_TEXT("digits.*.width")) == -1);
    CHECK(hw_entry_find(HW_TEXT("hand")) == -1 && hw_entry_find(HW_TEXT("")) == -1);
    CHECK(hw_entry_find(HW_TEXT("digits.index.")) == -1);
    CHECK(hw_entry_of(HW_E_WIDTH, -1) == -1 && hw_entry_of(HW_E_WIDTH, 5) == -1);
    CHECK(hw_entry_of(HW_E_NAME, 3) == 0 && hw_entry_of(HW_E_ROWS, 0) == -1);
    CHECK(hw_entry_row_of(-1, NULL) == NULL);
    CHECK(hw_entry_row_of((hw_entry)hw_entry_count(), NULL) == NULL);
}

static hw_text nearest(const char *path, char out[HW_PATH_TEXT])
{
    return hw_entry_nearest(hw_text_of(path), out);
}

static void nearest_paths_help(void)
{
    char out[HW_PATH_TEXT];
    SAME_TEXT(nearest("hand.lenght", out).at, "hand.length");
    SAME_TEXT(nearest("digits.indx.width", out).at, "digits.index.width");
    SAME_TEXT(nearest("breadth", out).at, "hand.breadth");
    CHECK(nearest("zzzzzzzz", out).len == 0);
    CHECK(nearest("", out).len == 0);
    char all[4000];
    memset(all, 'a', sizeof all - 1);
    all[sizeof all - 1] = '\0';
    CHECK(nearest(all, out).len == 0);
}

static void words_of_choices_are_the_enumerations(void)
{
    size_t n;
    const hw_entry_row *rows = row(&n);
    SAME_TEXT(rows[HW_E_SETTING].choices, "workshop|classroom");
    SAME_TEXT(rows[HW_E_HAND_SIDE].choices, "right|left");
    SAME_TEXT(rows[HW_E_PRESENT].choices, "no|yes");
    SAME_TEXT(rows[HW_E_MECHANISM_KIND].choices, "coupled bars|direct|cord");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(every_row_is_filled);
    RUN(indices_and_paths_agree);
    RUN(nearest_paths_help);
    RUN(words_of_choices_are_the_enumerations);
    return TEST_END();
}
