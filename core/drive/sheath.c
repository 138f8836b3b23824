#include "drive/sheath.h"
#include "base/vec.h"

#include <math.h>

hw_code hw_sheath_pull_of(const hw_sheath *s, double tension, hw_sheath_pull *out)
{
    const double none = (double)NAN;
    *out = (hw_sheath_pull){none, none, none, none, none, none};
    bool ok = s->length > 0.0 && s->bend >= 0.0 && s->mu >= 0.0 && tension >= 0.0;
    ok = ok && s->cord_stiffness > 0.0 && s->sheath_stiffness > 0.0;
    double m = s->mu * s->bend;
    if (!ok || !isfinite(m) || !isfinite(tension) || !isfinite(s->length)) return HW_BAD_INPUT;
    double mean = m > 0.0 ? -expm1(-m) / m : 1.0; // of the tension along the sheath, over T
    out->out = tension * exp(-m);
    out->holding = tension * exp(m);
    out->stretch = tension * mean * s->length / s->cord_stiffness;
    out->shortening = tension * mean * s->length / s->sheath_stiffness;
    out->reversal = exp(2.0 * m);
    out->pull_share = mean;
    return HW_OK;
}

double hw_sheath_clip_span(double stiffness, double tension)
{
    if (!(stiffness > 0.0) || !(tension > 0.0)) return (double)NAN;
    return HW_PI * sqrt(stiffness / tension);
}

double hw_tube_bend_radius(double outer, double wall)
{
    if (!(wall > 0.0) || !(outer > wall)) return (double)NAN;
    return outer * outer / wall;
}
