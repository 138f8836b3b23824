#include "group.h"
#include "sound.h"

#include "parts/pulley_internal.h"

static hw_pulley_def def_of(double k) // scale [1]
{
    return (hw_pulley_def){.radius = 9.5 * mm * k,
                           .cord = 1 * mm * k,
                           .from = -33 * mm * k,
                           .beside = 6.5 * mm * k,
                           .gap = 0.25 * mm * k,
                           .line = 0.42 * mm * k,
                           .deviation = 0.005 * mm * k,
                           .spool = 1.75 * mm * k,
                           .holes = 7,
                           .pin = 1.75 * mm * k};
}

// A digit of common sizes, k times as large.
static hw_layers digit_of(double k, hw_layer_order order, hw_digit *d)
{
    *d = hw_digit_default();
    d->family = HW_FAMILY_COUPLED_BARS;
    d->bar[1].depth_one = 2.2 * mm;
    hw_layers_def f = hw_layers_def_default();
    f.order = order;
    if (order == HW_ORDER_A_ASTRIDE) f.count[0] = 2;
    if (order == HW_ORDER_B_ASTRIDE) f.count[1] = 2;
    double *all[] = {&f.cheek[0],
                     &f.cheek[1],
                     &f.tang[0],
                     &f.tang[1],
                     &f.gap,
                     &f.line,
                     &f.web,
                     &f.foot_at[0],
                     &f.foot_at[1],
                     &f.foot_length[0],
                     &f.foot_length[1],
                     &f.engagement,
                     &f.tip,
                     &f.disc[0],
                     &f.disc[1],
                     &f.disc[2],
                     &d->width,
                     &d->tip_thickness,
                     &d->pivot_radius,
                     &d->pivot_play};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) *all[i] *= k;
    for (int j = 0; j < HW_JOINTS; j++) {
        d->phalanx[j] *= k;
        d->thickness[j] *= k;
    }
    for (int b = 0; b < 2; b++) {
        d->bar[b].root = hw_scale(d->bar[b].root, k);
        d->bar[b].horn *= k;
        d->bar[b].width *= k;
        d->bar[b].depth *= k;
        d->bar[b].depth_one *= k;
    }
    hw_layers l;
    CHECK(hw_layers_of(&f, d, &l) == HW_OK);
    return l;
}

static void tangents(void)
{
    for (int i = 0; i < 40; i++) {
        hw_vec2 point = {-20 * mm - i * mm, (i % 7) * mm};
        for (int sense = -1; sense <= 1; sense += 2) {
            double angle;
            hw_vec2 way = hw_tangent_toward(10 * mm, point, sense, &angle);
            hw_vec2 touch = {10 * mm * cos(angle), 10 * mm * sin(angle)};
            NEAR(hw_norm(way), 1, 1e-12);
            NEAR(hw_dot(way, touch) / (10 * mm), 0, 1e-12); // square to the radius
            hw_vec2 to = hw_sub(point, touch);
            NEAR((to.x * way.z - to.z * way.x) / hw_norm(to), 0, 1e-12);
            CHECK(sense * touch.z > 0 && hw_dot(to, way) > 0);
        }
    }
    double angle;
    CHECK(isnan(hw_tangent_toward(10 * mm, (hw_vec2){-5 * mm, 0}, 1, &angle).x));
}

// A cord of the given size lies with its middle at the radius, touching both flanks, which lean by
// 45 degrees; nothing of rim or cord comes nearer the carrier's front than a gap.
static void groove(void)
{
    hw_digit d;
    hw_layers l = digit_of(1, HW_ORDER_BESIDE, &d);
    hw_pulley_def f = def_of(1);
    hw_pulley p;
    CHECK(hw_pulley_of(&f, &d, &l, &p) == HW_OK);
    CHECK(l.layer[p.layer].use == HW_LAYER_BAR_B && p.outward == 1);
    NEAR(p.y, l.layer[p.layer].y, 0);
    double rise = p.flank[1] - p.flank[0], wide = p.half[1] - p.half[0];
    CLOSE(rise, wide, 1e-12);
    // distance of the cord's middle from a flank's line, which goes through (half, flank) at 45
    // degrees
    NEAR((f.radius - (p.flank[0] - p.half[0])) / sqrt(2), f.cord / 2, 1e-12);
    CHECK(p.half[1] > f.cord / 2 / sqrt(2)); // and touches it above the groove's bottom
    CHECK(p.half[1] + f.line <= l.layer[p.layer].thickness / 2 + 1e-12);
    CHECK(p.rim <= d.thickness[0] / 2 && p.rim + f.gap <= l.fork[0].setback + 1e-12);
    NEAR(p.room, fmin(d.thickness[0] / 2, l.fork[0].setback - f.gap) - f.radius - f.cord / 2,
         1e-12);
    // blocks: the two tapered plates are the flanks
    hw_arena *keep = hw_arena_new(0);
    hw_blocks b = hw_blocks_new(keep, f.deviation);
    hw_pulley_put(&b, &p, &f, &l, 0, (hw_vec2){0, 0});
    CHECK(b.pile.code == HW_OK);
    int flanks = 0;
    for (size_t i = 0; i < b.pile.blocks; i++) {
        const hw_block *k = &b.pile.block[i];
        if (k->at[0].at == k->at[1].at) continue;
        for (size_t n = 0; n < k->at[0].n; n++) {
            double r = hw_norm(k->at[1].at[n]) - hw_norm(k->at[0].at[n]);
            CLOSE(fabs(r), k->y[1] - k->y[0], 1e-9);
        }
        flanks++;
    }
    CHECK(flanks == 2);
    hw_solid s = hw_blocks_solid(&b);
    // area in the groove's middle plane, the cord's channel and knot cut into nothing
    double turn = p.arc[1] - p.arc[0], r = p.flank[0] / mm;
    double want = r * r / 2 * (turn + sin(2 * HW_PI - turn));
    CLOSE(section_area(&s, p.y), want, 2e-3);
    hw_arena_free(keep);
}

// Both cords touch within the round part at any pose, and come in along the pulley's tangents.
static void arc(void)
{
    hw_digit d;
    hw_layers l = digit_of(1, HW_ORDER_BESIDE, &d);
    hw_pulley_def f = def_of(1);
    hw_pulley p;
    CHECK(hw_pulley_of(&f, &d, &l, &p) == HW_OK);
    for (int i = 0; i < 2; i++) {
        double sense = i == 0 ? -1 : 1, touch;
        hw_vec2 way =
            hw_tangent_toward(f.radius, (hw_vec2){f.from, sense * f.beside}, sense, &touch);
        NEAR(way.x - p.toward[i].x, 0, 1e-15);
        NEAR(way.z - p.toward[i].z, 0, 1e-15);
        for (int k = 0; k <= 10; k++) {
            double flexion =
                l.fork[0].travel[0] + k / 10.0 * (l.fork[0].travel[1] - l.fork[0].travel[0]);
            // a place that flexion turns toward the palm lies that much nearer the back in the part
            double angle = touch + flexion;
            CHECK(angle > p.arc[0] + 0.1 && angle < p.arc[1] - 0.1);
        }
    }
    // with the closed digit the closing cord still lies on the groove before its knot
    double knot = atan2(p.knot[0].z, p.knot[0].x), touch;
    hw_tangent_toward(f.radius, (hw_vec2){f.from, -f.beside}, -1, &touch);
    CHECK(knot > touch + l.fork[0].travel[1]);
    CHECK(hw_norm(p.knot[0]) - p.knot_radius > p.flank[1]);
}

// Positions counted: turn the spool round and see where a hole of the flange meets one of the
// recess.
static void vernier(void)
{
    for (int n = 3; n <= 9; n++) {
        hw_digit d;
        hw_layers l = digit_of(1, HW_ORDER_BESIDE, &d);
        hw_pulley_def f = def_of(1);
        f.holes = n;
        hw_pulley p;
        CHECK(hw_pulley_of(&f, &d, &l, &p) == HW_OK);
        int met = 0, steps = 5040 * 2;
        for (int k = 0; k < steps; k++) {
            double turn = 2 * HW_PI * k / steps;
            bool here = false;
            for (int i = 0; i < n; i++)
                for (int j = 0; j <= n; j++) {
                    double off = turn + 2 * HW_PI * i / n - 2 * HW_PI * j / (n + 1);
                    here = here || fabs(remainder(off, 2 * HW_PI)) < 1e-9;
                }
            met += here;
        }
        CHECK(met == n * (n + 1));
        NEAR(p.spool.positions, met, 0);
    }
}

static void spool_place(void)
{
    hw_digit d;
    hw_layers l = digit_of(1, HW_ORDER_BESIDE, &d);
    hw_pulley_def f = def_of(1);
    hw_pulley p;
    CHECK(hw_pulley_of(&f, &d, &l, &p) == HW_OK);
    const hw_spool_place *s = &p.spool;
    CHECK(s->fits && isnan(p.knot[1].x));
    NEAR(s->recess - s->flange, f.gap, 1e-12);
    NEAR(s->drum + f.cord / 2, f.spool, 1e-12);
    CHECK(s->circle - s->hole - s->pocket >= 2 * f.line - 1e-12);
    CHECK(s->flange - s->circle - s->hole >= 2 * f.line - 1e-12);
    CHECK(s->wall >= 2 * f.line);
    CHECK(s->at.x - s->recess - l.fork[0].depth[1] >= s->wall - 1e-12);
    CHECK(d.phalanx[0] - l.fork[1].setback - s->at.x - s->recess >= s->wall - 1e-12);
    CHECK(hw_norm(hw_sub(s->at, p.knot[0])) - s->recess - p.knot_radius >= s->wall - 1e-12);
    // the cord runs straight from one circle to the other, touching both
    hw_vec2 way = hw_sub(s->arrives, s->leaves);
    NEAR(hw_dot(way, s->leaves) / hw_norm(way) / f.radius, 0, 1e-12);
    NEAR(hw_dot(way, hw_sub(s->arrives, s->at)) / hw_norm(way) / f.spool, 0, 1e-12);
    NEAR(hw_norm(s->leaves), f.radius, 1e-12);
    NEAR(hw_norm(hw_sub(s->arrives, s->at)), f.spool, 1e-12);
    // no room in a short phalanx: both cords are knotted
    d.phalanx[0] = 26 * mm;
    CHECK(hw_pulley_of(&f, &d, &l, &p) == HW_OK);
    CHECK(!p.spool.fits && isfinite(p.knot[1].x));
    f.spool = 0;
    CHECK(hw_pulley_of(&f, &d, &l, &p) == HW_OK && !p.spool.fits);
}

// The spool on its own: solid, its flange a disc with n holes less slot, seat and the cord's hole.
static void spool_shape(void)
{
    hw_digit d;
    hw_layers l = digit_of(1, HW_ORDER_BESIDE, &d);
    for (int n = 3; n <= 9; n += 2) {
        hw_pulley_def f = def_of(1);
        f.holes = n;
        hw_pulley p;
        CHECK(hw_pulley_of(&f, &d, &l, &p) == HW_OK);
        hw_arena *keep = hw_arena_new(0);
        hw_blocks b = hw_blocks_new(keep, f.deviation);
        hw_spool_put(&b, &p.spool, &f, (hw_vec2){3 * mm, -40 * mm});
        CHECK(b.pile.code == HW_OK);
        hw_solid s = hw_blocks_solid(&b);
        double volume = sound_volume(&s, "spool"), m3 = mm * mm * mm;
        double flange = HW_PI * p.spool.flange * p.spool.flange * p.spool.thickness / m3;
        double holes = n * HW_PI * p.spool.hole * p.spool.hole * p.spool.thickness / m3;
        double drum = HW_PI * p.spool.drum * p.spool.drum * p.spool.length / m3;
        CHECK(volume < flange - holes + drum && volume > 0.85 * (flange - holes + drum));
        hw_arena_free(keep);
    }
}

static void where_there_is_none(void)
{
    hw_digit d;
    hw_pulley_def f = def_of(1);
    hw_pulley p;
    hw_layers l = digit_of(1, HW_ORDER_A_ASTRIDE, &d);
    CHECK(hw_layers_pulley(&l) == -1 && hw_pulley_of(&f, &d, &l, &p) == HW_NOT_FOUND);
    l = digit_of(1, HW_ORDER_B_ASTRIDE, &d);
    int at = hw_layers_pulley(&l); // on the side whose bar B layer no post of bar A crosses
    CHECK(at > 0 && l.layer[at].use == HW_LAYER_BAR_B && l.layer[at].side == 1);
    hw_layers none = {.n = 0};
    CHECK(hw_pulley_of(&f, &d, &none, &p) == HW_BAD_INPUT);
}

static void refused(void)
{
    hw_digit d;
    hw_layers l = digit_of(1, HW_ORDER_BESIDE, &d);
    for (int i = 0; i < 7; i++) {
        hw_pulley_def f = def_of(1);
        if (i == 0) f.radius = 0;
        if (i == 1) f.cord = -1;
        if (i == 2) f.from = -5 * mm; // inside the pulley
        if (i == 3) f.holes = 2;
        if (i == 4) f.holes = 6.5;
        if (i == 5) f.spool = f.cord / 2;
        if (i == 6) f.line = NAN;
        hw_pulley p;
        CHECK(hw_pulley_of(&f, &d, &l, &p) == HW_BAD_INPUT && p.layer == -1 && isnan(p.room));
    }
    hw_pulley_def f = def_of(1); // larger than the knuckle: no pulley, and by how much
    f.radius = 14 * mm;
    hw_pulley p;
    CHECK(hw_pulley_of(&f, &d, &l, &p) == HW_BAD_INPUT);
    CHECK(p.room < -2 * mm && p.layer == -1);
}

static void scales(void)
{
    hw_digit d;
    hw_layers l = digit_of(1, HW_ORDER_BESIDE, &d);
    hw_pulley_def f = def_of(1);
    hw_pulley small, large;
    CHECK(hw_pulley_of(&f, &d, &l, &small) == HW_OK);
    l = digit_of(10, HW_ORDER_BESIDE, &d);
    f = def_of(10);
    CHECK(hw_pulley_of(&f, &d, &l, &large) == HW_OK);
    CLOSE(large.rim, 10 * small.rim, 1e-12);
    CLOSE(large.spool.at.x, 10 * small.spool.at.x, 1e-9);
    CLOSE(large.spool.wall, 10 * small.spool.wall, 1e-9);
    NEAR(large.arc[1], small.arc[1], 1e-12);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(tangents);
    RUN(groove);
    RUN(arc);
    RUN(vernier);
    RUN(spool_place);
    RUN(spool_shape);
    RUN(where_there_is_none);
    RUN(refused);
    RUN(scales);
    return TEST_END();
}
