#include "linkage/column.h"

#include "base/vec.h"

#include <math.h>

static bool positive(double v)
{
    return isfinite(v) && v > 0;
}

hw_code hw_column_buckling(double length, double width, double depth, double modulus,
                           hw_column_load *out)
{
    *out = (hw_column_load){NAN, NAN, NAN};
    if (!positive(length) || !positive(width) || !positive(depth) || !positive(modulus))
        return HW_BAD_INPUT;
    // Slenderness first, so that a bar in metres does not lose its cubes of millimetres.
    double in_width = width / length, in_depth = depth / length;
    double area_load = HW_PI * HW_PI * modulus * width * depth / 12;
    out->in_width = area_load * in_width * in_width;
    out->in_depth = area_load * in_depth * in_depth;
    out->load = fmin(out->in_width, out->in_depth);
    return HW_OK;
}
