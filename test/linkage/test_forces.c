#include "check.h"
#include "planar.h"

static hw_arena *arena;

static hw_mech_forces balance(const planar *p, const hw_body_pose pose[], const hw_mech_load load[],
                              size_t loads)
{
    hw_mech_forces out;
    CHECK(hw_mech_forces_new(arena, &p->m, &out) == HW_OK);
    CHECK(hw_mech_balance(&p->m, arena, pose, load, loads, &out) == HW_OK);
    return out;
}

// ---- degenerate by name

static void no_loads_no_forces(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 1, 2, 1));
    hw_mech_forces f = balance(&p, p.at, NULL, 0);
    for (int i = 0; i < 4; i++) CHECK(hw_norm(f.pin[i]) <= 0);
    CHECK(fabs(f.driver[0]) <= 0 && f.undetermined == 0);
    // A load on the ground is the ground's.
    hw_mech_load on_ground = {0, {1, 2}, {3, 4}, 5};
    f = balance(&p, p.at, &on_ground, 1);
    CHECK(fabs(f.driver[0]) <= 0);
}

static void loads_that_are_none(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 1, 2, 1));
    hw_mech_forces out;
    CHECK(hw_mech_forces_new(arena, &p.m, &out) == HW_OK);
    hw_mech_load load = {4, {0, 0}, {1, 0}, 0};
    CHECK(hw_mech_balance(&p.m, arena, p.at, &load, 1, &out) == HW_BAD_INPUT);
    CHECK(isnan(out.driver[0]) && isnan(out.pin[0].x));
    load = (hw_mech_load){1, {0, 0}, {NAN, 0}, 0};
    CHECK(hw_mech_balance(&p.m, arena, p.at, &load, 1, &out) == HW_BAD_INPUT);
}

static void at_a_dead_point_nothing_balances(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){4, 3, 2, 3}, 1, 2, 1));
    p.at[1] = planar_bar(0, 0, HW_PI / 2);
    p.at[2] = planar_bar(0, 3, atan2(-3, 4));
    p.at[3] = planar_bar(4, 0, atan2(3, -4));
    hw_mech_load load = {3, {3, 0}, {1, 1}, 0};
    hw_mech_forces out;
    CHECK(hw_mech_forces_new(arena, &p.m, &out) == HW_OK);
    CHECK(hw_mech_balance(&p.m, arena, p.at, &load, 1, &out) == HW_NO_ASSEMBLY);
    CHECK(isnan(out.driver[0]));
}

// ---- by hand

// A lever: 10 N down at 3 m, driven at its pivot. The drive must turn it up with 30 N*m.
static void a_lever(void)
{
    planar p = {.m = {.bodies = 2}};
    planar_pin(&p, 0, 1, 1, 1, 0, 0);
    planar_drive(&p, 1, 0, 1);
    planar_ends(&p);
    p.at[1] = (hw_body_pose){1, 1, 0};
    hw_mech_load down = {1, {3, 0}, {0, -10}, 0};
    hw_mech_forces f = balance(&p, p.at, &down, 1);
    NEAR(f.driver[0], -30, 1e-13); // flexion turns +x down
    NEAR(f.pin[0].x, 0, 1e-13);
    NEAR(f.pin[0].z, 10, 1e-13);
}

// A slider-crank in the pose 3-4-5: crank 3 upright, rod 5, slide at 4. 8 N push the slide in: the
// rod carries 10 N, the crank 8 N across 3 m, the guide 6 N.
static void slider_crank_three_four_five(void)
{
    planar p;
    CHECK(planar_slider_crank(&p, 3, 5, 0, HW_PI / 2, 2, 1));
    hw_mech_load push = {3, {0, 0}, {-8, 0}, 0};
    hw_mech_forces f = balance(&p, p.at, &push, 1);
    NEAR(fabs(f.driver[0]), 24, 1e-12);
    NEAR(f.driver[0], 24, 1e-12); // toward the slide: clockwise, which is flexion
    NEAR(hw_norm(f.pin[1]), 10, 1e-12);
    NEAR(f.pin[2].x, 8, 1e-12); // the rod pushes the slide out and down
    NEAR(f.pin[2].z, -6, 1e-12);
    NEAR(f.slider_normal[0], 6, 1e-12);
    NEAR(f.slider_couple[0], 0, 1e-12);
    // A couple on the keyed slide goes into its guide and nowhere else.
    hw_mech_load couple = {3, {0, 0}, {0, 0}, 7};
    f = balance(&p, p.at, &couple, 1);
    NEAR(f.slider_couple[0], -7, 1e-12);
    NEAR(f.driver[0], 0, 1e-12);
}

// A driven slide: the drive is a force.
static void a_driven_slide(void)
{
    planar p;
    CHECK(planar_slider_crank(&p, 3, 5, 0, HW_PI / 2, 2, 1));
    p.driver[0] = (hw_driver){0, 3, 0, 4, 1};
    hw_mech_load couple = {1, {0, 0}, {0, 0}, 24};
    hw_mech_forces f = balance(&p, p.at, &couple, 1);
    NEAR(f.driver[0], -8, 1e-12);
}

// Repeated constraints: a parallelogram on three cranks shares its load in ways that statics alone
// cannot tell, but its drive's torque is certain.
static void undetermined_reactions_say_so(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, 1, 2, 1));
    p.m.bodies = 5;
    planar_pin(&p, 0, 2, 0, 4, 0, 0);
    planar_pin(&p, 4, 3, 0, 2, 2, 0);
    p.at[4] = planar_bar(2, 0, 1);
    hw_mech_load down = {2, {1, 0}, {0, -10}, 0};
    hw_mech_forces f = balance(&p, p.at, &down, 1);
    CHECK(f.undetermined > 0);
    NEAR(f.driver[0], -30 * cos(1), 1e-12); // 10 N times the coupler's drop
    // The load's height over the ground is carried somewhere: the driven crank's pins are among the
    // undetermined.
    CHECK(isnan(f.pin[0].x) || isnan(f.pin[0].z));
    // Two cranks: everything is certain again.
    CHECK(planar_fourbar(&p, (hw_fourbar){5, 3, 5, 3}, 1, 2, 1));
    f = balance(&p, p.at, &down, 1);
    CHECK(f.undetermined == 0);
    NEAR(f.driver[0], -30 * cos(1), 1e-12);
}

// Power: loads and drive do no work together, at every pose, and every body balances by itself.
static void virtual_work_and_each_body(void)
{
    planar p;
    CHECK(planar_fourbar(&p, (hw_fourbar){100, 40, 120, 80}, 0.1, 0.1 + 2 * HW_PI, 1));
    hw_mech_load load[2] = {{2, {60, 30}, {2, -3}, 5}, {3, {50, -10}, {-1, 4}, -2}};
    double largest = 0, off = 0;
    for (int i = 0; i <= 48; i++) {
        hw_mech_motion at;
        CHECK(hw_mech_motion_new(arena, &p.m, &at) == HW_OK);
        CHECK(hw_mech_solve(&p.m, arena, p.at, 0, i / 48.0, &at, NULL) == HW_OK);
        hw_mech_forces f = balance(&p, at.pose, load, 2);
        double work = f.driver[0] * p.driver[0].span;
        for (int k = 0; k < 2; k++) {
            int b = load[k].body;
            hw_vec2 v = hw_body_velocity(at.pose[b], at.rate[b], load[k].at);
            work += hw_dot(v, load[k].force) + load[k].couple * at.rate[b].angle;
        }
        largest = fmax(largest, fabs(f.driver[0]));
        off = fmax(off, fabs(work / p.driver[0].span));
        // The coupler by itself: pin 1 acts on it, pin 2 on the rocker, so its opposite here.
        hw_vec2 sum = hw_sub(hw_add(f.pin[1], load[0].force), f.pin[2]);
        NEAR(hw_norm(sum), 0, 1e-12 * hw_norm(f.pin[1]));
        hw_vec2 arm = hw_flexed((hw_vec2){120, 0}, at.pose[2].angle);
        hw_vec2 load_arm = hw_flexed(load[0].at, at.pose[2].angle);
        double turn =
            hw_moment(load_arm, load[0].force) + load[0].couple - hw_moment(arm, f.pin[2]);
        NEAR(turn, 0, 1e-12 * 120 * hw_norm(f.pin[2]));
    }
    CHECK(off < 1e-9 * largest); // what is asked; rounding times the conditioning is less
    CHECK(largest > 10);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(no_loads_no_forces);
    RUN(loads_that_are_none);
    RUN(at_a_dead_point_nothing_balances);
    RUN(a_lever);
    RUN(slider_crank_three_four_five);
    RUN(a_driven_slide);
    RUN(undetermined_reactions_say_so);
    RUN(virtual_work_and_each_body);
    hw_arena_free(arena);
    return TEST_END();
}
