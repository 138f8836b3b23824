#include "check.h"
#include "random_stack.h"

#include <math.h>
#include <string.h>

#define MM 1e-3

typedef struct laid {
    hw_digit d;
    hw_layers l;
    hw_stack k;
} laid;

static const laid *flagship(void)
{
    static laid out;
    const hw_digit small = hw_digit_default();
    hw_layers_def f = hw_layers_def_default();
    double phalanx[] = {45.6 * MM, 26.6 * MM, 18 * MM}, thick[] = {22 * MM, 18 * MM, 16 * MM};
    out.d = small;
    out.d.family = HW_FAMILY_COUPLED_BARS;
    out.d.width = 16 * MM;
    for (int j = 0; j < HW_JOINTS; j++) {
        out.d.phalanx[j] = phalanx[j];
        out.d.thickness[j] = thick[j];
    }
    out.d.travel[0] = 0;
    out.d.travel[1] = 85 * HW_PI / 180;
    out.d.bar[0] =
        (hw_bar){{5.3 * MM, 3.6 * MM}, 6 * MM, -55 * HW_PI / 180, 6 * MM, 2.8 * MM, 2.8 * MM};
    out.d.bar[1] =
        (hw_bar){{-2.5 * MM, -2.7 * MM}, 5 * MM, 147 * HW_PI / 180, 5 * MM, 2.4 * MM, 2.4 * MM};
    f.tang[0] = 3.4 * MM;
    f.disc[1] = 4 * MM;
    CHECK(hw_layers_of(&f, &out.d, &out.l) == HW_OK);
    CHECK(hw_stack_of(&out.d, &out.l, &out.k) == HW_OK);
    return &out;
}

static void beside_at(const laid *x, double s, hw_beside out[2][2])
{
    hw_digit_pose pose;
    CHECK(hw_digit_family_of(x->d.family)->pose(&x->d, s, &pose) == HW_OK);
    hw_stack_beside(&x->d, &x->l, &x->k, &pose, out);
}

// A keeper stands beside bar B's horn in every pose; bar A's horn and bar B's root lean on each
// other's bar.
static void flagship_keeps_its_ends(void)
{
    const laid *x = flagship();
    for (int i = 0; i <= 32; i++) {
        hw_beside by[2][2];
        beside_at(x, i / 32.0, by);
        CHECK(isinf(by[0][0].slack)); // the pulley's place, which is no part of the stack
        CLOSE(by[1][1].slack, x->l.gap, 1e-12);
        CLOSE(by[0][1].slack, 2 * x->l.gap, 1e-12);
        CLOSE(by[1][0].slack, 2 * x->l.gap, 1e-12);
    }
}

// Without its keeper the root overhangs: the proximal's body in bar B's layer begins where the fork
// ends, and turns away as the digit closes.
static void a_root_without_keeper_overhangs(void)
{
    const laid x = *flagship();
    hw_beside by[2][2], shut[2][2];
    beside_at(&x, 0, by);
    beside_at(&x, 1, shut);
    CHECK(isinf(by[0][0].slack) && isinf(shut[0][0].slack));
    // the fork's wall lies 8.25 mm before the joint, the root 5.3; the bar leans a little
    NEAR(by[0][0].overhang, 2.95 * MM,
         1.05 * hw_norm(hw_sub((hw_vec2){49, 0}, (hw_vec2){0, 9})) * MM / 24);
    CHECK(shut[0][0].overhang > 8 * MM && shut[0][0].span > 10 * MM);
    CHECK(by[0][0].span > 25 * MM);
    CLOSE(by[1][1].slack, x.l.gap, 1e-12);
}

// A point of the digit as a part's plate sees it, by distance to the plate's hull of many points.
static bool inside(const hw_slab *p, hw_place place, hw_vec2 at, double radius) // [m]
{
    hw_slab point = hw_slab_of(p->layer, -1, p->kind, 1, &(hw_disc){{0, 0}, radius});
    return hw_slabs_gap(p, place, &point, (hw_place){at, 1, 0}) <= 0;
}

enum { STATIONS = 24 }; // along a shank, as the search's own

// What a point of the digit has beside it in a layer: 0 nothing, 1 the other bar alone, 2 more.
static int seen_at(const laid *x, const hw_place place[], int layer, int bar, hw_vec2 at,
                   double radius) // [m]
{
    int seen = 0;
    for (size_t q = 0; q < x->k.n; q++) {
        const hw_slab *p = &x->k.plate[q];
        if (p->layer != layer || p->part == 4 + bar) continue;
        if (!inside(p, place[p->part], at, radius)) continue;
        int one = p->part < HW_STACK_PARTS - 2 ? 2 : 1;
        if (one > seen) seen = one;
    }
    return seen;
}

// One twin's end, looked at point by point.
static hw_beside looked_at(const laid *x, const hw_digit_pose *pose, const hw_place place[], int b,
                           int e, size_t twin)
{
    const hw_bar_place *p = &x->l.bar[b];
    hw_vec2 end = e == 0 ? pose->bar_root[b] : pose->bar_end[b];
    hw_vec2 line = hw_sub(e == 0 ? pose->bar_end[b] : pose->bar_root[b], end);
    int own = p->layer[twin], step = own > p->on[twin][e] ? 1 : -1, far = own + step;
    double slack = x->l.gap, length = hw_norm(line);
    for (; x->l.layer[far].use == x->l.layer[own].use; far += step) slack += x->l.gap;
    int beside = seen_at(x, place, far, b, end, x->d.pivot_radius / 2);
    if (beside) return (hw_beside){beside == 1 ? slack + x->l.gap : slack, 0, 0};
    int first = -1, last = -1;
    for (int i = 0; i <= STATIONS; i++) {
        hw_vec2 at = hw_add(end, hw_scale(line, (double)i / STATIONS));
        if (seen_at(x, place, far, b, at, 0) < 2) continue; // a bar guides no bar
        if (first < 0) first = i;
        last = i;
    }
    if (first < 0) return (hw_beside){INFINITY, length, 0};
    return (hw_beside){INFINITY, first * length / STATIONS, (last - first) * length / STATIONS};
}

static void same_beside(const hw_beside *got, const hw_beside *want)
{
    if (isinf(want->slack))
        CHECK(isinf(got->slack));
    else
        CLOSE(got->slack, want->slack, 1e-12);
    NEAR(got->overhang, want->overhang, 1e-12);
    NEAR(got->span, want->span, 1e-12);
}

// Random digits, end by end: what lies within half a boss of its axis in the next layer that is not
// its own bar's, where nothing does how the shank is guided, and of twins the worse.
static void kept_as_looked_at(void)
{
    uint64_t seed = 3;
    int kept = 0, not_kept = 0, twins = 0, over = 0;
    for (int i = 0; i < 600; i++) {
        static laid x;
        hw_layers_def f;
        random_stack(&seed, &x.d, &f);
        if (x.d.family != HW_FAMILY_COUPLED_BARS) continue;
        for (int b = 0; b < 2; b++) f.count[b] += (size_t)random_between(&seed, 0, 2.999);
        if (hw_layers_of(&f, &x.d, &x.l) != HW_OK) continue;
        CHECK(hw_stack_of(&x.d, &x.l, &x.k) == HW_OK);
        hw_digit_pose pose;
        double s = random_between(&seed, 0, 1);
        if (hw_digit_family_of(x.d.family)->pose(&x.d, s, &pose) != HW_OK) continue;
        hw_place place[HW_STACK_PARTS];
        hw_beside by[2][2];
        hw_stack_place(&pose, place);
        hw_stack_beside(&x.d, &x.l, &x.k, &pose, by);
        for (int b = 0; b < 2; b++)
            for (int e = 0; e < 2; e++) {
                hw_beside want = looked_at(&x, &pose, place, b, e, 0);
                for (size_t t = 1; t < x.l.bar[b].twins; t++) {
                    hw_beside other = looked_at(&x, &pose, place, b, e, t);
                    bool worse = other.slack > want.slack ||
                                 (other.slack == want.slack && other.overhang > want.overhang);
                    if (worse) want = other;
                    twins++;
                }
                same_beside(&by[b][e], &want);
                over += want.slack > 2.5 * x.l.gap && isfinite(want.slack);
                kept += isfinite(want.slack);
                not_kept += !isfinite(want.slack);
            }
    }
    printf("%d ends kept, %d not; %d more twins; %d over a layer\n", kept, not_kept, twins, over);
    CHECK(kept > 100 && not_kept > 20 && twins > 20 && over > 20);
}

static void digits_without_bars_have_none(void)
{
    laid x = *flagship();
    hw_layers_def f = hw_layers_def_default();
    x.d.family = HW_FAMILY_DIRECT;
    for (int j = 0; j < HW_JOINTS; j++) x.d.joint_travel[j][1] = 1;
    CHECK(hw_layers_of(&f, &x.d, &x.l) == HW_OK && hw_stack_of(&x.d, &x.l, &x.k) == HW_OK);
    hw_beside by[2][2];
    beside_at(&x, 0.5, by);
    for (int b = 0; b < 2; b++)
        for (int e = 0; e < 2; e++) CHECK(by[b][e].slack == 0 && by[b][e].overhang == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(flagship_keeps_its_ends);
    RUN(a_root_without_keeper_overhangs);
    RUN(kept_as_looked_at);
    RUN(digits_without_bars_have_none);
    return TEST_END();
}
