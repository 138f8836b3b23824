#include "power/rail.h"

#include <math.h>

static bool is_range(double x, double most)
{
    return x >= 0.0 && x <= most && isfinite(x);
}

static bool is_sound(const hw_servo_feed *source, const hw_rail_load load[], size_t n)
{
    bool ok = is_range(source->emf, INFINITY) && is_range(source->resistance, INFINITY);
    for (size_t i = 0; i < n; i++) {
        const hw_rail_load *l = &load[i];
        hw_servo_feed own = {source->emf, l->resistance};
        double asked = l->by_torque ? hw_servo_fed_at_torque(&l->line, l->rated, &own, l->torque)
                                    : hw_servo_fed_at_share(&l->line, l->rated, &own, l->share);
        ok = ok && !isnan(asked);
    }
    return ok;
}

// What one servo gets and draws from a bus at a voltage.
static double at_bus(const hw_rail_load *l, double bus, double *volts) // [V]
{
    hw_servo_feed own = {bus, l->resistance};
    double share = l->share;
    if (l->by_torque) {
        *volts = hw_servo_fed_at_torque(&l->line, l->rated, &own, l->torque);
        double stall = *volts / l->rated * l->line.stall_torque;
        share = l->torque > 0.0 ? l->torque / stall : 0.0;
    }
    // at more than its stall torque it stands, and draws what a stalled servo draws
    if (!(share < 1.0)) share = 1.0;
    if (!l->by_torque || share >= 1.0)
        *volts = hw_servo_fed_at_share(&l->line, l->rated, &own, share);
    return hw_servo_draws(&l->line, l->rated, *volts, share);
}

// What is left of the source's voltage at a guessed bus voltage, less the guess: falls as it rises.
static double excess(const hw_servo_feed *source, const hw_rail_load load[], size_t n,
                     double bus) // [V]
{
    double sum = 0.0, volts;
    for (size_t i = 0; i < n; i++) sum += at_bus(&load[i], bus, &volts);
    return source->emf - source->resistance * sum - bus;
}

// Regula falsi that halves the end which stays (Illinois): one step where all is straight.
static double root(const hw_servo_feed *source, const hw_rail_load load[], size_t n) // [V]
{
    double low = 0.0, high = source->emf;
    double above = excess(source, load, n, low), below = excess(source, load, n, high);
    if (!(above > 0.0)) return 0.0;
    if (!(below < 0.0)) return high;
    double tiny = 4e-15 * source->emf;
    for (int side = 0, k = 0; k < 200 && high - low > tiny; k++) {
        double at = (low * below - high * above) / (below - above);
        double e = excess(source, load, n, at);
        if (fabs(e) <= tiny) return at;
        if (e > 0.0) {
            low = at;
            above = e;
            if (side > 0) below *= 0.5;
            side = 1;
        } else {
            high = at;
            below = e;
            if (side < 0) above *= 0.5;
            side = -1;
        }
    }
    return 0.5 * (low + high);
}

hw_code hw_rail_solve(const hw_servo_feed *source, const hw_rail_load load[], size_t n, double *bus,
                      double volt[], double ampere[])
{
    bool ok = is_sound(source, load, n);
    *bus = ok ? root(source, load, n) : (double)NAN;
    for (size_t i = 0; i < n; i++) {
        double volts = NAN, amps = ok ? at_bus(&load[i], *bus, &volts) : (double)NAN;
        if (volt) volt[i] = volts;
        if (ampere) ampere[i] = amps;
    }
    return ok ? HW_OK : HW_BAD_INPUT;
}

hw_servo_feed hw_rail_feed(const hw_servo_feed *source, const hw_rail_load load[], size_t n,
                           const double ampere[], size_t i)
{
    double others = 0.0;
    for (size_t k = 0; k < n; k++)
        if (k != i) others += ampere[k];
    return (hw_servo_feed){fmax(source->emf - source->resistance * others, 0.0),
                           source->resistance + load[i].resistance};
}
