// Conventions of angles and moments: exact values, 4 ulp for cosines of exact turns.
#include "base/arena.h"
#include "base/vec3.h"
#include "check.h"

static void flexion_turns_x_toward_minus_z(void)
{
    hw_vec2 v = hw_flexed((hw_vec2){1, 0}, HW_PI / 2);
    NEAR(v.x, 0, 1e-15);
    NEAR(v.z, -1, 1e-15);
    v = hw_flexed((hw_vec2){0, 1}, HW_PI / 2);
    NEAR(v.x, 1, 1e-15);
    NEAR(v.z, 0, 1e-15);
    for (int i = -20; i < 20; i++) { // turns add up and keep lengths
        hw_vec2 a = hw_flexed(hw_flexed((hw_vec2){3, -4}, 0.3 * i), 0.7);
        hw_vec2 b = hw_flexed((hw_vec2){3, -4}, 0.3 * i + 0.7);
        NEAR(hw_norm(hw_sub(a, b)), 0, 5e-15);
        NEAR(hw_norm(a), 5, 5e-15);
    }
}

// Work of a force on a small flexion: moment times angle.
static void a_positive_moment_flexes(void)
{
    hw_vec2 r = {0.05, 0.01}, f = {2, -3};
    double turn = 1e-7;
    hw_vec2 moved = hw_sub(hw_flexed(r, turn), r);
    NEAR(hw_dot(f, moved) / turn, hw_moment(r, f), 1e-7); // second order in the turn
    CHECK(hw_moment((hw_vec2){1, 0}, (hw_vec2){0, -1}) == 1);
}

static void norm_does_not_overflow(void)
{
    CHECK(hw_norm((hw_vec2){3e300, 4e300}) == 5e300);
    CHECK(hw_norm((hw_vec2){0, 0}) == 0);
    hw_vec2 v = hw_add((hw_vec2){1, 2}, hw_scale((hw_vec2){1, -1}, 2));
    CHECK(v.x == 3 && v.z == 0);
}

// A point seen from a turned frame by hand, and back again; what has no length has no way.
static void frames_see_points(void)
{
    const hw_frame f = {{1, 2, 3}, {0, 1, 0}, {0, 0, 1}, {1, 0, 0}};
    hw_vec3 p = {5, -1, 4}, q = hw_frame_seen(&f, p);
    CHECK(q.x == -3 && q.y == 1 && q.z == 4);
    hw_vec3 back = hw_frame_point(&f, q), d = hw_frame_direction(&f, q);
    CHECK(back.x == p.x && back.y == p.y && back.z == p.z);
    CHECK(d.x == p.x - 1 && d.y == p.y - 2 && d.z == p.z - 3);
    hw_vec3 along = hw_vec3_along(p, 2, (hw_vec3){1, 0, -1});
    CHECK(along.x == 7 && along.y == -1 && along.z == 2);
    const hw_vec3 null = {0, 0, 0};
    CHECK(isnan(hw_vec3_way(null).x) && hw_vec3_unit(null).x == 0);
    hw_vec3 u = hw_vec3_way((hw_vec3){0, 3, -4});
    NEAR(u.y, 0.6, 1.2e-16); // 1 ulp
    NEAR(u.z, -0.8, 1.2e-16);
}

static void text_is_copied_with_its_end(void)
{
    hw_arena *a = hw_arena_new(0);
    SAME_TEXT(hw_arena_text(a, HW_TEXT("abc")), "abc");
    SAME_TEXT(hw_arena_text(a, (hw_text){NULL, 0}), "");
    hw_arena_fail_after(a, 0);
    CHECK(hw_arena_text(a, HW_TEXT("abc")) == NULL && hw_arena_failed(a));
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(flexion_turns_x_toward_minus_z);
    RUN(a_positive_moment_flexes);
    RUN(norm_does_not_overflow);
    RUN(frames_see_points);
    RUN(text_is_copied_with_its_end);
    return TEST_END();
}
