// The formulas behind the table of rows.c, by topic, and what they share.
#ifndef HW_RECKON_INTERNAL_H
#define HW_RECKON_INTERNAL_H

#include "reckon/reckon.h"

// Where a formula puts its results.
typedef struct results {
    hw_reckon_result *out;
    size_t room, n;
    bool full, none; // did not fit; a value does not exist
} results;

void hw_reckon_put_number(results *r, const char *name, double value, hw_dim dim,
                          const char *unit); // [SI]
void hw_reckon_put_text(results *r, const char *name, const char *text);
// The code that fits what was put; says that no answer exists when a value was not a number.
hw_code hw_reckon_results_done(const results *r, size_t *n, hw_diags *diags);

typedef hw_code formula(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                        hw_diags *diags);
// run_shapes.c
formula hw_reckon_four_bar, hw_reckon_spiral, hw_reckon_column;
// run_pivot.c
formula hw_reckon_cone_spread, hw_reckon_cone_play, hw_reckon_cone_torque, hw_reckon_fork,
    hw_reckon_cantilever, hw_reckon_beam, hw_reckon_plate, hw_reckon_snap_fit, hw_reckon_incline,
    hw_reckon_wedge, hw_reckon_screw, hw_reckon_journal;
// run_drive.c
formula hw_reckon_capstan, hw_reckon_belt, hw_reckon_sheath, hw_reckon_clip_span,
    hw_reckon_tube_bend, hw_reckon_drum_step, hw_reckon_servo_line, hw_reckon_wire, hw_reckon_track,
    hw_reckon_linear_regulator, hw_reckon_switching_regulator;

#endif
