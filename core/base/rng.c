#include "base/rng.h"
#include "base/vec.h"

#include <math.h>

static uint64_t splitmix(uint64_t *x)
{
    uint64_t z = (*x += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

static uint64_t turn(uint64_t x, int k)
{
    return (x << k) | (x >> (64 - k));
}

hw_rng hw_rng_new(uint64_t seed, uint64_t stream)
{
    hw_rng r;
    uint64_t x = stream;
    x = seed ^ splitmix(&x); // streams of one seed start far apart
    for (int i = 0; i < 4; i++) r.state[i] = splitmix(&x);
    return r;
}

uint64_t hw_rng_next(hw_rng *r)
{
    uint64_t *s = r->state;
    uint64_t out = turn(s[1] * 5, 7) * 9;
    uint64_t t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = turn(s[3], 45);
    return out;
}

double hw_rng_uniform(hw_rng *r, double low, double high)
{
    double u = (double)(hw_rng_next(r) >> 11) * 0x1p-53; // 53 bits, [0, 1)
    double x = low + (high - low) * u;
    return x < high ? x : low; // rounding may reach `high`
}

// Box & Muller 1958, "A note on the generation of random normal deviates"; one value a call, so
// that the state is all there is to keep.
double hw_rng_normal(hw_rng *r)
{
    double u = 1.0 - hw_rng_uniform(r, 0.0, 1.0); // (0, 1]
    double angle = hw_rng_uniform(r, 0.0, 2.0 * HW_PI);
    return sqrt(-2.0 * log(u)) * cos(angle);
}
