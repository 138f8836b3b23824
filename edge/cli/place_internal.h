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

// "name: 1.23 mm", to a hundredth.
void hw_place_length(hw_buffer *b, const char *name, double m); // [m]

// "{x: 1 mm, y: 2 mm, z: 3 mm}".
void hw_place_at(hw_buffer *b, hw_vec3 at);

// The thumb's base and its axis of opposition.
hw_exit hw_place_thumb(hw_call *call, const hw_design *d);

#endif
