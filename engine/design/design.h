// The design document: entry table, reader, expressions, variants, catalogues, byte-exact edits.
//
// A Design is immutable once read: a flat array of SI doubles, one per entry, with where each came
// from and the expression program that made it. Nothing downstream looks a name up: engine/hand
// reads entries by index.
#ifndef HW_DESIGN_H
#define HW_DESIGN_H

#include "base/arena.h"
#include "base/units.h"
#include "design/entries.h"

typedef enum hw_entry_type {
    HW_ENTRY_NUMBER, // with a dimension
    HW_ENTRY_COUNT,  // a whole number
    HW_ENTRY_CHOICE, // one of row->choices (texts separated by '|'); its value is the index
    HW_ENTRY_TEXT,   // free text; value is 0
    HW_ENTRY_NAME    // name of a catalogue's item, which gives the defaults of its sibling entries
} hw_entry_type;

// One row of the entry table. A path with `digits.*` stands for five entries, thumb to little.
typedef struct hw_entry_row {
    const char *path;
    const char *thumb_path; // the thumb's own name where its parts are named otherwise; NULL: path
    hw_entry_type type;
    hw_dim dim;
    double low, high; // physical range, inclusive, SI; NaN where open [SI]
    double step; // practical step of a lever, in SI, > 0 for numbers that may be turned; 0: not a
                 // lever [SI]
    const char *fallback; // default as document text (may be an expression; `*` in it stands for
                          // the same digit)
    const char
        *digit_fallback[5]; // where the default differs by digit, thumb to little; NULL: fallback
    const char *choices;    // "left|right", catalogue's name for HW_ENTRY_NAME, else NULL
    const char *origin;     // of the default: published source, or "common practice"
    const char *sentence;   // what it is, for help and reference
} hw_entry_row;

// Index of an entry's value. Rows without digits come first; hw_entry_of makes the index of a
// digit's row.
typedef int hw_entry;
enum { HW_PATH_TEXT = 96 }; // longest path with its terminator
enum { HW_DIGITS = 5 };     // thumb, index, middle, ring, little
extern const char *const hw_digit_name[HW_DIGITS];

const hw_entry_row *hw_entry_rows(size_t *n);
size_t hw_entry_count(void);                      // all entries, digits expanded
hw_entry hw_entry_of(hw_entry_id row, int digit); // digit -1 (or any) for a row without digits
const hw_entry_row *hw_entry_row_of(
    hw_entry e, int *digit); // NULL when out of range; digit -1 where it has none
size_t hw_entry_path(hw_entry e, char out[HW_PATH_TEXT]); // whole path, "digits.index.width"
hw_entry hw_entry_find(hw_text path); // -1 when there is none; accepts "digits.index.phalanges[0]"
                                      // style? no: names only
hw_text hw_entry_nearest(
    hw_text path,
    char out[HW_PATH_TEXT]); // nearest valid path for a message; empty when nothing is near

// All entries as a Markdown table (path, meaning, range, default, origin), in the table's order.
// Check hw_arena_failed of the buffer's arena. Test: test/design/test_reference.c
struct hw_buffer;
void hw_entries_reference(struct hw_buffer *b);

typedef enum hw_origin {
    HW_FROM_DEFAULT,
    HW_FROM_CATALOGUE,
    HW_FROM_DOCUMENT,
    HW_FROM_VARIANT,
    HW_FROM_OVERRIDE
} hw_origin;

typedef struct hw_requirement {
    char id[64];      // finding's id; `digits.*/x` was expanded
    double low, high; // NaN where not given [SI]
    int line, column;
} hw_requirement;

typedef struct hw_design hw_design;

// Files that the document names (catalogues) come through this; NULL read: such files are a fault.
typedef struct hw_loader {
    // HW_OK and the whole file in the arena, HW_NOT_FOUND or HW_IO otherwise.
    hw_code (*read)(void *self, hw_arena *a, const char *name, hw_text *out);
    void *self;
} hw_loader;

// What a requirement may name: so that the reader can check ids and dimensions without knowing the
// findings' rooms.
typedef struct hw_requirable {
    // Dimension of a finding id; false when there is no such finding. `nearest` (96 bytes) gets a
    // suggestion or "".
    bool (*look_up)(void *self, hw_text id, hw_dim *dim, char *nearest);
    void *self;
} hw_requirable;

typedef struct hw_read_def {
    const char *file;                // for messages
    hw_text variant;                 // empty: none
    const hw_loader *loader;         // may be NULL
    const hw_requirable *requirable; // NULL: requirement ids are not checked
} hw_read_def;

// Reads a document. All faults are reported in one pass. HW_BAD_INPUT: *out is NULL and diags says
// why. HW_NO_MEMORY. An empty document is a design of defaults. Notes (older version, shadowed
// catalogue items) go to diags with HW_OK. The bytes must live as long as the design. Test:
// test/design/
HW_MUST_USE hw_code hw_design_read(hw_arena *a, hw_text bytes, const hw_read_def *def,
                                   hw_design **out, hw_diags *diags);

double hw_design_value(const hw_design *d, hw_entry e); // [SI]
hw_text hw_design_text(const hw_design *d, hw_entry e); // HW_ENTRY_TEXT and _NAME, choices too
hw_origin hw_design_origin(const hw_design *d, hw_entry e);
// "DESIGN.yaml:12", a catalogue's item and its source, or the default's origin, in words; for the
// report.
hw_text hw_design_origin_text(const hw_design *d, hw_entry e);
bool hw_design_place(const hw_design *d, hw_entry e, int *line,
                     int *column); // false: not in the document
const char *hw_design_file(const hw_design *d);
size_t hw_design_requirements(const hw_design *d, const hw_requirement **out);
size_t hw_design_variants(const hw_design *d, const hw_text **names);
uint64_t hw_design_fingerprint(
    const hw_design *d); // of all values and texts; same bits on every machine

// The same design with some entries set to other SI values; entries whose expressions use them
// follow. The entries set must be numbers. HW_BAD_INPUT: a value out of its physical range or an
// expression that fails; *out NULL. For levers, tuning.
typedef struct hw_override {
    hw_entry entry;
    double value; // [SI]
} hw_override;
HW_MUST_USE hw_code hw_design_with(hw_arena *a, const hw_design *d, const hw_override *set,
                                   size_t n, hw_design **out);

// Byte-exact edits: each path's value is replaced by new text, everything else stays byte for byte.
// A path that the document does not have is added under its parent, in the parent's own
// indentation. The result is re-read: HW_BAD_INPUT (diags says why) when it does not say what was
// asked. Test: test/design/test_edit.c
typedef struct hw_edit {
    hw_text path, text;
} hw_edit;
HW_MUST_USE hw_code hw_design_edit(hw_arena *a, hw_text bytes, const char *file,
                                   const hw_edit *edit, size_t n, hw_text *out, hw_diags *diags);

// Evaluates one expression without entries ("1.8 kgf·cm / 6.5 mm"), for the command line's
// key=value. Test: test/design/test_expr.c
HW_MUST_USE hw_code hw_expression_value(hw_text text, double *value, hw_dim *dim,
                                        hw_diags *diags); // [SI]

#endif
