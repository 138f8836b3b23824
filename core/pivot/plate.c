#include "pivot/plate.h"
#include "base/vec.h"

#include <math.h>

static bool positive(double x)
{
    return x > 0.0 && isfinite(x);
}

double hw_plate_stiffness(const hw_plate *p)
{
    bool ok = positive(p->radius) && positive(p->thickness) && positive(p->modulus);
    if (!ok || !(p->poisson >= 0.0 && p->poisson < 0.5)) return (double)NAN;
    double t = p->thickness;
    return p->modulus * t * t * t / (12.0 * (1.0 - p->poisson * p->poisson));
}

hw_code hw_plate_pressed(const hw_plate *p, double pressure, double *deflection, double *stress)
{
    double d = hw_plate_stiffness(p), a = p->radius, nu = p->poisson;
    bool clamped = p->edge == HW_PLATE_CLAMPED;
    double share = clamped ? 1.0 : (5.0 + nu) / (1.0 + nu);
    double bend = clamped ? 0.75 : 0.375 * (3.0 + nu);
    double slender = a / p->thickness;
    bool ok = isfinite(d) && isfinite(pressure);
    *deflection = ok ? share * pressure * a * a * a * a / (64.0 * d) : (double)NAN;
    if (stress) *stress = ok ? bend * pressure * slender * slender : (double)NAN;
    return ok ? HW_OK : HW_BAD_INPUT;
}

double hw_plate_poked(const hw_plate *p, double force)
{
    double d = hw_plate_stiffness(p), nu = p->poisson;
    double share = p->edge == HW_PLATE_CLAMPED ? 1.0 : (3.0 + nu) / (1.0 + nu);
    return share * force * p->radius * p->radius / (16.0 * HW_PI * d);
}
