// The share of the palm that a thumb sweeps: closed cases, every pose by brute force, finer cells,
// what widens it, and its scale.
#include "base/rng.h"
#include "check.h"
#include "motion.h"
#include "palm/pack.h"
#include "palm/thumb.h"

static const double deg = HW_PI / 180, mm = 1e-3;

// A palm whose thumb turns about an upright axis in its middle; next to no metacarpal or journal.
static hw_palm_def upright(double scale)
{
    hw_palm_def f;
    CHECK(hw_palm_def_of(0.186 * scale, 0.084 * scale, &f) == HW_OK);
    f.thickness = f.wrist_thickness = 38 * mm * scale;
    f.back = 11 * mm * scale;
    f.opposition_turn = 0;
    f.opposition_rise = 90 * deg;
    f.opposition_behind = 0;
    f.opposition[0] = 0;
    f.opposition[1] = 80 * deg;
    f.digit[0].points = (hw_palm_pointing){180 * deg, 0, 0}; // its back toward the fingers
    f.digit[0].knuckle = (hw_vec3){12 * mm * scale, 0, -24 * mm * scale};
    f.digit[0].width = 6 * mm * scale;
    f.digit[0].segment[0] = 1e-3 * mm * scale;
    f.digit[0].thickness[0] = 2 * mm * scale;
    f.digit[0].thickness[1] = 1e-3 * mm * scale;
    return f;
}

static hw_thumb_seat seat_of(double scale)
{
    hw_thumb_seat s = {.plate = 3 * mm * scale,
                       .radius = 1e-3 * mm * scale,
                       .journal = 1e-3 * mm * scale,
                       .bearing = 1e-3 * mm * scale,
                       .miss = 0.8 * mm * scale,
                       .angle = 72 * deg};
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        s.block[d][0] = (d ? -33 : -15) * mm * scale;
        s.block[d][1] = -11 * mm * scale;
    }
    return s;
}

static void no_flexion(motions *m)
{
    motions_to(m, (const double[]){1, 1, 1}, (const double[]){0, 0, 0});
}

static double share_of(const hw_palm_def *f, const motions *m, const hw_thumb_seat *s, int cells)
{
    hw_palm p;
    CHECK(hw_palm_of(f, &p) == HW_OK);
    return hw_thumb_swept(&p, &m->of[0], s, cells);
}

static double front_of(const hw_palm *p, const hw_thumb_seat *s) // [m]
{
    double front = INFINITY;
    for (int d = 1; d < HW_HAND_DIGITS; d++)
        front = fmin(front, p->digit[d].knuckle.at.x + s->block[d][0]);
    return front;
}

// Of the palm between wrist and carriers, in fine columns.
static double volume_of(const hw_palm *p, double front) // [m] [m]
{
    enum { N = 300 };
    double sum = 0;
    for (int i = 0; i < N; i++) {
        double x = front * (i + 0.5) / N, y[2], z[2];
        hw_palm_across(p, x, y);
        for (int k = 0; k < N; k++) {
            hw_palm_depth(p, x, y[0] + (y[1] - y[0]) * (k + 0.5) / N, z);
            if (!isnan(z[0])) sum += (z[1] - z[0]) * front / N * (y[1] - y[0]) / N;
        }
    }
    return sum;
}

// The angles that a block leaves free on a circle of radius r about a point on its middle line, so
// far before its back and behind its front, when it has turned by `angle`: none of its gaps but
// is less by that.
static double left_free(double r, const double end[2], double w, double angle) // [m] [rad]
{
    double side = r > w ? 2 * acos(w / r) : 0, free = 0; // before each of its long sides
    bool whole = true;                                   // does it reach round its corners
    for (int k = 0; k < 2; k++) {
        double gap = r > end[k] ? 2 * acos(end[k] / r) : 0;
        if (r > hypot(end[k], w)) { // with both sides' gaps
            whole = false;
            continue;
        }
        free += fmax(0, gap - angle);
    }
    if (!whole) return free + fmax(0, HW_PI + side - angle);
    return free + 2 * fmax(0, side - angle);
}

// What a bar eats that turns about the middle of its front, which is a half disc.
static double sector(double radius, double w, double h, double angle) // [m] [m] [m] [rad] [m3]
{
    enum { N = 2000, H = 40 };
    double far = hypot(radius, w), volume = 0;
    for (int k = 0; k < H; k++) {
        double z = (k + 0.5) / H, end[2] = {radius, h * sqrt(1 - z * z)};
        for (int i = 0; i < N; i++) {
            double r = far * (i + 0.5) / N;
            volume += r * (2 * HW_PI - left_free(r, end, w, angle)) * far / N * 2 * h / H;
        }
    }
    return volume;
}

static void a_bar_eats_a_sector(void)
{
    motions m;
    no_flexion(&m);
    hw_thumb_seat s = seat_of(1);
    for (int i = 1; i <= 3; i++) {
        hw_palm_def f = upright(1);
        hw_palm p;
        f.opposition[1] = 40 * i * deg;
        CHECK(hw_palm_of(&f, &p) == HW_OK);
        double want =
            sector(18 * mm, 3 * mm, 1 * mm, 40 * i * deg) / volume_of(&p, front_of(&p, &s));
        CHECK(want > 0.003 * i && want < 0.01 * i);
        CLOSE(hw_thumb_swept(&p, &m.of[0], &s, 120), want, 0.02);
    }
}

// A journal along the palm and its wall, in the middle of it.
static void a_journal_eats_a_cylinder(void)
{
    motions m;
    no_flexion(&m);
    hw_palm_def f = upright(1);
    hw_palm p;
    hw_thumb_seat s = seat_of(1);
    f.opposition_rise = 0;
    f.digit[0].points.turn = 90 * deg;
    f.digit[0].knuckle = (hw_vec3){30 * mm, 0, -8 * mm};
    f.digit[0].width = f.digit[0].thickness[0] = 1e-3 * mm;
    s.block[0][0] = s.block[0][1] = -1e-3 * mm;
    s.plate = 0;
    s.journal = 7 * mm;
    s.wall = 2 * mm;
    s.gap = 1 * mm;
    s.bearing = 20 * mm;
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    double long_ = hw_thumb_mouth(&p, &s);
    CHECK(long_ > 19 * mm && long_ < 29 * mm);
    double want = HW_PI * 100 * mm * mm * long_ / volume_of(&p, front_of(&p, &s));
    CLOSE(hw_thumb_swept(&p, &m.of[0], &s, 120), want, 0.02);
    CLOSE(hw_thumb_swept(&p, &m.of[0], &s, 20), want, 0.08);
}

// Heron's palm, a thumb that opposes and flexes in it, and where its discs and blocks are in many
// poses.
static hw_palm_def seated(double scale)
{
    hw_palm_def f = upright(scale), def;
    CHECK(hw_palm_def_of(0.186 * scale, 0.084 * scale, &def) == HW_OK);
    f.digit[0] = def.digit[0];
    f.digit[0].points = (hw_palm_pointing){36.5 * deg, -37.9 * deg, -117.3 * deg};
    f.digit[0].knuckle = (hw_vec3){36.1 * mm * scale, 24.2 * mm * scale, -25 * mm * scale};
    f.opposition_turn = 4.7 * deg;
    f.opposition_rise = 0;
    f.opposition_behind = 26.6 * mm * scale;
    f.opposition[1] = 90 * deg;
    return f;
}

// One that lies in the palm and flexes there.
static hw_palm_def sunk(void)
{
    hw_palm_def f = seated(1);
    f.digit[0].points = (hw_palm_pointing){80 * deg, 0, -90 * deg};
    f.digit[0].knuckle = (hw_vec3){8 * mm, -18 * mm, -8 * mm};
    f.opposition_behind = 5 * mm;
    f.opposition[1] = 25 * deg;
    f.digit[0].segment[0] = 30 * mm;
    f.digit[0].thickness[1] = 1 * mm;
    return f;
}

static hw_thumb_seat seat_in(double scale)
{
    hw_thumb_seat s = seat_of(scale);
    s.block[0][0] = -22 * mm * scale;
    s.radius = 16 * mm * scale;
    s.journal = 7 * mm * scale;
    s.bearing = 5 * mm * scale;
    s.wall = 1 * mm * scale;
    s.gap = 0.5 * mm * scale;
    return s;
}

static bool in_pose(const hw_palm *p, const hw_palm_pose *pose, const hw_thumb_seat *s, hw_vec3 at)
{
    const hw_palm_digit *d = &p->digit[0];
    hw_vec3 a = hw_frame_seen(&pose->base, at), b = hw_frame_seen(&pose->phalanx[0], at);
    if (fabs(a.y) > d->width / 2 + s->gap) return false;
    if (a.x <= s->gap && a.x >= s->block[0][0] - s->plate - s->gap &&
        fabs(a.z) <= d->thickness[0] / 2 + s->gap)
        return true;
    for (int i = 0; i <= 40; i++) { // discs along the metacarpal
        double t = i / 40.0, r = (1 - t) * d->thickness[0] + t * d->thickness[1];
        if (hypot(b.x - t * d->segment[0], b.z) <= r / 2 + s->gap) return true;
    }
    return false;
}

static bool in_any_pose(const hw_palm *p, const motions *m, const hw_thumb_seat *s, hw_vec3 at)
{
    enum { TURNS = 46, FLEXIONS = 9 };
    hw_vec3 on = hw_frame_seen(&p->thumb_base,
                               hw_vec3_add(at, hw_vec3_sub(p->thumb_base.at, p->opposition_at)));
    if (on.x <= 0 && on.x >= -hw_thumb_mouth(p, s) &&
        hypot(on.y, on.z) <= s->journal + s->wall + s->gap)
        return true;
    for (int i = 0; i < TURNS; i++)
        for (int k = 0; k < FLEXIONS; k++) {
            double joint[HW_SEGMENTS], share = i / (TURNS - 1.0);
            hw_palm_pose pose;
            hw_palm_motion_at(&m->of[0], k / (FLEXIONS - 1.0), joint);
            hw_palm_pose_of(p, 0, p->opposition[0] + share * (p->opposition[1] - p->opposition[0]),
                            joint, &pose);
            if (in_pose(p, &pose, s, at)) return true;
        }
    return false;
}

static bool in_palm(const hw_palm *p, hw_vec3 at)
{
    double z[2], y[2];
    hw_palm_across(p, at.x, y);
    if (at.y < y[0] || at.y > y[1]) return false;
    hw_palm_depth(p, at.x, at.y, z);
    return !isnan(z[0]) && at.z >= z[0] && at.z <= z[1];
}

static void every_pose_of(const hw_palm_def *f)
{
    enum { N = 5000 };
    motions m;
    natural_motions(&m);
    hw_thumb_seat s = seat_in(1);
    hw_palm p;
    CHECK(hw_palm_of(f, &p) == HW_OK);
    double front = front_of(&p, &s);
    hw_rng rng = hw_rng_new(5, 0);
    int in = 0;
    for (int all = 0; all < N;) {
        hw_vec3 at = {hw_rng_uniform(&rng, 0, front), hw_rng_uniform(&rng, -50 * mm, 50 * mm),
                      hw_rng_uniform(&rng, -40 * mm, 20 * mm)};
        if (!in_palm(&p, at)) continue;
        all++;
        in += in_any_pose(&p, &m, &s, at);
    }
    double want = (double)in / N;
    CHECK(want > 0.1 && want < 0.7);
    NEAR(hw_thumb_swept(&p, &m.of[0], &s, 20), want, 3 * sqrt(want * (1 - want) / N));
    NEAR(hw_thumb_swept(&p, &m.of[0], &s, 40), want, 3 * sqrt(want * (1 - want) / N));
}

static void every_pose(void)
{
    hw_palm_def before = seated(1), in = sunk();
    every_pose_of(&before);
    every_pose_of(&in);
}

static void finer_cells(void)
{
    motions m;
    natural_motions(&m);
    hw_palm_def f = seated(1);
    hw_thumb_seat s = seat_in(1);
    double fine = share_of(&f, &m, &s, 60);
    NEAR(share_of(&f, &m, &s, 40), fine, 0.003);
    NEAR(share_of(&f, &m, &s, 20), fine, 0.01);
    NEAR(share_of(&f, &m, &s, 10), fine, 0.03);
}

// Farther opposed, farther flexed, longer, thicker, wider, with more room: never less.
static void more_eats_more(void)
{
    motions m, closer;
    natural_motions(&m);
    motions_to(&closer, (const double[]){1, 1, 1}, (const double[]){0.3, 0, 0});
    hw_palm_def f = sunk();
    hw_thumb_seat s = seat_in(1);
    double before = share_of(&f, &m, &s, 20);
    CHECK(share_of(&f, &closer, &s, 20) < before - 0.01);
    for (int i = 0; i < 8; i++) {
        // what the seat says lies outside of one that is sunk
        hw_palm_def g = i < 4 ? f : seated(1), was = g;
        hw_thumb_seat t = s;
        if (i == 0) g.opposition[1] += 15 * deg;
        if (i == 1) g.digit[0].segment[0] *= 1.2;
        if (i == 2) g.digit[0].width += 4 * mm;
        if (i == 3) g.digit[0].thickness[1] += 3 * mm;
        if (i == 4) t.gap += 1 * mm;
        if (i == 5) t.journal += 1 * mm;
        if (i == 6) t.plate += 3 * mm;
        if (i == 7) t.wall += 1 * mm;
        CHECK(share_of(&g, &m, &t, 20) > share_of(&was, &m, &s, 20) + 5e-4);
    }
    // outside of the palm there is nothing to eat
    f.digit[0].knuckle = (hw_vec3){40 * mm, 150 * mm, 0};
    CHECK(share_of(&f, &m, &s, 20) == 0);
}

static void ten_times_and_refused(void)
{
    motions m;
    natural_motions(&m);
    hw_palm_def f = seated(1), g = seated(10);
    hw_thumb_seat s = seat_in(1), t = seat_in(10);
    NEAR(share_of(&g, &m, &t, 20), share_of(&f, &m, &s, 20), 1e-9);
    CHECK(isnan(share_of(&f, &m, &s, 0)));
    s.gap = NAN;
    CHECK(isnan(share_of(&f, &m, &s, 20)));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_bar_eats_a_sector);
    RUN(a_journal_eats_a_cylinder);
    RUN(every_pose);
    RUN(finer_cells);
    RUN(more_eats_more);
    RUN(ten_times_and_refused);
    (void)hw_check_text;
    return TEST_END();
}
