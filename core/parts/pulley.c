#include "parts/pulley_internal.h"

#include <math.h>

static const double V = 0.70710678118654752; // of a groove of 45 degrees [1]

hw_vec2 hw_tangent_toward(double radius, hw_vec2 point, double sense, double *angle)
{
    double far = hw_norm(point), lean = acos(radius / far); // NaN inside
    *angle = atan2(point.z, point.x) - sense * lean;
    hw_vec2 touch = {radius * cos(*angle), radius * sin(*angle)};
    hw_vec2 way = hw_sub(point, touch);
    return hw_scale(way, 1 / hw_norm(way));
}

static bool sound(const hw_pulley_def *f)
{
    return f->radius > 0 && f->cord > 0 && f->from < 0 && isfinite(f->from) && f->beside >= 0 &&
           hypot(f->from, f->beside) > f->radius && f->gap > 0 && f->line > 0 && f->deviation > 0 &&
           f->spool >= 0 && f->pin > 0 &&
           (f->spool == 0 ||
            (f->spool > f->cord && f->holes >= 3 && f->holes <= 24 && f->holes == floor(f->holes)));
}

// ---- groove ------------------------------------------------------------------------------------

static bool set_groove(const hw_pulley_def *f, const hw_digit *d, const hw_layers *l, hw_pulley *p)
{
    const hw_layer *layer = &l->layer[p->layer];
    // clear of the carrier's front, inside the skin
    double most = fmin(d->thickness[0] / 2, l->fork[0].setback - f->gap);
    p->room = most - (f->radius + f->cord / 2);
    if (fabs(p->room) < 1e-9 * f->radius) p->room = 0; // it just fits
    p->rim = fmin(most, f->radius + 0.75 * f->cord);
    // the cord's middle lies on both flanks a radius off
    double apex = f->radius - f->cord / 2 / V;
    p->half[0] = f->cord / 8;
    p->half[1] = fmin(layer->thickness / 2 - 1.1 * f->line, p->rim - apex); // walls beside it
    for (int i = 0; i < 2; i++) p->flank[i] = apex + p->half[i];
    p->channel = f->radius + 1.25 * f->cord;
    p->y = layer->y;
    p->outward = 1;
    for (int i = p->layer; i < (int)l->n; i++)
        if (l->layer[i].use == HW_LAYER_BAR_A) p->outward = -1;
    // both flanks hold the cord, and the disc reaches what carries it
    double held = p->half[1] - f->cord / 2 * V;
    double reach = p->rim - fmin(l->fork[0].depth[0], l->fork[0].depth[1]) - 2 * f->line;
    double lack = fmin(held, reach);
    if (lack < 0) p->room = fmin(p->room, lack);
    return apex > 0 && lack >= 0 && p->half[1] > p->half[0] && p->rim >= p->flank[1];
}

// Where both cords touch over the stroke, and a little more.
static void set_arc(const hw_pulley_def *f, const hw_layers *l, hw_pulley *p)
{
    const double *travel = l->fork[0].travel, spare = 7 * HW_PI / 180;
    double touch[2];
    for (int i = 0; i < 2; i++) {
        double sense = i == 0 ? -1 : 1;
        p->toward[i] =
            hw_tangent_toward(f->radius, (hw_vec2){f->from, sense * f->beside}, sense, &touch[i]);
    }
    // in the phalanx's frame a cord touches by the flexion farther toward the back; atan2 gives the
    // palmar one's place as negative
    p->arc[0] = touch[0] + fmin(0, travel[0]) - spare;
    p->arc[1] = touch[1] + fmax(0, travel[1]) + spare;
}

// ---- knots -------------------------------------------------------------------------------------

static hw_vec2 on_ring(const hw_pulley *p, double angle) // [rad]
{
    double r = p->flank[1] * 1.005 + p->knot_radius;
    return (hw_vec2){r * cos(angle), r * sin(angle)};
}

// Inside the phalanx, where its cord still lies on the groove in the closed (open) digit.
static void set_knots(const hw_pulley_def *f, const hw_layers *l, hw_pulley *p)
{
    p->knot_radius = 1.4 * f->cord;
    double from = fmax(l->fork[0].depth[0], l->fork[0].depth[1]);
    double ring = p->flank[1] * 1.005 + p->knot_radius;
    double widest = acos(fmin(1, (from + p->knot_radius + 2 * f->line) / ring));
    double least = p->arc[0] + fmax(0, l->fork[0].travel[1]) + 10 * HW_PI / 180;
    p->knot[0] = on_ring(p, fmax(-widest, fmin(least, widest)));
    p->knot[1] = on_ring(p, widest);
}

// ---- spool -------------------------------------------------------------------------------------

typedef struct site {
    const hw_pulley_def *f;
    const hw_pulley *p;
    double x[2];    // where the phalanx is whole, on the spool's side [m]
    double half[2]; // half its thickness there [m]
    double touch;   // most that the cord may turn before it leaves the pulley [rad]
} site;

// Where the cord leaves the pulley and reaches the spool: the tangent of both on the back's side.
static double common_tangent(const site *s, hw_vec2 at, hw_spool_place *spool) // [rad]
{
    double far = hw_norm(at), less = s->f->radius - s->f->spool;
    double angle = atan2(at.z, at.x) + acos(less / far);
    hw_vec2 n = {cos(angle), sin(angle)};
    spool->leaves = hw_scale(n, s->f->radius);
    spool->arrives = hw_add(at, hw_scale(n, s->f->spool));
    return angle;
}

static double from_line(hw_vec2 point, hw_vec2 a, hw_vec2 b)
{
    hw_vec2 way = hw_sub(b, a), to = hw_sub(point, a);
    return fabs(way.x * to.z - way.z * to.x) / hw_norm(way);
}

// The least wall round a spool's recess and between what the cords need. [m]
static double wall_at(const site *s, hw_vec2 at, hw_spool_place *spool)
{
    const hw_pulley *p = s->p;
    double angle = common_tangent(s, at, spool);
    if (!(angle <= s->touch)) return -(double)INFINITY;
    double share = (at.x - s->x[0]) / (s->x[1] - s->x[0]);
    double half = s->half[0] + share * (s->half[1] - s->half[0]);
    double wall = fmin(at.x - spool->recess - s->x[0], s->x[1] - at.x - spool->recess);
    wall = fmin(wall, half - fabs(at.z) - spool->recess);
    wall = fmin(wall, hw_norm(hw_sub(at, p->knot[0])) - spool->recess - p->knot_radius);
    wall = fmin(wall, hw_norm(at) - spool->pocket - p->channel);
    double cord = from_line(p->knot[0], spool->leaves, spool->arrives);
    return fmin(wall, cord - p->knot_radius - 0.7 * s->f->cord);
}

static void set_spool_sizes(const hw_pulley_def *f, const hw_layers *l, const hw_pulley *p,
                            hw_spool_place *s)
{
    const hw_layer *layer = &l->layer[p->layer];
    s->pocket = f->spool + 0.9 * f->cord;
    s->drum = f->spool - f->cord / 2;
    s->hole = 0.53 * f->pin;
    // holes' ridges lean toward the pocket: with thin lines their size decides
    s->circle = s->pocket + fmax(2 * f->line, 0.4 * f->pin) + s->hole;
    s->flange = s->circle + s->hole + 2 * f->line;
    s->recess = s->flange + f->gap;
    s->length = layer->thickness - 1.5 * f->line - f->gap;
    const hw_layer *skin = &l->layer[p->outward > 0 ? l->n - 1 : 0];
    double outer = p->outward * skin->y + skin->thickness / 2;
    double depth = outer - (p->outward * layer->y + layer->thickness / 2);
    s->thickness = fmin(depth - f->gap, 3 * f->cord);
    s->positions = f->holes * (f->holes + 1);
}

static void place_spool(const hw_pulley_def *f, const hw_digit *d, const hw_layers *l, hw_pulley *p)
{
    hw_spool_place *s = &p->spool, best;
    enum { ALONG = 24, ACROSS = 13 }; // so few that an assessment does not feel it
    *s = (hw_spool_place){.wall = -(double)INFINITY};
    if (f->spool <= 0) return;
    set_spool_sizes(f, l, p, s);
    int side = p->outward > 0 ? 1 : 0;
    site where = {f, p, {l->fork[0].depth[side], d->phalanx[0] - l->fork[1].setback}, {0}, 0};
    where.touch = p->arc[0] * -1 - fmin(0, l->fork[0].travel[0]);
    hw_disc end[2];
    hw_phalanx_discs(d, 0, end);
    for (int e = 0; e < 2; e++)
        where.half[e] =
            end[0].radius + where.x[e] / d->phalanx[0] * (end[1].radius - end[0].radius);
    best = *s;
    for (int i = 0; i < ALONG; i++)
        for (int k = 0; k < ACROSS; k++) {
            hw_vec2 at = {where.x[0] + (where.x[1] - where.x[0]) * (i + 0.5) / ALONG,
                          where.half[0] * (2.0 * k / (ACROSS - 1) - 1)};
            hw_spool_place here = *s;
            here.at = at;
            double wall = wall_at(&where, at, &here);
            // as near as thick enough walls allow
            if (fmin(wall, 4 * f->line) <= best.wall) continue;
            here.wall = fmin(wall, 4 * f->line);
            best = here;
        }
    *s = best;
    s->fits = s->wall >= 2 * f->line && s->length > 0.8 * f->cord && s->thickness > f->cord;
}

hw_code hw_pulley_of(const hw_pulley_def *def, const hw_digit *d, const hw_layers *l,
                     hw_pulley *out)
{
    *out = (hw_pulley){.layer = -1, .room = NAN};
    if (!sound(def) || hw_digit_check(d) != HW_DIGIT_SOUND || l->n == 0) return HW_BAD_INPUT;
    hw_pulley p = {.layer = hw_layers_pulley(l)};
    if (p.layer < 0) return HW_NOT_FOUND;
    bool whole = set_groove(def, d, l, &p);
    out->room = p.room;
    if (!whole) return HW_BAD_INPUT;
    set_arc(def, l, &p);
    set_knots(def, l, &p);
    place_spool(def, d, l, &p);
    if (p.spool.fits) p.knot[1] = (hw_vec2){NAN, NAN};
    *out = p;
    return HW_OK;
}
