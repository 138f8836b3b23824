#include "check.h"

#include "base/vec3.h"
#include "palm_part.h"
#include "parts/palm_internal.h"

static const char *fault;

typedef struct meshed {
    hw_code code;
    hw_mesh_report report;
    hw_mass mass;
    hw_vec3 low, high;
} meshed;

static meshed mesh_of(hw_arena *a, const hw_palm_part *p, double cell)
{
    hw_arena *work = hw_arena_new(1 << 20);
    hw_field_mesh_def def = hw_field_mesh_def_default();
    def.cell = cell;
    def.deviation = cell / 10;
    hw_mesh mesh;
    hw_field_made made;
    meshed m = {.low = {1e9, 1e9, 1e9}, .high = {-1e9, -1e9, -1e9}};
    m.code = hw_field_mesh(a, work, p->field, &def, NULL, &mesh, &made);
    hw_float_mesh file;
    if (m.code == HW_OK) m.code = hw_mesh_to_float(a, &mesh, def.unit, &file);
    if (m.code == HW_OK) m.code = hw_mesh_check(work, &file, NULL, &m.report);
    m.mass = hw_mesh_mass(&mesh, 1);
    for (size_t i = 0; i < mesh.verts; i++) {
        hw_vec3 v = mesh.vert[i];
        m.low = (hw_vec3){fmin(m.low.x, v.x), fmin(m.low.y, v.y), fmin(m.low.z, v.z)};
        m.high = (hw_vec3){fmax(m.high.x, v.x), fmax(m.high.y, v.y), fmax(m.high.z, v.z)};
    }
    hw_arena_free(work);
    return m;
}

// Every part is one sound solid that stands on its bed and lies inside it.
static void all_are_sound(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK && !fault);
    // tray, lid, five yokes, a cap, forearm, its lid and cover, stand
    CHECK(p->parts == 12 && p->screws >= 20 && p->screws <= 40);
    CHECK(p->top - p->bottom < 38e-3);
    for (size_t i = 0; i < p->parts; i++) {
        meshed m = mesh_of(a, &p->part[i], 2.2e-3);
        CHECK(m.code == HW_OK && hw_mesh_sound(&m.report));
        NEAR(m.low.z, 0, 1e-9);
        CHECK(m.high.x - m.low.x <= f.bed[0] && m.high.y - m.low.y <= f.bed[1]);
        CHECK(m.high.z <= f.bed[2]);
    }
    hw_arena_free(a);
}

// A servo that lies within the palm in plan, beside a side that falls in: its lower corner is out
// of the skin of the tray, its upper one out of the lid's, but a wall goes round it, upright from
// the bed.
static void walled(bool lid)
{
    hw_palm_parts_def f = hw_palm_parts_def_default();
    f.palm_servos = 1;
    f.rods = f.routes = 0;
    const hw_vec3 *loop = f.outline[1];
    double side = loop[0].y, top = loop[0].z;
    for (int k = 0; k < HW_PALM_LOOP; k++) { // the little finger's
        side = fmin(side, loop[k].y);
        top = fmax(top, loop[k].z);
    }
    hw_box3 box = hw_servo_box_of(&f.palm[0], HW_BOX_CASE, f.gap);
    f.palm[0].frame.at.y += side + f.wall - box.low.y;
    f.palm[0].frame.at.x += f.outline[0][0].x + f.wall - box.low.x;
    f.palm[0].frame.at.z += lid ? top - f.wall - box.high.z
                                : loop[3 * HW_PALM_LOOP / 4].z + f.floor + f.gap - box.low.z;
    box = hw_servo_box_of(&f.palm[0], HW_BOX_CASE, f.gap);
    size_t out_of_skin = 0;
    for (int with = 1; with >= 0; with--) {
        hw_arena *a = hw_arena_new(0);
        hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
        f.palm_servos = (size_t)with;
        CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK && !fault);
        const hw_palm_part *part = part_of(p, lid ? "palm lid" : "palm tray");
        for (int i = 1; i < 10; i++) {
            const double t = i / 10.0;
            const hw_vec3 at = {box.low.x + t * (box.high.x - box.low.x), box.low.y - 0.5 * f.wall,
                                lid ? box.high.z - 0.1 * f.wall : box.low.z + 0.1 * f.wall};
            const double v = hw_field_at(part->field, hw_frame_seen(&part->bed, at));
            if (with)
                CHECK(v < 0);
            else
                out_of_skin += v > 0.5 * f.wall;
        }
        hw_arena_free(a);
    }
    CHECK(out_of_skin >= 3); // the test is not idle
}

static void servos_are_walled(void)
{
    walled(false);
    walled(true);
}

// A yoke by hand: plate 3 x 22 x 16, foot and its share of the plate's end 3 x 25.7 x 16, and so
// on; here from its own polygon: L of 3 mm, cone of 45 degrees, less three bores and two for
// sheaths. Nobody beside it splays.
static void yoke_as_drawn(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    for (int i = 1; i < HW_PALM_DIGITS; i++) f.digit[i].splay[0] = f.digit[i].splay[1] = 0;
    f.digit[2].sheath[0] = (hw_vec2){4.2e-3, 6e-3};
    f.digit[2].sheath[1] = (hw_vec2){4.2e-3, -6e-3};
    f.digit[2].sheath_bore = 4.5e-3;
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    const hw_palm_part *yoke = part_of(p, "middle yoke"); // without a tail
    CHECK(yoke != NULL);
    if (!yoke) return;
    double wide = 4.8 - 0.3 * sqrt(2), deep = 2.1, small = wide - deep; // radii of the cone
    double front = -16.6 + 4.8 + 1.5, foot = front + 36;                // from the plate's back
    double cone = HW_PI / 3 * deep * (wide * wide + wide * small + small * small);
    double drop = 0.75 * HW_PI + 1; // section of a bore with a roof, of radius 1
    double want = (3 * 22 + 3 * foot) * 16 + cone - 2 * drop * 1.65 * 1.65 * 3 -
                  drop * 1.26 * 1.26 * (3 + deep) - 2 * drop * 2.25 * 2.25 * 3;
    meshed m = mesh_of(a, yoke, 4e-4);
    CLOSE(m.mass.volume, want * 1e-9, 5e-3); // edges are bevelled
    hw_arena_free(a);
}

// Places of a neighbour's carrier and of its yoke's plate, from behind to before its axis, at
// every pair of ends of both splays: how deep they stand in a yoke that may be turned.
static double neighbour_in(const hw_palm_parts_def *f, const hw_palm_part *yoke, int own,
                           int other) // [m]
{
    enum { N = 9 };
    const hw_palm_seat *s = &f->digit[own], *n = &f->digit[other];
    const hw_frame rest = hw_frame_identity();
    double most = -INFINITY;
    for (int i = 0; i < 4 * N * N * N; i++) {
        const int e = i / (N * N * N);
        const double k[3] = {i % N / (N - 1.0), i / N % N / (N - 1.0), i / N / N % N / (N - 1.0)};
        hw_vec3 p = {(n->back - f->plate) * k[0], n->side[0] + k[1] * (n->side[1] - n->side[0]),
                     n->half * (2 * k[2] - 1)};
        hw_frame its = hw_frame_turned(&n->knuckle, n->splay_at, n->splay_axis, n->splay[e & 1]);
        hw_frame turned = hw_frame_turned(&rest, s->splay_at, s->splay_axis, s->splay[e >> 1]);
        p = hw_frame_seen(&turned, hw_frame_point(&its, p));
        most = fmax(most, depth_at(yoke, p.x, p.y, p.z));
    }
    return most;
}

// Carriers that splay toward each other: yokes are narrower there, and nowhere else.
static void yokes_make_way(void)
{
    static const double splay[HW_PALM_DIGITS][2] = {
        {0, 0}, {0, 0.14}, {0, 0}, {-0.1, 0}, {-0.11, 0}};
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    for (int i = 1; i < HW_PALM_DIGITS; i++)
        for (int e = 0; e < 2; e++) f.digit[i].splay[e] = splay[i][e];
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    static const char *const name[] = {"index yoke", "middle yoke", "ring yoke", "little yoke"};
    bool narrower = false;
    for (int i = 1; i < HW_PALM_DIGITS; i++) {
        const hw_palm_part *yoke = part_of(p, name[i - 1]);
        const hw_palm_seat *s = &f.digit[i];
        double side[2];
        if (!CHECK(yoke != NULL)) continue;
        for (int n = i - 1; n <= i + 1; n += 2)
            if (n > 0 && n < HW_PALM_DIGITS) CHECK(neighbour_in(&f, yoke, i, n) <= -0.99 * f.gap);
        hw_seat_sides(&f, s, side);
        narrower = narrower || side[0] > s->side[0] || side[1] < s->side[1];
        const double x = s->back - f.plate / 2; // across the plate, half way up it
        for (int e = 0; e < 2; e++)
            for (int in = 0; in < 2; in++) {
                double y = side[e] + (e == in ? 0.1e-3 : -0.1e-3);
                hw_vec3 at = hw_frame_point(&s->knuckle, (hw_vec3){x, y, 0.3 * s->half});
                CHECK((depth_at(yoke, at.x, at.y, at.z) > 0) == (in == 0));
            }
    }
    CHECK(narrower);
    double side[2]; // outermost: nobody there
    hw_seat_sides(&f, &f.digit[4], side);
    NEAR(side[0], f.digit[4].side[0], 0);
    hw_arena_free(a);
}

// How deep what stands behind a yoke's plate in a screw's or a sheath's way lies in it; and how far
// what its eye asks round it reaches out of it.
static double in_the_way(const hw_palm_parts_def *f, const hw_palm_part *yoke, int digit)
{
    enum { ROUND = 24, ALONG = 20 };
    const hw_palm_seat *s = &f->digit[digit];
    const hw_vec3 eye = hw_frame_seen(&s->knuckle, s->lever);
    double most = -INFINITY;
    for (int i = 0; i < 4 * ROUND * ALONG; i++) {
        const hw_vec2 at = i % 4 < 2 ? s->screw[i % 2] : s->sheath[i % 2];
        const double r = i % 4 < 2 ? 1.1 * f->screw : s->sheath_bore / 2;
        const double turn = 2 * HW_PI * (i / 4 % ROUND) / ROUND, share = i / 4 / ROUND;
        const double x = s->back - f->plate - 0.2e-3 - share / ALONG * 8e-3;
        hw_vec3 p = {x, at.x + r * cos(turn), at.z + r * sin(turn)};
        p = hw_frame_point(&s->knuckle, p);
        most = fmax(most, depth_at(yoke, p.x, p.y, p.z));
        p = (hw_vec3){eye.x + 0.74 * f->screw * cos(turn), eye.y + 0.74 * f->screw * sin(turn),
                      eye.z};
        p = hw_frame_point(&s->knuckle, p);
        most = fmax(most, -depth_at(yoke, p.x, p.y, p.z));
    }
    return most;
}

// A lug has room where nothing of it stands in its own screws' and sheaths' ways and its eye is
// whole, and lacks it elsewhere. By hand: 5.5 - 1.5 - 3.3 mm beside a screw 5.5 mm off.
static void lugs_have_room(void)
{
    static const double eye[][2] = {{0, 0}, {0, 0.5},  {0, 1.5}, {0, -2}, {4, 0.4},
                                    {5, 0}, {-5.9, 0}, {-7, 0},  {3, 9},  {-4, -0.6}};
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    size_t had = 0, lacked = 0;
    for (size_t i = 0; i < sizeof eye / sizeof *eye; i++) {
        hw_palm_parts_def f = hw_palm_parts_def_default();
        hw_palm_seat *s = &f.digit[1];
        for (int k = 1; k < HW_PALM_DIGITS; k++) f.digit[k].splay[0] = f.digit[k].splay[1] = 0;
        for (int e = 0; e < 2; e++) s->sheath[e] = (hw_vec2){4e-3, e ? 4.4e-3 : -4.4e-3};
        s->sheath_bore = 4.4e-3;
        s->lever = hw_vec3_add(s->splay_at, (hw_vec3){-23e-3, eye[i][0] * 1e-3, eye[i][1] * 1e-3});
        CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
        const double room = hw_palm_lug_room(&f, 1);
        const double deep = in_the_way(&f, part_of(p, "index yoke"), 1);
        if (i == 0) NEAR(room, 0.7e-3, 1e-9);
        if (!CHECK((room >= 0) == (deep <= 0.02e-3)))
            printf("    eye %g %g: room %g, in the way %g\n", eye[i][0], eye[i][1], room, deep);
        had += room >= 0;
        lacked += room < 0;
        CHECK(isinf(hw_palm_lug_room(&f, 2))); // the middle finger has none
    }
    CHECK(had >= 3 && lacked >= 3);
    hw_arena_free(a);
}

// A smaller bed splits what is longer; the halves have the whole's volume but for their tongues'
// gaps.
static void too_large_is_split(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *whole = HW_NEW(a, hw_palm_parts, 1), *halves = HW_NEW(a, hw_palm_parts, 1);
    CHECK(hw_palm_parts_of(a, &f, whole, &fault) == HW_OK);
    f.bed[0] = f.bed[1] = 110e-3;
    CHECK(hw_palm_parts_of(a, &f, halves, &fault) == HW_OK);
    CHECK(halves->parts > whole->parts);
    const hw_palm_part *front = part_of(halves, "forearm lid front");
    const hw_palm_part *rear = part_of(halves, "forearm lid rear");
    CHECK(front && rear && !part_of(halves, "forearm lid") && part_of(halves, "forearm rear"));
    if (!front || !rear) return;
    meshed one = mesh_of(a, part_of(whole, "forearm lid"), 8e-4);
    meshed m[2] = {mesh_of(a, front, 8e-4), mesh_of(a, rear, 8e-4)};
    for (int i = 0; i < 2; i++) {
        CHECK(hw_mesh_sound(&m[i].report));
        CHECK(m[i].high.x - m[i].low.x < 110e-3);
    }
    CLOSE(m[0].mass.volume + m[1].mass.volume, one.mass.volume, 0.01);
    hw_arena_free(a);
}

static void larger(hw_palm_parts_def *f, double k)
{
    f->wall *= k, f->floor *= k, f->plate *= k, f->gap *= k, f->screw *= k, f->bridge *= k;
    f->split *= k;
    for (int i = 0; i < 3; i++) f->bed[i] *= k;
    for (int s = 0; s < HW_PALM_LOOPS; s++)
        for (int i = 0; i < HW_PALM_LOOP; i++)
            f->outline[s][i] = hw_vec3_times(f->outline[s][i], k);
    for (int i = 0; i < HW_PALM_DIGITS; i++) {
        hw_palm_seat *s = &f->digit[i];
        s->knuckle.at = hw_vec3_times(s->knuckle.at, k);
        s->splay_at = hw_vec3_times(s->splay_at, k);
        s->lever = hw_vec3_times(s->lever, k);
        s->back *= k, s->side[0] *= k, s->side[1] *= k, s->half *= k;
        for (int e = 0; e < 2; e++) s->screw[e] = hw_scale(s->screw[e], k);
        s->bore *= k, s->radius *= k, s->mouth *= k;
        s->segment *= k, s->width *= k, s->thickness *= k;
    }
    f->palm_servos = f->arm_servos = 0; // and the board's seat goes with the arm
}

// Ten times as large in all: the tray is a thousand times its volume.
static void scales(void)
{
    hw_arena *a = hw_arena_new(0);
    double volume = 0;
    for (int i = 0; i < 2; i++) {
        double k = i ? 10 : 1;
        hw_palm_parts_def f = hw_palm_parts_def_default();
        larger(&f, k);
        hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
        CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK && p->parts == 8);
        meshed m = mesh_of(a, part_of(p, "index yoke"), k * 8e-4);
        CHECK(hw_mesh_sound(&m.report));
        if (i) CLOSE(m.mass.volume, 1000 * volume, 1e-4);
        volume = m.mass.volume;
    }
    hw_arena_free(a);
}

// The value of a part's field at a place of the hand's frame (beds here are not turned).
static double value_at(const hw_palm_part *p, hw_vec3 at)
{
    return hw_field_at(p->field, hw_vec3_sub(at, p->bed.at));
}

// A way that falls askew through the solid tray and rises into the lid: bored in both, and open
// above it in the tray, below it in the lid, so that neither has a ceiling it cannot print.
static void ways_are_open(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1), *plain = HW_NEW(a, hw_palm_parts, 1);
    f.palm_servos = 0;
    f.digit[0].present = false; // it turns where the way is
    CHECK(hw_palm_parts_of(a, &f, plain, &fault) == HW_OK);
    f.routes = 1;
    f.route[0] =
        (hw_palm_route){.at = {{8e-3, 18e-3, 6e-3}, {16e-3, 14e-3, 4e-3}, {32e-3, 6e-3, -16e-3}},
                        .n = 3,
                        .radius = 2e-3};
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    const hw_palm_part *tray[2] = {part_of(plain, "palm tray"), part_of(p, "palm tray")};
    const hw_palm_part *lid[2] = {part_of(plain, "palm lid"), part_of(p, "palm lid")};
    if (!CHECK(tray[0] && tray[1] && lid[0] && lid[1])) return;
    const hw_vec3 deep = {26e-3, 9e-3, -8.5e-3}, high = {12e-3, 16e-3, 5e-3};
    CHECK(value_at(tray[0], deep) < -1e-3 && value_at(tray[1], deep) > 1.9e-3);
    CHECK(value_at(lid[0], high) < -1e-4 && value_at(lid[1], high) > 0.5e-3);
    for (int i = 1; i <= 4; i++) {
        hw_vec3 above = deep, below = high;
        above.z += i * 2.5e-3;
        below.z -= i * 0.3e-3;
        CHECK(value_at(tray[1], above) > 1.5e-3 && value_at(lid[1], below) > 0);
    }
    hw_vec3 under = deep, aside = deep;
    under.z -= 4e-3;
    aside.y += 5e-3;
    CHECK(value_at(tray[1], under) < 0 && value_at(tray[1], aside) < 0);
    for (int i = 0; i < 2; i++) {
        meshed m = mesh_of(a, i ? lid[1] : tray[1], 1.2e-3);
        CHECK(hw_mesh_sound(&m.report));
    }
    hw_arena_free(a);
}

// Under the wall that holds a servo a way is bored alone; elsewhere it is open to the back.
static void threaded_through_walls(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    f.palm_servos = 1;
    f.rods = 0;
    f.digit[0].present = false;
    const hw_box3 box = hw_servo_box_of(&f.palm[0], HW_BOX_CASE, f.gap);
    const double y = box.low.y - 0.5 * f.wall, z = box.low.z + 4e-3, ahead = box.high.x + 8e-3;
    f.routes = 1;
    f.route[0] = (hw_palm_route){
        .at = {{box.low.x - 3e-3, y, z}, {box.high.x + 12e-3, y, z}}, .n = 2, .radius = 1.5e-3};
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    const hw_palm_part *tray = part_of(p, "palm tray");
    if (!CHECK(tray != NULL)) return;
    const double middle = (box.low.x + box.high.x) / 2, above = z + 5e-3;
    CHECK(above < f.split && above < box.high.z);
    CHECK(value_at(tray, (hw_vec3){middle, y, z}) > 0.2e-3); // the bore, beside the case
    CHECK(value_at(tray, (hw_vec3){middle, y, above}) < -0.2e-3);
    CHECK(value_at(tray, (hw_vec3){ahead, y, z}) > 1.4e-3);
    CHECK(value_at(tray, (hw_vec3){ahead, y, above}) > 1.4e-3);
    hw_arena_free(a);
}

// The same beside a lid that begins where the palm's side has come in.
static void threaded_beside_the_lid(void)
{
    hw_palm_parts_def f = hw_palm_parts_def_default();
    f.palm_servos = f.rods = 0;
    f.digit[0].present = false;
    const hw_vec3 *loop = f.outline[1];
    hw_vec3 side = loop[0];
    double top = side.z, in = -INFINITY;
    for (int k = 0; k < HW_PALM_LOOP; k++) {
        if (loop[k].y < side.y) side = loop[k];
        top = fmax(top, loop[k].z);
    }
    f.split = top - 2e-3;
    for (int k = 0; k < HW_PALM_LOOP; k++) { // its side at the split
        const hw_vec3 *q = &loop[k], *n = &loop[(k + 1) % HW_PALM_LOOP];
        if ((q->z > f.split) == (n->z > f.split) || q->y > 0) continue;
        in = q->y + (f.split - q->z) / (n->z - q->z) * (n->y - q->y);
    }
    CHECK(in > side.y + 5e-3);
    f.routes = 1;
    for (int beside = 0; beside < 2; beside++) {
        hw_arena *a = hw_arena_new(0);
        hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
        const double y = beside ? in - 2e-3 : in + 3e-3, z = side.z - 4e-3;
        const double from = side.x - 6e-3, to = side.x + 6e-3;
        f.route[0] = (hw_palm_route){.at = {{from, y, z}, {to, y, z}}, .n = 2, .radius = 1.5e-3};
        CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
        const hw_palm_part *tray = part_of(p, "palm tray");
        if (!CHECK(tray != NULL)) return;
        const hw_vec3 at = {side.x, y, z}, above = {side.x, y, z + 3e-3};
        CHECK(value_at(tray, at) > 1.2e-3);
        CHECK(beside ? value_at(tray, above) < -0.2e-3 : value_at(tray, above) > 0.5e-3);
        hw_arena_free(a);
    }
}

static void board_is_drawn(void)
{
    hw_arena *a = hw_arena_new(0), *work = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK);
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh mesh;
    hw_mesh_made made;
    CHECK(hw_solid_mesh(a, work, &p->board, &def, NULL, &mesh, &made) == HW_OK);
    // 24 chords of a circle: n / 2 sin(2 pi / n) r^2
    double hole = 12 * sin(2 * HW_PI / 24) * 1.5 * 1.5;
    CLOSE(hw_mesh_mass(&mesh, 1).volume, (60 * 40 - 4 * hole) * 1.6e-9, 1e-4); // on the grid
    hw_arena_free(work);
    hw_arena_free(a);
}

static void refused(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    f.wall = 0;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_BAD_INPUT && fault && p->parts == 0);
    f = hw_palm_parts_def_default();
    f.outline[3][4].x = f.outline[2][4].x;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_BAD_INPUT && fault);
    f = hw_palm_parts_def_default();
    f.outline[3][4].z = (double)NAN;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_BAD_INPUT && fault);
    f = hw_palm_parts_def_default();
    f.digit[2].side[0] = f.digit[2].side[1];
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_BAD_INPUT && fault);
    f = hw_palm_parts_def_default();
    f.arm[0].length = 0;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_BAD_INPUT && fault);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(all_are_sound);
    RUN(servos_are_walled);
    RUN(yoke_as_drawn);
    RUN(yokes_make_way);
    RUN(lugs_have_room);
    RUN(too_large_is_split);
    RUN(scales);
    RUN(ways_are_open);
    RUN(threaded_through_walls);
    RUN(threaded_beside_the_lid);
    RUN(board_is_drawn);
    RUN(refused);
    return TEST_END();
}
