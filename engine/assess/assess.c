// Design -> Hand -> every digit's stroke, charts and load cases -> findings -> verdict.
#include "assess/assess_internal.h"

#include "base/text.h"
#include "digit/contact.h"

#include <math.h>
#include <string.h>

enum { STABLE_GRID = 12 };

// Digits in the order of the sheet: fingers first, the thumb last.
static const int sheet_order[HW_DIGITS] = {HW_INDEX, HW_MIDDLE, HW_RING, HW_LITTLE, HW_THUMB};

static double case_force(const hw_loads *l, hw_case which) // [N]
{
    switch (which) {
    case HW_CASE_TIP:
        return l->tip;
    case HW_CASE_PAD_PROXIMAL:
    case HW_CASE_PAD_MIDDLE:
    case HW_CASE_PAD_DISTAL:
        return l->pad;
    case HW_CASE_HOOK:
        return l->hook;
    case HW_CASE_KNOCK:
        return l->knock;
    case HW_CASES:
        break;
    }
    return 0;
}

// What needs poses that all close.
static hw_code compute_charts(const hw_hand *hand, const hw_digit *d, hw_digit_assessment *g)
{
    double force[HW_CASES];
    for (int c = 0; c < HW_CASES; c++) force[c] = case_force(&hand->loads, (hw_case)c);
    hw_code code = hw_case_worst_all(d, &g->stroke, force, g->worst);
    if (code == HW_OK) code = hw_closing_of(d, &g->stroke, hand->law, &g->closing);
    if (code == HW_OK) code = hw_wrap_chart_of(d, &g->stroke, &g->wrap);
    if (code == HW_OK) code = hw_slop_of(d, &g->stroke, &g->slop);
    return code;
}

// Underactuated digits: how much of their grasps press with every phalanx, and the least phalanx
// force over the closed half of free closing when each is touched at its middle.
static hw_code compute_contact(const hw_digit *d, hw_digit_assessment *g)
{
    hw_stable_region region;
    hw_code code = hw_stable_region_of(d, d->cord.tension, STABLE_GRID, &region);
    if (code != HW_OK) return code;
    g->stable_share = region.at_middle;
    double k[HW_JOINTS], least = INFINITY;
    for (int j = 0; j < HW_JOINTS; j++) k[j] = 0.5 * d->phalanx[j];
    for (size_t i = g->stroke.n / 2; i < g->stroke.n; i++) {
        double joint[HW_JOINTS], torque[HW_JOINTS], force[HW_JOINTS];
        for (int j = 0; j < HW_JOINTS; j++) joint[j] = g->stroke.joint[j][i];
        hw_cord_torque(d, joint, d->cord.tension, torque);
        code = hw_contact_forces(HW_JOINTS, d->phalanx, joint, torque, k, force);
        if (code != HW_OK) return code;
        for (int j = 0; j < HW_JOINTS; j++) least = fmin(least, force[j]);
    }
    g->least_contact = least;
    return HW_OK;
}

// Share of the travel before the first pose or event that stops the digit.
static double closed_share(const hw_digit_assessment *g) // [1]
{
    if (g->events) return g->event[0].s;
    for (size_t i = 0; i < g->stroke.n; i++)
        if (!g->stroke.ok[i]) return g->stroke.s[i];
    return 1;
}

hw_code hw_assess_digit(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *out)
{
    const hw_digit *d = &hand->digit[digit];
    *out = (hw_digit_assessment){.present = hand->present[digit],
                                 .stable_share = NAN,
                                 .least_contact = NAN,
                                 .pinch = {.peak = {{NAN, NAN, NAN}}},
                                 .lag = {.tip = NAN},
                                 .open_force = NAN,
                                 .drive = hw_drive_unknown(),
                                 .printed = {NAN, {-1, -1}, 0},
                                 .nearest = {NAN, {-1, -1}, 0}};
    if (!out->present) return HW_OK;
    out->fault = hw_digit_check(d);
    hw_code code = hw_stroke_new(a, HW_ASSESS_STEPS, &out->stroke);
    if (code != HW_OK || out->fault != HW_DIGIT_SOUND) return code;
    out->assembles = hw_stroke_run(d, &out->stroke) == HW_OK;
    out->events = hw_stroke_events(d, out->event, HW_ASSESS_EVENTS);
    out->closes = closed_share(out);
    if (out->events) out->assembles = false;
    // layers that cannot be computed stay unknown
    if (hw_assess_layers(a, hand, digit, out) == HW_NO_MEMORY) return HW_NO_MEMORY;
    if (!out->assembles) return HW_OK;
    code = hw_stroke_keep(a, d, &out->stroke);
    if (code == HW_OK) code = compute_charts(hand, d, out);
    if (code == HW_OK && d->family == HW_FAMILY_CORD) code = compute_contact(d, out);
    if (code == HW_NO_MEMORY) return code;
    out->assembles = code == HW_OK;
    // a drive that cannot be computed stays unknown, and the digit is what it is
    if (!out->assembles) return HW_OK;
    code = hw_assess_drive(a, hand, digit, out);
    if (code == HW_OK) code = hw_assess_gentle(a, hand, digit, out);
    if (code != HW_NO_MEMORY) code = hw_assess_pivots(a, hand, digit, out);
    if (code == HW_NO_MEMORY) return HW_NO_MEMORY;
    return HW_OK;
}

// ---- findings
// -------------------------------------------------------------------------------------------------------------

// The id of the next finding that there is; *kind begins at NULL. False: no more.
static bool next_id(const hw_finding_kind **kind, int *digit, char id[64], size_t *len)
{
    size_t n;
    const hw_finding_kind *all = hw_finding_kinds(&n);
    if (*kind && (*kind)->of_digit && *digit < HW_DIGITS - 1) {
        ++*digit;
    } else {
        *kind = *kind ? *kind + 1 : all;
        if (*kind == all + n) return false;
        *digit = (*kind)->of_digit && !hw_finding_of_bodies(*kind) ? 0 : -1;
    }
    *len = hw_finding_id(*kind, *digit, hw_digit_name, id);
    return true;
}

static bool look_up(void *self, hw_text id, hw_dim *dim, char *nearest)
{
    (void)self;
    char one[64];
    size_t len, best = 6;
    int digit = -1;
    for (const hw_finding_kind *kind = NULL; next_id(&kind, &digit, one, &len);)
        if (hw_text_same(id, (hw_text){one, len})) {
            *dim = kind->dim;
            return true;
        }
    if (!nearest) return false;
    nearest[0] = '\0';
    digit = -1;
    for (const hw_finding_kind *kind = NULL; next_id(&kind, &digit, one, &len);) {
        size_t away = hw_text_distance(id, (hw_text){one, len});
        if (away >= best) continue;
        best = away;
        memcpy(nearest, one, len + 1);
    }
    return false;
}

const hw_requirable hw_assess_requirable = {look_up, NULL};

static const char *format_place(hw_arena *a, const hw_design *d, const hw_requirement *r)
{
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "%s:%d", hw_design_file(d) ? hw_design_file(d) : "design", r->line);
    return b.at;
}

// "worst under the hook load at 43 % of the travel": the pose and load case behind the largest pin
// force.
static const char *pin_note(hw_arena *a, const hw_digit_assessment *g)
{
    int worst = 0, joint = 0;
    for (int c = 0; c < HW_CASES; c++)
        for (int j = 0; j < HW_JOINTS; j++)
            if (g->worst[c].pin[j].value > g->worst[worst].pin[joint].value) {
                worst = c;
                joint = j;
            }
    static const char *const joint_name[HW_JOINTS] = {"knuckle", "PIP", "DIP"};
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "%s, %s, at ", joint_name[joint], hw_case_name((hw_case)worst));
    char number[HW_NUMBER_TEXT];
    hw_number_write_fixed(100 * g->worst[worst].pin[joint].at_s, 0, number);
    hw_buffer_format(&b, "%s %% of the travel", number);
    return b.at;
}

static const char *event_note(hw_arena *a, const hw_digit_assessment *g)
{
    static const char *const what[] = {"dead point", "branch change", "lock-up"};
    hw_buffer b = {.arena = a};
    char s[HW_NUMBER_TEXT], knuckle[HW_NUMBER_TEXT];
    hw_number_write_fixed(100 * g->event[0].s, 1, s);
    hw_number_write_fixed(g->event[0].joint * 180 / HW_PI, 1, knuckle);
    hw_buffer_format(&b, "%s of bar %s's loop at %s %% of the travel (knuckle at %s deg)",
                     what[g->event[0].kind], g->event[0].loop ? "B" : "A", s, knuckle);
    return b.at;
}

static const char *note_of(hw_arena *a, const hw_hand *hand,
                           const hw_digit_assessment digit[HW_DIGITS], const hw_digit_assessment *g,
                           const hw_finding *f)
{
    if (f->kind->unknown) return f->kind->unknown;
    if (!g) return hw_assess_hand_note(a, hand, digit, f);
    if (g->fault != HW_DIGIT_SOUND && (isnan(f->value) || strcmp(f->kind->id, "closes") == 0))
        return hw_digit_fault_text(g->fault);
    if (g->events && (isnan(f->value) || strcmp(f->kind->id, "closes") == 0))
        return event_note(a, g);
    if (strcmp(f->kind->id, "pin_load") == 0 && !isnan(f->value)) return pin_note(a, g);
    const char *note = hw_assess_pivot_note(a, hand, g, f);
    if (!note) note = hw_assess_layers_note(a, hand, g, f);
    if (!note) note = hw_assess_drive_note(a, hand, g, f);
    if (!note) note = hw_assess_shape_note(a, hand, f);
    if (!note) note = hw_assess_palm_note(a, hand, g, f);
    if (!note) note = hw_assess_touch_note(a, hand, g, f);
    return note ? note : hw_assess_gentle_note(a, hand, g, f);
}

static void limits_of(hw_arena *a, const hw_design *d, bool classroom, hw_finding *f)
{
    const hw_requirement *r;
    size_t n = hw_design_requirements(d, &r), len = strlen(f->id);
    f->low = f->kind->low;
    f->high = f->kind->high;
    f->origin = f->kind->origin;
    const hw_setting_limit *gentle = classroom ? hw_classroom_limit(f->kind->id) : NULL;
    if (gentle) {
        f->low = gentle->low;
        f->high = gentle->high;
        f->origin = gentle->origin;
    }
    for (size_t i = 0; i < n; i++)
        if (r[i].len == len && memcmp(r[i].id, f->id, len) == 0) {
            f->low = r[i].low;
            f->high = r[i].high;
            f->required = true;
            f->origin = format_place(a, d, &r[i]);
        }
    const hw_setting_limit *never = hw_hard_limit(f->kind->id);
    if (never && !(f->high <= never->high)) { // no document may ask for more
        f->high = never->high;
        f->origin = never->origin;
    }
}

void hw_assess_judge(hw_arena *a, const hw_design *d, bool classroom, const hw_finding_kind *kind,
                     int digit, double value, const char *note, hw_finding *out) // [SI]
{
    *out = (hw_finding){.kind = kind, .digit = digit, .value = value, .note = note};
    hw_finding_id(kind, digit, hw_digit_name, out->id);
    limits_of(a, d, classroom, out);
    hw_finding_judge(out);
}

static void add_finding(hw_arena *a, hw_assessment *s, const hw_finding_kind *kind, int digit)
{
    hw_finding *f = &s->finding[s->findings];
    const hw_digit_assessment *g = digit >= 0 ? &s->digit[digit] : NULL;
    double value = g ? hw_assess_value(s->hand, digit, g, kind)
                     : hw_assess_hand_value(s->hand, s->digit, kind);
    hw_assess_judge(a, s->design, s->hand->classroom, kind, digit, value, NULL, f);
    if (hw_finding_is_made(kind)) { // make's
        s->elsewhere += f->required;
        s->by = "handwright make";
        return;
    }
    s->findings++;
    f->note = note_of(a, s->hand, s->digit, g, f);
    s->held += f->verdict == HW_HOLDS;
    s->fallen_short += f->verdict == HW_FALLS_SHORT;
    s->unknown += f->verdict == HW_UNKNOWN;
    s->required += f->required;
    s->required_held += f->required && f->verdict == HW_HOLDS;
}

static hw_code add_findings(hw_arena *a, hw_assessment *s)
{
    size_t n;
    const hw_finding_kind *kind = hw_finding_kinds(&n);
    s->finding = HW_NEW(a, hw_finding, n * (HW_DIGITS + 1));
    if (!s->finding) return HW_NO_MEMORY;
    for (int i = 0; i < HW_DIGITS; i++) {
        int digit = sheet_order[i];
        if (!s->hand->present[digit]) continue;
        for (size_t k = 0; k < n; k++)
            if (kind[k].of_digit && hw_assess_applies(s->hand, digit, &kind[k]))
                add_finding(a, s, &kind[k], digit);
    }
    for (size_t k = 0; k < n; k++)
        if (hw_finding_of_bodies(&kind[k]) ||
            (!kind[k].of_digit && hw_assess_hand_applies(s->hand, &kind[k])))
            add_finding(a, s, &kind[k], -1);
    return hw_arena_failed(a) ? HW_NO_MEMORY : HW_OK;
}

hw_code hw_assess(hw_arena *a, const hw_design *d, const hw_job *job, hw_assessment *out)
{
    *out = (hw_assessment){.design = d};
    hw_hand *hand = HW_NEW(a, hw_hand, 1);
    if (!hand) return HW_NO_MEMORY;
    hw_hand_build(d, hand);
    out->hand = hand;
    for (int i = 0; i < HW_DIGITS; i++) {
        if (!hw_job_go_on(job, i / (double)HW_DIGITS, hw_digit_name[i])) return HW_CANCELLED;
        hw_code code = hw_assess_digit(a, hand, i, &out->digit[i]);
        if (code != HW_OK) return code;
    }
    hw_assess_palm(hand, out->digit);
    hw_assess_touch(hand, out->digit);
    return add_findings(a, out);
}

bool hw_assess_all_hold(const hw_assessment *s)
{
    if (s->required || s->elsewhere) return s->required_held == s->required;
    return s->held == s->findings;
}
