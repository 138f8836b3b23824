// The hot loop's own sine, cosine and angle, against libm.
#include "../digit/random_digit.h"
#include "check.h"

#define KERNEL hw_kernel_plain // its prototype is in kernel.h
#include "stroke/kernel_body.inc"

static void sine_and_cosine(void)
{
    uint64_t seed = 91;
    double worst = 0;
    for (int i = 0; i < 400000; i++) {
        double reach = i % 4 == 0 ? HW_KERNEL_REACH : 7, s, c;
        double x = random_between(&seed, -reach, reach);
        if (i < 2000) x = (i - 1000) * (HW_PI / 4); // every eighth of a turn
        sine_cosine(x, &s, &c);
        worst = fmax(worst, fmax(fabs(s - sin(x)), fabs(c - cos(x))));
    }
    printf("sine and cosine within %.2g\n", worst);
    CHECK(worst < 2.5e-16); // one unit of rounding near 1, and libm's half
}

static void angles(void)
{
    uint64_t seed = 92;
    double worst = 0;
    for (int i = 0; i < 400000; i++) {
        double x = random_between(&seed, -4, 4), size = exp(random_between(&seed, -20, 20));
        if (i < 64) x = (i - 32) * (HW_PI / 32);
        double s = size * sin(x), c = size * cos(x), want = atan2(s, c);
        worst = fmax(worst, fabs(angle_of(s, c) - want) / (1 + fabs(want)));
    }
    printf("angles within %.2g of 1 + their size\n", worst);
    CHECK(worst < 2.5e-16);
    CHECK(angle_of(0, 1) == 0 && angle_of(1, 0) == HW_PI / 2 && angle_of(0, -1) == HW_PI);
    CHECK(angle_of(-1, 0) == -HW_PI / 2);
    CHECK(fabs(angle_of(1e-300, 1) - 1e-300) < 1e-315);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(sine_and_cosine);
    RUN(angles);
    return TEST_END();
}
