// Shapes of hands against the published tables, their cross-checks, mirrors and scaling.
#include "anatomy/anatomy.h"
#include "check.h"

static const double deg = HW_PI / 180;

// The size of the survey's median man, for which knuckles and segments were worked out beside the
// tables: spacings 22, 18 and 17 mm, segments to whole millimetres (docs/sources/anatomy.md).
static void a_median_man(void)
{
    static const double segment[HW_HAND_DIGITS][HW_SEGMENTS] = {
        {48, 38, 30}, {47, 28, 19}, {51, 33, 21}, {47, 32, 21}, {39, 23, 18}};
    static const double axial[] = {14, 86, 86, 79, 71}, side[] = {17, 22, 0, -18, -35};
    hw_hand_shape h;
    CHECK(hw_hand_shape_of(0.193, 0.088, &h) == HW_OK);
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        for (int i = 0; i < HW_SEGMENTS; i++) NEAR(1e3 * h.digit[d].segment[i], segment[d][i], 0.6);
        NEAR(1e3 * h.digit[d].knuckle.at.x, axial[d], 0.6);
        NEAR(1e3 * h.digit[d].knuckle.at.y, side[d], 0.6);
    }
    for (int d = 1; d < 4; d++) {
        double apart = h.digit[d].knuckle.at.y - h.digit[d + 1].knuckle.at.y;
        NEAR(1e3 * apart, d == 1 ? 22 : d == 2 ? 18 : 17, 0.6);
    }
    // index proximal of people on radiographs strays 12 %
    NEAR(h.digit[1].deviation[0] / h.digit[1].segment[0], 4.94 / 39.78, 1e-12);
    NEAR(h.digit[4].deviation[2] / h.digit[4].segment[2], hypot(2.45, 0.62) / (15.96 + 3.73),
         1e-12);
    NEAR(1e3 * h.digit[1].thickness[1], 0.198 * 88, 1e-9);
    NEAR(1e3 * h.digit[0].thickness[0], 0.438 * 88, 1e-9);
}

// Sizes by percentile, and what the shares make of them to whole millimetres:
// docs/sources/anatomy.md.
static void percentiles_by_digit(void)
{
    static const struct {
        hw_sex sex;
        double percent, length, breadth; // [%] [mm]
        double segment[HW_HAND_DIGITS][HW_SEGMENTS], axial[4], side[4];
    } of[] = {{HW_SEX_FEMALE,
               5,
               165,
               72,
               {{41, 32, 26}, {40, 24, 16}, {44, 28, 18}, {40, 27, 18}, {34, 19, 15}},
               {74, 74, 67, 61},
               {18, 0, -15, -29}},
              {HW_SEX_FEMALE,
               50,
               180,
               78,
               {{45, 35, 28}, {44, 26, 17}, {48, 31, 19}, {44, 30, 19}, {37, 21, 17}},
               {80, 80, 74, 66},
               {20, 0, -16, -31}},
              {HW_SEX_MALE,
               95,
               210,
               96,
               {{53, 41, 33}, {51, 30, 20}, {56, 36, 23}, {51, 35, 22}, {43, 25, 20}},
               {94, 94, 86, 77},
               {24, 0, -20, -39}}};
    for (size_t k = 0; k < sizeof of / sizeof *of; k++) {
        hw_hand_shape h;
        NEAR(1e3 * hw_hand_size(of[k].sex, HW_HAND_LENGTH, of[k].percent), of[k].length, 1.5);
        NEAR(1e3 * hw_hand_size(of[k].sex, HW_HAND_BREADTH, of[k].percent), of[k].breadth, 1.5);
        CHECK(hw_hand_shape_of(1e-3 * of[k].length, 1e-3 * of[k].breadth, &h) == HW_OK);
        for (int d = 0; d < HW_HAND_DIGITS; d++)
            for (int i = 0; i < HW_SEGMENTS; i++)
                NEAR(1e3 * h.digit[d].segment[i], of[k].segment[d][i], 0.6);
        for (int d = 1; d < HW_HAND_DIGITS; d++) {
            NEAR(1e3 * h.digit[d].knuckle.at.x, of[k].axial[d - 1], 0.6);
            NEAR(1e3 * h.digit[d].knuckle.at.y, of[k].side[d - 1], 0.6);
        }
    }
}

// Knuckle to tip beside the middle finger's: 0.892, 0.949, 0.761 by the shares, and within 1 % of
// the radiographs' 0.886, 0.956, 0.764.
static void two_studies_agree(void)
{
    static const double want[] = {0.892, 1, 0.949, 0.761}, bones[] = {0.886, 1, 0.956, 0.764};
    hw_hand_shape h;
    CHECK(hw_hand_shape_of(0.18, 0.08, &h) == HW_OK);
    double reach[HW_HAND_DIGITS] = {0};
    for (int d = 1; d < HW_HAND_DIGITS; d++)
        for (int i = 0; i < HW_SEGMENTS; i++) reach[d] += h.digit[d].segment[i];
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        NEAR(reach[d] / reach[2], want[d - 1], 5e-4);
        CLOSE(reach[d] / reach[2], bones[d - 1], 0.01);
    }
    // metacarpal and finger make up the hand from wrist crease to tip: 0.990 of it
    NEAR((h.digit[2].metacarpal + reach[2]) / h.length, 0.990, 5e-4);
    CHECK(h.digit[0].metacarpal == h.digit[0].segment[0]);
}

static void the_arch(void)
{
    hw_hand_shape h;
    CHECK(hw_hand_shape_of(0.193, 0.088, &h) == HW_OK);
    // chord of index to little 57.6 mm, 5 mm high: w^2/8h + h/2
    double w = 0.654 * 88;
    CLOSE(1e3 * h.arch_radius, w * w / 40 + 2.5, 1e-9);
    hw_vec2 p[4];
    for (int d = 1; d < HW_HAND_DIGITS; d++)
        p[d - 1] = (hw_vec2){h.digit[d].knuckle.at.y, h.digit[d].knuckle.at.z};
    hw_circle_fit c;
    CHECK(hw_circle_fit_of(p, 4, &c) == HW_OK);
    CLOSE(c.radius, h.arch_radius, 1e-9);
    NEAR(c.rms, 0, 1e-12 * h.breadth);
    CHECK(h.digit[2].knuckle.at.z == 0 && p[0].z < 0 && p[3].z < p[0].z + 1e-12);
    NEAR(p[0].z, p[3].z, 1e-15); // both at the arch's feet
    CHECK(c.centre.z < 0);       // bulging toward the back
}

static void frames_and_fan(void)
{
    hw_hand_shape h;
    CHECK(hw_hand_shape_of(0.193, 0.088, &h) == HW_OK);
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        const hw_frame *f = &h.digit[d].knuckle;
        NEAR(f->x.x * f->x.x + f->x.y * f->x.y + f->x.z * f->x.z, 1, 1e-15);
        NEAR(f->x.x * f->y.x + f->x.y * f->y.y + f->x.z * f->y.z, 0, 1e-15);
        NEAR(f->x.x * f->y.y - f->x.y * f->y.x, f->z.z, 1e-15); // x cross y is z
        CHECK(f->z.z == 1);
        double points = atan2(f->x.y, f->x.x) / deg;
        // 8.7 - 15, -6, -6, -15.5 + 7 less the middle finger's -6
        NEAR(points, d == 1 ? -0.3 : d == 4 ? -2.5 : 0, 1e-9);
    }
    CHECK(isnan(h.digit[0].knuckle.x.x) && isfinite(h.digit[0].knuckle.at.x));
    CLOSE(h.digit[1].range[0].closed, 90 * deg, 1e-15);
    CLOSE(h.digit[3].range[1].closed, 100 * deg, 1e-15);
    CLOSE(h.digit[4].range[2].closed, 90 * deg, 1e-15);
    CLOSE(h.digit[0].range[2].closed, 80 * deg, 1e-15);
    CLOSE(h.digit[1].range[0].open, -45 * deg, 1e-15);
    CLOSE(h.digit[2].splay, 20 * deg, 1e-15);
    CLOSE(h.digit[0].splay, 70 * deg, 1e-15);
    CLOSE(h.digit[0].range[0].closed - h.digit[0].range[0].open, 35 * deg, 1e-14);
    CLOSE(h.digit[0].range[1].closed, 50 * deg, 1e-15);
}

static void mirrors_are_exact(void)
{
    hw_hand_shape right, left;
    CHECK(hw_hand_shape_of(0.187, 0.083, &right) == HW_OK);
    left = right;
    hw_hand_shape_mirror(&left);
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        const hw_frame *a = &right.digit[d].knuckle, *b = &left.digit[d].knuckle;
        CHECK(b->at.x == a->at.x && b->at.y == -a->at.y && b->at.z == a->at.z);
        if (d == 0) continue;
        CHECK(b->x.x == a->x.x && b->x.y == -a->x.y && b->x.z == a->x.z);
        // still right-handed
        NEAR(b->x.x * b->y.y - b->x.y * b->y.x, b->z.z, 1e-15);
        NEAR(b->x.y * b->y.z - b->x.z * b->y.y, b->z.x, 1e-15);
    }
    hw_hand_shape_mirror(&left); // twice is the same hand; NaN axes stay
    for (int d = 1; d < HW_HAND_DIGITS; d++)
        CHECK(memcmp(&left.digit[d].knuckle, &right.digit[d].knuckle, sizeof(hw_frame)) == 0 ||
              left.digit[d].knuckle.y.x == right.digit[d].knuckle.y.x);
}

// Length and breadth scale what belongs to each, and nothing else.
static void sizes_scale_apart(void)
{
    hw_hand_shape a, b;
    CHECK(hw_hand_shape_of(0.18, 0.08, &a) == HW_OK && hw_hand_shape_of(1.8, 0.08, &b) == HW_OK);
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        CLOSE(b.digit[d].segment[1], 10 * a.digit[d].segment[1], 1e-14);
        CLOSE(b.digit[d].deviation[2], 10 * a.digit[d].deviation[2], 1e-14);
        CLOSE(b.digit[d].knuckle.at.x, 10 * a.digit[d].knuckle.at.x, 1e-14);
        CHECK(b.digit[d].knuckle.at.y == a.digit[d].knuckle.at.y);
        CHECK(b.digit[d].thickness[0] == a.digit[d].thickness[0]);
    }
    CHECK(hw_hand_shape_of(0.18, 0.8, &b) == HW_OK);
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        CHECK(b.digit[d].segment[1] == a.digit[d].segment[1]);
        NEAR(b.digit[d].knuckle.at.y, 10 * a.digit[d].knuckle.at.y, 1e-15);
        CLOSE(b.digit[d].thickness[1], 10 * a.digit[d].thickness[1], 1e-14);
        NEAR(b.digit[d].knuckle.at.z, 10 * a.digit[d].knuckle.at.z, 1e-15);
    }
    CLOSE(b.arch_radius, 10 * a.arch_radius, 1e-13);
}

static void distances_by_hand(void)
{
    hw_hand_shape h;
    hw_shape_off off;
    CHECK(hw_hand_shape_of(0.2, 0.09, &h) == HW_OK);
    const hw_digit_shape *d = &h.digit[1]; // 49, 28.6, 19.4 mm
    double mine[HW_SEGMENTS] = {0.053, 0.0266, 0.0194};
    CHECK(hw_shape_off_of(d, mine, &off) == HW_OK);
    NEAR(1e3 * off.segment[0], 4, 1e-9);
    NEAR(1e3 * off.segment[1], -2, 1e-9);
    NEAR(1e3 * off.segment[2], 0, 1e-9);
    NEAR(1e3 * off.reach, 2, 1e-9);
    double z0 = 4 / (49 * 4.94 / 39.78), z1 = -2 / (28.6 * 2.51 / 22.38);
    NEAR(off.share[0], z0, 1e-9);
    NEAR(off.share[1], z1, 1e-9);
    NEAR(off.rms, sqrt((z0 * z0 + z1 * z1) / 3), 1e-9);
    CHECK(hw_shape_off_of(d, d->segment, &off) == HW_OK && off.rms == 0 && off.reach == 0);
    mine[2] = 0;
    CHECK(hw_shape_off_of(d, mine, &off) == HW_BAD_INPUT && isnan(off.rms));
}

static void wrong_sizes_are_refused(void)
{
    const double bad[] = {0, -0.1, NAN, INFINITY};
    hw_hand_shape h;
    for (int i = 0; i < 4; i++) {
        CHECK(hw_hand_shape_of(bad[i], 0.08, &h) == HW_BAD_INPUT && isnan(h.digit[1].segment[0]));
        CHECK(hw_hand_shape_of(0.18, bad[i], &h) == HW_BAD_INPUT && isnan(h.digit[1].thickness[0]));
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_median_man);
    RUN(percentiles_by_digit);
    RUN(two_studies_agree);
    RUN(the_arch);
    RUN(frames_and_fan);
    RUN(mirrors_are_exact);
    RUN(sizes_scale_apart);
    RUN(distances_by_hand);
    RUN(wrong_sizes_are_refused);
    (void)hw_check_text;
    return TEST_END();
}
