// Reading designs in tests.
#ifndef HW_TEST_DESIGN_SUPPORT_H
#define HW_TEST_DESIGN_SUPPORT_H

#include "check.h"
#include "design/design.h"

#include <stdlib.h>

typedef struct reading {
    hw_arena *arena;
    hw_diag item[200];
    hw_diags diags;
    hw_design *design;
    hw_code code;
} reading;

static inline void read_with(reading *r, hw_text bytes, const hw_read_def *def)
{
    *r = (reading){.arena = hw_arena_new(0)};
    r->diags = (hw_diags){r->item, 0, 200, 0};
    if (!r->arena) abort();
    r->code = hw_design_read(r->arena, bytes, def, &r->design, &r->diags);
}

static inline void read_text(reading *r, const char *text)
{
    hw_read_def def = {.file = "hand.yaml"};
    read_with(r, hw_text_of(text), &def);
}

static inline void done(reading *r)
{
    hw_arena_free(r->arena);
    r->arena = NULL;
}

static inline double value_of(const reading *r, const char *path)
{
    return hw_design_value(r->design, hw_entry_find(hw_text_of(path)));
}

// Text of a terminated copy, for SAME_TEXT.
static inline const char *shown(const reading *r, hw_text t)
{
    const char *copy = hw_arena_text(r->arena, t);
    return copy ? copy : "";
}

static inline void print_messages(const reading *r)
{
    for (size_t i = 0; i < r->diags.count; i++)
        printf("    %d:%d: %s | %s | %s\n", r->item[i].line, r->item[i].column, r->item[i].text,
               r->item[i].found, r->item[i].expected);
}

// Reads a whole file; NULL when it is not there. The caller frees it.
static inline char *file_text(const char *path, size_t *len)
{
    FILE *f = fopen(path, "rb");
    if (!f) return NULL;
    char *text = malloc(1 << 21);
    *len = text ? fread(text, 1, (1 << 21) - 1, f) : 0;
    fclose(f);
    if (text) text[*len] = '\0';
    return text;
}

#endif
