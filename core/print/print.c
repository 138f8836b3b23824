// Names, defaults and values of print findings.
#include "print/print.h"

#include <math.h>

hw_print_def hw_print_def_default(void)
{
    const double mm = 1e-3, deg = HW_PI / 180;
    return (hw_print_def){.layer = 0.2 * mm,
                          .line = 0.42 * mm,
                          .gap = 0.25 * mm,
                          .overhang = 45 * deg,
                          .facet = 1 * deg,
                          .bridge = 10 * mm,
                          .crown = 4 * mm,
                          .jut = 2 * mm,
                          .spread = 0.15 * mm,
                          .bed = {180 * mm, 180 * mm, 180 * mm},
                          .margin = 4 * mm,
                          .walls = 4,
                          .infill = 0.3,
                          .solid_layers = 4,
                          .density = 1240,
                          .speed = 40 * mm,
                          .layer_change = 2,
                          .hop = 0.4,
                          .start = 300};
}

const char *hw_print_id(hw_print_quantity q)
{
    static const char *const id[HW_PRINT_QUANTITIES] = {
        [HW_PRINT_ISLANDS] = "print_islands",
        [HW_PRINT_OVERHANG] = "print_overhang",
        [HW_PRINT_EXCEPTIONS] = "print_exceptions",
        [HW_PRINT_BRIDGE] = "print_bridge",
        [HW_PRINT_GAP] = "print_gap",
        [HW_PRINT_STEP_GAP] = "print_step_gap",
        [HW_PRINT_FIRST] = "print_first_layer",
        [HW_PRINT_WALL] = "print_wall",
        [HW_PRINT_PIECES] = "print_pieces",
        [HW_PRINT_BED] = "bed_fit",
        [HW_PRINT_MASS] = "print_mass",
        [HW_PRINT_TIME] = "print_time",
    };
    return (unsigned)q < HW_PRINT_QUANTITIES ? id[q] : "none";
}

const char *hw_allowance_text(hw_allowance_kind kind)
{
    switch (kind) {
    case HW_ALLOW_CROWN:
        return "crown";
    case HW_ALLOW_BRIDGE:
        return "bridge";
    case HW_ALLOW_CUTOUT:
        return "cut-out";
    case HW_ALLOWANCES:
        break;
    }
    return "none";
}

double hw_print_time(const hw_print_def *def, double length, size_t layers, size_t outlines)
{
    return def->start + length / def->speed + (double)layers * def->layer_change +
           (double)outlines * def->hop;
}
