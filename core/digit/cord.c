// Cord over joints with elastic return: underactuated. Free closing is piecewise linear, so it is
// kept as the few corners where a joint starts, or meets its stop.
#include "digit/contact.h"
#include "digit/digit_internal.h"

#include <math.h>

enum { CORNERS = 1 + 4 * HW_JOINTS };

typedef struct corner {
    double tension, pulled; // of the cord [N], from the open digit [m]
    double joint[HW_JOINTS];
} corner;

// Angle of a joint in balance at a cord tension; `after`: past the jump of a spring without rate.
static double balance(const hw_digit *d, int i, double tension, bool after)
{
    const hw_cord *c = &d->cord;
    double low = d->joint_travel[i][0], high = d->joint_travel[i][1];
    if (c->spring_rate[i] > 0) {
        double q = (tension * c->arm[i] - c->spring_preload[i]) / c->spring_rate[i];
        return q < low ? low : (q > high ? high : q);
    }
    double jump = c->spring_preload[i] / c->arm[i];
    return tension > jump || (after && tension == jump) ? high : low;
}

static void put_corner(const hw_digit *d, corner *path, size_t *n, double tension, bool after)
{
    corner *k = &path[(*n)++];
    k->tension = tension;
    k->pulled = 0;
    for (int i = 0; i < HW_JOINTS; i++) {
        k->joint[i] = balance(d, i, tension, after);
        k->pulled += d->cord.arm[i] * (k->joint[i] - path[0].joint[i]);
    }
}

static size_t free_path(const hw_digit *d, corner path[CORNERS])
{
    double turn[2 * HW_JOINTS];
    size_t turns = 0, n = 0;
    for (int i = 0; i < HW_JOINTS; i++)
        for (int end = 0; end < 2; end++) {
            double t =
                (d->cord.spring_preload[i] + d->cord.spring_rate[i] * d->joint_travel[i][end]) /
                d->cord.arm[i];
            size_t at = turns++;
            for (; at > 0 && turn[at - 1] > t; at--) turn[at] = turn[at - 1];
            turn[at] = t;
        }
    for (int i = 0; i < HW_JOINTS; i++) path[0].joint[i] = balance(d, i, 0, false);
    put_corner(d, path, &n, 0, false);
    for (size_t k = 0; k < turns; k++) {
        if (turn[k] < 0) continue;
        put_corner(d, path, &n, turn[k], false);
        put_corner(d, path, &n, turn[k], true);
    }
    return n;
}

// The stretch of the path at s, and where in it (0 to 1). The later stretch where two meet.
static size_t find_stretch(const corner *path, size_t n, double s, double *within)
{
    double pulled = s * path[n - 1].pulled;
    size_t k = 0;
    bool found = false;
    for (size_t i = 0; i + 1 < n; i++)
        if (path[i + 1].pulled > path[i].pulled && (pulled >= path[i].pulled || !found)) {
            k = i;
            found = true;
        }
    double span = path[k + 1].pulled - path[k].pulled;
    *within = span > 0 ? (pulled - path[k].pulled) / span : 0;
    return k;
}

static hw_code pose(const hw_digit *d, double s, hw_digit_pose *out)
{
    hw_pose_nothing(out);
    if (hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    corner path[CORNERS];
    size_t n = free_path(d, path);
    double within, per_s[HW_JOINTS];
    size_t k = find_stretch(path, n, s, &within);
    const corner *a = &path[k], *b = &path[k + 1];
    double span = b->pulled - a->pulled;
    for (int i = 0; i < HW_JOINTS; i++) {
        out->joint[i] = a->joint[i] + within * (b->joint[i] - a->joint[i]);
        per_s[i] = span > 0 ? (b->joint[i] - a->joint[i]) / span * path[n - 1].pulled : 0;
    }
    for (int i = 0; i < HW_JOINTS; i++)
        out->rate[i] = per_s[0] != 0 ? per_s[i] / per_s[0] : per_s[i];
    hw_pose_place(d, out);
    return HW_OK;
}

hw_code hw_cord_free(const hw_digit *d, double s, double *tension, double *pulled)
{
    *tension = *pulled = NAN;
    if (d->family != HW_FAMILY_CORD || hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    corner path[CORNERS];
    size_t n = free_path(d, path);
    double within;
    size_t k = find_stretch(path, n, s, &within);
    *tension = path[k].tension + within * (path[k + 1].tension - path[k].tension);
    *pulled = s * path[n - 1].pulled;
    return HW_OK;
}

// Direction in which the cord leaves a joint's pulley toward the earlier one, digit frame: the
// common tangent of the two pulleys on the palmar side, or along the carrier.
static hw_vec2 cord_leaves(const hw_digit *d, const hw_digit_pose *p, int joint)
{
    if (joint == 0) return (hw_vec2){-1, 0};
    double turned = hw_digit_turned(p, joint - 1);
    double rise = (d->cord.arm[joint - 1] - d->cord.arm[joint]) / d->phalanx[joint - 1];
    // pulleys that overlap have no common tangent to follow: the cord then runs along the phalanx
    double s = fabs(rise) < 1 ? rise : 0;
    return hw_flexed((hw_vec2){-sqrt(1 - s * s), -s}, turned);
}

static hw_code statics(const hw_digit *d, const hw_digit_pose *p, const hw_load *load, size_t loads,
                       hw_digit_statics *out)
{
    hw_vec2 force[HW_JOINTS], beyond[HW_JOINTS];
    double moment[HW_JOINTS], turning[HW_JOINTS];
    if (hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    if (!hw_load_totals(p, load, loads, force, moment)) return HW_BAD_INPUT;
    hw_load_beyond(p, force, moment, beyond, turning);
    double tension = 0; // a cord cannot push
    for (int i = 0; i < HW_JOINTS; i++) {
        double need = -turning[i] / d->cord.arm[i];
        if (need > tension || isnan(need)) tension = need;
    }
    out->bar[0] = out->bar[1] = NAN;
    for (int i = 0; i < HW_JOINTS; i++) {
        hw_vec2 cord = hw_scale(cord_leaves(d, p, i), tension);
        out->pin[i] = hw_scale(hw_add(beyond[i], cord), -1);
        out->joint_torque[i] = d->cord.arm[i] * tension;
    }
    out->torque = out->joint_torque[0];
    return HW_OK;
}

const hw_digit_family hw_family_cord = {HW_FAMILY_CORD, "cord", pose, statics, NULL, statics};
