// A case that checks nothing: the harness has to report that as a failure.
#include "check.h"

static void nothing(void) {}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(nothing);
    (void)hw_check_near, (void)hw_check_text;
    return TEST_END();
}
