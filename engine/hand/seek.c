// The search for slots, levers and horns of the servos in the palm beside sheaths that give way.
#include "base/rng.h"
#include "hand/fit_internal.h"
#include "hand/tray_internal.h"

#include <math.h>

enum {
    SHEATHS = 200, // owner of sheaths
    WALKS = 40,    // of the annealing at most,
    ROUTED = 4,    // and for each descent
    STEPS = 20000, // of each walk
    FEW = 40,      // ways of each family that the walks are judged by
    DESCENTS = 4,  // beside sheaths
    TURNS = 12,    // of servos and sheaths
    NUDGES = 500   // of servos in each
};

_Static_assert(FEW *HW_SHEATH_WAYS <= HW_PACK_MARKS, "marks of a place");

static const double least_hole = 0.55; // of the document's, that a horn may be cut down to [1]

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// ---- what is lacking

// Where a servo's rod does not follow its lever over the whole range, as a length that a search can
// lessen: the share of the range that it misses.
static double reach_lack(const hw_palm *palm, const hw_pack_item *item,
                         const hw_pack_place *place) // [m]
{
    enum { TURNS_TRIED = 9 };
    const int digit = item->lever.owner;
    const double *range = digit == HW_THUMB ? palm->opposition : palm->digit[digit].splay;
    const double middle = digit == HW_THUMB ? (range[0] + range[1]) / 2 : 0;
    int missed = 0;
    for (int i = 0; i < TURNS_TRIED; i++) {
        const double turn = range[0] + (range[1] - range[0]) * i / (TURNS_TRIED - 1) - middle;
        missed += !isfinite(hw_servo_worth(item, place, turn));
    }
    return 0.1 * palm->length * missed / TURNS_TRIED;
}

static double servos_lack(const hw_hand *hand) // [m]
{
    const hw_places *p = &hand->places;
    double sum = 0;
    for (size_t i = 0; i < p->movers; i++) {
        sum += fmax(-p->place[i].room, 0);
        sum += fmax(p->place[i].thickness - (hand->palm.height - hand->palm.deeper), 0);
        sum += reach_lack(&hand->palm, &p->mover[p->whose[i]].item, &p->place[i]);
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

// ---- levers and horns

// What the search works with.
typedef struct seeker {
    const hw_design *d;
    const hw_job *job;
    const hw_fitter *fit, *few;
    const hw_tray *tray;
    const hw_hand *hand;
    int whose[HW_DIGITS];
    bool seated;                 // the thumb has a seat
    double hole[HW_DIGITS];      // of the whole horn, each mover's in turn [m]
    hw_obstacles bodies, around; // what stands in the palm; with sheaths
    hw_hand bare, trial;
} seeker;

// What servos lack in the tray and its lid.
static double tray_lacks(const seeker *s, const hw_hand *hand) // [m]
{
    const hw_places *p = &hand->places;
    const hw_pack_item *item[HW_DIGITS];
    const hw_pack_place *place[HW_DIGITS];
    for (size_t i = 0; i < p->movers; i++) {
        item[i] = &p->mover[p->whose[i]].item;
        place[i] = &p->place[i];
    }
    return s->tray ? hw_tray_lacks(s->tray, item, place, p->movers) : 0;
}

// All that is sought to be nothing.
static double wanting(const seeker *s, const hw_hand *hand) // [m]
{
    return hw_hand_lacks(s->d, hand) + tray_lacks(s, hand);
}

// What the descent compares: of two that lack as much the one with fewer crossings.
static double cost_of(const seeker *s, const hw_hand *hand) // [m]
{
    double sum = wanting(s, hand);
    for (size_t i = 0; i < hand->places.sheaths; i++) {
        const hw_sheath_way *w = &hand->places.sheath[i];
        sum += 0.01 * hand->drive[w->digit].sheath_outer * (double)w->crossings;
    }
    return sum;
}

// The whole horn's: a document may have cut it shorter than the palm's servos come.
static double whole_hole(const hw_design *d, const hw_hand *hand, int digit) // [m]
{
    static const hw_entry_id own[] = {HW_E_OWN_MOVER_LENGTH, HW_E_OWN_MOVER_WIDTH,
                                      HW_E_OWN_MOVER_HEIGHT};
    static const hw_entry_id usual[] = {HW_E_MOVER_LENGTH, HW_E_MOVER_WIDTH, HW_E_MOVER_HEIGHT};
    double hole = hand->places.mover[digit].item.shape.horn_hole;
    for (int i = 0; i < 3; i++)
        if (get(d, own[i], digit) != get(d, usual[i], -1)) return hole;
    return fmax(hole, get(d, HW_E_MOVER_HORN_HOLE, -1));
}

// Where a finger's rod may end: behind its yoke's plate, between the mouths of its sheaths.
static bool finger_end(const hw_hand *hand, int digit, hw_vec3 end)
{
    const hw_palm_digit *g = &hand->palm.digit[digit];
    const double thick = g->thickness[0];
    const hw_body yoke = hw_hand_yoke(hand, digit, 0);
    hw_vec3 at = hw_vec3_sub(end, g->knuckle.at);
    const hw_vec3 back = hw_vec3_along(yoke.frame.at, -yoke.half.x, yoke.frame.x);
    double behind = hw_vec3_dot(hw_vec3_sub(back, g->knuckle.at), g->knuckle.x);
    behind -= hw_vec3_dot(at, g->knuckle.x);
    return behind >= 0.12 * thick && behind <= 0.41 * thick &&
           fabs(hw_vec3_dot(at, g->knuckle.y)) <= 0.5 * g->width &&
           fabs(hw_vec3_dot(at, g->knuckle.z)) <= 0.32 * thick;
}

// Where the thumb's may end: about the axis of opposition, beside its base.
static bool thumb_end(const hw_hand *hand, const hw_servo_lever *l, hw_vec3 end)
{
    const double thick = hand->palm.digit[HW_THUMB].thickness[0];
    hw_vec3 arm = hw_vec3_sub(end, l->at);
    double along = hw_vec3_dot(arm, l->axis);
    double far = hw_vec3_norm(hw_vec3_along(arm, -along, l->axis));
    along = l->axis.x > 0 ? along : -along; // from the wrist
    return along >= -0.25 * thick && along <= 0.5 * thick && far >= 0.39 * thick &&
           far <= 0.64 * thick;
}

// Another lever and horn for a mover, where they turn far enough.
static bool lever_to(const void *self, size_t which, hw_vec3 end, double hole, hw_pack_item *x,
                     hw_pack_room *room) // [m]
{
    const seeker *s = (const seeker *)self;
    const int digit = s->whose[which];
    const hw_servo_lever *own = &s->hand->places.mover[digit].item.lever;
    bool free = hw_vec3_norm(hw_vec3_sub(end, own->end)) == 0; // the document's own
    if (!free)
        free = digit == HW_THUMB ? thumb_end(s->hand, own, end) : finger_end(s->hand, digit, end);
    if (!free) return false;
    const double tail = x->shape.horn_arm - x->shape.horn_hole, whole = s->hole[which];
    x->shape.horn_hole = fmin(fmax(hole, least_hole * whole), whole);
    x->shape.horn_arm = x->shape.horn_hole + tail;
    x->lever.end = end;
    x->shape.horn_turns = hw_hand_horn_turns(s->hand, digit, x);
    if (x->shape.horn_turns > 1.2) return false; // near the dead point
    hw_hand_lug(s->hand, digit, end, &x->lug);
    room->n = 0;
    if (digit != HW_THUMB) return true;
    room->n = hw_hand_thumb_room(s->hand, end, room->body);
    return !s->seated || x->lug.n > x->lug.hooked; // or it has no seat there
}

// How deep a servo stands in the sheaths' families.
static void mark(const void *self, const hw_pack_item *item, const hw_pack_place *place,
                 uint8_t out[HW_PACK_MARKS])
{
    (void)item;
    hw_fit_mark(((const seeker *)self)->few, place, out);
}

static double loose(const void *self, const hw_pack_item *const item[],
                    const hw_pack_place *const place[], const uint8_t *const marks[],
                    size_t n) // [m]
{
    const seeker *s = (const seeker *)self;
    double sum = s->tray ? hw_tray_lacks(s->tray, item, place, n) : 0;
    for (size_t i = 0; i < n; i++) sum += reach_lack(&s->hand->palm, item[i], place[i]);
    return sum + hw_fit_marked(s->few, marks, n);
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
    if (hand->places.routed) hw_hand_ways(d, NULL, false, hand);
}

static double stray(hw_rng *rng, double by) // [m] [m]
{
    return hw_rng_uniform(rng, -by, by);
}

// One servo a little elsewhere, or its lever's end.
static void nudge(const seeker *s, hw_rng *rng, double step, hw_hand *out) // [m]
{
    hw_places *p = &out->places;
    if (p->movers == 0) return;
    size_t i = hw_rng_next(rng) % p->movers;
    hw_pack_item *item = &p->mover[p->whose[i]].item;
    const bool lever =
        hw_rng_next(rng) % 3 == 0 && p->whose[i] != HW_THUMB; // its room goes with it
    hw_vec3 by = {stray(rng, step), stray(rng, step), stray(rng, step)};
    hw_pack_item to = *item;
    hw_pack_room none;
    if (!lever)
        item->slot.at = hw_vec3_add(item->slot.at, by);
    else if (lever_to(s, i, hw_vec3_add(item->lever.end, by), item->shape.horn_hole, &to, &none))
        *item = to;
}

// What servos lack beside `around`, and what sheaths lack beside them by their families; no farther
// than `most`. [m]
static double lack_of(const seeker *s, const hw_hand *hand, bool families, double most)
{
    double lack = servos_lack(hand) + tray_lacks(s, hand);
    const hw_places *p = &hand->places;
    const hw_pack_place *place[HW_DIGITS];
    for (size_t i = 0; i < p->movers; i++) place[i] = &p->place[i];
    return families && lack < most ? lack + hw_fit_lack(s->fit, place, p->movers) : lack;
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
    for (int i = 0; i < NUDGES && lack > 0; i++) {
        next->places = s->trial.places;
        nudge(s, rng, step, next);
        hw_hand_stand(s->d, &s->around, next);
        double now = lack_of(s, next, families, lack);
        step *= now < lack ? 1.5 : 0.98;
        step = fmin(fmax(step, 1e-3 * length), length / 10);
        if (!(now < lack)) continue;
        s->trial.places = next->places;
        lack = now;
    }
}

// Servos where the annealing has them in the trial, settled beside families of ways where there are
// any, and its sheaths laid.
static void begin(seeker *s, const hw_pack_item item[], unsigned start)
{
    hw_rng rng = hw_rng_new(2, start);
    for (size_t i = 0; i < s->trial.places.movers; i++)
        s->trial.places.mover[s->whose[i]].item = item[i];
    hw_hand_obstacles(&s->trial, &s->bodies);
    s->around = s->bodies;
    settle(s, &rng, s->trial.places.routed);
    hw_hand_stand(s->d, &s->bodies, &s->trial);
    lay_ways(s->d, &s->trial);
}

// Servos give way to sheaths and sheaths to servos, in turn, from the best so far: sheaths lie as
// they do there, or in every second round as they would in an empty palm. False: asked to stop.
static bool descend(seeker *s, unsigned start, hw_hand *best)
{
    hw_rng rng = hw_rng_new(1, start);
    for (int i = 0; i < TURNS && wanting(s, best) > 0; i++) {
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
        if (cost_of(s, &s->trial) < cost_of(s, best)) *best = s->trial;
    }
    return true;
}

// Places for all servos from what the document says, one try; *hand is what comes of it.
static hw_code anneal(hw_arena *a, seeker *s, unsigned start, hw_hand *hand)
{
    hw_pack_item item[HW_DIGITS];
    size_t items = hw_hand_items(&s->hand->places, item, s->whose);
    for (size_t i = 0; i < items; i++)
        hw_hand_lug(s->hand, s->whose[i], item[i].lever.end, &item[i].lug);
    hw_hand_standing(s->hand, &s->bodies);
    hw_pack_def def = hw_hand_pack_def(s->d, s->hand, &s->bodies, item, items);
    const hw_pack_free free = {lever_to, mark, loose, s};
    const bool routed = s->hand->places.routed;
    const hw_pack_effort effort = {start, routed ? ROUTED : WALKS, STEPS, start == 0};
    double lacks;
    hw_code code = hw_pack_find(a, &def, &free, &effort, s->job, item, &lacks);
    if (code != HW_OK && !(code == HW_CANCELLED && isfinite(lacks))) return code;
    s->trial = *s->hand;
    begin(s, item, start);
    *hand = s->trial;
    return code;
}

hw_code hw_hand_slots(hw_arena *a, const hw_design *d, const hw_hand *hand, const hw_job *job,
                      hw_hand *found)
{
    *found = *hand;
    if (hand->places.movers == 0) return HW_OK;
    // as thick as the document says to begin with, as deep as is needed in the end
    if (hw_hand_deepen(d, -found->palm.deeper, found)) lay_ways(d, found);
    seeker *s = HW_NEW(a, seeker, 1);
    hw_hand *from = HW_NEW(a, hw_hand, 1), *best = HW_NEW(a, hw_hand, 1);
    if (!s || !from || !best) return HW_NO_MEMORY;
    *s = (seeker){.d = d, .job = job, .hand = from};
    *from = *found;
    for (int i = 0; i < HW_DIGITS; i++) { // ways may have left a tighter one
        from->drive[i].sheath_radius = get(d, HW_E_OWN_SHEATH_RADIUS, i);
    }
    s->seated = !isnan(hand->places.seat);
    for (size_t i = 0; i < hand->places.movers; i++)
        s->hole[i] = whole_hole(d, hand, hand->places.whose[i]);
    s->fit = hw_fitter_of(a, from, HW_LAY_FAMILY);
    s->few = hw_fitter_of(a, from, FEW);
    if (!s->fit || !s->few) return HW_NO_MEMORY;
    const unsigned tries = hand->places.routed ? DESCENTS : 1;
    hw_tray *tray;
    hw_code code = hw_tray_of(a, d, from, job, &tray);
    if (code == HW_NO_MEMORY) return code;
    s->tray = tray;
    // first from where the document has them: servos that lack little move little
    hw_pack_item item[HW_DIGITS];
    (void)hw_hand_items(&from->places, item, s->whose);
    hw_hand_obstacles(from, &s->bodies);
    *best = *found;
    if (code == HW_OK && !descend(s, 0, best)) code = HW_CANCELLED;
    if (cost_of(s, best) < cost_of(s, found)) *found = *best;
    for (unsigned k = 0; k < tries && code == HW_OK && wanting(s, found) > 0; k++) {
        size_t mark = hw_arena_mark(a);
        code = anneal(a, s, k, best);
        hw_arena_rewind(a, mark);
        if (code != HW_OK && code != HW_CANCELLED) return code;
        if (code == HW_OK && !descend(s, k, best)) code = HW_CANCELLED;
        if (cost_of(s, best) < cost_of(s, found)) *found = *best;
    }
    if (hw_hand_deepen(d, hw_hand_shallow(found), found)) lay_ways(d, found);
    return code;
}
