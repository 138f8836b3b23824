#include "base/vec.h"
#include "parts/blocks_internal.h"
#include "sound.h"

static hw_blocks a_block(hw_arena *keep)
{
    hw_blocks b = hw_blocks_new(keep, 0.005 * mm);
    hw_blocks_box(&b, HW_BLOCK_ADD, (hw_vec3){-10 * mm, -5 * mm, 0},
                  (hw_vec3){10 * mm, 5 * mm, 12 * mm});
    return b;
}

// Of a bore's section: 45 degrees from ridge to ridge, 2.83 radii apart, between upright sides.
static double ridged_area(double radius)
{
    return (4 * sqrt(2) - 2) * radius * radius;
}

// Bores of one and two steps, level and leaning, blind and through: what is missing is the
// octagon's area times its length.
static void bores(void)
{
    static const struct {
        double x0, z0, x1, z1, r0, r1, d0, d1;
        bool through;
    } row[] = {{-10, 6, 10, 6, 2, 0, 8, 0, false},
               {-10, 6, 10, 6, 2, 0, 20, 0, true},
               {-10, 6, 10, 6, 2, 0.8, 8, 14, false},
               {-10, 6, 10, 6, 2, 0.8, 8, 20, true},
               {10, 7, -10, 5, 1.5, 0.5, 5, 20, true}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        hw_arena *keep = hw_arena_new(0);
        hw_blocks b = a_block(keep);
        hw_bore h = {.from = {row[i].x0 * mm, row[i].z0 * mm},
                     .way = {row[i].x1 - row[i].x0, row[i].z1 - row[i].z0},
                     .y = 0.7 * mm,
                     .steps = row[i].r1 > 0 ? 2 : 1,
                     .radius = {row[i].r0 * mm, row[i].r1 * mm},
                     .depth = {row[i].d0 * mm, row[i].d1 * mm},
                     .through = row[i].through,
                     .wall = {0.8 * mm, 1 * mm}};
        hw_blocks_bore(&b, &h);
        CHECK(b.pile.code == HW_OK);
        hw_solid s = hw_blocks_solid(&b);
        double want = ridged_area(row[i].r0) * row[i].d0;
        if (h.steps == 2) want += ridged_area(row[i].r1) * (row[i].d1 - row[i].d0);
        NEAR(2400 - sound_volume(&s, "bore"), want, 0.02);
        hw_arena_free(keep);
    }
}

static void bores_refused(void)
{
    hw_arena *keep = hw_arena_new(0);
    const hw_bore good = {.from = {-10 * mm, 6 * mm},
                          .way = {1, 0},
                          .steps = 2,
                          .radius = {2 * mm, 1 * mm},
                          .depth = {5 * mm, 9 * mm},
                          .wall = {1 * mm, 1 * mm}};
    for (int i = 0; i < 5; i++) {
        hw_blocks b = a_block(keep);
        hw_bore h = good;
        if (i == 0) h.radius[1] = h.radius[0];
        if (i == 1) h.depth[1] = h.depth[0];
        if (i == 2) h.way.x = 0;
        if (i == 3) h.steps = 0;
        if (i == 4) h.wall[0] = 0;
        hw_blocks_bore(&b, &h);
        CHECK(b.pile.code == HW_BAD_INPUT && hw_blocks_solid(&b).blocks == 0);
    }
    hw_arena_free(keep);
}

// An upright hole never takes less than its disc, an upright pin never more; both come near it.
static void upright(void)
{
    hw_arena *keep = hw_arena_new(0);
    hw_upright u = {.at = {1 * mm, 0.3 * mm}, .radius = 3 * mm, .z = {4 * mm, 12 * mm}};
    double disc = HW_PI * 9 * 8;
    hw_blocks b = a_block(keep);
    hw_blocks_upright(&b, HW_BLOCK_CUT, &u, 0.1 * mm);
    hw_solid s = hw_blocks_solid(&b);
    double gone = 2400 - sound_volume(&s, "hole");
    CHECK(gone > disc && gone < 1.05 * disc);
    b = a_block(keep);
    u.z[0] = 12 * mm;
    u.z[1] = 20 * mm;
    hw_blocks_upright(&b, HW_BLOCK_ADD, &u, 0.1 * mm);
    s = hw_blocks_solid(&b);
    double more = sound_volume(&s, "pin") - 2400;
    CHECK(more < disc && more > 0.95 * disc);
    // a disc with an arm: as much as both, less what they share
    b = a_block(keep);
    u = (hw_upright){.at = {-3 * mm, 0},
                     .radius = 3 * mm,
                     .along = {0, 9 * mm},
                     .half = 2 * mm,
                     .z = {9 * mm, 12 * mm}};
    hw_blocks_upright(&b, HW_BLOCK_CUT, &u, 0.05 * mm);
    s = hw_blocks_solid(&b);
    double shared = 2 * sqrt(5) + 9 * asin(2.0 / 3); // of the half disc and the bar
    double want = 3 * (HW_PI * 9 + 4 * 9 - shared);
    gone = 2400 - sound_volume(&s, "horn");
    CHECK(gone > want && gone < 1.02 * want);
    hw_arena_free(keep);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(bores);
    RUN(bores_refused);
    RUN(upright);
    return TEST_END();
}
