// The share of the palm that the thumb sweeps: cells of the palm, each asked how near its middle
// comes to what turns there.
#include "palm/pack.h"
#include "palm/thumb.h"

#include <math.h>

enum { TURNS = 64 }; // of opposition, at most

// What opposes, in the frame of the thumb's base at each turn.
typedef struct sweep {
    hw_frame base[TURNS];
    int turns;
    hw_vec3 middle, half;      // of carrier and plate, a block [m]
    double side;               // half the width of all of them [m]
    double from, to, length;   // the metacarpal's ends: radii, and how far apart [m]
    double along[2], ahead[2]; // cosine and sine: of its travel's middle, of half of it [1]
    hw_frame axis;             // x along it, at the journal's palm end
    double journal, mouth;     // radius and length [m]
} sweep;

// Carriers, plates and metacarpals are as wide as the digit; all of it grows by the gap.
static void sweep_of(const hw_palm *p, const hw_palm_motion *thumb, const hw_thumb_seat *seat,
                     double cell, sweep *out) // [m]
{
    const hw_palm_digit *d = &p->digit[0];
    double low = INFINITY, high = -INFINITY, gap = seat->gap, travel[2];
    for (size_t i = 0; i < thumb->n; i++) {
        low = fmin(low, thumb->joint[0][i]);
        high = fmax(high, thumb->joint[0][i]);
    }
    if (!(low <= high)) low = high = 0;
    travel[0] = p->opposition[0], travel[1] = p->opposition[1];
    // what lies half a palm off goes on by no more than a cell
    double steps = ceil(fabs(travel[1] - travel[0]) * 0.5 * p->length / cell);
    out->turns = 1 + (int)fmax(1, fmin(steps, TURNS - 1));
    for (int i = 0; i < out->turns; i++) {
        double at = travel[0] + (travel[1] - travel[0]) * i / (out->turns - 1);
        out->base[i] = hw_frame_turned(&d->knuckle, p->opposition_at, p->opposition_axis, at);
    }
    double back = seat->block[0][0] - seat->plate;
    out->middle = (hw_vec3){0.5 * back, 0, 0};
    out->side = 0.5 * d->width + gap;
    out->half = (hw_vec3){gap - 0.5 * back, out->side, 0.5 * d->thickness[0] + gap};
    out->from = 0.5 * d->thickness[0] + gap;
    out->to = 0.5 * d->thickness[1] + gap;
    out->length = d->segment[0];
    out->along[0] = cos(0.5 * (low + high)), out->along[1] = sin(0.5 * (low + high));
    out->ahead[0] = cos(0.5 * (high - low)), out->ahead[1] = sin(0.5 * (high - low));
    out->axis = p->thumb_base;
    out->axis.at = p->opposition_at;
    out->journal = seat->journal + seat->wall + gap;
    out->mouth = hw_thumb_mouth(p, seat);
}

// From the hull of two discs on the x axis, the first about 0; < 0 inside.
static double off_discs(double x, double z, const sweep *s) // [m] [m] [m]
{
    double slant = (s->from - s->to) / s->length;
    if (!(fabs(slant) < 1))
        return s->from > s->to ? hypot(x, z) - s->from : hypot(x - s->length, z) - s->to;
    double up = sqrt(1 - slant * slant), on = up * x - slant * z;
    if (on < 0) return hypot(x, z) - s->from;
    if (on > up * s->length) return hypot(x - s->length, z) - s->to;
    return slant * x + up * z - s->from;
}

// From the metacarpal in the flexion that brings it nearest. Both discs lie before the joint, so
// that a point on a circle about it is the nearer the less it lies off their line.
static double off_metacarpal(hw_vec3 q, const sweep *s) // [m]
{
    double x = q.x * s->along[0] - q.z * s->along[1],
           z = fabs(q.x * s->along[1] + q.z * s->along[0]);
    double r = hypot(x, z);
    if (x >= r * s->ahead[0]) return off_discs(r, 0, s);
    return off_discs(x * s->ahead[0] + z * s->ahead[1], fabs(z * s->ahead[0] - x * s->ahead[1]), s);
}

static double off_block(hw_vec3 q, const sweep *s) // [m]
{
    return fmax(fabs(q.x - s->middle.x) - s->half.x, fabs(q.z) - s->half.z);
}

// How far a point lies from all that the thumb sweeps, as far as half a cell tells: < 0 inside.
static double off(const sweep *s, hw_vec3 at, double cell) // [m] [m]
{
    hw_vec3 on = hw_frame_seen(&s->axis, at);
    double least = fmax(fmax(on.x, -s->mouth - on.x), hypot(on.y, on.z) - s->journal);
    least = fmin(least, 0.5 * cell);
    for (int i = 0; i < s->turns && least > -0.5 * cell; i++) {
        hw_vec3 q = hw_frame_seen(&s->base[i], at);
        double aside = fabs(q.y) - s->side;
        if (aside >= least) continue;
        least = fmin(least, fmax(aside, fmin(off_block(q, s), off_metacarpal(q, s))));
    }
    return least;
}

// Where the palm ends and the fingers' carriers begin.
static double front_of(const hw_palm *p, const hw_thumb_seat *seat) // [m]
{
    double front = p->length;
    for (int d = 1; d < HW_HAND_DIGITS; d++)
        if (p->digit[d].present) front = fmin(front, p->digit[d].knuckle.at.x + seat->block[d][0]);
    return front;
}

double hw_thumb_swept(const hw_palm *p, const hw_palm_motion *thumb, const hw_thumb_seat *seat,
                      int cells)
{
    sweep s;
    double front = front_of(p, seat), cell = p->length / cells, all = 0, gone = 0;
    if (cells < 1 || !isfinite(front + seat->block[0][0] + seat->gap)) return (double)NAN;
    sweep_of(p, thumb, seat, cell, &s);
    int n[3] = {(int)fmax(1, ceil(front / cell)), 0, 0};
    for (int i = 0; i < n[0]; i++) {
        double x = front * (i + 0.5) / n[0], y[2], z[2];
        hw_palm_across(p, x, y);
        n[1] = (int)fmax(1, ceil((y[1] - y[0]) / cell));
        for (int k = 0; k < n[1]; k++) {
            double at = y[0] + (y[1] - y[0]) * (k + 0.5) / n[1];
            hw_palm_depth(p, x, at, z);
            if (isnan(z[0])) continue;
            n[2] = (int)fmax(1, ceil((z[1] - z[0]) / cell));
            double part = (y[1] - y[0]) / n[1] * (z[1] - z[0]) / n[2];
            for (int m = 0; m < n[2]; m++) {
                hw_vec3 middle = {x, at, z[0] + (z[1] - z[0]) * (m + 0.5) / n[2]};
                // a cell on the edge counts in part
                gone += part * fmin(1, 0.5 - off(&s, middle, cell) / cell);
                all += part;
            }
        }
    }
    return all > 0 ? gone / all : 0;
}
