// The examples' documents, for tests of any room that reads designs.
#ifndef HW_TEST_EXAMPLE_H
#define HW_TEST_EXAMPLE_H

#include "base/arena.h"
#include "base/text.h"
#include "check.h"

// A file of the examples' folder, ended by a zero.
static inline hw_text example_file(hw_arena *a, const char *name)
{
    enum { BYTES = 1 << 16 };
    hw_buffer path = {.arena = a};
    hw_buffer_format(&path, "%s/examples/%s", HW_SOURCE_DIR, name);
    FILE *f = path.at ? fopen(path.at, "rb") : NULL;
    char *bytes = HW_NEW(a, char, BYTES);
    size_t len = f && bytes ? fread(bytes, 1, BYTES - 1, f) : 0;
    if (f) fclose(f);
    CHECK(len > 0 && len < BYTES - 1);
    return (hw_text){bytes, len};
}

static inline hw_text example_bytes(hw_arena *a, const char *name)
{
    char file[80];
    (void)snprintf(file, sizeof file, "%s.yaml", name);
    return example_file(a, file);
}

#endif
