// The baseline build of the hot loop.
#define LAYERS hw_product_plain
#include "print/voxel_block_body.inc"
