// Random numbers that are the same everywhere: seeds are explicit, streams are independent.
#ifndef HW_BASE_RNG_H
#define HW_BASE_RNG_H

#include <stdint.h>

typedef struct hw_rng {
    uint64_t state[4];
} hw_rng;

// A generator for (seed, stream): xoshiro256**, seeded by splitmix64. Source: Blackman & Vigna
// 2021, "Scrambled linear pseudorandom number generators", ACM Trans. Math. Softw. 47(4). Test:
// test/base/test_rng.c
hw_rng hw_rng_new(uint64_t seed, uint64_t stream);
uint64_t hw_rng_next(hw_rng *r);
double hw_rng_uniform(hw_rng *r, double low, double high); // in [low, high), any unit [1]
double hw_rng_normal(hw_rng *r);                           // mean 0, standard deviation 1 [1]

#endif
