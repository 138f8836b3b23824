// What a printer makes of one digit at fine quality: slices and the whole judgement, beside a plain
// way in the same run: every plane asks every triangle, every side is compared with every other.
#include "parts/parts.h"
#include "print/print.h"

#include <math.h>
#include <stdio.h>
#include <time.h>

enum { PARTS = 16, REPEATS = 5 };

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

typedef struct digit {
    hw_arena *keep, *work;
    hw_mesh mesh[PARTS];
    hw_print_part part[PARTS];
    size_t parts, tris;
} digit;

static bool make(digit *g)
{
    hw_parts_def def = hw_parts_def_default();
    hw_layers_def layers_def = hw_layers_def_default();
    hw_mesh_def mesh = hw_mesh_def_default();
    hw_digit d = hw_digit_default();
    static hw_layers layers;
    static hw_stack stack;
    hw_part_set set;
    if (hw_layers_of(&layers_def, &d, &layers) != HW_OK ||
        hw_stack_of(&d, &layers, &stack) != HW_OK ||
        hw_parts_digit(g->keep, g->work, &def, &d, &layers, &stack, NULL, &set) != HW_OK ||
        set.parts > PARTS)
        return false;
    for (size_t i = 0; i < set.parts; i++) {
        hw_mesh_made made;
        const hw_part *p = &set.part[i];
        if (hw_solid_mesh(g->keep, g->work, &p->solid, &mesh, NULL, &g->mesh[i], &made) != HW_OK)
            return false;
        g->part[i] = (hw_print_part){p->name, &g->mesh[i], p->allow, p->allows};
        g->tris += g->mesh[i].tris;
    }
    g->parts = set.parts;
    return true;
}

typedef struct side {
    double ax, ay, bx, by;
    size_t part;
} side;

// Sides of all parts in one plane, unordered. Returns how many.
static size_t plain_slice(const digit *g, double z, side *out)
{
    size_t n = 0;
    for (size_t p = 0; p < g->parts; p++)
        for (size_t t = 0; t < g->mesh[p].tris; t++) {
            const uint32_t *c = g->mesh[p].tri + 3 * t;
            double at[2][2];
            int k = 0;
            for (int i = 0; i < 3; i++) {
                hw_vec3 a = g->mesh[p].vert[c[i]], b = g->mesh[p].vert[c[(i + 1) % 3]];
                if ((a.z >= z) == (b.z >= z)) continue;
                double f = (z - a.z) / (b.z - a.z);
                at[k][0] = a.x + f * (b.x - a.x);
                at[k++][1] = a.y + f * (b.y - a.y);
            }
            if (k == 2) out[n++] = (side){at[0][0], at[0][1], at[1][0], at[1][1], p};
        }
    return n;
}

static double spot_to_side(double x, double y, const side *s)
{
    double dx = s->bx - s->ax, dy = s->by - s->ay, l = dx * dx + dy * dy;
    double t = l > 0 ? fmax(0, fmin(1, ((x - s->ax) * dx + (y - s->ay) * dy) / l)) : 0;
    return hypot(s->ax + t * dx - x, s->ay + t * dy - y);
}

static double plain_gap(const side *s, size_t n)
{
    double least = INFINITY;
    for (size_t i = 0; i < n; i++)
        for (size_t j = i + 1; j < n; j++) {
            if (s[i].part == s[j].part) continue;
            least = fmin(least, spot_to_side(s[i].ax, s[i].ay, &s[j]));
            least = fmin(least, spot_to_side(s[i].bx, s[i].by, &s[j]));
            least = fmin(least, spot_to_side(s[j].ax, s[j].ay, &s[i]));
            least = fmin(least, spot_to_side(s[j].bx, s[j].by, &s[i]));
        }
    return least;
}

int main(void)
{
    digit g = {.keep = hw_arena_new(1 << 20), .work = hw_arena_new(1 << 20)};
    if (!make(&g)) return 1;
    hw_print_def def = hw_print_def_default();
    hw_slices slices = {0};
    hw_print_report report = {0};
    size_t bad;
    double slicing = INFINITY, whole = INFINITY, plain_slicing = 0, plain_gaps = 0;
    for (int i = 0; i < REPEATS; i++) {
        double start = now();
        if (hw_slices_make(g.keep, g.work, g.part, g.parts, def.layer, NULL, &slices, &bad) !=
            HW_OK)
            return 1;
        double middle = now();
        if (hw_print_judge(g.keep, g.work, g.part, g.parts, &def, NULL, &report, &bad) != HW_OK)
            return 1;
        slicing = fmin(slicing, middle - start);
        whole = fmin(whole, now() - middle);
    }
    side *list = HW_NEW(g.work, side, g.tris);
    if (!list) return 1;
    double least = INFINITY;
    size_t sides = 0;
    for (size_t i = 0; i < slices.layers; i++) {
        double start = now();
        size_t n = plain_slice(&g, ((double)i + 0.5) * def.layer, list);
        double middle = now();
        double gap = plain_gap(list, n);
        plain_slicing += middle - start;
        plain_gaps += now() - middle;
        least = fmin(least, gap);
        sides += n;
    }
    bool same = fabs(least - report.gap.gap) <= 1e-9 * least || report.gap.gap == 0;
    printf("digit: %zu parts, %zu triangles, %zu layers, %zu sides\n", g.parts, g.tris,
           slices.layers, sides);
    printf("slices %.1f ms; whole judgement %.1f ms\n", slicing * 1e3, whole * 1e3);
    printf("plain slices %.1f ms (%.1f times); plain gaps within slices alone %.1f ms (%.1f times "
           "the whole judgement); least gap %.4f mm, %s\n",
           plain_slicing * 1e3, plain_slicing / slicing, plain_gaps * 1e3, plain_gaps / whole,
           report.gap.gap * 1e3, same ? "the same" : "NOT THE SAME");
    for (int q = 0; q < HW_PRINT_QUANTITIES; q++)
        printf("%-18s %12.6g  %s\n", hw_print_id((hw_print_quantity)q),
               hw_print_value(&report, &def, (hw_print_quantity)q),
               hw_print_note(g.keep, &report, g.part, &def, (hw_print_quantity)q));
    hw_arena_free(g.keep);
    hw_arena_free(g.work);
    return same ? 0 : 1;
}
