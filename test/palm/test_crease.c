// Creases at the palm and beside neighbours: cases that a ruler answers, then virtual work.
#include "check.h"
#include "palm/crease.h"

#include "base/vec3.h"
#include "digit/outline.h"

static const double deg = HW_PI / 180;

enum { POSES = 257 };

typedef struct run_data {
    double joint[HW_SEGMENTS][POSES], aside[POSES], rate[HW_SEGMENTS][POSES], torque[POSES];
    hw_palm_run run;
} run_data;

// From open on to `joint` and from one splay to another, straight lines, with an even torque for
// motion `driven`.
static void run_to(run_data *r, int digit, const double joint[HW_SEGMENTS], double from, double to,
                   int driven, double torque)
{
    *r = (run_data){.run = {.digit = digit, .n = POSES, .aside = r->aside}};
    for (int i = 0; i < POSES; i++) {
        double s = i / (POSES - 1.0);
        for (int j = 0; j < HW_SEGMENTS; j++) {
            r->joint[j][i] = joint[j] * s;
            r->rate[j][i] = joint[j] / joint[0];
        }
        r->aside[i] = from + s * (to - from);
        r->torque[i] = torque;
    }
    for (int j = 0; j < HW_SEGMENTS; j++) r->run.joint[j] = r->joint[j];
    r->run.torque[driven] = r->torque;
}

// Straight fingers side by side, of even thickness t and width w, axes level with the middle of a
// palm of thickness 2 h whose edges are sharp.
static hw_palm plain(double t, double w, double setback, double h)
{
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK);
    f.back = h;
    f.thickness = f.wrist_thickness = 2 * h;
    f.setback = setback;
    f.edge = 1e-3 * h;
    for (int i = 1; i < HW_HAND_DIGITS; i++) {
        hw_palm_digit_def *d = &f.digit[i];
        d->knuckle = (hw_vec3){0.09, 0.04 - 0.02 * i, 0};
        d->points = (hw_palm_pointing){0, 0, 0};
        d->splay_behind = 0.016;
        d->splay[1] = 25 * deg;
        d->width = w;
        for (int k = 0; k < HW_PALM_DEPTHS; k++) d->thickness[k] = t;
    }
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    return p;
}

// Largest force of one place: gaps and arms at many poses, counted as pinch.h says.
static double counted(const double gap[POSES], const double arm[POSES], const bool there[POSES],
                      double torque)
{
    double most = 0, widest = 0;
    for (int i = 0; i < POSES; i++) {
        double least = INFINITY;
        for (int j = i; j < POSES; j++) least = fmin(least, gap[j]);
        widest = isinf(gap[i]) ? 0 : fmax(widest, gap[i]);
        bool counts = gap[i] >= HW_FINGER_LEAST && gap[i] <= HW_FINGER_MOST &&
                      gap[i] - least >= HW_FINGER_YIELD && widest - gap[i] >= HW_FINGER_YIELD;
        if (counts && there[i] && arm[i] > 0) most = fmax(most, torque / arm[i]);
    }
    return most;
}

// The proximal turns on to the palm's front, from where the finger is open to where it has gone
// past a right angle. A ball at (-setback + r, z) touches a face t/2 off the axis that has turned
// by f where (setback - r) sin f - z cos f = t/2 + r; its arm lies along that face.
static void the_front_by_hand(void)
{
    const double t = 0.016, setback = 0.02, h = 0.03, torque = 0.5;
    hw_palm p = plain(t, 0.016, setback, h);
    run_data r;
    run_to(&r, 2, (const double[]){100 * deg, 0, 0}, 0, 0, 0, torque);
    hw_palm_caught c;
    CHECK(hw_palm_crease_palm(&p, &r.run, &c) == HW_OK);
    double most = 0, deepest = 0;
    for (int k = 0; k < 400; k++) { // places of the front
        double z = (h - 1e-3 * h) * k / 400, gap[POSES], arm[POSES];
        bool there[POSES];
        for (int i = 0; i < POSES; i++) {
            double f = r.joint[0][i], s = sin(f), co = cos(f);
            double half = (setback * s + z * co - t / 2) / (1 + s);
            arm[i] = (half - setback) * co + z * s;
            gap[i] = 2 * half;
            // beside the carrier it is never larger than that leaves it, and then not pressed
            double room = z - t / 2;
            there[i] = half <= room && arm[i] < p.digit[2].segment[0];
            gap[i] = 2 * fmax(0, fmin(half, room));
        }
        double one = counted(gap, arm, there, torque);
        if (one > most) most = one, deepest = z;
    }
    CHECK(most > 0);
    CLOSE(c.peak.force, most, 0.03);
    CHECK(c.phalanx == 0 && c.still == -1);
    NEAR(c.where.z, -deepest, 1e-3);
    CHECK(c.peak.gap >= HW_FINGER_LEAST && c.peak.gap <= HW_FINGER_MOST);
    // twice the torque, twice the force; none, none
    for (int i = 0; i < POSES; i++) r.torque[i] *= 2;
    double before = c.peak.force;
    CHECK(hw_palm_crease_palm(&p, &r.run, &c) == HW_OK);
    CLOSE(c.peak.force, 2 * before, 1e-12);
    r.run.torque[0] = NULL;
    CHECK(hw_palm_crease_palm(&p, &r.run, &c) == HW_OK);
    NEAR(c.peak.force, 0, 0);
    CHECK(c.phalanx == -1 && isnan(c.where.x));
}

// An index splays home beside a middle finger that stands still, S away. A ball on the middle's
// side at X before the index's splay axis: X sin a + (S - w/2 - r) cos a - w/2 = r.
static double beside_at_every_place(const hw_palm *p, const run_data *r)
{
    const double S = 0.02, t = p->digit[2].thickness[0], w = p->digit[2].width;
    const double torque = r->torque[0], front = p->setback;
    double most = 0, start = 0;
    for (int k = 0; k < HW_SEGMENTS; k++) {
        const hw_palm_digit *d = &p->digit[2];
        double length = k < 2 ? d->segment[k] : d->segment[k] - t / 2;
        for (int at = 0; at <= 200; at++) {
            double x = start + length * at / 200, X = x + 0.016, gap[POSES], arm[POSES];
            bool there[POSES];
            for (int i = 0; i < POSES; i++) {
                double a = r->aside[i];
                double half = (X * sin(a) + (S - w / 2) * cos(a) - w / 2) / (1 + cos(a));
                arm[i] = X * cos(a) + (w / 2 + half - S) * sin(a);
                gap[i] = 2 * half;
                there[i] = x + front >= half; // before the palm's front
            }
            most = fmax(most, counted(gap, arm, there, torque));
        }
        start += d->segment[k];
    }
    return most;
}

static void neighbours_by_hand(void)
{
    const double torque = 0.1, front = 0.001, t = 0.016;
    hw_palm p = plain(t, 0.014, front, 0.012);
    run_data r;
    run_to(&r, 1, (const double[]){0, 0, 0}, 25 * deg, 0, HW_CREASE_ASIDE, torque);
    const hw_palm_still straight = {0, {0, 0, 0}};
    hw_palm_caught c;
    CHECK(hw_palm_crease_beside(&p, &r.run, 2, 1, &straight, 0, &c) == HW_OK);
    double most = beside_at_every_place(&p, &r);
    CHECK(most > 0);
    CLOSE(c.peak.force, most, 0.03);
    NEAR(c.where.z, 0, 1e-9);
    CHECK(c.still >= 0);
    // going the other way it presses nobody
    run_to(&r, 1, (const double[]){0, 0, 0}, 0, 25 * deg, HW_CREASE_ASIDE, torque);
    CHECK(hw_palm_crease_beside(&p, &r.run, 2, 1, &straight, 0, &c) == HW_OK);
    NEAR(c.peak.force, 0, 0);
    // a finger between them does not get in where they stay less than 5 mm apart
    run_to(&r, 1, (const double[]){0, 0, 0}, 1 * deg, 0, HW_CREASE_ASIDE, torque);
    CHECK(hw_palm_crease_beside(&p, &r.run, 2, 1, &straight, 0, &c) == HW_OK);
    NEAR(c.peak.force, 0, 0);
}

// They end 4.5 mm apart: a finger is squeezed from 5.5 mm on, which a gap that is known from 5 mm
// on alone would not tell. Opened by 2.5 degrees only, the place that bears most is the first that
// is 6.5 mm wide then, somewhere between those that are looked at first.
static void counts_from_what_flesh_yields(void)
{
    hw_palm p = plain(0.016, 0.0155, 0.001, 0.012);
    run_data r;
    hw_palm_caught c;
    const hw_palm_still straight = {0, {0, 0, 0}};
    run_to(&r, 1, (const double[]){0, 0, 0}, 2.5 * deg, 0, HW_CREASE_ASIDE, 0.1);
    CHECK(hw_palm_crease_beside(&p, &r.run, 2, 1, &straight, 0, &c) == HW_OK);
    double most = beside_at_every_place(&p, &r);
    CHECK(most > 0);
    CLOSE(c.peak.force, most, 0.03);
    NEAR(c.peak.gap, 5.5e-3, 1e-4);
}

// A joint that has not left its opening stop does not give way, however weak its motor.
static void joints_on_their_stops_hold(void)
{
    hw_palm thick = plain(0.012, 0.016, 0.04, 0.026);
    run_data r;
    hw_palm_caught c;
    double weak[POSES];
    run_to(&r, 2, (const double[]){85 * deg, 0, 0}, 0, 0, 0, 0.3);
    for (int i = 0; i < POSES; i++) {
        r.joint[1][i] = 94 * deg;
        r.joint[2][i] = 40 * deg;
        weak[i] = 1e-3;
    }
    CHECK(hw_palm_crease_palm(&thick, &r.run, &c) == HW_OK);
    double strong = c.peak.force;
    CHECK(strong > 0 && c.phalanx > 0);
    r.run.torque[1] = weak;
    CHECK(hw_palm_crease_palm(&thick, &r.run, &c) == HW_OK);
    CLOSE(c.peak.force, strong, 1e-12);
    for (int i = 0; i < POSES; i++) r.joint[1][i] += 1e-6 * i;
    CHECK(hw_palm_crease_palm(&thick, &r.run, &c) == HW_OK);
    CHECK(c.peak.force < strong / 2);
}

static void pose_between(const hw_palm *p, const hw_palm_run *run, double s, hw_palm_pose *out)
{
    double joint[HW_SEGMENTS], i = s * (POSES - 1);
    size_t lower = (size_t)fmin(i, POSES - 2);
    double part = i - (double)lower;
    for (int j = 0; j < HW_SEGMENTS; j++)
        joint[j] = run->joint[j][lower] + part * (run->joint[j][lower + 1] - run->joint[j][lower]);
    double aside = run->aside[lower] + part * (run->aside[lower + 1] - run->aside[lower]);
    hw_palm_pose_of(p, run->digit, aside, joint, out);
}

// Distance of a point from a phalanx of a posed digit, or its carrier, -1, from the outline's own
// function.
static double from_part(const hw_palm *p, int digit, const hw_palm_pose *pose, int phalanx,
                        hw_vec3 at)
{
    const hw_palm_digit *d = &p->digit[digit];
    const hw_frame *frame = phalanx < 0 ? &pose->base : &pose->phalanx[phalanx];
    double from = d->thickness[phalanx < 0 ? 0 : phalanx] / 2, to = d->thickness[phalanx + 1] / 2;
    double length = phalanx < 0 ? 0 : d->segment[phalanx];
    if (phalanx == 2) to = fmin(to, length / 2);
    hw_disc disc[2] = {{{phalanx < 0 ? -p->setback : 0, 0}, from},
                       {{phalanx == 2 ? length - to : length, 0}, to}};
    hw_vec3 q = hw_frame_seen(frame, at);
    double in = hw_discs_distance(disc, (hw_vec2){q.x, q.z}), side = fabs(q.y) - d->width / 2;
    return in > 0 && side > 0 ? hypot(in, side) : fmax(in, side);
}

static double away(const hw_palm *p, const hw_palm_run *run, double s, int phalanx, hw_vec3 at)
{
    hw_palm_pose pose;
    pose_between(p, run, s, &pose);
    return from_part(p, run->digit, &pose, phalanx, at);
}

// The same work by differences of distances: joints that go together, a thumb that opposes on to
// the index. Held within what interpolation between poses costs.
static void forces_do_the_work_of_their_torque(void)
{
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    run_data r;
    hw_palm_caught c;
    const double step = 1e-4;
    int seen = 0;
    for (int digit = 1; digit < HW_HAND_DIGITS; digit++) {
        run_to(&r, digit, (const double[]){85 * deg, 94 * deg, 63 * deg}, 0, 0, 0, 0.3);
        for (int j = 0; j < HW_SEGMENTS; j++) r.run.rate[j] = r.rate[j];
        CHECK(hw_palm_crease_palm(&p, &r.run, &c) == HW_OK);
        if (!(c.peak.force > 0)) continue;
        seen++;
        double s = round(c.peak.at_s * (POSES - 1)) / (POSES - 1);
        double gained = away(&p, &r.run, s - step, c.phalanx, c.where) -
                        away(&p, &r.run, s + step, c.phalanx, c.where);
        CLOSE(c.peak.force, 0.3 * 2 * step * 85 * deg / gained, 0.02);
        NEAR(away(&p, &r.run, s, c.phalanx, c.where), c.peak.gap / 2, 1e-4);
    }
    CHECK(seen > 0);
    // a palm far behind the knuckle and thick: outer phalanges come down on its inside
    hw_palm thick = plain(0.012, 0.016, 0.04, 0.026);
    run_to(&r, 2, (const double[]){85 * deg, 94 * deg, 40 * deg}, 0, 0, 0, 0.3);
    for (int j = 0; j < HW_SEGMENTS; j++) r.run.rate[j] = r.rate[j];
    CHECK(hw_palm_crease_palm(&thick, &r.run, &c) == HW_OK);
    CHECK(c.peak.force > 0 && c.phalanx > 0);
    double at = c.peak.at_s, come = away(&thick, &r.run, at - step, c.phalanx, c.where) -
                                    away(&thick, &r.run, at + step, c.phalanx, c.where);
    CLOSE(c.peak.force, 0.3 * 2 * step * 85 * deg / come, 0.02);
    run_to(&r, 0, (const double[]){0, 0, 0}, 0, 90 * deg, HW_CREASE_ASIDE, 0.2);
    for (int i = 0; i < POSES; i++) r.joint[0][i] = 20 * deg;
    const hw_palm_still bent = {0, {60 * deg, 60 * deg, 30 * deg}};
    CHECK(hw_palm_crease_beside(&p, &r.run, 1, 1, &bent, 0, &c) == HW_OK);
    CHECK(c.peak.force > 0 && c.phalanx >= 0 && c.still >= 0);
    double s = c.peak.at_s, closing = away(&p, &r.run, s - step, c.phalanx, c.where) -
                                      away(&p, &r.run, s + step, c.phalanx, c.where);
    closing /= 2 * step * 90 * deg;
    // where it touches, and how fast the axis takes that along
    hw_vec3 from = {0, 0, 0}, at_x = c.where, at_y = c.where, at_z = c.where;
    double gap = away(&p, &r.run, s, c.phalanx, c.where);
    at_x.x += 1e-6, at_y.y += 1e-6, at_z.z += 1e-6;
    from = (hw_vec3){away(&p, &r.run, s, c.phalanx, at_x) - gap,
                     away(&p, &r.run, s, c.phalanx, at_y) - gap,
                     away(&p, &r.run, s, c.phalanx, at_z) - gap};
    hw_vec3 touched = hw_vec3_along(c.where, -gap, hw_vec3_unit(from));
    double all =
        hw_vec3_norm(hw_vec3_cross(p.opposition_axis, hw_vec3_sub(touched, p.opposition_at)));
    double slid = sqrt(all * all - closing * closing);
    CHECK(0.3 * slid > closing); // friction takes most of it here
    CLOSE(c.peak.force, 0.2 / (0.3 * slid), 0.02);
}

// ---- every place, by halving and differences

typedef struct everywhere {
    const hw_palm *p;
    const run_data *r;
    int still;
    hw_palm_pose held;
    hw_palm_pose pose[POSES];
} everywhere;

// From the moving digit, and which of its parts is nearest.
static double from_digit(const everywhere *e, int i, hw_vec3 at, int *which)
{
    double least = INFINITY;
    for (int k = -1; k < HW_SEGMENTS; k++) {
        double one = from_part(e->p, e->r->run.digit, &e->pose[i], k, at);
        if (one < least) least = one, *which = k;
    }
    return least;
}

static bool is_clear(const everywhere *e, hw_vec3 at, double by)
{
    if (e->still < 0) return true; // the palm's outline has no narrow hollows
    const hw_palm *p = e->p;
    for (int k = -1; k < HW_SEGMENTS; k++)
        if (from_part(p, e->still, &e->held, k, at) < by) return false;
    int beside = e->still ? e->still : e->r->run.digit;
    const hw_frame *knuckle = &p->digit[beside].knuckle;
    hw_vec3 q = hw_frame_seen(knuckle, at);
    double x = fmax(fmax(q.x + p->setback + p->edge, -knuckle->at.x - q.x), 0);
    double low = p->back - p->thickness + p->edge, high = p->back - p->edge;
    double z = fmax(fmax(low - q.z, q.z - high), 0);
    return hypot(x, z) >= by + p->edge;
}

// Radius of the ball on a place, by halving. 0: too small, infinite: too large.
static double ball_at(const everywhere *e, int i, hw_vec3 place, hw_vec3 normal, int *which)
{
    double low = 2e-3, high = 25e-3;
    if (from_digit(e, i, hw_vec3_along(place, high, normal), which) > high) return INFINITY;
    if (from_digit(e, i, hw_vec3_along(place, low, normal), which) <= low) return 0;
    for (int n = 0; n < 30; n++) {
        double half = 0.5 * (low + high);
        if (from_digit(e, i, hw_vec3_along(place, half, normal), which) > half)
            low = half;
        else
            high = half;
    }
    return low;
}

// The way in which a distance from one part grows fastest.
static hw_vec3 away_from(const hw_palm *p, int digit, const hw_palm_pose *pose, int part,
                         hw_vec3 at)
{
    const double step = 1e-6;
    hw_vec3 x = at, y = at, z = at;
    x.x += step, y.y += step, z.z += step;
    double here = from_part(p, digit, pose, part, at);
    return hw_vec3_unit((hw_vec3){from_part(p, digit, pose, part, x) - here,
                                  from_part(p, digit, pose, part, y) - here,
                                  from_part(p, digit, pose, part, z) - here});
}

// What the ball bears at one pose; 0: none. The run's torque does the work of all its motions.
static double force_at(const everywhere *e, int i, hw_vec3 middle, double radius, int part,
                       hw_vec3 normal)
{
    const double step = 1e-6;
    const hw_palm_run *run = &e->r->run;
    int digit = run->digit;
    double aside = run->aside[i], joint[2][HW_SEGMENTS];
    hw_vec3 at[2], m = away_from(e->p, digit, &e->pose[i], part, middle);
    if (hw_vec3_dot(m, normal) > -0.51 / 1.49 || !is_clear(e, middle, radius * (1 - 1e-4)))
        return 0;
    hw_vec3 touched = hw_vec3_along(middle, -radius, m);
    const hw_frame *f = part < 0 ? &e->pose[i].base : &e->pose[i].phalanx[part];
    hw_vec3 own = hw_frame_seen(f, touched);
    bool closes = run->torque[0];
    double sense = run->aside[POSES - 1] < run->aside[0] ? -step : step;
    for (int k = 0; k < 2; k++) {
        hw_palm_pose moved;
        double by = k ? step : -step;
        for (int j = 0; j < HW_SEGMENTS; j++)
            joint[k][j] = run->joint[j][i] + (closes ? by * run->rate[j][i] : 0);
        hw_palm_pose_of(e->p, digit, aside + (closes ? 0 : k ? sense : -sense), joint[k], &moved);
        at[k] = hw_frame_point(part < 0 ? &moved.base : &moved.phalanx[part], own);
    }
    hw_vec3 v = hw_vec3_times(hw_vec3_sub(at[1], at[0]), 0.5 / step);
    double comes = hw_vec3_dot(v, m), slides = hw_vec3_norm(hw_vec3_along(v, -comes, m));
    return comes > 0 ? e->r->torque[0] / fmax(comes, 0.3 * slides) : 0;
}

// The same of what was found, at the pose next to where it was.
static double force_where_found(const everywhere *e, const hw_palm_caught *c)
{
    int i = (int)(c->peak.at_s * (POSES - 1) + 0.5), part = -2;
    double radius = from_digit(e, i, c->where, &part);
    CLOSE(radius, c->peak.gap / 2, 0.05);
    CHECK(part == c->phalanx);
    hw_vec3 normal = away_from(e->p, e->still, &e->held, c->still, c->where);
    return force_at(e, i, c->where, radius, part, normal);
}

// One place over every fourth pose.
static double place_bears(const everywhere *e, hw_vec3 place, hw_vec3 normal)
{
    enum { EVERY = 4 };
    double gap[POSES], arm[POSES];
    bool there[POSES];
    for (int i = 0; i < POSES; i++) {
        if (i % EVERY) { // as before: counts no more than that
            gap[i] = gap[i - 1], arm[i] = arm[i - 1], there[i] = there[i - 1];
            continue;
        }
        int part = -1;
        double radius = ball_at(e, i, place, normal, &part);
        double force = 0;
        if (radius > 0 && radius <= 0.5 * HW_FINGER_MOST)
            force = force_at(e, i, hw_vec3_along(place, radius, normal), radius, part, normal);
        gap[i] = 2 * radius;
        there[i] = force > 0;
        arm[i] = there[i] ? e->r->torque[0] / force : 0;
    }
    return counted(gap, arm, there, e->r->torque[0]);
}

// Sides, edges and palmar face of the phalanges of the digit that stands still.
static double everywhere_beside(everywhere *e, const hw_palm_still *held)
{
    enum { ALONG = 40 };
    hw_palm_pose_of(e->p, e->still, held->aside, held->joint, &e->held);
    for (int i = 0; i < POSES; i++) pose_between(e->p, &e->r->run, i / (POSES - 1.0), &e->pose[i]);
    double most = 0;
    const hw_palm_digit *d = &e->p->digit[e->still];
    for (int k = 0; k < HW_SEGMENTS; k++) {
        double from = d->thickness[k] / 2, to = d->thickness[k + 1] / 2, length = d->segment[k];
        if (k == 2) to = fmin(to, length / 2), length -= to;
        double lean = asin((from - to) / length);
        for (int side = -2; side <= 2; side++) {
            double across = side * 30 * deg, y = side == 2 ? 1 : side == -2 ? -1 : sin(across);
            double down = side == 2 || side == -2 ? 0 : cos(across);
            hw_vec3 palmar = {sin(lean), 0, -cos(lean)};
            hw_vec3 normal = {down * palmar.x, y, down * palmar.z};
            for (int n = 0; n <= ALONG; n++) {
                double share = (double)n / ALONG, deep = down > 0 ? from + share * (to - from) : 0;
                hw_vec3 at = hw_vec3_along((hw_vec3){share * length, 0, 0}, deep, palmar);
                at.y = side < 0 ? -d->width / 2 : side > 0 ? d->width / 2 : 0;
                const hw_frame *f = &e->held.phalanx[k];
                most = fmax(most,
                            place_bears(e, hw_frame_point(f, at), hw_frame_direction(f, normal)));
            }
        }
    }
    return most;
}

// The search looks at few places and poses first: it must not miss what all of them bear, and what
// it finds is no more than that but for what lies between them.
static void nothing_bears_more_anywhere(void)
{
    static const struct {
        int moves, still;
        double to[HW_SEGMENTS], from_aside, to_aside; // [deg]
        int driven;
        hw_palm_still held; // [deg]
    } one[] = {
        {0, 1, {40, 50, 60}, 60, 60, 0, {0, {60, 60, 30}}},
        {1, 2, {85, 94, 63}, 15, 15, 0, {0, {42, 47, 31}}},
        {3, 2, {85, 94, 63}, -15, -15, 0, {0, {85, 94, 63}}},
        {2, 1, {0, 0, 0}, -12, 8, HW_CREASE_ASIDE, {0, {0, 0, 0}}},
        {4, 3, {0, 0, 0}, -20, 10, HW_CREASE_ASIDE, {0, {40, 50, 30}}},
        {0, 1, {0, 0, 0}, 0, 90, HW_CREASE_ASIDE, {0, {60, 60, 30}}},
        {1, 0, {85, 94, 63}, -5, -5, 0, {45 * deg, {20 * deg, 20 * deg, 10 * deg}}},
    };
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    for (size_t n = 0; n < sizeof one / sizeof one[0]; n++) {
        static run_data r;
        hw_palm_caught c;
        double to[HW_SEGMENTS];
        hw_palm_still held = one[n].held;
        for (int j = 0; j < HW_SEGMENTS; j++) to[j] = one[n].to[j] * deg;
        for (int j = 0; j < HW_SEGMENTS && one[n].still; j++) held.joint[j] *= deg;
        run_to(&r, one[n].moves, to, one[n].from_aside * deg, one[n].to_aside * deg, one[n].driven,
               0.2);
        for (int j = 0; j < HW_SEGMENTS && !one[n].driven; j++) r.run.rate[j] = r.rate[j];
        CHECK(hw_palm_crease_beside(&p, &r.run, one[n].still, 1, &held, 0, &c) == HW_OK);
        everywhere e = {.p = &p, .r = &r, .still = one[n].still};
        double most = everywhere_beside(&e, &held);
        CHECK(most > 0 && c.peak.force >= 0.995 * most && c.peak.force <= 1.2 * most);
        CLOSE(force_where_found(&e, &c), c.peak.force, 0.03);
    }
}

// On the outline between its sections, its points before the palm and beside the thumb.
static double everywhere_on_the_palm(everywhere *e)
{
    enum { FINE = 6, FIRST = 20, LAST = 36, N = HW_PALM_AROUND };
    double most = 0;
    for (int i = 0; i < POSES; i++) pose_between(e->p, &e->r->run, i / (POSES - 1.0), &e->pose[i]);
    for (int k = FIRST; k <= LAST; k++)
        for (int n = 0; n <= FINE * (HW_PALM_SECTIONS - 1); n++) {
            int s = n / FINE < HW_PALM_SECTIONS - 2 ? n / FINE : HW_PALM_SECTIONS - 2;
            double share = (double)n / FINE - s;
            hw_vec3 at[3];
            for (int j = 0; j < 3; j++) {
                hw_vec3 from = e->p->outline[s][(k + j - 1) % N];
                hw_vec3 to = e->p->outline[s + 1][(k + j - 1) % N];
                at[j] = hw_vec3_along(from, share, hw_vec3_sub(to, from));
            }
            hw_vec3 along = hw_vec3_sub(e->p->outline[s + 1][k % N], e->p->outline[s][k % N]);
            hw_vec3 normal = hw_vec3_cross(hw_vec3_sub(at[2], at[0]), along);
            most = fmax(most, place_bears(e, at[1], hw_vec3_unit(normal)));
        }
    return most;
}

// The thumb that closes, and that comes home from opposition, on the palm's side.
static void the_palm_beside_the_thumb(void)
{
    static const struct {
        double to[HW_SEGMENTS], from_aside, to_aside; // [deg]
        int driven;
    } one[] = {
        {{50, 60, 60}, 20, 20, 0},
        {{50, 60, 60}, 70, 70, 0},
        {{0, 0, 0}, 80, 0, HW_CREASE_ASIDE},
        {{0, 0, 0}, 0, 90, HW_CREASE_ASIDE},
    };
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    int pressed = 0;
    for (size_t n = 0; n < sizeof one / sizeof one[0]; n++) {
        static run_data r;
        hw_palm_caught c;
        double to[HW_SEGMENTS];
        for (int j = 0; j < HW_SEGMENTS; j++) to[j] = one[n].to[j] * deg;
        run_to(&r, 0, to, one[n].from_aside * deg, one[n].to_aside * deg, one[n].driven, 0.2);
        for (int j = 0; j < HW_SEGMENTS && !one[n].driven; j++) r.run.rate[j] = r.rate[j];
        CHECK(hw_palm_crease_side(&p, &r.run, 0, &c) == HW_OK);
        everywhere e = {.p = &p, .r = &r, .still = -1};
        double most = everywhere_on_the_palm(&e);
        pressed += most > 0;
        CHECK(c.peak.force >= 0.97 * most && c.peak.force <= 1.2 * most);
        CHECK(hw_palm_crease_side(&p, &r.run, 1.01 * c.peak.force, &c) == HW_OK);
        CHECK(c.peak.force == 0 && c.phalanx == -1);
        r.run.digit = 1;
        CHECK(hw_palm_crease_side(&p, &r.run, 0, &c) == HW_BAD_INPUT);
    }
    CHECK(pressed > 1);
}

static void faulty_numbers(void)
{
    hw_palm p = plain(0.016, 0.014, 0.011, 0.012);
    run_data r;
    hw_palm_caught c;
    const hw_palm_still straight = {0, {0, 0, 0}}, faulty = {0, {0, NAN, 0}};
    run_to(&r, 1, (const double[]){85 * deg, 0, 0}, 0, 0, 0, 1);
    CHECK(hw_palm_crease_beside(&p, &r.run, 1, 1, &straight, 0, &c) == HW_BAD_INPUT);
    CHECK(hw_palm_crease_beside(&p, &r.run, 5, 1, &straight, 0, &c) == HW_BAD_INPUT);
    CHECK(hw_palm_crease_beside(&p, &r.run, 2, 1, &faulty, 0, &c) == HW_BAD_INPUT);
    CHECK(isnan(c.peak.force));
    r.run.digit = 0;
    CHECK(hw_palm_crease_palm(&p, &r.run, &c) == HW_BAD_INPUT); // it has no such section
    r.run.digit = 1;
    r.torque[3] = NAN;
    CHECK(hw_palm_crease_palm(&p, &r.run, &c) == HW_BAD_INPUT);
    r.torque[3] = 1;
    r.run.n = 1;
    CHECK(hw_palm_crease_palm(&p, &r.run, &c) == HW_BAD_INPUT);
    r.run.n = POSES;
    CHECK(hw_palm_crease_palm(&p, &r.run, &c) == HW_OK);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(the_front_by_hand);
    RUN(neighbours_by_hand);
    RUN(counts_from_what_flesh_yields);
    RUN(joints_on_their_stops_hold);
    RUN(forces_do_the_work_of_their_torque);
    RUN(nothing_bears_more_anywhere);
    RUN(the_palm_beside_the_thumb);
    RUN(faulty_numbers);
    return TEST_END();
}
