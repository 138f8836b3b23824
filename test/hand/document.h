// A document read by a test of this room, into its arena.
#ifndef HW_TEST_HAND_DOCUMENT_H
#define HW_TEST_HAND_DOCUMENT_H

#include "check.h"
#include "design/design.h"

static hw_arena *arena;

static hw_design *design_of(const char *text)
{
    hw_design *d = NULL;
    hw_diag item[4];
    hw_diags diags = {item, 0, 4, 0};
    hw_read_def def = {.file = "hand"};
    if (!CHECK(hw_design_read(arena, hw_text_of(text), &def, &d, &diags) == HW_OK))
        printf("    %s\n", diags.count ? item[0].text : "");
    return d;
}

#endif
