// Direct drive: a servo turns each joint through its own travel.
#include "digit/digit_internal.h"

#include <math.h>

static hw_code pose(const hw_digit *d, double s, hw_digit_pose *out)
{
    hw_pose_nothing(out);
    if (hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    double span[HW_JOINTS];
    for (int i = 0; i < HW_JOINTS; i++) {
        span[i] = d->joint_travel[i][1] - d->joint_travel[i][0];
        out->joint[i] = d->joint_travel[i][0] + s * span[i];
    }
    for (int i = 0; i < HW_JOINTS; i++) out->rate[i] = span[0] != 0 ? span[i] / span[0] : span[i];
    hw_pose_place(d, out);
    return HW_OK;
}

static hw_code statics(const hw_digit *d, const hw_digit_pose *p, const hw_load *load, size_t loads,
                       hw_digit_statics *out)
{
    hw_vec2 force[HW_JOINTS], beyond[HW_JOINTS];
    double moment[HW_JOINTS], turning[HW_JOINTS];
    if (hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    if (!hw_load_totals(p, load, loads, force, moment)) return HW_BAD_INPUT;
    hw_load_beyond(p, force, moment, beyond, turning);
    out->bar[0] = out->bar[1] = NAN;
    for (int i = 0; i < HW_JOINTS; i++) {
        out->pin[i] = hw_scale(beyond[i], -1);
        out->joint_torque[i] = -turning[i];
    }
    out->torque = out->joint_torque[0];
    return HW_OK;
}

static hw_code mechanism(const hw_digit *d, hw_arena *a, hw_mech *out)
{
    *out = (hw_mech){.bodies = 0};
    if (hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    hw_pin *pin = HW_NEW(a, hw_pin, HW_JOINTS);
    hw_driver *driver = HW_NEW(a, hw_driver, HW_JOINTS);
    if (!pin || !driver) return HW_NO_MEMORY;
    for (int i = 0; i < HW_JOINTS; i++) {
        pin[i] = (hw_pin){.a = i, .b = i + 1, .at_a = {i ? d->phalanx[i - 1] : 0, 0}};
        driver[i] = (hw_driver){.a = i,
                                .b = i + 1,
                                .slider = -1,
                                .start = d->joint_travel[i][0],
                                .span = d->joint_travel[i][1] - d->joint_travel[i][0]};
    }
    *out = (hw_mech){.bodies = HW_JOINTS + 1,
                     .pin = pin,
                     .pins = HW_JOINTS,
                     .driver = driver,
                     .drivers = HW_JOINTS};
    return HW_OK;
}

const hw_digit_family hw_family_direct = {HW_FAMILY_DIRECT, "direct",  pose,
                                          statics,          mechanism, statics};
