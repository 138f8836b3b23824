// Random mechanisms: closed forms against the solver, derivatives against differences, virtual
// work, scale.
#include "check.h"
#include "random_planar.h"

static hw_arena *arena;

enum { POSES = 24, EVENTS = 8 };

typedef struct run {
    hw_mech_sweep sweep;
    hw_code code;
    double s[POSES];
    hw_mech_motion at[POSES];
    uint8_t ok[POSES];
    hw_event event[EVENTS];
} run;

static void walk(const planar *p, run *r, double to)
{
    r->sweep = (hw_mech_sweep){
        .n = POSES, .s = r->s, .at = r->at, .ok = r->ok, .event = r->event, .room = EVENTS};
    for (int i = 0; i < POSES; i++) {
        r->s[i] = to * i / (POSES - 1);
        CHECK(hw_mech_motion_new(arena, &p->m, &r->at[i]) == HW_OK);
    }
    r->code = hw_mech_walk(&p->m, arena, p->at, 0, &r->sweep);
    CHECK(r->code == HW_OK || r->code == HW_NO_ASSEMBLY);
}

static hw_fourbar random_fourbar(hw_rng *r)
{
    double ground = hw_rng_uniform(r, 1, 10), crank = hw_rng_uniform(r, 1, 10);
    double coupler = hw_rng_uniform(r, 1, 10);
    return (hw_fourbar){ground, crank, coupler, hw_rng_uniform(r, 1, 10)};
}

static double bounded(double angle)
{
    return remainder(angle, 2 * HW_PI);
}

// The first dead point of the closed form ahead of the crank, and every pose up to it.
static void fourbars(void)
{
    hw_rng g = hw_rng_new(30, 1);
    int dead = 0, whole = 0;
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 3000; k++, hw_arena_rewind(arena, mark)) {
        hw_fourbar f = random_fourbar(&g);
        int branch = k % 2 ? 1 : -1;
        double from = hw_rng_uniform(&g, -HW_PI, HW_PI), span = hw_rng_uniform(&g, -7, 7);
        planar p;
        run r;
        if (!planar_fourbar(&p, f, from, from + span, branch)) continue;
        hw_fourbar_mark ends[24];
        size_t n = hw_fourbar_marks(&f, branch, from, from + span, ends, 24), first = 0;
        CHECK(n <= 24);
        while (first < n && ends[first].kind >= HW_FOURBAR_LIMIT_EXTENDED) first++;
        walk(&p, &r, 1);
        CHECK((r.code == HW_OK) == (first == n));
        if (first == n) {
            whole++;
            CHECK(r.sweep.events == 0);
        } else {
            dead++;
            CHECK(r.sweep.events == 2 && r.event[0].kind == HW_EVENT_DEAD_POINT);
            // Twice 1e-12: the closed form has its own rounding, over the angle at its corner.
            NEAR(from + span * r.event[0].s, ends[first].crank, 1e-11);
            CHECK(r.event[0].body == 2 || r.event[0].body == 3);
        }
        for (int i = 0; i < POSES; i++) {
            if (!r.ok[i]) continue;
            hw_fourbar_pose q;
            const hw_mech_motion *at = &r.at[i];
            CHECK(hw_fourbar_solve(&f, from + span * r.s[i], branch, &q, NULL) == HW_OK);
            NEAR(bounded(-at->pose[2].angle - q.coupler), 0, 1e-13 * at->conditioning);
            NEAR(bounded(-at->pose[3].angle - q.rocker), 0, 1e-13 * at->conditioning);
            double rate = q.d_rocker * span, loss = 1e-12 * at->conditioning;
            NEAR(-at->rate[3].angle, rate, loss * (fabs(span) + fabs(rate)));
        }
    }
    CHECK(dead > 500 && whole > 300);
}

// Offset slider-cranks against the triangle.
static void slider_cranks(void)
{
    hw_rng g = hw_rng_new(30, 2);
    int dead = 0, whole = 0;
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 2000; k++, hw_arena_rewind(arena, mark)) {
        double crank = hw_rng_uniform(&g, 1, 5), rod = hw_rng_uniform(&g, 1, 8);
        double offset = hw_rng_uniform(&g, -3, 3), from = hw_rng_uniform(&g, -3, 3);
        double span = hw_rng_uniform(&g, -7, 7);
        int side = k % 2 ? 1 : -1;
        planar p;
        run r;
        if (!planar_slider_crank(&p, crank, rod, offset, from, from + span, side)) continue;
        walk(&p, &r, 1);
        bool closes = true;
        for (int i = 0; i < POSES; i++) {
            double at = from + span * r.s[i], rise = offset - crank * sin(at);
            closes = closes && fabs(rise) <= rod;
            if (!r.ok[i]) continue;
            CHECK(fabs(rise) <= rod * (1 + 1e-15));
            double reach = side * sqrt(fmax(0, (rod - rise) * (rod + rise)));
            double x = crank * cos(at) + reach;
            NEAR(r.at[i].pose[3].x, x, 1e-13 * r.at[i].conditioning * rod);
            double dx = span * (-crank * sin(at) + rise * crank * cos(at) / reach);
            double loss = 1e-12 * r.at[i].conditioning;
            NEAR(r.at[i].rate[3].x, dx, loss * (fabs(span) * crank + fabs(dx)));
        }
        CHECK(!(r.code == HW_OK) || closes);
        if (r.sweep.events) {
            dead++;
            // Rod square to the slide's line: |offset - crank sin| = rod.
            double rise = offset - crank * sin(from + span * r.event[0].s);
            NEAR(fabs(rise), rod, 1e-11 * (rod + crank));
            CHECK(r.event[0].kind == HW_EVENT_DEAD_POINT);
        } else {
            whole++;
        }
    }
    CHECK(dead > 300 && whole > 300);
}

// The end of a dyad: the place at r0 from a and r1 from b, on the side on which `was` is.
static bool dyad(hw_vec2 a, hw_vec2 b, double r0, double r1, double side, hw_vec2 *out)
{
    hw_vec2 line = hw_sub(b, a);
    double d = hw_norm(line), along = 0.5 * (d + (r0 - r1) * (r0 + r1) / d);
    double off2 = (r0 - along) * (r0 + along);
    if (off2 < 0) return false;
    double off = side * sqrt(off2);
    hw_vec2 u = hw_scale(line, 1 / d);
    *out = (hw_vec2){a.x + along * u.x - off * u.z, a.z + along * u.z + off * u.x};
    return true;
}

static double side_of(hw_vec2 a, hw_vec2 b, hw_vec2 c)
{
    hw_vec2 ab = hw_sub(b, a), ac = hw_sub(c, a);
    return ab.x * ac.z - ab.z * ac.x > 0 ? 1 : -1;
}

// Six-bars driven at their first crank are two dyads in series. p0..p6 are the pins' places at the
// start; a ternary body carries its third pin along by a similarity of its first two.
static bool six_bar_by_dyads(const planar *p, six_bar kind, double turn, hw_vec2 q[7])
{
    hw_vec2 at[7];
    for (int i = 0; i < 7; i++) at[i] = hw_body_point(p->at[p->pin[i].a], p->pin[i].at_a);
    q[0] = at[0];
    q[3] = at[3];
    q[6] = at[6];
    q[1] = hw_add(at[0], hw_flexed(hw_sub(at[1], at[0]), turn));
    if (!dyad(q[1], q[3], hw_norm(hw_sub(at[2], at[1])), hw_norm(hw_sub(at[2], at[3])),
              side_of(at[1], at[3], at[2]), &q[2]))
        return false;
    int base = kind == WATT ? 3 : 1; // the ternary body's other pin
    hw_vec2 old = hw_sub(at[2], at[base]), now = hw_sub(q[2], q[base]);
    double cosine = hw_dot(old, now) / hw_dot(old, old);
    double sine = hw_moment(now, old) / -hw_dot(old, old);
    q[4] = hw_add(q[base], hw_flex(hw_sub(at[4], at[base]), cosine, sine));
    return dyad(q[4], q[6], hw_norm(hw_sub(at[5], at[4])), hw_norm(hw_sub(at[5], at[6])),
                side_of(at[4], at[6], at[5]), &q[5]);
}

static void six_bars_by_dyads(void)
{
    hw_rng g = hw_rng_new(30, 3);
    int poses = 0, dead = 0;
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 1000; k++, hw_arena_rewind(arena, mark)) {
        six_bar kind = k % 2 ? WATT : STEPHENSON;
        planar p = random_six_bar(&g, kind, 1, hw_rng_uniform(&g, -3, 3));
        planar_ends(&p);
        run r;
        walk(&p, &r, 1);
        for (int i = 0; i < POSES; i++) {
            hw_vec2 q[7];
            if (!r.ok[i]) continue;
            if (!six_bar_by_dyads(&p, kind, p.driver[0].span * r.s[i], q)) {
                CHECK(r.sweep.events && fabs(r.s[i] - r.event[0].s) < 1e-9);
                continue;
            }
            poses++;
            for (int j = 0; j < 7; j++) {
                hw_vec2 got = hw_body_point(r.at[i].pose[p.pin[j].b], p.pin[j].at_b);
                NEAR(hw_norm(hw_sub(got, q[j])), 0, 1e-12 * r.at[i].conditioning);
            }
        }
        if (!r.sweep.events) continue;
        dead++;
        CHECK(r.event[0].kind == HW_EVENT_DEAD_POINT);
        hw_vec2 q[7];
        double span = p.driver[0].span, s = r.event[0].s;
        CHECK(six_bar_by_dyads(&p, kind, span * (s - 1e-9), q));
        CHECK(!six_bar_by_dyads(&p, kind, span * (s + 1e-9), q));
    }
    CHECK(poses > 5000 && dead > 100);
}

// The last pivot gives way to a slide of the last body along a line of any direction, on the ground
// or on a turning body. Keyed, or with the last body's turn held against the one before instead.
static void slide_last(planar *p, hw_rng *g, int on, bool keyed)
{
    p->m.pins = 6;
    p->m.sliders = 1;
    hw_vec2 place = random_place(g, 5, 7), line = random_place(g, 0, 2);
    hw_vec2 along = hw_sub(place, line); // the line's own point lies elsewhere on it
    double direction = atan2(-along.z, along.x) - p->at[on].angle;
    p->slider[0] = (hw_slider){on,
                               5,
                               seen_from(p->at[on], line),
                               direction,
                               seen_from(p->at[5], place),
                               p->at[5].angle - p->at[on].angle,
                               keyed};
    if (!keyed) drive_here(p, 4, 5, 0.3);
}

// Rates against differences of poses, second rates against differences of rates. The differences'
// own error is known from the next derivative, itself a difference.
static void rates_against_differences(void)
{
    hw_rng g = hw_rng_new(30, 4);
    const double h = 1e-4;
    int checked = 0, slides = 0;
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 600; k++, hw_arena_rewind(arena, mark)) {
        planar p =
            random_six_bar(&g, k % 2 ? WATT : STEPHENSON, k % 3 ? 1 + 4 * (k / 2 % 2) : 1, 0.7);
        if (k % 3 == 0) slide_last(&p, &g, k % 9 ? 1 : 0, k / 3 % 2);
        planar_ends(&p);
        const double s[3] = {0.1 - h, 0.1, 0.1 + h};
        hw_mech_motion at[3];
        uint8_t ok[3];
        hw_mech_sweep sweep = {.n = 3, .s = s, .at = at, .ok = ok};
        for (int i = 0; i < 3; i++) CHECK(hw_mech_motion_new(arena, &p.m, &at[i]) == HW_OK);
        if (hw_mech_walk(&p.m, arena, p.at, 0, &sweep) != HW_OK) continue;
        if (at[1].conditioning > 300) continue; // fourth derivatives then outgrow h
        for (int b = 1; b < 6; b++) {
            const double *low = &at[0].pose[b].x, *high = &at[2].pose[b].x;
            const double *rate = &at[1].rate[b].x, *rate2 = &at[1].rate2[b].x;
            const double *rate_low = &at[0].rate[b].x, *rate_high = &at[2].rate[b].x;
            const double *rate2_low = &at[0].rate2[b].x, *rate2_high = &at[2].rate2[b].x;
            for (int c = 0; c < 3; c++) {
                double third = (rate2_high[c] - rate2_low[c]) / (2 * h);
                double first = (high[c] - low[c]) / (2 * h) - h * h / 6 * third;
                double second = (rate_high[c] - rate_low[c]) / (2 * h);
                double size = 1 + fabs(rate[c]) + fabs(rate2[c]);
                NEAR(first, rate[c], 1e-7 * size);
                NEAR(second, rate2[c], 1e-4 * (size + fabs(third)));
                checked++;
                slides += k % 3 == 0;
            }
        }
    }
    CHECK(checked > 3000 && slides > 500);
}

// Loads of any kind on a six-bar whose output slides: drive and loads do no work together.
static void virtual_work(void)
{
    hw_rng g = hw_rng_new(30, 5);
    int strokes = 0;
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 400; k++, hw_arena_rewind(arena, mark)) {
        planar p = random_six_bar(&g, k % 2 ? WATT : STEPHENSON, 1, hw_rng_uniform(&g, -2, 2));
        slide_last(&p, &g, k % 3 ? 0 : 1, true);
        planar_ends(&p);
        run r;
        walk(&p, &r, 1);
        hw_mech_load load[3];
        for (int i = 0; i < 3; i++)
            load[i] = (hw_mech_load){1 + (k + 2 * i) % 5, random_place(&g, -4, 4),
                                     random_place(&g, -4, 4), hw_rng_uniform(&g, -9, 9)};
        hw_mech_forces f;
        CHECK(hw_mech_forces_new(arena, &p.m, &f) == HW_OK);
        double largest = 0, worst = 0;
        for (int i = 0; i < POSES; i++) {
            const hw_mech_motion *at = &r.at[i];
            if (!r.ok[i] || at->conditioning > 1e9) continue;
            CHECK(hw_mech_balance(&p.m, arena, at->pose, load, 3, &f) == HW_OK);
            double work = f.driver[0] * p.driver[0].span;
            for (int j = 0; j < 3; j++) {
                int b = load[j].body;
                hw_vec2 v = hw_body_velocity(at->pose[b], at->rate[b], load[j].at);
                work += hw_dot(v, load[j].force) + load[j].couple * at->rate[b].angle;
            }
            largest = fmax(largest, fabs(f.driver[0]));
            worst = fmax(worst, fabs(work / p.driver[0].span));
        }
        CHECK(worst <= 1e-9 * largest);
        strokes++;
    }
    CHECK(strokes == 400);
}

// Ten times and a tenth of the size.
static void scale(void)
{
    hw_rng g = hw_rng_new(30, 6);
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 300; k++, hw_arena_rewind(arena, mark)) {
        planar p = random_six_bar(&g, k % 2 ? WATT : STEPHENSON, 1 + 4 * (k / 2 % 2), 1.5);
        planar_ends(&p);
        run r, z;
        walk(&p, &r, 1);
        for (int way = 0; way < 2; way++) {
            double by = way ? 10 : 0.1;
            planar q = p;
            planar_ends(&q);
            for (size_t i = 0; i < q.m.pins; i++) {
                q.pin[i].at_a = hw_scale(q.pin[i].at_a, by);
                q.pin[i].at_b = hw_scale(q.pin[i].at_b, by);
            }
            for (int b = 1; b < 6; b++) {
                q.at[b].x *= by;
                q.at[b].z *= by;
            }
            walk(&q, &z, 1);
            CHECK(z.code == r.code && z.sweep.events == r.sweep.events);
            if (r.sweep.events) {
                NEAR(z.event[0].s, r.event[0].s, 1e-12);
                CHECK(z.event[0].body == r.event[0].body && z.event[0].kind == r.event[0].kind);
            }
            for (int i = 0; i < POSES; i++) {
                CHECK(z.ok[i] == r.ok[i]);
                if (!z.ok[i] || !r.ok[i]) continue;
                double rounding = 1e-13 * r.at[i].conditioning;
                CLOSE(z.at[i].conditioning, r.at[i].conditioning, 1e-12 * r.at[i].conditioning);
                for (int b = 1; b < 6; b++) {
                    NEAR(z.at[i].pose[b].angle, r.at[i].pose[b].angle, rounding);
                    NEAR(z.at[i].pose[b].x / by, r.at[i].pose[b].x, 10 * rounding);
                }
            }
        }
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(fourbars);
    RUN(slider_cranks);
    RUN(six_bars_by_dyads);
    RUN(rates_against_differences);
    RUN(virtual_work);
    RUN(scale);
    hw_arena_free(arena);
    return TEST_END();
}
