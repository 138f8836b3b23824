// A thumb that begins and ends elsewhere than the default's, bends less and has no servo.
#ifndef HW_TEST_PARTS_ANOTHER_THUMB_H
#define HW_TEST_PARTS_ANOTHER_THUMB_H

#include "base/vec3.h"
#include "parts/palm.h"

static inline hw_palm_parts_def another_thumb(void)
{
    const double mm = 1e-3;
    hw_palm_parts_def def = hw_palm_parts_def_default();
    hw_palm_seat *t = &def.digit[0];
    t->splay_axis = hw_vec3_unit((hw_vec3){-1, -0.08, 0.04});
    t->splay[0] = -0.3;
    t->splay[1] = 1;
    t->radius = 13 * mm;
    t->bore = 8 * mm;
    t->levered = false;
    t->mouth = hw_palm_thumb_mouth(&def) + 1 * mm;
    return def;
}

#endif
