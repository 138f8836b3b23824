// Hulls of points: their corners, and the same nearness as the boxes that they are.
#include "check.h"
#include "pairs.h"

enum { PAIRS = 2000, POINTS = 400 };

static hw_vec3 corner_of(hw_vec3 half, int k)
{
    return (hw_vec3){k & 1 ? half.x : -half.x, k & 2 ? half.y : -half.y, k & 4 ? half.z : -half.z};
}

// A box given by its corners, off its middle, behaves as the box: 1e-9 apart, and where they meet
// never shallower, and hardly ever deeper, since a lesser way out may be missed.
static void boxes_by_their_corners(void)
{
    hw_rng r = hw_rng_new(5, 0);
    int met = 0, same = 0;
    for (int i = 0; i < PAIRS; i++) {
        hw_body box[2], hull[2];
        hw_vec3 corner[2][8];
        hw_nearness want, got, mixed;
        const hw_vec3 off = {0.4, -0.3, 0.2};
        for (int k = 0; k < 2; k++) {
            do box[k] = random_body(&r, 1);
            while (box[k].kind != HW_BODY_BOX);
            for (int c = 0; c < 8; c++) corner[k][c] = hw_vec3_add(corner_of(box[k].half, c), off);
            hw_frame f = box[k].frame;
            f.at = hw_frame_point(&f, hw_vec3_times(off, -1));
            hull[k] = hw_body_hull(f, corner[k], 8);
            NEAR(hw_vec3_norm(hw_vec3_sub(hull[k].frame.at, box[k].frame.at)), 0, 1e-15);
            NEAR(hw_vec3_norm(hw_vec3_sub(hull[k].half, box[k].half)), 0, 1e-15);
        }
        CHECK(hw_body_near(&box[0], &box[1], &want) == HW_OK);
        CHECK(hw_body_near(&hull[0], &hull[1], &got) == HW_OK);
        CHECK(hw_body_near(&hull[0], &box[1], &mixed) == HW_OK);
        NEAR(hw_body_clear(&hull[0], &hull[1], INFINITY), got.distance, 1e-12);
        if (want.distance > 0) {
            NEAR(got.distance, want.distance, 1e-9);
            NEAR(mixed.distance, want.distance, 1e-9);
            continue;
        }
        met++;
        CHECK(got.distance < want.distance + 1e-9 && mixed.distance < want.distance + 1e-9);
        same += got.distance > want.distance - 1e-7;
        // the second comes free along the way that is named
        hw_body moved = hull[1];
        moved.frame.at = hw_vec3_along(moved.frame.at, -got.distance + 1e-6, got.direction);
        CHECK(hw_body_clear(&hull[0], &moved, INFINITY) >= 0);
    }
    printf("%d meet, %d of them as deep as boxes\n", met, same);
    CHECK(met > PAIRS / 4 && same > met * 98 / 100);
}

// What is dropped changes no support; what stays in a plane is its corners alone.
static void corners_hold_the_hull(void)
{
    hw_rng r = hw_rng_new(9, 0);
    for (int k = 0; k < 20; k++) {
        hw_vec3 all[POINTS], few[POINTS];
        for (int i = 0; i < POINTS; i++) {
            all[i] = (hw_vec3){hw_rng_uniform(&r, -1, 1), (i % 4) * 0.3, hw_rng_uniform(&r, -1, 1)};
            few[i] = all[i];
        }
        size_t n = hw_hull_corners(few, POINTS);
        CHECK(n >= 12 && n < POINTS / 3);
        for (int d = 0; d < 50; d++) {
            hw_vec3 way = random_direction(&r);
            double most[2] = {-INFINITY, -INFINITY};
            for (int i = 0; i < POINTS; i++) most[0] = fmax(most[0], hw_vec3_dot(all[i], way));
            for (size_t i = 0; i < n; i++) most[1] = fmax(most[1], hw_vec3_dot(few[i], way));
            CHECK(most[0] == most[1]);
        }
    }
    hw_vec3 square[] = {{0, 1, 0}, {1, 1, 0},     {0.5, 1, 0}, {1, 1, 1},
                        {0, 1, 1}, {0.5, 1, 0.5}, {0, 1, 0},   {0.2, 2, 0.3}};
    CHECK(hw_hull_corners(square, 8) == 5); // four of the square, once each, and the point
    CHECK(hw_hull_corners(square, 0) == 0);
    hw_vec3 one = {3, 4, 5};
    CHECK(hw_hull_corners(&one, 1) == 1 && one.z == 5);
}

static void bad_hulls(void)
{
    hw_vec3 p[2] = {{0, 0, 0}, {1, 0, 0}};
    hw_body good = hw_body_hull(hw_frame_identity(), p, 2), none = good;
    hw_nearness got;
    none.points = 0;
    CHECK(hw_body_near(&none, &good, &got) == HW_BAD_INPUT && isnan(got.distance));
    // a line of two points beside a capsule: a closed case
    hw_body ball = hw_body_capsule((hw_vec3){0.3, 0.7, 0}, (hw_vec3){0.3, 0.7, 0}, 0.2);
    CHECK(hw_body_near(&good, &ball, &got) == HW_OK);
    NEAR(got.distance, 0.5, 1e-12);
    NEAR(got.at[0].x, 0.3, 1e-9);
    NEAR(hw_body_reach(&good, (hw_vec3){1, 0, 0}), 1, 1e-15);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(boxes_by_their_corners);
    RUN(corners_hold_the_hull);
    RUN(bad_hulls);
    return TEST_END();
}
