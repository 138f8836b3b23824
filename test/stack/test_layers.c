#include "check.h"
#include "stack/stack.h"

#include <math.h>
#include <stdlib.h>

#define MM 1e-3

// Heron's index, docs/decisions/0010.
static void heron(hw_digit *d, hw_layers_def *f)
{
    *d = hw_digit_default();
    d->family = HW_FAMILY_COUPLED_BARS;
    d->width = 16 * MM;
    double phalanx[] = {45.6 * MM, 26.6 * MM, 18 * MM}, thick[] = {22 * MM, 18 * MM, 16 * MM};
    for (int j = 0; j < HW_JOINTS; j++) {
        d->phalanx[j] = phalanx[j];
        d->thickness[j] = thick[j];
    }
    d->travel[0] = 0;
    d->travel[1] = 85 * HW_PI / 180;
    d->bar[0] =
        (hw_bar){{5.3 * MM, 3.6 * MM}, 6 * MM, -55 * HW_PI / 180, 6 * MM, 2.8 * MM, 2.8 * MM};
    d->bar[1] =
        (hw_bar){{-2.5 * MM, -2.7 * MM}, 5 * MM, 147 * HW_PI / 180, 5 * MM, 2.4 * MM, 2.4 * MM};
    *f = hw_layers_def_default();
    f->tang[0] = 3.4 * MM;
    f->disc[1] = 4 * MM;
}

static void flagship_adds_up(void)
{
    hw_digit d;
    hw_layers_def f;
    heron(&d, &f);
    hw_layers l;
    CHECK(hw_layers_of(&f, &d, &l) == HW_OK);
    CHECK(l.n == 6);
    static const hw_layer_use use[] = {HW_LAYER_CHEEK, HW_LAYER_TANG, HW_LAYER_BAR_A,
                                       HW_LAYER_BAR_B, HW_LAYER_TANG, HW_LAYER_CHEEK};
    for (size_t i = 0; i < l.n; i++) CHECK(l.layer[i].use == use[i]);
    NEAR(l.sum, 15.85 * MM, 1e-15); // rounding of eleven sums
    NEAR(l.layer[0].y - l.layer[0].thickness / 2, -l.sum / 2, 1e-15);
    NEAR(l.layer[5].y + l.layer[5].thickness / 2, l.sum / 2, 1e-15);
    for (size_t i = 1; i < l.n; i++)
        NEAR(l.layer[i].y - l.layer[i - 1].y,
             (l.layer[i].thickness + l.layer[i - 1].thickness) / 2 + l.gap, 1e-15);
    // The decision gives 1.65 and 3.05 mm to two places; the lines of load there were estimated.
    NEAR(l.bar[0].load_y, -1.65 * MM, 0.05 * MM);
    NEAR(l.bar[1].load_y, 3.05 * MM, 0.05 * MM);
    CHECK(l.bar[0].root_part == 0 && l.bar[0].horn_part == 2);
    CHECK(l.bar[1].root_part == 1 && l.bar[1].horn_part == 3);
    // PIP: bar A's side as deep as its disc asks, and the gap; bar B's as the lug of its root
    NEAR(l.fork[1].depth[0], 4.25 * MM, 1e-12);
    CHECK(l.fork[1].depth[1] >= 4.25 * MM && l.fork[1].depth[1] <= 6 * MM);
    NEAR(l.fork[1].spacing, l.fork[1].cone_y[1] - l.fork[1].cone_y[0], 0);
    CHECK(l.fork[1].travel[1] > 1.5 && l.fork[1].travel[1] < 1.7); // 92 degrees
}

// Bar B's dorsal horn is carried from bar A's layer and leaves the tang's to a tang that keeps its
// end; a palmar one comes through that layer.
static void a_dorsal_horn_stands_on_the_middle(void)
{
    for (int palmar = 0; palmar < 2; palmar++) {
        hw_digit d;
        hw_layers_def f;
        heron(&d, &f);
        if (palmar) d.bar[1].horn_angle = -d.bar[1].horn_angle;
        hw_layers l;
        hw_stack k;
        CHECK(hw_layers_of(&f, &d, &l) == HW_OK && hw_stack_of(&d, &l, &k) == HW_OK);
        CHECK(l.bar[0].on[0][0] == 1 && l.bar[0].on[0][1] == 1);
        CHECK(l.bar[1].on[0][0] == 4 && l.bar[1].on[0][1] == (palmar ? 4 : 2));
        size_t shelf = 0, fan = 0;
        for (size_t i = 0; i < k.n; i++) {
            const hw_slab *p = &k.plate[i];
            shelf += p->layer == 4 && p->part == 3 && p->kind == HW_SLAB_SHELF;
            fan += p->layer == 4 && p->part == 2 && p->kind == HW_SLAB_TANG && p->discs > 1;
        }
        CHECK((shelf > 0) == palmar && (fan > 0) == !palmar);
        hw_digit_pose pose;
        hw_beside by[2][2];
        if (palmar) continue;
        for (int i = 0; i <= 8; i++) {
            CHECK(hw_digit_family_of(d.family)->pose(&d, i / 8.0, &pose) == HW_OK);
            hw_stack_beside(&d, &l, &k, &pose, by);
            NEAR(by[1][1].slack, l.gap, 0); // the fan is there wherever its end is
        }
    }
}

// Where a roof's two sides of 45 degrees meet a ceiling of 2.9 lines; a small bore's is its crown.
static void ceilings_of_bores(void)
{
    NEAR(hw_bore_ceiling(2.5 * MM, 0.42 * MM), 0.609 * MM, 1e-15);
    NEAR(hw_bore_ceiling(1 * MM, 0.42 * MM), 0.41421356237309505 * MM, 1e-15);
    NEAR(hw_bore_ceiling(25 * MM, 4.2 * MM), 6.09 * MM, 1e-14);
}

// The mean depth of contact, by summing slices.
static void line_of_load_in_a_socket(void)
{
    hw_digit d;
    hw_layers_def f;
    heron(&d, &f);
    hw_layers l;
    CHECK(hw_layers_of(&f, &d, &l) == HW_OK);
    double sum = 0, weight = 0;
    enum { SLICES = 20000 };
    for (int i = 0; i < SLICES; i++) {
        double y = f.gap + (i + 0.5) / SLICES * (f.engagement - f.gap);
        double r = l.cone.base - y * tan(f.half_angle);
        sum += r * (y - f.gap);
        weight += r;
    }
    CLOSE(l.cone.depth, sum / weight, 1e-7); // midpoint rule: (1/20000)^2 of the length
}

static void twins_lie_astride(void)
{
    hw_digit d;
    hw_layers_def f;
    heron(&d, &f);
    f.order = HW_ORDER_B_ASTRIDE;
    f.count[1] = 2;
    d.bar[1].depth_one = 1.6 * MM;
    d.bar[1].depth = 3.2 * MM;
    f.tang[0] = f.tang[1] = 2 * MM;
    hw_layers l;
    CHECK(hw_layers_of(&f, &d, &l) == HW_OK);
    CHECK(l.n == 7);
    CHECK(l.layer[2].use == HW_LAYER_BAR_B && l.layer[3].use == HW_LAYER_BAR_A &&
          l.layer[4].use == HW_LAYER_BAR_B);
    CHECK(l.bar[1].side[0] == 0 && l.bar[1].side[1] == 1);
    NEAR(l.bar[1].load_y, 0, 1e-15); // twins balance
    f.order = HW_ORDER_A_ASTRIDE;
    f.count[0] = 2;
    f.count[1] = 1;
    CHECK(hw_layers_of(&f, &d, &l) == HW_OK);
    CHECK(l.layer[2].use == HW_LAYER_BAR_A && l.layer[3].use == HW_LAYER_BAR_B &&
          l.layer[4].use == HW_LAYER_BAR_A);
}

static void without_bars_one_tang_fills_the_width(void)
{
    hw_digit d = hw_digit_default();
    hw_layers_def f = hw_layers_def_default();
    hw_layers l;
    CHECK(hw_layers_of(&f, &d, &l) == HW_OK);
    CHECK(l.n == 3 && l.bar[0].twins == 0 && l.bar[1].twins == 0);
    CLOSE(l.sum, d.width, 1e-14);
    CLOSE(l.layer[1].thickness, d.width - 4 * MM - 2 * f.gap, 1e-14);
}

static void setback_keeps_two_backs_apart(void)
{
    // At 120 degrees two equal halves of 8 mm, cut square at the setback c, meet in a wedge: the
    // corner (-c, -8) of the earlier is seen from the later at z = -c sin 120 - 8 cos 120.
    hw_digit d = hw_digit_default();
    d.joint_travel[1][1] = 120 * HW_PI / 180;
    hw_layers_def f = hw_layers_def_default();
    hw_layers l;
    CHECK(hw_layers_of(&f, &d, &l) == HW_OK);
    double h = d.thickness[1] / 2, c = l.fork[1].setback, a = 120 * HW_PI / 180;
    NEAR(-c * sin(a) - h * cos(a), -h - f.gap, 1e-15);
    CLOSE(l.fork[2].setback, d.thickness[2] / 2 + f.gap, 1e-14); // below 90: the round end
}

// The carrier is as long as the digit is thick, unless it is said.
static void a_shorter_carrier(void)
{
    hw_digit d;
    hw_layers_def f;
    heron(&d, &f);
    hw_layers l;
    for (int i = 0; i < 2; i++) {
        if (i) f.block = 7 * MM;
        CHECK(hw_layers_of(&f, &d, &l) == HW_OK && l.block == (i ? 7 * MM : d.thickness[0]));
        hw_stack *k = malloc(sizeof *k);
        if (!CHECK(k && hw_stack_of(&d, &l, k) == HW_OK)) return;
        double back = INFINITY;
        for (size_t s = 0; s < k->n; s++)
            for (size_t c = 0; c < k->plate[s].discs && k->plate[s].part == 0; c++)
                back = fmin(back, k->plate[s].disc[c].at.x - k->plate[s].disc[c].radius);
        NEAR(back, -(l.fork[0].setback + l.block), 1e-15);
        free(k);
    }
}

static void bad_numbers_are_refused(void)
{
    hw_digit d = hw_digit_default();
    hw_layers l;
    hw_layers_def f = hw_layers_def_default();
    f.gap = -0.1 * MM;
    CHECK(hw_layers_of(&f, &d, &l) == HW_BAD_INPUT && l.n == 0);
    f = hw_layers_def_default();
    f.cheek[1] = 0;
    CHECK(hw_layers_of(&f, &d, &l) == HW_BAD_INPUT && l.n == 0);
    f = hw_layers_def_default();
    f.count[0] = HW_TWINS_MOST + 1;
    CHECK(hw_layers_of(&f, &d, &l) == HW_BAD_INPUT && l.n == 0);
    f = hw_layers_def_default();
    f.disc[2] = NAN;
    CHECK(hw_layers_of(&f, &d, &l) == HW_BAD_INPUT && l.n == 0);
    f = hw_layers_def_default();
    f.block = -1 * MM;
    CHECK(hw_layers_of(&f, &d, &l) == HW_BAD_INPUT && l.n == 0);
    f.block = INFINITY;
    CHECK(hw_layers_of(&f, &d, &l) == HW_BAD_INPUT && l.n == 0);
    f = hw_layers_def_default();
    d.phalanx[0] = -1;
    CHECK(hw_layers_of(&f, &d, &l) == HW_BAD_INPUT && l.n == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(flagship_adds_up);
    RUN(a_dorsal_horn_stands_on_the_middle);
    RUN(ceilings_of_bores);
    RUN(line_of_load_in_a_socket);
    RUN(twins_lie_astride);
    RUN(without_bars_one_tang_fills_the_width);
    RUN(setback_keeps_two_backs_apart);
    RUN(a_shorter_carrier);
    RUN(bad_numbers_are_refused);
    return TEST_END();
}
