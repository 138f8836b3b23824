// OBJ files of any bytes.
#include "read_mesh.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    return read_mesh(hw_obj_read, data, size);
}
