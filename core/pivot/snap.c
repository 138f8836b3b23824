#include "pivot/snap.h"
#include "base/vec.h"

#include <math.h>

double hw_snap_share(hw_snap_shape shape)
{
    // Double integrals of the moment (l - x) over the section's stiffness, l = h = 1.
    const double ln2 = 0.69314718055994530942;
    const double share[HW_SNAP_SHAPES] = {
        [HW_SNAP_EVEN] = 2.0 / 3.0,
        [HW_SNAP_HALF_THICK] = 16.0 * ln2 - 10.0,
        [HW_SNAP_QUARTER_WIDTH] = 16.0 * ln2 / 27.0 + 4.0 / 9.0,
    };
    return (unsigned)shape < HW_SNAP_SHAPES ? share[shape] : (double)NAN;
}

static bool positive(double x)
{
    return x > 0.0 && isfinite(x);
}

static bool is_sound(const hw_snap *s)
{
    bool ok = positive(s->length) && positive(s->width) && (unsigned)s->shape < HW_SNAP_SHAPES;
    return ok && s->mu >= 0.0 && s->lead >= 0.0 && s->lead < HW_PI / 2.0;
}

hw_code hw_snap_pass(const hw_snap *s, double undercut, hw_snap_result *out)
{
    const double none = (double)NAN;
    *out = (hw_snap_result){none, none, none};
    bool ok = is_sound(s) && positive(s->thickness) && positive(s->modulus) && undercut >= 0.0;
    if (!ok || !isfinite(undercut)) return HW_BAD_INPUT;
    double h = s->thickness, l = s->length, slope = tan(s->lead);
    out->strain = undercut * h / (hw_snap_share(s->shape) * l * l);
    out->bend = s->width * h * h / 6.0 * s->modulus * out->strain / l;
    double slip = 1.0 - s->mu * slope;
    out->mate = slip > 0.0 ? out->bend * (s->mu + slope) / slip : HUGE_VAL;
    return HW_OK;
}

double hw_snap_thickness(const hw_snap *s, double undercut, double strain)
{
    if (!is_sound(s) || !positive(undercut) || !positive(strain)) return (double)NAN;
    return hw_snap_share(s->shape) * strain * s->length * s->length / undercut;
}
