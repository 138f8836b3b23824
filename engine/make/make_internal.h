// Inside of make, for this room's files only.
#ifndef HW_MAKE_INTERNAL_H
#define HW_MAKE_INTERNAL_H

#include "make/make.h"

#include "print/print.h"

// Meshes of all parts, several at a time, copied into `keep`. A part without a mesh leaves a fault
// with its group. `from` and `width`: of the whole job. HW_NO_MEMORY, HW_CANCELLED. [1]
HW_MUST_USE hw_code hw_make_meshes(hw_arena *keep, hw_made *m, const hw_job *job, double from,
                                   double width);

// Judged findings of everything made.
HW_MUST_USE hw_code hw_make_findings(hw_arena *keep, hw_made *m);

// What holds the servo of the palm that is held least toward any way but the lid's, over what its
// rod asks for, m->palm made; *note says which servo and way. NaN: no servo stands there, and *note
// stays. [1]
double hw_made_hold(hw_arena *keep, const hw_made *m, const char **note);

#endif
