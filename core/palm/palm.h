// Layout of the palm: where knuckles, splay axes, roots and the thumb's base lie, the outline of
// the palm's body, and what follows from it (layout.h, fist.h, oppose.h).
//
// Hand frame as in anatomy/anatomy.h: right hand palm down, origin at the middle of the distal
// wrist crease, x toward the fingers, y toward the thumb, z out of the back. Right hands only; a
// left one is the mirror of what is written.
#ifndef HW_PALM_H
#define HW_PALM_H

#include "anatomy/anatomy.h"
#include "base/vec3.h"

enum { HW_PALM_SECTIONS = 9, HW_PALM_AROUND = 32, HW_PALM_DEPTHS = HW_SEGMENTS + 1 };

// Directions of a digit and of an axis are three turns, one after the other: `turn` toward the
// thumb about the hand's z, `rise` toward the back, `roll` about the digit itself, positive where
// its thumb side comes up (a supination); a flexed finger of positive roll leans toward the thumb.
typedef struct hw_palm_pointing {
    double turn, rise, roll; // [rad]
} hw_palm_pointing;

// What the document says of one digit.
typedef struct hw_palm_digit_def {
    bool present;
    hw_vec3 knuckle;                  // axis of the driven joint, at the digit's middle [m]
    hw_palm_pointing points;          // of the straight, unsplayed digit; thumb: unopposed
    double splay[2];                  // least and largest, 0 between them [rad]
    double splay_behind;              // from the knuckle's axis back to the splay axis, >= 0 [m]
    double segment[HW_SEGMENTS];      // joint to joint, the last to the tip, > 0 [m]
    double width;                     // > 0 [m]
    double thickness[HW_PALM_DEPTHS]; // palmar to dorsal, at the joints and at the tip, > 0 [m]
    double travel[2];                 // of the driven knuckle [rad]
    hw_vec3 cord;                     // where the closing cord's sheath ends, knuckle's frame [m]
    hw_vec3 bar;                      // bar A's root on the carrier, the same [m]
} hw_palm_digit_def;

typedef struct hw_palm_def {
    hw_palm_digit_def digit[HW_HAND_DIGITS]; // thumb, index, middle, ring, little
    double opposition_turn,
        opposition_rise;               // direction of the axis of opposition; turning about it
                                       // goes from the palm's plane to before the palm [rad]
    double opposition_behind;          // from the thumb's knuckle back to it, along the unopposed
                                       // thumb, >= 0 [m]
    double opposition[2];              // its travel; 0 is where `points` holds [rad]
    double length;                     // wrist to the middle finger's knuckle, > 0 [m]
    double breadth, wrist;             // of the body at the knuckles and at the wrist, > 0 [m]
    double thickness, wrist_thickness; // dorsal to palmar, > 0 [m]
    double deeper;                     // how much lower its palm lies than these say, the back and
                                       // the sides as they are: for servos, >= 0 [m]
    double back;                       // the body's back above the knuckles' axes [m]
    double setback;                    // of its front edge behind the knuckles' axes, >= 0 [m]
    double edge;                       // radius of its front edges, > 0 [m]
    double arch_radius;                // of the circle through the fingers' knuckles, > 0 [m]
} hw_palm_def;

typedef struct hw_palm_digit {
    bool present;
    hw_frame knuckle;                 // origin at the driven joint's axis; x along the straight
                                      // unsplayed digit (thumb: unopposed), y the flexion axis, z
                                      // dorsal
    hw_vec3 splay_at;                 // a point on the splay axis [m]
    hw_vec3 splay_axis;               // unit vector; positive turns toward the thumb [1]
    double splay[2];                  // least and largest [rad]
    hw_vec3 cord_at, bar_at;          // where the sheath ends, bar A's root: hand frame [m]
    double segment[HW_SEGMENTS];      // [m]
    double width;                     // [m]
    double thickness[HW_PALM_DEPTHS]; // at the joints and at the tip [m]
    double travel[2];                 // of the driven knuckle [rad]
} hw_palm_digit;

typedef struct hw_palm {
    hw_palm_digit digit[HW_HAND_DIGITS]; // thumb, index, middle, ring, little
    hw_frame thumb_base;     // at the unopposed thumb's CMC, x along the axis of opposition
    hw_vec3 opposition_at;   // a point on that axis, behind the CMC [m]
    hw_vec3 opposition_axis; // unit vector; positive turns before the palm [1]
    double opposition[2];    // [rad]
    double length, breadth, thickness; // of the palm's body: wrist to knuckles, across, dorsal to
                                       // palmar with what it is deeper [m]
    double deeper;                     // for servos; as in the definition [m]
    double height;                     // from its back's crown to the flat face that it is printed
                                       // on: `thickness` where the wrist is as thick [m]
    double back;                       // its back above the middle knuckle [m]
    double setback, edge;              // of its front edges: behind the knuckles' axes, radius [m]
    double arch_radius;                // [m]
    // Outline: closed loops one behind the other from wrist to knuckles, point k beside point k of
    // the next. The thumb's side comes first, then the back, the little finger's side, the palm:
    // counter-clockwise seen from the fingertips.
    hw_vec3 outline[HW_PALM_SECTIONS][HW_PALM_AROUND]; // [m]
} hw_palm;

// A palm for a person's hand: knuckles, pointing, lengths and ranges as published, digits as wide
// and thick as common practice makes them, the thumb's base as hw_palm_thumb_default. HW_BAD_INPUT
// as hw_hand_shape_of. Source: core/anatomy; thickness 0.375 of breadth: Pheasant & Haslegrave,
// Bodyspace, hand thickness at the metacarpals 33 of 87 mm (from memory). Test:
// test/palm/test_palm.c
HW_MUST_USE hw_code hw_palm_def_of(double length, double breadth, hw_palm_def *out); // [m]

// Frames, axes and outline. HW_BAD_INPUT: a number is not finite, or a length that must be > 0 is
// not; *out is then all NaN. Digits that are not present are laid out all the same. Source: own
// layout. Test: test/palm/test_palm.c
HW_MUST_USE hw_code hw_palm_of(const hw_palm_def *def, hw_palm *out);

// The exact mirror: y turned round, frames kept right-handed by turning their y, axes turned so
// that their angles keep their sign. Test: as above.
void hw_palm_mirror(hw_palm *palm);

// A frame at `at` that points so. Test: as above.
hw_frame hw_palm_frame(hw_vec3 at, hw_palm_pointing points);

#endif
