#include "pivot/hold.h"

#include "base/vec.h"
#include "pivot/cone.h"

#include <math.h>

const char *hw_pivot_kind_name(hw_pivot_kind kind)
{
    static const char *const name[HW_PIVOT_KINDS] = {
        [HW_PIVOT_CONE] = "cone", [HW_PIVOT_LAND] = "cone and land", [HW_PIVOT_LIP] = "keeper lip",
        [HW_PIVOT_TIE] = "tie",   [HW_PIVOT_BOX] = "closed box",     [HW_PIVOT_STRIP] = "strip"};
    return (unsigned)kind < HW_PIVOT_KINDS ? name[kind] : "unknown pivot";
}

static bool positive(double x)
{
    return x > 0.0 && isfinite(x);
}

static bool not_negative(double x)
{
    return x >= 0.0 && isfinite(x);
}

// ---- keepers
// ----------------------------------------------------------------------------------------------------

hw_code hw_keeper_of(const hw_keeper_def *d, double depth, hw_keeper *out)
{
    *out = (hw_keeper){.at = depth, .from = -INFINITY};
    if ((unsigned)d->kind >= HW_PIVOT_KINDS || !positive(depth)) return HW_BAD_INPUT;
    if (d->kind == HW_PIVOT_CONE || d->kind == HW_PIVOT_LAND) return HW_OK;
    bool ok = positive(d->thickness) && positive(d->width) && positive(d->length) &&
              positive(d->modulus) && positive(d->strength) && not_negative(d->reach) &&
              not_negative(d->gap);
    bool beyond = d->kind == HW_PIVOT_LIP || d->kind == HW_PIVOT_BOX;
    double at = beyond ? depth + d->reach : depth - d->reach;
    if (!ok || !(at > 0.0)) return HW_BAD_INPUT;
    out->at = at;
    double t = d->thickness;
    if (d->kind == HW_PIVOT_LIP) {
        double slender = d->length / t;
        out->give = 4.0 * slender * slender * slender / (d->modulus * d->width);
        out->breaks = d->strength * d->width * t / (6.0 * slender);
        out->gap = d->gap;
        out->from = d->from;
        return HW_OK;
    }
    double area = d->kind == HW_PIVOT_TIE ? HW_PI / 4.0 * t * t : t * d->width;
    if (d->kind == HW_PIVOT_STRIP) area *= 2.0;
    out->give = 0.5 * d->length / (d->modulus * area);
    out->breaks = d->strength * area;
    return HW_OK;
}

// ---- a pivot
// ----------------------------------------------------------------------------------------------------

static bool is_sound(const hw_pivot *p)
{
    const double above[] = {p->engagement, p->strength, p->strength_across,
                            0.5 * p->cheek[0].height - p->base, 0.5 * p->cheek[1].height - p->base};
    const double others[] = {p->gap,  p->face_gap,    p->mu,           p->load_depth,
                             p->land, p->keeper.give, p->keeper.breaks};
    for (size_t i = 0; i < sizeof above / sizeof above[0]; i++)
        if (!positive(above[i])) return false;
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
        if (!not_negative(others[i])) return false;
    bool keeper = !(p->keeper.breaks > 0.0) ||
                  (positive(p->keeper.at) && not_negative(p->keeper.gap) && !isnan(p->keeper.from));
    return keeper && p->half_angle > 0.0 && p->half_angle < HW_PI / 2.0 && not_negative(p->base);
}

hw_code hw_grip_of(const hw_pivot *p, hw_grip *out)
{
    *out = (hw_grip){.axial_float = 0};
    if (!is_sound(p)) return HW_BAD_INPUT;
    hw_grip g = {.p = *p};
    g.axial_float = hw_cone_float(p->gap, p->face_gap, p->half_angle);
    g.spread = hw_cone_spread(1.0, p->half_angle, p->mu, HW_CONE_HALF_CONE);
    bool kept = p->keeper.breaks > 0.0;
    for (int i = 0; i < 2; i++) {
        const hw_cheek *c = &p->cheek[i];
        g.give[i] = hw_cheek_give(c, c->depth, c->depth);
        g.lean[i] = hw_cheek_lean(c, c->depth);
        g.root_stress[i] = hw_cheek_stress(c, 1.0);
        if (!isfinite(g.give[i])) return HW_BAD_INPUT;
        if (!kept) continue;
        g.keep[i] = hw_cheek_give(c, p->keeper.at, c->depth);
        g.keep_lean[i] = hw_cheek_lean(c, p->keeper.at);
        g.keeper_give[i] = hw_cheek_give(c, p->keeper.at, p->keeper.at) + p->keeper.give;
    }
    *out = g;
    return HW_OK;
}

// ---- loads
// ----------------------------------------------------------------------------------------------------

// Of one cheek, for the load itself (factor 1): opening without the keeper, what the keeper sees,
// and by how much a newton of the keeper closes it.
typedef struct side_state {
    double open;        // [m]
    double seen;        // movement at the keeper [m]
    double gap;         // before it takes hold; infinite: no keeper [m]
    double back, stiff; // closing of the cone's place per newton; give of keeper and cheek [m/N]
    double moment;      // at the root [N*m]
} side_state;

// Opening under `factor` times the load.
static double opening(const side_state *s, double factor)
{
    double over = factor * s->seen - s->gap;
    double held = over > 0.0 ? over / s->stiff * s->back : 0.0;
    return factor * s->open - held;
}

static double keeper_force(const side_state *s, double factor)
{
    double over = factor * s->seen - s->gap;
    return over > 0.0 ? over / s->stiff : 0.0;
}

// Factor at which both cheeks together have opened by `room`: piecewise straight, with a bend where
// each keeper takes hold.
static double factor_for(const side_state s[2], double room)
{
    double bend[2], from = 0.0, opened = 0.0;
    for (int i = 0; i < 2; i++) bend[i] = s[i].seen > 0.0 ? s[i].gap / s[i].seen : (double)INFINITY;
    double stop[2] = {fmin(bend[0], bend[1]), fmax(bend[0], bend[1])};
    for (int i = 0; i < 2 && isfinite(stop[i]); i++) {
        double next = opening(&s[0], stop[i]) + opening(&s[1], stop[i]);
        if (next >= room) return from + (stop[i] - from) * (room - opened) / (next - opened);
        from = stop[i];
        opened = next;
    }
    double far = 2.0 * from + 1.0;
    double slope = (opening(&s[0], far) + opening(&s[1], far) - opened) / (far - from);
    return slope > 0.0 ? from + (room - opened) / slope : (double)INFINITY;
}

static void side_of(const hw_grip *g, int i, double force, const hw_grip_load *l, double arm,
                    side_state *out)
{
    double soft = l->sustained ? 2.0 : 1.0; // a print that creeps gives twice as much
    double couple = fmax(l->along[i], 0.0) * fmax(arm, 0.0);
    bool kept = g->p.keeper.breaks > 0.0 && l->angle >= g->p.keeper.from;
    *out = (side_state){.open = soft * (force * g->give[i] + couple * g->lean[i]),
                        .gap = INFINITY,
                        .moment = force * g->p.cheek[i].depth + couple};
    if (!kept) return;
    out->seen = soft * (force * g->keep[i] + couple * g->keep_lean[i]);
    out->gap = g->p.keeper.gap;
    out->back = soft * g->keep[i];
    out->stiff = soft * g->keeper_give[i];
}

// With keepers until the first breaks, and then without.
static double let_go(const hw_grip *g, const side_state s[2], double room)
{
    if (!(room > 0.0)) return 0.0;
    double open = s[0].open + s[1].open;
    double without = open > 0.0 ? room / open : (double)INFINITY;
    if (!(s[0].seen > 0.0) && !(s[1].seen > 0.0)) return without;
    double with = factor_for(s, room), breaks = INFINITY;
    for (int i = 0; i < 2; i++)
        if (s[i].seen > 0.0)
            breaks = fmin(breaks, (g->p.keeper.breaks * s[i].stiff + s[i].gap) / s[i].seen);
    return fmax(without, fmin(with, breaks));
}

// Share of the strength used at a cheek's root and beside its socket.
static double stress_of(const hw_grip *g, int i, const side_state *s, const hw_grip_load *l)
{
    const hw_cheek *c = &g->p.cheek[i];
    double moment = s->moment - keeper_force(s, 1.0) * g->p.keeper.at;
    double across = sqrt(fmax(l->radial[i] * l->radial[i] - l->along[i] * l->along[i], 0.0));
    double root = fabs(moment) * g->root_stress[i] +
                  fabs(l->along[i]) / (c->height * c->thickness) +
                  6.0 * across * c->depth / (c->thickness * c->height * c->height);
    double beside = l->radial[i] / ((c->height - 2.0 * g->p.base) * c->thickness);
    return fmax(root / g->p.strength, beside / g->p.strength_across);
}

void hw_grip_hold_of(const hw_grip *g, const hw_grip_load *l, hw_grip_hold *out)
{
    const hw_pivot *p = &g->p;
    int side = l->radial[1] > l->radial[0] ? 1 : 0;
    double axial = fabs(l->axial), spread = g->spread * l->radial[side] + axial;
    *out = (hw_grip_hold){.factor = NAN, .spread = NAN, .side = side, .stress = NAN};
    if (isnan(spread) || isnan(l->radial[1 - side])) return;
    side_state cone[2], land[2];
    for (int i = 0; i < 2; i++) {
        double half = 0.5 * p->cheek[i].thickness;
        side_of(g, i, spread, l, half - p->load_depth, &cone[i]);
        side_of(g, i, axial, l, half - 0.5 * p->land, &land[i]);
    }
    bool landed = p->land > g->axial_float;
    double factor = let_go(g, cone, p->engagement - g->axial_float);
    if (landed) factor = fmax(factor, let_go(g, land, p->land - g->axial_float));
    const side_state *at = landed ? land : cone;
    out->factor = factor;
    out->spread = landed ? axial : spread;
    out->stress = fmax(stress_of(g, 0, &at[0], l), stress_of(g, 1, &at[1], l));
}
