#include "pivot/journal.h"

#include <math.h>

double hw_journal_circle(double radius, double mu)
{
    if (!(radius >= 0.0) || !(mu >= 0.0)) return (double)NAN;
    return radius * mu / hypot(1.0, mu); // sin(atan mu)
}

double hw_lever_effort(double load, double load_arm, double effort_arm, double circle, bool holding)
{
    if (!(circle >= 0.0) || !(load_arm > circle) || !(effort_arm > circle)) return (double)NAN;
    double sign = holding ? -1.0 : 1.0;
    return load * (load_arm + sign * circle) / (effort_arm - sign * circle);
}
