// What a digit catches against the palm, its neighbours and the thumb, over its own motions.
#include "assess/assess_internal.h"

#include <math.h>
#include <string.h>

enum { STEPS = 33, SHARES = 3, MOTIONS = HW_CREASE_MOTIONS };

static const hw_palm_caught none = {{NAN, NAN, NAN}, {NAN, NAN, NAN}, -1, -1};

// The arrays of a run.
typedef struct track {
    double joint[HW_JOINTS][STEPS], rate[HW_JOINTS][STEPS], torque[MOTIONS][STEPS], aside[STEPS];
    hw_palm_run run;
} track;

static bool whole(const hw_digit_assessment *g)
{
    return g->present && g->assembles && g->stroke.n > 0;
}

static void joints_at(const hw_digit_assessment *g, double s, double joint[HW_JOINTS]) // [1] [rad]
{
    size_t i = (size_t)(s * (double)(g->stroke.n - 1) + 0.5);
    for (int j = 0; j < HW_JOINTS; j++) joint[j] = g->stroke.joint[j][i];
}

static void range_of(const hw_palm *p, int digit, double out[2]) // [rad]
{
    for (int e = 0; e < 2; e++)
        out[e] = digit == HW_THUMB ? p->opposition[e] : p->digit[digit].splay[e];
}

static void begin(track *t, int digit)
{
    *t = (track){.run = {.digit = digit, .n = STEPS, .aside = t->aside}};
    for (int j = 0; j < HW_JOINTS; j++) t->run.joint[j] = t->joint[j];
}

// Closing, splayed or opposed by `aside`; false: its torque is not known.
static bool closing(const hw_hand *hand, const hw_digit_assessment *g, int digit, double aside,
                    track *t) // [rad]
{
    const hw_digit *d = &hand->digit[digit];
    const hw_stroke *s = &g->stroke;
    bool coupled = d->family == HW_FAMILY_COUPLED_BARS, known = true;
    begin(t, digit);
    for (size_t k = 0; k < STEPS; k++) {
        size_t i = k * (s->n - 1) / (STEPS - 1);
        double torque[HW_JOINTS];
        hw_digit_pose pose;
        known = known && hw_stroke_pose(d, s, i, &pose) == HW_OK;
        hw_assess_torque(hand, digit, s, i, hand->drive[digit].brief_share, torque);
        for (int j = 0; j < HW_JOINTS; j++) {
            t->joint[j][k] = s->joint[j][i];
            t->rate[j][k] = known ? pose.rate[j] : (double)NAN;
            t->torque[j][k] = torque[j];
        }
        t->aside[k] = aside;
    }
    for (int j = 0; j < HW_JOINTS; j++) {
        if (coupled) t->run.rate[j] = t->rate[j];
        if (!coupled || j == 0) t->run.torque[j] = t->torque[j];
    }
    return known;
}

static const hw_pack_place *place_of(const hw_hand *hand, int digit)
{
    for (size_t i = 0; i < hand->places.pack.places; i++)
        if (hand->places.whose[i] == digit) return &hand->places.place[i];
    return NULL;
}

// Splaying or opposing between two ends, closed by a share; false: its servo does not reach.
static bool splaying(const hw_hand *hand, const hw_digit_assessment *g, int digit, double s,
                     const double ends[2], track *t) // [1] [rad]
{
    const hw_mover *m = &hand->places.mover[digit];
    const hw_pack_place *at = place_of(hand, digit);
    double range[2], joint[HW_JOINTS];
    if (!at) return false;
    range_of(&hand->palm, digit, range);
    // the thumb's lever is told in the middle of its range
    double rest = digit == HW_THUMB ? (range[0] + range[1]) / 2 : 0;
    double torque = hand->drive[digit].brief_share * m->line.stall_torque;
    begin(t, digit);
    joints_at(g, s, joint);
    for (int k = 0; k < STEPS; k++) {
        for (int j = 0; j < HW_JOINTS; j++) t->joint[j][k] = joint[j];
        t->aside[k] = ends[0] + (ends[1] - ends[0]) * k / (STEPS - 1);
        t->torque[HW_CREASE_ASIDE][k] = torque * hw_servo_worth(&m->item, at, t->aside[k] - rest);
        if (!isfinite(t->torque[HW_CREASE_ASIDE][k])) return false;
    }
    t->run.torque[HW_CREASE_ASIDE] = t->torque[HW_CREASE_ASIDE];
    return true;
}

// Two digits, the first of which moves.
typedef struct pair {
    int moves, other;
    double own[2], its[2]; // splay or opposition [rad]
    double ends[2];        // of the first, away from the other and toward it [rad]
    bool thumb;            // one of the two
} pair;

static void try_run(const hw_hand *hand, const track *t, const pair *p, size_t n,
                    const hw_palm_still held[], bool aside, hw_digit_touch *out)
{
    hw_palm_caught c;
    if (hw_palm_crease_beside(&hand->palm, &t->run, p->other, n, held, out->beside.peak.force,
                              &c) != HW_OK)
        out->unknown = "the palm's or the digit's numbers are faulty";
    else if (c.peak.force > out->beside.peak.force) {
        out->beside = c;
        out->other = p->other;
        out->aside = aside;
    }
}

static double between(const double range[2], double share) // [rad] [1]
{
    return range[0] + share * (range[1] - range[0]);
}

// How the other stands while the first does a share of what it may: neighbours close together; to a
// thumb, or a thumb's finger, any share of its own. Returns how many ways.
static size_t held_at(const hw_digit_assessment digit[HW_DIGITS], const pair *p, double share,
                      hw_palm_still out[SHARES]) // [1]
{
    size_t n = p->thumb ? SHARES : 1;
    for (size_t k = 0; k < n; k++) {
        out[k].aside = p->other == HW_THUMB ? between(p->its, share) : 0;
        joints_at(&digit[p->other], p->thumb ? (double)k / (SHARES - 1) : share, out[k].joint);
    }
    return n;
}

static void splays(const hw_hand *hand, const hw_digit_assessment digit[HW_DIGITS], const pair *p,
                   hw_digit_touch *out)
{
    for (int k = 0; k < SHARES; k++) {
        track t;
        hw_palm_still held[SHARES];
        double share = k / (SHARES - 1.0);
        size_t n = held_at(digit, p, share, held);
        if (splaying(hand, &digit[p->moves], p->moves, share, p->ends, &t))
            try_run(hand, &t, p, n, held, true, out);
        else
            out->unknown = "its splay's or opposition's servo does not reach its lever";
    }
}

static void closes(const hw_hand *hand, const hw_digit_assessment digit[HW_DIGITS], const pair *p,
                   hw_digit_touch *out)
{
    track t;
    hw_palm_still held[SHARES * SHARES];
    size_t n = 0;
    if (!closing(hand, &digit[p->moves], p->moves, p->ends[0], &t)) {
        out->unknown = "the torque of its joints is not known";
        return;
    }
    for (int k = 0; k < SHARES; k++) {
        double share = k / (SHARES - 1.0);
        n += held_at(digit, p, share, held + n);
        if (p->moves != HW_THUMB) continue; // it closes splayed away from the other all the time
        for (int i = 0; i < STEPS; i++) t.aside[i] = between(p->own, share);
        try_run(hand, &t, p, n, held, false, out);
        n = 0;
    }
    if (n) try_run(hand, &t, p, n, held, false, out);
}

// One digit against another, which is closed by no, half and all of its travel.
static void against(const hw_hand *hand, const hw_digit_assessment digit[HW_DIGITS], int i,
                    int other, hw_digit_touch *out)
{
    bool up = i == HW_THUMB || i > other; // the thumb comes on from open to opposed
    pair p = {.moves = i, .other = other, .thumb = i == HW_THUMB || other == HW_THUMB};
    range_of(&hand->palm, i, p.own);
    range_of(&hand->palm, other, p.its);
    p.ends[0] = p.own[!up];
    p.ends[1] = p.own[up];
    closes(hand, digit, &p, out);
    if (hand->places.mover[i].driven && p.own[1] > p.own[0]) splays(hand, digit, &p, out);
}

static void beside(const hw_hand *hand, const hw_digit_assessment digit[HW_DIGITS], int i,
                   hw_digit_touch *out)
{
    out->beside = (hw_palm_caught){{0, NAN, NAN}, {NAN, NAN, NAN}, -1, -1};
    for (int other = i - 1; other <= i + 1; other += 2) { // the thumb stands beside the index
        if (other < 0 || other >= HW_DIGITS || !hand->present[other]) continue;
        if (whole(&digit[other]))
            against(hand, digit, i, other, out);
        else
            out->unknown = "the digit beside it does not close";
    }
    if (out->unknown) out->beside.peak.force = NAN;
}

static void try_side(const hw_hand *hand, const track *t, bool aside, hw_digit_touch *out)
{
    hw_palm_caught c;
    if (hw_palm_crease_side(&hand->palm, &t->run, out->side.peak.force, &c) != HW_OK)
        out->side_unknown = "the palm's or the digit's numbers are faulty";
    else if (c.peak.force > out->side.peak.force) {
        out->side = c;
        out->side_aside = aside;
    }
}

// The thumb on the palm: closing, opposed by no, half and all of its range; opposing and coming
// home, closed by no, half and all of its travel.
static void on_the_palm(const hw_hand *hand, const hw_digit_assessment *g, hw_digit_touch *out)
{
    double ends[2][2];
    track t;
    out->side = (hw_palm_caught){{0, NAN, NAN}, {NAN, NAN, NAN}, -1, -1};
    range_of(&hand->palm, HW_THUMB, ends[0]);
    ends[1][0] = ends[0][1], ends[1][1] = ends[0][0];
    bool opposes = hand->places.mover[HW_THUMB].driven && ends[0][1] > ends[0][0];
    for (int k = 0; k < SHARES; k++) {
        double share = k / (SHARES - 1.0);
        if (closing(hand, g, HW_THUMB, between(ends[0], share), &t))
            try_side(hand, &t, false, out);
        else
            out->side_unknown = "the torque of its joints is not known";
        for (int way = 0; way < 2 && opposes; way++)
            if (splaying(hand, g, HW_THUMB, share, ends[way], &t))
                try_side(hand, &t, true, out);
            else
                out->side_unknown = "its opposition's servo does not reach its lever";
    }
    if (out->side_unknown) out->side.peak.force = NAN;
}

void hw_assess_crease(const hw_hand *hand, hw_digit_assessment digit[HW_DIGITS])
{
    for (int i = 0; i < HW_DIGITS; i++) {
        hw_palm_caught *out = &digit[i].palm.caught;
        track t;
        *out = none;
        if (i == HW_THUMB || !whole(&digit[i]) || !closing(hand, &digit[i], i, 0, &t)) continue;
        if (hw_palm_crease_palm(&hand->palm, &t.run, out) != HW_OK) *out = none;
    }
}

void hw_assess_touch(const hw_hand *hand, hw_digit_assessment digit[HW_DIGITS])
{
    for (int i = 0; i < HW_DIGITS; i++) {
        digit[i].touch = (hw_digit_touch){.beside = none, .side = none};
        if (!whole(&digit[i])) continue;
        beside(hand, digit, i, &digit[i].touch);
        if (i == HW_THUMB) on_the_palm(hand, &digit[i], &digit[i].touch);
    }
}

// ---- values

static double crease_palm(const hw_assess_subject *s)
{
    if (s->number == HW_THUMB) return s->got->touch.side.peak.force;
    return s->got->palm.caught.peak.force;
}

static double crease_beside(const hw_assess_subject *s)
{
    return s->got->touch.beside.peak.force;
}

const hw_assess_row hw_assess_touch_row[] = {
    {"crease_palm", HW_FOR_ANY, true, crease_palm},
    {"crease_beside", HW_FOR_ANY, true, crease_beside},
};
const size_t hw_assess_touch_rows = sizeof hw_assess_touch_row / sizeof hw_assess_touch_row[0];

// ---- notes

static const char *part_of(int digit, int phalanx)
{
    static const char *const finger[] = {"carrier", "proximal phalanx", "middle phalanx",
                                         "distal phalanx"};
    static const char *const thumb[] = {"carrier", "metacarpal", "proximal phalanx",
                                        "distal phalanx"};
    return (digit == HW_THUMB ? thumb : finger)[phalanx + 1];
}

static void put_peak(hw_buffer *b, const hw_palm_caught *c)
{
    hw_note_number(b, 1e3 * c->peak.gap, 0, " mm, at ");
    hw_note_number(b, 100 * c->peak.at_s, 0, " % of that");
}

// "its splay presses it between proximal phalanx and the middle finger's middle phalanx, gap 5 mm,
// at 60 % of that"
const char *hw_assess_touch_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                 const hw_finding *f)
{
    const hw_digit_touch *t = &g->touch;
    bool palm = strcmp(f->kind->id, "crease_palm") == 0;
    (void)hand;
    if (!palm && strcmp(f->kind->id, "crease_beside") != 0) return NULL;
    bool thumb = f->digit == HW_THUMB, aside = palm ? thumb && t->side_aside : t->aside;
    const char *why = !palm ? t->unknown : thumb ? t->side_unknown : NULL;
    if (why) return why;
    const hw_palm_caught *c = !palm ? &t->beside : thumb ? &t->side : &g->palm.caught;
    if (isnan(f->value)) return NULL;
    if (!(c->peak.force > 0)) return palm ? "no finger is pressed on the palm" : "no finger is";
    hw_buffer b = {.arena = a};
    if (palm)
        hw_buffer_format(&b, "%s presses it between %s and palm, gap ",
                         aside ? "opposition" : "closing", part_of(f->digit, c->phalanx));
    else
        hw_buffer_format(&b, "%s presses it between %s and the %s's %s, gap ",
                         !aside  ? "closing"
                         : thumb ? "opposing"
                                 : "its splay",
                         part_of(f->digit, c->phalanx), hw_digit_name[t->other],
                         part_of(t->other, c->still));
    put_peak(&b, c);
    return b.at;
}
