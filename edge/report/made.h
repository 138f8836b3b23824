// Reports of what was made: the sheet for the terminal, JSON, the listing that lies beside the
// files, and pictures.
#ifndef HW_REPORT_MADE_H
#define HW_REPORT_MADE_H

#include "base/text.h"
#include "draw/view.h"
#include "make/make.h"

// A file of the folder that make writes, for JSON and for the listing.
typedef struct hw_made_file {
    const char *name; // in the folder
    const char *kind; // "stl", "3mf", "glb", "dxf", "svg", "png", "text"
    const char *what; // for people: "index middle phalanx, as printed"
    int group;        // number in hw_made.group; -1: none
    int part;         // number in hw_made.part; -1: none
    int plate;        // number in hw_made.plate; -1: none
    size_t bytes;
} hw_made_file;

typedef struct hw_made_report {
    const hw_made *made;
    const char *variant; // as asked for; NULL: none
    const hw_made_file *file;
    size_t files;
} hw_made_report;

// The sheet for a terminal, `columns` wide: print findings as hw_report_text has them, then what
// was made and on which plates. HW_NO_MEMORY. Test: test/cli/test_make.c
HW_MUST_USE hw_code hw_report_made_text(const hw_made_report *r, int columns, hw_buffer *out);

// docs/schema/make.json. HW_NO_MEMORY. Test: test/cli/test_make.c
HW_MUST_USE hw_code hw_report_made_json(const hw_made_report *r, hw_buffer *out);

// The page that lies beside the files: how to print, what lies where, permitted exceptions, what to
// measure, cautions. Plain text, 80 columns. HW_NO_MEMORY. Test: test/cli/test_make.c
HW_MUST_USE hw_code hw_report_made_listing(const hw_made_report *r, hw_buffer *out);

// ---- pictures ---------------------------------------------------------------------------------

typedef enum hw_made_view_kind {
    HW_MADE_VIEW_ABOVE,  // shaded, as it lies on the bed
    HW_MADE_VIEW_BELOW,  // shaded, its bed face
    HW_MADE_VIEW_PIVOTS, // cut along the joints' axes
    HW_MADE_VIEW_SIDE_A, // cut along the digit, through bar A; without bars through its middle
    HW_MADE_VIEW_SIDE_B, // through bar B
    HW_MADE_VIEW_PLATE,  // shaded, all groups of a plate
    HW_MADE_VIEW_BACK,   // all bodies put together: the hand's back, then five more sides
    HW_MADE_VIEW_PALM,
    HW_MADE_VIEW_THUMB,
    HW_MADE_VIEW_LITTLE,
    HW_MADE_VIEW_TIPS,
    HW_MADE_VIEW_SKEW
} hw_made_view_kind;

typedef struct hw_made_view {
    hw_made_view_kind kind;
    int group; // number in hw_made.group, or -1
    int plate; // number in hw_made.plate, or -1
} hw_made_view;

enum { HW_MADE_VIEWS = 6 * HW_DIGITS + 2 * HW_COUPONS + 3 * HW_PALM_PARTS + 6 };

// All pictures of what was made; returns how many. Test: test/cli/test_make.c
size_t hw_report_made_views(const hw_made *m, hw_made_view out[HW_MADE_VIEWS]);

// One of them as a sheet in `keep`; its name serves for files: "index-pivots". `work` is rewound.
// Codes as hw_draw_view. Test: test/cli/test_make.c
HW_MUST_USE hw_code hw_report_made_view(hw_arena *keep, hw_arena *work, const hw_made *m,
                                        const hw_made_view *view, const hw_job *job,
                                        hw_sheet **out);

#endif
