#include "pivot/wedge.h"
#include "base/vec.h"

#include <math.h>

static bool not_negative(double x)
{
    return x >= 0.0 && isfinite(x);
}

static bool incline_is_sound(double load, double slope, double mu)
{
    return not_negative(load) && slope >= 0.0 && slope < HW_PI / 2.0 && not_negative(mu);
}

double hw_incline_raise(double load, double slope, double mu)
{
    if (!incline_is_sound(load, slope, mu)) return (double)NAN;
    double lean = slope + atan(mu);
    return lean < HW_PI / 2.0 ? load * tan(lean) : HUGE_VAL;
}

double hw_incline_hold(double load, double slope, double mu)
{
    if (!incline_is_sound(load, slope, mu)) return (double)NAN;
    return load * tan(slope - atan(mu));
}

hw_code hw_wedge_forces(const hw_wedge *w, double load, double *push, double *pull)
{
    *push = *pull = (double)NAN;
    bool ok = not_negative(load) && w->angle >= 0.0 && w->angle < HW_PI / 2.0;
    ok = ok && not_negative(w->mu_top) && not_negative(w->mu_base) && not_negative(w->mu_side);
    if (!ok) return HW_BAD_INPUT;
    double a = w->angle, top = atan(w->mu_top), base = atan(w->mu_base), side = atan(w->mu_side);
    // Reaction at the slanted face leans by a + top when the load rises, and the guide's friction
    // pulls down; when it sinks the face leans by a - top, and the guide holds up, whichever side
    // the load leans on.
    double up = a + top + side;
    bool jams = !(up < HW_PI / 2.0);
    *push = jams ? HUGE_VAL : load * cos(side) / cos(up) * sin(a + top + base) / cos(base);
    double down = load * cos(side) / cos(fabs(a - top) - side);
    *pull = down * sin(top + base - a) / cos(base);
    return HW_OK;
}

static double thread(const hw_screw *s, double sign)
{
    bool ok = s->mean_radius > 0.0 && s->lead > 0.0 && not_negative(s->mu);
    if (!ok) return (double)NAN;
    double slope = atan(s->lead / (2.0 * HW_PI * s->mean_radius)),
           lean = atan(s->mu) + sign * slope;
    return lean < HW_PI / 2.0 ? s->mean_radius * tan(lean) : HUGE_VAL;
}

double hw_screw_tighten(const hw_screw *s)
{
    return thread(s, 1.0);
}

double hw_screw_loosen(const hw_screw *s)
{
    return thread(s, -1.0);
}
