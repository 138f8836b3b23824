// Distances from limbs, and the largest ball between a place and the limbs before it.
#include "palm/crease_internal.h"

#include <math.h>

enum { TRIES = 30 };

// What of a limb is nearest to a point: it lies before the face between the discs, or beside the
// first or second disc; and past the side.
typedef struct nearest {
    int disc;        // -1: the face
    double x, z, in; // from the disc's middle, z without its sign; distance in the plane [m]
    double side;     // [m]
} nearest;

// In the limb's own frame; as hw_discs_distance, which knows no frame.
static inline nearest nearest_of(const hw_limb_shape *l, hw_vec3 q)
{
    nearest n = {-1, q.x, fabs(q.z), 0, fabs(q.y) - l->half};
    double foot = n.x * l->cosine - n.z * l->sine;
    if (foot > 0 && l->cosine != 0 && foot < l->length * l->cosine) {
        n.in = n.x * l->sine + n.z * l->cosine - l->radius[0];
        return n;
    }
    n.disc = foot > 0 && l->cosine != 0;
    if (n.disc) n.x -= l->length;
    n.in = sqrt(n.x * n.x + n.z * n.z) - l->radius[n.disc];
    return n;
}

static inline double distance_of(const nearest *n) // [m]
{
    if (n->in > 0 && n->side > 0) return sqrt(n->in * n->in + n->side * n->side);
    return n->in > n->side ? n->in : n->side;
}

// The way in which the distance grows fastest.
static hw_vec3 grows_at(const hw_limb_shape *l, hw_vec3 q) // [m] [1]
{
    nearest n = nearest_of(l, q);
    double up = q.z < 0 ? -1 : 1, across = q.y < 0 ? -1 : 1, all = distance_of(&n);
    double a = n.in > 0 && n.side > 0 ? n.in / all : n.in >= n.side;
    double b = n.in > 0 && n.side > 0 ? n.side / all : n.in < n.side;
    if (n.disc < 0) return (hw_vec3){a * l->sine, across * b, a * up * l->cosine};
    double far = n.in + l->radius[n.disc];
    return (hw_vec3){a * n.x / far, across * b, a * q.z / far};
}

bool hw_limb_clears(const hw_limb *l, hw_vec3 c, double by) // [m]
{
    hw_vec3 off = hw_vec3_sub(c, l->middle);
    double far = l->shape.reach + by;
    if (hw_vec3_dot(off, off) >= far * far) return true;
    nearest n = nearest_of(&l->shape, hw_frame_seen(&l->frame, c));
    return distance_of(&n) >= by;
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

static line seen_by(const hw_limb *l, const hw_crease_place *at)
{
    const hw_frame *f = &l->frame;
    return (line){hw_frame_seen(f, at->at),
                  {hw_vec3_dot(at->normal, f->x), hw_vec3_dot(at->normal, f->y),
                   hw_vec3_dot(at->normal, f->z)}};
}

// By how much the ball clears the limb, and how fast that grows with it. A limb is convex, so that
// this falls ever less: a tangent's zero is never beyond its own.
static inline double clears(const hw_limb_shape *l, const line *seen, double radius,
                            double *slope) // [m] [1]
{
    hw_vec3 q = hw_vec3_along(seen->at, radius, seen->normal);
    nearest n = nearest_of(l, q);
    double up = q.z < 0 ? -seen->normal.z : seen->normal.z;
    double across = q.y < 0 ? -seen->normal.y : seen->normal.y;
    double all = distance_of(&n), in = seen->normal.x;
    if (n.disc < 0)
        in = in * l->sine + up * l->cosine;
    else if (n.in > 0 || n.in >= n.side)
        in = (in * n.x + up * n.z) / (n.in + l->radius[n.disc]);
    if (n.in > 0 && n.side > 0)
        *slope = (n.in * in + n.side * across) / all - 1;
    else
        *slope = (n.in >= n.side ? in : across) - 1;
    return all - radius;
}

// Whether a ball of that radius clears the ball round the limb.
static bool is_far(const hw_limb *l, const hw_crease_place *at, double radius) // [m]
{
    hw_vec3 w = hw_vec3_sub(at->at, l->middle);
    double reach = l->shape.reach;
    return hw_vec3_dot(w, w) - reach * reach >= 2 * radius * (reach - hw_vec3_dot(w, at->normal));
}

// The radius at which it touches; 0: one of `least` does not clear it, infinite: one of `most`
// does. Newton's steps from `start`: past the first they stay, the limb being convex, where the
// ball clears it.
static double touches(const hw_limb_shape *l, const line *seen, double least, double most,
                      double start, double within) // [m] [1]
{
    double at = start;
    for (int n = 0; n < TRIES; n++) {
        double slope, off = clears(l, seen, at, &slope), next = at - off / slope;
        if (at >= most && off >= 0) return INFINITY;
        if (at <= least && off <= 0) return 0;
        if (fabs(off) <= within * at) break;
        if (off < 0)
            at = next > least && next < at ? next : least;
        else
            at = next > at && next < most ? next : most;
    }
    return at;
}

bool hw_limb_may_press(const hw_limb *l, const hw_crease_place *at, double least, double most,
                       double open) // [m] [m] [1]
{
    if (is_far(l, at, most)) return false;
    const line seen = seen_by(l, at);
    double slope, off = clears(&l->shape, &seen, least, &slope);
    if (off <= 0 || slope + 1 > open) return false;
    return clears(&l->shape, &seen, most, &slope) <= 0;
}

hw_crease_ball hw_crease_ball_of(const hw_limb m[HW_LIMBS], const hw_crease_place *at,
                                 const hw_crease_ball *before, double within) // [1]
{
    double least = (HW_FINGER_LEAST - HW_FINGER_YIELD) / 2, radius = HW_FINGER_MOST;
    double start = before->gap / 2;
    hw_crease_ball b = {.gap = INFINITY, .nearest = before->nearest};
    line met = {{0, 0, 0}, {0, 0, 0}};
    for (int k = 0; k < HW_LIMBS; k++, start = radius) {
        int i = (before->nearest + k) % HW_LIMBS;
        const hw_limb *l = &m[i];
        if (is_far(l, at, radius)) continue;
        const line seen = seen_by(l, at);
        if (!(start > least && start < radius)) start = radius;
        double one = touches(&l->shape, &seen, least, radius, start, within);
        if (isinf(one)) continue;
        b.gap = 2 * one;
        b.nearest = i;
        if (one == 0) return b;
        radius = one;
        met = seen;
    }
    if (isinf(b.gap)) return b;
    const hw_limb *l = &m[b.nearest];
    hw_vec3 grows = grows_at(&l->shape, hw_vec3_along(met.at, radius, met.normal));
    b.at = hw_vec3_along(at->at, radius, at->normal);
    b.from = hw_frame_direction(&l->frame, grows);
    return b;
}
