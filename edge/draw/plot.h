// Charts on a sheet: axes with ticks and units, lines told apart by weight and dashes and named at
// their ends.
#ifndef HW_DRAW_PLOT_H
#define HW_DRAW_PLOT_H

#include "draw/draw.h"

enum { HW_PLOT_LINES = 12 };

typedef struct hw_plot_axis {
    const char *name; // "knuckle MCP", with its unit: "knuckle MCP, °"
    double low, high; // of the values shown [unit's]
    double step;      // between ticks; 0: chosen [unit's]
} hw_plot_axis;

typedef struct hw_plot_line {
    const double *x, *y; // n values each; NaN lifts the pen [unit's]
    size_t n;
    const char *label; // written at the line's right end; NULL: none
    hw_pen pen;
} hw_plot_line;

typedef struct hw_plot {
    hw_box box; // all of the chart, its lettering too [mm]
    hw_plot_axis x, y;
    bool equal;          // same scale on both axes
    double label_room;   // kept free right of the frame for the lines' names [mm]
    hw_box frame;        // where the values are drawn; filled by hw_plot_begin [mm]
    hw_spot origin;      // of the values' zero on the sheet; filled [mm]
    double x_per, y_per; // filled [mm]
} hw_plot;

// A step of 1, 2 or 5 times a power of ten that cuts `span` into at most `most` parts. 1 for a span
// that is no positive number. Test: test/draw/test_plot.c
double hw_plot_step(double span, int most); // [unit's]

// Rounds limits outward to whole steps around the values of all lines (and around 0 when `zero`).
void hw_plot_range(hw_plot_axis *axis, const double *value, size_t n, bool zero); // [unit's]

// Draws frame, ticks, grid and names, and computes the scale.
void hw_plot_begin(hw_sheet *s, hw_plot *p);
hw_spot hw_plot_spot(const hw_plot *p, double x, double y); // [unit's]
// Room that the names at the lines' ends take right of the frame. [mm]
double hw_plot_label_room(const hw_plot_line *line, size_t n);
// Draws the lines, clipped to the frame, and names them at their ends, names spread apart.
void hw_plot_lines(hw_sheet *s, const hw_plot *p, const hw_plot_line *line, size_t n);

// A number as people read it, with at most `digits` significant digits and a true minus sign;
// "—" for NaN. Returns `out`.
const char *hw_plot_number(double value, int digits, char out[40]); // [1]
// With a fixed number of decimals.
const char *hw_plot_fixed(double value, int decimals, char out[40]); // [1]

#endif
