// The examples as documents, for tests: reads them and says what is wrong with them.
#ifndef HW_TEST_EXAMPLE_H
#define HW_TEST_EXAMPLE_H

#include "assess/assess.h"
#include "base/text.h"
#include "check.h"

enum { MESSAGES = 20, BYTES = 1 << 16 };

static hw_arena *arena;

// A file of the folder, ended by a zero.
static inline hw_text read_file(const char *name, const char *ending)
{
    hw_buffer path = {.arena = arena};
    hw_buffer_format(&path, "%s/examples/%s%s", HW_SOURCE_DIR, name, ending);
    FILE *f = path.at ? fopen(path.at, "rb") : NULL;
    char *bytes = HW_NEW(arena, char, BYTES);
    size_t len = f && bytes ? fread(bytes, 1, BYTES - 1, f) : 0;
    if (f) fclose(f);
    CHECK(len > 0 && len < BYTES - 1);
    return (hw_text){bytes, len};
}

// The design of a document in one variant ("" for none); NULL when it has any message.
static inline const hw_design *design_from(const char *name, hw_text document, hw_text variant)
{
    static hw_diag item[MESSAGES];
    hw_diags diags = {.item = item, .capacity = MESSAGES};
    hw_read_def def = {.file = name, .variant = variant, .requirable = &hw_assess_requirable};
    hw_design *design = NULL;
    hw_code code = hw_design_read(arena, document, &def, &design, &diags);
    for (size_t i = 0; i < diags.count; i++)
        printf("%s:%d: %s '%s'\n", name, item[i].line, item[i].text, item[i].found);
    CHECK(code == HW_OK && diags.count == 0);
    return design;
}

static inline const hw_design *design_of(const char *name, hw_text variant)
{
    return design_from(name, read_file(name, ".yaml"), variant);
}

// Assesses an example without a variant; false where it cannot.
static inline bool assess_example(const char *name, hw_assessment *s)
{
    const hw_design *design = design_of(name, hw_text_of(""));
    return design && CHECK(hw_assess(arena, design, NULL, s) == HW_OK);
}

#endif
