// handwright make --posed: what is refused, which files there are, and that a left hand is one.
#include "drive.h"

#include "folder.h"

static const char *file_start(const char *name, size_t n)
{
    static char bytes[16];
    FILE *f = fopen(folder_of(name), "rb");
    memset(bytes, 0, sizeof bytes);
    if (!CHECK(f != NULL)) return bytes;
    CHECK(fread(bytes, 1, n, f) == n);
    fclose(f);
    return bytes;
}

static void shares_of_the_closing(void)
{
    static const char *const bad[] = {
        "", "x", "0,", "0,,1", "1.01", "-0.1", "50%", "nan", "Tip", "tips", "0,0,0,0,0,0,0,0,0"};
    if (!folder_new()) return;
    folder_text("hand.yaml", "{}\n");
    char line[400];
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        snprintf(line, sizeof line, "make %.200s --posed=%s", folder_of("hand.yaml"), bad[i]);
        DRIVE(line, HW_EXIT_INPUT, NULL, "expected 1 to 8 shares of the closing from 0 (open)");
    }
    snprintf(line, sizeof line, "make %.200s --posed 0 --digit index", folder_of("hand.yaml"));
    DRIVE(line, HW_EXIT_INPUT, NULL, "\"--posed\": found --digit, expected the whole hand");
    folder_free();
}

#define ALONE                                                                                      \
    "digits:\n  middle: {present: no}\n  ring: {present: no}\n  little: {present: no}\n"           \
    "  thumb: {present: no}\n"

// A grip pattern asks for digits that are not there.
static void grips_need_their_digits(void)
{
    if (!folder_new()) return;
    folder_text("alone.yaml", ALONE);
    char line[400];
    snprintf(line, sizeof line, "make %.200s --posed 0,power", folder_of("alone.yaml"));
    DRIVE(line, HW_EXIT_INPUT, NULL, "\"--posed\": found power, which needs the thumb");
    folder_free();
}

// Three digits in one grip: its name is the files' and the sheet's.
static void files_of_a_grip(void)
{
    if (!folder_new()) return;
    folder_text("hand.yaml", "digits: {ring: {present: no}, little: {present: no}}\n");
    char line[500];
    snprintf(line, sizeof line, "make %.100s --posed tip -o %.100s --json", folder_of("hand.yaml"),
             folder_of("out"));
    drive d = drive_run(line);
    CHECK(d.status == HW_EXIT_HOLDS || d.status == HW_EXIT_SHORT);
    CHECK(drive_has(d.out, "hand-tip.glb") && drive_has(d.out, "hand/grip_tip"));
    CHECK(memcmp(file_start("out/hand-tip-palm.png", 4), "\x89PNG", 4) == 0);
    char *glb = folder_read("out/hand-tip.glb");
    CHECK(drive_has(glb ? glb + 20 : NULL, "right hand, tip grip"));
    free(glb);
    drive_free(&d);
    folder_free();
}

// One finger and its palm: a scene, a model, six pictures; they say which hand it is.
static void files_of_a_pose(void)
{
    static const char *const side[] = {"back",        "palm", "thumb-side",
                                       "little-side", "tips", "wrist"};
    if (!folder_new()) return;
    folder_text("hand.yaml", "hand: {side: left}\n" ALONE);
    char line[500];
    snprintf(line, sizeof line, "make %.100s --posed 0.375 -o %.100s --json",
             folder_of("hand.yaml"), folder_of("out"));
    drive d = drive_run(line);
    CHECK(d.status == HW_EXIT_HOLDS || d.status == HW_EXIT_SHORT);
    CHECK(drive_has(d.out, "hand-37-5.glb") && drive_has(d.out, "hand-37-5.3mf"));
    CHECK(drive_has(d.out, "\"kind\": \"glb\"") || drive_has(d.out, "\"kind\":\"glb\""));
    CHECK(memcmp(file_start("out/hand-37-5.glb", 8), "glTF\2\0\0\0", 8) == 0);
    CHECK(memcmp(file_start("out/hand-37-5.3mf", 4), "PK\3\4", 4) == 0);
    for (int i = 0; i < 6; i++) {
        char name[64];
        snprintf(name, sizeof name, "out/hand-37-5-%s.png", side[i]);
        CHECK(memcmp(file_start(name, 4), "\x89PNG", 4) == 0);
    }
    char *glb = folder_read("out/hand-37-5.glb");
    CHECK(drive_has(glb ? glb + 20 : NULL, "left hand, 37.5 % of the closing"));
    CHECK(drive_has(glb ? glb + 20 : NULL, "\"name\":\"index middle phalanx\""));
    free(glb);
    drive_free(&d);
    folder_free();
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(shares_of_the_closing);
    if (argc > 1 && strcmp(argv[1], "grip") == 0) {
        RUN(files_of_a_grip);
        return TEST_END();
    }
    RUN(files_of_a_pose);
    RUN(grips_need_their_digits);
    return TEST_END();
}
