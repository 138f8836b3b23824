// Pivots of a digit from its entries and layers.
#include "hand/hand_internal.h"

#include <math.h>

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// A strip slips off where it is half as long again: that is its strength.
static const double STRIP_STRETCH = 0.5;

static hw_keeper_def keeper_of(const hw_design *d, int digit, const hw_hand *hand,
                               const hw_fork_place *f)
{
    hw_keeper_def k = {.kind = (hw_pivot_kind)(int)get(d, HW_E_KEEP_KIND, digit),
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
    hw_pivot p = {.half_angle = l->cone.half_angle,
                  .engagement = l->cone.engagement,
                  .gap = get(d, HW_E_PIVOT_GAP, -1),
                  .face_gap = get(d, HW_E_PIVOT_FACE_GAP, -1),
                  .mu = get(d, HW_E_PIVOT_FRICTION, -1),
                  .load_depth = l->cone.depth,
                  .base = l->cone.base,
                  .strength = hand->strength,
                  .strength_across = hand->strength_across};
    for (int i = 0; i < 2; i++)
        p.cheek[i] = (hw_cheek){f->depth[i], f->height, f->cheek_thickness[i], hand->modulus};
    hw_keeper_def k = keeper_of(d, digit, hand, f);
    if (k.kind == HW_PIVOT_LAND) p.land = get(d, HW_E_KEEP_LAND, digit);
    // the shallower cheek decides where a keeper fits; one that does not makes the pivot unsound
    if (hw_keeper_of(&k, fmin(f->depth[0], f->depth[1]), &p.keeper) != HW_OK)
        p.keeper = (hw_keeper){.at = NAN, .breaks = 1};
    return p;
}

void hw_hand_pivots(const hw_design *d, int digit, hw_hand *hand)
{
    const hw_layers *l = &hand->layers[digit];
    hw_across *a = &hand->across[digit];
    hand->stop_arm[digit] = get(d, HW_E_KEEP_STOP_ARM, digit);
    if (!l->n) return;
    for (int j = 0; j < HW_JOINTS; j++) {
        hand->pivot[digit][j] = pivot_of(d, digit, j, hand);
        for (int i = 0; i < 2; i++) a->cone[j][i] = l->fork[j].cone_y[i];
    }
    for (int b = 0; b < 2; b++)
        if (l->bar[b].twins) a->bar[b] = l->bar[b].load_y;
}
