// What the carrier's block holds beside the knuckle: the ends of the cords' sheaths, the seat of
// the home switch, the knuckle's closed stop, and either a pocket for a servo's horn or holes for
// screws in its back face, where the palm begins.
//
// The switch rides on the pulley's rim: in the open digit its lever is pressed; as the digit closes
// the rim's straight part comes under it.
#ifndef HW_PARTS_CARRIER_H
#define HW_PARTS_CARRIER_H

#include "parts/pulley.h"

// A small switch with a lever; length 0: none.
typedef struct hw_switch_body {
    double length, height,
        thickness;      // along the lever, from its terminals to its lever, across [m]
    double lever;       // width of the lever [m]
    double pressed;     // from its face to where the lever is when it has switched [m]
    double pitch, hole; // between its two holes; their diameter [m]
    double hole_depth;  // from its face to the line of holes [m]
    double terminals;   // length behind it [m]
} hw_switch_body;

// A servo's horn with one arm; hub 0: none.
typedef struct hw_horn {
    double hub;       // diameter round the spline, outside [m]
    double arm;       // from the spline's axis to the arm's end [m]
    double width;     // of the arm [m]
    double thickness; // of the arm [m]
    double screw[2];  // places of two screws, from the axis; 0: none [m]
    double pilot;     // diameter of their holes [m]
    double head;      // diameter of the centre screw's head [m]
} hw_horn;

typedef struct hw_carrier_def {
    double gap, line, layer, deviation; // of the printer; of chords, > 0 [m]
    double sheath;       // outer diameter of a sheath, or of its ferrule; 0: none [m]
    double sheath_depth; // how deep it sits [m]
    double cord;         // diameter [m]
    bool stop;           // closed stop at the knuckle
    hw_switch_body home;
    hw_horn horn;
    double screw;       // diameter of the holes in the back face; 0: none [m]
    double screw_depth; // [m]
    bool corners;       // they stand in the palmar corners: sheaths come through the middle
} hw_carrier_def;

// The carrier's block in its own frame (digit/outline.h).
typedef struct hw_carrier_place {
    double back, front; // x of the block's faces [m]
    double half;        // half its thickness [m]
    double low, high;   // y of its sides [m]
    double mouth;       // height of the sheaths' middles at the back face, beside the axis [m]
    double sheath_y;    // of both [m]
    double sheath;      // diameter of what is put in there [m]
    bool sheaths, home, horn, screws, stop; // what is made: asked, and there is room
    double home_face;                       // x of the switch's face [m]
    double home_room; // left round the switch, less walls; negative: missing; NaN: none is asked or
                      // there is no pulley that it could ride on [m]
    double screw_depth;    // of the holes in the back face: what was asked, or what a short block
                           // leaves, two diameters or more; else there are no screws [m]
    hw_vec2 screw[2];      // their middles, .x along y, .z along z [m]
    double horn_x, horn_y; // axis of the spline [m]
    double horn_room;  // left round the horn's pocket, less walls; negative: missing; NaN: none is
                       // asked [m]
    double stop_at[2]; // along the proximal's palmar face, from the knuckle: where it meets [m]
    double stop_angle; // flexion at which it meets [rad]
} hw_carrier_place;

// Where all of it lies. `pulley` may be NULL (no cords, no switch). HW_BAD_INPUT: a number out of
// its range. Test: test/parts/test_carrier.c
HW_MUST_USE hw_code hw_carrier_of(const hw_carrier_def *def, const hw_digit *d, const hw_layers *l,
                                  const hw_pulley *pulley, hw_carrier_place *out);

// How high the middles of the sheaths lie beside the digit's axis at the back face, so that two
// lines of wall are left under the skin where their seats end, along a line that rises by `rise`
// [m]; where that is not above 0 they find no room. Test: as above.
double hw_carrier_mouth(const hw_carrier_def *def, const hw_digit *d, double rise); // [1]

// x of the block's faces: [0] back, [1] front, as core/stack draws it. [m]
void hw_carrier_block(const hw_layers *l, double x[2]);

#endif
