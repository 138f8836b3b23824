// Strokes of coupled bars through the hot loop: one digit, or many.
#include "stroke/batch.h"
#include "stroke/kernel.h"

#include <math.h>

hw_kernel *hw_kernel_choose(bool plain)
{
#if defined(HW_WIDE_IS_V3) && HW_WIDE_IS_V3
    bool fits = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("bmi2") &&
                __builtin_cpu_supports("fma");
    return plain || !fits ? hw_kernel_plain : hw_kernel_wide;
#else
    (void)plain;
    return hw_kernel_plain;
#endif
}

static hw_code prepare(const hw_digit *d, hw_kernel_digit *k)
{
    for (int j = 0; j < HW_JOINTS; j++)
        if (!(d->phalanx[j] > 0) || isinf(d->phalanx[j])) return HW_BAD_INPUT;
    for (int b = 0; b < 2; b++) {
        const hw_bar *bar = &d->bar[b];
        if (!(bar->horn > 0) || !isfinite(bar->horn + bar->horn_angle + bar->root.x + bar->root.z))
            return HW_BAD_INPUT;
        if (hw_loop_of(d, b, &k->loop[b])) return HW_BAD_INPUT;
    }
    k->proximal = d->phalanx[0];
    k->distal = d->phalanx[2];
    k->start = d->travel[0];
    k->span = d->travel[1] - d->travel[0];
    if (!(fabs(d->travel[0]) <= HW_KERNEL_REACH && fabs(d->travel[1]) <= HW_KERNEL_REACH))
        return HW_BAD_INPUT;
    return HW_OK;
}

static hw_kernel_out part_of(const hw_stroke *s, size_t from)
{
    hw_kernel_out o = {.tip_x = s->tip_x + from,
                       .tip_z = s->tip_z + from,
                       .torque = s->torque + from,
                       .ok = s->ok + from};
    for (int j = 0; j < HW_JOINTS; j++) {
        o.joint[j] = s->joint[j] + from;
        o.pin[j] = s->pin[j] + from;
    }
    for (int b = 0; b < 2; b++) {
        o.bar[b] = s->bar[b] + from;
        o.transmission[b] = s->transmission[b] ? s->transmission[b] + from : NULL;
    }
    return o;
}

// Adds the whole turns, pose by pose.
static void count_turns(const hw_kernel_digit *d, size_t n, const hw_kernel_out *o)
{
    for (size_t i = 0; i < n; i++) {
        if (!o->ok[i]) continue;
        double driven = o->joint[0][i], c = cos(driven), s = sin(driven);
        for (int b = 0; b < 2; b++) {
            hw_loop_pose p = hw_loop_close(&d->loop[b], c, s);
            double *q = &o->joint[b + 1][i];
            double counted = hw_loop_angle(&d->loop[b], driven, &p);
            *q += 2 * HW_PI * nearbyint((counted - *q) / (2 * HW_PI));
            driven = *q;
            c = p.c;
            s = p.s;
        }
    }
}

// Steps between blocks, which no block sees.
static bool far_between_blocks(const hw_kernel_out *o, size_t poses)
{
    bool far = false;
    for (size_t i = HW_KERNEL_BLOCK; i < poses; i += HW_KERNEL_BLOCK)
        for (int j = 1; j < HW_JOINTS; j++)
            far = far || !(fabs(o->joint[j][i] - o->joint[j][i - 1]) <= HW_KERNEL_STEP);
    return far;
}

static size_t run_one(hw_kernel *kernel, const hw_kernel_digit *k, size_t poses, const double *s,
                      const hw_stroke *out, size_t from)
{
    bool check = k->start > 0 || k->start + k->span < 0;
    for (size_t i = 0; i < poses; i += HW_KERNEL_BLOCK) {
        size_t n = poses - i < HW_KERNEL_BLOCK ? poses - i : HW_KERNEL_BLOCK;
        hw_kernel_out o = part_of(out, from + i);
        check = kernel(k, n, s + i, &o) || check;
    }
    hw_kernel_out all = part_of(out, from);
    if (!check && !far_between_blocks(&all, poses)) return poses;
    count_turns(k, poses, &all);
    size_t closed = 0;
    for (size_t i = 0; i < poses; i++) closed += all.ok[i];
    return closed;
}

static void put_nothing(const hw_stroke *out, size_t from, size_t n)
{
    hw_kernel_out o = part_of(out, from);
    double *row[] = {o.joint[0], o.joint[1],        o.joint[2],       o.tip_x,  o.tip_z,
                     o.bar[0],   o.bar[1],          o.pin[0],         o.pin[1], o.pin[2],
                     o.torque,   o.transmission[0], o.transmission[1]};
    for (size_t k = 0; k < sizeof row / sizeof *row; k++)
        for (size_t i = 0; row[k] && i < n; i++) row[k][i] = (double)NAN;
    for (size_t i = 0; i < n; i++) o.ok[i] = 0;
}

hw_code hw_stroke_batch(const hw_digit d[], size_t digits, size_t poses, hw_stroke_build build,
                        hw_stroke *out, size_t *closed)
{
    hw_kernel *kernel = hw_kernel_choose(build == HW_STROKE_PLAIN);
    hw_code worst = HW_OK;
    *closed = 0;
    for (size_t i = 0; i < poses; i++) out->s[i] = hw_stroke_parameter(i, poses);
    for (size_t k = 0; k < digits; k++) {
        hw_kernel_digit one;
        size_t from = k * poses, n = 0;
        hw_code code = d[k].family == HW_FAMILY_COUPLED_BARS ? prepare(&d[k], &one) : HW_BAD_INPUT;
        if (code)
            put_nothing(out, from, poses);
        else
            n = run_one(kernel, &one, poses, out->s, out, from);
        if (!code && n < poses) code = HW_NO_ASSEMBLY;
        if (code && worst != HW_BAD_INPUT) worst = code;
        *closed += n;
    }
    return worst;
}
