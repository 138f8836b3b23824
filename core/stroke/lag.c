// Tip's lag under load, by virtual work. docs/derivations/lag.md
#include "stroke/lag.h"

#include "digit/loop.h"

#include <math.h>

// Of each bar: its lengthening for 1 N in it. [m/N]
static hw_code bars_yield(const hw_digit *d, double out[2])
{
    out[0] = out[1] = 0;
    if (d->family != HW_FAMILY_COUPLED_BARS) return HW_OK;
    for (int b = 0; b < 2; b++) {
        hw_loop l;
        if (hw_loop_of(d, b, &l)) return HW_BAD_INPUT;
        out[b] = l.bar / (d->modulus * d->bar[b].width * d->bar[b].depth);
    }
    return HW_OK;
}

typedef struct unit_load {    // answers to 1 N at the tip
    double pins;              // sum of the forces of all pins [N]
    double bar[2];            // [N]
    double torque[HW_JOINTS]; // of each driven joint, others 0 [N*m]
} unit_load;

static hw_code answer(const hw_digit *d, const hw_stroke *s, size_t i, unit_load *out)
{
    hw_digit_pose p;
    hw_digit_statics f;
    hw_code code = hw_stroke_pose(d, s, i, &p);
    if (code) return code;
    hw_load load = hw_digit_unit_load(d);
    code = hw_digit_family_of(d->family)->balance(d, &p, &load, 1, &f);
    if (code) return code;
    *out = (unit_load){0};
    for (int j = 0; j < HW_JOINTS; j++) out->pins += hw_norm(f.pin[j]);
    if (d->family != HW_FAMILY_COUPLED_BARS) {
        for (int j = 0; j < HW_JOINTS; j++) out->torque[j] = f.joint_torque[j];
        return HW_OK;
    }
    out->torque[0] = f.torque;
    for (int b = 0; b < 2; b++) {
        out->bar[b] = f.bar[b];
        out->pins += 2 * fabs(f.bar[b]); // one at each end
    }
    return HW_OK;
}

static hw_lag lag_at(const hw_digit *d, const unit_load *u, const double yield[2], double load,
                     const hw_lag_drive *drive, double s) // [m/N] [N] [1]
{
    hw_lag lag = {.pins = d->pivot_play * u->pins, .at_s = s};
    for (int b = 0; b < 2; b++) lag.bars += load * u->bar[b] * u->bar[b] * yield[b];
    for (int j = 0; j < HW_JOINTS; j++)
        lag.drive += fabs(u->torque[j]) * (drive->play / 2) +
                     load * u->torque[j] * u->torque[j] / drive->stiffness;
    lag.knuckle = drive->play / 2 + load * fabs(u->torque[0]) / drive->stiffness;
    lag.tip = lag.pins + lag.bars + lag.drive;
    return lag;
}

hw_code hw_lag_of(const hw_digit *d, const hw_stroke *s, double load, const double most[],
                  const hw_lag_drive *drive, hw_lag *out)
{
    *out = (hw_lag){NAN, NAN, NAN, NAN, NAN, NAN};
    double yield[2];
    if (!hw_digit_family_of(d->family) || d->family == HW_FAMILY_CORD || bars_yield(d, yield))
        return HW_BAD_INPUT;
    if (!(load > 0) || isinf(load) || !(d->pivot_play >= 0) || isinf(d->pivot_play) ||
        !(drive->stiffness > 0) || !(drive->play >= 0) || isinf(drive->play))
        return HW_BAD_INPUT;
    bool any = false;
    for (size_t i = 0; i < s->n; i++) {
        unit_load u;
        if (answer(d, s, i, &u)) continue;
        hw_lag here =
            lag_at(d, &u, yield, most ? fmin(load, fmax(most[i], 0)) : load, drive, s->s[i]);
        if (!any || here.tip > out->tip) *out = here;
        any = true;
    }
    return any ? HW_OK : HW_NO_ASSEMBLY;
}
