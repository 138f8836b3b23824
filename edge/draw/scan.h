// A scanned hand in plan and in a section along each digit, with a design's digits laid over it.
#ifndef HW_DRAW_SCAN_H
#define HW_DRAW_SCAN_H

#include "anatomy/scan.h"
#include "digit/digit.h"
#include "draw/draw.h"

typedef struct hw_scan_view {
    const char *name; // of the design; NULL: the scan alone
    const hw_scan *scan;
    const hw_float_mesh *mesh;             // that it was measured on
    const hw_digit *digit[HW_HAND_DIGITS]; // the design's, bent as scanned; NULL: none
} hw_scan_view;

// The sheet "scan", 180 mm wide: the plan at the knuckles' height and the planes of the sections;
// a section along each digit that has a knuckle, in the plane that it bends in. A left hand is
// drawn as its mirror, and says so. HW_NO_MEMORY, HW_CANCELLED; *out is then NULL. `work` is
// rewound. Test: test/draw/test_scan_sheet.c
HW_MUST_USE hw_code hw_draw_scan(hw_arena *a, hw_arena *work, const hw_scan_view *v,
                                 const hw_job *job, hw_sheet **out);

#endif
