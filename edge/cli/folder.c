// The folder that -o names: written aside in the same parent, synced, renamed, all or nothing.
// A folder that exists is replaced only when every file in it came from here (manifest.json).
#define _XOPEN_SOURCE 700 // realpath
#include "cli/cli_internal.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH_ROOM = 4096 };
static const char manifest_name[] = "manifest.json";

typedef struct place {
    char path[PATH_ROOM]; // the folder asked for, without a slash at its end
    char aside[PATH_ROOM], old[PATH_ROOM];
    bool exists;
} place;

static hw_code refuse(hw_call *call, hw_code code, const char *path, const char *text)
{
    hw_diag_say(&call->diags, code, path, 0, 0, (hw_text){0}, (hw_text){0}, hw_text_of(text));
    return code;
}

static hw_code refuse_errno(hw_call *call, const char *path, int error)
{
    char text[160];
    snprintf(text, sizeof text, "the folder cannot be written: %s", strerror(error));
    bool callers = error == ENOENT || error == ENOTDIR || error == ENAMETOOLONG || error == ELOOP;
    return refuse(call, callers ? HW_BAD_INPUT : HW_IO, path, text);
}

// Whether a manifest's text lists a file, in the form that list_files() below writes.
static bool lists(hw_text manifest, const char *name)
{
    char line[128];
    int n = snprintf(line, sizeof line, "\"name\": \"%s\"", name);
    if (n < 0 || n >= (int)sizeof line) return false;
    for (size_t i = 0; i + (size_t)n <= manifest.len; i++)
        if (memcmp(manifest.at + i, line, (size_t)n) == 0) return true;
    return false;
}

// The manifest of an existing folder; empty when there is none.
static hw_text manifest_of(hw_call *call, const char *folder)
{
    char path[PATH_ROOM + 32];
    struct stat st;
    hw_text text = {"", 0};
    snprintf(path, sizeof path, "%s/%s", folder, manifest_name);
    size_t said = call->diags.count;
    if (lstat(path, &st) == 0 && S_ISREG(st.st_mode) && hw_file_read(call, path, &text) != HW_OK)
        call->diags.count = said, text.len = 0;
    return text;
}

static hw_code check_ours(hw_call *call, const char *folder)
{
    hw_text manifest = manifest_of(call, folder);
    DIR *dir = opendir(folder);
    if (!dir) return refuse_errno(call, folder, errno);
    hw_code code = HW_OK;
    for (struct dirent *e; code == HW_OK && (e = readdir(dir));) {
        const char *name = e->d_name;
        if (strcmp(name, ".") == 0 || strcmp(name, "..") == 0) continue;
        if (strcmp(name, manifest_name) == 0 && manifest.len) continue;
        if (lists(manifest, name)) continue;
        char text[180];
        snprintf(text, sizeof text,
                 "the folder holds \"%.80s\", which did not come from here: choose another folder",
                 name);
        code = refuse(call, HW_BAD_INPUT, folder, text);
    }
    closedir(dir);
    return code;
}

static void remove_folder(const char *folder)
{
    DIR *dir = opendir(folder);
    if (dir) {
        for (struct dirent *e; (e = readdir(dir));)
            if (strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0)
                unlinkat(dirfd(dir), e->d_name, 0);
        closedir(dir);
    }
    rmdir(folder);
}

// Finds out where to write and whether it is allowed.
static hw_code find_place(hw_call *call, const char *given, place *p)
{
    size_t len = strlen(given);
    while (len > 1 && given[len - 1] == '/') len--;
    struct stat st;
    char *real = stat(given, &st) == 0 ? realpath(given, NULL) : NULL;
    p->exists = real != NULL;
    int n = real ? snprintf(p->path, sizeof p->path, "%s", real)
                 : snprintf(p->path, sizeof p->path, "%.*s", (int)len, given);
    free(real);
    if (n <= 0 || n > PATH_ROOM - 64)
        return refuse(call, HW_BAD_INPUT, given, "is not a folder's name");
    if (p->exists && !S_ISDIR(st.st_mode))
        return refuse(call, HW_BAD_INPUT, given, "is a file; -o names a folder");
    if (p->exists) {
        hw_code code = check_ours(call, p->path);
        if (code != HW_OK) return code;
    }
    const char *slash = strrchr(p->path, '/');
    int lead = slash ? (int)(slash - p->path) + 1 : 0;
    const char *base = p->path + lead;
    if (!*base || strcmp(base, ".") == 0 || strcmp(base, "..") == 0)
        return refuse(call, HW_BAD_INPUT, given, "is not a folder's name");
    snprintf(p->aside, sizeof p->aside, "%.*s.%.200s.new-XXXXXX", lead, p->path, base);
    snprintf(p->old, sizeof p->old, "%.*s.%.200s.old-XXXXXX", lead, p->path, base);
    return HW_OK;
}

static hw_text list_files(hw_call *call)
{
    hw_buffer b = {.arena = call->arena};
    hw_json j = {.to = &b};
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_text(&j, "program", "handwright");
    hw_json_text(&j, "version", HW_VERSION);
    hw_json_text(&j, "verb", call->verb->name);
    hw_json_text(&j, "design", call->design_name[0] ? call->design_name : NULL);
    hw_json_text(&j, "fingerprint", call->fingerprint[0] ? call->fingerprint : NULL);
    hw_json_text(&j, "variant", call->option[HW_OPT_VARIANT]);
    hw_json_open(&j, "files", '[');
    for (size_t i = 0; i < call->files; i++) {
        hw_json_open(&j, NULL, '{');
        hw_json_text(&j, "name", call->file[i].name);
        hw_json_count(&j, "bytes", call->file[i].bytes.len);
        hw_json_close(&j, '}');
    }
    hw_json_close(&j, ']');
    hw_json_close(&j, '}');
    return (hw_text){b.at, b.len};
}

// Writes all files into the folder aside; on failure errno says why.
static bool fill(hw_call *call, const char *aside, hw_text list)
{
    int fd = open(aside, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0) return false;
    bool ok = true;
    for (size_t i = 0; ok && i < call->files; i++)
        ok = hw_file_put(fd, call->file[i].name, call->file[i].bytes);
    ok = ok && hw_file_put(fd, manifest_name, list);
    int error = errno;
    if (ok && fsync(fd) != 0 && errno != EINVAL && errno != ENOTSUP) {
        ok = false;
        error = errno;
    }
    close(fd);
    errno = error;
    return ok;
}

// Puts the finished folder in its place; what was there before goes only after that.
static bool swap(place *p)
{
    mode_t mask = umask(0);
    umask(mask);
    if (chmod(p->aside, 0777 & ~mask) != 0) return false;
    if (!p->exists) return rename(p->aside, p->path) == 0;
    if (!mkdtemp(p->old) || rename(p->path, p->old) != 0) {
        int error = errno;
        rmdir(p->old);
        errno = error;
        return false;
    }
    if (rename(p->aside, p->path) != 0) {
        int error = errno;
        if (rename(p->old, p->path) != 0) error = errno;
        errno = error;
        return false;
    }
    remove_folder(p->old);
    return true;
}

hw_code hw_folder_check(hw_call *call, const char *path)
{
    place *p = HW_NEW(call->arena, place, 1);
    if (!p) return HW_NO_MEMORY;
    hw_code code = find_place(call, path, p);
    if (code != HW_OK) return code;
    char *slash = strrchr(p->path, '/');
    const char *parent = !slash ? "." : slash == p->path ? "/" : p->path;
    if (slash) *slash = '\0';
    struct stat st;
    if (stat(parent, &st) != 0) return refuse_errno(call, path, errno);
    if (!S_ISDIR(st.st_mode)) return refuse_errno(call, path, ENOTDIR);
    return access(parent, W_OK | X_OK) == 0 ? HW_OK : refuse_errno(call, path, errno);
}

hw_code hw_folder_write(hw_call *call, const char *path)
{
    hw_text list = list_files(call);
    place *p = HW_NEW(call->arena, place, 1);
    if (!p || hw_arena_failed(call->arena)) return HW_NO_MEMORY;
    hw_code code = find_place(call, path, p);
    if (code != HW_OK) return code;
    if (!mkdtemp(p->aside)) return refuse_errno(call, path, errno);
    if (!fill(call, p->aside, list) || !swap(p)) {
        int error = errno;
        remove_folder(p->aside);
        return refuse_errno(call, path, error);
    }
    return HW_OK;
}
