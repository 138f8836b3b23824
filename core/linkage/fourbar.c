// The loop crank + coupler = ground + rocker, closed as a dyad: A is the crank's pin, D the
// rocker's pivot, e the vector from A to D. The coupler's end B is the meeting of two circles, t
// along e from A and h off it. Both come from sums and differences of lengths, so nothing is lost
// near a dead point where h vanishes, and no angle is ever halved.
#include "linkage/fourbar.h"

#include "base/vec.h"
#include "linkage/fourbar_internal.h"

#include <float.h>
#include <math.h>

static bool positive(double v)
{
    return isfinite(v) && v > 0;
}

bool hw_fourbar_sound(const hw_fourbar *f)
{
    return positive(f->ground) && positive(f->crank) && positive(f->coupler) && positive(f->rocker);
}

typedef struct dyad {
    hw_vec2 crank;           // direction of the crank [1]
    hw_vec2 coupler, rocker; // A to B, D to B [m]
    double e, h;             // [m]
    double gap;              // that the circles miss by [m]
} dyad;

// |e| for a crank angle: e^2 = (crank - ground)^2 + 4 crank ground sin^2(crank angle / 2).
static double diagonal(const hw_fourbar *f, double crank)
{
    double half = sin(0.5 * crank);
    return hypot(f->crank - f->ground, 2 * sqrt(f->crank) * sqrt(f->ground) * half);
}

// How far the circles miss, 0 where they meet. A miss within rounding of the lengths is none.
static double miss(const hw_fourbar *f, double e)
{
    double rounding = 4 * DBL_EPSILON * (f->coupler + f->rocker + e);
    double far = e - (f->coupler + f->rocker), near = fabs(f->coupler - f->rocker) - e;
    double gap = fmax(far, near);
    return gap > rounding ? gap : 0;
}

static dyad close_dyad(const hw_fourbar *f, double crank, int branch)
{
    dyad d;
    double b = f->coupler, c = f->rocker;
    d.crank = (hw_vec2){cos(crank), sin(crank)};
    hw_vec2 to_pivot = {f->ground - f->crank * d.crank.x, -f->crank * d.crank.z};
    d.e = diagonal(f, crank);
    d.gap = miss(f, d.e);
    hw_vec2 u = d.e > 0 ? hw_scale(to_pivot, 1 / hw_norm(to_pivot)) : (hw_vec2){1, 0};
    double t = 0.5 * (d.e + (b - c) * ((b + c) / d.e));
    double area4 = (b + c - d.e) * (b + c + d.e) * (d.e - b + c) * (d.e + b - c);
    d.h = area4 > 0 && d.gap <= 0 ? 0.5 * sqrt(area4) / d.e : 0;
    double side = branch * d.h;
    if (d.gap > 0) t = d.e > b + c || b > c ? b : -b;
    d.coupler = (hw_vec2){t * u.x - side * u.z, t * u.z + side * u.x};
    double back = d.gap > 0 ? (d.e > b + c || c > b ? -c : c) : t - d.e;
    d.rocker = (hw_vec2){back * u.x - side * u.z, back * u.z + side * u.x};
    return d;
}

static double cross(hw_vec2 a, hw_vec2 b)
{
    return a.x * b.z - a.z * b.x;
}

static double transmission_of(const hw_fourbar *f, const dyad *d)
{
    double b = f->coupler, c = f->rocker;
    return atan2(2 * d->e * d->h, (b - c) * (b - c) + 2 * b * c - d->e * d->e);
}

static bool solvable(const hw_fourbar *f, int branch)
{
    return hw_fourbar_sound(f) && (branch == 1 || branch == -1);
}

// The crank's pin on the rocker's pivot with equal circles: every rocker angle closes.
static bool undetermined(const hw_fourbar *f, const dyad *d)
{
    return d->e <= 0 && f->coupler - f->rocker <= 0 && f->coupler - f->rocker >= 0;
}

hw_code hw_fourbar_solve(const hw_fourbar *f, double crank, int branch, hw_fourbar_pose *out,
                         double *gap)
{
    double unused;
    if (!gap) gap = &unused;
    *out = (hw_fourbar_pose){NAN, NAN, NAN, NAN, NAN};
    *gap = NAN;
    if (!solvable(f, branch) || !isfinite(crank)) return HW_BAD_INPUT;
    dyad d = close_dyad(f, crank, branch);
    *gap = d.gap;
    if (undetermined(f, &d)) return HW_NO_ASSEMBLY;
    out->coupler = atan2(d.coupler.z, d.coupler.x);
    out->rocker = atan2(d.rocker.z, d.rocker.x);
    out->transmission = transmission_of(f, &d);
    if (d.gap > 0) return HW_NO_ASSEMBLY;
    // Both rates share the loop's determinant, coupler x rocker = branch h e.
    double determinant = branch * d.h * d.e;
    out->d_rocker = f->crank * cross(d.coupler, d.crank) / determinant;
    out->d_coupler = f->crank * cross(d.rocker, d.crank) / determinant;
    return HW_OK;
}

size_t hw_fourbar_sweep(const hw_fourbar *f, int branch, size_t n, const double crank[],
                        double rocker[], double coupler[], double transmission[], uint8_t ok[])
{
    bool sound = solvable(f, branch);
    size_t closed = 0;
    for (size_t i = 0; i < n; i++) {
        ok[i] = 0;
        rocker[i] = NAN;
        if (coupler) coupler[i] = NAN;
        if (transmission) transmission[i] = NAN;
        if (!sound || !isfinite(crank[i])) continue;
        dyad d = close_dyad(f, crank[i], branch);
        if (d.gap > 0 || undetermined(f, &d)) continue;
        rocker[i] = atan2(d.rocker.z, d.rocker.x);
        if (coupler) coupler[i] = atan2(d.coupler.z, d.coupler.x);
        if (transmission) transmission[i] = transmission_of(f, &d);
        ok[i] = 1;
        closed++;
    }
    return closed;
}

static void order(double v[4])
{
    for (int i = 1; i < 4; i++)
        for (int j = i; j > 0 && v[j] < v[j - 1]; j--) {
            double swap = v[j];
            v[j] = v[j - 1];
            v[j - 1] = swap;
        }
}

hw_fourbar_class hw_fourbar_classify(const hw_fourbar *f)
{
    if (!hw_fourbar_sound(f)) return HW_FOURBAR_IMPOSSIBLE;
    double v[4] = {f->ground, f->crank, f->coupler, f->rocker};
    order(v);
    double rounding = 4 * DBL_EPSILON * v[3];
    if (v[3] - v[0] - v[1] - v[2] > rounding) return HW_FOURBAR_IMPOSSIBLE;
    double over = v[0] + v[3] - (v[1] + v[2]);
    if (fabs(over) <= rounding) return HW_FOURBAR_CHANGE_POINT;
    if (over > 0) return HW_FOURBAR_TRIPLE_ROCKER;
    if (f->ground <= v[0]) return HW_FOURBAR_DOUBLE_CRANK;
    if (f->crank <= v[0]) return HW_FOURBAR_CRANK_ROCKER;
    if (f->rocker <= v[0]) return HW_FOURBAR_ROCKER_CRANK;
    return HW_FOURBAR_DOUBLE_ROCKER;
}

const char *hw_fourbar_class_text(hw_fourbar_class c)
{
    static const char *const text[] = {
        "crank-rocker", "double crank",  "double rocker", "rocker-crank",
        "change point", "triple rocker", "impossible",
    };
    size_t i = (size_t)c;
    return i < sizeof text / sizeof *text ? text[i] : "unknown class";
}
