#include "stroke/cases.h"

#include <math.h>

static const char *const case_name[HW_CASES] = {
    [HW_CASE_TIP] = "tip push",
    [HW_CASE_PAD_PROXIMAL] = "push on the proximal pad",
    [HW_CASE_PAD_MIDDLE] = "push on the middle pad",
    [HW_CASE_PAD_DISTAL] = "push on the distal pad",
    [HW_CASE_HOOK] = "hook",
    [HW_CASE_KNOCK] = "knock on the back of the tip",
};

const char *hw_case_name(hw_case c)
{
    return (unsigned)c < HW_CASES ? case_name[c] : "unknown case";
}

// Half the thickness at the middle of a phalanx.
static double half_thickness(const hw_digit *d, int phalanx)
{
    double next = phalanx + 1 < HW_JOINTS ? d->thickness[phalanx + 1] : d->tip_thickness;
    return (d->thickness[phalanx] + next) / 4;
}

hw_load hw_case_load(const hw_digit *d, const hw_digit_pose *pose, hw_case c, double magnitude)
{
    hw_load load = hw_digit_unit_load(d);
    load.force = hw_scale(load.force, magnitude);
    if (c == HW_CASE_TIP) return load;
    if (c == HW_CASE_KNOCK) {
        load.at.z = d->tip_thickness / 2;
        load.force = hw_scale(load.force, -1);
        return load;
    }
    int phalanx = c == HW_CASE_HOOK ? 0 : (int)c - (int)HW_CASE_PAD_PROXIMAL;
    load.phalanx = phalanx;
    load.at = (hw_vec2){d->phalanx[phalanx] / 2, -half_thickness(d, phalanx)};
    // the digit frame's +x, seen from the turned phalanx
    if (c == HW_CASE_HOOK)
        load.force = hw_flexed((hw_vec2){magnitude, 0}, -hw_digit_turned(pose, phalanx));
    return load;
}

// Keeps the larger; the first pose wins a tie.
static void raise(hw_case_peak *peak, double value, double s)
{
    if (isnan(value) || fabs(value) <= fabs(peak->value)) return;
    *peak = (hw_case_peak){value, s};
}

static void raise_all(hw_case_worst *w, const hw_digit_statics *f, double s)
{
    // a first pose replaces NaN
    if (isnan(w->torque.value)) {
        w->torque = (hw_case_peak){0, s};
        for (int j = 0; j < HW_JOINTS; j++) w->pin[j] = (hw_case_peak){0, s};
        for (int b = 0; b < 2; b++)
            if (!isnan(f->bar[b])) w->pull[b] = w->push[b] = (hw_case_peak){0, s};
    }
    raise(&w->torque, f->torque, s);
    for (int j = 0; j < HW_JOINTS; j++) raise(&w->pin[j], hw_norm(f->pin[j]), s);
    for (int b = 0; b < 2; b++) {
        if (f->bar[b] > 0) raise(&w->pull[b], f->bar[b], s);
        if (f->bar[b] < 0) raise(&w->push[b], -f->bar[b], s);
    }
}

// Cases from `first` to before `last`; `magnitude` and `out` begin at the first.
static hw_code run(const hw_digit *d, const hw_stroke *s, int first, int last,
                   const double magnitude[], hw_case_worst out[]) // [N]
{
    const hw_case_peak none = {NAN, NAN};
    const hw_digit_family *family = hw_digit_family_of(d->family);
    bool ok = family != NULL;
    for (int c = 0; c < last - first; c++) {
        for (int j = 0; j < HW_JOINTS; j++) out[c].pin[j] = none;
        for (int b = 0; b < 2; b++) out[c].pull[b] = out[c].push[b] = none;
        out[c].torque = none;
        ok = ok && magnitude[c] >= 0 && !isinf(magnitude[c]);
    }
    if (!ok) return HW_BAD_INPUT;
    hw_code worst = HW_OK;
    for (size_t i = 0; i < s->n; i++) {
        hw_digit_pose p;
        hw_code closes = hw_stroke_pose(d, s, i, &p);
        if (closes) worst = closes;
        for (int c = 0; c < last - first && !closes; c++) {
            hw_digit_statics f;
            hw_load load = hw_case_load(d, &p, (hw_case)(first + c), magnitude[c]);
            hw_code code = family->balance(d, &p, &load, 1, &f);
            if (code)
                worst = code;
            else
                raise_all(&out[c], &f, s->s[i]);
        }
    }
    return worst;
}

hw_code hw_case_worst_of(const hw_digit *d, const hw_stroke *s, hw_case c, double magnitude,
                         hw_case_worst *out)
{
    bool known = (unsigned)c < HW_CASES;
    const double none = (double)NAN;
    return run(d, s, known ? (int)c : 0, known ? (int)c + 1 : 1, known ? &magnitude : &none, out);
}

hw_code hw_case_worst_all(const hw_digit *d, const hw_stroke *s, const double magnitude[HW_CASES],
                          hw_case_worst out[HW_CASES])
{
    return run(d, s, 0, HW_CASES, magnitude, out);
}
