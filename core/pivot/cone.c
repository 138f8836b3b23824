#include "pivot/cone.h"
#include "base/vec.h"
#include "pivot/beam.h"

#include <math.h>

static bool is_half_angle(double a)
{
    return a > 0.0 && a < HW_PI / 2.0;
}

static bool not_negative(double x)
{
    return x >= 0.0 && isfinite(x);
}

double hw_cone_spread(double load, double half_angle, double mu, hw_cone_contact contact)
{
    if (!is_half_angle(half_angle) || !not_negative(load) || !not_negative(mu)) return (double)NAN;
    double slip = half_angle - atan(mu);
    double line = slip > 0.0 ? load * tan(slip) : 0.0;
    return contact == HW_CONE_LINE ? line : 4.0 / HW_PI * line;
}

double hw_cone_radial_play(double gap, double half_angle)
{
    if (!is_half_angle(half_angle) || !not_negative(gap)) return (double)NAN;
    return gap / cos(half_angle);
}

double hw_cone_float(double gap, double face_gap, double half_angle)
{
    if (!is_half_angle(half_angle) || !not_negative(gap) || !(face_gap >= 0.0)) return (double)NAN;
    return fmin(face_gap, gap / sin(half_angle));
}

double hw_cone_holding_angle(double mu)
{
    return mu >= 0.0 ? atan(mu) : (double)NAN;
}

hw_code hw_cone_press_of(double torque, double mean_radius, double half_angle, double mu,
                         hw_cone_press *out)
{
    const double none = (double)NAN;
    *out = (hw_cone_press){none, none, none, none};
    bool ok = is_half_angle(half_angle) && not_negative(torque) && mean_radius > 0.0 && mu > 0.0;
    if (!ok || !isfinite(mean_radius) || !isfinite(mu)) return HW_BAD_INPUT;
    double s = sin(half_angle), c = cos(half_angle);
    out->normal = torque / (mu * mean_radius);
    out->engage = out->normal * (s + mu * c);
    out->hold = out->normal * s;
    out->release = out->normal * (mu * c - s);
    return HW_OK;
}

double hw_cone_torque(double load, double outer, double inner, double half_angle, double mu,
                      hw_cone_wear state)
{
    bool ok = not_negative(load) && not_negative(inner) && outer > inner && isfinite(outer);
    if (!ok || !is_half_angle(half_angle) || !not_negative(mu)) return (double)NAN;
    double sum = outer + inner;
    // (R^3 - r^3)/(R^2 - r^2) without the difference: it would cancel for thin rings
    double arm = state == HW_CONE_WORN ? 0.5 * sum : 2.0 / 3.0 * (sum * sum - outer * inner) / sum;
    return mu * load * arm / sin(half_angle);
}

static bool fork_is_sound(const hw_fork *f)
{
    const double positive[] = {f->engagement, f->depth,   f->width,
                               f->thickness,  f->modulus, f->spacing};
    const double others[] = {f->gap, f->mu, f->side_arm};
    for (size_t i = 0; i < sizeof positive / sizeof positive[0]; i++)
        if (!(positive[i] > 0.0) || !isfinite(positive[i])) return false;
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
        if (!not_negative(others[i])) return false;
    return is_half_angle(f->half_angle) && f->face_gap >= 0.0;
}

hw_code hw_fork_hold_of(const hw_fork *f, hw_fork_hold *out)
{
    const double none = (double)NAN;
    *out = (hw_fork_hold){none, none, none, none, none};
    if (!fork_is_sound(f)) return HW_BAD_INPUT;
    hw_bending cheek;
    hw_code code =
        hw_beam_bend(HW_BEAM_CANTILEVER, 1.0, f->depth, f->width, f->thickness, f->modulus, &cheek);
    if (code != HW_OK) return code;
    out->axial_float = hw_cone_float(f->gap, f->face_gap, f->half_angle);
    out->spread =
        hw_cone_spread(0.5, f->half_angle, f->mu, HW_CONE_HALF_CONE) + f->side_arm / f->spacing;
    out->opening = out->spread * cheek.deflection;
    double room = f->engagement - out->axial_float;
    out->release = room > 0.0 ? room / out->opening : 0.0; // infinite when nothing opens it
    out->stress = room > 0.0 ? out->release * out->spread * cheek.stress : 0.0;
    if (out->opening == 0.0 && room > 0.0) out->stress = HUGE_VAL;
    return HW_OK;
}
