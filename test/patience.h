// A job that is stopped when it has been asked so many times.
#ifndef HW_TEST_PATIENCE_H
#define HW_TEST_PATIENCE_H

#include <stdbool.h>

typedef struct patience {
    int asked, most;
} patience;

static bool go_on(void *self, double fraction, const char *stage)
{
    patience *p = self;
    (void)fraction;
    (void)stage;
    return ++p->asked < p->most;
}

#endif
