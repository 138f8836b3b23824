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

// Largest circle on the inside clear of the finger's discs and flanks, by trying many.
static double tried(const hw_palm *p, const double joint[HW_SEGMENTS])
{
    const hw_palm_digit *d = &p->digit[2];
    double inside = p->back - p->thickness, best = 0;
    hw_vec2 at[HW_SEGMENTS + 1] = {{0, 0}};
    double turned = 0;
    for (int k = 0; k < HW_SEGMENTS; k++) {
        turned += joint[k];
        at[k + 1] = hw_add(at[k], hw_flexed((hw_vec2){d->segment[k], 0}, turned));
    }
    double r = d->thickness[0] / 2;
    hw_vec2 last = hw_flexed((hw_vec2){-r, 0}, turned);
    at[HW_SEGMENTS] = hw_add(at[HW_SEGMENTS], last);
    for (int i = 0; i <= 400; i++) {
        double x = at[HW_SEGMENTS].x + (-p->setback - at[HW_SEGMENTS].x) * i / 400;
        double low = 0, high = 1;
        for (int n = 0; n < 40; n++) {
            double R = (low + high) / 2, clear = INFINITY;
            hw_vec2 c = {x, inside - R};
            for (int k = 0; k < HW_SEGMENTS; k++) {
                hw_vec2 along = hw_sub(at[k + 1], at[k]), off = hw_sub(c, at[k]);
                double share = hw_dot(off, along) / hw_dot(along, along);
                if (k == 0)
                    share = fmax(share, r / d->segment[0]); // the carrier's part is left out
                share = fmin(1, fmax(0, share));
                clear = fmin(clear, hw_norm(hw_sub(off, hw_scale(along, share))) - r - R);
            }
            if (clear >= 0)
                low = R;
            else
                high = R;
        }
        best = fmax(best, low);
    }
    return best;
}

static void cylinders_by_trying(void)
{
    hw_palm p = plain(0.016, 0.045, 0.027, 0.018, 0.011, 0.014);
    motions m;
    natural_motions(&m);
    hw_palm_stop s;
    hw_palm_cylinders c;
    CHECK(hw_palm_stop_of(&p, 2, &m.of[2], 5 * deg, &s) == HW_OK);
    CHECK(hw_palm_cylinders_of(&p, 2, &m.of[2], s.at, &c) == HW_OK);
    double joint[HW_SEGMENTS], most = 0;
    hw_palm_motion_at(&m.of[2], fmin(1, s.at), joint);
    CLOSE(c.least, 2 * tried(&p, joint), 1e-3);
    hw_palm_motion_at(&m.of[2], c.at, joint);
    CLOSE(c.most, 2 * tried(&p, joint), 2e-3);
    for (int i = 8; i <= 32; i++) { // none is larger: before, its end is not under the palm
        hw_palm_motion_at(&m.of[2], i / 32.0, joint);
        hw_palm_pose o;
        hw_palm_pose_of(&p, 2, 0, joint, &o);
        if (o.tip.x - p.digit[2].knuckle.at.x > -p.setback - 0.012) continue;
        most = fmax(most, 2 * tried(&p, joint));
    }
    CHECK(most <= c.most * 1.005);
    CHECK(c.least < c.most);
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
    RUN(folds_on_to_the_palm);
    RUN(cylinders_by_trying);
    RUN(ten_times_the_hand);
    RUN(wrong_numbers_are_refused);
    (void)hw_check_text;
    return TEST_END();
}
