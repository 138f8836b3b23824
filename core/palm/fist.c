// Fingers closing on the palm, finger by finger in its own plane.
#include "palm/fist.h"

#include "stack/stack.h"

#include <math.h>

enum { POSES = 17, BEYOND = 8, PLACES = 16, TRIES = 60, GOLDEN = 20, CLIMBS = 10 };
static const double step = 5 * HW_PI / 180; // of the knuckle past the closed end [rad]

typedef struct fist {
    const hw_palm_digit *d;
    const hw_palm_motion *m;
    double last[HW_SEGMENTS]; // joints at the closed end [rad]
    double front, inside;     // x of the palm's front, z of its inside, from the knuckle [m]
    hw_slab palm, edge;       // the palm's section, and its front alone
    hw_slab phalanx[HW_SEGMENTS];
    hw_disc disc[HW_SEGMENTS][2];
} fist;

static void discs_of(const hw_palm_digit *d, int k, hw_disc disc[2])
{
    double from = d->thickness[k] / 2, to = d->thickness[k + 1] / 2, length = d->segment[k];
    disc[0] = (hw_disc){{0, 0}, from};
    disc[1] = (hw_disc){{length, 0}, to};
    if (k + 1 == HW_SEGMENTS) { // ends in a disc that reaches the tip
        to = fmin(to, length / 2);
        disc[1] = (hw_disc){{length - to, 0}, to};
    }
    if (k > 0 || disc[1].at.x <= from) return;
    double share = from / disc[1].at.x;
    disc[0] = (hw_disc){{from, 0}, from + share * (disc[1].radius - from)};
}

static bool sound(const hw_palm *p, int digit, const hw_palm_motion *m)
{
    if (digit < 1 || digit >= HW_HAND_DIGITS || m->n < 2) return false;
    const hw_palm_digit *d = &p->digit[digit];
    bool ok = isfinite(p->setback) && isfinite(p->edge) && isfinite(p->thickness) &&
              isfinite(p->back) && isfinite(d->knuckle.at.x);
    for (int j = 0; j < HW_SEGMENTS; j++) {
        ok = ok && d->segment[j] > 0 && isfinite(d->segment[j]);
        for (size_t i = 0; i < m->n; i++) ok = ok && isfinite(m->joint[j][i]);
    }
    for (int k = 0; k < HW_PALM_DEPTHS; k++) ok = ok && d->thickness[k] > 0;
    return ok;
}

static fist fist_of(const hw_palm *p, int digit, const hw_palm_motion *m)
{
    fist f = {
        .d = &p->digit[digit], .m = m, .front = -p->setback, .inside = p->back - p->thickness};
    hw_palm_motion_at(m, 1, f.last);
    double r = fmin(p->edge, p->thickness / 2);
    double x = f.front - r, low = f.inside + r, high = p->back - r;
    double wrist = fmin(-f.d->knuckle.at.x + r, x);
    const hw_disc all[] = {{{x, low}, r}, {{x, high}, r}, {{wrist, low}, r}, {{wrist, high}, r}};
    f.palm = hw_slab_of(0, 0, HW_SLAB_BODY, 4, all);
    f.edge = hw_slab_of(0, 0, HW_SLAB_BODY, 2, all);
    for (int k = 0; k < HW_SEGMENTS; k++) {
        discs_of(f.d, k, f.disc[k]);
        f.phalanx[k] = hw_slab_of(0, k + 1, HW_SLAB_BODY, 2, f.disc[k]);
    }
    return f;
}

// `t` counts on past 1: there the knuckle alone goes on, `step` a unit of 1 / (POSES - 1).
static void joints_at(const fist *f, double t, double joint[HW_SEGMENTS])
{
    hw_palm_motion_at(f->m, fmin(t, 1), joint);
    if (t > 1) joint[0] += (t - 1) * (POSES - 1) * step;
}

static void places_of(const fist *f, const double joint[HW_SEGMENTS], hw_place at[HW_SEGMENTS])
{
    double turned = 0;
    hw_vec2 origin = {0, 0};
    for (int k = 0; k < HW_SEGMENTS; k++) {
        turned += joint[k];
        at[k] = (hw_place){origin, cos(turned), sin(turned)};
        origin = hw_add(origin, hw_flex((hw_vec2){f->d->segment[k], 0}, at[k].c, at[k].s));
    }
}

static double gap_of(const fist *f, const hw_slab *palm, const double joint[HW_SEGMENTS],
                     int *which) // [m]
{
    const hw_place still = {{0, 0}, 1, 0};
    hw_place at[HW_SEGMENTS];
    double least = INFINITY;
    places_of(f, joint, at);
    for (int k = 0; k < HW_SEGMENTS; k++) {
        double gap = hw_slabs_gap(palm, still, &f->phalanx[k], at[k]);
        if (gap >= least) continue;
        least = gap;
        *which = k;
    }
    return least;
}

static double gap_at(const fist *f, double t, int *which) // [m]
{
    double joint[HW_SEGMENTS];
    joints_at(f, t, joint);
    return gap_of(f, &f->palm, joint, which);
}

// Where the gap between an open and a touching pose vanishes: false position, the end that stays
// halved (Dowell & Jarratt 1971, BIT 11:168-174). Returns a place that touches.
static double touch_between(const fist *f, double open, double closed, int *which)
{
    double apart = gap_at(f, open, which), in = gap_at(f, closed, which);
    double start = closed - open;
    for (int n = 0, kept = 0; n < TRIES && closed - open > 1e-12 * start; n++) {
        double mid = open + (closed - open) * fmin(0.999, fmax(1e-3, apart / (apart - in)));
        double gap = gap_at(f, mid, which);
        if (gap > 0) {
            open = mid, apart = gap;
            if (kept > 0) in /= 2;
            kept = 1;
        } else {
            closed = mid, in = gap;
            if (kept < 0) apart /= 2;
            kept = -1;
        }
        if (gap == 0) break;
    }
    return closed;
}

// The first touch, or infinity.
static double first_touch(const fist *f, int *which)
{
    double before = 0;
    for (int i = 0; i < POSES + BEYOND; i++) {
        double t = (double)i / (POSES - 1);
        if (gap_at(f, t, which) > 0) {
            before = t;
            continue;
        }
        if (i == 0) return 0;
        double after = touch_between(f, before, t, which);
        (void)gap_at(f, after, which);
        return after;
    }
    *which = -1;
    return INFINITY;
}

hw_code hw_palm_stop_of(const hw_palm *p, int digit, const hw_palm_motion *m, double extra,
                        hw_palm_stop *out)
{
    const double none = (double)NAN;
    *out = (hw_palm_stop){none, none, none, -1, false, none, none};
    if (!sound(p, digit, m) || !isfinite(extra)) return HW_BAD_INPUT;
    fist f = fist_of(p, digit, m);
    double joint[HW_SEGMENTS];
    double t = first_touch(&f, &out->phalanx);
    out->knuckle = out->spare = INFINITY;
    out->at = t;
    out->relief = 0;
    int any;
    if (isfinite(t)) {
        joints_at(&f, t, joint);
        out->knuckle = joint[0];
        out->spare = joint[0] - f.last[0];
        // touching, the front alone is as near as the whole
        double front = gap_of(&f, &f.edge, joint, &any);
        out->front = front <= 1e-6 * p->thickness;
        joint[0] += extra;
        out->relief = fmax(0, -gap_of(&f, &f.palm, joint, &any));
    }
    joints_at(&f, fmin(t, 1), joint);
    hw_place at[HW_SEGMENTS];
    places_of(&f, joint, at);
    out->reach = hw_slabs_gap(&f.palm, (hw_place){{0, 0}, 1, 0}, &f.phalanx[HW_SEGMENTS - 1],
                              at[HW_SEGMENTS - 1]);
    return HW_OK;
}

// ---- cylinders: circles of radius R that touch the inside, their middle at (x, inside - R)

// Largest R beside a disc: (x - a)^2 + (h - R)^2 = (R + r)^2, h from the inside down to the disc.
static double beside_disc(const fist *f, hw_vec2 at, double r, double x)
{
    double across = x - at.x, down = f->inside - at.z;
    double square = across * across + down * down - r * r;
    if (square <= 0) return 0; // the palm's surface there is inside the disc
    return down + r > 0 ? square / (2 * (down + r)) : (double)INFINITY;
}

// Largest R beside the palmar side of a phalanx, where it touches between its ends.
static double beside_line(const fist *f, int k, const hw_place *at, double x)
{
    const hw_disc *d = f->disc[k];
    double length = d[1].at.x - d[0].at.x, nx = (d[0].radius - d[1].radius) / length;
    if (!(length > 0) || fabs(nx) >= 1) return INFINITY;
    hw_vec2 n = hw_flex((hw_vec2){nx, -sqrt(1 - nx * nx)}, at->c, at->s);
    hw_vec2 from = hw_add(at->at, hw_flex(d[0].at, at->c, at->s));
    hw_vec2 to = hw_add(at->at, hw_flex(d[1].at, at->c, at->s));
    double far = n.x * x + n.z * f->inside - hw_dot(n, from) - d[0].radius;
    if (!(1 + n.z > 0)) return INFINITY;
    double radius = far / (1 + n.z);
    hw_vec2 along = {-n.z, n.x}, middle = {x, f->inside - radius};
    double foot = hw_dot(hw_sub(middle, from), along), end = hw_dot(hw_sub(to, from), along);
    if (end < 0) foot = -foot, end = -end;
    return foot >= 0 && foot <= end ? fmax(radius, 0) : (double)INFINITY;
}

static double radius_at(const fist *f, const hw_place at[HW_SEGMENTS], double x) // [m]
{
    double least = INFINITY;
    for (int k = 0; k < HW_SEGMENTS; k++) {
        for (int e = 0; e < 2; e++) {
            hw_vec2 c = hw_add(at[k].at, hw_flex(f->disc[k][e].at, at[k].c, at[k].s));
            least = fmin(least, beside_disc(f, c, f->disc[k][e].radius, x));
        }
        least = fmin(least, beside_line(f, k, &at[k], x));
    }
    return least;
}

// Largest circle under which the finger's end reaches; NaN: none.
static double enclosed(const fist *f, double t) // [m]
{
    double joint[HW_SEGMENTS];
    hw_place at[HW_SEGMENTS];
    joints_at(f, t, joint);
    places_of(f, joint, at);
    const hw_place *last = &at[HW_SEGMENTS - 1];
    hw_vec2 tip = hw_add(last->at, hw_flex(f->disc[HW_SEGMENTS - 1][1].at, last->c, last->s));
    double from = fmax(tip.x, -f->d->knuckle.at.x), to = f->front;
    if (!(from < to) || tip.z > f->inside) return (double)NAN;
    double best = -1, where = from, width = (to - from) / PLACES;
    for (int i = 0; i <= PLACES; i++) {
        double x = from + i * width, r = radius_at(f, at, x);
        if (r > best && isfinite(r)) best = r, where = x;
    }
    double a = fmax(from, where - width), b = fmin(to, where + width);
    for (int i = 0; i < GOLDEN; i++) {
        double u = a + 0.381966 * (b - a), v = b - 0.381966 * (b - a);
        double ru = radius_at(f, at, u), rv = radius_at(f, at, v);
        if (ru > rv)
            b = v;
        else
            a = u;
        best = fmax(best, fmax(isfinite(ru) ? ru : 0, isfinite(rv) ? rv : 0));
    }
    return best > 0 ? best : (double)NAN;
}

hw_code hw_palm_cylinders_of(const hw_palm *p, int digit, const hw_palm_motion *m, double stop,
                             hw_palm_cylinders *out)
{
    const double none = (double)NAN;
    *out = (hw_palm_cylinders){none, none, none};
    if (!sound(p, digit, m) || !(stop >= 0)) return HW_BAD_INPUT;
    fist f = fist_of(p, digit, m);
    double best = -1, at = 0, cut = 1.0 / (POSES - 1);
    stop = fmin(stop, 1);
    for (int i = 0; i < POSES; i++) {
        double t = stop * i / (POSES - 1), r = enclosed(&f, t);
        if (r > best) best = r, at = t;
    }
    out->least = 2 * enclosed(&f, stop);
    if (best < 0) return HW_OK;
    for (int n = 0; n < CLIMBS; n++, cut /= 2) { // on to the best pose between
        double up = at + cut <= stop ? enclosed(&f, at + cut) : none;
        double down = at - cut >= 0 ? enclosed(&f, at - cut) : none;
        if (up > best && !(down > up))
            best = up, at += cut;
        else if (down > best)
            best = down, at -= cut;
    }
    out->most = 2 * best;
    out->at = at;
    return HW_OK;
}
