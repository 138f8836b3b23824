// The only way to threads: a loop over chunks, in any order, each chunk writing its own results.
#ifndef HW_BASE_PAR_H
#define HW_BASE_PAR_H

#include "base/status.h"

// Runs body(self, begin, end) over [0, n) in fixed chunks of `chunk` items (the last may be
// shorter). The split depends on n and chunk alone, so an ordered reduction over chunks gives the
// same bits for any number of threads. Serial where the build has no threads. body must not touch
// another chunk's results. Test: test/base/test_par.c
void hw_par_for(size_t n, size_t chunk, void (*body)(void *self, size_t begin, size_t end),
                void *self);

#endif
