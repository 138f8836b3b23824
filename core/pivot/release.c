#include "pivot/release.h"

#include "stroke/batch.h"

#include <math.h>

enum { PAD_PLACES = 5 };

const char *hw_hold_case_name(int c)
{
    if (c == (int)HW_HOLD_SIDE) return "sideways push at the tip";
    if (c == (int)HW_HOLD_STALL) return "stall against the closed stop";
    if (c == (int)HW_HOLD_SQUEEZE) return "the drive's own squeeze at the tip";
    return hw_case_name((hw_case)c);
}

const char *hw_hold_place_name(const hw_digit *d, int place)
{
    static const char *const of_bar[] = {"bar A's root", "bar A's horn", "bar B's root",
                                         "bar B's horn"};
    if (place < HW_HOLD_BARS || place >= HW_HOLD_PLACES) return hw_digit_joint_name(d, place);
    return of_bar[place - HW_HOLD_BARS];
}

typedef struct seat {
    double apart; // [m]
    hw_seat_areas area;
    hw_stub stub;
} seat;

typedef struct run {
    const hw_release_def *def;
    hw_grip grip[HW_JOINTS];
    seat seat[HW_JOINTS]; // of a joint's cones, the joint floated to one side
    seat end[2][2];       // of a bar's ends, as far apart as they were asked for last
    hw_digit_pose pose;
    hw_across_pose at;
    const hw_beside *beside; // of this pose
    double s;
    hw_release *out;
} run;

static void lower(hw_release_peak *peak, hw_release_peak one)
{
    if (one.value < peak->value || isnan(one.value)) *peak = one;
}

static void raise(hw_release_peak *peak, hw_release_peak one)
{
    if (one.value > peak->value || isnan(one.value)) *peak = one;
}

// A force in the frame of a body (0 carrier, 1 to 3 phalanges): x along its layers, z across.
static hw_vec2 on_body(const run *r, int body, hw_vec2 f)
{
    if (body == 0) return f;
    return hw_flex(f, r->at.c[body - 1], -r->at.s[body - 1]);
}

static seat seat_at(const hw_seat *cone, double apart, const hw_print_strength *of) // [m]
{
    seat out = {.apart = apart, .stub = hw_stub_of(cone, apart, of)};
    hw_seat_areas_of(cone, apart, &out.area);
    return out;
}

// Pressure and root of one cone that stands on a body, which is printed with its palmar face down.
// What presses it with f lies on the other side of it.
static void seat_cone(run *r, int body, const seat *t, hw_vec2 f, double strength,
                      hw_release_peak peak)
{
    hw_vec2 own = on_body(r, body, f);
    double load = hw_norm(f), most = load / t->area.at[0] / strength * (1 + 1e-12);
    hw_release_peak *pressed = &r->out->pressed[peak.place];
    peak.load = load;
    if (!(most <= pressed->value)) { // else it would not be the greatest, wherever it presses
        double up = load > 0 ? fmin(1, fmax(-1, own.z / load)) : 0;
        peak.value = load > 0 ? load / hw_seat_areas_at(&t->area, acos(up)) / strength : 0;
        raise(pressed, peak);
    }
    peak.value = hw_stub_share(&t->stub, own.x, own.z);
    raise(&r->out->rooted[peak.place], peak);
}

// One joint under one load.
static void hold_joint(run *r, int j, int which, double force, const hw_joint_load *load)
{
    // of the cheeks' own phalanx, away from its root: back past the joint
    hw_vec2 away = {-r->at.c[j], r->at.s[j]};
    hw_grip_load l = {.radial = {load->radial[0], load->radial[1]},
                      .along = {hw_dot(load->cone[0], away), hw_dot(load->cone[1], away)},
                      .axial = load->force.y,
                      .angle = r->pose.joint[j],
                      .sustained = which != (int)HW_CASE_KNOCK};
    hw_grip_hold h;
    hw_grip_hold_of(&r->grip[j], &l, &h);
    double breaks = 1 / h.stress; // infinite where nothing bends it
    hw_release_peak peak = {.value = breaks < h.factor ? breaks : h.factor,
                            .breaks = breaks < h.factor,
                            .place = j,
                            .which = which,
                            .s = r->s,
                            .side = h.side,
                            .load = l.radial[h.side],
                            .spread = h.spread,
                            .force = force};
    lower(&r->out->joint[j], peak);
    if (which == (int)HW_CASE_TIP) lower(&r->out->tip[j], peak);
    peak.value = h.stress;
    peak.breaks = false;
    raise(&r->out->strained[j], peak);
    if (r->seat[j].area.at[0] > 0) // otherwise the float alone frees it
        seat_cone(r, j, &r->seat[j], hw_scale(load->cone[h.side], -1), r->def->pivot[j].strength,
                  peak);
}

// Both ends of a bar that is pulled (pushed: < 0).
static void hold_bar(run *r, int b, int which, double force, double pull) // [N] [N]
{
    const hw_bar_pivot *bar = &r->def->bar[b];
    if (!bar->twins || !r->beside) return;
    bool sustained = which != (int)HW_CASE_KNOCK;
    double one = pull / (double)bar->twins;
    hw_release_peak peak = {.which = which, .s = r->s, .load = fabs(one), .force = force};
    for (int e = 0; e < 2; e++) {
        hw_bar_hold h = hw_bar_hold_of(bar, &r->beside[2 * b + e], one, sustained);
        peak.place = HW_HOLD_BARS + 2 * b + e;
        peak.value = h.factor;
        lower(&r->out->bar[b][e], peak);
        double left = bar->seat.height - h.apart;
        peak.value = fmax(left, -bar->seat.height);
        lower(&r->out->left[b][e], peak);
        if (!(left > 0)) continue; // off its cone: nothing to press on
        seat *t = &r->end[b][e];
        if (t->apart != h.apart) *t = seat_at(&bar->seat, h.apart, &bar->strength);
        seat_cone(r, b + 2 * e, t, hw_scale(r->at.pull[b], e == 0 ? -one : one),
                  bar->strength.along, peak);
    }
    peak.value = hw_eye_share(&bar->eye, &bar->strength, one);
    raise(&r->out->eye[b], peak);
}

static void hold_all(run *r, int which, double force, const hw_space_push *push)
{
    hw_joint_load load[HW_JOINTS];
    double bar[2];
    if (hw_across_all_forces(&r->at, push, 1, load, bar, NULL) != HW_OK) return;
    for (int j = 0; j < HW_JOINTS; j++) hold_joint(r, j, which, force, &load[j]);
    for (int b = 0; b < 2; b++) hold_bar(r, b, which, force, bar[b]);
}

static void push_pad(run *r, int phalanx, int which)
{
    const hw_digit *d = r->def->digit;
    double length = d->phalanx[phalanx], from = 0.5 * d->thickness[phalanx], to = length;
    if (phalanx + 1 < HW_JOINTS) to -= 0.5 * d->thickness[phalanx + 1];
    if (!(from < to)) from = to = 0.5 * length; // joints thicker than the phalanx is long
    int places = d->family == HW_FAMILY_CORD ? PAD_PLACES : 2;
    for (int i = 0; i < places; i++) {
        hw_space_push push = {.phalanx = phalanx, .force = {0, 0, r->def->force[which]}};
        push.at.x = from + (to - from) * i / (places - 1);
        hold_all(r, which, r->def->force[which], &push);
    }
}

static void push_planar(run *r, int which)
{
    hw_load l = hw_case_load(r->def->digit, &r->pose, (hw_case)which, r->def->force[which]);
    hw_space_push push = {
        .phalanx = l.phalanx, .at = {l.at.x, 0, l.at.z}, .force = {l.force.x, 0, l.force.z}};
    hold_all(r, which, r->def->force[which], &push);
}

static void push_sideways(run *r)
{
    const hw_digit *d = r->def->digit;
    for (int sign = -1; sign <= 1; sign += 2) {
        hw_space_push push = {.phalanx = HW_JOINTS - 1,
                              .at = {d->phalanx[HW_JOINTS - 1], 0, 0},
                              .force = {0, sign * r->def->force[HW_HOLD_SIDE], 0}};
        hold_all(r, HW_HOLD_SIDE, r->def->force[HW_HOLD_SIDE], &push);
    }
}

// A push of `force` [N] at the tip from the palmar side.
static void squeeze(run *r, double force)
{
    hw_load unit = hw_digit_unit_load(r->def->digit);
    hw_space_push push = {.phalanx = unit.phalanx,
                          .at = {unit.at.x, 0, unit.at.z},
                          .force = {force * unit.force.x, 0, force * unit.force.z}};
    hold_all(r, HW_HOLD_SQUEEZE, force, &push);
}

// The stop stands where the proximal phalanx's palmar side meets the carrier and pushes it back:
// square to the phalanx, toward the back of the digit.
static void stall(run *r)
{
    hw_joint_load knuckle;
    hw_vec2 back = {r->at.s[0], r->at.c[0]};
    hw_across_stall(&r->at, r->def->force[HW_HOLD_STALL], r->def->stop_arm, back, &knuckle);
    hold_joint(r, 0, HW_HOLD_STALL, r->def->force[HW_HOLD_STALL], &knuckle);
}

static void push_everywhere(run *r)
{
    const double *force = r->def->force;
    for (int c = 0; c < HW_CASES; c++) {
        if (!(force[c] > 0)) continue;
        if (c >= (int)HW_CASE_PAD_PROXIMAL && c <= (int)HW_CASE_PAD_DISTAL)
            push_pad(r, c - (int)HW_CASE_PAD_PROXIMAL, c);
        else
            push_planar(r, c);
    }
    if (force[HW_HOLD_SIDE] > 0) push_sideways(r);
}

static bool is_sound(const hw_release_def *def)
{
    if (hw_digit_check(def->digit) != HW_DIGIT_SOUND || def->poses < 2) return false;
    for (int c = 0; c < HW_HOLD_CASES; c++)
        if (!(def->force[c] >= 0) || isinf(def->force[c])) return false;
    return !(def->force[HW_HOLD_STALL] > 0) || def->stop_arm > 0;
}

// The cones of a joint when the tang lies against one cheek and has drawn the other's cone out of
// its socket by the float.
static seat seat_of(const hw_pivot *p, const hw_grip *g)
{
    hw_seat cone = {p->half_angle, p->engagement + p->face_gap,
                    p->land > 0 ? p->land + p->face_gap : 0, p->base};
    hw_print_strength of = {p->strength, p->strength_across};
    return seat_at(&cone, p->face_gap + g->axial_float, &of);
}

// *out without any case, or unknown.
static void clear(hw_release *out, hw_release_peak least, hw_release_peak most)
{
    for (int j = 0; j < HW_JOINTS; j++) {
        out->joint[j] = out->tip[j] = least;
        out->strained[j] = most;
        out->joint[j].place = out->tip[j].place = out->strained[j].place = j;
    }
    for (int p = 0; p < HW_HOLD_PLACES; p++) {
        out->pressed[p] = out->rooted[p] = most;
        out->pressed[p].place = out->rooted[p].place = p;
    }
    for (int b = 0; b < 2; b++) {
        for (int e = 0; e < 2; e++) {
            out->bar[b][e] = out->left[b][e] = least;
            out->bar[b][e].place = out->left[b][e].place = HW_HOLD_BARS + 2 * b + e;
        }
        out->eye[b] = most;
        out->eye[b].place = HW_HOLD_BARS + 2 * b;
    }
}

void hw_release_clear(hw_release *out)
{
    const hw_release_peak unknown = {
        .value = NAN, .s = NAN, .load = NAN, .spread = NAN, .force = NAN};
    clear(out, unknown, unknown);
}

hw_code hw_release_of(const hw_release_def *def, hw_release *out)
{
    const hw_release_peak never = {.value = INFINITY, .s = NAN},
                          unstrained = {.value = 0, .s = NAN};
    hw_release_clear(out);
    if (!is_sound(def)) return HW_BAD_INPUT;
    run r = {.def = def, .out = out};
    for (int b = 0; b < 2; b++) r.end[b][0].apart = r.end[b][1].apart = -1;
    for (int j = 0; j < HW_JOINTS; j++) {
        if (hw_grip_of(&def->pivot[j], &r.grip[j]) != HW_OK) return HW_BAD_INPUT;
        r.seat[j] = seat_of(&def->pivot[j], &r.grip[j]);
    }
    clear(out, never, unstrained);
    const hw_digit_family *family = hw_digit_family_of(def->digit->family);
    hw_code worst = HW_OK;
    for (size_t i = 0; i < def->poses; i++) {
        r.s = hw_stroke_parameter(i, def->poses);
        r.beside = def->beside ? def->beside + 4 * i : NULL;
        hw_code code = family->pose(def->digit, r.s, &r.pose);
        if (code == HW_OK)
            code = hw_across_at(def->digit, &r.pose, &def->across, &def->cord, &r.at);
        if (code == HW_BAD_INPUT) return code;
        if (code != HW_OK) {
            worst = code;
            continue;
        }
        push_everywhere(&r);
        if (def->squeeze && def->squeeze[i] > 0 && isfinite(def->squeeze[i]))
            squeeze(&r, def->squeeze[i]);
        if (i + 1 == def->poses && def->force[HW_HOLD_STALL] > 0) stall(&r);
    }
    return worst;
}
