// Body of both builds of the hot loop; the including file names KERNEL. Each step is a loop without
// branches over a block, which compilers turn into vector code.
#include "stroke/kernel.h"

// Sine and cosine: x = k pi/2 + r with pi/2 in three parts (the first two of 33 bits, so that their
// products with k are exact for |k| < 2^19), then the power series: remainders 5e-17 and 2e-18.
static inline void sine_cosine(double x, double *sine, double *cosine)
{
    const double nearest = 0x1.8p52; // adding and taking it away rounds to a whole number
    double k = (x * 0x1.45f306dc9c883p-1 + nearest) - nearest;
    double r = x - k * 0x1.921fb544p+0;
    r = r - k * 0x1.0b4611a6p-34;
    r = r - k * 0x1.3198a2e037073p-69;
    double u = r * r;
    double p = -1.0 / 1307674368000 * u + 1.0 / 6227020800;
    p = p * u - 1.0 / 39916800;
    p = p * u + 1.0 / 362880;
    p = p * u - 1.0 / 5040;
    p = p * u + 1.0 / 120;
    p = p * u - 1.0 / 6;
    double s = r + r * u * p;
    double q = 1.0 / 20922789888000 * u - 1.0 / 87178291200;
    q = q * u + 1.0 / 479001600;
    q = q * u - 1.0 / 3628800;
    q = q * u + 1.0 / 40320;
    q = q * u - 1.0 / 720;
    q = q * u + 1.0 / 24;
    double c = 1.0 - (0.5 * u - u * u * q);
    // quarter turns: 0, 1/4, +-1/2 or -1/4 of a whole one
    double turns = k * 0.25;
    double part = turns - ((turns + nearest) - nearest);
    double size = part < 0 ? -part : part;
    double first = size == 0.25 ? c : s, second = size == 0.25 ? s : c;
    *sine = part == -0.25 || size == 0.5 ? -first : first;
    *cosine = part == 0.25 || size == 0.5 ? -second : second;
}

// Angle of (c, s): arctangent of the smaller over the larger, past tan(pi/8) of the rotated pair;
// then a polynomial of degree 11 in the square (own Chebyshev fit on 0 to tan^2(pi/8), 5e-18).
static inline double angle_of(double s, double c)
{
    double as = s < 0 ? -s : s, ac = c < 0 ? -c : c;
    double small = as < ac ? as : ac, large = as < ac ? ac : as;
    bool past = small > 0x1.a827999fcef32p-2 * large;
    double over = past ? small - large : small;
    double under = past ? small + large : large;
    double t = over / under;
    double u = t * t;
    double p = -0x1.241d04b40fe67p-6 * u + 0x1.3732117ba37e3p-5;
    p = p * u - 0x1.9c8d006536012p-5;
    p = p * u + 0x1.defe5ded58787p-5;
    p = p * u - 0x1.10ea6e8f9e242p-4;
    p = p * u + 0x1.3b10f876575bap-4;
    p = p * u - 0x1.745cf6bf69368p-4;
    p = p * u + 0x1.c71c70cfa8528p-4;
    p = p * u - 0x1.249249226540fp-3;
    p = p * u + 0x1.9999999994874p-3;
    p = p * u - 0x1.5555555555530p-2;
    double a = t + t * u * p;
    a = past ? a + 0x1.921fb54442d18p-1 : a;
    a = as > ac ? 0x1.921fb54442d18p+0 - a : a;
    a = c < 0 ? 0x1.921fb54442d18p+1 - a : a;
    return s < 0 ? -a : a;
}

typedef struct block {
    double c[HW_KERNEL_BLOCK], s[HW_KERNEL_BLOCK]; // of the driven joint
    double joint_x[HW_KERNEL_BLOCK], joint_z[HW_KERNEL_BLOCK];
    double arm_x[HW_KERNEL_BLOCK], arm_z[HW_KERNEL_BLOCK];
    double bar_x[HW_KERNEL_BLOCK], bar_z[HW_KERNEL_BLOCK];
    double gc[HW_KERNEL_BLOCK], gs[HW_KERNEL_BLOCK];
    double room[HW_KERNEL_BLOCK], moment[HW_KERNEL_BLOCK];
} block;

static inline void close_block(const hw_loop *loop, size_t n, block *b, double *next_c,
                               double *next_s)
{
    const hw_loop l = *loop;
    for (size_t i = 0; i < n; i++) {
        double along;
        hw_loop_pose p = hw_loop_try(&l, b->c[i], b->s[i], &along);
        b->joint_x[i] = p.joint.x;
        b->joint_z[i] = p.joint.z;
        b->arm_x[i] = p.arm.x;
        b->arm_z[i] = p.arm.z;
        b->bar_x[i] = p.bar.x;
        b->bar_z[i] = p.bar.z;
        b->gc[i] = p.gc;
        b->gs[i] = p.gs;
        b->room[i] = p.room;
        b->moment[i] = p.moment;
        next_c[i] = p.c;
        next_s[i] = p.s;
    }
}

static inline double length_of(double x, double z)
{
    return sqrt(x * x + z * z);
}

// Balances for 1 N square to the tip, in the proximal phalanx's frame; statics of coupled_bars.c.
static inline void forces(const hw_kernel_digit *d, size_t n, const block *a, const block *b,
                          const hw_kernel_out *out)
{
    const double l0 = d->proximal, l2 = d->distal, bar_a = d->loop[0].bar, bar_b = d->loop[1].bar;
    const double root_x = l0 + d->loop[1].root.x, root_z = d->loop[1].root.z;
    double gx[HW_KERNEL_BLOCK], gz[HW_KERNEL_BLOCK], bx[HW_KERNEL_BLOCK], bz[HW_KERNEL_BLOCK];
    double *restrict pin0 = out->pin[0], *restrict pin1 = out->pin[1], *restrict pin2 = out->pin[2];
    double *restrict pull_a = out->bar[0], *restrict pull_b = out->bar[1];
    double *restrict torque = out->torque;
    for (size_t i = 0; i < n; i++) {
        double kb = l2 / b->moment[i];
        pull_b[i] = kb * bar_b;
        bx[i] = -kb * b->bar_x[i];
        bz[i] = -kb * b->bar_z[i];
        gx[i] = b->gs[i] + bx[i]; // on the DIP: load and bar B
        gz[i] = b->gc[i] + bz[i];
        pin2[i] = length_of(gx[i], gz[i]);
    }
    for (size_t i = 0; i < n; i++) {
        double turn = b->joint_z[i] * gx[i] - b->joint_x[i] * gz[i];
        double ka = turn / a->moment[i];
        pull_a[i] = -ka * bar_a;
        double cx = ka * a->bar_x[i], cz = ka * a->bar_z[i];
        double hx = gx[i] + (cx * a->c[i] - cz * a->s[i]); // on the PIP
        double hz = gz[i] + (cx * a->s[i] + cz * a->c[i]);
        pin1[i] = length_of(hx, hz);
        pin0[i] = length_of(hx - bx[i], hz - bz[i]);
        torque[i] = l0 * hz + root_z * bx[i] - root_x * bz[i];
    }
}

static inline void tips(const hw_kernel_digit *d, size_t n, const block *a, const block *b,
                        const hw_kernel_out *out)
{
    const double l2 = d->distal;
    double *restrict tip_x = out->tip_x, *restrict tip_z = out->tip_z;
    for (size_t i = 0; i < n; i++) {
        double x = b->joint_x[i] + l2 * b->gc[i], z = b->joint_z[i] - l2 * b->gs[i];
        tip_x[i] = a->joint_x[i] + (x * a->c[i] + z * a->s[i]);
        tip_z[i] = a->joint_z[i] + (z * a->c[i] - x * a->s[i]);
    }
}

static inline void transmissions(size_t n, const block *b, double *out)
{
    for (size_t i = 0; i < n; i++) {
        double lever = b->moment[i] < 0 ? -b->moment[i] : b->moment[i];
        out[i] = angle_of(lever, b->arm_x[i] * b->bar_x[i] + b->arm_z[i] * b->bar_z[i]);
    }
}

// Signs that a folded angle may have lost whole turns (batch.c says why these numbers).
static inline uint64_t far_turned(double q)
{
    double size = q < 0 ? -q : q;
    return size > HW_KERNEL_TURNED ? 1 : 0;
}

static inline uint64_t far_stepped(double before, double after)
{
    double step = after - before;
    double size = step < 0 ? -step : step;
    return size > HW_KERNEL_STEP ? 1 : 0;
}

static inline void blank(size_t n, const uint8_t *ok, double *row)
{
    for (size_t i = 0; i < n; i++) row[i] = ok[i] ? row[i] : (double)NAN;
}

bool KERNEL(const hw_kernel_digit *d, size_t n, const double *s, const hw_kernel_out *out)
{
    block a, b;
    double next_c[HW_KERNEL_BLOCK], next_s[HW_KERNEL_BLOCK];
    double *restrict joint0 = out->joint[0], *restrict joint1 = out->joint[1];
    double *restrict joint2 = out->joint[2];
    const double start = d->start, span = d->span;
    for (size_t i = 0; i < n; i++) {
        double driven = start + s[i] * span;
        joint0[i] = driven;
        sine_cosine(driven, &a.s[i], &a.c[i]);
    }
    close_block(&d->loop[0], n, &a, b.c, b.s);
    close_block(&d->loop[1], n, &b, next_c, next_s);
    for (size_t i = 0; i < n; i++) joint1[i] = angle_of(b.s[i], b.c[i]);
    for (size_t i = 0; i < n; i++) joint2[i] = angle_of(next_s[i], next_c[i]);
    forces(d, n, &a, &b, out);
    tips(d, n, &a, &b, out);
    if (out->transmission[0]) {
        transmissions(n, &a, out->transmission[0]);
        transmissions(n, &b, out->transmission[1]);
    }
    // whole numbers as wide as the doubles, so that this too is vector code
    uint64_t open = 0, turned = 0;
    for (size_t i = 0; i < n; i++)
        open |= (a.room[i] >= 0 ? (uint64_t)0 : 1) | (b.room[i] >= 0 ? (uint64_t)0 : 1);
    for (size_t i = 0; i < n; i++) turned |= far_turned(joint1[i]) | far_turned(joint2[i]);
    for (size_t i = 1; i < n; i++)
        turned |= far_stepped(joint1[i - 1], joint1[i]) | far_stepped(joint2[i - 1], joint2[i]);
    for (size_t i = 0; i < n; i++) out->ok[i] = 1;
    if (!open) return turned != 0;
    for (size_t i = 0; i < n; i++) out->ok[i] = a.room[i] >= 0 && b.room[i] >= 0;
    double *row[] = {joint0,      joint1,      joint2,      out->tip_x,  out->tip_z, out->bar[0],
                     out->bar[1], out->pin[0], out->pin[1], out->pin[2], out->torque};
    for (size_t k = 0; k < sizeof row / sizeof *row; k++) blank(n, out->ok, row[k]);
    for (int k = 0; k < 2 && out->transmission[0]; k++) blank(n, out->ok, out->transmission[k]);
    return true;
}
