#include "check.h"
#include "sample.h"

#include <time.h>

static const double deg = HW_PI / 180, mm = 1e-3;

// Heron's index in the layers of docs/decisions/0010 (width 16), forks 6 mm deep.
static hw_digit heron_index(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    const double phalanx[3] = {45.6, 26.6, 18.0}, thickness[3] = {22, 18, 16};
    for (int i = 0; i < 3; i++) {
        d.phalanx[i] = phalanx[i] * mm;
        d.thickness[i] = thickness[i] * mm;
    }
    d.tip_thickness = 11 * mm;
    d.bar[0].root = (hw_vec2){5.3 * mm, 3.6 * mm};
    d.bar[0].horn = 6 * mm;
    d.bar[0].horn_angle = -55 * deg;
    d.bar[1].root = (hw_vec2){-2.5 * mm, -2.7 * mm};
    d.bar[1].horn = 5 * mm;
    d.bar[1].horn_angle = 147 * deg;
    return d;
}

static hw_release_def a_def(const hw_digit *d)
{
    hw_release_def def = {.digit = d, .poses = 33, .stop_arm = 9 * mm};
    for (int j = 0; j < HW_JOINTS; j++) {
        def.across.cone[j][0] = -5.8 * mm;
        def.across.cone[j][1] = 5.8 * mm;
        hw_cheek c = {6 * mm, d->thickness[j], 2 * mm, 2.5e9};
        def.pivot[j] = sample_pivot(c, 1);
    }
    def.across.bar[0] = -1.65 * mm;
    def.across.bar[1] = 3.05 * mm;
    const double force[HW_HOLD_CASES] = {
        [HW_CASE_TIP] = 8,        [HW_CASE_PAD_PROXIMAL] = 9, [HW_CASE_PAD_MIDDLE] = 9,
        [HW_CASE_PAD_DISTAL] = 9, [HW_CASE_HOOK] = 15,        [HW_CASE_KNOCK] = 3,
        [HW_HOLD_SIDE] = 5,       [HW_HOLD_STALL] = 0.4};
    for (int c = 0; c < HW_HOLD_CASES; c++) def.force[c] = force[c];
    return def;
}

// The worst cone of the PIP in the open pose takes 7.6 N for each newton on the tip, and 4.5
// mid-stroke: docs/decisions/0010, two digits.
static void worst_cone_as_on_paper(void)
{
    hw_digit d = heron_index();
    hw_release_def def = a_def(&d);
    for (int c = 1; c < HW_HOLD_CASES; c++) def.force[c] = 0;
    hw_release r;
    CHECK(hw_release_of(&def, &r) == HW_OK);
    CHECK(r.joint[1].which == (int)HW_CASE_TIP);
    CLOSE(r.joint[1].load, 8 * 7.6, 0.05);
    NEAR(r.joint[1].s, 0, 1e-9);
    printf("tip push 8 N: PIP's worst cone %.1f N, lets go at %.1f N on the tip\n", r.joint[1].load,
           8 * r.joint[1].value);
}

typedef struct worst {
    double least[HW_JOINTS];   // load factor
    double pressed[HW_JOINTS]; // share of strength
    double rooted[HW_JOINTS];
} worst;

// One push at one pose, by the parts' own formulas.
static void judge(const hw_release_def *def, double s, const hw_space_push *push, bool sustained,
                  worst *out)
{
    const hw_digit *d = def->digit;
    hw_digit_pose p;
    hw_across_pose at;
    hw_joint_load load[HW_JOINTS];
    CHECK(hw_digit_family_of(d->family)->pose(d, s, &p) == HW_OK);
    CHECK(hw_across_at(d, &p, &def->across, &def->cord, &at) == HW_OK);
    CHECK(hw_across_forces(&at, push, 1, load, NULL) == HW_OK);
    for (int j = 0; j < HW_JOINTS; j++) {
        const hw_pivot *pivot = &def->pivot[j];
        hw_grip g;
        hw_grip_hold h;
        hw_vec2 away = {-at.c[j], at.s[j]};
        hw_grip_load l = {.radial = {load[j].radial[0], load[j].radial[1]},
                          .along = {hw_dot(load[j].cone[0], away), hw_dot(load[j].cone[1], away)},
                          .axial = load[j].force.y,
                          .angle = p.joint[j],
                          .sustained = sustained};
        CHECK(hw_grip_of(pivot, &g) == HW_OK);
        hw_grip_hold_of(&g, &l, &h);
        out->least[j] = fmin(out->least[j], fmin(h.factor, 1 / h.stress));
        // the cone, floated out by 0.15 / sin 45, and pressed by the opposite of what it gives; its
        // body lies as the joint before has turned it
        double apart = 0.25 * mm + 0.15 * mm * sqrt(2), land = pivot->land;
        hw_seat seat = {45 * deg, 1.45 * mm, land > 0 ? land + 0.25 * mm : 0, 1.6 * mm};
        hw_print_strength of = {45e6, 26e6};
        hw_seat_areas area;
        hw_seat_areas_of(&seat, apart, &area);
        hw_stub stub = hw_stub_of(&seat, apart, &of);
        hw_vec2 f =
            hw_flexed(hw_scale(load[j].cone[h.side], -1), j > 0 ? -hw_digit_turned(&p, j - 1) : 0);
        double all = hw_norm(f);
        if (!(all > 0)) continue;
        double press = all / hw_seat_areas_at(&area, acos(fmax(-1, fmin(1, f.z / all)))) / 45e6;
        out->pressed[j] = fmax(out->pressed[j], press);
        out->rooted[j] = fmax(out->rooted[j], hw_stub_share(&stub, f.x, f.z));
    }
}

static const worst unloaded = {.least = {HUGE_VAL, HUGE_VAL, HUGE_VAL}};

static void same_worst(const hw_release *r, const worst *w)
{
    for (int j = 0; j < HW_JOINTS; j++) {
        if (isinf(w->least[j]))
            CHECK(isinf(r->joint[j].value));
        else
            CLOSE(r->joint[j].value, w->least[j], 1e-12);
        CLOSE(r->pressed[j].value, w->pressed[j], 1e-9);
        CLOSE(r->rooted[j].value, w->rooted[j], 1e-9);
    }
}

static void alone(hw_release_def *def, int which)
{
    for (int c = 0; c < HW_HOLD_CASES; c++)
        if (c != which) def->force[c] = 0;
}

// Over all places along each pad there is none worse than the one found, and one as bad.
static void no_place_is_worse(void)
{
    for (int k = 0; k < 12; k++) {
        int phalanx = k % 3;
        hw_digit d = heron_index();
        if (k % 6 > 2) d.travel[0] = 60 * deg; // else the straight digit decides
        hw_release_def def = a_def(&d);
        alone(&def, (int)HW_CASE_PAD_PROXIMAL + phalanx);
        for (int j = 0; k > 5 && j < HW_JOINTS; j++) def.pivot[j].land = 0.6 * mm;
        hw_release r;
        worst w = unloaded;
        CHECK(hw_release_of(&def, &r) == HW_OK);
        double from = d.thickness[phalanx] / 2;
        double to = phalanx < 2 ? d.phalanx[phalanx] - d.thickness[phalanx + 1] / 2 : d.phalanx[2];
        for (int i = 0; i < 33; i++)
            for (int n = 0; n <= 40; n++) {
                hw_space_push push = {.phalanx = phalanx,
                                      .at = {from + (to - from) * n / 40, 0, 0},
                                      .force = {0, 0, 9}};
                judge(&def, i / 32.0, &push, true, &w);
            }
        same_worst(&r, &w);
    }
}

// Sideways pushes go to both sides, and the sides differ; a knock passes before the print creeps.
static void sideways_and_knocks(void)
{
    hw_digit d = heron_index();
    hw_release_def def = a_def(&d);
    alone(&def, HW_HOLD_SIDE);
    for (int swap = 0; swap < 2; swap++) {
        for (int j = 0; j < HW_JOINTS; j++)
            for (int i = 0; i < 2; i++)
                def.pivot[j].cheek[i].thickness = i == swap ? 1.5 * mm : 2 * mm;
        worst w = unloaded;
        hw_release r;
        CHECK(hw_release_of(&def, &r) == HW_OK);
        for (int i = 0; i < 33; i++)
            for (int sign = -1; sign <= 1; sign += 2) {
                hw_space_push push = {
                    .phalanx = 2, .at = {d.phalanx[2], 0, 0}, .force = {0, 5 * sign, 0}};
                judge(&def, i / 32.0, &push, true, &w);
            }
        same_worst(&r, &w);
    }
    def = a_def(&d);
    alone(&def, HW_CASE_KNOCK);
    worst w = unloaded;
    hw_release r;
    CHECK(hw_release_of(&def, &r) == HW_OK);
    for (int i = 0; i < 33; i++) {
        hw_digit_pose p;
        CHECK(hw_digit_family_of(d.family)->pose(&d, i / 32.0, &p) == HW_OK);
        hw_load l = hw_case_load(&d, &p, HW_CASE_KNOCK, 3);
        hw_space_push push = {
            .phalanx = l.phalanx, .at = {l.at.x, 0, l.at.z}, .force = {l.force.x, 0, l.force.z}};
        judge(&def, i / 32.0, &push, false, &w);
    }
    same_worst(&r, &w);
}

static void factors_are_what_the_loads_may_grow_by(void)
{
    hw_digit d = heron_index();
    hw_release_def def = a_def(&d), twice = def;
    for (int c = 0; c < HW_HOLD_CASES; c++) twice.force[c] *= 2;
    hw_release a, b;
    CHECK(hw_release_of(&def, &a) == HW_OK && hw_release_of(&twice, &b) == HW_OK);
    for (int j = 0; j < HW_JOINTS; j++) {
        CLOSE(b.joint[j].value, a.joint[j].value / 2, 1e-12);
        CLOSE(b.strained[j].value, a.strained[j].value * 2, 1e-12);
        CHECK(a.joint[j].value <= a.tip[j].value);
        CHECK(a.joint[j].s >= 0 && a.joint[j].s <= 1);
        printf("%s: lets go at %.2f times the %s, at %.0f %% of the travel; %.0f %% of strength\n",
               hw_digit_joint_name(&d, j), a.joint[j].value, hw_hold_case_name(a.joint[j].which),
               100 * a.joint[j].s, 100 * a.strained[j].value);
    }
}

// A deep fork lets go first, and every way to keep it does better than none.
static void depth_and_keepers(void)
{
    hw_digit d = heron_index();
    hw_release_def def = a_def(&d), deep = def;
    for (int j = 0; j < HW_JOINTS; j++)
        for (int i = 0; i < 2; i++) deep.pivot[j].cheek[i].depth = 20 * mm;
    hw_release a, b;
    CHECK(hw_release_of(&def, &a) == HW_OK && hw_release_of(&deep, &b) == HW_OK);
    for (int j = 0; j < HW_JOINTS; j++) CHECK(b.tip[j].value < 0.1 * a.tip[j].value);
    for (int kind = HW_PIVOT_LAND; kind < (int)HW_PIVOT_KINDS; kind++) {
        hw_release_def kept = def;
        hw_keeper_def k = {.kind = (hw_pivot_kind)kind,
                           .reach = 3.6 * mm,
                           .thickness = 1.6 * mm,
                           .width = 8 * mm,
                           .length = 11 * mm,
                           .gap = 0.25 * mm,
                           .modulus = 2.5e9,
                           .strength = 45e6,
                           .from = -INFINITY};
        if (kind == (int)HW_PIVOT_LIP) k.length = 3 * mm;
        for (int j = 0; j < HW_JOINTS; j++) {
            CHECK(hw_keeper_of(&k, 6 * mm, &kept.pivot[j].keeper) == HW_OK);
            if (kind == (int)HW_PIVOT_LAND) kept.pivot[j].land = 0.6 * mm;
        }
        CHECK(hw_release_of(&kept, &b) == HW_OK);
        for (int j = 0; j < HW_JOINTS; j++) CHECK(b.tip[j].value > 1.2 * a.tip[j].value);
        printf("%-14s PIP lets go at %.1f N on the tip, bare cones at %.1f\n",
               hw_pivot_kind_name((hw_pivot_kind)kind), 8 * b.tip[1].value, 8 * a.tip[1].value);
    }
}

static void other_families_and_bad_input(void)
{
    hw_digit d = heron_index();
    for (int f = 0; f < HW_FAMILIES; f++) {
        d.family = (hw_family_kind)f;
        hw_release_def def = a_def(&d);
        hw_release r;
        CHECK(hw_release_of(&def, &r) == HW_OK);
        for (int j = 0; j < HW_JOINTS; j++)
            CHECK(r.joint[j].value > 0 && isfinite(r.joint[j].value));
    }
    hw_release r;
    hw_release_def def = a_def(&d);
    def.force[HW_HOLD_SIDE] = -1;
    CHECK(hw_release_of(&def, &r) == HW_BAD_INPUT && isnan(r.joint[0].value));
    def = a_def(&d);
    def.stop_arm = 0;
    CHECK(hw_release_of(&def, &r) == HW_BAD_INPUT);
    def = a_def(&d);
    def.poses = 1;
    CHECK(hw_release_of(&def, &r) == HW_BAD_INPUT);
    def = a_def(&d);
    def.pivot[2].engagement = 0;
    CHECK(hw_release_of(&def, &r) == HW_BAD_INPUT);
    def = a_def(&d);
    for (int c = 0; c < HW_HOLD_CASES; c++) def.force[c] = 0;
    CHECK(hw_release_of(&def, &r) == HW_OK && isinf(r.joint[1].value));
    CHECK(r.strained[1].value == 0);
    d.family = HW_FAMILY_COUPLED_BARS;
    d.travel[1] = 3; // beyond a dead point
    def = a_def(&d);
    CHECK(hw_release_of(&def, &r) == HW_NO_ASSEMBLY && r.joint[1].value >= 0);
    SAME_TEXT(hw_hold_case_name(HW_HOLD_CASES), "unknown case");
    SAME_TEXT(hw_hold_case_name(HW_CASE_HOOK), "hook");
}

// Bar A of the straight digit is pulled with 13 to 14 N for each newton at the tip; its ends' cones
// carry that, whatever the cheeks do.
static void bars_ends(void)
{
    hw_digit d = heron_index();
    hw_release_def def = a_def(&d);
    enum { POSES = 33 };
    hw_beside by[POSES][2][2];
    for (int c = 1; c < HW_HOLD_CASES; c++) def.force[c] = 0;
    for (int b = 0; b < 2; b++) {
        def.bar[b] =
            (hw_bar_pivot){.twins = 1,
                           .seat = {45 * deg, 1.8 * mm, 1.575 * mm, 2.05 * mm},
                           .eye = {3 * mm, 2.2 * mm, 1.8 * mm, 2.8 * mm, 6 * mm, 0.6625 * mm},
                           .gap = 0.25 * mm,
                           .mu = 0.15,
                           .modulus = 2.5e9,
                           .strength = {45e6, 26e6}};
    }
    for (int i = 0; i < POSES; i++)
        for (int b = 0; b < 2; b++)
            for (int e = 0; e < 2; e++)
                by[i][b][e] = (hw_beside){(b + e) % 2 ? 0.5e-3 : 0.25e-3, 0, 0};
    hw_release none, r, halved;
    CHECK(hw_release_of(&def, &none) == HW_OK);
    CHECK(isinf(none.bar[0][0].value) && none.pressed[HW_HOLD_BARS].value == 0);
    def.beside = by[0][0];
    CHECK(hw_release_of(&def, &r) == HW_OK);
    const hw_release_peak *horn = &r.pressed[HW_HOLD_BARS + 1];
    CHECK(horn->load > 8 * 13 && horn->load < 8 * 14 && horn->s == 0 && horn->force == 8);
    // bar A pulls its horn back and a little up: pressed a little below the middle of the front
    hw_seat_areas front;
    hw_seat_areas_of(&def.bar[0].seat, 0.75 * mm, &front);
    CHECK(horn->value > horn->load / hw_seat_areas_at(&front, 85 * deg) / 45e6);
    CHECK(horn->value < horn->load / hw_seat_areas_at(&front, 75 * deg) / 45e6);
    CHECK(r.pressed[HW_HOLD_BARS].value < horn->value); // its root hangs deeper, and lower
    CLOSE(r.eye[0].value, hw_eye_share(&def.bar[0].eye, &def.bar[0].strength, horn->load), 1e-9);
    CLOSE(r.left[0][1].value, 1.05 * mm, 1e-12);
    CHECK(isinf(r.bar[0][1].value)); // it leans on something
    // the root's cone stands on the carrier: nearly along its layers in the straight digit
    double area = HW_PI * 2.05 * 2.05, in = r.rooted[HW_HOLD_BARS].load / area * sqrt(3);
    CHECK(r.rooted[HW_HOLD_BARS].value > in / 45 && r.rooted[HW_HOLD_BARS].value < in / 26);
    def.bar[0].twins = def.bar[1].twins = 2;
    CHECK(hw_release_of(&def, &halved) == HW_OK);
    CLOSE(halved.pressed[HW_HOLD_BARS + 1].value, horn->value / 2, 1e-9);
    // joints' cones: floated to one side by 0.15 / sin 45, a land of 0.6 beyond the gap
    for (int j = 0; j < HW_JOINTS; j++) def.pivot[j].land = 0.6 * mm;
    CHECK(hw_release_of(&def, &r) == HW_OK);
    CLOSE(r.pressed[1].load, 8 * 7.6, 0.05);
    CHECK(r.pressed[1].value >= r.pressed[1].load / (2 * 1.6 * (0.6 - 0.15 * sqrt(2))) / 45);
    // nothing beside any end, and hardly guided: it comes off
    for (int i = 0; i < POSES; i++) by[i][0][0] = (hw_beside){INFINITY, 20 * mm, 5 * mm};
    CHECK(hw_release_of(&def, &r) == HW_OK);
    CHECK(r.bar[0][0].value < 1 && r.left[0][0].value < 0 && r.bar[0][0].place == HW_HOLD_BARS);
    SAME_TEXT(hw_hold_place_name(&d, HW_HOLD_BARS + 3), "bar B's horn");
    SAME_TEXT(hw_hold_place_name(&d, 1), "PIP");
    SAME_TEXT(hw_hold_place_name(&d, HW_HOLD_PLACES), "unknown joint");
}

static void how_long_it_takes(void)
{
    hw_digit d = heron_index();
    hw_release_def def = a_def(&d);
    hw_release r;
    enum { TIMES = 200 };
    clock_t from = clock();
    for (int i = 0; i < TIMES; i++) CHECK(hw_release_of(&def, &r) == HW_OK);
    double each = (double)(clock() - from) / CLOCKS_PER_SEC / TIMES; // of this process alone
    printf("a digit in %.3f ms\n", each * 1e3);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(worst_cone_as_on_paper);
    RUN(no_place_is_worse);
    RUN(sideways_and_knocks);
    RUN(factors_are_what_the_loads_may_grow_by);
    RUN(depth_and_keepers);
    RUN(other_families_and_bad_input);
    RUN(bars_ends);
    RUN(how_long_it_takes);
    return TEST_END();
}
