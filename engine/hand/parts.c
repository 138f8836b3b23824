// What the document says of a digit's printed parts.
#include "hand/hand.h"

void hw_hand_parts(const hw_design *d, int digit, hw_parts_def *out)
{
    *out = hw_parts_def_default();
    out->digit = digit;
    out->gap = hw_design_value(d, hw_entry_of(HW_E_PRINTER_GAP, -1));
    out->kind = (hw_pivot_kind)(int)hw_design_value(d, hw_entry_of(HW_E_KEEP_KIND, digit));
    out->land = hw_design_value(d, hw_entry_of(HW_E_KEEP_LAND, digit));
}
