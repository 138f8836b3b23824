// Shared by the files of this room only.
#ifndef HW_PARTS_LETTERING_INTERNAL_H
#define HW_PARTS_LETTERING_INTERNAL_H

#include "parts/blocks_internal.h"
#include "parts/lettering.h"

typedef struct hw_glyph {
    char c;
    int width;        // half units [1]
    const char *path; // polylines, parted by '|'; two digits a point; one point is a dot
} hw_glyph;

// Never NULL: the empty box for what has no shape.
const hw_glyph *hw_glyph_of(char c);

// Cuts a text into what a list holds (or puts it on), and declares where it is if it is engraved in
// a side; nothing where there is no text or no room for it (height <= 0).
void hw_letters_put(hw_blocks *b, const hw_lettering *l);

#endif
