// Single formulas by name, each with its source: what `handwright reckon` shows.
#ifndef HW_RECKON_H
#define HW_RECKON_H

#include "base/arena.h"
#include "base/units.h"

enum { HW_RECKON_KEYS = 12 };

typedef struct hw_reckon_key {
    const char *name; // "stall_torque"
    hw_dim dim;
    const char *fallback; // default as text with its unit, NULL: must be given
    const char *sentence; // what it is, with its unit
    double low, high;     // allowed, SI; NaN where open [SI]
} hw_reckon_key;

typedef struct hw_reckon_result {
    char name[48]; // "open.output_angle"
    double value;  // [SI]
    hw_dim dim;
    const char *text; // NULL, or a word instead of a number (the class of a four-bar)
    const char *unit; // unit to show it in
} hw_reckon_result;

typedef struct hw_reckon_row {
    const char *name, *sentence, *source;
    const char *example; // "mu=0.08 wrap=180deg tension=20N"
    hw_reckon_key in[HW_RECKON_KEYS];
    size_t ins;
    // Values in the order of `in`. Writes up to `room` results. HW_BAD_INPUT with a message: no
    // answer exists for these values.
    hw_code (*run)(const double in[], hw_reckon_result out[], size_t room, size_t *n,
                   hw_diags *diags); // [SI]
} hw_reckon_row;

const hw_reckon_row *hw_reckon_rows(size_t *n);
const hw_reckon_row *hw_reckon_find(hw_text name); // NULL when there is none

#endif
