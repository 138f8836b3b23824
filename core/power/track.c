#include "power/track.h"

#include <math.h>

static const double mil = 25.4e-6; // [m]
static const double rise_power = 0.44, area_power = 0.725;

static double factor(hw_track_layer layer)
{
    return layer == HW_TRACK_EXTERNAL ? 0.048 : layer == HW_TRACK_INTERNAL ? 0.024 : (double)NAN;
}

double hw_track_width(double current, double rise, double copper, hw_track_layer layer)
{
    if (!(current > 0.0) || !(rise > 0.0) || !(copper > 0.0)) return (double)NAN;
    double area = pow(current / (factor(layer) * pow(rise, rise_power)), 1.0 / area_power);
    return area * mil * mil / copper;
}

double hw_track_current(double width, double rise, double copper, hw_track_layer layer)
{
    if (!(width > 0.0) || !(rise > 0.0) || !(copper > 0.0)) return (double)NAN;
    return factor(layer) * pow(rise, rise_power) * pow(width * copper / (mil * mil), area_power);
}
