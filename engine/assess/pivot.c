// The pivots over a digit's stroke, their findings, and what to say beside them.
#include "assess/assess_internal.h"

#include "base/text.h"
#include "stroke/batch.h"

#include <math.h>
#include <string.h>

enum { POSES = (HW_ASSESS_STEPS - 1) / 2 + 1 }; // every second pose of the stroke

// Whether the knuckle's pulley, round and all, covers bar A's root on its far side. That a part of
// its rim may be cut off flat is left out.
static bool pulley_beside(const hw_hand *hand, int digit)
{
    const hw_fittings *held = &hand->fittings[digit];
    const hw_layers *l = &hand->layers[digit];
    if (!hand->fitted[digit] || !held->pulley || l->bar[0].twins != 1) return false;
    int far = l->bar[0].layer[0] + (l->bar[0].side[0] == 0 ? 1 : -1);
    return held->wheel.layer == far && hw_norm(hand->digit[digit].bar[0].root) < held->wheel.rim;
}

// What lies beside the bars' ends in every pose. Poses that do not close are left as they are: they
// are not judged either.
static hw_beside *beside_of(hw_arena *a, const hw_hand *hand, int digit, const hw_stack *k)
{
    const hw_digit *d = &hand->digit[digit];
    hw_beside(*all)[2][2] = hw_arena_alloc(a, POSES, sizeof *all, _Alignof(hw_beside));
    for (size_t i = 0; i < POSES && all; i++) {
        hw_digit_pose pose;
        double s = hw_stroke_parameter(i, POSES);
        if (hw_digit_family_of(d->family)->pose(d, s, &pose) != HW_OK) continue;
        hw_stack_beside(d, &hand->layers[digit], k, &pose, all[i]);
        if (pulley_beside(hand, digit)) all[i][0][0] = (hw_beside){hand->layers[digit].gap, 0, 0};
    }
    return all ? all[0][0] : NULL;
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
    hw_release_clear(&g->release);
    if (!hand->layers[digit].n) return HW_BAD_INPUT;
    const hw_loads *l = &hand->loads;
    hw_release_def def = {.digit = &hand->digit[digit],
                          .across = hand->across[digit],
                          .cord = hand->knuckle_cord[digit],
                          .bar = {hand->bar_pivot[digit][0], hand->bar_pivot[digit][1]},
                          .stop_arm = hand->stop_arm[digit],
                          .poses = POSES};
    // cords that come from the carrier's seats leave the pulley along its tangents there; that they
    // turn by some degrees against the digit while it closes is left out
    const hw_fittings *held = &hand->fittings[digit];
    if (!hand->drive[digit].direct && hand->fitted[digit] && held->pulley) {
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
    if (def.digit->family == HW_FAMILY_COUPLED_BARS && g->stack) {
        def.beside = beside_of(a, hand, digit, g->stack);
        if (!def.beside) return HW_NO_MEMORY;
    }
    hw_code code = hw_release_of(&def, &g->release);
    if (code != HW_OK) hw_release_clear(&g->release);
    return code;
}

// ---- findings
// ---------------------------------------------------------------------------------------------------

static const hw_release_peak *least_of(const hw_release_peak peak[], size_t n)
{
    const hw_release_peak *least = &peak[0];
    for (size_t i = 1; i < n; i++)
        if (peak[i].value < least->value) least = &peak[i];
    return least;
}

static const hw_release_peak *most_of(const hw_release_peak peak[], size_t n)
{
    const hw_release_peak *most = &peak[0];
    for (size_t i = 1; i < n; i++)
        if (peak[i].value > most->value) most = &peak[i];
    return most;
}

// The place that decides each finding.
static const hw_release_peak *at_release(const hw_release *r)
{
    return least_of(r->tip, HW_JOINTS);
}

static const hw_release_peak *at_knuckle(const hw_release *r)
{
    return &r->joint[0];
}

static const hw_release_peak *at_pip(const hw_release *r)
{
    return &r->joint[1];
}

static const hw_release_peak *at_dip(const hw_release *r)
{
    return &r->joint[2];
}

static const hw_release_peak *at_stress(const hw_release *r)
{
    return most_of(r->strained, HW_JOINTS);
}

static const hw_release_peak *at_bearing(const hw_release *r)
{
    return most_of(r->pressed, HW_HOLD_PLACES);
}

static const hw_release_peak *at_root(const hw_release *r)
{
    return most_of(r->rooted, HW_HOLD_PLACES);
}

static const hw_release_peak *at_bar(const hw_release *r)
{
    return least_of(r->left[0], 4);
}

static const hw_release_peak *at_eye(const hw_release *r)
{
    return most_of(r->eye, 2);
}

static double release(const hw_assess_subject *s)
{
    double asked = s->hand->loads.tip;
    return asked > 0 ? at_release(&s->got->release)->value * asked : (double)NAN;
}

#define VALUE(name)                                                                                \
    static double name(const hw_assess_subject *s)                                                 \
    {                                                                                              \
        return at_##name(&s->got->release)->value;                                                 \
    }
VALUE(knuckle)
VALUE(pip)
VALUE(dip)
VALUE(stress)
VALUE(bearing)
VALUE(root)
VALUE(bar)
VALUE(eye)
#undef VALUE

const hw_assess_row hw_assess_pivot_row[] = {
    {"pivot_release", HW_FOR_ANY, true, release}, {"pivot_knuckle", HW_FOR_ANY, true, knuckle},
    {"pivot_pip", HW_FOR_ANY, true, pip},         {"pivot_dip", HW_FOR_ANY, true, dip},
    {"pivot_stress", HW_FOR_ANY, true, stress},   {"pivot_bearing", HW_FOR_ANY, true, bearing},
    {"pivot_root", HW_FOR_ANY, true, root},       {"bar_hold", HW_FOR_BARS, true, bar},
    {"bar_eye", HW_FOR_BARS, true, eye},
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

// "PIP, bar A's side, tip push, at 0 % of the travel"
static void put_where(hw_buffer *b, const hw_digit *d, const hw_release_peak *p)
{
    static const char *const side[2][2] = {{"the little finger's side", "the thumb's side"},
                                           {"bar A's side", "bar B's side"}};
    bool bars = d->family == HW_FAMILY_COUPLED_BARS;
    hw_buffer_puts(b, hw_hold_place_name(d, p->place));
    if (p->place < HW_JOINTS) hw_buffer_format(b, ", %s", side[bars][p->side]);
    hw_buffer_format(b, ", %s, at ", hw_hold_case_name(p->which));
    put(b, 100 * p->s, 0);
    hw_buffer_puts(b, " % of the travel: ");
    put(b, p->load, 0);
    hw_buffer_puts(b, p->place < HW_JOINTS ? " N on that cone" : " N on it");
}

// ", at 62 N of that push"
static void put_force(hw_buffer *b, const hw_release_peak *p, double times) // [1]
{
    bool stall = p->which == (int)HW_HOLD_STALL;
    hw_buffer_puts(b, " at ");
    put(b, times * p->force * (stall ? 1e3 : 1), 0);
    hw_buffer_puts(b, stall ? " N*mm of that torque" : " N of that load");
}

typedef enum topic {
    TOPIC_HOLD,
    TOPIC_STRESS,
    TOPIC_BEARING,
    TOPIC_ROOT,
    TOPIC_BAR,
    TOPIC_EYE
} topic;

// Each finding: the place that decides it, and what its number is about.
static const struct {
    const char *id;
    const hw_release_peak *(*at)(const hw_release *r);
    topic about;
    const char *never; // what to say where nothing limits it
} subject_of[] = {
    {"pivot_release", at_release, TOPIC_HOLD, "nothing spreads the cheeks under a tip push"},
    {"pivot_knuckle", at_knuckle, TOPIC_HOLD, "nothing that is asked spreads its cheeks"},
    {"pivot_pip", at_pip, TOPIC_HOLD, "nothing that is asked spreads its cheeks"},
    {"pivot_dip", at_dip, TOPIC_HOLD, "nothing that is asked spreads its cheeks"},
    {"pivot_stress", at_stress, TOPIC_STRESS, NULL},
    {"pivot_bearing", at_bearing, TOPIC_BEARING, NULL},
    {"pivot_root", at_root, TOPIC_ROOT, NULL},
    {"bar_hold", at_bar, TOPIC_BAR, NULL},
    {"bar_eye", at_eye, TOPIC_EYE, NULL},
};

// The entry that changes it most directly. Levers tell by how much.
static void put_remedy(hw_buffer *b, const hw_hand *hand, int digit, topic about,
                       const hw_release_peak *p)
{
    static const char *const kind_part[2][HW_JOINTS] = {{"proximal", "middle", "distal"},
                                                        {"metacarpal", "proximal", "distal"}};
    const hw_layers *l = &hand->layers[digit];
    bool joint = p->place < HW_JOINTS;
    int bar = joint ? 0 : (p->place - HW_HOLD_BARS) / 2;
    bool land = joint ? l->fork[p->place].land > 0 : l->bar[bar].land > 0;
    const char *name = hw_digit_name[digit],
               *part = joint ? kind_part[digit == HW_THUMB][p->place] : NULL;
    hw_buffer_puts(b, "; change ");
    if (about == TOPIC_ROOT)
        hw_buffer_format(b, joint ? "digits.%s.pivot.base.%s" : "digits.%s.pivot.bar_base", name,
                         part);
    else if (about == TOPIC_EYE)
        hw_buffer_format(b, "digits.%s.mechanism.bar_%c.depth", name, "ab"[bar]);
    else if (joint && (about == TOPIC_STRESS || p->breaks))
        hw_buffer_format(b, "digits.%s.layers.cheek.%c", name, "ab"[p->side]);
    else if (land)
        hw_buffer_format(b, "digits.%s.pivot.land", name);
    else if (joint)
        hw_buffer_format(b, "digits.%s.pivot.kind.%s", name, part);
    else
        hw_buffer_format(b, "digits.%s.pivot.bars", name);
}

// Where a bar's end comes off, if it does: an end that leans on something stays.
static void put_bar(hw_buffer *b, const hw_release *r)
{
    const hw_release_peak *p = least_of(r->bar[0], 4);
    if (isinf(p->value)) {
        hw_buffer_puts(b, "; no load takes it off");
        return;
    }
    hw_buffer_format(b, "; %s comes off", hw_hold_place_name(NULL, p->place));
    put_force(b, p, p->value);
}

static void put_what(hw_buffer *b, topic about, const hw_release_peak *p)
{
    if (about == TOPIC_HOLD) {
        hw_buffer_puts(b, ", spreading with ");
        put(b, p->spread, 0);
        hw_buffer_puts(b, p->breaks ? " N; its cheek breaks first," : " N; it lets go");
    } else {
        static const char *const said[] = {[TOPIC_STRESS] = "; its cheek breaks",
                                           [TOPIC_BEARING] = "; as much as its strength",
                                           [TOPIC_ROOT] = "; it breaks off",
                                           [TOPIC_EYE] = "; the bar breaks"};
        hw_buffer_puts(b, said[about]);
    }
    put_force(b, p, about == TOPIC_HOLD ? p->value : 1 / p->value);
}

const char *hw_assess_pivot_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                 const hw_finding *f)
{
    size_t i = 0, n = sizeof subject_of / sizeof subject_of[0];
    while (i < n && strcmp(subject_of[i].id, f->kind->id) != 0) i++;
    if (i == n) return NULL;
    if (isnan(f->value))
        return g->assembles ? "the pivots' sizes do not fit the layers and forks" : NULL;
    const hw_release_peak *p = subject_of[i].at(&g->release);
    if (isinf(p->value) && subject_of[i].never) return subject_of[i].never;
    hw_buffer b = {.arena = a};
    put_where(&b, &hand->digit[f->digit], p);
    if (subject_of[i].about == TOPIC_BAR)
        put_bar(&b, &g->release);
    else if (p->value > 0 && isfinite(p->value))
        put_what(&b, subject_of[i].about, p);
    if (f->verdict == HW_FALLS_SHORT) put_remedy(&b, hand, f->digit, subject_of[i].about, p);
    return b.at;
}
