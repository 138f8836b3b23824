// Random coupled-bars digits, one in a hundred within a degree of a dead point: closed form beside
// the general solver, balances beside virtual work, and no dead point stepped over. The number of
// digits is the program's argument.
#include "../digit/random_digit.h"
#include "check.h"
#include "linkage/linkage.h"

#include <stdlib.h>

static long digits = 1000;
static hw_arena *arena;

enum { POSES = 9, BODIES = 6, GRID = 120 };

typedef struct tally {
    long run, dead, whole, undecided;
    double worst_angle;    // over the conditioning [rad]
    double worst_work;     // over the stroke's largest torque [1]
    double worst_force;    // over the largest and the conditioning [1]
    double worst_dead;     // distance of the two dead points in s [1]
    double most_condition; // [1]
} tally;

static const hw_digit_family *bars(void)
{
    return hw_digit_family_of(HW_FAMILY_COUPLED_BARS);
}

// Smaller sine of the two transmission angles; -1 where a loop does not close.
static double margin(const hw_digit *d, double s)
{
    hw_digit_pose p;
    if (bars()->pose(d, s, &p) != HW_OK) return -1;
    return fmin(sin(p.transmission[0]), sin(p.transmission[1]));
}

// Least margin near the middle of three poses, by golden sections.
static double least(const hw_digit *d, double low, double high)
{
    const double part = 0.3819660112501051;
    double a = low + part * (high - low), b = high - part * (high - low);
    double at_a = margin(d, a), at_b = margin(d, b);
    for (int i = 0; i < 60 && at_a > 0 && at_b > 0; i++) {
        if (at_a < at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = low + part * (high - low);
            at_a = margin(d, a);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = high - part * (high - low);
            at_b = margin(d, b);
        }
    }
    return fmin(at_a, at_b);
}

// Between two strokes the closed form is scanned, its local minima refined: the least margin.
static double least_margin(const hw_digit *d, double from, double to)
{
    double m[3] = {INFINITY, margin(d, from), 0}, step = (to - from) / GRID, found = m[1];
    for (int i = 1; i <= GRID && found > 0; i++) {
        m[2] = margin(d, from + step * i);
        found = fmin(found, m[2]);
        if (i > 1 && m[1] < m[0] && m[1] <= m[2] && m[1] > 0)
            found = fmin(found, least(d, from + step * (i - 2), from + step * i));
        m[0] = m[1];
        m[1] = m[2];
    }
    return found;
}

static void known_pose(const hw_digit *d, const hw_digit_pose *p, hw_body_pose at[BODIES])
{
    double flexion = 0;
    at[0] = (hw_body_pose){0, 0, 0};
    for (int i = 0; i < HW_JOINTS; i++) {
        flexion += p->joint[i];
        at[i + 1] = (hw_body_pose){p->at[i].x, p->at[i].z, flexion};
    }
    for (int i = 0; i < 2; i++) {
        hw_vec2 line = hw_sub(p->bar_end[i], p->bar_root[i]);
        at[4 + i] = (hw_body_pose){p->bar_root[i].x, p->bar_root[i].z, atan2(-line.z, line.x)};
    }
    (void)d;
}

typedef struct half {
    const hw_digit *d;
    hw_mech m;
    hw_body_pose start[BODIES];
    double s[POSES];
    hw_mech_motion at[POSES];
    uint8_t ok[POSES];
    hw_event event[4];
    hw_mech_sweep sweep;
} half;

static void compare_pose(const half *h, int i, tally *t)
{
    hw_digit_pose p;
    const hw_mech_motion *at = &h->at[i];
    hw_code code = bars()->pose(h->d, h->s[i], &p);
    if (code != HW_OK) {
        // Only in the rounding of a dead point may the two differ.
        CHECK(h->sweep.events && fabs(h->s[i] - h->event[0].s) < 1e-9);
        return;
    }
    t->most_condition = fmax(t->most_condition, at->conditioning);
    for (int k = 0; k < HW_JOINTS; k++) {
        double off = at->pose[k + 1].angle - at->pose[k].angle - p.joint[k];
        t->worst_angle = fmax(t->worst_angle, fabs(off) / at->conditioning);
        double rate = (at->rate[k + 1].angle - at->rate[k].angle) / h->m.driver[0].span;
        NEAR(rate, p.rate[k], 1e-9 * at->conditioning * (1 + fabs(p.rate[k])));
    }
}

// Unit load at the distal end, square to it, pushing the digit open.
static void compare_forces(const half *h, tally *t)
{
    double torque[POSES], work[POSES], largest = 0;
    hw_mech_forces f;
    CHECK(hw_mech_forces_new(arena, &h->m, &f) == HW_OK);
    int n = 0;
    for (int i = 0; i < POSES; i++) {
        const hw_mech_motion *at = &h->at[i];
        if (!h->ok[i] || !(at->conditioning < 1e9)) continue; // else on the dead point itself
        hw_digit_pose p;
        hw_digit_statics statics;
        if (bars()->pose(h->d, h->s[i], &p) != HW_OK) continue;
        hw_vec2 tip = {h->d->phalanx[2], 0}, open = {0, 1};
        hw_load load = {2, tip, open};
        CHECK(bars()->statics(h->d, &p, &load, 1, &statics) == HW_OK);
        hw_mech_load same = {3, tip, hw_flexed(open, at->pose[3].angle), 0};
        CHECK(hw_mech_balance(&h->m, arena, at->pose, &same, 1, &f) == HW_OK);
        CHECK(f.undetermined == 0);
        hw_vec2 v = hw_body_velocity(at->pose[3], at->rate[3], tip);
        torque[n] = f.driver[0];
        work[n] = f.driver[0] + hw_dot(v, same.force) / h->m.driver[0].span;
        largest = fmax(largest, fabs(torque[n]));
        n++;
        double most = hw_norm(f.pin[0]);
        for (int k = 1; k < 7; k++) most = fmax(most, hw_norm(f.pin[k]));
        double unit = most * at->conditioning;
        for (int k = 0; k < HW_JOINTS; k++) {
            double off = hw_norm(hw_sub(f.pin[k], statics.pin[k]));
            t->worst_force = fmax(t->worst_force, off / unit);
        }
        double off = f.driver[0] - statics.torque;
        t->worst_force = fmax(t->worst_force, fabs(off) / (unit * hw_mech_length(&h->m)));
    }
    for (int i = 0; i < n; i++) t->worst_work = fmax(t->worst_work, fabs(work[i]) / largest);
}

// From the straight digit to one end of its travel.
static void run_half(half *h, double from, double to, tally *t)
{
    for (int i = 0; i < POSES; i++) h->s[i] = from + (to - from) * i / (POSES - 1);
    h->sweep = (hw_mech_sweep){
        .n = POSES, .s = h->s, .at = h->at, .ok = h->ok, .event = h->event, .room = 4};
    hw_code code = hw_mech_walk(&h->m, arena, h->start, from, &h->sweep);
    CHECK(code == HW_OK || code == HW_NO_ASSEMBLY);
    bool dead = h->sweep.events > 0;
    double stop = dead ? h->event[0].s : to;
    if (dead) {
        CHECK(h->event[0].kind == HW_EVENT_DEAD_POINT);
        CHECK(h->event[0].body >= 1 && h->event[0].body < BODIES);
        // The closed form ends there too: find its end beside the solver's by halving.
        double way = to > from ? 1 : -1, inside = stop - way * 1e-6, outside = stop + way * 1e-9;
        if (way * (inside - from) < 0) inside = from;
        CHECK(margin(h->d, inside) > 0);
        CHECK(margin(h->d, outside) < 0);
        for (int i = 0; i < 60; i++) {
            double middle = 0.5 * (inside + outside);
            if (margin(h->d, middle) >= 0)
                inside = middle;
            else
                outside = middle;
        }
        t->worst_dead = fmax(t->worst_dead, fabs(inside - stop));
        t->dead++;
        stop -= way * 1e-6;
        if (way * (stop - from) < 0) stop = from;
    } else
        t->whole++;
    // Before it, the closed form closes everywhere, also between the poses.
    double left = least_margin(h->d, from, stop);
    if (left < 0) {
        CHECK(left >= 0);
        printf("    a dead point between s %.17g and %.17g was stepped over\n", from, stop);
    }
    if (left < 1e-6) t->undecided++;
    for (int i = 0; i < POSES; i++)
        if (h->ok[i]) compare_pose(h, i, t);
    compare_forces(h, t);
}

static void run_digit(const hw_digit *d, tally *t)
{
    half h = {.d = d};
    if (bars()->mechanism(d, arena, &h.m) != HW_OK) return; // dead when straight: has a name
    double straight = -d->travel[0] / (d->travel[1] - d->travel[0]);
    hw_digit_pose p;
    if (bars()->pose(d, straight, &p) != HW_OK) return;
    known_pose(d, &p, h.start);
    for (int i = 0; i < POSES; i++) CHECK(hw_mech_motion_new(arena, &h.m, &h.at[i]) == HW_OK);
    t->run++;
    run_half(&h, straight, 1, t);
    run_half(&h, straight, 0, t);
}

static void closed_form_and_solver_agree(void)
{
    tally t = {0};
    uint64_t state = 2024;
    size_t mark = hw_arena_mark(arena);
    for (long i = 0; i < digits; i++) {
        hw_digit d = random_bars(&state);
        int before = hw_check.case_fails;
        run_digit(&d, &t);
        if (hw_check.case_fails > before && before < 5) printf("    in digit %ld\n", i);
        hw_arena_rewind(arena, mark);
    }
    printf("%ld digits, %ld strokes to the end, %ld to a dead point, %ld within 1e-6 of one\n",
           t.run, t.whole, t.dead, t.undecided);
    printf("worst angle / conditioning %.2g rad (conditioning to %.2g)\n", t.worst_angle,
           t.most_condition);
    printf("worst virtual work %.2g of the largest torque, worst force %.2g of the largest and the "
           "conditioning\n",
           t.worst_work, t.worst_force);
    printf("worst dead point %.2g of the stroke\n", t.worst_dead);
    CHECK(t.run > digits * 9 / 10);
    CHECK(t.dead > t.run / 100); // the cases that matter do occur
    CHECK(t.worst_angle < 1e-9); // asked; the solver's own rounding is far below
    CHECK(t.worst_work < 1e-9);
    CHECK(t.worst_force < 1e-9);
    CHECK(t.worst_dead < 1e-9);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (argc > 1) digits = strtol(argv[1], NULL, 10);
    arena = hw_arena_new(0);
    RUN(closed_form_and_solver_agree);
    hw_arena_free(arena);
    return TEST_END();
}
