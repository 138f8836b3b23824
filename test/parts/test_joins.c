// Where walls, strips and holes of a digit's parts meet: as much material as there is room for, and
// no teeth.
#include "group.h"

static const double mm = 1e-3; // [m]

static bool make(group *g, int digit)
{
    *g = group_new();
    hw_design *d = example(g->keep, "heron", "");
    if (d && group_make(g, d, digit, 5e-6)) return true;
    group_free(g);
    return false;
}

static hw_vec2 on_bed(const group *g, hw_vec2 straight) // of the straight digit [m]
{
    hw_vec2 q = hw_flex(straight, g->set.bed.c, g->set.bed.s);
    return (hw_vec2){g->set.bed.knuckle.x + q.x, g->set.bed.knuckle.z + g->set.bed.up * q.z};
}

// The run of material along x at a height that goes through or lies nearest to x = at.
static void run_at(const hw_section *s, double z, double at, double x[2]) // [m]
{
    double step = 0.01 * mm, from = at;
    while (!inside(s, (hw_vec2){from, z}) && from < at + 30 * mm) from += step;
    for (x[0] = from; inside(s, (hw_vec2){x[0] - step, z});) x[0] -= step;
    for (x[1] = from; inside(s, (hw_vec2){x[1] + step, z});) x[1] += step;
}

// The strip over bar B joins both halves of the middle phalanx all along where both have a wall,
// less a line at either end.
static void strips_reach_from_wall_to_wall(void)
{
    group g;
    if (!make(&g, 4)) return;
    size_t i = 0;
    part_of(&g, 2, &i);
    int layer = g.layers.bar[1].layer[0];
    double line = g.layers.line, up = g.set.bed.up;
    double joint = g.digit.phalanx[0], middle = joint + 0.5 * g.digit.phalanx[1];
    hw_vec2 top = on_bed(&g, (hw_vec2){middle, -g.digit.thickness[2] / 2 + 2 * mm});
    hw_section s = middle_of(&g, i, up * g.layers.layer[layer].y);
    double x[2], both[2] = {-INFINITY, INFINITY};
    run_at(&s, top.z, top.x, x);
    for (int side = -1; side <= 1; side += 2) {
        double wall[2];
        hw_section beside = middle_of(&g, i, up * g.layers.layer[layer + side].y);
        run_at(&beside, top.z, top.x, wall);
        both[0] = fmax(both[0], wall[0] + line);
        both[1] = fmin(both[1], wall[1] - line);
    }
    CHECK(x[1] <= both[1] + 0.1 * line);
    if (!CHECK(fmax(x[0], both[0]) < both[0] + 0.1 * line && x[1] > both[1] - 0.1 * line))
        printf("    %.2f of %.2f mm\n", (x[1] - x[0]) / mm, (both[1] - both[0]) / mm);
    group_free(&g);
}

// Under bar A's pin the shelf comes as near the tang that turns below it as the gap lets it.
static void shelves_are_deep(void)
{
    group g;
    if (!make(&g, 1)) return;
    size_t i = 0;
    part_of(&g, 2, &i);
    const hw_bar_place *a = &g.layers.bar[0];
    hw_section s = middle_of(&g, i, g.set.bed.up * g.layers.layer[a->on[0][1]].y);
    double horn = g.digit.bar[0].horn, turn = g.digit.bar[0].horn_angle, joint = g.digit.phalanx[0];
    hw_vec2 axis = on_bed(&g, (hw_vec2){joint, 0});
    hw_vec2 pin = on_bed(&g, (hw_vec2){joint + horn * cos(turn), horn * sin(turn)});
    double near = INFINITY;
    for (double x = axis.x; x < pin.x; x += 0.02 * mm)
        for (double z = axis.z + 0.3 * horn; z < pin.z; z += 0.02 * mm)
            if (inside(&s, (hw_vec2){x, z})) near = fmin(near, hypot(x - axis.x, z - axis.z));
    double least = g.layers.fork[1].tang_radius + g.def.gap;
    if (!CHECK(near > least - 0.01 * mm && near < least + 0.25 * g.layers.line))
        printf("    %.3f of %.3f mm\n", near / mm, least / mm);
    group_free(&g);
}

// Between the pulley's groove and a knot's hole no tooth is left at the hole's ridges.
static void no_tooth_beside_a_knot(void)
{
    group g;
    if (!make(&g, 2)) return;
    size_t i = 0;
    part_of(&g, 1, &i);
    hw_fittings held;
    CHECK(hw_fittings_of(&g.def.fittings, &g.digit, &g.layers, &held) == HW_OK && held.pulley);
    const hw_pulley p = held.wheel;
    hw_section s = middle_of(&g, i, g.set.bed.up * (p.y + 0.9 * p.half[1]));
    double ridge = p.knot_radius / sin(41 * HW_PI / 180);
    for (int e = -1; e <= 1; e += 2) {
        double z = p.knot[0].z + e * 0.97 * ridge;
        double from = sqrt(p.channel * p.channel - z * z) - 0.2 * mm;
        CHECK(from < p.knot[0].x);
        for (double x = from; x < p.knot[0].x; x += 0.05 * mm)
            CHECK(!inside(&s, on_bed(&g, (hw_vec2){x, z})));
        CHECK(inside(&s, on_bed(&g, (hw_vec2){p.knot[0].x, p.knot[0].z + e * 1.1 * ridge})));
    }
    group_free(&g);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(strips_reach_from_wall_to_wall);
    RUN(shelves_are_deep);
    RUN(no_tooth_beside_a_knot);
    return TEST_END();
}
