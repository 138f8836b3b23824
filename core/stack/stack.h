// Parts as layers across a digit. layers.h: what lies where across. Here: every part's profile in
// every layer, as rounded plates, and how near parts of one layer come to each other over the
// stroke.
#ifndef HW_STACK_H
#define HW_STACK_H

#include "digit/outline.h"
#include "pivot/bars.h"
#include "solid/region.h"
#include "stack/layers.h"

enum {
    HW_SLAB_DISCS = 4,
    HW_SLAB_SIDES = 6,
    HW_STACK_SLABS = 224,
    HW_STACK_PARTS = HW_OUTLINE_PARTS
};

typedef enum hw_slab_kind {
    HW_SLAB_BODY,  // a phalanx or the carrier at its full height
    HW_SLAB_CHEEK, // round the next joint, outside
    HW_SLAB_TANG,  // disc round the next joint
    HW_SLAB_ARM,   // from the body to that disc
    HW_SLAB_LUG,   // that a bar's root stands on
    HW_SLAB_SHELF, // that a bar's horn end stands on
    HW_SLAB_POST,  // of a root or horn through the layer of another bar
    HW_SLAB_WEB,   // past a bar, along the back or the palmar face
    HW_SLAB_BAR,   // shank or end of a bar
    HW_SLAB_FOOT,  // that a bar stands on while it is printed
    HW_SLAB_KINDS
} hw_slab_kind;

// The convex hull of a few discs, in its part's own frame (digit/outline.h), as thick as its layer.
typedef struct hw_slab {
    int layer, part;
    hw_slab_kind kind;
    size_t discs; // 1 to HW_SLAB_DISCS
    hw_disc disc[HW_SLAB_DISCS];
    size_t edges;                  // straight sides; 0: one disc covers the others
    hw_vec2 normal[HW_SLAB_SIDES]; // outward, unit [1]
    double support[HW_SLAB_SIDES]; // of the side along its normal [m]
    hw_disc round;                 // a disc that covers it
} hw_slab;

typedef struct hw_stack {
    size_t n;
    hw_slab plate[HW_STACK_SLABS];
    double arm_height; // least height of an arm between body and tang's disc, of all joints; 0 or
                       // less: what turns there leaves no room [m]
    int arm_joint;     // where
    double wall;       // least length of a phalanx between two forks [m]
    int wall_part;     // whose
    double sockets;    // least distance of two sockets in one layer of a part; infinite without
                       // bars [m]
} hw_stack;

// How near two parts come, in one layer.
typedef struct hw_clearance {
    double gap;   // least distance, negative where they overlap [m]
    int plate[2]; // numbers in the stack; -1 where nothing shares a layer
    double s;     // pose, on the stroke [1]
} hw_clearance;

// Places of all parts at a pose.
typedef struct hw_place {
    hw_vec2 at;  // origin of the part's frame, in the digit frame [m]
    double c, s; // cosine and sine of its flexion [1]
} hw_place;

// Makes a plate of discs: hull, sides and cover. Test: test/stack/test_slabs.c
hw_slab hw_slab_of(int layer, int part, hw_slab_kind kind, size_t discs, const hw_disc disc[]);

// Distance of two plates in the plane, whatever their layers: exact; negative: the shortest way out
// of the overlap. Accuracy: a few eps of the distance of the frames. Source: largest separation
// over all directions, docs/derivations/stack.md. Test: test/stack/test_slabs.c
double hw_slabs_gap(const hw_slab *a, hw_place place_a, const hw_slab *b, hw_place place_b);

// All parts' plates in all layers. HW_BAD_INPUT: the layers are none or hw_digit_check names a
// fault. HW_LIMIT: more plates than there is room for. Either leaves *out without plates. Source:
// own layout, docs/decisions/0010. Test: test/stack/test_stack.c
HW_MUST_USE hw_code hw_stack_of(const hw_digit *d, const hw_layers *l, hw_stack *out);

// Where the parts are at a pose. Test: test/stack/test_stack.c
void hw_stack_place(const hw_digit_pose *pose, hw_place out[HW_STACK_PARTS]);

// Least distance of different parts in one layer in the pose that is printed (the straight digit,
// or the open end where the stroke leaves that out), and over the whole stroke, between poses too.
// The stroke's is never more than the true one, as far as paths between neighbours of 129 poses
// leave their chord by at most twice what the pose half way does; it is less by at most that.
// HW_NO_ASSEMBLY: a pose does not close; *stroke then has no pair. Source:
// docs/derivations/stack.md. Test: test/stack/test_motion.c
HW_MUST_USE hw_code hw_stack_clearances(const hw_digit *d, const hw_stack *k, hw_clearance *printed,
                                        hw_clearance *stroke);

// What lies on the far side of both bars' ends at a pose: [bar][0 root, 1 horn], of a bar's twins
// the worst. An end is kept by what comes within half a boss of its axis; its shank is guided where
// something covers its axis, looked at in 25 places. Bars that a digit has not get zeros. Test:
// test/stack/test_beside.c
void hw_stack_beside(const hw_digit *d, const hw_layers *l, const hw_stack *k,
                     const hw_digit_pose *pose, hw_beside out[2][2]);

// The pose that is printed, on the stroke: the straight digit, or the end nearest to it where the
// stroke leaves that out [1]. Test: test/stack/test_profiles.c
double hw_stack_printed(const hw_digit *d);

// The outline of a part in a layer, at its place: the union of its plates there, lines and arcs.
// No plates there give no rings. `work` is rewound. Codes as hw_region_of_hulls. Test:
// test/stack/test_profiles.c
HW_MUST_USE hw_code hw_stack_profile(hw_arena *keep, hw_arena *work, const hw_stack *k, int layer,
                                     int part, hw_place place, hw_region *out);

// "bar A's foot", "middle phalanx's web", "carrier": part and kind in words; out of at least 48
// bytes, cut to fit. Returns out.
const char *hw_slab_name(const hw_slab *p, bool thumb, char out[48]);

#endif
