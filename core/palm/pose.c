// Digits posed on the palm.
#include "palm/pose.h"

#include <math.h>

void hw_palm_motion_at(const hw_palm_motion *m, double s, double joint[HW_SEGMENTS]) // [1]
{
    for (int j = 0; j < HW_SEGMENTS; j++) joint[j] = (double)NAN;
    if (m->n < 2 || !(s >= 0) || !(s <= 1)) return;
    double at = s * (double)(m->n - 1);
    size_t i = (size_t)at < m->n - 1 ? (size_t)at : m->n - 2;
    double part = at - (double)i;
    for (int j = 0; j < HW_SEGMENTS; j++)
        joint[j] = m->joint[j][i] + part * (m->joint[j][i + 1] - m->joint[j][i]);
}

// Flexed about its own y: +x goes toward -z.
static hw_frame flexed(const hw_frame *f, double angle) // [rad]
{
    double c = cos(angle), s = sin(angle);
    return (hw_frame){f->at, hw_vec3_along(hw_vec3_times(f->x, c), -s, f->z), f->y,
                      hw_vec3_along(hw_vec3_times(f->z, c), s, f->x)};
}

void hw_palm_pose_of(const hw_palm *p, int digit, double aside, const double joint[HW_SEGMENTS],
                     hw_palm_pose *out)
{
    const hw_palm_digit *d = &p->digit[digit];
    out->base = digit == 0
                    ? hw_frame_turned(&d->knuckle, p->opposition_at, p->opposition_axis, aside)
                : aside == 0 ? d->knuckle
                             : hw_frame_turned(&d->knuckle, d->splay_at, d->splay_axis, aside);
    hw_frame here = out->base;
    for (int k = 0; k < HW_SEGMENTS; k++) {
        out->phalanx[k] = flexed(&here, joint[k]);
        here = out->phalanx[k];
        here.at = hw_vec3_along(here.at, d->segment[k], here.x);
    }
    out->tip = here.at;
}

hw_body hw_palm_box(const hw_palm *p, int digit, const hw_palm_pose *pose, int phalanx)
{
    const hw_palm_digit *d = &p->digit[digit];
    hw_frame f = pose->phalanx[phalanx];
    f.at = hw_vec3_along(f.at, 0.5 * d->segment[phalanx], f.x);
    return hw_body_box(f, d->segment[phalanx], d->width,
                       fmax(d->thickness[phalanx], d->thickness[phalanx + 1]));
}

hw_vec3 hw_palm_pad(const hw_palm *p, int digit, const hw_palm_pose *pose, hw_vec3 *normal)
{
    const hw_palm_digit *d = &p->digit[digit];
    const hw_frame *f = &pose->phalanx[HW_SEGMENTS - 1];
    double length = d->segment[HW_SEGMENTS - 1];
    double from = 0.5 * d->thickness[HW_SEGMENTS - 1], to = 0.5 * d->thickness[HW_SEGMENTS];
    double slant = atan2(from - to, length); // the face tapers toward the tip
    *normal = hw_vec3_along(hw_vec3_times(f->z, -cos(slant)), sin(slant), f->x);
    return hw_vec3_along(hw_vec3_along(f->at, 0.5 * length, f->x), -0.5 * (from + to), f->z);
}

hw_palm_splaying hw_palm_splaying_at(double flexion)
{
    return (hw_palm_splaying){cos(flexion), sin(flexion)};
}

double hw_palm_splay_of_people(double most, double flexion)
{
    static const double none_at = 70 * HW_PI / 180;
    return most * fmin(1, fmax(0, 1 - flexion / none_at));
}
