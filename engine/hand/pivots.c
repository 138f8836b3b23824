// Pivots of a digit from its entries and layers.
#include "hand/hand_internal.h"

#include <math.h>

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// A strip slips off where it is half as long again: that is its strength.
static const double STRIP_STRETCH = 0.5;

hw_pivot_kind hw_hand_pivot_kind(const hw_design *d, int digit, int joint)
{
    static const hw_entry_id row[HW_JOINTS] = {HW_E_KEEP_KIND_PROXIMAL, HW_E_KEEP_KIND_MIDDLE,
                                               HW_E_KEEP_KIND_DISTAL};
    return (hw_pivot_kind)(int)get(d, row[joint], digit);
}

static hw_keeper_def keeper_of(const hw_design *d, int digit, int joint, const hw_hand *hand,
                               const hw_fork_place *f)
{
    hw_keeper_def k = {.kind = hw_hand_pivot_kind(d, digit, joint),
                       .reach = get(d, HW_E_KEEP_REACH, digit),
                       .thickness = get(d, HW_E_KEEP_THICKNESS, digit),
                       .width = get(d, HW_E_KEEP_WIDTH, digit),
                       .length = f->spacing,
                       .gap = get(d, HW_E_PIVOT_FACE_GAP, -1),
                       .modulus = hand->modulus,
                       .strength = hand->strength,
                       .from = get(d, HW_E_KEEP_FROM, digit)};
    // a lip stands out from where the earlier body has its full height
    if (k.kind == HW_PIVOT_LIP) k.length = fmax(f->setback - k.reach, k.thickness);
    if (k.kind == HW_PIVOT_STRIP) {
        k.modulus = get(d, HW_E_PIVOT_STRIP_MODULUS, -1);
        k.strength = STRIP_STRETCH * k.modulus;
    }
    return k;
}

static hw_pivot pivot_of(const hw_design *d, int digit, int joint, const hw_hand *hand)
{
    const hw_layers *l = &hand->layers[digit];
    const hw_fork_place *f = &l->fork[joint];
    double face_gap = get(d, HW_E_PIVOT_FACE_GAP, -1);
    // a cone crosses the gap between the faces before it reaches into its socket
    hw_pivot p = {.half_angle = l->cone.half_angle,
                  .engagement = l->cone.engagement - face_gap,
                  .gap = get(d, HW_E_PIVOT_GAP, -1),
                  .face_gap = face_gap,
                  .mu = get(d, HW_E_PIVOT_FRICTION, -1),
                  .load_depth = l->cone.depth,
                  .land = fmax(f->land - face_gap, 0),
                  .base = f->base,
                  .strength = hand->strength,
                  .strength_across = hand->strength_across};
    for (int i = 0; i < 2; i++)
        p.cheek[i] = (hw_cheek){f->depth[i], f->height, f->cheek_thickness[i], hand->modulus};
    hw_keeper_def k = keeper_of(d, digit, joint, hand, f);
    // the shallower cheek decides where a keeper fits; one that does not makes the pivot unsound
    if (hw_keeper_of(&k, fmin(f->depth[0], f->depth[1]), &p.keeper) != HW_OK)
        p.keeper = (hw_keeper){.at = NAN, .breaks = 1};
    return p;
}

// Bars' sockets are as deep as the cones are high: the gap is left between tip and floor.
static hw_bar_pivot bar_pivot_of(const hw_design *d, const hw_digit *g, int bar,
                                 const hw_hand *hand, const hw_layers *l)
{
    const hw_bar *b = &g->bar[bar];
    const hw_bar_place *p = &l->bar[bar];
    double y = p->y[0], middle = l->layer[p->layer[0]].y;
    return (hw_bar_pivot){
        .twins = p->twins,
        .seat = {l->cone.half_angle, l->cone.engagement, p->land, p->base},
        .eye = {.radius = g->pivot_radius,
                .hole = p->base + get(d, HW_E_PIVOT_GAP, -1),
                .depth = l->cone.engagement,
                .thickness = b->depth_one,
                .width = b->width,
                .load_at = b->depth_one / 2 - fabs(y - middle)},
        .gap = l->gap,
        .mu = get(d, HW_E_PIVOT_FRICTION, -1),
        .modulus = hand->modulus,
        .strength = {hand->strength, hand->strength_across},
    };
}

// Both cords leave toward the palm; what the sheaths' other ends do is no matter here.
static hw_knuckle_cord cord_of(const hw_design *d, int digit, const hw_hand *hand)
{
    const hw_drive *drive = &hand->drive[digit];
    if (drive->direct) return (hw_knuckle_cord){.radius = 0};
    double closing = get(d, HW_E_OWN_ARRIVAL_CLOSED, digit);
    double opening = get(d, HW_E_OWN_ARRIVAL_OPEN, digit);
    return (hw_knuckle_cord){.radius = drive->pulley_radius,
                             .toward = {-cos(closing), sin(closing)},
                             .back = {-cos(opening), sin(opening)},
                             .pretension = drive->back == HW_RETURN_CORD ? drive->pretension : 0};
}

void hw_hand_pivots(const hw_design *d, int digit, hw_hand *hand)
{
    const hw_layers *l = &hand->layers[digit];
    hw_across *a = &hand->across[digit];
    hand->stop_arm[digit] = get(d, HW_E_KEEP_STOP_ARM, digit);
    hand->knuckle_cord[digit] = cord_of(d, digit, hand);
    a->pulley = get(d, HW_E_OWN_PULLEY_OFFSET, digit);
    if (!l->n) return;
    for (int j = 0; j < HW_JOINTS; j++) {
        hand->pivot[digit][j] = pivot_of(d, digit, j, hand);
        for (int i = 0; i < 2; i++) a->cone[j][i] = l->fork[j].cone_y[i];
    }
    for (int b = 0; b < 2; b++)
        if (l->bar[b].twins) {
            a->bar[b] = l->bar[b].load_y;
            hand->bar_pivot[digit][b] = bar_pivot_of(d, &hand->digit[digit], b, hand, l);
        }
}
