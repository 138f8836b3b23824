// The thumb's pad against a finger's.
#include "palm/oppose.h"

#include <math.h>

enum { FREE = 7, RESIDUALS = 12, STARTS = 6, ROUNDS = 30 };

typedef struct pads {
    const hw_palm *p;
    const hw_palm_hold *hold;
    const hw_palm_motion *motion;
    int free, residuals; // in use
    double length;       // what distances are measured by: the thumb's last segment [m]
    double facing;       // weight of the angle [1]
    double low[FREE], high[FREE];
} pads;

// The place on a finger that is held, and the way out of it.
static hw_vec3 held_at(const hw_palm *p, int finger, hw_held_on on, const hw_palm_pose *pose,
                       hw_vec3 *normal)
{
    const hw_palm_digit *d = &p->digit[finger];
    const hw_frame *f = &pose->phalanx[1];
    if (on == HW_HELD_PAD) return hw_palm_pad(p, finger, pose, normal);
    double out = on == HW_HELD_SIDE ? 0.5 * d->width : 0.25 * (d->thickness[1] + d->thickness[2]);
    *normal = on == HW_HELD_SIDE ? f->y : f->z;
    return hw_vec3_along(hw_vec3_along(f->at, 0.5 * d->segment[1], f->x), out, *normal);
}

// Opposition, base, curl, then close and splay of each finger -> pads. Normals and middles.
static void place(const pads *w, const double x[FREE], hw_vec3 at[3], hw_vec3 normal[3])
{
    double joint[HW_SEGMENTS], outer[HW_SEGMENTS];
    hw_palm_pose pose;
    hw_palm_motion_at(&w->motion[0], x[1], joint);
    hw_palm_motion_at(&w->motion[0], w->hold->tied ? x[1] : x[2], outer);
    for (int j = 1; j < HW_SEGMENTS; j++) joint[j] = outer[j];
    hw_palm_pose_of(w->p, 0, x[0], joint, &pose);
    at[0] = hw_palm_pad(w->p, 0, &pose, &normal[0]);
    for (int i = 0; i < w->hold->fingers; i++) {
        int finger = w->hold->finger[i];
        hw_palm_motion_at(&w->motion[finger], x[3 + 2 * i], joint);
        hw_palm_pose_of(w->p, finger, x[4 + 2 * i], joint, &pose);
        at[1 + i] = held_at(w->p, finger, w->hold->on, &pose, &normal[1 + i]);
    }
}

static double residuals(const pads *w, const double x[FREE], double r[RESIDUALS]) // sum of squares
{
    hw_vec3 at[3], normal[3];
    double sum = 0;
    place(w, x, at, normal);
    for (int i = 0; i < w->hold->fingers; i++) {
        hw_vec3 off = hw_vec3_times(hw_vec3_sub(at[0], at[1 + i]), 1 / w->length);
        hw_vec3 face = hw_vec3_times(hw_vec3_add(normal[0], normal[1 + i]), w->facing);
        const double all[6] = {off.x, off.y, off.z, face.x, face.y, face.z};
        for (int k = 0; k < 6; k++) r[6 * i + k] = all[k], sum += all[k] * all[k];
    }
    return sum;
}

// Solves the damped normal equations of the free variables by Cholesky, n <= FREE.
static bool solve(double a[FREE][FREE], double b[FREE], int n)
{
    for (int i = 0; i < n; i++) {
        for (int j = 0; j <= i; j++) {
            double sum = a[i][j];
            for (int k = 0; k < j; k++) sum -= a[i][k] * a[j][k];
            if (i != j)
                a[i][j] = sum / a[j][j];
            else if (sum > 0)
                a[i][i] = sqrt(sum);
            else
                return false;
        }
    }
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < i; k++) b[i] -= a[i][k] * b[k];
        b[i] /= a[i][i];
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int k = i + 1; k < n; k++) b[i] -= a[k][i] * b[k];
        b[i] /= a[i][i];
    }
    return true;
}

static double clamp(double x, double low, double high)
{
    return x < low ? low : x > high ? high : x;
}

// Derivatives by steps of a ten thousandth of each range, inward at its ends.
static void jacobian(const pads *w, const double x[FREE], const double r[RESIDUALS],
                     double j[RESIDUALS][FREE])
{
    for (int k = 0; k < w->free; k++) {
        double moved[FREE] = {0}, there[RESIDUALS] = {0}, h = 1e-4 * (w->high[k] - w->low[k]);
        for (int i = 0; i < w->free; i++) moved[i] = x[i];
        if (x[k] + h > w->high[k]) h = -h;
        moved[k] += h;
        if (h != 0) (void)residuals(w, moved, there);
        for (int i = 0; i < w->residuals; i++) j[i][k] = h != 0 ? (there[i] - r[i]) / h : 0;
    }
}

// One damped step from x with the variables that are not held at a bound. Returns the new sum.
static double try_step(const pads *w, const double x[FREE], const double r[RESIDUALS],
                       double j[RESIDUALS][FREE], double damping, double out[FREE])
{
    int free[FREE] = {0}, n = 0;
    double a[FREE][FREE] = {{0}}, b[FREE] = {0}, there[RESIDUALS];
    for (int k = 0; k < w->free; k++) {
        double slope = 0;
        for (int i = 0; i < w->residuals; i++) slope += j[i][k] * r[i];
        bool held = (x[k] <= w->low[k] && slope > 0) || (x[k] >= w->high[k] && slope < 0);
        out[k] = x[k];
        if (held || !(w->high[k] > w->low[k])) continue;
        b[n] = -slope;
        free[n++] = k;
    }
    for (int p = 0; p < n; p++)
        for (int q = 0; q <= p; q++) {
            for (int i = 0; i < w->residuals; i++) a[p][q] += j[i][free[p]] * j[i][free[q]];
            double range = w->high[free[p]] - w->low[free[p]];
            if (p == q) a[p][q] += damping / (range * range);
        }
    if (n == 0 || !solve(a, b, n)) return INFINITY;
    for (int p = 0; p < n; p++)
        out[free[p]] = clamp(x[free[p]] + b[p], w->low[free[p]], w->high[free[p]]);
    return residuals(w, out, there);
}

static double descend(const pads *w, double x[FREE])
{
    double r[RESIDUALS] = {0}, j[RESIDUALS][FREE] = {{0}}, next[FREE], damping = 1e-2;
    double sum = residuals(w, x, r);
    for (int round = 0; round < ROUNDS; round++) {
        jacobian(w, x, r, j);
        double better = INFINITY;
        int tries = 0;
        for (; tries < 8; tries++) {
            better = try_step(w, x, r, j, damping, next);
            if (better < sum) break;
            damping *= 8;
        }
        if (!(better < sum)) break;
        bool done = sum - better < 1e-10 * (1 + sum);
        for (int k = 0; k < w->free; k++) x[k] = next[k];
        sum = residuals(w, x, r);
        damping = fmax(damping / 16, 1e-9);
        if (done) break;
    }
    return sum;
}

static bool finite_motion(const hw_palm_motion *m)
{
    bool ok = m->n >= 2;
    for (int j = 0; j < HW_SEGMENTS; j++)
        for (size_t i = 0; ok && i < m->n; i++) ok = isfinite(m->joint[j][i]);
    return ok;
}

static bool sound(const hw_palm *p, int digit)
{
    const hw_palm_digit *d = &p->digit[digit];
    bool ok =
        isfinite(p->opposition[0] + p->opposition[1] + p->opposition_axis.x + p->opposition_at.x) &&
        isfinite(d->knuckle.at.x + d->knuckle.x.x + d->splay[0] + d->splay[1]);
    for (int k = 0; k < HW_SEGMENTS; k++)
        ok = ok && d->segment[k] > 0 && isfinite(d->segment[k] + d->thickness[k + 1]);
    return ok;
}

static bool can_hold(const hw_palm *p, const hw_palm_motion motion[], const hw_palm_hold *hold)
{
    bool ok = hold->fingers >= 1 && hold->fingers <= 2 && finite_motion(&motion[0]) && sound(p, 0);
    for (int i = 0; ok && i < hold->fingers; i++) {
        int finger = hold->finger[i];
        ok = finger > 0 && finger < HW_HAND_DIGITS && finite_motion(&motion[finger]) &&
             sound(p, finger) && hold->close[0] >= 0 && hold->close[1] >= hold->close[0] &&
             hold->close[1] <= 1;
    }
    return ok;
}

// The greatest distance and the greatest angle between the thumb's pad and those of the fingers.
static void tell(const pads *w, const double x[FREE], hw_palm_held *out)
{
    hw_vec3 at[3], normal[3];
    place(w, x, at, normal);
    out->miss = out->angle = 0;
    for (int i = 0; i < w->hold->fingers; i++) {
        double facing = -hw_vec3_dot(normal[0], normal[1 + i]);
        out->miss = fmax(out->miss, hw_vec3_norm(hw_vec3_sub(at[0], at[1 + i])));
        out->angle = fmax(out->angle, acos(clamp(facing, -1, 1)));
        out->close[i] = x[3 + 2 * i];
        out->splay[i] = x[4 + 2 * i];
    }
    out->opposition = x[0];
    out->base = x[1];
    out->curl = w->hold->tied ? x[1] : x[2];
}

hw_code hw_palm_hold_of(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                        const hw_palm_hold *hold, hw_palm_held *out)
{
    const double none = (double)NAN;
    *out = (hw_palm_held){none, none, none, none, none, {none, none}, {none, none}};
    if (!can_hold(p, motion, hold)) return HW_BAD_INPUT;
    pads w = {.p = p,
              .hold = hold,
              .motion = motion,
              .free = 3 + 2 * hold->fingers,
              .residuals = 6 * hold->fingers,
              .length = p->digit[0].segment[HW_SEGMENTS - 1],
              .low = {p->opposition[0], 0, 0},
              .high = {p->opposition[1], 1, hold->tied ? 0 : 1}};
    static const double start[STARTS][4] = {// opposition, base, curl, close as shares
                                            {0.6, 0.5, 0.3, 0.5}, {0.9, 0.5, 0.3, 0.5},
                                            {0.9, 0.2, 0.6, 0.7}, {0.9, 0.8, 0.1, 0.4},
                                            {0.3, 0.8, 0.3, 0.6}, {1.0, 1.0, 0.5, 0.8}};
    for (int i = 0; i < hold->fingers; i++)
        for (int end = 0; end < 2; end++) {
            double *to = end ? w.high : w.low;
            to[3 + 2 * i] = hold->close[end];
            to[4 + 2 * i] = p->digit[hold->finger[i]].splay[end];
        }
    double best = INFINITY;
    for (int i = 0; i < STARTS; i++) {
        double y[FREE] = {w.low[0] + start[i][0] * (w.high[0] - w.low[0]), start[i][1],
                          clamp(start[i][2], 0, w.high[2])};
        for (int k = 3; k < w.free; k++) y[k] = clamp(k % 2 ? start[i][3] : 0, w.low[k], w.high[k]);
        w.facing = 0.3;
        (void)descend(&w, y);
        w.facing = 0.03; // from there to where they meet
        double sum = descend(&w, y);
        if (sum >= best) continue;
        best = sum;
        tell(&w, y, out);
        if (out->miss < 1e-3 * w.length) break; // they meet
    }
    return HW_OK;
}

hw_code hw_palm_meeting_of(const hw_palm *p, int finger, const hw_palm_motion *thumb,
                           const hw_palm_motion *motion, hw_palm_meeting *out)
{
    const double none = (double)NAN;
    *out = (hw_palm_meeting){none, none, none, none, none, none, none};
    if (finger < 1 || finger >= HW_HAND_DIGITS) return HW_BAD_INPUT;
    hw_palm_motion all[HW_HAND_DIGITS] = {{0}};
    all[0] = *thumb;
    all[finger] = *motion;
    const hw_palm_hold hold = {.finger = {finger}, .fingers = 1, .close = {0, 1}};
    hw_palm_held held;
    hw_code code = hw_palm_hold_of(p, all, &hold, &held);
    *out = (hw_palm_meeting){held.miss, held.angle,    held.opposition, held.base,
                             held.curl, held.close[0], held.splay[0]};
    return code;
}
