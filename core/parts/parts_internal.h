// Shared by the files of this room that make digits.
#ifndef HW_PARTS_INTERNAL_H
#define HW_PARTS_INTERNAL_H

#include "base/job.h"
#include "parts/parts.h"

enum { HW_DRAFT_POSES = 33, HW_DRAFT_SWEEPS = 16 };

// What moves in a slot of another body: a bar's foot, a joint's tie.
typedef struct hw_sweep {
    hw_slab moving;
    int phalanx; // the body that has the slot
} hw_sweep;

// A digit's parts in the making.
typedef struct hw_draft {
    const hw_parts_def *def;
    const hw_digit *d;
    const hw_layers *l;
    hw_arena *keep, *work;
    const hw_job *job;
    hw_bed bed;
    hw_slab *slab; // in the bed's plan, in the printed pose
    size_t slabs, room;
    bool full;                                          // more plates than there is room for
    hw_place place[HW_DRAFT_POSES + 1][HW_STACK_PARTS]; // as printed, and over the stroke
    size_t poses;                                       // that close
    hw_sweep sweep[HW_DRAFT_SWEEPS];
    size_t sweeps;
    double floor[HW_JOINTS][2]; // of a tang that nothing can carry, by side: it ends there, so that
                                // it grows out of its body; else 0 [m]
    bool kept[HW_JOINTS];       // what is to keep a joint together is made
    hw_vec2 low, high;          // box round the part at hand, in the plan [m]
} hw_draft;

// A part's blocks as they come, in painter's order. Failure is sticky in the code.
typedef struct hw_pile {
    hw_arena *keep;
    hw_block *block;
    size_t blocks, room;
    hw_allowance *allow;
    size_t allows, allow_room;
    double up; // y is reversed where negative [1]
    hw_code code;
} hw_pile;

// Adds a block between two heights of the digit's own y, low < high: `at_low` belongs to `low`.
void hw_pile_put(hw_pile *p, hw_block_op op, double low, double high, // [m]
                 hw_polygon at_low, hw_polygon at_high);
void hw_pile_allow(hw_pile *p, hw_allowance_kind kind, hw_vec2 low, hw_vec2 high, double from,
                   double to); // y [m]

// The bed under a digit in its printed pose. HW_NO_ASSEMBLY.
HW_MUST_USE hw_code hw_bed_of(const hw_parts_def *def, const hw_digit *d, hw_bed *out);

// z of the bed in the carrier's frame at x = 0, and how much it rises along x; `length` is any of
// the digit's.
void hw_bed_line(const hw_bed *bed, double length, double out[2]); // [m]

// One pivot: a pin on a face and the bore that it turns in.
typedef struct hw_parts_pin {
    hw_vec2 at;                    // axis, in the bed's plan [m]
    double face;                   // y of the face that it stands on, digit frame [m]
    double outward;                // +1 or -1: along y, from that face [1]
    double mouth;                  // from that face to the one that the bore is in [m]
    double base;                   // radius at the face [m]
    double land;                   // height of the cylinder under the cone [m]
    double engagement, half_angle; // [m] [rad]
    double gap;                    // square to all surfaces [m]
    double deviation;              // of chords [m]
    double floor;                  // nothing of the pin is below this height above the bed [m]
} hw_parts_pin;

void hw_parts_pin_add(hw_pile *p, const hw_parts_pin *pin);
// The bore in a plate of this thickness; it goes through where less than a line would be left.
void hw_parts_pin_cut(hw_pile *p, const hw_parts_pin *pin, double thickness,
                      double line); // [m] [m]

// Channels of cord digits: radius of what goes through, the cord's path in a body (at most 4
// points, its own frame), and cutting them. A middle layer that is too thin for them has none.
double hw_channel_radius(const hw_draft *f); // [m]
size_t hw_channel_path(const hw_draft *f, int body, hw_vec2 out[4]);
void hw_channels_cut(const hw_draft *f, int body, hw_pile *p);

// Finds the places over the stroke; gives all plates what they need to stand on the bed, and bars
// their feet. HW_LIMIT: no room for more plates.
HW_MUST_USE hw_code hw_stand_all(hw_draft *f);

// Declares where a part's undersides hang from both ends.
void hw_stand_bridges(const hw_draft *f, const hw_part *part, hw_pile *p);

// The polygon of a plate's hull, chords inside it.
HW_MUST_USE hw_code hw_ring_hull(hw_arena *keep, const hw_slab *slab, double deviation, // [m]
                                 hw_polygon *out);

// Outline of a part in a layer: all its plates joined, what lies under the bed cut off. In the kept
// arena; no rings where it has nothing there.
HW_MUST_USE hw_code hw_outline_join(const hw_draft *f, int part, int layer, hw_section *out);

// What two outlines have in common.
HW_MUST_USE hw_code hw_outline_cross(const hw_draft *f, const hw_section *a, const hw_section *b,
                                     hw_section *out);

// Cuts the corners off that an outline has at the bed, at 45 degrees.
HW_MUST_USE hw_code hw_outline_bevel(const hw_draft *f, hw_section *s);

// A plate of this outline between two heights of y, from < to.
void hw_outline_put(hw_pile *p, const hw_section *s, double from, double to); // [m] [m]

// The slice of a plate between its face and `inner`, with a chamfer at the bed: at the face the
// outline is as far off the bed as the slice is thick, but where `fill` goes on beyond the face.
void hw_outline_foot(hw_pile *p, const hw_section *s, const hw_section *fill, // [m]
                     double face, double inner);                              // [m] [m]

#endif
