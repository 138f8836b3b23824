// Cords, sheaths, servos, wires, tracks, regulators. Each function names its keys in the order of
// its row in rows.c.
#include "drive/drive.h"
#include "power/power.h"
#include "reckon/reckon_internal.h"

#include <math.h>

#define BEGIN                                                                                      \
    const double *v = in->number;                                                                  \
    results r = {out, room, 0, false, false}

hw_code hw_reckon_capstan(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                          hw_diags *diags)
{
    enum { MU, WRAP, TENSION };
    BEGIN;
    hw_reckon_put_number(&r, "tension_out", hw_capstan(v[TENSION], v[MU], v[WRAP]), HW_DIM_FORCE,
                         "N");
    hw_reckon_put_number(&r, "tension_left", hw_capstan(v[TENSION], v[MU], -v[WRAP]), HW_DIM_FORCE,
                         "N");
    hw_reckon_put_number(&r, "ratio", hw_capstan(1.0, v[MU], v[WRAP]), HW_DIM_NONE, "");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_belt(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                       hw_diags *diags)
{
    enum { TIGHT, MU, WRAP, RADIUS, SPEED };
    BEGIN;
    double torque = hw_belt_torque(v[TIGHT], v[MU], v[WRAP], v[RADIUS]);
    hw_reckon_put_number(&r, "slack_tension", hw_capstan(v[TIGHT], v[MU], -v[WRAP]), HW_DIM_FORCE,
                         "N");
    hw_reckon_put_number(&r, "torque", torque, HW_DIM_TORQUE, "N·mm");
    if (v[SPEED] > 0) hw_reckon_put_number(&r, "power", torque * v[SPEED], HW_DIM_POWER, "W");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_sheath(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                         hw_diags *diags)
{
    enum { TENSION, LENGTH, BEND, MU, CORD, SHEATH };
    BEGIN;
    hw_sheath s = {v[LENGTH], v[BEND], v[MU], v[CORD], v[SHEATH] > 0 ? v[SHEATH] : HUGE_VAL};
    hw_sheath_pull p;
    r.none = hw_sheath_pull_of(&s, v[TENSION], &p) != HW_OK;
    hw_reckon_put_number(&r, "tension_out", p.out, HW_DIM_FORCE, "N");
    hw_reckon_put_number(&r, "holds_up_to", p.holding, HW_DIM_FORCE, "N");
    hw_reckon_put_number(&r, "stretch", p.stretch, HW_DIM_LENGTH, "mm");
    if (v[SHEATH] > 0)
        hw_reckon_put_number(&r, "sheath_shortening", p.shortening, HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(&r, "reversal_ratio", p.reversal, HW_DIM_NONE, "");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_clip_span(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                            size_t *n, hw_diags *diags)
{
    enum { OUTER, INNER, MODULUS, TENSION };
    BEGIN;
    double o = v[OUTER], i = v[INNER];
    double second_moment = HW_PI / 64.0 * (o * o * o * o - i * i * i * i);
    hw_reckon_put_number(&r, "span", hw_sheath_clip_span(v[MODULUS] * second_moment, v[TENSION]),
                         HW_DIM_LENGTH, "mm");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_tube_bend(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                            size_t *n, hw_diags *diags)
{
    enum { OUTER, WALL };
    BEGIN;
    hw_reckon_put_number(&r, "radius", hw_tube_bend_radius(v[OUTER], v[WALL]), HW_DIM_LENGTH, "mm");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_drum_step(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                            size_t *n, hw_diags *diags)
{
    enum { STIFFNESS, RADIUS, TEETH };
    BEGIN;
    hw_reckon_put_number(&r, "tension_step", hw_drum_step(v[STIFFNESS], v[RADIUS], v[TEETH]),
                         HW_DIM_FORCE, "N");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_servo_line(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                             size_t *n, hw_diags *diags)
{
    enum { STALL_TORQUE, NO_LOAD_SPEED, TORQUE, STALL_CURRENT, NO_LOAD_CURRENT };
    BEGIN;
    bool with_current = v[STALL_CURRENT] > 0;
    hw_servo_line line = {v[STALL_TORQUE], v[NO_LOAD_SPEED], v[STALL_CURRENT],
                          with_current ? v[NO_LOAD_CURRENT] : 0};
    hw_servo_point p;
    r.none = hw_servo_at_torque(&line, v[TORQUE], &p) != HW_OK;
    hw_reckon_put_number(&r, "speed", p.speed, HW_DIM_TURN_SPEED, "deg/s");
    hw_reckon_put_number(&r, "power", p.power, HW_DIM_POWER, "W");
    hw_reckon_put_number(&r, "most_power", hw_servo_most_power(&line), HW_DIM_POWER, "W");
    if (with_current) hw_reckon_put_number(&r, "current", p.current, HW_DIM_CURRENT, "A");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_wire(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                       hw_diags *diags)
{
    enum { GAUGE, TEMPERATURE, LENGTH, CURRENT };
    BEGIN;
    hw_wire w;
    r.none = hw_wire_of(v[GAUGE], v[TEMPERATURE], &w) != HW_OK;
    hw_dim per_length = hw_dim_over(HW_DIM_RESISTANCE, HW_DIM_LENGTH);
    hw_reckon_put_number(&r, "diameter", w.diameter, HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(&r, "area", w.area, HW_DIM_AREA, "mm²");
    hw_reckon_put_number(&r, "ohm_per_km", w.resistance, per_length, "ohm/km");
    if (v[LENGTH] > 0 && v[CURRENT] > 0)
        hw_reckon_put_number(&r, "drop", hw_wire_drop(&w, v[LENGTH], v[CURRENT]), HW_DIM_VOLTAGE,
                             "V");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_track(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                        hw_diags *diags)
{
    enum { CURRENT, RISE, COPPER, LAYER };
    BEGIN;
    hw_track_layer layer = v[LAYER] > 0 ? HW_TRACK_INTERNAL : HW_TRACK_EXTERNAL;
    hw_reckon_put_number(&r, "width", hw_track_width(v[CURRENT], v[RISE], v[COPPER], layer),
                         HW_DIM_LENGTH, "mm");
    return hw_reckon_results_done(&r, n, diags);
}

static hw_code put_heat(const hw_regulator_heat *h, const double *v, results *r, size_t *n,
                        hw_diags *diags)
{
    enum { AMBIENT = 4, THERMAL = 5 };
    hw_reckon_put_number(r, "loss", h->loss, HW_DIM_POWER, "W");
    hw_reckon_put_number(r, "efficiency", h->efficiency, HW_DIM_NONE, "%");
    hw_reckon_put_number(r, "input_current", h->input, HW_DIM_CURRENT, "A");
    if (v[THERMAL] > 0)
        hw_reckon_put_number(r, "junction", hw_regulator_junction(v[AMBIENT], h->loss, v[THERMAL]),
                             HW_DIM_TEMPERATURE, "°C");
    return hw_reckon_results_done(r, n, diags);
}

hw_code hw_reckon_linear_regulator(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                                   size_t *n, hw_diags *diags)
{
    enum { IN, OUT, CURRENT, IDLE };
    BEGIN;
    hw_regulator_heat h;
    r.none = hw_regulator_linear(v[IN], v[OUT], v[CURRENT], v[IDLE], &h) != HW_OK;
    return put_heat(&h, v, &r, n, diags);
}

hw_code hw_reckon_switching_regulator(const hw_reckon_given *in, hw_reckon_result out[],
                                      size_t room, size_t *n, hw_diags *diags)
{
    enum { IN, OUT, CURRENT, EFFICIENCY };
    BEGIN;
    hw_regulator_heat h;
    r.none = hw_regulator_switching(v[IN], v[OUT], v[CURRENT], v[EFFICIENCY], &h) != HW_OK;
    return put_heat(&h, v, &r, n, diags);
}
