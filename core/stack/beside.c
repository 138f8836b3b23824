// What lies beside the ends of bars and keeps them on their cones.
#include "stack/stack_internal.h"

#include <math.h>

enum { STATIONS = 24 }; // along a bar, where its shank is looked at

typedef struct seeker {
    const hw_place *place;
    const hw_slab *by[HW_STACK_SLABS]; // of other parts in the layer that is searched
    size_t n;
} seeker;

static void seek(seeker *q, const hw_stack *k, const hw_place *place, int bar, int far)
{
    q->place = place;
    q->n = 0;
    for (size_t i = 0; i < k->n; i++)
        if (k->plate[i].layer == far && k->plate[i].part != bar) q->by[q->n++] = &k->plate[i];
}

// A point to look at, as a plate.
static hw_slab point_of(double radius) // [m]
{
    return (hw_slab){.discs = 1, .disc = {{{0, 0}, radius}}, .round = {{0, 0}, radius}};
}

// Whether something of another part comes within a point's radius at a place of the digit. *bar: it
// is the other bar, and nothing else.
static bool covers(const seeker *q, hw_vec2 at, const hw_slab *point, bool *bar)
{
    bool any = false;
    for (size_t i = 0; i < q->n; i++) {
        const hw_slab *p = q->by[i];
        const hw_place *own = &q->place[p->part];
        hw_vec2 seen = hw_flex(hw_sub(at, own->at), own->c, -own->s);
        hw_vec2 off = hw_sub(seen, p->round.at);
        double reach = p->round.radius + point->round.radius;
        if (hw_dot(off, off) > reach * reach) continue;
        // a point looks the same however it is turned
        if (hw_slabs_facing(p, point, (hw_place){seen, 1, 0}).gap > 0) continue;
        if (p->part < HW_STACK_PARTS - 2) {
            *bar = false;
            return true;
        }
        any = *bar = true;
    }
    return any;
}

// Where the shank is first guided from an end on, and where last. `way` points along it.
static void guides(const seeker *q, hw_vec2 end, hw_vec2 way, double length, hw_beside *out) // [m]
{
    int first = -1, last = -1;
    const hw_slab point = point_of(0);
    for (int i = 0; i <= STATIONS; i++) {
        bool bar = false;
        hw_vec2 at = hw_add(end, hw_scale(way, i * length / STATIONS));
        if (!covers(q, at, &point, &bar) || bar) continue;
        if (first < 0) first = i;
        last = i;
    }
    out->overhang = first < 0 ? length : first * length / STATIONS;
    out->span = first < 0 ? 0 : (last - first) * length / STATIONS;
}

static bool worse(const hw_beside *a, const hw_beside *b)
{
    if (a->slack != b->slack) return a->slack > b->slack;
    return a->overhang > b->overhang;
}

// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
void hw_stack_beside(const hw_digit *d, const hw_layers *l, const hw_stack *k,
                     const hw_digit_pose *pose, hw_beside out[2][2])
{
    hw_place place[HW_STACK_PARTS];
    const hw_slab boss = point_of(d->pivot_radius / 2);
    hw_stack_place(pose, place);
    for (int b = 0; b < 2; b++) {
        const hw_bar_place *p = &l->bar[b];
        hw_vec2 line = hw_sub(pose->bar_end[b], pose->bar_root[b]);
        double length = hw_norm(line);
        out[b][0] = out[b][1] = (hw_beside){0, 0, 0};
        for (size_t i = 0; i < p->twins; i++) {
            for (int e = 0; e < 2; e++) {
                int step = p->layer[i] - p->on[i][e]; // away from what carries this end
                int far = p->layer[i] + step;
                double slack = l->gap;
                for (; l->layer[far].use == l->layer[p->layer[i]].use; far += step) slack += l->gap;
                seeker q;
                seek(&q, k, place, 4 + b, far);
                hw_vec2 end = e == 0 ? pose->bar_root[b] : pose->bar_end[b];
                hw_vec2 way = hw_scale(line, (e == 0 ? 1 : -1) / length);
                hw_beside one = {INFINITY, 0, 0};
                bool bar = false;
                if (covers(&q, end, &boss, &bar))
                    one.slack = bar ? slack + l->gap : slack; // the other bar gives its own play
                else
                    guides(&q, end, way, length, &one);
                if (i == 0 || worse(&one, &out[b][e])) out[b][e] = one;
            }
        }
    }
}
