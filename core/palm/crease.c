// Balls between a moving digit and what stands still.
#include "palm/crease_internal.h"

#include "palm/crease.h"

#include <math.h>
#include <stdlib.h>

enum { SIDES = 5, FRONT = 8, EDGE = 4, INSIDE = 8 };
enum {
    FEW = 16,   // poses of a first look
    EVERY = 2,  // of a row's places the first look takes
    ALONG = 24, // of those a phalanx has
    MOST = 97,  // at most, of any row
    RIM = 20,
    RIMS = 17, // of the outline's points those before the palm and beside the thumb
    FINE = 8,  // of a row's places between two of the outline's sections
    ROWS = RIMS,
    AGAIN = 3, // places that are looked at again
    HALVINGS = 5
};

// Dry skin on plastics, published as 0.5 with 40 % either way: the most keeps a finger in a corner,
// the least is what a face that slides past it surely takes.
static const double grip = 0.7, slide = 0.3;   // [1]
static const double rough = 1e-5, fine = 1e-9; // of a ball's radius [1]
// Balls' radii that count, a little widened: what may bear is never passed over.
static const double thinnest = HW_FINGER_LEAST / 2 * (1 - 1e-5); // [m]
static const double most = HW_FINGER_MOST / 2 * (1 + 1e-5);      // [m]
// Where a first look finds less than this share of the most that is known, nothing more is looked
// for.
static const double part = 0.5; // [1]

// The palm beside a finger, in the finger's plane.
typedef struct section {
    hw_frame frame;       // the knuckle's
    hw_vec2 middle, half; // of the box that its round edges are drawn about [m]
    double edge;          // [m]
} section;

typedef struct scene {
    hw_limb limb[HW_LIMBS];
    size_t limbs; // 0: places are on the palm's outline, 1: on its section, else on the phalanges
    section palm;
    const hw_palm *outline; // that palm; NULL
} scene;

// A place by numbers that can be moved.
typedef struct spot {
    int phalanx;  // -1: the palm
    int side;     // of a phalanx: -2 and 2 its sides, 0 its palmar face, between them its edges;
                  // of the outline: which of its points
    double along; // a phalanx, 0 to 1; the palm: in steps from its front level with the axis; its
                  // outline: in sections [1]
} spot;

// ---- the palm and the scene -------------------------------------------------------------------

static double palm_distance(const section *s, hw_vec3 c) // [m]
{
    hw_vec3 q = hw_frame_seen(&s->frame, c);
    double x = fabs(q.x - s->middle.x) - s->half.x, z = fabs(q.z - s->middle.z) - s->half.z;
    double out = x > 0 && z > 0 ? sqrt(x * x + z * z) : x > z ? x : z;
    return out - s->edge;
}

static bool scene_clears(const scene *s, hw_vec3 c, double by) // [m]
{
    if (s->outline) return true; // its hollows are wider than a finger
    for (size_t i = 0; i < s->limbs; i++)
        if (!hw_limb_clears(&s->limb[i], c, by)) return false;
    return palm_distance(&s->palm, c) >= by;
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
static hw_crease_place palm_place(const section *s, double along) // [1]
{
    double front = s->middle.x + s->half.x, low = s->middle.z - s->half.z;
    double turned = fmin(fmax(along - FRONT, 0) / EDGE, 1) * HW_PI / 2;
    double back = fmax(along - FRONT - EDGE, 0) * (s->half.z + s->edge) / INSIDE;
    hw_vec3 normal = {cos(turned), 0, -sin(turned)};
    hw_vec3 at = {front - fmin(back, 2 * s->half.x), 0, low * fmin(along / FRONT, 1)};
    return (hw_crease_place){hw_frame_point(&s->frame, hw_vec3_along(at, s->edge, normal)),
                             hw_frame_direction(&s->frame, normal), -1};
}

static hw_crease_place limb_place(const hw_limb *l, const spot *at)
{
    double y = 0.5 * at->side, z = abs(at->side) == 2 ? 0 : sqrt(1 - y * y);
    double deep = l->shape.radius[0] + at->along * (l->shape.radius[1] - l->shape.radius[0]);
    hw_vec3 palmar = {l->shape.sine, 0, -l->shape.cosine},
            own = {at->along * l->shape.length, 0, 0};
    hw_vec3 normal = {z * palmar.x, y, z * palmar.z};
    if (z > 0) own = hw_vec3_along(own, deep, palmar);
    if (at->side) own.y = at->side < 0 ? -l->shape.half : l->shape.half;
    return (hw_crease_place){hw_frame_point(&l->frame, own), hw_frame_direction(&l->frame, normal),
                             at->phalanx};
}

// Between two of the outline's sections.
static hw_vec3 outline_at(const hw_palm *p, int point, double along) // [1]
{
    int s = along < HW_PALM_SECTIONS - 2 ? (int)along : HW_PALM_SECTIONS - 2;
    hw_vec3 from = p->outline[s][point % HW_PALM_AROUND];
    return hw_vec3_along(from, along - s,
                         hw_vec3_sub(p->outline[s + 1][point % HW_PALM_AROUND], from));
}

static hw_crease_place outline_place(const hw_palm *p, const spot *at)
{
    int s = at->along < HW_PALM_SECTIONS - 2 ? (int)at->along : HW_PALM_SECTIONS - 2;
    hw_vec3 along = hw_vec3_sub(outline_at(p, at->side, s + 1), outline_at(p, at->side, s));
    hw_vec3 round =
        hw_vec3_sub(outline_at(p, at->side + 1, at->along), outline_at(p, at->side - 1, at->along));
    return (hw_crease_place){outline_at(p, at->side, at->along),
                             hw_vec3_unit(hw_vec3_cross(round, along)), -1};
}

static hw_crease_place place_of(const scene *s, const spot *at)
{
    if (s->outline) return outline_place(s->outline, at);
    return at->phalanx < 0 ? palm_place(&s->palm, at->along)
                           : limb_place(&s->limb[at->phalanx + 1], at);
}

// Places one beside the other.
typedef struct row {
    int phalanx, side, first, n; // the first place of a first look, how many there are
    double unit;                 // from one to the next, in a spot's measure [1]
} row;

static spot spot_of(const row *r, int at)
{
    return (spot){r->phalanx, r->side, at * r->unit};
}

static int rows_of(const scene *s, row out[ROWS])
{
    int n = 0;
    for (int k = 0; s->outline && k < RIMS; k++)
        out[n++] = (row){-1, RIM + k, 0, FINE * (HW_PALM_SECTIONS - 1) + 1, 1.0 / FINE};
    if (s->outline) return n;
    if (s->limbs == 1) {
        out[0] = (row){-1, 0, 0, EVERY * (FRONT + EDGE + 2 * INSIDE) + 1, 1.0 / EVERY};
        return 1;
    }
    for (int k = 0; k < HW_SEGMENTS; k++)
        for (int side = -2; side <= 2; side++)
            out[n++] = (row){k, side, EVERY / 2, ALONG + 1, 1.0 / ALONG};
    return n;
}

// ---- one ball ---------------------------------------------------------------------------------

// The cosine between the two faces' outward normals above which friction does not keep a finger.
static double open_most(void) // [1]
{
    return (grip * grip - 1) / (grip * grip + 1);
}

// Whether friction keeps it there, and nothing else is where it would be.
static bool stays(const scene *still, const hw_crease_place *at, const hw_crease_ball *b,
                  double within) // [1]
{
    if (hw_vec3_dot(at->normal, b->from) > open_most()) return false;
    return scene_clears(still, b->at, (0.5 - within) * b->gap);
}

// How fast the moving part's surface goes where it touches, for one radian of each motion.
static void speeds_of(const hw_palm *p, const hw_palm_run *run, const hw_palm_pose *pose,
                      const hw_crease_ball *b, hw_vec3 out[HW_CREASE_MOTIONS]) // [m/rad]
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
    double low = INFINITY;
    for (int k = 0; k < HW_CREASE_MOTIONS; k++)
        if (run->torque[k] && hw_vec3_dot(v[k], from) > 0 && !rests(run, k, i))
            low = fmin(low, pressed(run->torque[k][i], v[k], from));
    return isinf(low) ? 0 : low;
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

typedef struct search {
    const hw_palm *p;
    const hw_palm_run *run;
    const scene *still;
    size_t stride; // from one pose of a first look to the next
    bool all;      // the poses between those are known too
    hw_limb_shape shape[HW_LIMBS];
    hw_palm_pose pose[HW_PINCH_POSES];
    hw_limb limb[HW_PINCH_POSES][HW_LIMBS];
} search;

static void pose_at(search *f, size_t i)
{
    double joint[HW_SEGMENTS];
    for (int j = 0; j < HW_SEGMENTS; j++) joint[j] = f->run->joint[j][i];
    hw_palm_pose_of(f->p, f->run->digit, f->run->aside[i], joint, &f->pose[i]);
    hw_limbs_at(f->p, f->shape, &f->pose[i], f->limb[i]);
}

// From a pose of a first look to the next; past the last one there is no more.
static size_t next_of(const search *f, size_t i)
{
    size_t last = f->run->n - 1;
    return i < last && i + f->stride > last ? last - i : f->stride;
}

static void begin(search *f, const hw_palm *p, const hw_palm_run *run)
{
    f->p = p;
    f->run = run;
    f->stride = (run->n - 1) / FEW > 0 ? (run->n - 1) / FEW : 1;
    f->all = false;
    hw_limb_shapes_of(p, run->digit, f->shape);
    for (size_t i = 0; i < run->n; i += next_of(f, i)) pose_at(f, i);
}

static void pose_the_rest(search *f)
{
    for (size_t i = 0; i + 1 < f->run->n && !f->all; i++)
        if (i % f->stride) pose_at(f, i);
    f->all = true;
}

static const hw_crease_ball nothing = {.gap = INFINITY};

static hw_crease_ball look(const search *f, const hw_crease_place *at, size_t i,
                           const hw_crease_ball *before, double within,
                           hw_pinch_moment *out) // [1]
{
    hw_vec3 v[HW_CREASE_MOTIONS];
    hw_crease_ball b = hw_crease_ball_of(f->limb[i], at, before, within);
    *out = (hw_pinch_moment){0, b.gap, (double)i / (double)(f->run->n - 1), 0};
    if (!(b.gap > 0) || isinf(b.gap) || !stays(f->still, at, &b, fmax(1e-6, 2 * within))) return b;
    speeds_of(f->p, f->run, &f->pose[i], &b, v);
    out->force = force_of(f->run, i, b.from, v);
    return b;
}

// What one place bears over every `stride`-th pose and the last; `any`, if asked for: the most of
// all poses, whether a finger gets in there or not.
static hw_pinch_peak bears(const search *f, const spot *at, size_t stride, double *any) // [N]
{
    hw_pinch_moment seen[HW_PINCH_POSES];
    hw_pinch_peak peak = {0, NAN, NAN};
    size_t n = 0, last = f->run->n - 1;
    hw_crease_place here = place_of(f->still, at);
    double within = stride > 1 ? rough : fine;
    hw_crease_ball b = nothing;
    for (size_t i = 0; i < last; i += stride) b = look(f, &here, i, &b, within, &seen[n++]);
    (void)look(f, &here, last, &b, within, &seen[n++]);
    hw_pinch_raise(seen, n, &peak);
    for (size_t i = 0; i < n && any; i++)
        if (seen[i].gap <= HW_FINGER_MOST + HW_FINGER_YIELD) *any = fmax(*any, seen[i].force);
    return peak;
}

// Which limbs, a bit each, may press a finger on a place at each pose of a first look.
typedef struct reach {
    uint8_t limbs[HW_PINCH_POSES];
} reach;

// On two places of one normal, or between them. A ball of radius r that is kept there is touched
// r (1 - n m) before the place, m the other face's normal: that far the limb must reach, and one
// that lies all farther than a finger is large does not. False: none does.
static bool reach_of(const search *f, const spot *one, const spot *other, reach *out)
{
    hw_crease_place a = place_of(f->still, one), b = place_of(f->still, other);
    double low = hw_vec3_dot(a.normal, a.at), high = hw_vec3_dot(a.normal, b.at);
    double near = fmin(low, high) + thinnest * (1 - open_most()), far = fmax(low, high) + 2 * most;
    hw_vec3 middle = hw_vec3_times(hw_vec3_add(a.at, b.at), 0.5);
    double span = hw_vec3_norm(hw_vec3_sub(a.at, middle)) + 2 * most;
    bool any = false;
    for (size_t i = 0; i < f->run->n; i += next_of(f, i)) {
        unsigned limbs = 0;
        for (int k = 0; k < HW_LIMBS; k++) {
            const hw_limb *l = &f->limb[i][k];
            hw_vec3 off = hw_vec3_sub(l->middle, middle);
            double all = l->shape.reach + span;
            if (hw_vec3_dot(off, off) <= all * all && hw_limb_between(l, a.normal, near, far))
                limbs |= 1u << k;
        }
        out->limbs[i] = (uint8_t)limbs;
        any = any || limbs;
    }
    return any;
}

// What those press with on one of those places, as soon as that is more than enough.
static double bears_much(const search *f, const reach *r, const spot *at, double enough) // [N]
{
    hw_crease_place here = place_of(f->still, at);
    double force = 0;
    for (size_t i = 0; i < f->run->n && force <= enough; i += next_of(f, i))
        for (int k = 0; k < HW_LIMBS && r->limbs[i] >> k; k++) {
            if (!(r->limbs[i] >> k & 1) ||
                !hw_limb_may_press(&f->limb[i][k], &here, thinnest, most, open_most() + rough))
                continue;
            const hw_crease_ball first = {.gap = 2 * most, .nearest = k};
            hw_pinch_moment m;
            (void)look(f, &here, i, &first, rough, &m);
            force = fmax(force, m.force);
            break; // it is the nearest of all
        }
    return force;
}

// What a row's places bear at a few poses; -1: not looked at.
typedef struct seen {
    row row;
    reach reach;
    bool near; // something reaches it
    double peak[MOST], any[MOST];
} seen;

static void see(const search *f, seen *s, int at, double *best)
{
    spot here = spot_of(&s->row, at);
    s->peak[at] = s->any[at] = 0;
    if (here.phalanx < 0) s->near = reach_of(f, &here, &here, &s->reach);
    if (s->near) s->any[at] = bears_much(f, &s->reach, &here, part * *best);
    if (!(s->any[at] > part * *best)) return;
    s->peak[at] = bears(f, &here, f->stride, &s->any[at]).force;
    *best = fmax(*best, s->peak[at]);
}

static void see_row(const search *f, const row *r, seen *s, double *best)
{
    spot ends[2] = {spot_of(r, 0), spot_of(r, r->n - 1)};
    s->row = *r;
    s->near = r->phalanx >= 0 && reach_of(f, &ends[0], &ends[1], &s->reach);
    for (int k = 0; k < r->n; k++) s->peak[k] = s->any[k] = -1;
    for (int k = r->first; k < r->n; k += EVERY) see(f, s, k, best);
}

// Places between those that bear much.
static void see_between(const search *f, seen *s, int step, double *best)
{
    for (int k = 0; k < s->row.n; k++) {
        double beside =
            fmax(k < step ? -1 : s->any[k - step], k + step < s->row.n ? s->any[k + step] : -1);
        if (s->any[k] < 0 && beside > part * *best) see(f, s, k, best);
    }
}

// Moves a place along its part to where it bears most, by steps that are halved.
static hw_pinch_peak climb(const search *f, const row *r, spot *at)
{
    hw_pinch_peak best = bears(f, at, 1, NULL);
    double step = r->unit / 2, end = r->unit * (r->n - 1);
    for (int n = 0; n < HALVINGS; n++, step /= 2) {
        spot from = *at;
        for (int way = -1; way <= 1; way += 2) {
            spot to = from;
            to.along = fmin(fmax(from.along + way * step, 0), end);
            if (to.along == from.along) continue; // at an end
            hw_pinch_peak peak = bears(f, &to, 1, NULL);
            if (!(peak.force > best.force)) continue;
            best = peak;
            *at = to;
        }
    }
    return best;
}

// The place that bears most at a few poses, and its neighbours are not looked at again; NULL: none
// that bears enough is left.
static seen *take_worst(seen rows[ROWS], int n, double enough, int *at) // [N]
{
    seen *worst = NULL;
    double peak = 0;
    for (int r = 0; r < n; r++)
        for (int k = 0; k < rows[r].row.n; k++)
            if (rows[r].peak[k] > peak && rows[r].any[k] > enough) {
                worst = &rows[r];
                *at = k;
                peak = worst->peak[k];
            }
    for (int k = *at - 1; worst && k <= *at + 1; k++)
        if (k >= 0 && k < worst->row.n) worst->peak[k] = 0;
    return worst;
}

// Raises *out to what places bear while the others stand still so.
static void worst_of(search *f, const scene *still, hw_palm_caught *out)
{
    row all[ROWS];
    seen rows[ROWS];
    int n = rows_of(still, all), at = 0;
    double best = out->peak.force;
    size_t last = f->run->n - 1;
    f->still = still;
    for (int r = 0; r < n; r++) see_row(f, &all[r], &rows[r], &best);
    for (int step = EVERY / 2; step > 0; step /= 2)
        for (int r = 0; r < n; r++) see_between(f, &rows[r], step, &best);
    int again = still->outline ? 2 * AGAIN : AGAIN; // its rows lie closer
    while (again-- > 0) {
        const seen *worst = take_worst(rows, n, part * out->peak.force, &at);
        if (!worst) return;
        pose_the_rest(f);
        spot there = spot_of(&worst->row, at);
        hw_pinch_peak peak = climb(f, &worst->row, &there);
        if (!(peak.force > out->peak.force)) continue;
        hw_pinch_moment moment;
        size_t i = (size_t)(peak.at_s * (double)last + 0.5);
        hw_crease_place here = place_of(f->still, &there);
        hw_crease_ball b = look(f, &here, i, &nothing, fine, &moment);
        *out = (hw_palm_caught){peak, b.at, b.nearest - 1, here.phalanx};
    }
}

static const hw_palm_caught unknown = {{NAN, NAN, NAN}, {NAN, NAN, NAN}, -1, -1};
static const hw_palm_caught none = {{0, NAN, NAN}, {NAN, NAN, NAN}, -1, -1};

hw_code hw_palm_crease_palm(const hw_palm *p, const hw_palm_run *run, hw_palm_caught *out)
{
    *out = unknown;
    if (run->digit < 1 || !sound(p, run)) return HW_BAD_INPUT;
    search f;
    begin(&f, p, run);
    scene still = {.limb = {f.limb[0][0]}, .limbs = 1, .palm = section_of(p, run->digit)};
    still.palm.frame = f.pose[0].base; // splayed it lies over the palm as it did
    *out = none;
    worst_of(&f, &still, out);
    return HW_OK;
}

hw_code hw_palm_crease_side(const hw_palm *p, const hw_palm_run *run, double above,
                            hw_palm_caught *out)
{
    *out = unknown;
    if (run->digit != 0 || !sound(p, run)) return HW_BAD_INPUT;
    for (int k = 0; k < HW_PALM_SECTIONS * HW_PALM_AROUND; k++) {
        hw_vec3 at = p->outline[k / HW_PALM_AROUND][k % HW_PALM_AROUND];
        if (!isfinite(at.x + at.y + at.z)) return HW_BAD_INPUT;
    }
    search f;
    begin(&f, p, run);
    scene still = {.outline = p};
    *out = none;
    out->peak.force = fmax(0, above);
    worst_of(&f, &still, out);
    if (isnan(out->where.x)) *out = none;
    return HW_OK;
}

hw_code hw_palm_crease_beside(const hw_palm *p, const hw_palm_run *run, int still, size_t n,
                              const hw_palm_still held[], double above, hw_palm_caught *out)
{
    *out = unknown;
    if (!sound(p, run) || still < 0 || still >= HW_HAND_DIGITS || still == run->digit)
        return HW_BAD_INPUT;
    for (size_t i = 0; i < n; i++)
        if (!isfinite(held[i].aside + held[i].joint[0] + held[i].joint[1] + held[i].joint[2]))
            return HW_BAD_INPUT;
    search f;
    hw_limb_shape shape[HW_LIMBS];
    // the palm beside the finger of the two, or beside the one that stands still
    scene s = {.limbs = HW_LIMBS, .palm = section_of(p, still ? still : run->digit)};
    begin(&f, p, run);
    hw_limb_shapes_of(p, still, shape);
    *out = none;
    out->peak.force = fmax(0, above);
    for (size_t i = 0; i < n; i++) {
        hw_palm_pose pose;
        hw_palm_pose_of(p, still, held[i].aside, held[i].joint, &pose);
        hw_limbs_at(p, shape, &pose, s.limb);
        worst_of(&f, &s, out);
    }
    if (isnan(out->where.x)) *out = none;
    return HW_OK;
}
