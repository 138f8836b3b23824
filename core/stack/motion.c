// How near parts come over the stroke. A direction that separates two plates at both ends of an
// interval separates them in between, less what the second one's centres leave their chords by:
// docs/derivations/stack.md.
#include "stack/stack_internal.h"

#include <math.h>

enum {
    FINEST = 128,    // steps of the finest grid of poses
    COARSE = 16,     // of them, in an interval of the first pass
    LEAF = 2,        // of them, in one that is not halved again: its middle is a pose, too
    INTERVALS = 128, // of all sizes, in a heap: the whole stroke is number 1
    PAIRS = HW_STACK_PARTS * HW_STACK_PARTS
};

// Paths leave their chord by at most this many times what they do half way: a kink at an interval's
// very end reaches it, a smooth path stays near 1.
static const double beyond_half_way = 2; // [1]

typedef struct sag {
    bool known;
    double origin; // of the second part's reference, in the first one's frame [m]
    double turn;   // of a point one unit from that reference [1]
} sag;

typedef struct motion {
    const hw_digit *d;
    const hw_stack *k;
    const hw_digit_family *family;
    bool known[FINEST + 1], missing; // missing: a pose that was asked for does not close
    hw_place place[FINEST + 1][HW_STACK_PARTS];
    sag sag[PAIRS][INTERVALS];
    bool shared[HW_STACK_PARTS][HW_STACK_PARTS]; // two parts turn on one pivot
    // [from][part]: the point of a part that its motion, seen from another, is told by: the pivot
    // that they share, so that it rests; otherwise the part's origin
    hw_vec2 pivot[HW_STACK_PARTS][HW_STACK_PARTS];
    hw_clearance least;
} motion;

typedef struct pair { // of plates, on different parts
    int a, b;
    const hw_slab *plate_a, *plate_b;
} pair;

void hw_stack_place(const hw_digit_pose *pose, hw_place out[HW_STACK_PARTS])
{
    double turned = 0;
    out[0] = (hw_place){{0, 0}, 1, 0};
    for (int p = 1; p <= HW_JOINTS; p++) {
        turned += pose->joint[p - 1];
        out[p] = (hw_place){pose->at[p - 1], cos(turned), sin(turned)};
    }
    for (int b = 0; b < 2; b++) {
        hw_vec2 line = hw_sub(pose->bar_end[b], pose->bar_root[b]);
        double length = hw_norm(line);
        out[4 + b] = (hw_place){pose->bar_root[b], line.x / length, -line.z / length};
    }
}

static const hw_place *at_pose(motion *m, int i)
{
    if (!m->known[i]) {
        hw_digit_pose pose;
        if (m->family->pose(m->d, i / (double)FINEST, &pose) != HW_OK) m->missing = true;
        hw_stack_place(&pose, m->place[i]);
        m->known[i] = true;
    }
    return m->place[i];
}

static hw_place seen(motion *m, int i, int from, int other)
{
    const hw_place *place = at_pose(m, i);
    return hw_place_seen(place[from], place[other]);
}

// Marks the pivots that pairs of parts share, in either one's frame.
static void set_pivots(motion *m)
{
    const hw_digit *d = m->d;
    for (int j = 0; j < HW_JOINTS; j++) {
        m->shared[j][j + 1] = m->shared[j + 1][j] = true;
        if (j > 0) m->pivot[j + 1][j].x = d->phalanx[j - 1];
    }
    if (d->family != HW_FAMILY_COUPLED_BARS) return;
    for (int b = 0; b < 2; b++) {
        const hw_bar *bar = &d->bar[b];
        hw_vec2 joint = {b == 0 ? 0 : d->phalanx[b - 1], 0};
        hw_vec2 horn = {bar->horn * cos(bar->horn_angle), bar->horn * sin(bar->horn_angle)};
        hw_vec2 end = hw_add((hw_vec2){d->phalanx[b], 0}, horn);
        m->shared[b][4 + b] = m->shared[4 + b][b] = true;
        m->shared[b + 2][4 + b] = m->shared[4 + b][b + 2] = true;
        m->pivot[4 + b][b] = hw_add(joint, bar->root);
        m->pivot[4 + b][b + 2] = horn;
        m->pivot[b + 2][4 + b].x = hw_norm(hw_sub(end, bar->root));
    }
}

// How far a point one unit from the pivot leaves, against any direction, what its two end places
// bound: the arc's height over its chord, and where the angle turns back between the ends, what
// lies beyond them (twice what the parabola through three angles has). [1]
static double turn_on_pivot(const hw_place p[3])
{
    double cosine = p[0].c * p[2].c + p[0].s * p[2].s;
    double arc = 1 - sqrt(fmax(0, (1 + cosine) / 2));
    double a = p[0].c * p[1].s - p[0].s * p[1].c, b = p[1].c * p[2].s - p[1].s * p[2].c;
    double first = 3 * a - b, last = 3 * b - a; // rates at both ends
    if (first * last >= 0) return arc;
    double least = fmin(first * first, last * last);
    return arc + beyond_half_way * least / (8 * fabs(b - a));
}

static const sag *sag_of(motion *m, int from, int part, int i0, int i1)
{
    sag *g = &m->sag[from * HW_STACK_PARTS + part][FINEST / (i1 - i0) + i0 / (i1 - i0)];
    if (g->known) return g;
    hw_vec2 r = m->pivot[from][part], at[3];
    hw_place p[3];
    for (int k = 0; k < 3; k++) {
        p[k] = seen(m, i0 + k * (i1 - i0) / 2, from, part);
        at[k] = hw_add(p[k].at, hw_flex(r, p[k].c, p[k].s));
    }
    g->known = true;
    if (m->shared[from][part]) {
        g->turn = turn_on_pivot(p);
        return g;
    }
    hw_vec2 off = hw_sub(at[1], hw_scale(hw_add(at[0], at[2]), 0.5));
    double dc = p[1].c - (p[0].c + p[2].c) / 2, ds = p[1].s - (p[0].s + p[2].s) / 2;
    g->origin = beyond_half_way * hw_norm(off);
    g->turn = beyond_half_way * sqrt(dc * dc + ds * ds);
    return g;
}

// Least separation of b from a over an interval, along a direction that rests in a's frame.
static double bound(motion *m, const hw_slab *a, const hw_slab *b, int i0, int i1, hw_vec2 u)
{
    hw_place p0 = seen(m, i0, a->part, b->part), p1 = seen(m, i1, a->part, b->part);
    const sag *g = sag_of(m, a->part, b->part, i0, i1);
    hw_vec2 r = m->pivot[a->part][b->part];
    // the direction in b's frame at either end: discs need not be moved
    hw_vec2 u0 = hw_flex(u, p0.c, -p0.s), u1 = hw_flex(u, p1.c, -p1.s);
    double at0 = hw_dot(p0.at, u), at1 = hw_dot(p1.at, u), near = INFINITY;
    for (size_t j = 0; j < b->discs; j++) {
        double d0 = at0 + hw_dot(b->disc[j].at, u0), d1 = at1 + hw_dot(b->disc[j].at, u1);
        hw_vec2 arm = hw_sub(b->disc[j].at, r);
        double one = (d0 < d1 ? d0 : d1) - b->disc[j].radius - g->turn * sqrt(hw_dot(arm, arm));
        if (one < near) near = one;
    }
    return near - g->origin - hw_slab_support(a, u);
}

// The same along a direction that rests in either frame, given in a's at pose i. [m]
static double bound_either(motion *m, const pair *p, int i0, int i1, int i, hw_vec2 u)
{
    double first = bound(m, p->plate_a, p->plate_b, i0, i1, u);
    if (first >= m->least.gap) return first;
    hw_place s = seen(m, i, p->plate_a->part, p->plate_b->part);
    hw_vec2 back = hw_scale(hw_flex(u, s.c, -s.s), -1);
    return fmax(first, bound(m, p->plate_b, p->plate_a, i0, i1, back));
}

static void keep(motion *m, const pair *p, double gap, double s) // [m] [1]
{
    if (gap < m->least.gap) m->least = (hw_clearance){gap, {p->a, p->b}, s};
}

// Finds whether two plates come nearer than the least known between two poses; u: a direction
// that separated them before.
static void scan(motion *m, const pair *p, int i0, int i1, hw_vec2 *u) // [1]
{
    double low = bound_either(m, p, i0, i1, i0, *u);
    int end[2] = {i0, i1};
    for (int e = 0; e < 2 && low < m->least.gap; e++) {
        hw_facing f = hw_slabs_facing(p->plate_a, p->plate_b,
                                      seen(m, end[e], p->plate_a->part, p->plate_b->part));
        *u = f.direction;
        keep(m, p, f.gap, end[e] / (double)FINEST);
        low = fmax(low, bound_either(m, p, i0, i1, end[e], *u));
    }
    if (low >= m->least.gap) return;
    int half = (i0 + i1) / 2;
    if (i1 - i0 <= LEAF) {
        keep(m, p, low, half / (double)FINEST);
        return;
    }
    scan(m, p, i0, half, u);
    scan(m, p, half, i1, u);
}

// Distance from a point that both plates turn about keeps them apart in every pose.
static bool rings_apart(const motion *m, const pair *p)
{
    int first = p->plate_a->part, second = p->plate_b->part;
    if (!m->shared[first][second]) return false;
    double da = hw_norm(hw_sub(p->plate_a->round.at, m->pivot[second][first]));
    double db = hw_norm(hw_sub(p->plate_b->round.at, m->pivot[first][second]));
    return fabs(da - db) - p->plate_a->round.radius - p->plate_b->round.radius >= m->least.gap;
}

static bool covers_apart(motion *m, const pair *p, int i) // at one pose
{
    hw_place s = seen(m, i, p->plate_a->part, p->plate_b->part);
    const hw_disc *a = &p->plate_a->round, *b = &p->plate_b->round;
    hw_vec2 d = hw_sub(hw_add(s.at, hw_flex(b->at, s.c, s.s)), a->at);
    double far = m->least.gap + a->radius + b->radius;
    return far < 0 || hw_dot(d, d) >= far * far;
}

typedef void (*visit)(motion *m, const pair *p);

static void each_pair(motion *m, visit each)
{
    for (size_t i = 0; i < m->k->n; i++)
        for (size_t j = i + 1; j < m->k->n; j++) {
            const hw_slab *a = &m->k->plate[i], *b = &m->k->plate[j];
            if (a->layer != b->layer || a->part == b->part) continue;
            bool swap = a->part > b->part;
            pair p = {swap ? (int)j : (int)i, swap ? (int)i : (int)j, swap ? b : a, swap ? a : b};
            each(m, &p);
        }
}

double hw_stack_printed(const hw_digit *d)
{
    if (d->family != HW_FAMILY_COUPLED_BARS || d->travel[0] >= 0) return 0;
    return fmin(1, -d->travel[0] / (d->travel[1] - d->travel[0]));
}

static void visit_printed(motion *m, const pair *p)
{
    int i = (int)lround(hw_stack_printed(m->d) * FINEST);
    if (covers_apart(m, p, i)) return;
    hw_place s = seen(m, i, p->plate_a->part, p->plate_b->part);
    keep(m, p, hw_slabs_facing(p->plate_a, p->plate_b, s).gap, i / (double)FINEST);
}

static void visit_stroke(motion *m, const pair *p)
{
    if (rings_apart(m, p)) return;
    hw_place s = seen(m, 0, p->plate_a->part, p->plate_b->part);
    hw_vec2 u = hw_sub(hw_add(s.at, hw_flex(p->plate_b->round.at, s.c, s.s)), p->plate_a->round.at);
    double length = hw_norm(u);
    u = length > 0 ? hw_scale(u, 1 / length) : (hw_vec2){1, 0};
    for (int i = 0; i < FINEST; i += COARSE) scan(m, p, i, i + COARSE, &u);
}

hw_code hw_stack_clearances(const hw_digit *d, const hw_stack *k, hw_clearance *printed,
                            hw_clearance *stroke)
{
    *printed = *stroke = (hw_clearance){INFINITY, {-1, -1}, 0};
    if (hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    motion m = {.d = d, .k = k, .family = hw_digit_family_of(d->family), .least = *printed};
    set_pivots(&m);
    m.least = *printed;
    each_pair(&m, visit_printed);
    if (!m.missing) *printed = m.least;
    for (int i = 0; i <= FINEST; i += COARSE) at_pose(&m, i);
    if (m.missing) return HW_NO_ASSEMBLY;
    each_pair(&m, visit_stroke);
    if (m.missing) return HW_NO_ASSEMBLY;
    *stroke = m.least;
    return HW_OK;
}
