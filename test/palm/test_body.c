// Bodies: closed cases, degenerate ones by name, random pairs against directions without number,
// scaling and mirror.
#include "check.h"
#include "pairs.h"

static const double mm = 1e-3;

static hw_frame at(double x, double y, double z)
{
    hw_frame f = hw_frame_identity();
    f.at = (hw_vec3){x, y, z};
    return f;
}

static double between(hw_body a, hw_body b)
{
    hw_nearness n;
    CHECK(hw_body_near(&a, &b, &n) == HW_OK);
    return n.distance;
}

static void closed_cases(void)
{
    hw_body cube = hw_body_box(at(0, 0, 0), 20 * mm, 20 * mm, 20 * mm);
    // face to face, edge to edge, corner to corner
    NEAR(between(cube, hw_body_box(at(25 * mm, 3 * mm, 0), 20 * mm, 20 * mm, 20 * mm)), 5 * mm,
         1e-12);
    NEAR(between(cube, hw_body_box(at(23 * mm, 24 * mm, 0), 20 * mm, 20 * mm, 20 * mm)), 5 * mm,
         1e-12);
    NEAR(between(cube, hw_body_box(at(22 * mm, 23 * mm, 26 * mm), 20 * mm, 20 * mm, 20 * mm)),
         7 * mm, 1e-12);
    NEAR(between(cube, hw_body_box(at(15 * mm, 3 * mm, 1 * mm), 20 * mm, 20 * mm, 20 * mm)),
         -5 * mm, 1e-12);
    // two edges that cross: a cube stands on its edge
    hw_frame tilted = at(0, 0, 0);
    tilted = hw_frame_turned(&tilted, tilted.at, (hw_vec3){0, 1, 0}, HW_PI / 4);
    tilted.at.z = (10 + 10 * sqrt(2) - 3) * mm;
    NEAR(between(cube, hw_body_box(tilted, 20 * mm, 20 * mm, 20 * mm)), -3 * mm, 1e-12);
    // capsules: crossed bars, and a ball on a plate
    hw_body bar = hw_body_capsule((hw_vec3){-9 * mm, 0, 0}, (hw_vec3){9 * mm, 0, 0}, 2 * mm);
    NEAR(between(bar, hw_body_capsule((hw_vec3){1 * mm, -5 * mm, 3 * mm},
                                      (hw_vec3){1 * mm, 5 * mm, 3 * mm}, 2 * mm)),
         -1 * mm, 1e-12);
    NEAR(between(cube, hw_body_capsule((hw_vec3){2 * mm, 0, 9 * mm}, (hw_vec3){2 * mm, 0, 9 * mm},
                                       4 * mm)),
         -5 * mm, 1e-12);
    // cylinders: side by side, end to end, and one across another's flank
    hw_body can = hw_body_cylinder(at(0, 0, 0), 5 * mm, 12 * mm);
    NEAR(between(can, hw_body_cylinder(at(8 * mm, 0, 1 * mm), 5 * mm, 12 * mm)), -2 * mm, 1e-9);
    NEAR(between(can, hw_body_cylinder(at(1 * mm, 0, 11 * mm), 5 * mm, 12 * mm)), -1 * mm, 1e-9);
    hw_frame lying = at(9 * mm, 0, 0);
    lying = hw_frame_turned(&lying, lying.at, (hw_vec3){1, 0, 0}, HW_PI / 2);
    NEAR(between(can, hw_body_cylinder(lying, 5 * mm, 12 * mm)), -1 * mm, 1e-9);
    lying.at.x = 12 * mm;
    NEAR(between(can, hw_body_cylinder(lying, 5 * mm, 12 * mm)), 2 * mm, 1e-9);
}

static void degenerate_ones(void)
{
    hw_body cube = hw_body_box(at(0, 0, 0), 20 * mm, 20 * mm, 30 * mm);
    hw_body can = hw_body_cylinder(at(0, 0, 0), 5 * mm, 40 * mm);
    hw_body ball = hw_body_capsule(cube.frame.at, cube.frame.at, 3 * mm);
    hw_body line = hw_body_capsule((hw_vec3){-9 * mm, 0, 0}, (hw_vec3){9 * mm, 0, 0}, 0);
    hw_body plate = hw_body_box(at(0, 0, 2 * mm), 20 * mm, 20 * mm, 0);
    NEAR(between(cube, cube), -20 * mm, 1e-12); // out through the nearest face
    NEAR(between(can, can), -10 * mm, 1e-9);    // out through the flank, any way
    NEAR(between(ball, ball), -6 * mm, 1e-12);
    NEAR(between(line, line), 0, 1e-12);
    NEAR(between(line, ball), -3 * mm, 1e-12);
    NEAR(between(ball, plate), -1 * mm, 1e-12);
    NEAR(between(plate, plate), 0, 1e-12);
    NEAR(between(cube, hw_body_box(at(20 * mm, 0, 0), 20 * mm, 20 * mm, 20 * mm)), 0, 1e-11);
    hw_nearness n;
    hw_body bad = cube;
    bad.half.x = -1;
    CHECK(hw_body_near(&cube, &bad, &n) == HW_BAD_INPUT);
    CHECK(isnan(n.distance) && isnan(n.at[0].x) && isnan(n.direction.x));
    CHECK(isnan(hw_body_clear(&cube, &bad, 1)));
    bad = cube;
    bad.frame.at.y = NAN;
    CHECK(hw_body_near(&bad, &cube, &n) == HW_BAD_INPUT);
}

// The largest separation over directions: from below, to the square of their spacing.
static double by_directions(const hw_body *a, const hw_body *b, int count)
{
    double most = -INFINITY;
    for (int i = 0; i < count; i++) {
        double z = 1 - (2 * i + 1.0) / count, r = sqrt(1 - z * z), turn = 2.399963229728653 * i;
        hw_vec3 n = {r * cos(turn), r * sin(turn), z}, back = hw_vec3_times(n, -1);
        most = fmax(most, -hw_body_reach(b, back) - hw_body_reach(a, n));
    }
    return most;
}

static double separation(const hw_body *a, const hw_body *b, hw_vec3 n)
{
    return -hw_body_reach(b, hw_vec3_times(n, -1)) - hw_body_reach(a, n);
}

static void random_pairs(void)
{
    hw_rng r = hw_rng_new(5, 0);
    for (int i = 0; i < 400; i++) {
        hw_body a = random_body(&r, 1), b = random_body(&r, 1);
        hw_nearness n;
        CHECK(hw_body_near(&a, &b, &n) == HW_OK);
        double grid = by_directions(&a, &b, 4000);
        CHECK(n.distance >= grid - 1e-9);
        CHECK(n.distance <= grid + 0.06); // directions 0.057 apart, arms of about 1
        // the direction gives the distance, and the witnesses lie on both bodies and on it
        NEAR(separation(&a, &b, n.direction), n.distance, 1e-6);
        hw_vec3 w = hw_vec3_sub(n.at[1], n.at[0]);
        NEAR(hw_vec3_dot(w, n.direction), n.distance, 1e-6);
        NEAR(hw_vec3_norm(w), fabs(n.distance), 1e-5);
        NEAR(hw_vec3_dot(n.at[0], n.direction), hw_body_reach(&a, n.direction), 1e-6);
        // the quick answer is the same, or enough
        double quick = hw_body_clear(&a, &b, 0.3);
        if (n.distance < 0.3)
            NEAR(quick, n.distance, 1e-6);
        else
            CHECK(quick >= 0.3 - 1e-9 && quick <= n.distance + 1e-9);
    }
}

// Cylinders through each other: no direction parts them sooner, neither of those spread over the
// sphere nor of those beside the one that was found.
static void cylinders_together(void)
{
    hw_rng r = hw_rng_new(15, 0);
    int met = 0;
    while (met < 150) {
        hw_body b[2];
        for (int k = 0; k < 2; k++)
            b[k] = hw_body_cylinder(random_frame(&r, 0.5), hw_rng_uniform(&r, 0.2, 1),
                                    hw_rng_uniform(&r, 0.2, 2));
        hw_nearness n;
        CHECK(hw_body_near(&b[0], &b[1], &n) == HW_OK);
        if (n.distance >= 0) continue;
        met++;
        CHECK(n.distance >= by_directions(&b[0], &b[1], 2000) - 1e-6);
        for (int k = 0; k < 60; k++) {
            double by = pow(10, -1 - k % 5);
            hw_vec3 beside = hw_vec3_unit(hw_vec3_along(n.direction, by, random_direction(&r)));
            CHECK(separation(&b[0], &b[1], beside) <= n.distance + 1e-6);
        }
    }
}

static hw_body scaled(hw_body b, double k)
{
    b.frame.at = hw_vec3_times(b.frame.at, k);
    b.half = hw_vec3_times(b.half, k);
    return b;
}

// The other hand's: y turned round; frames keep x and z and stay right-handed by turning their y.
static hw_vec3 other_side(hw_vec3 v)
{
    return (hw_vec3){v.x, -v.y, v.z};
}

static hw_body mirrored(hw_body b)
{
    b.frame.at = other_side(b.frame.at);
    b.frame.x = other_side(b.frame.x);
    b.frame.z = other_side(b.frame.z);
    b.frame.y = hw_vec3_cross(b.frame.z, b.frame.x);
    return b;
}

static void scale_and_mirror(void)
{
    hw_rng r = hw_rng_new(6, 0);
    for (int i = 0; i < 300; i++) {
        hw_body a = random_body(&r, 1), b = random_body(&r, 1);
        double one = between(a, b);
        NEAR(1e3 * between(scaled(a, 1e-3), scaled(b, 1e-3)), one, 1e-6);
        NEAR(1e-2 * between(scaled(a, 1e2), scaled(b, 1e2)), one, 1e-6);
        NEAR(between(b, a), one, 1e-6);
        NEAR(between(mirrored(a), mirrored(b)), one, 1e-6);
    }
}

static void sweeps(void)
{
    // a rod turns about z and passes a ball that no pose touches
    hw_body rod = hw_body_capsule((hw_vec3){0, 0, 0}, (hw_vec3){50 * mm, 0, 0}, 1 * mm);
    double lie = 12 * HW_PI / 180;
    hw_body ball = hw_body_capsule((hw_vec3){40 * mm * cos(lie), 40 * mm * sin(lie), 0},
                                   (hw_vec3){40 * mm * cos(lie), 40 * mm * sin(lie), 0}, 1 * mm);
    hw_frame pose[4], here = hw_frame_identity();
    for (int i = 0; i < 4; i++)
        pose[i] = hw_frame_turned(&here, here.at, here.z, i * 8 * HW_PI / 180);
    hw_body_swept s;
    CHECK(hw_body_sweep(&ball, &rod, pose, 4, &s) == HW_OK);
    // four degrees off at 40 mm
    NEAR(s.nearest.distance, 40 * mm * sin(4 * HW_PI / 180) - 2 * mm, 1e-12);
    CHECK(s.pose == 1 || s.pose == 2);
    CHECK(s.bound < -2 * mm + 1e-12); // it does touch between two poses, as deep as both are thick
    CHECK(hw_body_sweep(&ball, &rod, pose, 1, &s) == HW_OK);
    CHECK(s.bound == s.nearest.distance);
    CHECK(hw_body_sweep(&ball, &rod, pose, 0, &s) == HW_BAD_INPUT && isnan(s.bound));
    // a slim box turns about its upper end: its lower corners go farthest, on a chord of their own
    hw_body box = hw_body_box(here, 2 * mm, 2 * mm, 40 * mm);
    hw_vec3 top = {0, 0, 20 * mm}, far = {100 * mm, 0, 0};
    ball = hw_body_capsule(far, far, 1 * mm);
    pose[0] = here;
    pose[1] = hw_frame_turned(&here, top, here.y, 0.1); // away from the ball
    CHECK(hw_body_sweep(&ball, &box, pose, 2, &s) == HW_OK && s.pose == 0);
    NEAR(s.nearest.distance, 98 * mm, 1e-12);
    hw_nearness near;
    box.frame = pose[1];
    CHECK(hw_body_near(&ball, &box, &near) == HW_OK);
    double chord = 2 * sin(0.05) * sqrt(1 + 40 * 40) * mm;
    NEAR(s.bound, (98 * mm + near.distance - HW_PI / 2 * chord) / 2, 1e-12);
}

static void bounds_hold(void)
{
    hw_rng r = hw_rng_new(9, 0);
    for (int i = 0; i < 60; i++) {
        hw_body a = random_body(&r, 1), b = random_body(&r, 1);
        hw_vec3 axis = random_direction(&r), on = random_direction(&r);
        hw_frame pose[5], fine[81], here = hw_frame_identity();
        for (int k = 0; k < 5; k++) pose[k] = hw_frame_turned(&here, on, axis, 0.2 * k);
        for (int k = 0; k < 81; k++) fine[k] = hw_frame_turned(&here, on, axis, 0.01 * k);
        hw_body_swept few, many;
        CHECK(hw_body_sweep(&a, &b, pose, 5, &few) == HW_OK);
        CHECK(hw_body_sweep(&a, &b, fine, 81, &many) == HW_OK);
        CHECK(few.bound <= many.nearest.distance + 1e-9);
        CHECK(many.bound <= many.nearest.distance + 1e-12);
        CHECK(many.bound >= many.nearest.distance - 0.1); // a tenth of a turn's step: not idle
    }
}

// Capsules' quick way against the simplex walk, and lines that lie side by side or cross.
static void clear_capsules(void)
{
    hw_rng rng = hw_rng_new(9, 0);
    for (int n = 0; n < 2000; n++) {
        hw_vec3 p[4];
        for (int k = 0; k < 4; k++) p[k] = hw_vec3_times(random_direction(&rng), 20 * mm);
        if (n % 3 == 0) p[3] = hw_vec3_add(p[2], hw_vec3_sub(p[1], p[0])); // side by side
        if (n % 7 == 0) p[1] = p[0];                                       // a ball
        hw_body a = hw_body_capsule(p[0], p[1], 1 * mm), b = hw_body_capsule(p[2], p[3], 2 * mm);
        hw_nearness near;
        CHECK(hw_body_near(&a, &b, &near) == HW_OK);
        NEAR(hw_body_clear(&a, &b, 1), near.distance, 1e-8);
    }
}

// Boxes round a turned box, a leaning capsule and a wedge, whose two sides are not alike.
static void spans(void)
{
    const double c = 0.8, n = 0.6;
    const hw_frame turned = {{1, 2, 3}, {c, n, 0}, {-n, c, 0}, {0, 0, 1}};
    hw_vec3 wedge[] = {{0, 0, 0}, {4, 0, 0}, {0, 0, 2}, {0, 1, 0}}, at[2];
    const hw_body body[] = {
        hw_body_box(turned, 2, 4, 6),
        hw_body_capsule((hw_vec3){0, 0, 0}, (hw_vec3){3, 0, -4}, 0.5),
        hw_body_hull(hw_frame_identity(), wedge, 4),
    };
    const hw_vec3 want[][2] = {
        {{1 - c - 2 * n, 2 - n - 2 * c, 0}, {1 + c + 2 * n, 2 + n + 2 * c, 6}},
        {{-0.5, -0.5, -4.5}, {3.5, 0.5, 0.5}},
        {{0, 0, 0}, {4, 1, 2}}};
    for (int i = 0; i < 3; i++) {
        hw_body_span(&body[i], at);
        for (int k = 0; k < 2; k++) {
            NEAR(at[k].x, want[i][k].x, 1e-12);
            NEAR(at[k].y, want[i][k].y, 1e-12);
            NEAR(at[k].z, want[i][k].z, 1e-12);
        }
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(closed_cases);
    RUN(spans);
    RUN(degenerate_ones);
    RUN(random_pairs);
    RUN(cylinders_together);
    RUN(scale_and_mirror);
    RUN(sweeps);
    RUN(bounds_hold);
    RUN(clear_capsules);
    return TEST_END();
}
