// Mechanisms for tests, with their starting poses. Counter-clockwise angles as in fourbar.h; bodies
// turn by flexion, which is the opposite.
#ifndef HW_TEST_PLANAR_H
#define HW_TEST_PLANAR_H

#include "linkage/linkage.h"

#include <math.h>

#define DEG (HW_PI / 180)

enum { PLANAR_BODIES = 8, PLANAR_JOINTS = 12 };

typedef struct planar {
    hw_mech m;
    hw_pin pin[PLANAR_JOINTS];
    hw_slider slider[4];
    hw_driver driver[2];
    hw_body_pose at[PLANAR_BODIES]; // the known pose, at s = 0
} planar;

// A bar's own frame starts at its first pin and points to its second.
static inline hw_body_pose planar_bar(double x, double z, double ccw)
{
    return (hw_body_pose){x, z, -ccw};
}

static inline void planar_ends(planar *p)
{
    p->m.pin = p->pin;
    p->m.slider = p->slider;
    p->m.driver = p->driver;
}

static inline void planar_drive(planar *p, int body, double from_ccw, double to_ccw)
{
    p->driver[p->m.drivers++] = (hw_driver){0, body, -1, -from_ccw, from_ccw - to_ccw};
}

static inline void planar_pin(planar *p, int a, double ax, double az, int b, double bx, double bz)
{
    p->pin[p->m.pins++] = (hw_pin){a, b, {ax, az}, {bx, bz}};
}

// Bodies: 1 crank, 2 coupler, 3 rocker. Pins: 0 crank's pivot, 1 crank-coupler, 2 coupler-rocker, 3
// rocker's pivot. false where it does not close at `from`.
static inline bool planar_fourbar(planar *p, hw_fourbar f, double from, double to, int branch)
{
    *p = (planar){.m = {.bodies = 4}};
    planar_pin(p, 0, 0, 0, 1, 0, 0);
    planar_pin(p, 1, f.crank, 0, 2, 0, 0);
    planar_pin(p, 2, f.coupler, 0, 3, f.rocker, 0);
    planar_pin(p, 0, f.ground, 0, 3, 0, 0);
    planar_drive(p, 1, from, to);
    planar_ends(p);
    hw_fourbar_pose q;
    hw_code code = hw_fourbar_solve(&f, from, branch, &q, NULL);
    p->at[1] = planar_bar(0, 0, from);
    p->at[2] = planar_bar(f.crank * cos(from), f.crank * sin(from), q.coupler);
    p->at[3] = planar_bar(f.ground, 0, q.rocker);
    return code == HW_OK;
}

// Crank r, rod l, slide on the line z = offset; the crank drives. `side` +1: slide to the right.
// Bodies: 1 crank, 2 rod, 3 slide (keyed).
static inline bool planar_slider_crank(planar *p, double r, double l, double offset, double from,
                                       double to, int side)
{
    *p = (planar){.m = {.bodies = 4, .sliders = 1}};
    planar_pin(p, 0, 0, 0, 1, 0, 0);
    planar_pin(p, 1, r, 0, 2, 0, 0);
    planar_pin(p, 2, l, 0, 3, 0, 0);
    p->slider[0] = (hw_slider){0, 3, {0, offset}, 0, {0, 0}, 0, true};
    planar_drive(p, 1, from, to);
    planar_ends(p);
    double x = r * cos(from), z = r * sin(from), rise = offset - z;
    if (fabs(rise) > l) return false;
    double reach = side * sqrt((l - rise) * (l + rise));
    p->at[1] = planar_bar(0, 0, from);
    p->at[2] = planar_bar(x, z, atan2(rise, reach));
    p->at[3] = (hw_body_pose){x + reach, offset, 0};
    return true;
}

#endif
