// Pads that meet: a case by hand, the default hand, brute force, and the search for a base.
#include "check.h"
#include "motion.h"
#include "palm/thumb.h"

static const double deg = HW_PI / 180;

static hw_palm_def hand(void)
{
    hw_palm_def f;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK);
    return f;
}

// Every pad of the default hand can be met, nearly: as Kapandji's test asks of a person's thumb.
static void pads_of_the_default_meet(void)
{
    hw_palm_def f = hand();
    hw_palm p;
    motions m;
    natural_motions(&m);
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        hw_palm_meeting o;
        CHECK(hw_palm_meeting_of(&p, d, &m.of[0], &m.of[d], &o) == HW_OK);
        CHECK(o.miss < 0.001 * f.digit[0].segment[2]);
        CHECK(o.angle < 75 * deg);
        // the answer is a pose: posed so, the pads are where it says
        double joint[HW_SEGMENTS], outer[HW_SEGMENTS];
        hw_palm_motion_at(&m.of[0], o.base, joint);
        hw_palm_motion_at(&m.of[0], o.curl, outer);
        joint[1] = outer[1], joint[2] = outer[2];
        hw_palm_pose pose;
        hw_vec3 na, nb, a, b;
        hw_palm_pose_of(&p, 0, o.opposition, joint, &pose);
        a = hw_palm_pad(&p, 0, &pose, &na);
        hw_palm_motion_at(&m.of[d], o.close, joint);
        hw_palm_pose_of(&p, d, o.splay, joint, &pose);
        b = hw_palm_pad(&p, d, &pose, &nb);
        NEAR(hw_vec3_norm(hw_vec3_sub(a, b)), o.miss, 1e-12);
        NEAR(acos(-hw_vec3_dot(na, nb)), o.angle, 1e-9);
        CHECK(o.opposition >= p.opposition[0] && o.opposition <= p.opposition[1]);
        CHECK(o.splay >= p.digit[d].splay[0] && o.splay <= p.digit[d].splay[1]);
        CHECK(o.base >= 0 && o.base <= 1 && o.curl >= 0 && o.curl <= 1 && o.close <= 1);
    }
}

// A thumb that cannot turn misses by what a ruler says: nothing nearer is found by trying poses on
// a grid.
static void no_nearer_on_a_grid(void)
{
    hw_palm_def f = hand();
    hw_palm p;
    motions m;
    natural_motions(&m);
    f.opposition[1] = 20 * deg;
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    hw_palm_meeting o;
    CHECK(hw_palm_meeting_of(&p, 4, &m.of[0], &m.of[4], &o) == HW_OK);
    CHECK(o.miss > 0.003); // out of reach
    double best = INFINITY;
    enum { N = 9 };
    for (int i = 0; i < N; i++)
        for (int k = 0; k < N; k++)
            for (int l = 0; l < N; l++) {
                double joint[HW_SEGMENTS], outer[HW_SEGMENTS];
                hw_palm_pose pose;
                hw_vec3 n;
                hw_palm_motion_at(&m.of[0], k / (N - 1.0), joint);
                hw_palm_motion_at(&m.of[0], l / (N - 1.0), outer);
                joint[1] = outer[1], joint[2] = outer[2];
                hw_palm_pose_of(&p, 0, p.opposition[1] * i / (N - 1.0), joint, &pose);
                hw_vec3 a = hw_palm_pad(&p, 0, &pose, &n);
                for (int s = 0; s < 3 * N; s++) {
                    hw_palm_motion_at(&m.of[4], s / (3 * N - 1.0), joint);
                    for (int t = 0; t < 3; t++) {
                        hw_palm_pose_of(&p, 4, p.digit[4].splay[0] * t / 2, joint, &pose);
                        hw_vec3 b = hw_palm_pad(&p, 4, &pose, &n);
                        best = fmin(best, hw_vec3_norm(hw_vec3_sub(a, b)));
                    }
                }
            }
    CHECK(o.miss <= best + 1e-9); // the grid holds no nearer pose
    CHECK(o.miss > 0.5 * best);
}

static void a_search_that_helps(void)
{
    hw_palm_def f = hand();
    motions m;
    natural_motions(&m);
    f.digit[0].points.roll = -70 * deg; // a worse start
    f.digit[0].points.turn = 60 * deg;
    hw_palm p;
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    double before = hw_palm_thumb_cost(&p, m.of, NULL), cost;
    hw_palm_def from = f;
    hw_vec3 home = f.digit[0].knuckle;
    CHECK(hw_palm_thumb_search(&f, m.of, NULL, 0.003, NULL, &cost) == HW_OK);
    CHECK(cost < 0.9 * before);
    CHECK(fabs(f.digit[0].knuckle.x - home.x) <= 0.003 + 1e-12);
    CHECK(hw_palm_of(&f, &p) == HW_OK);
    // a hundredth for each 20 degrees, or the whole way it may move, squared
    hw_palm_pointing a = f.digit[0].points, b = from.digit[0].points;
    double turned = (a.turn - b.turn) * (a.turn - b.turn) + (a.rise - b.rise) * (a.rise - b.rise) +
                    (a.roll - b.roll) * (a.roll - b.roll) + f.opposition_turn * f.opposition_turn +
                    f.opposition_rise * f.opposition_rise +
                    from.opposition_turn * (from.opposition_turn - 2 * f.opposition_turn) +
                    from.opposition_rise * (from.opposition_rise - 2 * f.opposition_rise);
    double moved = hw_vec3_norm(hw_vec3_sub(f.digit[0].knuckle, home)) / 0.003;
    double strayed = 0.01 * (turned / (400 * deg * deg) + moved * moved);
    NEAR(cost, hw_palm_thumb_cost(&p, m.of, NULL) + strayed, 1e-9);
    CHECK(strayed > 1e-4);
}

static bool stop_at_once(void *self, double fraction, const char *stage)
{
    (void)fraction;
    (void)stage;
    return ++*(int *)self < 3;
}

static void told_to_stop(void)
{
    hw_palm_def f = hand();
    motions m;
    natural_motions(&m);
    int asked = 0;
    double cost;
    hw_job job = {stop_at_once, &asked};
    CHECK(hw_palm_thumb_search(&f, m.of, NULL, 0.003, &job, &cost) == HW_CANCELLED && asked == 3);
    CHECK(isfinite(cost));
}

static void ten_times_and_refused(void)
{
    hw_palm_def f = hand(), g;
    hw_palm p, q;
    motions m;
    natural_motions(&m);
    CHECK(hw_palm_def_of(1.86, 0.84, &g) == HW_OK);
    f.opposition[1] = g.opposition[1] = 30 * deg;
    CHECK(hw_palm_of(&f, &p) == HW_OK && hw_palm_of(&g, &q) == HW_OK);
    hw_palm_meeting a, b;
    CHECK(hw_palm_meeting_of(&p, 4, &m.of[0], &m.of[4], &a) == HW_OK);
    CHECK(hw_palm_meeting_of(&q, 4, &m.of[0], &m.of[4], &b) == HW_OK);
    CLOSE(b.miss, 10 * a.miss, 1e-6);
    NEAR(b.angle, a.angle, 1e-5);
    CHECK(hw_palm_meeting_of(&p, 0, &m.of[0], &m.of[0], &a) == HW_BAD_INPUT && isnan(a.miss));
    p.digit[1].segment[2] = 0;
    CHECK(hw_palm_meeting_of(&p, 1, &m.of[0], &m.of[1], &a) == HW_BAD_INPUT);
    CHECK(isnan(hw_palm_thumb_cost(&p, m.of, NULL)));
    double cost;
    f.length = (double)NAN;
    CHECK(hw_palm_thumb_search(&f, m.of, NULL, 0.003, NULL, &cost) == HW_BAD_INPUT && isnan(cost));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(pads_of_the_default_meet);
    RUN(no_nearer_on_a_grid);
    RUN(a_search_that_helps);
    RUN(told_to_stop);
    RUN(ten_times_and_refused);
    (void)hw_check_text;
    return TEST_END();
}
