// The search for slots, levers and horns of the servos in the palm beside sheaths that give way.
#include "base/rng.h"
#include "hand/lay.h"

#include <math.h>
#include <string.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum {
    SHEATHS = 200, // owner of sheaths
    ALONG = 3,     // places of a lever's end: behind the carrier,
    ACROSS = 5,    // across it,
    UP = 5,        // and above each other
    HOLES = 4,     // of a horn
    AROUND = 24,   // of the thumb's lever, about its axis
    OPTIONS = HOLES * 8 * AROUND,
    STARTS = 8,
    TURNS = 16, // of servos and sheaths
    STEPS = 600 // of servos in each
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
    return sum;
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
                out[n++] = hw_vec3_along(at, (0.06 * m - 0.12) * thick, g->knuckle.z);
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

// ---- servos and families of ways

enum { SAMPLES = 64, CANDIDATES = 3000, BEAM = 100, KEPT = 400, NODES = 1500, FINE = 60, LAID = 24, NUDGES = 400 };

static const double grain = 5e-5; // depths are told apart so far [m]

// A way of a family as points along its middle.
typedef struct track {
    hw_vec3 at[SAMPLES], low, high; // [m]
} track;

// How deep one servo stands in every way of a family, in grains; no deeper than 255.
typedef struct depths {
    uint8_t way[HW_SHEATH_WAYS][HW_LAY_FAMILY];
} depths;

typedef struct candidate {
    hw_pack_place place;
    depths deep;
    double worth;
} candidate;

// Servos placed so far, one a level.
typedef struct partial {
    int at[HW_DIGITS];
    double own;  // what the servos lack by themselves and beside each other [m]
    double lack; // with what the sheaths lack beside them [m]
    depths deep; // of all
} partial;

typedef struct fitter {
    const hw_hand *hand;
    size_t strands;
    double far[HW_SHEATH_WAYS]; // from a sheath's middle to a body [m]
    track *track[HW_SHEATH_WAYS];
    size_t n[HW_SHEATH_WAYS];
    candidate *from[HW_DIGITS];
    size_t candidates[HW_DIGITS], movers;
    size_t order[HW_DIGITS];               // of the search: who has the fewest places first
    uint8_t *pair[HW_DIGITS][HW_DIGITS];   // what two places lack beside each other, in grains
    long nodes;
} fitter;

static void track_of(const hw_route *way, track *t)
{
    hw_vec3 along;
    t->low = (hw_vec3){INFINITY, INFINITY, INFINITY};
    t->high = hw_vec3_times(t->low, -1);
    for (int i = 0; i < SAMPLES; i++) {
        hw_vec3 *p = &t->at[i];
        hw_route_at(way, way->length * i / (SAMPLES - 1), p, &along);
        t->low = (hw_vec3){fmin(t->low.x, p->x), fmin(t->low.y, p->y), fmin(t->low.z, p->z)};
        t->high = (hw_vec3){fmax(t->high.x, p->x), fmax(t->high.y, p->y), fmax(t->high.z, p->z)};
    }
}

static bool fitter_of(hw_arena *a, const hw_hand *hand, fitter *f)
{
    hw_strand *s = HW_NEW(a, hw_strand, HW_SHEATH_WAYS);
    hw_lay_way *way = HW_NEW(a, hw_lay_way, HW_LAY_FAMILY);
    hw_lay_bodies *palm = HW_NEW(a, hw_lay_bodies, 1);
    if (!s || !way || !palm) return false;
    *f = (fitter){.hand = hand, .movers = hand->places.movers};
    f->strands = hand->places.routed ? hw_lay_strands(hand, s) : 0;
    palm->n = 0;
    hw_lay_palm(hand, palm);
    if (hand->places.mover[HW_THUMB].driven) { // the bearing stands wherever its lug is
        hw_pack_lug lug;
        hw_hand_lug(hand, HW_THUMB, hand->places.mover[HW_THUMB].item.lever.end, &lug);
        for (size_t i = lug.hooked; i < lug.n; i++) hw_lay_put(palm, lug.body[i], HW_THUMB);
    }
    for (size_t i = 0; i < f->strands; i++) {
        f->far[i] = hand->drive[s[i].from->digit].sheath_outer / 2 + hand->gap;
        f->n[i] = hw_lay_family(hand, palm, &s[i], 0, way);
        f->track[i] = HW_NEW(a, track, f->n[i] + 1);
        if (!f->track[i]) return false;
        for (size_t k = 0; k < f->n[i]; k++) track_of(&way[k].way, &f->track[i][k]);
        if(getenv("SEEK")) printf("family %zu: %zu\n",i,f->n[i]);
    }
    return true;
}

// How far a point is from a box or a capsule; inside 0.
static double point_apart(const hw_body *b, hw_vec3 p) // [m]
{
    hw_vec3 d = hw_vec3_sub(p, b->frame.at);
    double x = fabs(hw_vec3_dot(d, b->frame.x)), y = fabs(hw_vec3_dot(d, b->frame.y)),
           z = fabs(hw_vec3_dot(d, b->frame.z)) - b->half.z;
    if (z < 0) z = 0;
    if (b->kind == HW_BODY_CAPSULE) {
        double off = sqrt(x * x + y * y + z * z) - b->half.x;
        return off > 0 ? off : 0;
    }
    x = x > b->half.x ? x - b->half.x : 0;
    y = y > b->half.y ? y - b->half.y : 0;
    return sqrt(x * x + y * y + z * z);
}

// How far inside a box a point is.
static double inside(const hw_body *b, hw_vec3 p) // [m]
{
    hw_vec3 d = hw_vec3_sub(p, b->frame.at);
    if (b->kind == HW_BODY_CAPSULE) return 0;
    double x = b->half.x - fabs(hw_vec3_dot(d, b->frame.x)),
           y = b->half.y - fabs(hw_vec3_dot(d, b->frame.y)),
           z = b->half.z - fabs(hw_vec3_dot(d, b->frame.z));
    return fmax(fmin(x, fmin(y, z)), 0);
}

static bool box_apart(hw_vec3 low, hw_vec3 high, const hw_vec3 box[2], double far) // [m]
{
    return low.x - far > box[1].x || high.x + far < box[0].x || low.y - far > box[1].y ||
           high.y + far < box[0].y || low.z - far > box[1].z || high.z + far < box[0].z;
}

static double depth_in(const track *t, const hw_body *b, const hw_vec3 box[2], double far) // [m]
{
    double deep = 0;
    if (box_apart(t->low, t->high, box, far)) return 0;
    for (int i = 0; i < SAMPLES; i++) {
        if (box_apart(t->at[i], t->at[i], box, far)) continue;
        double apart = point_apart(b, t->at[i]);
        double in = apart > 0 ? far - apart : far + inside(b, t->at[i]);
        if (in > deep) deep = in;
    }
    return deep;
}

static void box_round(const hw_body *b, hw_vec3 box[2])
{
    const hw_vec3 x = {1, 0, 0}, y = {0, 1, 0}, z = {0, 0, 1};
    box[1] = (hw_vec3){hw_body_reach(b, x), hw_body_reach(b, y), hw_body_reach(b, z)};
    box[0] = hw_vec3_along(hw_vec3_times(b->frame.at, 2), -1, box[1]);
}

// A place's bodies and those of the lug that its rod hooks in.
static size_t bodies_of(const hw_pack_place *p)
{
    return HW_SERVO_BODIES + p->lug.hooked;
}

static const hw_body *body_of(const hw_pack_place *p, size_t i)
{
    return i < HW_SERVO_BODIES ? &p->body[i] : &p->lug.body[i - HW_SERVO_BODIES];
}

static void depths_of(const fitter *f, const hw_pack_place *p, depths *out)
{
    hw_vec3 box[HW_SERVO_BODIES + HW_PACK_LUGS][2];
    for (size_t b = 0; b < bodies_of(p); b++) box_round(body_of(p, b), box[b]);
    for (size_t i = 0; i < f->strands; i++)
        for (size_t k = 0; k < f->n[i]; k++) {
            double deep = 0;
            for (size_t b = 0; b < bodies_of(p); b++)
                deep = fmax(deep, depth_in(&f->track[i][k], body_of(p, b), box[b], f->far[i]));
            out->way[i][k] = (uint8_t)fmin(ceil(deep / grain), 255);
        }
}

// Least of two servos' depths together, sheath by sheath; the sum of these.
static double least_of(const fitter *f, const depths *a, const depths *b, depths *out) // [m]
{
    int sum = 0;
    for (size_t i = 0; i < f->strands; i++) {
        unsigned least = f->n[i] ? 255 : 0;
        for (size_t k = 0; k < f->n[i]; k++) {
            unsigned both = (unsigned)a->way[i][k] + b->way[i][k];
            both = both < 255 ? both : 255;
            out->way[i][k] = (uint8_t)both;
            least = both < least ? both : least;
        }
        sum += (int)least;
    }
    return sum * grain;
}

static double lack_beside(const fitter *f, const hw_pack_place *p, const hw_pack_place *q) // [m]
{
    double gap = f->hand->gap, least = gap;
    for (size_t a = 0; a < bodies_of(p); a++)
        for (size_t b = 0; b < bodies_of(q); b++) {
            const hw_body *x = body_of(p, a), *y = body_of(q, b);
            hw_vec3 d = hw_vec3_sub(x->frame.at, y->frame.at);
            double far = hw_vec3_norm(d) - hw_vec3_norm(x->half) - hw_vec3_norm(y->half) -
                         fmax(x->half.x, y->half.x); // a capsule's round end
            if (far < least) least = fmin(least, hw_body_clear(x, y, fmax(least, 0)));
        }
    return gap - least;
}

enum { UNKNOWN = 255 };

// What two places lack beside each other; told apart up to 254 grains.
static double pair_lack(fitter *f, size_t i, int a, size_t k, int b) // [m]
{
    if (k < i) return pair_lack(f, k, b, i, a);
    uint8_t *at = &f->pair[i][k][(size_t)a * f->candidates[k] + (size_t)b];
    if (*at == UNKNOWN) {
        double lack = lack_beside(f, &f->from[i][a].place, &f->from[k][b].place);
        *at = (uint8_t)fmin(ceil(lack / grain), UNKNOWN - 1);
    }
    return *at * grain;
}

static bool pairs_of(hw_arena *a, fitter *f)
{
    for (size_t i = 0; i < f->movers; i++) {
        size_t at = i;
        for (; at > 0 && f->candidates[f->order[at - 1]] > f->candidates[i]; at--)
            f->order[at] = f->order[at - 1];
        f->order[at] = i;
        for (size_t k = i + 1; k < f->movers; k++) {
            size_t n = f->candidates[i] * f->candidates[k] + 1;
            f->pair[i][k] = HW_NEW(a, uint8_t, n);
            if (!f->pair[i][k]) return false;
            memset(f->pair[i][k], UNKNOWN, n);
        }
    }
    return true;
}

// The best so far; of those that stand alike one.
typedef struct chosen {
    partial *at;
    size_t n;
    double most; // what lacks more is not looked at [m]
} chosen;

static bool alike(const fitter *f, const partial *p, const partial *q)
{
    for (size_t i = 0; i < f->movers; i++) {
        const hw_pack_place *a = &f->from[i][p->at[i]].place, *b = &f->from[i][q->at[i]].place;
        if (a->slot.shaft != b->slot.shaft || a->slot.body != b->slot.body) return false;
        if (hw_vec3_norm(hw_vec3_sub(a->slot.at, b->slot.at)) > f->hand->palm.length / 12)
            return false;
    }
    return true;
}

static void keep(const fitter *f, chosen *c, const partial *p)
{
    size_t worst = 0, at = c->n;
    for (size_t i = 0; i < c->n; i++) {
        if (c->at[i].lack > c->at[worst].lack) worst = i;
        if (!alike(f, &c->at[i], p)) continue;
        if (c->at[i].lack <= p->lack) return;
        at = i;
    }
    if (at == c->n && c->n == BEAM) at = worst;
    if (at == c->n) c->n++;
    c->at[at] = *p;
    if (c->n < BEAM) return;
    c->most = 0;
    for (size_t i = 0; i < c->n; i++) c->most = fmax(c->most, c->at[i].lack);
}

// Depth first through all places that lack less than the worst that is kept.
static void search(fitter *f, size_t level, const partial *p, chosen *out)
{
    if (level == f->movers) {
        keep(f, out, p);
        return;
    }
    partial next;
    const size_t i = f->order[level];
    for (size_t c = 0; c < f->candidates[i]; c++) {
        const candidate *one = &f->from[i][c];
        double own = p->own + fmax(-one->place.room, 0) + 1e-3 * one->place.rod;
        for (size_t k = 0; k < level && own < out->most; k++)
            own += pair_lack(f, i, (int)c, f->order[k], p->at[f->order[k]]);
        if (!(own < out->most)) continue;
        if (level == 0) f->nodes = NODES;
        if (f->nodes-- < 0) return;
        double sheaths = least_of(f, &p->deep, &one->deep, &next.deep);
        if (!(own + sheaths < out->most)) continue;
        memcpy(next.at, p->at, sizeof next.at);
        next.at[i] = (int)c;
        next.own = own;
        next.lack = own + sheaths;
        search(f, level + 1, &next, out);
    }
}

// Choices of all servos, those first that lack least.
static size_t choices_together(hw_arena *a, fitter *f, partial *out)
{
    partial *none = HW_NEW(a, partial, 1);
    if (!none || !pairs_of(a, f)) return 0;
    memset(none, 0, sizeof *none);
    chosen c = {.at = out};
    for (double most = f->hand->palm.length / 160; c.n == 0 && most < f->hand->palm.length / 4; most *= 1.6) {
        c.most = most;
        f->nodes = NODES;
        search(f, 0, none, &c);
        if(getenv("SEEK")) printf("%.1f s most %.2f: %zu nodes left %ld\n",(double)clock()/1e6,most*1e3,c.n,f->nodes);
    }
    for (size_t i = 0; i < c.n; i++) {
        size_t least = i;
        for (size_t k = i + 1; k < c.n; k++)
            if (out[k].lack < out[least].lack) least = k;
        partial t = out[i];
        out[i] = out[least];
        out[least] = t;
    }
    return c.n;
}

static double stray(hw_rng *rng, double by) // [m] [m]
{
    return hw_rng_uniform(rng, -by, by);
}

// One servo a little elsewhere, or its lever and horn a little nearer to one of their options.
static size_t nudge(const hw_hand *hand, const choices *c, hw_rng *rng, double step,
                  hw_hand *out) // [m]
{
    const hw_places *p = &hand->places;
    size_t i = hw_rng_next(rng) % p->movers;
    hw_pack_item *item = &out->places.mover[p->whose[i]].item;
    if (hw_rng_next(rng) % 3 == 0 && c->n[i] > 0 && c->of[i])
        // the thumb's turns about the axis between its options, which none may come near
        take(out, p->whose[i], &c->of[i][hw_rng_next(rng) % c->n[i]],
             p->whose[i] == HW_THUMB ? 1 : hw_rng_uniform(rng, 0, 1), item);
    else
        item->slot.at = hw_vec3_add(
            item->slot.at, (hw_vec3){stray(rng, step), stray(rng, step), stray(rng, step)});
    return i;
}

// What the descent works with.
typedef struct seeker {
    const hw_design *d;
    const hw_job *job;
    choices c;
    hw_obstacles bodies, around; // what stands in the palm; with sheaths
    hw_hand first[2];            // beside the ways of an empty palm, and the document's
    hw_hand bare, best, trial;
} seeker;

// Sheaths lie still while servos take steps at random, longer after each that helped.
static void settle(seeker *s, hw_rng *rng)
{
    hw_hand *next = &s->bare; // its own ways are in `around` by now
    hw_hand_stand(s->d, &s->around, &s->trial);
    double lacks = servos_lack(&s->trial), step = s->trial.palm.length / 20;
    for (int i = 0; i < STEPS && lacks > 0; i++) {
        next->places = s->trial.places;
        nudge(&s->trial, &s->c, rng, step, next);
        hw_hand_stand(s->d, &s->around, next);
        double now = servos_lack(next);
        step *= now < lacks ? 1.5 : 0.98;
        step = fmin(fmax(step, 1e-3 * next->palm.length), next->palm.length / 10);
        if (!(now < lacks)) continue;
        s->trial.places = next->places;
        lacks = now;
    }
}

// Servos give way to sheaths and sheaths to servos, in turn, from the best so far: sheaths lie as
// they do there, or in every second round as they would in an empty palm.
static bool descend(seeker *s, unsigned start)
{
    hw_rng rng = hw_rng_new(1, start);
    double cost = cost_of(s->d, &s->best);
    for (int i = 0; i < TURNS && hw_hand_lacks(s->d, &s->best) > 0; i++) {
        double done = (start + (double)i / TURNS) / STARTS;
        if (!hw_job_go_on(s->job, done, "servos and sheaths")) return false;
        s->trial = s->bare = s->best;
        if (i % 2) {
            s->bare.places.pack.places = s->bare.places.movers = 0;
            lay_ways(s->d, &s->bare);
        }
        s->around = s->bodies;
        if (s->best.places.routed) add_sheaths(&s->bare, &s->around);
        settle(s, &rng);
        hw_hand_stand(s->d, &s->bodies, &s->trial);
        lay_ways(s->d, &s->trial);
        double now = cost_of(s->d, &s->trial);
        if (!(now < cost)) continue;
        s->best = s->trial;
        cost = now;
    }
    return true;
}

// Places of each servo alone.
static hw_code candidates_of(hw_arena *a, seeker *s, fitter *f)
{
    hw_pack_item item[HW_DIGITS];
    int whose[HW_DIGITS] = {0};
    size_t n = hw_hand_items(&s->first[1].places, item, whose);
    for (size_t i = 0; i < n; i++) {
        item[i].option = s->c.of[i];
        item[i].options = s->c.n[i];
    }
    hw_pack_def def = hw_hand_pack_def(s->d, &s->first[1], &s->bodies, item, n);
    if(getenv("STEP")) def.step=s->first[1].palm.length/atof(getenv("STEP"));
    hw_pack_place *place = HW_NEW(a, hw_pack_place, CANDIDATES);
    if (!place) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        size_t found = 0;
        hw_code code = hw_pack_alone(&def, i, (getenv("BLK")?atof(getenv("BLK")):1)*def.step, s->job, place, CANDIDATES, &found);
        if (code != HW_OK) return code;
        f->from[i] = HW_NEW(a, candidate, KEPT);
        if (!f->from[i]) return HW_NO_MEMORY;
        int z=0,y=0;
        for (size_t k = 0; k < found; k++) {
            candidate c = {.place=place[k]};
            depths none={0}, sum;
            depths_of(f, &c.place, &c.deep);
            double l=least_of(f,&none,&c.deep,&sum); z+=l<=0; y+=l<1e-3;
            if (l>1.5e-3) continue;
            c.worth=fmax(-c.place.room,0)+l; // few ways left count little
            for(size_t q=0;q<f->strands;q++) if(f->n[q]){ int left=1; for(size_t w=0;w<f->n[q];w++) left+=c.deep.way[q][w]==0; c.worth-=2e-4*log((double)left/(double)f->n[q]); }
            size_t at=f->candidates[i];
            if(at==KEPT){ at=0; for(size_t q=1;q<KEPT;q++) if(f->from[i][q].worth>f->from[i][at].worth) at=q; if(!(c.worth<f->from[i][at].worth)) continue; }
            else f->candidates[i]++;
            f->from[i][at]=c;
        }
        for (size_t k = 1; k < f->candidates[i]; k++) { candidate c=f->from[i][k]; size_t q=k; for(;q>0&&c.worth<f->from[i][q-1].worth;q--) f->from[i][q]=f->from[i][q-1]; f->from[i][q]=c; }
        if(getenv("SEEK")) printf("%.1f s servo %zu: %zu places, %zu kept %d leave ways, %d within 1 mm\n",(double)clock()/1e6,i,found,f->candidates[i],z,y);
    }
    return HW_OK;
}

static void put_at(const seeker *s, const fitter *f, const partial *p, hw_hand *out)
{
    for (size_t i = 0; i < f->movers; i++) {
        int digit = out->places.whose[i];
        const hw_pack_place *at = &f->from[i][p->at[i]].place;
        hw_pack_item *item = &out->places.mover[digit].item;
        if (at->option >= 0) take(out, digit, &s->c.of[i][at->option], 1, item);
        item->slot = at->slot;
    }
    hw_hand_stand(s->d, &s->bodies, out);
}

// What servos lack, and sheaths beside them by their families.
static double soft_lack(const seeker *s, const fitter *f, const hw_hand *hand, depths each[], size_t moved, double most)
{
    (void)s;
    double own = servos_lack(hand);
    if (!(own < most)) return own;
    depths sum = {0};
    double sheaths = 0;
    for (size_t i = 0; i < f->movers; i++) {
        if (i == moved || moved >= f->movers) depths_of(f, &hand->places.place[i], &each[i]);
        depths was = sum;
        sheaths = least_of(f, &was, &each[i], &sum);
    }
    return own + sheaths;
}

// One servo after the other takes small steps that let all lack less.
static double settle_soft(seeker *s, const fitter *f, hw_rng *rng, hw_hand *best)
{
    depths each[HW_DIGITS], trial[HW_DIGITS];
    double lack = soft_lack(s, f, best, each, f->movers, INFINITY), step = best->palm.length / 40;
    for (int i = 0; i < NUDGES && lack > 0; i++) {
        s->trial.places = best->places;
        size_t m = nudge(best, &s->c, rng, step, &s->trial);
        hw_hand_stand(s->d, &s->bodies, &s->trial);
        memcpy(trial, each, sizeof each);
        double now = soft_lack(s, f, &s->trial, trial, m, lack);
        step *= now < lack ? 1.4 : 0.985;
        step = fmin(fmax(step, 1e-3 * best->palm.length), best->palm.length / 15);
        if (!(now < lack)) continue;
        best->places = s->trial.places;
        memcpy(each, trial, sizeof each);
        lack = now;
    }
    return lack;
}

hw_code hw_hand_slots(hw_arena *a, const hw_design *d, const hw_hand *hand, const hw_job *job,
                      hw_hand *found)
{
    *found = *hand;
    if (hand->places.movers == 0 || hw_hand_lacks(d, hand) <= 0) return HW_OK;
    seeker *s = HW_NEW(a, seeker, 1);
    fitter *f = HW_NEW(a, fitter, 1);
    partial *p = HW_NEW(a, partial, BEAM);
    if (!s || !f || !p) return HW_NO_MEMORY;
    s->d = d;
    s->job = job;
    s->first[0] = s->first[1] = *hand;
    hw_hand_obstacles(hand, &s->bodies);
    for (int i = 0; i < HW_DIGITS; i++)
        s->first[1].drive[i].sheath_radius = get(d, HW_E_OWN_SHEATH_RADIUS, i);
    if (!choices_of(a, hand, &s->c) || !fitter_of(a, &s->first[1], f)) return HW_NO_MEMORY;
    hw_code code = candidates_of(a, s, f);
    if (code != HW_OK) return code;
    size_t n = choices_together(a, f, p);
    bool whole = true;
    for (size_t k = 0; k < n && k < LAID && hw_hand_lacks(d, found) > 0; k++) {
        hw_rng rng = hw_rng_new(2, k);
        s->best = s->trial = s->first[1];
        put_at(s, f, &p[k], &s->best);
        double soft = settle_soft(s, f, &rng, &s->best);
        lay_ways(d, &s->best);
        if(getenv("SEEK")) printf("%.1f s choice %zu lack %.2f soft %.3f lacks %.3f servos %.3f\n",(double)clock()/1e6,k,p[k].lack*1e3,soft*1e3,hw_hand_lacks(d,&s->best)*1e3,servos_lack(&s->best)*1e3);
        if (cost_of(d, &s->best) < cost_of(d, found)) *found = s->best;
    }
    for (unsigned k = 0; k < STARTS && whole && hw_hand_lacks(d, found) > 0 && !getenv("SEEK"); k++) {
        s->best = *found;
        whole = descend(s, k);
        if (cost_of(d, &s->best) < cost_of(d, found)) *found = s->best;
    }
    return whole ? HW_OK : HW_CANCELLED;
}
