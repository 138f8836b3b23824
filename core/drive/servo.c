#include "drive/servo.h"

#include <math.h>

static bool is_sound(const hw_servo_line *s)
{
    bool ok = s->stall_torque > 0.0 && s->no_load_speed > 0.0 && s->no_load_current >= 0.0;
    ok = ok && isfinite(s->stall_torque) && isfinite(s->no_load_speed);
    return ok && (s->stall_current >= s->no_load_current);
}

// `share` of the stall torque
static hw_code point(const hw_servo_line *s, double share, hw_servo_point *out)
{
    const double none = (double)NAN;
    *out = (hw_servo_point){none, none, none, none};
    if (!is_sound(s) || !isfinite(share)) return HW_BAD_INPUT;
    out->torque = share * s->stall_torque;
    out->speed = (1.0 - share) * s->no_load_speed;
    out->current = s->no_load_current + share * (s->stall_current - s->no_load_current);
    out->power = out->torque * out->speed;
    return HW_OK;
}

hw_code hw_servo_at_torque(const hw_servo_line *s, double torque, hw_servo_point *out)
{
    return point(s, torque / s->stall_torque, out);
}

hw_code hw_servo_at_speed(const hw_servo_line *s, double speed, hw_servo_point *out)
{
    return point(s, 1.0 - speed / s->no_load_speed, out);
}

double hw_servo_most_power(const hw_servo_line *s)
{
    return is_sound(s) ? s->stall_torque * s->no_load_speed / 4.0 : (double)NAN;
}

hw_servo_line hw_servo_at_voltage(const hw_servo_line *s, double rated, double voltage)
{
    double k = rated > 0.0 && voltage > 0.0 ? voltage / rated : (double)NAN;
    return (hw_servo_line){.stall_torque = k * s->stall_torque,
                           .no_load_speed = k * s->no_load_speed,
                           .stall_current = fmax(k * s->stall_current, s->no_load_current),
                           .no_load_current = s->no_load_current};
}

static bool is_fed(const hw_servo_line *s, double rated, const hw_servo_feed *f)
{
    return is_sound(s) && isfinite(s->stall_current) && rated > 0.0 && isfinite(rated) &&
           f->emf >= 0.0 && isfinite(f->emf) && f->resistance >= 0.0 && isfinite(f->resistance);
}

double hw_servo_draws(const hw_servo_line *s, double rated, double voltage, double share)
{
    double stalled = fmax(voltage / rated * s->stall_current, s->no_load_current);
    return s->no_load_current + share * (stalled - s->no_load_current);
}

// So little voltage that even a stall draws no more than the no-load current.
static double starved(const hw_servo_line *s, const hw_servo_feed *f) // [V]
{
    return fmax(f->emf - f->resistance * s->no_load_current, 0.0);
}

double hw_servo_fed_at_share(const hw_servo_line *s, double rated, const hw_servo_feed *f,
                             double share)
{
    if (!is_fed(s, rated, f) || !(share >= 0.0 && share <= 1.0)) return (double)NAN;
    double per_volt = share * s->stall_current / rated; // [A/V]
    double voltage = (f->emf - f->resistance * (1.0 - share) * s->no_load_current) /
                     (1.0 + f->resistance * per_volt);
    bool runs = voltage * s->stall_current >= s->no_load_current * rated;
    return runs ? voltage : starved(s, f);
}

// V = E - R (I0 + tau Is - tau I0 Vr/V) with tau the torque over the rated stall torque: V^2 - B V
// - R I0 tau Vr = 0.
double hw_servo_fed_at_torque(const hw_servo_line *s, double rated, const hw_servo_feed *f,
                              double torque)
{
    if (!is_fed(s, rated, f) || !(torque >= 0.0 && isfinite(torque))) return (double)NAN;
    double tau = torque / s->stall_torque, r = f->resistance, i0 = s->no_load_current;
    double b = f->emf - r * (i0 + tau * s->stall_current), c = r * i0 * tau * rated;
    double root = sqrt(b * b + 4.0 * c);
    double voltage = b > 0.0 ? 0.5 * (b + root) : root > b ? 2.0 * c / (root - b) : 0.0;
    bool runs = voltage * s->stall_current >= i0 * rated;
    return runs ? voltage : starved(s, f);
}
