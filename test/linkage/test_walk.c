// What the walk meets between its poses.
#include "check.h"
#include "planar.h"

#include <stdlib.h>

static hw_arena *arena;

enum { POSES = 64, EVENTS = 16 };

typedef struct run {
    hw_mech_sweep sweep;
    hw_code code;
    double s[POSES + 1];
    hw_mech_motion at[POSES + 1];
    uint8_t ok[POSES + 1];
    hw_event event[EVENTS];
} run;

static void walk_n(const planar *p, run *r, size_t n, double from, double to)
{
    r->sweep = (hw_mech_sweep){
        .n = n, .s = r->s, .at = r->at, .ok = r->ok, .event = r->event, .room = EVENTS};
    for (size_t i = 0; i < n; i++) {
        r->s[i] = from + (to - from) * (double)i / (double)(n > 1 ? n - 1 : 1);
        CHECK(hw_mech_motion_new(arena, &p->m, &r->at[i]) == HW_OK);
    }
    r->code = hw_mech_walk(&p->m, arena, p->at, 0, &r->sweep);
}

static void walk(const planar *p, run *r)
{
    walk_n(p, r, POSES, 0, 1);
}

static size_t count_of(const run *r, hw_event_kind kind)
{
    size_t n = 0;
    for (size_t i = 0; i < r->sweep.events && i < EVENTS; i++) n += r->event[i].kind == kind;
    return n;
}

// ---- degenerate by name

static void no_poses_and_standing_still(void)
{
    planar p;
    run r;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 1, 2, 1));
    walk_n(&p, &r, 0, 0, 0);
    CHECK(r.code == HW_OK && r.sweep.events == 0);
    walk_n(&p, &r, 3, 0, 0);
    CHECK(r.code == HW_OK && r.ok[0] && r.ok[1] && r.ok[2]);
    p.driver[0].span = 0; // a drive that does not move
    walk_n(&p, &r, 3, 0, 1);
    CHECK(r.code == HW_OK && r.ok[2] && r.sweep.events == 0);
    NEAR(r.at[2].pose[3].angle, p.at[3].angle, 1e-14);
    NEAR(r.at[2].rate[3].angle, 0, 1e-14);
}

static void poses_out_of_order(void)
{
    planar p;
    run r;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 1, 2, 1));
    walk_n(&p, &r, 3, 0.5, 0.2); // known at 0: not beyond the first
    CHECK(r.code == HW_BAD_INPUT && !r.ok[0] && isnan(r.at[0].pose[1].angle));
    walk_n(&p, &r, 3, -0.2, 0.5); // the known pose lies between
    CHECK(r.code == HW_BAD_INPUT);
    walk_n(&p, &r, 3, 0, -0.5); // backwards
    CHECK(r.code == HW_OK);
    NEAR(-r.at[2].pose[1].angle, 0.5, 1e-14);
}

// ---- events

// Every kind of event on a four-bar has its closed form.
static void dead_point_of_a_triple_rocker(void)
{
    hw_fourbar f = {100, 60, 65, 90};
    hw_fourbar_mark mark[8];
    size_t n = hw_fourbar_marks(&f, 1, 0.3, HW_PI, mark, 8);
    double dead = NAN;
    for (size_t i = n; i-- > 0;)
        if (mark[i].kind <= HW_FOURBAR_DEAD_FOLDED) dead = mark[i].crank;
    CHECK(isfinite(dead));
    planar p;
    run r;
    CHECK(planar_fourbar(&p, f, dead - 1.2, dead + 0.3, 1));
    walk(&p, &r);
    CHECK(r.code == HW_NO_ASSEMBLY);
    CHECK(count_of(&r, HW_EVENT_DEAD_POINT) == 1 && count_of(&r, HW_EVENT_BRANCH_CHANGE) == 0);
    CHECK(r.sweep.events == 2 && r.event[1].kind == HW_EVENT_LOCK_UP);
    NEAR(r.event[0].s, 1.2 / 1.5, 1e-12); // the bound that the header gives
    CHECK(r.event[0].body == 2 || r.event[0].body == 3);
    for (int i = 0; i < POSES; i++) {
        CHECK(r.ok[i] == (r.s[i] < r.event[0].s));
        CHECK(r.ok[i] || isnan(r.at[i].pose[3].angle));
    }
    // The other branch meets it at the same place.
    CHECK(planar_fourbar(&p, f, dead - 1.2, dead + 0.3, -1));
    walk(&p, &r);
    CHECK(r.sweep.events == 2);
    NEAR(r.event[0].s, 1.2 / 1.5, 1e-12);
    // One pose, and what stops it.
    hw_event stop;
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &r.at[0], &stop) == HW_NO_ASSEMBLY);
    CHECK(stop.kind == HW_EVENT_DEAD_POINT);
    NEAR(stop.s, 0.8, 1e-12);
}

static void a_stroke_that_ends_on_or_just_before_the_dead_point(void)
{
    // Coupler and rocker of 3 and 2 stretched in line with ground 4, crank 3: the crank stands
    // upright there.
    hw_fourbar f = {4, 3, 2, 3};
    planar p;
    run r;
    CHECK(planar_fourbar(&p, f, 0.7, HW_PI / 2, 1));
    walk(&p, &r);
    CHECK(count_of(&r, HW_EVENT_LOCK_UP) == 0 && r.code == HW_OK);
    CHECK(count_of(&r, HW_EVENT_DEAD_POINT) == 1);
    NEAR(r.event[0].s, 1, 1e-12);
    for (double before = 1e-2; before > 5e-12; before *= 0.1) {
        CHECK(planar_fourbar(&p, f, 0.7, HW_PI / 2 - before, 1));
        walk(&p, &r);
        CHECK(r.code == HW_OK && r.sweep.events == 0);
        hw_fourbar_pose q;
        CHECK(hw_fourbar_solve(&f, HW_PI / 2 - before, 1, &q, NULL) == HW_OK);
        NEAR(-r.at[POSES - 1].pose[3].angle, q.rocker, 1e-15 * r.at[POSES - 1].conditioning);
        CHECK(planar_fourbar(&p, f, 0.7, HW_PI / 2 + before, 1));
        walk(&p, &r);
        CHECK(r.code == HW_NO_ASSEMBLY && count_of(&r, HW_EVENT_DEAD_POINT) == 1);
        NEAR(r.event[0].s * (HW_PI / 2 + before - 0.7), HW_PI / 2 - 0.7, 1e-12);
    }
}

static void an_output_that_turns_round_is_no_event(void)
{
    planar p;
    run r;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 0.1, 0.1 + 2 * HW_PI, 1));
    walk(&p, &r);
    CHECK(r.code == HW_OK && r.sweep.events == 0);
    // Driven by the rocker, the same places are dead points.
    hw_fourbar_mark mark[4];
    CHECK(hw_fourbar_marks(&(hw_fourbar){100, 40, 120, 80}, 1, 0, 2 * HW_PI, mark, 4) == 2);
    hw_fourbar_pose from, limit;
    CHECK(hw_fourbar_solve(&(hw_fourbar){100, 40, 120, 80}, 2, 1, &from, NULL) == HW_OK);
    CHECK(hw_fourbar_solve(&(hw_fourbar){100, 40, 120, 80}, mark[1].crank, 1, &limit, NULL) ==
          HW_OK);
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 2, 3, 1));
    double turn = limit.rocker - from.rocker;
    p.driver[0] = (hw_driver){0, 3, -1, -from.rocker, -1.5 * turn};
    walk(&p, &r);
    CHECK(r.code == HW_NO_ASSEMBLY && r.event[0].kind == HW_EVENT_DEAD_POINT);
    NEAR(r.event[0].s, 1 / 1.5, 1e-12);
    CHECK(r.event[0].body == 1); // the crank turns while the drive rests
}

static void change_points_of_a_parallelogram(void)
{
    planar p;
    run r;
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, 0.5, 7, 1));
    walk(&p, &r);
    CHECK(r.code == HW_OK && r.sweep.events == 2);
    CHECK(count_of(&r, HW_EVENT_BRANCH_CHANGE) == 2);
    NEAR(r.event[0].s, (HW_PI - 0.5) / 6.5, 1e-12);
    NEAR(r.event[1].s, (2 * HW_PI - 0.5) / 6.5, 1e-12);
    for (int i = 0; i < POSES; i++) { // straight on: it stays a parallelogram
        NEAR(r.at[i].pose[2].angle, 0, 1e-13 * r.at[i].conditioning);
        NEAR(r.at[i].pose[3].angle, r.at[i].pose[1].angle, 1e-13 * r.at[i].conditioning);
    }
    // The crossed one likewise stays crossed.
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, 0.5, 7, -1));
    walk(&p, &r);
    CHECK(r.code == HW_OK && count_of(&r, HW_EVENT_BRANCH_CHANGE) == 2);
    NEAR(r.event[0].s, (HW_PI - 0.5) / 6.5, 1e-12);
    for (int i = 0; i < POSES; i++) {
        double crank = 0.5 + 6.5 * r.s[i];
        NEAR(sin(-r.at[i].pose[3].angle / 2) * cos(crank / 2),
             -4 * sin(crank / 2) * cos(r.at[i].pose[3].angle / 2), 1e-13 * r.at[i].conditioning);
    }
}

// A pose of the sweep exactly at the change point.
static void a_pose_on_the_change_point(void)
{
    planar p;
    run r;
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, HW_PI - 1, HW_PI + 1, 1));
    walk_n(&p, &r, 3, 0, 1);
    CHECK(r.code == HW_OK && r.sweep.events == 1);
    NEAR(r.event[0].s, 0.5, 1e-12);
    NEAR(-r.at[1].pose[3].angle, HW_PI, 1e-6); // half the digits: two branches meet there
    NEAR(-r.at[2].pose[3].angle, HW_PI + 1, 1e-13);
}

// A third crank carries the parallelogram over: no event at all.
static void a_third_crank_removes_the_change_point(void)
{
    planar p;
    run r;
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, 0.5, 7, 1));
    p.m.bodies = 5;
    planar_pin(&p, 0, 2, 1, 4, 0, 0);
    planar_pin(&p, 4, 3, 0, 2, 2, 1);
    p.at[4] = planar_bar(2, 1, 0.5);
    walk(&p, &r);
    CHECK(r.code == HW_OK && r.sweep.events == 0);
    for (int i = 0; i < POSES; i++)
        NEAR(-r.at[i].pose[3].angle, 0.5 + 6.5 * r.s[i], 1e-13 * r.at[i].conditioning);
}

// Two parallelograms in series on one crank, both folding flat at once, or one a little after the
// other: the determinant touches zero without changing sign, or does so twice within one step.
static void two_change_points_at_once(void)
{
    for (double after = 0; after<0.2; after = after> 0 ? 10 * after : 1e-4) {
        planar p;
        run r;
        CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, 0.5, 4, 1));
        // The second's ground is turned by `after` about the first rocker's pivot.
        double turn_x = 4 * cos(after), turn_z = 4 * sin(after);
        p.m.bodies = 6;
        planar_pin(&p, 3, 2, 0, 4, 0, 0);
        planar_pin(&p, 4, 4, 0, 5, 2, 0);
        planar_pin(&p, 0, 5 + turn_x, turn_z, 5, 0, 0);
        p.at[4] = planar_bar(5 + 2 * cos(0.5), 2 * sin(0.5), after);
        p.at[5] = planar_bar(5 + turn_x, turn_z, 0.5);
        walk(&p, &r);
        CHECK(r.code == HW_OK);
        size_t expected = after > 0 ? 2 : 1;
        CHECK(r.sweep.events == expected && count_of(&r, HW_EVENT_BRANCH_CHANGE) == expected);
        // A double root is known to half the digits, more by fitting its own root.
        NEAR(r.event[0].s, (HW_PI - 0.5) / 3.5, 1e-7);
        if (after > 0) NEAR(r.event[1].s, (HW_PI + after - 0.5) / 3.5, 1e-7);
        for (int i = 0; i < POSES; i++) {
            NEAR(-r.at[i].pose[3].angle, 0.5 + 3.5 * r.s[i], 1e-12 * r.at[i].conditioning);
            NEAR(-r.at[i].pose[5].angle, 0.5 + 3.5 * r.s[i], 1e-12 * r.at[i].conditioning);
        }
    }
}

// Nearly a change point: the crank of a crank-rocker passes, the branches only come close. The walk
// must follow the sharp turn and not leap across. From a gap of a hundredth of the length to the
// finest that its own resolution can tell from a change point.
static void near_change_points_are_followed(void)
{
    for (double gap = 1e-2; gap > 2e-9; gap *= 0.1)
        for (int branch = -1; branch <= 1; branch += 2)
            for (int sense = 0; sense < 2; sense++) {
                // s + l < p + q by gap: the crank turns fully; or the ground is shorter.
                hw_fourbar f = {5, 3 - gap, 5, 3};
                if (sense) f = (hw_fourbar){5 - gap, 3, 5, 3};
                planar p;
                run r;
                CHECK(planar_fourbar(&p, f, 0.5, 7, branch));
                walk(&p, &r);
                size_t dead = 0, expected = 0;
                hw_fourbar_mark mark[8];
                size_t n = hw_fourbar_marks(&f, branch, 0.5, 7, mark, 8);
                for (size_t i = 0; i < n; i++) expected += mark[i].kind <= HW_FOURBAR_DEAD_FOLDED;
                dead = count_of(&r, HW_EVENT_DEAD_POINT);
                CHECK(dead == (expected > 0));
                CHECK(count_of(&r, HW_EVENT_BRANCH_CHANGE) == 0);
                for (int i = 0; i < POSES; i++) {
                    hw_fourbar_pose q;
                    double crank = 0.5 + 6.5 * r.s[i];
                    if (!r.ok[i]) continue;
                    CHECK(hw_fourbar_solve(&f, crank, branch, &q, NULL) == HW_OK);
                    NEAR(remainder(-r.at[i].pose[3].angle - q.rocker, 2 * HW_PI), 0,
                         1e-13 * r.at[i].conditioning);
                }
            }
}

// A crank that is longer than its rod: the slide's drive folds it at both ends.
static void slider_crank_driven_by_its_slide(void)
{
    planar p;
    run r;
    CHECK(planar_slider_crank(&p, 3, 5, 1, 1, 2, 1));
    double x = p.at[3].x, far = sqrt(64 - 1);
    p.driver[0] = (hw_driver){0, 3, 0, x, 2 * (far - x)}; // twice as far as it reaches
    walk(&p, &r);
    CHECK(r.code == HW_NO_ASSEMBLY && r.event[0].kind == HW_EVENT_DEAD_POINT);
    NEAR(r.event[0].s, 0.5, 1e-12);
    CHECK(r.event[0].body == 1);
    // Pulled in, the crank folds over the rod.
    double near = sqrt(4 - 1);
    p.driver[0] = (hw_driver){0, 3, 0, x, 2 * (near - x)};
    walk(&p, &r);
    CHECK(r.event[0].kind == HW_EVENT_DEAD_POINT);
    NEAR(r.event[0].s, 0.5, 1e-12);
}

// Dead points a hair apart: a crank whose ground nearly fits, folded and stretched. Only the first
// is met.
static void sixteen_turns_and_back(void)
{
    planar p;
    run r;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 1, 1 + 32 * HW_PI, 1));
    walk(&p, &r);
    CHECK(r.code == HW_OK && r.sweep.events == 0);
    NEAR(-r.at[POSES - 1].pose[1].angle, 1 + 32 * HW_PI, 1e-12);
    NEAR(r.at[POSES - 1].pose[3].angle, r.at[0].pose[3].angle, 1e-12); // no drift over the turns
    planar back = p;
    planar_ends(&back);
    for (int b = 1; b < 4; b++) back.at[b] = r.at[POSES - 1].pose[b];
    back.driver[0] = (hw_driver){0, 1, -1, -1 - 32 * HW_PI, 32 * HW_PI};
    walk(&back, &r);
    CHECK(r.code == HW_OK);
    for (int b = 1; b < 4; b++) NEAR(r.at[POSES - 1].pose[b].angle, p.at[b].angle, 1e-12);
}

static void events_beyond_their_room_are_counted(void)
{
    planar p;
    run r;
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, 0.5, 20, 1));
    walk(&p, &r);
    CHECK(r.sweep.events == 6);
    r.sweep.room = 2;
    r.sweep.event = r.event;
    r.event[2] = (hw_event){HW_EVENT_LOCK_UP, 77, 7};
    CHECK(hw_mech_walk(&p.m, arena, p.at, 0, &r.sweep) == HW_OK);
    CHECK(r.sweep.events == 6 && r.event[2].body == 7);
}

// The same mechanism ten and a tenth of the size: angles and events the same, lengths scaled.
static void scales(void)
{
    const double size[3] = {1e-3, 1e-2, 1e-4};
    run r[3];
    planar p[3];
    for (int k = 0; k < 3; k++) {
        double z = size[k];
        CHECK(planar_fourbar(&p[k], (hw_fourbar){100 * z, 60 * z, 65 * z, 90 * z}, 1, 3, 1));
        walk(&p[k], &r[k]);
    }
    CHECK(r[0].sweep.events == 2);
    for (int k = 1; k < 3; k++) {
        double z = size[k] / size[0];
        CHECK(r[k].code == r[0].code && r[k].sweep.events == r[0].sweep.events);
        NEAR(r[k].event[0].s, r[0].event[0].s, 1e-12);
        CHECK(r[k].event[0].body == r[0].event[0].body);
        for (int i = 0; i < POSES; i++) {
            CHECK(r[k].ok[i] == r[0].ok[i]);
            if (!r[k].ok[i]) continue;
            double rounding = 1e-14 * r[0].at[i].conditioning;
            for (int b = 1; b < 4; b++) {
                NEAR(r[k].at[i].pose[b].angle, r[0].at[i].pose[b].angle, rounding);
                NEAR(r[k].at[i].pose[b].x / z, r[0].at[i].pose[b].x, rounding * 0.1);
            }
            CLOSE(r[k].at[i].conditioning, r[0].at[i].conditioning, 1e-6);
        }
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(no_poses_and_standing_still);
    RUN(poses_out_of_order);
    RUN(dead_point_of_a_triple_rocker);
    RUN(a_stroke_that_ends_on_or_just_before_the_dead_point);
    RUN(an_output_that_turns_round_is_no_event);
    RUN(change_points_of_a_parallelogram);
    RUN(a_pose_on_the_change_point);
    RUN(a_third_crank_removes_the_change_point);
    RUN(two_change_points_at_once);
    RUN(near_change_points_are_followed);
    RUN(slider_crank_driven_by_its_slide);
    RUN(sixteen_turns_and_back);
    RUN(events_beyond_their_room_are_counted);
    RUN(scales);
    hw_arena_free(arena);
    return TEST_END();
}
