// The palm's parts in tests: by name, and how deep a place of the hand lies in one.
#ifndef HW_TEST_PARTS_PALM_PART_H
#define HW_TEST_PARTS_PALM_PART_H

#include <string.h>

#include "base/vec3.h"
#include "parts/palm.h"
#include "solid/field.h"

static inline const hw_palm_part *part_of(const hw_palm_parts *p, const char *name)
{
    for (size_t i = 0; i < p->parts; i++)
        if (strcmp(p->part[i].name, name) == 0) return &p->part[i];
    return NULL;
}

static inline double depth_at(const hw_palm_part *p, double x, double y, double z) // [m] [m] [m]
{
    hw_vec3 d = hw_vec3_sub((hw_vec3){x, y, z}, p->bed.at);
    return -hw_field_at(p->field, (hw_vec3){hw_vec3_dot(d, p->bed.x), hw_vec3_dot(d, p->bed.y),
                                            hw_vec3_dot(d, p->bed.z)});
}

#endif
