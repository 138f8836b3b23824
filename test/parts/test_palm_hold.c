// What a servo stands against, by hand in a block with a pocket, and in the default palm's tray.
#include "check.h"
#include "parts/palm_hold.h"

#include <math.h>
#include <string.h>

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
    hw_tray_hold h = hw_tray_hold_of(&p, &s, off, 0.4);
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
    h = hw_tray_hold_of(&p, &s, off, 0.4);
    CLOSE(h.area[2], 20 * 8 * unit, 0.01);
    // open beyond one end
    p = parts_with(tray_round(a, scale, far, 10.1 * mm * scale), hw_frame_identity());
    h = hw_tray_hold_of(&p, &s, off, 0.4);
    CHECK(h.area[1] == 0 && h.least == 1);
    // in the air
    s.frame.at.z += 100 * mm * scale;
    h = hw_tray_hold_of(&p, &s, off, 0.4);
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
    hw_tray_hold want = hw_tray_hold_of(&p, &s, 0.4 * mm, 0.4);
    // all of it turned about y: what was x in the tray goes up
    hw_frame turned = {{7 * mm, -3 * mm, 2 * mm}, {0, 0, 1}, {0, 1, 0}, {-1, 0, 0}};
    p = parts_with(f, turned);
    s.frame = turned;
    hw_tray_hold h = hw_tray_hold_of(&p, &s, 0.4 * mm, 0.4);
    CHECK(isnan(h.area[1]) && h.area[5] == 0 && h.least == 5);
    for (int k = 0; k < 5; k++)
        if (k != 1) CLOSE(h.area[k], want.area[k], 1e-9);
    // only the tray holds
    (void)strcpy(p.part[0].name, "palm lid");
    h = hw_tray_hold_of(&p, &s, 0.4 * mm, 0.4);
    CHECK(h.area[0] == 0 && h.area[2] == 0);
    hw_arena_free(a);
}

// ---- screws -------------------------------------------------------------------------------------

// What stands in a tray that is nothing but two posts under the ears, with their tops at `top`.
typedef struct posts {
    double deep[2];   // of each [m]
    bool split[2];    // its y > 0 is left out
    bool beside[2];   // a wall beside the far half of the case, y > 0 and y < 0
    bool before_head; // something stands before the far screw's head
} posts;

static const hw_field *posts_of(hw_arena *a, const posts *t, double scale) // [1]
{
    const hw_frame in = hw_frame_identity();
    const hw_field *part[8];
    size_t n = 0;
    const double unit = mm * scale;
    for (int e = 0; e < 2; e++) {
        double x[2] = {e ? 10.2 : -16, e ? 16 : -10.2};
        part[n++] = hw_field_box(
            a, &in, (hw_vec3){x[0] * unit, -4 * unit, (-6.2 * mm - t->deep[e]) * scale},
            (hw_vec3){x[1] * unit, (t->split[e] ? 0 : 4) * unit, -6.2 * unit});
        if (t->beside[e])
            part[n++] = hw_field_box(a, &in, (hw_vec3){0, (e ? 4.2 : -8) * unit, -16 * unit},
                                     (hw_vec3){10 * unit, (e ? 8 : -4.2) * unit, 0});
    }
    if (t->before_head)
        part[n++] = hw_field_box(a, &in, (hw_vec3){13 * unit, -4 * unit, 20 * unit},
                                 (hw_vec3){16 * unit, 4 * unit, 22 * unit});
    return hw_field_union(a, part, n);
}

// Bores of 1.6 mm, thread of 6.4 beside 0.2 mm of air: 1.6 x 6.24 each.
static hw_tray_hold on_posts(hw_arena *a, const posts *t, const hw_frame *bed, double scale)
{
    hw_palm_servo s = servo_of(scale);
    s.ear_span = 28 * mm * scale; // ears of 4 mm
    hw_palm_parts p = parts_with(posts_of(a, t, scale), *bed);
    s.frame = *bed;
    return hw_tray_hold_of(&p, &s, 0.4 * mm * scale, 0.4);
}

static void screws(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_frame up = hw_frame_identity();
    for (int big = 0; big < 2; big++) {
        const double scale = big ? 10 : 1, unit = mm * mm * scale * scale;
        posts t = {.deep = {20 * mm, 20 * mm}};
        hw_tray_hold h = on_posts(a, &t, &up, scale);
        const double thread = 39 * 6.4 / 40, one = 1.6 * thread; // a slice lies in the air
        CHECK(h.screws == 2);
        for (int e = 0; e < 2; e++) CLOSE(h.thread[e], thread * mm * scale, 1e-9);
        for (int k = 0; k < 4; k++) NEAR(h.area[k] - h.wall[k], 2 * one * unit, 1e-9 * unit);
        CHECK(h.wall[2] == 0 && h.wall[3] == 0 && (h.least == 2 || h.least == 3));
        CHECK(h.wall[0] > 50 * unit && h.area[4] == h.wall[4] && isnan(h.area[5]));
        // the far one gone: nothing keeps it from turning about the near one
        t.split[1] = true;
        h = on_posts(a, &t, &up, scale);
        CHECK(h.thread[0] > 0 && h.thread[1] == 0 && h.screws == 0 && h.area[2] == 0);
        for (int e = 0; e < 2; e++) { // a wall on one side
            t.beside[e] = true;
            t.beside[1 - e] = false;
            h = on_posts(a, &t, &up, scale);
            CHECK(h.screws == 0 && h.area[e ? 2 : 3] == 0);
        }
        t.beside[0] = true;
        h = on_posts(a, &t, &up, scale);
        CHECK(h.screws == 1);
        CLOSE(h.wall[2], 160 * unit, 1e-9);
        for (int k = 0; k < 4; k++) NEAR(h.area[k] - h.wall[k], one * unit, 1e-9 * unit);
        // the near one gone instead: what stands beside the far half does not keep it
        t.split[0] = true;
        t.split[1] = false;
        h = on_posts(a, &t, &up, scale);
        CHECK(h.thread[1] > 0 && h.screws == 0);
    }
    hw_arena_free(a);
}

// A thread of less than two diameters holds nothing, nor one whose head no driver reaches.
static void no_screws(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_frame up = hw_frame_identity();
    posts t = {.deep = {3 * mm, 20 * mm}};
    hw_tray_hold h = on_posts(a, &t, &up, 1);
    CHECK(h.thread[0] == 0 && h.thread[1] > 0 && h.screws == 0);
    t.deep[0] = 3.5 * mm;
    h = on_posts(a, &t, &up, 1);
    CHECK(h.thread[0] > 0 && h.screws == 2);
    t.before_head = true;
    h = on_posts(a, &t, &up, 1);
    CHECK(h.thread[0] > 0 && h.thread[1] == 0 && h.screws == 0);
    hw_arena_free(a);
}

// Lying on its side it may be pulled out of its threads: pi d L of shear for each; on its back the
// lid presses it into them. One screw beside a wall is kept from turning where the lid closes the
// other side.
static void lying(void)
{
    hw_arena *a = hw_arena_new(0);
    const double thread = 39 * 6.4 / 40, one = 1.6 * thread * mm * mm;
    const hw_frame side = {{0, 0, 0}, {0, 0, 1}, {1, 0, 0}, {0, 1, 0}};
    posts t = {.deep = {20 * mm, 20 * mm}};
    hw_tray_hold h = on_posts(a, &t, &side, 1);
    CHECK(isnan(h.area[1]) && h.screws == 2);
    CHECK(h.wall[5] == 0);
    CLOSE(h.area[5], HW_PI * 2 * one * 0.4, 1e-9);
    CLOSE(h.area[2], 2 * one, 1e-9);
    const hw_frame edge = {{0, 0, 0}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
    t.split[1] = t.beside[0] = true;
    h = on_posts(a, &t, &edge, 1);
    CHECK(isnan(h.area[3]) && h.screws == 1);
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
        hw_tray_hold h = hw_tray_hold_of(p, s, off, 0.4);
        CHECK(h.area[0] < 0.2 * s->width * s->height && h.least == 0);
        CHECK(h.area[1] > 0.2 * s->width * s->height);
        CHECK(h.area[4] > 0.3 * s->width * s->length && isnan(h.area[5]));
        CHECK(h.area[4] <= s->width * s->ear_span);
        s->frame.at.z += 80 * mm;
        h = hw_tray_hold_of(p, s, off, 0.4);
        for (int k = 0; k < 5; k++) CHECK(h.area[k] == 0);
    }
    hw_arena_free(a);
}

// A lid on a tray with a hole through the one and a bore in the other, by hand: it holds with
// material below the head and round two diameters of thread, in the tray as in the forearm.
static void lid_screws(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_frame in = hw_frame_identity();
    const double d = 3 * mm, far = 20 * mm;
    const hw_vec3 o = {0, 0, 0}, low = {0, 0, -far}, high = {0, 0, far};
    const hw_field *hole = hw_field_cylinder(a, low, high, 0.55 * d),
                   *bore = hw_field_cylinder(a, low, high, 0.42 * d),
                   *plate = hw_field_box(a, &in, (hw_vec3){-far, -far, 0}, (hw_vec3){far, far, d});
    for (int k = 0; k < 5; k++) { // by less than a ring: what is left of the thread, of the lid
        const double deep = k == 1 ? 1.9 * d : 2.1 * d, aside = k == 2 ? 0.7 * d : far;
        const hw_field *block = hw_field_box(a, &in, (hw_vec3){-far, -far, -deep},
                                             (hw_vec3){k == 4 ? 0.6 * d : far, far, 0}),
                       *lid =
                           hw_field_box(a, &in, (hw_vec3){-far, -far, 0}, (hw_vec3){aside, far, d});
        hw_palm_parts p = {.parts = 2, .lid_screws = 2, .lid_screw = {o, {2 * far, 0, 0}}};
        p.part[0] = (hw_palm_part){
            .name = "palm lid", .field = hw_field_cut(a, k == 2 ? lid : plate, hole), .bed = in};
        p.part[1] =
            (hw_palm_part){.name = "palm tray", .field = hw_field_cut(a, block, bore), .bed = in};
        if (k == 3) strcpy(p.part[1].name, "forearm front");
        CHECK(hw_palm_lid_held(&p, d) == (k == 0 || k == 3));
        strcpy(p.part[1].name, "index yoke");
        CHECK(hw_palm_lid_held(&p, d) == 0);
    }
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(pockets);
    RUN(other_frames);
    RUN(screws);
    RUN(no_screws);
    RUN(lying);
    RUN(in_a_palm);
    RUN(lid_screws);
    (void)hw_check_text;
    return TEST_END();
}
