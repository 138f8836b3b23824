// Dead points of coupled bars, without stepping: docs/derivations/bars.md.
#include "digit/loop.h"
#include "stroke/chart.h"

#include <math.h>

enum { TURNS = 64, MARKS = 16 * (TURNS + 2), HALVINGS = 64 };

// A triangle whose side is within this of being flat, relative, counts as flat: a graze. [1]
static const double flat = 1e-12;

typedef struct mark {
    double angle; // of the driven joint [rad]
    bool graze;   // in line without passing
    bool outer;   // horn and bar stretched, not folded
} mark;

typedef struct marks {
    size_t n;
    mark at[MARKS];
} marks;

// Adds an angle with all its whole turns between low and high.
static void add_turns(marks *m, mark one, double low, double high)
{
    double first = one.angle + 2 * HW_PI * ceil((low - one.angle) / (2 * HW_PI) - 1e-15);
    for (int k = 0; k <= TURNS && first + 2 * HW_PI * k <= high && m->n < MARKS; k++) {
        one.angle = first + 2 * HW_PI * k;
        m->at[m->n++] = one;
    }
}

// Corner of a triangle between sides a and b, opposite c; false where they make none. *graze: flat.
static bool corner(double a, double b, double c, double *angle, bool *graze)
{
    double top = (c - (a - b)) * (c + (a - b)), bottom = (a + b - c) * (a + b + c);
    double size = (a + b) * (a + b);
    *graze = fabs(top) <= flat * size || fabs(bottom) <= flat * size;
    if (*graze) {
        *angle = fabs(top) <= flat * size ? 0 : HW_PI;
        return true;
    }
    if (top < 0 || bottom < 0) return false;
    *angle = 2 * atan2(sqrt(top), sqrt(bottom));
    return true;
}

// Where horn and bar of a loop come into line, for its driven joint between low and high.
static void dead_marks(const hw_loop *l, double low, double high, marks *m)
{
    double horn = sqrt(l->horn_sq), root = hw_norm(l->root);
    double toward = atan2(-l->root.z, l->root.x);
    if (!(root > 0)) return; // the distance never changes
    for (int outer = 0; outer < 2; outer++) {
        double reach = outer ? horn + l->bar : fabs(horn - l->bar), angle;
        mark one = {.outer = outer};
        if (!corner(l->link, root, reach, &angle, &one.graze)) continue;
        for (int side = -1; side <= 1; side += 2) {
            one.angle = toward + side * angle;
            add_turns(m, one, low, high);
            if (one.graze) break;
        }
    }
}

// Where the joint that follows turns round: driven joint, root and horn's end in line.
static void turning_marks(const hw_loop *l, double low, double high, marks *m)
{
    double horn = sqrt(l->horn_sq), root = hw_norm(l->root);
    double toward = atan2(-l->root.z, l->root.x);
    for (int outer = 0; outer < 2; outer++) {
        double reach = outer ? root + l->bar : fabs(root - l->bar), angle;
        double end = toward + (!outer && l->bar > root ? HW_PI : 0);
        bool graze;
        if (!(reach > 0) || !corner(l->link, reach, horn, &angle, &graze)) continue;
        for (int side = -1; side <= 1; side += 2)
            add_turns(m, (mark){.angle = end + side * angle}, low, high);
    }
}

static void sort_marks(marks *m)
{
    for (size_t i = 1; i < m->n; i++) {
        mark one = m->at[i];
        size_t k = i;
        for (; k > 0 && m->at[k - 1].angle > one.angle; k--) m->at[k] = m->at[k - 1];
        m->at[k] = one;
    }
}

typedef struct events {
    const hw_digit *d;
    hw_stroke_event *out;
    size_t room, n;
} events;

// Keeps the list in order of s; equal ones in the order found.
static void put_event(events *e, hw_event_kind kind, int loop, double joint)
{
    double start = e->d->travel[0], span = e->d->travel[1] - start;
    hw_stroke_event one = {kind, (joint - start) / span, loop, joint};
    size_t k = e->n < e->room ? e->n : e->room;
    for (; k > 0 && e->out[k - 1].s > one.s; k--)
        if (k < e->room) e->out[k] = e->out[k - 1];
    if (k < e->room) e->out[k] = one;
    e->n++;
}

// `growing`: the distance from joint to root grows there with s.
static void put_mark(events *e, int loop, double joint, const mark *m, bool growing)
{
    if (m->graze) {
        put_event(e, HW_EVENT_BRANCH_CHANGE, loop, joint);
        return;
    }
    put_event(e, HW_EVENT_DEAD_POINT, loop, joint);
    if (growing == m->outer && joint != e->d->travel[1])
        put_event(e, HW_EVENT_LOCK_UP, loop, joint);
}

// d(distance^2)/d(driven joint) has the sign of this sine.
static double growth(const hw_loop *l, double driven)
{
    return sin(driven - atan2(-l->root.z, l->root.x));
}

static double follow(const hw_loop *l, double driven)
{
    hw_loop_pose p = hw_loop_close(l, cos(driven), sin(driven));
    return hw_loop_angle(l, driven, &p);
}

// The driven angle between a and b where the following joint, monotone there, is at `want`.
static double invert(const hw_loop *l, double a, double b, double want)
{
    bool rising = follow(l, b) >= follow(l, a);
    for (int k = 0; k < HALVINGS; k++) {
        double mid = a + (b - a) / 2;
        if ((follow(l, mid) < want) == rising)
            a = mid;
        else
            b = mid;
    }
    return a + (b - a) / 2;
}

// Bar B over one stretch of the knuckle in which bar A closes and PIP turns one way.
static void distal_stretch(events *e, const hw_loop l[2], double a, double b, bool forward)
{
    double at_a = follow(&l[0], a), at_b = follow(&l[0], b);
    double low = fmin(at_a, at_b), high = fmax(at_a, at_b);
    marks m = {.n = 0};
    dead_marks(&l[1], low, high, &m);
    for (size_t i = 0; i < m.n; i++) {
        double pip = m.at[i].angle;
        double joint = invert(&l[0], a, b, pip);
        bool pip_grows = (at_b > at_a) == forward; // with s
        put_mark(e, 1, joint, &m.at[i], (growth(&l[1], pip) > 0) == pip_grows);
    }
}

size_t hw_stroke_events(const hw_digit *d, hw_stroke_event out[], size_t room)
{
    hw_loop l[2];
    events e = {d, out, room, 0};
    if (d->family != HW_FAMILY_COUPLED_BARS || hw_digit_check(d) != HW_DIGIT_SOUND) return 0;
    if (hw_loop_of(d, 0, &l[0]) || hw_loop_of(d, 1, &l[1])) return 0;
    double low = fmin(d->travel[0], d->travel[1]), high = fmax(d->travel[0], d->travel[1]);
    bool forward = d->travel[1] > d->travel[0];
    if (low == high) return 0;
    high = fmin(high, low + 2 * HW_PI * TURNS);
    marks m = {.n = 0};
    dead_marks(&l[0], low, high, &m);
    for (size_t i = 0; i < m.n; i++) {
        bool grows = (growth(&l[0], m.at[i].angle) > 0) == forward;
        put_mark(&e, 0, m.at[i].angle, &m.at[i], grows);
    }
    turning_marks(&l[0], low, high, &m);
    if (m.n + 2 <= MARKS) {
        m.at[m.n++] = (mark){.angle = low};
        m.at[m.n++] = (mark){.angle = high};
    }
    sort_marks(&m);
    for (size_t i = 0; i + 1 < m.n; i++) {
        double a = m.at[i].angle, b = m.at[i + 1].angle, mid = a + (b - a) / 2;
        if (b > a && hw_loop_close(&l[0], cos(mid), sin(mid)).room > 0)
            distal_stretch(&e, l, a, b, forward);
    }
    return e.n;
}
