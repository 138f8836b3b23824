// Compiled for x86-64-v3 where the compiler can (CMakeLists.txt); elsewhere the same code under its
// second name.
#define LAYERS hw_product_wide
#include "print/voxel_block_body.inc"
