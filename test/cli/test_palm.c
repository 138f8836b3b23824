// make --palm and --posed from end to end, long: one finger's palm with all its files on a small
// bed, and one as written on a bed too small. On a large bed: test_place.c. Servos that a palm has
// no room for: test/examples/test_findings.c.
#include "drive.h"

#include "folder.h"
#include "schema.h"

#define ALONE                                                                                      \
    "digits: {thumb: {present: no}, middle: {present: no}, ring: {present: no},\n"                 \
    "  little: {present: no}}\n"

static const json_t *of(const json_t *j, const char *key)
{
    return json_object_get(j, key);
}

static const char *text_of(const json_t *j, const char *key)
{
    const char *t = json_string_value(of(j, key));
    return t ? t : "";
}

// The item of an array whose key says so.
static const json_t *item_of(const json_t *array, const char *key, const char *says)
{
    for (size_t i = 0; i < json_array_size(array); i++)
        if (strcmp(text_of(json_array_get(array, i), key), says) == 0)
            return json_array_get(array, i);
    return NULL;
}

static json_t *answer(const char *document, const char *verb, const char *more, int status)
{
    char line[600];
    folder_text("hand.yaml", document);
    snprintf(line, sizeof line, "%s %.200s --json %.200s", verb, folder_of("hand.yaml"), more);
    drive d = drive_run(line);
    if (!CHECK(d.status == status)) printf("    \"%s\": status %d: %s\n", line, d.status, d.err);
    json_t *j = schema_check(d.out, verb);
    drive_free(&d);
    return j;
}

static bool begins(const char *name, const char *with)
{
    char *b = folder_read(name);
    bool ok = b && strncmp(b, with, strlen(with)) == 0;
    free(b);
    if (!ok) printf("    %s\n", name);
    return ok;
}

// The board's outline and its four holes of 3 mm, in millimetres.
static void board_is_drawn(void)
{
    char *dxf = folder_read("out/board.dxf");
    if (!CHECK(dxf != NULL)) return;
    CHECK(drive_has(dxf, "$EXTMAX\n10\n60.0\n20\n40.0\n"));
    CHECK(drive_has(dxf, "lengths in millimetres"));
    size_t loops = 0, ends = 0;
    for (const char *at = dxf; (at = strstr(at, "\nPOLYLINE\n")); at++) loops++;
    for (const char *at = dxf; (at = strstr(at, "\nCIRCLE\n")); at++) loops++;
    for (const char *at = dxf; (at = strstr(at, "\nEOF")); at++) ends++;
    CHECK(loops == 1 + 4 && ends == 1);
    free(dxf);
}

static const char *const made[] = {"palm-tray",     "palm-lid-front", "palm-lid-rear", "index-yoke",
                                   "forearm-front", "forearm-rear",   "forearm-lid",   "stand"};

// What is too long for the bed comes in halves that fit it.
static void a_palm_comes_whole(void)
{
    if (!folder_new()) return;
    char more[200];
    snprintf(more, sizeof more, "--palm --posed 0.5 -o %.100s", folder_of("out"));
    json_t *j =
        answer(ALONE "printer: {bed: [110 mm, 110 mm, 110 mm]}\n"
                     "requirements: {hand/print_islands: {high: 0}, hand/bed_fit: {low: 0 mm}}\n",
               "make", more, HW_EXIT_HOLDS);
    SAME_TEXT(text_of(j, "verdict"), "holds");
    for (size_t i = 0; i < sizeof made / sizeof *made; i++) {
        char name[80];
        snprintf(name, sizeof name, "%s.stl", made[i]);
        const json_t *file = item_of(of(j, "files"), "name", name);
        const json_t *part = item_of(of(j, "parts"), "file", name);
        if (!CHECK(file && part)) printf("    no %s\n", name);
        SAME_TEXT(text_of(file, "kind"), "stl");
        CHECK(json_is_true(of(part, "sound")));
        snprintf(name, sizeof name, "out/%s-above.png", made[i]);
        CHECK(begins(name, "\x89PNG"));
        snprintf(name, sizeof name, "out/%s-below.png", made[i]);
        CHECK(begins(name, "\x89PNG"));
    }
    CHECK(begins("out/hand-50.glb", "glTF") && begins("out/hand-50.3mf", "PK\3\4"));
    CHECK(begins("out/hand-50-back.png", "\x89PNG") && begins("out/plate-1.3mf", "PK\3\4"));
    board_is_drawn();
    // every body lies on a plate, the finger is too long for one; every file that is named is
    // there, and no other
    for (size_t i = 0; i < json_array_size(of(j, "groups")); i++) {
        const json_t *group = json_array_get(of(j, "groups"), i);
        CHECK((json_integer_value(of(group, "plate")) >= 1) ==
              (strcmp(text_of(group, "name"), "index") != 0));
    }
    SAME_TEXT(text_of(item_of(of(j, "findings"), "id", "digits.index/bed_fit"), "verdict"),
              "falls short");
    for (size_t i = 0; i < json_array_size(of(j, "files")); i++) {
        char name[200];
        snprintf(name, sizeof name, "out/%.100s",
                 text_of(json_array_get(of(j, "files"), i), "name"));
        if (!CHECK(access(folder_of(name), R_OK) == 0)) printf("    no %s\n", name);
    }
    CHECK((size_t)folder_count(folder_of("out")) == json_array_size(of(j, "files")) + 3);
    // bodies are judged as the hand's; they have no gaps between them
    static const char *const row[] = {"hand/print_islands", "hand/print_overhang", "hand/bed_fit",
                                      "hand/print_wall"};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const json_t *f = item_of(of(j, "findings"), "id", row[i]);
        if (!CHECK(f && json_is_number(of(f, "value")))) printf("    %s\n", row[i]);
    }
    CHECK(item_of(of(j, "findings"), "id", "digits.index/print_gap") != NULL);
    CHECK(item_of(of(j, "findings"), "id", "hand/print_gap") == NULL);
    CHECK(!item_of(of(j, "parts"), "name", "forearm"));
    char *sheet = folder_read("out/make.txt"), *page = folder_read("out/README.txt");
    CHECK(drive_has(sheet, "palm tray") && !drive_has(sheet, "palm tray: palm tray"));
    CHECK(drive_has(page, "board.dxf") || drive_has(page, "palm-tray.stl"));
    CHECK(drive_has(page, "\nPalm\n----\n"));
    CHECK(drive_has(page, "The lid goes on last, with "));
    CHECK(drive_has(page, "\nStand\n-----\n") && drive_has(page, "when its"));
    free(sheet);
    free(page);
    json_decref(j);
    folder_free();
}

// On a bed too small for the palm the finding says which body lacks how much, and it lies on no
// plate. The ring finger's servo has no room where it is: as written, it stays.
static void as_written_on_a_bed_too_small(void)
{
    if (!folder_new()) return;
    json_t *j =
        answer("palm: {thickness: 38 mm, servo: {type: micro 9 g}}\n"
               "digits:\n"
               "  thumb: {present: no}\n"
               "  index: {present: no}\n"
               "  middle: {present: no}\n"
               "  little: {present: no}\n"
               "  ring: {splay: {driven: yes, slot: {at: {x: 60 mm, y: -9 mm, z: -4 mm}}}}\n"
               "printer: {bed: [70 mm, 70 mm, 70 mm]}\n"
               "requirements: {hand/bed_fit: {low: 0 mm}}\n",
               "make", "--palm --as-written", HW_EXIT_SHORT);
    const json_t *f = item_of(of(j, "findings"), "id", "hand/bed_fit");
    SAME_TEXT(text_of(f, "verdict"), "falls short");
    CHECK(json_number_value(of(f, "value")) < 0);
    CHECK(drive_has(text_of(f, "note"), "palm tray: ") &&
          drive_has(text_of(f, "note"), "larger than printer.bed"));
    CHECK(!item_of(of(j, "files"), "name", "laid.yaml"));
    json_decref(j);
    folder_free();
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_palm_comes_whole);
    RUN(as_written_on_a_bed_too_small);
    return TEST_END();
}
