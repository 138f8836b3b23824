// Memory: one arena per piece of work, rewound as a whole. Failure is sticky, so that a stage
// checks once.
#ifndef HW_BASE_ARENA_H
#define HW_BASE_ARENA_H

#include "base/status.h"

typedef struct hw_arena hw_arena; // one owner, one thread

// A new arena that takes memory from the system in blocks of at least `reserve` bytes (0: 64 KiB).
// NULL when out of memory. Test: test/base/test_arena.c
HW_MUST_USE hw_arena *hw_arena_new(size_t reserve);

// Gives everything back. NULL is allowed.
void hw_arena_free(hw_arena *a);

// count * size zeroed bytes, aligned to `align` (a power of two). count or size of 0 gives a valid
// pointer to nothing. Returns NULL when the product overflows or memory is out; the arena then
// stays failed until it is rewound to a mark taken before the failure: check hw_arena_failed once
// per stage. Test: test/base/test_arena.c
HW_MUST_USE void *hw_arena_alloc(hw_arena *a, size_t count, size_t size, size_t align);

// True after any allocation of this arena failed.
bool hw_arena_failed(const hw_arena *a);

// A place to come back to, and coming back: everything allocated since is given up (poisoned under
// ASan) and a failure since then is forgotten.
size_t hw_arena_mark(const hw_arena *a);
void hw_arena_rewind(hw_arena *a, size_t mark);

// Lets the allocation after `n` further successful ones fail (SIZE_MAX: never). For tests of
// failure paths.
void hw_arena_fail_after(hw_arena *a, size_t n);

// A terminated copy of a text in the arena, or NULL (sticky failure).
HW_MUST_USE char *hw_arena_text(hw_arena *a, hw_text t);

#define HW_NEW(a, T, n) ((T *)hw_arena_alloc((a), (n), sizeof(T), _Alignof(T)))

#endif
