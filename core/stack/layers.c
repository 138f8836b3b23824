#include "stack/layers.h"

#include <math.h>

enum { RANGE_POSES = 9 };
static const double CEILING_LINES = 2.9; // that cross a bore's ceiling [1]

double hw_bore_ceiling(double radius, double line)
{
    return fmin(CEILING_LINES / 2 * line, (sqrt(2) - 1) * radius);
}

hw_layers_def hw_layers_def_default(void)
{
    double mm = 1e-3;
    return (hw_layers_def){
        .order = HW_ORDER_BESIDE,
        .count = {1, 1},
        .cheek = {2 * mm, 2 * mm},
        .tang = {3.2 * mm, 2 * mm},
        .gap = 0.25 * mm,
        .line = 0.42 * mm,
        .disc = {3 * mm, 3 * mm, 3 * mm},
        .web = 1.68 * mm,
        .foot_at = {20 * mm, 9.6 * mm},
        .foot_length = {6 * mm, 4 * mm},
        .half_angle = HW_PI / 4,
        .engagement = 1.2 * mm,
        .tip = 0.4 * mm,
    };
}

static bool sound(const hw_layers_def *f)
{
    bool ok = f->gap > 0 && f->line > 0 && f->web > 0 && f->block >= 0 && isfinite(f->block) &&
              f->half_angle > 0 && f->half_angle < HW_PI / 2 && f->engagement > 0 && f->tip >= 0 &&
              (unsigned)f->order < HW_LAYER_ORDERS;
    for (int i = 0; i < 2; i++)
        ok = ok && f->cheek[i] > 0 && f->tang[i] > 0 && f->count[i] >= 1 &&
             f->count[i] <= HW_TWINS_MOST && f->foot_length[i] >= 0 && isfinite(f->foot_at[i]);
    for (int j = 0; j < HW_JOINTS; j++)
        ok = ok && f->disc[j] > 0 && f->spare[j] >= 0 && f->land[j] >= 0 &&
             f->land[j] <= f->engagement && f->base[j] >= 0;
    ok = ok && f->bar_land >= 0 && f->bar_land <= f->engagement && f->bar_base >= 0;
    return ok;
}

// Mean depth of the flank's area that socket and cone share, from the socket's mouth: a slice of
// the flank carries in proportion to its radius.
static double contact_depth(const hw_layers_def *f, double base) // [m]
{
    double overlap = f->engagement - f->gap, slope = tan(f->half_angle);
    if (overlap <= 0) return 0; // the cone does not reach its socket
    double mouth = base - f->gap * slope;
    double area = mouth - slope * overlap / 2;
    return area > 0 ? overlap * (mouth / 2 - slope * overlap / 3) / area : 0;
}

// The load's line inside a socket: in the middle of the land that has come into it, if any.
static double load_depth(const hw_layers_def *f, double base, double land) // [m]
{
    return land > f->gap ? (land - f->gap) / 2 : contact_depth(f, base);
}

static void put(hw_layers *out, hw_layer_use use, int side, double thickness) // [m]
{
    out->layer[out->n++] = (hw_layer){.use = use, .side = side, .thickness = thickness};
}

static void put_bars(hw_layers *out, const hw_digit *d, int bar, size_t count, int side)
{
    hw_layer_use use = bar == 0 ? HW_LAYER_BAR_A : HW_LAYER_BAR_B;
    for (size_t i = 0; i < count; i++) put(out, use, side, d->bar[bar].depth_one);
}

// Bars between the tangs. The inner bar of twins is carried by its own side's wall.
static void put_middle(hw_layers *out, const hw_layers_def *f, const hw_digit *d)
{
    int outer = f->order == HW_ORDER_B_ASTRIDE ? 1 : 0, inner = 1 - outer;
    if (f->order == HW_ORDER_BESIDE) {
        put_bars(out, d, 0, f->count[0], 0);
        put_bars(out, d, 1, f->count[1], 1);
        return;
    }
    put_bars(out, d, outer, f->count[outer] / 2, 0);
    put_bars(out, d, inner, f->count[inner], inner);
    put_bars(out, d, outer, f->count[outer] - f->count[outer] / 2, 1);
}

static void put_all(hw_layers *out, const hw_layers_def *f, const hw_digit *d)
{
    put(out, HW_LAYER_CHEEK, 0, f->cheek[0]);
    if (d->family == HW_FAMILY_COUPLED_BARS) {
        put(out, HW_LAYER_TANG, 0, f->tang[0]);
        put_middle(out, f, d);
        put(out, HW_LAYER_TANG, 1, f->tang[1]);
    } else {
        put(out, HW_LAYER_TANG, 0, d->width - f->cheek[0] - f->cheek[1] - 2 * f->gap);
    }
    put(out, HW_LAYER_CHEEK, 1, f->cheek[1]);
    out->sum = (double)(out->n - 1) * f->gap;
    for (size_t i = 0; i < out->n; i++) out->sum += out->layer[i].thickness;
    double y = -out->sum / 2;
    for (size_t i = 0; i < out->n; i++) {
        out->layer[i].y = y + out->layer[i].thickness / 2;
        y += out->layer[i].thickness + f->gap;
    }
}

// Least and largest angle of each joint over the stroke. Bars: from poses that close; a stroke that
// never closes leaves the straight digit.
static void joint_ranges(const hw_digit *d, double range[HW_JOINTS][2]) // [rad]
{
    for (int j = 0; j < HW_JOINTS; j++)
        for (int e = 0; e < 2; e++)
            range[j][e] = d->family == HW_FAMILY_COUPLED_BARS ? 0 : d->joint_travel[j][e];
    if (d->family != HW_FAMILY_COUPLED_BARS) return;
    const hw_digit_family *family = hw_digit_family_of(d->family);
    for (int i = 0; i < RANGE_POSES; i++) {
        hw_digit_pose p;
        if (family->pose(d, i / (double)(RANGE_POSES - 1), &p) != HW_OK) continue;
        for (int j = 0; j < HW_JOINTS; j++) {
            range[j][0] = fmin(range[j][0], p.joint[j]);
            range[j][1] = fmax(range[j][1], p.joint[j]);
        }
    }
}

// Largest x, in the later body's frame, of a point of the earlier body at `at` from their joint,
// over the joint's range: it turns there by +flexion, toward the back.
static double reach_forward(hw_vec2 at, const double range[2]) // [rad]
{
    double distance = hw_norm(at), angle = atan2(at.z, at.x);
    double from = angle + range[0], to = angle + range[1];
    if (from <= 0 && to >= 0) return distance;
    return distance * fmax(cos(from), cos(to));
}

// How far behind a joint the earlier body may be of full height: clear of the cheek's round end,
// and its palmar (back) edge clear of the next body's when they close (open) to a wedge.
static double setback_of(const hw_layers_def *f, double half, const double range[2]) // [m] [rad]
{
    double back = half + f->gap;
    for (int e = 0; e < 2; e++) {
        double turn = fabs(range[e]);
        if (turn <= HW_PI / 2 || turn >= HW_PI) continue; // below, the round end decides
        back = fmax(back, half * tan(turn / 2) + f->gap / sin(turn));
    }
    return back;
}

static hw_fork_place fork_of(const hw_layers *l, const hw_layers_def *f, const hw_digit *d,
                             int joint)
{
    hw_fork_place k = {.cheeks_part = joint + 1,
                       .tang_part = joint,
                       .tang_radius = f->disc[joint],
                       .land = f->land[joint],
                       .height = d->thickness[joint]};
    k.base = f->base[joint] > 0 ? f->base[joint] : l->cone.base;
    size_t last = l->n - 1;
    const hw_layer *cheek[2] = {&l->layer[0], &l->layer[last]};
    const hw_layer *tang[2] = {&l->layer[1], &l->layer[last - 1]};
    for (int side = 0; side < 2; side++) {
        double outward = side == 0 ? -1 : 1;
        k.cheek_y[side] = cheek[side]->y;
        k.cheek_thickness[side] = cheek[side]->thickness;
        k.tang_y[side] = tang[side]->y;
        k.tang_thickness[side] = tang[side]->thickness;
        double mouth = cheek[side]->y - outward * cheek[side]->thickness / 2;
        k.cone_y[side] = mouth + outward * load_depth(f, k.base, k.land);
    }
    k.spacing = k.cone_y[1] - k.cone_y[0];
    return k;
}

static void set_depth(hw_layers *l, const hw_layers_def *f, const hw_digit *d)
{
    double range[HW_JOINTS][2];
    joint_ranges(d, range);
    for (int j = 0; j < HW_JOINTS; j++) {
        hw_fork_place *k = &l->fork[j];
        for (int side = 0; side < 2; side++) {
            double reach = k->tang_radius;
            for (int b = 0; b < 2; b++)
                for (size_t i = 0; i < l->bar[b].twins; i++)
                    if (b == j && l->bar[b].side[i] == side)
                        reach =
                            fmax(reach, reach_forward(d->bar[b].root, range[j]) + l->bar[b].base);
            k->depth[side] = reach + f->gap + f->spare[j];
        }
        k->setback = setback_of(f, k->height / 2, range[j]);
        k->travel[0] = range[j][0];
        k->travel[1] = range[j][1];
    }
}

// Whether bar B's horn is carried from bar A's layer, where nothing else is beyond the PIP. On the
// back it turns where the middle phalanx's tang has to stand on the bed: it leaves that layer to
// the tang, which then keeps the bar's end from outside.
static bool horn_inside(const hw_layers *l, const hw_layers_def *f, const hw_digit *d, int bar)
{
    return bar == 1 && f->order == HW_ORDER_BESIDE && l->bar[1].twins == 1 &&
           sin(d->bar[1].horn_angle) > 0;
}

static void place_bar(hw_layers *l, const hw_layers_def *f, const hw_digit *d, int bar)
{
    hw_bar_place *b = &l->bar[bar];
    *b = (hw_bar_place){.root_part = bar,
                        .horn_part = bar + 2,
                        .base = f->bar_base > 0 ? f->bar_base : l->cone.base,
                        .land = f->bar_land,
                        .foot = {f->foot_at[bar], f->foot_at[bar] + f->foot_length[bar]}};
    hw_layer_use use = bar == 0 ? HW_LAYER_BAR_A : HW_LAYER_BAR_B;
    for (size_t i = 0; i < l->n; i++) {
        const hw_layer *y = &l->layer[i];
        if (y->use != use) continue;
        // the socket opens toward the wall that carries it
        double outward = y->side == 0 ? -1 : 1;
        b->layer[b->twins] = (int)i;
        b->side[b->twins] = y->side;
        b->y[b->twins] = y->y + outward * (y->thickness / 2 - load_depth(f, b->base, b->land));
        b->on[b->twins][0] = b->on[b->twins][1] = (int)i + (int)outward;
        b->load_y += b->y[b->twins++];
    }
    if (horn_inside(l, f, d, bar)) b->on[0][1] = b->layer[0] - (b->on[0][0] - b->layer[0]);
    b->load_y /= (double)b->twins;
}

hw_code hw_layers_of(const hw_layers_def *def, const hw_digit *d, hw_layers *out)
{
    *out = (hw_layers){.n = 0};
    if (!sound(def) || hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    out->width = d->width;
    out->gap = def->gap;
    out->line = def->line;
    out->web = def->web;
    out->block = def->block > 0 ? def->block : d->thickness[0];
    double base = def->tip + def->engagement * tan(def->half_angle);
    out->cone = (hw_cone_shape){.half_angle = def->half_angle,
                                .engagement = def->engagement,
                                .tip = def->tip,
                                .base = base,
                                .depth = contact_depth(def, base)};
    put_all(out, def, d);
    for (int j = 0; j < HW_JOINTS; j++) out->fork[j] = fork_of(out, def, d, j);
    if (d->family == HW_FAMILY_COUPLED_BARS)
        for (int b = 0; b < 2; b++) place_bar(out, def, d, b);
    set_depth(out, def, d);
    return HW_OK;
}

int hw_layers_pulley(const hw_layers *l)
{
    int best = -1, first = (int)l->n, last = -1; // of bar A's layers
    for (int i = 0; i < (int)l->n; i++)
        if (l->layer[i].use == HW_LAYER_BAR_A) {
            first = first < i ? first : i;
            last = i;
        }
    for (int i = 0; i < (int)l->n; i++) {
        if (l->layer[i].use != HW_LAYER_BAR_B || (i > first && i < last)) continue;
        bool crossed = false; // between bar A and the wall that carries it
        for (size_t t = 0; t < l->bar[0].twins; t++)
            crossed = crossed ||
                      (l->bar[0].side[t] == 0 ? i < l->bar[0].layer[t] : i > l->bar[0].layer[t]);
        if (!crossed && (best < 0 || fabs(l->layer[i].y) < fabs(l->layer[best].y))) best = i;
    }
    return best;
}
