// Digits on the palm: stops, fists, neighbours, opposition, and what to say beside them.
#include "assess/assess_internal.h"

#include <math.h>
#include <string.h>

static const double extra = 5 * HW_PI / 180;    // that a relief is to free [rad]
static const double no_stop = 40 * HW_PI / 180; // as far as core/palm looks [rad]
static const double no_meeting = 60 * HW_PI / 180;

static hw_palm_motion motion_of(const hw_digit_assessment *g)
{
    const hw_stroke *s = &g->stroke;
    return (hw_palm_motion){g->present ? s->n : 0, {s->joint[0], s->joint[1], s->joint[2]}};
}

// The next finger that is there, toward the little one; 0: none.
static int next_of(const hw_hand *hand, int digit)
{
    return digit < HW_LITTLE && hand->present[digit + 1] ? digit + 1 : 0;
}

// Faulty numbers, or no such finger: the values are NaN, and their findings unknown.
static void told_by_nan(hw_code code)
{
    (void)code;
}

void hw_assess_palm(const hw_hand *hand, hw_digit_assessment digit[HW_DIGITS])
{
    hw_palm_motion motion[HW_DIGITS];
    for (int i = 0; i < HW_DIGITS; i++) motion[i] = motion_of(&digit[i]);
    for (int i = 0; i < HW_DIGITS; i++) {
        hw_digit_on_palm *p = &digit[i].palm;
        const hw_palm *on = &hand->palm;
        p->next = i > HW_THUMB && hand->present[i] ? next_of(hand, i) : 0;
        int next = p->next ? p->next : HW_DIGITS - 1;
        told_by_nan(hw_palm_stop_of(on, i, &motion[i], extra, &p->stop));
        told_by_nan(hw_palm_cylinders_of(on, i, &motion[i], p->stop.at, &p->cylinders));
        told_by_nan(
            hw_palm_pair_of(on, p->next ? i : HW_THUMB, &motion[i], &motion[next], &p->pair));
        told_by_nan(hw_palm_splay_room_of(on, i, motion, &p->splay));
        told_by_nan(hw_palm_meeting_of(on, i, &motion[HW_THUMB], &motion[i], &p->meeting));
    }
    hw_assess_crease(hand, digit);
}

// ---- values

static double palm_stop(const hw_assess_subject *s)
{
    double spare = s->got->palm.stop.spare;
    return isinf(spare) ? no_stop : spare;
}

static double fist_reach(const hw_assess_subject *s)
{
    return s->got->palm.stop.reach;
}

// The finger before this one, or 0.
static int before(const hw_assess_subject *s)
{
    int i = s->number - 1;
    return i > HW_THUMB && s->hand->present[i] ? i : 0;
}

static const hw_digit_on_palm *of(const hw_assess_subject *s, int digit)
{
    return &(s->got + (digit - s->number))->palm; // digits stand in one array
}

// The smaller gap to either side; -1: no neighbour.
static int nearer(const hw_assess_subject *s)
{
    int prior = before(s), next = s->got->palm.next;
    if (!prior && !next) return -1;
    if (!prior) return s->number;
    if (!next) return prior;
    return of(s, prior)->pair.least < s->got->palm.pair.least ? prior : s->number;
}

static double neighbour_gap(const hw_assess_subject *s)
{
    int pair = nearer(s);
    return pair < 0 ? (double)INFINITY : of(s, pair)->pair.least;
}

static double splay_room(const hw_assess_subject *s)
{
    const hw_palm_splay_room *r = &s->got->palm.splay;
    const double *range = s->hand->palm.digit[s->number].splay;
    double away = fmin(r->free[0][0], no_meeting) + range[0];
    double toward = fmin(r->free[0][1], no_meeting) - range[1];
    return isnan(r->free[0][0]) ? (double)NAN : fmin(away, toward);
}

static double thumb_miss(const hw_assess_subject *s)
{
    return s->got->palm.meeting.miss;
}

static double thumb_angle(const hw_assess_subject *s)
{
    return s->got->palm.meeting.angle;
}

const hw_assess_row hw_assess_palm_row[] = {
    {"palm_stop", HW_FOR_FINGER | HW_FOR_ANY, true, palm_stop},
    {"fist_reach", HW_FOR_FINGER | HW_FOR_ANY, true, fist_reach},
    {"neighbour_gap", HW_FOR_FINGER | HW_FOR_ANY, true, neighbour_gap},
    {"splay_room", HW_FOR_FINGER | HW_FOR_ANY, true, splay_room},
    {"thumb_miss", HW_FOR_FINGER | HW_FOR_THUMBED | HW_FOR_ANY, true, thumb_miss},
    {"thumb_angle", HW_FOR_FINGER | HW_FOR_THUMBED | HW_FOR_ANY, true, thumb_angle},
};
const size_t hw_assess_palm_rows = sizeof hw_assess_palm_row / sizeof hw_assess_palm_row[0];

double hw_assess_cylinder(const hw_hand *hand, const hw_digit_assessment digit[HW_DIGITS],
                          bool least, int *which)
{
    double worst = NAN;
    *which = HW_THUMB;
    for (int i = HW_INDEX; i <= HW_LITTLE; i++) {
        if (!hand->present[i]) continue;
        const hw_palm_cylinders *c = &digit[i].palm.cylinders;
        double one = least ? c->least : c->most;
        if (isnan(one)) return NAN;
        bool worse = least ? one > worst : one < worst;
        if (*which != HW_THUMB && !worse) continue;
        worst = one;
        *which = i;
    }
    return worst;
}

// ---- notes

static void put_deg(hw_buffer *b, double angle, const char *after) // [rad]
{
    hw_note_number(b, angle * 180 / HW_PI, 1, after);
}

// "the proximal phalanx meets the palm's front edge at 92.3 deg; 1.2 mm off it free 5 deg more"
static const char *stop_note(hw_arena *a, const hw_palm_stop *s)
{
    static const char *const phalanx[HW_JOINTS] = {"proximal", "middle", "distal"};
    if (s->phalanx < 0) return "nothing within 40 deg past the closed end";
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "the %s phalanx meets the palm's %s at ", phalanx[s->phalanx],
                     s->front ? "front edge" : "inside");
    put_deg(&b, s->knuckle, " deg; ");
    hw_note_number(&b, 1e3 * s->relief, 1, " mm off it free 5 deg more");
    return b.at;
}

static const char *gap_note(hw_arena *a, const hw_assess_subject *s)
{
    int pair = nearer(s);
    if (pair < 0) return "no neighbour";
    const hw_palm_pair *p = &of(s, pair)->pair;
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "beside the %s finger at ",
                     hw_digit_name[pair == s->number ? s->got->palm.next : pair]);
    hw_note_number(&b, 100 * p->at, 0, " % of the travel; rolled toward each other by ");
    put_deg(&b, p->roll, " deg, closed they would meet at ");
    put_deg(&b, p->free_roll, " deg");
    return b.at;
}

static const char *splay_note(hw_arena *a, const hw_assess_subject *s)
{
    const hw_palm_splay_room *r = &s->got->palm.splay;
    const hw_palm_digit *d = &s->hand->palm.digit[s->number];
    hw_buffer b = {.arena = a};
    if (!(d->splay[1] > d->splay[0])) return "stands still; what its neighbours leave it";
    hw_buffer_puts(&b, "its tip swings ");
    hw_note_number(&b, 1e3 * r->aside[0], 1, " mm open, ");
    hw_note_number(&b, 1e3 * r->aside[1], 1, " mm closed, where splay is ");
    double twist = hw_palm_splaying_at(d->travel[1]).twist;
    hw_note_number(&b, 100 * twist, 0, " % twist");
    return b.at;
}

static const char *meeting_note(hw_arena *a, const hw_assess_subject *s)
{
    const hw_palm_meeting *m = &s->got->palm.meeting;
    hw_buffer b = {.arena = a};
    hw_buffer_puts(&b, "thumb opposed by ");
    put_deg(&b, m->opposition, " deg, base at ");
    hw_note_number(&b, 100 * m->base, 0, " %, finger closed to ");
    hw_note_number(&b, 100 * m->close, 0, " %, pads' planes ");
    put_deg(&b, m->angle, " deg apart");
    return b.at;
}

const char *hw_assess_palm_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                const hw_finding *f)
{
    const char *id = f->kind->id;
    hw_assess_subject s = {hand, f->digit, &hand->digit[f->digit], g};
    bool pads = strcmp(id, "thumb_miss") == 0;
    if (isnan(f->value)) return pads && !hand->present[HW_THUMB] ? "no thumb" : NULL;
    if (strcmp(id, "palm_stop") == 0) return stop_note(a, &g->palm.stop);
    if (strcmp(id, "neighbour_gap") == 0) return gap_note(a, &s);
    if (strcmp(id, "splay_room") == 0) return splay_note(a, &s);
    return strcmp(id, "thumb_miss") == 0 ? meeting_note(a, &s) : NULL;
}
