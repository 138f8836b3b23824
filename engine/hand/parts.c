// What the document says of a digit's printed parts. Lands are the layers'.
#include "hand/hand_internal.h"

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

void hw_hand_parts(const hw_design *d, int digit, hw_parts_def *out)
{
    *out = hw_parts_def_default();
    out->digit = digit;
    out->face = (hw_bed_face)(int)get(d, HW_E_PRINT_FACE, digit);
    out->flexion = get(d, HW_E_PRINT_FLEXION, digit);
    out->gap = get(d, HW_E_PRINTER_GAP, -1);
    out->chamfer = get(d, HW_E_PARTS_CHAMFER, -1);
    for (int j = 0; j < HW_JOINTS; j++) out->kind[j] = hw_hand_pivot_kind(d, digit, j);
    out->land = get(d, HW_E_KEEP_LAND, digit);
    out->keeper_reach = get(d, HW_E_KEEP_REACH, digit);
    out->keeper_thickness = get(d, HW_E_KEEP_THICKNESS, digit);
    out->keeper_width = get(d, HW_E_KEEP_WIDTH, digit);
    out->cord = get(d, HW_E_OWN_CORD_DIAMETER, digit);
    out->fitted = true;
    hw_hand_fittings(d, digit, &out->fittings);
}
