#include "base/rng.h"
#include "check.h"
#include "solid/exact_internal.h"

static int sign(hw_int128 v)
{
    return (v > 0) - (v < 0);
}

// det(a - d, b - d, c - d) in 128-bit integers: the second route. Coordinates below 2^24 give a
// determinant below 2^78.
static int side3_integer(int64_t p[4][3])
{
    hw_int128 r[3][3];
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 3; k++) r[i][k] = p[i][k] - p[3][k];
    return sign(r[0][0] * (r[1][1] * r[2][2] - r[1][2] * r[2][1]) -
                r[0][1] * (r[1][0] * r[2][2] - r[1][2] * r[2][0]) +
                r[0][2] * (r[1][0] * r[2][1] - r[1][1] * r[2][0]));
}

static int side3_float(int64_t p[4][3], int shift)
{
    float f[4][3];
    for (int i = 0; i < 4; i++)
        for (int k = 0; k < 3; k++) f[i][k] = (float)ldexp((double)p[i][k], shift);
    return hw_exact_side3(f[0], f[1], f[2], f[3]);
}

static int64_t pick(hw_rng *r, int64_t most)
{
    return (int64_t)(hw_rng_next(r) % (uint64_t)(2 * most + 1)) - most;
}

static void known_sides(void)
{
    const float a[3] = {0, 0, 0}, b[3] = {1, 0, 0}, c[3] = {0, 1, 0};
    const float over[3] = {0, 0, 1}, under[3] = {0, 0, -1}, in[3] = {5, 7, 0};
    CHECK(hw_exact_side3(a, b, c, over) == -1); // seen from over, a b c is counter-clockwise
    CHECK(hw_exact_side3(a, b, c, under) == 1);
    CHECK(hw_exact_side3(a, b, c, in) == 0);
    CHECK(hw_exact_turn2(a, b, c, 0, 1) == 1);
    CHECK(hw_exact_turn2(a, c, b, 0, 1) == -1);
    CHECK(hw_exact_turn2(a, b, c, 0, 2) == 0);
}

static void coincident_points(void)
{
    const float a[3] = {0.1F, 0.2F, 0.3F}, b[3] = {1, 2, 3}, c[3] = {-4, 5, 0.7F};
    CHECK(hw_exact_side3(a, b, c, a) == 0);
    CHECK(hw_exact_side3(a, a, b, c) == 0);
    CHECK(hw_exact_turn2(a, b, b, 0, 1) == 0);
}

static void small_integers(void)
{
    hw_rng r = hw_rng_new(1, 0);
    int zeros = 0;
    for (int n = 0; n < 20000; n++) {
        int64_t p[4][3];
        for (int i = 0; i < 4; i++)
            for (int k = 0; k < 3; k++) p[i][k] = pick(&r, 2);
        int want = side3_integer(p);
        zeros += want == 0;
        CHECK(side3_float(p, 0) == want);
    }
    CHECK(zeros > 2000); // the degenerate case was met often
}

// d on the plane of a, b, c or one unit in the last place beside it.
static void nearly_flat(void)
{
    hw_rng r = hw_rng_new(2, 0);
    int signs[3] = {0, 0, 0};
    for (int n = 0; n < 20000; n++) {
        int64_t p[4][3];
        for (int i = 0; i < 3; i++)
            for (int k = 0; k < 3; k++) p[i][k] = pick(&r, 1 << 20);
        for (int k = 0; k < 3; k++) p[3][k] = p[0][k] + p[1][k] - p[2][k] + pick(&r, 1);
        int want = side3_integer(p);
        signs[want + 1]++;
        int shift = (int)pick(&r, 60); // the sign does not change with the scale
        CHECK(side3_float(p, shift) == want);
    }
    CHECK(signs[0] > 1000 && signs[1] > 500 && signs[2] > 1000);
}

// Coordinates 2^60 apart, where differences round: a and d differ by what the double loses.
static void far_and_near(void)
{
    const float big = 0x1p60F, small = 0x1p-20F;
    const float a[3] = {big, 0, 0}, b[3] = {0, big, 0}, c[3] = {-big, -big, 0};
    for (int s = -1; s <= 1; s++) {
        const float d[3] = {small, small, (float)s * small};
        CHECK(hw_exact_side3(a, b, c, d) == -s);
    }
    const float e[3] = {big, big, 0}, f[3] = {-big, -big, 0};
    for (int s = -1; s <= 1; s++) { // s * small beside the line through e and f
        const float g[3] = {small, small + (float)s * small * 0x1p-20F, 0};
        CHECK(hw_exact_turn2(f, e, g, 0, 1) == s);
    }
}

static void turns(void)
{
    hw_rng r = hw_rng_new(3, 0);
    for (int n = 0; n < 20000; n++) {
        int64_t p[3][2];
        for (int i = 0; i < 2; i++)
            for (int k = 0; k < 2; k++) p[i][k] = pick(&r, 1 << 22);
        for (int k = 0; k < 2; k++) p[2][k] = (p[0][k] + p[1][k]) / 2 + pick(&r, 1);
        hw_int128 want = (hw_int128)(p[1][0] - p[0][0]) * (p[2][1] - p[0][1]) -
                         (hw_int128)(p[1][1] - p[0][1]) * (p[2][0] - p[0][0]);
        float f[3][3] = {{0}};
        for (int i = 0; i < 3; i++)
            for (int k = 0; k < 2; k++) f[i][k + 1] = (float)ldexp((double)p[i][k], -30);
        CHECK(hw_exact_turn2(f[0], f[1], f[2], 1, 2) == sign(want));
    }
}

static void circles(void)
{
    const int32_t a[2] = {5, 0}, b[2] = {3, 4}, c[2] = {-4, 3}; // x^2 + z^2 = 25
    const int32_t on[2] = {0, -5}, in[2] = {0, -4}, out[2] = {1, -5};
    CHECK(hw_plan_in_circle(a, b, c, on) == 0);
    CHECK(hw_plan_in_circle(a, b, c, in) == 1);
    CHECK(hw_plan_in_circle(a, b, c, out) == -1);
    const int32_t k = 1 << 23; // as far out as the frame of the finest plan
    const int32_t d[2] = {k, -k}, e[2] = {k, k}, f[2] = {-k, k}, g[2] = {-k, -k},
                  h[2] = {1 - k, -k};
    CHECK(hw_plan_in_circle(d, e, f, g) == 0);
    CHECK(hw_plan_in_circle(d, e, f, h) == 1);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(known_sides);
    RUN(coincident_points);
    RUN(small_integers);
    RUN(nearly_flat);
    RUN(far_and_near);
    RUN(turns);
    RUN(circles);
    return TEST_END();
}
