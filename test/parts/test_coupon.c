#include "base/vec.h"
#include "parts/coupon.h"
#include "sound.h"

// Three printers, and a whole design ten times as large.
static hw_coupon_def def_of(int which)
{
    hw_coupon_def d = hw_coupon_def_default();
    d.mark = "Heron 1";
    if (which == 1) { // small nozzle
        d.line = 0.27 * mm;
        d.layer = 0.12 * mm;
        d.gap = 0.2 * mm;
    }
    if (which == 2) { // large nozzle, bare cones
        d.line = 0.65 * mm;
        d.layer = 0.3 * mm;
        d.gap = 0.4 * mm;
        d.land = 0;
        d.pad.texture = HW_PAD_GROOVES;
    }
    if (which == 3) {
        double *all[] = {&d.line,         &d.layer,
                         &d.gap,          &d.land,
                         &d.deviation,    &d.cone.engagement,
                         &d.cone.tip,     &d.cone.base,
                         &d.fork.height,  &d.fork.tang_radius,
                         &d.fork.setback, &d.pad.pitch,
                         &d.pad.depth,    &d.pad.margin};
        for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) *all[i] *= 10;
        for (int s = 0; s < 2; s++) {
            d.fork.cheek_y[s] *= 10;
            d.fork.cheek_thickness[s] *= 10;
            d.fork.tang_y[s] *= 10;
            d.fork.tang_thickness[s] *= 10;
            d.fork.depth[s] *= 10;
        }
    }
    return d;
}

static void sound_at_every_printer(void)
{
    double was[HW_COUPONS] = {0};
    for (int which = 0; which < 4; which++)
        for (int kind = 0; kind < HW_COUPONS; kind++) {
            hw_arena *keep = hw_arena_new(0);
            hw_coupon_def d = def_of(which);
            hw_coupon c;
            CHECK(hw_parts_coupon(keep, (hw_coupon_kind)kind, &d, &c) == HW_OK);
            CHECK(strlen(c.measure) > 40 && strlen(c.title) > 10 && c.caution);
            double sum = 0;
            for (size_t i = 0; i < c.set.parts; i++) {
                CHECK(c.set.part[i].role == HW_PART_COUPON && c.set.part[i].digit == -1);
                sum += sound_volume(&c.set.part[i].solid, c.set.part[i].name);
            }
            if (which == 0) was[kind] = sum;
            // numbers written on them differ: 0.25 and 2.5
            if (which == 3) CLOSE(sum, 1e3 * was[kind], 1e-2);
            hw_arena_free(keep);
        }
}

// Extent of a part's blocks in the bed frame.
static void extent(const hw_solid *s, double low[3], double high[3])
{
    for (int k = 0; k < 3; k++) {
        low[k] = INFINITY;
        high[k] = -INFINITY;
    }
    for (size_t i = 0; i < s->blocks; i++) {
        const hw_block *b = &s->block[i];
        if (b->op == HW_BLOCK_CUT) continue;
        for (int e = 0; e < 2; e++)
            for (size_t k = 0; k < b->at[e].n; k++) {
                const double p[3] = {b->at[e].at[k].x, b->y[e], b->at[e].at[k].z};
                for (int n = 0; n < 3; n++) {
                    low[n] = fmin(low[n], p[n]);
                    high[n] = fmax(high[n], p[n]);
                }
            }
    }
}

static void stand_on_the_bed(void)
{
    for (int kind = 0; kind < HW_COUPONS; kind++) {
        hw_arena *keep = hw_arena_new(0);
        hw_coupon_def d = def_of(0);
        hw_coupon c;
        CHECK(hw_parts_coupon(keep, (hw_coupon_kind)kind, &d, &c) == HW_OK);
        for (size_t i = 0; i < c.set.parts; i++) {
            double low[3], high[3];
            extent(&c.set.part[i].solid, low, high);
            NEAR(low[2], 0, 1e-12);
            CHECK(high[0] - low[0] < 180 * mm && high[1] - low[1] < 60 * mm);
            if (kind == HW_COUPON_TILT) NEAR(high[0] - low[0], c.value[0], 1e-12); // as written
        }
        hw_arena_free(keep);
    }
}

// Slices of the sockets at an axis, on the side of positive y: the cones of 45 degrees, a gap
// larger square to their flank. How many there are.
static size_t sockets(const hw_solid *s, const hw_coupon_def *d, double axis, double face,
                      double gap) // [m]
{
    size_t seen = 0;
    for (size_t b = 0; b < s->blocks; b++) {
        const hw_block *k = &s->block[b];
        if (k->op != HW_BLOCK_CUT || k->at[0].n <= 8 || k->y[0] < 0) continue;
        double x = 0, widest = 0;
        for (size_t n = 0; n < k->at[0].n; n++) x += k->at[0].at[n].x / (double)k->at[0].n;
        if (fabs(x - axis) > 0.1 * mm) continue;
        for (size_t n = 0; n < k->at[0].n; n++) widest = fmax(widest, fabs(k->at[0].at[n].x - x));
        double out = k->y[0] - face; // base - out, and gap / cos 45
        NEAR(widest, d->cone.base - out + gap * sqrt(2), d->deviation); // chords outside
        seen++;
    }
    return seen;
}

// In the plane half way up a gap coupon's cones the lever is a gap off its rails; and the sockets
// are the cones, a gap larger square to the flank.
static void gaps_as_marked(void)
{
    hw_arena *keep = hw_arena_new(0);
    hw_coupon_def d = def_of(0);
    d.mark = "";
    d.land = 0;
    hw_coupon c;
    CHECK(hw_parts_coupon(keep, HW_COUPON_GAP, &d, &c) == HW_OK);
    CHECK(c.values == 6 && c.set.parts == 7);
    SAME_TEXT(c.entry, "printer.gap");
    static const double want[6] = {0.15, 0.2, 0.25, 0.3, 0.35, 0.4};
    double face = d.fork.tang_thickness[0] / 2;
    for (size_t i = 0; i < 6; i++) {
        NEAR(c.value[i], want[i] * mm, 1e-12);
        // a rail begins where the pocket ends: one gap beyond the lever's face
        double low[3], high[3];
        extent(&c.set.part[i + 1].solid, low, high);
        NEAR(high[1], face + d.cone.engagement, 1e-12); // cones stand out
        double middle = (low[0] + high[0]) / 2, nearest = INFINITY;
        const hw_solid *frame = &c.set.part[0].solid;
        for (size_t b = 0; b < frame->blocks; b++) {
            const hw_block *k = &frame->block[b];
            if (k->op != HW_BLOCK_CUT || k->at[0].n != 4) continue;
            double x0 = k->at[0].at[0].x, x1 = k->at[0].at[1].x;
            if (x0 < middle && x1 > middle && k->y[0] < 0 && k->y[1] > 0)
                nearest = fmin(nearest, k->y[1]);
        }
        NEAR(nearest - face, c.value[i], 1e-12);
        CHECK(sockets(frame, &d, middle, face, c.value[i]) > 0);
    }
    hw_arena_free(keep);
}

// The joint of the retention and slop coupons is the design's: cheeks, depth and cones.
static void joints_as_designed(void)
{
    for (int kind = HW_COUPON_RETENTION; kind <= HW_COUPON_SLOP; kind++) {
        hw_arena *keep = hw_arena_new(0);
        hw_coupon_def d = def_of(0);
        d.mark = "";
        d.land = 0;
        hw_coupon c;
        CHECK(hw_parts_coupon(keep, (hw_coupon_kind)kind, &d, &c) == HW_OK);
        size_t pivots = kind == HW_COUPON_SLOP ? HW_COUPON_PIVOTS : 1;
        CHECK(c.set.parts == pivots + 1);
        if (kind == HW_COUPON_RETENTION) CHECK(strstr(c.caution, "eye protection") != NULL);
        const hw_solid *tangs = &c.set.part[0].solid, *fork = &c.set.part[1].solid;
        double low[3], high[3];
        extent(tangs, low, high);
        double axis = high[0] - d.fork.tang_radius;
        // across a cheek's middle: from half the height before the axis to the body's end
        double from = INFINITY, wall[2] = {INFINITY, INFINITY};
        for (size_t i = 0; i < fork->blocks; i++) {
            const hw_block *k = &fork->block[i];
            if (k->op == HW_BLOCK_CUT) continue;
            double x0 = INFINITY;
            for (size_t n = 0; n < k->at[0].n; n++) x0 = fmin(x0, k->at[0].at[n].x);
            for (int s = 0; s < 2; s++) {
                double y = d.fork.tang_y[s];
                if (k->y[0] < y && k->y[1] > y) wall[s] = fmin(wall[s], x0);
            }
            from = fmin(from, x0);
        }
        NEAR(axis - from, d.fork.height / 2, 1e-12);
        double face = d.fork.tang_y[1] + d.fork.tang_thickness[1] / 2;
        CHECK(sockets(fork, &d, axis, face, d.gap) > 0);
        // the earlier link's whole width ends where the design's does, or clear of the cheek
        double clear = fmax(d.fork.setback, d.fork.height / 2 + 4 * d.gap);
        NEAR(axis - tangs->block[0].at[0].at[1].x, clear, 1e-12);
        for (int s = 0; s < 2; s++) NEAR(wall[s] - axis, d.fork.depth[s], 1e-12);
        hw_arena_free(keep);
    }
}

// The pieces of a coupon do not touch: what one takes away from the box that another fills is the
// same whether or not the other was cut from it first. A piece is turned into its hole by
// exchanging adding and cutting, which holds for pieces whose cuts lie in their own material.
static void pieces_apart(void)
{
    for (int kind = HW_COUPON_RETENTION; kind <= HW_COUPON_SLOP; kind++) {
        hw_arena *keep = hw_arena_new(0);
        hw_coupon_def d = def_of(0);
        d.mark = "";
        hw_coupon c;
        CHECK(hw_parts_coupon(keep, (hw_coupon_kind)kind, &d, &c) == HW_OK);
        for (size_t i = 0; i + 1 < c.set.parts; i++) {
            const hw_solid *fork = &c.set.part[i + 1].solid;
            hw_block *hole = HW_NEW(keep, hw_block, c.set.part[i].solid.blocks);
            size_t blocks = 0;
            for (size_t k = 0; k < c.set.part[i].solid.blocks; k++) {
                hw_block b = c.set.part[i].solid.block[k];
                if (b.op == HW_BLOCK_CUT) continue;
                b.op = HW_BLOCK_CUT;
                hole[blocks++] = b;
            }
            hw_solid gone = {hole, blocks}, left = joined(keep, fork, &gone);
            for (double y = -8.0; y < 8; y += 0.19)
                NEAR(section_area(&left, y * mm), section_area(fork, y * mm), 1e-3);
        }
        hw_arena_free(keep);
    }
}

static void leaning_walls(void)
{
    hw_arena *keep = hw_arena_new(0);
    hw_coupon_def d = def_of(0);
    d.mark = "";
    hw_coupon c;
    CHECK(hw_parts_coupon(keep, HW_COUPON_OVERHANG, &d, &c) == HW_OK);
    CHECK(c.hangs && c.values == 9);
    size_t seen = 0;
    const hw_solid *s = &c.set.part[0].solid;
    for (size_t i = 0; i < s->blocks; i++) {
        const hw_block *b = &s->block[i];
        if (b->op == HW_BLOCK_CUT || b->at[0].n != 4) continue;
        hw_vec2 side = hw_sub(b->at[0].at[2], b->at[0].at[1]);
        if (side.x <= 0 || seen >= c.values) continue;
        NEAR(atan2(side.x, side.z), c.value[seen], 1e-12);
        seen++;
    }
    CHECK(seen == c.values);
    NEAR(c.value[3], HW_PI / 4, 1e-12);
    hw_arena_free(keep);
}

static void refused(void)
{
    hw_arena *keep = hw_arena_new(0);
    hw_coupon c;
    for (int i = 0; i < 8; i++) {
        hw_coupon_def d = def_of(0);
        if (i == 0) d.gap = 0;
        if (i == 1) d.line = -1;
        if (i == 2) d.land = d.cone.engagement;
        if (i == 3) d.cone.base = 0.5 * mm; // flank runs out before the tip
        if (i == 4) d.fork.depth[1] = d.fork.tang_radius / 2;
        if (i == 5) d.fork.height = d.fork.tang_radius;
        if (i == 6) d.mark = NULL;
        if (i == 7) d.cone.half_angle = HW_PI / 2;
        CHECK(hw_parts_coupon(keep, HW_COUPON_SLOP, &d, &c) == HW_BAD_INPUT);
        CHECK(c.set.parts == 0 && c.id && *c.id == '\0');
    }
    hw_coupon_def d = def_of(0);
    CHECK(hw_parts_coupon(keep, HW_COUPONS, &d, &c) == HW_BAD_INPUT);
    hw_arena_free(keep);
}

static void ids_stay(void)
{
    static const char *const id[HW_COUPONS] = {"gap", "retention", "slop", "tilt", "overhang"};
    for (int kind = 0; kind < HW_COUPONS; kind++) {
        hw_arena *keep = hw_arena_new(0);
        hw_coupon_def d = def_of(0);
        hw_coupon c;
        CHECK(hw_parts_coupon(keep, (hw_coupon_kind)kind, &d, &c) == HW_OK);
        SAME_TEXT(c.id, id[kind]);
        hw_arena_free(keep);
    }
}

static void out_of_memory(void)
{
    for (int kind = 0; kind < HW_COUPONS; kind++) {
        hw_code code = HW_NO_MEMORY;
        size_t n = 0;
        for (; n < 20000 && code == HW_NO_MEMORY; n += 7) {
            hw_arena *keep = hw_arena_new(0);
            hw_coupon_def d = def_of(2);
            hw_coupon c;
            hw_arena_fail_after(keep, n);
            code = hw_parts_coupon(keep, (hw_coupon_kind)kind, &d, &c);
            CHECK(code == HW_OK || (code == HW_NO_MEMORY && c.set.parts == 0));
            hw_arena_free(keep);
        }
        CHECK(code == HW_OK && n > 10);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(sound_at_every_printer);
    RUN(stand_on_the_bed);
    RUN(gaps_as_marked);
    RUN(joints_as_designed);
    RUN(pieces_apart);
    RUN(leaning_walls);
    RUN(refused);
    RUN(ids_stay);
    RUN(out_of_memory);
    return TEST_END();
}
