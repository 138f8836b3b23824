// What is left of a field in a ball: where one moves by r a value changes by r at most, so shapes
// whose surface is farther than that are all inside or all outside there.
#include "solid/field_internal.h"

#define SMOOTH_TURN 0.94 // cosine of 20 degrees: sides of an outline that turn less are a curve [1]

static hw_field_near side_of(hw_field_side side)
{
    return (hw_field_near){side, NULL};
}

// Bounds widened, so that rounding never decides.
static double widened(double radius)
{
    return radius * (1 + 1e-9);
}

static bool misses(const hw_field *f, hw_vec3 c, double r)
{
    return c.x + r < f->low.x || c.x - r > f->high.x || c.y + r < f->low.y || c.y - r > f->high.y ||
           c.z + r < f->low.z || c.z - r > f->high.z;
}

static hw_field_near prune_joined(hw_arena *work, const hw_field *f, hw_vec3 c, double r,
                                  double level)
{
    const hw_field_side decides = f->kind == HW_FIELD_UNION ? HW_SIDE_IN : HW_SIDE_OUT;
    const hw_field_side idle = f->kind == HW_FIELD_UNION ? HW_SIDE_OUT : HW_SIDE_IN;
    const hw_field **left = HW_NEW(work, const hw_field *, f->n);
    if (!left) return side_of(HW_SIDE_CUT);
    size_t n = 0;
    bool same = true;
    for (size_t i = 0; i < f->n; i++) {
        hw_field_near one = hw_field_prune(work, f->child[i], c, r, level);
        if (one.side == decides) return side_of(decides);
        if (one.side == idle) continue;
        if (!one.f) return one;
        same = same && one.f == f->child[i];
        left[n++] = one.f;
    }
    if (n == 0) return side_of(idle);
    if (n == 1) return (hw_field_near){HW_SIDE_CUT, left[0]};
    if (n == f->n && same) return (hw_field_near){HW_SIDE_CUT, f};
    hw_field *out = HW_NEW(work, hw_field, 1);
    if (!out) return side_of(HW_SIDE_CUT);
    *out = *f;
    out->child = left;
    out->n = n;
    return (hw_field_near){HW_SIDE_CUT, out};
}

// A point as the child of NOT, COLUMN or MOVED sees it: no two come farther apart.
static hw_vec3 within(const hw_field *f, hw_vec3 p)
{
    if (f->kind == HW_FIELD_MOVED) return hw_field_into(&f->in, p);
    return f->kind == HW_FIELD_COLUMN ? hw_field_flat(&f->in, p) : p;
}

// The child's level where the field's own is `level`.
static double level_within(const hw_field *f, double level)
{
    if (f->kind == HW_FIELD_NOT) return -level;
    return f->kind == HW_FIELD_OFFSET ? level + f->size : level;
}

static hw_field_near prune_one(hw_arena *work, const hw_field *f, hw_vec3 c, double r, double level)
{
    hw_field_near one = hw_field_prune(work, f->child[0], within(f, c), r, level_within(f, level));
    if (one.side != HW_SIDE_CUT) {
        if (f->kind == HW_FIELD_NOT) one.side = one.side == HW_SIDE_IN ? HW_SIDE_OUT : HW_SIDE_IN;
        return one;
    }
    if (!one.f) return one;
    if (one.f == f->child[0]) return (hw_field_near){HW_SIDE_CUT, f};
    hw_field *out = HW_NEW(work, hw_field, 1);
    const hw_field **own = HW_NEW(work, const hw_field *, 1);
    if (!out || !own) return side_of(HW_SIDE_CUT);
    own[0] = one.f;
    *out = *f;
    out->child = own;
    return (hw_field_near){HW_SIDE_CUT, out};
}

// Its values change faster than one moves: those it has there decide.
static hw_field_near prune_grid(const hw_field *f, hw_vec3 c, double r, double level)
{
    double v[2];
    hw_grid_range(f->grid, c, r, v);
    if (v[0] > level) return side_of(HW_SIDE_OUT);
    if (v[1] < level) return side_of(HW_SIDE_IN);
    return (hw_field_near){HW_SIDE_CUT, f};
}

hw_field_near hw_field_prune(hw_arena *work, const hw_field *f, hw_vec3 centre, double radius,
                             double level)
{
    double r = widened(radius);
    // what is outside its box is above 0; for a level above it the box grows as an offset's does
    if (misses(f, centre, r + 3 * fmax(level, 0))) return side_of(HW_SIDE_OUT);
    switch (f->kind) {
    case HW_FIELD_UNION:
    case HW_FIELD_MEET:
        return prune_joined(work, f, centre, radius, level);
    case HW_FIELD_NOT:
    case HW_FIELD_OFFSET:
    case HW_FIELD_COLUMN:
    case HW_FIELD_MOVED:
        return prune_one(work, f, centre, radius, level);
    case HW_FIELD_GRID:
        return prune_grid(f, centre, r, level);
    case HW_FIELD_HALF:
    case HW_FIELD_BOX:
    case HW_FIELD_ROUND_BOX:
    case HW_FIELD_CONE:
    case HW_FIELD_TUBE:
    case HW_FIELD_DROP:
    case HW_FIELD_PRISM:
    case HW_FIELD_LOFT:
    case HW_FIELD_BLEND:
        break;
    }
    double v = hw_field_at(f, centre) - level;
    if (v > r) return side_of(HW_SIDE_OUT);
    if (v < -r) return side_of(HW_SIDE_IN);
    if (f->kind == HW_FIELD_LOFT || f->kind == HW_FIELD_PRISM) f = hw_loop_near(work, f, centre, r);
    return (hw_field_near){HW_SIDE_CUT, f};
}

const hw_field *hw_field_around(hw_arena *work, const hw_field *f, hw_vec3 centre, double radius)
{
    const hw_field_near near = hw_field_prune(work, f, centre, radius, 0);
    if (near.side == HW_SIDE_OUT) return NULL;
    return near.side == HW_SIDE_CUT && near.f ? near.f : f;
}

// ---- sharp edges ------------------------------------------------------------------------------

// More than one of some faces comes within r of a point.
static bool several(const double face[], int n, double r)
{
    int near = 0;
    for (int i = 0; i < n; i++) near += fabs(face[i]) <= r;
    return near > 1;
}

static bool box_creased(const hw_field *f, hw_vec3 c, double r, double level)
{
    hw_vec3 q = hw_field_into(&f->in, c);
    const double face[6] = {q.x - f->half.x - level,  q.y - f->half.y - level,
                            q.z - f->half.z - level,  -q.x - f->half.x - level,
                            -q.y - f->half.y - level, -q.z - f->half.z - level};
    return several(face, 6, r);
}

static bool cone_creased(const hw_field *f, hw_vec3 c, double r, double level)
{
    hw_vec3 d = hw_vec3_sub(c, f->in.at);
    double t = hw_vec3_dot(d, f->in.x), rho = hw_vec3_norm(hw_vec3_along(d, -t, f->in.x));
    double side = (rho - f->size) * f->slope[0] - t * f->slope[1];
    const double face[3] = {side - level, -t - level, t - f->length - level};
    return several(face, 3, r);
}

static bool prism_creased(const hw_field *f, hw_vec3 c, double r, double level)
{
    hw_vec3 q = hw_field_into(&f->in, c);
    const double face[3] = {hw_prism_flat(f, q) - level, q.y - f->length - level,
                            -q.y - f->length - level};
    if (several(face, 3, r)) return true;
    return fabs(face[0]) <= r && hw_prism_turn(f, q, r + fabs(level)) < SMOOTH_TURN;
}

static bool loft_creased(const hw_field *f, hw_vec3 c, double r, double level)
{
    hw_vec3 q = hw_field_into(&f->in, c);
    double low = f->station[0] - q.x - level, high = q.x - f->station[f->sections - 1] - level;
    return fabs(low) <= r || fabs(high) <= r;
}

bool hw_field_creased(const hw_field *f, hw_vec3 centre, double radius, double level)
{
    double r = widened(radius);
    switch (f->kind) {
    case HW_FIELD_BOX:
        return box_creased(f, centre, r, level);
    case HW_FIELD_CONE:
        return cone_creased(f, centre, r, level);
    case HW_FIELD_PRISM:
        return prism_creased(f, centre, r, level);
    case HW_FIELD_LOFT:
        return loft_creased(f, centre, r, level);
    case HW_FIELD_UNION:
    case HW_FIELD_MEET:
        return true;
    case HW_FIELD_NOT:
        return hw_field_creased(f->child[0], centre, radius, -level);
    case HW_FIELD_OFFSET:
        return hw_field_creased(f->child[0], centre, radius, level + f->size);
    case HW_FIELD_COLUMN:
    case HW_FIELD_MOVED:
        return hw_field_creased(f->child[0], within(f, centre), radius, level);
    case HW_FIELD_DROP:
        return hw_drop_ridge(f, centre) <= r;
    case HW_FIELD_HALF:
    case HW_FIELD_ROUND_BOX:
    case HW_FIELD_TUBE:
    case HW_FIELD_BLEND:
    case HW_FIELD_GRID: // its ridges are as round as its cells
        return false;
    }
    return true;
}
