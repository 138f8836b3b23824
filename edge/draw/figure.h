// A digit drawn in section at one pose, for this room's files only.
#ifndef HW_DRAW_FIGURE_H
#define HW_DRAW_FIGURE_H

#include "digit/digit.h"
#include "draw/drawings.h"
#include "draw/plot.h"
#include "stroke/chart.h"

typedef struct hw_figure {
    hw_sheet *s;
    hw_spot knuckle; // where the knuckle lies on the sheet [mm]
    double k;        // sheet millimetres per metre [mm/m]
    bool fine;       // large enough for dense hatching and hidden edges
} hw_figure;

// Longest part of the carrier that is shown behind the knuckle, in knuckle thicknesses [1].
#define HW_FIGURE_CARRIER 0.72

hw_spot hw_figure_spot(const hw_figure *f, hw_vec2 p); // [m]
// Point of body 0..3 (0: carrier) given in its own frame, at a pose. [m]
hw_spot hw_figure_body_spot(const hw_figure *f, const hw_digit_pose *pose, int body, hw_vec2 p);
// All parts at the pose.
void hw_figure_digit(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose);
// The phalanges' outlines only: what stands behind a chart, or what cannot be put together.
void hw_figure_ghost(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose, hw_pen pen);
// For poses that do not assemble.
#define HW_FIGURE_TORN ((hw_pen){HW_WEIGHT_PLAIN, HW_INK_BLACK, HW_DASH_SHORT})
// The box that the parts take at a pose with the knuckle at (0, 0), at scale k. [mm/m]
hw_box hw_figure_box(const hw_digit *d, const hw_digit_pose *pose, double k);

// Pose of a digit; false where it does not assemble (the pose is then the closest approach, if
// finite).
bool hw_figure_pose(const hw_digit *d, double s, hw_digit_pose *out); // [1]
// The first dead point inside the travel: false where there is none.
bool hw_figure_dead(const hw_digit *d, hw_stroke_event *out);
// Share of the travel over which the digit can be drawn closing: up to its first dead point, 1
// without one. [1]
double hw_figure_end(const hw_digit *d);
// "dead point of bar A at MCP 104.1°"
const char *hw_figure_dead_words(const hw_digit *d, const hw_stroke_event *e, char out[160]);
// True when all places of the pose are numbers.
bool hw_figure_sound(const hw_digit_pose *pose);

// Names of the joints: MCP, PIP, DIP, or the thumb's; and of the phalanges.
const char *hw_figure_joint(const hw_digit *d, int joint);
const char *hw_figure_phalanx(const hw_digit *d, int phalanx);
// The sheet's head: title at the left, design and a remark at the right, a line below. Returns the
// y where the drawing may begin. [mm]
double hw_figure_head(hw_sheet *s, const char *title, const char *design, const char *remark);
// A scale from a fixed list, at most `most`; its words ("1 : 2") in `out`. [1]
double hw_figure_scale(double most, char out[24]);
// Text from parts, NULL ends the list; at most 159 bytes.
const char *hw_figure_words(char out[160], ...) __attribute__((sentinel));
// "Index" of "index".
const char *hw_figure_capital(const char *name, char out[40]);

#endif
