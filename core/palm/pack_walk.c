// One walk of the search: annealing over moves of single items, every overlap counted.
#include "palm/pack_walk_internal.h"

#include <string.h>

enum { MOVES = 12 };

// In lengths of the palm: what an overlap counts at most, steps at first and at last, what cost is
// shrugged off at first and at last, what lies askew beside.
static const double cap = 0.14, wide = 0.12, fine = 1.2e-3, hot = 0.1, cold = 4e-5,
                    crooked = 0.012; // [1]
static const double spare = 0.1;     // beyond what must be free, in gaps [1]

// ---- what a place lacks

static hw_span span_of(const hw_body *b)
{
    hw_vec3 at[2];
    hw_body_span(b, at);
    return (hw_span){at[0], at[1]};
}

static bool apart(const hw_span *a, const hw_span *b, double by) // [m]
{
    return a->low.x - by > b->high.x || b->low.x - by > a->high.x || a->low.y - by > b->high.y ||
           b->low.y - by > a->high.y || a->low.z - by > b->high.z || b->low.z - by > a->high.z;
}

static const hw_body *body_of(const hw_spot *s, size_t i)
{
    return i < HW_SERVO_BODIES ? &s->place.body[i] : &s->place.lug.body[i - HW_SERVO_BODIES];
}

// What two bodies lack between them.
static double between(const hw_finder *f, const hw_body *a, const hw_span *in_a, const hw_body *b,
                      const hw_span *in_b) // [m]
{
    const double wanted = f->k.def->gap + f->slack;
    if (apart(in_a, in_b, wanted)) return 0;
    double has = hw_body_clear(a, b, wanted);
    return has < wanted ? fmin(wanted - has, cap * f->length) : 0;
}

// What the first n bodies of a hw_spot lack beside one that stands.
static double beside(const hw_finder *f, const hw_spot *s, size_t n, const hw_body *b,
                     const hw_span *in_b) // [m]
{
    double worst = 0;
    for (size_t i = 0; i < n; i++)
        worst = fmax(worst, between(f, body_of(s, i), &s->round[i], b, in_b));
    return worst;
}

static double by_obstacles(const hw_finder *f, const hw_spot *s, double most) // [m] [m]
{
    const hw_pack_def *d = f->k.def;
    double sum = 0;
    for (size_t i = 0; i < d->obstacles && sum <= most; i++) {
        const bool mine = d->obstacle[i].owner == s->item.lever.owner;
        sum += beside(f, s, mine ? HW_SERVO_ROD : HW_SERVO_BODIES + s->place.lug.hooked,
                      &d->obstacle[i].body, &f->round[i]);
    }
    for (size_t i = 0; i < s->room.n && sum <= most; i++)
        sum += beside(f, s, HW_SERVO_ROD, &s->room.body[i], &s->round_room[i]);
    return sum;
}

static double short_of(const hw_finder *f, double room) // [m] [m]
{
    return 2 * fmax(f->slack - room, 0);
}

// Stands it where its item says and sums what it lacks by itself, what is told quickly first; what
// lacks more than `most` may lack any more.
static void stand(const hw_finder *f, double most, hw_spot *s) // [m]
{
    const hw_pack_def *d = f->k.def;
    hw_pack_place *p = &s->place;
    s->own = INFINITY;
    if (!hw_pack_reach(&s->item, s->item.slot, p)) return;
    hw_pack_stand(&s->item, d->rod, p);
    double over = fmax(p->skew[0], p->skew[1]) - d->skew;
    double lacks = over > 0 ? p->rod * sin(fmin(over, HW_PI / 2)) + crooked * f->length : 0;
    lacks += fmax(4 * d->rod - p->rod, 0);
    if (lacks > most) return;
    for (size_t b = 0; b < HW_SERVO_BODIES + p->lug.n; b++) s->round[b] = span_of(body_of(s, b));
    lacks += by_obstacles(f, s, most - lacks);
    if (lacks > most) return;
    hw_pack_in_plan(&f->k, HW_PACK_ALL, p);
    lacks += short_of(f, p->room);
    if (lacks > most) return;
    p->room = INFINITY;
    hw_pack_by_lug(&f->k, &s->item, p);
    lacks += short_of(f, p->room);
    if (lacks > most) return;
    p->room = INFINITY;
    hw_pack_in_depth(&f->k, HW_PACK_ALL, p);
    s->own = lacks + short_of(f, p->room) + short_of(f, d->palm->height - p->thickness);
}

double hw_spots_lack(const hw_finder *f, const hw_spot *s, const hw_spot *t) // [m]
{
    double sum = 0;
    const hw_spot *const both[2] = {s, t};
    for (int k = 0; k < 2; k++)
        for (size_t i = 0; i < both[k]->room.n; i++) {
            const hw_spot *other = both[1 - k];
            sum += beside(f, other, HW_SERVO_BODIES + other->place.lug.hooked,
                          &both[k]->room.body[i], &both[k]->round_room[i]) /
                   2;
        }
    for (size_t a = 0; a < HW_SERVO_BODIES + s->place.lug.n; a++) {
        double worst = 0;
        for (size_t b = 0; b < HW_SERVO_BODIES + t->place.lug.n; b++)
            worst =
                fmax(worst, between(f, body_of(s, a), &s->round[a], body_of(t, b), &t->round[b]));
        sum += worst;
    }
    return 2 * sum;
}

// ---- moves

static double stray(hw_walk *w, double by) // [m] [m]
{
    return hw_rng_uniform(&w->rng, -by, by);
}

static hw_vec3 strayed(hw_walk *w, hw_vec3 at, double by) // [m]
{
    double x = stray(w, by), y = stray(w, by), z = stray(w, by);
    return hw_vec3_add(at, (hw_vec3){x, y, z});
}

static hw_vec3 anywhere(hw_walk *w)
{
    const hw_span *b = &w->f->palm;
    double x = hw_rng_uniform(&w->rng, b->low.x, b->high.x);
    double y = hw_rng_uniform(&w->rng, b->low.y, b->high.y);
    return (hw_vec3){x, y, hw_rng_uniform(&w->rng, b->low.z, b->high.z)};
}

static hw_way some_way(hw_walk *w)
{
    return (hw_way)(hw_rng_next(&w->rng) % HW_WAYS);
}

// Its lever's end and its horn's hole elsewhere, where the caller lets them. [m]
static bool lever_to(const hw_walk *w, size_t i, hw_vec3 end, double hole, hw_spot *s)
{
    const hw_pack_free *free = w->f->free;
    if (!free || !free->lever || !free->lever(free->self, i, end, hole, &s->item, &s->room))
        return false;
    for (size_t k = 0; k < s->room.n; k++) s->round_room[k] = span_of(&s->room.body[k]);
    return true;
}

// Turned about the middle of its case.
static bool turned_to(hw_servo_slot slot, hw_pack_item *x)
{
    hw_frame was, is;
    if (!hw_servo_frame(&slot, &is) || !hw_servo_frame(&x->slot, &was)) return false;
    hw_vec3 middle = {x->shape.length / 2 - x->shape.shaft_at, 0, -x->shape.height / 2};
    slot.at = hw_vec3_add(slot.at,
                          hw_vec3_sub(hw_frame_point(&was, middle), hw_frame_point(&is, middle)));
    x->slot = slot;
    return true;
}

static bool turn(hw_walk *w, hw_pack_item *x)
{
    hw_servo_slot slot = x->slot;
    unsigned which = (unsigned)(hw_rng_next(&w->rng) % 4);
    if (which == 3) slot.shaft = some_way(w);
    if (which >= 2) slot.body = some_way(w);
    if (which != 2) slot.horn = some_way(w);
    return turned_to(slot, x);
}

// One move of an item, `size` long where it goes on from where it is, `left` of the round to go.
// False: there is no such place.
static bool move(hw_walk *w, size_t i, double size, double left, hw_spot *s) // [m] [1]
{
    hw_pack_item *x = &s->item;
    const unsigned kind = (unsigned)(hw_rng_next(&w->rng) % MOVES);
    const double hole = x->shape.horn_hole;
    if (kind < 4) {
        x->slot.at = strayed(w, x->slot.at, size);
        return true;
    }
    if (kind == 4) {
        x->slot.at = hw_vec3_along(x->slot.at, stray(w, size), hw_way_vector(some_way(w)));
        return true;
    }
    if (kind < 8) return lever_to(w, i, strayed(w, x->lever.end, size / 2), hole, s);
    if (kind == 8)
        return lever_to(w, i, x->lever.end, hole * hw_rng_uniform(&w->rng, 0.8, 1.25), s);
    if (kind < 11 && left > 0.15) return turn(w, x);
    if (left > 0.4 && hw_rng_next(&w->rng) % 2) {
        x->slot.at = anywhere(w);
        return true;
    }
    x->slot.at = strayed(w, x->slot.at, size / 4);
    return lever_to(w, i, strayed(w, x->lever.end, size / 4), hole, s);
}

// ---- walks

void hw_spot_mark(const hw_finder *f, hw_spot *s)
{
    if (f->free && f->free->mark) f->free->mark(f->free->self, &s->item, &s->place, s->mark);
}

double hw_finder_more(const hw_finder *f, const hw_spot *const all[]) // [m]
{
    const hw_pack_free *free = f->free;
    if (!free || !free->lacks) return 0;
    const hw_pack_item *item[HW_PACK_MOST];
    const hw_pack_place *place[HW_PACK_MOST];
    const uint8_t *mark[HW_PACK_MOST];
    for (size_t i = 0; i < f->n; i++) {
        mark[i] = all[i]->mark;
        item[i] = &all[i]->item;
        place[i] = &all[i]->place;
    }
    return free->lacks(free->self, item, place, mark, f->n);
}

// With one item where it would go next; w->f->n: none.
static double more_with(const hw_walk *w, size_t next) // [m]
{
    const hw_spot *all[HW_PACK_MOST];
    for (size_t i = 0; i < w->f->n; i++) all[i] = i == next ? &w->next : &w->now[i];
    return hw_finder_more(w->f, all);
}

static void sum_up(hw_walk *w)
{
    for (size_t i = 0; i < w->f->n; i++) hw_spot_mark(w->f, &w->now[i]);
    w->cost = w->more = more_with(w, w->f->n);
    for (size_t i = 0; i < w->f->n; i++) {
        w->cost += w->now[i].own;
        for (size_t k = 0; k < i; k++) {
            w->pair[i][k] = w->pair[k][i] = hw_spots_lack(w->f, &w->now[i], &w->now[k]);
            w->cost += w->pair[i][k];
        }
    }
}

static void keep(hw_walk *w)
{
    w->least = w->cost;
    for (size_t i = 0; i < w->f->n; i++) w->best[i] = w->now[i];
}

// Somewhere in the palm, any way round, its lever's end some way off.
static void begin(hw_walk *w, size_t i)
{
    enum { TRIES = 100 };
    hw_spot *s = &w->now[i];
    const hw_pack_item own = w->f->k.def->item[i];
    s->item = own;
    s->room.n = 0;
    bool placed = false;
    for (int k = 0; k < TRIES && !placed; k++) {
        hw_servo_slot slot = {anywhere(w), some_way(w), some_way(w), some_way(w)};
        hw_frame f;
        placed = hw_servo_frame(&slot, &f);
        if (placed) s->item.slot = slot;
    }
    (void)lever_to(w, i, own.lever.end, own.shape.horn_hole, s);
    placed = false;
    for (int k = 0; k < TRIES && !placed; k++) {
        hw_vec3 end = strayed(w, own.lever.end, cap * w->f->length);
        placed = lever_to(w, i, end, own.shape.horn_hole, s);
    }
    stand(w->f, INFINITY, s);
}

// Whether a move of one is taken: always when it helps, else the less likely the more it costs.
static bool taken(hw_walk *w, size_t i, double heat) // [m]
{
    double was = w->now[i].own + w->more;
    for (size_t k = 0; k < w->f->n; k++)
        if (k != i) was += w->pair[i][k];
    const double most = was - heat * log(fmax(hw_rng_uniform(&w->rng, 0, 1), 1e-300));
    stand(w->f, most, &w->next);
    double is = w->next.own;
    for (size_t k = 0; k < w->f->n && is <= most; k++) {
        if (k == i) continue;
        w->beside[k] = hw_spots_lack(w->f, &w->next, &w->now[k]);
        is += w->beside[k];
    }
    if (!(is <= most)) return false;
    hw_spot_mark(w->f, &w->next);
    double more = more_with(w, i);
    is += more;
    if (!(is <= most)) return false;
    w->now[i] = w->next;
    w->more = more;
    w->cost += is - was;
    for (size_t k = 0; k < w->f->n; k++)
        if (k != i) w->pair[i][k] = w->pair[k][i] = w->beside[k];
    return true;
}

static void take_step(hw_walk *w)
{
    const hw_finder *f = w->f;
    const double left = 1 - (double)w->step / (double)f->steps, size = left * left;
    size_t i = hw_rng_next(&w->rng) % f->n;
    w->step++;
    w->next.item = w->now[i].item;
    w->next.room = w->now[i].room;
    memcpy(w->next.round_room, w->now[i].round_room, sizeof w->next.round_room);
    if (!move(w, i, f->length * (wide * size + fine), left, &w->next)) return;
    if (taken(w, i, w->heat * size * left + cold * f->length) &&
        w->cost < w->least - 1e-9 * f->length)
        keep(w);
}

bool hw_walk_done(const hw_walk *w)
{
    return w->least <= 0 || w->step >= w->f->steps;
}

void hw_walk_on(hw_walk *w, int steps)
{
    for (int i = 0; i < steps && !hw_walk_done(w); i++) take_step(w);
}

static void restart(const hw_finder *f, hw_rng rng, double heat, hw_walk *w) // [m]
{
    w->f = f;
    w->rng = rng;
    w->step = 0;
    w->heat = heat;
}

void hw_walk_anywhere(const hw_finder *f, hw_rng rng, hw_walk *w)
{
    restart(f, rng, hot * f->length, w);
    for (size_t i = 0; i < f->n; i++) begin(w, i);
    sum_up(w);
    keep(w);
}

void hw_walk_near(const hw_finder *f, hw_rng rng, double heat, hw_walk *w) // [m]
{
    restart(f, rng, heat, w);
    for (size_t i = 0; i < f->n; i++) {
        hw_spot *s = &w->now[i];
        s->item = f->k.def->item[i];
        s->room.n = 0;
        (void)lever_to(w, i, s->item.lever.end, s->item.shape.horn_hole, s);
        stand(f, INFINITY, s);
    }
    sum_up(w);
    keep(w);
}

void hw_walk_from(const hw_finder *f, hw_rng rng, const hw_spot *const from[], double heat,
                  hw_walk *w)
{
    restart(f, rng, heat, w);
    for (size_t i = 0; i < f->n; i++) w->now[i] = *from[i];
    sum_up(w);
    keep(w);
}

bool hw_finder_of(hw_arena *a, const hw_pack_def *d, const hw_pack_free *free, long steps,
                  hw_finder *f)
{
    *f = (hw_finder){.k = hw_packer_of(d), .free = free, .n = d->items, .steps = steps};
    f->slack = spare * d->gap;
    f->length = d->palm->length;
    f->round = HW_NEW(a, hw_span, d->obstacles + 1);
    if (!f->round) return false;
    for (size_t i = 0; i < d->obstacles; i++) f->round[i] = span_of(&d->obstacle[i].body);
    const hw_palm *p = d->palm;
    f->palm = (hw_span){p->outline[0][0], p->outline[0][0]};
    for (int i = 0; i < HW_PALM_SECTIONS * HW_PALM_AROUND; i++) {
        hw_vec3 q = p->outline[i / HW_PALM_AROUND][i % HW_PALM_AROUND];
        hw_vec3 *low = &f->palm.low, *high = &f->palm.high;
        *low = (hw_vec3){fmin(low->x, q.x), fmin(low->y, q.y), fmin(low->z, q.z)};
        *high = (hw_vec3){fmax(high->x, q.x), fmax(high->y, q.y), fmax(high->z, q.z)};
    }
    return true;
}
