// The thumb's seat by hand and against bodies built apart, its scale, and the search for its base.
// With the argument "long": the whole search.
#include "check.h"
#include "motion.h"
#include "palm/pack.h"
#include "palm/thumb.h"
#include "patience.h"

static const double deg = HW_PI / 180, mm = 1e-3;

static hw_thumb_seat seat_of(double scale)
{
    hw_thumb_seat s = {.plate = 3 * mm * scale,
                       .radius = 16 * mm * scale,
                       .journal = 7 * mm * scale,
                       .bearing = 5 * mm * scale,
                       .wall = 1 * mm * scale,
                       .sheath = 4 * mm * scale,
                       .gap = 0.2 * mm * scale,
                       .miss = 0.8 * mm * scale,
                       .angle = 72 * deg,
                       .tied = false};
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        s.block[d][0] = (d ? -33 : -19) * mm * scale;
        s.block[d][1] = -11 * mm * scale;
    }
    return s;
}

static hw_palm_def def_of(double scale)
{
    hw_palm_def f;
    CHECK(hw_palm_def_of(0.186 * scale, 0.084 * scale, &f) == HW_OK);
    return f;
}

// The axis along the palm, the thumb aside by 60 degrees in the palm's plane.
static void by_hand(void)
{
    hw_palm_def f = def_of(1);
    hw_palm p;
    hw_thumb_seat s = seat_of(1);
    f.opposition_turn = f.opposition_rise = 0;
    f.digit[0].points = (hw_palm_pointing){60 * deg, 0, 0};
    f.opposition_behind = 30 * mm;
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    CLOSE(hw_thumb_bend(&p), 60 * deg, 1e-12);
    double tangent = 16 * mm * tan(30 * deg); // 9.2 mm
    CLOSE(hw_thumb_behind(&p, &s), 19 * mm + tangent, 1e-12);
    s.radius = 2 * mm; // then the plate asks more: 3 mm
    CLOSE(hw_thumb_behind(&p, &s), 22 * mm, 1e-12);
    s.radius = 16 * mm;
    // the plate begins 30 - 19 - 3 mm along the thumb; of its corners those toward the wrist and at
    // its palmar edge lean out farthest, and a cone of 45 degrees holds them
    double least = INFINITY, w = f.digit[0].width / 2, t = f.digit[0].thickness[0] / 2;
    for (int i = 0; i < 2; i++)
        for (int k = 0; k < 2; k++)
            for (int far = 0; far < 2; far++) {
                double up = (far ? 11 : 8) * mm, y = k ? w : -w, z = i ? t : 7 * mm;
                double along = up * cos(60 * deg) - y * sin(60 * deg);
                double out = hypot(up * sin(60 * deg) + y * cos(60 * deg), z);
                least = fmin(least, along - fmax(0, out - 7 * mm));
            }
    CHECK(least < -0.75 * tangent);
    CLOSE(hw_thumb_mouth(&p, &s), 5 * mm - least, 1e-12);
    // down by 60 degrees: the plate's dorsal half is whole, its palmar half, toward the wrist, no
    // more than the journal
    f.digit[0].points = (hw_palm_pointing){0, -60 * deg, 0};
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    least = -0.75 * tangent;
    for (int i = 0; i < 2; i++)
        for (int far = 0; far < 2; far++) {
            double down = (far ? 11 : 8) * mm, z = i ? t : -7 * mm;
            double along = down * cos(60 * deg) + z * sin(60 * deg);
            double out = hypot(down * sin(60 * deg) - z * cos(60 * deg), w);
            least = fmin(least, along - fmax(0, out - 7 * mm));
        }
    CLOSE(hw_thumb_mouth(&p, &s), fmax(tangent, 5 * mm - least), 1e-12);
    CHECK(5 * mm - least > tangent);
    f.digit[0].points = (hw_palm_pointing){60 * deg, 0, 0};
    // thin and narrow, it is held by the bend, and the journal is as long as the bend's tangent
    f.digit[0].width = f.digit[0].thickness[0] = 1 * mm;
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    s.bearing = 0;
    CLOSE(hw_thumb_mouth(&p, &s), tangent, 1e-12);
    s.bearing = 5 * mm;
    CLOSE(hw_thumb_mouth(&p, &s), 0.75 * tangent + 5 * mm, 1e-12);
}

// Heron's palm and a base for which all has room.
static hw_palm_def seated(double scale)
{
    hw_palm_def f = def_of(scale);
    f.thickness = f.wrist_thickness = 38 * mm * scale;
    f.back = 11 * mm * scale;
    f.digit[0].points = (hw_palm_pointing){36.5 * deg, -37.9 * deg, -117.3 * deg};
    f.digit[0].knuckle = (hw_vec3){36.1 * mm * scale, 24.2 * mm * scale, -31.6 * mm * scale};
    f.opposition_turn = 4.7 * deg;
    f.opposition_rise = 0;
    f.opposition_behind = 26.6 * mm * scale;
    return f;
}

static void room_beside(double higher) // [m]
{
    hw_palm_def f = seated(1);
    f.digit[0].knuckle.z += higher;
    hw_palm p;
    motions m;
    natural_motions(&m);
    hw_thumb_seat s = seat_of(1);
    hw_thumb_room r;
    CHECK(hw_palm_of(&f, &p) == HW_OK && hw_thumb_room_of(&p, m.of, &s, &r) == HW_OK);
    NEAR(r.behind, 26.6 * mm - hw_thumb_behind(&p, &s), 1e-12);
    NEAR(r.mouth, p.opposition_at.x - hw_thumb_mouth(&p, &s) * cos(4.7 * deg) - 1 * mm, 1e-12);
    // carriers and sheaths: the thumb's block, its plate and the journal as bodies of their own
    double carriers = INFINITY, sheaths = INFINITY;
    for (int k = 0; k <= 6; k++) {
        hw_palm_pose pose;
        hw_palm_pose_of(&p, 0, 15 * k * deg, (const double[]){0, 0, 0}, &pose);
        hw_frame block = pose.base,
                 turned = {p.opposition_at, p.thumb_base.y, p.thumb_base.z, p.thumb_base.x};
        block.at = hw_vec3_along(block.at, -16.5 * mm, block.x); // -11 to -22
        turned.at = hw_vec3_along(turned.at, -hw_thumb_mouth(&p, &s) / 2, turned.z);
        const hw_body own[] = {
            hw_body_box(block, 11 * mm, p.digit[0].width, p.digit[0].thickness[0]),
            hw_body_cylinder(turned, 7 * mm, hw_thumb_mouth(&p, &s))};
        for (int d = 1; d < HW_HAND_DIGITS; d++) {
            hw_frame yoke = p.digit[d].knuckle;
            yoke.at = hw_vec3_along(yoke.at, -23.5 * mm, yoke.x); // -11 to -36, 3 mm below
            yoke.at = hw_vec3_along(yoke.at, -1.5 * mm, yoke.z);
            hw_body finger =
                hw_body_box(yoke, 25 * mm, p.digit[d].width, p.digit[d].thickness[0] + 3 * mm);
            hw_vec3 cord = p.digit[d].cord_at, other = cord;
            other.z += 0.6 * p.digit[d].thickness[0]; // the opening cord's, above the axis
            double y = fmin(p.outline[0][0].y - 1 * mm, cord.y);
            y = fmax(y, p.outline[0][HW_PALM_AROUND / 2].y + 1 * mm);
            for (int i = 0; i < 2; i++) {
                hw_nearness n;
                CHECK(hw_body_near(&own[i], &finger, &n) == HW_OK);
                carriers = fmin(carriers, n.distance);
                for (int o = 0; o < 2; o++) {
                    hw_vec3 from = o ? other : cord, to = {0, y, from.z};
                    hw_body tube = hw_body_capsule(from, to, 2 * mm);
                    CHECK(hw_body_near(&own[i], &tube, &n) == HW_OK);
                    sheaths = fmin(sheaths, n.distance);
                }
            }
        }
    }
    NEAR(r.carriers, carriers - 0.2 * mm, 1e-9);
    NEAR(r.sheaths, sheaths - 0.2 * mm, 1e-9);
}

// Below the fingers' sheaths, where it is asked for, and above them.
static void room_by_other_means(void)
{
    room_beside(0);
    room_beside(45 * mm);
}

// The journal moved until each side of the palm is the nearest.
static void palm_round_the_journal(void)
{
    static const hw_vec3 by[] = {{0, 0, -4}, {0, 0, 22}, {0, 16, 4}, {0, -45, 4}};
    motions m;
    natural_motions(&m);
    hw_thumb_seat s = seat_of(1);
    for (int i = 0; i < 4; i++) {
        hw_palm_def f = seated(1);
        hw_palm p;
        hw_thumb_room r;
        f.digit[0].knuckle = hw_vec3_along(f.digit[0].knuckle, mm, by[i]);
        CHECK(hw_palm_of(&f, &p) == HW_OK && hw_thumb_room_of(&p, m.of, &s, &r) == HW_OK);
        double side[4] = {INFINITY, INFINITY, INFINITY, INFINITY}, least = INFINITY;
        for (int k = 0; k < 7; k++) {
            double back = hw_thumb_mouth(&p, &s) * k / 6, z[2], y[2];
            hw_vec3 at = hw_vec3_along(p.opposition_at, -back, p.thumb_base.x);
            hw_palm_depth(&p, at.x, at.y, z);
            hw_palm_across(&p, at.x, y);
            side[0] = fmin(side[0], at.z - z[0] - 8 * mm);
            side[1] = fmin(side[1], z[1] - at.z - 8 * mm);
            side[2] = fmin(side[2], y[1] - at.y - 8 * mm);
            side[3] = fmin(side[3], at.y - y[0] - 8 * mm);
        }
        for (int k = 0; k < 4; k++) least = fmin(least, side[k]);
        CHECK(least == side[i]);
        NEAR(r.body, least, 1e-12);
    }
}

// Hulls of discs lie inside boxes, and round boxes that are as thick as the thinner end.
static void grips_between_boxes(void)
{
    hw_palm_def f = seated(1);
    hw_palm p;
    motions m;
    natural_motions(&m);
    hw_thumb_seat s = seat_of(1);
    hw_thumb_room r;
    CHECK(hw_palm_of(&f, &p) == HW_OK && hw_thumb_room_of(&p, m.of, &s, &r) == HW_OK);
    for (int g = 0; g < HW_GRIPS; g++) {
        hw_grip_closing c;
        double low = INFINITY, high = INFINITY;
        bool touched = false;
        CHECK(hw_grip_closing_of(&p, m.of, (hw_grip_pattern)g, false, &c) == HW_OK);
        for (int k = 0; k < 13; k++) {
            hw_palm_stance at;
            hw_body box[HW_HAND_DIGITS][4], thin[HW_HAND_DIGITS][4];
            hw_grip_stance_at(&c, k / 12.0, &at);
            for (int d = 0; d < HW_HAND_DIGITS; d++) {
                const hw_palm_digit *on = &p.digit[d];
                hw_palm_pose pose;
                double joint[HW_SEGMENTS];
                hw_palm_stance_joints(&at, &m.of[d], d, joint);
                hw_palm_pose_of(&p, d, at.aside[d], joint, &pose);
                hw_frame block = pose.base;
                block.at = hw_vec3_along(block.at, s.block[d][0] / 2, block.x);
                box[d][0] = thin[d][0] =
                    hw_body_box(block, -s.block[d][0], on->width, on->thickness[0]);
                for (int i = 0; i < HW_SEGMENTS; i++) {
                    // as high as the thicker end, and as far back as its disc
                    double t = fmax(on->thickness[i], on->thickness[i + 1]);
                    hw_frame middle = pose.phalanx[i];
                    middle.at = hw_vec3_along(middle.at, 0.5 * on->segment[i], middle.x);
                    box[d][i + 1] =
                        hw_body_box(middle, on->segment[i] + 1.1 * t, on->width, 1.1 * t);
                    double tip = i + 1 == HW_SEGMENTS ? on->thickness[i + 1] / 2 : 0;
                    hw_frame inner = pose.phalanx[i];
                    inner.at = hw_vec3_along(inner.at, 0.5 * (on->segment[i] - tip), inner.x);
                    thin[d][i + 1] = hw_body_box(inner, on->segment[i] - tip, on->width,
                                                 fmin(on->thickness[i], on->thickness[i + 1]));
                }
            }
            double touch = INFINITY, before = INFINITY;
            for (int d = 1; d < HW_HAND_DIGITS; d++)
                for (int i = 0; i < 4; i++)
                    for (int j = 0; j < 4; j++) {
                        const int digit[2] = {0, d}, phalanx[2] = {i - 1, j - 1};
                        double *lo = &low, *hi = &before, spare = INFINITY;
                        if (i && j && hw_grip_means((hw_grip_pattern)g, digit, phalanx))
                            lo = &touch, hi = &spare;
                        *lo = fmin(*lo, hw_body_clear(&box[0][i], &box[d][j], *lo));
                        *hi = fmin(*hi, hw_body_clear(&thin[0][i], &thin[d][j], *hi));
                    }
            touched = touched || touch < 0; // boxes touch before hulls
            if (!touched) high = fmin(high, before);
        }
        double most = f.digit[0].segment[2];
        CHECK(r.grip[g] >= fmin(low, most) - 1e-9);
        CHECK(r.grip[g] <= fmin(high, most) + 1e-9);
    }
    // a thumb whose metacarpal begins in the index's carrier
    f.digit[0].knuckle = hw_vec3_along(p.digit[1].knuckle.at, -20 * mm, p.digit[1].knuckle.x);
    f.opposition_behind = 0;
    CHECK(hw_palm_of(&f, &p) == HW_OK && hw_thumb_room_of(&p, m.of, &s, &r) == HW_OK);
    for (int g = 0; g < HW_GRIPS; g++) CHECK(r.grip[g] < -5 * mm);
    CHECK(r.carriers < 0);
}

static void ten_times(void)
{
    hw_palm_def f = seated(1), g = seated(10);
    hw_palm p, q;
    motions m;
    natural_motions(&m);
    hw_thumb_seat s = seat_of(1), t = seat_of(10);
    hw_thumb_room a, b;
    CHECK(hw_palm_of(&f, &p) == HW_OK && hw_palm_of(&g, &q) == HW_OK);
    CHECK(hw_thumb_room_of(&p, m.of, &s, &a) == HW_OK);
    CHECK(hw_thumb_room_of(&q, m.of, &t, &b) == HW_OK);
    NEAR(b.behind, 10 * a.behind, 1e-12);
    NEAR(b.mouth, 10 * a.mouth, 1e-12);
    NEAR(b.body, 10 * a.body, 1e-12);
    NEAR(b.carriers, 10 * a.carriers, 1e-9);
    NEAR(b.sheaths, 10 * a.sheaths, 1e-9);
    for (int i = 0; i < HW_GRIPS; i++) NEAR(b.grip[i], 10 * a.grip[i], 0.02 * mm); // by descents
    NEAR(b.palm, a.palm, 1e-9);
    CLOSE(hw_palm_thumb_cost(&q, m.of, &t), hw_palm_thumb_cost(&p, m.of, &s), 1e-3);
}

// Every lack costs its square, a hundredth of the pad as one; of the palm a twentieth.
static void what_lacks_costs(void)
{
    hw_palm_def f = seated(1);
    hw_palm p;
    motions m;
    natural_motions(&m);
    double unit = 0.01 * f.digit[0].segment[2];
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    double pads = hw_palm_thumb_cost(&p, m.of, NULL);
    for (int i = 0; i < 3; i++) {
        hw_thumb_seat s = seat_of(1);
        hw_thumb_room r;
        if (i == 1) s.radius += 2 * mm; // the axis then lies too near
        if (i == 2) s.gap = s.wall = s.journal = 12 * mm, s.bearing = 20 * mm;
        CHECK(hw_thumb_room_of(&p, m.of, &s, &r) == HW_OK);
        const double room[] = {r.behind, r.mouth, r.body, r.carriers, r.sheaths};
        double lacks = pow(r.palm / 0.05, 2);
        for (int k = 0; k < 5; k++) lacks += pow(fmin(room[k], 0) / unit, 2);
        for (int g = 0; g < HW_GRIPS; g++) lacks += pow(fmin(r.grip[g], 0) / unit, 2);
        NEAR(hw_palm_thumb_cost(&p, m.of, &s) - pads, lacks, 1e-6 * (1 + lacks));
        CHECK((r.behind < 0) == (i == 1));
        CHECK((r.mouth < 0 && r.body < 0 && r.sheaths < 0) == (i == 2));
    }
    hw_thumb_seat s = seat_of(1);
    double all = hw_palm_thumb_cost(&p, m.of, &s);
    s.angle = 20 * deg;
    CHECK(hw_palm_thumb_cost(&p, m.of, &s) > all + 1);
    s = seat_of(1);
    s.miss = -2 * mm; // four pads that miss by next to nothing
    CLOSE(hw_palm_thumb_cost(&p, m.of, &s) - all, 4 * pow(2 * mm / unit, 2), 0.05);
}

static void searched(int most)
{
    hw_palm_def f = seated(1), from;
    motions m;
    natural_motions(&m);
    hw_thumb_seat s = seat_of(1);
    hw_palm p;
    for (int d = 3; d < HW_HAND_DIGITS && most < 1000; d++) f.digit[d].present = false;
    // as today's thumbs turn, about their joint, in the palm
    f.digit[0].knuckle = (hw_vec3){18 * mm, 14 * mm, -14 * mm};
    f.opposition_behind = 0;
    from = f;
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    double before = hw_palm_thumb_cost(&p, m.of, &s), cost;
    patience patient = {0, most};
    hw_job job = {go_on, &patient};
    double within = (most < 1000 ? 1 : 6) * mm;
    hw_code code = hw_palm_thumb_search(&f, m.of, &s, within, &job, &cost);
    CHECK(code == (most < 1000 ? HW_CANCELLED : HW_OK));
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    CHECK(cost < (most < 1000 ? 0.5 : 0.05) * before);
    NEAR(f.opposition_behind, hw_thumb_behind(&p, &s), 1e-15);
    hw_vec3 gone = hw_vec3_sub(p.opposition_at, from.digit[0].knuckle);
    within *= 1.0001;
    CHECK(fabs(gone.x) <= within && fabs(gone.y) <= within && fabs(gone.z) <= within);
    CHECK(hw_palm_thumb_cost(&p, m.of, &s) <= cost);
    if (most < 1000) return;
    hw_thumb_room r;
    CHECK(hw_thumb_room_of(&p, m.of, &s, &r) == HW_OK);
    const double room[] = {r.behind, r.mouth, r.body, r.carriers, r.sheaths};
    for (int i = 0; i < 5; i++) CHECK(room[i] > -0.1 * mm);
    for (int g = 0; g < HW_GRIPS; g++) CHECK(r.grip[g] > -0.1 * mm);
}

static void a_part_of_the_search(void)
{
    searched(16);
}

static void the_whole_search(void)
{
    searched(100000);
}

static void refused(void)
{
    hw_palm_def f = seated(1);
    hw_palm p;
    motions m;
    natural_motions(&m);
    hw_thumb_room r;
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    for (int i = 0; i < 4; i++) {
        hw_thumb_seat s = seat_of(1);
        if (i == 0) s.journal = 0;
        if (i == 1) s.block[3][0] = NAN;
        if (i == 2) s.radius = -1 * mm;
        if (i == 3) s.bearing = INFINITY;
        CHECK(hw_thumb_room_of(&p, m.of, &s, &r) == HW_BAD_INPUT && isnan(r.grip[5]));
        CHECK(isnan(hw_palm_thumb_cost(&p, m.of, &s)));
    }
    hw_thumb_seat s = seat_of(1);
    p.digit[0].present = false;
    CHECK(hw_thumb_room_of(&p, m.of, &s, &r) == HW_BAD_INPUT && isnan(r.mouth));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (argc > 1 && argv[1][0] == 'l') {
        RUN(the_whole_search);
        return TEST_END();
    }
    RUN(by_hand);
    RUN(room_by_other_means);
    RUN(palm_round_the_journal);
    RUN(grips_between_boxes);
    RUN(ten_times);
    RUN(what_lacks_costs);
    RUN(a_part_of_the_search);
    RUN(refused);
    (void)hw_check_text;
    return TEST_END();
}
