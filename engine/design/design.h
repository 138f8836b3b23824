// The design document: entry table, reader, expressions, variants, catalogues, byte-exact edits.
//
// A Design is immutable once read: a flat array of SI doubles, one per entry, with where each came
// from and the expression program that made it. Nothing downstream looks a name up: engine/hand
// reads entries by index. All functions may run in several threads, each with its own arena.
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
    const char *shared;     // a digit's row: the hand's entry that it repeats unless set, or NULL
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

// The table, in the order of hw_entry_id; *n is HW_E_ROWS. Test: test/design/test_entries.c
const hw_entry_row *hw_entry_rows(size_t *n);

// All entries, digits expanded: indices run from 0 to below it.
size_t hw_entry_count(void);

// Index of a row's entry. digit 0 to 4 for a row that every digit has, else -1 is returned; it is
// not looked at for the other rows. Test: test/design/test_entries.c
hw_entry hw_entry_of(hw_entry_id row, int digit);

// The row of an entry; *digit (may be NULL) gets 0 to 4, or -1 where the row has no digits. NULL
// when e is out of range. Test: test/design/test_entries.c
const hw_entry_row *hw_entry_row_of(hw_entry e, int *digit);

// Writes the whole path ("digits.index.width"), terminated; returns its length, 0 when e is out of
// range. Test: test/design/test_entries.c
size_t hw_entry_path(hw_entry e, char out[HW_PATH_TEXT]);

// The entry of a whole path; -1 when there is none. Test: test/design/test_entries.c
hw_entry hw_entry_find(hw_text path);

// The nearest valid path for a message, written to out: at most a quarter of the letters wrong, or
// the right last part in another place. Empty when nothing is near. Test:
// test/design/test_entries.c
hw_text hw_entry_nearest(hw_text path, char out[HW_PATH_TEXT]);

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
    size_t len;       // of it
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
    const char *file;                // for messages; may be NULL; must live as long as the design
    hw_text variant;                 // empty: none
    const hw_loader *loader;         // may be NULL
    const hw_requirable *requirable; // NULL: requirement ids are not checked
} hw_read_def;

// Reads a document: UTF-8, at most 1 MiB. All faults are reported in one pass, in the order of the
// text; what does not fit diags (may be NULL) is counted in diags->dropped. HW_BAD_INPUT: *out is
// NULL and diags says why. HW_NO_MEMORY: *out is NULL. An empty document is a design of defaults.
// Notes (older version, shadowed catalogue items) go to diags with HW_OK. The bytes and the arena
// must live as long as the design. Accuracy: a value is what its text says, rounded once for its
// number and once for each operation. Test: test/design/test_read.c, test_invalid.c,
// test_injector.c, fuzz/fuzz_design.c
HW_MUST_USE hw_code hw_design_read(hw_arena *a, hw_text bytes, const hw_read_def *def,
                                   hw_design **out, hw_diags *diags);

// Value of an entry; the index for a choice, 0 for texts and names; NaN when e is out of range.
// Never NaN for an entry of a design that was read.
double hw_design_value(const hw_design *d, hw_entry e); // [SI]

// Text of an HW_ENTRY_TEXT, _NAME or _CHOICE; empty for numbers.
hw_text hw_design_text(const hw_design *d, hw_entry e);

// Where a value is from. A catalogue's item counts as the default while nobody chose it.
hw_origin hw_design_origin(const hw_design *d, hw_entry e);

// "hand.yaml:12", a catalogue's item and its source, or the default's origin, in words; for the
// report. Test: test/design/test_read.c
hw_text hw_design_origin_text(const hw_design *d, hw_entry e);

// Line and column (code points) from 1 of an entry's value; false, 0 and 0: not in the document.
bool hw_design_place(const hw_design *d, hw_entry e, int *line, int *column);

// As given to the reader; may be NULL.
const char *hw_design_file(const hw_design *d);

// *out gets the requirements in the order of the document; returns how many.
size_t hw_design_requirements(const hw_design *d, const hw_requirement **out);

// *names gets the names of all variants in the order of the document; returns how many.
size_t hw_design_variants(const hw_design *d, const hw_text **names);

// A hash of all values, texts and requirements; not of comments, places and origins. Same bits on
// every machine where the values are. Not for security. Source: FNV-1a. Test:
// test/design/test_with.c
uint64_t hw_design_fingerprint(const hw_design *d);

typedef struct hw_override {
    hw_entry entry;
    double value; // [SI]
} hw_override;

// The same design with n entries set to other values; entries (and requirements) whose expressions
// use them follow. For levers, tuning: about 1 us. *out borrows from d, which must live as long.
// The entries must be numbers or counts; of an entry named twice the last value holds.
// HW_BAD_INPUT: a value out of its physical range, or something that follows it is; *out is NULL.
// HW_NO_MEMORY. Test: test/design/test_with.c
HW_MUST_USE hw_code hw_design_with(hw_arena *a, const hw_design *d, const hw_override *set,
                                   size_t n, hw_design **out);

// path: of an entry, `variants.NAME.` and an entry's path, or `requirements.ID.low` or `.high`.
// text: the new value as a person would write it, without quotes.
typedef struct hw_edit {
    hw_text path, text;
} hw_edit;

// Byte-exact edits, one after the other: each path's value is replaced by new text, everything else
// stays byte for byte. A path that the document does not have is added under its parent, in the
// parent's own form and indentation. The result is re-read: HW_BAD_INPUT (diags says why, *out is
// empty) when it does not say what was asked, or when the entry cannot have this value. *out lives
// in the arena (it is `bytes` when n is 0). HW_NO_MEMORY. Test: test/design/test_edit.c
HW_MUST_USE hw_code hw_design_edit(hw_arena *a, hw_text bytes, const char *file,
                                   const hw_edit *edit, size_t n, hw_text *out, hw_diags *diags);

// Evaluates one expression without entries ("1.8 kgf·cm / 6.5 mm"), for the command line's
// key=value. HW_BAD_INPUT: one message in diags (may be NULL), *value is NaN. HW_NO_MEMORY. Test:
// test/design/test_expr.c
HW_MUST_USE hw_code hw_expression_value(hw_text text, double *value, hw_dim *dim,
                                        hw_diags *diags); // [SI]

#endif
