#include "base/vec.h"

#include <math.h>

double hw_norm_far(hw_vec2 a)
{
    return hypot(a.x, a.z);
}

hw_vec2 hw_flexed(hw_vec2 v, double flexion)
{
    return hw_flex(v, cos(flexion), sin(flexion));
}
