// The search's walks, shared by its two files alone.
#ifndef HW_PALM_PACK_WALK_INTERNAL_H
#define HW_PALM_PACK_WALK_INTERNAL_H

#include "base/rng.h"
#include "palm/pack_internal.h"

enum { HW_PACK_MOST = 16, HW_SPOT_BODIES = HW_SERVO_BODIES + HW_PACK_LUGS };

typedef struct hw_span {
    hw_vec3 low, high; // [m]
} hw_span;

// One item where it stands.
typedef struct hw_spot {
    hw_pack_item item;
    hw_pack_place place;
    hw_pack_room room; // that comes with its lever's end
    hw_span round[HW_SPOT_BODIES], round_room[HW_PACK_ROOM];
    double own;                  // what it lacks beside palm, obstacles and that room [m]
    uint8_t mark[HW_PACK_MARKS]; // the caller's, where hw_spot_mark was asked
} hw_spot;

// What all walks share.
typedef struct hw_finder {
    hw_packer k;
    const hw_pack_free *free;
    hw_span *round; // of obstacles
    hw_span palm;
    double slack, length; // [m]
    size_t n;
    long steps; // of a walk
} hw_finder;

// An annealing on its way.
typedef struct hw_walk {
    const hw_finder *f;
    hw_rng rng;
    hw_spot now[HW_PACK_MOST], next, best[HW_PACK_MOST];
    double pair[HW_PACK_MOST][HW_PACK_MOST]; // of two [m]
    double beside[HW_PACK_MOST];             // of the next and each [m]
    double more, cost, least;                // what the caller counts; of all; best so far [m]
    double heat;                             // at first [m]
    long step;
} hw_walk;

// False: no memory.
bool hw_finder_of(hw_arena *a, const hw_pack_def *def, const hw_pack_free *free, long steps,
                  hw_finder *f);

// What two lack beside each other; the caller's mark; what the caller counts of all, marked.
double hw_spots_lack(const hw_finder *f, const hw_spot *s, const hw_spot *t); // [m]
void hw_spot_mark(const hw_finder *f, hw_spot *s);
double hw_finder_more(const hw_finder *f, const hw_spot *const all[]); // [m]

// From places at random, from where the items are, or from spots.
void hw_walk_anywhere(const hw_finder *f, hw_rng rng, hw_walk *w);
void hw_walk_near(const hw_finder *f, hw_rng rng, double heat, hw_walk *w); // [m]
void hw_walk_from(const hw_finder *f, hw_rng rng, const hw_spot *const from[], double heat,
                  hw_walk *w); // [m]
void hw_walk_on(hw_walk *w, int steps);
bool hw_walk_done(const hw_walk *w); // all steps are taken, or nothing is lacking

#endif
