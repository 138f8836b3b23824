// Digits for the tests of drawings and reports: the sorting hand's, the poor one's, a cord digit.
#ifndef HW_TEST_DIGITS_H
#define HW_TEST_DIGITS_H

#include "digit/digit.h"
#include "stroke/stroke.h"

static inline hw_digit digit_of(double p, double m, double e, double width, const double thick[3])
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    d.phalanx[0] = p * 1e-3;
    d.phalanx[1] = m * 1e-3;
    d.phalanx[2] = e * 1e-3;
    for (int i = 0; i < 3; i++) d.thickness[i] = thick[i] * 1e-3;
    d.tip_thickness = 0.7 * d.thickness[2];
    d.width = width * 1e-3;
    d.travel[0] = 0;
    d.travel[1] = 85 * HW_PI / 180;
    d.pivot_radius = 3e-3;
    return d;
}

static inline hw_bar bar_of(double x, double z, double horn, double angle)
{
    return (hw_bar){.root = {x * 1e-3, z * 1e-3},
                    .horn = horn * 1e-3,
                    .horn_angle = angle * HW_PI / 180,
                    .width = 3.2e-3,
                    .depth = 2.4e-3,
                    .depth_one = 2.4e-3};
}

// Bar A pulls, bar B pushes.
static inline hw_digit heron_index(void)
{
    hw_digit d = digit_of(45.6, 26.6, 18.0, 16, (const double[]){22, 18, 16});
    d.bar[0] = bar_of(5.9, 3.1, 6, -50);
    d.bar[1] = bar_of(-4.0, -2.0, 5, 149);
    return d;
}

static inline hw_digit heron_little(void)
{
    hw_digit d = digit_of(37.9, 21.8, 17.3, 13.5, (const double[]){20, 16.5, 14});
    d.bar[0] = bar_of(5.4, 2.8, 5.5, -53);
    d.bar[1] = bar_of(-2.0, -2.4, 4.5, 152);
    return d;
}

// Both bars push on short horns: a poor digit.
static inline hw_digit dodo_index(void)
{
    hw_digit d = digit_of(45.6, 26.6, 18.0, 16, (const double[]){22, 18, 16});
    d.bar[0] = bar_of(-3.2, -2.6, 3.5, 140);
    d.bar[1] = bar_of(-3.0, -1.6, 3.5, 149);
    return d;
}

static inline hw_digit wren_index(void)
{
    hw_digit d = digit_of(38, 22, 16, 13, (const double[]){18, 15, 13});
    d.family = HW_FAMILY_CORD;
    for (int i = 0; i < 3; i++) {
        d.joint_travel[i][0] = 0;
        d.joint_travel[i][1] = (double[]){85, 95, 65}[i] * HW_PI / 180;
        d.cord.arm[i] = (double[]){6e-3, 4.5e-3, 3e-3}[i];
        d.cord.spring_rate[i] = (double[]){0.010, 0.008, 0.006}[i];
        d.cord.spring_preload[i] = 0.003;
    }
    d.cord.tension = 20;
    return d;
}

#endif
