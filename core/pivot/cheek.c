#include "pivot/cheek.h"

#include <math.h>

// Fitted to 54 solid cheeks (docs/derivations/cone.md). ROOT: turn of the root by a moment M is
// ROOT * M / (E h t^2), 3.3 where a couple turns it alone and 5 with the force that makes it;
// SHEAR: in units of F x / (E h t), 3.2 of them shear, the rest the root's give to a force; DENT:
// under the patch of a cone, F / (E t).
static const double ROOT = 5.0, ROOT_OF_COUPLE = 3.3, SHEAR = 11.0, DENT = 0.7, WIDE = 6.7;

static bool positive(double x)
{
    return x > 0.0 && isfinite(x);
}

static bool is_sound(const hw_cheek *c)
{
    return positive(c->depth) && positive(c->height) && positive(c->thickness) &&
           positive(c->modulus);
}

// Height that carries: a load in the middle of a wide plate does not reach its edges.
static double height_of(const hw_cheek *c)
{
    double wide = c->height / (WIDE * c->depth);
    return c->height / sqrt(1.0 + wide * wide);
}

double hw_cheek_give(const hw_cheek *c, double at, double from)
{
    if (!is_sound(c) || !(at >= 0.0) || !(from >= 0.0)) return (double)NAN;
    double near = fmin(at, from), far = fmax(at, from), t = c->thickness;
    double x = near / t, y = far / t;
    double bend = 2.0 * x * x * (3.0 * y - x) + ROOT * x * y + SHEAR * x;
    double dent = near < far ? 0.0 : DENT;
    return (bend / height_of(c) + dent / t) / c->modulus;
}

double hw_cheek_lean(const hw_cheek *c, double at)
{
    if (!is_sound(c) || !(at >= 0.0)) return (double)NAN;
    double t = c->thickness, x = at / t, l = c->depth / t, m = fmin(x, l);
    double turn = 12.0 * (0.5 * m * m + m * (x - m)) + ROOT_OF_COUPLE * x;
    return turn / (height_of(c) * t * c->modulus);
}

double hw_cheek_stress(const hw_cheek *c, double moment)
{
    if (!is_sound(c)) return (double)NAN;
    return 6.0 * moment / (height_of(c) * c->thickness * c->thickness);
}
