// Shared by the files of this room only.
#ifndef HW_DESIGN_INTERNAL_H
#define HW_DESIGN_INTERNAL_H

#include "design/design.h"
#include "design/expr_internal.h"
#include "design/tree_internal.h"

enum { HW_DOCUMENT_VERSION = 1 };

extern const hw_entry_row hw_entry_table[HW_E_ROWS];

// What one document, variant, catalogue or the table itself says about one entry.
typedef enum hw_slot_state { HW_SLOT_UNSET, HW_SLOT_SET, HW_SLOT_BAD } hw_slot_state;
typedef struct hw_slot {
    hw_slot_state state;
    const hw_node *node; // NULL for a default
    const hw_source *source;
    hw_expr expr; // numbers and counts
    hw_text text; // texts, names, choices
    int choice;
    hw_origin origin;
    const struct hw_item *item; // that gave it, or NULL
} hw_slot;

typedef struct hw_item_value {
    hw_entry entry;
    hw_slot slot;
} hw_item_value;

// An item of a catalogue: one mapping under "printers:" and so on.
typedef struct hw_item {
    const char *catalogue;
    hw_text name, origin; // origin: the item's own source, or "common practice"
    const hw_item_value *value;
    size_t values;
    bool shipped;
    struct hw_item *next; // newest first, so that a user's item is found before a shipped one
} hw_item;

// A requirement as written, before `digits.*` is expanded.
typedef struct hw_limit {
    hw_text id;
    const hw_node *node;
    hw_expr expr[2]; // low, high
    bool given[2];
    struct hw_limit *next;
} hw_limit;

// Everything of one reading.
typedef struct hw_reader {
    hw_arena *arena;
    const hw_read_def *def;
    hw_faults faults;
    hw_source source;
    hw_slot *document, *variant, *spare, *final; // one of each entry
    hw_item *items;
    hw_limit *limits, *last_limit;
    size_t limit_count;
    hw_text *variant_name;
    size_t variants;
    bool chosen; // the wanted variant was found
} hw_reader;

// How a requirement's limits are made from entries; kept so that they follow overrides.
typedef struct hw_limit_program {
    size_t requirement;
    bool high;
    hw_program program;
} hw_limit_program;

// What does not change between a design and those made from it by overrides.
typedef struct hw_design_base {
    const char *file;
    size_t entries;
    hw_text *text, *origin_text;
    hw_origin *origin;
    int *line, *column;
    hw_program *program; // n == 0: the value is a constant
    hw_entry *order;     // entries with a program, each after those that it uses
    size_t ordered;
    size_t requirements;
    hw_limit_program *limit;
    size_t limits;
    hw_text *variant;
    size_t variants;
} hw_design_base;

struct hw_design {
    const hw_design_base *base;
    double *value;    // [SI]
    bool *overridden; // NULL: none
    hw_requirement *requirement;
};

// schema.c: puts what the nodes under a path say into slots.
void hw_schema_map(hw_reader *r, const hw_source *s, hw_slot *slot, const char *prefix,
                   const hw_node *map);
// One value for one entry.
void hw_slot_fill(hw_reader *r, const hw_source *s, hw_slot *slot, hw_entry e, const hw_node *node);
// A default from the table's text.
void hw_slot_default(hw_reader *r, hw_slot *slot, hw_entry e);
// True where some entry's path begins with `path` and a dot.
bool hw_is_section(const char *path);
// Next parts of the paths below a section, in the table's order, each once. At most `room`.
size_t hw_section_parts(const char *path, hw_text part[], size_t room);
// The list forms: true where a list of `n` stands for the section's parts in order.
bool hw_section_is_list(const char *path, size_t *n);
// The nearest of some names for a message; empty when none is near.
hw_text hw_nearest_of(hw_text name, const hw_text of[], size_t n);
// Where an expression in a scalar stands.
hw_expr_place hw_place_of(const hw_source *s, const hw_node *n, bool entries);

// sections.c: the document's sections that are not entries.
void hw_read_sections(hw_reader *r, const hw_node *root);
bool hw_is_extra_key(hw_text key);
extern const char *const hw_extra_key[4];

// catalogue.c
void hw_catalogue_shipped(hw_reader *r);
void hw_catalogue_user(hw_reader *r, const hw_node *files);
// Is there an item of this name? Reported where not; all names pass where no catalogue was read.
bool hw_catalogue_has(hw_reader *r, hw_entry naming, const hw_slot *named);
// Defaults of the siblings of named items, into slots that are unset.
void hw_catalogue_fill(hw_reader *r);

// evaluate.c
// Sorts the entries that have programs so that each comes after those it uses; cycles are faults,
// and poison what they touch. False: no memory.
bool hw_order_entries(hw_reader *r, hw_design_base *base, bool *poisoned);
// Runs the programs in that order; values that cannot stand are faults.
void hw_evaluate(hw_reader *r, const hw_design_base *base, double *value, bool *poisoned); // [SI]
// Does it use a value whose fault has been reported?
bool hw_uses_poison(const hw_program *p, const bool *poisoned);
// Where to point for an entry's fault: itself, or the first entry of the document that it uses.
const hw_slot *hw_blame(const hw_reader *r, hw_entry e, int depth);
// Why a value cannot stand, or NULL. Writes what was found and what is expected.
const char *hw_value_fault(const hw_entry_row *row, double value, char found[64],
                           char expected[64]); // [SI]
// Pairs that must rise from open to closed: the `which`-th pair of a digit; false behind the last.
bool hw_rising_pair(int digit, size_t which, hw_entry *open, hw_entry *closed);

// relations.c: pairs of values that must stand in order (a cord is thinner than its sheath's bore).
void hw_check_relations(hw_reader *r, const double *value, const bool *poisoned); // [SI]
bool hw_relations_hold(const double *value);                                      // [SI]

// Number with its usual unit, for messages; at most 64 bytes with the terminator.
size_t hw_quantity_text(double si, hw_dim dim, char out[64]); // [SI]

#endif
