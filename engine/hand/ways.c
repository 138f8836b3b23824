// The wrist's tunnel, and the sheaths from drums through it to the digits.
#include "hand/hand_internal.h"

#include <math.h>
#include <string.h>

enum {
    MOVES = 100,   // owner of a servo in the palm: this and its digit
    DRUMS = 150,   // of drums
    SHEATHS = 200, // owner of sheaths that lie already
    FEEDS = 2,     // cords of a joint
    CLIPS = 400    // of a sheath
};

// The forearm is free where the palm is full: what a sheath goes aside there counts a tenth.
static const double arm_share = 0.1; // [1]

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
        for (int k = 0; k < HW_SERVO_BODIES; k++)
            put_way(w, p->place[i].body[k], MOVES + p->whose[i]);
    for (size_t i = 0; i < p->pack.places; i++)
        for (size_t k = 0; k < p->place[i].lug.n; k++) // the thumb's sheaths run through its own
            put_way(w, p->place[i].lug.body[k],
                    p->whose[i] == HW_THUMB ? HW_THUMB : MOVES + p->whose[i]);
    for (int i = HW_INDEX; i <= HW_LITTLE; i++)
        if (hand->present[i]) put_way(w, hw_hand_carrier(hand, i, 0), i);
    hw_body thumb[HW_THUMB_BODIES];
    size_t n = hand->present[HW_THUMB] ? hw_hand_thumb_bodies(hand, thumb) : 0;
    for (size_t i = 0; i < n; i++) put_way(w, thumb[i], HW_THUMB);
}

static void add_drums(const hw_hand *hand, ways *w)
{
    const hw_drum *at = hand->places.drum;
    for (size_t i = 0; i < hand->places.drums; i++) {
        hw_frame f = hw_frame_identity();
        f.at = at[i].at;
        double cord = hand->drive[at[i].digit].cord_diameter;
        put_way(w, hw_body_cylinder(f, at[i].radius + cord, at[i].height), DRUMS);
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
        hw_bearing b;
        hw_vec3 at = hw_hand_bearing(hand, &b)
                         ? hw_vec3_along(b.at, -b.mouth, b.along)
                         : hw_vec3_along(p->thumb_base.at, -g->thickness[0] / 2, p->thumb_base.x);
        at = hw_vec3_along(at, joint ? -side : side, p->thumb_base.y);
        at = hw_vec3_along(at, opening ? side : -side, p->thumb_base.z);
        return (hw_route_end){at, p->thumb_base.x};
    }
    double z = hw_vec3_dot(hw_vec3_sub(g->cord_at, g->knuckle.at), g->knuckle.z);
    hw_vec3 at = opening ? hw_vec3_along(g->cord_at, -2 * z, g->knuckle.z) : g->cord_at;
    return (hw_route_end){at, g->knuckle.x};
}

// A sheath before it has a way: its two ends and the hole of the tunnel between them.
typedef struct feeder {
    const hw_drum *from;
    bool opening;
    hw_route_end seat, end;
    hw_vec2 hole; // from the tunnel's middle [m]
} feeder;

// From the drum's side, a little in front of it.
static feeder feeder_of(const hw_hand *hand, const hw_drum *from, bool opening)
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
        double w = (k ? 1 : arm_share) * pow(p->tunnel_length / far, 4);
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
    hw_route one, two = {.points = 0, .radius = INFINITY};
    double room[2] = {INFINITY, INFINITY};
    // the thumb's bearing may begin in the tunnel
    const bool in_tunnel = w->end.at.x < p->tunnel_at.x + half + v->sheath_outer;
    if (in_tunnel) f.to = w->end;
    if (hw_route_between(&f, &one, &room[0]) != HW_OK) return false;
    f.from = (hw_route_end){away, x};
    f.to = w->end;
    f.body = palm->body;
    f.bodies = palm->n;
    f.owner = palm->owner;
    f.own = w->from->digit;
    if (!in_tunnel && hw_route_between(&f, &two, &room[1]) != HW_OK) return false;
    add_sheath(&one, f.outer / 2 - f.gap, arm);
    add_sheath(in_tunnel ? &one : &two, f.outer / 2 - f.gap, palm);
    hw_vec3 point[HW_ROUTE_POINTS];
    size_t n = 0;
    for (size_t i = 0; i < one.points; i++) point[n++] = one.point[i];
    for (size_t i = 0; i < two.points; i++) point[n++] = two.point[i];
    double wanted = fmin(v->sheath_radius, fmin(one.radius, two.radius));
    *out =
        (hw_sheath_way){.digit = w->from->digit,
                        .joint = w->from->joint,
                        .opening = w->opening,
                        .wrist = in_tunnel ? w->end.at : hw_vec3_times(hw_vec3_add(in, away), 0.5),
                        .room = fmin(room[0], room[1])};
    if (hw_route_through(point, n, wanted, &out->way) != HW_OK) return false;
    double clip[CLIPS];
    out->clips = hw_route_clips(&out->way, v->clip_spacing, clip, CLIPS);
    const hw_sheath_way *other = p->sheath;
    for (size_t i = 0; i < p->sheaths; i++)
        out->crossings += hw_route_crossings(&out->way, &other[i].way, 2 * v->sheath_outer);
    return true;
}

// ---- what the ways mean for the drives

static bool is_typed(const hw_design *d, hw_entry_id own, hw_entry_id shared, int digit)
{
    if ((int)get(d, HW_E_FOREARM_LENGTHS, -1) == HW_LENGTHS_ROUTED) return false;
    return hw_design_origin(d, hw_entry_of(own, digit)) != HW_FROM_DEFAULT ||
           hw_design_origin(d, hw_entry_of(shared, -1)) != HW_FROM_DEFAULT;
}

// How far a way lies from the wrist's axis; positive where bending one way lengthens it.
static double offset_of(const hw_design *d, const hw_sheath_way *s) // [m]
{
    if ((int)get(d, HW_E_WRIST_AXIS, -1) == HW_WRIST_DEVIATION)
        return s->wrist.y - get(d, HW_E_WRIST_AXIS_Y, -1);
    return s->wrist.z - get(d, HW_E_WRIST_AXIS_Z, -1);
}

// What a bent wrist does to a cord: inside its sheath it lies on the bend's inner side, and where
// the sheath has less to spare than its offset asks, its ends are pulled by the rest. As the offset
// that a bare cord would have to lie at.
static double bare_offset(const hw_drive *v, double offset, double spare) // [m] [m] [m]
{
    double inside = (v->sheath_bore - v->cord_diameter) / 2;
    if (!(v->wrist_range > 0)) return inside;
    double lacks = hw_wrist_needs(offset, v->wrist_range) - spare;
    return inside + fmax(lacks, 0) / v->wrist_range;
}

// The longest, most bent and tightest of a digit's sheaths. Length, bend and offset only where the
// document does not say them; the tightest bend is the way's own, at most what the document wants.
static void feed(const hw_design *d, hw_hand *hand, const hw_sheath_way *s)
{
    hw_places *p = &hand->places;
    hw_drive *v = &hand->drive[s->digit];
    bool first = s->joint == 0 && !s->opening;
    double bend = s->way.bend + s->inside.bend + v->wrist_range, off = offset_of(d, s);
    double length = s->way.length + s->inside.length;
    if (!is_typed(d, HW_E_OWN_SHEATH_LENGTH, HW_E_DRIVE_SHEATH_LENGTH, s->digit))
        v->sheath_length = first ? length : fmax(v->sheath_length, length);
    if (!is_typed(d, HW_E_OWN_SHEATH_BEND, HW_E_DRIVE_SHEATH_BEND, s->digit))
        v->sheath_bend = first ? bend : fmax(v->sheath_bend, bend);
    double round = hw_wrist_radius(off, v->wrist_range, get(d, HW_E_WRIST_SPAN, -1));
    v->sheath_radius = fmin(v->sheath_radius, fmin(s->way.radius, fmax(round, 0)));
    p->wrist_radius = fmin(p->wrist_radius, round);
    p->wrist_range = fmax(p->wrist_range, v->wrist_range);
    p->wrist[0] = fmax(p->wrist[0], hw_wrist_needs(off, v->wrist_range));
    if (!is_typed(d, HW_E_OWN_WRIST_OFFSET, HW_E_DRIVE_WRIST_OFFSET, s->digit)) {
        double bare = bare_offset(v, off, p->wrist[1]);
        v->wrist_offset = first ? bare : fmax(v->wrist_offset, bare);
    }
}

// Whether a digit's two cords are pulled by a bent wrist in opposite senses.
static void lay_astride(const hw_design *d, hw_hand *hand)
{
    const hw_places *p = &hand->places;
    for (size_t i = 0; i + 1 < p->sheaths; i++) {
        const hw_sheath_way *a = &p->sheath[i], *b = &p->sheath[i + 1];
        if (a->digit != b->digit || a->joint != 0 || a->opening || b->joint != 0) continue;
        if (is_typed(d, HW_E_OWN_WRIST_CORDS, HW_E_DRIVE_WRIST_CORDS, a->digit)) continue;
        double one = offset_of(d, a), two = offset_of(d, b);
        double range = hand->drive[a->digit].wrist_range;
        bool pulled = fmin(hw_wrist_needs(one, range), hw_wrist_needs(two, range)) > p->wrist[1];
        hand->drive[a->digit].wrist_astride = pulled && (one > 0) != (two > 0);
    }
}

// Holes of the tunnel: where sheaths would pass, if there is room for that, else where there is.
static bool holes_of(hw_hand *hand, feeder f[], size_t n, double lead, double *room)
{
    hw_places *p = &hand->places;
    hw_vec2 wish[HW_BUNDLE], hole[HW_BUNDLE];
    double radius[HW_BUNDLE];
    if (n == 0 || n + p->movers > HW_BUNDLE) return false;
    for (size_t i = 0; i < n; i++) {
        radius[i] = hand->drive[f[i].from->digit].sheath_outer / 2;
        wish[i] = wish_of(p, &f[i]);
    }
    for (size_t i = 0; i < p->movers; i++) {
        radius[n + i] = lead / 2;
        hw_vec3 from = p->place[i].body[HW_SERVO_CABLE].frame.at;
        wish[n + i] = (hw_vec2){from.y - p->tunnel_at.y, from.z - p->tunnel_at.z};
    }
    size_t all = n + p->movers;
    if (hw_bundle_near(&p->tunnel, radius, wish, all, hand->gap, hole, room) != HW_OK) return false;
    if (*room < 0 && hw_bundle_in(&p->tunnel, radius, all, hole, room) != HW_OK) return false;
    for (size_t i = 0; i < n; i++) f[i].hole = hole[i];
    for (size_t i = 0; i < p->movers; i++) p->mover_hole[i] = hole[n + i];
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

static uint64_t key_of(const hw_design *d, const hw_hand *hand, const feeder f[], size_t n,
                       const ways *palm, const ways *arm)
{
    static const hw_entry_id row[] = {HW_E_TUNNEL_LEAD, HW_E_SOCKET_X, HW_E_SOCKET_Y,
                                      HW_E_SOCKET_Z};
    static const hw_entry_id own[] = {HW_E_OWN_WIRE_LENGTH, HW_E_OWN_MOVER_LEAD,
                                      HW_E_OWN_SERVO_LENGTH, HW_E_OWN_SERVO_SHAFT_AT};
    const hw_places *p = &hand->places;
    uint64_t key = n + 100 * p->movers;
    const double number[] = {p->tunnel.width, p->tunnel.height, p->tunnel_length, hand->gap};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) mix(&key, get(d, row[i], -1));
    for (int g = 0; g < HW_DIGITS; g++)
        for (size_t i = 0; i < sizeof own / sizeof own[0]; i++) mix(&key, get(d, own[i], g));
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++) mix(&key, number[i]);
    mix3(&key, p->tunnel_at);
    for (size_t i = 0; i < n; i++) {
        const hw_drive *v = &hand->drive[f[i].from->digit];
        mix(&key, f[i].from->digit + 10 * f[i].from->joint);
        mix(&key, v->sheath_outer);
        mix(&key, v->sheath_radius);
        mix(&key, v->clip_spacing);
        mix3(&key, f[i].seat.at);
        mix3(&key, f[i].end.at);
        mix3(&key, f[i].end.along);
    }
    for (size_t i = 0; i < p->movers; i++) mix3(&key, p->place[i].body[HW_SERVO_CABLE].frame.at);
    mix_bodies(&key, palm);
    mix_bodies(&key, arm);
    return key;
}

static bool taken_over(const hw_places *like, hw_places *p)
{
    if (!like || !like->routed || like->ways_key != p->ways_key) return false;
    memcpy(p->sheath, like->sheath, sizeof p->sheath);
    memcpy(p->lead, like->lead, sizeof p->lead);
    p->sheaths = like->sheaths;
    p->leads = like->leads;
    p->bundle = like->bundle;
    return true;
}

// ---- leads

// From a servo in the palm to the tunnel, and on to the socket; false: no way.
static bool route_lead(const hw_hand *hand, size_t mover, hw_vec3 socket, double thick, ways *palm,
                       hw_route *out)
{
    const hw_places *p = &hand->places;
    const hw_pack_place *at = &p->place[mover];
    const hw_vec3 back = {-1, 0, 0};
    const hw_body *cable = &at->body[HW_SERVO_CABLE], *body = &at->body[HW_SERVO_CASE];
    double side = hw_vec3_dot(hw_vec3_sub(cable->frame.at, body->frame.at), at->frame.x);
    hw_vec3 along = hw_vec3_times(at->frame.x, side < 0 ? -1 : 1);
    hw_vec3 hole = {p->tunnel_at.x, p->tunnel_at.y + p->mover_hole[mover].x,
                    p->tunnel_at.z + p->mover_hole[mover].z};
    hw_route_def f = {
        .from = {hw_vec3_along(cable->frame.at, cable->half.x, along), along},
        .to = {hw_vec3_along(hole, -p->tunnel_length / 2, back), back},
        .radius = 2 * thick,
        .outer = thick,
        .gap = hand->gap,
        .body = palm->body,
        .bodies = palm->n,
        .owner = palm->owner,
        .own = MOVES + p->whose[mover],
    };
    hw_route one, two;
    double room;
    if (hw_route_between(&f, &one, &room) != HW_OK) return false;
    f.from = (hw_route_end){hw_vec3_along(hole, p->tunnel_length / 2, back), back};
    f.to = (hw_route_end){socket, back};
    f.bodies = 0;
    if (hw_route_between(&f, &two, &room) != HW_OK) return false;
    add_sheath(&one, thick / 2 - hand->gap, palm);
    hw_vec3 point[2 * HW_ROUTE_POINTS];
    size_t n = 0;
    for (size_t i = 0; i < one.points; i++) point[n++] = one.point[i];
    for (size_t i = 0; i < two.points; i++) point[n++] = two.point[i];
    return hw_route_through(point, n, f.radius, out) == HW_OK;
}

static void route_leads(const hw_design *d, hw_hand *hand, ways *palm)
{
    hw_places *p = &hand->places;
    const hw_vec3 socket = {get(d, HW_E_SOCKET_X, -1), get(d, HW_E_SOCKET_Y, -1),
                            get(d, HW_E_SOCKET_Z, -1)};
    p->leads = 0;
    for (size_t i = 0; i < p->movers; i++) {
        hw_lead *one = &p->lead[p->leads];
        *one = (hw_lead){
            .digit = p->whose[i], .in_palm = true, .has = get(d, HW_E_OWN_MOVER_LEAD, p->whose[i])};
        if (!route_lead(hand, i, socket, get(d, HW_E_TUNNEL_LEAD, -1), palm, &one->way)) continue;
        one->needs = 1.1 * one->way.length;
        p->leads++;
    }
    const hw_drum *at = p->drum;
    for (size_t i = 0; i < p->drums; i++) {
        // out of the case's end behind the drum
        hw_vec3 from = at[i].at;
        from.x -= get(d, HW_E_OWN_SERVO_LENGTH, at[i].digit) -
                  get(d, HW_E_OWN_SERVO_SHAFT_AT, at[i].digit);
        p->lead[p->leads++] = (hw_lead){.digit = at[i].digit,
                                        .needs = 1.25 * hw_vec3_norm(hw_vec3_sub(from, socket)),
                                        .has = get(d, HW_E_OWN_WIRE_LENGTH, at[i].digit)};
    }
}

void hw_hand_ways(const hw_design *d, const hw_places *like, hw_hand *hand)
{
    hw_places *p = &hand->places;
    double lead = get(d, HW_E_TUNNEL_LEAD, -1);
    feeder f[HW_SHEATH_WAYS];
    ways palm = {.n = 0}, arm = {.n = 0};
    size_t n = FEEDS * p->drums;
    for (size_t i = 0; i < n; i++) f[i] = feeder_of(hand, &p->drum[i / FEEDS], i % FEEDS == 1);
    add_palm_bodies(hand, &palm);
    add_drums(hand, &arm);
    p->ways_key = key_of(d, hand, f, n, &palm, &arm);
    p->sheaths = 0;
    if (!taken_over(like, p) && holes_of(hand, f, n, lead, &p->bundle)) {
        for (size_t i = 0; i < n; i++)
            if (route(hand, &f[i], &palm, &arm, &p->sheath[p->sheaths])) p->sheaths++;
        route_leads(d, hand, &palm);
    }
    p->wrist[0] = p->wrist_range = 0;
    p->wrist[1] = get(d, HW_E_TUNNEL_SPARE, -1);
    p->wrist_radius = INFINITY;
    hw_bearing b;
    bool held = hw_hand_bearing(hand, &b);
    for (size_t i = 0; i < p->sheaths; i++) {
        bool in_yoke = held && p->sheath[i].digit == HW_THUMB;
        p->sheath[i].inside.length = in_yoke ? b.length : 0;
        p->sheath[i].inside.bend = in_yoke ? b.bend : 0;
    }
    for (size_t i = 0; i < p->sheaths; i++) feed(d, hand, &p->sheath[i]);
    lay_astride(d, hand);
}
