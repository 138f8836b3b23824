#include "base/arena.h"
#include "check.h"

#include <stdint.h>

static void empty_and_odd_requests(void)
{
    hw_arena *a = hw_arena_new(0);
    CHECK(a != NULL);
    CHECK(hw_arena_alloc(a, 0, 8, 8) != NULL);
    CHECK(hw_arena_alloc(a, 3, 0, 8) != NULL);
    for (size_t align = 1; align <= 64; align *= 2)
        CHECK((uintptr_t)hw_arena_alloc(a, 1, 3, align) % align == 0);
    CHECK(hw_arena_alloc(a, SIZE_MAX, 2, 1) == NULL);
    CHECK(hw_arena_failed(a));
    hw_arena_free(a);
    hw_arena_free(NULL);
}

static void memory_is_zeroed_again_after_rewind(void)
{
    hw_arena *a = hw_arena_new(128);
    char *keep = HW_NEW(a, char, 10);
    keep[9] = 7;
    size_t mark = hw_arena_mark(a);
    for (int round = 0; round < 3; round++) {
        char *p = HW_NEW(a, char, 100);
        char *q = HW_NEW(a, char, 1000);
        CHECK(p && q && p[0] == 0 && p[99] == 0 && q[999] == 0);
        memset(p, 1, 100);
        memset(q, 1, 1000);
        hw_arena_rewind(a, mark);
        CHECK(hw_arena_mark(a) == mark);
    }
    CHECK(keep[9] == 7);
    hw_arena_rewind(a, 0);
    CHECK(hw_arena_mark(a) == 0);
    hw_arena_free(a);
}

static void failure_sticks_until_rewound(void)
{
    hw_arena *a = hw_arena_new(64);
    size_t mark = hw_arena_mark(a);
    hw_arena_fail_after(a, 1);
    CHECK(HW_NEW(a, int, 1) != NULL);
    CHECK(HW_NEW(a, int, 1) == NULL);
    hw_arena_fail_after(a, SIZE_MAX);
    CHECK(HW_NEW(a, int, 1) == NULL);
    CHECK(hw_arena_failed(a));
    hw_arena_rewind(a, mark);
    CHECK(!hw_arena_failed(a));
    CHECK(HW_NEW(a, int, 1) != NULL);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(empty_and_odd_requests);
    RUN(memory_is_zeroed_again_after_rewind);
    RUN(failure_sticks_until_rewound);
    return TEST_END();
}
