// Dead points and limits of a four-bar as triangles. Coupler and rocker in line leave the triangle
// crank, ground, |coupler +- rocker|; crank and coupler in line leave |crank +- coupler|, rocker,
// ground.
#include "base/vec.h"
#include "linkage/fourbar.h"
#include "linkage/fourbar_internal.h"

#include <float.h>
#include <math.h>

// One angle of a turn with all its repetitions; `range` collects those between the ends.
typedef struct range {
    double from, to;
    hw_fourbar_mark *out;
    size_t room, count;
} range;

static void keep_sorted(range *r, hw_fourbar_mark one)
{
    double way = r->to < r->from ? -1 : 1;
    size_t filled = r->count < r->room ? r->count : r->room;
    size_t at = filled;
    while (at > 0 && way * r->out[at - 1].crank > way * one.crank) at--;
    if (at < r->room) {
        if (filled == r->room) filled--;
        for (size_t i = filled; i > at; i--) r->out[i] = r->out[i - 1];
        r->out[at] = one;
    }
    r->count++;
}

static void add_turns(range *r, hw_fourbar_mark_kind kind, double angle)
{
    double low = fmin(r->from, r->to), high = fmax(r->from, r->to);
    // An end that was typed as the mark's own angle counts as reached.
    double slack = 4 * DBL_EPSILON * fmax(1, fmax(fabs(low), fabs(high)));
    double first = ceil((low - slack - angle) / (2 * HW_PI));
    double last = floor((high + slack - angle) / (2 * HW_PI));
    long turns = last >= first ? lround(last - first) + 1 : 0; // bounded by the caller
    for (long i = 0; i < turns; i++)
        keep_sorted(r, (hw_fourbar_mark){kind, angle + 2 * HW_PI * (first + (double)i)});
}

// The angle between sides p and q of a triangle whose third side is `far`, by its half:
// sin^2(angle/2) = (far - |p - q|)(far + |p - q|) / 4pq and cos^2 likewise. Returns -1 where there
// is no triangle; *flat where it is flat to within rounding.
static double corner(double p, double q, double far, bool *flat)
{
    double rounding = 4 * DBL_EPSILON * (p + q + far);
    double short_by = far - fabs(p - q), long_by = p + q - far;
    *flat = false;
    if (short_by < -rounding || long_by < -rounding) return -1;
    *flat = short_by <= rounding || long_by <= rounding;
    if (*flat) return short_by <= rounding ? 0 : HW_PI;
    return 2 * atan2(sqrt(short_by * (far + fabs(p - q))), sqrt(long_by * (p + q + far)));
}

static void add_dead(range *r, const hw_fourbar *f, double far, hw_fourbar_mark_kind kind)
{
    bool flat = false;
    if (far <= 0) return; // the pin would lie on the pivot: no line to be in
    double angle = corner(f->crank, f->ground, far, &flat);
    if (angle < 0) return;
    add_turns(r, flat ? HW_FOURBAR_CHANGE : kind, angle);
    if (!flat) add_turns(r, kind, -angle);
}

// Crank and coupler in line: B lies `along` the crank's direction, negative where it lies behind.
// At the angle +corner the triangle stands above the ground line; which branch that is follows from
// the side on which B lies of the line from A to D.
static void add_limit(range *r, const hw_fourbar *f, int branch, double along,
                      hw_fourbar_mark_kind kind)
{
    bool flat = false;
    double far = fabs(along);
    if (far <= 0) return;
    double angle = corner(f->ground, far, f->rocker, &flat);
    if (angle < 0 || flat) return; // flat: a change point, which add_dead finds
    for (int mirror = -1; mirror <= 1; mirror += 2) {
        double to_b = mirror * angle;
        double crank = along > 0 ? to_b : to_b + HW_PI;
        hw_vec2 unit = {cos(crank), sin(crank)};
        hw_vec2 a = hw_scale(unit, f->crank), ab = hw_scale(unit, along - f->crank);
        double side = (f->ground - a.x) * ab.z + a.z * ab.x;
        if (branch * side > 0) add_turns(r, kind, crank);
    }
}

size_t hw_fourbar_marks(const hw_fourbar *f, int branch, double from, double to,
                        hw_fourbar_mark out[], size_t room)
{
    if (!hw_fourbar_sound(f) || (branch != 1 && branch != -1)) return 0;
    if (!isfinite(from) || !isfinite(to) || fabs(to - from) > 0x1p20 * 2 * HW_PI) return 0;
    range r = {from, to, out, room, 0};
    add_dead(&r, f, f->coupler + f->rocker, HW_FOURBAR_DEAD_EXTENDED);
    add_dead(&r, f, fabs(f->coupler - f->rocker), HW_FOURBAR_DEAD_FOLDED);
    add_limit(&r, f, branch, f->crank + f->coupler, HW_FOURBAR_LIMIT_EXTENDED);
    add_limit(&r, f, branch, f->crank - f->coupler, HW_FOURBAR_LIMIT_FOLDED);
    return r.count;
}
