#include "pivot/beam.h"

#include <math.h>

// deflection = F l^3 / (d E I), stress = m F l / (b h^2 / 6)
static const struct {
    double d, m;
} of_kind[] = {
    [HW_BEAM_CANTILEVER] = {3.0, 1.0},
    [HW_BEAM_SUPPORTED] = {48.0, 0.25},
    [HW_BEAM_BUILT_IN] = {192.0, 0.125},
};

static bool positive(double x)
{
    return x > 0.0 && isfinite(x);
}

hw_code hw_beam_bend(hw_beam_kind kind, double load, double length, double width, double thickness,
                     double modulus, hw_bending *out)
{
    const double none = (double)NAN;
    *out = (hw_bending){none, none, none};
    bool ok = positive(length) && positive(width) && positive(thickness) && positive(modulus);
    if (!ok || !isfinite(load) || (unsigned)kind > HW_BEAM_BUILT_IN) return HW_BAD_INPUT;
    double slender = length / thickness;
    out->stiffness =
        of_kind[kind].d * modulus * width / (12.0 * slender * slender * slender); // d E I / l^3
    out->deflection = load / out->stiffness;
    out->stress = 6.0 * of_kind[kind].m * load * slender / (width * thickness);
    return HW_OK;
}
