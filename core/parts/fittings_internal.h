// Shared by the files of this room only.
#ifndef HW_PARTS_FITTINGS_INTERNAL_H
#define HW_PARTS_FITTINGS_INTERNAL_H

#include "parts/parts_internal.h"

// What a part holds, behind its own blocks.
void hw_fittings_put(const hw_draft *f, const hw_part *part, const hw_fittings *made, hw_pile *p);

// Parts that come beside the digit's own: the tension spool, or none.
size_t hw_fittings_parts(const hw_fittings *made);
HW_MUST_USE hw_code hw_fittings_spool(const hw_draft *f, const hw_fittings *made, hw_part *part);

#endif
