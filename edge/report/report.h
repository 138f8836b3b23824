// Reports of an assessment: a sheet for the terminal, one self-contained HTML file, JSON; and all
// drawings of a hand.
//
// All writers append to a buffer; they fail only by running out of memory (HW_NO_MEMORY, the
// buffer's arena has failed). The same assessment gives the same bytes.
#ifndef HW_REPORT_H
#define HW_REPORT_H

#include "base/text.h"
#include "draw/drawings.h"
#include "tune/tune.h"

enum { HW_REPORT_LEVERS = 3, HW_REPORT_SHEETS = 2 + HW_DIGITS * HW_DRAWINGS };

// Levers of one finding, best first.
typedef struct hw_report_levers {
    size_t n; // 0 to HW_REPORT_LEVERS
    hw_lever lever[HW_REPORT_LEVERS];
} hw_report_levers;

typedef struct hw_report {
    const hw_assessment *assessment;
    const hw_report_levers *levers; // assessment->findings of them, or NULL: no lever lines
    const char *variant;            // as asked for; NULL: none
} hw_report;

// What a person calls the design: its name entry, else the file's name, else "this design". In the
// arena.
const char *hw_report_name(hw_arena *a, const hw_design *d);

// The verdict sheet for a terminal, `columns` wide (60 to 200, others are moved into that range).
// First the answer in a sentence, then what falls short with its lever line, what is unknown, what
// holds; digits that say the same share a line. Test: test/report/test_text.c
HW_MUST_USE hw_code hw_report_text(const hw_report *r, int columns, hw_buffer *out);

// One HTML file that needs no network and no script and prints on A4. Test:
// test/report/test_html.c
HW_MUST_USE hw_code hw_report_html(const hw_report *r, hw_buffer *out);

// docs/schema/assess.json. Test: test/report/test_json.c
HW_MUST_USE hw_code hw_report_json(const hw_report *r, hw_buffer *out);

// docs/schema/stroke.json: a digit's stroke, poses that do not assemble as null elements, what its
// family does not have as null. `design` may be NULL. Test: test/report/test_json.c
HW_MUST_USE hw_code hw_report_stroke_json(const char *design, const char *digit, const hw_digit *d,
                                          const hw_stroke *s, hw_buffer *out);

// docs/schema/reckon.json: a formula's results, by name. Test: test/report/test_json.c
typedef struct hw_report_result {
    const char *name;
    double value;     // in the unit; NaN gives null [unit's]
    const char *unit; // "" for a plain number
    const char *text; // a word instead of the number, or NULL
} hw_report_result;
HW_MUST_USE hw_code hw_report_reckon_json(const char *name, const char *source,
                                          const hw_report_result result[], size_t n,
                                          hw_buffer *out);

// The palm over a person's hand; NULL where its numbers are faulty.
HW_MUST_USE hw_sheet *hw_report_palm(hw_arena *a, const hw_assessment *s, const char *design);

// Everything that drawings need of one digit; `design` as of hw_report_name. False: the digit is
// not present or its numbers are at fault.
bool hw_report_view(const hw_assessment *s, int digit, const char *design, hw_digit_view *out);

// All drawings of the hand in the order of the report, all digits first; returns how many (at most
// HW_REPORT_SHEETS). Drawings that a digit cannot have are left out. HW_NO_MEMORY shows in the
// arena.
size_t hw_report_sheets(hw_arena *a, const hw_assessment *s, hw_sheet *out[HW_REPORT_SHEETS]);

#endif
