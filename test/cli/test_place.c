// Servos in the palm laid anew: the document with what was found, and `make --palm` that lays by
// itself what lacks room (with the argument "long"; with --as-written: test_palm.c).
#include "drive.h"
#include "folder.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// The ring finger's servo stands in its own yoke; the variant has it elsewhere, as wrong.
static const char HEAD[] = "handwright: 1 # a ring finger that splays\n"
                           "palm: {thickness: 38 mm, servo: {type: micro 9 g}}\n"
                           "digits:\n"
                           "  thumb: {present: no}\n"
                           "  index: {present: no}\n"
                           "  middle: {present: no}\n"
                           "  little: {present: no}\n"
                           "  ring: {splay: {driven: yes, slot: {at: {x: 60 mm, y: -9 mm, ";
static const char TAIL[] = "z: -4 mm}}}} # its servo\n"
                           "variants:\n"
                           "  far: {digits: {ring: {splay: {slot: {at: {y: -60 mm}}}}}}\n";

static void documents(void)
{
    char text[1200];
    snprintf(text, sizeof text, "%s%s", HEAD, TAIL);
    folder_text("ring.yaml", text);
}

static void run(const char *words, const char *file, const char *rest, hw_exit status, drive *d)
{
    char line[400];
    snprintf(line, sizeof line, "%s %.200s %s", words, folder_of(file), rest);
    *d = drive_run(line);
    if (!CHECK(d->status == (int)status)) printf("    %s\n%s%s\n", line, d->out, d->err);
}

// What is lacking in all of the document's own places; NaN: it is not said.
static double lacks(const char *out)
{
    static const char row[] = "lacking in all";
    const char *at = out ? strstr(out, row) : NULL;
    return at ? strtod(at + strlen(row), NULL) : (double)NAN;
}

static void the_document_takes_what_was_found(void)
{
    drive d;
    char rest[300];
    snprintf(rest, sizeof rest, "--servos -o %.200s", folder_of("found"));
    run("place", "ring.yaml", rest, HW_EXIT_HOLDS, &d);
    drive_free(&d);
    char *laid = folder_read("found/laid.yaml");
    if (!CHECK(laid != NULL)) return;
    // all else stays byte for byte
    const char *tail = strstr(TAIL, " # its servo");
    size_t n = strlen(laid), end = strlen(tail), head = (size_t)(strstr(HEAD, "x: 60") - HEAD);
    CHECK(strncmp(laid, HEAD, head) == 0 && n > end && strcmp(laid + n - end, tail) == 0);
    CHECK(strstr(laid, "x: 60 mm") == NULL);
    folder_text("laid.yaml", laid);
    free(laid);
    run("place", "laid.yaml", "--servos", HW_EXIT_HOLDS, &d);
    CHECK(lacks(d.out) == 0);
    drive_free(&d);
}

static void a_variant_takes_its_own(void)
{
    drive d;
    char rest[300];
    snprintf(rest, sizeof rest, "--servos --variant far -o %.200s", folder_of("far"));
    run("place", "ring.yaml", rest, HW_EXIT_HOLDS, &d);
    drive_free(&d);
    char *laid = folder_read("far/laid.yaml");
    if (!CHECK(laid != NULL)) return;
    CHECK(strncmp(laid, HEAD, strlen(HEAD)) == 0); // the document's own places stay
    folder_text("laid.yaml", laid);
    free(laid);
    run("place", "laid.yaml", "--servos --variant far", HW_EXIT_HOLDS, &d);
    CHECK(lacks(d.out) == 0);
    drive_free(&d);
}

static void makes_what_it_lays_anew(void)
{
    drive d;
    char rest[300];
    snprintf(rest, sizeof rest, "--palm -o %.200s", folder_of("made"));
    run("make", "ring.yaml", rest, HW_EXIT_SHORT, &d); // a bare document: every limit counts
    CHECK(drive_has(d.out, "Servos in the palm lack 23.9 mm where the document has them. They were "
                           "laid anew: nothing is lacking"));
    CHECK(drive_has(d.out, "laid.yaml"));
    drive_free(&d);
    char *laid = folder_read("made/laid.yaml"), *listing = folder_read("made/README.txt");
    CHECK(laid && strncmp(laid, HEAD, 40) == 0);
    CHECK(listing && drive_has(listing, "laid.yaml"));
    free(laid);
    free(listing);
    // on a bed that has room for it the forearm is whole; on a small one: test_palm.c
    CHECK(access(folder_of("made/forearm.stl"), R_OK) == 0);
    CHECK(access(folder_of("made/forearm-front.stl"), R_OK) != 0);
}

int main(int argc, char **argv)
{
    bool whole = argc > 1 && strcmp(argv[1], "long") == 0;
    TEST_BEGIN(whole ? 1 : argc, argv);
    if (!folder_new()) return 1;
    documents();
    if (whole) {
        RUN(makes_what_it_lays_anew);
    } else {
        RUN(the_document_takes_what_was_found);
        RUN(a_variant_takes_its_own);
    }
    folder_free();
    return TEST_END();
}
