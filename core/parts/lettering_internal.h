// Shared by the files of this room only.
#ifndef HW_PARTS_LETTERING_INTERNAL_H
#define HW_PARTS_LETTERING_INTERNAL_H

#include "parts/lettering.h"

typedef struct hw_glyph {
    char c;
    int width;        // half units [1]
    const char *path; // polylines, parted by '|'; two digits a point; one point is a dot
} hw_glyph;

// Never NULL: the empty box for what has no shape.
const hw_glyph *hw_glyph_of(char c);

#endif
