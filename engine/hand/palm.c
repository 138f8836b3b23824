// The palm: where the document puts digits, and what their own layers and fittings say of their
// roots.
#include "hand/hand_internal.h"

#include <math.h>

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// Where the closing cord leaves its sheath and bar A its carrier, in the knuckle's frame. Fittings
// that found no room leave the default.
static void roots_of(const hw_hand *hand, int digit, hw_palm_digit_def *out)
{
    const hw_digit *g = &hand->digit[digit];
    const hw_carrier_place *c = &hand->fittings[digit].carrier;
    double thick = g->thickness[0];
    out->cord = (hw_vec3){-1.2 * thick, 0, -0.3 * thick};
    if (hand->fitted[digit] && c->sheaths) out->cord = (hw_vec3){c->back, c->sheath_y, -c->mouth};
    if (g->family != HW_FAMILY_COUPLED_BARS) return;
    double y = hand->layers[digit].n ? hand->layers[digit].bar[0].load_y : 0;
    out->bar = (hw_vec3){g->bar[0].root.x, y, g->bar[0].root.z};
}

static void digit_of(const hw_design *d, const hw_hand *hand, int digit, hw_palm_digit_def *out)
{
    const hw_digit *g = &hand->digit[digit];
    *out = (hw_palm_digit_def){
        .present = hand->present[digit],
        .knuckle = {get(d, HW_E_KNUCKLE_X, digit), get(d, HW_E_KNUCKLE_Y, digit),
                    get(d, HW_E_KNUCKLE_Z, digit)},
        .points = {get(d, HW_E_KNUCKLE_TURN, digit), get(d, HW_E_KNUCKLE_RISE, digit),
                   get(d, HW_E_KNUCKLE_ROLL, digit)},
        .splay = {get(d, HW_E_SPLAY_LEAST, digit), get(d, HW_E_SPLAY_MOST, digit)},
        .splay_behind = get(d, HW_E_SPLAY_BEHIND, digit),
        .width = g->width,
    };
    for (int j = 0; j < HW_JOINTS; j++) {
        out->segment[j] = g->phalanx[j];
        out->thickness[j] = g->thickness[j];
    }
    out->thickness[HW_JOINTS] = g->tip_thickness;
    const double *travel = g->family == HW_FAMILY_COUPLED_BARS ? g->travel : g->joint_travel[0];
    for (int end = 0; end < 2; end++) out->travel[end] = travel[end];
    roots_of(hand, digit, out);
}

void hw_hand_palm(const hw_design *d, const hw_hand *hand, hw_palm_def *out)
{
    *out = (hw_palm_def){
        .opposition_turn = get(d, HW_E_OPPOSITION_TURN, -1),
        .opposition_rise = get(d, HW_E_OPPOSITION_RISE, -1),
        .opposition_behind = get(d, HW_E_OPPOSITION_BEHIND, -1),
        .opposition = {get(d, HW_E_OPPOSITION_OPEN, -1), get(d, HW_E_OPPOSITION_CLOSED, -1)},
        .length = get(d, HW_E_PALM_LENGTH, -1),
        .breadth = get(d, HW_E_PALM_BREADTH, -1),
        .wrist = get(d, HW_E_PALM_WRIST, -1),
        .thickness = get(d, HW_E_PALM_THICKNESS, -1),
        .deeper = hand->palm.deeper,
        .wrist_thickness = get(d, HW_E_PALM_WRIST_THICKNESS, -1),
        .back = get(d, HW_E_PALM_BACK, -1),
        .setback = get(d, HW_E_PALM_SETBACK, -1),
        .edge = get(d, HW_E_PALM_EDGE, -1),
        .arch_radius = get(d, HW_E_PALM_ARCH_RADIUS, -1),
    };
    for (int i = 0; i < HW_DIGITS; i++) digit_of(d, hand, i, &out->digit[i]);
}
