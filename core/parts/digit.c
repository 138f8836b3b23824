// The parts of a digit from its layers and their profiles.
#include "parts/fittings_internal.h"

#include <math.h>
#include <string.h>

enum { ROOM_FOR_PLATES = HW_STACK_SLABS + 192 };

hw_parts_def hw_parts_def_default(void)
{
    double mm = 1e-3;
    return (hw_parts_def){.digit = 1,
                          .face = HW_BED_DORSAL,
                          .gap = 0.25 * mm,
                          .chamfer = 0.4 * mm,
                          .deviation = 0.005 * mm,
                          .kind = {HW_PIVOT_LAND, HW_PIVOT_LAND, HW_PIVOT_LAND},
                          .land = 0.6 * mm,
                          .keeper_reach = 3.25 * mm,
                          .keeper_thickness = 1.68 * mm,
                          .keeper_width = 8 * mm,
                          .cord = 1 * mm};
}

static bool sound(const hw_parts_def *f, const hw_layers *l)
{
    return f->digit >= 0 && f->digit < 5 && (unsigned)f->face < HW_BED_FACES &&
           isfinite(f->flexion) && f->gap > 0 && f->gap < 1e3 * l->gap && f->chamfer >= 0 &&
           f->chamfer < 1e3 * l->gap && f->deviation > 0 && f->land >= 0 && f->cord >= 0 &&
           f->keeper_reach >= 0 && f->keeper_thickness > 0 && f->keeper_width > 0 &&
           f->land < l->cone.engagement && (unsigned)f->kind[0] < HW_PIVOT_KINDS &&
           (unsigned)f->kind[1] < HW_PIVOT_KINDS && (unsigned)f->kind[2] < HW_PIVOT_KINDS;
}

// ---- names ------------------------------------------------------------------------------------

static void say(char out[64], const char *text)
{
    size_t n = strlen(out), more = strlen(text);
    if (more > 63 - n) more = 63 - n;
    memcpy(out + n, text, more);
    out[n + more] = '\0';
}

static void name_part(const hw_draft *f, hw_part *part, size_t twins)
{
    static const char *const digit[] = {"thumb ", "index ", "middle ", "ring ", "little "};
    char body[48];
    hw_slab one = {.part = part->body, .kind = HW_SLAB_BODY};
    say(part->name, digit[f->def->digit]);
    say(part->name, hw_slab_name(&one, f->d->thumb, body));
    if (part->role != HW_PART_BAR || twins < 2) return;
    say(part->name, (const char[3]){' ', (char)('1' + part->twin), '\0'});
}

// ---- layers -----------------------------------------------------------------------------------

// A plate of the stack in the bed's plan; mirrored: across the digit's axis.
static void take(hw_draft *f, const hw_slab *p, bool mirrored)
{
    hw_disc disc[HW_SLAB_DISCS];
    for (size_t j = 0; j < p->discs; j++) {
        hw_vec2 at = {p->disc[j].at.x, mirrored ? -p->disc[j].at.z : p->disc[j].at.z};
        disc[j] = (hw_disc){hw_bed_point(&f->bed, p->part, at), p->disc[j].radius};
    }
    f->slab[f->slabs++] = hw_slab_of(p->layer, p->part, p->kind, p->discs, disc);
}

// The stack's plates. Feet of bars and the slots that they ask for are made anew on the bed's side:
// a strip with slots is the one on the back again.
static void take_plates(hw_draft *f, const hw_stack *k)
{
    for (size_t i = 0; i < k->n; i++) {
        const hw_slab *p = &k->plate[i];
        bool strip = p->kind == HW_SLAB_WEB, back = p->round.at.z > 0;
        if (p->kind == HW_SLAB_FOOT || (strip && !back)) continue;
        take(f, p, false);
        if (strip) take(f, p, true);
    }
}

static void stretch(double x[2], double at, double radius) // [m]
{
    x[0] = fmin(x[0], at - radius);
    x[1] = fmax(x[1], at + radius);
}

// How far a plate reaches along x at a height: its discs there, and the straights between them.
static void reach_of(const hw_slab *s, double z, double x[2]) // [m]
{
    for (size_t i = 0; i < s->discs; i++) {
        const hw_disc *a = &s->disc[i];
        double off = z - a->at.z;
        if (fabs(off) <= a->radius) stretch(x, a->at.x, sqrt(a->radius * a->radius - off * off));
        for (size_t j = 0; j < i; j++) {
            const hw_disc *b = &s->disc[j];
            double share = off / (b->at.z - a->at.z);
            if (!(share >= 0 && share <= 1)) continue;
            stretch(x, a->at.x + share * (b->at.x - a->at.x),
                    a->radius + share * (b->radius - a->radius));
        }
    }
}

// Between the ends of its part's walls in both layers beside a strip, a line inside them.
static void between_walls(const hw_draft *f, const hw_slab *strip, double z, double x[2]) // [m]
{
    x[0] = -INFINITY;
    x[1] = INFINITY;
    for (int side = -1; side <= 1; side += 2) {
        double beside[2] = {INFINITY, -INFINITY};
        for (size_t i = 0; i < f->slabs; i++) {
            const hw_slab *s = &f->slab[i];
            bool wall =
                s->kind == HW_SLAB_BODY || s->kind == HW_SLAB_WEB || s->kind == HW_SLAB_CHEEK;
            if (wall && s->part == strip->part && s->layer == strip->layer + side)
                reach_of(s, z, beside);
        }
        x[0] = fmax(x[0], beside[0] + f->l->line);
        x[1] = fmin(x[1], beside[1] - f->l->line);
    }
    // as long as its phalanx is thick: so much hangs, and holds
    if (strip->part > 0) x[1] = fmin(x[1], x[0] + f->d->thickness[strip->part - 1]);
}

// A strip past a bar is a bridge between the layers on both its sides: what lies beyond either
// would hang from the other alone, and is left out. Walls lean, and so do the strip's ends: by its
// upper and its lower edge.
static void trim_strips(hw_draft *f)
{
    size_t kept = 0;
    for (size_t i = 0; i < f->slabs; i++) {
        hw_slab s = f->slab[i];
        if (s.kind == HW_SLAB_WEB && s.round.at.z > f->bed.knuckle.z) {
            double least = INFINITY;
            hw_disc disc[4];
            for (int e = 0; e < 2; e++) { // its two edges, corners end by end
                hw_vec2 along = hw_sub(s.disc[2 + e].at, s.disc[e].at);
                for (int k = 0; k < 2; k++) {
                    hw_disc c = s.disc[2 * k + e];
                    double x[2];
                    between_walls(f, &s, c.at.z, x);
                    double at = fmin(x[1] - c.radius, fmax(x[0] + c.radius, c.at.x));
                    c.at = hw_add(c.at, hw_scale(along, (at - c.at.x) / along.x));
                    disc[2 * k + e] = c;
                }
                double length = disc[2 + e].at.x - disc[e].at.x;
                least = fmin(least, fmin(length, length + 2 * disc[e].radius - 2 * f->l->line));
            }
            if (least < f->l->line) continue;
            s = hw_slab_of(s.layer, s.part, s.kind, 4, disc);
        }
        f->slab[kept++] = s;
    }
    f->slabs = kept;
}

static double face_of(const hw_layers *l, int layer, int side) // its y on that side [m]
{
    const hw_layer *y = &l->layer[layer];
    return y->y + (side == 0 ? -y->thickness : y->thickness) / 2;
}

// One layer of a part between its neighbours' fills, with chamfers at faces toward a gap.
static void put_layer(const hw_draft *f, hw_pile *p, int i, const hw_section *s,
                      const hw_section *before, const hw_section *after)
{
    double y[2] = {face_of(f->l, i, 0), face_of(f->l, i, 1)};
    double chamfer = fmin(f->def->chamfer, f->l->layer[i].thickness / 3);
    if (i > 0 && chamfer > 0) {
        hw_outline_foot(p, s, before, y[0], y[0] + chamfer);
        y[0] += chamfer;
    }
    if (i + 1 < (int)f->l->n && chamfer > 0) {
        hw_outline_foot(p, s, after, y[1], y[1] - chamfer);
        y[1] -= chamfer;
    }
    hw_outline_put(p, s, y[0], y[1]);
}

// A bar's twin stands in one layer only.
static bool has_layer(const hw_draft *f, const hw_part *part, int layer)
{
    return part->role != HW_PART_BAR || f->l->bar[part->body - 4].layer[part->twin] == layer;
}

typedef struct span {
    hw_vec2 low, high; // [m]
} span;

static span span_of(const hw_polygon *p)
{
    span s = {p->at[0], p->at[0]};
    for (size_t i = 1; i < p->n; i++) {
        s.low = (hw_vec2){fmin(s.low.x, p->at[i].x), fmin(s.low.z, p->at[i].z)};
        s.high = (hw_vec2){fmax(s.high.x, p->at[i].x), fmax(s.high.z, p->at[i].z)};
    }
    return s;
}

// Whether a ring joins a fill, which lies within the ring that it belongs to.
static bool is_joined(const hw_draft *f, const hw_polygon *ring, const hw_section *fill)
{
    const double slack = f->def->deviation;
    const span out = span_of(ring);
    for (size_t i = 0; i < fill->rings; i++) {
        const span in = span_of(&fill->ring[i]);
        if (in.low.x >= out.low.x - slack && in.low.z >= out.low.z - slack &&
            in.high.x <= out.high.x + slack && in.high.z <= out.high.z + slack)
            return true;
    }
    return false;
}

// Leaves out what stands in one layer alone beside the rest of its part and is less than three
// lines square.
static void drop_loose(const hw_draft *f, hw_section *s, const hw_section *before,
                       const hw_section *after)
{
    size_t kept = 0;
    for (size_t i = 0; i < s->rings; i++) {
        const double area = hw_polygon_area(&s->ring[i]);
        const bool small = area > 0 && area < 9 * f->l->line * f->l->line;
        if (!small || s->rings == 1 || is_joined(f, &s->ring[i], before) ||
            is_joined(f, &s->ring[i], after))
            s->ring[kept++] = s->ring[i];
    }
    s->rings = kept;
}

static hw_code put_layers(const hw_draft *f, const hw_part *part, hw_pile *p)
{
    hw_section in[HW_LAYERS_MOST] = {{0}}, fill[HW_LAYERS_MOST + 1] = {{0}};
    int n = (int)f->l->n;
    for (int i = 0; i < n; i++) {
        if (!has_layer(f, part, i)) continue;
        hw_code code = hw_outline_join(f, part->body, i, &in[i]);
        if (code == HW_OK) code = hw_outline_bevel(f, &in[i]);
        if (code != HW_OK) return code;
    }
    for (int i = 0; i + 1 < n; i++) {
        hw_code code = hw_outline_cross(f, &in[i], &in[i + 1], &fill[i + 1]);
        if (code != HW_OK) return code;
        hw_outline_put(p, &fill[i + 1], face_of(f->l, i, 1), face_of(f->l, i + 1, 0));
    }
    for (int i = 0; i < n; i++) drop_loose(f, &in[i], &fill[i], &fill[i + 1]);
    for (int i = 0; i < n; i++)
        if (in[i].rings) put_layer(f, p, i, &in[i], &fill[i], &fill[i + 1]);
    return p->code;
}

// ---- pivots -----------------------------------------------------------------------------------

// The pin that stands on a layer's face toward its neighbour, and turns in a bore there.
// Where a place's layers say nothing of a land, the definition's counts.
static double land_of(const hw_draft *f, int joint, double land) // [m]
{
    return land > 0 || f->def->kind[joint] != HW_PIVOT_LAND ? land : f->def->land;
}

static hw_parts_pin pin_of(const hw_draft *f, int part, hw_vec2 at, int on, int in, double base,
                           double land) // [m] [m]
{
    const hw_cone_shape *c = &f->l->cone;
    int side = in > on ? 1 : 0;
    hw_parts_pin pin = {.at = hw_bed_point(&f->bed, part, at),
                        .face = face_of(f->l, on, side),
                        .outward = side == 1 ? 1 : -1,
                        .base = base,
                        .land = land,
                        .engagement = c->engagement,
                        .half_angle = c->half_angle,
                        .gap = f->def->gap,
                        .deviation = f->def->deviation};
    // a cone is cut where it is one line across
    double point = land + (base - f->l->line / 2) / tan(c->half_angle);
    pin.engagement = fmax(fmin(pin.engagement, point), 0.1 * pin.engagement);
    if (part < HW_JOINTS && f->l->layer[in].use == HW_LAYER_CHEEK) pin.floor = f->floor[part][side];
    pin.mouth = fabs(face_of(f->l, in, 1 - side) - pin.face);
    return pin;
}

// A part takes the pin where it owns it, the bore where that is in it.
static void put_pivot(const hw_draft *f, const hw_part *part, hw_pile *p, int owner, int holder,
                      hw_vec2 at, int on, int in, double base, double land) // [m] [m]
{
    hw_parts_pin pin = pin_of(f, owner, at, on, in, base, land);
    if (part->body == owner && has_layer(f, part, on)) hw_parts_pin_add(p, &pin);
    if (part->body == holder && has_layer(f, part, in))
        hw_parts_pin_cut(p, &pin, f->l->layer[in].thickness, f->l->line);
}

static void put_bar_pivots(const hw_draft *f, const hw_part *part, hw_pile *p, int b)
{
    const hw_bar_place *place = &f->l->bar[b];
    const hw_bar *bar = &f->d->bar[b];
    hw_vec2 joint = {b == 0 ? 0 : f->d->phalanx[b - 1], 0};
    hw_vec2 root = hw_add(joint, bar->root);
    hw_vec2 horn = {bar->horn * cos(bar->horn_angle), bar->horn * sin(bar->horn_angle)};
    // layers that name lands name the bars' too, if they have any
    double land = f->l->fork[0].land > 0 ? place->land : land_of(f, 0, place->land);
    for (size_t i = 0; i < place->twins; i++) {
        int in = place->layer[i], self = 4 + b;
        const int *on = place->on[i];
        bool twin = f->l->layer[on[0]].use == f->l->layer[in].use; // carried by the twin beside it
        if (twin) continue;
        put_pivot(f, part, p, place->root_part, self, root, on[0], in, place->base, land);
        put_pivot(f, part, p, place->horn_part, self, horn, on[1], in, place->base, land);
    }
}

static void put_pivots(const hw_draft *f, const hw_part *part, hw_pile *p)
{
    int last = (int)f->l->n - 1;
    for (int j = 0; j < HW_JOINTS; j++) {
        hw_vec2 at = {j == 0 ? 0 : f->d->phalanx[j - 1], 0};
        const hw_fork_place *k = &f->l->fork[j];
        put_pivot(f, part, p, j, j + 1, at, 1, 0, k->base, land_of(f, j, k->land));
        put_pivot(f, part, p, j, j + 1, at, last - 1, last, k->base, land_of(f, j, k->land));
    }
    for (int b = 0; b < 2; b++)
        if (f->l->bar[b].twins) put_bar_pivots(f, part, p, b);
}

// A groove round both cheeks that keeps a strip in its place, a fifth of a cheek deep.
static void put_groove(hw_draft *f, int joint, hw_pile *p)
{
    const hw_fork_place *k = &f->l->fork[joint];
    double from = f->def->keeper_reach - f->def->keeper_width / 2, high = k->height;
    hw_vec2 *at = HW_NEW(f->keep, hw_vec2, 4);
    if (!at) {
        p->code = HW_NO_MEMORY;
        return;
    }
    for (int i = 0; i < 4; i++)
        at[i] = hw_bed_point(
            &f->bed, joint + 1,
            (hw_vec2){from + (i == 1 || i == 2 ? f->def->keeper_width : 0), i < 2 ? -high : high});
    hw_polygon band = {at, 4};
    for (int side = 0; side < 2; side++) {
        double deep = fmin(f->def->keeper_thickness, k->cheek_thickness[side] / 5);
        double face = face_of(f->l, side == 0 ? 0 : (int)f->l->n - 1, side);
        hw_pile_put(p, HW_BLOCK_CUT, side == 0 ? face : face - deep, side == 0 ? face + deep : face,
                    band, band);
    }
    f->kept[joint] = true;
}

// ---- the whole --------------------------------------------------------------------------------

// The box round a part's plates, as far as they stand above the bed.
static void measure(hw_draft *f, int body)
{
    f->low = (hw_vec2){INFINITY, 0};
    f->high = (hw_vec2){-INFINITY, 0};
    for (size_t i = 0; i < f->slabs; i++) {
        const hw_slab *s = &f->slab[i];
        for (size_t j = 0; s->part == body && j < s->discs; j++) {
            f->low.x = fmin(f->low.x, s->disc[j].at.x - s->disc[j].radius);
            f->high.x = fmax(f->high.x, s->disc[j].at.x + s->disc[j].radius);
            f->high.z = fmax(f->high.z, s->disc[j].at.z + s->disc[j].radius);
        }
    }
}

static hw_code make_part(hw_draft *f, hw_part *part, const hw_fittings *held)
{
    measure(f, part->body);
    hw_pile p = {.keep = f->keep, .up = f->bed.up};
    hw_code code = put_layers(f, part, &p);
    if (code != HW_OK) return code;
    hw_stand_bridges(f, part, &p);
    put_pivots(f, part, &p);
    hw_fittings_put(f, part, held, &p);
    if (part->role == HW_PART_PHALANX && f->def->kind[part->body - 1] == HW_PIVOT_STRIP)
        put_groove(f, part->body - 1, &p);
    if (part->role != HW_PART_BAR) hw_channels_cut(f, part->body, &p);
    part->solid = (hw_solid){p.block, p.blocks};
    part->allow = p.allow;
    part->allows = p.allows;
    return p.code;
}

static hw_code make(hw_draft *f, const hw_stack *k, hw_part_set *out)
{
    hw_code code = hw_bed_of(f->def, f->d, &f->bed);
    if (code != HW_OK) return code;
    f->room = ROOM_FOR_PLATES;
    f->slab = HW_NEW(f->work, hw_slab, f->room);
    hw_fittings held = {.pulley = false};
    if (f->def->fitted) code = hw_fittings_of(&f->def->fittings, f->d, f->l, &held);
    if (code != HW_OK) return code;
    size_t parts = 1 + HW_JOINTS + f->l->bar[0].twins + f->l->bar[1].twins;
    hw_part *part = HW_NEW(f->keep, hw_part, parts + hw_fittings_parts(&held));
    if (!f->slab || !part) return HW_NO_MEMORY;
    take_plates(f, k);
    trim_strips(f);
    code = hw_stand_all(f);
    if (code != HW_OK) return code;
    size_t n = 0;
    for (int body = 0; body <= HW_JOINTS; body++)
        part[n++] = (hw_part){.body = body, .role = body == 0 ? HW_PART_CARRIER : HW_PART_PHALANX};
    for (int b = 0; b < 2; b++)
        for (size_t i = 0; i < f->l->bar[b].twins; i++)
            part[n++] = (hw_part){.body = 4 + b, .twin = (int)i, .role = HW_PART_BAR};
    for (size_t i = 0; i < n; i++) {
        if (!hw_job_go_on(f->job, (double)i / (double)n, "parts")) return HW_CANCELLED;
        part[i].digit = f->def->digit;
        size_t twins = part[i].role == HW_PART_BAR ? f->l->bar[part[i].body - 4].twins : 0;
        name_part(f, &part[i], twins);
        code = make_part(f, &part[i], &held);
        if (code != HW_OK) return code;
    }
    if (hw_fittings_parts(&held) > 0) code = hw_fittings_spool(f, &held, &part[n++]);
    if (code != HW_OK) return code;
    *out = (hw_part_set){.part = part, .parts = n, .bed = f->bed};
    memcpy(out->kept, f->kept, sizeof out->kept);
    return HW_OK;
}

hw_code hw_parts_digit(hw_arena *keep, hw_arena *work, const hw_parts_def *def, const hw_digit *d,
                       const hw_layers *l, const hw_stack *k, const hw_job *job, hw_part_set *out)
{
    *out = (hw_part_set){0};
    if (l->n == 0 || k->n == 0 || !sound(def, l) || hw_digit_check(d) != HW_DIGIT_SOUND)
        return HW_BAD_INPUT;
    size_t mark = hw_arena_mark(work);
    hw_draft *f = HW_NEW(work, hw_draft, 1);
    hw_code code = HW_NO_MEMORY;
    if (f) {
        *f = (hw_draft){.def = def, .d = d, .l = l, .keep = keep, .work = work, .job = job};
        code = make(f, k, out);
    }
    hw_arena_rewind(work, mark);
    return code;
}
