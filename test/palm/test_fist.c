// Stops, relief and cylinders of a closing finger: cases that a ruler answers, then brute force.
#include "check.h"
#include "motion.h"
#include "palm/fist.h"

static const double deg = HW_PI / 180;

// A finger of constant thickness t on a palm of thickness 2 h, its axis level with the palm's
// middle.
static hw_palm plain(double t, double l0, double l1, double l2, double setback, double h)
{
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK);
    f.back = h;
    f.thickness = f.wrist_thickness = 2 * h;
    f.setback = setback;
    f.edge = 1e-3 * h;
    hw_palm_digit_def *d = &f.digit[2];
    d->segment[0] = l0, d->segment[1] = l1, d->segment[2] = l2;
    for (int k = 0; k < HW_PALM_DEPTHS; k++) d->thickness[k] = t;
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    return p;
}

// The proximal alone turns: its face meets the front, sharp at (-setback, -h), where
// setback cos f' ... of a strip of half thickness r about an axis at distance hypot(setback, h).
static void front_edge_by_hand(void)
{
    const double t = 0.016, h = 0.012, setback = 0.011;
    hw_palm p = plain(t, 0.05, 0.03, 0.02, setback, h);
    motions m;
    motions_to(&m, (const double[]){85 * deg, 0, 0}, (const double[]){0, 0, 0});
    hw_palm_stop s;
    CHECK(hw_palm_stop_of(&p, 2, &m.of[2], 5 * deg, &s) == HW_OK);
    // the phalanx points to (cos f, -sin f), its palmar side to (-sin f, -cos f): the edge at
    // (-setback, -h) is setback sin f + h cos f along that, and falls to t/2 past its crest
    double away = hypot(setback, h), at = HW_PI - asin(t / 2 / away) - atan2(h, setback);
    NEAR(s.knuckle, at, 0.02 * deg); // the edge's radius is a thousandth of h
    CHECK(s.front && s.phalanx == 0);
    NEAR(s.spare, s.knuckle - 85 * deg, 1e-12);
    // five degrees more: the corner inside by what the line has come on
    double in = t / 2 - (setback * sin(at + 5 * deg) + h * cos(at + 5 * deg));
    NEAR(s.relief, in, 0.02 * in);
    CHECK(in > 0 && s.reach > 0);
}

// With a round edge of radius e the face touches a circle: nothing is left of the above's share.
static void front_edge_exactly(void)
{
    const double t = 0.016, h = 0.012, setback = 0.011, e = 0.002;
    hw_palm p = plain(t, 0.05, 0.03, 0.02, setback, h);
    p.edge = e;
    motions m;
    for (int closed = 70; closed <= 110; closed += 10) { // met on the way, or past its end
        motions_to(&m, (const double[]){closed * deg, 0, 0}, (const double[]){0, 0, 0});
        hw_palm_stop s;
        CHECK(hw_palm_stop_of(&p, 2, &m.of[2], 5 * deg, &s) == HW_OK);
        double away = hypot(setback + e, h - e);
        double at = HW_PI - asin((t / 2 + e) / away) - atan2(h - e, setback + e);
        NEAR(s.knuckle, at, 1e-9);
        CHECK(s.front && s.phalanx == 0);
    }
}

// A long finger's end folds flat on to the inside: at 180 degrees in all it lies t/2 above its
// line.
static void folds_on_to_the_palm(void)
{
    const double t = 0.01, h = 0.012;
    hw_palm p = plain(t, 0.04, 0.03, 0.02, 0.02, h);
    motions m;
    // knuckle 90: proximal straight down; PIP 90: middle and distal back along the palm
    motions_to(&m, (const double[]){90 * deg, 90 * deg, 0}, (const double[]){0, 0, 0});
    hw_palm_stop s;
    CHECK(hw_palm_stop_of(&p, 2, &m.of[2], 5 * deg, &s) == HW_OK);
    NEAR(s.reach, 0.04 - h - t / 2, 1e-9); // their line lies 40 mm down, the inside at 12
    CHECK(s.knuckle > 90 * deg);
    // a circle between palm and middle phalanx: as thick as the gap
    hw_palm_cylinders c;
    CHECK(hw_palm_cylinders_of(&p, 2, &m.of[2], s.at, &c) == HW_OK);
    NEAR(c.least, 0.04 - h - t / 2, 1e-9);
    CHECK(c.most >= c.least && c.at <= 1);
}

// How far a circle's middle is from a phalanx: the least over its own length of the distance from
// its line less its half thickness there, by halving (both are convex).
static double off_phalanx(const hw_palm_digit *d, int k, hw_vec2 off, hw_vec2 along) // [m]
{
    double r[2] = {d->thickness[k] / 2, d->thickness[k + 1] / 2}, length = d->segment[k];
    double low = 0, high = length;
    if (k == 2) { // its end is a disc that reaches the tip
        r[1] = fmin(r[1], length / 2);
        high = length - r[1];
    }
    double all = high;
    if (k == 0) low = r[0]; // the carrier's part is left out
    double best = INFINITY;
    for (int n = 0; n < 60; n++) {
        double gap[2], at[2] = {(2 * low + high) / 3, (low + 2 * high) / 3};
        for (int i = 0; i < 2; i++)
            gap[i] =
                hw_norm(hw_sub(off, hw_scale(along, at[i]))) - (r[0] + at[i] / all * (r[1] - r[0]));
        best = fmin(best, fmin(gap[0], gap[1]));
        if (gap[0] < gap[1])
            high = at[1];
        else
            low = at[0];
    }
    return best;
}

typedef struct chain {
    const hw_palm_digit *d;
    hw_vec2 at[HW_SEGMENTS + 1], along[HW_SEGMENTS];
    double inside;
} chain;

// Largest circle at x on the inside that is clear of all phalanges.
static double widest_at(const chain *c, double x) // [m] [m]
{
    double low = 0, high = 0.2;
    for (int n = 0; n < 30; n++) {
        double R = (low + high) / 2, clear = INFINITY;
        hw_vec2 middle = {x, c->inside - R};
        for (int k = 0; k < HW_SEGMENTS; k++)
            clear = fmin(clear, off_phalanx(c->d, k, hw_sub(middle, c->at[k]), c->along[k]) - R);
        if (clear >= 0)
            low = R;
        else
            high = R;
    }
    return low;
}

// The largest of all, from the fingertip to the palm's front, by trying many.
static double tried(const hw_palm *p, const double joint[HW_SEGMENTS])
{
    enum { PLACES = 40 };
    chain c = {.d = &p->digit[2], .inside = p->back - p->thickness};
    double turned = 0;
    for (int k = 0; k < HW_SEGMENTS; k++) {
        turned += joint[k];
        c.along[k] = hw_flexed((hw_vec2){1, 0}, turned);
        c.at[k + 1] = hw_add(c.at[k], hw_scale(c.along[k], c.d->segment[k]));
    }
    double tip = fmin(c.d->thickness[HW_SEGMENTS], c.d->segment[2]) / 2, best = 0;
    double from = c.at[HW_SEGMENTS].x - tip * c.along[2].x, to = -p->setback, where = from;
    for (double wide = to - from; wide > 1e-5; wide /= 8) { // finer about the best
        double middle = where;
        for (int i = 0; i <= PLACES; i++) {
            double x = wide < to - from ? middle + wide * (2.0 * i / PLACES - 1)
                                        : from + wide * i / PLACES;
            double r = widest_at(&c, fmin(fmax(x, from), to));
            if (r > best) best = r, where = x;
        }
    }
    return best;
}

static void cylinders_of(const hw_palm *p)
{
    motions m;
    natural_motions(&m);
    hw_palm_stop s;
    hw_palm_cylinders c;
    CHECK(hw_palm_stop_of(p, 2, &m.of[2], 5 * deg, &s) == HW_OK);
    CHECK(hw_palm_cylinders_of(p, 2, &m.of[2], s.at, &c) == HW_OK);
    double joint[HW_SEGMENTS], most = 0;
    hw_palm_motion_at(&m.of[2], fmin(1, s.at), joint);
    CLOSE(c.least, 2 * tried(p, joint), 1e-3);
    hw_palm_motion_at(&m.of[2], c.at, joint);
    CLOSE(c.most, 2 * tried(p, joint), 2e-3);
    for (int i = 8; i <= 32; i += 2) { // none is larger: before, its end is not under the palm
        hw_palm_motion_at(&m.of[2], i / 32.0, joint);
        hw_palm_pose o;
        hw_palm_pose_of(p, 2, 0, joint, &o);
        if (o.tip.x - p->digit[2].knuckle.at.x > -p->setback - 0.012) continue;
        most = fmax(most, 2 * tried(p, joint));
    }
    CHECK(most <= c.most * 1.005);
    CHECK(c.least < c.most);
}

static void cylinders_by_trying(void)
{
    hw_palm p = plain(0.016, 0.045, 0.027, 0.018, 0.011, 0.014);
    cylinders_of(&p);
    // a finger that tapers, and one whose end is a disc
    const double thick[2][HW_PALM_DEPTHS] = {{0.024, 0.018, 0.014, 0.01},
                                             {0.014, 0.016, 0.018, 0.03}};
    for (int n = 0; n < 2; n++) {
        for (int k = 0; k < HW_PALM_DEPTHS; k++) p.digit[2].thickness[k] = thick[n][k];
        cylinders_of(&p);
    }
}

static void ten_times_the_hand(void)
{
    hw_palm_def f, g;
    hw_palm p, q;
    motions m;
    natural_motions(&m);
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    CHECK(hw_palm_def_of(1.86, 0.84, &g) == HW_OK && hw_palm_of(&g, &q) == HW_OK);
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        hw_palm_stop a, b;
        hw_palm_cylinders c, e;
        CHECK(hw_palm_stop_of(&p, d, &m.of[d], 5 * deg, &a) == HW_OK);
        CHECK(hw_palm_stop_of(&q, d, &m.of[d], 5 * deg, &b) == HW_OK);
        CLOSE(b.knuckle, a.knuckle, 1e-8);
        CLOSE(b.relief, 10 * a.relief, 1e-7);
        CLOSE(b.reach, 10 * a.reach, 1e-7);
        CHECK(a.front == b.front && a.phalanx == b.phalanx);
        CHECK(hw_palm_cylinders_of(&p, d, &m.of[d], a.at, &c) == HW_OK);
        CHECK(hw_palm_cylinders_of(&q, d, &m.of[d], b.at, &e) == HW_OK);
        CLOSE(e.least, 10 * c.least, 1e-6);
        CLOSE(e.most, 10 * c.most, 1e-4);
    }
}

static void wrong_numbers_are_refused(void)
{
    hw_palm p = plain(0.016, 0.045, 0.027, 0.018, 0.011, 0.014);
    motions m;
    natural_motions(&m);
    hw_palm_stop s;
    hw_palm_cylinders c;
    CHECK(hw_palm_stop_of(&p, 0, &m.of[0], 0, &s) == HW_BAD_INPUT && isnan(s.reach));
    CHECK(hw_palm_stop_of(&p, 5, &m.of[1], 0, &s) == HW_BAD_INPUT);
    CHECK(hw_palm_stop_of(&p, 2, &m.of[2], (double)NAN, &s) == HW_BAD_INPUT);
    m.joint[2][1][7] = (double)NAN;
    CHECK(hw_palm_stop_of(&p, 2, &m.of[2], 0, &s) == HW_BAD_INPUT && s.phalanx == -1);
    CHECK(hw_palm_cylinders_of(&p, 2, &m.of[2], 1, &c) == HW_BAD_INPUT && isnan(c.most));
    CHECK(hw_palm_cylinders_of(&p, 1, &m.of[1], -1, &c) == HW_BAD_INPUT);
    m.of[1].n = 1;
    CHECK(hw_palm_cylinders_of(&p, 1, &m.of[1], 1, &c) == HW_BAD_INPUT);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(front_edge_by_hand);
    RUN(front_edge_exactly);
    RUN(folds_on_to_the_palm);
    RUN(cylinders_by_trying);
    RUN(ten_times_the_hand);
    RUN(wrong_numbers_are_refused);
    (void)hw_check_text;
    return TEST_END();
}
