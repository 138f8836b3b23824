// Drums in the forearm, the wrist's tunnel, and the sheaths from drums through it to the digits.
#include "hand/hand_internal.h"

#include <math.h>
#include <string.h>

enum {
    MOVES = 100,   // owner of servos and drums
    SHEATHS = 200, // owner of sheaths that lie already
    FEEDS = 2      // cords of a joint
};

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// What sheaths must not meet: servos in the palm, carriers at rest, the thumb's base, drums.
typedef struct ways {
    hw_body body[HW_ROUTE_OBSTACLES];
    int owner[HW_ROUTE_OBSTACLES];
    size_t n;
} ways;

static void put_way(ways *w, hw_body body, int owner)
{
    if (w->n >= HW_ROUTE_OBSTACLES) return;
    w->body[w->n] = body;
    w->owner[w->n++] = owner;
}

static void add_palm_bodies(const hw_hand *hand, ways *w)
{
    const hw_places *p = &hand->places;
    for (size_t i = 0; i < p->pack.places; i++)
        for (int k = 0; k < HW_SERVO_BODIES; k++) put_way(w, p->place[i].body[k], MOVES);
    for (int i = HW_INDEX; i <= HW_LITTLE; i++)
        if (hand->present[i]) put_way(w, hw_hand_carrier(hand, i, 0), i);
    if (hand->present[HW_THUMB])
        put_way(w,
                hw_body_capsule(hand->palm.thumb_base.at, hand->palm.thumb_base.at,
                                hand->palm.digit[0].thickness[0] / 2),
                HW_THUMB);
}

// A cord's end at the forearm: drums stand in two rows, one behind the other, each pair a step
// higher than the one before it so that its sheaths pass above.
typedef struct drum {
    int digit, joint;
    hw_vec3 at; // of the drum's middle [m]
    double radius, rise;
} drum;

static size_t drums_of(const hw_design *d, const hw_hand *hand, drum out[HW_DIGITS * HW_JOINTS])
{
    const hw_places *p = &hand->places;
    size_t n = 0;
    double x = -get(d, HW_E_FOREARM_BEHIND, -1);
    for (int i = 0; i < HW_DIGITS; i++) {
        if (!hand->present[i] || hand->drive[i].direct) continue;
        double outer = hand->drive[i].sheath_outer;
        for (int k = 0; k < hand->servos[i]; k++, n++) {
            size_t pair = n / 2;
            double side = n % 2 ? -1 : 1, row = (double)pair;
            double wide = get(d, HW_E_OWN_SERVO_WIDTH, i) + 2 * hand->gap;
            double ears =
                fmax(get(d, HW_E_OWN_SERVO_EAR_SPAN, i), get(d, HW_E_OWN_SERVO_LENGTH, i));
            double rise = row * 1.5 * outer;
            out[n] = (drum){i,
                            k,
                            {x - row * ears - get(d, HW_E_OWN_SERVO_SHAFT_AT, i),
                             p->tunnel_at.y + side * wide / 2, get(d, HW_E_FOREARM_Z, -1) + rise},
                            hand->drive[i].drum_radius,
                            rise};
        }
    }
    return n;
}

static void add_drums(const hw_hand *hand, const drum *at, size_t n, ways *w)
{
    for (size_t i = 0; i < n; i++) {
        hw_frame f = hw_frame_identity();
        f.at = at[i].at;
        double cord = hand->drive[at[i].digit].cord_diameter;
        put_way(w, hw_body_cylinder(f, at[i].radius + cord, 2 * cord), MOVES);
    }
}

// Where a sheath ends at its digit. A finger's lie above each other in its carrier; the thumb's
// come along its axis of opposition, so that opposing does not pull at them.
static hw_route_end end_of(const hw_hand *hand, int digit, int joint, bool opening)
{
    const hw_palm *p = &hand->palm;
    const hw_palm_digit *g = &p->digit[digit];
    if (digit == HW_THUMB) {
        double side = hand->drive[digit].sheath_outer / 2 + hand->gap / 2;
        hw_vec3 at = hw_vec3_along(p->thumb_base.at, -g->thickness[0] / 2, p->thumb_base.x);
        at = hw_vec3_along(at, joint ? side : -side, p->thumb_base.y);
        at = hw_vec3_along(at, opening ? side : -side, p->thumb_base.z);
        return (hw_route_end){at, p->thumb_base.x};
    }
    double z = hw_vec3_dot(hw_vec3_sub(g->cord_at, g->knuckle.at), g->knuckle.z);
    hw_vec3 at = opening ? hw_vec3_along(g->cord_at, -2 * z, g->knuckle.z) : g->cord_at;
    return (hw_route_end){at, g->knuckle.x};
}

// A sheath before it has a way: its two ends and the hole of the tunnel between them.
typedef struct feeder {
    const drum *from;
    bool opening;
    hw_route_end seat, end;
    hw_vec2 hole; // from the tunnel's middle [m]
} feeder;

// From the drum's side, a little in front of it.
static feeder feeder_of(const hw_hand *hand, const drum *from, bool opening)
{
    hw_vec3 seat = from->at;
    seat.x += from->radius + 2 * hand->drive[from->digit].sheath_outer;
    seat.y += opening ? -from->radius : from->radius;
    return (feeder){
        from, opening, {seat, {1, 0, 0}}, end_of(hand, from->digit, from->joint, opening), {0, 0}};
}

// Where a sheath would pass the wrist. What it goes aside before and behind over the square of
// what it has for that is the curvature of its S-bend; the least sum of both squared.
static hw_vec2 wish_of(const hw_places *p, const feeder *f)
{
    hw_vec2 sum = {0, 0};
    double share = 0;
    for (int k = 0; k < 2; k++) {
        hw_vec3 d = hw_vec3_sub(k ? f->end.at : f->seat.at, p->tunnel_at);
        double far = fmax(fabs(d.x) - p->tunnel_length / 2, p->tunnel_length / 2);
        double w = pow(p->tunnel_length / far, 4);
        sum = hw_add(sum, hw_scale((hw_vec2){d.y, d.z}, w));
        share += w;
    }
    return hw_scale(sum, 1 / share);
}

// Sheaths may touch each other: what is added is thinner by the gap that others keep to it.
static void add_sheath(const hw_route *r, double radius, ways *w)
{
    hw_body part[HW_ROUTE_BODIES];
    size_t n = hw_route_bodies(r, fmax(radius, 0), part);
    for (size_t i = 0; i < n; i++) put_way(w, part[i], SHEATHS);
}

// Through the tunnel to the digit: two ways joined.
static bool route(const hw_hand *hand, const feeder *w, ways *palm, ways *arm, hw_sheath_way *out)
{
    const hw_places *p = &hand->places;
    const hw_drive *v = &hand->drive[w->from->digit];
    const hw_vec3 x = {1, 0, 0};
    double half = p->tunnel_length / 2;
    hw_vec3 in = {p->tunnel_at.x - half, p->tunnel_at.y + w->hole.x, p->tunnel_at.z + w->hole.z};
    hw_vec3 away = {p->tunnel_at.x + half, in.y, in.z};
    hw_route_def f = {.from = w->seat,
                      .to = {in, x},
                      .radius = v->sheath_radius,
                      .outer = v->sheath_outer,
                      .gap = hand->gap,
                      .body = arm->body,
                      .bodies = arm->n,
                      .owner = arm->owner,
                      .own = -1};
    hw_route one, two;
    double room[2];
    if (hw_route_between(&f, &one, &room[0]) != HW_OK) return false;
    f.from = (hw_route_end){away, x};
    f.to = w->end;
    f.body = palm->body;
    f.bodies = palm->n;
    f.owner = palm->owner;
    f.own = w->from->digit;
    if (hw_route_between(&f, &two, &room[1]) != HW_OK) return false;
    add_sheath(&one, f.outer / 2 - f.gap, arm);
    add_sheath(&two, f.outer / 2 - f.gap, palm);
    hw_vec3 point[HW_ROUTE_POINTS];
    size_t n = 0;
    for (size_t i = 0; i < one.points; i++) point[n++] = one.point[i];
    for (size_t i = 0; i < two.points; i++) point[n++] = two.point[i];
    double wanted = fmin(v->sheath_radius, fmin(one.radius, two.radius));
    *out = (hw_sheath_way){.digit = w->from->digit,
                           .joint = w->from->joint,
                           .opening = w->opening,
                           .room = fmin(room[0], room[1])};
    return hw_route_through(point, n, wanted, &out->way) == HW_OK;
}

// What the document does not say of the sheaths: the longest and most bent of a digit's.
static void feed(const hw_design *d, hw_hand *hand, const hw_sheath_way *s)
{
    static const hw_entry_id row[3][2] = {{HW_E_OWN_SHEATH_LENGTH, HW_E_DRIVE_SHEATH_LENGTH},
                                          {HW_E_OWN_SHEATH_BEND, HW_E_DRIVE_SHEATH_BEND}};
    hw_drive *v = &hand->drive[s->digit];
    bool typed[2];
    for (int k = 0; k < 2; k++)
        typed[k] = hw_design_origin(d, hw_entry_of(row[k][0], s->digit)) != HW_FROM_DEFAULT ||
                   hw_design_origin(d, hw_entry_of(row[k][1], -1)) != HW_FROM_DEFAULT;
    bool first = s->joint == 0 && !s->opening;
    if (!typed[0] && (first || s->way.length > v->sheath_length)) v->sheath_length = s->way.length;
    if (!typed[1] && (first || s->way.bend > v->sheath_bend)) v->sheath_bend = s->way.bend;
}

// Holes of the tunnel: where sheaths would pass, if there is room for that, else where there is.
static bool holes_of(const hw_hand *hand, feeder f[], size_t n, double lead, double *room)
{
    const hw_places *p = &hand->places;
    hw_vec2 wish[HW_BUNDLE], hole[HW_BUNDLE];
    double radius[HW_BUNDLE];
    if (n == 0 || n + p->leads > HW_BUNDLE) return false;
    for (size_t i = 0; i < n; i++) {
        radius[i] = hand->drive[f[i].from->digit].sheath_outer / 2;
        wish[i] = wish_of(p, &f[i]);
    }
    for (size_t i = 0; i < p->leads; i++) {
        radius[n + i] = lead / 2;
        hw_vec3 from = p->place[i].body[HW_SERVO_CABLE].frame.at;
        wish[n + i] = (hw_vec2){from.y - p->tunnel_at.y, from.z - p->tunnel_at.z};
    }
    size_t all = n + p->leads;
    if (hw_bundle_near(&p->tunnel, radius, wish, all, hand->gap, hole, room) != HW_OK) return false;
    if (*room < 0 && hw_bundle_in(&p->tunnel, radius, all, hole, room) != HW_OK) return false;
    for (size_t i = 0; i < n; i++) f[i].hole = hole[i];
    return true;
}

// ---- the same ways again

// A number for all that ways follow from: where it is another hand's, its ways are the same.
static void mix(uint64_t *key, double v) // any unit
{
    uint64_t bits;
    memcpy(&bits, &v, sizeof bits);
    *key = (*key ^ bits) * 0x9e3779b97f4a7c15u;
    *key ^= *key >> 29;
}

static void mix3(uint64_t *key, hw_vec3 v)
{
    mix(key, v.x);
    mix(key, v.y);
    mix(key, v.z);
}

static void mix_bodies(uint64_t *key, const ways *w)
{
    for (size_t i = 0; i < w->n; i++) {
        const hw_body *b = &w->body[i];
        mix(key, (double)b->kind + 10 * w->owner[i]);
        mix3(key, b->frame.at);
        mix3(key, b->frame.x);
        mix3(key, b->frame.z);
        mix3(key, b->half);
    }
}

static uint64_t key_of(const hw_hand *hand, const feeder f[], size_t n, double lead,
                       const ways *palm, const ways *arm)
{
    const hw_places *p = &hand->places;
    uint64_t key = n + 100 * p->leads;
    const double number[] = {p->tunnel.width, p->tunnel.height, p->tunnel_length, lead, hand->gap};
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++) mix(&key, number[i]);
    mix3(&key, p->tunnel_at);
    for (size_t i = 0; i < n; i++) {
        const hw_drive *v = &hand->drive[f[i].from->digit];
        mix(&key, f[i].from->digit + 10 * f[i].from->joint);
        mix(&key, v->sheath_outer);
        mix(&key, v->sheath_radius);
        mix3(&key, f[i].seat.at);
        mix3(&key, f[i].end.at);
        mix3(&key, f[i].end.along);
    }
    for (size_t i = 0; i < p->leads; i++) mix3(&key, p->place[i].body[HW_SERVO_CABLE].frame.at);
    mix_bodies(&key, palm);
    mix_bodies(&key, arm);
    return key;
}

static bool taken_over(const hw_places *like, hw_places *p)
{
    if (!like || !like->routed || like->ways_key != p->ways_key) return false;
    memcpy(p->sheath, like->sheath, sizeof p->sheath);
    p->sheaths = like->sheaths;
    p->bundle = like->bundle;
    return true;
}

void hw_hand_ways(const hw_design *d, const hw_places *like, hw_hand *hand)
{
    hw_places *p = &hand->places;
    double lead = get(d, HW_E_TUNNEL_LEAD, -1);
    drum at[HW_DIGITS * HW_JOINTS];
    feeder f[HW_SHEATH_WAYS];
    ways palm = {.n = 0}, arm = {.n = 0};
    size_t drums = drums_of(d, hand, at), n = FEEDS * drums;
    for (size_t i = 0; i < n; i++) f[i] = feeder_of(hand, &at[i / FEEDS], i % FEEDS == 1);
    add_palm_bodies(hand, &palm);
    add_drums(hand, at, drums, &arm);
    p->ways_key = key_of(hand, f, n, lead, &palm, &arm);
    p->sheaths = 0;
    if (!taken_over(like, p) && holes_of(hand, f, n, lead, &p->bundle))
        for (size_t i = 0; i < n; i++)
            if (route(hand, &f[i], &palm, &arm, &p->sheath[p->sheaths])) p->sheaths++;
    for (size_t i = 0; i < p->sheaths; i++) feed(d, hand, &p->sheath[i]);
}
