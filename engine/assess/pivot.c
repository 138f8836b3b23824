// The pivots over a digit's stroke, their findings, and what to say beside them.
#include "assess/assess_internal.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

enum { POSES = (HW_ASSESS_STEPS - 1) / 2 + 1 }; // every second pose of the stroke

static void unknown(hw_release *out)
{
    const hw_release_peak none = {.value = NAN, .s = NAN, .load = NAN, .spread = NAN};
    for (int j = 0; j < HW_JOINTS; j++) out->joint[j] = out->tip[j] = out->strained[j] = none;
}

// The drive closes at its brief share and with the least friction when it meets its stop.
static double stall_torque(const hw_hand *hand, int digit, const hw_digit_assessment *g) // [N*m]
{
    bool pulled = !hand->drive[digit].direct && hand->digit[digit].family != HW_FAMILY_CORD;
    double torque = g->drive.alone.torque;
    return pulled && torque > 0 ? torque : 0;
}

hw_code hw_assess_pivots(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *g)
{
    unknown(&g->release);
    if (!hand->layers[digit].n) return HW_BAD_INPUT;
    const hw_drive *drive = &hand->drive[digit];
    const hw_loads *l = &hand->loads;
    hw_release_def def = {.digit = &hand->digit[digit],
                          .across = hand->across[digit],
                          .stop_arm = hand->stop_arm[digit],
                          .poses = POSES};
    if (!drive->direct) def.cord = (hw_knuckle_cord){drive->pulley_radius, {-1, 0}, {-1, 0}};
    // cords that come from the carrier's seats leave the pulley along its tangents there; that they
    // turn by some degrees against the digit while it closes is left out
    const hw_fittings *held = &hand->fittings[digit];
    if (!drive->direct && hand->fitted[digit] && held->pulley) {
        def.cord.toward = held->wheel.toward[0];
        def.cord.back = held->wheel.toward[1];
    }
    for (int j = 0; j < HW_JOINTS; j++) def.pivot[j] = hand->pivot[digit][j];
    const double force[HW_HOLD_CASES] = {
        [HW_CASE_TIP] = l->tip,        [HW_CASE_PAD_PROXIMAL] = l->pad,
        [HW_CASE_PAD_MIDDLE] = l->pad, [HW_CASE_PAD_DISTAL] = l->pad,
        [HW_CASE_HOOK] = l->hook,      [HW_CASE_KNOCK] = l->knock,
        [HW_HOLD_SIDE] = l->side,      [HW_HOLD_STALL] = stall_torque(hand, digit, g),
    };
    memcpy(def.force, force, sizeof force);
    double *squeeze = HW_NEW(a, double, POSES);
    if (!squeeze) return HW_NO_MEMORY;
    if (g->tip_force) {
        for (int i = 0; i < POSES; i++) squeeze[i] = g->tip_force[2 * i];
        def.squeeze = squeeze;
    }
    hw_code code = hw_release_of(&def, &g->release);
    if (code != HW_OK) unknown(&g->release);
    return code;
}

// ---- findings
// ---------------------------------------------------------------------------------------------------

static int first_of(const hw_release_peak peak[HW_JOINTS])
{
    int first = 0;
    for (int j = 1; j < HW_JOINTS; j++)
        if (peak[j].value < peak[first].value) first = j;
    return first;
}

static int most_strained(const hw_release_peak peak[HW_JOINTS])
{
    int most = 0;
    for (int j = 1; j < HW_JOINTS; j++)
        if (peak[j].value > peak[most].value) most = j;
    return most;
}

static double release(const hw_assess_subject *s)
{
    const hw_release_peak *tip = s->got->release.tip;
    double factor = tip[first_of(tip)].value, asked = s->hand->loads.tip;
    return asked > 0 ? factor * asked : (double)NAN;
}

static double knuckle(const hw_assess_subject *s)
{
    return s->got->release.joint[0].value;
}

static double pip(const hw_assess_subject *s)
{
    return s->got->release.joint[1].value;
}

static double dip(const hw_assess_subject *s)
{
    return s->got->release.joint[2].value;
}

static double stress(const hw_assess_subject *s)
{
    const hw_release_peak *all = s->got->release.strained;
    return all[most_strained(all)].value;
}

const hw_assess_row hw_assess_pivot_row[] = {
    {"pivot_release", HW_FOR_ANY, true, release}, {"pivot_knuckle", HW_FOR_ANY, true, knuckle},
    {"pivot_pip", HW_FOR_ANY, true, pip},         {"pivot_dip", HW_FOR_ANY, true, dip},
    {"pivot_stress", HW_FOR_ANY, true, stress},
};
const size_t hw_assess_pivot_rows = sizeof hw_assess_pivot_row / sizeof hw_assess_pivot_row[0];

// ---- notes
// ------------------------------------------------------------------------------------------------------

static void put(hw_buffer *b, double value, int places)
{
    char number[HW_NUMBER_TEXT];
    hw_number_write_fixed(value, places, number);
    hw_buffer_puts(b, number);
}

// "PIP, bar A's side, tip push, at 0 % of the travel: 61 N on that cone spread the cheeks with 57
// N"
static void put_peak(hw_buffer *b, const hw_digit *d, int joint, const hw_release_peak *p)
{
    static const char *const side[2][2] = {{"the little finger's side", "the thumb's side"},
                                           {"bar A's side", "bar B's side"}};
    bool bars = d->family == HW_FAMILY_COUPLED_BARS;
    hw_buffer_format(b, "%s, %s, %s, at ", hw_digit_joint_name(d, joint), side[bars][p->side],
                     hw_hold_case_name(p->which));
    put(b, 100 * p->s, 0);
    hw_buffer_puts(b, " % of the travel: ");
    put(b, p->load, 0);
    hw_buffer_puts(b, " N on that cone, spreading with ");
    put(b, p->spread, 0);
    hw_buffer_puts(b, p->breaks ? " N; its cheek breaks first" : " N");
}

const char *hw_assess_pivot_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                 const hw_finding *f)
{
    static const char *const of_joint[HW_JOINTS] = {"pivot_knuckle", "pivot_pip", "pivot_dip"};
    const char *id = f->kind->id;
    if (strncmp(id, "pivot_", 6) != 0) return NULL;
    if (isnan(f->value))
        return g->assembles ? "the pivots' sizes do not fit the layers and forks" : NULL;
    const hw_digit *d = &hand->digit[f->digit];
    const hw_release *r = &g->release;
    hw_buffer b = {.arena = a};
    if (strcmp(id, "pivot_release") == 0) {
        int j = first_of(r->tip);
        if (isinf(r->tip[j].value)) return "nothing spreads the cheeks under a tip push";
        put_peak(&b, d, j, &r->tip[j]);
    } else if (strcmp(id, "pivot_stress") == 0) {
        int j = most_strained(r->strained);
        put_peak(&b, d, j, &r->strained[j]);
    }
    for (int j = 0; j < HW_JOINTS; j++)
        if (strcmp(id, of_joint[j]) == 0) {
            if (isinf(r->joint[j].value)) return "nothing that is asked spreads its cheeks";
            put_peak(&b, d, j, &r->joint[j]);
        }
    return b.len ? b.at : NULL;
}
