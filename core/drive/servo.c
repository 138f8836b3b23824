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
