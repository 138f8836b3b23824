#include "base/rng.h"
#include "check.h"

// The generator's recurrence worked out by hand from the state 1, 2, 3, 4: first output
// rotl(2*5, 7)*9 = 11520, then the state is 7, 0, 2^18+2, 6*2^45, and so on.
static void known_outputs(void)
{
    hw_rng r = {{1, 2, 3, 4}};
    CHECK(hw_rng_next(&r) == 11520u);
    CHECK(r.state[0] == 7 && r.state[1] == 0);
    CHECK(r.state[2] == (((uint64_t)2 << 17) ^ 2u));
    CHECK(r.state[3] == (uint64_t)6 << 45);
    CHECK(hw_rng_next(&r) == 0u);
}

static void seeds_and_streams_differ_and_repeat(void)
{
    hw_rng a = hw_rng_new(1, 0), b = hw_rng_new(1, 0), c = hw_rng_new(1, 1), d = hw_rng_new(2, 0);
    int same_c = 0, same_d = 0;
    for (int i = 0; i < 1000; i++) {
        uint64_t x = hw_rng_next(&a);
        CHECK(x == hw_rng_next(&b));
        same_c += x == hw_rng_next(&c);
        same_d += x == hw_rng_next(&d);
    }
    CHECK(same_c == 0 && same_d == 0);
}

// Bounds are four standard errors of the estimate for n samples: a seed that passes once always
// passes.
static void moments(void)
{
    enum { N = 200000 };
    hw_rng r = hw_rng_new(5, 7);
    double sum = 0, square = 0, nsum = 0, nsquare = 0, nfourth = 0;
    for (int i = 0; i < N; i++) {
        double u = hw_rng_uniform(&r, -1, 3), x = hw_rng_normal(&r);
        CHECK(u >= -1 && u < 3 && isfinite(x));
        sum += u;
        square += (u - 1) * (u - 1);
        nsum += x;
        nsquare += x * x;
        nfourth += x * x * x * x;
    }
    NEAR(sum / N, 1.0, 4 * sqrt(16.0 / 12 / N));
    NEAR(square / N, 16.0 / 12, 4 * sqrt((16.0 * 16 / 80 - 16.0 * 16 / 144) / N));
    NEAR(nsum / N, 0.0, 4 * sqrt(1.0 / N));
    NEAR(nsquare / N, 1.0, 4 * sqrt(2.0 / N));
    NEAR(nfourth / N, 3.0, 4 * sqrt(96.0 / N));
}

static void a_range_of_nothing(void)
{
    hw_rng r = hw_rng_new(0, 0);
    for (int i = 0; i < 100; i++) CHECK(hw_rng_uniform(&r, 2, 2) == 2);
    for (int i = 0; i < 1000; i++) {
        double x = hw_rng_uniform(&r, 1, nextafter(1, 2));
        CHECK(x == 1);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(known_outputs);
    RUN(seeds_and_streams_differ_and_repeat);
    RUN(moments);
    RUN(a_range_of_nothing);
    return TEST_END();
}
