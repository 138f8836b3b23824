// make: its folder from end to end, JSON against docs/schema, the same bytes again, left hands, bad
// input. With "long" as argument: both example hands with all their files, fine and coarse.
#include "base/text.h"
#include "drive.h"

#include "files/files.h"
#include "folder.h"
#include "lone.h"
#include "schema.h"

#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>

#define HERON HW_SOURCE_DIR "/examples/heron.yaml"
#define WREN  HW_SOURCE_DIR "/examples/wren.yaml"

static const char *program; // for runs with another number of threads

static const json_t *of(const json_t *j, const char *key)
{
    return json_object_get(j, key);
}
static const char *text_of(const json_t *j, const char *key)
{
    const char *t = json_string_value(of(j, key));
    return t ? t : "";
}
static double value_of(const json_t *j, const char *key)
{
    return json_number_value(of(of(j, key), "value"));
}
static double at(const json_t *j, const char *key, size_t i)
{
    return json_number_value(json_array_get(of(j, key), i));
}

// One answer with --json, held against the schema; to be given back by json_decref.
static json_t *answer(const char *line, int least, int most)
{
    drive d = drive_run(line);
    if (!CHECK(d.status >= least && d.status <= most))
        printf("    \"%s\": status %d: %s\n", line, d.status, d.err);
    json_t *j = schema_check(d.out, "make");
    drive_free(&d);
    return j;
}

static const json_t *finding_of(const json_t *j, const char *id)
{
    for (size_t i = 0; i < json_array_size(of(j, "findings")); i++) {
        const json_t *f = json_array_get(of(j, "findings"), i);
        if (strcmp(text_of(f, "id"), id) == 0) return f;
    }
    return NULL;
}

// The bytes of a file of the folder; *n their number. To be freed.
static char *bytes_of(const char *name, size_t *n)
{
    FILE *f = fopen(folder_of(name), "rb");
    *n = 0;
    if (!f) return NULL;
    fseek(f, 0, SEEK_END);
    long size = ftell(f);
    rewind(f);
    char *b = size > 0 ? malloc((size_t)size + 1) : NULL;
    if (b) *n = fread(b, 1, (size_t)size, f);
    if (b) b[*n] = '\0';
    fclose(f);
    return b;
}

// The STL file of a part, read back: as many triangles and as much volume as was said.
static void stl_is_the_part(const json_t *part)
{
    char name[120];
    size_t n;
    hw_mesh_file stl;
    hw_arena *a = hw_arena_new(0);
    snprintf(name, sizeof name, "out/%.100s", text_of(part, "file"));
    char *b = bytes_of(name, &n);
    if (CHECK(b && hw_stl_read(a, (hw_text){b, n}, name, NULL, NULL, &stl) == HW_OK)) {
        CHECK((json_int_t)stl.mesh.tris == json_integer_value(of(part, "triangles")));
        double six = 0;
        for (size_t t = 0; t < stl.mesh.tris; t++) {
            double v[3][3];
            for (int k = 0; k < 3; k++)
                for (int c = 0; c < 3; c++)
                    v[k][c] = (double)stl.mesh.at[stl.mesh.tri[3 * t + (size_t)k]][c];
            six += v[0][0] * (v[1][1] * v[2][2] - v[1][2] * v[2][1]) -
                   v[0][1] * (v[1][0] * v[2][2] - v[1][2] * v[2][0]) +
                   v[0][2] * (v[1][0] * v[2][1] - v[1][1] * v[2][0]);
        }
        CLOSE(six / 6, value_of(part, "volume"), 1e-6);
    }
    free(b);
    hw_arena_free(a);
}

static void files_are_there(const json_t *j)
{
    size_t kinds[6] = {0};
    static const char *const kind[] = {"stl", "3mf", "dxf", "svg", "png", "text"};
    static const char *const begins[] = {NULL, "PK\3\4", "999", "<?xml", "\x89PNG", NULL};
    for (size_t i = 0; i < json_array_size(of(j, "files")); i++) {
        const json_t *f = json_array_get(of(j, "files"), i);
        char name[120];
        size_t n;
        snprintf(name, sizeof name, "out/%.100s", text_of(f, "name"));
        char *b = bytes_of(name, &n);
        if (!CHECK(b && (json_int_t)n == json_integer_value(of(f, "bytes"))))
            printf("    %s\n", name);
        for (int k = 0; k < 6; k++) {
            if (strcmp(kind[k], text_of(f, "kind")) != 0) continue;
            kinds[k]++;
            const char *lead = b;
            while (k == 2 && lead && *lead == ' ') lead++;
            if (b && begins[k] && !CHECK(strncmp(lead, begins[k], strlen(begins[k])) == 0))
                printf("    %s begins otherwise\n", name);
        }
        free(b);
    }
    CHECK(kinds[0] == json_array_size(of(j, "parts")));
    CHECK(kinds[1] == json_array_size(of(j, "plates")) && kinds[1] > 0);
    CHECK(kinds[2] > 0 && kinds[2] == kinds[3] && kinds[4] > 0 && kinds[5] == 1);
    // nothing is there beside them but the sheet, its JSON and the manifest
    CHECK((size_t)folder_count(folder_of("out")) == json_array_size(of(j, "files")) + 3);
}

static void parts_are_sound(const json_t *j, bool written)
{
    for (size_t i = 0; i < json_array_size(of(j, "parts")); i++) {
        const json_t *p = json_array_get(of(j, "parts"), i);
        if (!CHECK(json_is_true(of(p, "sound")))) printf("    %s\n", text_of(p, "name"));
        CHECK(value_of(p, "volume") > 0 && value_of(of(p, "print"), "filament") > 0);
        CHECK(value_of(of(p, "print"), "filament") < 1.2 * value_of(p, "volume"));
        CHECK(at(p, "low_mm", 2) >= -1e-3); // nothing lies below the bed
        if (written) stl_is_the_part(p);
    }
}

static json_t *whole(const char *design, const char *more)
{
    char line[600];
    snprintf(line, sizeof line, "make %.200s --json %.100s -o %.100s", design, more,
             folder_of("out"));
    json_t *j = answer(line, HW_EXIT_HOLDS, HW_EXIT_SHORT);
    files_are_there(j);
    parts_are_sound(j, true);
    return j;
}

// The page beside the files says what it must, in lines for any terminal.
static void page_is_right(void)
{
    char *page = folder_read("out/README.txt");
    static const char *const says[] = {"Heron, revision 1", "No supports",     "Cautions",
                                       "Nozzle and bed",    "Joints pinch",    "splinter",
                                       "medical device",    "What to measure", "plate-1.3mf",
                                       "index-carrier.stl", "retention",       "whips",
                                       "7.0 N, 56 places",  "home switch"};
    for (size_t i = 0; i < sizeof says / sizeof says[0]; i++)
        if (!CHECK(drive_has(page, says[i]))) printf("    %s\n", says[i]);
    for (char *line = page, *end; line && (end = strchr(line, '\n')); line = end + 1)
        if (!CHECK(hw_utf8_count((hw_text){line, (size_t)(end - line)}) <= 80))
            printf("    %.*s\n", (int)(end - line), line);
    free(page);
}

static void a_digit_and_coupons_come_whole(void)
{
    if (!folder_new()) return;
    json_t *j = whole(HERON, "--digit index --coupons");
    CHECK(json_array_size(of(j, "groups")) == 1 + 5);
    size_t coupons = 0;
    for (size_t i = 0; i < json_array_size(of(j, "groups")); i++) {
        const json_t *g = json_array_get(of(j, "groups"), i);
        CHECK(json_is_null(of(g, "fault")) && json_integer_value(of(g, "plate")) >= 1);
        coupons += json_is_object(of(g, "coupon"));
    }
    CHECK(coupons == 5);
    NEAR(json_number_value(of(finding_of(j, "digits.index/mesh_faults"), "value")), 0, 0);
    // judged like digits, and all of them print
    CHECK(json_is_number(of(finding_of(j, "hand/coupon_faults"), "value")));
    NEAR(json_number_value(of(finding_of(j, "hand/coupon_faults"), "value")), 0, 0);
    page_is_right();
    json_decref(j);
    folder_free();
}

// A thumb and a finger, and nothing written; whole hands are the long test's.
static void every_digit_is_sound(void)
{
    if (!folder_new()) return;
    folder_text("two.yaml",
                "digits: {middle: {present: no}, ring: {present: no}, little: {present: no}}\n");
    char line[300];
    snprintf(line, sizeof line, "make %.200s --json", folder_of("two.yaml"));
    json_t *j = answer(line, HW_EXIT_HOLDS, HW_EXIT_SHORT);
    CHECK(json_array_size(of(j, "files")) == 0 && json_array_size(of(j, "parts")) > 6);
    CHECK(json_array_size(of(j, "groups")) == 2 && finding_of(j, "hand/plates"));
    for (size_t g = 0; g < json_array_size(of(j, "groups")); g++)
        CHECK(json_is_null(of(json_array_get(of(j, "groups"), g), "fault")));
    parts_are_sound(j, false);
    json_decref(j);
    folder_free();
}

static bool same_file(const char *a, const char *b)
{
    size_t n, m;
    char *x = bytes_of(a, &n), *y = bytes_of(b, &m);
    bool same = x && y && n == m && memcmp(x, y, n) == 0;
    free(x);
    free(y);
    return same;
}

static void a_failed_write_leaves(const char *out);

// A folder is the same, byte for byte, from another process with one thread; and it stays what it
// was when a later run cannot write.
static void the_same_bytes_again(void)
{
    if (!folder_new()) return;
    char line[900];
    snprintf(line, sizeof line, "make %s --digit little -o %.100s", HERON, folder_of("one"));
    drive d = drive_run(line);
    CHECK(d.status == HW_EXIT_HOLDS || d.status == HW_EXIT_SHORT);
    drive_free(&d);
    if (CHECK(program != NULL)) {
        snprintf(line, sizeof line,
                 "OMP_NUM_THREADS=1 '%.300s' make '%s' --digit little -o '%.100s' "
                 ">'%.100s'",
                 program, HERON, folder_of("two"), folder_of("text"));
        int status = system(line);
        CHECK(WIFEXITED(status) && WEXITSTATUS(status) <= HW_EXIT_SHORT);
    }
    char *manifest = folder_read("one/manifest.json");
    json_t *j = manifest ? json_loads(manifest, 0, NULL) : NULL;
    size_t files = json_array_size(of(j, "files"));
    CHECK(files > 15);
    for (size_t i = 0; i < files; i++) {
        char a[150], b[150];
        const char *name = text_of(json_array_get(of(j, "files"), i), "name");
        snprintf(a, sizeof a, "one/%.90s", name);
        snprintf(b, sizeof b, "two/%.90s", name);
        if (!CHECK(same_file(a, b))) printf("    %s, %s\n", a, b);
    }
    json_decref(j);
    free(manifest);
    folder_empty(folder_of("two"));
    rmdir(folder_of("two"));
    unlink(folder_of("text"));
    a_failed_write_leaves("one");
    folder_free();
}

// A copy of Heron with its index alone, one piece of text in place of another.
static void variant_of_heron(const char *name, const char *from, const char *to)
{
    static char changed[LONE_BYTES];
    const char *text = lone_text(HERON), *here = text ? strstr(text, from) : NULL;
    if (!CHECK(here != NULL)) return;
    snprintf(changed, sizeof changed, "%.*s%s%s", (int)(here - text), text, to,
             here + strlen(from));
    folder_text(name, changed);
}

static json_t *made_of(const char *name, const char *more, int least, int most)
{
    char line[600];
    snprintf(line, sizeof line, "make %.200s --json %.200s", folder_of(name), more);
    return answer(line, least, most);
}

static void a_left_hand_is_the_mirror(void)
{
    if (!folder_new()) return;
    variant_of_heron("right.yaml", "side: right", "side: right");
    variant_of_heron("left.yaml", "side: right", "side: left");
    json_t *right = made_of("right.yaml", "--digit index", 0, 1);
    json_t *left = made_of("left.yaml", "--digit index", 0, 1);
    SAME_TEXT(text_of(left, "side"), "left");
    size_t n = json_array_size(of(right, "parts"));
    CHECK(n > 5 && json_array_size(of(left, "parts")) == n);
    for (size_t i = 0; i < n; i++) {
        const json_t *r = json_array_get(of(right, "parts"), i);
        const json_t *l = json_array_get(of(left, "parts"), i);
        CHECK(json_is_true(of(l, "sound")));
        // letters are turned round before they are mirrored: what is cut for them may differ
        CLOSE(value_of(l, "volume"), value_of(r, "volume"), 1e-3);
        NEAR(at(l, "low_mm", 1), -at(r, "high_mm", 1), 1e-6);
        NEAR(at(l, "high_mm", 1), -at(r, "low_mm", 1), 1e-6);
        NEAR(at(l, "low_mm", 0), at(r, "low_mm", 0), 1e-6);
    }
    json_decref(right);
    json_decref(left);
    folder_free();
}

static void a_small_bed_is_a_finding(void)
{
    if (!folder_new()) return;
    variant_of_heron("small.yaml", "type: fine nozzle",
                     "type: fine nozzle\n  bed: [60 mm, 60 mm, 60 mm]");
    json_t *j = made_of("small.yaml", "--digit index", HW_EXIT_SHORT, HW_EXIT_SHORT);
    const json_t *f = finding_of(j, "digits.index/bed_fit");
    SAME_TEXT(text_of(f, "verdict"), "falls short");
    CHECK(strstr(text_of(f, "note"), "printer.bed") != NULL);
    CHECK(json_array_size(of(j, "plates")) == 0);
    CHECK(json_is_null(of(json_array_get(of(j, "groups"), 0), "plate")));
    json_decref(j);
    char line[300];
    snprintf(line, sizeof line, "make %.200s --digit index", folder_of("small.yaml"));
    DRIVE(line, HW_EXIT_SHORT, "index: fits no plate of this bed (printer.bed)", NULL);
    folder_free();
}

static void a_thin_wall_is_a_finding(void)
{
    if (!folder_new()) return;
    variant_of_heron("thin.yaml", "layers: {cheek: {a: 2.0 mm, b: 2.0 mm}",
                     "layers: {cheek: {a: 0.3 mm, b: 2.0 mm}");
    json_t *j = made_of("thin.yaml", "--digit index", HW_EXIT_SHORT, HW_EXIT_SHORT);
    const json_t *f = finding_of(j, "digits.index/print_wall");
    SAME_TEXT(text_of(f, "verdict"), "falls short");
    CHECK(json_number_value(of(f, "value")) < 0.9);
    CHECK(strstr(text_of(f, "note"), "index ") != NULL); // which part
    json_decref(j);
    folder_free();
}

// What the document requires of the parts: assess says that make computes it, make judges it by the
// document's limit.
static void required_print_findings(void)
{
    static const char lone[] = "digits: {thumb: {present: no}, middle: {present: no},\n"
                               "  ring: {present: no}, little: {present: no}}\n"
                               "requirements: {digits.index/closes: {low: 100 %%},\n"
                               "  digits.index/print_mass: {high: %s}}\n";
    char line[300], text[300];
    if (!folder_new()) return;
    snprintf(text, sizeof text, lone, "1 g");
    folder_text("asks.yaml", text);
    snprintf(line, sizeof line, "assess %.200s", folder_of("asks.yaml"));
    DRIVE(line, HW_EXIT_HOLDS, "handwright make", NULL);
    json_t *j = made_of("asks.yaml", "--digit index", HW_EXIT_SHORT, HW_EXIT_SHORT);
    const json_t *f = finding_of(j, "digits.index/print_mass");
    CHECK(json_is_true(of(f, "required")));
    SAME_TEXT(text_of(f, "verdict"), "falls short");
    NEAR(json_number_value(of(f, "high")), 1, 1e-12);
    CHECK(strstr(text_of(f, "origin"), "asks.yaml:") != NULL);
    json_decref(j);
    // only what is required decides the exit status
    snprintf(text, sizeof text, lone, "1 kg");
    folder_text("asks.yaml", text);
    j = made_of("asks.yaml", "--digit index", HW_EXIT_HOLDS, HW_EXIT_HOLDS);
    SAME_TEXT(text_of(j, "verdict"), "holds");
    CHECK(!finding_of(j, "hand/bed_fit"));
    json_decref(j);
    // of a palm that was not asked for it has no row, and says who makes it
    folder_text("asks.yaml", "requirements: {hand/bed_fit: {low: 0 mm}}\n");
    j = made_of("asks.yaml", "--digit index", HW_EXIT_HOLDS, HW_EXIT_HOLDS);
    CHECK(!finding_of(j, "hand/bed_fit"));
    json_decref(j);
    snprintf(line, sizeof line, "make %.200s --digit index", folder_of("asks.yaml"));
    DRIVE(line, HW_EXIT_HOLDS, "Another 1 that it", NULL);
    folder_free();
}

static void what_cannot_be_built_is_a_fault_of_its_digit(void)
{
    if (!folder_new()) return;
    variant_of_heron(
        "broken.yaml", "bar_a: {root: [5.3 mm, 3.6 mm], horn: 6 mm, horn_angle: -55 deg",
        "bar_a: {root: [0.245 * hand.length + 6 mm, 0 mm], horn: 6 mm, horn_angle: 0 deg");
    json_t *j = made_of("broken.yaml", "--digit index", HW_EXIT_SHORT, HW_EXIT_SHORT);
    CHECK(strstr(text_of(json_array_get(of(j, "groups"), 0), "fault"), "bar A") != NULL);
    CHECK(json_array_size(of(j, "parts")) == 0 && json_array_size(of(j, "plates")) == 0);
    const json_t *f = finding_of(j, "digits.index/print_gap");
    SAME_TEXT(text_of(f, "verdict"), "unknown");
    CHECK(strstr(text_of(f, "note"), "bar A") != NULL);
    json_decref(j);
    folder_free();
}

static void wrong_words_are_refused(void)
{
    DRIVE("make " HERON " --digit indxe", HW_EXIT_INPUT, NULL, "perhaps \"index\"");
    DRIVE("make " HERON " --quality course", HW_EXIT_INPUT, NULL,
          "found \"course\", expected coarse or fine");
    DRIVE("make " HERON " --variant none", HW_EXIT_INPUT, NULL, "none");
    DRIVE("make " HERON " --stress", HW_EXIT_INPUT, NULL, "found no --digit");
    DRIVE("make", HW_EXIT_INPUT, NULL, "needs DESIGN");
    DRIVE("make " HW_SOURCE_DIR "/examples/none.yaml", HW_EXIT_INPUT, NULL, "cannot be read");
    DRIVE("make --help", HW_EXIT_HOLDS, "handwright make heron.yaml --coupons -o print", NULL);
    if (!folder_new()) return;
    folder_text("four.yaml", "handwright: 1\ndigits: {little: {present: no}}\n");
    char line[300];
    snprintf(line, sizeof line, "make %.200s --digit little", folder_of("four.yaml"));
    DRIVE(line, HW_EXIT_INPUT, NULL, "the design has no little (digits.little.present)");
    folder_free();
}

// Starts the program itself on one of Heron's digits, its messages into the file "words": a forked
// copy of this one could not run threads. `most`: bytes that a file may have.
static pid_t start(const char *digit, const char *quality, const char *into, rlim_t most)
{
    char folder[200], words[200];
    snprintf(folder, sizeof folder, "%.190s", folder_of(into));
    snprintf(words, sizeof words, "%.190s", folder_of("words"));
    fflush(stdout);
    pid_t child = fork();
    if (child != 0) return child;
    struct rlimit limit = {most, most};
    bool ok = freopen(words, "w", stderr) && freopen("/dev/null", "w", stdout);
    signal(SIGXFSZ, SIG_IGN);
    if (ok && setrlimit(RLIMIT_FSIZE, &limit) == 0)
        execl(program, program, "make", HERON, "--digit", digit, "--quality", quality, "-o", folder,
              (char *)NULL);
    _exit(99);
}

// A write that fails half-way, at a file that is larger than the system lets it be: the folder is
// as it was.
static void a_failed_write_leaves(const char *out)
{
    int files = folder_count(folder_of(out)), status = 0;
    char name[40];
    snprintf(name, sizeof name, "%.20s/manifest.json", out);
    char *before = folder_read(name);
    pid_t child = start("ring", "coarse", out, 60000);
    CHECK(waitpid(child, &status, 0) == child && WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == HW_EXIT_MACHINE);
    char *words = folder_read("words");
    CHECK(drive_has(words, "cannot be written"));
    free(words);
    CHECK(unlink(folder_of("words")) == 0);
    char *after = folder_read(name);
    SAME_TEXT(after, before);
    CHECK(folder_count(folder_of(out)) == files && folder_count(folder_path) == 1);
    free(before);
    free(after);
}

// Interrupted while it works: 130, nothing written.
static void it_can_be_interrupted(void)
{
    if (!folder_new()) return;
    int status = 0;
    // on a busy machine it may not yet listen after a tenth of a second: then once more, later
    for (int tries = 1; tries <= 20; tries *= 3) {
        pid_t child = start("index", "fine", "out", RLIM_INFINITY);
        struct timespec wait = {tries / 10, tries % 10 * 100000000L};
        nanosleep(&wait, NULL);
        CHECK(kill(child, SIGINT) == 0);
        CHECK(waitpid(child, &status, 0) == child);
        if (WIFEXITED(status)) break;
        unlink(folder_of("words"));
    }
    CHECK(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == HW_EXIT_CANCELLED);
    char *words = folder_read("words");
    CHECK(drive_has(words, "cancelled; nothing was written"));
    free(words);
    CHECK(folder_count(folder_path) == 1);
    folder_free();
}

// Both fine, with coupons: test/files/test_plates.c.
static void hands_come_whole(void)
{
    static const char *const design[] = {HERON, WREN};
    for (int i = 0; i < 2; i++) {
        if (!folder_new()) return;
        json_t *j = whole(design[i], i == 0 ? "--quality fine --coupons" : "");
        SAME_TEXT(text_of(j, "quality"), i == 0 ? "fine" : "coarse");
        json_decref(j);
        folder_free();
    }
}

// Stress by voxels: judged, and drawn beside the other pictures.
static void stress_is_judged_and_drawn(void)
{
    if (!folder_new()) return;
    char line[600];
    snprintf(line, sizeof line, "make %s --digit index --stress --json -o %.100s", HERON,
             folder_of("out"));
    json_t *j = answer(line, HW_EXIT_HOLDS, HW_EXIT_SHORT);
    const json_t *f = finding_of(j, "digits.index/part_stress");
    CHECK(json_is_number(of(f, "value")) && strcmp(text_of(f, "verdict"), "unknown") != 0);
    char *png = folder_read("out/index-stress.png");
    CHECK(png && strncmp(png + 1, "PNG", 3) == 0);
    free(png);
    json_decref(j);
    folder_free();
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    bool is_long = argc > 1 && strcmp(argv[1], "long") == 0;
    if (argc > 1 && argv[1][0] == '/') program = argv[1];
    if (is_long) {
        RUN(hands_come_whole);
        RUN(stress_is_judged_and_drawn);
        return TEST_END();
    }
    RUN(a_digit_and_coupons_come_whole);
    RUN(every_digit_is_sound);
    RUN(the_same_bytes_again);
    RUN(a_left_hand_is_the_mirror);
    RUN(a_small_bed_is_a_finding);
    RUN(a_thin_wall_is_a_finding);
    RUN(required_print_findings);
    RUN(what_cannot_be_built_is_a_fault_of_its_digit);
    RUN(wrong_words_are_refused);
    RUN(it_can_be_interrupted);
    return TEST_END();
}
