// Published values, one row each. `key` is the heading in docs/sources/mechanics.md under which the
// example stands, with where and how it was seen; a row without its heading there fails.
#ifndef HW_TEST_PUBLISHED_H
#define HW_TEST_PUBLISHED_H

#include "check.h"

#include <stdlib.h>

typedef enum how {
    READ,       // the printed value was read, in the work itself or in worked answers to it
    FROM_MEMORY // of the book, not seen again while writing the test
} how;

typedef struct row {
    const char *key;  // "Beer 8.2"
    const char *what; // the quantity and its printed unit
    double (*formula)(const double in[]);
    double in[8];     // as printed; the formula's adapter says the units
    double want;      // as printed
    double tolerance; // in the last printed place, unless `why` says otherwise
    const char *why;
    how known;
} row;

static char *whole_file(const char *path)
{
    FILE *f = fopen(path, "rb");
    if (!f) return NULL;
    char *text = calloc(1, 200001);
    if (text) text[fread(text, 1, 200000, f)] = '\0';
    (void)fclose(f);
    return text;
}

static void check_rows(const row *rows, size_t n, const char *sources)
{
    char *text = whole_file(sources);
    if (!CHECK(text != NULL)) return;
    for (size_t i = 0; i < n; i++) {
        const row *r = &rows[i];
        bool ok = NEAR(r->formula(r->in), r->want, r->tolerance);
        char heading[80];
        (void)snprintf(heading, sizeof heading, "### %s\n", r->key);
        ok = CHECK(strstr(text, heading) != NULL) && ok;
        ok = CHECK(r->why && strlen(r->why) > 3) && ok;
        ok = CHECK(r->tolerance <= 0.02 * fabs(r->want)) && ok; // a wide one shows nothing
        if (!ok) printf("    row \"%s\": %s\n", r->key, r->what);
    }
    free(text);
}

static size_t count_read(const row *rows, size_t n)
{
    size_t read = 0;
    for (size_t i = 0; i < n; i++) read += rows[i].known == READ;
    return read;
}

#endif
