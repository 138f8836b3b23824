#include "base/vec.h"
#include "parts/blocks_internal.h"
#include "parts/pad.h"
#include "sound.h"

static const hw_pad_def plain = {.recess = 0.8e-3, .margin = 1e-3};
static const hw_pad_place palm = {
    .x = {0, 20e-3}, .y = {-6e-3, 6e-3}, .z = 0, .inward = 1, .line = 0.42e-3};

static double cut_from_plate(const hw_pad_def *def, const hw_pad_place *at, const char *what)
{
    hw_arena *keep = hw_arena_new(0);
    hw_blocks b = hw_blocks_new(keep, 0.01 * mm);
    double z0 = fmin(at->z, at->z + at->inward * 4 * mm);
    hw_blocks_box(&b, HW_BLOCK_ADD, (hw_vec3){at->x[0], at->y[0], z0},
                  (hw_vec3){at->x[1], at->y[1], z0 + 4 * mm});
    hw_pad pad;
    CHECK(hw_pad_blocks(keep, def, at, &pad) == HW_OK);
    hw_solid plate = hw_blocks_solid(&b), all = joined(keep, &plate, &pad.cut);
    double whole = (at->x[1] - at->x[0]) * (at->y[1] - at->y[0]) * 4 * mm;
    double gone = whole / (mm * mm * mm) - sound_volume(&all, what);
    hw_arena_free(keep);
    return gone;
}

static void recess(void)
{
    double length;
    NEAR(hw_pad_strip(&plain, &palm, &length), 10 * mm, 1e-12);
    NEAR(length, 18 * mm, 1e-12);
    NEAR(cut_from_plate(&plain, &palm, "recess"), 18 * 10 * 0.8, 1e-2);
    hw_pad_place above = palm;
    above.inward = -1;
    above.z = 7 * mm;
    NEAR(cut_from_plate(&plain, &above, "recess above"), 18 * 10 * 0.8, 1e-2);
    // on the bed its ceiling is a declared bridge; above it none is needed
    hw_arena *keep = hw_arena_new(0);
    hw_pad pad;
    CHECK(hw_pad_blocks(keep, &plain, &palm, &pad) == HW_OK);
    CHECK(pad.allows == 1 && pad.allow[0].kind == HW_ALLOW_BRIDGE);
    CHECK(pad.allow[0].low.z < 0.8 * mm && pad.allow[0].high.z > 0.8 * mm);
    CHECK(hw_pad_blocks(keep, &plain, &above, &pad) == HW_OK && pad.allows == 0);
    hw_pad_def none = {.margin = 1 * mm};
    CHECK(hw_pad_blocks(keep, &none, &palm, &pad) == HW_OK && pad.cut.blocks == 0);
    hw_pad_def wide = plain;
    wide.margin = 6 * mm; // nothing is left of the width
    CHECK(hw_pad_blocks(keep, &wide, &palm, &pad) == HW_OK && pad.cut.blocks == 0);
    NEAR(hw_pad_strip(&wide, &palm, &length), 0, 0);
    hw_arena_free(keep);
}

// Grooves are triangles of the depth's square, as many as the pitch asks.
static void grooves(void)
{
    hw_pad_def d = {
        .margin = 1 * mm, .texture = HW_PAD_GROOVES, .pitch = 2.5 * mm, .depth = 0.5 * mm};
    // 18 - 1 mm from first to last middle: 7 grooves of 0.25 mm^2, 12 - 2 mm long
    NEAR(cut_from_plate(&d, &palm, "grooves"), 7 * 0.25 * 10, 1e-2);
    d.depth = 0.7 * mm;
    NEAR(cut_from_plate(&d, &palm, "deep grooves"), 7 * 0.49 * 10, 1e-2);
    // flanks of 45 degrees
    hw_arena *keep = hw_arena_new(0);
    hw_pad pad;
    CHECK(hw_pad_blocks(keep, &d, &palm, &pad) == HW_OK && pad.cut.blocks == 7);
    for (size_t i = 0; i < pad.cut.blocks; i++) {
        const hw_vec2 *v = pad.cut.block[i].at[0].at;
        for (int e = 0; e < 2; e++) {
            hw_vec2 flank = hw_sub(v[2], v[e]);
            CLOSE(fabs(flank.x), fabs(flank.z), 1e-12);
        }
    }
    hw_arena_free(keep);
}

// Channels along: as much again as leaves the grooves out that cross them.
static void squares(void)
{
    for (int i = 0; i < 12; i++) {
        hw_pad_def d = {.margin = (i % 3) * 0.7 * mm,
                        .texture = HW_PAD_SQUARES,
                        .pitch = (2.2 + 0.3 * i) * mm,
                        .depth = (0.3 + 0.05 * i) * mm};
        hw_pad_place at = palm;
        at.inward = i % 2 ? 1 : -1;
        at.line = i < 6 ? 0.42 * mm : 0.27 * mm;
        double gone = cut_from_plate(&d, &at, "squares");
        double length = 20 - 2 * d.margin / mm, width = 12 - 2 * d.margin / mm;
        double depth = d.depth / mm, line = at.line / mm, pitch = d.pitch / mm;
        double grooves = floor((length - 2 * depth) / pitch) + 1;
        double channels = floor((width - line) / pitch) + 1;
        // a channel's section less what of a groove's triangle lies in it, below 0.8 of the depth
        double crossed = depth * depth * (1 - 0.2 * 0.2);
        double want = grooves * depth * depth * width +
                      channels * line * (0.8 * depth * length - grooves * crossed);
        CLOSE(gone, want, 2e-3);
    }
}

static void refused(void)
{
    hw_arena *keep = hw_arena_new(0);
    for (int i = 0; i < 7; i++) {
        hw_pad_def d = {
            .margin = 1 * mm, .texture = HW_PAD_GROOVES, .pitch = 2 * mm, .depth = 0.5 * mm};
        hw_pad_place at = palm;
        if (i == 0) d.pitch = 1.4 * mm;
        if (i == 1) d.depth = 0;
        if (i == 2) d.recess = -1;
        if (i == 3) d.texture = HW_PAD_TEXTURES;
        if (i == 4) at.inward = 0;
        if (i == 5) at.x[1] = at.x[0];
        if (i == 6) at.line = NAN;
        hw_pad pad;
        CHECK(hw_pad_blocks(keep, &d, &at, &pad) == HW_BAD_INPUT && pad.cut.blocks == 0);
    }
    hw_pad_def fine = {.texture = HW_PAD_GROOVES, .pitch = 1e-6, .depth = 1e-7};
    hw_pad pad;
    hw_pad_place thin = palm;
    thin.line = 1e-7;
    CHECK(hw_pad_blocks(keep, &fine, &thin, &pad) == HW_LIMIT);
    hw_arena_free(keep);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(recess);
    RUN(grooves);
    RUN(squares);
    RUN(refused);
    return TEST_END();
}
