// Solids of printed parts: one solid a part, in the printed pose, all parts of a group in one bed
// frame.
//
// Bed frame of a digit: x along the straight digit, y along the joint axes, z up, the bed at z = 0,
// the knuckle at x = 0. It is the digit frame turned in its own plane until the digit lies on its
// bed face, and rolled over (y and z change sign) where that is the dorsal one. hw_solid_mesh's
// plan (x, z) and y are exactly these, so meshes are never turned afterwards.
#ifndef HW_PARTS_H
#define HW_PARTS_H

#include "parts/fittings.h"
#include "pivot/hold.h"
#include "solid/allow.h"
#include "solid/solid.h"
#include "stack/stack.h"

typedef enum hw_part_role {
    HW_PART_CARRIER,
    HW_PART_PHALANX,
    HW_PART_BAR,
    HW_PART_PULLEY,
    HW_PART_COUPON,
    HW_PART_BODY, // palm, forearm and what belongs to them
    HW_PART_ROLES
} hw_part_role;

// Which side of a digit lies on the bed.
typedef enum hw_bed_face { HW_BED_PALMAR, HW_BED_DORSAL, HW_BED_FACES } hw_bed_face;

typedef struct hw_part {
    char name[64]; // "index middle phalanx", "little bar A 2"; unique in a set
    int digit;     // 0 thumb to 4 little; -1 none
    int body;      // as digit/outline.h numbers a digit's parts; -1 none
    int twin;      // of a bar, from 0
    hw_part_role role;
    hw_solid solid;               // in the printed pose, bed frame of its group [m]
    const struct hw_field *field; // a body's shape instead, the same frame; NULL: `solid`
    const hw_allowance *allow;    // where undersides may hang
    size_t allows;
} hw_part;

// The digit frame as the bed sees it.
typedef struct hw_bed {
    double c, s;                      // of the flexion that turns the digit onto its bed face [1]
    double up;                        // +1: dorsal is up; -1: palmar is up, and y is reversed [1]
    hw_vec2 knuckle;                  // where the knuckle's axis is, x and z [m]
    hw_place printed[HW_STACK_PARTS]; // places of all bodies in the printed pose, digit frame
} hw_bed;

// One printed group: a digit with all that comes off the bed with it, or a coupon.
typedef struct hw_part_set {
    hw_part *part;
    size_t parts;
    hw_bed bed;
    bool kept[HW_JOINTS]; // false: what def->kind asks for is not made at this joint (no room; lips
                          // and boxes never are), bare cones alone hold it
} hw_part_set;

// What the document and the printer say of a digit's parts.
typedef struct hw_parts_def {
    int digit;        // 0 thumb to 4 little: for names
    hw_bed_face face; // that lies on the bed
    double flexion;   // of the knuckle in the printed pose, the other joints following as they do
                      // in the digit's family (direct and cord digits: all other joints straight,
                      // or at the stop that is nearest to straight) [rad]
    double gap;       // drawn between parts that move, square to the faces, > 0 [m]
    double chamfer;   // along the bed on both sides of every gap, >= 0 [m]
    double deviation; // of chords from round walls, > 0 [m]
    hw_pivot_kind kind[HW_JOINTS]; // of each joint
    double land; // height of the cylinder under the cones where the layers name none (kind land;
                 // bars' ends as the knuckle), >= 0 [m]
    double keeper_reach;      // tie, strip: from the joint's axis toward the cheeks' root, >= 0 [m]
    double keeper_thickness;  // of the strip; diameter of the tie, > 0 [m]
    double keeper_width;      // of the strip, along the digit, > 0 [m]
    double cord;              // diameter of a cord digit's cord, >= 0; 0: no channels [m]
    bool fitted;              // the parts hold what follows
    hw_fittings_def fittings; // pulley, seats, pads, names
} hw_parts_def;

// Sizes that belong to hw_digit_default and hw_layers_def_default; chords of 0.005 mm. Test:
// test/parts/test_digit.c
hw_parts_def hw_parts_def_default(void);

// The parts of a digit from its layers and their profiles: carrier, phalanges, every twin of every
// bar, in this order, in `keep`; `work` is rewound. HW_BAD_INPUT: a number of the definition is out
// of its range, the layers are none, or the stack is not of this digit. HW_NO_ASSEMBLY: the printed
// pose does not close. HW_LIMIT: more plates than there is room for. HW_NO_MEMORY. HW_CANCELLED.
// *out is empty unless HW_OK. Accuracy: round walls within def->deviation, gaps never less than
// drawn by more than two grid steps of hw_solid_mesh. Source: core/parts/README.md. Test:
// test/parts/test_digit.c
HW_MUST_USE hw_code hw_parts_digit(hw_arena *keep, hw_arena *work, const hw_parts_def *def,
                                   const hw_digit *d, const hw_layers *l, const hw_stack *k,
                                   const hw_job *job, hw_part_set *out);

// A point of a body's own frame in the bed's plan, in the printed pose [m]. Test:
// test/parts/test_digit.c
hw_vec2 hw_bed_point(const hw_bed *bed, int body, hw_vec2 at); // [m]

// z of the bed in the carrier's own frame, at x: the carrier goes down to it where its axis is not
// level on the bed, by a little more than half its thickness [m]. NaN: the printed pose does not
// close. Test: test/parts/test_digit.c
double hw_parts_bed(const hw_parts_def *def, const hw_digit *d, double x); // [m]

// Where the parts of a digit's set are at a pose, against where they were printed, the carrier at
// rest: a point (x, z) of body b's mesh goes to out[b].at + hw_flex((x, z), out[b].c, out[b].s); y
// stays. Test: test/parts/test_digit.c
void hw_parts_place(const hw_bed *bed, const hw_digit_pose *pose, hw_place out[HW_STACK_PARTS]);

#endif
