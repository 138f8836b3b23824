// Compiled for x86-64-v3 where the compiler can (core/stroke/CMakeLists.txt); elsewhere the same
// code under its second name.
#define KERNEL hw_kernel_wide
#include "stroke/kernel_body.inc"
