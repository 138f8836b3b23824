#include "cli/cli.h"

int main(int argc, char **argv)
{
    return hw_main(argc, argv, stdout, stderr);
}
