// Outlines of parts in layers: against points judged plate by plate, against sections of solids,
// and against the clearances.
#include "check.h"
#include "random_stack.h"

#include "../solid/depth.h"

static hw_arena *arena, *work;

// A part's plates in a layer as rounded hulls at a place.
typedef struct plates {
    hw_circle disc[HW_STACK_SLABS][HW_SLAB_DISCS];
    hw_rounded hull[HW_STACK_SLABS];
    size_t n;
    hw_vec2 low, high;
} plates;

static void plates_of(const hw_stack *k, int layer, int part, hw_place place, plates *out)
{
    out->n = 0;
    out->low = (hw_vec2){INFINITY, INFINITY};
    out->high = (hw_vec2){-INFINITY, -INFINITY};
    for (size_t i = 0; i < k->n; i++) {
        const hw_slab *p = &k->plate[i];
        if (p->layer != layer || p->part != part) continue;
        hw_circle *d = out->disc[out->n];
        for (size_t j = 0; j < p->discs; j++) {
            // x turns toward -z
            hw_vec2 a = p->disc[j].at;
            d[j].at.x = place.at.x + a.x * place.c + a.z * place.s;
            d[j].at.z = place.at.z - a.x * place.s + a.z * place.c;
            d[j].radius = p->disc[j].radius;
            out->low.x = fmin(out->low.x, d[j].at.x - d[j].radius);
            out->low.z = fmin(out->low.z, d[j].at.z - d[j].radius);
            out->high.x = fmax(out->high.x, d[j].at.x + d[j].radius);
            out->high.z = fmax(out->high.z, d[j].at.z + d[j].radius);
        }
        out->hull[out->n++] = (hw_rounded){d, p->discs};
    }
}

static double deepest(const plates *s, hw_vec2 p)
{
    double most = -INFINITY;
    for (size_t h = 0; h < s->n; h++) most = fmax(most, hull_depth(&s->hull[h], p));
    return most;
}

static double length_of(const hw_region *r)
{
    double sum = 0;
    for (size_t k = 0; k < r->rings; k++)
        for (size_t i = 0; i < r->ring[k].n; i++) {
            hw_corner c = r->ring[k].corner[i], d = r->ring[k].corner[(i + 1) % r->ring[k].n];
            sum += hw_norm(hw_sub(d.at, c.at)) * (1 + c.bulge * c.bulge); // at least
        }
    return sum;
}

// Points on a grid: each is inside or outside as its plates say; their count gives the area.
static void sampled(const plates *s, const hw_region *r)
{
    enum { NX = 90, NZ = 40 };
    hw_vec2 size = hw_sub(s->high, s->low);
    double cell = fmax(size.x / NX, size.z / NZ), extent = fmax(size.x, size.z), sum = 0;
    for (int i = 0; i < NX; i++)
        for (int k = 0; k < NZ; k++) {
            hw_vec2 p = {s->low.x + (i + 0.5) * size.x / NX, s->low.z + (k + 0.5) * size.z / NZ};
            double in = deepest(s, p);
            if (in > 0) sum += size.x / NX * size.z / NZ;
            if (fabs(in) > 1e-7 * extent) CHECK(hw_region_holds(r, p) == (in > 0));
        }
    // a cell is wrong only where the boundary runs through it
    NEAR(hw_region_area(r), sum, cell * length_of(r));
}

static void sectioned(const plates *s, const hw_region *r)
{
    static hw_block block[HW_STACK_SLABS];
    const double deviation = 1e-7;
    size_t mark = hw_arena_mark(arena);
    for (size_t h = 0; h < s->n; h++) {
        hw_profile p;
        hw_polygon l;
        CHECK(hw_profile_hull(arena, s->hull[h].disc, s->hull[h].n, &p) == HW_OK);
        CHECK(hw_profile_polygon(arena, &p, deviation, &l) == HW_OK);
        block[h] = (hw_block){HW_BLOCK_ADD, {0, 1e-3}, {l, l}};
    }
    hw_solid solid = {block, s->n};
    hw_mesh_def def = hw_mesh_def_default();
    hw_section cut;
    hw_mesh_made made;
    CHECK(hw_solid_section(arena, work, &solid, &def, 5e-4, NULL, &cut, &made) == HW_OK);
    double sum = 0;
    for (size_t i = 0; i < cut.rings; i++) sum += hw_polygon_area(&cut.ring[i]);
    // chords and grid steps along the boundary
    NEAR(sum, hw_region_area(r), (deviation + 2 * made.grid) * length_of(r));
    hw_arena_rewind(arena, mark);
}

static double boundary_gap(const hw_region *r, const plates *other)
{
    double least = INFINITY;
    for (size_t k = 0; k < r->rings; k++)
        for (size_t i = 0; i < r->ring[k].n; i++) {
            hw_corner c = r->ring[k].corner[i], d = r->ring[k].corner[(i + 1) % r->ring[k].n];
            hw_vec2 chord = hw_sub(d.at, c.at);
            for (int t = 0; t < 16; t++) { // points of the side, on the arc at its middle
                double u = t / 16.0, sag = 4 * u * (1 - u) * c.bulge / 2;
                hw_vec2 p = hw_add(c.at, hw_scale(chord, u));
                p = hw_add(p, (hw_vec2){chord.z * sag, -chord.x * sag});
                least = fmin(least, -deepest(other, p));
            }
        }
    return least;
}

static void random_stacks(void)
{
    static plates s, other;
    uint64_t seed = 77;
    int kinds = 0, regions = 0, holes = 0;
    for (int round = 0; round < 24; round++) {
        hw_digit d;
        hw_layers_def f;
        hw_layers l;
        static hw_stack k;
        hw_digit_pose pose;
        hw_place place[HW_STACK_PARTS];
        random_stack(&seed, &d, &f);
        if (hw_layers_of(&f, &d, &l) != HW_OK || hw_stack_of(&d, &l, &k) != HW_OK) continue;
        if (hw_digit_family_of(d.family)->pose(&d, hw_stack_printed(&d), &pose) != HW_OK) continue;
        hw_stack_place(&pose, place);
        hw_clearance printed, stroke;
        hw_code code = hw_stack_clearances(&d, &k, &printed, &stroke);
        kinds++;
        for (int layer = 0; layer < (int)l.n; layer++)
            for (int part = 0; part < HW_STACK_PARTS; part++) {
                hw_region r;
                size_t mark = hw_arena_mark(arena);
                plates_of(&k, layer, part, place[part], &s);
                CHECK(hw_stack_profile(arena, work, &k, layer, part, place[part], &r) == HW_OK);
                CHECK((r.rings == 0) == (s.n == 0));
                if (s.n == 0) continue;
                regions++;
                holes += r.rings > 1;
                if (regions % 5 == 0) sampled(&s, &r);
                sectioned(&s, &r);
                for (int b = 0; b < HW_STACK_PARTS && code == HW_OK; b++) {
                    if (b == part) continue;
                    plates_of(&k, layer, b, place[b], &other);
                    if (other.n && printed.gap > 0)
                        CHECK(boundary_gap(&r, &other) >= printed.gap * (1 - 1e-9) - 1e-12);
                }
                hw_arena_rewind(arena, mark);
            }
    }
    CHECK(kinds > 12 && regions > 200 && holes > 2);
}

// The straight digit where the stroke has it, else the end nearest to it.
static void printed_pose(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    d.travel[0] = -0.5;
    d.travel[1] = 1.5;
    NEAR(hw_stack_printed(&d), 0.25, 1e-15);
    d.travel[0] = 0.2;
    NEAR(hw_stack_printed(&d), 0, 0);
    d.travel[0] = -0.5;
    d.travel[1] = -0.1;
    NEAR(hw_stack_printed(&d), 1, 0);
    d.family = HW_FAMILY_CORD;
    NEAR(hw_stack_printed(&d), 0, 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    work = hw_arena_new(0);
    RUN(random_stacks);
    RUN(printed_pose);
    hw_arena_free(arena);
    hw_arena_free(work);
    return TEST_END();
}
