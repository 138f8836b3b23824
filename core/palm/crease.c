// Balls between a moving digit and what stands still.
#include "palm/crease.h"

#include <math.h>
#include <stdlib.h>

enum { LIMBS = HW_SEGMENTS + 1, ALONG = 6, FRONT = 8, EDGE = 4, INSIDE = 8, TRIES = 30 };
enum {
    FEW = 16,
    AGAIN = 3,
    HALVINGS = 4
}; // poses of a first look; places that are looked at again
enum { PLACES = HW_SEGMENTS * ALONG * 5 };

// Dry skin on plastics, published as 0.5 with 40 % either way: the most keeps a finger in a corner,
// the least is what a face that slides past it surely takes.
static const double grip = 0.7, slide = 0.3; // [1]

// A part of a digit: the hull of two discs, drawn out to the digit's width.
typedef struct limb {
    hw_frame frame;           // at the first disc, x toward the second
    double length, radius[2]; // [m]
    double sine, cosine;      // of the common tangent's lean; sine 1: one disc holds the other [1]
    double half;              // of the width [m]
} limb;

// The palm beside a finger, in the finger's plane.
typedef struct section {
    hw_frame frame;       // the knuckle's
    hw_vec2 middle, half; // of the box that its round edges are drawn about [m]
    double edge;          // [m]
} section;

typedef struct scene {
    limb limb[LIMBS]; // carrier first
    size_t limbs;     // 1: places are on the palm, else on the phalanges
    section palm;
} scene;

// A place by numbers that can be moved.
typedef struct spot {
    int phalanx;  // -1: the palm
    int side;     // of a phalanx: -2 and 2 its sides, 0 its palmar face, between them its edges
    double along; // a phalanx, 0 to 1; the palm: in steps from its front level with the axis [1]
} spot;

typedef struct place {
    hw_vec3 at, normal; // outward [m] [1]
    int phalanx;        // -1: the palm
} place;

// ---- distances --------------------------------------------------------------------------------

static double limb_distance(const limb *l, hw_vec3 c) // [m]
{
    hw_vec3 q = hw_frame_seen(&l->frame, c);
    double z = fabs(q.z), foot = q.x * l->cosine - z * l->sine, side = fabs(q.y) - l->half, in;
    if (foot <= 0 || l->cosine == 0) // as hw_discs_distance, which knows no frame
        in = sqrt(q.x * q.x + z * z) - l->radius[0];
    else if (foot >= l->length * l->cosine)
        in = sqrt((q.x - l->length) * (q.x - l->length) + z * z) - l->radius[1];
    else
        in = q.x * l->sine + z * l->cosine - l->radius[0];
    if (in <= 0 || side <= 0) return fmax(in, side);
    return sqrt(in * in + side * side);
}

static double palm_distance(const section *s, hw_vec3 c) // [m]
{
    hw_vec3 q = hw_frame_seen(&s->frame, c);
    double x = fabs(q.x - s->middle.x) - s->half.x, z = fabs(q.z - s->middle.z) - s->half.z;
    double out = hypot(fmax(x, 0), fmax(z, 0));
    return (out > 0 ? out : fmax(x, z)) - s->edge;
}

static double scene_distance(const scene *s, hw_vec3 c) // [m]
{
    double least = palm_distance(&s->palm, c);
    for (size_t i = 0; i < s->limbs; i++) least = fmin(least, limb_distance(&s->limb[i], c));
    return least;
}

// ---- digits and palm --------------------------------------------------------------------------

static limb limb_of(hw_frame at, double length, double from, double to, double width) // [m]
{
    limb l = {at, length, {from, to}, 1, 0, width / 2};
    if (length <= fabs(from - to)) { // the larger is all there is
        l.frame.at = hw_vec3_along(at.at, from < to ? length : 0, at.x);
        l.radius[0] = fmax(from, to);
        return l;
    }
    l.sine = (from - to) / length;
    l.cosine = sqrt(1 - l.sine * l.sine);
    return l;
}

static void limbs_of(const hw_palm *p, int digit, const hw_palm_pose *pose, limb out[LIMBS])
{
    const hw_palm_digit *d = &p->digit[digit];
    double first = d->thickness[0] / 2;
    hw_frame carrier = pose->base;
    carrier.at = hw_vec3_along(carrier.at, -p->setback, carrier.x);
    out[0] = limb_of(carrier, p->setback, first, first, d->width);
    for (int k = 0; k < HW_SEGMENTS; k++) {
        double length = d->segment[k], from = d->thickness[k] / 2, to = d->thickness[k + 1] / 2;
        if (k + 1 == HW_SEGMENTS) { // ends in a disc that reaches the tip
            to = fmin(to, length / 2);
            length -= to;
        }
        out[k + 1] = limb_of(pose->phalanx[k], length, from, to, d->width);
    }
}

static section section_of(const hw_palm *p, int digit)
{
    double edge = fmin(p->edge, p->thickness / 2), inside = p->back - p->thickness;
    double front = -p->setback - edge, wrist = fmin(-p->digit[digit].knuckle.at.x + edge, front);
    return (section){p->digit[digit].knuckle,
                     {(front + wrist) / 2, (p->back + inside) / 2},
                     {(front - wrist) / 2, p->thickness / 2 - edge},
                     edge};
}

// ---- places -----------------------------------------------------------------------------------

// Down the front below the axis, round its edge, back along the inside.
static place palm_place(const section *s, double along) // [1]
{
    double front = s->middle.x + s->half.x, low = s->middle.z - s->half.z;
    double turned = fmin(fmax(along - FRONT, 0) / EDGE, 1) * HW_PI / 2;
    double back = fmax(along - FRONT - EDGE, 0) * (s->half.z + s->edge) / INSIDE;
    hw_vec3 normal = {cos(turned), 0, -sin(turned)};
    hw_vec3 at = {front - fmin(back, 2 * s->half.x), 0, low * fmin(along / FRONT, 1)};
    return (place){hw_frame_point(&s->frame, hw_vec3_along(at, s->edge, normal)),
                   hw_frame_direction(&s->frame, normal), -1};
}

static place limb_place(const limb *l, const spot *at)
{
    double y = 0.5 * at->side, z = abs(at->side) == 2 ? 0 : sqrt(1 - y * y);
    double deep = l->radius[0] + at->along * (l->radius[1] - l->radius[0]);
    hw_vec3 palmar = {l->sine, 0, -l->cosine}, own = {at->along * l->length, 0, 0};
    hw_vec3 normal = {z * palmar.x, y, z * palmar.z};
    if (z > 0) own = hw_vec3_along(own, deep, palmar);
    if (at->side) own.y = at->side < 0 ? -l->half : l->half;
    return (place){hw_frame_point(&l->frame, own), hw_frame_direction(&l->frame, normal),
                   at->phalanx};
}

static place place_of(const scene *s, const spot *at)
{
    return at->phalanx < 0 ? palm_place(&s->palm, at->along)
                           : limb_place(&s->limb[at->phalanx + 1], at);
}

static size_t spots_of(const scene *s, spot out[PLACES])
{
    size_t n = 0;
    for (int i = 0; s->limbs == 1 && i <= FRONT + EDGE + 2 * INSIDE; i++)
        out[n++] = (spot){-1, 0, i};
    for (int k = 0; s->limbs > 1 && k < HW_SEGMENTS; k++)
        for (int i = 0; i < ALONG; i++)
            for (int side = -2; side <= 2; side++) out[n++] = (spot){k, side, (i + 0.5) / ALONG};
    return n;
}

// ---- one ball ---------------------------------------------------------------------------------

typedef struct ball {
    double gap;       // its diameter; 0: too small to count, infinite: too large [m]
    hw_vec3 at, from; // its middle; normal of the moving part there, toward it
    int nearest;      // number of that limb
} ball;

static double moving_distance(const limb m[LIMBS], hw_vec3 c, int *nearest) // [m]
{
    double least = INFINITY;
    for (int i = 0; i < LIMBS; i++) {
        double d = limb_distance(&m[i], c);
        if (d >= least) continue;
        least = d;
        *nearest = i;
    }
    return least;
}

static hw_vec3 gradient(const limb *l, hw_vec3 c, double step) // [m] [1]
{
    hw_vec3 g = {0, 0, 0};
    double *out[3] = {&g.x, &g.y, &g.z};
    for (int i = 0; i < 3; i++) {
        hw_vec3 off = {i == 0 ? step : 0, i == 1 ? step : 0, i == 2 ? step : 0};
        *out[i] = limb_distance(l, hw_vec3_add(c, off)) - limb_distance(l, hw_vec3_sub(c, off));
    }
    return hw_vec3_unit(g);
}

// The radius at which the moving digit touches: its distance from the ball's middle, less the
// radius, falls as that grows. False position, the end that stays halved (as in fist.c).
static ball ball_of(const limb m[LIMBS], const place *at)
{
    double low = (HW_FINGER_LEAST - HW_FINGER_YIELD) / 2, high = HW_FINGER_MOST;
    ball b = {.gap = 0, .nearest = 0};
    double over = moving_distance(m, hw_vec3_along(at->at, low, at->normal), &b.nearest) - low;
    if (over <= 0) return b;
    double under = moving_distance(m, hw_vec3_along(at->at, high, at->normal), &b.nearest) - high;
    b.gap = INFINITY;
    if (under >= 0) return b;
    double mid = low;
    for (int n = 0, kept = 0; n < TRIES && high - low > 1e-9 * high; n++) {
        mid = low + (high - low) * fmin(0.999, fmax(1e-3, over / (over - under)));
        double off = moving_distance(m, hw_vec3_along(at->at, mid, at->normal), &b.nearest) - mid;
        if (fabs(off) <= 1e-9 * mid) break;
        if (off > 0) {
            low = mid, over = off;
            if (kept > 0) under /= 2;
            kept = 1;
        } else {
            high = mid, under = off;
            if (kept < 0) over /= 2;
            kept = -1;
        }
    }
    b.gap = 2 * mid;
    b.at = hw_vec3_along(at->at, mid, at->normal);
    b.from = gradient(&m[b.nearest], b.at, 1e-4 * mid);
    return b;
}

// Whether friction keeps it there, and nothing else is where it would be.
static bool stays(const scene *still, const place *at, const ball *b)
{
    if (hw_vec3_dot(at->normal, b->from) > (grip * grip - 1) / (grip * grip + 1)) return false;
    return scene_distance(still, b->at) >= (0.5 - 1e-6) * b->gap;
}

// How fast the moving part's surface goes where it touches, for one radian of each motion.
static void speeds_of(const hw_palm *p, const hw_palm_run *run, const hw_palm_pose *pose,
                      const ball *b, hw_vec3 out[HW_CREASE_MOTIONS]) // [m/rad]
{
    const hw_palm_digit *d = &p->digit[run->digit];
    bool thumb = run->digit == 0;
    hw_vec3 touched = hw_vec3_along(b->at, -b->gap / 2, b->from);
    for (int j = 0; j < HW_SEGMENTS; j++) {
        const hw_frame *at = &pose->phalanx[j];
        out[j] = j < b->nearest ? hw_vec3_cross(at->y, hw_vec3_sub(touched, at->at))
                                : (hw_vec3){0, 0, 0};
    }
    hw_vec3 at = thumb ? p->opposition_at : d->splay_at;
    hw_vec3 axis = thumb ? p->opposition_axis : d->splay_axis;
    double sense = run->aside[run->n - 1] < run->aside[0] ? -1 : 1;
    out[HW_CREASE_ASIDE] = hw_vec3_times(hw_vec3_cross(axis, hw_vec3_sub(touched, at)), sense);
}

static bool rests(const hw_palm_run *run, int k, size_t i)
{
    const double *at = k == HW_CREASE_ASIDE ? run->aside : run->joint[k];
    return fabs(at[i] - at[0]) <= 1e-9 * fabs(at[run->n - 1] - at[0]);
}

// What a torque does where the surface goes at `v`: by virtual work, and no more than its sliding
// leaves, T >= N closing + N mu slid. 0 where it does not close.
static double pressed(double torque, hw_vec3 v, hw_vec3 from) // [N*m] [m/rad] [N]
{
    double closing = hw_vec3_dot(v, from);
    double slid = hw_vec3_norm(hw_vec3_along(v, -closing, from));
    return closing > 0 ? fmax(torque, 0) / fmax(closing, slide * slid) : 0;
}

// As hw_crease_force (stroke/pinch.h).
static double force_of(const hw_palm_run *run, size_t i, hw_vec3 from,
                       const hw_vec3 v[HW_CREASE_MOTIONS]) // [m/rad] [N]
{
    if (run->rate[0]) {
        hw_vec3 all = {0, 0, 0};
        for (int j = 0; j < HW_SEGMENTS; j++) all = hw_vec3_along(all, run->rate[j][i], v[j]);
        return pressed(run->torque[0][i], all, from);
    }
    double least = INFINITY;
    for (int k = 0; k < HW_CREASE_MOTIONS; k++)
        if (run->torque[k] && hw_vec3_dot(v[k], from) > 0 && !rests(run, k, i))
            least = fmin(least, pressed(run->torque[k][i], v[k], from));
    return isinf(least) ? 0 : least;
}

// ---- over a run -------------------------------------------------------------------------------

static bool sound(const hw_palm *p, const hw_palm_run *run)
{
    if (run->digit < 0 || run->digit >= HW_HAND_DIGITS) return false;
    const hw_palm_digit *d = &p->digit[run->digit];
    double all = p->setback + p->edge + p->thickness + p->back + d->knuckle.at.x + d->width;
    if (run->n < 2 || run->n > HW_PINCH_POSES || !run->aside) return false;
    for (int j = 0; j < HW_SEGMENTS; j++) {
        if (!run->joint[j] || !run->rate[j] != !run->rate[0]) return false;
        all += d->segment[j] + d->thickness[j] + d->thickness[j + 1];
    }
    for (size_t i = 0; i < run->n; i++) {
        all += run->aside[i];
        for (int j = 0; j < HW_SEGMENTS; j++) all += run->joint[j][i];
        for (int k = 0; k < HW_CREASE_MOTIONS; k++) all += run->torque[k] ? run->torque[k][i] : 0;
    }
    return isfinite(all) && (!run->rate[0] || run->torque[0]);
}

static void pose_at(const hw_palm *p, const hw_palm_run *run, size_t i, hw_palm_pose *out)
{
    double joint[HW_SEGMENTS];
    for (int j = 0; j < HW_SEGMENTS; j++) joint[j] = run->joint[j][i];
    hw_palm_pose_of(p, run->digit, run->aside[i], joint, out);
}

// The moving digit at each pose of its run.
typedef struct moves {
    hw_palm_pose pose[HW_PINCH_POSES];
    limb limb[HW_PINCH_POSES][LIMBS];
} moves;

static ball look(const hw_palm *p, const hw_palm_run *run, const moves *m, const scene *still,
                 const place *at, size_t i, hw_pinch_moment *out)
{
    hw_vec3 v[HW_CREASE_MOTIONS];
    ball b = ball_of(m->limb[i], at);
    *out = (hw_pinch_moment){0, b.gap, (double)i / (double)(run->n - 1), 0};
    if (!(b.gap > 0) || isinf(b.gap) || !stays(still, at, &b)) return b;
    speeds_of(p, run, &m->pose[i], &b, v);
    out->force = force_of(run, i, b.from, v);
    return b;
}

typedef struct search {
    const hw_palm *p;
    const hw_palm_run *run;
    const scene *still;
    moves m;
} search;

// What one place bears over every `stride`-th pose and the last.
static hw_pinch_peak bears(const search *f, const spot *at, size_t stride)
{
    hw_pinch_moment seen[HW_PINCH_POSES];
    hw_pinch_peak peak = {0, NAN, NAN};
    size_t n = 0, last = f->run->n - 1;
    place here = place_of(f->still, at);
    for (size_t i = 0; i < last; i += stride)
        (void)look(f->p, f->run, &f->m, f->still, &here, i, &seen[n++]);
    (void)look(f->p, f->run, &f->m, f->still, &here, last, &seen[n++]);
    hw_pinch_raise(seen, n, &peak);
    return peak;
}

// Moves a place along its part to where it bears most, by steps that are halved.
static hw_pinch_peak climb(const search *f, spot *at)
{
    hw_pinch_peak best = bears(f, at, 1);
    double step = at->phalanx < 0 ? 0.5 : 0.5 / ALONG, most = at->phalanx < 0 ? INFINITY : 1;
    for (int n = 0; n < HALVINGS; n++, step /= 2) {
        spot from = *at;
        for (int way = -1; way <= 1; way += 2) {
            spot to = from;
            to.along = fmin(fmax(from.along + way * step, 0), most);
            hw_pinch_peak peak = bears(f, &to, 1);
            if (!(peak.force > best.force)) continue;
            best = peak;
            *at = to;
        }
    }
    return best;
}

// The places that bear most at a few poses, looked at again at all of them.
static void worst_of(search *f, hw_palm_caught *out)
{
    double coarse[PLACES] = {0};
    spot spots[PLACES];
    const hw_palm_run *run = f->run;
    size_t n = spots_of(f->still, spots);
    *out = (hw_palm_caught){{0, NAN, NAN}, {NAN, NAN, NAN}, -1, -1};
    for (size_t i = 0; i < run->n; i++) {
        pose_at(f->p, run, i, &f->m.pose[i]);
        limbs_of(f->p, run->digit, &f->m.pose[i], f->m.limb[i]);
    }
    size_t stride = (run->n - 1) / FEW > 0 ? (run->n - 1) / FEW : 1;
    for (size_t k = 0; k < n; k++) coarse[k] = bears(f, &spots[k], stride).force;
    for (int again = 0; again < AGAIN; again++) {
        size_t best = 0;
        for (size_t k = 1; k < n; k++)
            if (coarse[k] > coarse[best]) best = k;
        if (!(coarse[best] > 0)) return;
        coarse[best] = 0;
        hw_pinch_peak peak = climb(f, &spots[best]);
        if (!(peak.force > out->peak.force)) continue;
        hw_pinch_moment there;
        size_t i = (size_t)(peak.at_s * (double)(run->n - 1) + 0.5);
        place here = place_of(f->still, &spots[best]);
        ball b = look(f->p, run, &f->m, f->still, &here, i, &there);
        *out = (hw_palm_caught){peak, b.at, b.nearest - 1, here.phalanx};
    }
}

static void blank(hw_palm_caught *out)
{
    *out = (hw_palm_caught){{NAN, NAN, NAN}, {NAN, NAN, NAN}, -1, -1};
}

hw_code hw_palm_crease_palm(const hw_palm *p, const hw_palm_run *run, hw_palm_caught *out)
{
    blank(out);
    if (run->digit < 1 || !sound(p, run)) return HW_BAD_INPUT;
    hw_palm_pose pose;
    limb own[LIMBS];
    pose_at(p, run, 0, &pose);
    limbs_of(p, run->digit, &pose, own);
    scene still = {.limb = {own[0]}, .limbs = 1, .palm = section_of(p, run->digit)};
    still.palm.frame = pose.base; // splayed it lies over the palm as it did
    search f = {.p = p, .run = run, .still = &still};
    worst_of(&f, out);
    return HW_OK;
}

hw_code hw_palm_crease_beside(const hw_palm *p, const hw_palm_run *run, int still, double aside,
                              const double joint[HW_SEGMENTS], hw_palm_caught *out)
{
    blank(out);
    if (!sound(p, run) || still < 0 || still >= HW_HAND_DIGITS || still == run->digit)
        return HW_BAD_INPUT;
    const double *const held[HW_SEGMENTS] = {joint, joint + 1, joint + 2};
    for (int j = 0; j < HW_SEGMENTS; j++)
        if (!isfinite(aside + *held[j])) return HW_BAD_INPUT;
    hw_palm_pose pose;
    // the palm beside the finger of the two, or beside the one that stands still
    scene s = {.limbs = LIMBS, .palm = section_of(p, still ? still : run->digit)};
    hw_palm_pose_of(p, still, aside, joint, &pose);
    limbs_of(p, still, &pose, s.limb);
    search f = {.p = p, .run = run, .still = &s};
    worst_of(&f, out);
    return HW_OK;
}
