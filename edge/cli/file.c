// Single files: read whole, written at once.
#include "cli/cli_internal.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static hw_code refuse(hw_call *call, hw_code code, const char *path, const char *found,
                      const char *expected, const char *text)
{
    hw_diag_say(&call->diags, code, path, 0, 0, hw_text_of(found), hw_text_of(expected),
                hw_text_of(text));
    return code;
}

// Whose fault a system's error is: a wrong name is the caller's, everything else the machine's.
static hw_code refuse_errno(hw_call *call, const char *path, const char *doing)
{
    static const int callers[] = {ENOENT, ENOTDIR,      EISDIR, EACCES,
                                  EPERM,  ENAMETOOLONG, ELOOP,  EEXIST};
    int error = errno;
    hw_code code = HW_IO;
    for (size_t i = 0; i < sizeof callers / sizeof callers[0]; i++)
        if (error == callers[i]) code = HW_BAD_INPUT;
    char text[160];
    snprintf(text, sizeof text, "%s: %s", doing, strerror(error));
    return refuse(call, code, path, NULL, NULL, text);
}

// What a file may be, and how it is called when it is more.
typedef struct kind {
    size_t limit; // [byte]
    const char *too_large, *expected;
} kind;
static const kind text = {HW_FILE_LIMIT, "more than 16 MiB", "a design document or other text"};
static const kind mesh = {HW_MESH_FILE_LIMIT, "more than 640 MiB",
                          "a mesh of at most 2 million triangles"};

static hw_code refuse_size(hw_call *call, const char *name, const kind *k)
{
    return refuse(call, HW_BAD_INPUT, name, k->too_large, k->expected, "the file is too large");
}

// Reads up to the limit from an open stream, of which `size` bytes are expected.
static hw_code read_stream(hw_call *call, FILE *f, const char *name, const kind *k, size_t size,
                           hw_text *out)
{
    hw_buffer b = {.arena = call->arena, .at = HW_NEW(call->arena, char, size + 1)};
    b.capacity = b.at ? size + 1 : 0; // so that a large file is there once, not in every size
    static char block[1 << 16];
    size_t n;
    while ((n = fread(block, 1, sizeof block, f)) > 0) {
        if (b.len + n > k->limit) return refuse_size(call, name, k);
        hw_buffer_put(&b, (hw_text){block, n});
        if (hw_arena_failed(call->arena)) return HW_NO_MEMORY;
    }
    if (ferror(f)) {
        errno = errno ? errno : EIO;
        return refuse(call, HW_IO, name, NULL, NULL, "the file could not be read to its end");
    }
    *out = (hw_text){b.at ? b.at : "", b.len};
    return HW_OK;
}

static hw_code read_kind(hw_call *call, const char *path, const kind *k, hw_text *out)
{
    if (strcmp(path, "-") == 0) return read_stream(call, stdin, "(standard input)", k, 0, out);
    struct stat st;
    if (stat(path, &st) != 0) return refuse_errno(call, path, "cannot be read");
    if (S_ISDIR(st.st_mode))
        return refuse(call, HW_BAD_INPUT, path, "a folder", "a file", "cannot be read");
    if (!S_ISREG(st.st_mode))
        return refuse(call, HW_BAD_INPUT, path, "a device or pipe",
                      "a regular file (\"-\" reads standard input)", "cannot be read");
    if (st.st_size > (off_t)k->limit) return refuse_size(call, path, k);
    FILE *f = fopen(path, "rb");
    if (!f) return refuse_errno(call, path, "cannot be read");
    hw_code code = read_stream(call, f, path, k, (size_t)st.st_size, out);
    fclose(f);
    return code;
}

hw_code hw_file_read(hw_call *call, const char *path, hw_text *out)
{
    return read_kind(call, path, &text, out);
}

hw_code hw_file_read_mesh(hw_call *call, const char *path, hw_text *out)
{
    return read_kind(call, path, &mesh, out);
}

bool hw_file_put(int folder, const char *name, hw_text bytes)
{
    int fd = openat(folder, name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0) return false;
    bool ok = true;
    while (ok && bytes.len) {
        ssize_t n = write(fd, bytes.at, bytes.len);
        if (n < 0 && errno == EINTR) continue;
        ok = n > 0;
        if (ok) bytes.at += n, bytes.len -= (size_t)n;
    }
    // not every file system can sync; one that says so is no failure
    if (ok && fsync(fd) != 0) ok = errno == EINVAL || errno == ENOTSUP;
    int error = errno;
    if (close(fd) != 0) {
        ok = false;
        error = errno;
    }
    errno = error;
    return ok;
}

hw_code hw_file_write(hw_call *call, const char *path, hw_text bytes)
{
    char aside[4096];
    const char *slash = strrchr(path, '/');
    int lead = slash ? (int)(slash - path) + 1 : 0;
    int n = snprintf(aside, sizeof aside, "%.*s.%s.%ld", lead, path, path + lead, (long)getpid());
    if (n < 0 || n >= (int)sizeof aside || !path[lead])
        return refuse(call, HW_BAD_INPUT, path, NULL, NULL, "is not the name of a file");
    struct stat st;
    if (lstat(path, &st) == 0) {
        errno = EEXIST;
        return refuse_errno(call, path, "cannot be written");
    }
    if (!hw_file_put(AT_FDCWD, aside, bytes)) {
        hw_code code = refuse_errno(call, path, "cannot be written");
        unlink(aside);
        return code;
    }
    // link does not replace what is there already: a design is not overwritten by a starter
    hw_code code = HW_OK;
    if (link(aside, path) != 0) code = refuse_errno(call, path, "cannot be written");
    unlink(aside);
    return code;
}
