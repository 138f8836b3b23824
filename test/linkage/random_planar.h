// Random mechanisms that are assembled by construction: their joints are thrown into the plane.
#ifndef HW_TEST_RANDOM_PLANAR_H
#define HW_TEST_RANDOM_PLANAR_H

#include "base/rng.h"
#include "planar.h"

static inline hw_vec2 random_place(hw_rng *r, double low_x, double high_x)
{
    double x = hw_rng_uniform(r, low_x, high_x);
    return (hw_vec2){x, hw_rng_uniform(r, -4, 4)};
}

// A place in the plane as seen from a body.
static inline hw_vec2 seen_from(hw_body_pose b, hw_vec2 place)
{
    return hw_flexed(hw_sub(place, (hw_vec2){b.x, b.z}), -b.angle);
}

// A pin of bodies a and b at a place in the starting pose.
static inline void pin_here(planar *p, int a, int b, hw_vec2 place)
{
    p->pin[p->m.pins++] = (hw_pin){a, b, seen_from(p->at[a], place), seen_from(p->at[b], place)};
}

// A body whose frame lies anywhere.
static inline void throw_body(planar *p, hw_rng *r, int body)
{
    hw_vec2 at = random_place(r, -4, 8);
    p->at[body] = (hw_body_pose){at.x, at.z, hw_rng_uniform(r, -3, 3)};
}

static inline void drive_here(planar *p, int a, int b, double span)
{
    p->driver[p->m.drivers++] = (hw_driver){a, b, -1, p->at[b].angle - p->at[a].angle, span};
}

typedef enum six_bar { WATT, STEPHENSON, SIX_BARS } six_bar;

// Bodies 1 to 5. Watt: four-bar 0-1-2-3, then 3-4-5-0. Stephenson: four-bar 0-1-2-3, then 2-4-5-0.
static inline planar random_six_bar(hw_rng *r, six_bar kind, int driven, double span)
{
    planar p = {.m = {.bodies = 6}};
    for (int b = 1; b < 6; b++) throw_body(&p, r, b);
    pin_here(&p, 0, 1, random_place(r, -1, 1));
    pin_here(&p, 1, 2, random_place(r, -1, 1));
    pin_here(&p, 2, 3, random_place(r, 2, 4));
    pin_here(&p, 0, 3, random_place(r, 2, 4));
    pin_here(&p, kind == WATT ? 3 : 2, 4, random_place(r, 3, 5));
    pin_here(&p, 4, 5, random_place(r, 5, 7));
    pin_here(&p, 0, 5, random_place(r, 5, 7));
    drive_here(&p, 0, driven, span);
    return p;
}

#endif
