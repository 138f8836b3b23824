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

void put_number(results *r, const char *name, double value, hw_dim dim, const char *unit); // [SI]
void put_text(results *r, const char *name, const char *text);
// The code that fits what was put; says that no answer exists when a value was not a number.
hw_code results_done(const results *r, size_t *n, hw_diags *diags);

typedef hw_code formula(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                        hw_diags *diags);
// run_shapes.c
formula reckon_four_bar, reckon_spiral, reckon_column;
// run_pivot.c
formula reckon_cone_spread, reckon_cone_play, reckon_cone_torque, reckon_fork, reckon_cantilever,
    reckon_beam, reckon_plate, reckon_snap_fit, reckon_incline, reckon_wedge, reckon_screw,
    reckon_journal;
// run_drive.c
formula reckon_capstan, reckon_belt, reckon_sheath, reckon_clip_span, reckon_tube_bend,
    reckon_drum_step, reckon_servo_line, reckon_wire, reckon_track, reckon_linear_regulator,
    reckon_switching_regulator;

#endif
