// Parts of a hand from a document's text, for tests of where they come.
#ifndef HW_TEST_MADE_OF_H
#define HW_TEST_MADE_OF_H

#include "check.h"
#include "make/make.h"

static hw_arena *arena;

static bool made_of(const char *text, int digit, hw_made *out)
{
    hw_diag item[8];
    hw_diags diags = {item, 0, 8, 0};
    hw_read_def def = {.file = "test"};
    hw_design *design = NULL;
    hw_code code = hw_design_read(arena, hw_text_of(text), &def, &design, &diags);
    for (size_t i = 0; i < diags.count; i++) printf("%s '%s'\n", item[i].text, item[i].found);
    hw_make_def make = {.digit = digit};
    return CHECK(code == HW_OK) && CHECK(hw_make(arena, design, &make, NULL, out) == HW_OK);
}

#endif
