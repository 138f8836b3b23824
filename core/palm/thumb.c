// The thumb's seat and the search for its base.
#include "palm/thumb.h"

#include "palm/grip.h"
#include "palm/pack.h"

#include <math.h>

enum {
    DIMS = 8,        // of the search
    ROUNDS = 60,     // of it
    OPPOSITIONS = 7, // of the sweep
    STEPS = 13,      // of a closing
    SEATED = 3,      // bodies of a seat
    BODIES = 4,      // of a digit: carrier and phalanges
    ROUND = 8,       // points of a disc
    POINTS = 4 * ROUND
};

static const double stray = 0.01; // cost of one scale away from home, in the search [1]
static const double dear = 0.05;  // of the pad's length: a lack of it costs 1 [1]

// ---- the seat -----------------------------------------------------------------------------------

double hw_thumb_bend(const hw_palm *p)
{
    double along = hw_vec3_dot(p->thumb_base.x, p->digit[0].knuckle.x);
    return acos(fmax(-1, fmin(1, along)));
}

static double tangent(const hw_palm *p, const hw_thumb_seat *seat)
{
    return seat->radius * tan(hw_thumb_bend(p) / 2);
}

double hw_thumb_behind(const hw_palm *p, const hw_thumb_seat *seat)
{
    return fmax(tangent(p, seat), seat->plate) - seat->block[0][0];
}

// Where along the axis, from P, the journal ends and the yoke leans out: as far from the axis as a
// cone of 45 degrees from the journal's rim lets it, so that it prints standing on its mouth. The
// plate's far side asks no more than the sheaths' way there.
static double shoulder(const hw_palm *p, const hw_thumb_seat *seat)
{
    const hw_palm_digit *d = &p->digit[0];
    double least = -0.75 * tangent(p, seat);
    double low = hw_vec3_dot(d->knuckle.z, p->thumb_base.x) > 0 ? -1 : 1;
    for (int i = 0; i < 8; i++) {
        double z = i & 4 ? -0.5 * d->thickness[0] : fmin(seat->journal, 0.5 * d->thickness[0]);
        hw_vec3 own = {seat->block[0][0] - (i & 1 ? seat->plate : 0),
                       (i & 2 ? 0.5 : -0.5) * d->width, low * z};
        hw_vec3 at = hw_vec3_sub(hw_frame_point(&d->knuckle, own), p->opposition_at);
        double along = hw_vec3_dot(at, p->thumb_base.x);
        double out = hw_vec3_norm(hw_vec3_along(at, -along, p->thumb_base.x));
        least = fmin(least, along - fmax(0, out - seat->journal));
    }
    return least;
}

double hw_thumb_mouth(const hw_palm *p, const hw_thumb_seat *seat)
{
    return fmax(tangent(p, seat), seat->bearing - shoulder(p, seat));
}

// What lies between two places along a digit whose knuckle is `f`.
static hw_body block_of(const hw_palm_digit *d, hw_frame f, const double x[2]) // [m]
{
    f.at = hw_vec3_along(f.at, (x[0] + x[1]) / 2, f.x);
    return hw_body_box(f, x[1] - x[0], d->width, d->thickness[0]);
}

// About the axis of opposition, z along it.
static hw_body journal_of(const hw_palm *p, const hw_thumb_seat *seat)
{
    const hw_frame *b = &p->thumb_base;
    double length = hw_thumb_mouth(p, seat);
    hw_frame f = {hw_vec3_along(p->opposition_at, -length / 2, b->x), b->y, b->z, b->x};
    return hw_body_cylinder(f, seat->journal, length);
}

// Carrier, the yoke's plate and the journal, opposed by `aside`; the journal does not move.
static void bodies_of(const hw_palm *p, const hw_thumb_seat *seat, double aside,
                      hw_body out[SEATED])
{
    const double plate[2] = {seat->block[0][0] - seat->plate, seat->block[0][0]};
    out[0] = block_of(&p->digit[0], p->digit[0].knuckle, seat->block[0]);
    out[1] = block_of(&p->digit[0], p->digit[0].knuckle, plate);
    for (int i = 0; i < 2; i++)
        out[i].frame = hw_frame_turned(&out[i].frame, p->opposition_at, p->opposition_axis, aside);
    out[2] = journal_of(p, seat);
}

// A finger's carrier on its yoke: a plate behind it and a foot below.
static hw_body yoke_of(const hw_palm *p, int digit, const hw_thumb_seat *seat)
{
    const double x[2] = {seat->block[digit][0] - seat->plate, seat->block[digit][1]};
    hw_body b = block_of(&p->digit[digit], p->digit[digit].knuckle, x);
    b.half.z += seat->plate / 2;
    b.frame.at = hw_vec3_along(b.frame.at, -seat->plate / 2, b.frame.z);
    return b;
}

// Straight from a finger's carrier to the wrist: the closing cord's sheath, and the opening one's.
static hw_body sheath_of(const hw_palm *p, int digit, bool opening, const hw_thumb_seat *seat)
{
    const hw_palm_digit *d = &p->digit[digit];
    hw_vec3 from = d->cord_at;
    double z = hw_vec3_dot(hw_vec3_sub(from, d->knuckle.at), d->knuckle.z);
    if (opening) from = hw_vec3_along(from, -2 * z, d->knuckle.z);
    double y[2];
    hw_palm_across(p, 0, y);
    hw_vec3 to = {0, fmax(y[0] + seat->wall, fmin(y[1] - seat->wall, from.y)), from.z};
    return hw_body_capsule(from, to, seat->sheath / 2);
}

// ---- room ---------------------------------------------------------------------------------------

static void keep(double *room, double gap) // [m] [m]
{
    *room = fmin(*room, gap);
}

// What the palm leaves round the journal between its two ends, at its sides and below and above.
static double body_room(const hw_palm *p, const hw_thumb_seat *seat, double most) // [m]
{
    double length = hw_thumb_mouth(p, seat), room = most;
    for (int i = 0; i < OPPOSITIONS; i++) {
        hw_vec3 at =
            hw_vec3_along(p->opposition_at, -length * i / (OPPOSITIONS - 1.0), p->thumb_base.x);
        double z[2], y[2];
        hw_palm_across(p, at.x, y);
        keep(&room, at.y - y[0] - seat->wall - seat->journal);
        keep(&room, y[1] - at.y - seat->wall - seat->journal);
        hw_palm_depth(p, at.x, at.y, z);
        if (isnan(z[0])) continue; // beside the palm: its side says so
        keep(&room, at.z - z[0] - seat->wall - seat->journal);
        keep(&room, z[1] - at.z - seat->wall - seat->journal);
    }
    return room;
}

static void sweep(const hw_palm *p, const hw_thumb_seat *seat, hw_thumb_room *out)
{
    for (int k = 0; k < OPPOSITIONS; k++) {
        double share = k / (OPPOSITIONS - 1.0);
        hw_body own[SEATED];
        bodies_of(p, seat, p->opposition[0] + share * (p->opposition[1] - p->opposition[0]), own);
        for (int d = 1; d < HW_HAND_DIGITS; d++) {
            if (!p->digit[d].present) continue;
            hw_body yoke = yoke_of(p, d, seat);
            for (int i = 0; i < SEATED; i++) {
                keep(&out->carriers,
                     hw_body_clear(&own[i], &yoke, out->carriers + seat->gap) - seat->gap);
                for (int s = 0; s < 2; s++) {
                    hw_body sheath = sheath_of(p, d, s, seat);
                    keep(&out->sheaths,
                         hw_body_clear(&own[i], &sheath, out->sheaths + seat->gap) - seat->gap);
                }
            }
        }
    }
}

// ---- grips --------------------------------------------------------------------------------------

// Carriers and phalanges as hulls of the discs that they end in, each in its own frame.
typedef struct shapes {
    hw_vec3 at[HW_HAND_DIGITS][BODIES][POINTS]; // [m]
    hw_body own[HW_HAND_DIGITS][BODIES];
} shapes;

static void put_disc(hw_vec3 at[], double x, double radius, double width) // [m]
{
    for (int i = 0; i < ROUND; i++) {
        // flats where the skin is
        double turn = 2 * HW_PI * (i + 0.5) / ROUND, r = radius / cos(HW_PI / ROUND);
        for (int s = 0; s < 2; s++)
            at[2 * i + s] = (hw_vec3){x + r * cos(turn), (s - 0.5) * width, r * sin(turn)};
    }
}

static void shapes_of(const hw_palm *p, const hw_thumb_seat *seat, shapes *out)
{
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        const hw_palm_digit *g = &p->digit[d];
        const double to_joint[2] = {seat->block[d][0], 0};
        out->own[d][0] = block_of(g, hw_frame_identity(), to_joint);
        for (int k = 0; k < HW_SEGMENTS; k++) {
            hw_vec3 *at = out->at[d][k + 1];
            double end = 0.5 * g->thickness[k + 1];
            put_disc(at, 0, 0.5 * g->thickness[k], g->width);
            put_disc(at + 2 * ROUND, g->segment[k] - (k + 1 == HW_SEGMENTS ? end : 0), end,
                     g->width);
            out->own[d][k + 1] = hw_body_hull(hw_frame_identity(), at, POINTS);
        }
    }
}

static void place(const hw_palm *p, const hw_palm_motion motion[], const hw_palm_stance *s,
                  const shapes *shape, hw_body out[HW_HAND_DIGITS][BODIES])
{
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        double joint[HW_SEGMENTS];
        hw_palm_pose pose;
        if (!p->digit[d].present) continue;
        hw_palm_stance_joints(s, &motion[d], d, joint);
        hw_palm_pose_of(p, d, s->aside[d], joint, &pose);
        for (int k = 0; k < BODIES; k++) {
            const hw_frame *on = k ? &pose.phalanx[k - 1] : &pose.base;
            out[d][k] = shape->own[d][k];
            out[d][k].frame = hw_frame_in(on, &shape->own[d][k].frame);
        }
    }
}

// Least gaps of the thumb to the fingers at one stance: of what is to touch, and of the rest.
static void gaps_at(const hw_palm *p, hw_grip_pattern grip, hw_body at[HW_HAND_DIGITS][BODIES],
                    double *meant, double *others) // [m] [m]
{
    for (int d = 1; d < HW_HAND_DIGITS; d++)
        for (int i = 0; i < BODIES && p->digit[d].present; i++)
            for (int k = 0; k < BODIES; k++) {
                const int digit[2] = {0, d}, phalanx[2] = {k - 1, i - 1};
                bool touch = k > 0 && i > 0 && hw_grip_means(grip, digit, phalanx);
                double *room = touch ? meant : others;
                keep(room, hw_body_clear(&at[0][k], &at[d][i], *room));
            }
}

static hw_code grip_room(const hw_palm *p, const hw_palm_motion motion[], hw_grip_pattern grip,
                         const hw_thumb_seat *seat, const shapes *shape, double *room) // [m]
{
    hw_grip_closing c;
    hw_code code = hw_grip_closing_of(p, motion, grip, seat->tied, &c);
    for (int k = 0; code == HW_OK && k < STEPS; k++) {
        hw_palm_stance s;
        hw_body at[HW_HAND_DIGITS][BODIES];
        double meant = *room, others = *room;
        hw_grip_stance_at(&c, k / (STEPS - 1.0), &s);
        place(p, motion, &s, shape, at);
        gaps_at(p, grip, at, &meant, &others);
        if (meant < 0) break; // there it ends
        *room = others;
    }
    return code;
}

static bool sound(const hw_palm *p, const hw_thumb_seat *s)
{
    double sum = s->plate + s->radius + s->journal + s->bearing + s->wall + s->sheath + s->gap +
                 s->miss + s->angle + p->outline[0][0].x + p->opposition_at.x +
                 p->digit[0].segment[2];
    for (int d = 0; d < HW_HAND_DIGITS; d++) sum += s->block[d][0] + s->block[d][1];
    return isfinite(sum) && s->plate >= 0 && s->radius >= 0 && s->journal > 0 && s->bearing >= 0 &&
           s->wall >= 0 && s->sheath >= 0 && s->gap >= 0 && p->digit[0].present;
}

hw_code hw_thumb_room_of(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                         const hw_thumb_seat *seat, hw_thumb_room *out)
{
    const double none = (double)NAN;
    *out = (hw_thumb_room){none, none, none, none, none, {none, none, none, none, none, none}};
    if (!sound(p, seat)) return HW_BAD_INPUT;
    double most = p->digit[0].segment[HW_SEGMENTS - 1];
    hw_vec3 at = p->opposition_at, base = p->thumb_base.at;
    *out = (hw_thumb_room){.behind = hw_vec3_norm(hw_vec3_sub(base, at)) - hw_thumb_behind(p, seat),
                           .mouth = at.x - hw_thumb_mouth(p, seat) * p->thumb_base.x.x - seat->wall,
                           .body = body_room(p, seat, most),
                           .carriers = most,
                           .sheaths = most};
    keep(&out->behind, most);
    keep(&out->mouth, most);
    sweep(p, seat, out);
    shapes shape;
    shapes_of(p, seat, &shape);
    for (int g = 0; g < HW_GRIPS; g++) {
        out->grip[g] = most;
        hw_code code = grip_room(p, motion, (hw_grip_pattern)g, seat, &shape, &out->grip[g]);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

// ---- cost ---------------------------------------------------------------------------------------

static double squared(double lack, double unit) // [1]
{
    return lack > 0 ? lack / unit * (lack / unit) : 0;
}

static double lacks_of(const hw_thumb_room *r, double unit) // [m] [1]
{
    double cost = squared(-r->mouth, unit) + squared(-r->body, unit) + squared(-r->carriers, unit) +
                  squared(-r->sheaths, unit);
    // what rounding leaves is no lack
    cost += squared(-r->behind - 1e-9 * unit, unit);
    for (int g = 0; g < HW_GRIPS; g++) cost += squared(-r->grip[g], unit);
    return cost;
}

double hw_palm_thumb_cost(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                          const hw_thumb_seat *seat)
{
    static const double share[HW_HAND_DIGITS] = {0, 0.33, 0.33, 0.17, 0.15};
    double cost = 0, length = p->digit[0].segment[HW_SEGMENTS - 1], unit = dear * length;
    for (int i = 1; i < HW_HAND_DIGITS; i++) {
        hw_palm_meeting m;
        if (!p->digit[i].present) continue;
        if (hw_palm_meeting_of(p, i, &motion[0], &motion[i], &m) != HW_OK) return (double)NAN;
        double miss = m.miss / length, angle = m.angle / (60 * HW_PI / 180);
        cost += share[i] * (miss * miss + 0.25 * angle * angle);
        if (!seat) continue;
        cost += squared(m.miss - seat->miss, unit);
        cost += squared(m.angle - seat->angle, 5 * HW_PI / 180);
    }
    hw_thumb_room room;
    if (!seat) return cost;
    if (hw_thumb_room_of(p, motion, seat, &room) != HW_OK) return (double)NAN;
    return cost + lacks_of(&room, unit);
}

// ---- search -------------------------------------------------------------------------------------

// Variables: three of pointing, two of the axis, three of P.
typedef struct spot {
    double x[DIMS]; // [rad] [m]
} spot;

typedef struct quest {
    const hw_palm_def *from;
    const hw_palm_motion *motion;
    const hw_thumb_seat *seat;
    spot home;
    double within; // [m]
} quest;

static hw_vec3 along_thumb(const hw_palm_def *d)
{
    return hw_palm_frame(d->digit[0].knuckle, d->digit[0].points).x;
}

static spot spot_of(const hw_palm_def *d)
{
    hw_vec3 at = hw_vec3_along(d->digit[0].knuckle, -d->opposition_behind, along_thumb(d));
    const hw_palm_pointing *o = &d->digit[0].points;
    return (spot){
        {o->turn, o->rise, o->roll, d->opposition_turn, d->opposition_rise, at.x, at.y, at.z}};
}

static hw_code put(const quest *q, const spot *s, hw_palm_def *out, hw_palm *palm)
{
    *out = *q->from;
    hw_vec3 at = {s->x[5], s->x[6], s->x[7]};
    out->digit[0].points = (hw_palm_pointing){s->x[0], s->x[1], s->x[2]};
    out->opposition_turn = s->x[3];
    out->opposition_rise = s->x[4];
    out->digit[0].knuckle = at;
    if (q->seat) {
        if (hw_palm_of(out, palm) != HW_OK) return HW_BAD_INPUT;
        out->opposition_behind = hw_thumb_behind(palm, q->seat);
    }
    out->digit[0].knuckle = hw_vec3_along(at, out->opposition_behind, along_thumb(out));
    return hw_palm_of(out, palm);
}

// What a step of the search is at first, and how far from home costs as much as 1.
static double scale_of(const quest *q, int k)
{
    return k < 5 ? 20 * HW_PI / 180 : q->within;
}

// Straying from home costs a little, so that pads do not meet where no hand has its thumb.
static double cost_of(const quest *q, const spot *s, hw_palm_def *out)
{
    hw_palm p;
    if (put(q, s, out, &p) != HW_OK) return (double)NAN;
    double cost = hw_palm_thumb_cost(&p, q->motion, q->seat);
    for (int k = 0; k < DIMS; k++) {
        double off = s->x[k] - q->home.x[k], scale = scale_of(q, k);
        if (scale > 0) cost += stray * (off / scale) * (off / scale);
    }
    return cost;
}

hw_code hw_palm_thumb_search(hw_palm_def *def, const hw_palm_motion motion[HW_HAND_DIGITS],
                             const hw_thumb_seat *seat, double within, const hw_job *job,
                             double *cost)
{
    const hw_palm_def from = *def;
    const quest q = {&from, motion, seat, spot_of(def), within};
    spot here = q.home;
    hw_palm_def tried;
    double step = 1, best = cost_of(&q, &here, &tried);
    *cost = best;
    if (!isfinite(best) || !(within >= 0)) return HW_BAD_INPUT;
    *def = tried;
    for (int round = 0; round < ROUNDS && step > 1.0 / 64; round++) {
        bool moved = false;
        for (int k = 0; k < 2 * DIMS; k++) {
            if (!hw_job_go_on(job, (double)round / ROUNDS, "thumb's base")) return HW_CANCELLED;
            spot there = here;
            double *x = &there.x[k / 2];
            *x += (k % 2 ? -0.5 : 0.5) * step * scale_of(&q, k / 2);
            if (k / 2 >= 5 && fabs(*x - q.home.x[k / 2]) > within) continue;
            double c = cost_of(&q, &there, &tried);
            if (!(c < best)) continue;
            *cost = best = c;
            *def = tried;
            here = there;
            moved = true;
        }
        if (!moved) step /= 2;
    }
    return HW_OK;
}
