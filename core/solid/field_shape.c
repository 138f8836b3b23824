// Values of fields.
#include "solid/field_internal.h"

#include <stdlib.h>

static double clamped(double v, double low, double high)
{
    return v < low ? low : v > high ? high : v;
}

// fmin and fmax of numbers, without the calls that they cost for the sake of NaN.
static inline double least(double a, double b)
{
    return b < a ? b : a;
}
static inline double most(double a, double b)
{
    return b > a ? b : a;
}

static double box_at(const hw_field *f, hw_vec3 p)
{
    hw_vec3 q = hw_field_into(&f->in, p);
    return most(fabs(q.x) - f->half.x, most(fabs(q.y) - f->half.y, fabs(q.z) - f->half.z));
}

static double round_box_at(const hw_field *f, hw_vec3 p)
{
    hw_vec3 q = hw_field_into(&f->in, p);
    q = (hw_vec3){fabs(q.x) - f->half.x + f->size, fabs(q.y) - f->half.y + f->size,
                  fabs(q.z) - f->half.z + f->size};
    hw_vec3 out = {most(q.x, 0), most(q.y, 0), most(q.z, 0)};
    return hw_vec3_norm(out) + least(most(q.x, most(q.y, q.z)), 0) - f->size;
}

static double cone_at(const hw_field *f, hw_vec3 p)
{
    hw_vec3 d = hw_vec3_sub(p, f->in.at);
    double t = hw_vec3_dot(d, f->in.x), rho = hw_vec3_norm(hw_vec3_along(d, -t, f->in.x));
    double side = (rho - f->size) * f->slope[0] - t * f->slope[1];
    return most(side, most(-t, t - f->length));
}

// The vector from the nearest point of a straight piece of the path.
static hw_vec3 from_piece(const hw_field *f, size_t i, hw_vec3 p)
{
    hw_vec3 a = f->path[i], d = hw_vec3_sub(p, a);
    if (i + 1 >= f->n) return d;
    hw_vec3 along = hw_vec3_sub(f->path[i + 1], a);
    double length2 = hw_vec3_dot(along, along);
    double t = length2 > 0 ? clamped(hw_vec3_dot(d, along) / length2, 0, 1) : 0;
    return hw_vec3_along(d, -t, along);
}

static double tube_at(const hw_field *f, hw_vec3 p)
{
    double best = INFINITY;
    size_t pieces = f->n > 1 ? f->n - 1 : 1;
    for (size_t i = 0; i < pieces; i++) {
        hw_vec3 d = from_piece(f, i, p);
        best = least(best, hw_vec3_dot(d, d));
    }
    return sqrt(best) - f->size;
}

// Above 45 degrees the cone of the roof is nearer than the ball: distances from it are those of
// its side, (rho + up) / sqrt 2, which the ball's meets where rho = up.
static double from_drop(const hw_field *f, hw_vec3 d)
{
    double up = hw_vec3_dot(d, f->in.z), rho = hw_vec3_norm(hw_vec3_along(d, -up, f->in.z));
    return up > rho ? (rho + up) / sqrt(2) : hw_vec3_norm(d);
}

// The vector from that point of a straight piece whose drop is nearest. Along a piece that rises
// the roof touches its balls farther back or ahead than at the nearest point: in the plane across,
// `over` the axis and beside it, at an angle whose sine is 1 over sqrt 2 times the cosine of the
// rise, so that the roof itself is at 45 degrees.
static hw_vec3 from_roofed(const hw_field *f, size_t i, hw_vec3 p)
{
    if (i + 1 >= f->n) return hw_vec3_sub(p, f->path[i]);
    const hw_vec3 d = hw_vec3_sub(p, f->path[i]), along = hw_vec3_sub(f->path[i + 1], f->path[i]);
    const double length = hw_vec3_norm(along);
    if (!(length > 0)) return d;
    const hw_vec3 u = hw_vec3_times(along, 1 / length);
    const double rise = hw_vec3_dot(u, f->in.z), level2 = 1 - rise * rise;
    double t = hw_vec3_dot(d, u);
    if (2 * level2 > 1) {
        const hw_vec3 across = hw_vec3_along(d, -t, u);
        const double over = hw_vec3_dot(across, f->in.z) / sqrt(level2);
        const double aside = sqrt(most(hw_vec3_dot(across, across) - over * over, 0));
        const double steep = 1 / sqrt(2 * level2 - 1); // tangent of that angle
        if (over > aside * steep) t -= rise / sqrt(level2) * (over - aside * steep);
    }
    return hw_vec3_along(d, -clamped(t, 0, length), u);
}

static double drop_at(const hw_field *f, hw_vec3 p)
{
    double best = INFINITY;
    size_t pieces = f->n > 1 ? f->n - 1 : 1;
    for (size_t i = 0; i < pieces; i++) best = least(best, from_drop(f, from_roofed(f, i, p)));
    return best - f->size;
}

double hw_drop_ridge(const hw_field *f, hw_vec3 p)
{
    double best = INFINITY;
    size_t pieces = f->n > 1 ? f->n - 1 : 1;
    p = hw_vec3_along(p, -f->size * sqrt(2), f->in.z);
    for (size_t i = 0; i < pieces; i++) best = least(best, hw_vec3_norm(from_piece(f, i, p)));
    return best;
}

// ---- loops ------------------------------------------------------------------------------------

// Distance from a closed loop and whether the point is inside, side by side.
typedef struct from_loop {
    hw_vec2 p;
    double best2;
    bool inside;
} from_loop;

// Squared distance from a side of which one sees d from its first end.
static inline double off_side2(hw_vec2 d, hw_vec2 along)
{
    double length2 = hw_dot(along, along);
    double t = length2 > 0 ? clamped(hw_dot(d, along) / length2, 0, 1) : 0;
    hw_vec2 away = hw_sub(d, hw_scale(along, t));
    return hw_dot(away, away);
}

static void add_side(from_loop *l, hw_vec2 a, hw_vec2 b)
{
    hw_vec2 along = hw_sub(b, a), d = hw_sub(l->p, a);
    l->best2 = least(l->best2, off_side2(d, along));
    if ((a.z > l->p.z) != (b.z > l->p.z)) {
        double side = along.x * d.z - along.z * d.x;
        if ((side > 0) == (b.z > a.z)) l->inside = !l->inside;
    }
}

static double loop_value(const from_loop *l)
{
    return l->inside ? -sqrt(l->best2) : sqrt(l->best2);
}

// A piece of a loop, side by side. The nearest side says which side one is on; where two share the
// nearest corner, the one that is seen more squarely.
typedef struct from_chain {
    hw_vec2 p;
    double best2, most, sense, sign;
} from_chain;

static void take_link(from_chain *c, hw_vec2 d, hw_vec2 along, double near2)
{
    double cross = along.x * d.z - along.z * d.x;
    double length = hw_norm(along), square = length > 0 ? fabs(cross) / length : 0;
    bool tie = fabs(near2 - c->best2) <= 1e-9 * c->best2;
    if (tie ? square > c->most : near2 < c->best2) {
        c->most = square;
        c->sign = cross * c->sense > 0 ? -1 : 1;
    }
    c->best2 = least(c->best2, near2);
}

// Most sides are far: what is asked of every one is no more than how far.
static inline void add_link(from_chain *c, hw_vec2 a, hw_vec2 b)
{
    hw_vec2 along = hw_sub(b, a), d = hw_sub(c->p, a);
    double near2 = off_side2(d, along);
    if (near2 > c->best2 * (1 + 2e-9)) return;
    take_link(c, d, along, near2);
}

// The sides of a loop that count: all, or a piece of its outline, `some` from `first` on.
static size_t sides_of(const hw_field *f)
{
    return f->some ? f->some : f->n;
}
static size_t side_of(const hw_field *f, size_t k)
{
    const size_t i = f->first + k;
    return i < f->n ? i : i - f->n;
}

double hw_prism_flat(const hw_field *f, hw_vec3 q)
{
    if (!f->some) {
        from_loop l = {{q.x, q.z}, INFINITY, false};
        for (size_t i = 0, j = f->n - 1; i < f->n; j = i++) add_side(&l, f->point[j], f->point[i]);
        return loop_value(&l);
    }
    from_chain c = {{q.x, q.z}, INFINITY, 0, f->sense, 1};
    for (size_t k = 0; k < f->some; k++)
        add_link(&c, f->point[side_of(f, k)], f->point[side_of(f, k + 1)]);
    return c.sign * sqrt(c.best2);
}

// Cosine of the largest turn among the sides within `radius` of a point, 1 when there is one.
double hw_prism_turn(const hw_field *f, hw_vec3 q, double radius)
{
    hw_vec2 first = {0, 0};
    double worst = 1;
    for (size_t k = 0; k < sides_of(f); k++) {
        hw_vec2 a = f->point[side_of(f, k)], b = f->point[side_of(f, k + 1)];
        hw_vec2 along = hw_sub(b, a);
        from_loop l = {{q.x, q.z}, INFINITY, false};
        add_side(&l, a, b);
        double length = hw_norm(along);
        if (l.best2 > radius * radius || !(length > 0)) continue;
        along = hw_scale(along, 1 / length);
        if (hw_dot(first, first) > 0)
            worst = least(worst, hw_dot(first, along));
        else
            first = along;
    }
    return worst;
}

static double prism_at(const hw_field *f, hw_vec3 p)
{
    hw_vec3 q = hw_field_into(&f->in, p);
    return most(hw_prism_flat(f, q), fabs(q.y) - f->length);
}

// Sections of a loft on both sides of x and where x is between them.
typedef struct between {
    const hw_vec2 *a, *b;
    double t;
} between;

static between sections_at(const hw_field *f, double x)
{
    const double *at = f->station;
    x = clamped(x, at[0], at[f->sections - 1]);
    size_t low = 0, high = f->sections - 1;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (x < at[middle])
            high = middle;
        else
            low = middle;
    }
    return (between){f->point + low * f->n, f->point + high * f->n,
                     (x - at[low]) / (at[high] - at[low])};
}

static hw_vec2 corner_at(const between *s, size_t i)
{
    return hw_add(hw_scale(s->a[i], 1 - s->t), hw_scale(s->b[i], s->t));
}

static double chain_value(const hw_field *f, const between *s, hw_vec2 p)
{
    from_chain c = {p, INFINITY, 0, f->sense, 1};
    size_t i = f->first;
    hw_vec2 a = corner_at(s, i);
    for (size_t k = 0; k < f->some; k++) {
        i = i + 1 == f->n ? 0 : i + 1;
        hw_vec2 b = corner_at(s, i);
        add_link(&c, a, b);
        a = b;
    }
    return c.sign * sqrt(c.best2);
}

static double loft_at(const hw_field *f, hw_vec3 p)
{
    hw_vec3 q = hw_field_into(&f->in, p);
    between s = sections_at(f, q.x);
    double flat;
    if (f->some)
        flat = chain_value(f, &s, (hw_vec2){q.y, q.z});
    else {
        from_loop l = {{q.y, q.z}, INFINITY, false};
        hw_vec2 before = corner_at(&s, f->n - 1);
        for (size_t i = 0; i < f->n; i++) {
            hw_vec2 here = corner_at(&s, i);
            add_side(&l, before, here);
            before = here;
        }
        flat = loop_value(&l);
    }
    return most(flat * f->slope[0], most(f->station[0] - q.x, q.x - f->station[f->sections - 1]));
}

// What of a loop counts where its sides are so far: the longest run of those too far is left out,
// of a piece of a loop only what is far at its own ends.
static void leave_near(const double far[], size_t n, double wide, hw_field *f) // [m] [m]
{
    size_t longest = 0, run = 0, ends = 0;
    if (f->some) {
        size_t low = 0, high = n;
        while (low < high && far[low] > wide) low++;
        while (high > low && far[high - 1] > wide) high--;
        f->first = side_of(f, low);
        f->some = high - low;
        return;
    }
    for (size_t i = 0; i < 2 * n; i++) {
        run = far[i % n] > wide ? run + 1 : 0;
        if (run > longest && run <= n) longest = run, ends = i % n;
    }
    if (longest < 2) return;
    f->first = side_of(f, (ends + 1) % n);
    f->some = n - longest;
}

// Where one moves by r, a side comes nearer by r and a loft's own slope times r at most; creases
// are asked for twice as far.
const hw_field *hw_loop_near(hw_arena *work, const hw_field *f, hw_vec3 centre, double radius)
{
    const bool loft = f->kind == HW_FIELD_LOFT;
    if (f->some && (f->some < (loft ? 5 : 2) || radius > 0.5 * f->size)) return f; // not worth it
    if (!loft && f->n < 4) return f;
    size_t n = sides_of(f);
    hw_field *out = HW_NEW(work, hw_field, 1);
    double *far = HW_NEW(work, double, n);
    if (!far || !out) return NULL;
    hw_vec3 q = hw_field_into(&f->in, centre);
    const between s = loft ? sections_at(f, q.x) : (between){f->point, f->point, 0};
    const hw_vec2 at = loft ? (hw_vec2){q.y, q.z} : (hw_vec2){q.x, q.z};
    double nearest = INFINITY;
    double steep = loft ? sqrt(most(0, 1 / (f->slope[0] * f->slope[0]) - 1)) : 1;
    for (size_t i = 0; i < n; i++) {
        from_loop l = {at, INFINITY, false};
        add_side(&l, corner_at(&s, side_of(f, i)), corner_at(&s, side_of(f, i + 1)));
        far[i] = sqrt(l.best2);
        nearest = least(nearest, far[i]);
    }
    *out = *f;
    out->size = radius;
    leave_near(far, n, nearest + 2.01 * radius * (1 + steep), out);
    return out;
}

// ---- joined -----------------------------------------------------------------------------------

// Outside the box of all that is inside: the value is above 0 there.
static bool beyond(const hw_field *f, hw_vec3 p)
{
    return p.x < f->low.x || p.x > f->high.x || p.y < f->low.y || p.y > f->high.y ||
           p.z < f->low.z || p.z > f->high.z;
}

// A child that cannot change the value is not asked.
static double extreme(const hw_field *f, hw_vec3 p, bool most)
{
    double v = hw_field_at(f->child[0], p);
    for (size_t i = 1; i < f->n; i++) {
        const hw_field *child = f->child[i];
        if (most ? v >= 0 && child->kind == HW_FIELD_NOT && beyond(child->child[0], p)
                 : v <= 0 && beyond(child, p))
            continue;
        double w = hw_field_at(child, p);
        if ((w > v) == most) v = w;
    }
    return v;
}

static double blend_at(const hw_field *f, hw_vec3 p)
{
    double a = hw_field_at(f->child[0], p), b = hw_field_at(f->child[1], p);
    double h = fmax(f->size - fabs(a - b), 0);
    return fmin(a, b) - h * h / (4 * f->size);
}

double hw_field_at(const hw_field *f, hw_vec3 p)
{
    if (!f) return NAN;
    switch (f->kind) {
    case HW_FIELD_HALF:
        return hw_vec3_dot(hw_vec3_sub(p, f->in.at), f->in.x);
    case HW_FIELD_BOX:
        return box_at(f, p);
    case HW_FIELD_ROUND_BOX:
        return round_box_at(f, p);
    case HW_FIELD_CONE:
        return cone_at(f, p);
    case HW_FIELD_TUBE:
        return tube_at(f, p);
    case HW_FIELD_DROP:
        return drop_at(f, p);
    case HW_FIELD_PRISM:
        return prism_at(f, p);
    case HW_FIELD_LOFT:
        return loft_at(f, p);
    case HW_FIELD_UNION:
        return extreme(f, p, false);
    case HW_FIELD_MEET:
        return extreme(f, p, true);
    case HW_FIELD_NOT:
        return -hw_field_at(f->child[0], p);
    case HW_FIELD_OFFSET:
        return hw_field_at(f->child[0], p) - f->size;
    case HW_FIELD_BLEND:
        return blend_at(f, p);
    case HW_FIELD_COLUMN:
        return hw_field_at(f->child[0], hw_field_flat(&f->in, p));
    case HW_FIELD_MOVED:
        return hw_field_at(f->child[0], hw_field_into(&f->in, p));
    case HW_FIELD_GRID:
        return hw_grid_at(f->grid, p);
    }
    return NAN;
}
