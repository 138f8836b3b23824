// What is read and what is written: wrong inputs leave nothing behind, folders come whole or not at
// all, and nobody's files are lost.
#include "drive.h"

#include "folder.h"
#include "schema.h"

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>

static const char heron[] = HW_SOURCE_DIR "/examples/heron.yaml";

// Every verb that reads a design refuses this one with these words, and writes nothing.
static void refused(const char *path, const char *words)
{
    static const char *const verbs[] = {"assess", "stroke", "levers"};
    for (size_t i = 0; i < sizeof verbs / sizeof verbs[0]; i++) {
        char line[600];
        int before = folder_count(folder_path);
        snprintf(line, sizeof line, "%s %.200s -o %.100s/out", verbs[i], path, folder_path);
        DRIVE(line, HW_EXIT_INPUT, NULL, words);
        CHECK(folder_count(folder_path) == before);
    }
}

static void wrong_inputs_are_refused(void)
{
    static const char garbage[] = "\x00\x01\xff\xfe]]]{{{\n\t&&&*** : : -\n";
    if (!folder_new()) return;
    folder_write("garbage.yaml", garbage, sizeof garbage - 1);
    refused(folder_of("garbage.yaml"), "garbage.yaml:");
    folder_text("empty.yaml", "");
    refused(folder_of("empty.yaml"), "is empty");
    folder_text("blank.yaml", " \n\n\t\n");
    refused(folder_of("blank.yaml"), "is empty");
    refused(folder_path, "cannot be read; found a folder, expected a file");
    refused(folder_of("none.yaml"), "none.yaml: cannot be read: No such file or directory");
    refused("/dev/zero", "found a device or pipe");
    CHECK(mkfifo(folder_of("pipe"), 0600) == 0);
    refused(folder_of("pipe"), "found a device or pipe");
    folder_text("cycle.yaml",
                "handwright: 1\nhand: {length: hand.breadth, breadth: hand.length}\n");
    refused(folder_of("cycle.yaml"), "cycle.yaml:2:");
    folder_text("nan.yaml", "handwright: 1\nhand: {length: nan mm, breadth: 1e400 mm}\n");
    refused(folder_of("nan.yaml"), "nan.yaml:2:");
    folder_free();
}

static void too_large_a_file_is_refused(void)
{
    if (!folder_new()) return;
    int fd = open(folder_of("large.yaml"), O_CREAT | O_WRONLY, 0600);
    CHECK(fd >= 0 && ftruncate(fd, (16 << 20) + 1) == 0);
    close(fd);
    refused(folder_of("large.yaml"), "the file is too large; found more than 16 MiB");
    folder_free();
}

static void every_fault_is_named_with_its_place(void)
{
    if (!folder_new()) return;
    folder_text("two.yaml", "handwright: 1\nhand:\n  length: 186\n  bredth: 84 mm\n");
    char line[300], words[300];
    snprintf(line, sizeof line, "stroke %.200s", folder_of("two.yaml"));
    snprintf(words, sizeof words, "%.200s:3:11: ", folder_of("two.yaml"));
    DRIVE(line, HW_EXIT_INPUT, NULL, words);
    snprintf(words, sizeof words, "%.200s:4:3: ", folder_of("two.yaml"));
    DRIVE(line, HW_EXIT_INPUT, NULL, words);
    DRIVE(line, HW_EXIT_INPUT, NULL, "; found 186, expected ");
    folder_free();
}

static void run_into(const char *what, const char *folder, int status)
{
    char line[600];
    snprintf(line, sizeof line, "%.40s %.200s --json -o %.200s", what, heron, folder);
    drive d = drive_run(line);
    if (!CHECK(d.status == status || (status == HW_EXIT_HOLDS && d.status == HW_EXIT_SHORT)))
        printf("    %s: status %d: %s\n", line, d.status, d.err);
    if (status >= HW_EXIT_INPUT) CHECK(d.out && !*d.out);
    drive_free(&d);
}

static void a_folder_comes_whole_with_its_manifest(void)
{
    if (!folder_new()) return;
    run_into("stroke", folder_of("out"), HW_EXIT_HOLDS);
    CHECK(folder_count(folder_of("out")) == 3 && folder_count(folder_path) == 1);
    char *text = folder_read("out/manifest.json");
    json_t *manifest = schema_check(text, "manifest");
    SAME_TEXT(json_string_value(json_object_get(manifest, "verb")), "stroke");
    const json_t *files = json_object_get(manifest, "files");
    CHECK(json_array_size(files) == 2);
    for (size_t i = 0; i < json_array_size(files); i++) {
        const json_t *f = json_array_get(files, i);
        char path[100];
        struct stat st;
        snprintf(path, sizeof path, "out/%.60s", json_string_value(json_object_get(f, "name")));
        CHECK(stat(folder_of(path), &st) == 0 &&
              st.st_size == json_integer_value(json_object_get(f, "bytes")));
    }
    json_decref(manifest);
    // the same input gives the same bytes; the folder is replaced, also through a slash at its end
    char *before = folder_read("out/stroke.json");
    run_into("stroke", folder_of("out/"), HW_EXIT_HOLDS);
    char *after = folder_read("out/stroke.json"), *again = folder_read("out/manifest.json");
    SAME_TEXT(after, before);
    SAME_TEXT(again, text);
    CHECK(folder_count(folder_path) == 1);
    free(text), free(before), free(after), free(again);
    folder_free();
}

static void a_failed_run_leaves_what_was_there(void)
{
    if (!folder_new()) return;
    run_into("stroke", folder_of("out"), HW_EXIT_HOLDS);
    char *before = folder_read("out/stroke.json");
    run_into("stroke --digit toe", folder_of("out"), HW_EXIT_INPUT);
    run_into("stroke --steps 1", folder_of("out"), HW_EXIT_INPUT);
    run_into("stroke --variant none", folder_of("out"), HW_EXIT_INPUT);
    char *after = folder_read("out/stroke.json");
    SAME_TEXT(after, before);
    CHECK(folder_count(folder_of("out")) == 3 && folder_count(folder_path) == 1);
    free(before), free(after);
    folder_free();
}

static void other_peoples_files_are_not_touched(void)
{
    if (!folder_new()) return;
    mkdir(folder_of("mine"), 0700);
    run_into("stroke", folder_of("mine"), HW_EXIT_HOLDS); // empty: nothing to lose
    folder_text("mine/notes.txt", "keep me");
    run_into("stroke", folder_of("mine"), HW_EXIT_INPUT);
    char *notes = folder_read("mine/notes.txt");
    SAME_TEXT(notes, "keep me");
    free(notes);
    mkdir(folder_of("album"), 0700);
    folder_text("album/stroke.json", "not from here");
    run_into("stroke", folder_of("album"), HW_EXIT_INPUT);
    folder_text("album/manifest.json", "");
    run_into("stroke", folder_of("album"), HW_EXIT_INPUT);
    folder_text("file", "a file");
    run_into("stroke", folder_of("file"), HW_EXIT_INPUT);
    run_into("stroke", folder_of("none/out"), HW_EXIT_INPUT);
    CHECK(folder_count(folder_path) == 3);
    // said before anything is read, let alone computed
    char line[400];
    for (int i = 0; i < 2; i++) {
        snprintf(line, sizeof line, "make %.100s -o %.200s", folder_of("no.yaml"),
                 folder_of(i ? "file/out" : "none/out"));
        DRIVE(line, HW_EXIT_INPUT, NULL, i ? "Not a directory" : "the folder cannot be written");
    }
    folder_free();
}

// Root may write everywhere, so the child gives its rights up first.
static void a_folder_without_permission_is_the_machines_fault(void)
{
    if (!folder_new()) return;
    CHECK(mkdir(folder_of("locked"), 0555) == 0 && chmod(folder_path, 0755) == 0);
    folder_text("hand.yaml", "handwright: 1\n");
    fflush(stdout);
    pid_t child = fork();
    if (child == 0) {
        if (getuid() == 0 && setuid(65534) != 0) _exit(99);
        char line[600];
        snprintf(line, sizeof line, "stroke %.200s -o %.200s", folder_of("hand.yaml"),
                 folder_of("locked/out"));
        drive d = drive_run(line);
        _exit(drive_has(d.err, "Permission denied") ? d.status : 98);
    }
    int status = 0;
    CHECK(waitpid(child, &status, 0) == child && WIFEXITED(status) &&
          WEXITSTATUS(status) == HW_EXIT_MACHINE);
    CHECK(folder_count(folder_of("locked")) == 0);
    folder_free();
}

// A file system of 16 KiB: the run must fail, say why, and leave nothing half done.
static void a_full_disk_leaves_nothing(void)
{
    if (!folder_new()) return;
    char command[300], line[600];
    snprintf(command, sizeof command, "mount -t tmpfs -o size=16k none %s 2>/dev/null",
             folder_path);
    if (getuid() != 0 || system(command) != 0) {
        CHECK(rmdir(folder_path) == 0);
        printf("    (no small file system to be had here: the full disk was tried on /dev/full)\n");
        return;
    }
    snprintf(line, sizeof line, "stroke %.200s --steps 2000 -o %.200s", heron, folder_of("out"));
    DRIVE(line, HW_EXIT_MACHINE, NULL, "No space left on device");
    CHECK(folder_count(folder_path) == 0);
    snprintf(command, sizeof command, "umount %s", folder_path);
    CHECK(system(command) == 0);
    CHECK(rmdir(folder_path) == 0);
}

// The same by a limit on the size of files, for everyone and for every verb that writes a folder:
// status 3, and the folder stays as an earlier run left it.
static void limited(const char *what)
{
    if (!folder_new()) return;
    run_into(what, folder_of("out"), HW_EXIT_HOLDS);
    int files = folder_count(folder_of("out"));
    char *before = folder_read("out/manifest.json");
    fflush(stdout);
    pid_t child = fork();
    if (child == 0) {
        struct rlimit limit = {4096, 4096};
        char line[600];
        snprintf(line, sizeof line, "%.60s %.200s -o %.200s", what, heron, folder_of("out"));
        if (setrlimit(RLIMIT_FSIZE, &limit) != 0) _exit(99);
        drive d = drive_run(line);
        _exit(drive_has(d.err, "File too large") ? d.status : 98);
    }
    int status = 0;
    CHECK(waitpid(child, &status, 0) == child);
    if (!CHECK(WIFEXITED(status) && WEXITSTATUS(status) == HW_EXIT_MACHINE))
        printf("    %s: status %d\n", what, status);
    char *after = folder_read("out/manifest.json");
    SAME_TEXT(after, before);
    CHECK(files > 2 && folder_count(folder_of("out")) == files && folder_count(folder_path) == 1);
    free(before), free(after);
    folder_free();
}

static void a_file_too_large_leaves_what_was_there(void)
{
    limited("stroke --steps 200");
}

// With "long" as argument: its search for levers takes seconds.
static void nor_does_assess_leave_half_a_folder(void)
{
    limited("assess");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (argc > 1 && strcmp(argv[1], "long") == 0) {
        RUN(nor_does_assess_leave_half_a_folder);
        return TEST_END();
    }
    RUN(wrong_inputs_are_refused);
    RUN(too_large_a_file_is_refused);
    RUN(every_fault_is_named_with_its_place);
    RUN(a_folder_comes_whole_with_its_manifest);
    RUN(a_failed_run_leaves_what_was_there);
    RUN(other_peoples_files_are_not_touched);
    RUN(a_folder_without_permission_is_the_machines_fault);
    RUN(a_full_disk_leaves_nothing);
    RUN(a_file_too_large_leaves_what_was_there);
    (void)hw_check_near;
    return TEST_END();
}
