// Distances from limbs, and the largest ball between a place and the limbs before it.
#include "palm/crease_internal.h"

#include <math.h>

enum { TRIES = 30 };

// From a point in the limb's own frame, and the way in which that grows fastest.
static double own_distance(const hw_limb_shape *l, hw_vec3 q, hw_vec3 *grows) // [m] [1]
{
    double z = fabs(q.z), foot = q.x * l->cosine - z * l->sine, side = fabs(q.y) - l->half, in;
    hw_vec2 out; // as hw_discs_distance, which knows no frame
    double up = q.z < 0 ? -1 : 1, across = q.y < 0 ? -1 : 1;
    if (foot > 0 && l->cosine != 0 && foot < l->length * l->cosine) {
        in = q.x * l->sine + z * l->cosine - l->radius[0];
        out = (hw_vec2){l->sine, up * l->cosine};
    } else {
        int end = foot > 0 && l->cosine != 0;
        double x = end ? q.x - l->length : q.x, far = sqrt(x * x + z * z);
        in = far - l->radius[end];
        out = (hw_vec2){x / far, q.z / far};
    }
    if (in > 0 && side > 0) {
        double all = sqrt(in * in + side * side), a = in / all, b = side / all;
        *grows = (hw_vec3){a * out.x, across * b, a * out.z};
        return all;
    }
    if (in >= side) {
        *grows = (hw_vec3){out.x, 0, out.z};
        return in;
    }
    *grows = (hw_vec3){0, across, 0};
    return side;
}

bool hw_limb_clears(const hw_limb *l, hw_vec3 c, double by) // [m]
{
    hw_vec3 off = hw_vec3_sub(c, l->middle), grows;
    double far = l->shape.reach + by;
    return hw_vec3_dot(off, off) >= far * far ||
           own_distance(&l->shape, hw_frame_seen(&l->frame, c), &grows) >= by;
}

bool hw_limb_between(const hw_limb *l, hw_vec3 normal, double low, double high) // [m]
{
    const hw_limb_shape *s = &l->shape;
    double x = hw_vec3_dot(normal, l->frame.x), z = hw_vec3_dot(normal, l->frame.z);
    double across = s->half * fabs(hw_vec3_dot(normal, l->frame.y)), round = sqrt(x * x + z * z);
    double first = hw_vec3_dot(normal, l->frame.at), second = first + x * s->length;
    double r[2] = {round * s->radius[0], round * s->radius[1]};
    double most = (first + r[0] > second + r[1] ? first + r[0] : second + r[1]) + across;
    double least = (first - r[0] < second - r[1] ? first - r[0] : second - r[1]) - across;
    return most >= low && least <= high;
}

// ---- limbs ------------------------------------------------------------------------------------

static hw_limb_shape shape_of(double length, double from, double to, double width) // [m]
{
    hw_limb_shape l = {.length = length, .radius = {from, to}, .sine = 1, .half = width / 2};
    if (length <= fabs(from - to)) { // the larger is all there is
        l.from = from < to ? length : 0;
        l.length = 0;
        l.radius[0] = fmax(from, to);
    } else {
        l.sine = (from - to) / length;
        l.cosine = sqrt(1 - l.sine * l.sine);
    }
    double tall = fmax(from, to), along = l.length / 2 + tall;
    l.reach = sqrt(along * along + l.half * l.half);
    return l;
}

void hw_limb_shapes_of(const hw_palm *p, int digit, hw_limb_shape out[HW_LIMBS])
{
    const hw_palm_digit *d = &p->digit[digit];
    double first = d->thickness[0] / 2;
    out[0] = shape_of(p->setback, first, first, d->width);
    for (int k = 0; k < HW_SEGMENTS; k++) {
        double length = d->segment[k], from = d->thickness[k] / 2, to = d->thickness[k + 1] / 2;
        if (k + 1 == HW_SEGMENTS) { // ends in a disc that reaches the tip
            to = fmin(to, length / 2);
            length -= to;
        }
        out[k + 1] = shape_of(length, from, to, d->width);
    }
}

void hw_limbs_at(const hw_palm *p, const hw_limb_shape shape[HW_LIMBS], const hw_palm_pose *pose,
                 hw_limb out[HW_LIMBS])
{
    for (int k = 0; k < HW_LIMBS; k++) {
        hw_frame at = k ? pose->phalanx[k - 1] : pose->base;
        if (k == 0) at.at = hw_vec3_along(at.at, -p->setback, at.x);
        at.at = hw_vec3_along(at.at, shape[k].from, at.x);
        out[k] = (hw_limb){shape[k], at, hw_vec3_along(at.at, shape[k].length / 2, at.x)};
    }
}

// ---- the ball ---------------------------------------------------------------------------------

// A place as a limb sees it: the ball of radius r about at + r normal.
typedef struct line {
    hw_vec3 at, normal;
} line;

// By how much the ball clears the limb, and how fast that grows with it. A limb is convex, so that
// this falls ever less: a tangent's zero is never beyond its own.
static double clears(const hw_limb_shape *l, const line *seen, double radius, double *slope,
                     hw_vec3 *grows) // [m] [1]
{
    double off = own_distance(l, hw_vec3_along(seen->at, radius, seen->normal), grows) - radius;
    *slope = hw_vec3_dot(*grows, seen->normal) - 1;
    return off;
}

// Whether a ball of that radius clears the ball round the limb.
static bool is_far(const hw_limb *l, const hw_crease_place *at, double radius) // [m]
{
    hw_vec3 w = hw_vec3_sub(at->at, l->middle);
    double reach = l->shape.reach;
    return hw_vec3_dot(w, w) - reach * reach >= 2 * radius * (reach - hw_vec3_dot(w, at->normal));
}

// The radius at which it touches, no more than `radius`, and the way in which its distance grows
// there; 0: one of `least` does not clear it, infinite: one of `radius` does. Newton's steps, which
// convexity keeps on the side where the ball clears it.
static double touches(const hw_limb_shape *l, const line *seen, double least, double radius,
                      double within, hw_vec3 *grows) // [m] [m] [1]
{
    double slope, off = clears(l, seen, radius, &slope, grows), at;
    if (off >= 0) return INFINITY;
    at = radius - off / slope;
    if (!(at > least && at < radius)) at = least; // that tangent leads nowhere
    off = clears(l, seen, at, &slope, grows);
    if (at == least && off <= 0) return 0;
    for (int n = 0; n < TRIES && off > within * at; n++) {
        at = fmin(radius, at - off / slope);
        off = clears(l, seen, at, &slope, grows);
    }
    return at;
}

hw_crease_ball hw_crease_ball_of(const hw_limb m[HW_LIMBS], const hw_crease_place *at, int first,
                                 double within) // [1]
{
    double least = (HW_FINGER_LEAST - HW_FINGER_YIELD) / 2, radius = HW_FINGER_MOST;
    hw_crease_ball b = {.gap = INFINITY, .nearest = first};
    hw_vec3 from = {0, 0, 0}, grows;
    for (int k = 0; k < HW_LIMBS; k++) {
        int i = (first + k) % HW_LIMBS;
        const hw_limb *l = &m[i];
        if (is_far(l, at, radius)) continue;
        const line seen = {hw_frame_seen(&l->frame, at->at),
                           {hw_vec3_dot(at->normal, l->frame.x),
                            hw_vec3_dot(at->normal, l->frame.y),
                            hw_vec3_dot(at->normal, l->frame.z)}};
        double one = touches(&l->shape, &seen, least, radius, within, &grows);
        if (isinf(one)) continue;
        b.gap = 2 * one;
        b.nearest = i;
        if (one == 0) return b;
        radius = one;
        from = grows;
    }
    if (isinf(b.gap)) return b;
    b.at = hw_vec3_along(at->at, radius, at->normal);
    b.from = hw_frame_direction(&m[b.nearest].frame, from);
    return b;
}
