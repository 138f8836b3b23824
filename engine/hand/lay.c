// Sheaths beside bodies and beside each other: each takes the way that lacks least, and those that
// lack something are laid again through other holes of the tunnel.
#include "hand/lay_internal.h"
#include "parts/palm.h"

#include <math.h>

enum {
    DRUMS = 150,   // owner of drums
    SHEATHS = 200, // owner of sheaths that lie already
    FEEDS = 2,     // cords of a joint
    ROUND = 8,     // in each ring of a star
    STAR = 1 + 3 * ROUND,
    TRIES = 40000 // of ways beside each other
};

// The forearm is free where the palm is full: what a sheath goes aside there counts a tenth.
static const double arm_share = 0.1;  // [1]
static const double turn_price = 0.2; // of a turn, in radii [1]
// A way that touches is told apart from one that does not by:
static const double rounding = 1e-7; // [m]
// A bend's lack of radius beside a lack of room.
static const double bend_share = 0.25; // [1]

static hw_vec3 lower(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){fmin(a.x, b.x), fmin(a.y, b.y), fmin(a.z, b.z)};
}
static hw_vec3 upper(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){fmax(a.x, b.x), fmax(a.y, b.y), fmax(a.z, b.z)};
}

void hw_lay_put(hw_lay_bodies *w, hw_body body, int owner)
{
    if (w->n >= HW_ROUTE_OBSTACLES) return;
    w->body[w->n] = body;
    hw_body_span(&body, w->span[w->n]);
    w->owner[w->n++] = owner;
}

void hw_lay_put_way(hw_lay_bodies *w, const hw_route *way, double radius)
{
    hw_body part[HW_ROUTE_BODIES];
    size_t n = hw_route_bodies(way, fmax(radius, 0), part);
    for (size_t i = 0; i < n; i++) hw_lay_put(w, part[i], SHEATHS);
}

void hw_lay_movers(const hw_pack_place place[], const int whose[], size_t n, hw_lay_bodies *out)
{
    for (size_t i = 0; i < n; i++) {
        for (int k = 0; k < HW_SERVO_BODIES; k++) {
            const int owner = k == HW_SERVO_CABLE ? HW_LAY_LEADS : HW_LAY_MOVES;
            hw_lay_put(out, place[i].body[k], owner + whose[i]);
        }
        // the thumb's sheaths run through its own lug's bearing
        for (size_t k = 0; k < place[i].lug.n; k++)
            hw_lay_put(out, place[i].lug.body[k],
                       whose[i] == HW_THUMB ? HW_THUMB : HW_LAY_MOVES + whose[i]);
    }
}

void hw_lay_palm(const hw_hand *hand, hw_lay_bodies *out)
{
    for (int i = HW_INDEX; i <= HW_LITTLE; i++)
        if (hand->present[i]) hw_lay_put(out, hw_hand_carrier(hand, i, 0), i);
    hw_body thumb[HW_THUMB_BODIES + HW_PALM_ROOM];
    const hw_vec3 end = hand->places.mover[HW_THUMB].item.lever.end;
    size_t n = hand->present[HW_THUMB] ? hw_hand_thumb_bodies(hand, thumb) : 0;
    if (n) n += hw_hand_thumb_room(hand, end, thumb + n);
    for (size_t i = 0; i < n; i++) hw_lay_put(out, thumb[i], HW_THUMB);
}

void hw_lay_drums(const hw_hand *hand, hw_lay_bodies *out)
{
    const hw_drum *at = hand->places.drum;
    for (size_t i = 0; i < hand->places.drums; i++) {
        hw_frame f = hw_frame_identity();
        f.at = at[i].at;
        double cord = hand->drive[at[i].digit].cord_diameter;
        hw_lay_put(out, hw_body_cylinder(f, at[i].radius + cord, at[i].height), DRUMS);
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

// Where a sheath would pass the wrist. What it goes aside before and behind over the square of
// what it has for that is the curvature of its S-bend; the least sum of both squared.
static hw_vec2 wish_of(const hw_places *p, const hw_strand *f)
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

size_t hw_lay_strands(const hw_hand *hand, hw_strand out[])
{
    const hw_places *p = &hand->places;
    for (size_t i = 0; i < FEEDS * p->drums; i++) {
        const hw_drum *from = &p->drum[i / FEEDS];
        const bool opening = i % FEEDS == 1;
        // from the drum's side, a little in front of it
        hw_vec3 seat = from->at;
        seat.x += from->radius + 2 * hand->drive[from->digit].sheath_outer;
        seat.y += opening ? -from->radius : from->radius;
        out[i] = (hw_strand){.from = from,
                             .opening = opening,
                             .seat = {seat, {1, 0, 0}},
                             .end = end_of(hand, from->digit, from->joint, opening)};
        out[i].wish = out[i].hole = wish_of(p, &out[i]);
        out[i].in_tunnel = out[i].end.at.x < p->tunnel_at.x + p->tunnel_length / 2 +
                                                 hand->drive[from->digit].sheath_outer;
    }
    return FEEDS * p->drums;
}

// ---- one strand

// Where it leaves the tunnel, or enters it.
static hw_vec3 mouth_of(const hw_places *p, const hw_strand *s, double side) // [1]
{
    return (hw_vec3){p->tunnel_at.x + side * p->tunnel_length / 2, p->tunnel_at.y + s->hole.x,
                     p->tunnel_at.z + s->hole.z};
}

static hw_route_def part_of(const hw_hand *hand, const hw_strand *s, const hw_lay_bodies *w,
                            int own)
{
    const hw_drive *v = &hand->drive[s->from->digit];
    return (hw_route_def){.radius = v->sheath_radius,
                          .outer = v->sheath_outer,
                          .gap = hand->gap,
                          .body = w->body,
                          .bodies = w->n,
                          .owner = w->owner,
                          .own = own};
}

// From the drum to the tunnel; where it ends in the tunnel, to its end.
static bool lay_in_arm(const hw_hand *hand, const hw_lay_bodies *arm, hw_strand *s)
{
    double room;
    hw_route_def f = part_of(hand, s, arm, -1);
    f.from = s->seat;
    f.to = s->in_tunnel ? s->end : (hw_route_end){mouth_of(&hand->places, s, -1), {1, 0, 0}};
    return hw_route_between(&f, &s->part[0], &room) == HW_OK;
}

// From the tunnel to its end.
static bool lay_in_palm(const hw_hand *hand, const hw_lay_bodies *palm, hw_strand *s, double *room)
{
    hw_route_def f = part_of(hand, s, palm, s->from->digit);
    f.from = (hw_route_end){mouth_of(&hand->places, s, 1), {1, 0, 0}};
    f.to = s->end;
    *room = INFINITY;
    s->part[1] = (hw_route){.points = 0, .radius = INFINITY};
    return s->in_tunnel || hw_route_between(&f, &s->part[1], room) == HW_OK;
}

// Both joined.
static bool join(const hw_hand *hand, hw_strand *s)
{
    hw_vec3 point[HW_ROUTE_POINTS];
    size_t n = 0;
    for (int k = 0; k < 2; k++)
        for (size_t i = 0; i < s->part[k].points && n < HW_ROUTE_POINTS; i++)
            point[n++] = s->part[k].point[i];
    const double wanted = hand->drive[s->from->digit].sheath_radius;
    double radius = fmin(wanted, fmin(s->part[0].radius, s->part[1].radius));
    s->laid = hw_route_through(point, n, radius, &s->way) == HW_OK;
    s->bend_lack = s->laid ? fmax(wanted - s->way.radius, 0) : 0;
    return s->laid;
}

// ---- all of them

// Everything that is laid, and what each lacks beside what.
typedef struct layer {
    const hw_hand *hand;
    const hw_lay_bodies *palm, *arm;
    double lead; // [m]
    hw_strand *s;
    size_t n;
    double beside[HW_SHEATH_WAYS][HW_SHEATH_WAYS]; // gap of two strands; of one to bodies: its own
                                                   // place [m]
    hw_lay_bodies all[2];                          // with the other strands: forearm, palm
} layer;

// Sheaths may touch each other: what is added is thinner by the gap that others keep to it.
static double thin(const layer *l, const hw_strand *s) // [m]
{
    return l->hand->drive[s->from->digit].sheath_outer / 2 - l->hand->gap;
}

static void put_strand(layer *l, const hw_strand *s)
{
    hw_lay_put_way(&l->all[0], &s->part[0], thin(l, s));
    hw_lay_put_way(&l->all[1], &s->part[s->in_tunnel ? 0 : 1], thin(l, s));
}

// Strand i beside bodies and those of the others that `with` names.
static bool lay(layer *l, size_t i, bool others, size_t most)
{
    hw_strand *s = &l->s[i];
    double room;
    l->all[0] = *l->arm;
    l->all[1] = *l->palm;
    for (size_t k = 0; k < most && others; k++)
        if (k != i && l->s[k].laid) put_strand(l, &l->s[k]);
    s->laid = false;
    return lay_in_arm(l->hand, &l->all[0], s) && lay_in_palm(l->hand, &l->all[1], s, &room) &&
           join(l->hand, s);
}

bool hw_lay_apart(const hw_vec3 a[2], const hw_vec3 b[2], double far)
{
    return a[0].x - far > b[1].x || a[1].x + far < b[0].x || a[0].y - far > b[1].y ||
           a[1].y + far < b[0].y || a[0].z - far > b[1].z || a[1].z + far < b[0].z;
}

// Least gap of a way to bodies, less the gap asked, and to the skin, sure from `lost` to `most`.
static double gap_to(const hw_route *way, double outer, double gap, const hw_lay_bodies *w, int own,
                     double lost, double most) // [m] [m] [m] [m]
{
    hw_body part[HW_ROUTE_BODIES];
    hw_vec3 box[HW_ROUTE_BODIES][2], all[2];
    size_t n = way->points ? hw_route_bodies(way, outer / 2, part) : 0;
    double least = w->skin ? hw_lay_in_skin(w->skin, way, outer, lost, most) : most;
    if (n == 0 || !(least >= lost)) return least;
    for (size_t i = 0; i < n; i++) {
        hw_body_span(&part[i], box[i]);
        if (i == 0) all[0] = box[0][0], all[1] = box[0][1];
        all[0] = lower(all[0], box[i][0]);
        all[1] = upper(all[1], box[i][1]);
    }
    for (size_t k = 0; k < w->n && least >= lost; k++) {
        if (w->owner[k] == own || hw_lay_apart(all, w->span[k], least + gap)) continue;
        for (size_t i = 0; i < n; i++)
            if (!hw_lay_apart(box[i], w->span[k], least + gap))
                least = fmin(least, hw_body_clear(&part[i], &w->body[k], least + gap) - gap);
    }
    return least;
}

// What strand i lacks beside bodies, and beside every other.
static void measure(layer *l, size_t i)
{
    const hw_strand *s = &l->s[i];
    const hw_drive *v = &l->hand->drive[s->from->digit];
    double gap = l->hand->gap;
    const double outer = v->sheath_outer, far = 2 * outer, lost = -INFINITY;
    const int own = s->from->digit;
    l->beside[i][i] = fmin(gap_to(&s->part[0], outer, gap, l->arm, -1, lost, far),
                           gap_to(&s->part[1], outer, gap, l->palm, own, lost, far));
    for (size_t k = 0; k < l->n; k++) {
        if (k == i || !l->s[k].laid || !s->laid) continue;
        l->all[0].n = l->all[1].n = 0;
        l->all[1].skin = NULL;
        put_strand(l, &l->s[k]);
        double least = gap_to(&s->part[0], outer, gap, &l->all[0], -1, lost, far);
        const hw_route *last = &s->part[s->in_tunnel ? 0 : 1];
        least = fmin(least, gap_to(last, outer, gap, &l->all[1], own, lost, far));
        l->beside[i][k] = l->beside[k][i] = least;
    }
}

// What strand i lacks by itself, and beside those before it or beside all.
static double lack_of(const layer *l, size_t i, size_t others) // [m]
{
    const hw_strand *s = &l->s[i];
    if (!s->laid) return l->hand->palm.length;
    double sum = bend_share * s->bend_lack + fmax(-l->beside[i][i], 0);
    for (size_t k = 0; k < others; k++)
        if (k != i && l->s[k].laid) sum += fmax(-l->beside[i][k], 0);
    return sum;
}

static double lack_of_all(const layer *l) // [m]
{
    double sum = 0;
    for (size_t i = 0; i < l->n; i++) sum += lack_of(l, i, i);
    return sum;
}

// ---- families of ways

static bool before(const hw_lay_way *a, const hw_lay_way *b)
{
    double lack_a = fmax(-a->room, 0), lack_b = fmax(-b->room, 0);
    return lack_a != lack_b ? lack_a < lack_b : a->cost < b->cost;
}

// An S-bend from one line along the palm to another `aside` of it, as short as the radius lets it
// be: how far its corners are from its ends, and its length.
static double bend_aside(double aside, double radius, double *corner) // [m] [m] [m]
{
    double turn = acos(fmax(1 - aside / (2 * radius), -1));
    *corner = radius * tan(turn / 2);
    return aside > 0 ? 2 * radius * sin(turn) : 0;
}

// From the hole's line to a line at `middle`, and from there to the end's; false: too tight.
static bool way_by(const hw_hand *hand, const hw_strand *s, hw_vec2 middle, hw_route *out)
{
    const double radius = hand->drive[s->from->digit].sheath_radius, fair = 1.001 * radius;
    const hw_vec3 from = mouth_of(&hand->places, s, 1), to = s->end.at;
    hw_vec2 a = {from.y, from.z}, b = {to.y, to.z};
    double c[2], far[2] = {bend_aside(hw_norm(hw_sub(middle, a)), fair, &c[0]),
                           bend_aside(hw_norm(hw_sub(b, middle)), fair, &c[1])};
    if (far[0] + far[1] > to.x - from.x) return false;
    hw_vec3 p[6] = {from};
    size_t n = 1;
    if (far[0] > 0) {
        p[n++] = hw_vec3_along(from, c[0], (hw_vec3){1, 0, 0});
        p[n++] = (hw_vec3){from.x + far[0] - c[0], middle.x, middle.z};
    }
    if (far[1] > 0) p[n++] = (hw_vec3){to.x - far[1] + c[1], middle.x, middle.z};
    // on the end's own line, which seldom lies quite along the palm
    p[n++] = hw_vec3_along(to, -fmax(c[1], (to.x - from.x) / 16), s->end.along);
    p[n++] = to;
    return hw_route_through(p, n, radius, out) == HW_OK && !(out->radius < 0.99 * radius);
}

// Point k of a star: the middle, then rings of eight.
static hw_vec2 star(hw_vec2 middle, double step, int k) // [m]
{
    if (k == 0) return middle;
    int ring = (k - 1) / ROUND;
    double turn = 2 * HW_PI * ((k - 1) % ROUND + 0.5 * (ring % 2)) / ROUND, far = step * (ring + 1);
    return (hw_vec2){middle.x + far * cos(turn), middle.z + far * sin(turn)};
}

// The hole itself, or the nearest to it that keeps its gap to the tunnel's wall.
static hw_vec2 in_tunnel(const hw_hand *hand, hw_vec2 hole, double radius) // [m]
{
    const hw_tunnel *t = &hand->places.tunnel;
    double half = (t->width - t->height) / 2, most = t->height / 2 - radius - hand->gap;
    hw_vec2 on = {fmin(fmax(hole.x, -half), half), 0}, off = hw_sub(hole, on);
    double far = hw_norm(off);
    return far > most ? hw_add(on, hw_scale(off, fmax(most, 0) / far)) : hole;
}

size_t hw_lay_family(const hw_hand *hand, const hw_lay_bodies *palm, const hw_strand *of,
                     double least, hw_lay_way out[HW_LAY_FAMILY])
{
    const hw_drive *v = &hand->drive[of->from->digit];
    hw_strand s = *of;
    size_t n = 0;
    for (int h = 0; h < STAR && !of->in_tunnel; h++) {
        s.hole = in_tunnel(hand, star(of->wish, 1.1 * v->sheath_outer, h), v->sheath_outer / 2);
        hw_vec3 from = mouth_of(&hand->places, &s, 1);
        for (int k = 0; k < 2 * STAR && n < HW_LAY_FAMILY; k++) {
            hw_lay_way *w = &out[n];
            const hw_vec2 about =
                k % 2 ? (hw_vec2){of->end.at.y, of->end.at.z} : (hw_vec2){from.y, from.z};
            hw_vec2 middle = star(about, 0.7 * v->sheath_outer, k / 2);
            if (!way_by(hand, &s, middle, &w->way)) continue;
            w->hole = s.hole;
            w->room = gap_to(&w->way, v->sheath_outer, hand->gap, palm, of->from->digit, least, 0);
            if (w->room < least) continue;
            w->cost = w->way.length + turn_price * v->sheath_radius * w->way.bend;
            n++;
        }
    }
    for (size_t i = 1; i < n; i++) { // those that lack nothing first, then what turns little
        hw_lay_way w = out[i];
        size_t k = i;
        for (; k > 0 && before(&w, &out[k - 1]); k--) out[k] = out[k - 1];
        out[k] = w;
    }
    return n;
}

// ---- a choice of ways that go together

typedef struct picker {
    const hw_hand *hand;
    hw_strand *s;
    hw_lay_way *from[HW_SHEATH_WAYS];
    size_t n[HW_SHEATH_WAYS], at[HW_SHEATH_WAYS], best[HW_SHEATH_WAYS];
    size_t order[HW_SHEATH_WAYS], strands;
    double least;
    long tries;
} picker;

// What two ways lack beside each other, in the tunnel or behind it.
static double lack_beside(const picker *c, size_t i, const hw_lay_way *a, size_t k,
                          const hw_lay_way *b) // [m]
{
    double ra = c->hand->drive[c->s[i].from->digit].sheath_outer / 2;
    double rb = c->hand->drive[c->s[k].from->digit].sheath_outer / 2;
    double lack = ra + rb + c->hand->gap * (1 - 1e-9) - hw_norm(hw_sub(a->hole, b->hole));
    if (lack > 0) return 10 * lack;
    hw_body part[2][HW_ROUTE_BODIES];
    size_t n = hw_route_bodies(&a->way, ra, part[0]), m = hw_route_bodies(&b->way, rb, part[1]);
    double near = 0;
    for (size_t x = 0; x < n; x++)
        for (size_t y = 0; y < m; y++) {
            double sum = part[0][x].half.z + part[1][y].half.z + ra + rb;
            hw_vec3 d = hw_vec3_sub(part[0][x].frame.at, part[1][y].frame.at);
            if (hw_vec3_dot(d, d) >= sum * sum) continue;
            near = fmin(near, hw_body_clear(&part[0][x], &part[1][y], 0));
        }
    return -near;
}

static void pick(picker *c, size_t depth, double lack)
{
    if (!(lack < c->least)) return;
    if (depth == c->strands) {
        c->least = lack;
        for (size_t i = 0; i < c->strands; i++) c->best[i] = c->at[i];
        return;
    }
    size_t i = c->order[depth];
    for (size_t w = 0; w < c->n[i] && c->least > 0; w++) {
        if (--c->tries < 0) return;
        double now = lack + fmax(-c->from[i][w].room, 0);
        for (size_t d = 0; d < depth && now < c->least; d++) {
            size_t k = c->order[d];
            now += lack_beside(c, i, &c->from[i][w], k, &c->from[k][c->at[k]]);
        }
        c->at[i] = w;
        if (now < c->least) pick(c, depth + 1, now);
    }
}

// Holes of the tunnel: where sheaths would pass, if there is room for that, else where there is.
static bool holes_of(hw_hand *hand, hw_strand s[], size_t n, double lead)
{
    hw_places *p = &hand->places;
    hw_vec2 wish[HW_BUNDLE], hole[HW_BUNDLE];
    double radius[HW_BUNDLE];
    if (n == 0 || n + p->movers > HW_BUNDLE) return false;
    for (size_t i = 0; i < n; i++) {
        radius[i] = hand->drive[s[i].from->digit].sheath_outer / 2;
        wish[i] = s[i].wish;
    }
    for (size_t i = 0; i < p->movers; i++) {
        radius[n + i] = lead / 2;
        hw_vec3 from = p->place[i].body[HW_SERVO_CABLE].frame.at;
        wish[n + i] = (hw_vec2){from.y - p->tunnel_at.y, from.z - p->tunnel_at.z};
    }
    size_t all = n + p->movers;
    double *room = &p->bundle;
    if (hw_bundle_near(&p->tunnel, radius, wish, all, hand->gap, hole, room) != HW_OK) return false;
    if (*room < 0 && hw_bundle_in(&p->tunnel, radius, all, hole, room) != HW_OK) return false;
    for (size_t i = 0; i < n; i++) s[i].hole = hole[i];
    for (size_t i = 0; i < p->movers; i++) p->mover_hole[i] = hole[n + i];
    return true;
}

// Whether a lead's hole leaves all sheaths and the `m` leads before it their own.
static bool hole_free(const hw_hand *hand, const hw_strand s[], size_t n, size_t m, double lead,
                      hw_vec2 h) // [m]
{
    for (size_t q = 0; q < n; q++) {
        double r = hand->drive[s[q].from->digit].sheath_outer / 2 + lead / 2;
        if (hw_norm(hw_sub(h, s[q].hole)) < r + hand->gap) return false;
    }
    for (size_t q = 0; q < m; q++)
        if (hw_norm(hw_sub(h, hand->places.mover_hole[q])) < lead + hand->gap) return false;
    return true;
}

// Leads take what holes are left, each the one nearest to where it would pass.
static void leads_holes(hw_hand *hand, const hw_strand s[], size_t n, double lead)
{
    hw_places *p = &hand->places;
    const double step = lead / 2;
    for (size_t m = 0; m < p->movers; m++) {
        hw_vec3 from = p->place[m].body[HW_SERVO_CABLE].frame.at;
        hw_vec2 wish = {from.y - p->tunnel_at.y, from.z - p->tunnel_at.z};
        double least = INFINITY;
        int wide = (int)(p->tunnel.width / step), high = (int)(p->tunnel.height / step);
        for (int i = 0; i <= wide; i++)
            for (int k = 0; k <= high; k++) {
                hw_vec2 h = {i * step - p->tunnel.width / 2, k * step - p->tunnel.height / 2};
                double far = hw_norm(hw_sub(h, wish));
                if (!(far < least) || hw_norm(hw_sub(in_tunnel(hand, h, lead / 2), h)) > 0)
                    continue;
                if (!hole_free(hand, s, n, m, lead, h)) continue;
                least = far;
                p->mover_hole[m] = h;
            }
        if (isinf(least)) p->bundle = -lead;
    }
}

// A family for each strand that does not lie in the tunnel alone, the smaller ones first; false: no
// memory.
static bool families_of(picker *c, hw_strand s[], size_t n, const hw_lay_bodies *palm, hw_arena *a)
{
    for (size_t i = 0; i < n; i++) {
        if (s[i].in_tunnel) continue;
        c->from[i] = HW_NEW(a, hw_lay_way, HW_LAY_FAMILY);
        if (!c->from[i]) return false;
        c->n[i] = hw_lay_family(c->hand, palm, &s[i],
                                -0.75 * c->hand->drive[s[i].from->digit].sheath_outer, c->from[i]);
        size_t k = c->strands++;
        for (; k > 0 && c->n[c->order[k - 1]] > c->n[i]; k--) c->order[k] = c->order[k - 1];
        c->order[k] = i;
    }
    return true;
}

// On from the tunnel through the arm, each beside those that lie there.
static void go_on_in_arm(layer *with, hw_hand *hand)
{
    hw_strand *s = with->s;
    for (size_t i = 0; i < with->n; i++) {
        if (s[i].in_tunnel) continue;
        with->all[0] = *with->arm;
        for (size_t k = 0; k < with->n; k++)
            if (s[k].laid) put_strand(with, &s[k]);
        s[i].laid = lay_in_arm(hand, &with->all[0], &s[i]) && join(hand, &s[i]);
    }
}

// Ways from families that go together, in place of those that lack something.
static void lay_chosen(layer *l, hw_hand *hand, hw_arena *a)
{
    picker c = {.hand = hand, .s = l->s, .least = INFINITY, .tries = TRIES};
    hw_lay_bodies *palm = HW_NEW(a, hw_lay_bodies, 1);
    layer *with = HW_NEW(a, layer, 1);
    hw_strand *s = HW_NEW(a, hw_strand, l->n);
    if (!palm || !with || !s) return;
    *palm = *l->palm;
    for (size_t i = 0; i < l->n; i++) {
        s[i] = l->s[i];
        if (s[i].in_tunnel) hw_lay_put_way(palm, &s[i].part[0], thin(l, &s[i]));
    }
    if (!families_of(&c, s, l->n, palm, a)) return;
    pick(&c, 0, 0);
    if (isinf(c.least)) return;
    for (size_t d = 0; d < c.strands; d++) {
        size_t i = c.order[d];
        s[i].hole = c.from[i][c.best[i]].hole;
        s[i].part[1] = c.from[i][c.best[i]].way;
        s[i].laid = false;
    }
    *with = *l;
    with->s = s;
    go_on_in_arm(with, hand);
    for (size_t i = 0; i < l->n; i++) measure(with, i);
    if (!(lack_of_all(with) < lack_of_all(l))) return;
    for (size_t i = 0; i < l->n; i++) l->s[i] = s[i];
    for (size_t i = 0; i < l->n; i++) measure(l, i);
    leads_holes(hand, s, l->n, l->lead);
}

bool hw_lay_all(hw_hand *hand, double lead, const hw_lay_bodies *palm, const hw_lay_bodies *arm,
                hw_strand strand[], size_t n)
{
    if (!holes_of(hand, strand, n, lead)) return false;
    hw_arena *a = hw_arena_new(0);
    layer *l = a ? HW_NEW(a, layer, 1) : NULL;
    if (!l) {
        hw_arena_free(a);
        return false;
    }
    *l = (layer){.hand = hand, .palm = palm, .arm = arm, .lead = lead, .s = strand, .n = n};
    for (size_t i = 0; i < n; i++) (void)lay(l, i, true, i);
    for (size_t i = 0; i < n; i++) measure(l, i);
    if (lack_of_all(l) > 0) lay_chosen(l, hand, a);
    for (size_t i = 0; i < n; i++) {
        strand[i].room = l->beside[i][i];
        for (size_t k = 0; k < i; k++)
            if (strand[k].laid) strand[i].room = fmin(strand[i].room, l->beside[i][k]);
        if (fabs(strand[i].room) < rounding) strand[i].room = 0;
    }
    hw_arena_free(a);
    return true;
}
