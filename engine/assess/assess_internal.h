// Shared by the files of this room alone.
#ifndef HW_ASSESS_INTERNAL_H
#define HW_ASSESS_INTERNAL_H

#include "assess/assess.h"

// Whether a finding is shown for this digit at all (a direct digit has no bars to
// buckle).
bool hw_assess_applies(const hw_digit *d, const hw_finding_kind *kind);

#endif
