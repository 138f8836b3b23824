// An example's document with its index alone: quicker where one digit is all that a test is of.
#ifndef HW_TEST_CLI_LONE_H
#define HW_TEST_CLI_LONE_H

#include "check.h"

enum { LONE_BYTES = 1 << 16 };

// Its text, until the next call; NULL: it could not be read.
static inline const char *lone_text(const char *example)
{
    static const char *const other[] = {"thumb", "middle", "ring", "little"};
    static char text[LONE_BYTES], lone[LONE_BYTES];
    FILE *f = fopen(example, "rb");
    size_t n = f ? fread(text, 1, sizeof text - 1, f) : 0;
    if (f) fclose(f);
    text[n] = '\0';
    for (int i = 0; i < 4; i++) {
        char head[20];
        snprintf(head, sizeof head, "\n  %s:\n", other[i]);
        const char *at = strstr(text, "\ndigits:");
        at = at ? strstr(at, head) : NULL;
        if (!CHECK(at != NULL)) return NULL;
        at += strlen(head);
        const char *more = strncmp(at, "    present:", 12) == 0 ? "" : "    present: no\n";
        snprintf(lone, sizeof lone, "%.*s%s%s", (int)(at - text), text, more, at);
        memcpy(text, lone, sizeof text);
    }
    return text;
}

#endif
