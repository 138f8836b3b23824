// A map of stress in a cut through a part, on a sheet: grey steps, contours with their numbers, the
// part's outline, the worst place.
#ifndef HW_DRAW_STRESS_H
#define HW_DRAW_STRESS_H

#include "base/vec.h"
#include "draw/draw.h"

typedef struct hw_stress_map {
    const char *name, *title; // of the sheet
    const char *design;       // for the sheet's head; NULL: none
    const char *remark;       // beside it; NULL: none
    const char *below;        // a paragraph under the picture; NULL: none
    size_t n[2];              // cells along x and z, 1 to 2000
    const double *value;      // x fastest; NaN where nothing is [Pa]
    const double *filled;     // share of each cell that the part fills [1]
    double edge;              // of a cell, > 0 [m]
    hw_vec2 low;              // corner of the first cell [m]
    hw_vec2 worst;            // the worst place [m]
    double most;              // the number there [Pa]
    double width;             // of the sheet, 60 to 600 [mm]
    double height_most;       // of the picture, 20 to 600 [mm]
} hw_stress_map;

// A step between contours: 1, 2 or 5 times a power of ten, so that there are 4 to 9 up to `most`
// (> 0, finite), any unit. Test: test/draw/test_stress.c
double hw_stress_step(double most); // [Pa]

// Draws the map on a new sheet; x to the right, z up. Between cells' middles values are
// interpolated. HW_BAD_INPUT: a number is out of its range, or no cell is at least half filled.
// HW_NO_MEMORY. Test: test/draw/test_stress.c
HW_MUST_USE hw_code hw_draw_stress(hw_arena *a, const hw_stress_map *map, hw_sheet **out);

#endif
