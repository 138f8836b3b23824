// Names and numbers on printed parts: an alphabet of straight strokes with round ends, of our own.
// Every stroke is a block, so letters are cut into a face or stand on it without any other means.
#ifndef HW_PARTS_LETTERING_H
#define HW_PARTS_LETTERING_H

#include "solid/solid.h"

// The face that is written on, as its normal points in the bed frame. Sides take true outlines;
// faces along the bed take strips across y, half a line wide.
typedef enum hw_letter_face {
    HW_FACE_SIDE_LOW,  // toward -y
    HW_FACE_SIDE_HIGH, // toward +y
    HW_FACE_DOWN,      // toward the bed (palmar)
    HW_FACE_UP         // (dorsal)
} hw_letter_face;

typedef struct hw_lettering {
    const char *text; // ASCII letters, digits, space and  - . , : / + = ( ) ! ? _ ; bytes without a
                      // shape are drawn as an empty box, one for each UTF-8 character
    hw_letter_face face;
    hw_vec3 at;    // middle of the text's box, on the face [m]
    double height; // of a capital, stroke included [m]
    double line;   // of the printer [m]
    double depth;  // cut into the face, or standing on it [m]
    bool raised;
    bool mirrored; // the part will be mirrored across y before it is printed: a left hand's
} hw_lettering;

// Least height of a capital at which strokes and the walls between them are a line wide: 7 lines.
// [m] Test: test/parts/test_lettering.c
double hw_letter_least(double line); // [m]

// Width of a stroke: an eighth of the height, a line at least [m]. Test: as above.
double hw_letter_stroke(double height, double line); // [m] [m]

// Width of a text's box, strokes included; 0 for an empty text [m]. Test: as above.
double hw_letter_width(const char *text, double height, double line); // [m] [m]

// The greatest height at which a text fits a box, at most `most`; 0 where even the least does not
// fit. [m] Test: as above.
double hw_letter_fit(const char *text, double width, double most, double line); // [m] [m] [m]

// The blocks of a text, cut (or, raised, added); behind the part's own in painter's order. They
// reach from the face inward by the depth (raised: outward). HW_BAD_INPUT: a size is not positive
// or the height less than hw_letter_least. HW_NO_MEMORY. Test: test/parts/test_lettering.c
HW_MUST_USE hw_code hw_letter_blocks(hw_arena *keep, const hw_lettering *l, hw_solid *out);

#endif
