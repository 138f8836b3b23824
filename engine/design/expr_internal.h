// Expressions: text to a small program, dimensions checked once, then run on the entries' values.
#ifndef HW_DESIGN_EXPR_H
#define HW_DESIGN_EXPR_H

#include "design/design.h"
#include "design/tree_internal.h"

enum { HW_EXPR_STACK = 32, HW_EXPR_BYTES = 1000 };

typedef enum hw_op_code {
    HW_OP_NUMBER,
    HW_OP_ENTRY,
    HW_OP_ADD,
    HW_OP_SUBTRACT,
    HW_OP_MULTIPLY,
    HW_OP_DIVIDE,
    HW_OP_NEGATE,
    HW_OP_FUNCTION // of expr_run.c's table
} hw_op_code;

typedef struct hw_op {
    uint8_t code, function, args;
    int16_t entry;
    double number; // [SI]
} hw_op;

typedef struct hw_program {
    const hw_op *op;
    size_t n;
} hw_program;

typedef struct hw_expr {
    hw_program program;
    hw_dim dim;
    bool zero;     // the number 0 without a unit: fits every dimension
    bool constant; // no entry is used
    bool plain;    // one number, nothing else
    double value;  // of a constant [SI]
} hw_expr;

// How dimensions of a function's arguments make its result's.
typedef enum hw_signature {
    HW_SIGN_SAME,   // all alike, the result too
    HW_SIGN_ROOT,   // the result's exponents are half
    HW_SIGN_CIRCLE, // angle to number
    HW_SIGN_ARC,    // number to angle
    HW_SIGN_ARC_OF_TWO,
    HW_SIGN_ROUND,    // as SAME; a single argument must be a plain number
    HW_SIGN_LENGTH_OF // plain numbers to a length
} hw_signature;

typedef struct hw_function {
    const char *name, *form; // form for messages: "clamp(x, low, high)"
    hw_signature signature;
    int least, most;                       // arguments
    double (*run)(const double *x, int n); // [SI]
} hw_function;

extern const hw_function hw_function_table[];
extern const size_t hw_function_count;

// Where an expression stands, for messages. offset: of its first byte in s when `exact`; else of
// the node that holds it.
typedef struct hw_expr_place {
    const hw_source *source;
    size_t offset;
    bool exact;
    int digit;    // what `*` in a path stands for; -1: `*` is no path
    bool entries; // may name entries
} hw_expr_place;

// Compiles a text. False: the fault is reported, or memory is out. Test: test/design/test_expr.c
HW_MUST_USE bool hw_expr_compile(hw_faults *f, const hw_expr_place *at, hw_text text, hw_expr *out);

// Runs a program on the values of the entries (NULL where it uses none). NaN or infinite where the
// arithmetic is. Test: test/design/test_expr.c
double hw_program_run(const hw_program *p, const double *value); // [SI]

// True where `got` can stand for `want`; else reports it for `what` with a hint.
bool hw_dim_fits(hw_faults *f, const hw_source *s, size_t offset, const hw_expr *got, hw_dim want,
                 const char *what);

#endif
