// Single formulas by name, each with its source: what `handwright reckon` shows.
#ifndef HW_RECKON_H
#define HW_RECKON_H

#include "base/arena.h"
#include "base/units.h"
#include "base/vec.h"

enum { HW_RECKON_KEYS = 12, HW_RECKON_RESULTS = 12 };

typedef enum hw_reckon_kind {
    HW_RECKON_NUMBER,     // with its unit, bare where the dimension is none or the value 0
    HW_RECKON_RATIO,      // a length, or bare when all such keys of the row are bare
    HW_RECKON_DIFFERENCE, // of temperatures: 10 °C is 10 K
    HW_RECKON_CHOICE,     // one word of `choices`; its place in them, from 0, is the number
    HW_RECKON_GAUGE,      // a number, or zeros as wires are marked: 0000 is -3
    HW_RECKON_POINTS      // a list "x,z:x,z:..." in mm; ; spaces and brackets part them too
} hw_reckon_kind;

typedef struct hw_reckon_key {
    const char *name; // "stall_torque"
    hw_dim dim;
    const char *fallback; // default as text with its unit, NULL: must be given
    const char *sentence; // what it is, with its unit
    double low, high;     // allowed, both included, SI; NaN where open [SI]
    bool above;           // low itself is not allowed
    hw_reckon_kind kind;
    const char *choices; // "external|internal"
    const char *also;    // another unit that only this key has, NULL: none
    double also_scale;   // of that unit [SI]
} hw_reckon_key;

// What a formula is given: number[i] belongs to key i of its row.
typedef struct hw_reckon_given {
    double number[HW_RECKON_KEYS]; // [SI]
    const hw_vec2 *point;          // of the key that is a list of points [m]
    size_t points;
} hw_reckon_given;

typedef struct hw_reckon_result {
    char name[48]; // "open.output_angle"
    double value;  // NaN where `text` stands instead [SI]
    hw_dim dim;
    const char *text; // NULL, or a word instead of a number (the class of a four-bar, "unlimited")
    const char *unit; // unit to show it in, readable by hw_unit_read; "" for a plain number
} hw_reckon_result;

typedef struct hw_reckon_row {
    const char *name, *sentence, *source;
    const char *example; // "mu=0.08 wrap=180deg tension=20N"
    hw_reckon_key in[HW_RECKON_KEYS];
    size_t ins;
    // Writes up to `room` results. HW_BAD_INPUT or HW_NO_ASSEMBLY with a message: no answer exists
    // for these values (results that do exist are written all the same).
    hw_code (*run)(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                   hw_diags *diags);
} hw_reckon_row;

const hw_reckon_row *hw_reckon_rows(size_t *n);
const hw_reckon_row *hw_reckon_find(hw_text name); // NULL when there is none
// The name that is nearest to a wrong one, for messages; NULL when none is near. Test:
// test/reckon/test_reckon.c
const char *hw_reckon_nearest(hw_text name);

typedef struct hw_reckon_arg {
    hw_text key, value;
} hw_reckon_arg;

// Cuts "key=value" at its first '='; false when there is none or the key is empty. Test:
// test/reckon/test_reckon.c
bool hw_reckon_split(hw_text word, hw_reckon_arg *out);

// Reads the arguments (keys in any order, "20N", "20 N"), fills in defaults, runs the formula and
// writes up to `room` results. All faults of the arguments are reported in one pass: unknown,
// doubled and missing keys, numbers that are none, wrong dimensions, values out of range.
// HW_BAD_INPUT: there were faults, or no answer exists; HW_NO_ASSEMBLY: the mechanism does not
// close; HW_LIMIT: more results than `room`, or more than 4096 points; HW_NO_MEMORY. Test:
// test/reckon/test_reckon.c
HW_MUST_USE hw_code hw_reckon_eval(const hw_reckon_row *row, const hw_reckon_arg arg[], size_t args,
                                   hw_arena *arena, hw_reckon_result out[], size_t room, size_t *n,
                                   hw_diags *diags);

// The value in the result's own unit; NaN where it has a text. Test: test/reckon/test_reckon.c
double hw_reckon_shown(const hw_reckon_result *r); // [unit's]

#endif
