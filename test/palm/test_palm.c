// The palm's frames, axes and outline: by hand, mirrored, scaled, refused.
#include "check.h"
#include "palm/palm.h"

static const double deg = HW_PI / 180;

static double apart(hw_vec3 a, hw_vec3 b)
{
    return hw_vec3_norm(hw_vec3_sub(a, b));
}

static void right_handed(const hw_frame *f)
{
    NEAR(apart(hw_vec3_cross(f->x, f->y), f->z), 0, 1e-15);
    NEAR(hw_vec3_norm(f->x), 1, 1e-15);
    NEAR(hw_vec3_norm(f->y), 1, 1e-15);
}

// Turned about one axis after the other.
static void pointing_by_hand(void)
{
    const hw_vec3 at = {1, 2, 3};
    hw_frame f = hw_palm_frame(at, (hw_palm_pointing){30 * deg, 0, 0});
    NEAR(apart(f.x, (hw_vec3){cos(30 * deg), 0.5, 0}), 0, 1e-15); // toward the thumb
    f = hw_palm_frame(at, (hw_palm_pointing){0, 30 * deg, 0});
    NEAR(apart(f.x, (hw_vec3){cos(30 * deg), 0, 0.5}), 0, 1e-15); // toward the back
    f = hw_palm_frame(at, (hw_palm_pointing){0, 0, 30 * deg});
    NEAR(apart(f.y, (hw_vec3){0, cos(30 * deg), 0.5}), 0, 1e-15); // the thumb's side comes up
    NEAR(f.z.y, -0.5, 1e-15);
    CHECK(-f.z.y > 0); // so a finger flexed square leans toward the thumb
    for (int i = 0; i < 20; i++) {
        f = hw_palm_frame(at, (hw_palm_pointing){0.3 * i, 1 - 0.2 * i, 0.7 * i - 2});
        right_handed(&f);
        CHECK(apart(f.at, at) == 0);
    }
    // turn 90 degrees, then rise 90: up; the flexion axis is where -x was
    f = hw_palm_frame(at, (hw_palm_pointing){90 * deg, 90 * deg, 0});
    NEAR(apart(f.x, (hw_vec3){0, 0, 1}), 0, 1e-15);
    NEAR(apart(f.y, (hw_vec3){-1, 0, 0}), 0, 1e-15);
}

// The survey's median man's hand: docs/sources/anatomy.md gives places to whole millimetres.
static void a_median_hand(void)
{
    static const double axial[] = {29, 86, 86, 79, 71}, side[] = {15.8, 22, 0, -18, -35};
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.193, 0.088, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    for (int i = 0; i < HW_HAND_DIGITS; i++) {
        const hw_palm_digit *d = &p.digit[i];
        NEAR(1e3 * d->knuckle.at.x, axial[i], 0.6);
        NEAR(1e3 * d->knuckle.at.y, side[i], 0.6);
        right_handed(&d->knuckle);
        CHECK(apart(d->splay_axis, d->knuckle.z) == 0);
        NEAR(apart(d->splay_at, d->knuckle.at), 0.75 * d->thickness[0], 1e-15);
        NEAR(hw_vec3_dot(hw_vec3_sub(d->splay_at, d->knuckle.at), d->knuckle.x),
             -0.75 * d->thickness[0], 1e-15);
        // bar A's root 5.3, 3.6 mm in Heron's 22 mm joint
        hw_vec3 root = hw_vec3_sub(d->bar_at, d->knuckle.at);
        NEAR(hw_vec3_dot(root, d->knuckle.x) / d->thickness[0], 5.5 / 22, 1e-12);
        NEAR(hw_vec3_dot(root, d->knuckle.z) / d->thickness[0], 3.5 / 22, 1e-3);
    }
    NEAR(1e3 * p.thickness, 33, 0.1);
    CHECK(p.thickness <= 0.038);
    CLOSE(p.length, 0.446 * 0.193, 1e-12);
}

// A turn about the axis of opposition by 90 degrees takes what points toward the thumb's side
// before the palm.
static void opposition_goes_before_the_palm(void)
{
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    right_handed(&p.thumb_base);
    hw_vec3 across = p.thumb_base.y;
    CHECK(across.y > 0.7);
    hw_vec3 turned = hw_vec3_cross(p.opposition_axis, across);
    CHECK(turned.z < -0.7);
    NEAR(apart(p.thumb_base.at, p.digit[0].knuckle.at), 0, 0);
}

static void outline_is_a_body(void)
{
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.193, 0.088, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    for (int s = 0; s < HW_PALM_SECTIONS; s++) {
        double area = 0, low = INFINITY, high = -INFINITY, left = INFINITY, right = -INFINITY;
        for (int k = 0; k < HW_PALM_AROUND; k++) {
            hw_vec3 a = p.outline[s][k], b = p.outline[s][(k + 1) % HW_PALM_AROUND];
            area += 0.5 * (a.y * b.z - a.z * b.y);
            low = fmin(low, a.z), high = fmax(high, a.z);
            left = fmin(left, a.y), right = fmax(right, a.y);
            if (s > 0) CHECK(a.x > p.outline[s - 1][k].x);
        }
        double breadth = right - left;
        CHECK(area > 0.8 * breadth * p.thickness && area < breadth * p.thickness);
        CHECK(high <= p.back + 5e-4 && low < 0); // the crown lies beside the middle finger
        if (s + 1 == HW_PALM_SECTIONS) CLOSE(breadth, f.breadth, 1e-9);
        if (s == 0) CLOSE(breadth, f.wrist, 1e-9);
    }
    // its front keeps the setback behind each knuckle
    for (int i = 1; i < HW_HAND_DIGITS; i++) {
        double best = INFINITY;
        for (int k = 0; k < HW_PALM_AROUND; k++) {
            hw_vec3 a = p.outline[HW_PALM_SECTIONS - 1][k];
            CHECK(a.x <= p.digit[1].knuckle.at.x - f.setback + 1e-12);
            best = fmin(best, fabs(a.y - p.digit[i].knuckle.at.y));
        }
        CHECK(best < 0.2 * f.breadth);
    }
    // half way between back and inside it runs along the circle through the knuckles, but for what
    // its palm is less deep because its back's crown lies that far over the middle finger's knuckle
    const hw_vec3 *first = &p.digit[1].knuckle.at, *last = &p.digit[4].knuckle.at;
    double crown = 0.5 * (first->y + last->y), r = p.arch_radius;
    double centre = first->z - sqrt(r * r - (first->y - crown) * (first->y - crown));
    for (int k = 1; k < HW_PALM_AROUND / 2; k++) {
        hw_vec3 up = p.outline[HW_PALM_SECTIONS - 1][k];
        hw_vec3 down = p.outline[HW_PALM_SECTIONS - 1][HW_PALM_AROUND - k];
        double off = up.y - crown;
        NEAR(up.y, down.y, 1e-9);
        double way = p.back - p.thickness / 2 + centre + sqrt(r * r - off * off);
        double share = (up.z - way) / (p.thickness / 2); // of the way from there to back or palm
        NEAR((up.z + down.z) / 2, way + share * (centre + r) / 2, 1e-12);
    }
    // every knuckle's axis lies between back and palm
    for (int i = 1; i < HW_HAND_DIGITS; i++) {
        double z = p.digit[i].knuckle.at.z;
        CHECK(z < p.back && z > p.back - p.thickness - 0.006);
    }
}

// Deeper, its face lies lower by that and its lower half is stretched; its back, its sides and all
// that is not its body stay to the bit. Its height is what a box round back and face has.
static void deeper_for_servos(void)
{
    hw_palm_def f;
    hw_palm p, q;
    CHECK(hw_palm_def_of(0.193, 0.088, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    f.deeper = 7e-3;
    CHECK(hw_palm_of(&f, &q) == HW_OK);
    enum { FACE = 3 * HW_PALM_AROUND / 4 };
    double crown = -INFINITY, face[2] = {INFINITY, INFINITY};
    for (int s = 0; s < HW_PALM_SECTIONS; s++) {
        for (int k = 0; k < HW_PALM_AROUND; k++) {
            const hw_vec3 a = p.outline[s][k], b = q.outline[s][k];
            CHECK(a.x == b.x && a.y == b.y && b.z <= a.z && b.z >= a.z - 7e-3 - 1e-12);
            if (k <= HW_PALM_AROUND / 2) NEAR(b.z, a.z, 1e-15); // sine of pi is not 0
            crown = fmax(crown, a.z);
        }
        NEAR(q.outline[s][FACE].z, p.outline[s][FACE].z - 7e-3, 1e-12);
        face[0] = fmin(face[0], p.outline[s][FACE].z);
        face[1] = fmin(face[1], q.outline[s][FACE].z);
    }
    CLOSE(q.thickness, p.thickness + 7e-3, 1e-12);
    CLOSE(p.height, crown - face[0], 1e-12);
    CLOSE(p.height, f.thickness, 1e-12); // from its back's crown to the bed
    CLOSE(q.height, crown - face[1], 1e-12);
    CHECK(crown > p.back && crown < p.back + 1e-3); // where the knuckles' arch is highest
    CHECK(memcmp(q.digit, p.digit, sizeof p.digit) == 0 && q.back == p.back);
}

static void mirrors_are_exact(void)
{
    hw_palm_def f;
    hw_palm right, left;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK);
    f.digit[0].points = (hw_palm_pointing){0.7, -0.3, -0.9};
    f.digit[3].points.roll = 0.1;
    f.opposition_turn = 0.2;
    f.opposition_behind = 0.02;
    CHECK(hw_palm_of(&f, &right) == HW_OK);
    left = right;
    hw_palm_mirror(&left);
    for (int i = 0; i < HW_HAND_DIGITS; i++) {
        const hw_frame *a = &right.digit[i].knuckle, *b = &left.digit[i].knuckle;
        right_handed(b);
        CHECK(b->at.x == a->at.x && b->at.y == -a->at.y && b->at.z == a->at.z);
        CHECK(b->x.y == -a->x.y && b->z.y == -a->z.y && b->z.z == a->z.z);
        // splayed by the same angle a knuckle goes to the mirrored place: velocity of the knuckle
        hw_vec3 va =
            hw_vec3_cross(right.digit[i].splay_axis, hw_vec3_sub(a->at, right.digit[i].splay_at));
        hw_vec3 vb =
            hw_vec3_cross(left.digit[i].splay_axis, hw_vec3_sub(b->at, left.digit[i].splay_at));
        NEAR(apart(vb, (hw_vec3){va.x, -va.y, va.z}), 0, 1e-18);
        // flexed: x turns toward -z about y in both
        NEAR(apart(hw_vec3_cross(b->y, b->x), hw_vec3_times(b->z, -1)), 0, 1e-15);
    }
    hw_vec3 va = hw_vec3_cross(right.opposition_axis, right.digit[0].knuckle.x);
    hw_vec3 vb = hw_vec3_cross(left.opposition_axis, left.digit[0].knuckle.x);
    NEAR(apart(vb, (hw_vec3){va.x, -va.y, va.z}), 0, 1e-15);
    CHECK(apart(right.opposition_at, right.thumb_base.at) > 0.0199);
    NEAR(apart(left.opposition_at,
               (hw_vec3){right.opposition_at.x, -right.opposition_at.y, right.opposition_at.z}),
         0, 0);
    CHECK(left.outline[4][3].y == -right.outline[4][3].y);
    hw_palm_mirror(&left);
    CHECK(memcmp(&left, &right, sizeof left) == 0 ||
          left.opposition_axis.x == right.opposition_axis.x);
    CHECK(left.thumb_base.y.y == right.thumb_base.y.y);
}

static void ten_times_the_hand(void)
{
    hw_palm_def f, g;
    hw_palm p, q;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    CHECK(hw_palm_def_of(1.86, 0.84, &g) == HW_OK && hw_palm_of(&g, &q) == HW_OK);
    f.opposition_behind = 0.02, g.opposition_behind = 0.2;
    CHECK(hw_palm_of(&f, &p) == HW_OK && hw_palm_of(&g, &q) == HW_OK);
    NEAR(apart(q.opposition_at, hw_vec3_times(p.opposition_at, 10)), 0, 1e-15);
    for (int i = 0; i < HW_HAND_DIGITS; i++) {
        NEAR(apart(q.digit[i].knuckle.at, hw_vec3_times(p.digit[i].knuckle.at, 10)), 0, 1e-14);
        NEAR(apart(q.digit[i].splay_at, hw_vec3_times(p.digit[i].splay_at, 10)), 0, 1e-14);
        NEAR(apart(q.digit[i].cord_at, hw_vec3_times(p.digit[i].cord_at, 10)), 0, 1e-14);
        NEAR(apart(q.digit[i].knuckle.x, p.digit[i].knuckle.x), 0, 1e-15);
        CHECK(q.digit[i].splay[1] == p.digit[i].splay[1]);
    }
    for (int s = 0; s < HW_PALM_SECTIONS; s++)
        for (int k = 0; k < HW_PALM_AROUND; k++)
            NEAR(apart(q.outline[s][k], hw_vec3_times(p.outline[s][k], 10)), 0, 1e-14);
}

static void wrong_numbers_are_refused(void)
{
    hw_palm_def good, f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.186, -0.084, &f) == HW_BAD_INPUT);
    CHECK(hw_palm_of(&f, &p) == HW_BAD_INPUT && isnan(p.outline[0][0].x));
    CHECK(hw_palm_def_of(0.186, 0.084, &good) == HW_OK);
    double *spoil[] = {&f.digit[0].knuckle.z,
                       &f.digit[1].points.roll,
                       &f.digit[2].splay[1],
                       &f.digit[3].splay_behind,
                       &f.digit[4].segment[2],
                       &f.digit[1].width,
                       &f.digit[1].thickness[3],
                       &f.digit[1].travel[0],
                       &f.digit[1].cord.x,
                       &f.digit[1].bar.z,
                       &f.opposition_turn,
                       &f.opposition_rise,
                       &f.opposition_behind,
                       &f.opposition[1],
                       &f.length,
                       &f.breadth,
                       &f.wrist,
                       &f.thickness,
                       &f.wrist_thickness,
                       &f.back,
                       &f.setback,
                       &f.arch_radius,
                       &f.edge};
    for (size_t i = 0; i < sizeof spoil / sizeof *spoil; i++) {
        f = good;
        *spoil[i] = (double)NAN;
        CHECK(hw_palm_of(&f, &p) == HW_BAD_INPUT);
        CHECK(isnan(p.digit[4].bar_at.z) && isnan(p.thumb_base.y.x) && isnan(p.length));
    }
    f = good;
    f.digit[2].width = 0;
    CHECK(hw_palm_of(&f, &p) == HW_BAD_INPUT);
    f = good;
    f.setback = -1e-3;
    CHECK(hw_palm_of(&f, &p) == HW_BAD_INPUT);
    f = good;
    f.opposition_behind = -1e-3;
    CHECK(hw_palm_of(&f, &p) == HW_BAD_INPUT && isnan(p.opposition_at.x));
    f = good;
    f.deeper = -1e-3;
    CHECK(hw_palm_of(&f, &p) == HW_BAD_INPUT && isnan(p.height));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(pointing_by_hand);
    RUN(a_median_hand);
    RUN(opposition_goes_before_the_palm);
    RUN(outline_is_a_body);
    RUN(deeper_for_servos);
    RUN(mirrors_are_exact);
    RUN(ten_times_the_hand);
    RUN(wrong_numbers_are_refused);
    (void)hw_check_text;
    return TEST_END();
}
