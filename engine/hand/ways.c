// The wrist's tunnel, and the sheaths from drums through it to the digits.
#include "hand/lay_internal.h"

#include <math.h>
#include <string.h>

enum { CLIPS = 400 }; // of a sheath

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
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

static void mix_bodies(uint64_t *key, const hw_lay_bodies *w)
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

static uint64_t key_of(const hw_design *d, const hw_hand *hand, const hw_strand f[], size_t n,
                       const hw_lay_bodies *palm, const hw_lay_bodies *arm)
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
    for (int i = 0; i < HW_PALM_SECTIONS * HW_PALM_AROUND; i++)
        mix3(&key, hand->palm.outline[i / HW_PALM_AROUND][i % HW_PALM_AROUND]);
    mix_bodies(&key, arm);
    return key;
}

// Ways of another hand, that of the same numbers or, where they are to be kept, of as many strands.
static bool taken_over(const hw_places *like, bool keep, size_t strands, hw_places *p)
{
    if (!like || !like->routed) return false;
    if (like->ways_key != p->ways_key && !(keep && like->sheaths == strands)) return false;
    memcpy(p->sheath, like->sheath, sizeof p->sheath);
    memcpy(p->lead, like->lead, sizeof p->lead);
    p->sheaths = like->sheaths;
    p->leads = like->leads;
    p->bundle = like->bundle;
    memcpy(p->mover_hole, like->mover_hole, sizeof p->mover_hole);
    return true;
}

// ---- leads

// From a servo in the palm through the tunnel, and on to the socket; false: no way.
static bool route_lead(const hw_hand *hand, size_t mover, hw_vec3 socket, double thick,
                       hw_lay_bodies *palm, hw_lead *out)
{
    const hw_vec3 back = {-1, 0, 0};
    hw_route one, two;
    double room;
    if (!hw_lay_lead(hand, mover, thick, palm, &one)) return false;
    const hw_route_def f = {.from = {one.point[one.points - 1], back},
                            .to = {socket, back},
                            .radius = 2 * thick,
                            .outer = thick};
    if (hw_route_between(&f, &two, &room) != HW_OK) return false;
    hw_lay_put_way(palm, &one, thick / 2 - hand->gap);
    hw_vec3 point[2 * HW_ROUTE_POINTS];
    size_t n = 0;
    for (size_t i = 0; i < one.points; i++) point[n++] = one.point[i];
    for (size_t i = 1; i < two.points; i++) point[n++] = two.point[i];
    out->inside = one.length;
    return n <= HW_ROUTE_POINTS && hw_route_through(point, n, one.radius, &out->way) == HW_OK;
}

static void route_leads(const hw_design *d, hw_hand *hand, hw_lay_bodies *palm)
{
    hw_places *p = &hand->places;
    const hw_vec3 socket = {get(d, HW_E_SOCKET_X, -1), get(d, HW_E_SOCKET_Y, -1),
                            get(d, HW_E_SOCKET_Z, -1)};
    p->leads = 0;
    for (size_t i = 0; i < p->movers; i++) {
        hw_lead *one = &p->lead[p->leads++];
        *one = (hw_lead){
            .digit = p->whose[i], .in_palm = true, .has = get(d, HW_E_OWN_MOVER_LEAD, p->whose[i])};
        one->shut = !route_lead(hand, i, socket, get(d, HW_E_TUNNEL_LEAD, -1), palm, one);
        one->needs = one->shut ? (double)NAN : 1.1 * one->way.length;
        if (one->shut) {
            one->way = (hw_route){.points = 0};
            continue;
        }
        hw_vec3 at, along;
        hw_route_at(&one->way, one->inside, &at, &along);
        const hw_vec2 hole = {at.y - p->tunnel_at.y, at.z - p->tunnel_at.z};
        // another than the bundle gave it keeps the gap, but may keep no more
        if (hw_norm(hw_sub(hole, p->mover_hole[i])) > 1e-9) p->bundle = fmin(p->bundle, hand->gap);
        p->mover_hole[i] = hole;
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

// Sheaths as they were laid.
static void keep_ways(hw_hand *hand, const hw_strand s[], size_t n)
{
    hw_places *p = &hand->places;
    for (size_t i = 0; i < n; i++) {
        if (!s[i].laid) continue;
        hw_vec3 wrist = {p->tunnel_at.x, p->tunnel_at.y + s[i].hole.x,
                         p->tunnel_at.z + s[i].hole.z};
        const hw_drive *v = &hand->drive[s[i].from->digit];
        hw_sheath_way *out = &p->sheath[p->sheaths];
        *out = (hw_sheath_way){.digit = s[i].from->digit,
                               .joint = s[i].from->joint,
                               .opening = s[i].opening,
                               .way = s[i].way,
                               .wrist = s[i].in_tunnel ? s[i].end.at : wrist,
                               .room = s[i].room};
        double clip[CLIPS];
        out->clips = hw_route_clips(&out->way, v->clip_spacing, clip, CLIPS);
        for (size_t k = 0; k < p->sheaths; k++)
            out->crossings += hw_route_crossings(&out->way, &p->sheath[k].way, 2 * v->sheath_outer);
        p->sheaths++;
    }
}

void hw_hand_ways(const hw_design *d, const hw_places *like, bool keep, hw_hand *hand)
{
    hw_places *p = &hand->places;
    double lead = get(d, HW_E_TUNNEL_LEAD, -1);
    hw_strand strand[HW_SHEATH_WAYS];
    hw_lay_skin skin;
    hw_lay_bodies palm = {.n = 0, .skin = &skin}, arm = {.n = 0};
    size_t n = hw_lay_strands(hand, strand);
    hw_lay_movers(p->place, p->whose, p->pack.places, &palm);
    hw_lay_palm(hand, &palm);
    hw_lay_drums(hand, &arm);
    p->ways_key = key_of(d, hand, strand, n, &palm, &arm);
    p->sheaths = 0;
    const bool anew = !taken_over(like, keep, n, p);
    if (anew) hw_lay_skin_of(&hand->palm, &skin);
    if (anew && hw_lay_all(hand, lead, &palm, &arm, strand, n)) {
        keep_ways(hand, strand, n);
        for (size_t i = 0; i < p->sheaths; i++)
            hw_lay_put_way(&palm, &p->sheath[i].way,
                           hand->drive[p->sheath[i].digit].sheath_outer / 2 - hand->gap);
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
