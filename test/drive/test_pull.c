// A pair of cords in balance: closed forms against cords marched piece by piece, and against cords
// of many elements with dry friction that are wound and unwound step by step.
#include "base/rng.h"
#include "base/vec.h"
#include "check.h"
#include "drive/drive.h"

enum { PIECES = 4000, CASES = 300 };

// One cord marched from an end with tension `at` to the other; dT/ds = -m T along the way (s from 0
// to 1). Midpoint rule: right to 1e-8 for m up to 1.
static double march(double at, double m, double *mean) // [N] [1] [N]
{
    double sum = 0, t = at;
    for (int i = 0; i < PIECES; i++) {
        double middle = t - 0.5 * m * t / PIECES;
        sum += middle;
        t -= m * middle / PIECES;
    }
    *mean = sum / PIECES;
    return t;
}

// Means of both tensions add up to twice the pretension, found by bisection over the opening cord's
// larger end (its pulley's while the drum winds, its drum's while the joint is pushed).
static hw_drive_pull by_bisection(const hw_drive *d, double force, double mu, bool holding)
{
    double m = mu * d->sheath_bend, low = 0, high = 4 * d->pretension * exp(m) + 1;
    hw_drive_pull p = {0, 0, 0, 0};
    for (int k = 0; k < 60; k++) {
        double t = 0.5 * (low + high), mean_open, mean_close;
        double far = march(t, m, &mean_open);
        if (holding) {
            p.drum = force + t;
            p.pulley = p.drum * exp(m); // its larger end, from which it is marched
            CLOSE(march(p.pulley, m, &mean_close), p.drum, 1e-7);
            p.against = far;
        } else {
            p.drum = force + far;
            p.pulley = march(p.drum, m, &mean_close);
            p.against = t;
        }
        *(mean_open + mean_close > 2 * d->pretension ? &high : &low) = t;
    }
    p.torque = d->pulley_radius * (p.pulley - p.against);
    return p;
}

static hw_drive random_drive(hw_rng *r)
{
    hw_drive d = hw_drive_default();
    d.pretension = hw_rng_uniform(r, 0, 30);
    d.sheath_bend = hw_rng_uniform(r, 0.1, 6);
    d.pulley_radius = hw_rng_uniform(r, 4e-3, 15e-3);
    return d;
}

static void pairs_marched_along(void)
{
    hw_rng r = hw_rng_new(31, 1);
    for (int k = 0; k < 40; k++) {
        hw_drive d = random_drive(&r);
        double force = hw_rng_uniform(&r, 0, 80), mu = hw_rng_uniform(&r, 0.01, 0.15);
        for (int holding = 0; holding < 2; holding++) {
            hw_drive_pull got, want = by_bisection(&d, force, mu, holding);
            hw_drive_pull_of(&d, force, mu, holding, 0, &got);
            double scale = force + d.pretension; // 1e-6: the midpoint rule and 60 bisections
            NEAR(got.drum, want.drum, 1e-6 * scale * exp(1));
            NEAR(got.pulley, want.pulley, 1e-6 * scale * exp(1));
            NEAR(got.against, want.against, 1e-6 * scale * exp(1));
            NEAR(got.torque, want.torque, 4e-6 * scale * d.pulley_radius * exp(1));
        }
    }
}

static void without_friction_work_is_kept(void)
{
    hw_rng r = hw_rng_new(31, 2);
    for (int k = 0; k < CASES; k++) {
        hw_drive d = random_drive(&r);
        double force = hw_rng_uniform(&r, 0, 80);
        hw_drive_pull wind, hold;
        hw_drive_pull_of(&d, force, 0, false, 0, &wind);
        hw_drive_pull_of(&d, force, 0, true, 0, &hold);
        // drum and pulley turn as their radii: torque over radius is the same; rounding of a sum
        NEAR(wind.torque, force * d.pulley_radius, 1e-14);
        NEAR(hold.torque, wind.torque, 1e-14);
    }
}

static void holding_is_undone(void)
{
    hw_rng r = hw_rng_new(31, 3);
    for (int k = 0; k < CASES; k++) {
        hw_drive d = random_drive(&r);
        double mu = hw_rng_uniform(&r, 0, 0.2), force = hw_rng_uniform(&r, 0.1, 80);
        double back = k % 2 ? hw_rng_uniform(&r, 0, 0.1) : 0;
        d.back = k % 2 ? HW_RETURN_ELASTIC : HW_RETURN_CORD;
        hw_drive_pull p;
        hw_drive_pull_of(&d, force, mu, true, back, &p);
        NEAR(hw_drive_hold_of(&d, p.torque, mu, back), force, 1e-11 * (force + d.pretension));
    }
    hw_drive d = hw_drive_default();
    CHECK(hw_drive_hold_of(&d, 0, 0.1, 0) == 0); // friction alone holds an unloaded joint
}

static void friction_takes_from_closing_and_gives_to_holding(void)
{
    hw_rng r = hw_rng_new(31, 4);
    for (int k = 0; k < CASES; k++) {
        hw_drive d = random_drive(&r);
        double mu = hw_rng_uniform(&r, 0, 0.2), force = hw_rng_uniform(&r, 1, 80);
        hw_drive_pull a, b;
        hw_drive_pull_of(&d, force, mu, false, 0, &a);
        hw_drive_pull_of(&d, force, mu + 0.01, false, 0, &b);
        CHECK(b.torque < a.torque);
        hw_drive_pull_of(&d, force, mu, true, 0, &a);
        hw_drive_pull_of(&d, force, mu + 0.01, true, 0, &b);
        CHECK(b.torque > a.torque);
        CHECK(a.against >= 0 && a.pulley >= a.drum);
    }
}

// ---- cords of many elements
// --------------------------------------------------------------------------------------------------

enum { NODES = 24, SWEEPS = 4000 };

typedef struct rig {
    double at[2][NODES + 1]; // displacement of each node toward the drum, cord 0 closing [m]
    double m, pretension, k; // of one element [N/m]
    double joint;            // of the closing cord's end at the pulley, toward the drum [m]
} rig;

static double element(const rig *g, int cord, int i) // tension between nodes i and i + 1 [N]
{
    double t = g->pretension + g->k * (g->at[cord][i] - g->at[cord][i + 1]);
    return t > 0 ? t : 0;
}

// Lets every node slide that its friction cannot hold, until none moves: node 0 is the drum's end,
// node NODES the pulley's. The pulley is free: it turns until both cords pull alike.
static void settle(rig *g)
{
    for (int sweep = 0; sweep < SWEEPS; sweep++) {
        double most = 0;
        for (int cord = 0; cord < 2; cord++)
            for (int i = 1; i < NODES; i++) {
                double up = element(g, cord, i - 1), down = element(g, cord, i);
                double hold = 0.5 * (up + down) * g->m / (NODES - 1), net = up - down;
                double over = net > hold ? net - hold : net < -hold ? net + hold : 0;
                g->at[cord][i] += 0.5 * over / g->k;
                most = fmax(most, fabs(over));
            }
        double over = element(g, 0, NODES - 1) - element(g, 1, NODES - 1);
        g->joint += 0.25 * over / g->k;
        g->at[0][NODES] = g->joint;
        g->at[1][NODES] = -g->joint;
        if (fmax(most, fabs(over)) < 1e-7 * g->pretension) return;
    }
}

static void wind(rig *g, double by) // [m]
{
    g->at[0][0] += by;
    g->at[1][0] -= by;
    settle(g);
}

// From evenly taut cords the drum winds until all slides, then turns back: tensions, the drum's
// force and the dead band are those of the closed forms. 24 elements are right to a percent.
static void wound_and_unwound_step_by_step(void)
{
    const double bend[] = {1, 3, 6};
    for (size_t c = 0; c < 3; c++) {
        hw_drive d = hw_drive_default();
        d.sheath_bend = bend[c];
        d.clip_spacing = 1e-3; // no bowing
        double turn[2] = {0, 1}, unit[2] = {1, 1};
        hw_drive_stroke s = {2, turn, unit, NULL, 0};
        hw_drive_result want;
        if (!CHECK(hw_drive_run(&d, &s, NULL, NULL, &want) == HW_OK)) continue;
        rig g = {.m = 0.1 * bend[c], .pretension = 7, .k = want.stiffness * NODES};
        double step = 0.04 * 7 / want.stiffness;
        for (int i = 0; i < 100; i++) wind(&g, step);
        double drum = element(&g, 0, 0) - element(&g, 1, 0), joint = g.joint;
        CLOSE(drum, want.busiest.value * d.servo.stall_torque / d.drum_radius, 0.01);
        CLOSE(element(&g, 0, 0) / element(&g, 0, NODES - 1), exp(g.m), 0.01);
        // the drum turns back; the joint has followed by what is over the dead band
        double back = 4 * want.dead_band * d.pulley_radius;
        for (int i = 0; i < 80; i++) wind(&g, -back / 80);
        CLOSE(back - (joint - g.joint), want.dead_band * d.pulley_radius, 0.01);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(pairs_marched_along);
    RUN(without_friction_work_is_kept);
    RUN(holding_is_undone);
    RUN(friction_takes_from_closing_and_gives_to_holding);
    RUN(wound_and_unwound_step_by_step);
    (void)hw_check_text;
    return TEST_END();
}
