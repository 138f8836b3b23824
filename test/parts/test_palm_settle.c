// What is left out of the palm's tray, the forearm and its cover as thin, in shapes by hand.
#include "check.h"

#include "palm_part.h"

// A block with a post that a fin stands out of, all its height: 4 mm long, `thick` thick. Whether
// the fin and the post are there once that part is settled.
static void finned(const char *name, double line, double thick, bool left[2]) // [m] [m]
{
    hw_arena *a = hw_arena_new(0), *work = hw_arena_new(0);
    const hw_palm_parts_def f = {.line = line, .wall = 2.52e-3, .gap = 0.3e-3, .bears = 15e6};
    const hw_frame in = hw_frame_identity();
    const double mm = 1e-3;
    const hw_field *part[] = {
        hw_field_box(a, &in, (hw_vec3){0, 0, 0}, (hw_vec3){14 * mm, 14 * mm, 4 * mm}),
        hw_field_box(a, &in, (hw_vec3){2 * mm, 4 * mm, 0}, (hw_vec3){6 * mm, 10 * mm, 15 * mm}),
        hw_field_box(a, &in, (hw_vec3){5 * mm, 5 * mm, 0},
                     (hw_vec3){10 * mm, 5 * mm + thick, 15 * mm})};
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    p->parts = 1;
    p->part[0] = (hw_palm_part){.field = hw_field_union(a, part, 3), .bed = in};
    strcpy(p->part[0].name, name);
    CHECK(hw_palm_parts_settle(a, work, &f, NULL, p, NULL) == HW_OK);
    left[0] = depth_at(&p->part[0], 8 * mm, 5 * mm + thick / 2, 10 * mm) > 0;
    left[1] = depth_at(&p->part[0], 4 * mm, 7 * mm, 10 * mm) > 0;
    hw_arena_free(a);
    hw_arena_free(work);
}

// A post bears what a fin that hangs on it does not: what is thinner than a line and a quarter
// goes from the tray, a line from the others, at lines of 0.42 mm in walls of six. Lids of forearms
// are plates: nothing is asked of them.
static void fins_go(void)
{
    static const char *const name[] = {"palm tray", "forearm", "forearm rear", "forearm cover"};
    bool left[2];
    for (size_t i = 0; i < sizeof name / sizeof *name; i++) {
        finned(name[i], 0.42e-3, i ? 0.42e-3 : 0.53e-3, left);
        CHECK(!left[0] && left[1]);
        finned(name[i], 0.42e-3, 0.85e-3, left);
        CHECK(left[0] && left[1]);
    }
    finned("palm tray", 0.05e-3, 0.85e-3, left); // the finest lines ask for no finer cells
    CHECK(left[0] && left[1]);
    finned("forearm lid", 0.42e-3, 0.53e-3, left);
    CHECK(left[0] && left[1]);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(fins_go);
    (void)hw_check_text;
    return TEST_END();
}
