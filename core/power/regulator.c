#include "power/regulator.h"

#include <math.h>

static hw_code none(hw_regulator_heat *heat)
{
    const double n = (double)NAN;
    *heat = (hw_regulator_heat){n, n, n};
    return HW_BAD_INPUT;
}

// Efficiency without load is 0: nothing goes out.
static hw_code fill(double in, double power_out, double loss, hw_regulator_heat *heat)
{
    double power_in = power_out + loss;
    heat->loss = loss;
    heat->efficiency = power_out > 0.0 ? power_out / power_in : 0.0;
    heat->input = power_in / in;
    return HW_OK;
}

hw_code hw_regulator_linear(double in, double out, double current, double idle,
                            hw_regulator_heat *heat)
{
    bool ok = out > 0.0 && in >= out && isfinite(in) && current >= 0.0 && idle >= 0.0;
    if (!ok || !isfinite(current) || !isfinite(idle)) return none(heat);
    return fill(in, out * current, (in - out) * current + in * idle, heat);
}

hw_code hw_regulator_switching(double in, double out, double current, double efficiency,
                               hw_regulator_heat *heat)
{
    bool ok = out > 0.0 && in > 0.0 && isfinite(in) && isfinite(out) && current >= 0.0;
    if (!ok || !isfinite(current) || !(efficiency > 0.0 && efficiency <= 1.0)) return none(heat);
    return fill(in, out * current, out * current * (1.0 / efficiency - 1.0), heat);
}

double hw_regulator_junction(double ambient, double loss, double resistance)
{
    return ambient + loss * resistance;
}
