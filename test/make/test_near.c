// Digits against solids of a palm made up for it: planes and balls at distances known in closed
// form, every triangle of every pose.
#include "base/vec3.h"
#include "check.h"
#include "made_of.h"
#include "make/posed.h"
#include "solid/field.h"

#define TEXT                                                                                       \
    "parts: {engraving: no}\ndigits:\n  index: {mechanism: {kind: coupled bars}, "                 \
    "splay: {least: -4 deg, most: 11 deg}}\n"

static hw_made index_made, left_made;

// A bed that lies askew: fields are made in it.
static hw_frame askew(void)
{
    hw_frame f = hw_frame_identity();
    f = hw_frame_turned(&f, (hw_vec3){0, 0, 0}, hw_vec3_unit((hw_vec3){1, 2, -1}), 0.7);
    f.at = (hw_vec3){0.013, -0.04, 0.021};
    return f;
}

static hw_palm_parts one_part(const char *name, const hw_field *field, hw_frame bed)
{
    hw_palm_parts p = {.parts = 1};
    snprintf(p.part[0].name, sizeof p.part[0].name, "%s", name);
    p.part[0].field = field;
    p.part[0].bed = bed;
    return p;
}

static hw_palm_parts ball(const char *name, hw_vec3 at, double radius)
{
    hw_frame bed = askew();
    hw_vec3 own = hw_frame_seen(&bed, at);
    return one_part(name, hw_field_tube(arena, &own, 1, radius), bed);
}

// Distance of a point from a triangle: to its inside, or the nearest of its sides.
static double off_triangle(hw_vec3 p, const hw_vec3 t[3])
{
    hw_vec3 n = hw_vec3_cross(hw_vec3_sub(t[1], t[0]), hw_vec3_sub(t[2], t[0]));
    bool inside = true;
    double least = INFINITY;
    for (int i = 0; i < 3; i++) {
        hw_vec3 side = hw_vec3_sub(t[(i + 1) % 3], t[i]), off = hw_vec3_sub(p, t[i]);
        inside = inside && hw_vec3_dot(hw_vec3_cross(n, side), off) >= 0;
        double along = hw_vec3_dot(off, side) / hw_vec3_dot(side, side);
        along = fmin(1, fmax(0, along));
        least = fmin(least, hw_vec3_norm(hw_vec3_along(off, -along, side)));
    }
    return inside ? fabs(hw_vec3_dot(hw_vec3_unit(n), hw_vec3_sub(p, t[0]))) : least;
}

typedef struct measure {
    hw_vec3 at, normal; // of a plane, or a ball's middle
    double radius;      // 0: a plane
} measure;

// Least of a mesh that stands in a frame, by all its corners or triangles.
static double least_of(const hw_mesh *mesh, const hw_frame *place, const measure *m)
{
    double least = INFINITY;
    for (size_t t = 0; t < mesh->tris; t++) {
        hw_vec3 c[3];
        for (size_t i = 0; i < 3; i++) {
            c[i] = hw_frame_point(place, mesh->vert[mesh->tri[3 * t + i]]);
            if (m->radius == 0)
                least = fmin(least, hw_vec3_dot(m->normal, hw_vec3_sub(c[i], m->at)));
        }
        if (m->radius > 0) least = fmin(least, off_triangle(m->at, c) - m->radius);
    }
    return least;
}

// The same over closing and splay: an unsplayed hand, turned about the splay axis.
static double every_pose(const hw_made *m, const measure *to, int first_body, bool along)
{
    double least = INFINITY;
    const hw_palm_digit *d = &m->hand->palm.digit[HW_INDEX];
    for (int k = 0; k < HW_NEAR_STEPS; k++) {
        hw_posed posed;
        if (!CHECK(hw_make_posed(arena, m, k / (HW_NEAR_STEPS - 1.0), &posed) == HW_OK)) return NAN;
        for (size_t i = 0; i < posed.parts; i++) {
            const hw_posed_part *p = &posed.part[i];
            if (p->digit != HW_INDEX || p->body == HW_POSED_SPOOL || p->body < first_body) continue;
            for (int a = 0; a < (along ? 1 : HW_NEAR_ASIDES); a++) {
                double share = a / (HW_NEAR_ASIDES - 1.0);
                double aside = along ? 0 : d->splay[0] + share * (d->splay[1] - d->splay[0]);
                hw_frame at = hw_frame_turned(&p->place, d->splay_at, d->splay_axis, aside);
                least = fmin(least, least_of(p->mesh, &at, to));
            }
        }
    }
    return least;
}

static double width(void)
{
    return index_made.hand->palm.digit[HW_INDEX].width;
}

// Found, never less than the truth but for a thousandth of the width.
static hw_made_palm_meeting found(hw_made m, const hw_palm_parts *palm, double truth)
{
    hw_made_palm_meeting at;
    m.palm = palm;
    CHECK(hw_made_near_palm(arena, &m, HW_INDEX, &at) == HW_OK);
    CHECK(at.gap >= truth - 1e-9 && at.gap <= truth + fmax(1.01e-3 * width(), -0.021 * truth));
    return at;
}

// A plate with its face oblique below the fingers, before and behind what they reach.
static void a_plane(void)
{
    for (int deep = 0; deep < 2; deep++) {
        hw_vec3 normal = hw_vec3_unit((hw_vec3){-0.3, 0.2, 1});
        measure plane = {{0.1, 0, deep ? -0.02 : -0.15}, normal, 0};
        hw_frame bed = {plane.at, {0, 0, 0}, {0, 0, 0}, normal};
        bed.x = hw_vec3_square(normal);
        bed.y = hw_vec3_cross(normal, bed.x);
        const hw_field *plate =
            hw_field_box(arena, &(hw_frame){{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
                         (hw_vec3){-2, -2, -1}, (hw_vec3){2, 2, 0});
        hw_palm_parts palm = one_part("palm tray", plate, bed);
        double truth = every_pose(&index_made, &plane, 0, false);
        hw_made_palm_meeting at = found(index_made, &palm, truth);
        CHECK(at.body == 0 && at.part >= 0 && (at.gap < 0) == deep);
        // what is told is where it is
        hw_posed posed;
        CHECK(hw_make_posed(arena, &index_made, at.s, &posed) == HW_OK);
        const hw_palm_digit *d = &index_made.hand->palm.digit[HW_INDEX];
        hw_frame turned =
            hw_frame_turned(&posed.part[at.part].place, d->splay_at, d->splay_axis, at.aside);
        NEAR(least_of(posed.part[at.part].mesh, &turned, &plane), truth, 1e-9);
    }
}

// Balls beside the finger's way, and in it.
static void balls(void)
{
    static const hw_vec3 at[] = {{0.17, 0.02, -0.03}, {0.13, 0.05, -0.05}, {0.09, 0.02, -0.05}};
    int apart = 0, meeting = 0;
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++) {
        measure to = {at[i], {0, 0, 0}, 6e-3};
        hw_palm_parts palm = ball("palm lid", at[i], to.radius);
        hw_made_palm_meeting got = found(index_made, &palm, every_pose(&index_made, &to, 0, false));
        apart += got.gap > 0;
        meeting += got.gap < 0;
    }
    CHECK(apart > 0 && meeting > 0);
}

// The finger's own yoke goes along with its splay, and its carrier may touch it; another's stands.
// What is neither palm nor yoke is not looked at.
static void yokes(void)
{
    const hw_palm_digit *d = &index_made.hand->palm.digit[HW_INDEX];
    hw_vec3 beside = hw_vec3_along(d->knuckle.at, -0.8 * d->width, d->knuckle.x);
    measure to = {beside, {0, 0, 0}, 2e-3};
    hw_palm_parts own = ball("index yoke", beside, to.radius), other, arm;
    other = ball("middle yoke", beside, to.radius);
    arm = ball("forearm front", beside, to.radius);
    double along = every_pose(&index_made, &to, 1, true),
           still = every_pose(&index_made, &to, 0, false);
    CHECK(still < along - 1e-3);
    found(index_made, &own, along);
    found(index_made, &other, still);
    hw_made_palm_meeting at;
    hw_made m = index_made;
    m.palm = &arm;
    CHECK(hw_made_near_palm(arena, &m, HW_INDEX, &at) == HW_OK && isinf(at.gap) && at.part == -1);
    m.palm = NULL;
    CHECK(hw_made_near_palm(arena, &m, HW_INDEX, &at) == HW_BAD_INPUT && isnan(at.gap));
}

// Solids are a right hand's, made meshes of a left one its mirror: to both sides of the finger,
// which its bars and recesses make unlike.
static void a_left_hand(void)
{
    static const hw_vec3 at[] = {{0.17, 0.02, -0.03},
                                 {0.13, 0.05, -0.05},
                                 {0.13, -0.01, -0.05},
                                 {0.11, 0.04, -0.03},
                                 {0.11, 0, -0.03}};
    for (size_t i = 0; i < sizeof at / sizeof *at; i++) {
        hw_palm_parts palm = ball("palm tray", at[i], 6e-3);
        hw_made_palm_meeting right, left;
        hw_made m = index_made;
        m.palm = &palm;
        CHECK(hw_made_near_palm(arena, &m, HW_INDEX, &right) == HW_OK);
        m = left_made;
        m.palm = &palm;
        CHECK(hw_made_near_palm(arena, &m, HW_INDEX, &left) == HW_OK);
        NEAR(left.gap, right.gap, 1e-9);
        CHECK(left.s == right.s && left.aside == right.aside);
    }
}

// Two patterns' ends: a ball that lies where a digit comes last.
static void grips(void)
{
    hw_made few;
    if (!made_of(
            "parts: {engraving: no}\ndigits:\n  ring: {present: no}\n  little: {present: no}\n", -1,
            &few))
        return;
    int ends = 0;
    for (int g = 0; g < HW_GRIPS; g += 3) {
        hw_made_grip grip;
        hw_posed posed;
        CHECK(hw_made_grip_of(arena, &few, (hw_grip_pattern)g, &grip) == HW_OK);
        CHECK(hw_make_posed_grip(arena, &few, (hw_grip_pattern)g, &posed) == HW_OK);
        hw_vec3 tip = {0, 0, 0};
        for (size_t i = 0; i < posed.parts; i++)
            if (posed.part[i].digit == HW_MIDDLE && posed.part[i].body == 3)
                tip = hw_frame_point(&posed.part[i].place, posed.part[i].mesh->vert[0]);
        measure to = {{tip.x - 0.02, tip.y, tip.z - 0.03}, {0, 0, 0}, 5e-3};
        hw_palm_parts palm = ball("palm tray", to.at, to.radius);
        double end = INFINITY;
        for (size_t i = 0; i < posed.parts; i++)
            if (posed.part[i].digit >= 0 && posed.part[i].body != HW_POSED_SPOOL)
                end = fmin(end, least_of(posed.part[i].mesh, &posed.part[i].place, &to));
        hw_made_palm_meeting at;
        few.palm = &palm;
        CHECK(hw_made_grip_near_palm(arena, &few, &grip, INFINITY, &at) == HW_OK);
        CHECK(at.gap <= end + fmax(1.01e-3 * width(), -0.021 * end));
        CHECK(at.s <= grip.end && (at.s < grip.end || at.gap >= end - 1e-9));
        ends += at.s == grip.end;
        hw_made_palm_meeting nearer;
        double below = at.gap - 1e-3;
        CHECK(hw_made_grip_near_palm(arena, &few, &grip, below, &nearer) == HW_OK);
        CHECK(nearer.part == -1 && nearer.gap == below);
    }
    CHECK(ends > 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    if (made_of(TEXT, HW_INDEX, &index_made) &&
        made_of("hand: {side: left}\n" TEXT, HW_INDEX, &left_made)) {
        RUN(a_plane);
        RUN(balls);
        RUN(yokes);
        RUN(a_left_hand);
        RUN(grips);
    }
    hw_arena_free(arena);
    return TEST_END();
}
