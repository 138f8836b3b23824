// What a servo stands against, by hand in a block with a pocket, and in the default palm's tray.
#include "check.h"
#include "parts/palm_hold.h"

#include <math.h>

static const double mm = 1e-3;

// A case of 20 x 8 x 16 mm with ears of 3 mm to each side, 2 mm thick, 10 mm above its bottom, the
// shaft in its middle.
static hw_palm_servo servo_of(double scale)
{
    return (hw_palm_servo){.frame = hw_frame_identity(),
                           .length = 20 * mm * scale,
                           .width = 8 * mm * scale,
                           .height = 16 * mm * scale,
                           .ear_span = 26 * mm * scale,
                           .ear_thickness = 2 * mm * scale,
                           .ear_at = 10 * mm * scale,
                           .shaft_at = 10 * mm * scale};
}

// A tray with its top at `top` that fills all below and round the servo but for its room and what
// is on the side of x > open.
static const hw_field *tray_round(hw_arena *a, double scale, double top, double open) // [m] [m]
{
    const hw_frame in = hw_frame_identity();
    double g = 0.2 * mm * scale, far = 60 * mm * scale;
    hw_vec3 c[2] = {{-10 * mm * scale - g, -4 * mm * scale - g, -16 * mm * scale - g},
                    {10 * mm * scale + g, 4 * mm * scale + g, far}};
    hw_vec3 e[2] = {{-13 * mm * scale - g, -4 * mm * scale - g, -6 * mm * scale - g},
                    {13 * mm * scale + g, 4 * mm * scale + g, far}};
    const hw_field *room[] = {hw_field_box(a, &in, c[0], c[1]), hw_field_box(a, &in, e[0], e[1]),
                              hw_field_half(a, (hw_vec3){open, 0, 0}, (hw_vec3){-1, 0, 0})};
    const hw_field *all =
        hw_field_box(a, &in, (hw_vec3){-far, -far, -far}, (hw_vec3){far, far, top});
    return hw_field_cut(a, all, hw_field_union(a, room, 3));
}

static hw_palm_parts parts_with(const hw_field *f, hw_frame bed)
{
    hw_palm_parts p = {.parts = 1};
    p.part[0] = (hw_palm_part){.name = "palm tray", .field = f, .bed = bed};
    return p;
}

// A whole pocket: its long sides 20 x 16 and the ears' own 2 x 3 x 2, its ends 8 x 16 (each with an
// ear's 8 x 2 more, the case's own strip behind the ear less), its floor 20 x 8 and both ears' 3
// x 8.
static void a_pocket(double scale)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_servo s = servo_of(scale);
    double off = 0.4 * mm * scale, far = 50 * mm * scale, unit = mm * mm * scale * scale;
    hw_palm_parts p = parts_with(tray_round(a, scale, far, far), hw_frame_identity());
    hw_tray_hold h = hw_tray_hold_of(&p, &s, off);
    CLOSE(h.area[2], 332 * unit, 0.01);
    CLOSE(h.area[3], h.area[2], 1e-12);
    CLOSE(h.area[4], (160 + 48) * unit, 0.06);
    CHECK(isnan(h.area[5]));
    // above the ears the room is as long as they are: 10 mm of the case's end, 2 of the ear's
    CLOSE(h.area[0], 8 * (10 + 2) * unit, 0.08);
    CLOSE(h.area[1], h.area[0], 1e-12);
    CHECK(h.least == 0 || h.least == 1);
    // half as deep a tray holds half
    p = parts_with(tray_round(a, scale, -8 * mm * scale, far), hw_frame_identity());
    h = hw_tray_hold_of(&p, &s, off);
    CLOSE(h.area[2], 20 * 8 * unit, 0.01);
    // open beyond one end
    p = parts_with(tray_round(a, scale, far, 10.1 * mm * scale), hw_frame_identity());
    h = hw_tray_hold_of(&p, &s, off);
    CHECK(h.area[1] == 0 && h.least == 1);
    // in the air
    s.frame.at.z += 100 * mm * scale;
    h = hw_tray_hold_of(&p, &s, off);
    for (int k = 0; k < 5; k++) CHECK(h.area[k] == 0);
    hw_arena_free(a);
}

static void pockets(void)
{
    a_pocket(1);
    a_pocket(10);
}

// The same in a tray that lies otherwise on its bed, and a servo that lies on its side: the lid
// closes the way that leads out of the back.
static void other_frames(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_servo s = servo_of(1);
    const hw_field *f = tray_round(a, 1, 50 * mm, 50 * mm);
    hw_palm_parts p = parts_with(f, hw_frame_identity());
    hw_tray_hold want = hw_tray_hold_of(&p, &s, 0.4 * mm);
    // all of it turned about y: what was x in the tray goes up
    hw_frame turned = {{7 * mm, -3 * mm, 2 * mm}, {0, 0, 1}, {0, 1, 0}, {-1, 0, 0}};
    p = parts_with(f, turned);
    s.frame = turned;
    hw_tray_hold h = hw_tray_hold_of(&p, &s, 0.4 * mm);
    CHECK(isnan(h.area[1]) && h.area[5] == 0 && h.least == 5);
    for (int k = 0; k < 5; k++)
        if (k != 1) CLOSE(h.area[k], want.area[k], 1e-9);
    // only the tray holds
    (void)strcpy(p.part[0].name, "palm lid");
    h = hw_tray_hold_of(&p, &s, 0.4 * mm);
    CHECK(h.area[0] == 0 && h.area[2] == 0);
    hw_arena_free(a);
}

// Servos of the default palm stand on its tray's floor and against its far wall; their leads leave
// the near end, where little holds them. Moved out of the tray one is held by nothing.
static void in_a_palm(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    const char *fault;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK && f.palm_servos == 2);
    double off = f.gap + f.wall / 12; // half of a line
    for (size_t i = 0; i < f.palm_servos; i++) {
        hw_palm_servo *s = &f.palm[i];
        hw_tray_hold h = hw_tray_hold_of(p, s, off);
        CHECK(h.area[0] < 0.1 * s->width * s->height && h.least == 0);
        CHECK(h.area[1] > 0.2 * s->width * s->height);
        CHECK(h.area[4] > 0.3 * s->width * s->length && isnan(h.area[5]));
        CHECK(h.area[4] <= s->width * s->ear_span);
        s->frame.at.z += 80 * mm;
        h = hw_tray_hold_of(p, s, off);
        for (int k = 0; k < 5; k++) CHECK(h.area[k] == 0);
    }
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(pockets);
    RUN(other_frames);
    RUN(in_a_palm);
    (void)hw_check_text;
    return TEST_END();
}
