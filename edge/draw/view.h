// Views of printed parts on a sheet: meshes seen from anywhere without perspective, in ink and grey
// on paper, whole or cut by a plane. Drawn by a depth buffer in software: the same bytes on every
// machine, no graphics hardware.
//
// What is cut is hatched, each part its own way; what lies behind is in grey; outlines,
// edges and contours are inked, cut outlines heaviest. Names stand above and below the picture with
// leaders to a spot where the part can be seen.
#ifndef HW_DRAW_VIEW_H
#define HW_DRAW_VIEW_H

#include "base/job.h"
#include "draw/draw.h"
#include "solid/solid.h"

enum { HW_VIEW_PARTS = 4096, HW_VIEW_HATCHES = 8 };

typedef struct hw_view_part {
    const char
        *name; // beside a leader where the part can be seen, one for all of a name; NULL: none
    const hw_mesh *mesh; // closed, outward winding
    bool turned;         // by 90 degrees about z, (x, y) to (-y, x), before it is shifted
    hw_vec3 shift;       // added to every corner [m]
    int hatch; // which hatching and shade, modulo HW_VIEW_HATCHES; neighbours should differ
} hw_view_part;

typedef struct hw_view_def {
    const char *name, *title; // of the sheet
    const char *design;       // for the sheet's head; NULL: none
    const char *remark;       // beside it; NULL: none
    hw_vec3 eye;              // from the parts toward the eye, longer than 0 [1]
    hw_vec3 up;               // what points up on the sheet, not along eye [1]
    bool cut;                 // by a plane; what lies on its normal's side is taken away
    hw_vec3 cut_normal;       // leaning toward the eye, longer than 0 [1]
    double cut_at;            // distance of the plane from the origin along its normal [m]
    double width;             // of the sheet, 60 to 600 [mm]
    double height_most;       // of the picture, 20 to 600 [mm]
    double scale_most;        // paper over part; 0: as large as the sheet takes [1]
} hw_view_def;

// Seen from above and from the little end, whole, on a sheet of 180 mm; no names.
hw_view_def hw_view_def_default(void);

// The scale that hw_draw_view takes, for pictures that are to be compared: their least is the
// scale_most of all. NaN where it refuses. [1]
double hw_draw_view_scale(const hw_view_def *def, const hw_view_part *part, size_t parts);

// Draws the parts on a new sheet in `keep`; `work` is rewound. Scale: the largest of a fixed list
// at which the picture fits; a scale bar lies along the picture of x, or of y where x is seen end
// on. A name is left out where nothing of its part can be seen, or where the row of names is full.
// HW_BAD_INPUT: a direction of no length, up along eye, a scale below 0, a cut plane that does not
// lean toward the eye, sizes out of range, a coordinate that is not finite, no triangle at all, or
// more than HW_VIEW_PARTS parts. HW_NO_MEMORY. HW_CANCELLED. Accuracy: a sixteenth of a millimetre
// of paper. Source: scan conversion with integer edge functions (Pineda 1988); caps of a cut by
// counting surfaces behind its plane. Test: test/draw/test_view.c
HW_MUST_USE hw_code hw_draw_view(hw_arena *keep, hw_arena *work, const hw_view_def *def,
                                 const hw_view_part *part, size_t parts, const hw_job *job,
                                 hw_sheet **out);

#endif
