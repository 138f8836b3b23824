#include "check.h"
#include "digit/outline.h"
#include "random_digit.h"

// The hull of two discs is every disc on the way from one to the other: least distance of many.
static double by_many_discs(const hw_disc disc[2], hw_vec2 p)
{
    double least = INFINITY;
    for (int k = 0; k <= 4000; k++) {
        double t = k / 4000.0;
        hw_vec2 at = hw_add(hw_scale(disc[0].at, 1 - t), hw_scale(disc[1].at, t));
        double r = disc[0].radius + t * (disc[1].radius - disc[0].radius);
        least = fmin(least, hw_norm(hw_sub(p, at)) - r);
    }
    return least;
}

static void distance_against_many_discs(void)
{
    uint64_t seed = 51;
    for (int i = 0; i < 500; i++) {
        hw_disc disc[2];
        for (int k = 0; k < 2; k++) {
            disc[k].at = (hw_vec2){random_between(&seed, -1, 1), random_between(&seed, -1, 1)};
            disc[k].radius = random_between(&seed, 0, 0.8);
        }
        hw_vec2 p = {random_between(&seed, -3, 3), random_between(&seed, -3, 3)};
        double exact = hw_discs_distance(disc, p), many = by_many_discs(disc, p);
        if (exact < 0) { // inside, the two measures differ; the sign must not
            CHECK(many < 1e-3);
            continue;
        }
        CHECK(many >= exact - 1e-14);
        NEAR(many, exact, 1e-6); // the nearest disc is at most 1/8000 of 3 away, squared over 2
    }
}

static void coincident_and_nested_discs(void)
{
    hw_disc disc[2] = {{{0, 0}, 1}, {{0, 0}, 1}};
    NEAR(hw_discs_distance(disc, (hw_vec2){3, 0}), 2, 1e-15);
    disc[1] = (hw_disc){{0.5, 0}, 0.5}; // touches from within
    NEAR(hw_discs_distance(disc, (hw_vec2){3, 0}), 2, 1e-15);
    disc[1].radius = 2; // swallows the first
    NEAR(hw_discs_distance(disc, (hw_vec2){3.5, 0}), 1, 1e-15);
    disc[0].radius = disc[1].radius = 0;
    NEAR(hw_discs_distance(disc, (hw_vec2){0.25, 0.5}), 0.5, 1e-15);
}

static void parts_reach_their_pins_in_every_pose(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    hw_outline part[HW_OUTLINE_PARTS];
    CHECK(hw_digit_outline(&d, part) == HW_OK);
    CHECK(part[0].eyes == 2 && part[1].eyes == 3 && part[2].eyes == 3 && part[3].eyes == 2);
    // pairs of (part, eye) that are one pivot
    static const int pivot[][4] = {{0, 0, 1, 0}, {1, 1, 2, 0}, {2, 1, 3, 0}, {0, 1, 4, 0},
                                   {4, 1, 2, 2}, {1, 2, 5, 0}, {5, 1, 3, 1}};
    for (int k = 0; k <= 10; k++) {
        hw_digit_pose p;
        CHECK(hw_digit_family_of(d.family)->pose(&d, k / 10.0, &p) == HW_OK);
        for (size_t i = 0; i < sizeof pivot / sizeof *pivot; i++) {
            hw_vec2 at[2];
            for (int side = 0; side < 2; side++) {
                double turned;
                hw_vec2 origin;
                int which = pivot[i][2 * side];
                hw_outline_place(&p, which, &origin, &turned);
                hw_vec2 eye = part[which].eye[pivot[i][2 * side + 1]].at;
                at[side] = hw_add(origin, hw_flexed(eye, turned));
            }
            NEAR(hw_norm(hw_sub(at[0], at[1])), 0, 1e-15); // m, of 0.1
        }
    }
    // the distal hull ends at the distal end
    hw_disc end[2];
    hw_phalanx_discs(&d, 2, end);
    NEAR(hw_discs_distance(end, (hw_vec2){d.phalanx[2], 0}), 0, 1e-17);
}

static void every_eye_lies_in_its_part(void)
{
    uint64_t seed = 52;
    for (int i = 0; i < 200; i++) {
        hw_digit d = random_bars(&seed);
        hw_outline part[HW_OUTLINE_PARTS];
        if (hw_digit_outline(&d, part)) continue;
        for (int k = 0; k < HW_OUTLINE_PARTS; k++) {
            CHECK(part[k].hulls > 0 && part[k].hulls <= HW_OUTLINE_HULLS);
            for (size_t e = 0; e < part[k].eyes; e++) {
                double least = INFINITY;
                for (size_t h = 0; h < part[k].hulls; h++) {
                    hw_disc pair[2] = {part[k].hull[h].disc[0], part[k].hull[h].disc[0]};
                    if (part[k].hull[h].discs > 1) pair[1] = part[k].hull[h].disc[1];
                    least = fmin(least, hw_discs_distance(pair, part[k].eye[e].at));
                }
                CHECK(least <= -0.9 * d.pivot_radius); // a boss round every pivot
            }
        }
    }
}

static void digits_without_bars(void)
{
    hw_digit d = hw_digit_default();
    hw_outline part[HW_OUTLINE_PARTS];
    CHECK(hw_digit_outline(&d, part) == HW_OK);
    CHECK(part[3].hulls > 0 && part[4].hulls == 0 && part[5].hulls == 0);
    d.phalanx[2] = -1;
    CHECK(hw_digit_outline(&d, part) == HW_BAD_INPUT && part[0].hulls == 0);
    d = hw_digit_default();
    d.phalanx[2] = 0.004; // shorter than its tip is thick
    hw_disc end[2];
    hw_phalanx_discs(&d, 2, end);
    NEAR(end[1].at.x + end[1].radius, 0.004, 1e-18);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(distance_against_many_discs);
    RUN(coincident_and_nested_discs);
    RUN(parts_reach_their_pins_in_every_pose);
    RUN(every_eye_lies_in_its_part);
    RUN(digits_without_bars);
    return TEST_END();
}
