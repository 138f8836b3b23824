// Unions of rounded hulls against closed forms, against points judged hull by hull, and against
// sections of solids; areas with arcs; arcs found in polygons.
#include "solid/region.h"

#include "base/rng.h"
#include "check.h"
#include "depth.h"
#include "make.h"

enum { DISCS = 4, MOST = 12 };

typedef struct scene {
    hw_circle disc[MOST][DISCS];
    hw_rounded hull[MOST];
    size_t n;
} scene;

static void add(scene *s, size_t discs, const hw_circle disc[])
{
    memcpy(s->disc[s->n], disc, discs * sizeof *disc);
    s->hull[s->n] = (hw_rounded){s->disc[s->n], discs};
    s->n++;
}

static void add_disc(scene *s, double x, double z, double r)
{
    add(s, 1, &(hw_circle){{x, z}, r});
}

static void add_box(scene *s, double x0, double z0, double x1, double z1)
{
    add(s, 4, (const hw_circle[]){{{x0, z0}, 0}, {{x1, z0}, 0}, {{x1, z1}, 0}, {{x0, z1}, 0}});
}

static hw_region joined(hw_arena *a, const scene *s)
{
    hw_region r = {0};
    hw_arena *work = hw_arena_new(0);
    CHECK(hw_region_of_hulls(a, work, s->hull, s->n, &r) == HW_OK);
    hw_arena_free(work);
    return r;
}

static void closed_forms(void)
{
    hw_arena *a = hw_arena_new(0);
    scene s = {.n = 0};
    CHECK(joined(a, &s).rings == 0);
    add_disc(&s, 1, 2, 3);
    hw_region r = joined(a, &s);
    CHECK(r.rings == 1 && r.ring[0].n == 3);
    CLOSE(hw_region_area(&r), 9 * HW_PI, 1e-14);
    add_disc(&s, 1, 2, 3); // twice the same
    add_disc(&s, 2, 2, 2); // touches from inside
    add_disc(&s, 1.5, 2, 1);
    r = joined(a, &s);
    CHECK(r.rings == 1);
    CLOSE(hw_region_area(&r), 9 * HW_PI, 1e-14);
    // two discs at distance 2 d: both areas less the lens 2 r^2 acos(d/r) - 2 d sqrt(r^2 - d^2)
    s.n = 0;
    add_disc(&s, -1, 0, 2);
    add_disc(&s, 1, 0, 2);
    r = joined(a, &s);
    CHECK(r.rings == 1);
    CLOSE(hw_region_area(&r), 8 * HW_PI - (8 * acos(0.5) - 2 * sqrt(3)), 1e-14);
    // touching from outside: two rings
    s.n = 0;
    add_disc(&s, -2, 0, 2);
    add_disc(&s, 1, 0, 1);
    r = joined(a, &s);
    CHECK(r.rings == 2);
    CLOSE(hw_region_area(&r), 5 * HW_PI, 1e-14);
    s.n = 0; // met half way round the first one
    add_disc(&s, 2, 0, 2);
    add_disc(&s, -1, 0, 1);
    r = joined(a, &s);
    CHECK(r.rings == 2);
    CLOSE(hw_region_area(&r), 5 * HW_PI, 1e-14);
    hw_arena_free(a);
}

// Boxes that share sides, lie in line, frame a hole, touch in a corner.
static void boxes(void)
{
    hw_arena *a = hw_arena_new(0);
    scene s = {.n = 0};
    add_box(&s, 0, 0, 2, 1);
    add_box(&s, 2, 0, 3, 1); // beside it: one box with four corners
    hw_region r = joined(a, &s);
    CHECK(r.rings == 1 && r.ring[0].n == 4);
    NEAR(hw_region_area(&r), 3, 1e-14);
    add_box(&s, 1, 0, 2.5, 1); // inside, on its edges
    r = joined(a, &s);
    CHECK(r.rings == 1 && r.ring[0].n == 4);
    add_box(&s, 0, 0, 1, 3);
    add_box(&s, 2, 1, 3, 3);
    add_box(&s, 0.5, 2, 2.5, 3);
    r = joined(a, &s); // a frame: hole of 1 by 1
    CHECK(r.rings == 2 && r.ring[0].n == 4 && r.ring[1].n == 4);
    NEAR(hw_region_area(&r), 8, 1e-14);
    NEAR(hw_profile_area(&r.ring[0]) * hw_profile_area(&r.ring[1]), -9, 1e-13);
    CHECK(!hw_region_holds(&r, (hw_vec2){1.5, 1.5}) && hw_region_holds(&r, (hw_vec2){0.5, 1.5}));
    s.n = 0;
    add_box(&s, 0, 0, 1, 1);
    add_box(&s, 1, 1, 2, 2);
    r = joined(a, &s);
    CHECK(r.rings == 2 && r.ring[0].n == 4 && r.ring[1].n == 4);
    NEAR(hw_region_area(&r), 2, 1e-14);
    s.n = 0; // the other one first, so that its ring comes past the common corner
    add_box(&s, 1, 1, 2, 2);
    add_box(&s, 0, 0, 1, 1);
    r = joined(a, &s);
    CHECK(r.rings == 2 && r.ring[0].n == 4 && r.ring[1].n == 4);
    add(&s, 2, (const hw_circle[]){{{0.2, 0}, 0}, {{1.5, 0}, 0}}); // a line on an edge and beyond
    add(&s, 2, (const hw_circle[]){{{0, 0}, 0}, {{0, 0.7}, 0}});
    r = joined(a, &s);
    CHECK(r.rings == 2 && r.ring[0].n == 4);
    NEAR(hw_region_area(&r), 2, 1e-14);
    // a disc on a box of its own width: sides run into the arc without a corner
    s.n = 0;
    add_box(&s, 0, -1, 4, 1);
    add_disc(&s, 4, 0, 1);
    r = joined(a, &s);
    CHECK(r.rings == 1 && r.ring[0].n == 5); // the half circle is two arcs
    NEAR(hw_region_area(&r), 8 + HW_PI / 2, 1e-13);
    hw_arena_free(a);
}

static double deepest(const scene *s, hw_vec2 p)
{
    double most = -INFINITY;
    for (size_t h = 0; h < s->n; h++) most = fmax(most, hull_depth(&s->hull[h], p));
    return most;
}

static void random_scene(scene *s, hw_rng *g, bool coarse)
{
    s->n = 0;
    size_t n = 1 + hw_rng_next(g) % MOST;
    while (s->n < n) {
        hw_circle d[DISCS];
        size_t discs = 1 + hw_rng_next(g) % DISCS;
        double extent = 0;
        for (size_t i = 0; i < discs; i++) {
            // small whole numbers: sides lie on each other, discs touch, corners meet
            d[i].at.x = coarse ? (double)(hw_rng_next(g) % 7) : hw_rng_uniform(g, 0, 7);
            d[i].at.z = coarse ? (double)(hw_rng_next(g) % 5) : hw_rng_uniform(g, 0, 5);
            d[i].radius = coarse ? (double)(hw_rng_next(g) % 3) : hw_rng_uniform(g, 0, 2);
            extent += hw_norm(hw_sub(d[i].at, d[0].at)) + d[i].radius;
        }
        if (extent > 0) add(s, discs, d);
    }
}

// Points off the boundary, and points a little to either side of every ring's every side.
static void points_agree(const scene *s, const hw_region *r, hw_rng *g)
{
    const double blind = 1e-7;
    for (int i = 0; i < 60; i++) {
        hw_vec2 p = {hw_rng_uniform(g, -2, 9), hw_rng_uniform(g, -2, 7)};
        double in = deepest(s, p);
        if (fabs(in) > blind) CHECK(hw_region_holds(r, p) == (in > 0));
    }
}

// The same union by the solid's section of polygons.
static double section_area(const scene *s, double deviation)
{
    hw_arena *keep = hw_arena_new(0), *work = hw_arena_new(0);
    hw_block block[MOST];
    size_t n = 0;
    for (size_t h = 0; h < s->n; h++) {
        hw_profile p;
        hw_polygon l;
        CHECK(hw_profile_hull(keep, s->hull[h].disc, s->hull[h].n, &p) == HW_OK);
        if (p.n < 3 && p.corner[0].bulge == 0) continue; // a line
        CHECK(hw_profile_polygon(keep, &p, deviation, &l) == HW_OK);
        block[n++] = (hw_block){HW_BLOCK_ADD, {0, 1}, {l, l}};
    }
    hw_solid solid = {block, n};
    hw_mesh_def def = hw_mesh_def_default();
    def.unit = 1;
    hw_section cut;
    hw_mesh_made made;
    CHECK(hw_solid_section(keep, work, &solid, &def, 0.5, NULL, &cut, &made) == HW_OK);
    double sum = 0;
    for (size_t i = 0; i < cut.rings; i++) sum += hw_polygon_area(&cut.ring[i]);
    hw_arena_free(keep);
    hw_arena_free(work);
    return sum;
}

static double length_of(const hw_region *r)
{
    double sum = 0;
    for (size_t k = 0; k < r->rings; k++)
        for (size_t i = 0; i < r->ring[k].n; i++) {
            const hw_corner *c = &r->ring[k].corner[i],
                            *d = &r->ring[k].corner[(i + 1) % r->ring[k].n];
            double chord = hw_norm(hw_sub(d->at, c->at)), b = fabs(c->bulge);
            sum += b > 1e-6 ? chord * (1 + b * b) / (4 * b) * 4 * atan(b) : chord;
        }
    return sum;
}

static void random_scenes(void)
{
    hw_rng g = hw_rng_new(17, 0);
    hw_arena *a = hw_arena_new(0);
    for (int round = 0; round < 600; round++) {
        size_t mark = hw_arena_mark(a);
        scene s;
        random_scene(&s, &g, round % 2 == 0);
        hw_region r = joined(a, &s);
        points_agree(&s, &r, &g);
        if (round % 6 < 2) {
            // chords lose at most the deviation along the boundary; the section's grid 1e-5 of 9
            double deviation = 1e-4;
            double off = hw_region_area(&r) - section_area(&s, deviation);
            double most = 1e-12 + deviation * length_of(&r);
            if (!CHECK(off > -most && off < 2 * most))
                printf("    round %d: off by %g of %g\n", round, off, hw_region_area(&r));
        }
        if (hw_check.case_fails > 3) break;
        hw_arena_rewind(a, mark);
    }
    hw_arena_free(a);
}

// Every side of the rings has the inside on its left and the outside on its right.
static void sides_are_boundaries(void)
{
    hw_rng g = hw_rng_new(5, 0);
    hw_arena *a = hw_arena_new(0);
    for (int round = 0; round < 400; round++) {
        scene s;
        random_scene(&s, &g, round % 2 == 0);
        hw_region r = joined(a, &s);
        for (size_t k = 0; k < r.rings; k++)
            for (size_t i = 0; i < r.ring[k].n; i++) {
                hw_corner c = r.ring[k].corner[i], d = r.ring[k].corner[(i + 1) % r.ring[k].n];
                hw_vec2 chord = hw_sub(d.at, c.at);
                hw_vec2 normal = {-chord.z / hw_norm(chord), chord.x / hw_norm(chord)};
                hw_vec2 mid = hw_add(hw_scale(hw_add(c.at, d.at), 0.5),
                                     hw_scale(normal, -c.bulge * hw_norm(chord) / 2));
                NEAR(deepest(&s, mid), 0, 1e-7);
                double step = 1e-6 + 1e-3 * fmin(hw_norm(chord), 1); // a sliver may be thinner
                CHECK(hw_norm(chord) < 1e-3 ||
                      deepest(&s, hw_add(mid, hw_scale(normal, step))) > 0);
                CHECK(hw_norm(chord) < 1e-3 ||
                      deepest(&s, hw_sub(mid, hw_scale(normal, step))) < 0);
            }
    }
    hw_arena_free(a);
}

// Half as large: the same bits, halved. A tenth: the same but for rounding.
static void scales(void)
{
    hw_rng g = hw_rng_new(23, 0);
    hw_arena *a = hw_arena_new(0);
    for (int round = 0; round < 200; round++) {
        scene s;
        random_scene(&s, &g, round % 2 == 0);
        scene half = s, tenth = s;
        for (size_t h = 0; h < s.n; h++)
            for (size_t i = 0; i < s.hull[h].n; i++) {
                hw_circle d = s.disc[h][i];
                half.disc[h][i] = (hw_circle){hw_scale(d.at, 0.5), d.radius * 0.5};
                tenth.disc[h][i] = (hw_circle){hw_scale(d.at, 1e-4), d.radius * 1e-4};
            }
        for (size_t h = 0; h < s.n; h++) {
            half.hull[h].disc = half.disc[h];
            tenth.hull[h].disc = tenth.disc[h];
        }
        hw_region r = joined(a, &s), p = joined(a, &half), q = joined(a, &tenth);
        CHECK(hw_region_area(&p) == hw_region_area(&r) / 4);
        CHECK(q.rings == r.rings);
        CLOSE(hw_region_area(&q), hw_region_area(&r) * 1e-8, 1e-9);
    }
    hw_arena_free(a);
}

static void bad_input(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_region r = {NULL, 7};
    hw_circle negative = {{0, 0}, -1};
    hw_rounded hull = {&negative, 1};
    CHECK(hw_region_of_hulls(a, a, &hull, 1, &r) == HW_BAD_INPUT && r.rings == 0);
    hull.n = 0;
    CHECK(hw_region_of_hulls(a, a, &hull, 1, &r) == HW_BAD_INPUT);
    hw_profile p;
    hw_polygon two = {(hw_vec2[]){{0, 0}, {1, 0}}, 2};
    hw_polygon odd = {(hw_vec2[]){{0, 0}, {1, 0}, {(double)NAN, 1}}, 3};
    CHECK(hw_profile_of_polygon(a, &two, 1e-3, &p) == HW_BAD_INPUT);
    CHECK(hw_profile_of_polygon(a, &odd, 1e-3, &p) == HW_BAD_INPUT);
    odd.at[2].x = 0;
    CHECK(hw_profile_of_polygon(a, &odd, 0, &p) == HW_BAD_INPUT && p.n == 0);
    CHECK(hw_profile_of_polygon(a, &odd, 1e-3, &p) == HW_OK && p.n == 3);
    hw_arena_free(a);
}

// Discs that touch others from inside, on grids that rounding shifts: their hull is found, and
// holds them.
static void discs_touch_inside_hulls(void)
{
    hw_rng g = hw_rng_new(41, 0);
    hw_arena *a = hw_arena_new(0);
    for (int round = 0; round < 4000; round++) {
        scene s;
        random_scene(&s, &g, true);
        double k = hw_rng_uniform(&g, 1e-4, 1e-3);
        hw_vec2 off = {hw_rng_uniform(&g, -1, 1), hw_rng_uniform(&g, -1, 1)};
        for (size_t i = 0; i < s.hull[0].n; i++) {
            s.disc[0][i].at = hw_scale(hw_add(s.disc[0][i].at, off), k);
            s.disc[0][i].radius *= k;
        }
        size_t mark = hw_arena_mark(a);
        hw_profile p = {0};
        CHECK(hw_profile_hull(a, s.disc[0], s.hull[0].n, &p) == HW_OK);
        for (size_t i = 0; i < p.n; i++)
            NEAR(hull_depth(&s.hull[0], p.corner[i].at), 0, 1e-8 * 9 * k);
        hw_arena_rewind(a, mark);
    }
    hw_arena_free(a);
}

// Wherever memory ends: a code, and nothing half done.
static void memory_runs_out(void)
{
    hw_rng g = hw_rng_new(3, 0);
    scene s;
    random_scene(&s, &g, true);
    for (size_t n = 0, failed = 1; failed; n++) {
        hw_arena *keep = hw_arena_new(0), *work = hw_arena_new(0);
        hw_region r = {0};
        hw_arena_fail_after(n % 2 ? keep : work, n / 2);
        hw_code code = hw_region_of_hulls(keep, work, s.hull, s.n, &r);
        failed = code == HW_NO_MEMORY || n < 40;
        CHECK(code == HW_OK || (code == HW_NO_MEMORY && r.rings == 0));
        hw_arena_free(keep);
        hw_arena_free(work);
    }
}

// A stadium and a circle as polygons: their arcs come back, their corners stay.
static void arcs_come_back(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_circle disc[2] = {{{0, 0}, 3e-3}, {{20e-3, 1e-3}, 2e-3}};
    hw_profile want, got;
    hw_polygon l;
    CHECK(hw_profile_hull(a, disc, 2, &want) == HW_OK);
    CHECK(hw_profile_polygon(a, &want, 2e-6, &l) == HW_OK);
    CHECK(l.n > 40);
    CHECK(hw_profile_of_polygon(a, &l, 2e-6, &got) == HW_OK);
    CHECK(got.n <= 8);
    CLOSE(hw_profile_area(&got), hw_profile_area(&want), 1e-6);
    CHECK(fabs(hw_polygon_area(&l) / hw_profile_area(&want) - 1) > 1e-4); // chords lose more
    CHECK(hw_polygon_circle(a, disc[0], 64, &l) == HW_OK);
    CHECK(hw_profile_of_polygon(a, &l, 4e-6, &got) == HW_OK);
    CHECK(got.n == 2);
    CLOSE(hw_profile_area(&got), HW_PI * 9e-6, 1e-9);
    for (size_t i = 0; i < l.n / 2; i++) { // the other way round: a hole
        hw_vec2 p = l.at[i];
        l.at[i] = l.at[l.n - 1 - i];
        l.at[l.n - 1 - i] = p;
    }
    CHECK(hw_profile_of_polygon(a, &l, 4e-6, &got) == HW_OK);
    CLOSE(hw_profile_area(&got), -HW_PI * 9e-6, 1e-9);
    // an octagon, a box and a zigzag are no circles
    CHECK(hw_polygon_circle(a, disc[0], 8, &l) == HW_OK);
    CHECK(hw_profile_of_polygon(a, &l, 1e-6, &got) == HW_OK && got.n == 8);
    for (size_t i = 0; i < got.n; i++) CHECK(got.corner[i].bulge == 0);
    hw_vec2 zigzag[10];
    for (int i = 0; i < 10; i++) zigzag[i] = (hw_vec2){i * 1e-3, (i % 2 + (i > 8)) * 1e-4};
    l = (hw_polygon){zigzag, 10};
    CHECK(hw_profile_of_polygon(a, &l, 1e-6, &got) == HW_OK && got.n == 10);
    NEAR(hw_profile_area(&got), hw_polygon_area(&l), 1e-20);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(closed_forms);
    RUN(boxes);
    RUN(random_scenes);
    RUN(sides_are_boundaries);
    RUN(scales);
    RUN(bad_input);
    RUN(discs_touch_inside_hulls);
    RUN(memory_runs_out);
    RUN(arcs_come_back);
    return TEST_END();
}
