// Convex bodies that rooms are drawn with: a hull in the plane, prisms and what is below them.
#include "parts/palm_internal.h"

static double turn_of(hw_vec2 o, hw_vec2 a, hw_vec2 b)
{
    return (a.x - o.x) * (b.z - o.z) - (a.z - o.z) * (b.x - o.x);
}

// Convex hull in the plane, counter-clockwise. Source: Andrew 1979, monotone chain (from memory).
size_t hw_palm_hull(hw_vec2 *at, size_t n, hw_vec2 *out)
{
    for (size_t i = 1; i < n; i++) // few points: sorted by insertion
        for (size_t k = i; k > 0; k--) {
            hw_vec2 p = at[k - 1], q = at[k];
            if (p.x < q.x || (p.x == q.x && p.z <= q.z)) break;
            at[k - 1] = q;
            at[k] = p;
        }
    size_t m = 0;
    for (int half = 0; half < 2; half++) {
        const size_t first = m;
        for (size_t i = 0; i < n; i++) {
            hw_vec2 p = at[half ? n - 1 - i : i];
            while (m >= first + 2 && turn_of(out[m - 2], out[m - 1], p) <= 0) m--;
            out[m++] = p;
        }
        m--; // the other half begins with it
    }
    return m;
}

hw_vec3 hw_prism_corner(const hw_prism *p, size_t i)
{
    return hw_frame_point(&p->in, hw_at(p->at[i / 2].x, p->y[i & 1], p->at[i / 2].z));
}

// Its plan, and its sides that look up.
const hw_field *hw_prism_fallen(hw_palm_build *b, const hw_prism *p, double grow)
{
    const double far = 4 * (b->to - b->from);
    hw_vec2 plan[2 * HW_THUMB_OUTLINE], out[2 * HW_THUMB_OUTLINE + 2];
    for (size_t i = 0; i < 2 * p->n; i++) {
        hw_vec3 q = hw_prism_corner(p, i);
        plan[i] = (hw_vec2){q.x, q.y};
    }
    const hw_polygon outline = {out, hw_palm_hull(plan, 2 * p->n, out)};
    const hw_field *part[HW_THUMB_OUTLINE + 3];
    size_t n = 0;
    part[n++] =
        hw_field_offset(b->a, hw_field_prism(b->a, &hw_plan_axes, &outline, -far, far), grow);
    for (size_t i = 0; i < p->n + 2; i++) {
        hw_vec3 at = hw_prism_corner(p, 0), away = hw_vec3_times(p->in.y, i == p->n ? -1 : 1);
        if (i == p->n + 1) at = hw_prism_corner(p, 1);
        if (i < p->n) {
            hw_vec2 from = p->at[i], to = p->at[(i + 1) % p->n];
            at = hw_prism_corner(p, 2 * i);
            away = hw_frame_direction(&p->in, hw_at(to.z - from.z, 0, from.x - to.x));
        }
        away = hw_vec3_unit(away);
        if (away.z > 1e-3) part[n++] = hw_field_half(b->a, hw_vec3_along(at, grow, away), away);
    }
    return hw_field_meet(b->a, part, n);
}

// A digit's first segment from the knuckle on, flexed by a share of its range and turned aside.
hw_prism hw_seat_segment(const hw_palm_seat *s, double share, double aside)
{
    const double wide = s->width / 2, near = s->thickness / 2, end = s->taper / 2;
    const double flexed = s->flexion[0] + share * (s->flexion[1] - s->flexion[0]);
    hw_frame in = hw_frame_turned(&s->knuckle, s->knuckle.at, s->knuckle.y, flexed);
    in = hw_frame_turned(&in, s->splay_at, s->splay_axis, aside);
    return (hw_prism){
        in, {{0, -near}, {s->segment, -end}, {s->segment, end}, {0, near}}, 4, {-wide, wide}};
}
