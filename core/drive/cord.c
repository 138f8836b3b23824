#include "drive/cord.h"
#include "base/vec.h"

#include <math.h>

double hw_capstan(double tension, double mu, double wrap)
{
    if (!(tension >= 0.0) || !(mu >= 0.0)) return (double)NAN;
    return tension * exp(mu * wrap);
}

double hw_capstan_mu(double high, double low, double wrap)
{
    if (!(low > 0.0) || !(high >= low) || !(wrap > 0.0)) return (double)NAN;
    return log(high / low) / wrap;
}

double hw_capstan_wrap(double high, double low, double mu)
{
    if (!(low > 0.0) || !(high >= low) || !(mu > 0.0)) return (double)NAN;
    return log(high / low) / mu;
}

double hw_belt_torque(double tight, double mu, double wrap, double radius)
{
    if (!(tight >= 0.0) || !(mu >= 0.0) || !(wrap >= 0.0) || !(radius > 0.0)) return (double)NAN;
    return -tight * expm1(-mu * wrap) * radius;
}

double hw_drum_step(double stiffness, double radius, double teeth)
{
    if (!(stiffness > 0.0) || !(radius > 0.0) || !(teeth >= 1.0)) return (double)NAN;
    return stiffness * 2.0 * HW_PI * radius / teeth;
}
