// One grid: which build of the hot loop runs, and its two passes.
#include "print/voxel_internal.h"

#include "base/par.h"

typedef void layers(void *self, size_t begin, size_t end);

static layers *fastest(void)
{
#ifdef HW_WIDE_IS_V3
    bool fits = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("bmi2") &&
                __builtin_cpu_supports("fma");
    return fits ? hw_product_wide : hw_product_plain;
#else
    return hw_product_wide;
#endif
}

static void add_springs(const hw_level *l, const double *u, double *f)
{
    for (size_t i = 0; i < 3 * l->nodes; i++) f[i] += l->spring[i] * u[i];
}

void hw_level_apply(const hw_level *l, const double *u, double *f)
{
    hw_product p = {l, u, f, 0};
    layers *take = fastest();
    hw_par_for(l->n[2] / 2 + 1, (l->chunk + 1) / 2, take, &p);
    p.odd = 1;
    hw_par_for(l->n[2] / 2, (l->chunk + 1) / 2, take, &p);
    if (l->spring) add_springs(l, u, f);
}
