#include "parts/carrier_internal.h"

#include <math.h>

void hw_carrier_block(const hw_layers *l, double x[2])
{
    x[1] = -l->fork[0].setback;
    x[0] = x[1] - l->block;
}

// From a bore's axis to its ridge. [m]
static double ridge(double diameter, double gap) // [m]
{
    return sqrt(2) * (diameter / 2 + gap / 2);
}

double hw_carrier_mouth(const hw_carrier_def *def, const hw_digit *d, double rise)
{
    double wall = 1.5 * def->line, deep = def->sheath_depth + wall;
    return d->thickness[0] / 2 - ridge(def->sheath, def->gap) - wall - rise * deep;
}

static bool not_negative(const double value[], size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!(value[i] >= 0) || !isfinite(value[i])) return false;
    return true;
}

static bool sound(const hw_carrier_def *f)
{
    const double all[] = {
        f->sheath,      f->sheath_depth, f->cord,           f->screw,           f->screw_depth,
        f->home.length, f->home.height,  f->home.thickness, f->home.lever,      f->home.pressed,
        f->home.pitch,  f->home.hole,    f->home.terminals, f->home.hole_depth, f->horn.hub,
        f->horn.arm,    f->horn.width,   f->horn.thickness, f->horn.screw[0],   f->horn.screw[1],
        f->horn.pilot,  f->horn.head};
    return f->gap > 0 && f->line > 0 && f->layer > 0 && f->deviation > 0 &&
           not_negative(all, sizeof all / sizeof all[0]);
}

// ---- stop --------------------------------------------------------------------------------------

// A hair more than the travel, so that parts just do not touch at its end.
static double stop_angle(const hw_carrier_def *f, const hw_digit *d, const hw_layers *l)
{
    return l->fork[0].travel[1] + 0.4 * f->gap / d->thickness[0];
}

// The proximal's palmar face at a place along it, from the knuckle.
static double palmar_at(const hw_digit *d, double x)
{
    hw_disc end[2];
    hw_phalanx_discs(d, 0, end);
    return -(end[0].radius + x / d->phalanx[0] * (end[1].radius - end[0].radius));
}

static void set_stop(const hw_carrier_def *f, const hw_digit *d, const hw_layers *l,
                     hw_carrier_place *p)
{
    p->stop_angle = stop_angle(f, d, l);
    double s = sin(p->stop_angle), c = cos(p->stop_angle), half = p->half;
    if (!f->stop || p->stop_angle < HW_PI / 6 || p->stop_angle > 0.6 * HW_PI) return;
    // from where it is clear of the cheek's round end to where it meets the palm's plane
    double clear = half + 2 * f->gap, z = palmar_at(d, 0);
    p->stop_at[0] = sqrt(fmax(0, clear * clear - z * z));
    z = palmar_at(d, p->stop_at[0]);
    p->stop_at[0] = sqrt(fmax(0, clear * clear - z * z));
    p->stop_at[1] = p->stop_at[0];
    for (int i = 0; i < 4; i++) p->stop_at[1] = (half + palmar_at(d, p->stop_at[1]) * c) / s;
    p->stop = p->stop_at[1] - p->stop_at[0] > 4 * f->line;
}

// ---- the whole ---------------------------------------------------------------------------------

// Room along the block: the switch behind the front, sheaths and what is behind them at the back.
static void set_home(const hw_carrier_def *f, const hw_pulley *pulley, hw_carrier_place *p)
{
    const hw_switch_body *h = &f->home;
    p->home_face = -(pulley->rim + h->pressed);
    double tall = h->length / 2 + f->gap;
    // below the upper cord, which rises toward the front, and not as far back as the sheaths' seats
    double rise = pulley->toward[1].z / pulley->toward[1].x;
    double behind = p->home_face - h->height - 2 * f->gap;
    double cord = p->mouth + rise * (behind - p->back) - ridge(f->cord, f->gap) - f->line;
    double deep = behind - h->terminals,
           inner = pulley->y - pulley->outward * (h->thickness / 2 + f->gap);
    double wall = pulley->outward > 0 ? inner - p->low : p->high - inner;
    if (!(h->length > 0 && h->height > 0)) return;
    double room = fmin(cord, p->half - 4 * f->line) - tall;
    room = fmin(room, deep - p->back - f->sheath_depth - 2 * f->line);
    room = fmin(room, wall - 4 * f->line);
    p->home_room = fmin(room, tall - f->gap - 1.2 * h->terminals);
    p->home = p->home_room > 0;
}

static void set_back(const hw_carrier_def *f, hw_carrier_place *p, double beside, bool kept) // [m]
{
    const hw_horn *h = &f->horn;
    // beside the sheaths, on the side that has more room
    double under = beside - p->low, over = p->high - beside, keep = ridge(f->sheath, f->gap);
    double width = kept ? fmax(under, over) - keep : p->high - p->low;
    p->horn_y = under >= over ? p->low + width / 2 : p->high - width / 2;
    if (!kept) p->horn_y = (p->low + p->high) / 2;
    p->horn_x = p->back + h->hub / 2 + 4 * f->line;
    double across = fmax(fmax(h->hub, h->width), h->head) + 2 * f->gap;
    if (h->hub > 0 && h->thickness > 0 && h->arm > h->hub / 2) {
        double along = p->front - 2 * f->line - p->horn_x - h->arm - f->gap;
        p->horn_room = fmin(width - across - 2 * f->line, along);
        p->horn = p->horn_room >= 0;
    }
    for (int e = 0; e < 2; e++) {
        double sign = e ? 1 : -1, edge = 1.1 * f->screw; // of the block
        p->screw[e] = (hw_vec2){p->horn_y, sign * (p->half - edge)};
        if (f->corners) p->screw[e] = (hw_vec2){e ? p->high - edge : p->low + edge, edge - p->half};
    }
    double deepest = p->front - p->back - 4 * f->line, least = fmin(f->screw_depth, 2 * f->screw);
    p->screw_depth = fmin(f->screw_depth, deepest);
    p->screws = !p->horn && f->screw > 0 && f->screw + 4 * f->line <= width && f->screw_depth > 0 &&
                deepest >= least;
}

hw_code hw_carrier_of(const hw_carrier_def *def, const hw_digit *d, const hw_layers *l,
                      const hw_pulley *pulley, hw_carrier_place *out)
{
    *out = (hw_carrier_place){0};
    if (!sound(def) || l->n == 0 || hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    double x[2];
    hw_carrier_block(l, x);
    hw_carrier_place p = {.back = x[0],
                          .front = x[1],
                          .half = d->thickness[0] / 2,
                          .home_room = NAN,
                          .horn_room = NAN};
    p.low = l->layer[0].y - l->layer[0].thickness / 2;
    p.high = l->layer[l->n - 1].y + l->layer[l->n - 1].thickness / 2;
    double rise = pulley ? pulley->toward[1].z / pulley->toward[1].x : 0;
    p.mouth = hw_carrier_mouth(def, d, rise);
    p.sheath = def->sheath;
    p.sheath_y = pulley ? pulley->y : (p.low + p.high) / 2;
    double wide = ridge(def->sheath, def->gap) + 2 * def->line;
    p.sheaths = pulley && def->sheath > def->cord && def->cord > 0 && p.mouth > wide &&
                def->sheath_depth > 0 && def->sheath_depth + 4 * def->line < x[1] - x[0] &&
                p.sheath_y - wide > p.low && p.sheath_y + wide < p.high;
    if (p.sheaths) { // the cord leaves the front inside the skin
        double front = p.mouth + rise * (p.front - p.back);
        p.sheaths = p.half - front - ridge(def->cord, def->gap) > 0.3 * def->line;
    }
    set_stop(def, d, l, &p);
    if (pulley) set_home(def, pulley, &p);
    // a cord over the joints has its channel in the middle
    set_back(def, &p, p.sheath_y, p.sheaths || d->family == HW_FAMILY_CORD);
    *out = p;
    return HW_OK;
}
