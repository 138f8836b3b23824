// What the files of `handwright place` share.
#ifndef HW_CLI_PLACE_INTERNAL_H
#define HW_CLI_PLACE_INTERNAL_H

#include "cli/cli_internal.h"
#include "hand/hand.h"

// A line of the table of what was lacking and is.
typedef struct hw_place_row {
    const char *id, *unit;
    double value[2]; // as the document has it, as found; NaN: there is no such thing [unit]
} hw_place_row;

void hw_place_put(hw_call *call, const hw_place_row row[], size_t rows, const char *entries);

// "1.234 mm", to a thousandth; "name: 1.234 mm".
void hw_place_mm(hw_buffer *b, double m);                       // [m]
void hw_place_length(hw_buffer *b, const char *name, double m); // [m]

// The document with what was found, in the folder of -o.
#define HW_PLACE_FILE "laid.yaml"

// As documents name a way.
const char *hw_place_way(hw_way w);

// The document of call->argument[0], read before by hw_call_design, with the servos in the palm as
// `found` has them (those of the variant that was asked for), and the design that it says.
hw_exit hw_place_again(hw_call *call, const hw_hand *found, hw_text *document, hw_design **again);

// "{x: 1 mm, y: 2 mm, z: 3 mm}".
void hw_place_at(hw_buffer *b, hw_vec3 at);

// The thumb's base and its axis of opposition.
hw_exit hw_place_thumb(hw_call *call, const hw_design *d);

#endif
