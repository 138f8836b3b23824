// Cones, beams, snaps, wedges. Each function names its keys in the order of its row in rows.c.
#include "pivot/pivot.h"
#include "reckon/reckon_internal.h"

#include <math.h>

#define BEGIN                                                                                      \
    const double *v = in->number;                                                                  \
    results r = {out, room, 0, false, false}

hw_code hw_reckon_cone_spread(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                              size_t *n, hw_diags *diags)
{
    enum { LOAD, HALF_ANGLE, MU };
    BEGIN;
    hw_reckon_put_number(&r, "axial", hw_cone_spread(v[LOAD], v[HALF_ANGLE], v[MU], HW_CONE_LINE),
                         HW_DIM_FORCE, "N");
    hw_reckon_put_number(&r, "axial_area",
                         hw_cone_spread(v[LOAD], v[HALF_ANGLE], v[MU], HW_CONE_HALF_CONE),
                         HW_DIM_FORCE, "N");
    hw_reckon_put_number(&r, "holding_angle", hw_cone_holding_angle(v[MU]), HW_DIM_ANGLE, "deg");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_cone_play(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                            size_t *n, hw_diags *diags)
{
    enum { GAP, FACE_GAP, HALF_ANGLE };
    BEGIN;
    hw_reckon_put_number(&r, "float", hw_cone_float(v[GAP], v[FACE_GAP], v[HALF_ANGLE]),
                         HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(&r, "radial_play", hw_cone_radial_play(v[GAP], v[HALF_ANGLE]),
                         HW_DIM_LENGTH, "mm");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_cone_torque(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                              size_t *n, hw_diags *diags)
{
    enum { LOAD, OUTER, INNER, HALF_ANGLE, MU };
    BEGIN;
    hw_reckon_put_number(
        &r, "new", hw_cone_torque(v[LOAD], v[OUTER], v[INNER], v[HALF_ANGLE], v[MU], HW_CONE_NEW),
        HW_DIM_TORQUE, "N·mm");
    hw_reckon_put_number(
        &r, "worn", hw_cone_torque(v[LOAD], v[OUTER], v[INNER], v[HALF_ANGLE], v[MU], HW_CONE_WORN),
        HW_DIM_TORQUE, "N·mm");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_fork(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                       hw_diags *diags)
{
    enum {
        HALF_ANGLE,
        ENGAGEMENT,
        GAP,
        FACE_GAP,
        MU,
        DEPTH,
        WIDTH,
        THICKNESS,
        MODULUS,
        SPACING,
        ARM
    };
    BEGIN;
    hw_fork f = {.half_angle = v[HALF_ANGLE],
                 .engagement = v[ENGAGEMENT],
                 .gap = v[GAP],
                 .face_gap = v[FACE_GAP],
                 .mu = v[MU],
                 .depth = v[DEPTH],
                 .width = v[WIDTH],
                 .thickness = v[THICKNESS],
                 .modulus = v[MODULUS],
                 .spacing = v[SPACING],
                 .side_arm = v[ARM]};
    hw_fork_hold h;
    r.none = hw_fork_hold_of(&f, &h) != HW_OK;
    hw_reckon_put_number(&r, "float", h.axial_float, HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(&r, "spread_per_load", h.spread, HW_DIM_NONE, "");
    hw_reckon_put_number(&r, "release_load", h.release, HW_DIM_FORCE, "N");
    hw_reckon_put_number(&r, "root_stress", h.stress, HW_DIM_PRESSURE, "MPa");
    return hw_reckon_results_done(&r, n, diags);
}

// length, width, thickness, modulus, load at v
static hw_code bend(hw_beam_kind kind, const double *v, results *r, size_t *n, hw_diags *diags)
{
    enum { LENGTH, WIDTH, THICKNESS, MODULUS, LOAD };
    hw_bending b;
    r->none =
        hw_beam_bend(kind, v[LOAD], v[LENGTH], v[WIDTH], v[THICKNESS], v[MODULUS], &b) != HW_OK;
    hw_reckon_put_number(r, "deflection", b.deflection, HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(r, "stress", b.stress, HW_DIM_PRESSURE, "MPa");
    hw_reckon_put_number(r, "stiffness", b.stiffness, HW_DIM_STIFFNESS, "N/mm");
    return hw_reckon_results_done(r, n, diags);
}

hw_code hw_reckon_cantilever(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                             size_t *n, hw_diags *diags)
{
    BEGIN;
    return bend(HW_BEAM_CANTILEVER, v, &r, n, diags);
}

hw_code hw_reckon_beam(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                       hw_diags *diags)
{
    enum { ENDS = 5 };
    BEGIN;
    return bend(v[ENDS] > 0 ? HW_BEAM_BUILT_IN : HW_BEAM_SUPPORTED, v, &r, n, diags);
}

hw_code hw_reckon_plate(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                        hw_diags *diags)
{
    enum { RADIUS, THICKNESS, MODULUS, POISSON, EDGE, PRESSURE, FORCE };
    BEGIN;
    hw_plate p = {v[RADIUS], v[THICKNESS], v[MODULUS], v[POISSON],
                  v[EDGE] > 0 ? HW_PLATE_SUPPORTED : HW_PLATE_CLAMPED};
    double deflection, stress;
    r.none = hw_plate_pressed(&p, v[PRESSURE], &deflection, &stress) != HW_OK;
    hw_reckon_put_number(&r, "pressed_deflection", deflection, HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(&r, "pressed_stress", stress, HW_DIM_PRESSURE, "MPa");
    hw_reckon_put_number(&r, "poked_deflection", hw_plate_poked(&p, v[FORCE]), HW_DIM_LENGTH, "mm");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_snap_fit(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                           size_t *n, hw_diags *diags)
{
    enum { LENGTH, WIDTH, THICKNESS, MODULUS, UNDERCUT, MU, LEAD, SHAPE };
    BEGIN;
    hw_snap s = {.length = v[LENGTH],
                 .width = v[WIDTH],
                 .thickness = v[THICKNESS],
                 .modulus = v[MODULUS],
                 .mu = v[MU],
                 .lead = v[LEAD],
                 .shape = (hw_snap_shape)(int)v[SHAPE]};
    hw_snap_result got;
    r.none = hw_snap_pass(&s, v[UNDERCUT], &got) != HW_OK;
    hw_reckon_put_number(&r, "strain", got.strain, HW_DIM_NONE, "%");
    hw_reckon_put_number(&r, "bending_force", got.bend, HW_DIM_FORCE, "N");
    hw_reckon_put_number(&r, "mating_force", got.mate, HW_DIM_FORCE, "N");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_incline(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                          hw_diags *diags)
{
    enum { LOAD, ANGLE, MU };
    BEGIN;
    hw_reckon_put_number(&r, "raise", hw_incline_raise(v[LOAD], v[ANGLE], v[MU]), HW_DIM_FORCE,
                         "N");
    double hold = hw_incline_hold(v[LOAD], v[ANGLE], v[MU]);
    hw_reckon_put_number(&r, "hold", isnan(hold) ? hold : fmax(hold, 0), HW_DIM_FORCE, "N");
    hw_reckon_put_text(&r, "stays", hold > 0 ? "no" : "yes");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_wedge(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                        hw_diags *diags)
{
    enum { LOAD, ANGLE, MU };
    BEGIN;
    hw_wedge w = {v[ANGLE], v[MU], v[MU], v[MU]};
    double push, pull;
    r.none = hw_wedge_forces(&w, v[LOAD], &push, &pull) != HW_OK;
    hw_reckon_put_number(&r, "push_in", push, HW_DIM_FORCE, "N");
    hw_reckon_put_number(&r, "pull_out", isnan(pull) ? pull : fmax(pull, 0), HW_DIM_FORCE, "N");
    hw_reckon_put_text(&r, "stays", pull > 0 ? "yes" : "no");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_screw(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                        hw_diags *diags)
{
    enum { LOAD, DIAMETER, LEAD, MU };
    BEGIN;
    hw_screw s = {v[DIAMETER] / 2.0, v[LEAD], v[MU]};
    double loosen = hw_screw_loosen(&s);
    hw_reckon_put_number(&r, "tighten", v[LOAD] * hw_screw_tighten(&s), HW_DIM_TORQUE, "N·mm");
    hw_reckon_put_number(&r, "loosen", v[LOAD] * fmax(loosen, 0), HW_DIM_TORQUE, "N·mm");
    hw_reckon_put_text(&r, "stays", loosen > 0 ? "yes" : "no");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_journal(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                          hw_diags *diags)
{
    enum { LOAD, LOAD_ARM, EFFORT_ARM, RADIUS, MU };
    BEGIN;
    double circle = hw_journal_circle(v[RADIUS], v[MU]);
    hw_reckon_put_number(&r, "friction_circle", circle, HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(&r, "raise",
                         hw_lever_effort(v[LOAD], v[LOAD_ARM], v[EFFORT_ARM], circle, false),
                         HW_DIM_FORCE, "N");
    hw_reckon_put_number(&r, "hold",
                         hw_lever_effort(v[LOAD], v[LOAD_ARM], v[EFFORT_ARM], circle, true),
                         HW_DIM_FORCE, "N");
    return hw_reckon_results_done(&r, n, diags);
}
