// The reference page: its table is the entry table's, its list of functions the program's.
//   test_design_reference --write docs/document.md   renews the table
#include "base/text.h"
#include "design/expr_internal.h"
#include "support.h"

static const char page[] = HW_SOURCE_DIR "/docs/document.md";
static const char mark[] =
    "<!-- from the entry table: test_reference --write docs/document.md -->\n";

static char *generated(hw_arena *a)
{
    hw_buffer b = {.arena = a};
    hw_entries_reference(&b);
    return b.at;
}

static void the_page_has_the_table(void)
{
    size_t len;
    char *text = file_text(page, &len);
    if (!CHECK(text != NULL)) return;
    hw_arena *a = hw_arena_new(0);
    const char *table = strstr(text, mark);
    if (CHECK(table != NULL) && !CHECK(strcmp(table + sizeof mark - 1, generated(a)) == 0))
        printf("    renew it: test_design_reference --write docs/document.md\n");
    for (char *c = text; *c; c++)
        if (*c == '\n') *c = ' ';
    for (size_t i = 0; i < hw_function_count; i++)
        if (!CHECK(strstr(text, hw_function_table[i].form) != NULL))
            printf("    %s is not on the page\n", hw_function_table[i].form);
    hw_arena_free(a);
    free(text);
}

static void every_row_is_one_line(void)
{
    hw_arena *a = hw_arena_new(0);
    const char *text = generated(a);
    size_t lines = 0, bars = 0;
    for (const char *c = text; c && *c; c++) {
        lines += *c == '\n';
        bars += *c == '|';
    }
    CHECK(lines == HW_E_ROWS + 2);
    CHECK(bars == 6 * lines); // five columns, and no bar inside
    hw_arena_free(a);
}

static int renew(const char *path)
{
    size_t len;
    char *text = file_text(path, &len);
    char *table = text ? strstr(text, mark) : NULL;
    FILE *f = table ? fopen(path, "wb") : NULL;
    if (!f) return 1;
    hw_arena *a = hw_arena_new(0);
    fwrite(text, 1, (size_t)(table - text) + sizeof mark - 1, f);
    fputs(generated(a), f);
    hw_arena_free(a);
    free(text);
    return fclose(f) != 0;
}

int main(int argc, char **argv)
{
    if (argc == 3 && strcmp(argv[1], "--write") == 0) return renew(argv[2]);
    TEST_BEGIN(argc, argv);
    RUN(the_page_has_the_table);
    RUN(every_row_is_one_line);
    return TEST_END();
}
