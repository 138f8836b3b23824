// Inside of the sheet, for this room's files only.
#ifndef HW_DRAW_SHEET_H
#define HW_DRAW_SHEET_H

#include "base/vec.h"
#include "draw/draw.h"

#define HW_PT (25.4 / 72.0) // one point [mm]

typedef enum hw_item_kind {
    HW_ITEM_PATH,
    HW_ITEM_TEXT,
    HW_ITEM_IMAGE,
    HW_ITEM_GROUP,
    HW_ITEM_GROUP_END,
    HW_ITEM_CLIP,
    HW_ITEM_CLIP_END
} hw_item_kind;

typedef struct hw_segment {
    hw_spot a, b; // [mm]
} hw_segment;

typedef struct hw_item {
    hw_item_kind kind;
    struct hw_item *next;
    hw_box clip; // that holds for this item [mm]
    // path
    hw_path path;
    hw_ink fill;
    hw_pen pen;
    bool hatching;
    hw_segment *segment; // the path flattened
    size_t segments;
    // text and group
    const char *text;
    hw_type type;
    hw_spot at;   // baseline's start, whatever the anchor was [mm]
    double width; // of the text [mm]
    // image
    hw_box box; // [mm]
    size_t columns, rows;
    const uint8_t *ink; // share of black ink, 0 to 255
} hw_item;

struct hw_sheet {
    hw_arena *arena;
    const char *name, *title;
    double width, height; // [mm]
    hw_item *first, *last;
    hw_box clip[8]; // stack of clips, [0] the sheet itself
    int clips;
};

hw_item *hw_sheet_item(hw_sheet *s, hw_item_kind kind); // appended; NULL when out of memory
// Flattens a path to chords that leave its arcs by at most 0.05 mm; n gets the count.
hw_segment *hw_path_flatten(hw_arena *a, const hw_path *p, bool close_all, size_t *n);
// The four corners of a text item's box, grown by `margin` (may be negative). [mm]
void hw_item_corners(const hw_item *t, double margin, hw_spot corner[4]);
// The part of a segment inside a box, false when there is none.
bool hw_segment_clip(hw_segment *s, hw_box b);
// True when a segment meets the convex quadrilateral.
bool hw_segment_meets(hw_segment s, const hw_spot corner[4]);
bool hw_quads_meet(const hw_spot a[4], const hw_spot b[4]);
// An image item as a PNG of its own. HW_IO, HW_NO_MEMORY.
HW_MUST_USE hw_code hw_item_png(const hw_item *image, hw_sink out);
// Length of each dash and gap in `out`, returns how many; 0 for a full line. [mm]
int hw_dash_lengths(hw_pen pen, double out[4]);

#endif
