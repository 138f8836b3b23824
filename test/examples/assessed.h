// The examples read and assessed, for tests: says what is wrong with them.
#ifndef HW_TEST_ASSESSED_H
#define HW_TEST_ASSESSED_H

#include "assess/assess.h"
#include "example.h"

enum { MESSAGES = 20 };

static hw_arena *arena;

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
    return design_from(name, example_bytes(arena, name), variant);
}

// Assesses an example without a variant; false where it cannot.
static inline bool assess_example(const char *name, hw_assessment *s)
{
    const hw_design *design = design_of(name, hw_text_of(""));
    return design && CHECK(hw_assess(arena, design, NULL, s) == HW_OK);
}

#endif
