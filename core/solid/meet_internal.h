// Do triangles of a welded mesh meet outside what they share?
#ifndef HW_SOLID_MEET_INTERNAL_H
#define HW_SOLID_MEET_INTERNAL_H

#include "solid/solid.h"

// An axis (0 x, 1 y, 2 z) along which the triangle is seen with an area; -1: it has none.
int hw_meet_axis(const hw_float_mesh *m, const uint32_t t[3]);

// True when two triangles with areas have a point in common beyond the corners (and the edge
// between two) that they share by index. Exact.
bool hw_meet_pair(const hw_float_mesh *m, const uint32_t s[3], const uint32_t t[3]);

// Counts such pairs, fills crossing and first. Triangles without an area are left out (they are
// counted as degenerate).
HW_MUST_USE hw_code hw_meet_count(hw_arena *work, const hw_float_mesh *m, const hw_job *job,
                                  hw_mesh_report *out);

// Which of the triangles that have a corner from `from` on have no area, or meet another; the rest
// is false. HW_NO_MEMORY, HW_CANCELLED. The same for any number of threads.
HW_MUST_USE hw_code hw_meet_mark(hw_arena *work, const hw_float_mesh *m, uint32_t from,
                                 const hw_job *job, bool crossed[]);

#endif
