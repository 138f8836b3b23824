#include "power/wire.h"
#include "base/vec.h"

#include <math.h>

hw_code hw_wire_of(double gauge, double temperature, hw_wire *out)
{
    const double none = (double)NAN;
    *out = (hw_wire){none, none, none};
    bool ok = gauge >= -3.0 && gauge <= 40.0 && temperature >= 200.0 && temperature <= 500.0;
    if (!ok) return HW_BAD_INPUT;
    const double resistivity = 1.7241e-8, per_kelvin = 0.00393; // annealed copper at 293.15 K
    out->diameter = 0.127e-3 * pow(92.0, (36.0 - gauge) / 39.0);
    out->area = HW_PI / 4.0 * out->diameter * out->diameter;
    out->resistance = resistivity * (1.0 + per_kelvin * (temperature - 293.15)) / out->area;
    return HW_OK;
}

double hw_wire_drop(const hw_wire *w, double length, double current)
{
    if (!(length >= 0.0) || !(current >= 0.0)) return (double)NAN;
    return 2.0 * length * w->resistance * current;
}
