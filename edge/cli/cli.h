// The command line: verbs, options, exit statuses. One row of a table gives parsing, help, manual
// page and completion, so that they cannot disagree.
#ifndef HW_CLI_H
#define HW_CLI_H

#include "base/status.h"

#include <stdio.h>

typedef enum hw_exit {
    HW_EXIT_HOLDS = 0,      // done; everything required holds
    HW_EXIT_SHORT = 1,      // done; something falls short or is unknown
    HW_EXIT_INPUT = 2,      // the input is wrong; nothing was written
    HW_EXIT_MACHINE = 3,    // disk, memory, packages; nothing was written
    HW_EXIT_CANCELLED = 130 // interrupted; nothing was written
} hw_exit;

// The program: main is one call of this. Results go to `out`, messages and progress to `err`.
// Returns an hw_exit. Takes over SIGINT while it runs. Test: test/cli/
int hw_main(int argc, char **argv, FILE *out, FILE *err);

// Pages made from the same tables, for installing.
typedef enum hw_page_kind {
    HW_PAGE_MAN,
    HW_PAGE_BASH,
    HW_PAGE_ZSH,
    HW_PAGE_FISH,
    HW_PAGES
} hw_page_kind;

// Name of a page kind ("man", "bash", "zsh", "fish"); NULL out of range.
const char *hw_page_name(hw_page_kind kind);
// Writes one page. False: `out` did not take it. Test: test/cli/test_pages.c
HW_MUST_USE bool hw_page_write(hw_page_kind kind, FILE *out);

#endif
