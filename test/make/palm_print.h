// A palm as it is printed, beside its findings: room round brims, a floor that is whole.
#ifndef HW_TEST_PALM_PRINT_H
#define HW_TEST_PALM_PRINT_H

#include "check.h"

#include <string.h>

#include "base/vec3.h"
#include "make/make.h"
#include "parts/palm.h"
#include "print/print.h"

// A group's rectangle on its plate. [m]
static inline void plate_box(const hw_made *m, const hw_made_group *g, double box[2][2])
{
    box[0][0] = box[1][0] = INFINITY;
    box[0][1] = box[1][1] = -INFINITY;
    for (size_t i = g->first; i < g->first + g->parts; i++)
        for (int k = 0; k < 2; k++) { // two corners are all of a box turned by 90 degrees
            const hw_vec3 q = k ? m->part[i].high : m->part[i].low;
            const double at[2] = {g->turned ? -q.y : q.x, g->turned ? q.x : q.y};
            for (int c = 0; c < 2; c++) {
                box[c][0] = fmin(box[c][0], at[c] + g->move[c]);
                box[c][1] = fmax(box[c][1], at[c] + g->move[c]);
            }
        }
}

// Round what is printed with a brim there is room for it, on the bed and beside other groups.
static inline void brims_have_room(const hw_made *m)
{
    const double spare = 1e-4; // the grid of moves
    size_t brims = 0;
    for (size_t g = 0; g < m->groups; g++) {
        const double brim = m->group[g].body ? m->group[g].body->brim : 0;
        double own[2][2], other[2][2];
        if (!(brim > 0) || m->group[g].plate < 0) continue;
        brims++;
        plate_box(m, &m->group[g], own);
        for (int c = 0; c < 2; c++)
            CHECK(own[c][0] > brim - spare && own[c][1] < m->printer->bed[c] - brim + spare);
        for (size_t k = 0; k < m->groups; k++) {
            if (k == g || m->group[k].plate != m->group[g].plate) continue;
            plate_box(m, &m->group[k], other);
            double apart = -INFINITY;
            for (int c = 0; c < 2; c++)
                apart = fmax(apart, fmax(own[c][0] - other[c][1], other[c][0] - own[c][1]));
            CHECK(apart > brim - spare);
        }
    }
    CHECK(brims > 0);
}

// Between the thumb's room and the rooms above it the tray has a floor, where its vault came
// through.
static inline void floor_is_whole(const hw_made *m)
{
    for (size_t i = 0; i < m->palm->parts; i++) {
        const hw_palm_part *p = &m->palm->part[i];
        if (strcmp(p->name, "palm tray") != 0) continue;
        for (int k = 0; k < 40; k++) {
            const hw_vec3 at = {(15.5 + k / 5) * 1e-3, (9 + k % 5) * 1e-3, -2.2e-3};
            CHECK(hw_field_at(p->field, hw_vec3_sub(at, p->bed.at)) < 0);
        }
        return;
    }
    CHECK(false);
}

#endif
