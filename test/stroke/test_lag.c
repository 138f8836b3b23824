#include "check.h"
#include "digits.h"
#include "stroke/lag.h"

static const hw_lag_drive rigid = {INFINITY, 0};

static hw_lag lag_of(const hw_digit *d, size_t n, double load, hw_lag_drive drive) // [N]
{
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    hw_lag out;
    CHECK(hw_stroke_new(a, n, &s) == HW_OK && hw_stroke_run(d, &s) == HW_OK);
    CHECK(hw_lag_of(d, &s, load, NULL, &drive, &out) == HW_OK);
    hw_arena_free(a);
    return out;
}

// A digit of one straight line, servos at its joints: every pin bears the load itself, and the
// arms are the lengths to the tip.
static void straight_direct_digit_by_hand(void)
{
    hw_digit d = proportional(0, 0, 0);
    d.pivot_play = 0.0002;
    double reach[] = {0.0902, 0.0446, 0.018}, squares = 0, sum = 0;
    for (int j = 0; j < HW_JOINTS; j++) {
        squares += reach[j] * reach[j];
        sum += reach[j];
    }
    hw_lag l = lag_of(&d, 3, 5, (hw_lag_drive){20, 0.02});
    CLOSE(l.pins, 3 * 0.0002, 1e-12);
    CLOSE(l.drive, 0.01 * sum + 5 * squares / 20, 1e-12);
    NEAR(l.bars, 0, 0);
    CLOSE(l.tip, l.pins + l.drive, 1e-15);
    CLOSE(l.knuckle, 0.01 + 5 * reach[0] / 20, 1e-12);
}

// Where the tip goes along the load when one bar grows by a little: the loop closed again. By
// virtual work that is the bar's force for 1 N.
static double tip_shift(const hw_digit *d, double s, int bar, double stretch) // [1] [m]
{
    hw_digit_pose p, q;
    CHECK(hw_digit_family_of(d->family)->pose(d, s, &p) == HW_OK);
    // the joint that this bar turns, by halving on the distance of its pins; A's is PIP, B's DIP
    double want = hw_norm(hw_sub(p.bar_end[bar], p.bar_root[bar])) + stretch;
    hw_vec2 arm = hw_sub(p.bar_end[bar], p.at[bar + 1]);
    double low = -0.01, high = 0.01;
    for (int k = 0; k < 80; k++) {
        double mid = (low + high) / 2;
        hw_vec2 end = hw_add(p.at[bar + 1], hw_flexed(arm, mid));
        double off = hw_norm(hw_sub(end, p.bar_root[bar])) - want;
        hw_vec2 far = hw_add(p.at[bar + 1], hw_flexed(arm, high));
        double sign = hw_norm(hw_sub(far, p.bar_root[bar])) - want;
        if (off * sign > 0)
            high = mid;
        else
            low = mid;
    }
    double turn = (low + high) / 2;
    // bar A's stretch turns PIP, and bar B makes DIP follow
    q = p;
    q.joint[bar + 1] += turn;
    if (bar == 0) {
        hw_digit_pose a, b;
        const double h = 1e-5;
        CHECK(hw_digit_family_of(d->family)->pose(d, s - h, &a) == HW_OK);
        CHECK(hw_digit_family_of(d->family)->pose(d, s + h, &b) == HW_OK);
        q.joint[2] += turn * (b.joint[2] - a.joint[2]) / (b.joint[1] - a.joint[1]);
    }
    for (int j = 0; j < HW_JOINTS; j++)
        q.at[j + 1] =
            hw_add(q.at[j], hw_flexed((hw_vec2){d->phalanx[j], 0}, hw_digit_turned(&q, j)));
    hw_vec2 open = hw_flexed((hw_vec2){0, 1}, hw_digit_turned(&p, 2));
    return hw_dot(hw_sub(q.at[HW_JOINTS], p.at[HW_JOINTS]), open);
}

static void bars_against_moved_geometry(void)
{
    hw_digit d = heron_index();
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    CHECK(hw_stroke_new(a, 9, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    for (size_t i = 1; i + 1 < s.n; i++)
        for (int b = 0; b < 2; b++) {
            const double small = 1e-8; // second order: small / horn, 2e-6
            double shift = tip_shift(&d, s.s[i], b, small) / small;
            CLOSE(fabs(shift), fabs(s.bar[b][i]), 1e-5);
        }
    hw_arena_free(a);
}

// A coupled digit's lag, pose by pose, from the stroke's own forces: it finds them in one loop of
// closed forms, the lag by the balances of every phalanx. Where the drive brings nothing, or would
// have to be helped, the play is left.
static void coupled_digit_from_its_forces(void)
{
    enum { N = 33 };
    hw_digit d = heron_index();
    d.pivot_play = 0.0002;
    const hw_lag_drive drive = {30, 0.01};
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    CHECK(hw_stroke_new(a, N, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    double most[N];
    for (int variant = 0; variant < 3; variant++) {
        hw_lag want = {.tip = -1}, got;
        for (size_t i = 0; i < N; i++) {
            // the worst pose lies now at one end, now at the other
            most[i] = variant == 0 ? 8 : variant == 1 ? (i < N / 2 ? -5 : 8) : -5;
            double load = fmax(most[i], 0), turn = s.torque[i];
            hw_digit_pose pose;
            CHECK(hw_stroke_pose(&d, &s, i, &pose) == HW_OK);
            hw_lag here = {.drive = turn * (0.005 + load * turn / 30),
                           .knuckle = 0.005 + load * turn / 30,
                           .at_s = s.s[i]};
            for (int j = 0; j < HW_JOINTS; j++) here.pins += 0.0002 * s.pin[j][i];
            for (int b = 0; b < 2; b++) {
                double f = s.bar[b][i];
                double length = hw_norm(hw_sub(pose.bar_end[b], pose.bar_root[b]));
                here.pins += 0.0002 * 2 * fabs(f);
                here.bars += load * f * f * length / (d.modulus * d.bar[b].width * d.bar[b].depth);
            }
            here.tip = here.pins + here.bars + here.drive;
            if (here.tip > want.tip) want = here;
        }
        CHECK(hw_lag_of(&d, &s, 8, most, &drive, &got) == HW_OK);
        CLOSE(got.tip, want.tip, 1e-9);
        CLOSE(got.pins, want.pins, 1e-9);
        NEAR(got.bars, want.bars, 1e-9 * want.tip);
        CLOSE(got.drive, want.drive, 1e-9);
        CLOSE(got.knuckle, want.knuckle, 1e-9);
        CHECK(got.at_s == want.at_s);
    }
    hw_arena_free(a);
}

// Elastic parts grow with the load, play does not; a stiffer print only changes the bars' part.
static void parts_follow_their_causes(void)
{
    hw_digit d = heron_index();
    d.pivot_play = 0.0002;
    hw_lag one = lag_of(&d, 65, 4, (hw_lag_drive){30, 0}),
           two = lag_of(&d, 65, 8, (hw_lag_drive){30, 0});
    CHECK(one.pins > 0 && one.bars > 0 && one.drive > 0);
    CLOSE(one.tip, one.pins + one.bars + one.drive, 1e-14);
    if (one.at_s == two.at_s) {
        CLOSE(two.pins, one.pins, 1e-12);
        CLOSE(two.bars, 2 * one.bars, 1e-12);
        CLOSE(two.drive, 2 * one.drive, 1e-12);
    }
    CHECK(two.tip > one.tip);
    // a drive that brings 4 N everywhere bears no 8
    hw_arena *a = hw_arena_new(0);
    hw_stroke s;
    hw_lag capped;
    double most[65];
    for (int i = 0; i < 65; i++) most[i] = 4;
    CHECK(hw_stroke_new(a, 65, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    CHECK(hw_lag_of(&d, &s, 8, most, &(hw_lag_drive){30, 0}, &capped) == HW_OK);
    CLOSE(capped.tip, one.tip, 1e-15);
    hw_arena_free(a);
    hw_digit stiff = d;
    stiff.modulus *= 10;
    CHECK(lag_of(&stiff, 65, 8, (hw_lag_drive){30, 0}).bars < 0.2 * two.bars);
    hw_digit tight = d;
    tight.pivot_play = 0;
    NEAR(lag_of(&tight, 65, 8, rigid).pins + lag_of(&tight, 65, 8, rigid).drive, 0, 0);
}

// Ten times as large, loads a hundred times, the same material, a drive a thousand times as stiff:
// ten times the lag.
static void lag_scales(void)
{
    hw_digit d = heron_index();
    d.pivot_play = 0.0002;
    hw_digit big = scaled(d, 10);
    for (int b = 0; b < 2; b++) {
        big.bar[b].width *= 10;
        big.bar[b].depth *= 10;
    }
    hw_lag one = lag_of(&d, 33, 8, (hw_lag_drive){30, 0.01});
    hw_lag ten = lag_of(&big, 33, 800, (hw_lag_drive){30000, 0.01});
    CLOSE(ten.tip, 10 * one.tip, 1e-9);
    CLOSE(ten.pins, 10 * one.pins, 1e-9);
    CLOSE(ten.bars, 10 * one.bars, 1e-9);
    CLOSE(ten.knuckle, one.knuckle, 1e-9);
}

static void wrong_input_is_said(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_digit d = heron_index();
    hw_stroke s;
    hw_lag l;
    CHECK(hw_stroke_new(a, 5, &s) == HW_OK && hw_stroke_run(&d, &s) == HW_OK);
    const hw_lag_drive bad[] = {{0, 0}, {-1, 0}, {NAN, 0}, {1, -1}, {1, NAN}, {1, INFINITY}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        CHECK(hw_lag_of(&d, &s, 1, NULL, &bad[i], &l) == HW_BAD_INPUT && isnan(l.tip));
    const double loads[] = {0, -1, NAN, INFINITY};
    for (size_t i = 0; i < sizeof loads / sizeof *loads; i++)
        CHECK(hw_lag_of(&d, &s, loads[i], NULL, &rigid, &l) == HW_BAD_INPUT);
    hw_digit cord = d;
    cord.family = HW_FAMILY_CORD;
    CHECK(hw_lag_of(&cord, &s, 1, NULL, &rigid, &l) == HW_BAD_INPUT);
    d.pivot_play = -1;
    CHECK(hw_lag_of(&d, &s, 1, NULL, &rigid, &l) == HW_BAD_INPUT);
    hw_digit none = heron_index();
    none.family = HW_FAMILY_DIRECT;
    none.phalanx[1] = NAN;
    CHECK(hw_lag_of(&none, &s, 1, NULL, &rigid, &l) == HW_NO_ASSEMBLY && isnan(l.tip));
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(straight_direct_digit_by_hand);
    RUN(bars_against_moved_geometry);
    RUN(coupled_digit_from_its_forces);
    RUN(parts_follow_their_causes);
    RUN(lag_scales);
    RUN(wrong_input_is_said);
    return TEST_END();
}
