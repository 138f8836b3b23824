// What lies where across a digit: an ordered list of layers from one side to the other, and the
// forks, tangs and bars in them (docs/decisions/0010-flagship-on-paper.md).
//
// Across means along the joint axes: y, 0 at the middle of the digit's width, side 0 at negative y
// (it carries bar A), side 1 at positive y (it carries bar B). Coupled bars, from side 0: cheek,
// tang, bar A, bar B, tang, cheek. Digits without bars: cheek, tang, cheek. Parts are numbered as
// in digit/outline.h: 0 carrier, 1 to 3 phalanges, 4 and 5 bars A and B.
#ifndef HW_STACK_LAYERS_H
#define HW_STACK_LAYERS_H

#include "digit/digit.h"

enum { HW_LAYERS_MOST = 12, HW_TWINS_MOST = 4 };

typedef enum hw_layer_use {
    HW_LAYER_CHEEK, // outer plate: every phalanx has one here at its own joint
    HW_LAYER_TANG,  // inner plate: carrier and phalanges reach to the next joint here
    HW_LAYER_BAR_A,
    HW_LAYER_BAR_B
} hw_layer_use;

// How bars lie to each other between the tangs.
typedef enum hw_layer_order {
    HW_ORDER_BESIDE,    // bar A's twins, then bar B's: each beside the wall that carries it
    HW_ORDER_B_ASTRIDE, // bar B's twins on both sides of bar A
    HW_ORDER_A_ASTRIDE, // bar A's twins on both sides of bar B
    HW_LAYER_ORDERS
} hw_layer_order;

typedef struct hw_layer {
    hw_layer_use use;
    int side;         // 0 or 1: of the wall that it is, or that carries the bar in it
    double y;         // of its middle [m]
    double thickness; // [m]
} hw_layer;

// Cones stand on tangs and shelves, sockets are in cheeks and bar ends.
typedef struct hw_cone_shape {
    double half_angle; // from the joint's axis [rad]
    double engagement; // height of the cone above the face that it stands on [m]
    double tip;        // radius at its tip [m]
    double base;       // radius at that face: tip + engagement * tan(half_angle) [m]
    double depth;      // of a bare cone's load line inside the socket, from its mouth [m]
} hw_cone_shape;

// Radius of a cone at the face that it stands on is a place's own; of the shape above it is that of
// places that do not say. A cone with a land is a cylinder of the base's radius up to the land's
// height above its face, and goes on from there at the half-angle: its tip is wider than a bare
// cone's.

// One joint across the digit. Index [2]: side.
typedef struct hw_fork_place {
    int cheeks_part, tang_part; // the later and the earlier body
    double cheek_y[2];          // middle planes [m]
    double cheek_thickness[2];  // [m]
    double tang_y[2];           // middle planes; one tang of a digit without bars: the same [m]
    double tang_thickness[2];   // [m]
    double cone_y[2];           // lines of load of the two cones [m]
    double spacing;             // between them [m]
    double base;                // radius of its cones at the face that they stand on [m]
    double land;                // height of their lands above that face; 0: bare [m]
    double height;              // palmar to dorsal, of a cheek at the joint [m]
    double depth[2];    // from the joint's axis to the wall in which the cheek is rooted [m]
    double tang_radius; // of the tang's disc round the joint's axis [m]
    double setback;     // from the joint's axis back to the earlier body's full height [m]
    double travel[2];   // least and largest angle of the joint over the stroke [rad]
} hw_fork_place;

typedef struct hw_bar_place {
    size_t twins;             // layers that it has; 0: this digit has no such bar
    int layer[HW_TWINS_MOST]; // their numbers
    int side[HW_TWINS_MOST];  // 0 or 1: of the wall that carries its root
    int on[HW_TWINS_MOST][2]; // numbers of the layers whose faces carry its root's and its horn's
                              // cones: beside its own, the root's toward that wall
    double y[HW_TWINS_MOST];  // line of load of each twin, in its root's socket [m]
    double load_y;            // of all twins together, equally loaded [m]
    double base, land;        // of the cones at its ends, as a fork's [m]
    int root_part, horn_part; // whose tang carries the root, whose cheek the horn
    double foot[2];           // its foot in the straight digit, from the joint that the bar
                              // begins at, toward the tip: from, to [m]
} hw_bar_place;

typedef struct hw_layers {
    size_t n;
    hw_layer layer[HW_LAYERS_MOST]; // from side 0 to side 1
    double width;                   // of the digit [m]
    double sum;                     // of layers and the gaps between them [m]
    double gap;                     // between neighbouring layers [m]
    double line;                    // of the printer [m]
    double web; // of the strips that join both sides of a phalanx past a bar, from the skin [m]
    hw_cone_shape cone;
    double block; // length of the carrier behind the first fork's setback [m]
    hw_fork_place fork[HW_JOINTS];
    hw_bar_place bar[2];
} hw_layers;

// Half the width of the level ceiling over a bore that lies along the bed, under which its roof
// rises at 45 degrees from both sides: as many lines as cross without a support [m]. Such a bore is
// (sqrt 2 - 1) radius - this higher than a round one. Accuracy: rounding. Source: tangents of 45
// degrees; common practice. Test: test/stack/test_layers.c
double hw_bore_ceiling(double radius, double line); // [m] [m]

// What the document says of the layers.
typedef struct hw_layers_def {
    hw_layer_order order;
    size_t count[2];         // twins of bar A and bar B, 1 to HW_TWINS_MOST
    double cheek[2];         // thickness of a side's cheek, > 0 [m]
    double tang[2];          // thickness of a side's tang, > 0 (coupled bars only) [m]
    double gap;              // between neighbouring layers, > 0 [m]
    double line;             // of the printer, > 0 [m]
    double disc[HW_JOINTS];  // radius of the tang's disc at each joint, > 0 [m]
    double spare[HW_JOINTS]; // fork deeper than what sweeps through it asks, >= 0 [m]
    double block;            // the carrier's length, >= 0; 0: as long as the digit is thick [m]
    double web;              // > 0 [m]
    double foot_at[2];       // where a bar's foot begins, from the joint that it begins at [m]
    double foot_length[2];   // >= 0; 0: no foot [m]
    double half_angle;       // of the cones [rad]
    double engagement;       // of the cones [m]
    double tip;              // radius of a cone's tip [m]
    double land[HW_JOINTS];  // height of the cylinder under a joint's cones, 0 (none) to
                             // engagement [m]
    double bar_land;         // the same at bars' ends [m]
    double base[HW_JOINTS];  // of a joint's cones; 0: what tip, angle and engagement make [m]
    double bar_base;         // the same at bars' ends [m]
} hw_layers_def;

// Sizes that belong to hw_digit_default. Test: test/stack/test_layers.c
hw_layers_def hw_layers_def_default(void);

// Layers, forks and places of bars. Layers lie in the middle of the width whether or not they fill
// it (width less sum says). A digit without bars has one tang, as thick as cheeks and gaps leave
// it, which may be less than nothing. A fork is as deep as the tang's disc or the lug of a root
// that turns in it asks, and the gap, and the spare. HW_BAD_INPUT: a number of the definition is
// out of its range, or hw_digit_check names a fault; *out then has no layers and all else is 0.
// Source: own layout, docs/decisions/0010-flagship-on-paper.md, core/stack/README.md. Test:
// test/stack/test_layers.c
HW_MUST_USE hw_code hw_layers_of(const hw_layers_def *def, const hw_digit *d, hw_layers *out);

// The layer that the drive's pulley lies in, round the knuckle's axis: bar B's nearest the middle
// that no support of bar A crosses and that lies between bar A and an outer face, where the cords'
// ends can be reached; nothing else is there so near the knuckle. -1: there is none (digits without
// bars; bar A's twins astride). Test: test/stack/test_layers.c
int hw_layers_pulley(const hw_layers *l);

#endif
