#include "drive/heat.h"

#include <math.h>

static const double per_kelvin = 0.00393, cold = 293.15; // annealed copper at 20 degC [1/K] [K]

static bool is_sound(const hw_servo_heat *s, double current)
{
    bool ok = s->resistance >= 0.0 && s->winding >= 0.0 && s->outside > 0.0 && s->time > 0.0;
    ok = ok && s->room > 0.0 && current >= 0.0;
    return ok && isfinite(s->resistance + s->winding + s->outside + s->time + s->room + current);
}

// Heat while the case has a temperature: p0 (1 + a (Tw - T20)) with Tw = Tc + P winding gives
// P = rate (1 + a (Tc - T20)), rate = p0/(1 - a p0 winding); negative: the windings run away alone.
static double rate_of(const hw_servo_heat *s, double current) // [W] [A]
{
    double p0 = current * current * s->resistance;
    return p0 / (1.0 - per_kelvin * p0 * s->winding);
}

hw_code hw_servo_warms(const hw_servo_heat *s, double current, hw_servo_warmth *out)
{
    const double none = (double)NAN, all = (double)INFINITY;
    *out = (hw_servo_warmth){none, none, none};
    if (!is_sound(s, current)) return HW_BAD_INPUT;
    double p0 = current * current * s->resistance;
    double left = 1.0 - per_kelvin * p0 * (s->winding + s->outside);
    *out = (hw_servo_warmth){all, all, all};
    if (!(left > 0.0)) return HW_OK;
    out->power = p0 * (1.0 + per_kelvin * (s->room - cold)) / left;
    out->outside = s->room + out->power * s->outside;
    out->windings = out->outside + out->power * s->winding;
    return HW_OK;
}

// The case: dT/dt = (rate outside (1 + a (T - T20)) - (T - room))/time, straight in T: it gains on
// the limit as 1 - e^-x does, or e^x - 1 where it runs away.
double hw_servo_warm_time(const hw_servo_heat *s, double current, double limit)
{
    if (!is_sound(s, current) || !isfinite(limit)) return (double)NAN;
    if (limit <= s->room) return 0.0;
    double rate = rate_of(s, current);
    if (!(rate >= 0.0) || isinf(rate)) return 0.0; // of the windings' own quick time
    double push = rate * s->outside * (1.0 + per_kelvin * (s->room - cold)) / s->time; // [K/s]
    double back = (1.0 - rate * s->outside * per_kelvin) / s->time;                    // [1/s]
    double rise = limit - s->room, part = rise * back / push;
    if (!(push > 0.0) || part >= 1.0) return (double)INFINITY;
    return fabs(part) < 1e-8 ? rise / push : -log1p(-part) / back;
}
