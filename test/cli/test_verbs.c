// stroke, levers, compare, assess: exit statuses, JSON against docs/schema, options. Searches for
// levers ask for hundreds of assessments: here of one finger, with "long" as argument of whole
// hands.
#include "base/text.h"
#include "drive.h"

#include "folder.h"
#include "lone.h"
#include "schema.h"

#include <signal.h>
#include <sys/wait.h>
#include <time.h>

#define HERON HW_SOURCE_DIR "/examples/heron.yaml"
#define WREN  HW_SOURCE_DIR "/examples/wren.yaml"
#define DODO  HW_SOURCE_DIR "/examples/dodo.yaml"

// Runs a line with --json and holds the answer against a schema; to be given back by json_decref.
static json_t *answer(const char *line, const char *schema, int *status)
{
    drive d = drive_run(line);
    json_t *j = schema_check(d.out, schema);
    SAME_TEXT(d.err, "");
    *status = d.status;
    drive_free(&d);
    return j;
}

// The example with its index alone, in the folder.
static void alone(const char *name, const char *example)
{
    const char *text = lone_text(example);
    if (text) folder_text(name, text);
}

static size_t length_of(const json_t *j, const char *key)
{
    return json_array_size(json_object_get(j, key));
}

static double item(const json_t *j, const char *key, size_t i)
{
    return json_number_value(json_array_get(json_object_get(j, key), i));
}

static void stroke_of_coupled_bars(void)
{
    static const char *const keys[] = {"mcp_deg",   "pip_deg",   "dip_deg",   "tip_mm",
                                       "bar_a_n",   "bar_b_n",   "mcp_pin_n", "pip_pin_n",
                                       "dip_pin_n", "torque_nmm"};
    int status;
    json_t *j = answer("stroke " HERON " --digit index --steps 33 --json", "stroke", &status);
    CHECK(status == HW_EXIT_HOLDS);
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) CHECK(length_of(j, keys[i]) == 33);
    NEAR(item(j, "mcp_deg", 0), 0, 1e-9);   // the travel's ends, by the document
    NEAR(item(j, "mcp_deg", 32), 85, 1e-9); // rounding of degrees, to and from radians
    NEAR(item(j, "pip_deg", 0), 0, 1e-9);   // bars are as long as the straight digit makes them
    json_decref(j);
}

static void stroke_of_other_families_has_null_bars(void)
{
    int status;
    json_t *j = answer("stroke " WREN " --steps 5 --json", "stroke", &status);
    CHECK(status == HW_EXIT_HOLDS);
    CHECK(json_is_null(json_object_get(j, "bar_a_n")));
    CHECK(json_is_null(json_object_get(j, "bar_b_n")));
    CHECK(length_of(j, "torque_nmm") == 5);
    json_decref(j);
    j = answer("stroke " HERON " --digit thumb --steps 2 --json", "stroke", &status);
    SAME_TEXT(json_string_value(json_object_get(j, "digit")), "thumb");
    json_decref(j);
}

static void a_stroke_that_does_not_close_is_a_shortfall(void)
{
    if (!folder_new()) return;
    // bar A is 25.5 mm long, its root 57 mm from the PIP in the fist: 5 mm of horn cannot reach
    folder_text("open.yaml",
                "handwright: 1\n"
                "digits:\n"
                "  index:\n"
                "    phalanges: [45 mm, 26 mm, 18 mm]\n"
                "    travel: [0 deg, 85 deg]\n"
                "    mechanism:\n"
                "      kind: coupled bars\n"
                "      bar_a: {root: [20 mm, 10 mm], horn: 5 mm, horn_angle: 90 deg}\n");
    char line[300];
    int status;
    snprintf(line, sizeof line, "stroke %.200s --steps 33 --json", folder_of("open.yaml"));
    json_t *j = answer(line, "stroke", &status);
    CHECK(status == HW_EXIT_SHORT);
    CHECK(json_is_null(json_array_get(json_object_get(j, "pip_deg"), 16)));
    CHECK(json_is_number(json_array_get(json_object_get(j, "pip_deg"), 0)));
    json_decref(j);
    snprintf(line, sizeof line, "stroke %.200s", folder_of("open.yaml"));
    DRIVE(line, HW_EXIT_SHORT, "Poses marked — cannot be put together.", NULL);
    DRIVE(line, HW_EXIT_SHORT, "dead point of bar A at s = 0.", NULL);
    folder_free();
}

static void options_of_stroke(void)
{
    DRIVE("stroke " HERON " --digit toe", HW_EXIT_INPUT, NULL,
          "\"--digit\": found \"toe\", expected");
    DRIVE("stroke " HERON " --digit indxe", HW_EXIT_INPUT, NULL,
          "\"--digit\": found \"indxe\", perhaps \"index\", expected");
    DRIVE("stroke " HERON " --steps 1", HW_EXIT_INPUT, NULL, "expected a whole number from 2");
    DRIVE("stroke " HERON " --steps 2.5", HW_EXIT_INPUT, NULL, "expected a whole number from 2");
    DRIVE("stroke " HERON " --steps 1e9", HW_EXIT_INPUT, NULL, "expected a whole number from 2");
    DRIVE("stroke " HERON " --steps 9x", HW_EXIT_INPUT, NULL, "expected a whole number from 2");
    DRIVE("stroke", HW_EXIT_INPUT, NULL, "handwright stroke: needs DESIGN");
    DRIVE("stroke " HERON " " WREN, HW_EXIT_INPUT, NULL, "one argument too many");
    DRIVE("stroke " HERON " --variant none", HW_EXIT_INPUT, NULL, "found none");
    DRIVE("stroke " HERON " --steps 2", HW_EXIT_HOLDS, "heron.yaml, index: coupled bars, 2 poses",
          NULL);
}

// A design that holds what it requires, and one that is poor on purpose.
static void assess_both(const char *good, const char *poor)
{
    char line[300];
    int status;
    snprintf(line, sizeof line, "assess %.200s --json", good);
    json_t *j = answer(line, "assess", &status);
    CHECK(status == HW_EXIT_HOLDS);
    CHECK(length_of(j, "findings") > 20);
    json_decref(j);
    snprintf(line, sizeof line, "assess %.200s --json", poor);
    j = answer(line, "assess", &status);
    CHECK(status == HW_EXIT_SHORT && length_of(j, "findings") > 20);
    json_decref(j);
}

static void assess_is_the_whole_job(void)
{
    if (!folder_new()) return;
    alone("wren.yaml", WREN);
    alone("dodo.yaml", DODO);
    assess_both(folder_of("wren.yaml"), folder_of("dodo.yaml"));
    DRIVE("assess " HERON " --variant none", HW_EXIT_INPUT, NULL, "found none");
    folder_free();
}

// Everything that a folder has, once and again: the same names and the same bytes.
static void same_folder(const char *design, size_t least)
{
    char line[300], report[300];
    for (int i = 0; i < 2; i++) {
        snprintf(line, sizeof line, "assess %.150s -o %.60s/%d", design, folder_path, i);
        snprintf(report, sizeof report, "report: %.60s/%d/report.html\n", folder_path, i);
        drive d = drive_run(line);
        CHECK(d.status == HW_EXIT_HOLDS || d.status == HW_EXIT_SHORT);
        CHECK(drive_has(d.out, report));
        drive_free(&d);
    }
    char *text = folder_read("0/manifest.json");
    json_t *manifest = schema_check(text, "manifest");
    const json_t *files = json_object_get(manifest, "files");
    CHECK(folder_count(folder_of("0")) == (int)json_array_size(files) + 1);
    CHECK(json_array_size(files) > least);
    for (size_t i = 0; i < json_array_size(files); i++) {
        const char *name = json_string_value(json_object_get(json_array_get(files, i), "name"));
        snprintf(line, sizeof line, "cmp %.60s/0/%.60s %.60s/1/%.60s", folder_path, name,
                 folder_path, name);
        if (!CHECK(system(line) == 0)) printf("    %s\n", line);
    }
    json_decref(manifest);
    free(text);
    folder_empty(folder_of("0"));
    folder_empty(folder_of("1"));
}

static void the_same_design_gives_the_same_folder(void)
{
    if (!folder_new()) return;
    alone("wren.yaml", WREN);
    same_folder(folder_of("wren.yaml"), 10);
    folder_free();
}

static void levers_help(const char *design)
{
    char line[300];
    int status;
    snprintf(line, sizeof line, "levers %.200s --json", design);
    json_t *j = answer(line, "levers", &status);
    CHECK(status == HW_EXIT_SHORT);
    const json_t *findings = json_object_get(j, "findings");
    CHECK(json_array_size(findings) > 3);
    size_t levers = 0;
    for (size_t i = 0; i < json_array_size(findings); i++) {
        const json_t *f = json_array_get(findings, i);
        SAME_TEXT(json_string_value(json_object_get(f, "verdict")), "falls short");
        json_t *margin = json_object_get(f, "margin"); // null: short beyond any number
        CHECK(json_is_null(margin) || json_number_value(margin) < 0);
        levers += length_of(f, "levers");
    }
    CHECK(levers > 5);
    json_decref(j);
}

static void levers_name_what_helps(void)
{
    if (!folder_new()) return;
    alone("dodo.yaml", DODO);
    levers_help(folder_of("dodo.yaml"));
    folder_free();
}

static void one_finding_can_be_named(void)
{
    char line[300];
    int status;
    if (!folder_new()) return;
    alone("dodo.yaml", DODO);
    snprintf(line, sizeof line, "levers %.200s --finding digits.index/transmission --json",
             folder_of("dodo.yaml"));
    json_t *j = answer(line, "levers", &status);
    CHECK(length_of(j, "findings") == 1);
    const json_t *f = json_array_get(json_object_get(j, "findings"), 0);
    SAME_TEXT(json_string_value(json_object_get(f, "id")), "digits.index/transmission");
    const json_t *best = json_array_get(json_object_get(f, "levers"), 0);
    CHECK(json_number_value(json_object_get(json_object_get(best, "gain"), "value")) > 0);
    json_decref(j);
    DRIVE("levers " HERON " --finding digits.index/transmissoin", HW_EXIT_INPUT, NULL,
          "no finding \"digits.index/transmissoin\", perhaps \"digits.index/transmission\"");
    folder_free();
}

static void a_design_is_the_same_as_itself(void)
{
    int status;
    json_t *j = answer("compare " HERON " " HERON " --json", "compare", &status);
    CHECK(json_integer_value(json_object_get(j, "better")) == 0);
    CHECK(json_integer_value(json_object_get(j, "worse")) == 0);
    CHECK(json_integer_value(json_object_get(j, "same")) > 10);
    json_decref(j);
}

static void comparing_the_other_way_turns_the_sign(void)
{
    int status;
    json_t *there = answer("compare " HERON " " DODO " --json", "compare", &status);
    CHECK(status == HW_EXIT_SHORT);
    json_t *back = answer("compare " DODO " " HERON " --json", "compare", &status);
    json_int_t worse = json_integer_value(json_object_get(there, "worse"));
    CHECK(worse > 5); // Dodo is poor on purpose
    CHECK(json_integer_value(json_object_get(back, "better")) == worse);
    CHECK(json_integer_value(json_object_get(there, "better")) ==
          json_integer_value(json_object_get(back, "worse")));
    json_decref(there);
    json_decref(back);
    DRIVE("compare " HERON, HW_EXIT_INPUT, NULL, "handwright compare: needs DESIGN DESIGN");
}

// A child works through Dodo's levers again and again while another sends it SIGINT.
static void interrupted(long after_ms)
{
    fflush(stdout);
    pid_t child = fork();
    if (child == 0) {
        pid_t worker = getpid();
        if (fork() == 0) {
            nanosleep(&(struct timespec){0, after_ms * 1000000}, NULL);
            kill(worker, SIGINT);
            _exit(0);
        }
        char line[600];
        snprintf(line, sizeof line, "levers " DODO " -o %.100s/out", folder_path);
        for (int i = 0; i < 1000; i++) {
            drive d = drive_run(line);
            if (d.status == HW_EXIT_CANCELLED)
                _exit(drive_has(d.err, "handwright levers: cancelled; nothing was written")
                          ? d.status
                          : 96);
            drive_free(&d);
        }
        _exit(97);
    }
    int status = 0;
    CHECK(waitpid(child, &status, 0) == child);
    // between two runs the signal has its usual effect
    CHECK((WIFEXITED(status) && WEXITSTATUS(status) == HW_EXIT_CANCELLED) ||
          (WIFSIGNALED(status) && WTERMSIG(status) == SIGINT));
}

static void an_interrupt_cancels(void)
{
    if (!folder_new()) return;
    for (int i = 0; i < 3; i++) interrupted(40 + 53 * i);
    // a run before the signal may have finished; none left anything aside
    CHECK(folder_count(folder_path) == (access(folder_of("out"), F_OK) == 0));
    folder_free();
}

static void is_narrow(const char *text, const char *line)
{
    CHECK(text && *text);
    for (const char *at = text; at && *at;) {
        size_t n = strcspn(at, "\n");
        if (!CHECK(hw_utf8_count((hw_text){at, n}) <= 80))
            printf("    %s: %.*s\n", line, (int)n, at);
        at += n + (at[n] == '\n');
    }
}

// What a line says, for a terminal; to be given back by drive_free.
static drive fitting(const char *line)
{
    drive d = drive_run(line);
    is_narrow(d.out, line);
    return d;
}

static void fits(const char *line)
{
    drive d = fitting(line);
    drive_free(&d);
}

// What people read fits a terminal of 80 columns; all columns of a table have a head.
static void tables_fit_a_terminal(void)
{
    fits("stroke " HERON " --steps 5");
    fits("stroke " WREN " --digit thumb --steps 5");
    if (!folder_new()) return;
    char line[300];
    alone("dodo.yaml", DODO);
    snprintf(line, sizeof line, "levers %.200s", folder_of("dodo.yaml"));
    fits(line);
    folder_free();
    // the thumb's joints have their own names
    drive d = drive_run("stroke " WREN " --digit thumb --steps 2");
    CHECK(drive_has(d.out, "      CMC      MCP       IP ") && !drive_has(d.out, "PIP"));
    drive_free(&d);
    d = fitting("compare " HERON " " DODO);
    CHECK(drive_has(d.out, " deg  now short\n") && drive_has(d.out, "\nOnly A has: "));
    CHECK(drive_has(d.out, "\nOnly B has: ")); // Dodo's servos come to a stop, Heron's turn on
    drive_free(&d);
    d = fitting("compare " WREN " " WREN);
    CHECK(!drive_has(d.out, "Only A has") && !drive_has(d.out, "Only B has"));
    drive_free(&d);
}

// What a maker mistypes or makes too large, from the file to the exit status: a fault of the
// document names place, entry, what was found and what is expected; a wrist that goes too far is a
// hand that falls short.
static void bad_values_end_to_end(void)
{
    static const struct {
        const char *text, *said;
    } bad[] = {
        {"digits: {ring: {thickness: [20 mm, 15 mm, 12 mm], mechanism: {kind: coupled bars,\n"
         "  bar_a: {horn: 18 mm}}}}\n",
         "bad.yaml:2:17: 'digits.ring.mechanism.bar_a.horn' is longer than the digit is thick; "
         "found 18 mm, expected at most 15 mm\n"},
        {"drive: {servo: {type: micro 9 g}, drum_radius: 12 mm}\n",
         "bad.yaml:1:48: 'drive.drum_radius' is a larger drum than the servo's place allows; found "
         "12 mm, expected at most 11 mm\n"},
        {"printer: {gap: -0.2 mm}\n", "bad.yaml:1:16: 'printer.gap' is out of its physical range; "
                                      "found -0.2 mm, expected 0.02 mm "
                                      "to 5 mm\n"},
        {"drive: {servo: {type: micro 9g}}\n",
         "bad.yaml:1:23: no item of this name in 'servos'; found micro 9g, expected micro 9 g\n"},
        {"digits: {index: {fork: {spare: [0 mm, -1 mm, 0 mm]}}}\n",
         "bad.yaml:1:39: 'digits.index.fork.spare.middle' is out of its physical range; found -1 "
         "mm, "
         "expected 0 mm to 300 mm\n"},
        {"digits: {index: {pivot: {kind: glue}}}\n",
         "bad.yaml:1:32: 'digits.index.pivot.kind' cannot be this; found glue, expected cone, "
         "land, "
         "lip, tie, box or strip\n"},
    };
    char line[300];
    if (!folder_new()) return;
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        folder_text("bad.yaml", bad[i].text);
        snprintf(line, sizeof line, "assess %.200s", folder_of("bad.yaml"));
        drive d = drive_run(line);
        CHECK(d.status == HW_EXIT_INPUT && !*d.out);
        const char *from = strstr(d.err, "bad.yaml:"); // once, and nothing else
        SAME_TEXT(from ? from : d.err, bad[i].said);
        drive_free(&d);
    }
    folder_text("wrist.yaml", "drive: {wrist: {range: 60 deg, offset: 12 mm}}\n"
                              "digits: {thumb: {present: no}, middle: {present: no},\n"
                              "  ring: {present: no}, little: {present: no}}\n"
                              "requirements: {digits.index/wrist_pretension: {low: 0 N}}\n");
    snprintf(line, sizeof line, "assess %.200s", folder_of("wrist.yaml"));
    DRIVE(line, HW_EXIT_SHORT, "the wrist slackens a cord", NULL);
    folder_free();
}

// Servos that have room are left alone, and told as they stand in the document.
static void places_to_paste(void)
{
    int status;
    if (!folder_new()) return;
    folder_text("free.yaml",
                "handwright: 1\npalm: {thickness: 38 mm}\ndigits:\n  ring: {splay: {driven: yes, "
                "slot: {at: {x: 14.94 mm, y: -0.01 mm, z: -2.17 mm}, shaft: back, body: little, "
                "horn: fingers}, servo: {horn_arm: 9.7 mm, horn_hole: 7.7 mm}, "
                "lever: {x: -25.83 mm, y: -0.57 mm, z: 0.26 mm}}}\n");
    char line[300];
    snprintf(line, sizeof line, "place %.200s --servos --json", folder_of("free.yaml"));
    json_t *j = answer(line, "place", &status);
    CHECK(j && status == HW_EXIT_HOLDS);
    const json_t *values = json_object_get(j, "values");
    CHECK(json_array_size(values) == 8);
    const json_t *first = json_array_get(values, 0);
    CHECK(json_number_value(json_object_get(first, "now")) == 0);
    CHECK(json_number_value(json_object_get(first, "found")) == 0);
    const char *entries = json_string_value(json_object_get(j, "entries"));
    CHECK(entries && strstr(entries, "slot: {at: {x: 14.94 mm, y: -0.01 mm, z: -2.17 mm}, shaft: "
                                     "back, body: little, horn: fingers}"));
    CHECK(entries && strstr(entries, "lever: {x: -25.83 mm, y: -0.57 mm, z: 0.26 mm}"));
    json_decref(j);
    folder_free();
    DRIVE("place " WREN " --servos", HW_EXIT_INPUT, NULL, "no servo stands in the palm");
    DRIVE("place " WREN, HW_EXIT_INPUT, NULL, "say what to place");
    DRIVE("place " WREN " --servos --thumb", HW_EXIT_INPUT, NULL, "say what to place");
}

// A thumb that turns about its joint gets an axis behind it, and numbers for both.
static void a_thumb_to_paste(void)
{
    int status;
    if (!folder_new()) return;
    folder_text("thumb.yaml", "handwright: 1\npalm: {thickness: 38 mm, back: 11 mm}\ndigits:\n"
                              "  ring: {present: no}\n  little: {present: no}\n"
                              "  thumb: {carrier: {length: 7 mm}}\n");
    char line[300];
    snprintf(line, sizeof line, "place %.200s --thumb --json", folder_of("thumb.yaml"));
    json_t *j = answer(line, "place", &status);
    CHECK(j && (status == HW_EXIT_HOLDS || status == HW_EXIT_SHORT));
    const json_t *values = json_object_get(j, "values"), *row;
    CHECK(json_array_size(values) == 14);
    size_t i;
    bool lacks = false;
    json_array_foreach(values, i, row)
    {
        const char *id = json_string_value(json_object_get(row, "id"));
        double now = json_number_value(json_object_get(row, "now"));
        double found = json_number_value(json_object_get(row, "found"));
        CHECK(id && (i < 8 || strncmp(id, "grip_", 5) == 0));
        if (i == 0) CHECK(strcmp(id, "palm swept") == 0 && found > 2 && found < 20);
        if (i == 3) CHECK(now < -20 && found > -0.3 && found < 0.5); // behind_room
        lacks = lacks || (i > 2 && found < -0.3);
    }
    CHECK(lacks == (status == HW_EXIT_SHORT));
    const char *entries = json_string_value(json_object_get(j, "entries"));
    CHECK(entries && strncmp(entries, "palm:\n  opposition: {behind: ", 29) == 0);
    CHECK(entries && strstr(entries, "digits:\n  thumb:\n    knuckle: {at: {x: "));
    json_decref(j);
    folder_text("none.yaml", "handwright: 1\ndigits: {thumb: {present: no}}\n");
    snprintf(line, sizeof line, "place %.200s --thumb", folder_of("none.yaml"));
    DRIVE(line, HW_EXIT_INPUT, NULL, "is absent");
    folder_free();
}

static void all_help_is_exact(void)
{
    static const char *const verbs[] = {
        "--help",      "new --help",   "assess --help",    "stroke --help",  "levers --help",
        "make --help", "place --help", "landmarks --help", "compare --help", "reckon --help"};
    char *all = calloc(1, 1 << 16), *want = calloc(1, 1 << 16);
    FILE *f = fopen(HW_SOURCE_DIR "/test/cli/help.txt", "rb");
    if (!CHECK(all && want && f)) return;
    CHECK(fread(want, 1, (1 << 16) - 1, f) > 0);
    fclose(f);
    for (size_t i = 0; i < sizeof verbs / sizeof verbs[0]; i++) {
        drive d = drive_run(verbs[i]);
        CHECK(d.status == HW_EXIT_HOLDS);
        size_t n = strlen(all);
        snprintf(all + n, (1 << 16) - n, "== %s\n%s", verbs[i], d.out);
        drive_free(&d);
    }
    SAME_TEXT(all, want);
    for (const char *line = all; line; line = strchr(line, '\n')) {
        line += *line == '\n';
        CHECK(strcspn(line, "\n") <= 100);
    }
    free(all);
    free(want);
}

static void whole_hands(void)
{
    if (!folder_new()) return;
    assess_both(HERON, DODO);
    same_folder(WREN, 20);
    char line[300];
    snprintf(line, sizeof line, DODO " -o %.100s", folder_of("levers"));
    levers_help(line); // its page is what a terminal would show
    char *page = folder_read("levers/levers.txt");
    is_narrow(page, line);
    free(page);
    folder_free();
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (argc > 1 && strcmp(argv[1], "long") == 0) {
        RUN(whole_hands);
        return TEST_END();
    }
    RUN(stroke_of_coupled_bars);
    RUN(stroke_of_other_families_has_null_bars);
    RUN(a_stroke_that_does_not_close_is_a_shortfall);
    RUN(options_of_stroke);
    RUN(assess_is_the_whole_job);
    RUN(the_same_design_gives_the_same_folder);
    RUN(levers_name_what_helps);
    RUN(one_finding_can_be_named);
    RUN(a_design_is_the_same_as_itself);
    RUN(comparing_the_other_way_turns_the_sign);
    RUN(an_interrupt_cancels);
    RUN(tables_fit_a_terminal);
    RUN(bad_values_end_to_end);
    RUN(places_to_paste);
    RUN(a_thumb_to_paste);
    RUN(all_help_is_exact);
    return TEST_END();
}
