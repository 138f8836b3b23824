// The thumb's seat, and what a base costs.
#include "palm/thumb_internal.h"

#include "palm/pack.h"

#include <math.h>

enum {
    OPPOSITIONS = 7, // of the sweep
    STEPS = 13,      // of a closing
    HALVINGS = 7,    // of the step in which it ends
    SEATED = 3,      // bodies of a seat
    BODIES = 4,      // of a digit: carrier and phalanges
    ROUND = 8,       // points of a disc
    POINTS = 4 * ROUND,
    CELLS = 20 // of the palm, along it
};

static const double deg = HW_PI / 180;
static const double dear = 0.01;  // of the pad's length: a lack of it costs 1 [1]
static const double large = 0.05; // of the palm: sweeping it costs 1 [1]

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

// A closing, looked at from a stance on.
typedef struct closing {
    const hw_palm *p;
    const hw_palm_motion *motion;
    const shapes *shape;
    hw_grip_pattern grip;
    hw_grip_closing way;
} closing;

static void gaps_of(const closing *c, double t, double *meant, double *others) // [1] [m] [m]
{
    hw_palm_stance s;
    hw_body at[HW_HAND_DIGITS][BODIES];
    hw_grip_stance_at(&c->way, t, &s);
    place(c->p, c->motion, &s, c->shape, at);
    gaps_at(c->p, c->grip, at, meant, others);
}

// As far as what is to touch does: the rest is looked at there too, else steps would decide what it
// has room for.
static hw_code grip_room(const hw_palm *p, const hw_palm_motion motion[], hw_grip_pattern grip,
                         const hw_thumb_seat *seat, const shapes *shape, double *room) // [m]
{
    closing c = {p, motion, shape, grip, {.miss = 0}};
    hw_code code = hw_grip_closing_of(p, motion, grip, seat->tied, &c.way);
    for (int k = 0; code == HW_OK && k < STEPS; k++) {
        double meant = *room, others = *room;
        gaps_of(&c, k / (STEPS - 1.0), &meant, &others);
        if (meant >= 0) {
            *room = others;
            continue;
        }
        double free = (k - 1) / (STEPS - 1.0), met = k / (STEPS - 1.0);
        for (int i = 0; k > 0 && i < HALVINGS; i++) {
            double half = 0.5 * (free + met);
            meant = others = *room;
            gaps_of(&c, half, &meant, &others);
            if (meant >= 0) *room = others;
            *(meant >= 0 ? &free : &met) = half;
        }
        break;
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

// All but what the fingers leave.
static void stand(const hw_palm *p, const hw_palm_motion *thumb, const hw_thumb_seat *seat,
                  double most, hw_thumb_room *out) // [m]
{
    hw_vec3 at = p->opposition_at, base = p->thumb_base.at;
    out->behind = hw_vec3_norm(hw_vec3_sub(base, at)) - hw_thumb_behind(p, seat);
    out->mouth = at.x - hw_thumb_mouth(p, seat) * p->thumb_base.x.x - seat->wall;
    keep(&out->behind, most);
    keep(&out->mouth, most);
    out->body = body_room(p, seat, most);
    out->palm = hw_thumb_swept(p, thumb, seat, CELLS);
}

hw_code hw_thumb_room_of(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                         const hw_thumb_seat *seat, hw_thumb_room *out)
{
    const double none = (double)NAN;
    *out =
        (hw_thumb_room){none, none, none, none, none, {none, none, none, none, none, none}, none};
    if (!sound(p, seat)) return HW_BAD_INPUT;
    double most = p->digit[0].segment[HW_SEGMENTS - 1];
    stand(p, &motion[0], seat, most, out);
    out->carriers = out->sheaths = most;
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

// Seat and palm: what costs least time first.
static double seat_cost(const hw_palm *p, const hw_palm_motion *thumb, const hw_thumb_seat *seat,
                        double enough) // [1] [1]
{
    double length = p->digit[0].segment[HW_SEGMENTS - 1], unit = dear * length;
    hw_thumb_room r = {.carriers = length, .sheaths = length};
    stand(p, thumb, seat, length, &r);
    double cost = squared(-r.mouth, unit) + squared(-r.body, unit) + squared(r.palm, large);
    // what rounding leaves is no lack
    cost += squared(-r.behind - 1e-9 * unit, unit);
    if (cost > enough) return cost;
    sweep(p, seat, &r);
    return cost + squared(-r.carriers, unit) + squared(-r.sheaths, unit);
}

static double pads_cost(const hw_palm *p, const hw_palm_motion motion[], const hw_thumb_seat *seat)
{
    static const double share[HW_HAND_DIGITS] = {0, 0.33, 0.33, 0.17, 0.15};
    double cost = 0, length = p->digit[0].segment[HW_SEGMENTS - 1];
    for (int i = 1; i < HW_HAND_DIGITS; i++) {
        hw_palm_meeting m;
        if (!p->digit[i].present) continue;
        if (hw_palm_meeting_of(p, i, &motion[0], &motion[i], &m) != HW_OK) return (double)NAN;
        double miss = m.miss / length, angle = m.angle / (60 * deg);
        cost += share[i] * (miss * miss + 0.25 * angle * angle);
        if (!seat) continue;
        cost += squared(m.miss - seat->miss, dear * length) +
                squared(m.angle - seat->angle, 0.25 * deg);
    }
    return cost;
}

double hw_thumb_cost_to(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                        const hw_thumb_seat *seat, double enough)
{
    double cost = 0, length = p->digit[0].segment[HW_SEGMENTS - 1];
    if (seat && !sound(p, seat)) return (double)NAN;
    if (seat) cost = seat_cost(p, &motion[0], seat, enough);
    if (cost > enough) return cost;
    cost += pads_cost(p, motion, seat);
    if (!seat) return cost;
    shapes shape;
    shapes_of(p, seat, &shape);
    for (int g = 0; g < HW_GRIPS && !(cost > enough); g++) {
        double room = length;
        hw_code code = grip_room(p, motion, (hw_grip_pattern)g, seat, &shape, &room);
        if (code != HW_OK) return (double)NAN;
        cost += squared(-room, dear * length);
    }
    return cost;
}

double hw_palm_thumb_cost(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                          const hw_thumb_seat *seat)
{
    return hw_thumb_cost_to(p, motion, seat, INFINITY);
}
