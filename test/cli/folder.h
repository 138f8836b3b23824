// A folder of its own for a test, with small helpers.
#ifndef HW_TEST_CLI_FOLDER_H
#define HW_TEST_CLI_FOLDER_H

#include "check.h"

#include <dirent.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder_path[64];

static inline bool folder_new(void)
{
    // in memory where there is such a place: every file is synced, and a busy disk takes its time
    const char *place = access("/dev/shm", W_OK | X_OK) == 0 ? "/dev/shm" : "/tmp";
    snprintf(folder_path, sizeof folder_path, "%s/handwright-test-XXXXXX", place);
    return CHECK(mkdtemp(folder_path) != NULL);
}

// Path of a name in the folder; good until the next call but one.
static inline const char *folder_of(const char *name)
{
    static char path[2][200];
    static int turn;
    turn = !turn;
    snprintf(path[turn], sizeof path[0], "%.60s/%.100s", folder_path, name);
    return path[turn];
}

static inline void folder_write(const char *name, const char *bytes, size_t n)
{
    FILE *f = fopen(folder_of(name), "wb");
    if (!CHECK(f != NULL)) return;
    CHECK(fwrite(bytes, 1, n, f) == n);
    fclose(f);
}

static inline void folder_text(const char *name, const char *text)
{
    folder_write(name, text, strlen(text));
}

// The whole of a file, to be freed; NULL when there is none.
static inline char *folder_read(const char *name)
{
    FILE *f = fopen(folder_of(name), "rb");
    char *text = f ? calloc(1, 1 << 20) : NULL;
    if (text && fread(text, 1, (1 << 20) - 1, f) == 0) text[0] = '\0';
    if (f) fclose(f);
    return text;
}

// How many entries a folder has; -1 when it is none.
static inline int folder_count(const char *path)
{
    DIR *dir = opendir(path);
    int n = -2; // itself and its parent
    if (!dir) return -1;
    while (readdir(dir)) n++;
    closedir(dir);
    return n;
}

static inline void folder_empty(const char *path)
{
    DIR *dir = opendir(path);
    if (!dir) return;
    for (struct dirent *e; (e = readdir(dir));) {
        if (strcmp(e->d_name, ".") == 0 || strcmp(e->d_name, "..") == 0) continue;
        char inner[512];
        snprintf(inner, sizeof inner, "%.200s/%.255s", path, e->d_name);
        if (unlink(inner) != 0) {
            chmod(inner, 0700);
            folder_empty(inner);
            rmdir(inner);
        }
    }
    closedir(dir);
}

static inline void folder_free(void)
{
    folder_empty(folder_path);
    CHECK(rmdir(folder_path) == 0);
}

#endif
