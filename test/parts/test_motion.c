// Parts of the examples' digits: apart by the printer's gap where they are printed, and clear of
// each other over the whole stroke, judged on the meshes.
//   test_parts_motion        four digits of the examples, in few poses
//   test_parts_motion all    every digit in every variant, in many
#include "apart.h"

static bool all;

typedef struct sample {
    const char *name, *variant;
    int digit;
} sample;

static bool make(group *g, const sample *s, double deviation) // [m]
{
    *g = group_new();
    hw_design *d = example(g->keep, s->name, s->variant);
    if (d && hand_of(d)->present[s->digit] && group_make(g, d, s->digit, deviation)) return true;
    group_free(g);
    return false;
}

static void apart_as_printed(group *g, const sample *s)
{
    nearest n = group_gap(g, 0.2e-3, 2 * g->def.gap);
    // thinner layers than are printed find what falls between
    nearest thin = *s->variant ? n : group_gap(g, 0.07e-3, 2 * g->def.gap);
    bool ok = CHECK(n.gap >= g->def.gap - 0.02e-3) && CHECK(thin.gap >= g->def.gap - 0.02e-3);
    if (!ok || all)
        printf("    %s %s: %s and %s, %.4f mm at %.2f %.2f %.2f\n", s->name, s->variant,
               g->set.part[thin.a].name, g->set.part[thin.b].name, thin.gap * 1e3, thin.at[0] * 1e3,
               thin.at[1] * 1e3, thin.z * 1e3);
}

static void clear_over_the_stroke(group *g, const sample *s)
{
    size_t meets = 0;
    const int steps = !all ? 8 : *s->variant ? 16 : 32;
    for (int i = 0; i <= steps; i++)
        meets += group_meets(g, i / (double)steps, SIZE_MAX, (hw_vec3){0, 0, 0});
    if (!CHECK(meets == 0)) printf("    %s %s digit %d\n", s->name, s->variant, s->digit);
}

static const double FINE = 5e-6; // chords [m]

// Four digits, each made anew.
static void some(void (*test)(group *, const sample *), double deviation) // [m]
{
    static const sample s[] = {
        {"heron", "", 1}, {"heron", "", 4}, {"heron", "", 0}, {"wren", "", 1}};
    for (size_t i = 0; i < sizeof s / sizeof *s; i++) {
        group g;
        if (!make(&g, &s[i], deviation)) continue;
        test(&g, &s[i]);
        group_free(&g);
    }
}

static void gaps_of_slices(void)
{
    some(apart_as_printed, FINE);
}
static void poses_of_the_stroke(void)
{
    some(clear_over_the_stroke, 50e-6);
}

// Each made once, for both.
static void gaps_and_poses_of_all(void)
{
    static const char *const variants[][2] = {
        {"heron", ""}, {"heron", "small"}, {"heron", "plain printer"}, {"heron", "fine printer"},
        {"wren", ""},  {"wren", "tiny"},   {"wren", "weak cord"}};
    for (size_t i = 0; i < sizeof variants / sizeof *variants; i++)
        for (int digit = 0; digit < 5; digit++) {
            group g;
            const sample s = {variants[i][0], variants[i][1], digit};
            if (!make(&g, &s, FINE)) continue;
            apart_as_printed(&g, &s);
            clear_over_the_stroke(&g, &s);
            group_free(&g);
        }
}

// A part moved by 0.3 mm along any axis comes too near in some slice, or meets another in some
// pose.
static void a_part_moved_is_seen(void)
{
    group g;
    if (!make(&g, &(sample){"heron", "", 1}, 50e-6)) return;
    for (size_t part = 1; part < g.set.parts; part++)
        for (int way = 0; way < 4 && g.set.part[part].body >= 0; way++) {
            double d = way % 2 ? 0.3e-3 : -0.3e-3;
            hw_vec3 by = {way < 2 ? d : 0, way < 2 ? 0 : d, 0};
            hw_mesh *m = &g.mesh[part];
            for (size_t v = 0; v < m->verts; v++)
                m->vert[v] = (hw_vec3){m->vert[v].x + by.x, m->vert[v].y + by.y, m->vert[v].z};
            CHECK(group_gap(&g, 0.2e-3, 2 * g.def.gap).gap < g.def.gap - 0.02e-3);
            for (size_t v = 0; v < m->verts; v++)
                m->vert[v] = (hw_vec3){m->vert[v].x - by.x, m->vert[v].y - by.y, m->vert[v].z};
            size_t meets = 0;
            for (int i = 4; i >= 0 && way >= 2 && !meets; i--)
                meets += group_meets(&g, i / 4.0, part, by);
            CHECK(way < 2 || meets > 0);
        }
    group_free(&g);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    all = argc > 1 && strcmp(argv[1], "all") == 0;
    if (all) {
        RUN(gaps_and_poses_of_all);
        return TEST_END();
    }
    RUN(gaps_of_slices);
    RUN(poses_of_the_stroke);
    RUN(a_part_moved_is_seen);
    return TEST_END();
}
