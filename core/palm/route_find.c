// A way between two ends: corners on the ends' own lines and up to two free ones between them,
// moved until nothing lacks.
#include "base/rng.h"
#include "palm/route.h"

enum {
    GRID = 8,   // distances tried along each end's line
    FREE = 2,   // corners between
    SIDES = 8,  // starts round the straight line
    STEPS = 160 // of one descent
};

// What a missing metre of gap or of radius costs in metres of length, and a turn of a radian in
// radii: a way first lacks nothing, then is gentle, then short.
static const double gap_price = 30, radius_price = 6, turn_price = 0.2; // [1]

typedef struct reach {
    hw_vec3 low, high; // [m]
} reach;

typedef struct seeker {
    const hw_route_def *d;
    const hw_body *body[HW_ROUTE_OBSTACLES];
    reach box[HW_ROUTE_OBSTACLES];
    size_t bodies;
    double far;  // from end to end [m]
    size_t free; // corners between the ends' lines
} seeker;

typedef struct candidate {
    double v[2];      // along from's line, back along to's line [m]
    hw_vec3 at[FREE]; // the free corners [m]
    hw_route way;
    double cost, room; // [m]
} candidate;

static bool finite3(hw_vec3 v)
{
    return isfinite(v.x) && isfinite(v.y) && isfinite(v.z);
}

static double larger(double a, double b) // any unit
{
    return a > b ? a : b; // this is the innermost loop, and fmax is a call
}

static reach reach_of(const hw_body *b)
{
    hw_vec3 at[2];
    hw_body_span(b, at);
    return (reach){at[0], at[1]};
}

static void widen(reach *all, const reach *r)
{
    *all = (reach){{-larger(-all->low.x, -r->low.x), -larger(-all->low.y, -r->low.y),
                    -larger(-all->low.z, -r->low.z)},
                   {larger(all->high.x, r->high.x), larger(all->high.y, r->high.y),
                    larger(all->high.z, r->high.z)}};
}

// At least how far two boxes along the axes are apart.
static double boxes_apart(const reach *a, const reach *b) // [m]
{
    double x = larger(a->low.x - b->high.x, b->low.x - a->high.x);
    double y = larger(a->low.y - b->high.y, b->low.y - a->high.y);
    double z = larger(a->low.z - b->high.z, b->low.z - a->high.z);
    return larger(larger(x, y), z);
}

// Least gap of a way to the bodies less the gap asked, told apart up to twice the outer diameter
// and down to `lost`.
static double clearance(const seeker *s, const hw_route *r, double lost) // [m] [m]
{
    const hw_route_def *d = s->d;
    hw_body part[HW_ROUTE_BODIES];
    reach box[HW_ROUTE_BODIES];
    size_t near[HW_ROUTE_OBSTACLES], nears = 0;
    size_t n = hw_route_bodies(r, d->outer / 2, part);
    double least = 2 * d->outer;
    reach all = reach_of(&part[0]);
    for (size_t i = 0; i < n; i++) {
        box[i] = reach_of(&part[i]);
        widen(&all, &box[i]);
    }
    for (size_t k = 0; k < s->bodies; k++)
        if (boxes_apart(&all, &s->box[k]) < least + d->gap) near[nears++] = k;
    for (size_t k = 0; k < nears; k++)
        for (size_t i = 0; i < n; i++) {
            if (boxes_apart(&box[i], &s->box[near[k]]) >= least + d->gap) continue;
            double gap = hw_body_clear(&part[i], s->body[near[k]], least + d->gap) - d->gap;
            if (gap < least) least = gap;
            if (least < lost) return least;
        }
    return least;
}

// Measures a candidate; its clearance only where it may still be better than `worst`.
static bool measure(const seeker *s, double worst, candidate *c)
{
    const hw_route_def *d = s->d;
    hw_vec3 p[4 + FREE] = {d->from.at, hw_vec3_along(d->from.at, c->v[0], d->from.along)};
    size_t n = 2;
    for (size_t k = 0; k < s->free; k++) p[n++] = c->at[k];
    p[n++] = hw_vec3_along(d->to.at, -c->v[1], d->to.along);
    p[n++] = d->to.at;
    c->cost = INFINITY;
    if (!(c->v[0] > 0) || !(c->v[1] > 0)) return false;
    if (hw_route_through(p, n, d->radius, &c->way) != HW_OK) return false;
    const double lack = isfinite(c->way.radius) ? fmax(d->radius - c->way.radius, 0) : 0;
    c->cost = c->way.length + turn_price * d->radius * c->way.bend + radius_price * lack;
    if (!(c->cost < worst)) return false;
    c->room = clearance(s, &c->way, (c->cost - worst) / gap_price);
    c->cost += gap_price * fmax(-c->room, 0);
    return c->cost < worst;
}

static double stray(hw_rng *rng, double step) // [m] [m]
{
    return step * hw_rng_uniform(rng, -1, 1);
}

// Steps in random directions, longer after each that helped, shorter after each that did not.
static void descend(const seeker *s, hw_rng *rng, candidate *best)
{
    double step = s->far / 8;
    for (int i = 0; i < STEPS && step > 1e-4 * s->far; i++) {
        candidate c = *best;
        for (size_t k = 0; k < 2; k++) c.v[k] += stray(rng, step);
        for (size_t k = 0; k < s->free; k++) {
            c.at[k].x += stray(rng, step);
            c.at[k].y += stray(rng, step);
            c.at[k].z += stray(rng, step);
        }
        bool helped = measure(s, best->cost, &c);
        if (helped) *best = c;
        step *= helped ? 1.6 : 0.87;
    }
}

static candidate from_grid(const seeker *s)
{
    candidate best = {.cost = INFINITY};
    for (int i = 1; i <= GRID; i++)
        for (int k = 1; k <= GRID; k++) {
            candidate c = {.v = {i * s->far / (GRID + 1), k * s->far / (GRID + 1)}};
            if (measure(s, best.cost, &c)) best = c;
        }
    return best;
}

// More corners seldom make a way rounder: they are for going round what is in the way.
static bool is_worth_more(const seeker *s, const candidate *c)
{
    return c->room < 0 || c->way.radius < 0.8 * s->d->radius;
}

// One more free corner: in the middle of the longest leg of what was found, and round the straight
// line.
static void with_free_corner(seeker *s, hw_rng *rng, candidate *best)
{
    const hw_route_def *d = s->d;
    const candidate found = *best;
    hw_vec3 way = hw_vec3_unit(hw_vec3_sub(d->to.at, d->from.at)), u = hw_vec3_square(way),
            w = hw_vec3_cross(way, u);
    size_t leg = 1;
    double longest = 0;
    for (size_t k = 1; k + 2 < found.way.points; k++) {
        double far = hw_vec3_norm(hw_vec3_sub(found.way.point[k + 1], found.way.point[k]));
        if (far > longest) {
            longest = far;
            leg = k;
        }
    }
    s->free++;
    for (int k = 0; k <= SIDES && is_worth_more(s, best); k++) {
        candidate c = found;
        hw_vec3 middle =
            hw_vec3_times(hw_vec3_add(found.way.point[leg], found.way.point[leg + 1]), 0.5);
        if (k) {
            double turn = 2 * HW_PI * k / SIDES, aside = s->far / 5;
            middle = hw_vec3_along(middle, aside * cos(turn), u);
            middle = hw_vec3_along(middle, aside * sin(turn), w);
        }
        for (size_t m = s->free - 1; m > leg - 1; m--) c.at[m] = c.at[m - 1];
        c.at[leg - 1] = middle;
        (void)measure(s, INFINITY, &c);
        descend(s, rng, &c);
        if (c.cost < best->cost) *best = c;
    }
}

hw_code hw_route_between(const hw_route_def *def, hw_route *out, double *room)
{
    *out = (hw_route){.radius = NAN, .length = NAN, .bend = NAN};
    *room = NAN;
    bool ok = def->radius > 0 && def->outer >= 0 && def->gap >= 0 && finite3(def->from.at) &&
              finite3(def->to.at) && finite3(def->from.along) && finite3(def->to.along) &&
              def->bodies <= HW_ROUTE_OBSTACLES;
    seeker s = {.d = def, .far = hw_vec3_norm(hw_vec3_sub(def->to.at, def->from.at))};
    if (!ok || !(s.far > 0)) return HW_BAD_INPUT;
    hw_vec3 middle = hw_vec3_times(hw_vec3_add(def->from.at, def->to.at), 0.5);
    for (size_t i = 0; i < def->bodies; i++) {
        if (def->owner && def->owner[i] == def->own) continue;
        // a body of numbers that are none is in nobody's way
        reach r = reach_of(&def->body[i]), at = {middle, middle};
        if (!(boxes_apart(&r, &at) < 1.5 * s.far)) continue;
        s.body[s.bodies] = &def->body[i];
        s.box[s.bodies++] = r;
    }
    hw_rng rng = hw_rng_new(1, 0);
    candidate best = from_grid(&s);
    if (isinf(best.cost)) return HW_BAD_INPUT;
    descend(&s, &rng, &best);
    while (is_worth_more(&s, &best) && s.free < FREE && s.free + 4 == best.way.points)
        with_free_corner(&s, &rng, &best);
    *out = best.way;
    *room = best.room;
    return HW_OK;
}
