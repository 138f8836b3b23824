// What is left out of the palm's tray as thin, in shapes by hand.
#include "check.h"

#include "palm_part.h"

// A block with a post that a fin stands out of, all its height: 4 mm long, `thick` thick. Whether
// the fin and the post are there once the tray is settled.
static void finned(double thick, bool left[2]) // [m]
{
    hw_arena *a = hw_arena_new(0), *work = hw_arena_new(0);
    const hw_palm_parts_def f = {.wall = 2.52e-3, .gap = 0.3e-3, .bears = 15e6};
    const hw_frame in = hw_frame_identity();
    const double mm = 1e-3;
    const hw_field *part[] = {
        hw_field_box(a, &in, (hw_vec3){0, 0, 0}, (hw_vec3){14 * mm, 14 * mm, 4 * mm}),
        hw_field_box(a, &in, (hw_vec3){2 * mm, 4 * mm, 0}, (hw_vec3){6 * mm, 10 * mm, 15 * mm}),
        hw_field_box(a, &in, (hw_vec3){5 * mm, 5 * mm, 0},
                     (hw_vec3){10 * mm, 5 * mm + thick, 15 * mm})};
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    p->parts = 1;
    p->part[0] =
        (hw_palm_part){.name = "palm tray", .field = hw_field_union(a, part, 3), .bed = in};
    CHECK(hw_palm_parts_settle(a, work, &f, NULL, p, NULL) == HW_OK);
    left[0] = depth_at(&p->part[0], 8 * mm, 5 * mm + thick / 2, 10 * mm) > 0;
    left[1] = depth_at(&p->part[0], 4 * mm, 7 * mm, 10 * mm) > 0;
    hw_arena_free(a);
    hw_arena_free(work);
}

// A post bears what a fin that hangs on it does not: what is thinner than a line and a quarter
// goes, at lines of 0.42 mm in walls of six.
static void fins_go(void)
{
    bool left[2];
    finned(0.53e-3, left);
    CHECK(!left[0] && left[1]);
    finned(0.85e-3, left);
    CHECK(left[0] && left[1]);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(fins_go);
    (void)hw_check_text;
    return TEST_END();
}
