// Shared by the files of this room alone.
#ifndef HW_ASSESS_INTERNAL_H
#define HW_ASSESS_INTERNAL_H

#include "assess/assess.h"

// Whether a finding is shown for a digit of this family at all (a direct digit has no bars to
// buckle).
bool assess_applies(hw_family_kind family, const hw_finding_kind *kind);

#endif
