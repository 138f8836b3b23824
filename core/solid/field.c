// Makers of fields, and the boxes that hold them.
#include "solid/field_internal.h"

#include <string.h>

static const hw_vec3 nowhere_low = {INFINITY, INFINITY, INFINITY};
static const hw_vec3 nowhere_high = {-INFINITY, -INFINITY, -INFINITY};

static bool finite3(hw_vec3 v)
{
    return isfinite(v.x) && isfinite(v.y) && isfinite(v.z);
}
static hw_vec3 least(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){fmin(a.x, b.x), fmin(a.y, b.y), fmin(a.z, b.z)};
}
static hw_vec3 most(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){fmax(a.x, b.x), fmax(a.y, b.y), fmax(a.z, b.z)};
}
static hw_vec3 grown(hw_vec3 v, double by)
{
    return (hw_vec3){v.x + by, v.y + by, v.z + by};
}

static hw_field *made(hw_arena *a, hw_field_kind kind)
{
    hw_field *f = HW_NEW(a, hw_field, 1);
    if (!f) return NULL;
    f->kind = kind;
    f->low = (hw_vec3){-INFINITY, -INFINITY, -INFINITY};
    f->high = (hw_vec3){INFINITY, INFINITY, INFINITY};
    return f;
}

bool hw_field_reach(const hw_field *f, hw_vec3 *low, hw_vec3 *high)
{
    *low = f ? f->low : nowhere_low;
    *high = f ? f->high : nowhere_high;
    return low->x < high->x && low->y < high->y && low->z < high->z;
}

// The box round a box of a frame.
static void reach_of(hw_field *f, const hw_frame *in, hw_vec3 low, hw_vec3 high)
{
    if (!finite3(low) || !finite3(high)) return; // infinite stays infinite
    f->low = nowhere_low;
    f->high = nowhere_high;
    for (int i = 0; i < 8; i++) {
        hw_vec3 q = {i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z};
        hw_vec3 p = hw_frame_point(in, q);
        f->low = least(f->low, p);
        f->high = most(f->high, p);
    }
}

static bool good_frame(const hw_frame *f)
{
    return finite3(f->at) && finite3(f->x) && finite3(f->y) && finite3(f->z);
}

const hw_field *hw_field_half(hw_arena *a, hw_vec3 at, hw_vec3 outward)
{
    hw_vec3 n = hw_vec3_unit(outward);
    hw_field *f = finite3(at) && hw_vec3_norm(n) > 0.5 ? made(a, HW_FIELD_HALF) : NULL;
    if (!f) return NULL;
    f->in.at = at;
    f->in.x = n;
    return f;
}

const hw_field *hw_field_round_box(hw_arena *a, const hw_frame *in, hw_vec3 low, hw_vec3 high,
                                   double radius)
{
    hw_vec3 half = hw_vec3_times(hw_vec3_sub(high, low), 0.5);
    bool good = good_frame(in) && finite3(low) && finite3(high) && radius >= 0 &&
                fmin(half.x, fmin(half.y, half.z)) >= radius && isfinite(radius);
    hw_field *f = good ? made(a, radius > 0 ? HW_FIELD_ROUND_BOX : HW_FIELD_BOX) : NULL;
    if (!f) return NULL;
    f->in = *in;
    f->in.at = hw_frame_point(in, hw_vec3_times(hw_vec3_add(low, high), 0.5));
    f->half = half;
    f->size = radius;
    reach_of(f, in, low, high);
    return f;
}

const hw_field *hw_field_box(hw_arena *a, const hw_frame *in, hw_vec3 low, hw_vec3 high)
{
    return hw_field_round_box(a, in, low, high, 0);
}

const hw_field *hw_field_cone(hw_arena *a, hw_vec3 from, hw_vec3 to, double begin, double end)
{
    hw_vec3 d = hw_vec3_sub(to, from);
    double length = hw_vec3_norm(d);
    bool good = finite3(from) && finite3(to) && length > 0 && begin >= 0 && end >= 0 &&
                begin + end > 0 && isfinite(begin + end);
    hw_field *f = good ? made(a, HW_FIELD_CONE) : NULL;
    if (!f) return NULL;
    f->in.at = from;
    f->in.x = hw_vec3_unit(d);
    f->size = begin;
    f->end = end;
    f->length = length;
    double side = hypot(length, end - begin);
    f->slope[0] = length / side;
    f->slope[1] = (end - begin) / side;
    const hw_vec3 x = f->in.x;
    hw_vec3 across = {sqrt(fmax(0, 1 - x.x * x.x)), sqrt(fmax(0, 1 - x.y * x.y)),
                      sqrt(fmax(0, 1 - x.z * x.z))};
    f->low = least(hw_vec3_along(from, -begin, across), hw_vec3_along(to, -end, across));
    f->high = most(hw_vec3_along(from, begin, across), hw_vec3_along(to, end, across));
    return f;
}

const hw_field *hw_field_cylinder(hw_arena *a, hw_vec3 from, hw_vec3 to, double radius)
{
    return hw_field_cone(a, from, to, radius, radius);
}

const hw_field *hw_field_tube(hw_arena *a, const hw_vec3 path[], size_t n, double radius)
{
    bool good = n >= 1 && radius > 0 && isfinite(radius);
    for (size_t i = 0; i < n; i++) good = good && finite3(path[i]);
    hw_field *f = good ? made(a, HW_FIELD_TUBE) : NULL;
    hw_vec3 *own = f ? HW_NEW(a, hw_vec3, n) : NULL;
    if (!own) return NULL;
    memcpy(own, path, n * sizeof *own);
    f->path = own;
    f->n = n;
    f->size = radius;
    f->low = nowhere_low;
    f->high = nowhere_high;
    for (size_t i = 0; i < n; i++) {
        f->low = least(f->low, grown(path[i], -radius));
        f->high = most(f->high, grown(path[i], radius));
    }
    return f;
}

const hw_field *hw_field_drop(hw_arena *a, const hw_vec3 path[], size_t n, double radius,
                              hw_vec3 up)
{
    hw_vec3 to = hw_vec3_unit(up);
    const hw_field *tube = hw_vec3_norm(to) > 0.5 ? hw_field_tube(a, path, n, radius) : NULL;
    hw_field *f = tube ? HW_NEW(a, hw_field, 1) : NULL;
    if (!f) return NULL;
    *f = *tube;
    f->kind = HW_FIELD_DROP;
    f->in.z = to;
    for (size_t i = 0; i < n; i++) {
        hw_vec3 tip = hw_vec3_along(path[i], radius * sqrt(2), to);
        f->low = least(f->low, tip);
        f->high = most(f->high, tip);
    }
    return f;
}

// +1 for a loop that runs counter-clockwise.
static double sense_of(const hw_vec2 loop[], size_t points)
{
    double twice = 0;
    for (size_t i = 0, j = points - 1; i < points; j = i++)
        twice += loop[j].x * loop[i].z - loop[j].z * loop[i].x;
    return twice < 0 ? -1 : 1;
}

const hw_field *hw_field_prism(hw_arena *a, const hw_frame *in, const hw_polygon *outline,
                               double low, double high)
{
    bool good = good_frame(in) && outline->n >= 3 && low < high && isfinite(high - low);
    hw_vec2 *own = good ? HW_NEW(a, hw_vec2, outline->n) : NULL;
    hw_field *f = own ? made(a, HW_FIELD_PRISM) : NULL;
    if (!f) return NULL;
    hw_vec3 from = {INFINITY, -(high - low) / 2, INFINITY};
    hw_vec3 to = {-INFINITY, (high - low) / 2, -INFINITY};
    for (size_t i = 0; i < outline->n; i++) {
        own[i] = outline->at[i];
        if (!isfinite(own[i].x) || !isfinite(own[i].z)) return NULL;
        from = least(from, (hw_vec3){own[i].x, from.y, own[i].z});
        to = most(to, (hw_vec3){own[i].x, to.y, own[i].z});
    }
    f->in = *in;
    f->in.at = hw_vec3_along(in->at, (low + high) / 2, in->y);
    f->point = own;
    f->n = outline->n;
    f->first = f->n - 1;
    f->sense = sense_of(own, f->n);
    f->length = (high - low) / 2;
    reach_of(f, &f->in, from, to);
    return f;
}

// The farthest that a corner moves from one section to the next a unit of x.
static double steepest(const hw_loft_section section[], size_t sections, size_t points)
{
    double worst = 0;
    for (size_t s = 0; s + 1 < sections; s++)
        for (size_t i = 0; i < points; i++) {
            hw_vec2 d = hw_sub(section[s + 1].point[i], section[s].point[i]);
            worst = fmax(worst, hw_norm(d) / (section[s + 1].at - section[s].at));
        }
    return worst;
}

const hw_field *hw_field_loft(hw_arena *a, const hw_frame *in, const hw_loft_section section[],
                              size_t sections, size_t points)
{
    if (!good_frame(in) || sections < 2 || points < 3) return NULL;
    hw_vec2 *own = HW_NEW(a, hw_vec2, sections * points);
    double *at = HW_NEW(a, double, sections);
    hw_field *f = own && at ? made(a, HW_FIELD_LOFT) : NULL;
    if (!f) return NULL;
    hw_vec3 low = {section[0].at, INFINITY, INFINITY};
    hw_vec3 high = {section[sections - 1].at, -INFINITY, -INFINITY};
    for (size_t s = 0; s < sections; s++) {
        at[s] = section[s].at;
        if (!isfinite(at[s]) || (s && !(at[s] > at[s - 1]))) return NULL;
        for (size_t i = 0; i < points; i++) {
            hw_vec2 p = own[s * points + i] = section[s].point[i];
            if (!isfinite(p.x) || !isfinite(p.z)) return NULL;
            low = least(low, (hw_vec3){low.x, p.x, p.z});
            high = most(high, (hw_vec3){high.x, p.x, p.z});
        }
    }
    f->in = *in;
    f->point = own;
    f->station = at;
    f->n = points;
    f->sections = sections;
    f->sense = sense_of(own, points);
    f->slope[0] = 1 / hypot(1, steepest(section, sections, points));
    reach_of(f, in, low, high);
    return f;
}

// ---- joining ----------------------------------------------------------------------------------

static hw_field *joined(hw_arena *a, hw_field_kind kind, const hw_field *const f[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!f[i]) return NULL;
    hw_field *out = n ? made(a, kind) : NULL;
    const hw_field **own = out ? HW_NEW(a, const hw_field *, n) : NULL;
    if (!own) return NULL;
    memcpy(own, f, n * sizeof *own);
    out->child = own;
    out->n = n;
    return out;
}

const hw_field *hw_field_union(hw_arena *a, const hw_field *const f[], size_t n)
{
    hw_field *out = joined(a, HW_FIELD_UNION, f, n);
    if (!out) return NULL;
    out->low = nowhere_low;
    out->high = nowhere_high;
    for (size_t i = 0; i < n; i++) {
        out->low = least(out->low, f[i]->low);
        out->high = most(out->high, f[i]->high);
    }
    return out;
}

const hw_field *hw_field_meet(hw_arena *a, const hw_field *const f[], size_t n)
{
    hw_field *out = joined(a, HW_FIELD_MEET, f, n);
    for (size_t i = 0; out && i < n; i++) {
        out->low = most(out->low, f[i]->low);
        out->high = least(out->high, f[i]->high);
    }
    return out;
}

const hw_field *hw_field_cut(hw_arena *a, const hw_field *body, const hw_field *tool)
{
    const hw_field *not = joined(a, HW_FIELD_NOT, &tool, 1);
    return hw_field_meet(a, (const hw_field *const[]){body, not }, 2);
}

const hw_field *hw_field_offset(hw_arena *a, const hw_field *f, double distance)
{
    hw_field *out = isfinite(distance) ? joined(a, HW_FIELD_OFFSET, &f, 1) : NULL;
    if (!out) return NULL;
    out->size = distance;
    // at a corner the surface moves farther than by the distance: three times is a 40 degree tip
    out->low = grown(f->low, -3 * fmax(distance, 0));
    out->high = grown(f->high, 3 * fmax(distance, 0));
    return out;
}

const hw_field *hw_field_blend(hw_arena *a, const hw_field *f, const hw_field *g, double width)
{
    const hw_field *both[] = {f, g};
    hw_field *out = width > 0 && isfinite(width) ? joined(a, HW_FIELD_BLEND, both, 2) : NULL;
    if (!out) return NULL;
    out->size = width;
    out->low = grown(least(f->low, g->low), -width); // the fillet is width / 4 deep at most
    out->high = grown(most(f->high, g->high), width);
    return out;
}

const hw_field *hw_field_moved(hw_arena *a, const hw_field *f, const hw_frame *to)
{
    hw_field *out = good_frame(to) ? joined(a, HW_FIELD_MOVED, &f, 1) : NULL;
    if (!out) return NULL;
    out->in = *to;
    reach_of(out, to, f->low, f->high);
    return out;
}

const hw_field *hw_field_column(hw_arena *a, const hw_field *f, hw_vec3 at, hw_vec3 along)
{
    hw_vec3 x = hw_vec3_unit(along);
    bool good = finite3(at) && hw_vec3_norm(x) > 0.5;
    hw_field *out = good ? joined(a, HW_FIELD_COLUMN, &f, 1) : NULL;
    if (!out) return NULL;
    out->in.at = at;
    out->in.x = x;
    // along an axis the section keeps the box's other sides; askew they may reach anywhere
    if (fabs(x.x) < 1e-12) out->low.x = f->low.x, out->high.x = f->high.x;
    if (fabs(x.y) < 1e-12) out->low.y = f->low.y, out->high.y = f->high.y;
    if (fabs(x.z) < 1e-12) out->low.z = f->low.z, out->high.z = f->high.z;
    return out;
}

const hw_field *hw_field_of_grid(hw_arena *a, const hw_field_grid *g)
{
    hw_field *out = g ? made(a, HW_FIELD_GRID) : NULL;
    if (out) out->grid = g;
    return out;
}
