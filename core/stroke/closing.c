// Natural closing: a digit's coupling and tip path beside a reference law.
#include "stroke/chart.h"
#include "stroke/spiral.h"

#include <math.h>

enum { CHORDS = 256, SPIRAL_POINTS = 33 };

static hw_vec2 law_tip(const hw_digit *d, const double law[HW_JOINTS], double knuckle)
{
    hw_vec2 at = {0, 0};
    double turned = 0;
    for (int i = 0; i < HW_JOINTS; i++) {
        turned += knuckle * law[i] / law[0];
        at = hw_add(at, hw_flexed((hw_vec2){d->phalanx[i], 0}, turned));
    }
    return at;
}

static double chord_distance_sq(hw_vec2 a, hw_vec2 b, hw_vec2 p)
{
    hw_vec2 along = hw_sub(b, a), off = hw_sub(p, a);
    double length = hw_dot(along, along);
    double t = length > 0 ? hw_dot(off, along) / length : 0;
    t = t < 0 ? 0 : (t > 1 ? 1 : t);
    off = hw_sub(off, hw_scale(along, t));
    return hw_dot(off, off);
}

static double path_error(const hw_digit *d, const hw_stroke *s, const double law[HW_JOINTS],
                         double low, double high)
{
    double margin = (high - low) / 10, sum = 0;
    hw_vec2 node[CHORDS + 1];
    for (int k = 0; k <= CHORDS; k++)
        node[k] = law_tip(d, law, low - margin + (high - low + 2 * margin) * k / CHORDS);
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++) {
        if (!s->ok[i]) continue;
        hw_vec2 tip = {s->tip_x[i], s->tip_z[i]};
        int near = 0; // the chord nearest to a smooth path ends at its nearest node
        double least = INFINITY;
        for (int k = 0; k <= CHORDS; k++) {
            hw_vec2 off = hw_sub(node[k], tip);
            double away = hw_dot(off, off);
            near = away < least ? k : near;
            least = away < least ? away : least;
        }
        if (near > 0) least = fmin(least, chord_distance_sq(node[near - 1], node[near], tip));
        if (near < CHORDS) least = fmin(least, chord_distance_sq(node[near], node[near + 1], tip));
        sum += least;
        n++;
    }
    return sqrt(sum / (double)n) / (d->phalanx[0] + d->phalanx[1] + d->phalanx[2]);
}

static void fit_spiral(const hw_stroke *s, hw_closing *out)
{
    hw_vec2 path[SPIRAL_POINTS];
    size_t n = 0, step = s->n / SPIRAL_POINTS + 1;
    for (size_t i = 0; i < s->n; i += step)
        if (s->ok[i]) path[n++] = (hw_vec2){s->tip_x[i], s->tip_z[i]};
    hw_spiral fit;
    if (hw_spiral_fit(path, n, &fit)) return;
    out->spiral_angle = fit.angle;
    out->spiral_rms = fit.rms;
    out->spiral_pole = fit.pole;
}

hw_code hw_closing_of(const hw_digit *d, const hw_stroke *s, const double law[HW_JOINTS],
                      hw_closing *out)
{
    *out = (hw_closing){NAN, NAN, NAN, NAN, NAN, {NAN, NAN}, NAN, NAN};
    for (int j = 0; j < HW_JOINTS; j++)
        if (!isfinite(law[j])) return HW_BAD_INPUT;
    if (law[0] == 0) return HW_BAD_INPUT;
    size_t first = s->n, last = 0, n = 0;
    double low = INFINITY, high = -INFINITY, pip = 0, dip = 0;
    for (size_t i = 0; i < s->n; i++) {
        if (!s->ok[i]) continue;
        if (first == s->n) first = i;
        last = i;
        n++;
        double knuckle = s->joint[0][i];
        low = fmin(low, knuckle);
        high = fmax(high, knuckle);
        double off1 = s->joint[1][i] - knuckle * law[1] / law[0];
        double off2 = s->joint[2][i] - knuckle * law[2] / law[0];
        pip += off1 * off1;
        dip += off2 * off2;
    }
    if (n < 2) return HW_NO_ASSEMBLY;
    out->pip_rms = sqrt(pip / (double)n);
    out->dip_rms = sqrt(dip / (double)n);
    double moved[HW_JOINTS];
    for (int j = 0; j < HW_JOINTS; j++) moved[j] = s->joint[j][last] - s->joint[j][first];
    if (moved[0] != 0) out->pip_ratio = moved[1] / moved[0];
    if (moved[1] != 0) out->dip_ratio = moved[2] / moved[1];
    out->path_rms = path_error(d, s, law, low, high);
    fit_spiral(s, out);
    return HW_OK;
}
