// What the document says of the printer and of how parts are printed.
#include "hand/hand.h"

#include "print/print.h"

void hw_hand_print(const hw_design *d, hw_print_def *out)
{
    *out = hw_print_def_default();
    const struct {
        double *to;
        hw_entry_id row;
    } value[] = {
        {&out->layer, HW_E_PRINTER_LAYER},
        {&out->line, HW_E_PRINTER_LINE},
        {&out->gap, HW_E_PRINTER_GAP},
        {&out->overhang, HW_E_PRINTER_OVERHANG},
        {&out->bridge, HW_E_PRINTER_BRIDGE},
        {&out->spread, HW_E_PRINTER_SPREAD},
        {&out->bed[0], HW_E_PRINTER_BED_X},
        {&out->bed[1], HW_E_PRINTER_BED_Y},
        {&out->bed[2], HW_E_PRINTER_BED_Z},
        {&out->margin, HW_E_PRINTER_MARGIN},
        {&out->walls, HW_E_PRINTER_WALLS},
        {&out->infill, HW_E_PRINTER_INFILL},
        {&out->solid_layers, HW_E_PRINTER_SOLID_LAYERS},
        {&out->density, HW_E_FILAMENT_DENSITY},
        {&out->speed, HW_E_PRINTER_SPEED},
        {&out->layer_change, HW_E_PRINTER_LAYER_CHANGE},
        {&out->hop, HW_E_PRINTER_HOP},
        {&out->start, HW_E_PRINTER_START},
    };
    for (size_t i = 0; i < sizeof value / sizeof value[0]; i++)
        *value[i].to = hw_design_value(d, hw_entry_of(value[i].row, -1));
}
