// The drawings of a digit and of a hand. Each is a sheet of its own, 180 mm wide (or 88 mm, two
// side by side), so that it prints on A4 at its stated scale.
#ifndef HW_DRAW_DRAWINGS_H
#define HW_DRAW_DRAWINGS_H

#include "anatomy/anatomy.h"
#include "draw/draw.h"
#include "palm/palm.h"
#include "stack/stack.h"
#include "stroke/chart.h"

// What a drawing needs of one digit. Borrowed for the call only.
typedef struct hw_digit_view {
    const char *design; // the design's name, for the sheet's head; NULL: none
    const char *name;   // the digit's: "index"
    const hw_digit *digit;
    const hw_stroke *stroke;   // at least two poses
    const hw_closing *closing; // NULL: its numbers are left out
    const hw_wrap_chart *wrap; // NULL: the wrap chart is left out
    const hw_slop *slop;       // NULL: left out
    const hw_layers *layers;   // NULL: no sheet of layers
    const hw_stack *stack;     // NULL: no sheet of layers
    bool back_on_bed;          // the parts are printed with their back down, not their palm
    double law[HW_JOINTS];     // natural closing MCP:PIP:DIP; NaN: none for this digit [1]
} hw_digit_view;

// All give NULL when the arena is out of memory, and where the view lacks what the drawing shows.
// Tests: test/draw/test_drawings.c

// The straight digit in section, with its dimensions, and three poses of its travel.
HW_MUST_USE hw_sheet *hw_draw_section(hw_arena *a, const hw_digit_view *v);
// The tip's path over that of the natural law on the same phalanges. 88 mm wide.
HW_MUST_USE hw_sheet *hw_draw_tip_path(hw_arena *a, const hw_digit_view *v);
// PIP and DIP over MCP with the natural law. 88 mm wide.
HW_MUST_USE hw_sheet *hw_draw_coupling(hw_arena *a, const hw_digit_view *v);
// Pin loads, bar forces, drive torque and transmission angles over the stroke.
HW_MUST_USE hw_sheet *hw_draw_loads(hw_arena *a, const hw_digit_view *v);
// Cylinders in the digit's curl: which phalanx touches first and the gaps left.
HW_MUST_USE hw_sheet *hw_draw_wrap(hw_arena *a, const hw_digit_view *v);
// Cut across at two places, widths that add up, every layer from the side as it is printed.
HW_MUST_USE hw_sheet *hw_draw_layers(hw_arena *a, const hw_digit_view *v);
// All digits on one page: open, half way and closed, with the numbers that matter first.
HW_MUST_USE hw_sheet *hw_draw_hand(hw_arena *a, const hw_digit_view *v, size_t n);

// What the palm's drawing needs. Borrowed for the call only.
typedef struct hw_palm_view {
    const char *design;          // NULL: none
    const hw_palm *palm;         // a right hand's, also where `left`
    const hw_hand_shape *person; // of the same length and breadth
    const char *const *name;     // five, thumb to little
    bool left;                   // drawn mirrored
} hw_palm_view;

// The palm over a person's hand, in plan and along the fingers, with how far they are apart.
HW_MUST_USE hw_sheet *hw_draw_palm(hw_arena *a, const hw_palm_view *v);

// The drawings of one digit in the order of a report, as a table.
typedef struct hw_drawing {
    const char *name; // part of file names: "section"
    const char *what; // for people: "Section"
    bool narrow;      // half a page wide
    hw_sheet *(*draw)(hw_arena *a, const hw_digit_view *v);
} hw_drawing;
enum { HW_DRAWINGS = 6 };
extern const hw_drawing hw_drawing_of_digit[HW_DRAWINGS];

#endif
