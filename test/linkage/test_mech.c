#include "check.h"
#include "planar.h"

static hw_arena *arena;

static hw_mech_motion motion(const planar *p)
{
    hw_mech_motion out;
    CHECK(hw_mech_motion_new(arena, &p->m, &out) == HW_OK);
    return out;
}

static hw_mech_motion solve(const planar *p, double s)
{
    hw_mech_motion out = motion(p);
    CHECK(hw_mech_solve(&p->m, arena, p->at, 0, s, &out, NULL) == HW_OK);
    return out;
}

// ---- degenerate by name

static void nothing_but_the_ground(void)
{
    planar p = {.m = {.bodies = 1}};
    planar_ends(&p);
    hw_mech_motion out = solve(&p, 0.5);
    CHECK(out.conditioning >= 1 && out.conditioning <= 1);
    hw_mech_freedom count;
    CHECK(hw_mech_count(&p.m, arena, p.at, &count) == HW_OK);
    CHECK(count.unknowns == 0 && count.freedoms == 0 && count.redundant == 0);
    CHECK(count.body == -1 && count.pin == -1);
    CHECK(hw_mech_length(&p.m) <= 0);
}

static void no_ground_and_too_many_bodies(void)
{
    planar p = {.m = {.bodies = 0}};
    planar_ends(&p);
    hw_mech_freedom count;
    CHECK(hw_mech_count(&p.m, arena, p.at, &count) == HW_BAD_INPUT);
    p.m.bodies = HW_MECH_BODIES + 1;
    CHECK(hw_mech_count(&p.m, arena, p.at, &count) == HW_LIMIT);
}

static void indices_and_numbers_that_are_none(void)
{
    planar good;
    CHECK(planar_fourbar(&good, (hw_fourbar){100, 40, 120, 80}, 1, 2, 1));
    hw_mech_motion out = motion(&good);
    planar p = good;
    planar_ends(&p);
    p.pin[1].b = 4;
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, NULL) == HW_BAD_INPUT);
    p.pin[1].b = 1; // to itself
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, NULL) == HW_BAD_INPUT);
    p.pin[1] = good.pin[1];
    p.pin[1].at_a.x = NAN;
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, NULL) == HW_BAD_INPUT);
    p.pin[1] = good.pin[1];
    p.driver[0].slider = 0; // there is none
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, NULL) == HW_BAD_INPUT);
    p.driver[0] = good.driver[0];
    p.at[2].angle = INFINITY;
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, NULL) == HW_BAD_INPUT);
    p.at[2] = good.at[2];
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, NAN, &out, NULL) == HW_BAD_INPUT);
    CHECK(isnan(out.pose[1].angle));
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, NULL) == HW_OK);
}

static void under_constrained_names_the_body(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 1, 2, 1));
    p.m.pins = 3; // the rocker's pivot is gone
    hw_mech_freedom count;
    CHECK(hw_mech_count(&p.m, arena, p.at, &count) == HW_OK);
    CHECK(count.freedoms == 2 && count.redundant == 0 && !count.by_pose);
    CHECK(count.body == 2 || count.body == 3);
    hw_mech_motion out = motion(&p);
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, NULL) == HW_BAD_INPUT);
}

static void a_link_without_length_spins(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 1, 2, 1));
    // A fifth body of no length between coupler and rocker: it may turn as it likes.
    p.m.bodies = 5;
    p.pin[2] = (hw_pin){2, 4, {120, 0}, {0, 0}};
    planar_pin(&p, 4, 0, 0, 3, 80, 0);
    p.at[4] = (hw_body_pose){p.at[2].x + 120 * cos(p.at[2].angle),
                             p.at[2].z - 120 * sin(p.at[2].angle), 0};
    hw_mech_freedom count;
    CHECK(hw_mech_count(&p.m, arena, p.at, &count) == HW_OK);
    CHECK(count.freedoms == 1 && count.body == 4 && !count.by_pose);
}

// A parallelogram with a third, equal crank moves as well as one with two, and its repeated
// constraints are found.
static planar three_cranks(double from, double to)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, from, to, 1));
    p.m.bodies = 5;
    planar_pin(&p, 0, 2, 0, 4, 0, 0);
    planar_pin(&p, 4, 3, 0, 2, 2, 0);
    p.at[4] = planar_bar(2, 0, from);
    planar_ends(&p);
    return p;
}

static void repeated_constraints_are_counted_and_harmless(void)
{
    planar p = three_cranks(0.3, 2.8);
    planar_ends(&p);
    hw_mech_freedom count;
    CHECK(hw_mech_count(&p.m, arena, p.at, &count) == HW_OK);
    CHECK(count.redundant == 1 && count.freedoms == 0 && count.rank == 12);
    CHECK(count.pin >= 0 || count.driver >= 0);
    for (int i = 1; i <= 10; i++) {
        hw_mech_motion out = solve(&p, 0.1 * i);
        double crank = 0.3 + 0.25 * i;
        NEAR(-out.pose[3].angle, crank, 1e-13 * out.conditioning);
        NEAR(-out.pose[4].angle, crank, 1e-13 * out.conditioning);
        NEAR(out.pose[2].angle, 0, 1e-13 * out.conditioning);
    }
}

static void repeated_constraints_that_disagree_lock(void)
{
    planar p = three_cranks(0.3, 2.8);
    planar_ends(&p);
    p.pin[5].at_a.x = 3.05; // the third crank is too long: closes in no pose near
    hw_mech_motion out = motion(&p);
    hw_event stop;
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, &stop) == HW_NO_ASSEMBLY);
    CHECK(stop.kind == HW_EVENT_LOCK_UP && stop.s <= 0);
    CHECK(stop.body >= 0 && stop.body < 5);
}

static void over_driven_is_counted(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 1, 2, 1));
    double rocker = -p.at[3].angle;
    planar_drive(&p, 3, rocker, rocker + 0.1); // not what the loop wants
    hw_mech_freedom count;
    CHECK(hw_mech_count(&p.m, arena, p.at, &count) == HW_OK);
    CHECK(count.redundant == 1 && count.freedoms == 0);
    hw_mech_motion out = motion(&p);
    hw_event stop;
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, &stop) == HW_NO_ASSEMBLY);
    CHECK(stop.kind == HW_EVENT_LOCK_UP);
    NEAR(stop.s, 0, 1e-6); // it closes within 1e-8 of its length a little longer
}

static void starting_where_links_are_in_line(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, 0, 1, 1));
    p.at[2] = planar_bar(3, 0, 0); // the parallelogram folded flat
    p.at[3] = planar_bar(5, 0, 0);
    hw_mech_motion out = motion(&p);
    hw_event stop;
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, &stop) == HW_NO_ASSEMBLY);
    CHECK(stop.kind == HW_EVENT_BRANCH_CHANGE && (stop.body == 2 || stop.body == 3));
    hw_mech_freedom count;
    CHECK(hw_mech_count(&p.m, arena, p.at, &count) == HW_OK);
    CHECK(count.freedoms == 1 && count.by_pose);
    // Coupler and rocker stretched in line: a plain dead point.
    CHECK(planar_fourbar(&p, (hw_fourbar){4, 3, 2, 3}, 0, 1, 1));
    p.at[1] = planar_bar(0, 0, HW_PI / 2);
    p.at[2] = planar_bar(0, 3, atan2(-3, 4));
    p.at[3] = planar_bar(4, 0, atan2(3, -4));
    p.driver[0] = (hw_driver){0, 1, -1, -HW_PI / 2, 0.5};
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, &stop) == HW_NO_ASSEMBLY);
    CHECK(stop.kind == HW_EVENT_DEAD_POINT);
}

static void a_pose_that_does_not_close(void)
{
    planar p;
    CHECK(!planar_fourbar(&p, (hw_fourbar){10, 1, 3, 4}, HW_PI, 4, 1));
    p.at[2].angle = -0.4;
    p.at[3].angle = -2;
    hw_mech_motion out = motion(&p);
    hw_event stop;
    CHECK(hw_mech_solve(&p.m, arena, p.at, 0, 1, &out, &stop) == HW_NO_ASSEMBLY);
    CHECK(stop.kind == HW_EVENT_LOCK_UP && stop.body > 0);
    CHECK(isnan(out.pose[3].angle) && isnan(out.conditioning));
}

static void rough_poses_are_corrected(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 40 * DEG, 2, 1));
    for (int b = 1; b < 4; b++) {
        p.at[b].x += 7;
        p.at[b].z -= 5;
        p.at[b].angle += 0.2;
    }
    hw_mech_motion out = solve(&p, 0);
    NEAR(-out.pose[3].angle / DEG, 57.32488, 5e-6); // recomputed reference, printed digits
    NEAR(-out.pose[2].angle / DEG, 20.29788, 5e-6);
}

static void out_of_memory_at_any_point(void)
{
    planar p = three_cranks(0.3, 2.8);
    planar_ends(&p);
    hw_arena *small = hw_arena_new(0);
    hw_mech_motion out;
    hw_mech_forces forces;
    hw_mech_freedom count;
    CHECK(hw_mech_motion_new(small, &p.m, &out) == HW_OK);
    CHECK(hw_mech_forces_new(small, &p.m, &forces) == HW_OK);
    size_t mark = hw_arena_mark(small), refused = 0;
    for (size_t n = 0; n < 200; n++) {
        hw_arena_fail_after(small, n);
        hw_code code = hw_mech_solve(&p.m, small, p.at, 0, 1, &out, NULL);
        CHECK(code == HW_OK || code == HW_NO_MEMORY);
        CHECK(hw_arena_mark(small) == mark);
        refused += code == HW_NO_MEMORY;
        hw_arena_rewind(small, mark);
        hw_arena_fail_after(small, n);
        hw_code second = hw_mech_count(&p.m, small, p.at, &count);
        CHECK(second == HW_OK || second == HW_NO_MEMORY);
        hw_arena_rewind(small, mark);
        hw_arena_fail_after(small, n);
        hw_code third = hw_mech_balance(&p.m, small, p.at, NULL, 0, &forces);
        CHECK(third == HW_OK || third == HW_NO_MEMORY);
        hw_arena_rewind(small, mark);
        if (code == HW_OK && second == HW_OK && third == HW_OK) break;
    }
    CHECK(refused > 10 && refused < 100);
    hw_arena_free(small);
}

// ---- published values

// Norton Ex. 4-1, 6-7 and 7-1 (from memory, recomputed): 25 rad/s and 15 rad/s2 at 40 deg. With s
// the crank angle, alpha = rate2 w^2 + rate alpha_2.
static void norton_4_1_to_7_1(void)
{
    for (int branch = -1; branch <= 1; branch += 2) {
        planar p;
        CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 0.2, 1.2, branch));
        hw_mech_motion at = solve(&p, 40 * DEG - 0.2);
        double w3 = 25 * -at.rate[2].angle, w4 = 25 * -at.rate[3].angle;
        double a3 = 625 * -at.rate2[2].angle + 15 * -at.rate[2].angle;
        double a4 = 625 * -at.rate2[3].angle + 15 * -at.rate[3].angle;
        NEAR(w3, branch > 0 ? -4.121 : -9.258772, branch > 0 ? 5e-4 : 5e-7); // printed digits
        NEAR(w4, branch > 0 ? 6.998 : -20.377672, branch > 0 ? 5e-4 : 5e-7);
        NEAR(a3, branch > 0 ? 296.089 : 597.6224, 5e-4);
        NEAR(a4, branch > 0 ? 470.134 : 423.5781, 5e-4);
        NEAR(-at.pose[3].angle / DEG, branch > 0 ? 57.325 : -98.005, 5e-4);
    }
}

// Norton Ex. 4-2 (from memory, recomputed): offset slider-crank 40/120, offset -20, 60 deg.
static void norton_4_2(void)
{
    planar p;
    CHECK(planar_slider_crank(&p, 40, 120, -20, 0.5, 1.5, 1));
    NEAR(solve(&p, 60 * DEG - 0.5).pose[3].x, 126.84, 5e-3);
    CHECK(planar_slider_crank(&p, 40, 120, -20, 0.5, 1.5, -1));
    NEAR(solve(&p, 60 * DEG - 0.5).pose[3].x, -86.84, 5e-3);
}

// Meriam & Kraige, Dynamics, Sample Problems 5/9 and 5/15 (companion's inputs read): r 5 in, rod 14
// in, 60 deg, 1500 rpm: piston 67.3 ft/s and 3310 ft/s2, rod 29.5 rad/s and 7740 rad/s2. The crank
// turns clockwise toward the piston in the book: 60 deg from the slide's line.
static void meriam_5_9_and_5_15(void)
{
    planar p;
    CHECK(planar_slider_crank(&p, 5, 14, 0, 0.5, 1.5, 1));
    hw_mech_motion at = solve(&p, 60 * DEG - 0.5);
    double w = 1500 * 2 * HW_PI / 60;
    NEAR(fabs(at.rate[3].x) * w / 12, 67.3, 0.05); // printed digits
    NEAR(fabs(at.rate2[3].x) * w * w / 12, 3310, 5);
    NEAR(fabs(at.rate[2].angle) * w, 29.5, 0.05);
    NEAR(fabs(at.rate2[2].angle) * w * w, 7740, 5);
    NEAR(fabs(at.rate[3].x) * w / 12, 67.3248, 5e-5); // recomputed
    NEAR(fabs(at.rate2[2].angle) * w * w, 7742.07, 5e-3);
}

// Two four-bars in series (recomputed reference): Norton's, then 50/95/70 on 110 from its rocker's
// pivot, the second crank in line with the rocker.
static void six_bar_in_series(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 0.5, 1.5, 1));
    hw_fourbar second = {110, 50, 95, 70};
    hw_fourbar_pose q;
    CHECK(hw_fourbar_solve(&second, -p.at[3].angle, 1, &q, NULL) == HW_OK);
    p.m.bodies = 6;
    planar_pin(&p, 3, 50, 0, 4, 0, 0);
    planar_pin(&p, 4, 95, 0, 5, 70, 0);
    planar_pin(&p, 0, 210, 0, 5, 0, 0);
    p.at[4] = planar_bar(100 + 50 * cos(p.at[3].angle), -50 * sin(p.at[3].angle), q.coupler);
    p.at[5] = planar_bar(210, 0, q.rocker);
    hw_mech_motion at = solve(&p, 40 * DEG - 0.5);
    NEAR(-at.pose[5].angle / DEG, 83.488535, 5e-7);
    NEAR(-at.pose[4].angle / DEG, 16.801989, 5e-7);
    NEAR(25 * -at.rate[5].angle, 3.536573, 5e-7);
    NEAR(25 * -at.rate[4].angle, -1.768421, 5e-7);
    NEAR(625 * -at.rate2[5].angle + 15 * -at.rate[5].angle, 265.776784, 5e-6);
}

// Quick return, Khurmi & Gupta Ex. 5.2 (companion read): pivots 240 apart, crank 120, slotted
// lever: time ratio 2 exactly: the lever stands still where the crank is square to it, 120 deg
// apart.
static void quick_return(void)
{
    planar p = {.m = {.bodies = 4, .sliders = 1}};
    // 1 crank, 2 lever pivoted 240 below, 3 block on the crank's pin sliding keyed on the lever.
    planar_pin(&p, 0, 0, 0, 1, 0, 0);
    planar_pin(&p, 0, 0, -240, 2, 0, 0);
    planar_pin(&p, 1, 120, 0, 3, 0, 0);
    p.slider[0] = (hw_slider){2, 3, {0, 0}, 0, {0, 0}, 0, true};
    p.m.sliders = 1;
    planar_drive(&p, 1, 0, 2 * HW_PI);
    planar_ends(&p);
    double lever = atan2(240, 120);
    p.at[1] = planar_bar(0, 0, 0);
    p.at[2] = planar_bar(0, -240, lever);
    p.at[3] = planar_bar(120, 0, lever);
    double crank = -30 * DEG + 360 * DEG, other = 210 * DEG;
    hw_mech_motion at = solve(&p, crank / (2 * HW_PI));
    NEAR(at.rate[2].angle, 0, 1e-12);
    NEAR(-at.pose[2].angle / DEG, 60, 1e-11);
    at = solve(&p, other / (2 * HW_PI));
    NEAR(at.rate[2].angle, 0, 1e-12);
    NEAR(-at.pose[2].angle / DEG, 120, 1e-11);
}

// ---- exact facts

static void instant_centres(void)
{
    // Antiparallelogram, short link fixed: the coupler turns about the cranks' crossing,
    // (1.14285714, 1.97948664) at 60 deg; |IA| + |ID| = L.
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){3, 5, 3, 5}, 40 * DEG, 80 * DEG, -1));
    hw_mech_motion at = solve(&p, 0.5);
    hw_vec2 i;
    CHECK(hw_instant_centre(&p.m, &at, 0, 2, &i));
    NEAR(i.x, 1.14285714, 5e-9);
    NEAR(i.z, 1.97948664, 5e-9);
    NEAR(hypot(i.x, i.z) + hypot(i.x - 3, i.z), 5, 1e-13);
    NEAR(at.rate[3].angle / at.rate[1].angle, 16.0 / 19, 1e-13);
    // Kennedy: the centre of crank and rocker lies on the line of the pivots.
    CHECK(hw_instant_centre(&p.m, &at, 1, 3, &i));
    NEAR(i.z, 0, 1e-13);
    NEAR(i.x / (i.x - 3), 16.0 / 19, 1e-12);
    // A parallelogram's coupler has none.
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, 0.5, 1.5, 1));
    at = solve(&p, 0.5);
    CHECK(!hw_instant_centre(&p.m, &at, 0, 2, &i) && isnan(i.x));
    CHECK(hw_instant_centre(&p.m, &at, 0, 1, &i));
    NEAR(hypot(i.x, i.z), 0, 1e-13);
}

static void transmission_angles(void)
{
    hw_fourbar f = {100, 40, 120, 80};
    planar p;
    CHECK(planar_fourbar(&p, f, 0.1, 2.1, 1));
    for (int k = 0; k <= 4; k++) {
        hw_mech_motion at = solve(&p, 0.25 * k);
        hw_fourbar_pose q;
        CHECK(hw_fourbar_solve(&f, 0.1 + 0.5 * k, 1, &q, NULL) == HW_OK);
        NEAR(hw_mech_transmission(&p.m, at.pose, 2, 1, 3), q.transmission, 1e-13);
    }
    CHECK(isnan(hw_mech_transmission(&p.m, p.at, 2, 2, 3))); // a pin with itself
}

static void points_move_as_their_poses(void)
{
    hw_body_pose b = {1, 2, HW_PI / 2}, rate = {0.5, -1, 2}, rate2 = {0, 3, -1};
    hw_vec2 p = hw_body_point(b, (hw_vec2){3, 0}); // +x turned toward -z
    NEAR(p.x, 1, 1e-15);
    NEAR(p.z, -1, 1e-15);
    hw_vec2 v = hw_body_velocity(b, rate, (hw_vec2){3, 0});
    NEAR(v.x, 0.5 - 6, 1e-14);
    NEAR(v.z, -1, 1e-14);
    hw_vec2 a = hw_body_acceleration(b, rate, rate2, (hw_vec2){3, 0});
    NEAR(a.x, 3, 1e-14);
    NEAR(a.z, 3 + 12, 1e-14);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(nothing_but_the_ground);
    RUN(no_ground_and_too_many_bodies);
    RUN(indices_and_numbers_that_are_none);
    RUN(under_constrained_names_the_body);
    RUN(a_link_without_length_spins);
    RUN(repeated_constraints_are_counted_and_harmless);
    RUN(repeated_constraints_that_disagree_lock);
    RUN(over_driven_is_counted);
    RUN(starting_where_links_are_in_line);
    RUN(a_pose_that_does_not_close);
    RUN(rough_poses_are_corrected);
    RUN(out_of_memory_at_any_point);
    RUN(norton_4_1_to_7_1);
    RUN(norton_4_2);
    RUN(meriam_5_9_and_5_15);
    RUN(six_bar_in_series);
    RUN(quick_return);
    RUN(instant_centres);
    RUN(transmission_angles);
    RUN(points_move_as_their_poses);
    hw_arena_free(arena);
    return TEST_END();
}
