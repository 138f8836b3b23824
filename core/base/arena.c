#include "base/arena.h"

#include <stdlib.h>
#include <string.h>

#if defined(__SANITIZE_ADDRESS__)
#define HW_ASAN 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define HW_ASAN 1
#endif
#endif
#ifdef HW_ASAN
void __asan_poison_memory_region(void const volatile *at, size_t size);
void __asan_unpoison_memory_region(void const volatile *at, size_t size);
#define POISON(at, n)   __asan_poison_memory_region((at), (n))
#define UNPOISON(at, n) __asan_unpoison_memory_region((at), (n))
#else
#define POISON(at, n)   ((void)(at), (void)(n))
#define UNPOISON(at, n) ((void)(at), (void)(n))
#endif

// Blocks form a list, newest first. A mark is the count of bytes handed out in all earlier blocks
// plus this one.
typedef struct block {
    struct block *older;
    size_t base; // bytes handed out by all older blocks
    size_t used, size;
    max_align_t first; // where the memory begins
} block;

struct hw_arena {
    block *newest;
    size_t reserve;
    size_t fail_after;
    bool failed;
    size_t failed_at; // mark at the first failure
};

static char *block_memory(block *b)
{
    return (char *)&b->first;
}

hw_arena *hw_arena_new(size_t reserve)
{
    hw_arena *a = calloc(1, sizeof *a);
    if (!a) return NULL;
    a->reserve = reserve ? reserve : 65536;
    a->fail_after = SIZE_MAX;
    return a;
}

static void drop_newest(hw_arena *a)
{
    block *b = a->newest;
    a->newest = b->older;
    UNPOISON(block_memory(b), b->size);
    free(b);
}

void hw_arena_free(hw_arena *a)
{
    if (!a) return;
    while (a->newest) drop_newest(a);
    free(a);
}

static void *fail(hw_arena *a)
{
    if (!a->failed) a->failed_at = hw_arena_mark(a);
    a->failed = true;
    return NULL;
}

// A block with room for `need` bytes at the front of the list.
static bool grow(hw_arena *a, size_t need)
{
    size_t size = need > a->reserve ? need : a->reserve;
    if (size > SIZE_MAX - sizeof(block)) return false;
    block *b = malloc(sizeof *b + size);
    if (!b) return false;
    b->older = a->newest;
    b->base = a->newest ? a->newest->base + a->newest->used : 0;
    b->used = 0;
    b->size = size;
    a->newest = b;
    POISON(block_memory(b), size);
    return true;
}

// Offset in b of the next address aligned to `align`; SIZE_MAX when `bytes` do not fit behind it.
static size_t place(block *b, size_t bytes, size_t align)
{
    uintptr_t at = (uintptr_t)block_memory(b) + b->used;
    size_t pad = (size_t)((align - at % align) % align);
    if (pad > b->size - b->used || bytes > b->size - b->used - pad) return SIZE_MAX;
    return b->used + pad;
}

void *hw_arena_alloc(hw_arena *a, size_t count, size_t size, size_t align)
{
    if (a->failed) return NULL;
    if (a->fail_after == 0) return fail(a);
    if (size && count > SIZE_MAX / size) return fail(a);
    size_t bytes = count * size;
    if (bytes == 0) bytes = 1;
    size_t at = a->newest ? place(a->newest, bytes, align) : SIZE_MAX;
    if (at == SIZE_MAX) {
        if (bytes > SIZE_MAX - align || !grow(a, bytes + align)) return fail(a);
        at = place(a->newest, bytes, align);
    }
    if (a->fail_after != SIZE_MAX) a->fail_after--;
    char *memory = block_memory(a->newest) + at;
    UNPOISON(memory, bytes);
    memset(memory, 0, bytes);
    a->newest->used = at + bytes;
    return memory;
}

bool hw_arena_failed(const hw_arena *a)
{
    return a->failed;
}

size_t hw_arena_mark(const hw_arena *a)
{
    return a->newest ? a->newest->base + a->newest->used : 0;
}

void hw_arena_rewind(hw_arena *a, size_t mark)
{
    while (a->newest && a->newest->base >= mark) {
        if (a->newest->base == mark && a->newest->older == NULL) break;
        drop_newest(a);
    }
    if (a->newest && a->newest->base + a->newest->used > mark) {
        a->newest->used = mark - a->newest->base;
        POISON(block_memory(a->newest) + a->newest->used, a->newest->size - a->newest->used);
    }
    if (a->failed && a->failed_at >= mark) a->failed = false;
}

void hw_arena_fail_after(hw_arena *a, size_t n)
{
    a->fail_after = n;
}

char *hw_arena_text(hw_arena *a, hw_text t)
{
    char *copy = HW_NEW(a, char, t.len + 1);
    if (copy && t.len) memcpy(copy, t.at, t.len);
    return copy;
}
