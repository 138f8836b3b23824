// Middle lines of a finger made of cones: where they cross is known in closed form.
#include "anatomy/scan_internal.h"
#include "made_hand.h"

#include "base/arena.h"
#include "check.h"

#define DEG (HW_PI / 180)

static hw_arena *arena;
enum { FIRST = 5, JOINT = 6, NEXT = 7 }; // the index' knuckle, its PIP and DIP
static const double LONG[2] = {44, 28};  // of its two segments [mm]

typedef struct finger {
    made_hand h;
    hw_near near;
    hw_float_mesh mesh;
    hw_scanner s;
    hw_middle line[HW_MARKS];
} finger;

// Two cones that meet at the origin in a bend, and a third beside the first where `beside` is
// finite; everything is mirrored in y where `side` is -1. [rad] [mm]
static void make_finger(finger *f, double bend, double beside, double missing, double side)
{
    memset(f, 0, sizeof *f);
    made_hand *h = &f->h;
    h->def = (made_def){.cell = 1.9, .noise = 0, .missing = missing};
    h->rng = hw_rng_new(3, 77);
    const double before[3] = {-LONG[0], 0, 0}, joint[3] = {0, 0, 0};
    const double after[3] = {LONG[1] * cos(bend), 0, -LONG[1] * sin(bend)};
    made_cone_add(h, before, joint, 11.5, 9.8);
    made_cone_add(h, joint, after, 9.8, 8.4);
    const double from[3] = {-LONG[0], beside, 0}, to[3] = {10, 1.15 * beside, 0};
    if (isfinite(beside)) made_cone_add(h, from, to, 11.5, 9);
    made_surface(h);
    made_wear(h);
    for (size_t v = 0; v < h->verts; v++) h->at[v][1] *= (float)side;
    f->mesh = made_mesh(h);
    CHECK(hw_near_make(arena, arena, &f->mesh, NULL, &f->near) == HW_OK);
    f->s = (hw_scanner){.mesh = &f->mesh, .near = &f->near, .size = 187, .sign = 1};
    f->s.def = (hw_scan_def){.pick = 2, .noise = 0.3, .middle = 0.6, .base = 1};
    const double half = bend / 2;
    const hw_vec3 at[3] = {{before[0], 0, 0}, {0, 0, 0}, {after[0], 0, after[2]}};
    const double lean[3] = {0, half, bend};
    for (int k = 0; k < 3; k++) {
        hw_mark *m = &f->s.mark[FIRST + k];
        m->known = m->faces[HW_DORSAL] = m->faces[HW_PALMAR] = true;
        m->at = at[k];
        m->along = (hw_vec3){cos(lean[k]), 0, -sin(lean[k])};
        m->deep = (hw_vec3){sin(lean[k]), 0, cos(lean[k])};
        m->across = (hw_vec3){0, 1, 0};
        m->thickness = 20;
        m->sd[0] = 1;
    }
}

// Moves a mark's centre and sees what the lines say of it.
static double crossing(finger *f, double along, double deep, double *sd) // [mm]
{
    hw_mark *m = &f->s.mark[JOINT], keep = *m;
    m->at = hw_vec3_along(hw_vec3_along(m->at, along, m->along), deep, m->deep);
    hw_scan_middles(&f->s, f->line);
    double by = hw_scan_crossing(&f->s, f->line, JOINT, m, sd);
    *m = keep;
    return by;
}

static void drop(finger *f)
{
    made_hand_free(&f->h);
    hw_arena_rewind(arena, 0);
}

// Lines of equal error cross with a deviation of that over root two times the sine of half the
// bend; picks that know nothing leave the crossing alone, others share by variance.
static void a_crossing_in_closed_form(void)
{
    static finger f;
    for (int k = 0; k < 5; k++) {
        const double bend = (20 + 17.0 * k) * DEG;
        make_finger(&f, bend, (double)INFINITY, 0, 1);
        for (int i = -2; i <= 2; i++) {
            const double off = 1.2 * i, own = hypot(0.6, 0.1);
            double sd = 1e3, seen = sd, by = crossing(&f, off, 0.7, &seen);
            CHECK(f.line[FIRST].known && f.line[JOINT].known && !f.line[NEXT].known);
            NEAR(by, -off, 0.25);
            CHECK(seen >= 0.6 / (sqrt(2.0) * sin(bend / 2)) * 0.99);
            CHECK(seen <= own / (sqrt(2.0) * sin(bend / 2)) * 1.13);
            double both = 1, shared = crossing(&f, off, 0.7, &both);
            CLOSE(both, seen / hypot(1, seen), 1e-3);
            NEAR(shared, by / (1 + seen * seen), 1e-3);
        }
        drop(&f);
    }
}

static void a_straight_finger_says_nothing(void)
{
    static finger f;
    make_finger(&f, 0, (double)INFINITY, 0.1, 1);
    double sd = 1, by = crossing(&f, 1.5, 0, &sd);
    CHECK(f.line[FIRST].known && f.line[JOINT].known);
    NEAR(by, 0, 0.05);
    NEAR(sd, 1, 1e-3);
    drop(&f);
}

// Never by more than three of the picks' deviations, never less sure than they are; and not at all
// where lines cross far off.
static void a_joint_stays_where_its_picks_allow(void)
{
    static finger f;
    for (int k = 0; k < 4; k++) {
        make_finger(&f, (5 + 25.0 * k) * DEG, (double)INFINITY, 0.1, 1);
        for (double pick = 0.1; pick < 5; pick *= 2)
            for (double off = -6; off <= 6; off += 1.5) {
                double sd = pick, by = crossing(&f, off, -1, &sd);
                CHECK(fabs(by) <= 3 * pick && sd <= pick && sd > 0);
                if (by == 0) NEAR(sd, pick, 0);
            }
        drop(&f);
    }
    make_finger(&f, 80 * DEG, (double)INFINITY, 0, 1);
    double sd = 0.3;
    NEAR(crossing(&f, 5, 0, &sd), 0, 0);
    NEAR(sd, 0.3, 0);
    drop(&f);
}

static void a_knuckle_under_its_finger(void)
{
    static finger f;
    make_finger(&f, 40 * DEG, (double)INFINITY, 0, 1);
    hw_scan_middles(&f.s, f.line);
    hw_mark m = f.s.mark[FIRST];
    for (int i = -2; i <= 2; i++) {
        m.at = (hw_vec3){-LONG[0], 0.9 * i, 4};
        double sd = 1e3, by = hw_scan_prolonged(&f.s, &f.line[FIRST], &m, &sd);
        NEAR(by, -0.9 * i, 0.1);
        // its own, what the sections leave open, and 4 mm that lean by 2 in 20
        CHECK(sd >= hypot(1, 0.4) && sd <= hypot(hypot(1, 0.4), 0.3));
        m.faces[HW_PALMAR] = false; // by one face the skin leans more
        double alone = 1e3;
        CHECK(isfinite(hw_scan_prolonged(&f.s, &f.line[FIRST], &m, &alone)) && alone > sd);
        m.faces[HW_PALMAR] = true;
    }
    // 3 of both deviations off: another finger's line
    m.at = (hw_vec3){-LONG[0], 6, 0};
    double sd = 1;
    NEAR(hw_scan_prolonged(&f.s, &f.line[FIRST], &m, &sd), 0, 0);
    NEAR(sd, 1, 0);
    drop(&f);
}

// A finger that touches its neighbour, overlaps it at its base, or has lost most of its skin: the
// line is right or there is none.
static void neighbours_and_holes(void)
{
    static finger f;
    int lines = 0, none = 0;
    for (int k = 0; k < 8; k++) {
        const double beside = k < 5 ? 14 + 2.0 * k : (double)INFINITY;
        make_finger(&f, 50 * DEG, beside, k < 5 ? 0.1 : 0.2 * (k - 4), 1);
        double sd = 1, by = crossing(&f, 1, 0, &sd);
        CHECK(isfinite(by) && sd > 0 && sd <= 1);
        const hw_middle *l = &f.line[FIRST];
        lines += l->known;
        none += !l->known;
        if (l->known) {
            double to = -LONG[0] - l->at.x;
            NEAR(l->at.y, 0, 0.3);
            NEAR(l->at.y + to * l->way.y / l->way.x, 0, 1);
            NEAR(l->at.z, 0, 0.3);
        }
        drop(&f);
    }
    CHECK(lines >= 3 && none >= 2);
}

static void marks_that_are_missing(void)
{
    static finger f;
    make_finger(&f, 50 * DEG, (double)INFINITY, 0, 1);
    f.s.mark[NEXT].known = false;
    double sd = 1;
    NEAR(crossing(&f, 1, 0, &sd), 0, 0);
    CHECK(f.line[FIRST].known && !f.line[JOINT].known);
    // centres in one place, and backs along the segment
    f.s.mark[NEXT].known = true;
    f.s.mark[NEXT].at = f.s.mark[JOINT].at;
    f.s.mark[FIRST].deep = f.s.mark[JOINT].deep = (hw_vec3){1, 0, 0};
    NEAR(crossing(&f, 0, 0, &sd), 0, 0);
    CHECK(!f.line[FIRST].known && !f.line[JOINT].known);
    NEAR(sd, 1, 0);
    hw_middle nothing = {.known = false};
    NEAR(hw_scan_prolonged(&f.s, &nothing, &f.s.mark[FIRST], &sd), 0, 0);
    NEAR(sd, 1, 0);
    drop(&f);
}

static void the_mirror_image_is_moved_alike(void)
{
    static finger f;
    double by[2], sd[2] = {1, 1}, across[2], sure[2] = {1, 1};
    for (int k = 0; k < 2; k++) {
        const double side = k ? -1 : 1;
        make_finger(&f, 60 * DEG, 21, 0.1, side);
        f.s.mark[JOINT].at.y = 0.3 * side;
        by[k] = crossing(&f, 1.3, 0.4, &sd[k]);
        hw_mark m = f.s.mark[FIRST];
        m.at.y = 0.8 * side;
        across[k] = side * hw_scan_prolonged(&f.s, &f.line[FIRST], &m, &sure[k]);
        drop(&f);
    }
    CHECK(by[0] < -0.3 && across[0] < -0.1);
    NEAR(by[1], by[0], 1e-3);
    NEAR(sd[1], sd[0], 1e-3);
    NEAR(across[1], across[0], 1e-3);
    NEAR(sure[1], sure[0], 1e-3);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(a_crossing_in_closed_form);
    RUN(a_straight_finger_says_nothing);
    RUN(a_joint_stays_where_its_picks_allow);
    RUN(a_knuckle_under_its_finger);
    RUN(neighbours_and_holes);
    RUN(marks_that_are_missing);
    RUN(the_mirror_image_is_moved_alike);
    hw_arena_free(arena);
    (void)hw_check_text, (void)made_hand_new;
    return TEST_END();
}
