#include "stack/stack_internal.h"

#include <math.h>
#include <string.h>

// Normal of the common tangent of two discs that has both on its inner side and the second one to
// the left of the first as the boundary goes round counter-clockwise. False: one covers the other.
static bool tangent(const hw_disc *a, const hw_disc *b, hw_vec2 *normal)
{
    hw_vec2 along = hw_sub(b->at, a->at);
    double square = hw_dot(along, along), narrowing = a->radius - b->radius;
    double rest = square - narrowing * narrowing;
    if (rest <= 0) return false;
    double side = sqrt(rest);
    *normal = (hw_vec2){(along.x * narrowing + along.z * side) / square,
                        (along.z * narrowing - along.x * side) / square};
    return true;
}

double hw_slab_support(const hw_slab *p, hw_vec2 u)
{
    double most = hw_dot(p->disc[0].at, u) + p->disc[0].radius;
    for (size_t i = 1; i < p->discs; i++) {
        double one = hw_dot(p->disc[i].at, u) + p->disc[i].radius;
        if (one > most) most = one;
    }
    return most;
}

static void find_sides(hw_slab *p)
{
    for (size_t i = 0; i < p->discs; i++)
        for (size_t j = 0; j < p->discs; j++) {
            hw_vec2 u;
            if (i == j || !tangent(&p->disc[i], &p->disc[j], &u)) continue;
            double at = hw_dot(p->disc[i].at, u) + p->disc[i].radius;
            double most = hw_slab_support(p, u);
            // a side of the hull has no disc beyond it; of discs in line the later ones repeat it
            if (most > at + 1e-12 * p->round.radius || p->edges == HW_SLAB_SIDES) continue;
            p->normal[p->edges] = u;
            p->support[p->edges++] = most;
        }
}

hw_slab hw_slab_of(int layer, int part, hw_slab_kind kind, size_t discs, const hw_disc disc[])
{
    hw_slab p = {.layer = layer, .part = part, .kind = kind, .discs = discs};
    hw_vec2 middle = {0, 0};
    for (size_t i = 0; i < discs; i++) {
        p.disc[i] = disc[i];
        middle = hw_add(middle, hw_scale(disc[i].at, 1 / (double)discs));
    }
    p.round.at = middle;
    for (size_t i = 0; i < discs; i++) {
        hw_vec2 off = hw_sub(disc[i].at, middle);
        p.round.radius = fmax(p.round.radius, sqrt(hw_dot(off, off)) + disc[i].radius);
    }
    find_sides(&p);
    return p;
}

// Separation along a direction in a's frame; at: centres of b's discs there. Never more than the
// distance.
static double apart(const hw_slab *a, const hw_vec2 at[], const hw_slab *b, hw_vec2 u) // [1]
{
    double near = hw_dot(at[0], u) - b->disc[0].radius;
    for (size_t j = 1; j < b->discs; j++) {
        double one = hw_dot(at[j], u) - b->disc[j].radius;
        if (one < near) near = one;
    }
    return near - hw_slab_support(a, u);
}

void hw_slab_seen(const hw_slab *b, hw_place seen, hw_vec2 at[])
{
    for (size_t j = 0; j < b->discs; j++)
        at[j] = hw_add(seen.at, hw_flex(b->disc[j].at, seen.c, seen.s));
}

static void try(hw_facing *best, double gap, hw_vec2 u) // [m]
{
    if (gap > best->gap) *best = (hw_facing){gap, u};
}

// The largest separation lies square to a side of either plate or along the line of centres of two
// of their discs: between those directions it is one disc's distance from another's, a cosine of
// the direction, which is largest there or at an end.
hw_facing hw_slabs_facing(const hw_slab *a, const hw_slab *b, hw_place seen)
{
    hw_vec2 at[HW_SLAB_DISCS];
    at[0] = seen.at; // a plate without discs is its own place
    hw_slab_seen(b, seen, at);
    hw_facing best = {-INFINITY, {1, 0}};
    for (size_t k = 0; k < a->edges; k++) try(&best, apart(a, at, b, a->normal[k]), a->normal[k]);
    for (size_t k = 0; k < b->edges; k++) {
        hw_vec2 u = hw_scale(hw_flex(b->normal[k], seen.c, seen.s), -1);
        try(&best, hw_dot(seen.at, u) - b->support[k] - hw_slab_support(a, u), u);
    }
    for (size_t i = 0; i < a->discs; i++)
        for (size_t j = 0; j < b->discs; j++) {
            hw_vec2 d = hw_sub(at[j], a->disc[i].at);
            double square = hw_dot(d, d), radii = a->disc[i].radius + b->disc[j].radius;
            double reach = best.gap + radii;
            if (reach > 0 && square <= reach * reach) continue;
            // one centre on the other: every direction is as good
            hw_vec2 u = square > 0 ? hw_scale(d, 1 / sqrt(square)) : (hw_vec2){1, 0};
            try(&best, apart(a, at, b, u), u);
        }
    return best;
}

double hw_slabs_gap(const hw_slab *a, hw_place place_a, const hw_slab *b, hw_place place_b)
{
    return hw_slabs_facing(a, b, hw_place_seen(place_a, place_b)).gap;
}

hw_code hw_stack_profile(hw_arena *keep, hw_arena *work, const hw_stack *k, int layer, int part,
                         hw_place place, hw_region *out)
{
    *out = (hw_region){0};
    size_t mark = hw_arena_mark(work), n = 0;
    hw_rounded *hull = HW_NEW(work, hw_rounded, k->n);
    hw_circle(*disc)[HW_SLAB_DISCS] = hw_arena_alloc(work, k->n, sizeof *disc, _Alignof(hw_circle));
    hw_code code = hull && disc ? HW_OK : HW_NO_MEMORY;
    for (size_t i = 0; code == HW_OK && i < k->n; i++) {
        const hw_slab *p = &k->plate[i];
        if (p->layer != layer || p->part != part) continue;
        hw_vec2 at[HW_SLAB_DISCS];
        hw_slab_seen(p, place, at);
        for (size_t d = 0; d < p->discs; d++) disc[n][d] = (hw_circle){at[d], p->disc[d].radius};
        hull[n] = (hw_rounded){disc[n], p->discs};
        n++;
    }
    if (code == HW_OK) code = hw_region_of_hulls(keep, work, hull, n, out);
    hw_arena_rewind(work, mark);
    return code;
}

static void add(char out[48], const char *text)
{
    size_t n = strlen(out), more = strlen(text);
    if (more > 47 - n) more = 47 - n;
    memcpy(out + n, text, more);
    out[n + more] = '\0';
}

const char *hw_slab_name(const hw_slab *p, bool thumb, char out[48])
{
    static const char *const part[2][HW_STACK_PARTS] = {
        {"carrier", "proximal phalanx", "middle phalanx", "distal phalanx", "bar A", "bar B"},
        {"carrier", "metacarpal", "proximal phalanx", "distal phalanx", "bar A", "bar B"}};
    static const char *const kind[HW_SLAB_KINDS] = {
        [HW_SLAB_BODY] = "",        [HW_SLAB_CHEEK] = "'s cheek",  [HW_SLAB_TANG] = "'s tang",
        [HW_SLAB_ARM] = "'s tang",  [HW_SLAB_LUG] = "'s root lug", [HW_SLAB_SHELF] = "'s horn",
        [HW_SLAB_POST] = "'s post", [HW_SLAB_WEB] = "'s web",      [HW_SLAB_BAR] = "",
        [HW_SLAB_FOOT] = "'s foot"};
    out[0] = '\0';
    add(out, part[thumb][p->part]);
    add(out, kind[p->kind]);
    return out;
}
