#include "base/par.h"

#ifdef HW_OWN_THREADS // the thread sanitizer's build: it cannot see into OpenMP's library
#include <pthread.h>
#include <stdatomic.h>

typedef struct work {
    void (*body)(void *self, size_t begin, size_t end);
    void *self;
    size_t n, step, chunks;
    atomic_size_t next;
} work;

static void *take(void *arg)
{
    work *w = arg;
    for (size_t i; (i = atomic_fetch_add_explicit(&w->next, 1, memory_order_relaxed)) < w->chunks;)
        w->body(w->self, i * w->step, w->n - i * w->step < w->step ? w->n : (i + 1) * w->step);
    return NULL;
}

static void share(size_t n, size_t step, size_t chunks,
                  void (*body)(void *self, size_t begin, size_t end), void *self)
{
    enum { HELPERS = 3 };
    work w = {body, self, n, step, chunks, 0};
    pthread_t thread[HELPERS];
    size_t made = 0;
    while (made < HELPERS && made + 1 < chunks && !pthread_create(&thread[made], NULL, take, &w))
        made++;
    take(&w);
    for (size_t i = 0; i < made; i++) pthread_join(thread[i], NULL);
}
#else
static void share(size_t n, size_t step, size_t chunks,
                  void (*body)(void *self, size_t begin, size_t end), void *self)
{
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic, 1) if (chunks > 1)
#endif
    for (size_t i = 0; i < chunks; i++) {
        size_t begin = i * step;
        body(self, begin, n - begin < step ? n : begin + step);
    }
}
#endif

void hw_par_for(size_t n, size_t chunk, void (*body)(void *self, size_t begin, size_t end),
                void *self)
{
    size_t step = chunk ? chunk : 1;
    share(n, step, n / step + (n % step != 0), body, self);
}
