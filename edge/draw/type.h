// The one place that knows the type library, for this room's files only.
#ifndef HW_DRAW_TYPE_H
#define HW_DRAW_TYPE_H

#include <pango/pangocairo.h>

#include "draw/draw.h"

// A laid-out line of type whose unit is the point; the caller unrefs it.
PangoLayout *hw_type_layout(hw_type type, const char *text);

#endif
