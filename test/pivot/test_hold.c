// Tolerance 1e-12 relative: a dozen roundings. The worked numbers use the cheek's own give, which
// test_cheek.c judges.
#include "base/rng.h"
#include "base/vec.h"
#include "check.h"
#include "sample.h"

static const double deg = HW_PI / 180, mm = 1e-3;

static hw_pivot a_pivot(double scale)
{
    hw_cheek c = {6 * mm * scale, 14 * mm * scale, 2 * mm * scale, 2.5e9};
    return sample_pivot(c, scale);
}

static hw_grip_hold hold(const hw_pivot *p, hw_grip_load l)
{
    hw_grip g;
    hw_grip_hold h;
    CHECK(hw_grip_of(p, &g) == HW_OK);
    hw_grip_hold_of(&g, &l, &h);
    return h;
}

// docs/derivations/cone.md, a cheek three thicknesses deep: h' = 14 / sqrt(1 + (14 / 40.2)^2) =
// 13.22118 mm, opening (108 + 45 + 33) / h' + 0.7 / t over E, a couple (54 + 9.9) / (E h' t).
static void a_cheek_by_hand(void)
{
    hw_cheek c = {6 * mm, 14 * mm, 2 * mm, 2.5e9};
    CLOSE(hw_cheek_give(&c, c.depth, c.depth), 5.76733e-6, 1e-5);
    CLOSE(hw_cheek_lean(&c, c.depth), 0.966630e-3, 1e-5);
    CLOSE(hw_cheek_stress(&c, 0.1), 6 * 0.1 / (13.22118e-3 * 4e-6), 1e-5);
    // beyond the axis the cheek is straight: the turn at the axis goes on
    double give = hw_cheek_give(&c, c.depth, 8 * mm), far = hw_cheek_give(&c, c.depth, 10 * mm);
    CLOSE(far - give, (6 * 9 + 5 * 3) * 1 / 13.22118e-3 / 2.5e9, 1e-5);
}

static void bare_cones_by_hand(void)
{
    hw_pivot p = a_pivot(1);
    const hw_cheek *c = &p.cheek[0];
    double give = hw_cheek_give(c, c->depth, c->depth);
    double spread = 4 / HW_PI * tan(45 * deg - atan(0.15));
    double lift = 0.15 * mm * sqrt(2.0); // the cones meet before the flats do
    hw_grip_hold h = hold(&p, (hw_grip_load){.radial = {50, 20}});
    CHECK(h.side == 0);
    CLOSE(h.spread, 50 * spread, 1e-12);
    CLOSE(h.factor, (1.2 * mm - lift) / (2 * give * 50 * spread), 1e-12);
    // a print that creeps holds half, a sideways force adds to the spread
    hw_grip_hold soft = hold(&p, (hw_grip_load){.radial = {50, 20}, .sustained = true});
    CLOSE(soft.factor, 0.5 * h.factor, 1e-12);
    hw_grip_hold side = hold(&p, (hw_grip_load){.radial = {20, 50}, .axial = -10});
    CHECK(side.side == 1);
    CLOSE(side.spread, 50 * spread + 10, 1e-12);
    // drawn away from its root each newton bends the cheek by (1 - 0.4) mm
    hw_grip_hold drawn = hold(&p, (hw_grip_load){.radial = {50, 20}, .along = {50, -20}});
    double lean = hw_cheek_lean(c, c->depth) * 0.6 * mm;
    CLOSE(drawn.factor, (1.2 * mm - lift) / (2 * give * 50 * spread + 50 * lean), 1e-12);
}

static void stress_by_hand(void)
{
    hw_pivot p = a_pivot(1);
    double spread = 4 / HW_PI * tan(45 * deg - atan(0.15));
    hw_grip_hold h = hold(&p, (hw_grip_load){.radial = {60, 60}, .along = {60, -60}});
    double moment = 60 * spread * 6 * mm + 60 * 0.6 * mm;
    double want = hw_cheek_stress(&p.cheek[0], moment) + 60 / (14 * 2e-6);
    CLOSE(h.stress, want / 45e6, 1e-12);
    // weak across the layers, it tears beside the socket: 60 N on 2 x 5.4 x 2 mm
    p.strength_across = 1e6;
    h = hold(&p, (hw_grip_load){.radial = {60, 60}});
    CLOSE(h.stress, 60 / 21.6e-6 / 1e6, 1e-12);
}

// A load's line beyond the cheek's middle does not bend it outward; a load across the cheek bends
// it edgewise; a land carries at its own middle, and one that the float clears carries nothing.
static void stress_of_other_lines(void)
{
    hw_pivot p = a_pivot(1);
    double spread = 4 / HW_PI * tan(45 * deg - atan(0.15));
    hw_pivot outer = p;
    outer.load_depth = 1.5 * mm;
    hw_grip_hold h = hold(&outer, (hw_grip_load){.radial = {60, 60}, .along = {60, -60}});
    double want = hw_cheek_stress(&p.cheek[0], 60 * spread * 6 * mm) + 60 / (14 * 2e-6);
    CLOSE(h.stress, want / 45e6, 1e-12);
    CLOSE(h.factor, hold(&p, (hw_grip_load){.radial = {60, 60}}).factor, 1e-12);
    // 60 N across: 6 F l / (t h^2)
    h = hold(&p, (hw_grip_load){.radial = {60, 60}});
    want =
        hw_cheek_stress(&p.cheek[0], 60 * spread * 6 * mm) + 6 * 60 * 6e-3 / (2e-3 * 14e-3 * 14e-3);
    CLOSE(h.stress, want / 45e6, 1e-12);
    hw_pivot land = p;
    land.land = 0.6 * mm;
    h = hold(&land, (hw_grip_load){.radial = {60, 60}, .along = {60, -60}});
    want = hw_cheek_stress(&p.cheek[0], 60 * (1 - 0.3) * mm) + 60 / (14 * 2e-6);
    CLOSE(h.stress, want / 45e6, 1e-12);
    land.land = 0.2 * mm;
    h = hold(&land, (hw_grip_load){.radial = {60, 60}});
    CLOSE(h.stress, hold(&p, (hw_grip_load){.radial = {60, 60}}).stress, 1e-12);
    CLOSE(h.spread, 60 * spread, 1e-12);
}

// A keeper at the axis itself that does not give: the cheek is bent by the rest, and what it sees
// of a couple is its own.
static void a_keeper_against_a_couple(void)
{
    hw_pivot p = a_pivot(1);
    const hw_cheek *c = &p.cheek[0];
    p.keeper = (hw_keeper){.at = 10 * mm, .give = 2e-6, .breaks = 1e6, .from = -10};
    hw_grip_load l = {.radial = {50, 50}, .along = {50, -50}};
    double spread = 4 / HW_PI * tan(45 * deg - atan(0.15)) * 50, couple = 50 * 0.6 * mm;
    double back = hw_cheek_give(c, c->depth, 10 * mm);
    double stiff = hw_cheek_give(c, 10 * mm, 10 * mm) + 2e-6, open = 0, force[2];
    for (int i = 0; i < 2; i++) {
        double m = i == 0 ? couple : 0;
        force[i] = (spread * back + m * hw_cheek_lean(c, 10 * mm)) / stiff;
        open += spread * hw_cheek_give(c, c->depth, c->depth) + m * hw_cheek_lean(c, c->depth) -
                force[i] * back;
    }
    CLOSE(hold(&p, l).factor, (1.2 * mm - 0.15 * mm * sqrt(2.0)) / open, 1e-12);
    double moment = spread * 6 * mm + couple - force[0] * 10 * mm;
    double want = hw_cheek_stress(c, fabs(moment)) + 50 / (14 * 2e-6);
    CLOSE(hold(&p, l).stress, want / 45e6, 1e-12);
}

static void always_and_never(void)
{
    hw_pivot p = a_pivot(1);
    CHECK(isinf(hold(&p, (hw_grip_load){.radial = {0, 0}}).factor));
    p.mu = 1.1; // holds itself
    CHECK(isinf(hold(&p, (hw_grip_load){.radial = {50, 50}}).factor));
    p.mu = 0.15;
    p.gap = p.face_gap = 2 * mm; // floats out by itself
    CHECK(hold(&p, (hw_grip_load){.radial = {50, 50}}).factor == 0);
    CHECK(isnan(hold(&p, (hw_grip_load){.radial = {50, NAN}}).factor));
    CHECK(isnan(hold(&p, (hw_grip_load){.radial = {NAN, 50}}).factor));
}

static void a_land_takes_the_load_without_spreading(void)
{
    hw_pivot p = a_pivot(1), land = p;
    land.land = 0.6 * mm;
    hw_grip_load l = {.radial = {50, 50}};
    CHECK(isinf(hold(&land, l).factor)); // nothing spreads it
    CHECK(hold(&land, l).spread == 0);
    l.axial = 8;
    const hw_cheek *c = &p.cheek[0];
    double give = hw_cheek_give(c, c->depth, c->depth), lift = 0.15 * mm * sqrt(2.0);
    CLOSE(hold(&land, l).factor, (0.6 * mm - lift) / (2 * give * 8), 1e-12);
    // a land that the float alone clears is none
    land.land = 0.2 * mm;
    CLOSE(hold(&land, l).factor, hold(&p, l).factor, 1e-12);
    // and where cones would hold more, they do
    land.land = 0.25 * mm;
    l = (hw_grip_load){.radial = {1, 1}, .axial = 50};
    CLOSE(hold(&land, l).factor, hold(&p, l).factor, 1e-12);
}

static hw_keeper_def a_keeper(hw_pivot_kind kind)
{
    return (hw_keeper_def){.kind = kind,
                           .reach = 4 * mm,
                           .thickness = 2 * mm,
                           .width = 8 * mm,
                           .length = 3 * mm,
                           .gap = 0.25 * mm,
                           .modulus = 2.5e9,
                           .strength = 45e6,
                           .from = 10 * deg};
}

static void keepers_of_their_sizes(void)
{
    hw_keeper k;
    hw_keeper_def d = a_keeper(HW_PIVOT_LIP);
    hw_bending b;
    CHECK(hw_keeper_of(&d, 6 * mm, &k) == HW_OK);
    CHECK(hw_beam_bend(HW_BEAM_CANTILEVER, 1, 3 * mm, 8 * mm, 2 * mm, 2.5e9, &b) == HW_OK);
    CLOSE(k.at, 10 * mm, 1e-12);
    CHECK(k.gap == 0.25 * mm && k.from == 10 * deg);
    CLOSE(k.give, b.deflection, 1e-12);
    CLOSE(k.breaks, 45e6 / b.stress, 1e-12);
    d = a_keeper(HW_PIVOT_TIE);
    CHECK(hw_keeper_of(&d, 6 * mm, &k) == HW_OK);
    CLOSE(k.at, 2 * mm, 1e-12);
    CLOSE(k.breaks, 45e6 * HW_PI * mm * mm, 1e-12);
    CLOSE(k.give, 1.5 * mm / (2.5e9 * HW_PI * mm * mm), 1e-12);
    CHECK(k.gap == 0 && k.from < -1000);
    d = a_keeper(HW_PIVOT_STRIP);
    CHECK(hw_keeper_of(&d, 6 * mm, &k) == HW_OK);
    CLOSE(k.breaks, 45e6 * 32e-6, 1e-12); // twice 2 x 8 mm
    d = a_keeper(HW_PIVOT_BOX);
    CHECK(hw_keeper_of(&d, 6 * mm, &k) == HW_OK);
    CLOSE(k.at, 10 * mm, 1e-12);
    CHECK(hw_keeper_of(&(hw_keeper_def){.kind = HW_PIVOT_LAND}, 6 * mm, &k) == HW_OK);
    CHECK(k.breaks == 0);
    d = a_keeper(HW_PIVOT_TIE);
    CHECK(hw_keeper_of(&d, 3 * mm, &k) == HW_BAD_INPUT); // behind the fork's root
    d.thickness = 0;
    CHECK(hw_keeper_of(&d, 6 * mm, &k) == HW_BAD_INPUT);
}

// Opening step by step until it has used the room: a second route to the factor.
static double walked(const hw_pivot *p, const hw_grip_load *l, bool broken)
{
    double spread =
        4 / HW_PI * tan(45 * deg - atan(0.15)) * fmax(l->radial[0], l->radial[1]) + fabs(l->axial);
    const hw_cheek *c = &p->cheek[0];
    const hw_keeper *k = &p->keeper;
    double low = 0, high = 1e6, room = p->engagement - 0.15 * mm * sqrt(2.0);
    for (int i = 0; i < 200; i++) {
        double f = 0.5 * (low + high), open = f * spread * hw_cheek_give(c, c->depth, c->depth);
        double over = f * spread * hw_cheek_give(c, k->at, c->depth) - k->gap;
        double force = over / (hw_cheek_give(c, k->at, k->at) + k->give);
        if (over > 0 && !broken) open -= force * hw_cheek_give(c, c->depth, k->at);
        bool gone = 2 * open > room || (over > 0 && !broken && force > k->breaks);
        *(gone ? &high : &low) = f;
    }
    return low;
}

static void keepers_hold_until_they_break(void)
{
    static const hw_pivot_kind kind[4] = {HW_PIVOT_LIP, HW_PIVOT_TIE, HW_PIVOT_BOX, HW_PIVOT_STRIP};
    hw_rng r = hw_rng_new(71, 0);
    int broke = 0, held = 0;
    for (int i = 0; i < 400; i++) {
        hw_pivot p = a_pivot(1);
        hw_keeper_def d = a_keeper(kind[i % 4]);
        d.thickness *= hw_rng_uniform(&r, 0.2, 1.5);
        d.reach *= hw_rng_uniform(&r, 0.2, 1.2);
        if (i % 4 == 3) d.modulus = 2e7;
        CHECK(hw_keeper_of(&d, p.cheek[0].depth, &p.keeper) == HW_OK);
        hw_grip_load l = {.radial = {hw_rng_uniform(&r, 5, 80), hw_rng_uniform(&r, 5, 80)},
                          .axial = hw_rng_uniform(&r, 0, 10),
                          .angle = 20 * deg};
        double with = walked(&p, &l, false), without = walked(&p, &l, true);
        double got = hold(&p, l).factor;
        CLOSE(got, fmax(with, without), 1e-9); // 200 halvings, sums of near-equal numbers
        CHECK(got >= without * (1 - 1e-9));
        broke += without > with;
        held += got > 1.5 * without;
        l.angle = 0; // the lip has not come over the cheek yet
        if (kind[i % 4] == HW_PIVOT_LIP) CLOSE(hold(&p, l).factor, without, 1e-9);
    }
    CHECK(held > 50);
    printf("kept half as much again in %d of 400, broke before the cheek let go in %d\n", held,
           broke);
}

static void ten_times_the_size_bears_a_hundred_times_the_load(void)
{
    hw_pivot small = a_pivot(1), large = a_pivot(10);
    hw_grip_hold a =
        hold(&small, (hw_grip_load){.radial = {30, 50}, .along = {10, 20}, .axial = 4});
    hw_grip_hold b =
        hold(&large, (hw_grip_load){.radial = {3000, 5000}, .along = {1000, 2000}, .axial = 400});
    CLOSE(b.factor, a.factor, 1e-12);
    CLOSE(b.stress, a.stress, 1e-12);
}

// The rough formula (R/2)(4/pi) tan(a - phi) + M/w is never below what the two cones share, while
// (4/pi) tan(a - phi) is below 1.
static void the_rough_spread_is_a_bound(void)
{
    hw_rng r = hw_rng_new(72, 0);
    double w = 10 * mm, k = hw_cone_spread(1, 45 * deg, 0.15, HW_CONE_HALF_CONE);
    CHECK(k < 1);
    double closest = 10;
    for (int i = 0; i < 1000; i++) {
        double force = hw_rng_uniform(&r, 0, 100), m = hw_rng_uniform(&r, 0, 1);
        double lean = hw_rng_uniform(&r, 0, HW_PI); // side moment's couple against the load
        double x = force / 2 + m / w * cos(lean), z = m / w * sin(lean);
        double rough = force / 2 * k + m / w;
        CHECK(k * sqrt(x * x + z * z) <= rough * (1 + 1e-12));
        closest = fmin(closest, rough / (k * sqrt(x * x + z * z)));
    }
    CHECK(closest < 1.03);
}

static void bad_pivots(void)
{
    hw_grip g;
    hw_pivot p = a_pivot(1);
    p.base = 7 * mm;
    CHECK(hw_grip_of(&p, &g) == HW_BAD_INPUT);
    p = a_pivot(1);
    p.half_angle = 0;
    CHECK(hw_grip_of(&p, &g) == HW_BAD_INPUT);
    p = a_pivot(1);
    p.cheek[1].depth = -1;
    CHECK(hw_grip_of(&p, &g) == HW_BAD_INPUT);
    p = a_pivot(1);
    p.keeper = (hw_keeper){.at = 0, .breaks = 1};
    CHECK(hw_grip_of(&p, &g) == HW_BAD_INPUT);
    for (int k = 0; k < HW_PIVOT_KINDS; k++)
        CHECK(strcmp(hw_pivot_kind_name((hw_pivot_kind)k), "unknown pivot") != 0);
    SAME_TEXT(hw_pivot_kind_name(HW_PIVOT_KINDS), "unknown pivot");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_cheek_by_hand);
    RUN(bare_cones_by_hand);
    RUN(stress_by_hand);
    RUN(stress_of_other_lines);
    RUN(a_keeper_against_a_couple);
    RUN(always_and_never);
    RUN(a_land_takes_the_load_without_spreading);
    RUN(keepers_of_their_sizes);
    RUN(keepers_hold_until_they_break);
    RUN(ten_times_the_size_bears_a_hundred_times_the_load);
    RUN(the_rough_spread_is_a_bound);
    RUN(bad_pivots);
    return TEST_END();
}
