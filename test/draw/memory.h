// A sink into memory, and counting in what was written.
#ifndef HW_TEST_MEMORY_H
#define HW_TEST_MEMORY_H

#include <stdlib.h>
#include <string.h>

#include "base/status.h"

typedef struct memory {
    char *at; // terminated
    size_t n, room;
    size_t refuse_after; // bytes after which the sink refuses; 0: never
} memory;

static inline bool memory_write(void *self, const void *bytes, size_t n)
{
    memory *m = self;
    if (m->refuse_after && m->n + n > m->refuse_after) return false;
    if (m->n + n + 1 > m->room) {
        m->room = 2 * (m->n + n + 1);
        m->at = realloc(m->at, m->room);
        if (!m->at) abort();
    }
    memcpy(m->at + m->n, bytes, n);
    m->n += n;
    m->at[m->n] = '\0';
    return true;
}

static inline hw_sink memory_sink(memory *m)
{
    return (hw_sink){memory_write, m};
}

static inline size_t count_of(const char *text, const char *part)
{
    size_t n = 0;
    for (const char *p = text; (p = strstr(p, part)); p += strlen(part)) n++;
    return n;
}

#endif
