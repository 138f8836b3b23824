// handwright new: what it writes is read again, and says exactly what the entry table says.
#include "drive.h"

#include "design/design.h"

#include <sys/stat.h>

// A design read from text; NULL with the messages printed.
static hw_design *read_again(hw_arena *a, const char *text)
{
    hw_diag items[20];
    hw_diags diags = {.item = items, .capacity = 20};
    hw_read_def def = {.file = "starter"};
    hw_design *d = NULL;
    if (hw_design_read(a, hw_text_of(text), &def, &d, &diags) == HW_OK) return d;
    for (size_t i = 0; i < diags.count; i++)
        printf("    %d:%d: %s; found %s, expected %s\n", items[i].line, items[i].column,
               items[i].text, items[i].found, items[i].expected);
    return NULL;
}

// Both designs say the same of every entry, bit for bit.
static void same_designs(const hw_design *got, const hw_design *want)
{
    char path[HW_PATH_TEXT];
    for (hw_entry e = 0; e < (hw_entry)hw_entry_count(); e++) {
        const hw_entry_row *row = hw_entry_row_of(e, NULL);
        bool number = row->type == HW_ENTRY_NUMBER || row->type == HW_ENTRY_COUNT;
        bool same = number ? hw_design_value(got, e) == hw_design_value(want, e)
                           : hw_text_same(hw_design_text(got, e), hw_design_text(want, e));
        hw_entry_path(e, path);
        if (!CHECK(same)) printf("    %s differs\n", path);
    }
}

// Takes "# " off every line that has it.
static void uncomment(char *text)
{
    char *to = text;
    for (const char *from = text; *from;) {
        if (from[0] == '#' && from[1] == ' ') from += 2;
        while (*from && *from != '\n') *to++ = *from++;
        if (*from) *to++ = *from++;
    }
    *to = '\0';
}

static void starter_says_what_defaults_say(void)
{
    hw_arena *a = hw_arena_new(0);
    drive d = drive_run("new --length 200mm --breadth 10cm --side left");
    CHECK(d.status == HW_EXIT_HOLDS);
    hw_design *got = read_again(a, d.out);
    hw_design *want =
        read_again(a, "handwright: 1\nhand: {length: 200 mm, breadth: 100 mm, side: left}\n");
    if (CHECK(got && want)) same_designs(got, want);
    drive_free(&d);
    hw_arena_free(a);
}

static void every_entry_stands_in_it(void)
{
    hw_arena *a = hw_arena_new(0);
    drive d = drive_run("new");
    CHECK(d.status == HW_EXIT_HOLDS);
    hw_design *defaults = read_again(a, "handwright: 1\n");
    uncomment(d.out);
    hw_design *all = read_again(a, d.out);
    if (CHECK(defaults && all)) {
        same_designs(all, defaults);
        for (hw_entry e = 0; e < (hw_entry)hw_entry_count(); e++) {
            char path[HW_PATH_TEXT];
            hw_entry_path(e, path);
            if (hw_entry_row_of(e, NULL)->shared) continue; // the hand's own stands for it
            if (!CHECK(hw_design_origin(all, e) == HW_FROM_DOCUMENT))
                printf("    %s is not in the starter\n", path);
        }
    }
    drive_free(&d);
    hw_arena_free(a);
}

static void a_file_is_made_and_never_replaced(void)
{
    char folder[] = "/tmp/handwright-new-XXXXXX", line[300], path[100], text[400];
    if (!CHECK(mkdtemp(folder) != NULL)) return;
    snprintf(path, sizeof path, "%s/hand.yaml", folder);
    snprintf(line, sizeof line, "new -o %s", path);
    snprintf(text, sizeof text, "%s is written; next: handwright assess %s\n", path, path);
    DRIVE(line, HW_EXIT_HOLDS, text, NULL);
    struct stat before, after;
    CHECK(stat(path, &before) == 0 && before.st_size > 5000);
    snprintf(line, sizeof line, "new --length 1m -o %s", path);
    DRIVE(line, HW_EXIT_INPUT, NULL, "File exists");
    CHECK(stat(path, &after) == 0 && after.st_size == before.st_size &&
          after.st_ino == before.st_ino);
    unlink(path);

    snprintf(line, sizeof line, "new -o %s/none/hand.yaml", folder);
    DRIVE(line, HW_EXIT_INPUT, NULL, "No such file or directory");
    snprintf(line, sizeof line, "new -o %s/", folder);
    DRIVE(line, HW_EXIT_INPUT, NULL, "is not the name of a file");
    snprintf(line, sizeof line, "new -o %s", folder);
    DRIVE(line, HW_EXIT_INPUT, NULL, "File exists");
    DRIVE("new -o /dev/full", HW_EXIT_INPUT, NULL, "File exists");
    // nothing was left behind, not even a half-written file aside
    CHECK(rmdir(folder) == 0);
}

static void json_holds_the_document(void)
{
    DRIVE("new --json", HW_EXIT_HOLDS,
          "{\n  \"schema\": 1,\n  \"file\": null,\n  \"document\": \"## A", NULL);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(starter_says_what_defaults_say);
    RUN(every_entry_stands_in_it);
    RUN(a_file_is_made_and_never_replaced);
    RUN(json_holds_the_document);
    (void)hw_check_near, (void)hw_check_text;
    return TEST_END();
}
