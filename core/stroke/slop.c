// Joint play from the pivots' play. docs/derivations/slop.md
#include "digit/loop.h"
#include "stroke/chart.h"

#include <math.h>

enum { PINS_OF_LOOP = 4, PINS_IN_ROW = 3 };

// Where the tip goes for one radian at a joint.
static hw_vec2 lever(const hw_digit_pose *p, int joint)
{
    hw_vec2 arm = hw_sub(p->at[HW_JOINTS], p->at[joint]);
    return (hw_vec2){arm.z, -arm.x};
}

static double tip_play(const hw_digit *d, const hw_digit_pose *p, double joint[HW_JOINTS])
{
    double c = d->pivot_play, tip = 2 * c * sqrt(PINS_IN_ROW);
    for (int j = 0; j < HW_JOINTS; j++) joint[j] = 0;
    if (d->family != HW_FAMILY_COUPLED_BARS) return tip;
    double own[2], follow;
    for (int b = 0; b < 2; b++)
        own[b] = 2 * c * sqrt(PINS_OF_LOOP) / (d->bar[b].horn * sin(p->transmission[b]));
    hw_loop l;
    if (hw_loop_of(d, 1, &l)) return NAN; // no pose closed, so there is no such call
    hw_loop_pose second = hw_loop_close(&l, cos(p->joint[1]), sin(p->joint[1]));
    follow = hw_loop_rate(&second);
    joint[1] = own[0];
    joint[2] = own[1] + fabs(follow) * own[0];
    hw_vec2 with = hw_add(lever(p, 1), hw_scale(lever(p, 2), follow));
    return tip + own[0] * hw_norm(with) + own[1] * hw_norm(lever(p, 2));
}

hw_code hw_slop_of(const hw_digit *d, const hw_stroke *s, hw_slop *out)
{
    *out = (hw_slop){{NAN, NAN, NAN}, NAN, NAN};
    if (!hw_digit_family_of(d->family) || !(d->pivot_play >= 0) || isinf(d->pivot_play))
        return HW_BAD_INPUT;
    bool any = false;
    for (size_t i = 0; i < s->n; i++) {
        hw_digit_pose p;
        if (hw_stroke_pose(d, s, i, &p)) continue;
        double joint[HW_JOINTS], tip = tip_play(d, &p, joint);
        for (int j = 0; j < HW_JOINTS; j++)
            if (!any || joint[j] > out->joint[j]) out->joint[j] = joint[j];
        if (!any || tip > out->tip) {
            out->tip = tip;
            out->at_s = s->s[i];
        }
        any = true;
    }
    return any ? HW_OK : HW_NO_ASSEMBLY;
}
