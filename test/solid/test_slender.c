// What would snap under a push at its top, against the beam's closed form and brute cases.
#include "check.h"

#include "solid/field.h"
#include "solid/slender.h"

#include <math.h>
#include <string.h>

enum { WIDE = 40, DEEP = 30, HIGH = 24, ALL = WIDE * DEEP * HIGH };

typedef struct block {
    float v[ALL];
    bool gone[ALL];
    bool any;
    hw_slender_post kept;
} block;

static size_t place(int x, int y, int z)
{
    return ((size_t)z * DEEP + (size_t)y) * WIDE + (size_t)x;
}

static void clear(block *b)
{
    for (size_t i = 0; i < ALL; i++) b->v[i] = 1;
    memset(b->gone, 0, sizeof b->gone);
}

static void fill(block *b, int x0, int x1, int y0, int y1, int z0, int z1)
{
    for (int z = z0; z < z1; z++)
        for (int y = y0; y < y1; y++)
            for (int x = x0; x < x1; x++) b->v[place(x, y, z)] = -1;
}

static void mark(block *b, double cell, double push, const int32_t (*kept)[3][2], size_t keeps)
{
    hw_arena *work = hw_arena_new(0);
    const hw_slender_def def = {.value = b->v,
                                .n = {WIDE, DEEP},
                                .layers = HIGH,
                                .cell = cell,
                                .push = push,
                                .kept = kept,
                                .keeps = keeps};
    memset(b->gone, 0, sizeof b->gone);
    CHECK(hw_slender_mark(work, &def, b->gone, &b->any, &b->kept) == HW_OK);
    hw_arena_free(work);
}

static size_t count(const block *b)
{
    size_t n = 0;
    for (size_t i = 0; i < ALL; i++) n += b->gone[i];
    return n;
}

// A post of b by d on a plate: W = b d^2 / 6 about its weak side. A push just under W / h leaves
// it, one just over takes all of it and nothing of the plate.
static void a_post_bends_as_a_beam(void)
{
    static block s;
    static const int size[][3] = {{3, 3, 10}, {3, 9, 12}, {8, 2, 20}, {1, 1, 4}, {5, 4, 18}};
    const double cell = 0.25e-3;
    for (size_t i = 0; i < sizeof size / sizeof *size; i++) {
        const int b = size[i][0], d = size[i][1], h = size[i][2];
        clear(&s);
        fill(&s, 2, 38, 2, 28, 0, 3);
        fill(&s, 10, 10 + b, 10, 10 + d, 3, 3 + h);
        const double w = fmax(b, d) * fmin(b, d) * fmin(b, d) / 6 * pow(cell, 3);
        const double most = w / ((h - 0.5) * cell); // from the middle of its first layer
        mark(&s, cell, 0.999 * most, NULL, 0);
        CHECK(!s.any && count(&s) == 0 && isinf(s.kept.push));
        mark(&s, cell, 1.001 * most, NULL, 0);
        CHECK(s.any && count(&s) == (size_t)(b * d * h));
        const int32_t round[1][3][2] = {{{9, 9 + b}, {9, 9 + d}, {3 + h / 2, 30}}};
        mark(&s, cell, 1.001 * most, round, 1);
        CHECK(!s.any && count(&s) == 0);
        CLOSE(s.kept.push, most, 1e-12);
        CHECK(s.kept.place[2] == 3);
    }
}

// Askew it is as strong as upright: second moments turn with it.
static void a_fin_askew(void)
{
    static block s;
    double least[2];
    for (int turned = 0; turned < 2; turned++) {
        clear(&s);
        fill(&s, 0, WIDE, 0, DEEP, 0, 2);
        const double a = turned ? 0.5 : 0;
        for (int z = 2; z < 20; z++)
            for (int y = 0; y < DEEP; y++)
                for (int x = 0; x < WIDE; x++) {
                    const double u = (x - 20) * cos(a) + (y - 15) * sin(a);
                    const double v = (y - 15) * cos(a) - (x - 20) * sin(a);
                    if (fabs(u) < 9.5 && fabs(v) < 3.5) s.v[place(x, y, z)] = -1;
                }
        const int32_t all[1][3][2] = {{{0, WIDE}, {0, DEEP}, {4, HIGH}}};
        mark(&s, 1e-3, 1, all, 1);
        least[turned] = s.kept.push;
    }
    CLOSE(least[1], least[0], 0.12); // stairs at its sides
}

// Two legs under a lintel stand together; what is gone below takes along what stands on it alone.
static void legs_stand_together(void)
{
    static block s;
    clear(&s);
    fill(&s, 0, WIDE, 0, DEEP, 0, 2);
    fill(&s, 5, 8, 10, 13, 2, 14);
    fill(&s, 25, 28, 10, 13, 2, 14);
    const double one = 3.0 * 9 / 6 / 11.5; // a leg's, by cells
    mark(&s, 1, 1.5 * one, NULL, 0);
    CHECK(count(&s) == 2 * 9 * 12);
    fill(&s, 5, 28, 10, 13, 14, 16);
    mark(&s, 1, 1.5 * one * 11.5 / 13.5, NULL, 0); // both legs: twice one's about the weak side
    CHECK(!s.any);
    mark(&s, 1, 2.1 * one * 11.5 / 13.5, NULL, 0);
    CHECK(count(&s) == 2 * 9 * 12 + 23 * 3 * 2);
    // thinner at its root than above
    clear(&s);
    fill(&s, 0, WIDE, 0, DEEP, 0, 2);
    fill(&s, 10, 12, 10, 12, 2, 4);
    fill(&s, 8, 14, 8, 14, 4, 12);
    mark(&s, 1, 8.0 / 6 / 9.5 * 1.01, NULL, 0);
    CHECK(count(&s) == 4 * 2 + 36 * 8);
    // what is in the air is not told
    clear(&s);
    fill(&s, 10, 12, 10, 12, 5, 20);
    fill(&s, 0, WIDE, 0, DEEP, 0, 2);
    mark(&s, 1, 1e-9, NULL, 0);
    CHECK(!s.any);
}

// Through hw_field_standing: the post goes from its foot up, the wall beside it and the plate stay
// as they were; in a box it stays, and what it bears is told.
static void posts_go_where_it_stands(void)
{
    const hw_frame plain = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    hw_arena *a = hw_arena_new(0), *work = hw_arena_new(0);
    const hw_field *part[] = {
        hw_field_box(a, &plain, (hw_vec3){-12, -12, 0}, (hw_vec3){12, 12, 3}),
        hw_field_box(a, &plain, (hw_vec3){-1.1, -1.1, 2}, (hw_vec3){1.1, 1.1, 15}),
        hw_field_box(a, &plain, (hw_vec3){-10, 6, 2}, (hw_vec3){10, 9, 15})};
    const hw_field *f = hw_field_union(a, part, 3), *out = NULL;
    hw_standing_def def = {.cell = 0.25, .least = 0.6, .lean = {0.9, 1}, .push = 0.3};
    hw_standing_made made;
    CHECK(hw_field_standing(a, work, f, &def, NULL, &out, &made) == HW_OK);
    CLOSE(made.taken, 2.2 * 2.2 * 12, 0.08);
    CHECK(isinf(made.post));
    for (int i = 0; i < 1000; i++) {
        const hw_vec3 p = {0.3 * (i % 10) - 1.4, 0.3 * (i / 10 % 10) - 1.4, 3.3 + 1.3 * (i / 100)};
        CHECK(!(hw_field_at(out, p) < 0));
        const hw_vec3 wall = {2 * (i % 10) - 9.0, 6.3 + 0.27 * (i / 10 % 10), p.z > 14 ? 14 : p.z};
        CHECK(hw_field_at(out, wall) < 0);
    }
    CHECK(hw_field_at(out, (hw_vec3){0, 0, 2.5}) < 0);
    const hw_vec3 box[1][2] = {{{-3, -3, 6}, {3, 3, 9}}};
    def.kept = box;
    def.keeps = 1;
    CHECK(hw_field_standing(a, work, f, &def, NULL, &out, &made) == HW_OK);
    CHECK(hw_field_at(out, (hw_vec3){0, 0, 14}) < 0);
    CLOSE(made.post, 2.2 * 2.2 * 2.2 / 6 / 12, 0.12);
    NEAR(hypot(made.post_at.x, made.post_at.y), 0, 0.3);
    NEAR(made.post_at.z, 3.1, 0.3);
    hw_arena_free(work);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_post_bends_as_a_beam);
    RUN(a_fin_askew);
    RUN(legs_stand_together);
    RUN(posts_go_where_it_stands);
    return TEST_END();
}
