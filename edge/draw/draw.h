// Sheets: a drawing as a display list in millimetres of paper, built once and written as SVG, PNG
// or PDF.
//
// Coordinates run from the sheet's top left corner, x to the right, y down. Angles turn from +x
// toward +y, that is clockwise as seen. A sheet lives in an arena; running out of memory is sticky
// there (hw_arena_failed), and every function here does nothing then.
#ifndef HW_DRAW_H
#define HW_DRAW_H

#include "base/arena.h"

typedef struct hw_spot {
    double x, y; // on the sheet [mm]
} hw_spot;

typedef struct hw_box {
    double x, y, w, h; // top left corner, width and height [mm]
} hw_box;

// The few colours there are: paper, ink, ink thinned for what stands behind, a wash for cut faces
// that are too small to hatch, one accent. Meaning is carried by weight, dashes, hatching and the
// number itself, so that a black-and-white print says the same.
typedef enum hw_ink {
    HW_INK_NONE,
    HW_INK_PAPER,
    HW_INK_WASH,
    HW_INK_SOFT,
    HW_INK_BLACK,
    HW_INK_ACCENT,
    HW_INKS
} hw_ink;

// A colour as "#rrggbb"; NULL for HW_INK_NONE and values out of range.
const char *hw_ink_colour(hw_ink ink);

typedef enum hw_dash {
    HW_DASH_NONE,
    HW_DASH_LONG,
    HW_DASH_SHORT,
    HW_DASH_CHAIN,
    HW_DASHES
} hw_dash;

typedef struct hw_pen {
    double width; // of the line; 0: no line [mm]
    hw_ink ink;
    hw_dash dash;
} hw_pen;

// Line weights of technical drawing. Source: ISO 128-2:2020, line widths in steps of root two (from
// memory).
#define HW_WEIGHT_HAIR  0.13 // [mm]
#define HW_WEIGHT_THIN  0.18 // [mm]
#define HW_WEIGHT_PLAIN 0.25 // [mm]
#define HW_WEIGHT_HEAVY 0.5  // [mm]

static inline hw_pen hw_pen_of(double width, hw_ink ink) // [mm]
{
    return (hw_pen){width, ink, HW_DASH_NONE};
}

// ---- paths ------------------------------------------------------------------------------------
typedef enum hw_step_kind { HW_STEP_MOVE, HW_STEP_LINE, HW_STEP_ARC, HW_STEP_CLOSE } hw_step_kind;

typedef struct hw_step {
    hw_step_kind kind;
    hw_spot at;      // end of a move or a line, centre of an arc [mm]
    double radius;   // of an arc [mm]
    double from, to; // of an arc; to < from runs backwards [rad]
} hw_step;

typedef struct hw_path {
    hw_arena *arena;
    hw_step *step;
    size_t n, capacity;
} hw_path;

typedef struct hw_round {
    hw_spot at;    // [mm]
    double radius; // >= 0 [mm]
} hw_round;

hw_path hw_path_new(hw_arena *a);
void hw_path_move(hw_path *p, double x, double y); // [mm]
void hw_path_line(hw_path *p, double x, double y); // [mm]
// An arc; a line joins it to what stands before it in the same figure. [mm] [rad]
void hw_path_arc(hw_path *p, hw_spot centre, double radius, double from, double to);
void hw_path_close(hw_path *p);
void hw_path_circle(hw_path *p, hw_spot centre, double radius); // [mm]
void hw_path_box(hw_path *p, hw_box box);
// The outline of the convex hull of n discs (at most 32 are used), as arcs and lines. Source:
// upper envelope of the discs' support functions. Test: test/draw/test_sheet.c
void hw_path_hull(hw_path *p, const hw_round *disc, size_t n);
// Points of a polyline; a point with a NaN lifts the pen.
void hw_path_points(hw_path *p, const hw_spot *at, size_t n);

// ---- the sheet --------------------------------------------------------------------------------
typedef struct hw_sheet hw_sheet;

// A blank sheet. `name` is a short id of letters, digits and '-' (unique within a page that shows
// several sheets), `title` its title for metadata and for readers who cannot see it; both are
// copied. NULL when out of memory. [mm]
HW_MUST_USE hw_sheet *hw_sheet_new(hw_arena *a, double width, double height, const char *name,
                                   const char *title);
hw_box hw_sheet_box(const hw_sheet *s);
const char *hw_sheet_name(const hw_sheet *s);
const char *hw_sheet_title(const hw_sheet *s);

// Draws a path: filled (HW_INK_NONE: not), then its line. The path is copied.
void hw_sheet_path(hw_sheet *s, const hw_path *p, hw_ink fill, hw_pen pen);
// Hatches the inside of a path (even-odd) with lines at `angle`, `spacing` apart. [rad] [mm]
void hw_sheet_hatch(hw_sheet *s, const hw_path *p, double angle, double spacing, hw_pen pen);
void hw_sheet_line(hw_sheet *s, hw_spot a, hw_spot b, hw_pen pen);
void hw_sheet_polyline(hw_sheet *s, const hw_spot *at, size_t n, hw_pen pen);
// A solid arrow head with its point at `tip`, pointing along `angle`. [rad] [mm]
void hw_sheet_arrow(hw_sheet *s, hw_spot tip, double angle, double length, hw_ink ink);

// A picture in ink on paper: w * h shares of black ink (0 paper, 255 ink), row by row from the top
// left, stretched over the box. The shares are not copied: they must live as long as the sheet.
void hw_sheet_image(hw_sheet *s, hw_box box, size_t w, size_t h, const uint8_t *ink);

// What follows belongs together until the matching end; `name` is for readers of the SVG.
void hw_sheet_group(hw_sheet *s, const char *name);
void hw_sheet_group_end(hw_sheet *s);
// What follows is drawn inside the box only, until the matching end. Nested clips intersect.
void hw_sheet_clip(hw_sheet *s, hw_box box);
void hw_sheet_clip_end(hw_sheet *s);

// ---- type -------------------------------------------------------------------------------------
typedef enum hw_anchor { HW_ANCHOR_START, HW_ANCHOR_MIDDLE, HW_ANCHOR_END } hw_anchor;

typedef struct hw_type {
    double size; // [pt]
    bool bold, oblique;
    bool mask; // lay paper under it first, so that what was drawn before does not cross it
    hw_ink ink;
    hw_anchor anchor;
    double angle; // of the baseline, clockwise; -HW_PI / 2 reads upwards [rad]
} hw_type;

// Smallest type that stays readable in print [pt].
#define HW_TYPE_LEAST 7.0

hw_type hw_type_of(double size, hw_anchor anchor); // plain black type [pt]

// Width of a line of type, from the font's own metrics (DejaVu Sans Condensed). [mm] Test:
// test/draw/test_sheet.c
double hw_type_width(hw_type type, const char *text);
// Height of a capital letter. [mm]
double hw_type_cap(hw_type type);

// One line of UTF-8 text with its baseline's anchor at (x, y). The text is copied; bytes that are
// not UTF-8 become '?'. [mm]
void hw_sheet_text(hw_sheet *s, double x, double y, hw_type type, const char *text);

// Places a label near a spot so that it crosses no other label, stays on the sheet and crosses as
// few lines as can be; beyond a little distance it gets a leader line. `reach` is how far it may
// go. The type's anchor and angle are not used. [mm]
void hw_sheet_label(hw_sheet *s, hw_spot near, double reach, hw_type type, const char *text);

// A dimension between two spots: extension lines, arrows, the text on the line (or beside it when
// the line is short). `offset` moves the dimension line square to a->b, positive to the left of
// the way from a to b as seen. [mm]
void hw_sheet_dimension(hw_sheet *s, hw_spot a, hw_spot b, double offset, const char *text);

// Breaks text into lines of at most `width`, leading `leading`; returns the y below the last line.
// [mm]
double hw_sheet_paragraph(hw_sheet *s, double x, double y, double width, double leading,
                          hw_type type, const char *text);

// ---- checks -----------------------------------------------------------------------------------
typedef enum hw_sheet_fault_kind {
    HW_FAULT_OVERLAP, // two labels cross
    HW_FAULT_OUTSIDE, // a label leaves the sheet or its clip
    HW_FAULT_SMALL,   // type below HW_TYPE_LEAST
    HW_FAULT_STRUCK,  // a line that is no hatching runs through a label
    HW_FAULT_COVERED, // a later fill hides a label
    HW_FAULT_CUT      // the paper under a label hides part of an outline (0.3 mm and more)
} hw_sheet_fault_kind;

typedef struct hw_sheet_fault {
    hw_sheet_fault_kind kind;
    const char *text, *other; // the label, and the other one of an overlap (else NULL)
    hw_spot at;               // where [mm]
} hw_sheet_fault;

// Finds faults of lettering; writes up to `room`, returns how many there are. Test:
// test/draw/test_sheet.c
size_t hw_sheet_check(const hw_sheet *s, hw_sheet_fault out[], size_t room);
const char *hw_sheet_fault_text(hw_sheet_fault_kind k); // never NULL

// ---- writers ----------------------------------------------------------------------------------
// All give the same bytes for the same sheet, in every run. HW_IO: the sink refused; HW_NO_MEMORY;
// HW_BAD_INPUT: resolution out of 10 to 2400 dpi.

// Paper left free round a sheet that stands alone (PNG, PDF, SVG file): the written size is larger
// by twice this each way [mm].
#define HW_SHEET_MARGIN 8.0

// SVG with real text. `inlined`: an element for an HTML page, without the XML head and without the
// margin; its ids carry the sheet's name.
HW_MUST_USE hw_code hw_sheet_svg(const hw_sheet *s, bool inlined, hw_sink out);
HW_MUST_USE hw_code hw_sheet_png(const hw_sheet *s, double dpi, hw_sink out); // [dpi]
// One page a sheet, n >= 1, text selectable, creation date fixed.
HW_MUST_USE hw_code hw_sheet_pdf(const hw_sheet *const *s, size_t n, hw_sink out);

#endif
