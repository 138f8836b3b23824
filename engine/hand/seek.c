// The search for slots, levers and horns of the servos in the palm beside sheaths that give way.
#include "base/rng.h"
#include "hand/fit_internal.h"

#include <math.h>

enum {
    SHEATHS = 200, // owner of sheaths
    ALONG = 3,     // places of a lever's end: behind the carrier,
    ACROSS = 5,    // across it,
    UP = 7,        // and above each other
    HOLES = 4,     // of a horn
    AROUND = 24,   // of the thumb's lever, about its axis
    OPTIONS = HOLES * 8 * AROUND,
    STARTS = 24,  // from choices of places
    DESCENTS = 4, // from the best of these
    TURNS = 12,   // of servos and sheaths
    STEPS = 500   // of servos in each
};

static const double least_hole = 0.55; // of the document's, that a horn may be cut down to [1]

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// ---- what is lacking

static double servos_lack(const hw_hand *hand) // [m]
{
    const hw_places *p = &hand->places;
    double sum = 0;
    for (size_t i = 0; i < p->movers; i++) {
        sum += fmax(-p->place[i].room, 0);
        sum += fmax(p->place[i].thickness - hand->palm.thickness, 0);
    }
    return sum + (p->seat < 0 ? -p->seat : 0);
}

static double ways_lack(const hw_design *d, const hw_hand *hand) // [m]
{
    const hw_places *p = &hand->places;
    double sum = fmax(-p->bundle, 0);
    size_t cords = 0;
    for (size_t i = 0; i < p->sheaths; i++) {
        const hw_sheath_way *s = &p->sheath[i];
        double wanted = get(d, HW_E_OWN_SHEATH_RADIUS, s->digit);
        sum += fmax(-s->room, 0) + fmax(wanted - s->way.radius, 0) / 4;
    }
    for (size_t i = 0; i < p->leads; i++) {
        sum += fmax(p->lead[i].needs - p->lead[i].has, 0);
        cords += p->lead[i].in_palm;
    }
    // a way that was not found
    return sum + (double)(2 * p->drums - p->sheaths + p->movers - cords) * hand->palm.length;
}

double hw_hand_lacks(const hw_design *d, const hw_hand *hand)
{
    return servos_lack(hand) + (hand->places.routed ? ways_lack(d, hand) : 0);
}

// What the descent compares: of two that lack as much the one with fewer crossings.
static double cost_of(const hw_design *d, const hw_hand *hand) // [m]
{
    double sum = hw_hand_lacks(d, hand);
    for (size_t i = 0; i < hand->places.sheaths; i++) {
        const hw_sheath_way *s = &hand->places.sheath[i];
        sum += 0.01 * hand->drive[s->digit].sheath_outer * (double)s->crossings;
    }
    return sum;
}

// ---- options of levers and horns

// Where a finger's rod may end: behind its yoke's plate, between the mouths of its sheaths.
static size_t finger_ends(const hw_hand *hand, int digit, hw_vec3 out[])
{
    const hw_palm_digit *g = &hand->palm.digit[digit];
    double thick = g->thickness[0];
    hw_body yoke = hw_hand_yoke(hand, digit, 0);
    hw_vec3 back = hw_vec3_along(yoke.frame.at, -yoke.half.x, yoke.frame.x);
    double aside = hw_vec3_dot(hw_vec3_sub(back, g->knuckle.at), g->knuckle.y);
    back = hw_vec3_along(g->knuckle.at, hw_vec3_dot(hw_vec3_sub(back, g->knuckle.at), g->knuckle.x),
                         g->knuckle.x);
    back = hw_vec3_along(back, aside, g->knuckle.y);
    size_t n = 0;
    for (int i = 0; i < ALONG; i++)
        for (int k = 0; k < ACROSS; k++)
            for (int m = 0; m < UP; m++) {
                hw_vec3 at = hw_vec3_along(back, -(0.13 + 0.09 * i) * thick, g->knuckle.x);
                at = hw_vec3_along(at, (0.18 * k - 0.36) * g->width, g->knuckle.y);
                out[n++] = hw_vec3_along(at, (0.09 * m - 0.27) * thick, g->knuckle.z);
            }
    return n;
}

// Where the thumb's may end: about the axis of opposition, beside its base.
static size_t thumb_ends(const hw_hand *hand, const hw_servo_lever *l, hw_vec3 out[])
{
    double thick = hand->palm.digit[HW_THUMB].thickness[0];
    hw_vec3 wrist = l->axis.x > 0 ? hw_vec3_times(l->axis, -1) : l->axis;
    hw_vec3 u = hw_vec3_square(wrist), w = hw_vec3_cross(wrist, u);
    size_t n = 0;
    for (int i = 0; i < 4; i++)
        for (int k = 0; k < 2 * AROUND; k++) {
            const int side = k / 2;
            double turn = 2 * HW_PI * side / AROUND, far = (k % 2 ? 0.5 : 0.42) * thick;
            hw_vec3 at = hw_vec3_along(l->at, -0.1 * (i + 1) * thick, wrist);
            at = hw_vec3_along(at, far * cos(turn), u);
            out[n++] = hw_vec3_along(at, far * sin(turn), w);
        }
    return n;
}

// All ends with all horns that turn far enough for them.
static size_t options_of(const hw_hand *hand, int digit, hw_pack_option out[OPTIONS])
{
    const hw_pack_item *own = &hand->places.mover[digit].item;
    hw_vec3 end[OPTIONS / HOLES];
    size_t n = 0, ends = digit == HW_THUMB ? thumb_ends(hand, &own->lever, end)
                                           : finger_ends(hand, digit, end);
    double tail = own->shape.horn_arm - own->shape.horn_hole;
    for (size_t i = 0; i < ends; i++)
        for (int h = 0; h < HOLES; h++) {
            double share = least_hole + (1 - least_hole) * h / (HOLES - 1);
            hw_pack_item with = *own;
            with.lever.end = end[i];
            with.shape.horn_hole *= share;
            double turns = hw_hand_horn_turns(hand, digit, &with);
            if (turns > 1.2) continue; // near the dead point
            out[n] = (hw_pack_option){.end = end[i],
                                      .horn_hole = with.shape.horn_hole,
                                      .horn_arm = with.shape.horn_hole + tail,
                                      .turns = turns};
            hw_hand_lug(hand, digit, end[i], &out[n++].lug);
        }
    return n;
}

// ---- together

static void add_sheaths(const hw_hand *hand, hw_obstacles *o)
{
    hw_body part[HW_ROUTE_BODIES];
    for (size_t i = 0; i < hand->places.sheaths; i++) {
        const hw_sheath_way *s = &hand->places.sheath[i];
        size_t n = hw_route_bodies(&s->way, hand->drive[s->digit].sheath_outer / 2, part);
        for (size_t k = 0; k < n && o->n < HW_OBSTACLES; k++)
            if (part[k].frame.at.x + part[k].half.z > 0)
                o->at[o->n++] = (hw_obstacle){part[k], SHEATHS};
    }
}

static void lay_ways(const hw_design *d, hw_hand *hand)
{
    for (int i = 0; i < HW_DIGITS; i++)
        hand->drive[i].sheath_radius = get(d, HW_E_OWN_SHEATH_RADIUS, i);
    if (hand->places.routed) hw_hand_ways(d, NULL, hand);
}

// What the search may choose from, one list a mover in turn.
typedef struct choices {
    hw_pack_option *of[HW_DIGITS];
    size_t n[HW_DIGITS];
} choices;

static bool choices_of(hw_arena *a, const hw_hand *hand, choices *out)
{
    for (size_t i = 0; i < hand->places.movers; i++) {
        out->of[i] = HW_NEW(a, hw_pack_option, OPTIONS);
        if (!out->of[i]) return false;
        out->n[i] = options_of(hand, hand->places.whose[i], out->of[i]);
    }
    return true;
}

// A share of the way from the item's lever and horn to an option's.
static void take(const hw_hand *hand, int digit, const hw_pack_option *o, double share,
                 hw_pack_item *item) // [1]
{
    item->lever.end = hw_vec3_along(item->lever.end, share, hw_vec3_sub(o->end, item->lever.end));
    item->shape.horn_hole += share * (o->horn_hole - item->shape.horn_hole);
    item->shape.horn_arm += share * (o->horn_arm - item->shape.horn_arm);
    item->shape.horn_turns = hw_hand_horn_turns(hand, digit, item);
}

static double stray(hw_rng *rng, double by) // [m] [m]
{
    return hw_rng_uniform(rng, -by, by);
}

// One servo a little elsewhere, or its lever and horn a little nearer to one of their options.
static void nudge(const hw_hand *hand, const choices *c, hw_rng *rng, double step,
                  hw_hand *out) // [m]
{
    const hw_places *p = &hand->places;
    if (p->movers == 0) return;
    size_t i = hw_rng_next(rng) % p->movers;
    hw_pack_item *item = &out->places.mover[p->whose[i]].item;
    if (hw_rng_next(rng) % 3 == 0 && c->n[i] > 0 && c->of[i])
        // the thumb's turns about the axis between its options, which none may come near
        take(out, p->whose[i], &c->of[i][hw_rng_next(rng) % c->n[i]],
             p->whose[i] == HW_THUMB ? 1 : hw_rng_uniform(rng, 0, 1), item);
    else
        item->slot.at = hw_vec3_add(
            item->slot.at, (hw_vec3){stray(rng, step), stray(rng, step), stray(rng, step)});
}

// What the search works with.
typedef struct seeker {
    const hw_design *d;
    const hw_job *job;
    choices c;
    const hw_fitter *fit;
    hw_obstacles bodies, around; // what stands in the palm; with sheaths
    hw_hand bare, trial;
} seeker;

// What servos lack beside `around`, and what sheaths lack beside them by their families; no farther
// than `most`. [m]
static double lack_of(const seeker *s, const hw_hand *hand, bool families, double most)
{
    double lack = servos_lack(hand);
    const hw_places *p = &hand->places;
    return families && lack < most ? lack + hw_fit_lack(s->fit, p->place, p->movers) : lack;
}

// Servos take steps at random, longer after each that helped: sheaths give way within their
// families, or lie still in `around`.
static void settle(seeker *s, hw_rng *rng, bool families)
{
    hw_hand *next = &s->bare; // its own ways are in `around` by now
    hw_hand_stand(s->d, &s->around, &s->trial);
    *next = s->trial;
    const double length = next->palm.length;
    double lack = lack_of(s, &s->trial, families, INFINITY), step = length / 30;
    for (int i = 0; i < STEPS && lack > 0; i++) {
        next->places = s->trial.places;
        nudge(&s->trial, &s->c, rng, step, next);
        hw_hand_stand(s->d, &s->around, next);
        double now = lack_of(s, next, families, lack);
        step *= now < lack ? 1.5 : 0.98;
        step = fmin(fmax(step, 1e-3 * length), length / 10);
        if (!(now < lack)) continue;
        s->trial.places = next->places;
        lack = now;
    }
}

// A choice of places in the trial, settled beside families of ways, and its sheaths laid.
static void begin(seeker *s, const hw_fit_choice *from, unsigned start)
{
    hw_rng rng = hw_rng_new(2, start);
    for (size_t i = 0; i < s->trial.places.movers; i++) {
        int digit = s->trial.places.whose[i];
        const hw_pack_place *at = &from->place[i];
        hw_pack_item *item = &s->trial.places.mover[digit].item;
        if (at->option >= 0) take(&s->trial, digit, &s->c.of[i][at->option], 1, item);
        item->slot = at->slot;
    }
    s->around = s->bodies;
    settle(s, &rng, true);
    hw_hand_stand(s->d, &s->bodies, &s->trial);
    lay_ways(s->d, &s->trial);
}

// The trial among the best so far, in place of the worst.
static void keep_trial(const seeker *s, hw_hand best[DESCENTS])
{
    size_t worst = 0;
    for (size_t i = 1; i < DESCENTS; i++)
        if (cost_of(s->d, &best[i]) > cost_of(s->d, &best[worst])) worst = i;
    if (cost_of(s->d, &s->trial) < cost_of(s->d, &best[worst])) best[worst] = s->trial;
}

// Servos give way to sheaths and sheaths to servos, in turn, from the best so far: sheaths lie as
// they do there, or in every second round as they would in an empty palm. False: asked to stop.
static bool descend(seeker *s, unsigned start, hw_hand *best)
{
    hw_rng rng = hw_rng_new(1, start);
    for (int i = 0; i < TURNS && hw_hand_lacks(s->d, best) > 0; i++) {
        double done = (start + (double)i / TURNS) / DESCENTS;
        if (!hw_job_go_on(s->job, done, "servos and sheaths")) return false;
        s->trial = s->bare = *best;
        if (i % 2) {
            s->bare.places.pack.places = s->bare.places.movers = 0;
            lay_ways(s->d, &s->bare);
        }
        s->around = s->bodies;
        if (best->places.routed) add_sheaths(&s->bare, &s->around);
        settle(s, &rng, false);
        hw_hand_stand(s->d, &s->bodies, &s->trial);
        lay_ways(s->d, &s->trial);
        if (cost_of(s->d, &s->trial) < cost_of(s->d, best)) *best = s->trial;
    }
    return true;
}

// Choices of places for all servos beside families of ways, from what the document says.
static hw_code choose(hw_arena *a, seeker *s, const hw_hand *hand, hw_fit_choice out[], size_t *n)
{
    hw_pack_item item[HW_DIGITS];
    int whose[HW_DIGITS] = {0};
    size_t items = hw_hand_items(&hand->places, item, whose);
    if (!choices_of(a, hand, &s->c)) return HW_NO_MEMORY;
    for (size_t i = 0; i < items; i++) {
        hw_hand_lug(hand, whose[i], item[i].lever.end, &item[i].lug);
        item[i].option = s->c.of[i];
        item[i].options = s->c.n[i];
    }
    hw_pack_def def = hw_hand_pack_def(s->d, hand, &s->bodies, item, items);
    return hw_fit_choices(a, s->fit, &def, s->job, out, n);
}

hw_code hw_hand_slots(hw_arena *a, const hw_design *d, const hw_hand *hand, const hw_job *job,
                      hw_hand *found)
{
    *found = *hand;
    if (hand->places.movers == 0 || hw_hand_lacks(d, hand) <= 0) return HW_OK;
    seeker *s = HW_NEW(a, seeker, 1);
    hw_hand *from = HW_NEW(a, hw_hand, 1), *best = HW_NEW(a, hw_hand, DESCENTS);
    hw_fit_choice *choice = HW_NEW(a, hw_fit_choice, HW_FIT_CHOICES);
    if (!s || !from || !best || !choice) return HW_NO_MEMORY;
    *s = (seeker){.d = d, .job = job};
    *from = *hand;
    for (int i = 0; i < HW_DIGITS; i++) // ways may have left a tighter one
        from->drive[i].sheath_radius = get(d, HW_E_OWN_SHEATH_RADIUS, i);
    s->fit = hw_fitter_of(a, from);
    if (!s->fit) return HW_NO_MEMORY;
    hw_hand_obstacles(hand, &s->bodies);
    size_t n = 0;
    hw_code code = choose(a, s, hand, choice, &n);
    if (code != HW_OK) return code;
    for (size_t i = 0; i < DESCENTS; i++) best[i] = *hand;
    bool whole = true;
    for (unsigned k = 0; k < n && k < STARTS && whole; k++) {
        whole = hw_job_go_on(job, (double)k / STARTS, "servos");
        s->trial = *from;
        if (whole) begin(s, &choice[k], k);
        keep_trial(s, best);
        if (whole && hw_hand_lacks(d, &s->trial) <= 0) break;
    }
    for (unsigned k = 0; k < DESCENTS; k++) {
        if (whole && hw_hand_lacks(d, found) > 0) whole = descend(s, k, &best[k]);
        if (cost_of(d, &best[k]) < cost_of(d, found)) *found = best[k];
    }
    return whole ? HW_OK : HW_CANCELLED;
}
