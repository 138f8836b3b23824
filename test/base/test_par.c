#include "base/par.h"
#include "check.h"

typedef struct work {
    unsigned char seen[1000];
    size_t chunk, n;
    bool odd[1000]; // chunk that did not begin at a multiple or was of the wrong length
} work;

static void mark(void *self, size_t begin, size_t end)
{
    work *w = self;
    bool last = end == w->n;
    size_t c = w->chunk ? w->chunk : 1;
    w->odd[begin] =
        begin % c != 0 || end <= begin || (!last && end - begin != c) || end - begin > c;
    for (size_t i = begin; i < end; i++) w->seen[i]++;
}

static void every_item_once_in_fixed_chunks(void)
{
    static const size_t n[] = {0, 1, 7, 64, 999, 1000}, chunk[] = {0, 1, 3, 64, 1000, 5000};
    for (size_t i = 0; i < 6; i++)
        for (size_t k = 0; k < 6; k++) {
            static work w;
            memset(&w, 0, sizeof w);
            w.chunk = chunk[k];
            w.n = n[i];
            hw_par_for(n[i], chunk[k], mark, &w);
            size_t once = 0, odd = 0;
            for (size_t j = 0; j < 1000; j++) {
                once += w.seen[j] == (j < n[i] ? 1 : 0);
                odd += w.odd[j];
            }
            CHECK(once == 1000);
            CHECK(odd == 0);
        }
}

static void huge_counts_do_not_overflow(void)
{
    static work w;
    memset(&w, 0, sizeof w);
    w.chunk = SIZE_MAX;
    w.n = 10;
    hw_par_for(10, SIZE_MAX, mark, &w);
    CHECK(w.seen[0] == 1 && w.seen[9] == 1 && w.seen[10] == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(every_item_once_in_fixed_chunks);
    RUN(huge_counts_do_not_overflow);
    return TEST_END();
}
