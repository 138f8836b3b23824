// Parts on their hand: where they are, by another way round; the mirror; how near digits come.
// `threads`: three digits made at once, and what is refused.
#include "base/vec3.h"
#include "check.h"
#include "made_of.h"
#include "make/posed.h"
#include "palm/pose.h"

static hw_made few; // thumb, index, middle of a right hand

#define BARS  "  index: {mechanism: {kind: coupled bars}}\n"
#define PLAIN "parts: {engraving: no}\ndigits:\n" // letters are not mirrored
#define FEW   "  ring: {present: no}\n  little: {present: no}\n"

static const hw_posed_part *part_of(const hw_posed *p, int digit, int body)
{
    for (size_t i = 0; i < p->parts; i++)
        if (p->part[i].digit == digit && p->part[i].body == body) return &p->part[i];
    return NULL;
}

static void same_place(hw_vec3 got, hw_vec3 want, double tolerance) // [m]
{
    NEAR(hw_vec3_norm(hw_vec3_sub(got, want)), 0, tolerance);
}

// A point of a phalanx from the palm's pose of the digit, which knows nothing of beds; of a bar
// from its pins. Both faces on the bed.
static void points_come_to_where_the_palm_has_them(void)
{
    static const char *const text[2] = {
        "digits:\n" BARS,
        "digits:\n  index: {mechanism: {kind: coupled bars}, print: {face: palmar}}\n"};
    for (int face = 0; face < 2; face++) {
        hw_made m;
        if (!made_of(text[face], HW_INDEX, &m)) return;
        const hw_digit *d = &m.hand->digit[HW_INDEX];
        const hw_bed *bed = &m.group[0].bed;
        CHECK(bed->up == (face ? 1 : -1));
        for (int k = 0; k <= 4; k++) {
            hw_posed posed;
            hw_digit_pose pose;
            hw_palm_pose on;
            if (!CHECK(hw_make_posed(arena, &m, k / 4.0, &posed) == HW_OK)) return;
            CHECK(hw_digit_family_of(d->family)->pose(d, k / 4.0, &pose) == HW_OK);
            hw_palm_pose_of(&m.hand->palm, HW_INDEX, 0, pose.joint, &on);
            for (int b = 0; b < HW_STACK_PARTS; b++) {
                const hw_posed_part *p = part_of(&posed, HW_INDEX, b);
                if (!CHECK(p != NULL)) continue;
                hw_vec2 own = {0.011, -0.002};
                double y = 0.003;
                hw_vec2 plan = hw_bed_point(bed, b, own);
                hw_vec3 at = hw_frame_point(&p->place, (hw_vec3){plan.x, bed->up * y, plan.z});
                hw_frame want = b >= 1 && b <= 3 ? on.phalanx[b - 1] : on.base;
                hw_vec3 in = {own.x, y, own.z};
                if (b > 3) { // along the bar from its root to its end
                    hw_vec2 line = hw_sub(pose.bar_end[b - 4], pose.bar_root[b - 4]);
                    hw_vec2 x = hw_scale(line, 1 / hw_norm(line));
                    hw_vec2 on_digit = hw_add(pose.bar_root[b - 4], hw_scale(x, own.x));
                    on_digit = hw_add(on_digit, hw_scale((hw_vec2){-x.z, x.x}, own.z));
                    in = (hw_vec3){on_digit.x, y, on_digit.z};
                }
                same_place(at, hw_frame_point(&want, in), 1e-14); // of 0.2 m
            }
        }
    }
}

// The thumb is opposed by its share of the closing; its carrier stands at its base.
static void the_thumb_is_opposed(void)
{
    hw_made m = few;
    const hw_palm *palm = &m.hand->palm;
    size_t of = 0;
    while (of < m.groups && m.group[of].digit != HW_THUMB) of++;
    if (!CHECK(of < m.groups)) return;
    for (int k = 0; k < 3; k++) {
        hw_posed posed;
        if (!CHECK(hw_make_posed(arena, &m, k / 4.0, &posed) == HW_OK)) return;
        CHECK(posed.thumb >= 0 && posed.thumb <= k / 4.0 && (k == 0 || posed.thumb > 0.1));
        double turn =
            palm->opposition[0] + posed.thumb * (palm->opposition[1] - palm->opposition[0]);
        hw_frame want = hw_frame_turned(&palm->digit[HW_THUMB].knuckle, palm->thumb_base.at,
                                        palm->opposition_axis, turn);
        const hw_posed_part *p = part_of(&posed, HW_THUMB, 0);
        hw_vec2 plan = hw_bed_point(&m.group[of].bed, 0, (hw_vec2){0, 0});
        if (CHECK(p != NULL))
            same_place(hw_frame_point(&p->place, (hw_vec3){plan.x, 0, plan.z}), want.at, 1e-14);
    }
    CHECK(palm->opposition[1] > palm->opposition[0] + 0.2);
}

static hw_body hull_of(const hw_posed_part *p)
{
    size_t n = p->mesh->verts;
    hw_vec3 *at = HW_NEW(arena, hw_vec3, n);
    for (size_t v = 0; v < n; v++) at[v] = p->mesh->vert[v];
    return hw_body_hull(p->place, at, n);
}

// The least distance of two parts' hulls, of digits and bodies that `want` picks.
static double least_of(const hw_posed *posed,
                       bool (*want)(const hw_posed_part *a, const hw_posed_part *b))
{
    double least = INFINITY;
    hw_body *hull = HW_NEW(arena, hw_body, posed->parts);
    for (size_t i = 0; i < posed->parts; i++) hull[i] = hull_of(&posed->part[i]);
    for (size_t i = 0; i < posed->parts; i++)
        for (size_t j = 0; j < posed->parts; j++) {
            const hw_posed_part *a = &posed->part[i], *b = &posed->part[j];
            if (a->digit < 0 || b->digit < 0 || a->digit == b->digit || !want(a, b)) continue;
            least = fmin(least, hw_body_clear(&hull[i], &hull[j], least));
        }
    return least;
}

static bool thumb_on_finger(const hw_posed_part *a, const hw_posed_part *b)
{
    bool bodies = a->body < HW_POSED_SPOOL && b->body < HW_POSED_SPOOL;
    return bodies && a->digit == HW_THUMB && a->body >= 1 && b->body >= 1;
}

// At every share the thumb's phalanges are clear of the fingers; where it stopped short of the
// others' share with the palm out of its way, it touches one to what the search resolves.
static void the_thumb_stops_where_it_meets(void)
{
    hw_made m = few;
    hw_hand thin = *m.hand;
    for (int i = 0; i < HW_PALM_SECTIONS; i++) // a palm far away
        for (int k = 0; k < HW_PALM_AROUND; k++) thin.palm.outline[i][k].z += 10;
    m.hand = &thin;
    int stopped = 0;
    for (int step = 0; step <= 6;
         step++) { // in the whole fist of these the thumb lies from the start
        hw_posed posed;
        if (!CHECK(hw_make_posed(arena, &m, step / 8.0, &posed) == HW_OK)) return;
        size_t mark = hw_arena_mark(arena);
        double least = least_of(&posed, thumb_on_finger);
        hw_arena_rewind(arena, mark);
        CHECK(least > -1e-9);
        if (posed.thumb == posed.s) continue;
        stopped++;
        CHECK(least < 1e-5); // a reach of 0.1 m, turned by 2 rad, 1e-5 of it
    }
    CHECK(stopped > 0);
}

// Every corner of a left hand's parts is the mirror of the right one's, to the last bit; the palm's
// outline is closed and holds what a box of half its size does at least.
static void a_left_hand_is_the_mirror(void)
{
    hw_made right = few, left;
    if (!right.parts || !made_of("hand: {side: left}\n" PLAIN FEW BARS, -1, &left)) return;
    hw_posed r, l;
    CHECK(hw_make_posed(arena, &right, 0.4, &r) == HW_OK);
    CHECK(hw_make_posed(arena, &left, 0.4, &l) == HW_OK);
    CHECK(r.parts == l.parts && r.parts >= 3 * 4 + 3 && right.hand->left != left.hand->left);
    CHECK(l.low.y == -r.high.y && l.high.y == -r.low.y && l.low.x == r.low.x);
    for (size_t i = 0; i < r.parts; i++) {
        hw_mesh a, b;
        size_t off = 0;
        CHECK(hw_posed_mesh(arena, &r.part[i], &a) == HW_OK);
        CHECK(hw_posed_mesh(arena, &l.part[i], &b) == HW_OK && a.verts == b.verts);
        SAME_TEXT(r.part[i].name, l.part[i].name);
        for (size_t v = 0; v < a.verts; v++)
            off += a.vert[v].x != b.vert[v].x || a.vert[v].y != -b.vert[v].y ||
                   a.vert[v].z != b.vert[v].z;
        CHECK(off == 0);
        const hw_frame *f = &l.part[i].place; // a rotation still
        NEAR(hw_vec3_dot(hw_vec3_cross(f->x, f->y), f->z), 1, 1e-14);
        CHECK(hw_mesh_mass(&b, 1).volume > 0);
    }
    hw_made_grip grip[2];
    CHECK(hw_made_grip_of(arena, &right, HW_GRIP_TIP, &grip[0]) == HW_OK);
    CHECK(hw_made_grip_of(arena, &left, HW_GRIP_TIP, &grip[1]) == HW_OK);
    CHECK(grip[0].end == grip[1].end && grip[0].others.gap == grip[1].others.gap);
    hw_made_meeting of[2], thumb[2];
    CHECK(hw_made_meet(arena, &right, &of[0], &thumb[0]) == HW_OK);
    CHECK(hw_made_meet(arena, &left, &of[1], &thumb[1]) == HW_OK);
    CHECK(of[0].gap == of[1].gap && of[0].s == of[1].s && thumb[0].gap == thumb[1].gap);
    const hw_posed_part *palm = part_of(&l, -1, -1);
    hw_mesh_report report;
    if (!CHECK(palm != NULL)) return;
    CHECK(hw_mesh_check(arena, palm->file, NULL, &report) == HW_OK && hw_mesh_sound(&report));
    const hw_palm *p = &right.hand->palm;
    double block = p->length * p->breadth * p->thickness * 1e9; // [mm^3]
    CHECK(report.volume > 0.5 * block && report.volume < 1.2 * block);
}

// Fingers that move together sideways lose as much of their gap, and overlap in the end; the thumb
// is told of by itself. Hulls hold the parts, so corners of two parts are never nearer.
static void digits_beside_each_other(void)
{
    hw_made m = few;
    hw_made_meeting near, far, thumb;
    if (!m.parts) return;
    CHECK(hw_made_meet(arena, &m, &far, &thumb) == HW_OK);
    CHECK(far.part[0] >= 0 && m.group[m.part[far.part[0]].group].digit == HW_INDEX);
    CHECK(m.group[m.part[far.part[1]].group].digit == HW_MIDDLE);
    CHECK(thumb.part[0] >= 0 && (m.group[m.part[thumb.part[0]].group].digit == HW_THUMB ||
                                 m.group[m.part[thumb.part[1]].group].digit == HW_THUMB));
    hw_posed posed;
    CHECK(hw_make_posed(arena, &m, far.s, &posed) == HW_OK);
    double least = INFINITY;
    for (size_t i = 0; i < posed.parts; i++)
        for (size_t j = 0; j < posed.parts; j++) {
            const hw_posed_part *a = &posed.part[i], *b = &posed.part[j];
            if (a->digit != HW_INDEX || b->digit != HW_MIDDLE) continue;
            for (size_t v = 0; v < a->mesh->verts; v += 7)
                for (size_t w = 0; w < b->mesh->verts; w += 7) {
                    hw_vec3 p = hw_frame_point(&a->place, a->mesh->vert[v]);
                    hw_vec3 q = hw_frame_point(&b->place, b->mesh->vert[w]);
                    least = fmin(least, hw_vec3_norm(hw_vec3_sub(p, q)));
                }
        }
    CHECK(far.gap <= least && far.gap > least - 0.01);
    hw_hand other = *m.hand;
    other.palm.digit[HW_MIDDLE].knuckle.at.y += 0.001;
    m.hand = &other;
    CHECK(hw_made_meet(arena, &m, &near, &thumb) == HW_OK);
    NEAR(far.gap - near.gap, 0.001, 0.0002); // the fingers point apart by some degrees
    other.palm.digit[HW_MIDDLE].knuckle.at.y += 0.011;
    CHECK(hw_made_meet(arena, &m, &near, &thumb) == HW_OK && near.gap < 0);
}

// A spool turns on the axis of its recess, its drum inward, its flange below the skin.
static void spools_are_in_their_recess(void)
{
    hw_made m = few;
    hw_posed posed;
    int spools = 0;
    if (!m.parts || !CHECK(hw_make_posed(arena, &m, 0.6, &posed) == HW_OK)) return;
    for (size_t i = 0; i < posed.parts; i++) {
        const hw_posed_part *p = &posed.part[i];
        if (p->body != HW_POSED_SPOOL) continue;
        spools++;
        const hw_pulley *wheel = &m.hand->fittings[p->digit].wheel;
        const hw_digit *digit = &m.hand->digit[p->digit];
        double s = p->digit == HW_THUMB ? posed.thumb : posed.s, aside = 0;
        const double *turn = m.hand->palm.opposition;
        if (p->digit == HW_THUMB) aside = turn[0] + s * (turn[1] - turn[0]);
        hw_digit_pose pose;
        hw_palm_pose on;
        CHECK(hw_digit_family_of(digit->family)->pose(digit, s, &pose) == HW_OK);
        hw_palm_pose_of(&m.hand->palm, p->digit, aside, pose.joint, &on);
        double widest = 0, out = -INFINITY, in = INFINITY;
        for (size_t v = 0; v < p->mesh->verts; v++) {
            hw_vec3 at = hw_frame_point(&p->place, p->mesh->vert[v]);
            hw_vec3 own = hw_frame_seen(&on.phalanx[0], at);
            double off = hypot(own.x - wheel->spool.at.x, own.z - wheel->spool.at.z);
            double y = wheel->outward * own.y;
            widest = fmax(widest, off);
            if (off > wheel->spool.drum + 0.2e-3) in = fmin(in, y); // of the flange alone
            out = fmax(out, y);
        }
        NEAR(widest, wheel->spool.flange, 1e-4);
        CHECK(widest < wheel->spool.recess && out <= 0.5 * digit->width);
        const hw_layer *layer = &m.hand->layers[p->digit].layer[wheel->layer];
        NEAR(in, wheel->outward * wheel->y + 0.5 * layer->thickness, 1e-6);
        NEAR(out - in, wheel->spool.thickness, 1e-6);
    }
    CHECK(spools >= 2);
}

static hw_grip_pattern asked;

static int phalanx_of(const hw_posed_part *p)
{
    return p->body == 4 ? 0 : p->body > 4 ? 1 : p->body - 1; // bars lie in phalanges
}

static bool is_meant(const hw_posed_part *a, const hw_posed_part *b)
{
    const int digit[2] = {a->digit, b->digit}, phalanx[2] = {phalanx_of(a), phalanx_of(b)};
    return phalanx[0] >= 0 && phalanx[1] >= 0 && hw_grip_means(asked, digit, phalanx);
}

static bool is_not_meant(const hw_posed_part *a, const hw_posed_part *b)
{
    return !is_meant(a, b) && a->body < HW_POSED_SPOOL && b->body < HW_POSED_SPOOL;
}

// Where a pattern's closing ends, measured on the posed parts: what is to touch does, or stays as
// far apart as is said; nothing else is nearer than the finding says. Phalanges are where the
// stance's own pose has them, splay and a thumb in two motions included.
static void grips_end_where_they_touch(void)
{
    hw_made m = few;
    int touched = 0;
    if (!m.parts) return;
    for (int g = 0; g < HW_GRIPS; g++) {
        size_t mark = hw_arena_mark(arena);
        hw_made_grip held;
        hw_posed posed;
        asked = (hw_grip_pattern)g;
        CHECK(hw_made_grip_of(arena, &m, asked, &held) == HW_OK);
        CHECK(hw_make_posed_grip(arena, &m, asked, &posed) == HW_OK && posed.grip == asked);
        CHECK(isnan(posed.s) && posed.parts >= 3 * 4 + 3);
        double meant = least_of(&posed, is_meant), others = least_of(&posed, is_not_meant);
        printf("%s: ends at %.3f, %.2f mm; others %.2f mm at %.3f\n", hw_grip_name(asked), held.end,
               1e3 * meant, 1e3 * held.others.gap, held.others.s);
        CHECK(held.others.gap <= others + 1e-9 && held.others.s <= held.end);
        CHECK(held.others.part[0] >= 0 && held.others.part[1] > held.others.part[0]);
        if (isinf(held.short_of))
            CHECK(g == HW_GRIP_SPHERICAL && isinf(meant) && held.end == 1);
        else if (held.short_of > 0) {
            NEAR(meant, held.short_of, 1e-9);
            CHECK(held.end == 1);
        } else {
            touched++;
            CHECK(meant >= -1e-9 && meant < 2e-5); // of 0.2 m, turned by 2 rad
        }
        hw_palm_stance s;
        hw_grip_stance_at(&held.closing, held.end, &s);
        for (int d = HW_THUMB; d <= HW_MIDDLE; d++) {
            const hw_digit *digit = &m.hand->digit[d];
            hw_digit_pose pose, outer;
            hw_palm_pose on;
            CHECK(hw_digit_family_of(digit->family)->pose(digit, s.close[d], &pose) == HW_OK);
            CHECK(hw_digit_family_of(digit->family)->pose(digit, s.curl, &outer) == HW_OK);
            for (int j = 1; j < HW_JOINTS && d == HW_THUMB; j++) pose.joint[j] = outer.joint[j];
            hw_palm_pose_of(&m.hand->palm, d, s.aside[d], pose.joint, &on);
            size_t of = 0;
            while (of < m.groups && m.group[of].digit != d) of++;
            const hw_bed *bed = &m.group[of].bed;
            hw_vec2 plan = hw_bed_point(bed, 3, (hw_vec2){0.01, 0.002});
            const hw_vec3 in = {0.01, 0.001, 0.002};
            const hw_posed_part *p = part_of(&posed, d, 3);
            if (CHECK(p != NULL)) // joints between samples are straight: 1e-4 of a travel
                same_place(hw_frame_point(&p->place, (hw_vec3){plan.x, bed->up * 0.001, plan.z}),
                           hw_frame_point(&on.phalanx[2], in), 1e-14);
        }
        hw_arena_rewind(arena, mark);
    }
    CHECK(touched >= 2);
}

static void what_cannot_be_posed(void)
{
    hw_made m;
    hw_posed p;
    if (!made_of("digits:\n" BARS, HW_INDEX, &m)) return;
    CHECK(hw_make_posed(arena, &m, -0.01, &p) == HW_BAD_INPUT && p.parts == 0);
    CHECK(hw_make_posed(arena, &m, 1.01, &p) == HW_BAD_INPUT);
    CHECK(hw_make_posed(arena, &m, NAN, &p) == HW_BAD_INPUT);
    hw_hand faulty = *m.hand;
    faulty.palm.opposition_at.x = NAN;
    hw_made other = m;
    other.hand = &faulty;
    hw_made_meeting a, b;
    CHECK(hw_make_posed(arena, &other, 0.5, &p) == HW_BAD_INPUT);
    CHECK(hw_made_meet(arena, &other, &a, &b) == HW_BAD_INPUT && isnan(a.gap) && isnan(b.gap));
    hw_made_grip grip;
    CHECK(hw_made_grip_of(arena, &few, HW_GRIPS, &grip) == HW_BAD_INPUT && isnan(grip.others.gap));
    hw_made without = few;
    hw_hand thumbless = *few.hand;
    thumbless.palm.digit[HW_THUMB].present = false;
    without.hand = &thumbless;
    CHECK(hw_made_grip_of(arena, &without, HW_GRIP_TIP, &grip) == HW_BAD_INPUT);
    CHECK(hw_make_posed_grip(arena, &without, HW_GRIP_TIP, &p) == HW_BAD_INPUT && !p.parts);
    for (size_t n = 0; n < 6; n++) {
        hw_arena *small = hw_arena_new(0);
        hw_arena_fail_after(small, n);
        CHECK(hw_make_posed(small, &m, 0.5, &p) == HW_NO_MEMORY);
        CHECK(hw_make_posed_grip(small, &few, HW_GRIP_TIP, &p) == HW_NO_MEMORY);
        hw_arena_free(small);
    }
}

int main(int argc, char **argv)
{
    const bool threads = argc > 1 && strcmp(argv[1], "threads") == 0;
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    CHECK(made_of("hand: {side: right}\n" PLAIN FEW BARS, -1, &few));
    RUN(what_cannot_be_posed);
    if (!threads) {
        RUN(points_come_to_where_the_palm_has_them);
        RUN(the_thumb_is_opposed);
        RUN(the_thumb_stops_where_it_meets);
        RUN(a_left_hand_is_the_mirror);
        RUN(digits_beside_each_other);
        RUN(spools_are_in_their_recess);
        RUN(grips_end_where_they_touch);
    }
    hw_arena_free(arena);
    return TEST_END();
}
