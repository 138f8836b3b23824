// The thumb's seat: a yoke that turns in the palm's tray under a cap, alone, with what it carries,
// and on its way in; and what a printer makes of it.
#include "another_thumb.h"
#include "check.h"

#include "base/rng.h"
#include "base/vec3.h"
#include "palm/body.h"
#include "palm_part.h"
#include "parts/palm_internal.h"
#include "print/print.h"

#define MM 1e-3

static const double DEEP = 0.3 * MM; // hollow edges are filled by less, a third of a cell
static const double SURE = 3 * MM;   // deeper and farther than any gap that is asked for
static const char *fault;

typedef struct seat {
    hw_arena *a;
    hw_palm_parts_def def;
    hw_palm_parts *parts;
    const hw_palm_part *tray, *lid, *yoke, *cap;
} seat;

static bool build(seat *s, const hw_palm_parts_def *def)
{
    s->a = hw_arena_new(0);
    s->def = *def;
    s->parts = HW_NEW(s->a, hw_palm_parts, 1);
    bool ok = CHECK(hw_palm_parts_of(s->a, &s->def, s->parts, &fault) == HW_OK);
    s->tray = part_of(s->parts, "palm tray");
    s->lid = part_of(s->parts, "palm lid");
    s->yoke = part_of(s->parts, "thumb yoke");
    s->cap = part_of(s->parts, "thumb cap");
    return CHECK(ok && s->tray && s->lid && s->yoke && s->cap);
}

// As they are printed.
static void settle(seat *s)
{
    hw_arena *work = hw_arena_new(1 << 20);
    double taken;
    CHECK(hw_palm_parts_settle(s->a, work, &s->def, NULL, s->parts, &taken) == HW_OK);
    CHECK(taken > 0);
    hw_arena_free(work);
}

static hw_mesh mesh_of(hw_arena *a, const hw_palm_part *p, double cell)
{
    hw_arena *work = hw_arena_new(1 << 20);
    hw_field_mesh_def def = hw_field_mesh_def_default();
    def.cell = cell;
    def.deviation = cell / 8;
    hw_mesh mesh = {0};
    hw_field_made made;
    CHECK(hw_field_mesh(a, work, p->field, &def, NULL, &mesh, &made) == HW_OK);
    hw_arena_free(work);
    return mesh;
}

static double depth_in(const hw_palm_part *p, hw_vec3 at) // [m]
{
    return -hw_field_at(p->field, hw_frame_seen(&p->bed, at));
}

// A part as it is in a ball: farther than SURE beyond it what is left may tell less.
static hw_palm_part part_near(hw_arena *work, const hw_palm_part *p, hw_vec3 middle, double radius)
{
    hw_palm_part near = *p;
    near.field = hw_field_around(work, p->field, hw_frame_seen(&p->bed, middle), radius + SURE);
    return near;
}

// How deep corners of a part's mesh, moved in the hand's frame, stand in another; -SURE or less
// where they are clear of it.
static double deepest(const hw_palm_part *one, const hw_mesh *m, const hw_frame *moved,
                      const hw_palm_part *other) // [m]
{
    const hw_vec3 first = hw_frame_point(moved, hw_frame_point(&one->bed, m->vert[0]));
    double most = -SURE, radius = 0;
    for (size_t i = 1; i < m->verts; i++)
        radius = fmax(radius, hw_vec3_norm(hw_vec3_sub(m->vert[i], m->vert[0])));
    hw_arena *work = hw_arena_new(0);
    const hw_palm_part near = part_near(work, other, first, radius);
    for (size_t i = 0; near.field && i < m->verts; i++) {
        hw_vec3 at = hw_frame_point(moved, hw_frame_point(&one->bed, m->vert[i]));
        most = fmax(most, depth_in(&near, at));
    }
    hw_arena_free(work);
    return most;
}

static hw_frame opposed(const seat *s, double share) // [1]
{
    const hw_palm_seat *t = &s->def.digit[0];
    const hw_frame rest = hw_frame_identity();
    return hw_frame_turned(&rest, t->splay_at, t->splay_axis,
                           t->splay[0] + share * (t->splay[1] - t->splay[0]));
}

// Both ends of the opposition, the middle and between: free of tray, lid and cap.
static void yoke_turns(const seat *s)
{
    const hw_mesh m = mesh_of(s->a, s->yoke, 1.4 * MM);
    for (int i = 0; i <= 4; i++) {
        hw_frame at = opposed(s, i / 4.0);
        CHECK(deepest(s->yoke, &m, &at, s->tray) < -0.5 * s->def.gap);
        CHECK(deepest(s->yoke, &m, &at, s->cap) < -0.5 * s->def.gap);
        CHECK(deepest(s->yoke, &m, &at, s->lid) < -0.5 * s->def.gap);
    }
    const hw_mesh cap = mesh_of(s->a, s->cap, 1.4 * MM);
    const hw_frame rest = hw_frame_identity();
    CHECK(deepest(s->cap, &cap, &rest, s->tray) < 0.1 * MM);
    CHECK(deepest(s->cap, &cap, &rest, s->lid) < 0);
    hw_frame moved = rest; // it comes off toward the palm alone
    for (int i = 0; i < 8; i++) {
        moved.at.z = -2 * MM * i;
        CHECK(deepest(s->cap, &cap, &moved, s->tray) < 0.1 * MM);
    }
    moved.at.z = 2 * s->def.gap;
    CHECK(deepest(s->cap, &cap, &moved, s->tray) > s->def.gap);
    moved.at = (hw_vec3){0, 2 * s->def.gap, 0};
    CHECK(deepest(s->cap, &cap, &moved, s->tray) > 0.5 * s->def.gap);
}

// More than its gap along the axis, or to any side, it meets tray or cap; without the cap it comes
// out toward the palm, half opposed.
static void groove_holds(const seat *s)
{
    const hw_palm_seat *t = &s->def.digit[0];
    const hw_mesh m = mesh_of(s->a, s->yoke, 1.2 * MM);
    const double off = 3 * s->def.gap;
    for (int sign = -1; sign <= 1; sign += 2) {
        hw_frame at = hw_frame_identity();
        at.at = hw_vec3_times(t->splay_axis, sign * off);
        CHECK(deepest(s->yoke, &m, &at, s->tray) > 0.5 * s->def.gap);
        CHECK(deepest(s->yoke, &m, &at, s->cap) > 0.5 * s->def.gap);
        at.at = (hw_vec3){0, sign * off, 0};
        double deep = deepest(s->yoke, &m, &at, s->tray);
        CHECK(fmax(deep, deepest(s->yoke, &m, &at, s->cap)) > 0.5 * s->def.gap);
    }
    hw_frame at = hw_frame_identity();
    at.at.z = off;
    CHECK(deepest(s->yoke, &m, &at, s->tray) > 0.5 * s->def.gap);
    at.at.z = -off;
    CHECK(deepest(s->yoke, &m, &at, s->cap) > 0.5 * s->def.gap);
    at = opposed(s, 0.5);
    const double high = at.at.z;
    for (int i = 0; i <= 10; i++) {
        at.at.z = high - 3 * MM * i;
        CHECK(deepest(s->yoke, &m, &at, s->tray) < DEEP);
    }
}

// Deepest of points all over a box of the knuckle's frame in tray or lid.
static double box_in(const seat *s, const hw_frame *in, hw_vec3 low, hw_vec3 high) // [m]
{
    enum { N = 13 };
    double most = -INFINITY;
    for (int i = 0; i < N * N * N; i++) {
        const double k[3] = {(double)(i % N) / (N - 1), (double)(i / N % N) / (N - 1),
                             (double)(i / N / N) / (N - 1)};
        hw_vec3 p = {low.x + k[0] * (high.x - low.x), low.y + k[1] * (high.y - low.y),
                     low.z + k[2] * (high.z - low.z)};
        p = hw_frame_point(in, p);
        if (p.x > 41.5 * MM + 0.432 * fmin(0, p.y)) continue; // the fingers' ground stops it
        most = fmax(most, fmax(depth_in(s->tray, p), depth_in(s->lid, p)));
    }
    return most;
}

// The block before the yoke's plate and the metacarpal, straight, over the whole opposition; and
// on their way in from the palm.
static void thumb_goes_with_it(const seat *s)
{
    const hw_palm_seat *t = &s->def.digit[0];
    for (int i = 0; i <= 8; i++) {
        hw_frame moved = opposed(s, i / 8.0);
        hw_frame in = hw_frame_turned(&t->knuckle, t->splay_at, t->splay_axis,
                                      t->splay[0] + i / 8.0 * (t->splay[1] - t->splay[0]));
        CHECK(hw_vec3_norm(hw_vec3_sub(in.at, hw_frame_point(&moved, t->knuckle.at))) < 1e-9);
        CHECK(box_in(s, &in, (hw_vec3){t->back, t->side[0], -t->half},
                     (hw_vec3){0, t->side[1], t->half}) < -0.5 * s->def.gap);
        CHECK(box_in(s, &in, (hw_vec3){0, -t->width / 2, -t->thickness / 2},
                     (hw_vec3){t->segment, t->width / 2, t->thickness / 2}) < -0.5 * s->def.gap);
    }
    for (int i = 0; i <= 6; i++) {
        hw_frame in = hw_frame_turned(&t->knuckle, t->splay_at, t->splay_axis,
                                      0.5 * (t->splay[0] + t->splay[1]));
        in.at.z -= 5 * MM * i;
        hw_vec3 low = {t->back, t->side[0], -t->half}, high = {0, t->side[1], t->half};
        for (int k = 0; k < 8; k++) {
            hw_vec3 p = {k & 1 ? high.x : low.x, k & 2 ? high.y : low.y, k & 4 ? high.z : low.z};
            CHECK(depth_in(s->tray, hw_frame_point(&in, p)) < 0);
        }
    }
}

// Four sheaths side by side come in along the axis, round the arc and out of the plate.
static void sheaths_come_through(const seat *s)
{
    const hw_palm_seat *t = &s->def.digit[0];
    const double bend = acos(-hw_vec3_dot(t->splay_axis, t->knuckle.x));
    const hw_vec3 axis = hw_vec3_times(t->splay_axis, -1);
    const hw_vec3 out = hw_vec3_unit(hw_vec3_along(t->knuckle.x, -cos(bend), axis));
    const double begin = t->radius * tan(bend / 2);
    for (int i = 0; i <= 20; i++) {
        double angle = bend * i / 20;
        hw_vec3 p = hw_vec3_along(t->splay_at, t->radius * sin(angle) - begin, axis);
        p = hw_vec3_along(p, t->radius * (1 - cos(angle)), out);
        CHECK(depth_in(s->yoke, p) < -0.97 * t->bore / 2);
    }
    for (int i = 0; i < 20; i++) { // from the wrist to the journal's mouth
        hw_vec3 p = hw_vec3_along(t->splay_at, -t->mouth - i * MM, axis);
        if (p.x < 0) break;
        CHECK(depth_in(s->tray, p) < -0.97 * t->bore / 2);
    }
}

static void prints(const seat *s)
{
    const hw_palm_part *const part[] = {s->yoke, s->cap};
    const hw_print_def printer = hw_print_def_default();
    for (int i = 0; i < 2; i++) {
        hw_arena *work = hw_arena_new(1 << 20);
        const hw_mesh m = mesh_of(s->a, part[i], 0.35 * MM);
        const hw_print_part p = {part[i]->name, &m, part[i]->allow, part[i]->allows};
        hw_print_report r;
        size_t bad;
        if (CHECK(hw_print_judge(s->a, work, &p, 1, &printer, NULL, &r, &bad) == HW_OK)) {
            CHECK(r.islands == 0 && r.of[0].pieces == 1 && r.of[0].on_bed);
            CHECK(r.of[0].wall >= printer.line);
            CHECK(r.of[0].open_area <= 1e-4 * r.of[0].area);
            CHECK(r.of[0].permitted_area <= 0.02 * r.of[0].area);
        }
        hw_arena_free(work);
    }
}

// Area of the tray near the thumb's axis that hangs by more than 50 degrees and is not declared, as
// it lies on the bed. Half a cell is left out above the bed.
static double hangs(const hw_palm_part *p, const hw_mesh *m, hw_vec3 about) // [m^2]
{
    double area = 0;
    for (size_t t = 0; t < m->tris; t++) {
        const uint32_t *i = &m->tri[3 * t];
        const hw_vec3 a = m->vert[i[0]], b = m->vert[i[1]], c = m->vert[i[2]];
        const hw_vec3 n = hw_vec3_times(hw_vec3_cross(hw_vec3_sub(b, a), hw_vec3_sub(c, a)), 0.5);
        const hw_vec3 at = hw_vec3_times(hw_vec3_add(hw_vec3_add(a, b), c), 1.0 / 3);
        bool down = n.z < -sin(50 * HW_PI / 180) * hw_vec3_norm(n), said = at.z < 0.5 * MM;
        for (size_t k = 0; k < p->allows; k++) {
            const hw_vec3 *low = &p->allow[k].low, *high = &p->allow[k].high;
            said = said || (low->x <= at.x && at.x <= high->x && low->y <= at.y &&
                            at.y <= high->y && low->z <= at.z && at.z <= high->z);
        }
        if (down && !said &&
            hw_vec3_norm(hw_vec3_sub(hw_frame_point(&p->bed, at), about)) < 45 * MM)
            area += hw_vec3_norm(n);
    }
    return area;
}

// The roof over the thumb's room prints as it goes: over its whole sweep hardly anything hangs.
static void roof_prints(void)
{
    seat s;
    const hw_palm_parts_def def = hw_palm_parts_def_default();
    if (build(&s, &def) && CHECK(s.tray == &s.parts->part[0])) {
        s.parts->parts = 1; // the tray alone
        settle(&s);
        const hw_mesh m = mesh_of(s.a, s.tray, 0.35 * MM);
        double area = hangs(s.tray, &m, s.def.digit[0].splay_at);
        CHECK(area < 40 * MM * MM); // ledges of a line
    }
    hw_arena_free(s.a);
}

// ---- the other hand -----------------------------------------------------------------------------

static hw_vec3 other_side(hw_vec3 v)
{
    return (hw_vec3){v.x, -v.y, v.z};
}

// Anywhere about the thumb's axis.
static hw_vec3 near_axis(hw_rng *rng, const hw_palm_thumb *t, double far) // [m]
{
    hw_vec3 off = {hw_rng_uniform(rng, -far, far), hw_rng_uniform(rng, -far, far),
                   hw_rng_uniform(rng, -far, far)};
    return hw_vec3_add(t->in.at, off);
}

// Everything on the other side of y = 0. Frames keep x and z and stay right-handed, what is told in
// their y turns round; a turn's axis is turned back so that its angle keeps its sign.
static void to_the_other_side(hw_palm_parts_def *f)
{
    for (int s = 0; s < HW_PALM_LOOPS; s++) {
        hw_vec3 loop[HW_PALM_LOOP];
        for (int i = 0; i < HW_PALM_LOOP; i++)
            loop[i] = other_side(f->outline[s][(HW_PALM_LOOP - i) % HW_PALM_LOOP]);
        memcpy(f->outline[s], loop, sizeof loop);
    }
    for (int i = 0; i < HW_PALM_DIGITS; i++) {
        hw_palm_seat *t = &f->digit[i];
        hw_frame *k = &t->knuckle;
        *k = (hw_frame){other_side(k->at), other_side(k->x), {0, 0, 0}, other_side(k->z)};
        k->y = hw_vec3_cross(k->z, k->x);
        double low = t->side[0];
        t->side[0] = -t->side[1];
        t->side[1] = -low;
        for (int e = 0; e < 2; e++) t->screw[e].x *= -1;
        t->splay_at = other_side(t->splay_at);
        t->splay_axis = hw_vec3_times(other_side(t->splay_axis), -1);
        t->lever = other_side(t->lever);
        if (i == 0) continue; // fingers' axes point to the back of the hand: their angles turn
        t->splay_axis = hw_vec3_times(t->splay_axis, -1);
        low = t->splay[0];
        t->splay[0] = -t->splay[1];
        t->splay[1] = -low;
    }
    f->palm_servos = f->arm_servos = f->rods = f->routes = 0;
}

// Yoke and cap alone, and the thumb's room.
static hw_palm_build seat_alone(hw_arena *a, const hw_palm_parts_def *def)
{
    hw_palm_parts *out = HW_NEW(a, hw_palm_parts, 1);
    hw_palm_build b = {.a = a, .f = def, .out = out, .deep = 0.7 * def->screw};
    b.cone = 1.6 * def->screw;
    hw_palm_measure(&b);
    CHECK(hw_palm_thumb_of(def, &b.thumb));
    hw_palm_bay(&b);
    hw_palm_skin(&b);
    hw_palm_thumb_bay(&b);
    hw_palm_thumb_yoke(&b);
    hw_palm_thumb_cap(&b);
    return b;
}

// Yoke, cap and the room of the thumb of the other hand are the mirror of this one's, everywhere.
static void the_other_hand_is_the_mirror(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def def = hw_palm_parts_def_default();
    def.palm_servos = def.arm_servos = def.rods = def.routes = 0;
    hw_palm_parts_def other = def;
    to_the_other_side(&other);
    const hw_palm_build hand[2] = {seat_alone(a, &def), seat_alone(a, &other)};
    static const char *const name[2] = {"thumb yoke", "thumb cap"};
    for (int i = 0; i < 2; i++) {
        const hw_palm_part *one = part_of(hand[0].out, name[i]);
        const hw_palm_part *two = part_of(hand[1].out, name[i]);
        if (!CHECK(one && two && one->field && two->field)) continue;
        const hw_mesh m = mesh_of(a, one, 1.5 * MM);
        CHECK(m.verts > 200);
        double worst = 0;
        for (size_t v = 0; v < m.verts; v++) {
            hw_vec3 at = hw_frame_point(&one->bed, m.vert[v]);
            for (int off = -1; off <= 1; off++) { // inside, on it, outside
                hw_vec3 here = {at.x, at.y + off * 0.7 * MM, at.z};
                worst = fmax(worst, fabs(depth_in(two, other_side(here)) - depth_in(one, here)));
            }
        }
        NEAR(worst, 0, 1e-9);
    }
    // without fingers, whose order a seat takes for granted
    for (int i = 1; i < HW_PALM_DIGITS; i++) def.digit[i].present = other.digit[i].present = false;
    const hw_palm_build bare[2] = {seat_alone(a, &def), seat_alone(a, &other)};
    hw_rng rng = hw_rng_new(11, 0);
    double worst = 0;
    for (int i = 0; i < 3000; i++) {
        hw_vec3 at = near_axis(&rng, &bare[0].thumb, def.digit[0].segment);
        worst = fmax(worst, fabs(hw_field_at(bare[0].thumb.room, at) -
                                 hw_field_at(bare[1].thumb.room, other_side(at))));
    }
    NEAR(worst, 0, 1e-9);
    hw_arena_free(a);
}

// ---- the roof -----------------------------------------------------------------------------------

// The first segment flexed at both ends of the opposition, where it comes into the palm's face; not
// the knuckle's corners, which are round.
static void flexed_thumb_has_its_way(const seat *s)
{
    const hw_palm_seat *t = &s->def.digit[0];
    enum { N = 25 };
    double most = -INFINITY;
    const hw_palm_part tray =
        part_near(s->a, s->tray, t->knuckle.at, hypot(t->segment, t->width) + t->thickness);
    for (int i = 0; i < 2 * N * N * N; i++) {
        const int k[3] = {i / 2 % N, i / 2 / N % N, i / 2 / N / N};
        const double share[3] = {k[0] / (N - 1.0), k[1] / (N - 1.0), k[2] / (N - 1.0)};
        hw_vec3 p = {share[0] * t->segment, (share[1] - 0.5) * t->width,
                     (share[2] - 0.5) * t->thickness};
        if (hypot(p.x, p.z) > t->thickness / 2 && p.x < t->thickness / 2) continue;
        for (int flexed = 0; flexed < 5; flexed++) {
            hw_frame in = hw_frame_turned(&t->knuckle, t->knuckle.at, t->knuckle.y,
                                          t->flexion[1] * flexed / 4);
            in = hw_frame_turned(&in, t->splay_at, t->splay_axis, t->splay[i % 2]);
            most = fmax(most, depth_in(&tray, hw_frame_point(&in, p)));
        }
    }
    CHECK(most < -0.9 * s->def.gap);
}

// Round the thumb's eye there is material where its lug has room; where it lacks some much, the eye
// lies in the sheaths' way, in a driver's, in the carrier or under the plate. And where it has room
// the rod's end, as high as its hole is wide, is free over it.
static void eyes_are_whole(void)
{
    enum { TURNS = 12, ROUND = 12 };
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def def = hw_palm_parts_def_default();
    def.palm_servos = def.arm_servos = def.rods = def.routes = 0;
    hw_palm_seat *t = &def.digit[0];
    const hw_vec3 at = t->splay_at;
    size_t whole = 0, gone = 0;
    for (int i = 0; i < 2 * TURNS; i++) {
        const double turn = 2 * HW_PI * i / 2 / TURNS, far = i % 2 ? 11 * MM : 9.5 * MM;
        t->lever = hw_vec3_add(at, (hw_vec3){2.5 * MM, far * cos(turn), far * sin(turn)});
        t->mouth = hw_palm_thumb_mouth(&def);
        const double room = hw_palm_lug_room(&def, 0);
        const hw_palm_part *yoke = part_of(seat_alone(a, &def).out, "thumb yoke");
        hw_palm_thumb own;
        CHECK(hw_palm_thumb_of(&def, &own));
        double out = -INFINITY;  // of the yoke, round the eye, in the lug's middle
        double over = -INFINITY; // how deep the rod's end would stand in the yoke
        for (int k = 0; k < ROUND; k++) {
            const double round = 2 * HW_PI * k / ROUND, r = 0.7 * own.rim;
            hw_vec3 p = hw_vec3_add(own.eye, (hw_vec3){r * cos(round), r * sin(round), 0});
            out = fmax(out, -depth_in(yoke, hw_frame_point(&own.in, p)));
            for (int up = 0; up < 4; up++) {
                p = hw_vec3_along(own.eye, 0.9 * own.rim * 2 / 3, hw_at(cos(round), sin(round), 0));
                p.z += 0.5 * def.plate + 0.1 * MM + 0.2 * up * own.rim;
                over = fmax(over, depth_in(yoke, hw_frame_point(&own.in, p)));
            }
        }
        whole += room >= 0;
        gone += room < -0.5 * own.rim && out > 0;
        if (room >= 0) CHECK(out < 0 && over < 0);
    }
    CHECK(whole >= 3 && gone >= 3);
    hw_arena_free(a);
}

static void default_is_held(void)
{
    seat s;
    const hw_palm_parts_def def = hw_palm_parts_def_default();
    if (build(&s, &def)) {
        yoke_turns(&s);
        groove_holds(&s);
        thumb_goes_with_it(&s);
        flexed_thumb_has_its_way(&s);
        sheaths_come_through(&s);
    }
    hw_arena_free(s.a);
}

static void default_prints(void)
{
    seat s;
    const hw_palm_parts_def def = hw_palm_parts_def_default();
    if (build(&s, &def)) prints(&s);
    hw_arena_free(s.a);
}

// An axis askew to the wrist, and a lug whose cone ends beside its eye.
static void another_prints(void)
{
    seat s;
    hw_palm_parts_def def = hw_palm_parts_def_default();
    hw_palm_seat *t = &def.digit[0];
    t->splay_axis = hw_vec3_unit((hw_vec3){-1, 0.06, -0.02});
    t->lever = hw_vec3_add(t->splay_at, (hw_vec3){2.5 * MM, -8.5 * MM, 1 * MM});
    if (build(&s, &def)) prints(&s);
    hw_arena_free(s.a);
}

// A thumb that begins and ends elsewhere, bends less and has no servo.
static void another_is_held(void)
{
    seat s;
    const hw_palm_parts_def def = another_thumb();
    if (build(&s, &def)) {
        yoke_turns(&s);
        groove_holds(&s);
        thumb_goes_with_it(&s);
        sheaths_come_through(&s);
    }
    hw_arena_free(s.a);
}

// Between mouth and shoulder, wherever the lever draws that, both heads of the cap's screws find
// room: 5.5 mm of M3, ISO 7046 (from memory), and half a millimetre on both sides.
static void cap_carries_heads(void)
{
    for (int i = 0; i < 5; i++) {
        hw_palm_parts_def def = hw_palm_parts_def_default();
        hw_palm_thumb t;
        def.digit[0].lever.x -= (2 * i - 4) * MM;
        def.digit[0].mouth = hw_palm_thumb_mouth(&def);
        CHECK(hw_palm_thumb_of(&def, &t) && t.shoulder - t.mouth >= 6.5 * MM);
    }
}

static void refused(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    const hw_palm_parts_def good = hw_palm_parts_def_default();
    hw_palm_parts_def f = good;
    const double least = hw_palm_thumb_mouth(&good);
    CHECK(least > 5 * MM && least <= good.digit[0].mouth);
    f.digit[0].mouth = 0.99 * least;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_BAD_INPUT && fault && p->parts == 0);
    f = good;
    f.digit[0].radius = 20 * MM; // the arc would end in the carrier
    CHECK(isnan(hw_palm_thumb_mouth(&f)));
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_BAD_INPUT && fault);
    f = good;
    f.digit[0].segment = 0;
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_BAD_INPUT && fault);
    f = good;
    f.digit[0].bore = 0; // none is asked
    CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK && !part_of(p, "thumb yoke"));
    hw_arena_free(a);
}

// Hulls of points on a coarse grid, where many share a line or a place: strictly convex, round all.
static void hulls_are_convex(void)
{
    enum { MOST = 24 };
    hw_rng rng = hw_rng_new(8, 0);
    for (int n = 0; n < 2000; n++) {
        hw_vec2 at[MOST], all[MOST], out[MOST + 1];
        size_t points = 3 + hw_rng_next(&rng) % (MOST - 2), corners = 0;
        for (size_t i = 0; i < points; i++)
            at[i] = all[i] =
                (hw_vec2){(double)(hw_rng_next(&rng) % 7), (double)(hw_rng_next(&rng) % 5)};
        corners = hw_palm_hull(at, points, out);
        for (size_t i = 0; i < corners && corners > 2; i++) {
            hw_vec2 p = out[i], way = hw_sub(out[(i + 1) % corners], p);
            hw_vec2 next = hw_sub(out[(i + 2) % corners], p);
            CHECK(way.x * next.z - way.z * next.x > 0);
            for (size_t k = 0; k < points; k++) {
                hw_vec2 d = hw_sub(all[k], p);
                CHECK(way.x * d.z - way.z * d.x >= 0);
            }
        }
        CHECK(corners >= 1 && corners <= points);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(default_is_held);
    RUN(default_prints);
    RUN(eyes_are_whole);
    RUN(another_prints);
    RUN(roof_prints);
    RUN(the_other_hand_is_the_mirror);
    RUN(another_is_held);
    RUN(cap_carries_heads);
    RUN(refused);
    RUN(hulls_are_convex);
    return TEST_END();
}
