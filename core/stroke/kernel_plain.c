#define KERNEL hw_kernel_plain
#include "stroke/kernel_body.inc"
