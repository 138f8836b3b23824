#include "pivot/seat.h"

#include "base/vec.h"

#include <math.h>

static const double SHEAR = 0.57735026918962576; // of a yield stress: 1/sqrt(3)

// A lug tears on two planes from the hole's edge 40 degrees off the pull.
static const double SHEAR_FROM = 40.0 * HW_PI / 180.0;

static bool positive(double x)
{
    return x > 0.0 && isfinite(x);
}

static bool is_sound(const hw_seat *s, double apart)
{
    bool ok = positive(s->height) && positive(s->base) && s->land >= 0.0 && s->land <= s->height &&
              s->half_angle > 0.0 && s->half_angle < HW_PI / 2.0 && apart >= 0.0;
    return ok && s->base >= (s->height - s->land) * tan(s->half_angle);
}

// Radius of the bare cone at a height above its face.
static double radius_at(const hw_seat *s, double height)
{
    return s->base - (height - s->land) * tan(s->half_angle);
}

double hw_seat_area(const hw_seat *s, double apart)
{
    if (!is_sound(s, apart)) return (double)NAN;
    if (apart < s->land) return 2.0 * s->base * (s->land - apart);
    if (!(apart < s->height)) return 0.0;
    return (radius_at(s, apart) + radius_at(s, s->height)) * (s->height - apart);
}

double hw_seat_lever(const hw_seat *s, double apart)
{
    if (!is_sound(s, apart)) return (double)NAN;
    if (apart < s->land) return 0.5 * (apart + s->land);
    if (!(apart < s->height)) return s->height;
    double low = radius_at(s, apart), high = radius_at(s, s->height), reach = s->height - apart;
    double sum = low + high; // centroid of a trapezium
    return apart + (sum > 0.0 ? reach * (low + 2.0 * high) / (3.0 * sum) : 0.0);
}

// Share of the half circle round `off`, seen along the load, that is left when all within 45
// degrees of 0 is not there, off = 0 to pi in HW_SEAT_STEPS steps: 1 - (sin b - sin a) / 2, a and b
// from `off` to the ends of what is not there, each at most a quarter turn away.
static const double left[HW_SEAT_STEPS + 1] = {0.29289321881345254,
                                               0.30648007733892624,
                                               0.34671851756181171,
                                               0.41206219879032069,
                                               0.5,
                                               0.5975451610080641,
                                               0.69134171618254492,
                                               0.77778511650980109,
                                               0.85355339059327373,
                                               0.91573480615127267,
                                               0.96193976625564337,
                                               0.99039264020161522,
                                               1,
                                               1,
                                               1,
                                               1,
                                               1};

void hw_seat_areas_of(const hw_seat *s, double apart, hw_seat_areas *out)
{
    double whole = hw_seat_area(s, apart);
    bool land = s->land > apart;
    for (int i = 0; i <= HW_SEAT_STEPS; i++) out->at[i] = land ? whole * left[i] : whole;
}

double hw_seat_areas_at(const hw_seat_areas *a, double off)
{
    if (!(off >= 0.0 && off <= HW_PI)) return (double)NAN;
    double x = off / HW_PI * HW_SEAT_STEPS;
    int i = (int)fmin(x, HW_SEAT_STEPS - 1);
    return a->at[i] + (x - i) * (a->at[i + 1] - a->at[i]);
}

hw_stub hw_stub_of(const hw_seat *s, double apart, const hw_print_strength *of)
{
    double lever = hw_seat_lever(s, apart), r = s->base;
    hw_stub out = {NAN, NAN, NAN};
    if (isnan(lever) || !positive(of->along) || !positive(of->across)) return out;
    double area = HW_PI * r * r, held = apart < s->height ? 1.0 : 0.0;
    out.bend = 4.0 * lever / (area * r * of->along) / held;
    out.in_layer = 1.0 / (area * SHEAR * of->along) / held;
    out.between = 1.0 / (area * SHEAR * of->across) / held;
    return out;
}

double hw_stub_share(const hw_stub *s, double along, double across)
{
    double square = along * along + across * across;
    if (square == 0.0) return 0.0;
    double in = along * s->in_layer, between = across * s->between;
    if (isinf(s->bend)) return s->bend;
    return fmax(sqrt(square) * s->bend, sqrt(in * in + between * between));
}

double hw_eye_share(const hw_eye *e, const hw_print_strength *of, double pull)
{
    bool ok = positive(e->hole) && e->radius > e->hole && isfinite(e->radius) &&
              positive(e->depth) && positive(e->thickness) && positive(e->width) &&
              e->load_at >= 0.0 && positive(of->along) && positive(of->across) && isfinite(pull);
    if (!ok) return (double)NAN;
    double depth = fmin(e->depth, e->thickness), floor = e->thickness - depth;
    double load = fabs(pull), t = e->thickness;
    double offset = fabs(0.5 * t - e->load_at);
    double shank = load / (e->width * t) * (1.0 + 6.0 * offset / t) / of->along;
    if (!(pull > 0.0)) return shank;
    double wall = e->radius - e->hole;
    double net = load / (2.0 * (wall * depth + e->radius * floor)) / of->along;
    double ahead = e->radius - e->hole * cos(SHEAR_FROM);
    double holds = 2.0 * ahead * depth * of->across;
    if (floor > 0.0) holds += 2.0 * e->hole * ahead * of->along;
    return fmax(shank, fmax(net, load / (SHEAR * holds)));
}
