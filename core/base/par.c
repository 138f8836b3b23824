#include "base/par.h"

void hw_par_for(size_t n, size_t chunk, void (*body)(void *self, size_t begin, size_t end),
                void *self)
{
    size_t step = chunk ? chunk : 1;
    size_t chunks = n / step + (n % step != 0);
#ifdef _OPENMP
#pragma omp parallel for schedule(dynamic, 1) if (chunks > 1)
#endif
    for (size_t i = 0; i < chunks; i++) {
        size_t begin = i * step;
        body(self, begin, n - begin < step ? n : begin + step);
    }
}
