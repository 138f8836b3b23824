// Checks for tests: never assert (it vanishes under NDEBUG). A test program runs cases, prints each
// failure with its place and closes with "N passed, N failed"; it fails when anything failed or
// when nothing ran.
#ifndef HW_TEST_CHECK_H
#define HW_TEST_CHECK_H

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

typedef struct hw_check_state {
    int checks, fails, case_fails, passed, failed;
    const char *only;
} hw_check_state;
static hw_check_state hw_check;

static inline bool hw_check_that(bool ok, const char *what, const char *file, int line)
{
    hw_check.checks++;
    if (!ok) {
        hw_check.fails++;
        hw_check.case_fails++;
        if (hw_check.case_fails <= 20) printf("%s:%d: failed: %s\n", file, line, what);
    }
    return ok;
}

static inline bool hw_check_near(double got, double want, double tolerance, const char *what,
                                 const char *file, int line)
{
    bool ok = fabs(got - want) <= tolerance; // false for NaN
    if (!hw_check_that(ok, what, file, line) && hw_check.case_fails <= 20)
        printf("    got %.17g, want %.17g within %g (off by %g)\n", got, want, tolerance,
               got - want);
    return ok;
}

static inline bool hw_check_text(const char *got, const char *want, const char *what,
                                 const char *file, int line)
{
    bool ok = got && want && strcmp(got, want) == 0;
    if (!hw_check_that(ok, what, file, line) && hw_check.case_fails <= 20)
        printf("    got  \"%s\"\n    want \"%s\"\n", got ? got : "(null)", want ? want : "(null)");
    return ok;
}

#define CHECK(condition) hw_check_that((condition), #condition, __FILE__, __LINE__)
// Absolute tolerance, in the values' own unit: say beside it where it comes from.
#define NEAR(got, want, tolerance)                                                                 \
    hw_check_near((got), (want), (tolerance), #got, __FILE__, __LINE__)
// Relative tolerance.
#define CLOSE(got, want, ratio)                                                                    \
    hw_check_near((got), (want), fabs(want) * (ratio), #got, __FILE__, __LINE__)
#define SAME_TEXT(got, want) hw_check_text((got), (want), #got, __FILE__, __LINE__)

// Runs one case: a static void function without arguments. `--only NAME` on the command line runs
// just that one.
#define RUN(function)                                                                              \
    do {                                                                                           \
        if (hw_check.only && strcmp(hw_check.only, #function) != 0) break;                         \
        hw_check.case_fails = 0;                                                                   \
        int before = hw_check.checks;                                                              \
        function();                                                                                \
        if (hw_check.checks == before)                                                             \
            hw_check_that(false, #function " checked nothing", __FILE__, __LINE__);                \
        if (hw_check.case_fails) {                                                                 \
            hw_check.failed++;                                                                     \
            printf("FAIL %s (%d checks failed)\n", #function, hw_check.case_fails);                \
        } else                                                                                     \
            hw_check.passed++;                                                                     \
    } while (0)

#define TEST_BEGIN(argc, argv)                                                                     \
    do {                                                                                           \
        setvbuf(stdout, NULL, _IOLBF, 0);                                                          \
        if ((argc) > 2 && strcmp((argv)[1], "--only") == 0) hw_check.only = (argv)[2];             \
    } while (0)

// To be returned from main.
#define TEST_END() hw_check_end()
static inline int hw_check_end(void)
{
    printf("%d passed, %d failed\n", hw_check.passed, hw_check.failed);
    if (hw_check.passed + hw_check.failed == 0) printf("no case ran: that is a failure\n");
    return hw_check.failed || hw_check.passed == 0;
}

#endif
