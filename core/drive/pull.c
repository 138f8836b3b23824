// Both cords of a digit in balance. Symbols: m = mu b, the friction's exponent over one sheath;
// phi = (1 - e^-m)/m, the mean of a tension that falls from 1 to e^-m; P the pretension.
#include "drive/drive_internal.h"

#include <math.h>

double hw_drive_mean(double m)
{
    return m > 0.0 ? -expm1(-m) / m : 1.0;
}

// While neither is slack the means of both tensions add up to 2 P, the stretch that the pretension
// gave them; the opening cord's lesser tension follows, and is 0 when the drum pulls harder.
static void pull_of_pair(const hw_drive *d, double drum_force, double m, bool holding,
                         hw_drive_pull *out)
{
    double given = 2.0 * d->pretension / hw_drive_mean(m), grows = exp(m), falls = exp(-m);
    if (holding) {
        // given = T_pulley + t, T_pulley = (F + t) e^m, t of the opening cord at the drum
        double t = fmax((given - drum_force * grows) / (1.0 + grows), 0.0);
        out->drum = drum_force + t;
        out->pulley = out->drum * grows;
        out->against = t * falls;
    } else {
        // given = T_drum + t, T_drum = F + t e^-m, t of the opening cord at the pulley
        out->against = fmax((given - drum_force) / (1.0 + falls), 0.0);
        out->drum = drum_force + out->against * falls;
        out->pulley = out->drum * falls;
    }
    out->torque = d->pulley_radius * (out->pulley - out->against);
}

void hw_drive_pull_of(const hw_drive *d, double drum_force, double mu, bool holding,
                      double back_torque, hw_drive_pull *out)
{
    const double none = (double)NAN;
    *out = (hw_drive_pull){none, none, none, drum_force};
    if (d->direct) return;
    double m = mu * d->sheath_bend;
    if (d->back == HW_RETURN_CORD) {
        pull_of_pair(d, drum_force, m, holding, out);
        return;
    }
    out->drum = drum_force;
    out->pulley = drum_force * exp(holding ? m : -m);
    out->against = 0.0;
    out->torque = d->pulley_radius * out->pulley - back_torque;
}

double hw_drive_hold_of(const hw_drive *d, double torque, double mu, double back_torque)
{
    if (d->direct) return torque > 0.0 ? torque : 0.0;
    double m = mu * d->sheath_bend, force;
    if (d->back == HW_RETURN_CORD) {
        double at_pulley = torque / d->pulley_radius, grows = exp(m);
        // both taut: F e^m + t (e^m - e^-m) = torque/r with t = a - b F
        double a = 2.0 * d->pretension / hw_drive_mean(m) / (1.0 + grows),
               b = grows / (1.0 + grows);
        double both = grows - exp(-m);
        force = (at_pulley - a * both) / (grows - b * both);
        if (b * force > a) force = at_pulley / grows; // the opening cord is slack
    } else
        force = (torque + back_torque) / d->pulley_radius * exp(-m);
    return force > 0.0 ? force : 0.0;
}

double hw_drive_free_of(const hw_drive *d, double mu, double back_torque)
{
    if (d->direct) return 0.0;
    double m = mu * d->sheath_bend;
    if (d->back == HW_RETURN_ELASTIC) return back_torque / d->pulley_radius * exp(m);
    // T at the pulley of both cords: t = 2 P/(phi (1 + e^m)); the drum feels t e^m - t e^-m
    return 2.0 * d->pretension / hw_drive_mean(m) / (1.0 + exp(m)) * 2.0 * sinh(m);
}

double hw_drive_moving(const hw_drive *d, double mu, double back_torque)
{
    return hw_drive_free_of(d, mu, back_torque) * (d->direct ? 1.0 : d->drum_radius);
}
