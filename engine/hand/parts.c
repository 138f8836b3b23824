// What the document says of a digit's printed parts. Lands are the layers'.
#include "hand/hand.h"

void hw_hand_parts(const hw_design *d, int digit, hw_parts_def *out)
{
    *out = hw_parts_def_default();
    out->digit = digit;
    out->gap = hw_design_value(d, hw_entry_of(HW_E_PRINTER_GAP, -1));
    out->kind = HW_PIVOT_CONE;
    out->land = 0;
}
