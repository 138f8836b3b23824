// Ways of sheaths through the palm's parts. A bore that lies askew hangs somewhere; sheaths are
// laid in from the back instead, before the lid comes on it. Only in the walls that hold servos,
// and beside the lid, they are threaded through a bore with a roof of 45 degrees.
#include "parts/palm_internal.h"

enum { ROUND = 8, SIDES = 2 * ROUND + 2 };

// All that lies straight above (1) or below (-1) a leg of a way, within its radius in plan.
static const hw_field *beyond(hw_palm_build *b, hw_vec3 p, hw_vec3 q, double radius, double up)
{
    const double far = 4 * (b->to - b->from);
    double along = hypot(q.x - p.x, q.y - p.y);
    if (!(along > 0.01 * radius)) return NULL; // it stands upright
    hw_vec2 u = {(q.x - p.x) / along, (q.y - p.y) / along};
    hw_vec2 at[SIDES];
    double turn = atan2(u.z, u.x);
    for (int i = 0; i < SIDES; i++) {
        bool front = i <= ROUND;
        double angle = turn - HW_PI / 2 + HW_PI * (front ? i : i - 1) / ROUND;
        at[i] = (hw_vec2){(front ? q.x : p.x) + radius * cos(angle),
                          (front ? q.y : p.y) + radius * sin(angle)};
    }
    const hw_polygon outline = {at, SIDES};
    double slope = (q.z - p.z) / along;
    hw_vec3 outward = {up * slope * u.x, up * slope * u.z, -up};
    return hw_both(b->a, hw_field_prism(b->a, &hw_plan_axes, &outline, -far, far),
                   hw_field_half(b->a, p, outward));
}

// A way and what is beyond it, as one tool; with a roof where that is no more than in `open`.
static const hw_field *cleared(hw_palm_build *b, const hw_palm_route *r, double up,
                               const hw_field *open)
{
    const hw_field *all[HW_PALM_ROUTE];
    size_t n = 0;
    for (size_t i = 1; i < r->n && n + 1 < HW_PALM_ROUTE; i++) {
        const hw_field *f = beyond(b, r->at[i - 1], r->at[i], r->radius, up);
        if (f) all[n++] = f;
    }
    if (open && n) {
        all[0] = hw_both(b->a, hw_field_union(b->a, all, n), open);
        n = 1;
    }
    all[n++] = open ? hw_field_drop(b->a, r->at, r->n, r->radius, hw_at(0, 0, up))
                    : hw_field_tube(b->a, r->at, r->n, r->radius);
    return hw_field_union(b->a, all, n);
}

const hw_field *hw_palm_cleared(hw_palm_build *b, const hw_palm_route *r, double up)
{
    return cleared(b, r, up, NULL);
}

void hw_put_trenches(hw_palm_build *b, hw_tools *t, const hw_field *open)
{
    for (size_t i = 0; i < b->f->routes; i++) hw_put(t, cleared(b, &b->f->route[i], 1, open));
}

// Where a way comes through a wall across the hand, or ends within it; false: it does neither.
static bool comes_through(const hw_palm_route *r, const double x[2], hw_vec3 end[2])
{
    const hw_vec3 *tip[2] = {&r->at[0], &r->at[r->n - 1]};
    bool found[2] = {false, false};
    for (int e = 0; e < 2; e++)
        for (size_t i = 1; i < r->n && !found[e]; i++) {
            const hw_vec3 p = r->at[i - 1], q = r->at[i];
            if ((p.x - x[e]) * (q.x - x[e]) > 0 || p.x == q.x) continue;
            end[e] = hw_vec3_along(p, (x[e] - p.x) / (q.x - p.x), hw_vec3_sub(q, p));
            found[e] = true;
        }
    for (int k = 0; k < 2 && found[0] != found[1]; k++) {
        if (!(tip[k]->x > x[0] && tip[k]->x < x[1])) continue;
        const int e = found[0];
        end[e] = *tip[k];
        found[e] = true;
    }
    return found[0] && found[1];
}

// What lies round several places in the hand's y and z as one, through a wall across the hand, with
// a roof of 45 degrees over all of it.
static void put_round(hw_palm_build *b, hw_tools *t, const double x[2], const hw_vec3 at[],
                      size_t n,
                      double radius) // [m] [m]
{
    enum { MOST = 4 };
    hw_vec2 corner[MOST * SIDES + 1], out[MOST * SIDES + 2];
    size_t corners = 0;
    double low = -INFINITY, high = -INFINITY; // of the roof's two sides: z + y and z - y at most
    for (size_t i = 0; i < n && i < MOST; i++) {
        for (int k = 0; k < SIDES; k++) {
            const double angle = 2 * HW_PI * k / SIDES;
            corner[corners++] =
                (hw_vec2){at[i].y + radius * cos(angle), at[i].z + radius * sin(angle)};
        }
        low = fmax(low, at[i].z + at[i].y);
        high = fmax(high, at[i].z - at[i].y);
    }
    const double over = radius * sqrt(2);
    corner[corners++] = (hw_vec2){(low - high) / 2, (low + high) / 2 + over};
    const hw_polygon outline = {out, hw_palm_hull(corner, corners, out)};
    const hw_frame along = {{0, 0, 0}, {0, 1, 0}, {-1, 0, 0}, {0, 0, 1}};
    const double past = 0.25 * b->f->wall; // no skin is left at either end
    hw_put(t, hw_field_prism(b->a, &along, &outline, -x[1] - past, past - x[0]));
}

// In the window's width a bore that its sill is too near to is open to it; one beside the window
// with less than half a wall between them too.
static void open_to_window(hw_palm_build *b, hw_tools *t, const double x[2], const hw_vec3 end[2],
                           double radius) // [m]
{
    const double y[2] = {fmin(end[0].y, end[1].y), fmax(end[0].y, end[1].y)};
    const double low = fmin(end[0].z, end[1].z), high = fmax(end[0].z, end[1].z);
    const double past = 0.25 * b->f->wall;
    if (high + 1.5 * radius < b->sill) return;
    const double inside = fmin((y[0] + y[1]) / 2 - b->window[0], b->window[1] - (y[0] + y[1]) / 2);
    if (inside > 0) {
        const hw_box3 box = {{x[0] - past, y[0] - radius, low},
                             {x[1] + past, y[1] + radius, b->top + b->f->wall}};
        hw_put(t, hw_block3(b->a, box));
        return;
    }
    if (-inside > radius + 0.5 * b->f->wall) return;
    hw_vec3 at[4] = {end[0], end[1], end[0], end[1]};
    for (int e = 2; e < 4; e++) at[e].y = fmin(fmax(at[e].y, b->window[0]), b->window[1]);
    put_round(b, t, x, at, 4, radius);
}

void hw_put_bores_joined(hw_palm_build *b, hw_tools *t, const double x[2])
{
    const hw_palm_parts_def *f = b->f;
    hw_vec3 end[HW_PALM_ROUTES][2];
    bool comes[HW_PALM_ROUTES];
    for (size_t i = 0; i < f->routes; i++) {
        const hw_palm_route *one = &f->route[i];
        comes[i] = comes_through(one, x, end[i]);
        if (comes[i]) open_to_window(b, t, x, end[i], one->radius);
        for (size_t k = 0; k < i && comes[i]; k++) {
            const double between =
                fmax(0.5 * f->wall, 0.4 * f->screw) + one->radius + f->route[k].radius;
            if (!comes[k] || fmin(hw_vec3_norm(hw_vec3_sub(end[i][0], end[k][0])),
                                  hw_vec3_norm(hw_vec3_sub(end[i][1], end[k][1]))) > between)
                continue;
            const hw_vec3 at[4] = {end[i][0], end[i][1], end[k][0], end[k][1]};
            put_round(b, t, x, at, 4, fmax(one->radius, f->route[k].radius));
        }
    }
}

void hw_put_grooves(hw_palm_build *b, hw_tools *t)
{
    for (size_t i = 0; i < b->f->routes; i++) hw_put(t, hw_palm_cleared(b, &b->f->route[i], -1));
}

// ---- walls that hold servos

double hw_attic_floor(const hw_palm_build *b)
{
    return fmax(b->bottom + b->f->floor, b->f->split - 2.5 * b->f->screw);
}

const hw_field *hw_palm_cradles(hw_palm_build *b)
{
    hw_tools t = {.n = 0};
    for (size_t i = 0; i < b->f->palm_servos; i++) {
        hw_box3 c = hw_servo_box_of(&b->f->palm[i], HW_BOX_CASE, b->f->gap + b->f->wall);
        hw_box3 e = hw_servo_box_of(&b->f->palm[i], HW_BOX_EARS, b->f->gap + b->f->wall);
        hw_box3 box = {{fmin(c.low.x, e.low.x), fmin(c.low.y, e.low.y), b->bottom},
                       {fmax(c.high.x, e.high.x), fmax(c.high.y, e.high.y), b->f->split}};
        if (fmax(c.high.z, e.high.z) < hw_attic_floor(b) + 2 * b->f->wall) continue;
        hw_put(&t, hw_block3(b->a, box));
    }
    return t.n ? hw_joined(b->a, &t) : NULL;
}

// ---- what of them is printed as bridges

// Box of a leg where it is in the lid; false: it is not.
static bool in_lid(const hw_palm_build *b, const hw_palm_route *r, size_t leg, hw_box3 *box)
{
    hw_vec3 p = r->at[leg - 1], q = r->at[leg];
    box->low = hw_at(fmin(p.x, q.x), fmin(p.y, q.y), b->f->split);
    box->high = hw_at(fmax(p.x, q.x), fmax(p.y, q.y), fmax(p.z, q.z));
    *box = hw_box_grown(*box, 2 * r->radius);
    return box->high.z > b->f->split + r->radius && box->high.x > b->from - 3 * b->f->wall &&
           box->low.x < b->to;
}

size_t hw_groove_allowances(const hw_palm_build *b, hw_allowance out[HW_PALM_ROUTES])
{
    size_t n = 0;
    for (size_t i = 0; i < b->f->routes; i++) {
        const hw_palm_route *r = &b->f->route[i];
        hw_allowance all = {
            HW_ALLOW_BRIDGE, {INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
        hw_box3 box;
        for (size_t k = 1; k < r->n; k++) {
            if (!in_lid(b, r, k, &box)) continue;
            all.low = hw_at(fmin(all.low.x, box.low.x), fmin(all.low.y, box.low.y),
                            fmin(all.low.z, box.low.z));
            all.high = hw_at(fmax(all.high.x, box.high.x), fmax(all.high.y, box.high.y),
                             fmax(all.high.z, box.high.z));
        }
        if (all.low.x <= all.high.x) out[n++] = all;
    }
    return n;
}
