// Servos in the palm and sheaths of a hand from its document: a larger servo, lengths that nobody
// typed, joints that share a servo, what is counted.
#include "assess/assess.h"
#include "check.h"
#include "document.h"
#include "hand/hand_internal.h"
#include "parts/palm.h"

// A thumb's axis behind its joint has a seat only where the sheaths' arc ends before the carrier's
// back face and the journal before the wrist: else that is what the servos lack.
static hw_hand *hand_of(const char *text);
static hw_hand *seated_with(const char *carrier, const char *behind, const char *x)
{
    char text[600];
    snprintf(text, sizeof text,
             "handwright: 1\nhand: {length: 186 mm, breadth: 84 mm}\n"
             "palm: {thickness: 38 mm, opposition: {behind: %s, turn: 0 deg, rise: 0 deg}}\n"
             "digits: {thumb: {carrier: {length: %s}, drive: {sheath: {radius: 16 mm}},\n"
             "  mechanism: {kind: direct, reach: cords},\n"
             "  opposition: {driven: yes}, knuckle: {at: {x: %s, y: 26 mm, z: -35 mm},\n"
             "  turn: 45 deg, rise: -41 deg, roll: -112 deg}}}\n",
             behind, carrier, x);
    return hand_of(text);
}

static hw_hand *seated_by(const char *behind, const char *x)
{
    return seated_with("7 mm", behind, x);
}

static void seat_is_asked_for(void)
{
    const double room = seated_by("30 mm", "46 mm")->places.seat;
    CHECK(room > 1e-3);
    const hw_hand *h = seated_by("30 mm", "26 mm"); // everything 20 mm nearer to the wrist
    NEAR(h->places.seat, room - 20e-3, 1e-9);
    CHECK(h->places.pack.room <= h->places.seat);
    h = seated_by("24 mm", "46 mm"); // the arc ends in the carrier
    CHECK(h->places.seat < -1e-3 && h->places.pack.room <= h->places.seat);
    CHECK(isnan(seated_by("0 mm", "46 mm")->places.seat));
    // a carrier too short for its screws is no way out
    h = seated_with("6 mm", "30 mm", "46 mm");
    CHECK(h->fitted[HW_THUMB] && !h->fittings[HW_THUMB].carrier.screws);
    CHECK(h->places.seat < -1e-3);
    CHECK(h->places.pack.room <= h->places.seat);
}

static hw_hand *hand_of(const char *text)
{
    static hw_hand h;
    hw_design *d = design_of(text);
    if (d) hw_hand_build(d, &h);
    return &h;
}

static void nothing_asked(void)
{
    const hw_hand *h = hand_of("handwright: 1\n");
    CHECK(h->places.pack.places == 0 && isnan(h->places.pack.room) && h->places.sheaths == 0);
    CHECK(isnan(h->places.bundle) && !h->places.routed);
    for (int i = 0; i < HW_DIGITS; i++) CHECK(!h->places.mover[i].driven && h->servos[i] >= 1);
}

#define RING                                                                                       \
    "handwright: 1\npalm: {thickness: 38 mm, servo: {type: %s}}\ndigits:\n"                        \
    "  ring: {splay: {driven: yes, slot: {at: {x: 25 mm, y: -9 mm, z: 2 mm}}}}\n"

static const hw_hand *ring_with(const char *servo)
{
    char text[400];
    snprintf(text, sizeof text, RING, servo);
    return hand_of(text);
}

static void another_servo(void)
{
    const hw_hand *h = ring_with("slim metal gear");
    CHECK(h->places.pack.places == 1 && h->places.whose[0] == HW_RING);
    double thin = h->places.pack.thickness, room = h->places.pack.room;
    CLOSE(h->places.mover[HW_RING].item.shape.height, 0.017, 1e-12); // of the catalogue's item
    CLOSE(h->places.mover[HW_RING].line.stall_torque, 0.2, 1e-12);
    h = ring_with("standard 10");
    double thick = h->places.pack.thickness;
    CHECK(thick - thin >= 0.038 - 0.017 - 1e-12); // at least what the body is taller
    CHECK(h->places.pack.room < room && h->places.pack.room < 0);
    // the palm is laid as deep as that by itself, its back as it is, and asks no more then
    CLOSE(h->palm.height, thick, 1e-12);
    CLOSE(h->palm.deeper, thick - 38e-3, 1e-12);
    static hw_hand again;
    again = *h;
    char text[400];
    snprintf(text, sizeof text, RING, "standard 10");
    hw_design *d = design_of(text);
    CHECK(d && hw_hand_shallow(h) < 1e-12 && !hw_hand_deepen(d, 0, &again));
    // no shallower than the document has it
    CHECK(d && hw_hand_deepen(d, -1, &again) && again.palm.deeper == 0);
    CLOSE(again.palm.thickness, 38e-3, 1e-12);
    CLOSE(again.palm.height, 38e-3, 1e-12);
    // the supply feeds it: one more than the digits' seven
    CHECK(h->supply.servos == 8);
}

// The ring finger's servo under the palm's middle, where nothing but the thumb ever goes: its
// metacarpal takes the room as it is opposed.
static void the_thumb_takes_room(void)
{
    static const char *const thumb[] = {"", "  thumb: {present: no}\n"};
    double room[2];
    for (int i = 0; i < 2; i++) {
        char text[400];
        snprintf(text, sizeof text,
                 "palm: {thickness: 38 mm, servo: {type: slim metal gear}}\ndigits:\n%s"
                 "  ring: {splay: {driven: yes, slot: {at: {x: 25 mm, y: -1 mm, z: -6 mm}}}}\n",
                 thumb[i]);
        const hw_places *p = &hand_of(text)->places;
        room[i] = p->pack.room;
        if (i == 0) CHECK(p->place[0].meets == HW_PACK_OBSTACLE && p->place[0].which > 0);
    }
    CHECK(room[0] < 0 && room[1] > 0);
}

// A horn turns as far as the wider side of the splay asks of it.
static void horns_turn_as_far_as_splay_goes(void)
{
    const hw_hand *h = hand_of("palm: {thickness: 38 mm, servo: {type: slim metal gear}}\ndigits:\n"
                               "  ring: {splay: {driven: yes, least: -4 deg, most: 12 deg, lever: "
                               "{x: -13 mm, y: 5 mm}}}\n");
    const hw_pack_item *item = &h->places.mover[HW_RING].item;
    double turn = asin(hypot(13e-3, 5e-3) * sin(12 * HW_PI / 180) / item->shape.horn_hole);
    CLOSE(item->shape.horn_turns, turn, 1e-9);
}

static void sheaths_that_nobody_typed(void)
{
    const hw_hand *typed = hand_of("handwright: 1\nforearm: {ways: computed}\n"
                                   "drive: {sheath: {length: 321 mm, bend: 2 rad}}\n");
    CHECK(typed->places.sheaths == 8 && typed->places.bundle >= 0);
    for (int i = HW_INDEX; i <= HW_LITTLE; i++) {
        CLOSE(typed->drive[i].sheath_length, 0.321, 1e-12);
        CLOSE(typed->drive[i].sheath_bend, 2.0, 1e-12);
    }
    // typed or not, where the document says so
    const hw_hand *h = hand_of("handwright: 1\nforearm: {ways: computed, lengths: routed}\n"
                               "drive: {sheath: {length: 321 mm, bend: 2 rad}}\n");
    for (size_t i = 0; i < h->places.sheaths; i++) {
        const hw_sheath_way *s = &h->places.sheath[i];
        CHECK(h->drive[s->digit].sheath_length >= s->way.length - 1e-15);
        CHECK(h->drive[s->digit].sheath_bend >= s->way.bend - 1e-15);
        // from a drum behind the wrist to behind a knuckle, no shorter than straight
        hw_vec3 from = s->way.point[0], to = s->way.point[s->way.points - 1];
        CHECK(from.x < -0.05 && to.x > 0.02);
        CHECK(s->way.length >= hw_vec3_norm(hw_vec3_sub(to, from)));
    }
}

// Two sheaths come off each drum, the closing one toward the thumb, both a little in front of it,
// and end one above the other in the carrier; none runs deeper through
// another than is said.
static void two_sheaths_a_drum(void)
{
    const hw_hand *h = hand_of("handwright: 1\nforearm: {ways: computed}\n");
    const hw_places *p = &h->places;
    static hw_body part[2][HW_ROUTE_BODIES];
    CHECK(p->sheaths == 2 * p->drums && p->drums == 4);
    for (size_t i = 0; i < p->sheaths; i++) {
        const hw_sheath_way *s = &p->sheath[i];
        const hw_palm_digit *g = &h->palm.digit[s->digit];
        const double outer = h->drive[s->digit].sheath_outer;
        const hw_drum *m = NULL;
        for (size_t k = 0; k < p->drums; k++)
            if (p->drum[k].digit == s->digit && p->drum[k].joint == s->joint) m = &p->drum[k];
        if (!CHECK(m != NULL)) return;
        hw_vec3 seat = hw_vec3_sub(s->way.point[0], m->at);
        NEAR(seat.y, s->opening ? -m->radius : m->radius, 1e-12);
        NEAR(seat.z, 0, 1e-12);
        CHECK(seat.x > m->radius + outer && seat.x < m->radius + 4 * outer);
        hw_vec3 end = hw_vec3_sub(s->way.point[s->way.points - 1], g->knuckle.at);
        double above = hw_vec3_dot(end, g->knuckle.z);
        CHECK(s->opening ? above > outer : above < -outer);
        size_t n = hw_route_bodies(&s->way, outer / 2, part[0]);
        for (size_t k = 0; k < i; k++) {
            const hw_sheath_way *o = &p->sheath[k];
            size_t others = hw_route_bodies(&o->way, h->drive[o->digit].sheath_outer / 2, part[1]);
            double apart = INFINITY;
            for (size_t a = 0; a < n; a++)
                for (size_t b = 0; b < others; b++)
                    apart = fmin(apart, hw_body_clear(&part[0][a], &part[1][b], outer));
            // the joined way is rounded anew
            CHECK(apart > fmin(0, fmin(s->room, o->room)) - 0.05 * outer);
        }
    }
}

#define ONE_FINGER                                                                                 \
    "handwright: 1\nforearm: {ways: computed}\n"                                                   \
    "digits: {middle: {present: no}, ring: {present: no}, little: {present: no}}\n"

// A hand built like another is the same to the bit, whether ways were taken over or not.
static void like_another(void)
{
    static hw_hand base, alone, like;
    hw_design *d;
    hw_diag item[4];
    hw_diags diags = {item, 0, 4, 0};
    hw_read_def def = {.file = "hand"};
    const char *text[] = {ONE_FINGER,
                          // nothing that ways follow from, then the tunnel, then what bends them
                          ONE_FINGER "loads: {tip: 5 N}\n",
                          ONE_FINGER "wrist: {tunnel: {at: {z: -5 mm}}}\n",
                          ONE_FINGER "drive: {sheath: {radius: 18 mm}}\n"};
    for (int k = 0; k < 4; k++) {
        if (!CHECK(hw_design_read(arena, hw_text_of(text[k]), &def, &d, &diags) == HW_OK)) return;
        hw_hand_build(d, &alone);
        if (k == 0) base = alone;
        hw_hand_build_like(d, &base, false, &like);
        CHECK((like.places.ways_key == base.places.ways_key) == (k < 2));
        CHECK(like.places.sheaths == 2 && alone.places.sheaths == 2);
        for (size_t i = 0; i < 2; i++) {
            const hw_route *p = &like.places.sheath[i].way, *q = &alone.places.sheath[i].way;
            CHECK(p->length == q->length && p->bend == q->bend && p->radius == q->radius);
        }
        CHECK(like.drive[HW_INDEX].sheath_length == alone.drive[HW_INDEX].sheath_length);
        CHECK(like.places.bundle == alone.places.bundle);
        // or they are kept, whatever changed
        hw_hand_build_like(d, &base, true, &like);
        for (size_t i = 0; i < 2; i++)
            CHECK(like.places.sheath[i].way.length == base.places.sheath[i].way.length);
        CHECK(like.drive[HW_INDEX].sheath_length == base.drive[HW_INDEX].sheath_length);
        CHECK((like.places.ways_key == base.places.ways_key) == (k < 2));
    }
    // but for another number of them
    const char *two = "handwright: 1\nforearm: {ways: computed}\n"
                      "digits: {ring: {present: no}, little: {present: no}}\n";
    if (!CHECK(hw_design_read(arena, hw_text_of(two), &def, &d, &diags) == HW_OK)) return;
    hw_hand_build_like(d, &base, true, &like);
    CHECK(like.places.sheaths == 4);
}

#define YIELDS(spare)                                                                              \
    ONE_FINGER "wrist: {span: 50 mm, tunnel: {spare: " spare "}}\ndrive: {wrist: {range: 30 "      \
               "deg}}\n"
#define SOCKET(x)                                                                                  \
    "handwright: 1\nforearm: {ways: computed, socket: {x: " x "}}\ndigits:\n"                      \
    "  ring: {splay: {driven: yes, slot: {at: {x: 25 mm, y: -9 mm, z: 2 mm}}}}\n"

// A wrist that yields: offsets are the ways' own, what is not to spare pulls at the cords, the bend
// counts among the sheath's.
static void yielding_wrist(void)
{
    const hw_hand *h = hand_of(ONE_FINGER);
    CHECK(h->places.wrist_range == 0 && isinf(h->places.wrist_radius) && h->places.wrist[0] == 0);
    double fast = h->drive[HW_INDEX].sheath_bend;
    const double range = 30 * HW_PI / 180;
    h = hand_of(YIELDS("9 mm"));
    const hw_places *p = &h->places;
    CLOSE(h->drive[HW_INDEX].sheath_bend, fast + range, 1e-12);
    double most = 0;
    for (size_t i = 0; i < p->sheaths; i++) {
        double off = fabs(p->sheath[i].wrist.z - p->tunnel_at.z);
        most = fmax(most, off);
        CHECK(off <= p->tunnel.height / 2);
    }
    CHECK(most > 0);
    CLOSE(p->wrist[0], most * range, 1e-12);
    CLOSE(p->wrist_radius, 0.05 / range - most, 1e-12);
    // with enough to spare a cord only changes sides in its bore
    const hw_drive *v = &h->drive[HW_INDEX];
    CLOSE(v->wrist_offset, (v->sheath_bore - v->cord_diameter) / 2, 1e-12);
    CHECK(!v->wrist_astride);
    h = hand_of(YIELDS("0.5 mm"));
    double least = INFINITY;
    for (int i = HW_INDEX; i <= HW_INDEX; i++) {
        double off = 0;
        for (size_t k = 0; k < h->places.sheaths; k++)
            if (h->places.sheath[k].digit == i)
                off = fmax(off, fabs(h->places.sheath[k].wrist.z - h->places.tunnel_at.z));
        v = &h->drive[i];
        double inside = (v->sheath_bore - v->cord_diameter) / 2;
        CLOSE(v->wrist_offset, inside + fmax(off - 0.5e-3 / range, 0), 1e-9);
        least = fmin(least, v->wrist_offset);
    }
    CHECK(least > 0);
}

// Side to side offsets count across; and a digit's two cords are pulled in opposite senses where
// its sheaths lie to both sides of the axis and neither has enough to spare.
static void wrist_that_deviates(void)
{
    static const char *const from[] = {"-40 mm", "0 mm", "40 mm"};
    int astride = 0;
    for (int k = 0; k < 3; k++)
        for (int across = 0; across < 2; across++) {
            char text[400];
            snprintf(text, sizeof text,
                     ONE_FINGER "wrist: {axis: {way: %s, %s: %s}, tunnel: {spare: 0 mm}}\n"
                                "drive: {wrist: {range: 30 deg}}\n",
                     across ? "deviation" : "flexion", across ? "y" : "z", from[k]);
            const hw_hand *h = hand_of(text);
            const hw_places *p = &h->places;
            double most = 0, off[2] = {0};
            CHECK(p->sheaths == 2);
            for (size_t i = 0; i < 2; i++) {
                const hw_vec3 *at = &p->sheath[i].wrist;
                off[i] = (across ? at->y : at->z) - 0.04 * (k - 1);
                most = fmax(most, fabs(off[i]));
            }
            CLOSE(p->wrist[0], most * HW_PI / 6, 1e-12);
            bool both = (off[0] > 0) != (off[1] > 0);
            CHECK(h->drive[HW_INDEX].wrist_astride == both);
            astride += both;
        }
    CHECK(astride > 0 && astride < 6);
}

// Leads go where the tunnel and the socket are; a longer way needs a longer lead.
static void leads(void)
{
    const hw_hand *h = hand_of(SOCKET("-100 mm"));
    CHECK(h->places.leads == 5 && h->places.movers == 1); // four cords' servos and one in the palm
    const hw_lead *l = &h->places.lead[0];
    CHECK(l->in_palm && l->digit == HW_RING && l->way.points >= 4);
    hw_vec3 from = h->places.place[0].body[HW_SERVO_CABLE].frame.at;
    CHECK(l->way.length >= hw_vec3_norm(hw_vec3_sub(from, (hw_vec3){-0.1, 0, -0.04})) - 0.005);
    CLOSE(l->needs, 1.1 * l->way.length, 1e-12);
    CLOSE(l->way.point[l->way.points - 1].x, -0.1, 1e-12);
    CHECK(l->has > l->needs);
    double needs = l->needs;
    h = hand_of(SOCKET("-250 mm"));
    CHECK(h->places.lead[0].needs > needs + 1.1 * 0.14);
    // a cord's servo: straight from its case's end, a quarter more
    const hw_lead *cord = &h->places.lead[1];
    CHECK(!cord->in_palm && cord->digit == HW_INDEX && cord->way.points == 0 && cord->needs > 0.1);
}

static hw_body drum_of(const hw_drum *m, double cord) // [m]
{
    hw_frame f = m->servo;
    f.at = m->at;
    return hw_body_cylinder(f, m->radius + cord, m->height);
}

// x of the ears' front end of a servo in the forearm, whose shaft is toward the palm.
static double ahead(const hw_palm_servo *s) // [m]
{
    return s->frame.at.x + s->shaft_at + (s->ear_span - s->length) / 2;
}

// One arrangement for sheaths and printed parts: what leaves a drum passes all others, and no case
// stands in another.
static void one_forearm(void)
{
    static const char *const text[] = {
        "handwright: 1\n",
        "handwright: 1\ndigits: {thumb: {mechanism: {kind: direct, together: yes, reach: "
        "cords}}}\n",
        "handwright: 1\nforearm: {behind: 75 mm, z: 3 mm}\ndrive: {sheath: {type: ptfe 3x2}}\n"
        "digits: {index: {drive: {servo: {type: micro 9 g}}}}\n",
        "handwright: 1\ndigits: {ring: {drive: {servo: {type: micro 9 g}}}, "
        "little: {drive: {servo: {type: micro 9 g}}}}\n"}; // its last column is shorter
    static const size_t servos[] = {4, 6, 4, 4};
    static hw_palm_parts_def parts;
    for (int t = 0; t < 4; t++) {
        hw_design *d;
        static hw_hand h;
        hw_diags diags = {0};
        hw_read_def def = {.file = "hand"};
        if (!CHECK(hw_design_read(arena, hw_text_of(text[t]), &def, &d, &diags) == HW_OK)) return;
        hw_hand_build(d, &h);
        hw_hand_palm_parts(d, &h, &parts);
        const hw_places *p = &h.places;
        CHECK(p->drums == servos[t] && parts.arm_servos == servos[t]);
        double front = -INFINITY, across[2] = {INFINITY, -INFINITY};
        for (size_t i = 0; i < p->drums; i++) {
            const hw_drum *m = &p->drum[i];
            const hw_palm_servo *s = &parts.arm[i];
            const hw_drive *v = &h.drive[m->digit];
            CLOSE(s->frame.at.x, m->at.x, 1e-15);
            CLOSE(s->frame.at.z + m->above, m->at.z, 1e-15);
            CLOSE(s->horn[1].z, m->above + m->height / 2, 1e-15);
            CHECK(m->above - m->height / 2 > 0); // clear of its case
            front = fmax(front, ahead(s));
            across[0] = fmin(across[0], m->at.y);
            across[1] = fmax(across[1], m->at.y);
            for (size_t k = 0; k < p->drums; k++) {
                hw_body drum = drum_of(&p->drum[k], h.drive[p->drum[k].digit].cord_diameter);
                for (int side = -1; side <= 1 && k != i; side += 2) {
                    hw_vec3 from = m->at, to;
                    from.x += m->radius;
                    from.y += side * m->radius;
                    to = from;
                    to.x = fmax(to.x, 0);
                    hw_body sheath = hw_body_capsule(from, to, v->sheath_outer / 2);
                    CHECK(hw_body_clear(&sheath, &drum, 1) >= h.gap - 1e-12);
                }
                const hw_palm_servo *o = &parts.arm[k];
                double apart = fabs(o->frame.at.y - s->frame.at.y) - (o->width + s->width) / 2;
                double on = ahead(s) - ahead(o), walls = 12 * h.line;
                // a column of the lid's screws between them, or two walls
                bool beside = apart >= 2 * HW_PALM_SCREW;
                bool behind =
                    on >= s->ear_span + walls - 1e-12 || -on >= o->ear_span + walls - 1e-12;
                CHECK(k == i || beside || behind);
            }
        }
        CLOSE(front, t == 2 ? -0.075 : -0.06, 1e-12);
        NEAR(across[0] + across[1], 2 * p->tunnel_at.y, 1e-12); // columns about the tunnel's middle
        CLOSE(p->drum[0].at.z, t == 2 ? 0.003 : 0.2 * 0.038, 1e-12);
    }
}

#define BEHIND                                                                                     \
    "handwright: 1\nforearm: {ways: computed}\n"                                                   \
    "palm: {opposition: {behind: 26 mm, turn: 5 deg, rise: 0 deg}}\n"                              \
    "digits: {thumb: {carrier: {length: 7 mm}, drive: {sheath: {radius: 16 mm}}, knuckle: {at: "   \
    "{x: 27 mm, y: 27 mm, z: -30 mm}, turn: 39 deg, rise: -37 deg, roll: -116 deg}, "              \
    "mechanism: {kind: direct, together: yes, reach: cords}}}\n"

// The thumb's sheaths end at its journal's mouth, two by two about the axis of opposition, and what
// they bend and run inside its yoke counts among what the drive has.
static void along_the_axis_of_opposition(void)
{
    const hw_hand *h = hand_of(BEHIND);
    const hw_palm *p = &h->palm;
    const hw_drive *v = &h->drive[HW_THUMB];
    const double turn = acos(hw_vec3_dot(p->digit[HW_THUMB].knuckle.x, p->thumb_base.x));
    const double tangent = 0.016 * tan(turn / 2);
    size_t thumb = 0;
    double most = 0, longest = 0, width = 0;
    for (size_t i = 0; i < h->places.sheaths; i++) {
        const hw_sheath_way *s = &h->places.sheath[i];
        CHECK((s->inside.bend > 0) == (s->digit == HW_THUMB));
        if (s->digit != HW_THUMB) continue;
        thumb++;
        hw_vec3 last = s->way.point[s->way.points - 1], along, at;
        hw_route_at(&s->way, s->way.length, &at, &along);
        CHECK(hw_vec3_dot(along, p->thumb_base.x) > 1 - 1e-9);
        hw_vec3 off = hw_vec3_sub(last, p->opposition_at);
        double before = -hw_vec3_dot(off, p->thumb_base.x);
        double beside = hw_vec3_norm(hw_vec3_along(off, before, p->thumb_base.x));
        CHECK(before >= tangent - 1e-12); // the arc begins after the mouth
        width = fmax(width, 2 * beside + v->sheath_outer);
        CLOSE(s->inside.bend, turn, 1e-9);
        // on to the mouth of the arc, round it, and straight to the carrier: 22 mm thick, its
        // block 7 mm long behind the joint's setback
        CHECK(s->inside.length > before - tangent + 0.016 * turn - 1e-12);
        CHECK(s->inside.length < before + 0.026);
        most = fmax(most, s->way.bend);
        longest = fmax(longest, s->way.length);
    }
    CHECK(thumb == 4);
    CLOSE(v->sheath_bend, most + turn, 1e-12);
    CHECK(v->sheath_length >= longest + 0.016 * turn - 1e-12);
    CHECK(width <= 2.42 * v->sheath_outer + 1.5 * h->gap);
}

static void joints_that_share(void)
{
    const hw_hand *h = hand_of("handwright: 1\ndigits: {thumb: {mechanism: {kind: direct}}}\n");
    CHECK(h->servos[HW_THUMB] == 3 && h->drive[HW_THUMB].direct);
    h = hand_of("handwright: 1\nforearm: {ways: computed}\n"
                "digits: {thumb: {mechanism: {kind: direct, together: yes, reach: cords}}}\n");
    CHECK(h->servos[HW_THUMB] == 2 && !h->drive[HW_THUMB].direct && h->together[HW_THUMB]);
    CHECK(h->supply.servos == 6);
    CHECK(h->places.sheaths == 12); // two for each of six servos
    hw_digit_assessment g;
    CHECK(hw_assess_digit(arena, h, HW_THUMB, &g) == HW_OK);
    CHECK(g.drive.tip.value > 0 && g.drive_joint < 2);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(seat_is_asked_for);
    RUN(nothing_asked);
    RUN(another_servo);
    RUN(the_thumb_takes_room);
    RUN(horns_turn_as_far_as_splay_goes);
    RUN(sheaths_that_nobody_typed);
    RUN(two_sheaths_a_drum);
    RUN(like_another);
    RUN(yielding_wrist);
    RUN(wrist_that_deviates);
    RUN(leads);
    RUN(one_forearm);
    RUN(along_the_axis_of_opposition);
    RUN(joints_that_share);
    hw_arena_free(arena);
    return TEST_END();
}
