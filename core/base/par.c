#include "base/par.h"

#ifdef HW_OWN_THREADS // the thread sanitizer's build: it cannot see into OpenMP's library
#include <pthread.h>

// Every thread has chunks of its own, dealt in turn: a fast one leaves the others theirs, so that
// what they share without leave is seen in every run.
enum { THREADS = 3 };

typedef struct work {
    void (*body)(void *self, size_t begin, size_t end);
    void *self;
    size_t n, step, chunks, first;
} work;

static void *take(void *arg)
{
    const work *w = arg;
    for (size_t i = w->first; i < w->chunks; i += THREADS)
        w->body(w->self, i * w->step, w->n - i * w->step < w->step ? w->n : (i + 1) * w->step);
    return NULL;
}

static void share(size_t n, size_t step, size_t chunks,
                  void (*body)(void *self, size_t begin, size_t end), void *self)
{
    work w[THREADS];
    pthread_t thread[THREADS];
    bool made[THREADS] = {false};
    for (size_t i = 0; i < THREADS; i++) {
        w[i] = (work){body, self, n, step, chunks, i};
        if (i + 1 < THREADS && i < chunks)
            made[i] = pthread_create(&thread[i], NULL, take, &w[i]) == 0;
    }
    for (size_t i = 0; i < THREADS; i++)
        if (!made[i]) take(&w[i]);
    for (size_t i = 0; i < THREADS; i++)
        if (made[i]) pthread_join(thread[i], NULL);
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
