// Lips of the tray over the front of the palm's lid: they hold it, and it can be pushed under them.
#include "check.h"

#include "palm_part.h"
#include "parts/palm_hold.h"
#include "parts/palm_internal.h"

static const char *fault;

// By hand: a lip a millimetre wide at its lean over a plate of 2 mm, seen from the side.
static hw_palm_parts lipped(hw_arena *a, double lean, double back, double stem) // [m]
{
    const double mm = 1e-3, far = 10 * mm;
    const hw_frame in = hw_frame_identity();
    hw_palm_parts p = {.parts = 2, .lid_hooks = 1};
    p.lid_hook[0] = (hw_lid_hook){.at = {0, 0, 0}, .wide = 3 * mm, .lean = 1 * mm};
    hw_vec2 lip[] = {{0, -far},       {2 * mm, -far},           {2 * mm, 3 * mm},
                     {-lean, 3 * mm}, {-lean, 0.5 * mm + lean}, {0, 0.5 * mm}};
    hw_vec2 lid[] = {{-far, 0},
                     {-0.2 * mm - back, 0},
                     {-0.2 * mm - back, 0.4 * mm},
                     {-1.2 * mm - back, 1.4 * mm},
                     {-1.2 * mm - back, 2 * mm},
                     {-far, 2 * mm}};
    const hw_polygon shape[] = {{lip, 6}, {lid, 6}};
    const hw_field *tray = hw_field_prism(a, &in, &shape[0], -1.5 * mm, 1.5 * mm);
    if (stem > 0) // cut through
        tray = hw_field_cut(a, tray,
                            hw_field_box(a, &in, (hw_vec3){-far, -far, -0.6 * mm},
                                         (hw_vec3){far, -stem, -0.3 * mm}));
    p.part[0] = (hw_palm_part){.name = "palm tray", .field = tray, .bed = in};
    p.part[1] = (hw_palm_part){
        .name = "palm lid", .field = hw_field_prism(a, &in, &shape[1], -far, far), .bed = in};
    return p;
}

static void lips_count(void)
{
    hw_arena *a = hw_arena_new(0);
    const double mm = 1e-3;
    hw_palm_parts p = lipped(a, 1 * mm, 0, 0);
    CHECK(hw_palm_lid_hooked(&p) == 1 && hw_palm_lid_front(&p));
    p = lipped(a, 0.6 * mm, 0, 0); // it does not lean so far
    CHECK(hw_palm_lid_hooked(&p) == 0);
    p = lipped(a, 1 * mm, 0.9 * mm, 0); // the lid is not yet under it
    CHECK(hw_palm_lid_hooked(&p) == 0);
    p = lipped(a, 1 * mm, 0, 0.3 * mm); // its stem is cut but for a part
    CHECK(hw_palm_lid_hooked(&p) == 0 && !hw_palm_lid_front(&p));
    for (int k = 0; k < 2; k++) { // a screw at the wrist, one before it
        p.lid_screws = 1;
        p.lid_screw[0] = (hw_vec3){(k ? 10 : -4) * mm, 0, 0};
        CHECK(hw_palm_lid_front(&p) == k);
    }
    hw_arena_free(a);
}

// How deep places of the lid, moved, lie in the tray round a lip.
static double deepest(const hw_palm_parts *p, const hw_lid_hook *h, hw_vec3 by) // [m]
{
    enum { N = 17 };
    const hw_palm_part *tray = part_of(p, "palm tray"), *lid = part_of(p, "palm lid");
    double most = -INFINITY;
    for (int i = 0; i < N * N * N; i++) {
        const hw_vec3 at = {h->at.x + 9e-3 * ((i % N) / (N - 1.0) - 0.5),
                            h->at.y + 2 * h->wide * ((i / N % N) / (N - 1.0) - 0.5),
                            h->at.z + 5e-3 * ((i / N / N) / (N - 1.0))};
        const double in = depth_at(lid, at.x - by.x, at.y - by.y, at.z - by.z);
        if (in > most) most = fmax(most, fmin(in, depth_at(tray, at.x, at.y, at.z)));
    }
    return most;
}

// How deep places of the servos' parts that stand out over the lid's plane lie in it, moved.
static double on_servos(const hw_palm_parts *p, const hw_palm_parts_def *f, hw_vec3 by) // [m]
{
    enum { N = 7 };
    const hw_palm_part *lid = part_of(p, "palm lid");
    double most = -INFINITY;
    for (size_t s = 0; s < f->palm_servos; s++)
        for (int k = 0; k < HW_BOX_LEAD; k++)
            for (int i = 0; i < N * N * N; i++) {
                const hw_box3 box = hw_servo_box_of(&f->palm[s], (hw_servo_box)k, 0);
                const double share[] = {i % N / (N - 1.0), i / N % N / (N - 1.0),
                                        i / N / N / (N - 1.0)};
                most = fmax(
                    most, depth_at(lid, box.low.x + share[0] * (box.high.x - box.low.x) - by.x,
                                   box.low.y + share[1] * (box.high.y - box.low.y) - by.y,
                                   fmax(box.low.z + share[2] * (box.high.z - box.low.z), f->split) -
                                       by.z));
            }
    return most;
}

// The default palm has a lip on each side. Its lid comes down behind its place, is pushed under
// them, and cannot be lifted there.
static void lids_are_pushed_on(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    if (!CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK)) return;
    CHECK(p->lid_hooks == 2 && hw_palm_lid_hooked(p) == 2);
    const hw_palm_build b = {.f = &f};
    const double slide = hw_hook_slide(&b);
    CHECK(slide > p->lid_hook[0].lean + f.gap && slide < 3e-3);
    for (size_t i = 0; i < p->lid_hooks; i++) {
        const hw_lid_hook *h = &p->lid_hook[i];
        CHECK(h->at.x > 25e-3 && h->wide >= 1.26e-3);
        CHECK((h->at.y > 0) == (i == 1)); // one on each side
        for (int k = 0; k <= 3; k++) {
            CHECK(deepest(p, h, (hw_vec3){-slide * k / 3, 0, 0}) < 0);
            CHECK(deepest(p, h, (hw_vec3){-slide, 0, 1e-3 * k}) < 0);
        }
        CHECK(deepest(p, h, (hw_vec3){0, 0, 1.2e-3}) > 0.05e-3);
    }
    f.palm[0].frame.at.z += f.split - f.palm[0].frame.at.z; // its horn stands in the lid
    if (!CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK && p->lid_hooks > 0)) return;
    for (int k = 0; k <= 2; k++) {
        CHECK(!(on_servos(p, &f, (hw_vec3){-slide * k / 2, 0, 0}) > 0));
        CHECK(!(on_servos(p, &f, (hw_vec3){-slide, 0, 2e-3 * k}) > 0));
    }
    CHECK(on_servos(p, &f, (hw_vec3){2 * slide, 0, 0}) > 0.3e-3); // they are seen
    hw_arena_free(a);
}

// Without a screw nothing would keep the lid under lips: there are none.
static void no_lips_without_screws(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    f.arm_servos = 0;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    CHECK(p->lid_screws == 0 && p->lid_hooks == 0);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(lips_count);
    RUN(lids_are_pushed_on);
    RUN(no_lips_without_screws);
    (void)hw_check_text;
    return TEST_END();
}
