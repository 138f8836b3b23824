// Pieces of byte-exact editing.
#ifndef HW_DESIGN_EDIT_H
#define HW_DESIGN_EDIT_H

#include "base/text.h"
#include "design/design_internal.h"

enum { HW_EDIT_PARTS = 8 };

// Where a path leads in a document.
typedef struct hw_spot {
    const hw_node *found;        // its value, or NULL
    const hw_node *parent;       // else the deepest group on the way (NULL: the empty document)
    hw_text part[HW_EDIT_PARTS]; // and the keys that are missing below it
    size_t parts;
    hw_entry entry; // -1: a limit of a requirement
    bool blocked;   // something on the way is not a group
} hw_spot;

// Finds a path. False: the document can have no such path (reported).
HW_MUST_USE bool hw_spot_find(hw_faults *f, const hw_node *root, hw_text path, hw_spot *out);

// The text as a YAML scalar in the place and style of an old one. False: it cannot be written
// (reported).
HW_MUST_USE bool hw_scalar_write(hw_faults *f, hw_buffer *b, hw_text text, hw_node_style style,
                                 bool flow);

// True where the tree `after` says the same as `before`, but for the edit.
bool hw_tree_says(const hw_node *before, const hw_node *after, const hw_spot *spot, hw_text text);

#endif
