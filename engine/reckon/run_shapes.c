// Linkages, columns and curves.
#include "linkage/column.h"
#include "linkage/linkage.h"
#include "reckon/reckon_internal.h"
#include "stroke/spiral.h"

#include <math.h>

hw_code hw_reckon_four_bar(const hw_reckon_given *in, hw_reckon_result out[], size_t room,
                           size_t *n, hw_diags *diags)
{
    enum { GROUND, INPUT, COUPLER, OUTPUT, ANGLE };
    static const char *const name[2][3] = {
        {"open.output_angle", "open.coupler_angle", "open.transmission_angle"},
        {"crossed.output_angle", "crossed.coupler_angle", "crossed.transmission_angle"}};
    const double *v = in->number;
    hw_fourbar f = {v[GROUND], v[INPUT], v[COUPLER], v[OUTPUT]};
    results r = {out, room, 0, false, false};
    hw_code code = HW_OK;
    for (int i = 0; i < 2 && code == HW_OK; i++) {
        hw_fourbar_pose pose;
        double gap;
        code = hw_fourbar_solve(&f, v[ANGLE], i ? -1 : 1, &pose, &gap);
        if (code != HW_OK) break;
        hw_reckon_put_number(&r, name[i][0], pose.rocker, HW_DIM_ANGLE, "deg");
        hw_reckon_put_number(&r, name[i][1], pose.coupler, HW_DIM_ANGLE, "deg");
        hw_reckon_put_number(&r, name[i][2], pose.transmission, HW_DIM_ANGLE, "deg");
    }
    hw_reckon_put_text(&r, "class", hw_fourbar_class_text(hw_fourbar_classify(&f)));
    hw_code put = hw_reckon_results_done(&r, n, diags);
    if (code == HW_OK) return put;
    hw_diag_say(diags, code, NULL, 0, 0, (hw_text){NULL, 0}, (hw_text){NULL, 0},
                HW_TEXT("the loop does not close at this angle"));
    return code;
}

hw_code hw_reckon_spiral(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                         hw_diags *diags)
{
    hw_spiral s;
    hw_code code = hw_spiral_fit(in->point, in->points, &s);
    *n = 0;
    if (code != HW_OK) {
        hw_diag_say(diags, HW_BAD_INPUT, NULL, 0, 0, (hw_text){NULL, 0},
                    HW_TEXT("five points or more along a curve"),
                    code == HW_BAD_INPUT
                        ? HW_TEXT("too few points, or all in one place")
                        : HW_TEXT("the points are too straight to have a spiral's pole"));
        return HW_BAD_INPUT;
    }
    results r = {out, room, 0, false, false};
    hw_reckon_put_number(&r, "angle", s.angle, HW_DIM_ANGLE, "deg");
    hw_reckon_put_number(&r, "residual", s.rms, HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(&r, "pole_x", s.pole.x, HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(&r, "pole_z", s.pole.z, HW_DIM_LENGTH, "mm");
    hw_reckon_put_number(&r, "turn", fabs(s.end - s.start), HW_DIM_ANGLE, "deg");
    return hw_reckon_results_done(&r, n, diags);
}

hw_code hw_reckon_column(const hw_reckon_given *in, hw_reckon_result out[], size_t room, size_t *n,
                         hw_diags *diags)
{
    enum { LENGTH, WIDTH, THICKNESS, MODULUS };
    const double *v = in->number;
    hw_column_load load;
    hw_code code = hw_column_buckling(v[LENGTH], v[WIDTH], v[THICKNESS], v[MODULUS], &load);
    results r = {out, room, 0, false, code != HW_OK};
    if (code == HW_OK) {
        hw_reckon_put_number(&r, "buckling_load", load.load, HW_DIM_FORCE, "N");
        hw_reckon_put_number(&r, "strong_axis_load", fmax(load.in_width, load.in_depth),
                             HW_DIM_FORCE, "N");
    }
    return hw_reckon_results_done(&r, n, diags);
}
