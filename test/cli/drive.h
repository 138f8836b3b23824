// Runs the program inside a test: arguments in, exit status, output and messages out.
#ifndef HW_TEST_CLI_DRIVE_H
#define HW_TEST_CLI_DRIVE_H

#include "check.h"
#include "cli/cli.h"

#include <stdlib.h>
#include <unistd.h>

enum { DRIVE_WORDS = 24 };

typedef struct drive {
    int status;
    char *out, *err; // terminated; drive_free gives them back
} drive;

// Words are separated by single spaces; "handwright" is put before them.
static inline drive drive_run(const char *line)
{
    drive d = {.status = -1};
    size_t out_len = 0, err_len = 0;
    char *words = malloc(strlen(line) + 1);
    char *argv[DRIVE_WORDS + 2];
    char name[] = "handwright";
    int argc = 1;
    argv[0] = name;
    if (!words) return d;
    memcpy(words, line, strlen(line) + 1);
    for (char *at = strtok(words, " "); at && argc < DRIVE_WORDS; at = strtok(NULL, " "))
        argv[argc++] = at;
    argv[argc] = NULL;
    FILE *out = open_memstream(&d.out, &out_len), *err = open_memstream(&d.err, &err_len);
    if (out && err) d.status = hw_main(argc, argv, out, err);
    if (out) fclose(out);
    if (err) fclose(err);
    free(words);
    return d;
}

static inline void drive_free(drive *d)
{
    free(d->out);
    free(d->err);
    *d = (drive){0};
}

static inline bool drive_has(const char *text, const char *words)
{
    return text && strstr(text, words) != NULL;
}

// Runs a line and checks status and what output and messages hold (NULL: they must be empty).
#define DRIVE(line, wanted, in_out, in_err)                                                        \
    do {                                                                                           \
        drive driven = drive_run(line);                                                            \
        if (!CHECK(driven.status == (wanted)))                                                     \
            printf("    \"%s\": status %d, output:\n%s%s\n", (line), driven.status, driven.out,    \
                   driven.err);                                                                    \
        drive_shows(driven.out, (in_out), line, __LINE__);                                         \
        drive_shows(driven.err, (in_err), line, __LINE__);                                         \
        drive_free(&driven);                                                                       \
    } while (0)

static inline void drive_shows(const char *text, const char *words, const char *line, int at)
{
    bool ok = words ? drive_has(text, words) : text && !*text;
    if (!hw_check_that(ok, line, __FILE__, at))
        printf("    line %d: found \"%s\", expected \"%s\"\n", at, text ? text : "(null)",
               words ? words : "");
}

#endif
