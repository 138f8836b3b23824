// One case that must fail, one that passes: the harness has to report the first.
#include "check.h"

static void one_is_two(void)
{
    CHECK(1 + 1 == 2);
    NEAR(1.0, 2.0, 0.5); // half of the difference: off on purpose
    NEAR(NAN, 1.0, HUGE_VAL);
}

static void one_is_one(void)
{
    CHECK(1 == 1);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(one_is_two);
    RUN(one_is_one);
    return TEST_END();
}
