// Levers: which entry moves a margin most per practical step, and what value would hold.
#ifndef HW_TUNE_H
#define HW_TUNE_H

#include "assess/assess.h"

typedef struct hw_lever {
    hw_entry entry;
    double step;          // one practical step, with the sign that helps [SI]
    double gain;          // change of the finding's margin for that one step [SI of the finding]
    double gain_ratio;    // gain over the finding's scale [1]
    double steps_to_hold; // whole steps until the margin holds, as verified; 0 when it already
                          // does; infinity when none was found [1]
    double suggested;     // the entry's value after steps_to_hold; NaN when none was found [SI]
    bool verified;        // assessed again at `suggested`: the finding holds there
    int spoiled;          // findings of the digits assessed that held and do not at `suggested`
} hw_lever;

// How each lever entry moves each finding: margins after one step up and one down, by assessing
// again. Sheaths of a hand that lacks nothing keep their ways meanwhile; a value that is suggested
// is verified with its own.
typedef struct hw_lever_table {
    const hw_assessment *base;
    size_t entries;
    const hw_entry *entry;
    const double *step;      // practical step of each entry [SI]
    const double *up, *down; // change of margin, [entries * base->findings], NaN where unknown [SI
                             // of the finding]
} hw_lever_table;

// Fills the table for the digits that `wanted` names (NULL: all). A step that the entry's range or
// the reader's expressions refuse counts as unknown. HW_NO_MEMORY, HW_CANCELLED. Test:
// test/tune/test_levers.c
HW_MUST_USE hw_code hw_lever_table_fill(hw_arena *a, const hw_assessment *base,
                                        const bool wanted[HW_DIGITS], const hw_job *job,
                                        hw_lever_table *out);

// The entries that raise finding number `finding` most per step, best first, into at most `room`
// levers; *n how many. The first few are followed to a value that holds, and that is verified by
// assessing again. HW_NO_MEMORY, HW_CANCELLED. An unknown finding has no levers. Test:
// test/tune/test_levers.c
HW_MUST_USE hw_code hw_levers_of(hw_arena *a, const hw_lever_table *table, size_t finding,
                                 const hw_job *job, hw_lever out[], size_t room, size_t *n);

#endif
