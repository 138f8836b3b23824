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
static const double grip = 0.7, slide = 0.3;   // [1]
static const double rough = 1e-5, fine = 1e-9; // of a ball's radius [1]

// A part of a digit: the hull of two discs, drawn out to the digit's width.
typedef struct limb {
    hw_frame frame;           // at the first disc, x toward the second
    double length, radius[2]; // [m]
    double sine, cosine;      // of the common tangent's lean; sine 1: one disc holds the other [1]
    double half;              // of the width [m]
    hw_vec3 middle;           // of a ball round all of it
    double reach;             // that ball's radius [m]
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

// From a point in the limb's own frame, and the way in which that grows fastest.
static double own_distance(const limb *l, hw_vec3 q, hw_vec3 *grows) // [m] [1]
{
    double z = fabs(q.z), foot = q.x * l->cosine - z * l->sine, side = fabs(q.y) - l->half, in;
    hw_vec2 out; // as hw_discs_distance, which knows no frame
    double up = q.z < 0 ? -1 : 1;
    if (foot > 0 && l->cosine != 0 && foot < l->length * l->cosine) {
        in = q.x * l->sine + z * l->cosine - l->radius[0];
        out = (hw_vec2){l->sine, up * l->cosine};
    } else {
        int end = foot > 0 && l->cosine != 0;
        double x = end ? q.x - l->length : q.x, far = sqrt(x * x + z * z);
        in = far - l->radius[end];
        out = (hw_vec2){x / far, q.z / far};
    }
    double all = in > 0 && side > 0 ? sqrt(in * in + side * side) : fmax(in, side);
    if (grows) {
        double a = in > 0 && side > 0 ? in / all : in >= side;
        double b = in > 0 && side > 0 ? side / all : in < side;
        *grows = (hw_vec3){a * out.x, q.y < 0 ? -b : b, a * out.z};
    }
    return all;
}

static bool limb_clears(const limb *l, hw_vec3 c, double by) // [m]
{
    hw_vec3 off = hw_vec3_sub(c, l->middle);
    double far = l->reach + by;
    return hw_vec3_dot(off, off) >= far * far ||
           own_distance(l, hw_frame_seen(&l->frame, c), NULL) >= by;
}

static double palm_distance(const section *s, hw_vec3 c) // [m]
{
    hw_vec3 q = hw_frame_seen(&s->frame, c);
    double x = fabs(q.x - s->middle.x) - s->half.x, z = fabs(q.z - s->middle.z) - s->half.z;
    double out = hypot(fmax(x, 0), fmax(z, 0));
    return (out > 0 ? out : fmax(x, z)) - s->edge;
}

static bool scene_clears(const scene *s, hw_vec3 c, double by) // [m]
{
    for (size_t i = 0; i < s->limbs; i++)
        if (!limb_clears(&s->limb[i], c, by)) return false;
    return palm_distance(&s->palm, c) >= by;
}

// ---- digits and palm --------------------------------------------------------------------------

static limb limb_of(hw_frame at, double length, double from, double to, double width) // [m]
{
    limb l = {.frame = at, .length = length, .radius = {from, to}, .sine = 1, .half = width / 2};
    if (length <= fabs(from - to)) { // the larger is all there is
        l.frame.at = hw_vec3_along(at.at, from < to ? length : 0, at.x);
        l.length = 0;
        l.radius[0] = fmax(from, to);
    } else {
        l.sine = (from - to) / length;
        l.cosine = sqrt(1 - l.sine * l.sine);
    }
    double tall = fmax(from, to), along = l.length / 2 + tall;
    l.middle = hw_vec3_along(l.frame.at, l.length / 2, l.frame.x);
    l.reach = sqrt(along * along + l.half * l.half);
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

// A place as a limb sees it: the ball of radius r about at + r normal.
typedef struct line {
    hw_vec3 at, normal;
} line;

// By how much the ball clears the limb: falls as it grows.
static double clears(const limb *l, const line *seen, double radius) // [m]
{
    return own_distance(l, hw_vec3_along(seen->at, radius, seen->normal), NULL) - radius;
}

// Whether a ball of that radius clears the ball round the limb.
static bool is_far(const limb *l, const place *at, double radius) // [m]
{
    hw_vec3 w = hw_vec3_sub(at->at, l->middle);
    return hw_vec3_dot(w, w) - l->reach * l->reach >=
           2 * radius * (l->reach - hw_vec3_dot(w, at->normal));
}

// The radius at which it touches, between one that clears it by `over` and one that is too large by
// -`under`. False position, the end that stays halved (as in fist.c).
static double touches(const limb *l, const line *seen, double low, double over, double high,
                      double under, double within) // [m] [1]
{
    double mid = low;
    for (int n = 0, kept = 0; n < TRIES && high - low > within * high; n++) {
        mid = low + (high - low) * fmin(0.999, fmax(1e-3, over / (over - under)));
        double off = clears(l, seen, mid);
        if (fabs(off) <= within * mid) break;
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
    return mid;
}

// The least radius at which one of the limbs touches; what clears the ball as far as that is known
// matters no more, and the limb that was nearest a pose before, `first`, mostly tells it.
static ball ball_of(const limb m[LIMBS], const place *at, int first, double within) // [1]
{
    double least = (HW_FINGER_LEAST - HW_FINGER_YIELD) / 2, radius = HW_FINGER_MOST;
    ball b = {.gap = INFINITY, .nearest = first};
    line seen[LIMBS];
    for (int k = 0; k < LIMBS; k++) {
        int i = (first + k) % LIMBS;
        const limb *l = &m[i];
        if (is_far(l, at, radius)) continue;
        seen[i] = (line){hw_frame_seen(&l->frame, at->at),
                         {hw_vec3_dot(at->normal, l->frame.x), hw_vec3_dot(at->normal, l->frame.y),
                          hw_vec3_dot(at->normal, l->frame.z)}};
        double under = clears(l, &seen[i], radius);
        if (under >= 0) continue;
        double over = clears(l, &seen[i], least);
        if (over <= 0) return (ball){.gap = 0, .nearest = i};
        radius = touches(l, &seen[i], least, over, radius, under, within);
        b = (ball){.gap = 2 * radius, .nearest = i};
    }
    if (isinf(b.gap)) return b;
    const line *met = &seen[b.nearest];
    hw_vec3 grows;
    (void)own_distance(&m[b.nearest], hw_vec3_along(met->at, radius, met->normal), &grows);
    b.at = hw_vec3_along(at->at, radius, at->normal);
    b.from = hw_frame_direction(&m[b.nearest].frame, grows);
    return b;
}

// Whether friction keeps it there, and nothing else is where it would be.
static bool stays(const scene *still, const place *at, const ball *b, double within) // [1]
{
    if (hw_vec3_dot(at->normal, b->from) > (grip * grip - 1) / (grip * grip + 1)) return false;
    return scene_clears(still, b->at, (0.5 - within) * b->gap);
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

typedef struct search {
    const hw_palm *p;
    const hw_palm_run *run;
    const scene *still;
    moves m;
} search;

static ball look(const search *f, const place *at, size_t i, int first, double within,
                 hw_pinch_moment *out) // [1]
{
    hw_vec3 v[HW_CREASE_MOTIONS];
    ball b = ball_of(f->m.limb[i], at, first, within);
    *out = (hw_pinch_moment){0, b.gap, (double)i / (double)(f->run->n - 1), 0};
    if (!(b.gap > 0) || isinf(b.gap) || !stays(f->still, at, &b, fmax(1e-6, 2 * within))) return b;
    speeds_of(f->p, f->run, &f->m.pose[i], &b, v);
    out->force = force_of(f->run, i, b.from, v);
    return b;
}

// What one place bears over every `stride`-th pose and the last.
static hw_pinch_peak bears(const search *f, const spot *at, size_t stride)
{
    hw_pinch_moment seen[HW_PINCH_POSES];
    hw_pinch_peak peak = {0, NAN, NAN};
    size_t n = 0, last = f->run->n - 1;
    place here = place_of(f->still, at);
    double within = stride > 1 ? rough : fine;
    int nearest = 0;
    for (size_t i = 0; i < last; i += stride)
        nearest = look(f, &here, i, nearest, within, &seen[n++]).nearest;
    (void)look(f, &here, last, nearest, within, &seen[n++]);
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
        ball b = look(f, &here, i, 0, fine, &there);
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
