// The document as a tree of nodes that know their bytes. Only tree.c knows the parser behind it.
#ifndef HW_DESIGN_TREE_H
#define HW_DESIGN_TREE_H

#include "base/arena.h"

#include <stdarg.h>

// Limits of a document; a design of five digits has about 10 KiB, 300 nodes and 5 levels.
enum {
    HW_DOCUMENT_BYTES = 1 << 20,
    HW_DOCUMENT_DEPTH = 24,
    HW_DOCUMENT_KEYS = 2000, // in one mapping or list
    HW_FAULTS_KEPT = 4096    // messages kept for sorting
};

typedef enum hw_node_kind { HW_NODE_NULL, HW_NODE_SCALAR, HW_NODE_LIST, HW_NODE_MAP } hw_node_kind;
typedef enum hw_node_style {
    HW_STYLE_PLAIN,
    HW_STYLE_SINGLE,
    HW_STYLE_DOUBLE,
    HW_STYLE_BLOCK
} hw_node_style;

typedef struct hw_node {
    hw_node_kind kind;
    hw_node_style style; // of a scalar
    bool flow;           // a collection in [ ] or { }
    bool skip;           // doubled or merged key, reported: as if it were not there
    bool bad;            // its value was reported: unusable, pass over it in silence
    hw_text text;        // a scalar's content, escapes resolved
    size_t begin, end;   // bytes in the document, quotes and brackets included; of a block
                         // collection up to its last node's end; of a block scalar its body
    hw_text key;         // in a mapping
    size_t key_begin, key_end;
    struct hw_node *parent, *first, *last, *next;
    size_t count; // of children
} hw_node;

// A text with its line starts, for places in messages.
typedef struct hw_source {
    const char *file;
    hw_text bytes;
    size_t *line; // byte at which each line starts
    size_t lines;
} hw_source;

// Messages of one reading, kept until the end so that they leave in the order of their places.
typedef struct hw_fault hw_fault;
typedef struct hw_faults {
    hw_arena *arena;
    hw_fault *first, *last;
    size_t kept, dropped; // all messages
    size_t wrong;         // those that are not notes
    bool no_memory;       // one of them says so
} hw_faults;

// Says where `offset` is: line and column from 1, columns in code points. offset SIZE_MAX: 0, 0.
void hw_source_place(const hw_source *s, size_t offset, int *line, int *column);

// One message. `s` may be NULL (no file) and offset SIZE_MAX (no place). Format takes what
// hw_buffer_format takes.
__attribute__((format(printf, 7, 8))) void hw_fault_add(hw_faults *f, hw_code code,
                                                        const hw_source *s, size_t offset,
                                                        hw_text found, hw_text expected,
                                                        const char *format, ...);
__attribute__((format(printf, 7, 0))) void hw_fault_add_list(hw_faults *f, hw_code code,
                                                             const hw_source *s, size_t offset,
                                                             hw_text found, hw_text expected,
                                                             const char *format, va_list list);
#define HW_FAULT(f, s, offset, found, expected, ...)                                               \
    hw_fault_add((f), HW_BAD_INPUT, (s), (offset), (found), (expected), __VA_ARGS__)

// Hands the messages over, sorted by file and place; those not kept are counted as dropped.
void hw_faults_hand_over(hw_faults *f, hw_diags *out);

// A terminated copy for %s, at most 60 bytes, cut at a code point; "" when memory is out.
const char *hw_shown(hw_faults *f, hw_text t);

// Line starts of a text. Check hw_arena_failed.
void hw_source_init(hw_source *s, hw_arena *a, const char *file, hw_text bytes);

// Parses YAML 1.2 into a tree. NULL: nothing to go on with (a fault, an empty document, or no
// memory: see hw_arena_failed and f->wrong). Test: test/design/test_tree.c
HW_MUST_USE hw_node *hw_tree_read(hw_arena *a, const hw_source *s, hw_faults *f);

// Place of a node for messages: its value, or its key where the value is empty.
size_t hw_node_place(const hw_node *n);

#endif
