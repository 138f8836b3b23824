// Long work reports how far it is and asks whether to go on.
#ifndef HW_BASE_JOB_H
#define HW_BASE_JOB_H

#include "base/status.h"

// Handed to every call that may take over 50 ms and polled at least every 50 ms. NULL in its place
// means "no reports, go on".
typedef struct hw_job {
    // Called with the fraction done [1], 0 to 1, and the stage's name. Returning false asks the
    // work to stop.
    bool (*step)(void *self, double fraction, const char *stage); // [1]
    void *self;
} hw_job;

// True when the work should go on. `job` and its step may be NULL.
static inline bool hw_job_go_on(const hw_job *job, double fraction, const char *stage) // [1]
{
    return !job || !job->step || job->step(job->self, fraction, stage);
}

#endif
