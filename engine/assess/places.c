// Servos in the palm, sheaths and leads: values of the hand's findings, and what to say beside
// them.
#include "assess/assess_internal.h"

#include <math.h>
#include <string.h>

static double least_room(const hw_places *p, size_t *which) // [m]
{
    double least = NAN;
    for (size_t i = 0; i < p->sheaths; i++)
        if (!(p->sheath[i].room >= least)) {
            least = p->sheath[i].room;
            *which = i;
        }
    return least;
}

static const hw_sheath_way *tightest(const hw_places *p)
{
    const hw_sheath_way *worst = NULL;
    for (size_t i = 0; i < p->sheaths; i++)
        if (!worst || p->sheath[i].way.radius < worst->way.radius) worst = &p->sheath[i];
    return worst;
}

static double bend_of(const hw_sheath_way *s) // [rad]
{
    return s->way.bend + s->inside.bend;
}

static const hw_sheath_way *most_bent(const hw_places *p)
{
    const hw_sheath_way *worst = NULL;
    for (size_t i = 0; i < p->sheaths; i++)
        if (!worst || bend_of(&p->sheath[i]) > bend_of(worst)) worst = &p->sheath[i];
    return worst;
}

static double motions(const hw_hand *h)
{
    int n = 0;
    for (int i = 0; i < HW_DIGITS; i++)
        if (h->present[i]) n += h->servos[i] + h->places.mover[i].driven;
    return n;
}

static double palm_thickness(const hw_hand *h)
{
    return h->palm.height;
}

static double servo_room(const hw_hand *h)
{
    return h->places.pack.room;
}

static double sheath_room(const hw_hand *h)
{
    size_t which;
    return least_room(&h->places, &which);
}

static double sheath_radius(const hw_hand *h)
{
    const hw_sheath_way *s = tightest(&h->places);
    return s ? s->way.radius : (double)NAN;
}

static double sheath_bend(const hw_hand *h)
{
    const hw_sheath_way *s = most_bent(&h->places);
    return s ? bend_of(s) : (double)NAN;
}

static double tunnel_room(const hw_hand *h)
{
    return h->places.bundle;
}

static double wrist_slack(const hw_hand *h)
{
    return h->places.sheaths ? h->places.wrist[1] - h->places.wrist[0] : (double)NAN;
}

static double wrist_radius(const hw_hand *h)
{
    return h->places.sheaths ? h->places.wrist_radius : (double)NAN;
}

static double sheath_crossings(const hw_hand *h)
{
    size_t n = 0;
    for (size_t i = 0; i < h->places.sheaths; i++) n += h->places.sheath[i].crossings;
    return h->places.sheaths ? (double)n : (double)NAN;
}

static double sheath_clips(const hw_hand *h)
{
    size_t n = 0;
    for (size_t i = 0; i < h->places.sheaths; i++) n += h->places.sheath[i].clips;
    return h->places.sheaths ? (double)n : (double)NAN;
}

static const hw_lead *shortest_lead(const hw_places *p)
{
    const hw_lead *worst = NULL;
    for (size_t i = 0; i < p->leads; i++)
        if (!p->lead[i].shut &&
            (!worst || p->lead[i].has - p->lead[i].needs < worst->has - worst->needs))
            worst = &p->lead[i];
    return worst;
}

static double lead_room(const hw_hand *h)
{
    const hw_lead *l = shortest_lead(&h->places);
    return l ? l->has - l->needs : (double)NAN;
}

// Of servos in the palm whose leads have no way out of it.
static double leads_shut(const hw_hand *h)
{
    size_t n = 0;
    for (size_t i = 0; i < h->places.leads; i++) n += h->places.lead[i].shut;
    return h->places.leads ? (double)n : (double)NAN;
}

static double thumb_seat(const hw_hand *h)
{
    return h->places.seat;
}

// Where a finding is shown: where servos stand in the palm, where ways are asked for, where the
// wrist yields besides, or where the thumb turns about an axis in the palm.
typedef enum shown { OF_MOVERS, OF_WAYS, OF_WRIST, OF_SEAT } shown;

static const struct {
    const char *id;
    shown where;
    double (*value)(const hw_hand *h);
} rows[] = {
    {"motions", OF_MOVERS, motions},         {"palm_thickness", OF_MOVERS, palm_thickness},
    {"servo_room", OF_MOVERS, servo_room},   {"lead_room", OF_MOVERS, lead_room},
    {"sheath_room", OF_WAYS, sheath_room},   {"sheath_radius", OF_WAYS, sheath_radius},
    {"sheath_bend", OF_WAYS, sheath_bend},   {"sheath_crossings", OF_WAYS, sheath_crossings},
    {"sheath_clips", OF_WAYS, sheath_clips}, {"tunnel_room", OF_WAYS, tunnel_room},
    {"wrist_slack", OF_WRIST, wrist_slack},  {"wrist_radius", OF_WRIST, wrist_radius},
    {"leads_shut", OF_WAYS, leads_shut},     {"thumb_seat", OF_SEAT, thumb_seat},
};
enum { ROWS = sizeof rows / sizeof rows[0] };

static int row_of(const char *id)
{
    for (int i = 0; i < ROWS; i++)
        if (strcmp(rows[i].id, id) == 0) return i;
    return -1;
}

bool hw_assess_hand_applies(const hw_hand *hand, const hw_finding_kind *kind)
{
    int row = row_of(kind->id);
    if (row < 0) return true;
    if (rows[row].where == OF_WRIST && !(hand->places.wrist_range > 0)) return false;
    if (rows[row].where == OF_SEAT) return !isnan(hand->places.seat);
    if (rows[row].where != OF_MOVERS) return hand->places.routed;
    for (int i = 0; i < HW_DIGITS; i++)
        if (hand->places.mover[i].driven) return true;
    return false;
}

bool hw_assess_places_value(const hw_hand *hand, const char *id, double *value)
{
    int row = row_of(id);
    if (row >= 0) *value = rows[row].value(hand);
    return row >= 0;
}

// ---- notes

static const char *mover_name(int digit, hw_buffer *b)
{
    hw_buffer_format(b, "%s's ", digit == HW_THUMB ? "opposition" : hw_digit_name[digit]);
    return digit == HW_THUMB ? "opposition" : hw_digit_name[digit];
}

// "index's case lacks 3.2 mm toward the thumb: ring's servo", "ring's ears have 0.4 mm beyond ..."
static const char *room_note(hw_arena *a, const hw_hand *h)
{
    const hw_places *p = &h->places;
    const hw_pack_place *at = &p->place[p->pack.tightest];
    hw_buffer b = {.arena = a};
    if (p->seat < 0 && p->seat <= at->room) {
        if (h->fitted[HW_THUMB] && h->fittings[HW_THUMB].carrier.screws)
            hw_note_number(&b, -1e3 * p->seat, 1, " mm are lacking along the thumb's axis: ");
        else
            hw_buffer_puts(&b, "the thumb's carrier has no room for two screws: ");
        hw_buffer_puts(&b, "it has no seat, and nothing keeps clear of it");
        return b.at;
    }
    mover_name(p->whose[p->pack.tightest], &b);
    if (at->meets == HW_PACK_SLOT) {
        hw_buffer_puts(&b, "rod lies askew, or its ways are no slot");
        return b.at;
    }
    hw_buffer_puts(&b, hw_servo_body_name(at->part));
    if (at->meets == HW_PACK_LUG && at->part == HW_SERVO_LUG) {
        hw_buffer_puts(&b, " stands ");
        hw_note_number(&b, -1e3 * at->room, 1, " mm in its yoke's screws, sheaths or side");
        return b.at;
    }
    bool many = at->part == HW_SERVO_EARS;
    if (at->room < 0) {
        hw_buffer_puts(&b, many ? " lack " : " lacks ");
        hw_note_number(&b, -1e3 * at->room, 1, " mm toward ");
        hw_buffer_puts(&b, hw_way_name(hw_way_of(hw_vec3_times(at->away, -1))));
        hw_buffer_puts(&b, ": ");
    } else {
        hw_buffer_puts(&b, many ? " have " : " has ");
        hw_note_number(&b, 1e3 * at->room, 1, " mm beyond gaps and walls: ");
    }
    if (at->meets == HW_PACK_SERVO) {
        mover_name(p->whose[at->which], &b);
        hw_buffer_puts(&b, "servo");
    } else if (at->meets == HW_PACK_LUG)
        hw_buffer_puts(&b, "its own yoke's lug");
    else
        hw_buffer_puts(&b,
                       at->meets == HW_PACK_SKIN ? "the palm's skin" : "a digit or its carrier");
    return b.at;
}

static const char *thickness_note(hw_arena *a, const hw_hand *h)
{
    const hw_places *p = &h->places;
    hw_buffer b = {.arena = a};
    mover_name(p->whose[p->pack.thickest], &b);
    hw_buffer_puts(&b, "servo needs ");
    hw_note_number(&b, 1e3 * p->pack.thickness, 1, " mm, the document has ");
    hw_note_number(&b, 1e3 * (h->palm.height - h->palm.deeper), 1,
                   " mm; a person's hand is about ");
    hw_note_number(&b, 0.375e3 * h->breadth, 0, " mm thick");
    return b.at;
}

static const char *way_note(hw_arena *a, const hw_sheath_way *s)
{
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "%s's %s sheath: ", hw_digit_name[s->digit],
                     s->opening ? "opening" : "closing");
    hw_note_number(&b, 1e3 * (s->way.length + s->inside.length), 0, " mm long, ");
    hw_note_number(&b, bend_of(s) * 180 / HW_PI, 0, " deg in all, radius ");
    hw_note_number(&b, 1e3 * s->way.radius, 1, " mm");
    return b.at;
}

static const char *lead_note(hw_arena *a, const hw_lead *l)
{
    hw_buffer b = {.arena = a};
    if (l->in_palm)
        mover_name(l->digit, &b);
    else
        hw_buffer_format(&b, "%s's cord ", hw_digit_name[l->digit]);
    hw_buffer_puts(&b, "servo: ");
    hw_note_number(&b, 1e3 * l->needs, 0, " of ");
    hw_note_number(&b, 1e3 * l->has, 0, " mm are used");
    return b.at;
}

const char *hw_assess_places_note(hw_arena *a, const hw_hand *h, const hw_finding *f)
{
    const char *id = f->kind->id;
    const hw_places *p = &h->places;
    if (row_of(id) < 0 || isnan(f->value)) return NULL;
    if (strcmp(id, "servo_room") == 0) return room_note(a, h);
    if (strcmp(id, "palm_thickness") == 0) return thickness_note(a, h);
    if (strcmp(id, "sheath_radius") == 0) return way_note(a, tightest(p));
    if (strcmp(id, "sheath_bend") == 0) return way_note(a, most_bent(p));
    if (strcmp(id, "sheath_room") == 0) {
        size_t which = 0;
        (void)least_room(p, &which);
        return way_note(a, &p->sheath[which]);
    }
    if (strcmp(id, "lead_room") == 0) return lead_note(a, shortest_lead(p));
    hw_buffer b = {.arena = a};
    if (strcmp(id, "leads_shut") == 0) {
        for (size_t i = 0; i < p->leads; i++) {
            if (!p->lead[i].shut) continue;
            hw_buffer_puts(&b, b.len ? ", " : "");
            mover_name(p->lead[i].digit, &b);
            hw_buffer_puts(&b, "servo's");
        }
    } else if (strcmp(id, "thumb_seat") == 0 && f->value < 0) {
        hw_buffer_puts(&b, "the thumb has no seat in the palm: handwright place --thumb searches "
                           "for a base that has room for one");
    } else if (strcmp(id, "tunnel_room") == 0) {
        hw_buffer_count(&b, p->sheaths, "sheath");
        hw_buffer_puts(&b, " and ");
        hw_buffer_count(&b, p->movers, "lead");
        hw_buffer_puts(&b, " in ");
        hw_note_number(&b, 1e3 * p->tunnel.width, 1, " x ");
        hw_note_number(&b, 1e3 * p->tunnel.height, 1, " mm");
    } else if (strcmp(id, "wrist_slack") == 0) {
        hw_note_number(&b, 1e3 * p->wrist[0], 1, " of ");
        hw_note_number(&b, 1e3 * p->wrist[1], 1, " mm to spare are asked");
    }
    return b.at;
}
