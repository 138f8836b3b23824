// Result codes, borrowed text and the list of diagnostics that every room reports through.
#ifndef HW_BASE_STATUS_H
#define HW_BASE_STATUS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define HW_MUST_USE __attribute__((warn_unused_result))

// Text that somebody else owns; not terminated. {NULL, 0} is the empty text.
typedef struct hw_text {
    const char *at;
    size_t len;
} hw_text;

#define HW_TEXT(literal) ((hw_text){(literal), sizeof(literal) - 1})

// A code says whose fault it is; the words are in the diagnostics.
typedef enum hw_code {
    HW_OK = 0,
    HW_BAD_INPUT,     // the caller's document or arguments are wrong
    HW_NOT_FOUND,     // a name that does not exist
    HW_NO_ASSEMBLY,   // the mechanism cannot be put together at this pose
    HW_NOT_CONVERGED, // an iteration used up its bound; the best answer is in the outputs
    HW_LIMIT,         // a stated size limit was reached
    HW_NO_MEMORY,     // an arena or the system is out of memory
    HW_IO,            // a file, pipe or socket failed
    HW_CANCELLED,     // the job was told to stop; outputs hold the best so far
    HW_CODES
} hw_code;

// One message to the person who wrote the input. Lines and columns count from 1, columns in code
// points; 0 is "no place".
typedef struct hw_diag {
    hw_code code;
    const char *file; // borrowed; NULL where there is no file
    int line, column; // from 1
    char found[64], expected[64];
    char text[200]; // what is wrong, lower case, no full stop
} hw_diag;

// The caller's array of messages. It never grows: what does not fit is counted in `dropped`.
typedef struct hw_diags {
    hw_diag *item;
    size_t count, capacity, dropped;
} hw_diags;

// Where bytes go: a file, a socket, memory. write returns false when the bytes could not be taken;
// the writer then stops.
typedef struct hw_sink {
    bool (*write)(void *self, const void *bytes, size_t n);
    void *self;
} hw_sink;

// Adds one message, in order; counts it as dropped when the list is full. `d` may be NULL (the
// message is lost by choice). Test: test/base/test_status.c
void hw_diag_add(hw_diags *d, hw_diag one);

// Adds a message made from parts; texts that do not fit their field are cut at a code point. Any
// text may be empty. Test: test/base/test_status.c
void hw_diag_say(hw_diags *d, hw_code code, const char *file, int line, int column, hw_text found,
                 hw_text expected, hw_text text);

// A short name of a code, never NULL, also for values out of range. Test: test/base/test_status.c
const char *hw_code_text(hw_code c);

// Text of a terminated string; NULL gives the empty text. Test: test/base/test_status.c
hw_text hw_text_of(const char *terminated);
bool hw_text_same(hw_text a, hw_text b);

#endif
