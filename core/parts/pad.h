// Grip on palmar faces: a recess for a strip that is glued in, or a texture cut into the face.
#ifndef HW_PARTS_PAD_H
#define HW_PARTS_PAD_H

#include "solid/allow.h"
#include "solid/solid.h"

typedef enum hw_pad_texture {
    HW_PAD_PLAIN,
    HW_PAD_GROOVES, // across the digit, V-shaped with flanks of 45 degrees
    HW_PAD_SQUARES, // the same, and channels along it, a line wide and four fifths as deep
    HW_PAD_TEXTURES
} hw_pad_texture;

// What the document says of a pad.
typedef struct hw_pad_def {
    double recess; // depth of the strip's recess; 0: none [m]
    double margin; // of skin left round the recess, or round the texture, >= 0 [m]
    hw_pad_texture texture;
    double pitch; // of the grooves, at least twice their depth and a line [m]
    double depth; // of the grooves, > 0 where there is a texture [m]
} hw_pad_def;

// The face: a rectangle of the bed plane, or of a plane parallel to it.
typedef struct hw_pad_place {
    double x[2], y[2]; // rising [m]
    double z;          // of the face [m]
    double inward;     // +1: the material lies above it (it lies on the bed), -1: below [1]
    double line;       // of the printer, > 0 [m]
} hw_pad_place;

typedef struct hw_pad {
    hw_solid cut; // blocks that cut, behind the part's own in painter's order
    hw_allowance *allow;
    size_t allows; // the recess's ceiling, where the face lies on the bed
} hw_pad;

// The width of a strip that fits the recess, and its length; 0 where margins leave nothing [m].
double hw_pad_strip(const hw_pad_def *def, const hw_pad_place *at, double *length); // [m]

// Nothing to cut where neither recess nor texture is asked, or margins leave no face. A texture is
// left out of a recess (the strip grips there). HW_BAD_INPUT: a size
// out of its range, or walls between grooves thinner than a line. HW_LIMIT: over
// 4,000 grooves or strips of them. HW_NO_MEMORY.
// Test: test/parts/test_pad.c
HW_MUST_USE hw_code hw_pad_blocks(hw_arena *keep, const hw_pad_def *def, const hw_pad_place *at,
                                  hw_pad *out);

#endif
