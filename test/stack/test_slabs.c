#include "check.h"
#include "random_stack.h"

#include <math.h>

static const hw_place here = {{0, 0}, 1, 0};

static hw_slab random_plate(uint64_t *seed)
{
    hw_disc disc[HW_SLAB_DISCS];
    size_t n = (size_t)random_between(seed, 1, HW_SLAB_DISCS + 0.999);
    for (size_t i = 0; i < n; i++)
        disc[i] = (hw_disc){{random_between(seed, -1, 1), random_between(seed, -1, 1)},
                            random_between(seed, 0, 0.6)};
    return hw_slab_of(0, 1, HW_SLAB_BODY, n, disc);
}

static hw_place random_place(uint64_t *seed, double far)
{
    double turned = random_between(seed, -HW_PI, HW_PI);
    return (hw_place){{random_between(seed, -far, far), random_between(seed, -far, far)},
                      cos(turned),
                      sin(turned)};
}

static double reach(const hw_slab *p, hw_place place, hw_vec2 u) // [m]
{
    double most = -INFINITY;
    for (size_t i = 0; i < p->discs; i++) {
        hw_vec2 at = hw_add(place.at, hw_flex(p->disc[i].at, place.c, place.s));
        most = fmax(most, hw_dot(at, u) + p->disc[i].radius);
    }
    return most;
}

// Largest separation over many directions: never more than the exact one.
static double by_directions(const hw_slab *a, hw_place pa, const hw_slab *b, hw_place pb)
{
    double most = -INFINITY;
    enum { MANY = 3000 };
    for (int i = 0; i < MANY; i++) {
        double t = 2 * HW_PI * i / MANY;
        hw_vec2 u = {cos(t), sin(t)};
        most = fmax(most, -reach(b, pb, hw_scale(u, -1)) - reach(a, pa, u));
    }
    return most;
}

// Points of a plate: on every mixture of its discs' centres, as far out as the mixed radius.
static hw_vec2 random_point(uint64_t *seed, const hw_slab *p, hw_place place)
{
    double share[HW_SLAB_DISCS], sum = 0, radius = 0;
    hw_vec2 at = {0, 0};
    for (size_t i = 0; i < p->discs; i++) {
        share[i] = -log(random_between(seed, 1e-9, 1));
        share[i] *= share[i]; // nearer to sides and corners
        sum += share[i];
    }
    for (size_t i = 0; i < p->discs; i++) {
        at = hw_add(at, hw_scale(p->disc[i].at, share[i] / sum));
        radius += p->disc[i].radius * share[i] / sum;
    }
    double t = random_between(seed, -HW_PI, HW_PI);
    at = hw_add(at, (hw_vec2){radius * cos(t), radius * sin(t)});
    return hw_add(place.at, hw_flex(at, place.c, place.s));
}

static void distance_against_directions_and_points(void)
{
    uint64_t seed = 71;
    for (int i = 0; i < 400; i++) {
        hw_slab a = random_plate(&seed), b = random_plate(&seed);
        hw_place pa = random_place(&seed, 1), pb = random_place(&seed, 4);
        double exact = hw_slabs_gap(&a, pa, &b, pb), many = by_directions(&a, pa, &b, pb);
        CHECK(many <= exact + 1e-13);
        // separation changes by at most the distance of two points for a turned direction: 12 units
        // over half a step of 2 pi / 3000
        NEAR(many, exact, 12 * HW_PI / 3000);
        NEAR(hw_slabs_gap(&b, pb, &a, pa), exact, 1e-13); // either way round
        for (int k = 0; k < 200 && exact > 0; k++) {
            hw_vec2 p = random_point(&seed, &a, pa), q = random_point(&seed, &b, pb);
            CHECK(hw_norm(hw_sub(p, q)) >= exact - 1e-13);
        }
    }
}

static void known_distances(void)
{
    hw_disc square[4] = {{{-1, -1}, 0}, {{1, -1}, 0}, {{1, 1}, 0}, {{-1, 1}, 0}};
    hw_slab s = hw_slab_of(0, 1, HW_SLAB_BODY, 4, square);
    CHECK(s.edges == 4);
    hw_slab one = hw_slab_of(0, 2, HW_SLAB_TANG, 1, &(hw_disc){{0, 0}, 0.5});
    CHECK(one.edges == 0);
    NEAR(hw_slabs_gap(&s, here, &one, (hw_place){{3, 0.3}, 1, 0}), 1.5, 1e-15); // on a side
    NEAR(hw_slabs_gap(&s, here, &one, (hw_place){{4, 5}, 1, 0}), 4.5, 1e-15);   // 3, 4, 5 corner
    // overlap: the shortest way out is to the right, 0.25 and the radius
    NEAR(hw_slabs_gap(&s, here, &one, (hw_place){{0.75, 0}, 1, 0}), -0.75, 1e-15);
    // a corner of a square turned by 45 degrees toward a side
    hw_place turned = {{1.5 + sqrt(2), 0}, sqrt(0.5), sqrt(0.5)};
    NEAR(hw_slabs_gap(&s, here, &s, turned), 0.5, 1e-14);
}

static void coincident_nested_and_flat(void)
{
    hw_disc same[3] = {{{1, 2}, 3}, {{1, 2}, 3}, {{1, 2}, 3}};
    hw_slab p = hw_slab_of(0, 1, HW_SLAB_BODY, 3, same);
    CHECK(p.edges == 0);
    NEAR(p.round.radius, 3, 1e-15);
    hw_disc nested[2] = {{{0, 0}, 2}, {{0.5, 0}, 1}};
    p = hw_slab_of(0, 1, HW_SLAB_BODY, 2, nested);
    CHECK(p.edges == 0);
    hw_slab dot = hw_slab_of(0, 2, HW_SLAB_TANG, 1, &(hw_disc){{0, 0}, 0});
    NEAR(hw_slabs_gap(&p, here, &dot, (hw_place){{5, 0}, 1, 0}), 3, 1e-15);
    hw_disc line[3] = {{{0, 0}, 0}, {{1, 0}, 0}, {{2, 0}, 0}}; // in line, no height
    p = hw_slab_of(0, 1, HW_SLAB_BODY, 3, line);
    NEAR(hw_slabs_gap(&p, here, &dot, (hw_place){{1.2, 0.7}, 1, 0}), 0.7, 1e-15);
    NEAR(hw_slabs_gap(&dot, here, &dot, here), 0, 1e-15);
}

static void wide_middle_has_four_sides(void)
{
    hw_disc disc[3] = {{{-3, 0}, 0.2}, {{0, 0}, 1}, {{3, 0}, 0.2}};
    hw_slab p = hw_slab_of(0, 1, HW_SLAB_BODY, 3, disc);
    CHECK(p.edges == 4);
    hw_slab dot = hw_slab_of(0, 2, HW_SLAB_TANG, 1, &(hw_disc){{0, 0}, 0});
    NEAR(hw_slabs_gap(&p, here, &dot, (hw_place){{0, 2}, 1, 0}), 1, 1e-15);
}

static void names_say_part_and_kind(void)
{
    char name[48];
    hw_slab p = {.part = 2, .kind = HW_SLAB_WEB};
    SAME_TEXT(hw_slab_name(&p, false, name), "middle phalanx's web");
    SAME_TEXT(hw_slab_name(&p, true, name), "proximal phalanx's web");
    p = (hw_slab){.part = 4, .kind = HW_SLAB_FOOT};
    SAME_TEXT(hw_slab_name(&p, false, name), "bar A's foot");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(coincident_nested_and_flat);
    RUN(known_distances);
    RUN(wide_middle_has_four_sides);
    RUN(distance_against_directions_and_points);
    RUN(names_say_part_and_kind);
    return TEST_END();
}
