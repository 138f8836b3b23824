// Neighbouring fingers beside each other.
#include "palm/beside.h"

#include <math.h>

enum { POSES = 17, HALVINGS = 22 };
static const double most_splay = 60 * HW_PI / 180; // [rad]

static bool sound(const hw_palm *p, int digit, const hw_palm_motion *m)
{
    if (digit < 1 || digit >= HW_HAND_DIGITS || m->n < 2) return false;
    const hw_palm_digit *d = &p->digit[digit];
    const hw_frame *k = &d->knuckle;
    bool ok = isfinite(k->at.x + k->at.y + k->at.z + k->x.x + k->y.y + k->z.z) &&
              isfinite(d->width) && isfinite(d->splay_at.x + d->splay_axis.z);
    for (int j = 0; j < HW_SEGMENTS; j++) {
        ok = ok && isfinite(d->segment[j] + d->thickness[j] + d->thickness[j + 1]);
        for (size_t i = 0; i < m->n; i++) ok = ok && isfinite(m->joint[j][i]);
    }
    return ok;
}

// Least distance of a digit's corners from the side plane of the other's base frame; `side` +1:
// that side looks toward the thumb. Where, below that frame's axis, in *depth.
static double beyond(const hw_palm *p, int digit, const hw_palm_pose *pose, const hw_frame *other,
                     double other_width, double side, double *depth) // [m] [1] [m]
{
    const hw_palm_digit *d = &p->digit[digit];
    double least = INFINITY;
    for (int k = 0; k < HW_SEGMENTS; k++)
        for (int corner = 0; corner < 4; corner++) {
            int end = corner & 1;
            double up = (corner & 2 ? 0.5 : -0.5) * d->thickness[k + end];
            const hw_frame *f = &pose->phalanx[k];
            hw_vec3 c = hw_vec3_along(f->at, end * d->segment[k], f->x);
            c = hw_vec3_along(hw_vec3_along(c, up, f->z), -side * 0.5 * d->width, f->y);
            hw_vec3 off = hw_vec3_sub(c, other->at);
            double gap = side * hw_vec3_dot(off, other->y) - 0.5 * other_width;
            if (gap >= least) continue;
            least = gap;
            *depth = -hw_vec3_dot(off, other->z);
        }
    return least;
}

// Gap of finger `a` and the next, `b`, toward the little finger.
static double gap_of(const hw_palm *p, int a, const hw_palm_pose *pa, const hw_palm_pose *pb,
                     double *depth) // [m]
{
    double da = 0, db = 0;
    double by_a = beyond(p, a + 1, pb, &pa->base, p->digit[a].width, -1, &da);
    double by_b = beyond(p, a, pa, &pb->base, p->digit[a + 1].width, 1, &db);
    *depth = by_a >= by_b ? da : db;
    return fmax(by_a, by_b);
}

static void pose_at(const hw_palm *p, int digit, const hw_palm_motion *m, double s, double aside,
                    hw_palm_pose *out) // [1] [rad]
{
    double joint[HW_SEGMENTS];
    hw_palm_motion_at(m, s, joint);
    hw_palm_pose_of(p, digit, aside, joint, out);
}

hw_code hw_palm_pair_of(const hw_palm *p, int digit, const hw_palm_motion *here,
                        const hw_palm_motion *next, hw_palm_pair *out)
{
    const double none = (double)NAN;
    *out = (hw_palm_pair){none, none, none, none, none, none, none};
    if (digit >= HW_HAND_DIGITS - 1 || !sound(p, digit, here) || !sound(p, digit + 1, next))
        return HW_BAD_INPUT;
    out->least = INFINITY;
    for (int i = 0; i < POSES; i++) {
        double s = (double)i / (POSES - 1), depth;
        hw_palm_pose a, b;
        pose_at(p, digit, here, s, 0, &a);
        pose_at(p, digit + 1, next, s, 0, &b);
        double gap = gap_of(p, digit, &a, &b, &depth);
        if (i == 0) out->open = gap;
        if (i == POSES - 1) out->closed = gap, out->depth = depth;
        if (gap < out->least) out->least = gap, out->at = s;
    }
    // the flexion axes seen along the fingers: how far the next one leans toward this one
    const hw_frame *a = &p->digit[digit].knuckle, *b = &p->digit[digit + 1].knuckle;
    out->roll = atan2(hw_vec3_dot(b->y, a->z), hw_vec3_dot(b->y, a->y));
    double used = sin(out->roll) + (out->depth > 0 ? out->closed / out->depth : 1);
    out->free_roll = used >= 1 ? HW_PI / 2 : asin(fmax(used, -1));
    return HW_OK;
}

// Splay of `digit` toward `side` at which it meets the neighbour there, who has splayed that way
// as far as it can.
static double meets_at(const hw_palm *p, int digit, int side, const hw_palm_motion motion[],
                       double s) // [1]
{
    int other = digit - side; // digits count away from the thumb
    if (other < 1 || other >= HW_HAND_DIGITS || !p->digit[other].present) return INFINITY;
    int first = side > 0 ? other : digit;
    hw_palm_pose still, moving;
    double depth, low = 0, high = most_splay;
    pose_at(p, other, &motion[other], s, p->digit[other].splay[side > 0], &still);
    for (int i = 0; i <= HALVINGS; i++) { // the far end first
        double splay = i == 0 ? high : 0.5 * (low + high);
        pose_at(p, digit, &motion[digit], s, side * splay, &moving);
        double gap = side > 0 ? gap_of(p, first, &still, &moving, &depth)
                              : gap_of(p, first, &moving, &still, &depth);
        if (i == 0 && gap > 0) return INFINITY;
        if (gap > 0)
            low = splay;
        else
            high = splay;
    }
    return 0.5 * (low + high);
}

hw_code hw_palm_splay_room_of(const hw_palm *p, int digit,
                              const hw_palm_motion motion[HW_HAND_DIGITS], hw_palm_splay_room *out)
{
    const double none = (double)NAN;
    *out = (hw_palm_splay_room){{{none, none}, {none, none}}, {none, none}};
    if (digit < 1 || digit >= HW_HAND_DIGITS || !sound(p, digit, &motion[digit]))
        return HW_BAD_INPUT;
    for (int other = digit - 1; other <= digit + 1; other += 2)
        if (other > 0 && other < HW_HAND_DIGITS && p->digit[other].present &&
            !sound(p, other, &motion[other]))
            return HW_BAD_INPUT;
    const hw_palm_digit *d = &p->digit[digit];
    for (int end = 0; end < 2; end++) {
        hw_palm_pose least, most;
        for (int side = 0; side < 2; side++)
            out->free[end][side] = meets_at(p, digit, side ? 1 : -1, motion, end);
        pose_at(p, digit, &motion[digit], end, d->splay[0], &least);
        pose_at(p, digit, &motion[digit], end, d->splay[1], &most);
        out->aside[end] = hw_vec3_norm(hw_vec3_sub(most.tip, least.tip));
    }
    return HW_OK;
}
